// SPDX-License-Identifier: MIT
// Ticks and remarks in the window: left, answered, counted, filtered, and taken back.
#include <QAction>
#include <QLineEdit>
#include <QListWidget>
#include <QPushButton>
#include <QSignalSpy>
#include <QUndoStack>

#include "gui/app/dialogs.h"
#include "gui/app/sheet_dialogs.h"
#include "gui/views/working_panel.h"
#include "tests/gui/app/desk_fixture.h"
#include "tests/gui/test_list.h"

using namespace spanwright;
using app::RemarkDialog;
using models::GridModel;

namespace {

void fill(RemarkDialog& dialog, const QString& words, const QString& by, const QString& on) {
    // In the order of the form: words, initials, date.
    const auto lines = dialog.findChildren<QLineEdit*>();
    for (QLineEdit* line : lines) line->clear();
    for (QLineEdit* line : lines) {
        if (line->minimumWidth() > 0) line->setText(words);
    }
    QStringList rest{by, on};
    for (QLineEdit* line : lines)
        if (line->text().isEmpty() && !rest.isEmpty()) line->setText(rest.takeFirst());
    dialog.accept();
}

} // namespace

class ReviewTest : public QObject {
    Q_OBJECT

private Q_SLOTS:
    void aRemarkIsLeftAnsweredAndTakenOut() {
        LibraryDesk d;
        d.go("S1", "M");
        QSignalSpy changed(&d.window->grid(), &QAbstractItemModel::dataChanged);
        LibraryDesk::inDialog<RemarkDialog>(
            [](RemarkDialog& dialog) { fill(dialog, QStringLiteral("is that the clear span?"), QStringLiteral("CD"), QStringLiteral("2026-05-05")); });
        QTest::keyClick(d.window.get(), Qt::Key_M, Qt::ControlModifier);
        QVERIFY2(d.text().endsWith(QStringLiteral("remark  S1.M by CD on 2026-05-05: is that the clear span?\n")), qPrintable(d.text()));
        // Just that cell is shown differently.
        QCOMPARE(changed.count(), 1);
        QCOMPARE(changed.first().at(0).toModelIndex(), d.at("S1", "M"));
        QCOMPARE(changed.first().at(1).toModelIndex(), d.at("S1", "M"));
        QCOMPARE(d.at("S1", "M").data(GridModel::RemarkRole).toInt(), int(GridModel::Remark::Open));
        QVERIFY(d.at("S1", "M").data(Qt::ToolTipRole).toString().contains(QStringLiteral("is that the clear span?")));
        QVERIFY(d.at("S1", "M").data(Qt::AccessibleTextRole).toString().contains(QStringLiteral("a remark is open")));
        QCOMPARE(d.window->working().remarks().count(), 1);
        QVERIFY(d.window->working().remarks().isVisible());
        QVERIFY(d.window->reviewInWords().contains(QStringLiteral("1 remark open")));

        // Answered from beside the grid, by key.
        d.window->working().remarks().setCurrentRow(0);
        d.window->working().remarks().setFocus();
        LibraryDesk::inDialog<RemarkDialog>(
            [](RemarkDialog& dialog) { fill(dialog, QStringLiteral("yes"), QStringLiteral("AB"), QStringLiteral("2026-05-06")); });
        QTest::keyClick(&d.window->working().remarks(), Qt::Key_Return);
        QVERIFY(d.text().endsWith(QStringLiteral("answer  S1.M by AB on 2026-05-06: yes\n")));
        QCOMPARE(d.at("S1", "M").data(GridModel::RemarkRole).toInt(), int(GridModel::Remark::Answered));
        QVERIFY(!d.window->reviewInWords().contains(QStringLiteral("open")));
        QCOMPARE(d.window->working().remarks().count(), 2);

        // Filtered: the row that is remarked on and no other.
        QTest::keyClick(d.window.get(), Qt::Key_8, Qt::ControlModifier);
        QCOMPARE(d.window->grid().filter(), GridModel::Filter::Remarked);
        QCOMPARE(d.window->grid().rowCount(), 2); // its heading and itself
        d.go("S1", "M");
        d.run("removeRemark");
        QVERIFY(!d.text().contains(QStringLiteral("remark")));
        QVERIFY(!d.text().contains(QStringLiteral("answer")));
        QCOMPARE(d.window->grid().rowCount(), 0);
        while (d.window->session().undoStack().canUndo()) d.window->session().undoStack().undo();
        QCOMPARE(d.text(), QString::fromLatin1(shelf::kJob));
    }

    void ticksAreCountedFilteredAndSayWhatChangedSince() {
        LibraryDesk d;
        d.go("S1", "M");
        LibraryDesk::inDialog<app::TickDialog>([](app::TickDialog& dialog) {
            const auto lines = dialog.findChildren<QLineEdit*>();
            lines[0]->setText(QStringLiteral("CD"));
            lines[1]->setText(QStringLiteral("2026-05-05"));
            dialog.accept();
        });
        QTest::keyClick(d.window.get(), Qt::Key_T, Qt::ControlModifier);
        QVERIFY(d.window->reviewInWords().startsWith(QStringLiteral("1 of ")));
        // What is not ticked: all that has a value, but for S1.M where both members count.
        QTest::keyClick(d.window.get(), Qt::Key_6, Qt::ControlModifier);
        QCOMPARE(d.window->grid().filter(), GridModel::Filter::Unticked);
        QVERIFY(d.at("S1", "R").isValid());
        QTest::keyClick(d.window.get(), Qt::Key_7, Qt::ControlModifier);
        QCOMPARE(d.window->grid().rowCount(), 0);
        QVERIFY(!d.window->session().setValue(*d.window->session().find("S1", "L"), QStringLiteral("1.3 m")));
        QCOMPARE(d.window->grid().rowCount(), 2); // the filter follows the edit
        QCOMPARE(d.at("S1", "M").data(GridModel::TickRole).toInt(), int(GridModel::Tick::OutOfDate));
        QVERIFY(d.at("S1", "M").data(Qt::ToolTipRole).toString().contains(QStringLiteral("stated values")));
        QVERIFY(d.window->reviewInWords().contains(QStringLiteral("1 tick out of date")));
        d.go("S1", "M");
        d.run("removeTick");
        QCOMPARE(d.window->grid().rowCount(), 0);
        QVERIFY(!d.text().contains(QStringLiteral("tick")));
    }

    void aRemarkWithoutWordsCannotBeLeft() {
        LibraryDesk d;
        d.go("S1", "M");
        LibraryDesk::inDialog<RemarkDialog>([](RemarkDialog& dialog) {
            bool any = false;
            for (const QPushButton* b : dialog.findChildren<QPushButton*>()) any = any || (b->text() == QStringLiteral("Leave it") && b->isEnabled());
            QVERIFY(!any);
            dialog.reject();
        });
        d.run("remark");
        QCOMPARE(d.text(), QString::fromLatin1(shelf::kJob));
    }
};

SPANWRIGHT_QT_TEST(ReviewTest);
#include "review_test.moc"
