// SPDX-License-Identifier: MIT
// Tasks done as a person does them, by key, in a real window.
#include <QAccessible>
#include <QAction>
#include <QApplication>
#include <QClipboard>
#include <QDir>
#include <QLineEdit>
#include <QListView>
#include <QListWidget>
#include <QMessageBox>
#include <QPushButton>
#include <QScopeGuard>
#include <QSettings>
#include <QSignalSpy>
#include <QTabBar>
#include <QTemporaryDir>
#include <QTest>
#include <QTimer>

#include "gui/app/desk_window.h"
#include "gui/app/dialogs.h"
#include "gui/ink/box_layout.h"
#include "gui/ink/palette.h"
#include "gui/views/cautions_foot.h"
#include "gui/views/cell_editor.h"
#include "gui/views/first_screen.h"
#include "gui/views/grid_view.h"
#include "gui/views/plot_view.h"
#include "gui/views/plots_panel.h"
#include "gui/views/sentence_bar.h"
#include "gui/views/working_panel.h"
#include "tests/gui/shelf_job.h"
#include "tests/gui/test_list.h"

using namespace spanwright;
using app::DeskWindow;
using models::GridModel;

namespace {

/// A window on the trial job, in a folder of its own.
struct Desk {
    QTemporaryDir dir;
    std::unique_ptr<DeskWindow> window;

    Desk() {
        QSettings().clear();
        put(QStringLiteral("job.spanjob"), shelf::kJob);
        put(QStringLiteral("shelf.spansheet"),
            std::string(shelf::kSheet) + "part    Diagram\nplot    load.Q*q*x*(L - x)/2 [kN*m], x from 0 m to L -- moment along the board\n");
        put(QStringLiteral("post.spansheet"), shelf::kOther);
        start();
    }
    void start() {
        window = std::make_unique<DeskWindow>(dir.path(), dir.filePath(QStringLiteral("journal")));
        window->openFile(job());
        window->resize(1280, 720);
        window->show();
        QVERIFY(QTest::qWaitForWindowExposed(window.get()));
        window->activateWindow();
        window->gridView().setFocus();
        QTRY_VERIFY(window->gridView().members().hasFocus());
    }
    void put(const QString& name, const std::string& bytes) {
        io::Disk disk;
        QVERIFY(disk.write(dir.filePath(name).toStdString(), bytes).ok());
    }
    [[nodiscard]] QString job() const { return dir.filePath(QStringLiteral("job.spanjob")); }
    [[nodiscard]] QString text() { return QString::fromStdString(window->session().job().text(job().toStdString()).value_or("")); }
    [[nodiscard]] QModelIndex at(const char* mark, const char* name) { return window->grid().indexOf(*window->session().find(mark, name)); }
    void go(const char* mark, const char* name) { QVERIFY(window->goTo({mark, name})); }
    QTableView& table() { return window->gridView().members(); }
    /// What has the focus: the table, or the editor in it.
    void keys(const QString& text) { QTest::keyClicks(QApplication::focusWidget(), text); }
    void key(Qt::Key k, Qt::KeyboardModifiers m = Qt::NoModifier) { QTest::keyClick(QApplication::focusWidget(), k, m); }
    /// The editor that is open; one that is done goes a little later.
    [[nodiscard]] views::CellEditor* editor() {
        for (views::CellEditor* e : table().viewport()->findChildren<views::CellEditor*>())
            if (!e->done) return e;
        return nullptr;
    }
};

/// Does something in the dialog that opens next.
template <class D, class F> void inDialog(F&& what) {
    QTimer::singleShot(0, [what = std::forward<F>(what)] {
        for (QWidget* w : QApplication::topLevelWidgets())
            if (auto* dialog = qobject_cast<D*>(w); dialog != nullptr && dialog->isVisible()) {
                what(*dialog);
                return;
            }
        QFAIL("the dialog did not open");
    });
}

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
        d.put(QStringLiteral("shelf.spansheet"), sheet);
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

    void opensAndSaysHowItStands() {
        Desk d;
        QVERIFY(d.window->windowTitle().startsWith(QStringLiteral("Trial")));
        QVERIFY(d.window->sentence().sentence().toolTip().contains(QStringLiteral("1 value not stated")));
        QVERIFY(d.window->cautions().isVisible());
        QVERIFY(d.window->cautions().text().contains(QStringLiteral("For trials only.")));
        QVERIFY(!d.window->action(QStringLiteral("save"))->isEnabled());
    }

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

