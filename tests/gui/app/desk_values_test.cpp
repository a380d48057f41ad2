// SPDX-License-Identifier: MIT
// Values in the window by key: stated, refused, chosen, copied, linked, ticked; members copied and counted.
#include <QAction>
#include <QClipboard>
#include <QFile>
#include <QLabel>
#include <QLineEdit>

#include "gui/app/dialogs.h"
#include "gui/models/job_values.h"
#include "gui/views/sentence_bar.h"
#include "gui/views/working_panel.h"
#include "tests/gui/app/desk_fixture.h"
#include "tests/gui/test_list.h"

using namespace spanwright;
using models::GridModel;

class DeskValuesTest : public QObject {
    Q_OBJECT

private Q_SLOTS:
    void fillsInByKey() {
        Desk d;
        d.go("S1", "L");
        d.keys(QStringLiteral("2"));
        QVERIFY(d.editor() != nullptr);
        d.keys(QStringLiteral(".4"));
        d.key(Qt::Key_Return);
        QTRY_COMPARE(d.at("S1", "L").data().toString(), QStringLiteral("2.4"));
        QVERIFY(d.text().contains(QStringLiteral("L = 2.4 m")));
        QVERIFY(d.window->isWindowModified());
        QTRY_VERIFY(d.table().hasFocus());
        QTest::keyClick(d.window.get(), Qt::Key_S, Qt::ControlModifier);
        QTRY_VERIFY(!d.window->isWindowModified());
        QFile file(d.job());
        QVERIFY(file.open(QIODevice::ReadOnly));
        QVERIFY(file.readAll().contains("L = 2.4 m"));
    }

    void refusesInTheCellAndKeepsWhatWasTyped() {
        Desk d;
        d.go("S1", "L");
        d.key(Qt::Key_Return);
        QVERIFY(d.editor() != nullptr);
        auto* line = d.editor()->findChild<QLineEdit*>();
        line->selectAll();
        QTest::keyClicks(line, QStringLiteral("2 kg"));
        QTest::keyClick(line, Qt::Key_Return);
        QVERIFY2(d.editor() != nullptr && d.editor()->isVisible(), "the editor stays open");
        QCOMPARE(line->text(), QStringLiteral("2 kg"));
        auto* reason = d.editor()->findChild<QLabel*>();
        QVERIFY(reason->isVisible());
        QVERIFY2(reason->text().contains(QStringLiteral("kg")), qPrintable(reason->text()));
        QVERIFY2(d.table().viewport()->rect().contains(d.editor()->geometry()), "the reason is seen whole");
        QCOMPARE(d.at("S1", "L").data().toString(), QStringLiteral("1.2"));
        QVERIFY(!d.window->isWindowModified());
        // Put right in place.
        line->selectAll();
        QTest::keyClicks(line, QStringLiteral("4 ft 6 in"));
        QVERIFY(!reason->isVisible());
        QTest::keyClick(line, Qt::Key_Return);
        QTRY_VERIFY(d.text().contains(QStringLiteral("L = 4 ft 6 in")));
        // Left instead of put right, the text waits at the cell.
        d.go("S1", "b");
        d.key(Qt::Key_F2);
        line = d.editor()->findChild<QLineEdit*>();
        line->setText(QStringLiteral("1,200"));
        d.window->sentence().sentence().setFocus();
        QTRY_COMPARE(d.at("S1", "b").data(GridModel::RefusedRole).toString(), QStringLiteral("1,200"));
        QCOMPARE(d.at("S1", "b").data().toString(), QStringLiteral("200"));
        // Given up with Escape, nothing of it stays.
        d.go("S1", "b");
        d.window->gridView().setFocus();
        d.key(Qt::Key_F2);
        QTRY_VERIFY(d.editor() != nullptr);
        QTest::keyClick(d.editor()->focusProxy(), Qt::Key_Escape);
        QVERIFY(!d.at("S1", "b").data(GridModel::RefusedRole).isValid());
    }

    void choosesFromTheTablesRows() {
        Desk d;
        d.go("S2", "wood");
        d.key(Qt::Key_Return);
        auto* choice = qobject_cast<views::ChoiceEditor*>(d.editor());
        QVERIFY(choice != nullptr);
        QCOMPARE(choice->table()->model()->columnCount(), 3);
        QTest::keyClick(choice->table(), Qt::Key_Down);
        QTest::keyClick(choice->table(), Qt::Key_Return);
        QTRY_COMPARE(d.at("S2", "wood").data().toString(), QStringLiteral("hard"));
        QVERIFY(d.window->sentence().sentence().toolTip().contains(QStringLiteral("All 3 members are OK")));
    }

    void valuesOfTheWholeJobAreTypedAtOnce() {
        Desk d;
        d.run("previousSheet"); // from the first to the last tab
        auto* table = qobject_cast<QTableView*>(QApplication::focusWidget());
        for (QTableView* t : d.window->findChildren<QTableView*>())
            if (t->accessibleName() == QStringLiteral("Values of the whole job")) table = t;
        QVERIFY(table != nullptr && table->isVisible());
        table->setFocus();
        QCOMPARE(table->currentIndex().column(), static_cast<int>(models::JobValues::ValueColumn));
        d.key(Qt::Key_F2);
        d.keys(QStringLiteral("0.5 kN/m"));
        d.key(Qt::Key_Return);
        QVERIFY(d.text().contains(QStringLiteral("q_all [kN/m] = 0.5 kN/m")));
        // Another sheet and back: there again, wherever it stood.
        table->setCurrentIndex(table->model()->index(0, 0));
        d.run("nextSheet");
        d.run("previousSheet");
        QCOMPARE(table->currentIndex().column(), static_cast<int>(models::JobValues::ValueColumn));
    }

