// SPDX-License-Identifier: MIT
#include "engine/trial/weigh.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <set>

#include "engine/eval/slopes.h"
#include "engine/trial/worker.h"

namespace spanwright::trial {

using diag::Code;
using diag::Diagnostic;
using eval::Slope;
using job::ExtractRef;
using job::ExtractRow;
using meaning::Kind;
using meaning::Quantity;
using meaning::QuantityId;

namespace {

using Slopes = std::vector<Slope>;

/// Slopes of the rows between one value and the quantity, in order.
class Chain {
public:
    Chain(const Trial& trial, std::map<const meaning::Sheet*, std::unique_ptr<eval::SlopeProgram>>& programs) : m_trial(trial), m_programs(programs) {}

    /// The slope of the number (or utilisation) of a row in its governing case; nothing without an exact one.
    std::optional<Slope> of(std::uint32_t member, QuantityId id) {
        const job::Extract& x = m_trial.extract();
        m_of.resize(x.members.size());
        m_pointers.resize(x.members.size());
        m_right.clear();
        for (std::size_t m = 0; m < x.members.size(); ++m) {
            m_of[m].resize(x.members[m].sheet->quantities.size());
            m_pointers[m].assign(x.members[m].sheet->quantities.size(), nullptr);
        }
        m_given.resize(x.givens.size());
        const std::vector<char> wanted = upstreamOf(member, id);
        for (std::size_t r = 0; r < x.rows.size(); ++r) {
            if (wanted[r] == 0) continue;
            const ExtractRow& row = x.rows[r];
            auto slopes = slopesOf(row);
            if (!slopes) return std::nullopt;
            if (row.at.member == ExtractRef::kJob) {
                m_given[row.at.id.index()] = *std::move(slopes);
                continue;
            }
            m_of[row.at.member][row.at.id.index()] = std::make_unique<Slopes>(*std::move(slopes));
            m_pointers[row.at.member][row.at.id.index()] = m_of[row.at.member][row.at.id.index()].get();
        }
        if (m_pointers[member][id.index()] == nullptr) return std::nullopt;
        const Slopes& left = *m_pointers[member][id.index()];
        const Quantity& q = x.members[member].sheet->at(id);
        if (left.empty()) return std::nullopt;
        if (q.kind != Kind::Check) {
            std::size_t most = 0;
            for (std::size_t c = 1; c < left.size(); ++c)
                if (std::fabs(left[c].value) > std::fabs(left[most].value)) most = c;
            return left[most];
        }
        std::optional<Slope> worst;
        for (std::size_t c = 0; c < left.size() && c < m_right.size(); ++c) {
            const bool upward = q.relation == syntax::Op::Greater || q.relation == syntax::Op::GreaterEqual;
            const Slope demand = upward ? m_right[c] : left[c], capacity = upward ? left[c] : m_right[c];
            if (!(capacity.value > 0.0)) return std::nullopt;
            const Slope u{demand.value / capacity.value, (demand.slope - demand.value / capacity.value * capacity.slope) / capacity.value};
            if (!worst || u.value > worst->value) worst = u;
        }
        return worst;
    }

private:
    /// Rows of the extract that the quantity reads, directly or not.
    std::vector<char> upstreamOf(std::uint32_t member, QuantityId id) const {
        const job::Extract& x = m_trial.extract();
        std::vector<char> wanted(x.rows.size(), 0);
        std::set<std::pair<std::uint32_t, std::uint32_t>> need{{member, id.value}};
        for (std::size_t r = x.rows.size(); r-- > 0;) {
            const ExtractRow& row = x.rows[r];
            if (need.count({row.at.member, row.at.id.value}) == 0) continue;
            wanted[r] = 1;
            for (const ExtractRow::Reference& ref : row.references)
                if (ref.varies) need.insert({ref.at.member, ref.at.id.value});
            if (row.at.member == ExtractRef::kJob || row.how != ExtractRow::How::Sheet) continue;
            const Quantity& q = x.members[row.at.member].sheet->at(row.at.id);
            for (const QuantityId read : q.reads) need.insert({row.at.member, read.value});
            if (q.condition.valid()) need.insert({row.at.member, q.condition.value});
        }
        return wanted;
    }

