// SPDX-License-Identifier: MIT
#include "engine/trial/mends.h"

#include <algorithm>
#include <cmath>

#include "engine/trial/along.h"
#include "engine/trial/worker.h"

namespace spanwright::trial {

namespace {

using CheckState = job::CheckView::State;

/// The member itself as good as its fixed rows let it be, and no other one worse than it is now.
class Better {
public:
    Better(const Trial& trial, std::size_t member) : m_trial(trial) {
        for (std::size_t i = 0; i < trial.members().size(); ++i)
            if (trial.members()[i].index == member) m_own = i;
    }
    [[nodiscard]] bool possible() const { return m_own < m_trial.members().size() && floor() < Verdict::Fails; }
    /// Of the member itself; no verdict is better than that.
    [[nodiscard]] Verdict floor() const { return m_trial.members()[m_own].floor; }
    bool operator()(const std::vector<double>& x, std::vector<char>& answer, const Control& control) const {
        std::vector<Verdict> worst;
        for (const job::ExtractMember& m : m_trial.members()) worst.push_back(m.verdict);
        worst[m_own] = floor();
        Passed passed = m_trial.passing(x.size(), single(x), control, worst);
        answer = std::move(passed.passes);
        return !passed.cancelled;
    }
    [[nodiscard]] bool at(double x, const Control& control) const {
        std::vector<char> a;
        return (*this)({x}, a, control) && a.front() != 0;
    }

private:
    const Trial& m_trial;
    std::size_t m_own = static_cast<std::size_t>(-1);
};

void lookAlong(const Trial& trial, const Better& passing, std::size_t samples, const Control& control, Mends& out) {
    const Varied& v = trial.varied()[0];
    const double now = *v.now;
    double low = v.low.value_or(now > 0 ? now / 20.0 : now * 20.0), high = v.high.value_or(now > 0 ? now * 5.0 : now / 5.0);
    if (!v.low && now > 0 && v.high) low = std::min(low, *v.high);
    bool allLow = true, allHigh = true;
    if (v.whole) { // every whole number, as far as there are samples
        const double reach = static_cast<double>(samples);
        allLow = low >= now - reach;
        allHigh = high <= now + reach;
        low = std::ceil(std::max(low, now - reach));
        high = std::floor(std::min(high, now + reach));
    }
    bool helped = false;
    for (const bool up : {true, false}) {
        const double end = up ? high : low;
        if (up ? !(end > now) : !(end < now)) continue;
        std::vector<double> x;
        if (v.whole)
            for (double n = up ? std::floor(now) + 1 : std::ceil(now) - 1; up ? n <= end : n >= end; n += up ? 1.0 : -1.0) x.push_back(n);
        for (std::size_t i = 1; i <= samples && !v.whole; ++i)
            x.push_back(i == samples ? end : now + (end - now) * static_cast<double>(i) / static_cast<double>(samples));
        std::vector<char> answer;
        if (!passing(x, answer, control)) {
            out.cancelled = true;
            return;
        }
        const auto first = static_cast<std::size_t>(std::find(answer.begin(), answer.end(), 1) - answer.begin());
        if (first == x.size()) continue;
        const std::vector<char> sampled = answer;
        helped = true;
        double in = x[first], fails = first == 0 ? now : x[first - 1];
        for (int round = 0; round < 8 && !v.whole; ++round) {
            std::vector<double> cut;
            for (int c = 1; c <= 15; ++c) cut.push_back(in + (fails - in) * c / 16.0);
            if (!passing(cut, answer, control)) {
                out.cancelled = true;
                return;
            }
            const double from = in, to = fails;
            for (int c = 1; c <= 15; ++c) {
                const double at = from + (to - from) * c / 16.0;
                if (answer[static_cast<std::size_t>(c - 1)] == 0) {
                    fails = at;
                    break;
                }
                in = at;
            }
            if (std::fabs(in - fails) < 1e-6 * std::fabs(now)) break;
        }
        // How far it goes on passing.
        std::size_t last = first;
        while (last + 1 < x.size() && sampled[last + 1] != 0) ++last;
        // The end may stand on a round value, which the search stops short of.
        const auto passes = [&](double at) { return passing.at(at, control); };
        double rounded = roundedInwards(trial, 0, fails, up, passes);
        if (rounded == fails) rounded = roundedInwards(trial, 0, in, up, passes);
        Mend m;
        m.name = v.name;
        m.what = v.what;
        m.nowShown = v.nowShown;
        m.written = trial.valueWritten(0, rounded);
        m.reached = passing.floor();
        m.change = std::fabs(rounded - now) / std::fabs(now);
        const std::string at = trial.valueShown(0, rounded);
        if (last + 1 == x.size() && (up ? allHigh : allLow))
            m.text = v.name.name + (up ? " >= " : " <= ") + at;
        else
            m.text =
                v.name.name + (up ? " from " + at + " to about " + trial.valueShown(0, x[last]) : " from about " + trial.valueShown(0, x[last]) + " to " + at);
        out.mends.push_back(std::move(m));
    }
    if (!helped) out.noHelp.push_back(v.name.name + " from " + trial.valueShown(0, low) + " to " + trial.valueShown(0, high));
}

void lookAmong(const Trial& trial, const Better& passing, const Control& control, Mends& out) {
    const Varied& v = trial.varied()[0];
    constexpr std::size_t kMostRows = 1000, kMostShown = 4;
    std::vector<double> x;
    for (std::size_t r = 0; r < std::min(v.table->rowCount(), kMostRows); ++r) x.push_back(static_cast<double>(r));
    std::vector<char> answer;
    if (!passing(x, answer, control)) {
        out.cancelled = true;
        return;
    }
    // Rows in the order of their distance from the present one.
    std::vector<std::size_t> rows;
    for (std::size_t r = 0; r < x.size(); ++r)
        if (answer[r] != 0) rows.push_back(r);
    if (rows.empty()) {
        out.noHelp.push_back(v.name.name + " (no other row)");
        return;
    }
    const double now = v.now.value_or(0.0);
    std::stable_sort(rows.begin(), rows.end(), [&](std::size_t a, std::size_t b) { return std::fabs(x[a] - now) < std::fabs(x[b] - now); });
    Mend m;
    m.name = v.name;
    m.what = v.what;
    m.nowShown = v.nowShown;
    m.choice = true;
    m.reached = passing.floor();
    m.written = trial.valueWritten(0, x[rows.front()]);
    m.text = v.name.name + " ";
    for (std::size_t i = 0; i < rows.size() && i < kMostShown; ++i) m.text += (i > 0 ? ", " : "") + trial.valueShown(0, x[rows[i]]);
    if (rows.size() > kMostShown) m.text += " or " + std::to_string(rows.size() - kMostShown) + " others";
    out.mends.push_back(std::move(m));
}

/// A default that the sheet works out: a span from an opening, a strength from a class. It follows what it is worked out from, and to state another
/// value says that the sheet is wrong here, which mends nothing. One that only repeats another value (held sideways at the ends of the span) is free.
bool workedOut(const meaning::Sheet& sheet, const meaning::Quantity& q) {
    if (q.kind != meaning::Kind::Given || !q.formula.valid()) return false;
    const meaning::ExprKind kind = sheet.exprs.at(q.formula).kind;
    return kind != meaning::ExprKind::Constant && kind != meaning::ExprKind::Quantity && !q.reads.empty();
}

} // namespace

MendsPlan planMends(const job::Job& job, std::size_t member) {
    MendsPlan plan;
    plan.member = member;
    const job::MemberView& view = job.member(member);
    if (view.verdict != Verdict::Fails) return plan;
    const auto workers = std::make_shared<Workers>();
    for (const meaning::Quantity& q : job.sheet(member).quantities) {
        const bool kind = q.kind == meaning::Kind::Ask || q.kind == meaning::Kind::Given || q.kind == meaning::Kind::Choose;
        if (!kind || q.broken) continue;
        const job::QuantityView& row = view.quantities[q.id.index()];
        if (row.state != eval::State::Known) continue;
        if (q.kind != meaning::Kind::Choose && q.type != meaning::Type::Number) continue;
        auto made = Trial::of(job, {{view.mark, q.name}}, {}, workers);
        if (!made) continue;
        const Trial& trial = made.value();
        if (trial.varied()[0].linked) continue;
        if (!trial.varied()[0].stated && workedOut(job.sheet(member), q)) continue;
        if (!Better(trial, member).possible()) continue; // something fails that does not depend on it
        if (!trial.varied()[0].table && *trial.varied()[0].now == 0.0) continue;
        plan.trials.push_back(std::move(made).value());
    }
    return plan;
}

Mends mendsFor(const job::Job& job, std::size_t member, const MendLimits& limits, const Control& control) {
    return mendsFor(planMends(job, member), limits, control);
}

Mends mendsFor(const MendsPlan& plan, const MendLimits& limits, const Control& control) {
    Mends out;
    const Control alone{1, control.progress};
    for (const Trial& trial : plan.trials) {
        if (out.cancelled) break;
        const Better passing(trial, plan.member);
        const std::string& name = trial.varied()[0].name.name;
        Worker& worker = trial.workers()->worker(0);
        const std::uint64_t before = worker.work();
        if (before > limits.work) {
            out.notLooked.push_back(name);
            continue;
        }
        // What one point costs says how many can be afforded.
        const std::uint64_t each = workOf(trial);
        const std::uint64_t affordable = (limits.work - std::min(limits.work, worker.work())) / each;
        constexpr std::uint64_t kRefining = 150; // places beside the samples
        if (affordable < kRefining + 16) {
            out.notLooked.push_back(name);
            continue;
        }
        if (trial.varied()[0].table)
            lookAmong(trial, passing, alone, out);
        else
            lookAlong(trial, passing, static_cast<std::size_t>(std::min<std::uint64_t>(limits.samples, (affordable - kRefining) / 4 + 4)), alone, out);
    }
    std::stable_sort(out.mends.begin(), out.mends.end(), [](const Mend& a, const Mend& b) {
        if (a.reached != b.reached) return a.reached < b.reached;
        if (a.choice != b.choice) return !a.choice;
        return a.change < b.change;
    });
    return out;
}

} // namespace spanwright::trial
