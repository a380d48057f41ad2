// SPDX-License-Identifier: MIT
// Ways through a job: from what is wrong, from value to value, by words; folding and filters.
#include <QAction>
#include <QLineEdit>
#include <QListView>
#include <QMenu>
#include <QScopeGuard>
#include <QTabBar>
#include <QTextBlock>
#include <QToolButton>

#include "gui/app/dialogs.h"
#include "gui/editor/text_view.h"
#include "gui/views/neighbour_list.h"
#include "gui/views/sentence_bar.h"
#include "gui/views/working_panel.h"
#include "tests/gui/app/desk_fixture.h"
#include "tests/gui/test_list.h"

using namespace spanwright;
using models::GridModel;

class DeskWaysTest : public QObject {
    Q_OBJECT

private Q_SLOTS:
    void sentenceLeadsToWhatIsWrong() {
        Desk d;
        d.go("S1", "L");
        QTest::keyClick(d.window.get(), Qt::Key_F8);
        QCOMPARE(d.window->gridView().current(), d.at("S2", "wood"));
        d.go("S1", "L");
        d.window->sentence().sentence().click();
        QVERIFY(d.window->sentence().list().isVisible());
        QTest::keyClick(&d.window->sentence().list(), Qt::Key_Return);
        QCOMPARE(d.window->gridView().current(), d.at("S2", "wood"));
    }

    void whatIsWrongWithATextOpensTheText() {
        Desk d;
        d.put(QStringLiteral("job.spanjob"), std::string(shelf::kJob) + "trial   reach S7.L -- how long\n");
        QVERIFY(d.window->openFile(d.job()));
        QTRY_VERIFY(d.window->sentence().sentence().toolTip().contains(QStringLiteral("1 trial cannot be worked out")));
        QVERIFY(!d.window->text().isVisible());
        d.window->sentence().setOpen(true);
        QListView& list = d.window->sentence().list();
        QTest::keyClick(&list, Qt::Key_End);
        QVERIFY2(list.currentIndex().data().toString().contains(QStringLiteral("S7")), qPrintable(list.currentIndex().data().toString()));
        QTest::keyClick(&list, Qt::Key_Return);
        QVERIFY(d.window->text().isVisible());
        QTRY_VERIFY(d.window->text().view().hasFocus());
        QVERIFY(d.window->text().view().textCursor().block().text().startsWith(QStringLiteral("trial   reach S7.L")));
        // Put right there.
        QTextCursor cursor = d.window->text().view().textCursor();
        cursor.setPosition(cursor.block().position() + static_cast<int>(qstrlen("trial   reach S")));
        d.window->text().view().setTextCursor(cursor);
        d.key(Qt::Key_Delete);
        d.keys(QStringLiteral("1"));
        QTRY_VERIFY(!d.window->sentence().sentence().toolTip().contains(QStringLiteral("trial")));
    }

    void allSheetsAreInAMenuWhereTheTabsHaveNoRoom() {
        Desk d;
        auto* list = d.window->findChild<QToolButton*>(QStringLiteral("sheetList"));
        auto* tabs = d.window->findChild<QTabBar*>(QStringLiteral("sheets"));
        QVERIFY(list != nullptr && tabs != nullptr);
        QVERIFY(!list->isVisible()); // three short names
        d.window->setLetters(300);
        d.window->resize(700, 700);
        QTRY_VERIFY(list->isVisible());
        d.run("chooseSheet");
        QTRY_VERIFY(list->menu()->isVisible());
        QCOMPARE(list->menu()->actions().size(), tabs->count());
        QVERIFY(list->menu()->actions()[1]->text().startsWith(QStringLiteral("post")));
        list->menu()->actions()[1]->trigger();
        list->menu()->close();
        QCOMPARE(tabs->currentIndex(), 1);
        QCOMPARE(d.window->grid().group(), std::size_t{1});
        d.window->setLetters(100);
        d.window->resize(1280, 800);
        QTRY_VERIFY(!list->isVisible());
    }

