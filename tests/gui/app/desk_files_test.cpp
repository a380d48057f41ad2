// SPDX-License-Identifier: MIT
// Files under the window: written by other programs, brought back after a crash.
#include <QDir>
#include <QFile>
#include <QScopeGuard>
#include <QTimer>

#include "gui/app/dialogs.h"
#include "gui/views/first_screen.h"
#include "tests/gui/app/desk_fixture.h"
#include "tests/gui/test_list.h"

using namespace spanwright;
using app::DeskWindow;

namespace {

/// Closes the window and leaves what a crash leaves: the file of the journal, and nobody who holds the job.
bool crashes(Desk& d) {
    const QDir journal(d.dir.filePath(QStringLiteral("journal")));
    const auto files = [&journal] { return journal.entryList({QStringLiteral("*.json")}); };
    if (!QTest::qWaitFor([&files] { return files().size() == 1; })) return false;
    const QString file = journal.filePath(files().first());
    if (!QFile::copy(file, file + QStringLiteral(".kept"))) return false;
    d.window.reset();
    return !QFile::exists(file) && QFile::rename(file + QStringLiteral(".kept"), file);
}

} // namespace

class DeskFilesTest : public QObject {
    Q_OBJECT

private Q_SLOTS:
    void takesInWhatAnotherProgramWrites() {
        Desk d;
        QString text = d.text();
        d.put(QStringLiteral("job.spanjob"), text.replace(QStringLiteral("L = 1.2 m"), QStringLiteral("L = 1.4 m")).toStdString());
        QTRY_COMPARE(d.at("S1", "L").data().toString(), QStringLiteral("1.4"));
        // With unsaved edits it asks, and shows what differs.
        QVERIFY(!d.window->session().setValue(*d.window->session().find("S2", "L"), QStringLiteral("2 m")));
        bool asked = false;
        QTimer poll;
        connect(&poll, &QTimer::timeout, this, [&] {
            for (QWidget* w : QApplication::topLevelWidgets())
                if (auto* dialog = qobject_cast<app::DifferenceDialog*>(w); dialog != nullptr && dialog->isVisible()) {
                    asked = true;
                    dialog->reject();
                }
        });
        poll.start(30);
        d.put(QStringLiteral("job.spanjob"), QString::fromLatin1(shelf::kJob).replace(QStringLiteral("L = 1.2 m"), QStringLiteral("L = 1.6 m")).toStdString());
        QTRY_VERIFY(asked);
        QCOMPARE(d.at("S1", "L").data().toString(), QStringLiteral("1.4"));
        QCOMPARE(d.at("S2", "L").data().toString(), QStringLiteral("2"));
        // Our own saving is no change from outside.
        asked = false;
        QVERIFY(!d.window->session().save());
        QTest::qWait(400);
        QVERIFY(!asked);
    }

    void bringsUnsavedEditsBackAfterACrash() {
        Desk d;
        QVERIFY(!d.window->session().setValue(*d.window->session().find("S1", "L"), QStringLiteral("2 m")));
        QVERIFY(crashes(d));
        d.start();
        QCOMPARE(d.at("S1", "L").data().toString(), QStringLiteral("2"));
        QVERIFY(d.window->isWindowModified());
        QTest::keyClick(d.window.get(), Qt::Key_Z, Qt::ControlModifier);
        QCOMPARE(d.at("S1", "L").data().toString(), QStringLiteral("1.2"));
    }

    void bringsThemBackByWhateverNameTheJobIsOpened() {
        Desk d;
        QVERIFY(!d.window->session().setValue(*d.window->session().find("S1", "L"), QStringLiteral("2 m")));
        QVERIFY(crashes(d));
        const QString before = QDir::currentPath();
        const auto back = qScopeGuard([&before] { QDir::setCurrent(before); });
        QVERIFY(QDir::setCurrent(d.dir.path()));
        d.window = std::make_unique<DeskWindow>(d.library(), d.dir.filePath(QStringLiteral("journal")));
        QVERIFY(d.window->openFile(QStringLiteral("job.spanjob")));
        QCOMPARE(d.at("S1", "L").data().toString(), QStringLiteral("2"));
        QVERIFY(d.window->isWindowModified());
        QCOMPARE(d.window->session().path(), d.job());
    }
};

SPANWRIGHT_QT_TEST(DeskFilesTest);
#include "desk_files_test.moc"
