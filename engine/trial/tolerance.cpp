// SPDX-License-Identifier: MIT
#include "engine/trial/tolerance.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "engine/trial/band_chain.h"
#include "engine/trial/passing.h"
#include "engine/trial/search.h"
#include "engine/trial/worker.h"

namespace spanwright::trial {

using diag::Diagnostic;
using eval::Band;
using meaning::Kind;

double evenNumber(std::uint64_t seed, std::uint64_t point, std::uint64_t dimension) {
    // SplitMix64 (Steele, Lea, Flood, "Fast splittable pseudorandom number generators", 2014) as a mixing function.
    const auto mix = [](std::uint64_t z) {
        z += 0x9e3779b97f4a7c15U;
        z = (z ^ (z >> 30U)) * 0xbf58476d1ce4e5b9U;
        z = (z ^ (z >> 27U)) * 0x94d049bb133111ebU;
        return z ^ (z >> 31U);
    };
    const std::uint64_t bits = mix(mix(mix(seed) ^ point) ^ (dimension * 0xd1342543de82ef95U));
    return (static_cast<double>(bits >> 11U) + 0.5) * 0x1p-53;
}

double quantileOf(const std::vector<double>& sorted, double q) {
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

/// What a member may take where nobody says how many samples are wanted.
constexpr std::uint64_t kWork = 60'000'000;

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
            places = std::clamp<std::size_t>(kWork / 8 / workOf(alone), 4, 64);
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
    constexpr std::size_t kUsual = 10'000;
    const std::uint64_t each = workOf(trial);
    out.samples = std::min(request.samples, kMostPoints / 2);
    if (request.samples == 0) out.samples = std::clamp<std::size_t>(kWork / each, 20, kUsual);
    out.fewer = request.samples == 0 && out.samples < kUsual;
    // Corners, where the worst most often is, then the samples.
    out.corners = k <= 12 ? std::size_t{1} << k : 0;
    if (out.corners * each > kWork && out.corners > 64) out.corners = 0;
    const std::size_t points = out.corners + 1 + out.samples;
    const Fill fill = [&](std::size_t first, std::size_t count, double* const* into) {
        for (std::size_t i = 0; i < count; ++i) {
            const std::size_t p = first + i;
            for (std::size_t d = 0; d < k; ++d) {
                const Spread& s = out.spreads[d];
                if (p < out.corners) {
                    into[d][i] = ((p >> d) & 1U) != 0 ? box[d].high : box[d].low;
                } else if (p == out.corners) {
                    into[d][i] = s.now;
                } else if (!request.normal) {
                    into[d][i] = s.now + (2.0 * evenNumber(request.seed, p - out.corners, d) - 1.0) * s.half;
                } else {
                    const double a = evenNumber(request.seed, p - out.corners, 2 * d), b = evenNumber(request.seed, p - out.corners, 2 * d + 1);
                    into[d][i] = s.now + 0.5 * s.half * std::sqrt(-2.0 * std::log(a)) * std::cos(2.0 * std::numbers::pi * b); // Box and Muller, 1958
                }
            }
        }
    };
    const Results r = trial.run(points, fill, control, true);
    out.cancelled = r.cancelled;
    if (r.cancelled) return out;
    for (std::size_t p = out.corners + 1; p < points; ++p) out.okay += r.members[m][p] == Verdict::Ok ? 1 : 0;
    std::vector<std::optional<double>> bound;
    prove(trial, box, checks, request.boxes, bound);
    for (std::size_t c = 0; c < checks.size(); ++c) {
        CheckTolerance t;
        t.name = trial.checks()[checks[c]].name;
        const Column<double>& u = r.byCheck[checks[c]];
        t.now = u[out.corners];
        // Under a normal distribution samples may lie outside the box: they say nothing of the worst case within it.
        const std::size_t inside = request.normal ? out.corners + 1 : points;
        t.worst = -HUGE_VAL;
        for (std::size_t p = 0; p < inside; ++p) {
            ++t.places;
            if (std::isnan(u[p])) {
                ++t.without;
                continue;
            }
            if (u[p] <= t.worst) continue;
            t.worst = u[p];
            t.at.clear();
            std::vector<double> values(k);
            std::vector<double*> into;
            for (double& v : values) into.push_back(&v);
            fill(p, 1, into.data());
            t.at = values;
        }
        std::vector<double> sorted;
        for (std::size_t p = out.corners + 1; p < points; ++p) {
            if (std::isnan(u[p])) continue;
            sorted.push_back(u[p]);
            t.failing += u[p] > 1.0 + job::kCheckSlack ? 1 : 0;
        }
        if (t.places == t.without) t.worst = std::nan("");
        std::sort(sorted.begin(), sorted.end());
        if (!sorted.empty() && std::isfinite(sorted.back())) {
            for (const double q : kQuantiles) t.quantiles.push_back(quantileOf(sorted, q));
            t.least = sorted.front();
            t.counts.assign(kBins, 0);
            const double width = (sorted.back() - sorted.front()) / static_cast<double>(kBins);
            for (const double v : sorted) ++t.counts[width > 0.0 ? std::min(kBins - 1, static_cast<std::size_t>((v - t.least) / width)) : 0];
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