    std::optional<Slopes> slopesOf(const ExtractRow& row) {
        const job::Extract& x = m_trial.extract();
        switch (row.how) {
        case ExtractRow::How::Varied: return Slopes{{*m_trial.varied()[0].now, 1.0}};
        case ExtractRow::How::Fixed:
        case ExtractRow::How::List: return std::nullopt;
        case ExtractRow::How::Stated: {
            if (row.at.member == ExtractRef::kJob) return Slopes{{row.stated.one, 0.0}};
            const eval::Value& v = x.members[row.at.member].values->at(row.at.id);
            return v.known() && v.many.empty() ? std::optional<Slopes>(Slopes{{v.one, 0.0}}) : std::nullopt;
        }
        case ExtractRow::How::Link: {
            std::vector<const eval::Value*> fixed;
            std::vector<const Slopes*> varying;
            for (const ExtractRow::Reference& r : row.references) {
                fixed.push_back(&r.fixed);
                if (!r.varies) {
                    varying.push_back(nullptr);
                    continue;
                }
                const Slopes* s = r.at.member == ExtractRef::kJob ? &m_given[r.at.id.index()] : m_pointers[r.at.member][r.at.id.index()];
                if (s == nullptr || s->size() != 1) return std::nullopt;
                varying.push_back(s);
            }
            const auto s = eval::linkSlope(*row.link, fixed, varying);
            if (!s) return std::nullopt;
            return Slopes{*s};
        }
        case ExtractRow::How::Sheet: break;
        }
        const job::ExtractMember& m = x.members[row.at.member];
        const Quantity& q = m.sheet->at(row.at.id);
        const eval::Value& now = m.values->at(row.at.id);
        if (!now.known()) return std::nullopt;
        switch (q.kind) {
        case Kind::Derive:
        case Kind::Given:
        case Kind::Check: break;
        case Kind::Condition:
        case Kind::Require: {
            // As it is now; nearby it is the same.
            Slopes out;
            for (std::size_t c = 0; c < (q.axes.empty() ? 1 : now.many.size()); ++c) out.push_back({now.data()[c], 0.0});
            return out;
        }
        case Kind::Switch: {
            const QuantityId condition = m.sheet->at(q.whenTrue).condition;
            const bool holds = !condition.valid() || ((m.values->at(condition).data()[0] != 0.0) != m.sheet->at(q.whenTrue).otherwise);
            const QuantityId side = holds ? q.whenTrue : q.whenFalse;
            if (m.sheet->at(side).axes != q.axes) return std::nullopt;
            if (m_pointers[row.at.member][side.index()] != nullptr) return *m_pointers[row.at.member][side.index()];
            Slopes out;
            for (std::size_t c = 0; c < (q.axes.empty() ? 1 : now.many.size()); ++c) out.push_back({now.data()[c], 0.0});
            return out;
        }
        default: return std::nullopt; // beams and rows without numbers
        }
        auto& program = m_programs[m.sheet.get()];
        if (!program) program = std::make_unique<eval::SlopeProgram>(m.sheet);
        auto slopes = program->formula(q, q.formula, *m.values, m_pointers[row.at.member]);
        if (slopes && q.kind == Kind::Check) {
            auto right = q.right.valid() ? program->formula(q, q.right, *m.values, m_pointers[row.at.member]) : std::nullopt;
            if (!right) return std::nullopt;
            m_right = *std::move(right);
        }
        return slopes;
    }

