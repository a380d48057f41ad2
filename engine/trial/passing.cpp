// SPDX-License-Identifier: MIT
#include "engine/trial/passing.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>

#include "engine/trial/worker.h"

namespace spanwright::trial {

using eval::kPoints;
using eval::PointRow;
using job::ExtractRow;
using meaning::Expr;
using meaning::ExprId;
using meaning::ExprKind;
using meaning::Kind;
using meaning::Quantity;

namespace {

/// About what rows cost, in operations on one number. It decides the order in which checks are come to, and no result.
class Costs {
public:
    explicit Costs(const job::ExtractMember& member) : m_sheet(*member.sheet), m_values(*member.values) {}

    [[nodiscard]] double of(const Quantity& q) {
        constexpr double kBeam = 1500.0;
        if (q.kind == Kind::Beam) return kBeam;
        double cases = 1.0;
        for (const meaning::QuantityId a : q.axes) cases *= rows(a);
        return 1.0 + cases * (of(q.formula) + of(q.right));
    }

private:
    const meaning::Sheet& m_sheet;
    const eval::MemberValues& m_values;
    std::map<std::uint32_t, double> m_functions;

    [[nodiscard]] double rows(meaning::QuantityId axis) const {
        return m_values.at(axis).known() ? static_cast<double>(std::max<std::size_t>(m_values.axisSize(axis), 1)) : 1.0;
    }
    /// A moment or shear of a beam, or its size.
    [[nodiscard]] bool isForce(ExprId id) const {
        using enum meaning::BeamOutput;
        const Expr& e = m_sheet.exprs.at(id);
        const bool sized = e.kind == ExprKind::Negate || (e.kind == ExprKind::Builtin && e.builtin == meaning::Builtin::Abs);
        if (sized) return isForce(e.children[0]);
        return e.kind == ExprKind::BeamValue &&
               (e.beamValue == M || e.beamValue == MMost || e.beamValue == MLeast || e.beamValue == V || e.beamValue == VMost || e.beamValue == VLeast);
    }
    [[nodiscard]] double of(ExprId id) {
        constexpr double kPlaces = 200.0, kTurns = 60.0; // of a range; where a beam says where it turns
        if (!id.valid()) return 0.0;
        const Expr& e = m_sheet.exprs.at(id);
        double inside = 0.0;
        for (const ExprId child : e.children) inside += of(child);
        if (e.kind == ExprKind::Span) return (isForce(e.children[0]) ? kTurns : kPlaces) * inside;
        if (e.kind == ExprKind::Reduce) return rows(e.quantity) * inside;
        if (e.kind == ExprKind::BeamValue) return 4.0 + inside;
        if (!e.function.valid() || !m_sheet.functions[e.function.index()].body.valid()) return 1.0 + inside;
        auto [found, fresh] = m_functions.emplace(e.function.value, 1.0);
        if (fresh) {
            const double body = of(m_sheet.functions[e.function.index()].body); // functions do not recurse
            found = m_functions.insert_or_assign(e.function.value, body).first;
        }
        return found->second + inside;
    }
};

} // namespace

void RunPlan::planStages() {
    const std::size_t n = extract.rows.size();
    std::vector<Costs> costs;
    for (const job::ExtractMember& m : extract.members) costs.emplace_back(m);
    std::vector<double> cost(n, 1.0);
    for (std::size_t i = 0; i < n; ++i) {
        const ExtractRow& row = extract.rows[i];
        if (row.how == ExtractRow::How::Sheet && row.at.member != job::ExtractRef::kJob)
            cost[i] = costs[row.at.member].of(extract.members[row.at.member].sheet->at(row.at.id));
    }
    // Of each check the rows that it rests on.
    struct Wanted {
        std::uint32_t check = 0;
        std::vector<std::uint32_t> rows;
    };
    std::vector<Wanted> wanted;
    for (std::uint32_t c = 0; c < checks.size(); ++c) {
        if (!fixed[c].varies) continue;
        Wanted w{c, {}};
        std::vector<char> seen(n, 0);
        std::vector<std::uint32_t> pending;
        for (std::uint32_t i = 0; i < n; ++i)
            if (extract.rows[i].at == job::ExtractRef{checks[c].member, checks[c].id}) pending.push_back(i);
        while (!pending.empty()) {
            const std::uint32_t i = pending.back();
            pending.pop_back();
            if (seen[i] != 0) continue;
            seen[i] = 1;
            w.rows.push_back(i);
            pending.insert(pending.end(), extract.rows[i].reads.begin(), extract.rows[i].reads.end());
        }
        wanted.push_back(std::move(w));
    }
    constexpr double kWorth = 300.0; // to look who is left before it is spent
    std::vector<char> done(n, 0);
    stages.clear();
    while (!wanted.empty()) {
        const auto left = [&](const Wanted& w) {
            double sum = 0.0;
            for (const std::uint32_t i : w.rows) sum += done[i] != 0 ? 0.0 : cost[i];
            return sum;
        };
        auto next = wanted.begin();
        double least = left(*next);
        for (auto it = wanted.begin() + 1; it != wanted.end(); ++it)
            if (const double more = left(*it); more < least) {
                least = more;
                next = it;
            }
        if (stages.empty() || least > kWorth) stages.emplace_back();
        Stage& stage = stages.back();
        for (const std::uint32_t i : next->rows) {
            if (done[i] == 0) stage.rows.push_back(i);
            done[i] = 1;
        }
        stage.checks.push_back(next->check);
        wanted.erase(next);
    }
    stages.emplace_back();
    for (std::uint32_t i = 0; i < n; ++i)
        if (done[i] == 0) stages.back().rows.push_back(i);
    for (Stage& s : stages) std::sort(s.rows.begin(), s.rows.end()); // in the order of the extract
}

void Worker::keep(const std::vector<std::uint32_t>& points) {
    for (eval::PointProgram* p : m_members) p->keep(points);
    for (const auto& given : m_givens) given->keep(points);
    for (std::vector<double>& v : m_filled)
        for (std::size_t i = 0; i < points.size(); ++i) v[i] = v[points[i]];
}

void Worker::passing(const RunPlan& plan, const std::vector<Verdict>& worst, std::size_t first, std::size_t count, const Fill& fill, char* passes,
                     double* most) {
    std::fill_n(passes, count, char{0});
    std::fill_n(most, count, std::numeric_limits<double>::quiet_NaN());
    for (std::size_t m = 0; m < plan.extract.members.size(); ++m)
        if (plan.extract.members[m].floor > worst[m]) return;
    begin(plan, first, count, fill);
    std::vector<std::uint32_t> at(count), stay; // places in the block of those that are left
    for (std::uint32_t i = 0; i < count; ++i) at[i] = i;
    std::vector<char> out(count, 0);
    Judged judged;
    for (const RunPlan::Stage& stage : plan.stages) {
        for (const std::uint32_t r : stage.rows) workRow(plan, plan.extract.rows[r], r, count, true);
        for (const std::uint32_t r : stage.rows) {
            const job::ExtractRef& ref = plan.extract.rows[r].at;
            if (ref.member == job::ExtractRef::kJob) continue; // whoever reads it is not known either
            const PointRow& row = m_members[ref.member]->row(ref.id);
            if (row.allKnown) continue;
            for (std::size_t i = 0; i < count; ++i)
                if (verdictOf(row.states[i], row.causes[i]) > worst[ref.member]) out[i] = 1;
        }
        for (const std::uint32_t c : stage.checks) {
            judge(plan, c, count, judged);
            const bool counts = worst[plan.checks[c].member] < Verdict::Fails && !plan.checks[c].isRequire;
            for (std::size_t i = 0; i < count; ++i) {
                if (verdictOf(judged.state[i]) > worst[plan.checks[c].member]) out[i] = 1;
                if (counts && !(judged.utilisation[i] <= most[at[i]]) && !std::isnan(judged.utilisation[i])) most[at[i]] = judged.utilisation[i];
            }
        }
        stay.clear();
        for (std::uint32_t i = 0; i < count; ++i)
            if (out[i] == 0) stay.push_back(i);
        if (stay.empty()) return;
        constexpr std::size_t kOneIn = 16; // fewer do not pay for moving the others up
        if (&stage == &plan.stages.back() || (count - stay.size()) * kOneIn < count) continue;
        keep(stay);
        for (std::size_t i = 0; i < stay.size(); ++i) at[i] = at[stay[i]];
        count = stay.size();
        std::fill_n(out.begin(), count, char{0});
    }
    // Whoever is left has had every row worked out: its verdict is found like that of any other point.
    verdicts(plan, count, {});
    for (std::size_t i = 0; i < count; ++i) {
        bool fine = out[i] == 0;
        for (std::size_t m = 0; m < worst.size() && fine; ++m) fine = m_said.members[m][i] <= worst[m];
        passes[at[i]] = fine ? 1 : 0;
    }
}

bool passAt(const Trial& trial, std::size_t points, const Fill& fill, const Control& control, const std::vector<Verdict>& worst, Answers& answers) {
    Passed passed = trial.passing(points, fill, control, worst);
    answers.holds = std::move(passed.passes);
    answers.excess.resize(points);
    for (std::size_t i = 0; i < points; ++i) // no utilisation, or none above zero: nothing to guess by
        answers.excess[i] = passed.most[i] > 0.0 ? std::log(passed.most[i] / (1.0 + job::kCheckSlack)) : std::numeric_limits<double>::quiet_NaN();
    return !passed.cancelled;
}

bool passAt(const Trial& trial, const std::vector<Place>& places, const Control& control, const std::vector<Verdict>& worst, Answers& answers) {
    const Fill fill = [&](std::size_t first, std::size_t count, double* const* out) {
        for (std::size_t i = 0; i < count; ++i) out[0][i] = places[first + i].x;
    };
    return passAt(trial, places.size(), fill, control, worst, answers);
}

} // namespace spanwright::trial
