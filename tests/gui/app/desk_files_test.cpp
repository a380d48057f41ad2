// SPDX-License-Identifier: MIT
// Files under the window: written by other programs, vanished, saved elsewhere, brought back after a crash.
#include <QAction>
#include <QDir>
#include <QFile>
#include <QMessageBox>
#include <QScopeGuard>
#include <QSettings>
#include <QStatusBar>
#include <QTimer>

#include <cstdlib>

#include "gui/app/dialogs.h"
#include "gui/views/first_screen.h"
#include "gui/views/working_panel.h"
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

    void whatVanishesFromTheDiskIsKeptAndWrittenAgain() {
        Desk d;
        QVERIFY(!d.window->action(QStringLiteral("save"))->isEnabled());
        QVERIFY(QFile::remove(d.job()));
        QTRY_VERIFY(d.window->isWindowModified());
        QVERIFY(d.window->statusBar()->currentMessage().contains(QStringLiteral("no longer on the disk")));
        QCOMPARE(d.shown("S1", "L"), QStringLiteral("1.2"));
        // An edit and back again leave it unsaved.
        QVERIFY(!d.window->session().setValue(*d.window->session().find("S2", "L"), QStringLiteral("2 m")));
        d.window->session().undoStack().undo();
        QVERIFY(d.window->isWindowModified());
        // Closing asks.
        bool asked = false;
        QTimer::singleShot(0, d.window.get(), [&] {
            if (auto* box = qobject_cast<QMessageBox*>(QApplication::activeModalWidget())) {
                asked = true;
                box->reject();
            }
        });
        QVERIFY(!d.window->close());
        QVERIFY(asked);
        QTest::keyClick(d.window.get(), Qt::Key_S, Qt::ControlModifier);
        QTRY_VERIFY(!d.window->isWindowModified());
        QFile file(d.job());
        QVERIFY(file.open(QIODevice::ReadOnly));
        QCOMPARE(QString::fromUtf8(file.readAll()), QString::fromLatin1(shelf::kJob));
        QTest::qWait(300);
        QVERIFY(!d.window->isWindowModified());
        // Replaced by another in two steps, it is read anew.
        QVERIFY(QFile::remove(d.job()));
        QTRY_VERIFY(d.window->isWindowModified());
        d.put(QStringLiteral("job.spanjob"), QString::fromLatin1(shelf::kJob).replace(QStringLiteral("L = 1.2 m"), QStringLiteral("L = 1.4 m")).toStdString());
        QTRY_COMPARE(d.shown("S1", "L"), QStringLiteral("1.4"));
        QVERIFY(!d.window->isWindowModified());
    }

    void savesElsewhereWithWhatTheJobReads() {
        const std::string job = std::string(shelf::kJob) + "prices  lists/prices.csv\nmember  O1 = own\n        with  N = 1 kN\n";
        LibraryDesk d(job);
        std::string own = shelf::kOther;
        own.replace(own.find("post"), 4, "own ");
        d.put(QStringLiteral("own.spansheet"), own);
        QDir(d.dir.path()).mkpath(QStringLiteral("lists"));
        d.put(QStringLiteral("lists/prices.csv"), "item [text], price [text], on [text], until [text]\n");
        QVERIFY(d.window->openFile(d.job()));
        QVERIFY(!d.window->session().setValue(*d.window->session().find("S2", "L"), QStringLiteral("2 m")));
        const QString there = d.dir.filePath(QStringLiteral("away/deep/copy.spanjob"));
        QVERIFY(d.window->saveElsewhere(there));
        QCOMPARE(d.window->session().path(), there);
        QVERIFY(!d.window->isWindowModified());
        QCOMPARE(d.shown("S2", "L"), QStringLiteral("2"));
        QVERIFY(QFile::exists(d.dir.filePath(QStringLiteral("away/deep/own.spansheet"))));
        QVERIFY(QFile::exists(d.dir.filePath(QStringLiteral("away/deep/lists/prices.csv"))));
        QVERIFY2(!QFile::exists(d.dir.filePath(QStringLiteral("away/deep/lib"))), "ready sheets stay where they are");
        QVERIFY(d.window->session().find("O1", "sigma_c").has_value());
        // The old place is as it was, and nothing of the edit comes back there.
        QVERIFY(d.window->openFile(d.job()));
        QCOMPARE(d.shown("S2", "L"), QStringLiteral("1.8"));
        // Not over another sheet of the same name.
        d.put(QStringLiteral("away/deep/own.spansheet"), own + "# another\n");
        Desk::inDialog<QMessageBox>([](QMessageBox& box) { box.accept(); });
        QVERIFY(!d.window->saveElsewhere(d.dir.filePath(QStringLiteral("away/deep/second.spanjob"))));
        QVERIFY(!QFile::exists(d.dir.filePath(QStringLiteral("away/deep/second.spanjob"))));
        QCOMPARE(d.window->session().path(), d.job());
    }

    void whatStandsBesideTheGridKeepsItsWidth() {
        Desk d;
        const auto width = [&] { return d.window->working().width(); };
        QTRY_VERIFY(width() > 300);
        d.run("workshop");
        QTest::qWait(100);
        const int before = width();
        d.window->close();
        d.start();
        QTRY_VERIFY2(std::abs(width() - before) < 30, qPrintable(QStringLiteral("%1, was %2").arg(width()).arg(before)));
        d.window->close();
        QSettings().clear();
    }
};

SPANWRIGHT_QT_TEST(DeskFilesTest);
#include "desk_files_test.moc"
