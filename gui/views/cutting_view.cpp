// SPDX-License-Identifier: MIT
#include "gui/views/cutting_view.h"

#include <QResizeEvent>
#include <QScrollArea>
#include <QScrollBar>
#include <QVBoxLayout>

#include <algorithm>
#include <set>

#include "gui/models/text.h"
#include "gui/models/words.h"
#include "gui/views/workshop_head.h"

namespace spanwright::views {

using models::fromUtf8;
using models::LiveWorkshop;

namespace {
constexpr int kBetween = 120; // ms between two drawings of plans on the way
} // namespace

CuttingView::CuttingView(LiveWorkshop& live, QWidget* parent) : QWidget(parent), m_live(live) {
    auto* column = new QVBoxLayout(this);
    column->setContentsMargins(0, 0, 0, 0);
    column->setSpacing(0);
    m_head = new WorkshopHead(live, true, this);
    m_head->addExport(tr("&Cut list as CSV..."), [this] { Q_EMIT cutListWanted(); });
    m_head->addExport(tr("&Drawings as SVG..."), [this] { Q_EMIT drawingsWanted(); });
    column->addWidget(m_head);
    m_scroll = new QScrollArea(this);
    m_scroll->setFrameStyle(QFrame::NoFrame);
    m_scroll->setWidgetResizable(true);
    m_scroll->setFocusPolicy(Qt::NoFocus);
    m_scroll->setHorizontalScrollBarPolicy(Qt::ScrollBarAlwaysOff);
    m_canvas = new CuttingCanvas(m_scroll);
    m_scroll->setWidget(m_canvas);
    column->addWidget(m_scroll, 1);
    setFocusProxy(m_canvas);
    connect(m_canvas, &CuttingCanvas::followed, this, &CuttingView::followed);
    connect(m_canvas, &CuttingCanvas::wanted, this, [this](const QRect& place) {
        m_scroll->ensureVisible(place.center().x(), place.center().y(), std::min(place.width() / 2, width() / 2 - 4),
                                std::min(place.height() / 2, m_scroll->viewport()->height() / 2 - 4));
    });
    m_soon.setSingleShot(true);
    m_soon.setInterval(kBetween);
    connect(&m_soon, &QTimer::timeout, this, &CuttingView::refresh);
    connect(&live, &LiveWorkshop::betterPlan, this, [this] {
        if (!m_soon.isActive()) m_soon.start();
    });
    connect(&live, &LiveWorkshop::changed, this, [this] {
        m_soon.stop();
        refresh();
    });
    refresh();
}

void CuttingView::resizeEvent(QResizeEvent* event) {
    QWidget::resizeEvent(event);
    m_canvas->setRoom(m_scroll->viewport()->height());
}

void CuttingView::showEvent(QShowEvent* event) {
    QWidget::showEvent(event);
    m_canvas->setRoom(m_scroll->viewport()->height());
    refresh();
}

void CuttingView::refresh() {
    if (!isVisible()) return;
    const auto& done = m_live.workshop();
    const auto& prepared = m_live.prepared();
    std::vector<CuttingCanvas::Group> groups;
    std::set<std::string> shown;
    if (prepared)
        for (const shop::PlanSoFar& now : m_live.soFar()) {
            shown.insert(now.title);
            groups.push_back({prepared, now.plan, fromUtf8(now.plan.words), false});
        }
    // What is not planned anew yet is shown as it was, and said to be so.
    const bool old = m_live.isOutOfDate();
    if (done && !(prepared && !old))
        for (const shop::GroupPlan& plan : done->plan.groups) {
            if (shown.count(shop::titleOf(plan)) != 0) continue;
            groups.push_back({done, plan, old ? tr("out of date (was: %1)").arg(fromUtf8(plan.words)) : fromUtf8(plan.words), old});
        }
    m_canvas->setGroups(std::move(groups));
    if (!done || old) {
        m_head->show({});
        return;
    }
    const shop::Workshop& w = *done;
    QStringList words;
    if (m_live.isStopped()) words << tr("Stopped: the best plan so far.");
    std::int64_t boards = 0, panels = 0;
    std::size_t least = 0;
    for (const shop::GroupPlan& g : w.plan.groups) {
        for (const shop::StockUse& u : g.use) (g.panels ? panels : boards) += u.planned + u.spare;
        if (g.proven) ++least;
    }
    if (w.plan.groups.empty())
        words << tr("The job states no stock to cut its pieces from.");
    else
        words << tr("To buy: %1 boards and %2 panels. Of %3 plans %4 are proven to be the least.").arg(boards).arg(panels).arg(w.plan.groups.size()).arg(least);
    std::size_t wrong = 0;
    QString first;
    for (const auto* list : {&w.rows.problems, &w.parts.problems, &w.plan.problems})
        for (const diag::Diagnostic& d : *list)
            if (d.severity == diag::Severity::Error && wrong++ == 0) first = models::wordsOf(d.message);
    if (wrong > 0) words << (wrong == 1 ? first + QLatin1Char('.') : tr("%1 (and %2 more).").arg(first).arg(wrong - 1));
    if (!w.plan.whole && !w.plan.groups.empty()) words << tr("Not every piece has its place.");
    const bool proven = wrong == 0 && w.plan.whole;
    m_head->show(words.join(QLatin1Char(' ')), proven ? ink::Stamp::None : ink::Stamp::NotProven, proven ? QString() : tr("NOT PROVEN"));
}

} // namespace spanwright::views
