// SPDX-License-Identifier: MIT
// Menus, shortcuts by the platform's conventions, and the ways from value to value.
#include <QAbstractButton>
#include <QAction>
#include <QActionGroup>
#include <QApplication>
#include <QComboBox>
#include <QDockWidget>
#include <QKeyEvent>
#include <QMenu>
#include <QMenuBar>
#include <QStackedWidget>
#include <QStatusBar>
#include <QTabBar>

#include "gui/app/desk_window.h"
#include "gui/app/dialogs.h"
#include "gui/app/sheet_list.h"
#include "gui/models/text.h"
#include "gui/views/cautions_foot.h"
#include "gui/views/grid_view.h"
#include "gui/views/sentence_bar.h"

namespace spanwright::app {

using models::GridModel;

QAction* DeskWindow::add(QMenu& menu, const char* name, const QString& text, const QList<QKeySequence>& keys, const std::function<void()>& what) {
    auto* action = new QAction(text, this);
    action->setObjectName(QLatin1String(name));
    action->setShortcuts(keys);
    // An action in the window as well as in its menu works by key also while the menu bar is hidden.
    addAction(action);
    menu.addAction(action);
    connect(action, &QAction::triggered, this, what);
    return action;
}

void DeskWindow::buildActions() {
    using Keys = QList<QKeySequence>;
    const auto standard = [](QKeySequence::StandardKey key) { return QKeySequence::keyBindings(key); };

    QMenu& file = *menuBar()->addMenu(tr("&File"));
    add(file, "new", tr("&New..."), standard(QKeySequence::New), [this] { newJob(); });
    add(file, "backToJob", tr("&Back to the open job"), {}, [this] { showDesk(); });
    add(file, "open", tr("&Open..."), standard(QKeySequence::Open), [this] { chooseFile(); });
    m_recent = file.addMenu(tr("Open &again"));
    file.addSeparator();
    add(file, "save", tr("&Save"), standard(QKeySequence::Save), [this] { save(); });
    add(file, "saveElsewhere", tr("Save &elsewhere..."), Keys{QKeySequence(Qt::CTRL | Qt::SHIFT | Qt::Key_S)}, [this] { chooseElsewhere(); });
    add(file, "print", tr("On &paper..."), standard(QKeySequence::Print), [this] { onPaper(); });
    file.addSeparator();
    add(file, "close", tr("&Close"), standard(QKeySequence::Quit) + standard(QKeySequence::Close), [this] { close(); });

    QMenu& edit = *menuBar()->addMenu(tr("&Edit"));
    QUndoStack& undo = m_session->undoStack();
    QAction* undoAction = undo.createUndoAction(this, tr("&Undo"));
    undoAction->setObjectName(QStringLiteral("undo"));
    undoAction->setShortcuts(standard(QKeySequence::Undo));
    QAction* redoAction = undo.createRedoAction(this, tr("&Redo"));
    redoAction->setObjectName(QStringLiteral("redo"));
    redoAction->setShortcuts(standard(QKeySequence::Redo));
    edit.addActions({undoAction, redoAction});
    addActions({undoAction, redoAction});
    edit.addSeparator();
    add(edit, "copy", tr("&Copy"), standard(QKeySequence::Copy), [this] { copyCells(); });
    add(edit, "paste", tr("&Paste"), standard(QKeySequence::Paste), [this] { pasteCells(); });

    m_valueMenu = menuBar()->addMenu(tr("&Value"));
    QMenu& value = *m_valueMenu;
    add(value, "edit", tr("&State it..."), {}, [this] { m_gridView->editCurrent(); });
    add(value, "takeBack", tr("Take &back what is stated"), Keys{QKeySequence(Qt::Key_Delete)}, [this] { takeBack(); });
    add(value, "copyRight", tr("Copy to the members at the &right"), Keys{QKeySequence(Qt::CTRL | Qt::SHIFT | Qt::Key_R)}, [this] { copyRight(); });
    value.addSeparator();
    add(value, "link", tr("Take from another &member..."), Keys{QKeySequence(Qt::CTRL | Qt::Key_L)}, [this] { link(); });
    add(value, "followLink", tr("&Follow the link"), Keys{QKeySequence(Qt::CTRL | Qt::SHIFT | Qt::Key_L)}, [this] { followLink(); });
    add(value, "breakLink", tr("Break the &link, keep the value"), {}, [this] { breakLink(); });
    value.addSeparator();
    add(value, "tick", tr("&Tick..."), Keys{QKeySequence(Qt::CTRL | Qt::Key_T)}, [this] { tick(); });
    add(value, "removeTick", tr("Ta&ke the tick back"), {}, [this] { removeTick(); });
    add(value, "remark", tr("Re&mark on it..."), Keys{QKeySequence(Qt::CTRL | Qt::Key_M)}, [this] { remark(); });
    add(value, "answer", tr("&Answer the remark..."), Keys{QKeySequence(Qt::CTRL | Qt::SHIFT | Qt::Key_M)}, [this] { answer(currentRemark()); });
    add(value, "removeRemark", tr("Take the remark &out"), {}, [this] { removeRemark(); });
    value.addSeparator();
    add(value, "editList", tr("Ro&ws of the list"), {}, [this] {
        if (const auto cell = m_gridView->currentCell()) editList(*cell);
    });

    m_memberMenu = menuBar()->addMenu(tr("&Member"));
    QMenu& member = *m_memberMenu;
    add(member, "addMember", tr("&Add..."), Keys{QKeySequence(Qt::CTRL | Qt::SHIFT | Qt::Key_N)}, [this] { addMember(); });
    add(member, "duplicateMember", tr("&Duplicate"), Keys{QKeySequence(Qt::CTRL | Qt::Key_D)}, [this] { duplicateMember(); });
    add(member, "removeMember", tr("De&lete"), {}, [this] { removeMember(); });
    member.addSeparator();
    add(member, "renameMember", tr("&Mark..."), {}, [this] { renameMember(); });
    add(member, "setCount", tr("&How many..."), {}, [this] { setCount(); });
    add(member, "setPurpose", tr("&Purpose..."), {}, [this] { setPurpose(); });
    member.addSeparator();
    add(member, "memberLeft", tr("Move to the le&ft"), Keys{QKeySequence(Qt::CTRL | Qt::SHIFT | Qt::Key_Left)}, [this] { moveMember(-1); });
    add(member, "memberRight", tr("Move to the ri&ght"), Keys{QKeySequence(Qt::CTRL | Qt::SHIFT | Qt::Key_Right)}, [this] { moveMember(1); });

    m_sheetMenu = menuBar()->addMenu(tr("&Sheet"));
    QMenu& sheet = *m_sheetMenu;
    add(sheet, "copySheet", tr("A &copy of this sheet for this job..."), {}, [this] { copySheet(); });
    add(sheet, "differences", tr("What &differs from the ready sheet..."), {}, [this] { showDifferences(); });
    sheet.addSeparator();
    add(sheet, "addRow", tr("&Add a row below..."), Keys{QKeySequence(Qt::Key_Insert)}, [this] { addSheetRow(); });
    add(sheet, "changeRow", tr("Change the &row..."), Keys{QKeySequence(Qt::SHIFT | Qt::Key_F2)}, [this] { changeSheetRow(); });
    add(sheet, "rowUp", tr("Move the row &up"), Keys{QKeySequence(Qt::CTRL | Qt::SHIFT | Qt::Key_Up)}, [this] { moveSheetRow(-1); });
    add(sheet, "rowDown", tr("Move the row do&wn"), Keys{QKeySequence(Qt::CTRL | Qt::SHIFT | Qt::Key_Down)}, [this] { moveSheetRow(1); });
    add(sheet, "removeRow", tr("&Take the row out"), Keys{QKeySequence(Qt::CTRL | Qt::Key_Delete)}, [this] { removeSheetRow(); });

    buildTrialActions();

    QMenu& go = *menuBar()->addMenu(tr("&Go"));
    add(go, "back", tr("&Back"), standard(QKeySequence::Back), [this] { moveInHistory(true); });
    add(go, "forward", tr("&Forward"), standard(QKeySequence::Forward), [this] { moveInHistory(false); });
    go.addSeparator();
    add(go, "find", tr("To a &value..."), standard(QKeySequence::Find) + Keys{QKeySequence(Qt::CTRL | Qt::Key_G)}, [this] { findValue(); });
    add(go, "walkDown", tr("&Down to what it comes from"), Keys{QKeySequence(Qt::Key_F7)}, [this] { walkDown(); });
    add(go, "wrong", tr("What is &wrong"), Keys{QKeySequence(Qt::SHIFT | Qt::Key_F8)}, [this] { m_sentence->setOpen(!m_sentence->isOpen()); });
    add(go, "nextWrong", tr("&Next thing to mend"), Keys{QKeySequence(Qt::Key_F8)}, [this] { nextTrouble(); });
    go.addSeparator();
    add(go, "toText", tr("To its row in the &text, and back"), Keys{QKeySequence(Qt::CTRL | Qt::Key_E)}, [this] { toText(); });
    go.addSeparator();
    const auto step = [this](int by) {
        if (m_tabs->count() > 0) m_tabs->setCurrentIndex((m_tabs->currentIndex() + by + m_tabs->count()) % m_tabs->count());
    };
    add(go, "nextSheet", tr("Next &sheet"), standard(QKeySequence::NextChild) + Keys{QKeySequence(Qt::CTRL | Qt::Key_PageDown)}, [step] { step(1); });
    add(go, "previousSheet", tr("&Previous sheet"), standard(QKeySequence::PreviousChild) + Keys{QKeySequence(Qt::CTRL | Qt::Key_PageUp)},
        [step] { step(-1); });

    add(go, "chooseSheet", tr("C&hoose a sheet..."), Keys{QKeySequence(Qt::CTRL | Qt::SHIFT | Qt::Key_F)}, [this] { m_desk->findChild<SheetList*>()->open(); });

    QMenu& view = *menuBar()->addMenu(tr("V&iew"));
    const auto shows = [&](QDockWidget* dock, const char* name, const QKeySequence& key) {
        QAction* action = dock->toggleViewAction();
        action->setObjectName(QLatin1String(name));
        action->setShortcut(key);
        view.addAction(action);
        addAction(action);
    };
    shows(m_workingDock, "showWorking", QKeySequence(Qt::Key_F9));
    shows(m_plotsDock, "showDiagrams", QKeySequence(Qt::SHIFT | Qt::Key_F9));
    shows(m_textDock, "showText", QKeySequence(Qt::CTRL | Qt::Key_F9));
    view.addSeparator();
    add(view, "workshop", tr("For the &workshop"), Keys{QKeySequence(Qt::CTRL | Qt::SHIFT | Qt::Key_W)}, [this] { forWorkshop(); });
    const auto brings = [&](std::size_t which, const char* name, const QString& text, Qt::Key key) {
        add(view, name, text, Keys{QKeySequence(Qt::CTRL | Qt::ALT | key)}, [this, which] { toShop(which); })->setCheckable(true);
    };
    brings(0, "showSchedule", tr("S&chedule"), Qt::Key_S);
    brings(1, "showCutting", tr("Cu&tting"), Qt::Key_C);
    brings(2, "showCost", tr("C&ost"), Qt::Key_P);
    view.addSeparator();
    for (int i = 0; i < m_filter->count(); ++i)
        add(view, qPrintable(QStringLiteral("filter%1").arg(i)), m_filter->itemText(i), Keys{QKeySequence(Qt::CTRL | static_cast<Qt::Key>(Qt::Key_1 + i))},
            [this, i] { m_filter->setCurrentIndex(i); });
    view.addSeparator();
    add(view, "cautions", tr("C&autions..."), Keys{QKeySequence(Qt::SHIFT | Qt::Key_F1)}, [this] { m_cautions->showAll(); });
    view.addSeparator();
    add(view, "foldAll", tr("&Fold all parts"), {}, [this] { m_grid->setAllFolded(true); });
    add(view, "unfoldAll", tr("&Unfold all parts"), {}, [this] { m_grid->setAllFolded(false); });
    view.addSeparator();
    add(view, "larger", tr("&Larger letters"), standard(QKeySequence::ZoomIn) + Keys{QKeySequence(Qt::CTRL | Qt::Key_Equal)},
        [this] { setLetters(m_settings.letters + 10); });
    add(view, "smaller", tr("S&maller letters"), standard(QKeySequence::ZoomOut), [this] { setLetters(m_settings.letters - 10); });
    add(view, "usual", tr("Usual letters"), Keys{QKeySequence(Qt::CTRL | Qt::Key_0)}, [this] { setLetters(100); });
    view.addSeparator();
    auto* themes = new QActionGroup(this);
    const QStringList names{tr("Paper as the system has it"), tr("Light paper"), tr("Dark paper")};
    for (int i = 0; i < names.size(); ++i) {
        QAction* action = add(view, qPrintable(QStringLiteral("theme%1").arg(i)), names[i], {}, [this, i] { setTheme(static_cast<Theme>(i)); });
        action->setCheckable(true);
        action->setChecked(static_cast<int>(m_settings.theme) == i);
        themes->addAction(action);
    }
    refreshRecent();
}

void DeskWindow::refreshActions() {
    if (action(QStringLiteral("save")) == nullptr) return;
    const auto enable = [this](const char* name, bool on) { action(QLatin1String(name))->setEnabled(on); };
    // What acts on the job waits while the first page stands above it.
    const bool open = m_session->isOpen() && m_stack->currentWidget() == m_desk;
    enable("backToJob", m_session->isOpen() && !open);
    const QModelIndex at = open && m_pages->currentWidget() == m_gridView ? m_gridView->current() : QModelIndex();
    const auto cell = open && at.isValid() ? m_grid->cellAt(at) : std::nullopt;
    const bool editable = at.isValid() && (at.flags() & Qt::ItemIsEditable) != 0;
    const bool linked = cell && at.data(GridModel::FormRole).toInt() == static_cast<int>(GridModel::Form::Linked);
    const bool job = open && !m_session->job().isSingleSheet();
    const bool member = job && currentMember().has_value();
    const bool list = cell && m_session->quantity(*cell).kind == meaning::Kind::List;
    enable("save", open && (isUnsaved() || isTyping()));
    enable("saveElsewhere", open);
    enable("print", open);
    for (const char* name : {"workshop", "showSchedule", "showCutting", "showCost"}) enable(name, job);
    enable("copy", at.isValid());
    enable("paste", editable);
    enable("edit", editable);
    enable("takeBack", (editable || list) && job && cell && m_session->view(*cell).stated);
    enable("copyRight", (editable || (list && job)) && at.column() + 1 < m_grid->columnCount());
    enable("link", editable && job && m_session->quantity(*cell).kind != meaning::Kind::Choose);
    enable("followLink", linked);
    enable("breakLink", linked && m_session->view(*cell).state == eval::State::Known);
    enable("tick", cell && job && m_session->view(*cell).state == eval::State::Known);
    const auto tickNow = cell ? static_cast<GridModel::Tick>(at.data(GridModel::TickRole).toInt()) : GridModel::Tick::None;
    const auto remarkNow = cell ? static_cast<GridModel::Remark>(at.data(GridModel::RemarkRole).toInt()) : GridModel::Remark::None;
    enable("removeTick", job && tickNow != GridModel::Tick::None);
    enable("remark", job && cell);
    enable("answer", job && remarkNow != GridModel::Remark::None);
    enable("removeRemark", job && remarkNow != GridModel::Remark::None);
    enable("editList", list);
    const auto sheetRow = at.isValid() ? currentSheetRow() : std::nullopt;
    enable("copySheet", job && member && m_session->hasSheet(*currentMember()));
    enable("differences", job && member);
    enable("addRow", sheetRow.has_value());
    for (const char* name : {"changeRow", "rowUp", "rowDown", "removeRow"}) enable(name, sheetRow && sheetRow->isValue);
    enable("toText", open);
    enable("chooseSheet", open && m_tabs->count() > 1);
    enable("find", open && m_session->job().memberCount() > 0);
    enable("addMember", job);
    for (const char* name : {"duplicateMember", "removeMember", "renameMember", "setCount", "setPurpose", "memberLeft", "memberRight"}) enable(name, member);
    refreshTrialActions(open, cell);
    enable("back", m_history.canGoBack());
    enable("forward", m_history.canGoForward());
    enable("walkDown", cell.has_value());
    enable("wrong", open && m_problems->rowCount() > 0);
    enable("nextWrong", open && m_problems->rowCount() > 0);
}

void DeskWindow::contextMenu(const QPoint& at) {
    QMenu menu(this);
    menu.addActions(m_valueMenu->actions());
    menu.addSeparator();
    menu.addMenu(m_memberMenu);
    menu.addMenu(m_sheetMenu);
    menu.exec(at);
}

/// Return works the button that the keys are at, as Space does. It comes here only from what makes nothing of it itself.
void DeskWindow::keyPressEvent(QKeyEvent* event) {
    const bool enter = event->key() == Qt::Key_Return || event->key() == Qt::Key_Enter;
    auto* button = enter && !event->isAutoRepeat() && (event->modifiers() & ~Qt::KeypadModifier) == 0
                       ? qobject_cast<QAbstractButton*>(QApplication::focusWidget())
                       : nullptr;
    if (button == nullptr || !isAncestorOf(button)) return QMainWindow::keyPressEvent(event);
    button->click();
}

void DeskWindow::moveInHistory(bool back) {
    if (back ? !m_history.canGoBack() : !m_history.canGoForward()) return;
    m_moving = true;
    const models::Spot spot = back ? m_history.back() : m_history.forward();
    const bool there = goTo(spot);
    m_moving = false;
    if (!there) statusBar()->showMessage(tr("%1.%2 is no longer there").arg(models::fromUtf8(spot.mark), models::fromUtf8(spot.name)), 5000);
    m_gridView->setFocus();
}

void DeskWindow::findValue() {
    FindDialog dialog(*m_session, currentMember(), this);
    if (dialog.exec() != QDialog::Accepted) return;
    if (const auto spot = dialog.spot(); spot && goTo(*spot)) m_gridView->setFocus();
}

void DeskWindow::walkDown() {
    const auto cell = m_gridView->currentCell();
    if (!cell) return;
    const models::Spot from{m_session->job().member(cell->member).mark, m_session->quantity(*cell).name};
    const auto next = m_walk->step(from);
    if (!next) {
        statusBar()->showMessage(tr("Every value that this came from has been seen."), 5000);
        return;
    }
    goTo(*next);
    m_gridView->setFocus();
}

void DeskWindow::nextTrouble() {
    if (m_problems->rowCount() == 0) return;
    const auto here = m_gridView->currentCell();
    int next = 0;
    for (int i = 0; here && i < m_problems->rowCount(); ++i)
        if (m_problems->trouble(i).cell == here) next = (i + 1) % m_problems->rowCount();
    const models::Trouble trouble = m_problems->trouble(next);
    jump(trouble);
}

} // namespace spanwright::app
