// SPDX-License-Identifier: MIT
// What is being typed when the job is saved, printed or left.
#include <QAction>
#include <QLineEdit>
#include <QMessageBox>
#include <QPushButton>
#include <QStatusBar>
#include <QTimer>

#include "gui/app/print_dialog.h"
#include "gui/editor/completing_line.h"
#include "gui/models/grid_model.h"
#include "gui/views/list_editor.h"
#include "gui/views/row_editor.h"
#include "tests/gui/app/desk_fixture.h"
#include "tests/gui/test_list.h"

using namespace spanwright;

namespace {

void type(LibraryDesk& d, const char* text) {
    d.key(Qt::Key_F2);
    QVERIFY(d.editor() != nullptr);
    auto* line = d.editor()->findChild<QLineEdit*>();
    line->selectAll();
    QTest::keyClicks(line, QString::fromUtf8(text));
}

QString inFile(LibraryDesk& d) {
    QFile file(d.job());
    return file.open(QIODevice::ReadOnly) ? QString::fromUtf8(file.readAll()) : QString();
}

/// Works the box that asks when the window is closed; what it said, empty where none did.
QString close(LibraryDesk& d, QMessageBox::StandardButton answer, bool closes) {
    QString said;
    QTimer soon;
    soon.setSingleShot(true);
    QObject::connect(&soon, &QTimer::timeout, &soon, [&] {
        auto* box = qobject_cast<QMessageBox*>(QApplication::activeModalWidget());
        if (box == nullptr) return;
        said = box->text() + QLatin1Char(' ') + box->informativeText();
        if (box->standardButtons().testFlag(answer))
            box->done(answer);
        else
            box->reject();
    });
    soon.start(0);
    if (d.window->close() != closes) QTest::qFail("closed, or not, against what was answered", __FILE__, __LINE__);
    return said;
}

} // namespace

class LeavingTest : public QObject {
    Q_OBJECT

private Q_SLOTS:
    void whatStandsInACellIsSaved() {
        Desk d;
        d.go("S1", "L");
        QVERIFY(!d.window->action(QStringLiteral("save"))->isEnabled());
        type(d, "2.5 m");
        QTest::keyClick(QApplication::focusWidget(), Qt::Key_S, Qt::ControlModifier);
        QTRY_VERIFY2(inFile(d).contains(QStringLiteral("L = 2.5 m")), qPrintable(inFile(d)));
        QVERIFY(!d.window->isWindowModified());
        QVERIFY(!d.window->action(QStringLiteral("save"))->isEnabled());
    }

    void whatStandsInACellIsAskedAboutWhenTheWindowCloses() {
        Desk d;
        d.go("S1", "L");
        type(d, "2.5 m");
        QVERIFY(!close(d, QMessageBox::Cancel, false).isEmpty());
        QVERIFY(d.text().contains(QStringLiteral("L = 2.5 m")));
        QVERIFY(!close(d, QMessageBox::Save, true).isEmpty());
        QVERIFY(inFile(d).contains(QStringLiteral("L = 2.5 m")));
    }

    void whatIsNotTakenIsSaidWhenTheJobIsSavedOrLeft() {
        Desk d;
        d.go("S1", "L");
        type(d, "2 kg");
        const QString said = close(d, QMessageBox::Cancel, false);
        QVERIFY2(said.contains(QStringLiteral("S1.L, \"2 kg\"")), qPrintable(said));
        QCOMPARE(inFile(d), QString::fromLatin1(shelf::kJob));
        // Saved without it, and told so.
        QVERIFY(!d.window->session().setValue(*d.window->session().find("S2", "L"), QStringLiteral("2 m")));
        d.run("save");
        const QString told = d.window->statusBar()->currentMessage();
        QVERIFY2(told.contains(QStringLiteral("S1.L, \"2 kg\"")), qPrintable(told));
        // Given up, nothing is asked.
        d.go("S1", "L");
        d.window->gridView().setFocus();
        d.key(Qt::Key_F2);
        d.key(Qt::Key_Escape);
        QCOMPARE(close(d, QMessageBox::Cancel, true), QString());
    }

    void aRowThatIsBeingWrittenIsAskedAbout() {
        LibraryDesk d;
        QVERIFY(!d.window->session().edit(QStringLiteral("copy"), [](job::Job& job) { return job.copySheet("shelf", "our-shelf", {}); }));
        d.run("save");
        QVERIFY(!d.window->isWindowModified());
        d.go("S1", "M");
        QTest::keyClick(d.window.get(), Qt::Key_Insert);
        QVERIFY(d.window->gridView().rowEditor() != nullptr);
        QTest::keyClicks(&d.window->gridView().rowEditor()->line(), QStringLiteral("derive  x = 1"));
        const QString said = close(d, QMessageBox::Cancel, false);
        QVERIFY2(said.contains(QStringLiteral("derive  x = 1")), qPrintable(said));
        QVERIFY(d.window->gridView().rowEditor() != nullptr);
    }

    void whatWasRefusedInOneJobIsNothingOfAnother() {
        Desk d;
        d.put(QStringLiteral("other.spanjob"), shelf::kJob);
        d.go("S1", "L");
        type(d, "2 kg");
        d.click(d.at("S1", "h"));
        QCOMPARE(d.at("S1", "L").data(models::GridModel::RefusedRole).toString(), QStringLiteral("2 kg"));
        QTimer::singleShot(0, d.window.get(), [] {
            if (auto* box = qobject_cast<QMessageBox*>(QApplication::activeModalWidget())) box->done(QMessageBox::Discard);
        });
        QVERIFY(d.window->openFile(d.dir.filePath(QStringLiteral("other.spanjob"))));
        QVERIFY(d.at("S1", "L").isValid());
        QVERIFY(!d.at("S1", "L").data(models::GridModel::RefusedRole).isValid());
    }

    void whatStandsInACellIsPrinted() {
        Desk d;
        d.go("S1", "L");
        type(d, "2.5 m");
        d.run("print");
        QVERIFY(d.text().contains(QStringLiteral("L = 2.5 m")));
        QVERIFY(d.window->printDialog() != nullptr);
    }
};

SPANWRIGHT_QT_TEST(LeavingTest);
#include "leaving_test.moc"
