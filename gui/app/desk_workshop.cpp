// SPDX-License-Identifier: MIT
// Schedule, cutting and cost beside the grid: made anew as the job changes, and ways from there to members and their pieces.
#include <QAction>
#include <QApplication>
#include <QChildEvent>
#include <QDir>
#include <QDockWidget>
#include <QFileDialog>
#include <QFileInfo>
#include <QPointer>
#include <QStatusBar>
#include <QTabBar>

#include "engine/report/build.h"
#include "engine/report/facts.h"
#include "engine/report/shop_pages.h"
#include "engine/report/write.h"
#include "gui/app/desk_window.h"
#include "gui/editor/text_panel.h"
#include "gui/models/grid_rows.h"
#include "gui/models/text.h"
#include "gui/paper/page_book.h"
#include "gui/views/cost_view.h"
#include "gui/views/cutting_view.h"
#include "gui/views/grid_view.h"
#include "gui/views/schedule_view.h"

namespace spanwright::app {

using models::fromUtf8;
using models::toUtf8;

namespace {

/// Docks that stand one behind the other get a bar of tabs, made by the window that holds them: it is to have a name.
class TabNamer : public QObject {
public:
    using QObject::QObject;
    bool eventFilter(QObject* watched, QEvent* event) override {
        // A bar that comes hidden is not polished, and while it is being added it is no bar yet: it is named a little later.
        if (event->type() == QEvent::ChildAdded || event->type() == QEvent::ChildPolished)
            QMetaObject::invokeMethod(
                this,
                [child = QPointer<QObject>(static_cast<QChildEvent*>(event)->child())] {
                    if (auto* tabs = qobject_cast<QTabBar*>(child.data())) tabs->setAccessibleName(DeskWindow::tr("Views beside the grid"));
                },
                event->type() == QEvent::ChildAdded ? Qt::QueuedConnection : Qt::DirectConnection);
        return QObject::eventFilter(watched, event);
    }
};

/// The page of each member in the calculation as the paper dialog prints it when nothing else is chosen: whole, on A4.
std::vector<int> pagesOf(const job::Job& job, const shop::Workshop& w, const std::function<bool()>& givenUp) {
    report::Want want;
    want.rows = want.workings = want.mends = true;
    const auto goOn = [&](std::size_t, std::size_t) { return !givenUp(); };
    want.goOn = goOn;
    report::JobFacts facts = report::gather(job, want);
    if (givenUp()) return {};
    facts.shop = std::make_shared<const shop::Workshop>(w);
    const report::Document document = report::reportDocument(facts, {});
    if (givenUp()) return {};
    const paper::PageBook book(document, {}, goOn);
    if (givenUp()) return {};
    std::vector<int> out;
    for (std::size_t i = 0; i < job.memberCount(); ++i) out.push_back(book.pageOf(report::memberId(i)));
    return out;
}

} // namespace

void DeskWindow::buildWorkshop(const std::function<QDockWidget*(const char*, const QString&, QWidget*)>& dock) {
    m_inner->installEventFilter(new TabNamer(m_inner));
    m_live = std::make_unique<models::LiveWorkshop>(*m_session);
    m_live->setSeconds(m_settings.searchSeconds);
    m_live->setPager(pagesOf);
    m_schedule = new views::ScheduleView(*m_live, this);
    m_cutting = new views::CuttingView(*m_live, this);
    m_cost = new views::CostView(*m_live, this);
    m_shopDocks = {dock("schedule", tr("Schedule"), m_schedule), dock("cutting", tr("Cutting"), m_cutting), dock("cost", tr("Cost"), m_cost)};
    for (QDockWidget* d : m_shopDocks) {
        m_inner->addDockWidget(Qt::BottomDockWidgetArea, d);
        if (d != m_shopDocks.front()) m_inner->tabifyDockWidget(m_shopDocks.front(), d);
        m_inner->resizeDocks({d}, {300}, Qt::Vertical);
        d->hide(); // planning takes its time: nobody waits for it who has not asked
        // A dock behind another one is there and not seen: pages of the print are worth their time only where the schedule is in front.
        connect(d, &QDockWidget::visibilityChanged, this, [this, d](bool seen) {
            if (d == m_shopDocks.front()) m_scheduleSeen = seen;
            workshopSeen();
        });
    }
    connect(m_schedule, &views::ScheduleView::followed, this, [this](const QString& mark, const QString& check) { goToMember(mark, check); });
    connect(m_cutting, &views::CuttingView::followed, this,
            [this](const views::CuttingCanvas::PieceAt& at) { goToPiece(fromUtf8(at.mark), fromUtf8(at.name)); });
    connect(m_cost, &views::CostView::followed, this,
            [this](const QString& mark, const QString& piece) { piece.isEmpty() ? goToMember(mark, {}) : goToPiece(mark, piece); });
    connect(m_cutting, &views::CuttingView::cutListWanted, this, [this] {
        exportText(tr("Where the cut list is kept"), QStringLiteral("cut-list.csv"), [](const shop::Workshop& w) { return report::writeCutListCsv(w); });
    });
    connect(m_cost, &views::CostView::billWanted, this,
            [this] { exportText(tr("Where the bill is kept"), QStringLiteral("bill.csv"), [](const shop::Workshop& w) { return report::writeBillCsv(w); }); });
    connect(m_schedule, &views::ScheduleView::scheduleWanted, this, [this] {
        exportText(tr("Where the schedule is kept"), QStringLiteral("schedule.csv"), [this](const shop::Workshop& w) {
            report::JobFacts facts = report::gather(m_session->job(), {});
            facts.shop = std::make_shared<const shop::Workshop>(w);
            return report::writeScheduleCsv(facts);
        });
    });
    connect(m_cutting, &views::CuttingView::drawingsWanted, this, [this] {
        const QString folder = QFileDialog::getExistingDirectory(this, tr("Where the drawings are kept"), QFileInfo(m_session->path()).absolutePath());
        if (!folder.isEmpty()) exportDrawings(folder);
    });
}

/// Only what somebody sees is worked out.
void DeskWindow::workshopSeen() {
    bool any = false;
    for (QDockWidget* d : m_shopDocks) any = any || d->isVisible();
    m_live->setWanted(any);
    const char* const names[] = {"showSchedule", "showCutting", "showCost"};
    for (std::size_t i = 0; i < m_shopDocks.size(); ++i)
        if (QAction* shows = action(QLatin1String(names[i]))) shows->setChecked(!m_shopDocks[i]->isHidden());
    m_live->setPagesWanted(m_scheduleSeen);
}

/// Brings one of them to the front and puts the keys into it; where they are there already, it closes.
void DeskWindow::toShop(std::size_t which) {
    QDockWidget* dock = m_shopDocks[which];
    QWidget* const has = QApplication::focusWidget();
    if (dock->isVisible() && dock->widget()->isVisible() && has != nullptr && dock->isAncestorOf(has)) {
        dock->hide();
        m_gridView->setFocus();
    } else {
        dock->show();
        dock->raise();
        dock->widget()->setFocus(Qt::ShortcutFocusReason);
    }
    workshopSeen();
}

/// While the first page stands there; which of them were seen is remembered.
void DeskWindow::hideShop() {
    m_shopSeen.clear();
    for (QDockWidget* d : m_shopDocks) {
        m_shopSeen.push_back(!d->isHidden());
        d->hide();
    }
}

/// Opens all three, and puts the keys into the one that is in front; once more, and they close.
void DeskWindow::forWorkshop() {
    if (!m_session->isOpen() || m_session->job().isSingleSheet()) return;
    bool any = false;
    for (QDockWidget* d : m_shopDocks) any = any || !d->isHidden();
    if (any) {
        for (QDockWidget* d : m_shopDocks) d->hide();
        m_gridView->setFocus();
        return;
    }
    for (QDockWidget* d : m_shopDocks) d->show();
    m_shopDocks[1]->raise();
    m_cutting->setFocus(Qt::ShortcutFocusReason);
}

void DeskWindow::goToMember(const QString& mark, const QString& check) {
    const std::string m = toUtf8(mark);
    if (!check.isEmpty() && goTo({m, toUtf8(check)})) return;
    // The row that one is at, if that member has it too; else its first.
    if (const auto cell = m_gridView->currentCell())
        if (goTo({m, m_session->quantity(*cell).name})) return;
    const auto index = m_session->job().memberByMark(m);
    if (index && m_session->hasSheet(*index))
        for (const meaning::Quantity& q : m_session->job().sheet(*index).quantities)
            if (models::isShown(q.kind) && goTo({m, q.name})) return;
    statusBar()->showMessage(tr("%1 is no longer there").arg(mark), 5000);
}

void DeskWindow::goToPiece(const QString& mark, const QString& piece) {
    const auto cell = m_session->find(toUtf8(mark), toUtf8(piece));
    if (!cell || !goTo({toUtf8(mark), toUtf8(piece)})) goToMember(mark, {});
}

const shop::Workshop* DeskWindow::workshopNow() {
    if (m_live->workshop() && !m_live->isOutOfDate() && m_live->phase() == models::LiveWorkshop::Phase::Rests) return m_live->workshop().get();
    statusBar()->showMessage(tr("It is still being planned: nothing of it is kept before it is of the job as it stands."), 5000);
    return nullptr;
}

bool DeskWindow::exportText(const QString& title, const QString& name, const std::function<std::string(const shop::Workshop&)>& what) {
    if (workshopNow() == nullptr) return false;
    const QFileInfo job(m_session->path());
    const QString path = QFileDialog::getSaveFileName(this, title, job.absolutePath() + QLatin1Char('/') + job.completeBaseName() + QLatin1Char('-') + name,
                                                      tr("Tables (*.csv)"));
    const shop::Workshop* w = path.isEmpty() ? nullptr : workshopNow(); // the job may have gone on meanwhile
    return w != nullptr && keepFile(path, what(*w));
}

bool DeskWindow::exportDrawings(const QString& folder) {
    const shop::Workshop* w = workshopNow();
    if (w == nullptr) return false;
    int kept = 0;
    for (const shop::GroupPlan& g : w->plan.groups)
        for (const shop::CutBoard& b : g.boards) {
            const QString path = QStringLiteral("%1/%2-%3.svg").arg(folder, g.panels ? QStringLiteral("panel") : QStringLiteral("board")).arg(b.number);
            if (!keepFile(path, report::writeSvg(report::cutDrawing(*w, g, b), "c", true))) return false;
            ++kept;
        }
    statusBar()->showMessage(tr("%1 drawings kept in %2").arg(kept).arg(folder), 8000);
    return true;
}

bool DeskWindow::keepFile(const QString& path, const std::string& bytes) {
    const auto written = m_session->files().write(toUtf8(path), bytes);
    if (!written) {
        tell(models::Refusal{tr("%1 could not be written: %2").arg(path, fromUtf8(written.error().message)), tr("choose another folder")});
        return false;
    }
    statusBar()->showMessage(tr("kept in %1").arg(path), 8000);
    return true;
}

/// A member that is selected in the grid is marked in all three.
void DeskWindow::markInWorkshop(const std::string& mark) {
    m_schedule->setMember(mark);
    m_cutting->setMember(mark);
    m_cost->setMember(mark);
}

} // namespace spanwright::app