    void followsAValueToItsSource() {
        Desk d;
        d.go("S1", "bending");
        QVERIFY(d.window->working().shownText().contains(QStringLiteral("σ")));
        QListWidget& from = d.window->working().comesFrom();
        QVERIFY(from.count() >= 2);
        QListWidgetItem* stress = nullptr;
        for (int i = 0; i < from.count(); ++i)
            if (from.item(i)->text().startsWith(QStringLiteral("σ"))) stress = from.item(i);
        QVERIFY(stress != nullptr);
        from.setCurrentItem(stress);
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
        inDialog<app::FindDialog>([](app::FindDialog& dialog) {
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
        inDialog<QDialog>([](QDialog& dialog) {
            dialog.findChild<QLineEdit*>()->setText(QStringLiteral("12"));
            dialog.accept();
        });
        d.window->action(QStringLiteral("setCount"))->trigger();
        const auto member = d.window->session().job().memberByMark("S3");
        QCOMPARE(d.window->session().job().member(*member).count, 12.0);
        inDialog<QDialog>([](QDialog& dialog) {
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
        inDialog<app::LinkDialog>([](app::LinkDialog& dialog) {
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
        inDialog<app::TickDialog>([](app::TickDialog& dialog) {
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
        const QDir journal(d.dir.filePath(QStringLiteral("journal")));
        QTRY_COMPARE(journal.entryList({QStringLiteral("*.json")}).size(), 1);
        // What a crash leaves: the file of the journal, and nobody who holds the job.
        const QString file = journal.filePath(journal.entryList({QStringLiteral("*.json")}).first());
        QVERIFY(QFile::copy(file, file + QStringLiteral(".kept")));
        d.window.reset();
        QVERIFY(!QFile::exists(file));
        QVERIFY(QFile::rename(file + QStringLiteral(".kept"), file));
        d.start();
        QCOMPARE(d.at("S1", "L").data().toString(), QStringLiteral("2"));
        QVERIFY(d.window->isWindowModified());
        QTest::keyClick(d.window.get(), Qt::Key_Z, Qt::ControlModifier);
        QCOMPARE(d.at("S1", "L").data().toString(), QStringLiteral("1.2"));
    }

    void bringsThemBackByWhateverNameTheJobIsOpened() {
        Desk d;
        QVERIFY(!d.window->session().setValue(*d.window->session().find("S1", "L"), QStringLiteral("2 m")));
        const QDir journal(d.dir.filePath(QStringLiteral("journal")));
        QTRY_COMPARE(journal.entryList({QStringLiteral("*.json")}).size(), 1);
        const QString file = journal.filePath(journal.entryList({QStringLiteral("*.json")}).first());
        QVERIFY(QFile::copy(file, file + QStringLiteral(".kept")));
        d.window.reset();
        QVERIFY(QFile::rename(file + QStringLiteral(".kept"), file));
        const QString before = QDir::currentPath();
        const auto back = qScopeGuard([&before] { QDir::setCurrent(before); });
        QVERIFY(QDir::setCurrent(d.dir.path()));
        d.window = std::make_unique<DeskWindow>(d.dir.path(), d.dir.filePath(QStringLiteral("journal")));
        QVERIFY(d.window->openFile(QStringLiteral("job.spanjob")));
        QCOMPARE(d.at("S1", "L").data().toString(), QStringLiteral("2"));
        QVERIFY(d.window->isWindowModified());
        QCOMPARE(d.window->session().path(), d.job());
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
        // A jump unfolds.
        d.go("S1", "R");
        QCOMPARE(d.window->gridView().current(), d.at("S1", "R"));
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

    void remembersTheWindow() {
        Desk d;
        d.window->resize(1111, 700);
        QTest::qWait(50);
        d.window->action(QStringLiteral("theme1"))->trigger();
        d.window->close();
        d.window = std::make_unique<DeskWindow>(d.dir.path(), d.dir.filePath(QStringLiteral("journal")));
        QCOMPARE(d.window->width(), 1111);
        QVERIFY(d.window->action(QStringLiteral("theme1"))->isChecked());
    }

    void withoutAFileItOffersTheReadySheets() {
        Desk d;
        DeskWindow empty(d.dir.path(), d.dir.filePath(QStringLiteral("journal")));
        empty.show();
        QVERIFY(QTest::qWaitForWindowExposed(&empty));
        empty.first().chooseAnySheet();
        QVERIFY(empty.first().rules().isVisible());
        QCOMPARE(empty.first().rules().count(), 2);
    }
};

SPANWRIGHT_QT_TEST(DeskTest);
#include "desk_test.moc"
