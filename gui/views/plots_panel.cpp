// SPDX-License-Identifier: MIT
#include "gui/views/plots_panel.h"

#include <QCheckBox>
#include <QLabel>
#include <QScrollBar>
#include <QVBoxLayout>

#include <algorithm>

#include "engine/report/build.h"
#include "gui/models/text.h"
#include "gui/views/drawing_view.h"
#include "gui/views/plot_view.h"

namespace spanwright::views {

namespace {
constexpr std::size_t kMostOthers = 8; ///< more lines than that cannot be told apart
} // namespace

PlotsPanel::PlotsPanel(const models::JobSession& session, QWidget* parent) : QScrollArea(parent), m_session(session) {
    setWidgetResizable(true);
    setFrameStyle(QFrame::NoFrame);
    setHorizontalScrollBarPolicy(Qt::ScrollBarAlwaysOff);
    setAccessibleName(tr("Diagrams of the member"));
    auto* page = new QWidget(this);
    m_column = new QVBoxLayout(page);
    m_column->setContentsMargins(8, 8, 8, 8);
    m_empty = new QLabel(tr("This sheet draws no diagrams."), page);
    m_empty->setForegroundRole(QPalette::PlaceholderText);
    m_column->addWidget(m_empty);
    m_overlaid = new QCheckBox(tr("Other members too"), page);
    m_overlaid->hide();
    connect(m_overlaid, &QCheckBox::toggled, this, [this] { draw(); });
    m_column->addWidget(m_overlaid);
    m_column->addStretch(1);
    setWidget(page);
    m_soon.setSingleShot(true);
    m_soon.setInterval(60);
    connect(&m_soon, &QTimer::timeout, this, &PlotsPanel::draw);
}

void PlotsPanel::showMember(std::optional<std::size_t> member) {
    if (member == m_member) return;
    m_member = member;
    refresh();
}

void PlotsPanel::refresh(bool now) {
    if (now)
        draw();
    else if (isVisible())
        m_soon.start();
}

void PlotsPanel::showEvent(QShowEvent* event) {
    QScrollArea::showEvent(event);
    m_soon.start();
}

QSize PlotsPanel::minimumSizeHint() const {
    return {widget()->minimumSizeHint().width() + verticalScrollBar()->sizeHint().width() + 2, fontMetrics().height() * 8};
}

void PlotsPanel::setOverlaid(bool on) { m_overlaid->setChecked(on); }

/// Members of the same sheet, in the job's order.
std::vector<std::size_t> PlotsPanel::others() const {
    std::vector<std::size_t> out;
    if (!m_member) return out;
    for (const models::SheetGroup& g : m_session.groups()) {
        if (std::find(g.members.begin(), g.members.end(), *m_member) == g.members.end()) continue;
        for (const std::size_t m : g.members)
            if (m != *m_member && m_session.hasSheet(m)) out.push_back(m);
    }
    return out;
}

void PlotsPanel::draw() {
    m_soon.stop();
    std::vector<job::PlotView> all;
    QString mark;
    if (m_member && m_session.isOpen() && m_session.hasSheet(*m_member)) {
        if (!m_session.job().isSingleSheet()) mark = models::fromUtf8(m_session.job().member(*m_member).mark);
        for (const meaning::Quantity& q : m_session.job().sheet(*m_member).quantities) {
            if (q.kind != meaning::Kind::Plot || m_session.job().value(*m_member, q.id).state == eval::State::NotApplicable) continue;
            if (auto plot = m_session.job().plot(*m_member, q.id)) {
                if (plot->what.empty()) plot->what = q.what;
                all.push_back(std::move(*plot));
            }
        }
    }
    while (m_plots.size() > all.size()) {
        delete m_plots.back();
        m_plots.pop_back();
    }
    while (m_plots.size() < all.size()) {
        auto* view = new PlotView(widget());
        m_column->insertWidget(m_column->count() - 1, view);
        m_plots.push_back(view);
    }
    const std::vector<std::size_t> beside = others();
    for (std::size_t i = 0; i < all.size(); ++i) {
        std::vector<PlotView::Other> over;
        for (std::size_t k = 0; m_overlaid->isChecked() && k < beside.size() && over.size() < kMostOthers; ++k) {
            const job::Job& job = m_session.job();
            for (const meaning::Quantity& q : job.sheet(beside[k]).quantities) {
                if (q.kind != meaning::Kind::Plot || q.name != all[i].name || job.value(beside[k], q.id).state != eval::State::Known) continue;
                if (auto plot = job.plot(beside[k], q.id)) over.push_back({models::fromUtf8(job.member(beside[k]).mark), std::move(*plot)});
            }
        }
        m_plots[i]->setPlot(std::move(all[i]), mark, std::move(over));
        m_plots[i]->setMinimumHeight(m_plots[i]->sizeHint().height());
        m_plots[i]->updateGeometry();
    }
    m_overlaid->setVisible(!m_plots.empty() && !beside.empty());
    drawSketches();
    m_empty->setVisible(m_plots.empty() && m_sketches.empty());
}

/// Sketches stand above the diagrams: what the member is comes before what it does.
void PlotsPanel::drawSketches() {
    std::vector<job::SketchView> all;
    if (m_member && m_session.isOpen() && m_session.hasSheet(*m_member)) {
        for (const meaning::Quantity& q : m_session.job().sheet(*m_member).quantities) {
            if (q.kind != meaning::Kind::Sketch) continue;
            if (auto sketch = m_session.job().sketch(*m_member, q.id)) all.push_back(std::move(*sketch));
        }
    }
    while (m_sketches.size() > all.size()) {
        delete m_sketches.back();
        m_sketches.pop_back();
    }
    while (m_sketches.size() < all.size()) {
        auto* view = new DrawingView(widget());
        m_column->insertWidget(static_cast<int>(m_sketches.size()), view);
        m_sketches.push_back(view);
    }
    for (std::size_t i = 0; i < all.size(); ++i) {
        QString caption = models::fromUtf8(all[i].title + (all[i].what.empty() ? "" : ": " + all[i].what));
        for (const std::string& why : all[i].leftOut) caption += QLatin1Char('\n') + tr("not drawn: %1").arg(models::fromUtf8(why));
        m_sketches[i]->setDrawing(report::sketchDrawing(all[i]), caption);
    }
}

} // namespace spanwright::views
