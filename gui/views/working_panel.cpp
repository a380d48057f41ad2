// SPDX-License-Identifier: MIT
#include "gui/views/working_panel.h"

#include <QEvent>
#include <QLabel>
#include <QListWidget>
#include <QRegularExpression>
#include <QScrollBar>
#include <QVBoxLayout>

#include <algorithm>

#include "engine/report/equation.h"
#include "gui/ink/palette.h"
#include "gui/models/grid_model.h"
#include "gui/models/text.h"
#include "gui/models/words.h"
#include "gui/views/formula_view.h"
#include "gui/views/neighbour_list.h"
#include "gui/views/plot_view.h"
#include "gui/views/rich_words.h"
#include "gui/views/selectable_label.h"
#include "gui/views/stamp_label.h"

namespace spanwright::views {

using meaning::Box;
using models::fromUtf8;

namespace {

constexpr int kRemarkRole = Qt::UserRole + 1;
constexpr int kMostShown = 9;

Box op(const char* text) { return {Box::Kind::Operator, text, {}}; }

/// symbol = formula; = values put in; = result. For a check: demand and capacity, then the two numbers.
std::vector<Box> linesOf(const job::Working& w) {
    std::vector<Box> lines;
    const bool check = !w.relation.empty();
    const auto line = [&](Box left, Box right) {
        Box row{Box::Kind::Row, {}, {}};
        row.children.push_back(std::move(left));
        row.children.push_back(op(check ? w.relation.c_str() : "="));
        row.children.push_back(std::move(right));
        lines.push_back(std::move(row));
    };
    if (check) {
        line(w.formula, w.right);
        const std::string first = meaning::plain(w.formula) + meaning::plain(w.right), second = meaning::plain(w.putIn) + meaning::plain(w.rightPutIn);
        if (second != first) line(w.putIn, w.rightPutIn);
        return lines;
    }
    if (w.hasFormula) {
        line(w.symbol, w.formula);
        if (meaning::plain(w.putIn) != meaning::plain(w.formula)) {
            Box row{Box::Kind::Row, {}, {op("=")}};
            row.children.push_back(w.putIn);
            lines.push_back(std::move(row));
        }
    }
    // A value that is written as it is shown is not said twice.
    const std::string result = meaning::plain(report::valueBox(w.shown));
    const bool said = w.hasFormula && (meaning::plain(w.formula) == result || meaning::plain(w.putIn) == result);
    if (!w.shown.empty() && !said) {
        Box row{Box::Kind::Row, {}, {}};
        if (!w.hasFormula) row.children.push_back(w.symbol);
        row.children.push_back(op("="));
        row.children.push_back(report::valueBox(w.shown));
        lines.push_back(std::move(row));
    }
    return lines;
}

/// Rows within a row become one row: lines are broken between its pieces.
void splice(Box& box) {
    if (box.kind != Box::Kind::Row) return;
    std::vector<Box> out;
    for (Box& child : box.children) {
        splice(child);
        if (child.kind == Box::Kind::Row)
            std::move(child.children.begin(), child.children.end(), std::back_inserter(out));
        else
            out.push_back(std::move(child));
    }
    box.children = std::move(out);
}

} // namespace

QLabel* WorkingPanel::label(bool small) {
    auto* l = new SelectableLabel(widget());
    l->setWordWrap(true);
    l->setTextFormat(Qt::PlainText);
    if (small) { l->setForegroundRole(QPalette::PlaceholderText); }
    widget()->layout()->addWidget(l);
    return l;
}

WorkingPanel::WorkingPanel(const models::JobSession& session, QWidget* parent) : QScrollArea(parent), m_session(session) {
    setWidgetResizable(true);
    setFrameStyle(QFrame::NoFrame);
    setHorizontalScrollBarPolicy(Qt::ScrollBarAlwaysOff);
    setAccessibleName(tr("Working of the selected value"));
    auto* page = new QWidget(this);
    auto* column = new QVBoxLayout(page);
    column->setContentsMargins(14, 10, 14, 10);
    column->setSpacing(6);
    setWidget(page);

    m_title = label(false);
    m_what = label(false);
    m_stamp = new StampLabel(page);
    column->addWidget(m_stamp);
    m_reason = label(false);
    m_formula = new FormulaView(page);
    column->addWidget(m_formula);
    m_details = label(true);
    m_curveColumn = new QVBoxLayout;
    column->addLayout(m_curveColumn);
    m_parts = new QVBoxLayout;
    column->addLayout(m_parts);
    m_soon.setSingleShot(true);
    m_soon.setInterval(60);
    connect(&m_soon, &QTimer::timeout, this, &WorkingPanel::drawCurves);
    m_source = label(true);
    m_note = label(true);
    m_tick = label(true);
    m_remarksTitle = label(false);
    m_remarks = new QListWidget(page);
    m_remarks->setFrameStyle(QFrame::NoFrame);
    m_remarks->setWordWrap(true);
    m_remarks->setHorizontalScrollBarPolicy(Qt::ScrollBarAlwaysOff);
    m_remarks->setAccessibleName(tr("Remarks on the selected value"));
    connect(m_remarks, &QListWidget::itemActivated, this, [this](QListWidgetItem* item) { Q_EMIT remarkChosen(item->data(kRemarkRole).toULongLong()); });
    column->addWidget(m_remarks);
    m_comesFromTitle = label(false);
    m_comesFrom = new NeighbourList(page);
    column->addWidget(m_comesFrom);
    m_feedsTitle = label(false);
    m_feeds = new NeighbourList(page);
    column->addWidget(m_feeds);
    column->addStretch(1);
    for (NeighbourList* list : {m_comesFrom, m_feeds}) connect(list, &NeighbourList::followed, this, &WorkingPanel::followed);
    m_comesFrom->setAccessibleName(tr("Comes from"));
    m_feeds->setAccessibleName(tr("Feeds"));
    fitFonts();
    clear(tr("Select a value to see how it came about."));
}

void WorkingPanel::fitFonts() {
    QFont bold = font(), larger = font();
    bold.setBold(true);
    if (larger.pointSizeF() > 0) larger.setPointSizeF(larger.pointSizeF() * 1.15);
    m_title->setFont(bold);
    m_formula->setFont(larger);
    for (QLabel* l : {m_details, m_source, m_note, m_tick}) l->setFont(ink::smallFont(font()));
}

void WorkingPanel::changeEvent(QEvent* event) {
    QScrollArea::changeEvent(event);
    if (event->type() != QEvent::FontChange || widget() == nullptr) return;
    fitFonts();
    refresh();
}

void WorkingPanel::clear(const QString& words) {
    sayWords(*m_title, words);
    m_title->show();
    for (QLabel* l : {m_what, m_source, m_details, m_note, m_reason, m_tick, m_comesFromTitle, m_feedsTitle, m_remarksTitle}) l->hide();
    m_stamp->show(ink::Stamp::None, {}, {});
    m_formula->setLines({}, {});
    m_formula->hide();
    m_comesFrom->hide();
    m_feeds->hide();
    m_remarks->hide();
}

void WorkingPanel::showCell(std::optional<models::CellId> cell, std::optional<std::size_t> caseIndex) {
    m_cell = cell;
    m_case = caseIndex;
    m_jobValue.reset();
    // Curves of another value would be taken for this one's.
    for (PlotView* c : m_curves) delete c;
    m_curves.clear();
    refresh();
    verticalScrollBar()->setValue(0);
}

void WorkingPanel::showJobValue(JobValue value) {
    const bool other = !m_jobValue || m_jobValue->name != value.name;
    if (m_cell || other) showCell(std::nullopt, std::nullopt);
    m_jobValue = std::move(value);
    refresh();
}

void WorkingPanel::refreshJobValue() {
    clear({});
    const auto say = [](QLabel* l, const QString& text) {
        l->setText(text);
        l->setVisible(!text.isEmpty());
    };
    const JobValue& v = *m_jobValue;
    say(m_title, tr("the whole job: %1").arg(v.what.isEmpty() ? fromUtf8(v.name) : v.what));
    say(m_details, tr("stated as %1 = %2").arg(fromUtf8(v.name), v.value));
    say(m_source, v.source.isEmpty() ? QString() : tr("source: %1").arg(v.source));
    // Who takes it, by what is stated.
    const QRegularExpression name(QStringLiteral("(?<![\\w.])%1(?![\\w.])").arg(QRegularExpression::escape(fromUtf8(v.name))),
                                  QRegularExpression::UseUnicodePropertiesOption);
    std::vector<job::Working::Neighbour> feeds;
    const job::Job& job = m_session.job();
    for (std::size_t m = 0; m < job.memberCount(); ++m) {
        if (!m_session.hasSheet(m)) continue;
        for (const meaning::Quantity& q : job.sheet(m).quantities) {
            const job::QuantityView& view = m_session.view({m, q.id});
            if (view.statedText.empty() || !name.match(fromUtf8(view.statedText)).hasMatch()) continue;
            job::Working::Neighbour n;
            n.member = job.member(m).mark;
            n.name = q.name;
            n.shown = view.shown;
            n.what = view.what;
            feeds.push_back(std::move(n));
        }
    }
    fill(*m_feeds, *m_feedsTitle, std::move(feeds), tr("Feeds"));
}

void WorkingPanel::drawCurves() {
    m_soon.stop();
    std::vector<job::PlotView> all;
    if (m_cell && m_session.isOpen() && m_cell->member < m_session.job().memberCount() && m_session.hasSheet(m_cell->member) && !m_session.outOfDate(*m_cell))
        all = m_session.job().curves(m_cell->member, m_cell->quantity, m_case);
    while (m_curves.size() > all.size()) {
        delete m_curves.back();
        m_curves.pop_back();
    }
    while (m_curves.size() < all.size()) {
        m_curves.push_back(new PlotView(widget()));
        m_curveColumn->addWidget(m_curves.back());
    }
    for (std::size_t i = 0; i < all.size(); ++i) {
        m_curves[i]->setPlot(std::move(all[i]), {});
        m_curves[i]->updateGeometry();
    }
}

void WorkingPanel::refresh() {
    m_soon.start();
    if (m_jobValue && m_session.isOpen()) return refreshJobValue();
    if (!m_cell || !m_session.isOpen() || m_cell->member >= m_session.job().memberCount() || !m_session.hasSheet(m_cell->member)) {
        clear(tr("Select a value to see how it came about."));
        return;
    }
    job::Working w = m_session.job().working(m_cell->member, m_cell->quantity, m_case);
    const auto say = [](QLabel* l, const QString& text) {
        l->setText(text);
        l->setVisible(!text.isEmpty());
    };
    const QString symbol = fromUtf8(meaning::plain(w.symbol));
    const QString title = w.what.empty() ? symbol : fromUtf8(w.what);
    sayWords(*m_title, m_session.job().isSingleSheet() ? title : tr("%1: %2").arg(fromUtf8(w.member), title));
    QString what = w.caseLabel.empty() ? QString() : tr("case: %1").arg(fromUtf8(w.caseLabel));
    const bool old = m_session.outOfDate(*m_cell);
    if (old) what = tr("Out of date: being worked out anew.") + (what.isEmpty() ? QString() : QLatin1Char('\n') + what);
    say(m_what, what);

    const job::CheckView* check = m_session.check(*m_cell);
    if (check != nullptr) {
        job::CheckView::State state = check->state;
        std::optional<double> utilisation = w.utilisation;
        if (m_case && *m_case < check->cases.size()) {
            state = check->cases[*m_case].state;
            utilisation = check->cases[*m_case].utilisation;
        }
        if (old)
            m_stamp->show(ink::Stamp::None, tr("was %1").arg(models::GridModel::checkWord(state)), std::nullopt);
        else
            m_stamp->show(ink::stampOf(state), models::GridModel::checkWord(state), utilisation);
        sayWords(*m_reason, fromUtf8(check->reason));
    } else {
        m_stamp->show(ink::Stamp::None, {}, {});
        sayWords(*m_reason, fromUtf8(w.reason));
    }

    std::vector<meaning::Box> lines = linesOf(w);
    QStringList said;
    for (meaning::Box& line : lines) {
        said << fromUtf8(meaning::plain(line));
        splice(line);
    }
    m_formula->setLines(std::move(lines), said.join(QStringLiteral("; ")));
    m_formula->setVisible(!said.isEmpty());

    QStringList details;
    const job::QuantityView& view = m_session.view(*m_cell);
    if (!view.statedText.empty())
        details << (view.statedFrom.empty() ? tr("stated as %1").arg(fromUtf8(view.statedText))
                                            : tr("stated as %1, from: %2").arg(fromUtf8(view.statedText), fromUtf8(view.statedFrom)));
    if (view.assumed) details << tr("assumed: the job does not state it");
    for (const std::string& d : w.details) details << fromUtf8(d);
    say(m_details, details.join(QLatin1Char('\n')));
    QStringList sources;
    if (!w.source.empty()) sources << tr("source: %1").arg(fromUtf8(w.source));
    for (const std::string& s : w.tableSources) sources << tr("table: %1").arg(fromUtf8(s));
    say(m_source, sources.join(QLatin1Char('\n')));
    sayWords(*m_note, fromUtf8(w.note));
    QString tick;
    if (view.tick && *view.tick < m_session.job().ticks().size()) {
        const job::TickView& t = m_session.job().ticks()[*view.tick];
        tick = tr("ticked by %1 on %2").arg(fromUtf8(t.by), fromUtf8(t.on));
        if (t.state == job::TickView::State::OutOfDate) tick += tr("; out of date, changed since: %1").arg(fromUtf8(t.changed));
        if (t.state == job::TickView::State::Unknown) tick += tr("; there is no value now");
    }
    say(m_tick, tick);
    fillRemarks();
    fill(*m_comesFrom, *m_comesFromTitle, std::move(w.comesFrom), tr("Comes from"));
    fill(*m_feeds, *m_feedsTitle, std::move(w.feeds), tr("Feeds"));
}

void WorkingPanel::fill(NeighbourList& list, QLabel& title, std::vector<job::Working::Neighbour> neighbours, const QString& name) {
    title.setText(name);
    title.setVisible(!neighbours.empty());
    list.setVisible(!neighbours.empty());
    list.set(std::move(neighbours), m_cell ? m_session.job().member(m_cell->member).mark : std::string());
}

std::size_t WorkingPanel::remarkOf(const QListWidgetItem* item) const { return item->data(kRemarkRole).toULongLong(); }

void WorkingPanel::fillRemarks() {
    m_remarks->clear();
    const auto& all = m_session.job().remarks();
    std::size_t open = 0;
    for (const std::uint32_t i : m_session.view(*m_cell).remarks) {
        const job::RemarkView& r = all[i];
        if (r.open) ++open;
        const QString who = fromUtf8(r.by), day = fromUtf8(r.on), words = fromUtf8(r.text);
        auto* item = new QListWidgetItem(r.answer ? tr("    answer, %1, %2: %3").arg(who, day, words) : tr("%1, %2: %3").arg(who, day, words), m_remarks);
        item->setData(kRemarkRole, QVariant::fromValue<qulonglong>(i));
        item->setToolTip(item->text().trimmed());
    }
    const bool any = m_remarks->count() > 0;
    m_remarksTitle->setText(open > 0 ? tr("Remarks, %1 open").arg(open) : tr("Remarks"));
    m_remarksTitle->setVisible(any);
    m_remarks->setVisible(any);
    if (!any) return;
    int height = 2 * m_remarks->frameWidth() + 2;
    for (int i = 0; i < std::min(m_remarks->count(), kMostShown); ++i) {
        const int width = std::max(120, viewport()->width() - 48);
        height += m_remarks->fontMetrics().boundingRect(0, 0, width, 4000, Qt::TextWordWrap, m_remarks->item(i)->text()).height() + 4;
    }
    m_remarks->setFixedHeight(std::min(height, fontMetrics().height() * 14));
}

QString WorkingPanel::shownText() const {
    QStringList out;
    for (const QLabel* l : {m_title, m_what, m_reason, m_details, m_source, m_note, m_tick})
        if (!l->text().isEmpty() && !l->isHidden()) out << (l->textFormat() == Qt::RichText ? l->accessibleName() : l->text());
    out << m_formula->accessibleName();
    return out.join(QLatin1Char('\n'));
}

} // namespace spanwright::views