    void followsAValueToItsSource() {
        Desk d;
        d.go("S1", "bending");
        QVERIFY(d.window->working().shownText().contains(QStringLiteral("σ")));
        views::NeighbourList& from = d.window->working().comesFrom();
        QVERIFY(from.count() >= 2);
        int stress = -1;
        for (int i = 0; i < from.count(); ++i)
            if (from.text(i).startsWith(QStringLiteral("σ"))) stress = i;
        QVERIFY(stress >= 0);
        from.setCurrentIndex(from.model()->index(stress, 0));
        from.setFocus();
        QTest::keyClick(&from, Qt::Key_Return);
        QCOMPARE(d.window->gridView().current(), d.at("S1", "sigma"));
        QTest::keyClick(d.window.get(), Qt::Key_Left, Qt::AltModifier);
        QCOMPARE(d.window->gridView().current(), d.at("S1", "bending"));
        QTest::keyClick(d.window.get(), Qt::Key_Right, Qt::AltModifier);
        QCOMPARE(d.window->gridView().current(), d.at("S1", "sigma"));
        // One key goes down from the check to what was stated, into other members too.
        d.go("P1", "crushing");
        QStringList seen;
        for (int i = 0; i < 8; ++i) {
            QTest::keyClick(d.window.get(), Qt::Key_F7);
            const auto cell = d.window->gridView().currentCell();
            seen << QString::fromStdString(d.window->session().job().member(cell->member).mark + "." + d.window->session().quantity(*cell).name);
        }
        QVERIFY2(seen.contains(QStringLiteral("S1.L")), qPrintable(seen.join(QStringLiteral(" "))));
        QVERIFY(d.window->working().shownText().contains(QStringLiteral("S1")) || d.window->working().shownText().contains(QStringLiteral("P1")));
    }

    void goesToAnyValueByItsWords() {
        Desk d;
        d.go("S1", "L");
        Desk::inDialog<app::FindDialog>([](app::FindDialog& dialog) {
            const auto closed = qScopeGuard([&dialog] {
                if (dialog.isVisible()) dialog.reject();
            });
            auto* line = dialog.findChild<QLineEdit*>();
            auto* list = dialog.findChild<QListView*>();
            QTRY_VERIFY(line->hasFocus());
            QVERIFY(list->model()->rowCount() > 20);
            QTest::keyClicks(line, QStringLiteral("strength post"));
            QCOMPARE(list->model()->rowCount(), 0);
            line->clear();
            QTest::keyClicks(line, QStringLiteral("strength P1"));
            QCOMPARE(list->model()->rowCount(), 1);
            line->clear();
            QTest::keyClicks(line, QStringLiteral("bending"));
            QVERIFY(list->model()->rowCount() >= 2);
            QTest::keyClick(line, Qt::Key_Down);
            QTest::keyClick(line, Qt::Key_Return);
        });
        QTest::keyClick(d.window.get(), Qt::Key_F, Qt::ControlModifier);
        QCOMPARE(d.window->gridView().current(), d.at("S2", "bending"));
        QVERIFY(d.window->focusWidget() == &d.table());
        d.window->action(QStringLiteral("back"))->trigger();
        QCOMPARE(d.window->gridView().current(), d.at("S1", "L"));
    }

    void foldsOpensAndFilters() {
        Desk d;
        d.go("S1", "M");
        QTest::keyClick(&d.table(), Qt::Key_Space);
        const int row = d.at("S1", "M").row();
        QCOMPARE(d.window->grid().index(row + 1, GridModel::WhatColumn).data().toString(), QStringLiteral("rest"));
        QTest::keyClick(d.window.get(), Qt::Key_2, Qt::ControlModifier);
        QCOMPARE(d.window->grid().filter(), GridModel::Filter::Checks);
        QTest::keyClick(d.window.get(), Qt::Key_1, Qt::ControlModifier);
        d.window->action(QStringLiteral("foldAll"))->trigger();
        QCOMPARE(d.window->grid().rowCount(), 3); // Board, Load, Stiffener: a part with nothing but a diagram has no row
        // The heading stands for what it hides; unfolding and filters lead back to it.
        QCOMPARE(d.table().currentIndex().data(GridModel::SortRole).toInt(), static_cast<int>(models::GridRow::Sort::Part));
        d.window->action(QStringLiteral("unfoldAll"))->trigger();
        QCOMPARE(d.window->gridView().current(), d.at("S1", "M"));
        d.window->action(QStringLiteral("foldAll"))->trigger();
        // A jump unfolds.
        d.go("S1", "R");
        QCOMPARE(d.window->gridView().current(), d.at("S1", "R"));
    }