    const Trial& m_trial;
    std::map<const meaning::Sheet*, std::unique_ptr<eval::SlopeProgram>>& m_programs;
    std::vector<std::vector<std::unique_ptr<Slopes>>> m_of;
    std::vector<std::vector<const Slopes*>> m_pointers;
    std::vector<Slopes> m_given;
    Slopes m_right; ///< of the check, which is the last row
};

/// Members that a member reads, directly or not, itself first.
std::vector<std::size_t> membersUpstream(const job::Job& job, std::size_t member) {
    std::vector<std::size_t> out{member};
    for (std::size_t i = 0; i < out.size(); ++i)
        for (const std::string& mark : job.member(out[i]).readsMembers)
            if (const auto m = job.memberByMark(mark); m && std::find(out.begin(), out.end(), *m) == out.end()) out.push_back(*m);
    return out;
}

/// A quantity at the present value of a given and a little to both sides of it.
struct Around {
    static constexpr double kStep = 5e-5; ///< of the value
    double now, step;
    double below2, below, here, above, above2; ///< at now -+ two steps, -+ one step; NaN where not computed

    Around(const Trial& trial, double at, const Control& control, bool& cancelled) : now(at), step(kStep * std::fabs(at)) {
        const double x[] = {at - 2 * step, at - step, at, at + step, at + 2 * step};
        const Fill fill = [&](std::size_t first, std::size_t count, double* const* out) { std::copy_n(x + first, count, out[0]); };
        const Results run = trial.run(5, fill, control);
        cancelled = cancelled || run.cancelled;
        const auto& v = run.shown[0];
        below2 = v[0], below = v[1], here = v[2], above = v[3], above2 = v[4];
    }

    /// Beside what is smooth, or has a kink just here, the second step to a side changes about as much as the first.
    [[nodiscard]] bool jumps() const {
        constexpr double kAlike = 4.0, kNoise = 1e-6;
        const auto apart = [&](double near, double far) {
            const double first = std::fabs(near - here), second = std::fabs(far - near), noise = kNoise * std::fabs(here);
            return first > kAlike * second + noise || second > kAlike * first + noise;
        };
        return apart(below, below2) || apart(above, above2);
    }

