// SPDX-License-Identifier: MIT
#include "gui/models/weight_list.h"

#include <algorithm>
#include <cmath>

#include "engine/units/format.h"
#include "gui/models/text.h"
#include "gui/models/words.h"

namespace spanwright::models {

namespace {
constexpr int kMostShown = 12; ///< lighter ones say little
} // namespace

WeightList::WeightList(JobSession& session, QObject* parent) : QAbstractListModel(parent), m_session(session), m_asking(session) {
    connect(&m_asking, &Asking::changed, this, [this] {
        if (m_asking.state() != Asking::State::Answered) take(std::nullopt);
        Q_EMIT changed();
    });
    connect(&session, &JobSession::reset, this, [this] { showCell(std::nullopt); });
}

void WeightList::take(std::optional<trial::Weights> weights) {
    if (!weights && !m_weights) return;
    beginResetModel();
    m_weights = std::move(weights);
    m_rows = 0;
    if (m_weights)
        m_rows = static_cast<int>(std::count_if(m_weights->weights.begin(), m_weights->weights.end(), [](const trial::Weight& w) { return w.percent != 0.0; }));
    m_rows = std::min(m_rows, kMostShown);
    endResetModel();
}

void WeightList::showCell(std::optional<CellId> cell) {
    if (cell == m_cell && cell) return;
    m_cell = cell;
    m_refused.clear();
    if (!cell) {
        m_asking.askNothing();
        return;
    }
    using Plan = Asking::Planned<trial::WeighPlan>;
    using Answer = Asking::Planned<trial::Weights>;
    m_asking.ask(Asking::question(
        [this, cell = *cell](const job::Job& job) -> Plan {
            if (!m_session.hasSheet(cell.member)) return base::Failure{QString()};
            auto plan = trial::planWeigh(job, {job.member(cell.member).mark, m_session.quantity(cell).name});
            if (!plan) return base::Failure{wordsOf(plan.error().message)};
            return std::move(plan).value();
        },
        [](const trial::WeighPlan& plan, const trial::Control& control) -> Answer {
            auto found = trial::weigh(plan, control);
            if (!found) return base::Failure{wordsOf(found.error().message)};
            return std::move(found).value();
        },
        [this](trial::Weights&& weights) { take(std::move(weights)); }, [this](const QString& why) { m_refused = why; }));
}

int WeightList::rowCount(const QModelIndex& parent) const { return parent.isValid() ? 0 : m_rows; }

Spot WeightList::spot(int row) const {
    const trial::ValueName& name = m_weights->weights[static_cast<std::size_t>(row)].name;
    return {name.mark, name.name};
}

QVariant WeightList::data(const QModelIndex& index, int role) const {
    if (!checkIndex(index, CheckIndexOption::IndexIsValid)) return {};
    const trial::Weight& w = m_weights->weights[static_cast<std::size_t>(index.row())];
    const std::string own = m_cell && m_cell->member < m_session.job().memberCount() ? m_session.job().member(m_cell->member).mark : std::string();
    const QString name = w.name.mark == own ? fromUtf8(w.name.name) : fromUtf8(trial::pathText(w.name));
    const QString percent = (w.percent > 0 ? QStringLiteral("+") : QString()) + fromUtf8(units::showNumber(w.percent, units::Unit{}, {3, {}, {}})) + tr(" %");
    switch (role) {
    case Qt::DisplayRole: return QStringLiteral("%1  %2").arg(percent, name);
    case Qt::ToolTipRole:
    case Qt::AccessibleTextRole:
        return tr("%1: %2 for one per cent more, %3; now %4; %5")
            .arg(name, percent, w.exact ? tr("exact") : tr("by differences"), fromUtf8(w.nowShown), wordsOf(w.what));
    case PercentRole: return percent;
    case ShareRole: return w.percent / std::fabs(m_weights->weights.front().percent);
    case ExactRole: return w.exact;
    case NameRole: return name;
    case NowRole: return fromUtf8(w.nowShown);
    case WhatRole: return wordsOf(w.what);
    default: return {};
    }
}

QString WeightList::words() const {
    switch (m_asking.state()) {
    case Asking::State::Nothing: return {};
    case Asking::State::Waiting: return tr("Being worked out...");
    case Asking::State::Answered: break;
    }
    if (!m_refused.isEmpty()) return m_refused;
    QStringList jumping;
    for (const trial::Weight& w : m_weights->without)
        if (w.jumps) jumping << fromUtf8(w.name.name);
    const QString jumps = jumping.isEmpty() ? QString() : tr(" It jumps beside the present %1.").arg(jumping.join(QStringLiteral(", ")));
    if (m_rows == 0) return jumps.isEmpty() ? tr("No stated value changes it.") : jumps.trimmed();
    const bool all = std::all_of(m_weights->weights.begin(), m_weights->weights.begin() + m_rows, [](const trial::Weight& w) { return w.exact; });
    return (all ? tr("Its change for one per cent more of each, exact.") : tr("Its change for one per cent more of each; ~ by differences.")) + jumps;
}

} // namespace spanwright::models
