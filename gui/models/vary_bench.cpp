// SPDX-License-Identifier: MIT
#include "gui/models/vary_bench.h"

#include <algorithm>
#include <cmath>

#include "engine/trial/pinned.h"
#include "gui/models/far_model.h"
#include "gui/models/text.h"
#include "gui/models/words.h"

namespace spanwright::models {

using Where = VaryFault::Where;

namespace {

std::string trimmed(const QString& text) { return toUtf8(text.trimmed()); }

/// As it would stand in a row: "J1.h from 160 mm to 260 mm by 20 mm".
std::string overText(const VaryField& f) {
    const std::string name = trimmed(f.name), list = trimmed(f.list), from = trimmed(f.from), to = trimmed(f.to), by = trimmed(f.by);
    if (!list.empty()) return name + " in " + list;
    if (from.empty() && to.empty() && by.empty()) return name;
    return name + " from " + from + " to " + to + (by.empty() ? "" : " by " + by);
}

VaryFault faultOf(const diag::Diagnostic& d, Where where, std::size_t field) { return {where, field, wordsOf(d.message), wordsOf(d.mend)}; }

std::vector<std::string> namesOf(const QString& text) {
    std::vector<std::string> out;
    for (const QString& name : text.split(QLatin1Char(','), Qt::SkipEmptyParts))
        if (!name.trimmed().isEmpty()) out.push_back(trimmed(name));
    return out;
}

std::optional<VaryFault> checkField(const job::Job& job, const VaryField& f, std::size_t field) {
    const auto at = [&](const diag::Diagnostic& d, Where where) { return faultOf(d, where, field); };
    const std::string& file = job.path();
    const auto name = trial::readOver(trimmed(f.name), file);
    if (!name) return at(name.error(), Where::Name);
    if (!name.value().from.empty() || !name.value().list.empty())
        return VaryFault{Where::Name, field, VaryBench::tr("a range has fields of its own"), VaryBench::tr("write the name alone")};
    const auto made = trial::Trial::of(job, {trial::splitName(job, name.value().name)}, {});
    if (!made) return at(made.error(), Where::Name);
    const trial::Trial& trial = made.value();
    const bool list = !f.list.trimmed().isEmpty();
    trial::OverText over;
    if (list || trial.varied()[0].table) {
        if (list) {
            const auto read = trial::readOver(overText(f), file);
            if (!read) return at(read.error(), Where::List);
            over = read.value();
        } else {
            over.name = name.value().name;
        }
        const auto axis = trial::axisOf(trial, 0, over, file);
        if (!axis) return at(axis.error(), Where::List);
        return std::nullopt;
    }
    over.name = name.value().name;
    for (const auto& [text, where, into] : {std::tuple(f.from, Where::From, &over.from), {f.to, Where::To, &over.to}, {f.by, Where::By, &over.by}}) {
        *into = trimmed(text);
        if (into->empty()) {
            if (where == Where::By) continue;
            return VaryFault{where, field, where == Where::From ? VaryBench::tr("where it begins is not said") : VaryBench::tr("where it ends is not said"),
                             VaryBench::tr("write a value, or a list of values beside it")};
        }
        if (const auto value = trial::valueOf(trial, 0, *into, file); !value) return at(value.error(), where);
    }
    if (const auto axis = trial::axisOf(trial, 0, over, file); !axis) {
        const double from = trial::valueOf(trial, 0, over.from, file).value(), to = trial::valueOf(trial, 0, over.to, file).value();
        return at(axis.error(), to <= from || over.by.empty() ? Where::To : Where::By);
    }
    return std::nullopt;
}

} // namespace

VaryBench::VaryBench(JobSession& session, QObject* parent) : QObject(parent), m_session(session), m_run(this) {
    for (const auto signal : {&JobSession::reset, &JobSession::settled}) connect(&session, signal, this, &VaryBench::outdate);
    connect(&m_run, &AsideRun::progressed, this, &VaryBench::progressed);
    connect(&m_run, &AsideRun::finished, this, &VaryBench::changed);
}

void VaryBench::outdate() {
    // What was begun reads a copy of the job as it was.
    const bool ran = m_run.isRunning();
    m_run.stop();
    if (!ran && !m_holds) return;
    m_holds = false;
    Q_EMIT changed();
}

trial::VaryRequest VaryBench::requestOf(const VaryWish& wish) const {
    trial::VaryRequest r;
    for (const VaryField& f : wish.fields)
        if (!f.isEmpty()) r.over.push_back(overText(f));
    r.show = namesOf(wish.show);
    r.aim = wish.aim;
    if (wish.aim) r.reach = trimmed(wish.reach);
    return r;
}

std::optional<VaryFault> VaryBench::check(const VaryWish& wish) const {
    if (!m_session.isOpen() || m_session.isPending())
        return VaryFault{Where::Whole, 0, tr("the job is being worked out anew"), tr("wait until it is up to date")};
    const job::Job& job = m_session.job();
    std::size_t first = wish.fields.size();
    for (std::size_t i = 0; i < wish.fields.size(); ++i) {
        if (wish.fields[i].isEmpty()) continue;
        first = std::min(first, i);
        if (auto fault = checkField(job, wish.fields[i], i)) return fault;
    }
    if (first == wish.fields.size()) return VaryFault{Where::Name, 0, tr("nothing is varied yet"), tr("choose a value, such as a depth or a spacing")};
    const trial::ValueName varied = trial::splitName(job, trimmed(wish.fields[first].name));
    for (const std::string& name : namesOf(wish.show))
        if (const auto made = trial::Trial::of(job, {varied}, {trial::splitName(job, name)}); !made) return faultOf(made.error(), Where::Show, 0);
    if (wish.aim) {
        const auto read = trial::readOver(trimmed(wish.reach), job.path());
        if (!read) return faultOf(read.error(), Where::Reach, 0);
        if (const auto made = trial::Trial::of(job, {trial::splitName(job, read.value().name)}, {}); !made) return faultOf(made.error(), Where::Reach, 0);
        for (const VaryField& f : wish.fields)
            if (!f.isEmpty() && trial::splitName(job, trimmed(f.name)) == trial::splitName(job, read.value().name))
                return VaryFault{Where::Reach, 0, tr("%1 is varied already").arg(f.name.trimmed()), tr("look for another value")};
    }
    if (const auto plan = trial::planVary(job, requestOf(wish)); !plan) return faultOf(plan.error(), wish.aim ? Where::Reach : Where::Whole, 0);
    return std::nullopt;
}

std::optional<VaryFault> VaryBench::start(const VaryWish& wish) {
    if (auto fault = check(wish)) return fault;
    auto plan = trial::planVary(m_session.job(), requestOf(wish));
    if (!plan) return faultOf(plan.error(), Where::Whole, 0);
    auto made = std::make_shared<trial::VaryPlan>(std::move(plan).value());
    m_holds = false;
    m_run.start([this, made](const trial::Control& control) -> AsideRun::Take {
        auto table = std::make_shared<trial::VaryTable>(trial::vary(*made, control));
        return [this, table] {
            m_holds = !table->cancelled;
            if (m_holds) m_table = std::move(*table);
        };
    });
    Q_EMIT changed();
    return std::nullopt;
}

void VaryBench::stop() {
    if (!m_run.isRunning()) return;
    m_run.stop();
    Q_EMIT changed();
}

Outcome VaryBench::pin(const VaryWish& wish) {
    if (const auto fault = check(wish)) return Refusal{fault->message, fault->mend};
    const trial::VaryRequest request = requestOf(wish);
    const auto plan = trial::planVary(m_session.job(), request);
    std::size_t points = 1;
    if (plan)
        for (const trial::Axis& a : plan.value().table.axes) points *= a.values.size();
    if (points > trial::kMostPinnedPoints)
        return Refusal{tr("this table has %1 points, and a pinned one has at most %2").arg(points).arg(trial::kMostPinnedPoints),
                       tr("take longer steps, shorter ranges or fewer values")};
    return m_session.edit(tr("pin a trial"), [&](job::Job& job) { return trial::pin(job, trial::pinnedText(request), {}); });
}

QString VaryBench::nameOf(const std::string& mark, const std::string& name) const {
    return m_session.job().isSingleSheet() || mark.empty() ? fromUtf8(name) : fromUtf8(mark + "." + name);
}

std::vector<Variable> VaryBench::variables() const {
    std::vector<Variable> out;
    if (!m_session.isOpen()) return out;
    const job::Job& job = m_session.job();
    for (std::size_t m = 0; m < job.memberCount(); ++m) {
        if (!m_session.hasSheet(m)) continue;
        for (const meaning::Quantity& q : job.sheet(m).quantities)
            if (FarModel::canAsk(m_session, {m, q.id})) out.push_back({nameOf(job.member(m).mark, q.name), wordsOf(q.what), q.kind == meaning::Kind::Choose});
    }
    if (!job.isSingleSheet())
        for (const std::string& name : job.givenNames()) out.push_back({fromUtf8(name), tr("value of the whole job"), false});
    return out;
}

std::vector<Variable> VaryBench::shownOf(const QString& name) const {
    std::vector<Variable> out;
    if (!m_session.isOpen()) return out;
    const job::Job& job = m_session.job();
    const auto member = job.memberByMark(trial::splitName(job, trimmed(name)).mark);
    if (!member || !m_session.hasSheet(*member)) return out;
    for (const bool checks : {true, false})
        for (const meaning::Quantity& q : job.sheet(*member).quantities) {
            const bool check = q.kind == meaning::Kind::Check;
            if (q.broken || q.name.empty() || check != checks || (!check && (q.kind != meaning::Kind::Derive || q.type != meaning::Type::Number))) continue;
            out.push_back({nameOf(job.member(*member).mark, q.name), wordsOf(q.what), false});
        }
    return out;
}

VaryField VaryBench::proposalFor(const QString& name) const {
    VaryField f;
    f.name = name;
    if (!m_session.isOpen()) return f;
    const auto made = trial::Trial::of(m_session.job(), {trial::splitName(m_session.job(), trimmed(name))}, {});
    if (!made || made.value().varied()[0].table) return f;
    const trial::Varied& v = made.value().varied()[0];
    if (!v.now || *v.now == 0.0) return f;
    const double now = units::fromSi(*v.now, v.unit);
    // Round steps of about a twentieth.
    const double rough = std::fabs(now) / 20, ten = std::pow(10.0, std::floor(std::log10(rough)));
    const double step = rough / ten < 1.5 ? ten : rough / ten < 3.5 ? 2 * ten : rough / ten < 7.5 ? 5 * ten : 10 * ten;
    const auto value = [&](double steps) { return units::toSi(step, v.unit) * steps; };
    double low = std::round(now / step) - 5, high = low + 10;
    while (v.low && value(low) < *v.low && low < high) ++low;
    while (v.high && value(high) > *v.high && high > low) --high;
    if (!(low < high)) return f;
    // As it would be typed: freed of the last bits.
    const auto typed = [&](double steps) {
        const double si = trial::gridValue({0.0, v.unit}, {units::toSi(step, v.unit), v.unit}, static_cast<std::size_t>(std::fabs(steps)));
        return fromUtf8(units::writeValue(steps < 0 ? -si : si, v.unit));
    };
    f.from = typed(low);
    f.to = typed(high);
    f.by = typed(1);
    return f;
}

} // namespace spanwright::models
