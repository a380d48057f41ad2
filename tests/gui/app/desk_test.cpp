// SPDX-License-Identifier: MIT
// The window as a whole: opening, words, names for those who hear, letters, what it remembers.
#include <QAccessible>
#include <QAction>
#include <QFontMetrics>
#include <QHeaderView>
#include <QListWidget>
#include <QTabBar>

#include "gui/ink/palette.h"
#include "gui/views/cautions_foot.h"
#include "gui/views/first_screen.h"
#include "gui/views/grid_delegate.h"
#include "gui/views/neighbour_list.h"
#include "gui/views/plot_view.h"
#include "gui/views/plots_panel.h"
#include "gui/views/sentence_bar.h"
#include "gui/views/working_panel.h"
#include "tests/gui/app/desk_fixture.h"
#include "tests/gui/test_list.h"

using namespace spanwright;
using app::DeskWindow;
using models::GridModel;

namespace {

void collectNameless(QAccessibleInterface* node, QStringList& bad, int depth) {
    if (node == nullptr || depth > 12) return;
    const QAccessible::State state = node->state();
    if (state.invisible) return;
    // The layout of docks keeps a bar of tabs without any tab out of sight, for later.
    if (const auto* tabs = qobject_cast<const QTabBar*>(node->object()); tabs != nullptr && tabs->count() == 0) return;
    static const QList<QAccessible::Role> kNamed = {QAccessible::PushButton,   QAccessible::CheckBox, QAccessible::RadioButton, QAccessible::ComboBox,
                                                    QAccessible::EditableText, QAccessible::Table,    QAccessible::List,        QAccessible::PageTab,
                                                    QAccessible::PageTabList,  QAccessible::MenuItem};
    const auto* widget = qobject_cast<QWidget*>(node->object());
    const bool focusable = widget != nullptr && widget->focusPolicy() != Qt::NoFocus && widget->isVisible();
    if ((kNamed.contains(node->role()) || focusable) && node->text(QAccessible::Name).trimmed().isEmpty() && !state.disabled) {
        const QString type = node->object() != nullptr ? QString::fromLatin1(node->object()->metaObject()->className()) : QStringLiteral("cell");
        // A separator has no name; a scroll area's inner page gets its name from the area.
        if (node->role() != QAccessible::Separator) bad << QStringLiteral("%1 (role %2)").arg(type).arg(node->role());
    }
    // The cells of a large table are walked by the table's own test.
    for (int i = 0; i < std::min(node->childCount(), 60); ++i) collectNameless(node->child(i), bad, depth + 1);
}

} // namespace

class DeskTest : public QObject {
    Q_OBJECT

private Q_SLOTS:
    void aJobThatIsOpenedHasTheKeysInItsGrid() {
        Desk d;
        d.window->sentence().sentence().setFocus();
        QVERIFY(d.window->openFile(d.job()));
        QTRY_VERIFY(d.table().hasFocus());
        QVERIFY(d.window->gridView().current().isValid());
    }

    void whatARowIsIsSeenInWholeWords() {
        Desk d;
        const QString words = QStringLiteral("the span of the board from the middle of one bearing to the middle of the other, measured along it, ") +
                              QStringLiteral("as it lies when it is loaded, and not as it was drawn before anybody had seen the wall");
        std::string sheet = shelf::kSheet;
        sheet.replace(sheet.find("-- span"), 7, "-- " + words.toStdString());
        d.put(QStringLiteral("lib/shelf.spansheet"), sheet);
        QVERIFY(d.window->openFile(d.job()));
        const auto room = [&] {
            const QModelIndex what = d.at("S1", "L").siblingAtColumn(GridModel::WhatColumn);
            QTableView& names = d.window->gridView().names();
            const QFont small = ink::smallFont(ink::smallFont(names.font()));
            const QRect place(0, 0, names.columnWidth(GridModel::WhatColumn) - 12, 100000);
            return names.rowHeight(what.row()) - QFontMetrics(small).boundingRect(place, Qt::TextWordWrap, what.data().toString()).height();
        };
        QTRY_VERIFY(room() >= 0);
        const int before = d.window->gridView().names().rowHeight(d.at("S1", "L").row());
        QCOMPARE(d.table().rowHeight(d.at("S1", "L").row()), before);
        QVERIFY(before > d.table().rowHeight(d.at("S1", "b").row()));
        // Filtered, folded and with larger letters too.
        d.window->grid().setFilter(GridModel::Filter::ToState);
        QTRY_VERIFY(room() >= 0);
        d.window->grid().setFilter(GridModel::Filter::All);
        d.window->setLetters(200);
        QTRY_VERIFY(room() >= 0);
        QTRY_VERIFY(d.window->gridView().names().rowHeight(d.at("S1", "L").row()) > before);
        QTRY_VERIFY(room() >= 0);
        d.window->setLetters(100);
    }

    void wordsThatStandAsTheyStoodAreNotMeasuredAnew() {
        Desk d;
        auto* delegate = qobject_cast<views::GridDelegate*>(d.window->gridView().names().itemDelegate());
        QVERIFY(delegate != nullptr);
        QTest::qWait(100);
        const std::size_t before = delegate->measured();
        QVERIFY(before > 5);
        // A row of the sheet says something else: the grid is laid out anew, and one row of it is measured.
        std::string text = std::string(shelf::kSheet);
        text.replace(text.find("-- breadth"), 10, "-- width  ");
        d.put(QStringLiteral("lib/shelf.spansheet"), text);
        QVERIFY(d.window->openFile(d.job()));
        QTest::qWait(100);
        QCOMPARE(delegate->measured(), before + 1);
        d.window->setLetters(150);
        QTest::qWait(100);
        QVERIFY(delegate->measured() <= before);
        d.window->setLetters(100);
    }