    [[nodiscard]] std::optional<double> slope() const {
        const double wide = (above2 - below2) / (4 * step), close = (above - below) / (2 * step);
        if (!std::isfinite(wide) || !std::isfinite(close)) return std::nullopt;
        // Richardson's step: what is left falls with the fourth power.
        return (4.0 * close - wide) / 3.0;
    }
};

} // namespace

base::Result<WeighPlan, Diagnostic> planWeigh(const job::Job& job, const ValueName& of) {
    const auto fail = [&](Code code, std::string message, std::string mend) {
        return base::Failure<Diagnostic>{trialFault(code, job.path(), std::move(message), std::move(mend))};
    };
    if (of.mark.empty()) return base::Failure<Diagnostic>{bareName(job, of.name)};
    const auto member = job.memberByMark(of.mark);
    if (!member) return fail(Code::UnknownMember, "there is no member `" + of.mark + "`", "name a row with its member's mark, as in `J1.M_d`");
    const Quantity* target = job.sheet(*member).find(of.name);
    if (target == nullptr)
        for (const Quantity& q : job.sheet(*member).quantities)
            if (q.name == of.name) target = &q;
    if (target == nullptr) return fail(Code::UnknownName, "there is no row `" + pathText(of) + "`", "look for its name with `spanwright working`");
    if (target->kind == Kind::Require)
        return fail(Code::TrialRange, "`" + pathText(of) + "` holds or does not: nothing has a weight on it", "name a check or a quantity");
    std::vector<ValueName> names;
    for (const std::size_t m : membersUpstream(job, *member)) {
        const job::MemberView& view = job.member(m);
        for (const Quantity& q : job.sheet(m).quantities) {
            const bool kind = (q.kind == Kind::Ask || q.kind == Kind::Given) && q.type == meaning::Type::Number && !q.broken;
            const job::QuantityView& row = view.quantities[q.id.index()];
            if (kind && row.state == eval::State::Known && !(m == *member && q.id == target->id)) names.push_back({view.mark, q.name});
        }
    }
    if (!job.isSingleSheet())
        for (const std::string& g : job.givenNames()) names.push_back({"", g});
    const auto workers = std::make_shared<Workers>();
    WeighPlan plan;
    plan.member = *member;
    plan.target = target->id;
    plan.of = of;
    plan.file = job.path();
    for (const ValueName& name : names) {
        auto made = Trial::of(job, {name}, {of}, workers);
        if (!made) {
            if (plan.trials.empty()) return base::Failure<Diagnostic>{made.error()};
            continue;
        }
        plan.trials.push_back(std::move(made).value());
    }
    if (plan.trials.empty()) return fail(Code::TrialNoAnswer, "nothing is stated upstream of `" + pathText(of) + "`", "");
    return plan;
}

base::Result<Weights, Diagnostic> weigh(const job::Job& job, const ValueName& of, const Control& control) {
    auto plan = planWeigh(job, of);
    if (!plan) return base::Failure<Diagnostic>{plan.error()};
    return weigh(plan.value(), control);
}

base::Result<Weights, Diagnostic> weigh(const WeighPlan& plan, const Control& control) {
    const auto fail = [&](Code code, std::string message, std::string mend) {
        return base::Failure<Diagnostic>{trialFault(code, plan.file, std::move(message), std::move(mend))};
    };
    Weights out;
    const ValueName& of = plan.of;
    out.of = plan.trials.front().shown()[0];
    std::map<const meaning::Sheet*, std::unique_ptr<eval::SlopeProgram>> programs;
    for (const Trial& trial : plan.trials) {
        if (out.cancelled) break;
        const ValueName& name = trial.varied()[0].name;
        const Varied& v = trial.varied()[0];
        if (v.linked || !v.now) continue; // what it is linked to is weighed
        std::uint32_t at = RunPlan::kNoMember;
        for (std::uint32_t m = 0; m < trial.members().size(); ++m)
            if (trial.members()[m].index == plan.member) at = m;
        if (at == RunPlan::kNoMember) continue;
        bool reached = false;
        for (const ExtractRow& r : trial.extract().rows) reached = reached || (r.at.member == at && r.at.id == plan.target);
        if (!reached) continue;
        Weight w;
        w.name = name;
        w.what = v.what;
        w.nowShown = v.nowShown;
        w.now = *v.now;
        const Around around(trial, w.now, control, out.cancelled);
        if (out.cancelled) break;
        const double value = around.here;
        if (!std::isfinite(value))
            return fail(Code::TrialNoAnswer, "`" + pathText(of) + "` is not computed, so nothing can be weighed",
                        "mend what is wrong with it first: `spanwright working`");
        out.value = value;
        if (w.now == 0.0 || value == 0.0) {
            w.text = w.now == 0.0 ? "it is zero now, and one per cent of nothing is nothing" : "the quantity is zero";
            out.without.push_back(std::move(w));
            continue;
        }
        Chain chain(trial, programs);
        const auto exact = chain.of(at, plan.target);
        w.exact = exact && std::isfinite(exact->slope) && std::fabs(exact->value - value) <= 1e-9 * std::fabs(value);
        const std::optional<double> slope = w.exact ? exact->slope : around.slope();
        w.jumps = around.jumps();
        if (w.jumps || !slope) {
            w.exact = false;
            w.text = w.jumps ? "the quantity jumps beside its present value: vary it instead"
                             : "a little above or below its present value the quantity has no value";
            out.without.push_back(std::move(w));
            continue;
        }
        w.slope = *slope;
        w.percent = w.slope * w.now / value;
        constexpr double kRounding = 1e-9; // of differences: their last bits over the step
        if (!w.exact && std::fabs(w.percent) < kRounding) w.slope = w.percent = 0.0;
        out.weights.push_back(std::move(w));
    }
    std::stable_sort(out.weights.begin(), out.weights.end(), [](const Weight& a, const Weight& b) { return std::fabs(a.percent) > std::fabs(b.percent); });
    return out;
}

} // namespace spanwright::trial
