// SPDX-License-Identifier: MIT
// How far one value can go to either side.
#include <algorithm>
#include <cmath>

#include "engine/trial/along.h"
#include "engine/trial/worker.h"

namespace spanwright::trial {

using diag::Diagnostic;

base::Result<FarPlan, Diagnostic> planFar(const job::Job& job, const std::string& over) {
    const auto fail = [](Diagnostic d) { return base::Failure<Diagnostic>{std::move(d)}; };
    auto read = readOver(over, job.path());
    if (!read) return fail(read.error());
    auto made = Trial::of(job, {splitName(job, read.value().name)}, {});
    if (!made) return fail(made.error());
    FarPlan plan{std::move(made).value(), {}, {}, {}};
    plan.found.what = plan.trial.varied()[0];
    for (const job::ExtractMember& m : plan.trial.members()) plan.found.members.push_back(m.mark);
    plan.found.ofOptions = plan.found.what.table != nullptr || !read.value().list.empty();
    if (plan.found.ofOptions) {
        auto axis = axisOf(plan.trial, 0, read.value(), job.path());
        if (!axis) return fail(axis.error());
        plan.axis = std::move(axis).value();
        return plan;
    }
    if (auto range = rangeOf(plan.trial, 0, read.value(), job.path(), plan.range, plan.found.ownRange); !range) return fail(range.error());
    // The present value is to be seen in its own range, if it can be a value at all.
    const Varied& v = plan.found.what;
    if (plan.found.ownRange && v.now && (!v.whole || *v.now == std::floor(*v.now))) {
        plan.range.from = std::min(plan.range.from, *v.now);
        plan.range.to = std::max(plan.range.to, *v.now);
        if (v.whole) plan.range.samples = static_cast<std::size_t>(plan.range.to - plan.range.from);
    }
    return plan;
}

namespace {

/// No more than `most` steps of a range of whole numbers: those about the present value.
void nearest(Range& range, const std::optional<double>& now, std::uint64_t most) {
    const double steps = static_cast<double>(most);
    if (range.to - range.from <= steps) return;
    const double middle = std::clamp(std::floor(now.value_or(range.from)), range.from, range.to);
    range.from = std::max(range.from, middle - std::floor(steps / 2));
    range.to = std::min(range.to, range.from + steps);
    range.samples = static_cast<std::size_t>(range.to - range.from);
}

} // namespace

Far farOf(const FarPlan& plan, const Control& control) {
    Far out = plan.found;
    Reach nothing;
    nothing.what = out.what;
    bool passes = false;
    std::vector<double> places;
    if (out.ofOptions) {
        ReachRequest request;
        overOptions(request, control, plan.trial, plan.axis, nullptr, nothing);
        out.options = nothing.options;
        out.cancelled = nothing.cancelled;
        for (const Option& o : out.options) passes = passes || o.verdict == Verdict::Ok;
        places = plan.axis.values;
    } else {
        // Something that does not vary stands in the way: no place passes, and none need be looked at.
        const auto& members = plan.trial.members();
        const bool hopeless = std::any_of(members.begin(), members.end(), [](const job::ExtractMember& m) { return m.floor != Verdict::Ok; });
        Range range = plan.range;
        if (!hopeless) {
            // Fewer places where a point takes long; counted in work, so that it is the same on every machine.
            constexpr std::uint64_t kWork = 30'000'000, kFewest = 24;
            const std::uint64_t most = std::max(kWork / workOf(plan.trial), kFewest);
            if (out.what.whole)
                nearest(range, out.what.now, most);
            else
                range.samples = static_cast<std::size_t>(std::min<std::uint64_t>(most, range.samples));
            out.far = howFar(plan.trial, range, control);
        }
        out.far.range = range;
        out.cancelled = out.far.cancelled;
        passes = !out.far.stretches.empty();
        if (hopeless) {
            for (const job::ExtractMember& m : members)
                for (const std::string& reason : m.reasons) out.reasons.push_back((members.size() > 1 ? m.mark + ": " : "") + reason);
            return out;
        }
        // What is shown is rounded: towards the side that passes.
        for (Stretch& s : out.far.stretches) {
            const Stretch whole = s;
            const auto inside = [&](double x) { return x >= whole.from && x <= whole.to && plan.trial.detail({x}).verdict == Verdict::Ok; };
            if (!s.opensLow) s.from = roundedInwards(plan.trial, 0, s.from, true, inside);
            if (!s.opensHigh) s.to = roundedInwards(plan.trial, 0, s.to, false, inside);
        }
        places = placesOf(range);
    }
    if (passes || out.cancelled) return out;
    explainNothing(plan.trial, places, control, nothing);
    for (const Hopeless& h : nothing.hopeless) {
        const std::string at = out.what.table ? plan.trial.valueShown(0, h.at) : out.shown(h.at);
        out.reasons.push_back(h.check + " fails everywhere, at best " + units::showUtilisation(h.utilisation) + " at " + at);
    }
    out.reasons.insert(out.reasons.end(), nothing.reasons.begin(), nothing.reasons.end());
    return out;
}

HowFar howFar(const Trial& trial, const Range& range, const Control& control) {
    HowFar out;
    out.range = range;
    std::vector<Found> found;
    out.cancelled = !sought(trial, range, control, found);
    if (out.cancelled) return out;
    out.stretches = found[0].stretches;
    out.looked = found[0].looked;
    const std::optional<double> now = trial.varied()[0].now;
    for (std::size_t i = 0; i < out.stretches.size() && now; ++i) {
        const Stretch& s = out.stretches[i];
        if (*now < s.from || *now > s.to) continue;
        out.around = i;
        if (!s.opensLow) out.stopsLow = stopsAt(trial, {s.before});
        if (!s.opensHigh) out.stopsHigh = stopsAt(trial, {s.after});
    }
    return out;
}

} // namespace spanwright::trial
