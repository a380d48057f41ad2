// SPDX-License-Identifier: MIT
#include "gui/models/tolerance_words.h"

#include <algorithm>

#include "engine/report/trial_document.h"
#include "engine/trial/pinned.h"
#include "gui/models/text.h"
#include "gui/models/words.h"

namespace spanwright::models {

ToleranceWords::ToleranceWords(JobSession& session, QObject* parent) : QObject(parent), m_session(session), m_asking(session) {
    connect(&m_asking, &Asking::changed, this, [this] {
        if (m_asking.state() != Asking::State::Answered) m_found.reset();
        Q_EMIT changed();
    });
    connect(&session, &JobSession::reset, this, [this] { showCell(std::nullopt); });
}

void ToleranceWords::showCell(std::optional<CellId> cell) {
    if (cell == m_cell && cell) return;
    m_cell = cell;
    m_any = false;
    m_found.reset();
    m_refused.clear();
    if (!cell) {
        m_asking.askNothing();
        return;
    }
    using Plan = Asking::Planned<trial::TolerancePlan>;
    using Answer = Asking::Planned<trial::Tolerance>;
    m_asking.ask(Asking::question(
        [this, cell = *cell](const job::Job& job) -> Plan {
            m_any = false;
            if (!m_session.hasSheet(cell.member)) return base::Failure{QString()};
            auto plan = trial::planTolerance(job, cell.member);
            if (!plan) return base::Failure{wordsOf(plan.error().message)};
            m_any = !plan.value().all.empty();
            if (!m_any) return base::Failure{QString()};
            return std::move(plan).value();
        },
        [](const trial::TolerancePlan& plan, const trial::Control& control) -> Answer {
            auto found = trial::tolerance(plan, {}, control);
            if (found.cancelled) return base::Failure{QString()};
            return found;
        },
        [this](trial::Tolerance&& found) { m_found = std::move(found); }, [this](const QString& why) { m_refused = why; }));
}

QStringList ToleranceWords::words() const {
    switch (m_asking.state()) {
    case Asking::State::Nothing: return {};
    case Asking::State::Waiting: return {tr("Being worked out...")};
    case Asking::State::Answered: break;
    }
    if (!m_refused.isEmpty()) return {m_refused};
    if (!m_found || !m_cell || !m_session.hasSheet(m_cell->member)) return {};
    QStringList out;
    const std::string& name = m_session.quantity(*m_cell).name;
    const auto check = std::find_if(m_found->checks.begin(), m_found->checks.end(), [&](const trial::CheckTolerance& c) { return c.name == name; });
    if (check == m_found->checks.end()) {
        out << tr("It was not worked out within them.");
    } else {
        out << tr("All together: %1.").arg(fromUtf8(report::toleranceVerdict(*check)));
        if (check->failing > 0)
            out << tr("It fails at %1 of %2 samples.").arg(fromUtf8(report::shareText(check->failing, m_found->samples))).arg(m_found->samples);
        if (check->how == trial::CheckTolerance::Worst::Fails) {
            QStringList at;
            for (std::size_t i = 0; i < m_found->spreads.size() && i < check->at.size(); ++i)
                at << QStringLiteral("%1 = %2").arg(fromUtf8(report::trialName(m_found->spreads[i].name, m_found->spreads[i].name.mark != m_found->mark)),
                                                    fromUtf8(m_found->spreads[i].showValue(check->at[i])));
            out << tr("Worst seen at %1.").arg(at.join(QStringLiteral(", ")));
        }
    }
    for (const trial::Spread& s : m_found->spreads)
        out << tr("%1 %2 alone: the member %3.").arg(fromUtf8(report::trialName(s.name, s.name.mark != m_found->mark)), fromUtf8(s.shown), fromUtf8(s.text));
    return out;
}

std::string ToleranceWords::pinned() const {
    const bool alone = !m_cell || m_session.job().isSingleSheet();
    return trial::pinnedSure(alone ? std::string() : m_session.job().member(m_cell->member).mark, {});
}

} // namespace spanwright::models