    void opensAndSaysHowItStands() {
        Desk d;
        QVERIFY(d.window->windowTitle().startsWith(QStringLiteral("Trial")));
        QVERIFY(d.window->sentence().sentence().toolTip().contains(QStringLiteral("1 value not stated")));
        QVERIFY(d.window->cautions().isVisible());
        QVERIFY(d.window->cautions().text().contains(QStringLiteral("For trials only.")));
        QVERIFY(!d.window->action(QStringLiteral("save"))->isEnabled());
    }

    void everythingHasAName() {
        Desk d;
        d.go("S1", "bending");
        QStringList bad;
        collectNameless(QAccessible::queryAccessibleInterface(d.window.get()), bad, 0);
        bad.removeDuplicates();
        QVERIFY2(bad.isEmpty(), qPrintable(bad.join(QStringLiteral(", "))));
        // Cells are read with member, meaning and value.
        QVERIFY(d.at("S1", "L").data(Qt::AccessibleTextRole).toString().contains(QStringLiteral("S1, span, 1.2 m")));
    }

    void everythingIsReachedByTab() {
        Desk d;
        d.go("S1", "bending");
        QSet<QWidget*> reached;
        for (int i = 0; i < 30; ++i) {
            reached.insert(QApplication::focusWidget());
            QTest::keyClick(QApplication::focusWidget(), Qt::Key_Tab);
        }
        for (QWidget* w :
             std::initializer_list<QWidget*>{&d.table(), &d.window->sentence().sentence(), &d.window->working().comesFrom(), &d.window->working().feeds()})
            QVERIFY2(reached.contains(w) || !w->isVisible(), w->metaObject()->className());
        QVERIFY(reached.size() >= 6);
    }

    void largeLettersAndDarkPaperClipNothing() {
        Desk d;
        d.window->setLetters(200);
        d.window->setTheme(app::Theme::Dark);
        QTest::qWait(50);
        const QFontMetrics fm(d.table().font());
        QVERIFY(d.table().rowHeight(0) >= fm.height() * 1.5);
        QVERIFY(d.table().palette().color(QPalette::Base).lightness() < 80);
        QVERIFY(d.window->minimumSizeHint().width() <= 1280);
        QVERIFY(d.window->minimumSizeHint().height() <= 720);
        d.window->setLetters(100);
        d.window->setTheme(app::Theme::Light);
    }

    void valuesAreInSightHoweverLittleRoomThereIs() {
        Desk d;
        d.go("S1", "L");
        d.window->resize(1900, 900);
        d.window->setLetters(200);
        QTest::qWait(100);
        d.window->resize(1280, 720);
        // The column of the member is seen to where its values stand.
        const auto right = [&] { return d.table().visualRect(d.at("S1", "L")).right(); };
        QTRY_VERIFY2(right() <= d.table().viewport()->width(), qPrintable(QStringLiteral("%1 of %2").arg(right()).arg(d.table().viewport()->width())));
        d.window->setLetters(100);
        // And where members leave room, the words of the rows have it.
        d.window->action(QStringLiteral("showWorking"))->trigger();
        d.window->action(QStringLiteral("showDiagrams"))->trigger();
        d.window->resize(1900, 900);
        QTableView& names = d.window->gridView().names();
        QTRY_VERIFY(names.width() > names.fontMetrics().averageCharWidth() * 70);
        QVERIFY(d.table().horizontalHeader()->length() <= d.table().viewport()->width());
    }

    void remembersTheWindow() {
        Desk d;
        d.window->resize(1111, 700);
        QTest::qWait(50);
        d.window->action(QStringLiteral("theme1"))->trigger();
        d.window->close();
        d.window = std::make_unique<DeskWindow>(d.library(), d.dir.filePath(QStringLiteral("journal")));
        QCOMPARE(d.window->width(), 1111);
        QVERIFY(d.window->action(QStringLiteral("theme1"))->isChecked());
    }

    void withoutAFileItOffersTheReadySheets() {
        Desk d;
        DeskWindow empty(d.library(), d.dir.filePath(QStringLiteral("journal")));
        empty.show();
        QVERIFY(QTest::qWaitForWindowExposed(&empty));
        empty.first().chooseAnySheet();
        QVERIFY(empty.first().rules().isVisible());
        QCOMPARE(empty.first().rules().count(), 2);
    }

    void diagramsReadOutUnderThePointer() {
        Desk d;
        d.go("S1", "M");
        d.window->plots().refresh(true);
        QCOMPARE(d.window->plots().plots().size(), std::size_t(1));
        views::PlotView* plot = d.window->plots().plots().front();
        // 2*0.4*1.2*1.2/8 = 0.144 kN·m at midspan.
        QVERIFY2(plot->accessibleName().contains(QStringLiteral("0.144 kN·m")), qPrintable(plot->accessibleName()));
        plot->setFocus();
        QTest::keyClick(plot, Qt::Key_Right);
        QVERIFY2(plot->readOut().contains(QStringLiteral("x = 0 m")), qPrintable(plot->readOut()));
        for (int i = 0; i < 200 && !plot->readOut().startsWith(QStringLiteral("x = 0.6 m")); ++i) QTest::keyClick(plot, Qt::Key_Right);
        QVERIFY2(plot->readOut().contains(QStringLiteral("x = 0.6 m")) && plot->readOut().contains(QStringLiteral("0.144")), qPrintable(plot->readOut()));
    }
};

SPANWRIGHT_QT_TEST(DeskTest);
#include "desk_test.moc"
