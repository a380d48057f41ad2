// SPDX-License-Identifier: MIT
#include "gui/models/far_model.h"

#include <utility>

#include "gui/models/text.h"
#include "gui/models/words.h"

namespace spanwright::models {

namespace {

QString joined(const std::vector<std::string>& list) {
    constexpr std::size_t kMost = 3;
    QStringList out;
    for (std::size_t i = 0; i < list.size() && i < kMost; ++i) out << fromUtf8(list[i]);
    QString words = out.join(QStringLiteral(", "));
    if (list.size() > kMost) words = FarModel::tr("%1 and %2 more").arg(words).arg(list.size() - kMost);
    return words;
}

} // namespace

FarModel::FarModel(JobSession& session, QObject* parent) : QObject(parent), m_session(session), m_asking(session) {
    connect(&m_asking, &Asking::changed, this, &FarModel::changed);
    connect(&session, &JobSession::reset, this, [this] { showCell(std::nullopt); });
}

bool FarModel::canAsk(const JobSession& session, CellId cell) {
    if (!session.isOpen() || !session.hasSheet(cell.member)) return false;
    const meaning::Quantity& q = session.quantity(cell);
    if (q.broken || session.view(cell).state != eval::State::Known) return false;
    return q.kind == meaning::Kind::Choose || ((q.kind == meaning::Kind::Ask || q.kind == meaning::Kind::Given) && q.type == meaning::Type::Number);
}

void FarModel::showCell(std::optional<CellId> cell) {
    if (cell == m_cell && cell) return;
    m_cell = cell;
    m_jobValue.clear();
    m_far.reset();
    m_refused.clear();
    if (!cell) {
        m_asking.askNothing();
        return;
    }
    ask([this, cell = *cell](const job::Job& job) -> std::optional<std::string> {
        if (!canAsk(m_session, cell)) return std::nullopt;
        const trial::ValueName name{job.member(cell.member).mark, m_session.quantity(cell).name};
        return job.isSingleSheet() ? name.name : trial::pathText(name);
    });
}

void FarModel::showJobValue(const std::string& name) {
    if (name == m_jobValue && !name.empty()) return;
    showCell(std::nullopt);
    m_jobValue = name;
    if (!name.empty()) ask([name](const job::Job&) { return std::optional(name); });
}

void FarModel::ask(std::function<std::optional<std::string>(const job::Job&)> name) {
    using Plan = Asking::Planned<trial::FarPlan>;
    using Answer = Asking::Planned<trial::Far>;
    m_asking.ask(Asking::question(
        [name = std::move(name)](const job::Job& job) -> Plan {
            const std::optional<std::string> asked = name(job);
            if (!asked) return base::Failure{tr("It has no value now.")};
            auto plan = trial::planFar(job, *asked);
            if (!plan) return base::Failure{wordsOf(plan.error().message)};
            return std::move(plan).value();
        },
        [](const trial::FarPlan& plan, const trial::Control& control) -> Answer { return trial::farOf(plan, control); },
        [this](trial::Far&& far) {
            if (!far.cancelled) m_far = std::move(far);
        },
        [this](const QString& why) {
            m_refused = why;
            if (!why.isEmpty()) m_far.reset();
        }));
}

QStringList FarModel::words() const {
    if (m_asking.state() == Asking::State::Nothing) return {};
    QStringList out;
    if (m_asking.state() == Asking::State::Waiting) out << (m_far ? tr("Out of date: being worked out anew.") : tr("Being worked out..."));
    if (!m_refused.isEmpty()) return out << m_refused;
    if (!m_far) return out;
    const trial::Far& f = *m_far;
    const bool old = !holds();
    if (f.ofOptions) {
        QStringList passing, others;
        for (const trial::Option& o : f.options) (o.verdict == trial::Verdict::Ok ? passing : others) << fromUtf8(o.label);
        if (!passing.isEmpty()) out << (old ? tr("passed: %1") : tr("passes: %1")).arg(passing.join(QStringLiteral(", ")));
        if (!others.isEmpty()) out << (old ? tr("did not pass: %1") : tr("does not pass: %1")).arg(others.join(QStringLiteral(", ")));
    } else {
        for (std::size_t i = 0; i < f.far.stretches.size(); ++i) {
            const trial::Stretch& s = f.far.stretches[i];
            out << (old ? tr("passed from %1 to %2") : tr("passes from %1 to %2")).arg(fromUtf8(f.shown(s.from)), fromUtf8(f.shown(s.to)));
            if (f.far.around != i) continue;
            out << (s.opensLow ? tr("below: the range looked at ends there, no check does") : tr("ended below by %1").arg(joined(f.far.stopsLow)));
            out << (s.opensHigh ? tr("above: the range looked at ends there, no check does") : tr("ended above by %1").arg(joined(f.far.stopsHigh)));
        }
        if (!f.far.stretches.empty() && !f.far.around && f.what.now) out << tr("The present value, %1, does not pass.").arg(fromUtf8(f.what.nowShown));
        if (f.far.stretches.empty() && f.far.looked > 0)
            out << tr("Nothing from %1 to %2 passes.").arg(fromUtf8(f.shown(f.far.range.from)), fromUtf8(f.shown(f.far.range.to)));
    }
    if (!f.ofOptions && f.far.looked == 0 && !f.reasons.empty()) out << tr("No value of it passes, because of what does not depend on it:");
    constexpr std::size_t kMostReasons = 4;
    for (std::size_t i = 0; i < f.reasons.size() && i < kMostReasons; ++i) out << wordsOf(f.reasons[i]);
    if (f.far.looked > 0 && !old) {
        const double apart = (f.far.range.to - f.far.range.from) / static_cast<double>(f.far.range.samples);
        if (f.what.whole)
            out << tr("Every whole number from %1 to %2 looked at").arg(fromUtf8(f.shown(f.far.range.from)), fromUtf8(f.shown(f.far.range.to)));
        else
            out << tr("%1 places looked at; a passing stretch narrower than %2 may be missed").arg(f.far.looked).arg(fromUtf8(f.shown(apart)));
    }
    if (f.members.size() > 1) {
        QStringList marks;
        constexpr std::size_t kMostMarks = 8;
        for (std::size_t i = 0; i < f.members.size() && i < kMostMarks; ++i) marks << fromUtf8(f.members[i]);
        const QString words = marks.join(QStringLiteral(", "));
        out << (f.members.size() > kMostMarks ? tr("checks of %1 and %2 more members together").arg(words).arg(f.members.size() - kMostMarks)
                                              : tr("checks of %1 together").arg(words));
    }
    return out;
}

} // namespace spanwright::models