    void whatIsOpenedIsSeen() {
        Desk d;
        d.window->resize(1280, 430);
        QTest::qWait(50);
        d.go("S1", "b");
        const auto isSeen = [&](int row) {
            const QRect at = d.table().visualRect(d.window->grid().index(row, GridModel::FirstMember));
            return at.isValid() && d.table().viewport()->rect().contains(at);
        };
        // At the foot of what is seen.
        d.table().scrollTo(d.at("S1", "M"), QAbstractItemView::PositionAtBottom);
        d.table().setCurrentIndex(d.at("S1", "M"));
        const int row = d.at("S1", "M").row();
        QVERIFY(isSeen(row) && !isSeen(row + 2));
        d.key(Qt::Key_Space);
        QCOMPARE(d.window->grid().rowAt(row + 2).sort, models::GridRow::Sort::Case);
        QVERIFY(isSeen(row) && isSeen(row + 1) && isSeen(row + 2));
    }

    void aFilterLeavesAValueSelectedWhoseWorkingIsShown() {
        Desk d;
        const auto press = [&](Qt::Key k) { QTest::keyClick(d.window.get(), k, Qt::ControlModifier); };
        const auto name = [&] {
            const auto cell = d.window->gridView().currentCell();
            return cell ? QString::fromStdString(d.window->session().quantity(*cell).name) : QStringLiteral("a heading");
        };
        // Shown by the filter too: it stays selected, whatever rows go around it.
        d.go("S2", "slender");
        press(Qt::Key_2);
        QCOMPARE(d.window->gridView().current(), d.at("S2", "slender"));
        press(Qt::Key_1);
        QCOMPARE(d.window->gridView().current(), d.at("S2", "slender"));
        // Hidden by it: the first value that is shown, with its working, in the same member.
        d.go("S2", "h");
        press(Qt::Key_2);
        QCOMPARE(name(), QStringLiteral("bending"));
        QCOMPARE(d.window->gridView().current(), d.at("S2", "bending"));
        QVERIFY(d.window->working().shownText().contains(QStringLiteral("bending strength")));
        press(Qt::Key_3);
        QCOMPARE(name(), QStringLiteral("L"));
        // Back at what was worked on, since nobody went elsewhere meanwhile.
        press(Qt::Key_1);
        QCOMPARE(d.window->gridView().current(), d.at("S2", "h"));
        // Gone elsewhere meanwhile: there it stays.
        press(Qt::Key_2);
        d.key(Qt::Key_Down);
        const QString gone = name();
        QVERIFY(gone != QStringLiteral("a heading"));
        press(Qt::Key_1);
        QCOMPARE(name(), gone);
        // A heading that was selected is no value either.
        d.table().setCurrentIndex(d.window->grid().index(0, GridModel::FirstMember));
        QCOMPARE(name(), QStringLiteral("a heading"));
        press(Qt::Key_2);
        QVERIFY(name() != QStringLiteral("a heading"));
        // No rows at all, and back.
        press(Qt::Key_1);
        d.go("S1", "b");
        press(Qt::Key_8);
        QCOMPARE(d.window->grid().rowCount(), 0);
        press(Qt::Key_1);
        QCOMPARE(d.window->gridView().current(), d.at("S1", "b"));
        // Folding is done at the heading, which stays.
        d.table().setCurrentIndex(d.window->grid().index(0, GridModel::FirstMember));
        d.key(Qt::Key_Space);
        QCOMPARE(d.table().currentIndex().row(), 0);
        QVERIFY(d.table().currentIndex().data(GridModel::FoldedRole).toBool());
    }
};

SPANWRIGHT_QT_TEST(DeskWaysTest);
#include "desk_ways_test.moc"
