// SPDX-License-Identifier: MIT
#include "engine/trial/tolerance.h"

#include <algorithm>
#include <cmath>

#include "engine/trial/band_chain.h"
#include "engine/trial/passing.h"
#include "engine/trial/sampling.h"
#include "engine/trial/search.h"
#include "engine/trial/worker.h"

namespace spanwright::trial {

using diag::Diagnostic;
using eval::Band;
using meaning::Kind;

double quantileOf(const Column<double>& sorted, double q) {
    const double at = q * static_cast<double>(sorted.size() - 1);
    const auto below = static_cast<std::size_t>(at);
    if (below + 1 >= sorted.size()) return sorted.back();
    return sorted[below] + (sorted[below + 1] - sorted[below]) * (at - static_cast<double>(below));
}

namespace {

std::vector<std::size_t> membersUpstream(const job::Job& job, std::size_t member) {
    std::vector<std::size_t> out{member};
    for (std::size_t i = 0; i < out.size(); ++i)
        for (const std::string& mark : job.member(out[i]).readsMembers)
            if (const auto m = job.memberByMark(mark); m && std::find(out.begin(), out.end(), *m) == out.end()) out.push_back(*m);
    return out;
}

/// Every stated value upstream that has a tolerance.
std::vector<ValueName> spreadNames(const job::Job& job, std::size_t member, const std::shared_ptr<Workers>& workers) {
    std::vector<ValueName> names, out;
    for (const std::size_t m : membersUpstream(job, member)) {
        const job::MemberView& view = job.member(m);
        for (const meaning::Quantity& q : job.sheet(m).quantities) {
            const bool kind = (q.kind == Kind::Given || q.kind == Kind::Ask) && q.type == meaning::Type::Number && !q.broken;
            const job::QuantityView& row = view.quantities[q.id.index()];
            const bool written = row.statedText.find("+-") != std::string::npos || row.statedText.find("\u00B1") != std::string::npos;
            if (kind && row.state == eval::State::Known && (q.tolerance.valid() || written)) names.push_back({view.mark, q.name});
        }
    }
    if (!job.isSingleSheet())
        for (const std::string& g : job.givenNames()) names.push_back({"", g});
    for (const ValueName& n : names) {
        auto made = Trial::of(job, {n}, {}, workers);
        if (!made) continue;
        const Varied& v = made.value().varied()[0];
        if (!v.tolerance || !(*v.tolerance > 0.0) || !v.now || v.linked) continue;
        const auto& members = made.value().members();
        if (std::none_of(members.begin(), members.end(), [&](const job::ExtractMember& m) { return m.index == member; })) continue;
        out.push_back(n);
    }
    return out;
}

/// The greatest utilisation each check can have anywhere in the box, by cutting it where that is not yet enough.
void prove(const Trial& trial, const std::vector<Band>& whole, const std::vector<std::uint32_t>& checks, std::size_t boxes,
           std::vector<std::optional<double>>& bound) {
    struct Part {
        std::vector<Band> box;
        std::vector<char> open; ///< checks that are not proven in it
    };
    bound.assign(checks.size(), -HUGE_VAL);
    BandChain chain(trial);
    std::vector<Part> parts{{whole, std::vector<char>(checks.size(), 1)}};
    std::size_t used = 0;
    while (!parts.empty()) {
        Part part = std::move(parts.back());
        parts.pop_back();
        const auto u = chain.utilisations(part.box);
        ++used;
        bool more = false;
        for (std::size_t c = 0; c < checks.size(); ++c) {
            if (part.open[c] == 0) continue;
            const auto& at = u[checks[c]];
            if (at && *at <= 1.0) {
                part.open[c] = 0;
                if (bound[c]) bound[c] = std::max(*bound[c], *at);
                continue;
            }
            if (!bound[c]) part.open[c] = 0; // given up already
            // A check that has no band at all gains nothing by cutting.
            if (!at && used == 1) {
                bound[c].reset();
                part.open[c] = 0;
            }
            more = more || part.open[c] != 0;
        }
        if (!more) continue;
        std::size_t widest = 0;
        double most = 0.0;
        for (std::size_t k = 0; k < whole.size(); ++k) {
            const double share = (part.box[k].high - part.box[k].low) / (whole[k].high - whole[k].low);
            if (share > most) {
                most = share;
                widest = k;
            }
        }
        if (used + parts.size() + 2 > boxes || most < 1e-6) {
            for (std::size_t c = 0; c < checks.size(); ++c)
                if (part.open[c] != 0) bound[c].reset();
            continue;
        }
        const double middle = part.box[widest].low + (part.box[widest].high - part.box[widest].low) / 2;
        Part high = part;
        part.box[widest].high = middle;
        high.box[widest].low = middle;
        parts.push_back(std::move(part));
        parts.push_back(std::move(high));
    }
}

void lookAlone(const Trial& trial, const job::ExtractMember& member, std::size_t m, std::size_t steps, const Control& control, Spread& spread) {
    const double low = spread.now - spread.half, high = spread.now + spread.half;
    // Only its own verdict counts.
    std::vector<Verdict> worst(trial.members().size(), Verdict::NotComputed);
    worst[m] = std::min(member.floor, Verdict::NotProven);
    const Holds holds = [&](const std::vector<Place>& places, Answers& answers) { return passAt(trial, places, control, worst, answers); };
    std::vector<Found> found;
    if (!findStretches({{low, high, steps, 1e-6 * (high - low)}}, holds, found)) return;
    const std::string name = spread.name.name;
    const auto shown = [&](double v) { return trial.valueShown(0, v); };
    const Stretch* around = nullptr;
    for (const Stretch& s : found[0].stretches)
        if (s.from <= spread.now && spread.now <= s.to) around = &s;
    if (around == nullptr) {
        spread.from = spread.to = spread.now;
        spread.text = "does not pass at " + name + " = " + shown(spread.now) + " itself";
        return;
    }
    spread.from = around->from;
    spread.to = around->to;
    spread.passesAll = around->opensLow && around->opensHigh;
    const auto ended = [&](double past) {
        std::string names;
        for (const CheckAt& c : trial.detail({past}).checks) {
            const CheckName& check = trial.checks()[c.check];
            if (check.member != m || c.state == job::CheckView::State::Passes || c.state == job::CheckView::State::NotApplicable) continue;
            names += (names.empty() ? "" : ", ") + check.name;
        }
        return names.empty() ? std::string("not computed") : names;
    };
    if (spread.passesAll) {
        spread.text = "passes for every " + name + " from " + shown(low) + " to " + shown(high);
        return;
    }
    if (!around->opensLow) spread.text = "starts to fail below " + name + " = " + shown(around->from) + ": " + ended(around->before);
    if (!around->opensHigh)
        spread.text += (spread.text.empty() ? "" : "; ") + ("starts to fail above " + name + " = " + shown(around->to) + ": " + ended(around->after));
}

} // namespace

base::Result<TolerancePlan, Diagnostic> planTolerance(const job::Job& job, std::size_t member) {
    TolerancePlan plan;
    plan.member = member;
    plan.mark = job.member(member).mark;
    const auto workers = std::make_shared<Workers>();
    const std::vector<ValueName> names = spreadNames(job, member, workers);
    if (names.empty()) return plan;
    auto made = Trial::of(job, names, {}, workers);
    if (!made) return base::Failure<Diagnostic>{made.error()};
    plan.all.push_back(std::move(made).value());
    for (const ValueName& n : names) {
        auto alone = Trial::of(job, {n}, {}, workers);
        if (!alone) return base::Failure<Diagnostic>{alone.error()};
        plan.alone.push_back(std::move(alone).value());
    }
    return plan;
}

base::Result<Tolerance, Diagnostic> tolerance(const job::Job& job, std::size_t member, const ToleranceRequest& request, const Control& control) {
    auto plan = planTolerance(job, member);
    if (!plan) return base::Failure<Diagnostic>{plan.error()};
    return tolerance(plan.value(), request, control);
}

Tolerance tolerance(const TolerancePlan& plan, const ToleranceRequest& request, const Control& control) {
    Tolerance out;
    out.mark = plan.mark;
    out.seed = request.seed;
    out.normal = request.normal;
    if (plan.all.empty()) return out;
    const Trial& trial = plan.all.front();
    const std::size_t member = plan.member;
    std::size_t m = 0;
    for (std::size_t i = 0; i < trial.members().size(); ++i)
        if (trial.members()[i].index == member) m = i;
    std::vector<std::uint32_t> checks;
    for (std::uint32_t c = 0; c < trial.checks().size(); ++c)
        if (trial.checks()[c].member == m && !trial.checks()[c].isRequire) checks.push_back(c);
    const std::size_t k = trial.varied().size();
    std::vector<Band> box;
    for (std::size_t i = 0; i < k; ++i) {
        const Varied& v = trial.varied()[i];
        Spread s;
        s.name = v.name;
        s.what = v.what;
        s.now = *v.now;
        s.half = *v.tolerance;
        s.unit = v.unit;
        s.show = v.show;
        s.shown = trial.valueShown(i, s.now) + " +- " + trial.valueShown(i, s.half);
        std::size_t places = 0;
        {
            const Trial& alone = plan.alone[i];
            std::size_t own = 0;
            for (std::size_t j = 0; j < alone.members().size(); ++j)
                if (alone.members()[j].index == member) own = j;
            places = std::clamp<std::size_t>(kSamplingWork / 8 / workOf(alone), 4, 64);
            lookAlone(alone, alone.members()[own], own, places, control, s);
            if (s.passesAll) {
                std::vector<std::uint32_t> all;
                const std::vector<CheckName>& theirs = alone.checks();
                std::vector<char> reached(theirs.size(), 0);
                for (const job::ExtractRow& r : alone.extract().rows)
                    for (std::uint32_t c = 0; c < theirs.size(); ++c)
                        if (theirs[c].member == own && r.at.member == own && r.at.id == theirs[c].id) reached[c] = 1;
                bool provable = true;
                for (std::uint32_t c = 0; c < theirs.size(); ++c) {
                    if (reached[c] == 0) continue;
                    if (theirs[c].isRequire) provable = false;
                    all.push_back(c);
                }
                std::vector<std::optional<double>> bound;
                if (provable && !all.empty()) {
                    prove(alone, {{s.now - s.half, s.now + s.half}}, all, request.boxes, bound);
                    s.proved = std::all_of(bound.begin(), bound.end(), [](const auto& b) { return b.has_value(); });
                }
            }
        }
        s.text += s.text.empty() ? ""
                  : s.passesAll  ? (s.proved ? std::string(" (proved)") : " (" + std::to_string(places + 1) + " places looked at, no proof)")
                                 : "";
        box.push_back({s.now - s.half, s.now + s.half});
        out.spreads.push_back(std::move(s));
    }
    SamplingRequest wanted{{}, {}, request.samples, request.seed, request.normal, request.workOutAll};
    for (const Spread& s : out.spreads) {
        wanted.centre.push_back(s.now);
        wanted.half.push_back(s.half);
    }
    Sampled sampled = sample(trial, m, checks, wanted, control);
    out.cancelled = sampled.cancelled;
    if (sampled.cancelled) return out;
    out.samples = sampled.samples;
    out.fewer = sampled.fewer;
    out.corners = sampled.corners;
    out.workedOut = sampled.workedOut;
    out.readOff = sampled.readOff;
    out.okay = sampled.okay;
    std::vector<std::optional<double>> bound;
    prove(trial, box, checks, request.boxes, bound);
    for (std::size_t c = 0; c < checks.size(); ++c) {
        CheckTolerance t;
        t.name = trial.checks()[checks[c]].name;
        SampledCheck& of = sampled.checks[c];
        t.now = of.now;
        t.places = of.places;
        t.without = of.without;
        t.worst = of.worst;
        t.at = std::move(of.at);
        t.failing = of.failing;
        Column<double>& u = of.samples;
        u.erase(std::remove_if(u.begin(), u.end(), [](double v) { return std::isnan(v); }), u.end());
        std::sort(u.begin(), u.end());
        if (!u.empty() && std::isfinite(u.back())) {
            for (const double q : kQuantiles) t.quantiles.push_back(quantileOf(u, q));
            t.least = u.front();
            t.counts.assign(kBins, 0);
            const double width = (u.back() - u.front()) / static_cast<double>(kBins);
            for (const double v : u) ++t.counts[width > 0.0 ? std::min(kBins - 1, static_cast<std::size_t>((v - t.least) / width)) : 0];
        }
        if (t.worst > 1.0 + job::kCheckSlack) {
            t.how = CheckTolerance::Worst::Fails;
        } else if (bound[c] && *bound[c] > -HUGE_VAL) {
            t.how = CheckTolerance::Worst::Proved;
            t.bound = *bound[c];
        } else if (t.without > 0) {
            t.how = CheckTolerance::Worst::NotComputed;
        }
        if (t.without == t.places) continue; // does not apply, or is not computed at all
        out.checks.push_back(std::move(t));
    }
    return out;
}

} // namespace spanwright::trial
