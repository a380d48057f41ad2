// SPDX-License-Identifier: MIT
#include "gui/app/desk_window.h"

#include <QAction>
#include <QApplication>
#include <QCloseEvent>
#include <QComboBox>
#include <QDockWidget>
#include <QFileInfo>
#include <QHeaderView>
#include <QLabel>
#include <QMessageBox>
#include <QStackedWidget>
#include <QStatusBar>
#include <QStyleHints>
#include <QTabBar>
#include <QTableView>
#include <QVBoxLayout>

#include <utility>

#include "engine/report/words.h"
#include "gui/app/dock_title.h"
#include "gui/app/print_dialog.h"
#include "gui/app/sheet_list.h"
#include "gui/app/vary_dialog.h"
#include "gui/editor/text_panel.h"
#include "gui/ink/palette.h"
#include "gui/models/text.h"
#include "gui/views/cautions_foot.h"
#include "gui/views/first_screen.h"
#include "gui/views/grid_view.h"
#include "gui/views/job_value_delegate.h"
#include "gui/views/plots_panel.h"
#include "gui/views/sentence_bar.h"
#include "gui/views/trial_glance.h"
#include "gui/views/working_panel.h"

namespace spanwright::app {

using models::fromUtf8;
using models::GridModel;

namespace {
/// How many of the standing cautions stand in the foot in words; the button holds all.
constexpr std::size_t kCautionsInWords = 2;
constexpr int kDockWidth = 390; ///< with letters of the usual size
constexpr int kMostBeside = 36; ///< per cent of the width that the docks take by themselves
} // namespace

DeskWindow::DeskWindow(const QString& library, const QString& journalFolder, QWidget* parent)
    : QMainWindow(parent), m_library(library), m_settings(Settings::load()), m_session(std::make_unique<models::JobSession>(library)),
      m_journal(std::make_unique<models::Journal>(*m_session, journalFolder)), m_grid(std::make_unique<GridModel>(*m_session)),
      m_values(std::make_unique<models::JobValues>(*m_session)), m_problems(std::make_unique<models::ProblemList>(*m_session)),
      m_walk(std::make_unique<models::GoverningWalk>(*m_session)) {
    m_baseLetters = static_cast<int>(QApplication::font().pointSizeF() * 100);
    setLetters(m_settings.letters);
    setTheme(m_settings.theme);
    build();
    buildFirst();
    buildActions();
    connect(m_session.get(), &models::JobSession::reset, this, &DeskWindow::jobReset);
    connect(m_session.get(), &models::JobSession::settled, this, &DeskWindow::jobSettled);
    connect(m_session.get(), &models::JobSession::modifiedChanged, this, [this] { refreshTitle(); });
    connect(m_session.get(), &models::JobSession::saved, this, &DeskWindow::lookAgain);
    connect(&m_watch, &models::FileWatch::changed, this, &DeskWindow::filesChanged);
    connect(&m_history, &models::History::changed, this, &DeskWindow::refreshActions);
    // What is being typed can be saved too.
    connect(qApp, &QApplication::focusChanged, this,
            [this] { action(QStringLiteral("save"))->setEnabled(m_session->isOpen() && m_stack->currentWidget() == m_desk && (isUnsaved() || isTyping())); });
    resize(1280, 800);
    if (!m_settings.geometry.isEmpty()) restoreGeometry(m_settings.geometry);
    if (!m_settings.state.isEmpty()) m_inner->restoreState(m_settings.state);
    // Without a job there is nothing to show beside the first page.
    m_workingSeen = !m_workingDock->isHidden();
    m_plotsSeen = !m_plotsDock->isHidden();
    m_workingDock->hide();
    m_plotsDock->hide();
    m_textSeen = !m_textDock->isHidden();
    m_textDock->hide();
    hideShop();
    refreshCautions();
    refreshTitle();
    refreshActions();
}

DeskWindow::~DeskWindow() {
    disconnect(qApp, nullptr, this, nullptr);
    // What shows the models goes before them.
    delete varyDialog();
    delete printDialog();
    delete takeCentralWidget();
    m_live.reset();
}

void DeskWindow::build() {
    m_stack = new QStackedWidget(this);
    m_desk = new QWidget(m_stack);
    auto* column = new QVBoxLayout(m_desk);
    column->setContentsMargins(0, 0, 0, 0);
    column->setSpacing(0);
    m_sentence = new views::SentenceBar(*m_problems, m_desk);
    column->addWidget(m_sentence);

    auto* row = new QHBoxLayout;
    row->setContentsMargins(8, 0, 8, 4);
    m_tabs = new QTabBar(m_desk);
    m_tabs->setObjectName(QStringLiteral("sheets"));
    m_tabs->setDrawBase(false);
    m_tabs->setExpanding(false);
    m_tabs->setElideMode(Qt::ElideNone);
    m_tabs->setAccessibleName(tr("Sheets of the job"));
    row->addWidget(m_tabs, 1);
    row->addWidget(new SheetList(*m_tabs, m_desk));
    m_filter = new QComboBox(m_desk);
    m_filter->setAccessibleName(tr("Rows shown"));
    m_filter->setSizeAdjustPolicy(QComboBox::AdjustToContents);
    const auto shown = [this](const QString& name, const QString& what, GridModel::Filter filter) {
        m_filter->addItem(name, static_cast<int>(filter));
        m_filter->setItemData(m_filter->count() - 1, what, Qt::ToolTipRole);
        m_filter->setItemData(m_filter->count() - 1, what, Qt::AccessibleTextRole);
    };
    shown(tr("All rows"), tr("All rows"), GridModel::Filter::All);
    shown(tr("Checks"), tr("Only checks"), GridModel::Filter::Checks);
    shown(tr("To state"), tr("Only what I must state"), GridModel::Filter::ToState);
    shown(tr("Differs"), tr("Only what differs between members"), GridModel::Filter::Differs);
    shown(tr("Changed"), tr("Only what the last edit changed"), GridModel::Filter::Changed);
    shown(tr("Not ticked"), tr("Only what is not ticked"), GridModel::Filter::Unticked);
    shown(tr("Tick out of date"), tr("Only ticks that are out of date"), GridModel::Filter::TickOld);
    shown(tr("Remarked on"), tr("Only what is remarked on"), GridModel::Filter::Remarked);
    shown(tr("Unlike ready sheet"), tr("Only rows unlike the ready sheet"), GridModel::Filter::Rewritten);
    row->addWidget(m_filter);
    column->addLayout(row);

    m_pages = new QStackedWidget(m_desk);
    m_gridView = new views::GridView(*m_grid, *m_session, m_pages);
    m_pages->addWidget(m_gridView);
    m_valuesView = new QTableView(m_pages);
    m_valuesView->setModel(m_values.get());
    m_valuesView->setItemDelegate(new views::JobValueDelegate(*m_values, m_valuesView));
    m_valuesView->setAccessibleName(tr("Values of the whole job"));
    m_valuesView->setFrameStyle(QFrame::NoFrame);
    m_valuesView->verticalHeader()->hide();
    m_valuesView->setTabKeyNavigation(false);
    m_valuesView->horizontalHeader()->setStretchLastSection(true);
    m_valuesView->setShowGrid(false);
    m_valuesView->setWordWrap(false);
    const int letter = fontMetrics().averageCharWidth();
    m_valuesView->setColumnWidth(models::JobValues::NameColumn, letter * 18);
    m_valuesView->setColumnWidth(models::JobValues::ValueColumn, letter * 24);
    m_valuesView->setColumnWidth(models::JobValues::WhatColumn, letter * 50);
    m_pages->addWidget(m_valuesView);
    column->addWidget(m_pages, 1);
    m_stack->addWidget(m_desk);

    auto* middle = new QWidget(this);
    auto* page = new QVBoxLayout(middle);
    page->setContentsMargins(0, 0, 0, 0);
    page->setSpacing(0);
    m_inner = new QMainWindow(middle);
    m_inner->setWindowFlags(Qt::Widget); // it takes itself for a window of its own otherwise
    m_inner->setCentralWidget(m_stack);
    page->addWidget(m_inner, 1);
    m_cautions = new views::CautionsFoot(middle);
    page->addWidget(m_cautions);
    setCentralWidget(middle);

    const auto dock = [this](const char* name, const QString& title, QWidget* widget) {
        auto* d = new QDockWidget(title, m_inner);
        d->setObjectName(QLatin1String(name));
        d->setWidget(widget);
        d->setFont(QApplication::font());
        d->setTitleBarWidget(new DockTitle(d));
        d->setFeatures(QDockWidget::DockWidgetClosable | QDockWidget::DockWidgetMovable);
        return d;
    };
    m_working = new views::WorkingPanel(*m_session, this);
    m_workingDock = dock("working", tr("Working"), m_working);
    m_plots = new views::PlotsPanel(*m_session, this);
    m_plotsDock = dock("diagrams", tr("Diagrams"), m_plots);
    m_inner->addDockWidget(Qt::RightDockWidgetArea, m_workingDock);
    m_inner->addDockWidget(Qt::RightDockWidgetArea, m_plotsDock);
    const int wide = kDockWidth * m_settings.letters / 100;
    m_inner->resizeDocks({m_workingDock, m_plotsDock}, {wide, wide}, Qt::Horizontal);
    m_inner->resizeDocks({m_workingDock, m_plotsDock}, {420, 240}, Qt::Vertical);

    buildText();
    buildTrials();
    buildWorkshop(dock);

    m_ticks = new QLabel(this);
    statusBar()->addPermanentWidget(m_ticks);
    statusBar()->setSizeGripEnabled(false);

    connect(m_gridView, &views::GridView::currentChanged, this, &DeskWindow::currentChanged);
    connect(m_valuesView->selectionModel(), &QItemSelectionModel::currentRowChanged, this, &DeskWindow::currentChanged);
    connect(m_values.get(), &QAbstractItemModel::dataChanged, this, &DeskWindow::currentChanged);
    // Their tab comes and goes with them, which is a moment behind the job's own reset.
    connect(m_values.get(), &QAbstractItemModel::modelReset, this, [this] {
        if (m_session->isOpen()) refreshTabs();
    });
    connect(m_gridView, &views::GridView::contextMenuWanted, this, &DeskWindow::contextMenu);
    connect(m_gridView, &views::GridView::rowKept, this,
            [this] { statusBar()->showMessage(tr("The row that was being written is kept: add a row, and it is there again."), 10000); });
    connect(m_gridView, &views::GridView::listWanted, this, &DeskWindow::editList);
    connect(m_working, &views::WorkingPanel::followed, this, &DeskWindow::goTo);
    connect(m_working, &views::WorkingPanel::remarkChosen, this, [this](std::size_t index) { answer(index); });
    connect(m_sentence, &views::SentenceBar::jump, this, &DeskWindow::jump);
    connect(m_grid.get(), &GridModel::groupChanged, this, &DeskWindow::refreshTabs);
    connect(m_tabs, &QTabBar::currentChanged, this, [this](int tab) {
        const auto groups = static_cast<int>(m_session->groups().size());
        if (tab >= 0 && tab < groups) {
            m_pages->setCurrentWidget(m_gridView);
            m_grid->setGroup(static_cast<std::size_t>(tab));
        } else if (tab >= groups) {
            m_pages->setCurrentWidget(m_valuesView);
            // The table stands at its first column by itself, where keys would state nothing.
            m_valuesView->setCurrentIndex(m_values->index(std::max(0, m_valuesView->currentIndex().row()), models::JobValues::ValueColumn));
        }
        currentChanged();
    });
    connect(m_filter, &QComboBox::currentIndexChanged, this,
            [this](int i) { m_grid->setFilter(static_cast<GridModel::Filter>(m_filter->itemData(i).toInt())); });
    buildRefusals();
    setAccessibleName(tr("Spanwright"));
}

// ---- following the job

void DeskWindow::jobReset() {
    if (m_stack->currentWidget() != m_desk) {
        showDesk();
        m_gridView->setFocus();
    }
    refreshTabs();
    lookAgain();
}

void DeskWindow::jobSettled() {
    m_working->refresh();
    m_glance->refresh();
    m_plots->refresh();
    refreshReview();
    refreshTitle();
    refreshActions();
}

void DeskWindow::refreshTabs() {
    const QSignalBlocker quiet(m_tabs);
    while (m_tabs->count() > 0) m_tabs->removeTab(0);
    const bool single = m_session->job().isSingleSheet();
    for (const models::SheetGroup& g : m_session->groups()) {
        const int tab = m_tabs->addTab(g.name);
        m_tabs->setTabToolTip(tab, g.title);
    }
    if (!single && m_values->rowCount() > 0) m_tabs->setTabToolTip(m_tabs->addTab(tr("The whole job")), tr("Values that all members may read"));
    if (m_pages->currentWidget() != m_valuesView || m_values->rowCount() == 0) {
        m_tabs->setCurrentIndex(static_cast<int>(m_grid->group()));
        m_pages->setCurrentWidget(m_gridView);
    } else {
        m_tabs->setCurrentIndex(m_tabs->count() - 1);
    }
    const QSignalBlocker still(m_filter);
    m_filter->setCurrentIndex(m_filter->findData(static_cast<int>(m_grid->filter())));

    refreshCautions();
    currentChanged();
}

void DeskWindow::refreshCautions() {
    QStringList first, all;
    for (const std::string& c : report::standingCautions()) {
        if (static_cast<std::size_t>(first.size()) < kCautionsInWords) first << fromUtf8(c);
        all << fromUtf8(c);
    }
    for (std::size_t g = 0; g < m_session->groups().size(); ++g) {
        const std::size_t member = m_session->groups()[g].members.front();
        if (!m_session->hasSheet(member)) continue;
        for (const std::string& c : m_session->job().sheet(member).cautions) {
            const QString text = fromUtf8(c);
            if (g == m_grid->group() && !first.contains(text)) first << text;
            if (!all.contains(text)) all << text;
        }
    }
    if (m_stack->currentWidget() == m_first && m_first->job().isBegun())
        for (const std::string& c : m_first->job().session().job().sheet(0).cautions)
            if (!all.contains(fromUtf8(c))) all << fromUtf8(c);
    m_cautions->setCautions(first, all);
}

void DeskWindow::currentChanged() {
    const QModelIndex at = m_gridView->current();
    const std::optional<models::CellId> cell = m_pages->currentWidget() == m_gridView ? m_gridView->currentCell() : std::nullopt;
    const QModelIndex own = m_session->isOpen() && m_pages->currentWidget() == m_valuesView ? m_valuesView->currentIndex() : QModelIndex();
    if (own.isValid()) {
        const auto text = [&](int column) { return own.siblingAtColumn(column).data().toString(); };
        using V = models::JobValues;
        const std::string name = models::toUtf8(text(V::NameColumn));
        m_working->showJobValue({name, text(V::ValueColumn), text(V::WhatColumn), text(V::SourceColumn)});
        m_glance->showJobValue(name);
    } else {
        m_working->showCell(cell, cell && at.isValid() ? m_grid->caseAt(at.row()) : std::nullopt);
        m_glance->showCell(cell);
    }
    m_text->showCell(cell);
    m_plots->showMember(at.isValid() ? m_grid->memberAt(at.column()) : std::nullopt);
    if (cell) markInWorkshop(m_session->job().member(cell->member).mark);
    if (cell && !m_moving) m_history.standAt({m_session->job().member(cell->member).mark, m_session->quantity(*cell).name});
    const QSignalBlocker still(m_filter);
    m_filter->setCurrentIndex(m_filter->findData(static_cast<int>(m_grid->filter())));
    refreshActions();
}

void DeskWindow::refreshTitle() {
    QString name = tr("Spanwright");
    if (m_session->isOpen()) {
        const QString title = fromUtf8(m_session->job().cover().title);
        const QString file = QFileInfo(m_session->path()).fileName();
        name = QStringLiteral("%1[*]").arg(title.isEmpty() ? file : QStringLiteral("%1 (%2)").arg(title, file));
        if (windowFilePath() != m_session->path()) setWindowFilePath(m_session->path());
    }
    // Telling the desktop the same again costs as much as telling it something new.
    if (windowTitle() != name) setWindowTitle(name);
    if (isWindowModified() != isUnsaved()) setWindowModified(isUnsaved());
}

bool DeskWindow::goTo(const models::Spot& spot) {
    if (!m_session->isOpen()) return false;
    const auto cell = m_session->find(spot.mark, spot.name);
    if (!cell) return goToJobValue(spot.name);
    // Sheets and rows may change on the way there; only the arrival is a visit.
    const bool moving = std::exchange(m_moving, true);
    m_pages->setCurrentWidget(m_gridView);
    const bool there = m_gridView->goTo(*cell);
    refreshTabs();
    m_moving = moving;
    if (there && !moving) m_history.visit(spot);
    return there;
}

bool DeskWindow::goToJobValue(const std::string& name) {
    for (int r = 0; r < m_values->rowCount(); ++r) {
        const QModelIndex at = m_values->index(r, models::JobValues::ValueColumn);
        if (at.siblingAtColumn(models::JobValues::NameColumn).data().toString() != fromUtf8(name)) continue;
        m_tabs->setCurrentIndex(m_tabs->count() - 1);
        m_valuesView->setCurrentIndex(at);
        m_valuesView->setFocus();
        return true;
    }
    return false;
}

void DeskWindow::jump(const models::Trouble& trouble) {
    if (trouble.cell) {
        if (goTo({m_session->job().member(trouble.cell->member).mark, m_session->quantity(*trouble.cell).name})) m_gridView->setFocus();
        return;
    }
    // What is wrong with a text is mended in the text, which opens for it; what is to be done about it stays said below.
    const auto goToPlace = [&] { return m_text->goTo(trouble.place->file, trouble.place->row, trouble.place->span.begin); };
    if (trouble.place && trouble.place->row != diag::Place::kNoRow && goToPlace()) {
        m_textDock->show();
        m_text->refresh();
        (void)goToPlace(); // now that its height is known
        m_text->setFocus();
    }
    QString where;
    if (trouble.place)
        if (const auto at = m_session->job().resolver()(*trouble.place)) where = tr("%1, line %2: ").arg(fromUtf8(trouble.place->file)).arg(at->line);
    statusBar()->showMessage(where + trouble.text + (trouble.mend.isEmpty() ? QString() : tr("; mend: %1").arg(trouble.mend)), 15000);
}

void DeskWindow::tell(const models::Outcome& outcome, const QString& done) {
    if (!outcome) {
        if (!done.isEmpty()) statusBar()->showMessage(done, 5000);
        return;
    }
    QMessageBox box(QMessageBox::NoIcon, tr("Not done"), outcome->message, QMessageBox::Ok, this);
    if (!outcome->mend.isEmpty()) box.setInformativeText(tr("mend: %1").arg(outcome->mend));
    box.exec();
}

// ---- look

void DeskWindow::setTheme(Theme theme) {
    m_settings.theme = theme;
    const bool dark = theme == Theme::Dark || (theme == Theme::System && QApplication::style()->standardPalette().color(QPalette::Window).lightness() < 128);
    QApplication::setPalette(ink::widgetPalette(dark ? ink::darkPalette() : ink::lightPalette()));
}

void DeskWindow::setLetters(int percent) {
    const int before = std::exchange(m_settings.letters, std::clamp(percent, 70, 300));
    QFont font = QApplication::font();
    font.setPointSizeF(m_baseLetters / 100.0 * m_settings.letters / 100.0);
    QApplication::setFont(font);
    for (QDockWidget* dock : findChildren<QDockWidget*>()) dock->setFont(font);
    if (m_workingDock == nullptr || !m_workingDock->isVisible() || before == m_settings.letters) return;
    // What stands beside the grid grows along, as far as the grid can spare the room.
    const int now = m_workingDock->width(), wanted = now * m_settings.letters / before;
    const int wide = wanted > now ? std::max(now, std::min(wanted, width() * kMostBeside / 100)) : std::max(wanted, std::min(now, kDockWidth));
    m_inner->resizeDocks({m_workingDock, m_plotsDock}, {wide, wide}, Qt::Horizontal);
}

/// What is shown again beside the grid, after it was hidden, is as wide as it was when the window was closed last.
void DeskWindow::widenDocks() {
    if (!m_workingDock->isVisible() || m_workingDock->isFloating() || m_inner->dockWidgetArea(m_workingDock) != Qt::RightDockWidgetArea) return;
    const int usual = std::min(kDockWidth * m_settings.letters / 100, std::max(kDockWidth, width() * kMostBeside / 100));
    const int wide = m_settings.dockWidth > 0 ? m_settings.dockWidth : usual;
    m_inner->resizeDocks({m_workingDock, m_plotsDock}, {wide, wide}, Qt::Horizontal);
}

/// In a window that becomes narrower, what stands beside the grid gives way before the grid does.
void DeskWindow::resizeEvent(QResizeEvent* event) {
    QMainWindow::resizeEvent(event);
    const int most = width() * kMostBeside / 100;
    if (m_workingDock == nullptr || !event->oldSize().isValid() || event->size().width() >= event->oldSize().width()) return;
    for (QDockWidget* dock : {m_workingDock, m_plotsDock})
        if (dock->isVisible() && !dock->isFloating() && m_inner->dockWidgetArea(dock) == Qt::RightDockWidgetArea && dock->width() > std::max(most, kDockWidth))
            m_inner->resizeDocks({dock}, {std::max(most, kDockWidth)}, Qt::Horizontal);
}

void DeskWindow::closeEvent(QCloseEvent* event) {
    if (!mayLeave() || !mayLeaveFirst() || (printDialog() != nullptr && !printDialog()->mayClose())) {
        event->ignore();
        return;
    }
    delete printDialog(); // a window of its own: it would stay
    m_settings.geometry = saveGeometry();
    if (m_stack->currentWidget() == m_desk) m_settings.state = m_inner->saveState();
    if (m_workingDock->isVisible() && !m_workingDock->isFloating()) m_settings.dockWidth = m_workingDock->width();
    m_settings.searchSeconds = m_live->seconds();
    m_settings.save();
    m_journal->forget();
    event->accept();
}

} // namespace spanwright::app