    void adaptsToAnotherMember() {
        Desk d;
        d.go("S1", "L");
        QTest::keyClick(d.window.get(), Qt::Key_D, Qt::ControlModifier);
        QVERIFY(d.window->session().job().memberByMark("S3").has_value());
        QCOMPARE(d.window->gridView().current(), d.at("S3", "L"));
        d.keys(QStringLiteral("3"));
        d.key(Qt::Key_Return);
        QTRY_COMPARE(d.at("S3", "L").data().toString(), QStringLiteral("3"));
        QCOMPARE(d.at("S1", "L").data().toString(), QStringLiteral("1.2"));
        Desk::inDialog<QDialog>([](QDialog& dialog) {
            dialog.findChild<QLineEdit*>()->setText(QStringLiteral("12"));
            dialog.accept();
        });
        d.window->action(QStringLiteral("setCount"))->trigger();
        const auto member = d.window->session().job().memberByMark("S3");
        QCOMPARE(d.window->session().job().member(*member).count, 12.0);
        Desk::inDialog<QDialog>([](QDialog& dialog) {
            dialog.findChild<QLineEdit*>()->setText(QStringLiteral("T9"));
            dialog.accept();
        });
        d.window->action(QStringLiteral("renameMember"))->trigger();
        QVERIFY(d.window->session().job().memberByMark("T9").has_value());
        // All of it can be undone, back to the first byte.
        while (d.window->session().undoStack().canUndo()) QTest::keyClick(d.window.get(), Qt::Key_Z, Qt::ControlModifier);
        QCOMPARE(d.text(), QString::fromLatin1(shelf::kJob));
        QVERIFY(!d.window->isWindowModified());
    }

    void linksAndBreaksTheLink() {
        Desk d;
        d.go("P1", "N");
        Desk::inDialog<app::LinkDialog>([](app::LinkDialog& dialog) {
            dialog.findChild<QLineEdit*>()->setText(QStringLiteral("S2"));
            dialog.accept();
        });
        QTest::keyClick(d.window.get(), Qt::Key_L, Qt::ControlModifier);
        QVERIFY(d.text().contains(QStringLiteral("N = S2.R")));
        QCOMPARE(d.at("P1", "N").data(GridModel::LinkRole).toString(), QStringLiteral("S2.R"));
        d.window->action(QStringLiteral("followLink"))->trigger();
        QCOMPARE(d.window->gridView().current(), d.at("S2", "R"));
        d.go("P1", "N");
        d.window->action(QStringLiteral("breakLink"))->trigger();
        QVERIFY(d.text().contains(QStringLiteral("N = 0.45 kN")));
        // A link to a value of the whole job leads there.
        d.go("S1", "q");
        d.window->action(QStringLiteral("followLink"))->trigger();
        const auto* values = qobject_cast<QTableView*>(QApplication::focusWidget());
        QVERIFY(values != nullptr && values->accessibleName() == QStringLiteral("Values of the whole job"));
        QCOMPARE(values->currentIndex().data().toString(), QStringLiteral("0.4 kN/m"));
    }

    void ticksAndSeesTheTickGoOutOfDate() {
        Desk d;
        d.go("S1", "R");
        Desk::inDialog<app::TickDialog>([](app::TickDialog& dialog) {
            const auto lines = dialog.findChildren<QLineEdit*>();
            lines[0]->setText(QStringLiteral("AB"));
            lines[1]->setText(QStringLiteral("2026-05-04"));
            dialog.accept();
        });
        QTest::keyClick(d.window.get(), Qt::Key_T, Qt::ControlModifier);
        QCOMPARE(d.at("S1", "R").data(GridModel::TickRole).toInt(), int(GridModel::Tick::Current));
        QVERIFY(d.text().contains(QStringLiteral("tick    S1.R by AB on 2026-05-04")));
        QVERIFY(!d.window->session().setValue(*d.window->session().find("S1", "L"), QStringLiteral("2 m")));
        QCOMPARE(d.at("S1", "R").data(GridModel::TickRole).toInt(), int(GridModel::Tick::OutOfDate));
        QVERIFY(d.window->working().shownText().contains(QStringLiteral("out of date")));
    }

    void copiesAndPastesAsText() {
        Desk d;
        d.go("S1", "L");
        QTest::keyClick(d.window.get(), Qt::Key_C, Qt::ControlModifier);
        QCOMPARE(QApplication::clipboard()->text(), QStringLiteral("1.2 m\n"));
        d.go("S2", "L");
        QTest::keyClick(d.window.get(), Qt::Key_V, Qt::ControlModifier);
        QCOMPARE(d.at("S2", "L").data().toString(), QStringLiteral("1.2"));
    }
};

SPANWRIGHT_QT_TEST(DeskValuesTest);
#include "desk_values_test.moc"
