// SPDX-License-Identifier: MIT
#include "engine/trial/reach.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "engine/base/text.h"
#include "engine/trial/along.h"
#include "engine/trial/passing.h"

namespace spanwright::trial {

using diag::Code;
using diag::Diagnostic;

namespace {

constexpr double kNone = std::numeric_limits<double>::quiet_NaN();

/// Those of some places where the quantity has the value; the first is the answer.
void takeUntil(const std::vector<double>& places, const std::vector<double>& found, Reach& out) {
    double scale = std::fabs(out.untilValue);
    for (const double v : found)
        if (!std::isnan(v)) scale = std::max(scale, std::fabs(v));
    for (std::size_t i = 0; i < places.size(); ++i) {
        // A jump past the value is no place that has it.
        if (std::isnan(found[i]) || std::fabs(found[i] - out.untilValue) > 1e-9 * scale) continue;
        out.stretches.push_back({places[i], places[i], places[i], places[i], false, false});
        if (out.answer) continue;
        out.answer = places[i];
        out.untilReached = found[i];
    }
}

/// Why the quantity has the value nowhere.
void explainUntil(const Trial& trial, const std::vector<double>& places, const Results& r, Reach& out) {
    double least = kNone, most = kNone, atLeast = 0.0, atMost = 0.0;
    for (std::size_t i = 0; i < places.size(); ++i) {
        const double v = r.shown[0][i];
        if (std::isnan(v)) continue;
        if (!(v >= least)) {
            least = v;
            atLeast = places[i];
        }
        if (!(v <= most)) {
            most = v;
            atMost = places[i];
        }
    }
    const auto text = [&](double v) { return units::showValue(v, out.until->unit, out.until->show); };
    if (std::isnan(least))
        out.reasons.push_back("`" + pathText(out.until->name) + "` could not be computed anywhere in the range");
    else
        out.reasons.push_back("`" + pathText(out.until->name) + "` lies between " + text(least) + " (at " + trial.valueShown(0, atLeast) + ") and " +
                              text(most) + " (at " + trial.valueShown(0, atMost) + ")" +
                              (least < out.untilValue && out.untilValue < most ? ", and jumps past " + text(out.untilValue) : ""));
}

void untilValue(const Trial& trial, const Range& range, const Control& control, Reach& out) {
    // The quantity less its value: a change of sign between two samples is narrowed down like the end of a stretch.
    const auto below = [&](const std::vector<Place>& places, Answers& answers) {
        std::vector<double> x;
        for (const Place& p : places) x.push_back(p.x);
        const Results r = trial.run(x.size(), single(x), control);
        answers.holds.resize(x.size());
        answers.excess.resize(x.size());
        for (std::size_t i = 0; i < x.size(); ++i) {
            answers.holds[i] = r.shown[0][i] <= out.untilValue ? 1 : 0;
            answers.excess[i] = r.shown[0][i] - out.untilValue;
        }
        return !r.cancelled;
    };
    std::vector<Found> found;
    Range fine = range;
    fine.tolerance = 0.0;
    if (!findStretches({fine}, below, found)) {
        out.cancelled = true;
        return;
    }
    out.looked = found[0].looked;
    std::vector<double> ends;
    for (const Stretch& s : found[0].stretches) {
        if (!s.opensLow) ends.push_back(s.from);
        if (!s.opensHigh) ends.push_back(s.to);
    }
    for (const double limit : {range.from, range.to}) ends.push_back(limit);
    std::sort(ends.begin(), ends.end());
    ends.erase(std::unique(ends.begin(), ends.end()), ends.end());
    const Results r = trial.run(ends.size(), single(ends), control);
    takeUntil(ends, {r.shown[0].begin(), r.shown[0].end()}, out);
    if (out.answer) return;
    const std::vector<double> places = placesOf(range);
    explainUntil(trial, places, trial.run(places.size(), single(places), control), out);
}

/// Of a value that takes whole numbers only: each is calculated.
void untilWhole(const Trial& trial, const Range& range, const Control& control, Reach& out) {
    const std::vector<double> places = placesOf(range);
    const Results r = trial.run(places.size(), single(places), control);
    out.cancelled = r.cancelled;
    out.looked = places.size();
    if (r.cancelled) return;
    const std::vector<double> found(r.shown[0].begin(), r.shown[0].end());
    takeUntil(places, found, out);
    if (out.answer) return;
    for (std::size_t i = 0; i + 1 < places.size(); ++i) {
        if (!((found[i] < out.untilValue && out.untilValue < found[i + 1]) || (found[i] > out.untilValue && out.untilValue > found[i + 1]))) continue;
        const auto text = [&](std::size_t at) {
            return units::showValue(found[at], out.until->unit, out.until->show) + " at " + trial.valueShown(0, places[at]);
        };
        out.reasons.push_back("`" + pathText(out.what.name) + "` takes whole numbers only: `" + pathText(out.until->name) + "` is " + text(i) + " and " +
                              text(i + 1));
        return;
    }
    explainUntil(trial, places, r, out);
}

} // namespace

namespace {

base::Result<double, Diagnostic> untilOf(const Shown& until, const std::string& text, const std::string& file) {
    if (until.kind == meaning::Kind::Check || until.truth) {
        const auto read = units::readValue(text);
        if (!read || !read.value().unit.dimension.isNumber())
            return base::Failure<Diagnostic>{
                trialFault(Code::TrialRange, file, "`" + text + "` is no utilisation", "write a pure number, such as `" + pathText(until.name) + "=1`")};
        return read.value().si;
    }
    const auto read = units::readValue(text, until.dimension.isNumber() ? nullptr : &until.unit);
    if (!read) return base::Failure<Diagnostic>{trialFault(read.error().code, file, "`" + text + "`: " + read.error().message, read.error().mend)};
    if (!(read.value().unit.dimension == until.dimension))
        return base::Failure<Diagnostic>{trialFault(Code::UnlikeDimensions, file, "`" + text + "` is no value for `" + pathText(until.name) + "`",
                                                    "write it with a unit such as " + until.unit.ascii)};
    return read.value().si;
}

} // namespace

base::Result<Reach, Diagnostic> reach(const job::Job& job, const ReachRequest& request, const Control& control) {
    auto plan = planReach(job, request);
    if (!plan) return base::Failure<Diagnostic>{plan.error()};
    return reach(plan.value(), control);
}

base::Result<ReachPlan, Diagnostic> planReach(const job::Job& job, const ReachRequest& request) {
    const auto fail = [](Diagnostic d) { return base::Failure<Diagnostic>{std::move(d)}; };
    const std::string& file = job.path();
    auto over = readOver(request.over, file);
    if (!over) return fail(over.error());
    const ValueName name = splitName(job, over.value().name);
    std::vector<ValueName> shown;
    std::string untilText;
    if (request.aim == Aim::Until) {
        const std::size_t at = request.until.find('=');
        if (at == std::string::npos) return fail(trialFault(Code::TrialRange, file, "`" + request.until + "` is not NAME=VALUE", "write `w_inst=12 mm`"));
        shown.push_back(splitName(job, request.until.substr(0, at)));
        untilText = std::string(base::trimmed(request.until.substr(at + 1)));
    }
    std::vector<FreeFormula> by;
    if (!request.by.empty()) {
        auto read = FreeFormula::read(job, name, request.by);
        if (!read) return fail(read.error());
        by.push_back(std::move(read).value());
        shown = by.front().reads();
    }
    auto made = Trial::of(job, {name}, shown);
    if (!made) return fail(made.error());
    ReachPlan plan{std::move(made).value(), request, {}, {}, {}, std::move(by)};
    const Trial& trial = plan.trial;
    Reach& out = plan.found;
    out.aim = request.aim;
    out.what = trial.varied()[0];
    out.ofOptions = out.what.table != nullptr || !over.value().list.empty();
    if (out.ofOptions && request.aim == Aim::Until)
        return fail(trialFault(Code::TrialRange, file, "`" + over.value().name + "` is one of a list, and `--until` needs a range",
                               "vary it instead: `spanwright vary`"));
    if (!out.ofOptions && !plan.by.empty())
        return fail(trialFault(Code::TrialRange, file, "`--by` puts rows or values of a list in order, and `" + over.value().name + "` has a range",
                               "leave `--by` out, or give a list: `" + over.value().name + " in A, B, C`"));
    if (out.ofOptions) {
        auto axis = axisOf(trial, 0, over.value(), file);
        if (!axis) return fail(axis.error());
        plan.axis = std::move(axis).value();
        return plan;
    }
    plan.range.samples = request.samples;
    if (auto read = rangeOf(trial, 0, over.value(), file, plan.range, out.ownRange); !read) return fail(read.error());
    if (!request.within.empty()) {
        auto within = valueOf(trial, 0, request.within, file);
        if (!within) return fail(within.error());
        if (!(within.value() > 0.0)) return fail(trialFault(Code::TrialRange, file, "the tolerance must be above zero", "write `--within 1 mm`"));
        if (!out.what.whole) plan.range.tolerance = within.value();
    }
    out.from = plan.range.from;
    out.to = plan.range.to;
    out.tolerance = plan.range.tolerance;
    out.samples = plan.range.samples + 1;
    if (request.aim == Aim::Until) {
        out.until = trial.shown()[0];
        auto value = untilOf(*out.until, untilText, file);
        if (!value) return fail(value.error());
        out.untilValue = value.value();
    }
    return plan;
}

Reach reach(ReachPlan& plan, const Control& control) {
    const Trial& trial = plan.trial;
    const ReachRequest& request = plan.request;
    Reach out = plan.found;
    const Range& range = plan.range;
    if (out.ofOptions) {
        overOptions(request, control, trial, plan.axis, plan.by.empty() ? nullptr : &plan.by.front(), out);
        if (!out.answer && !out.cancelled) explainNothing(trial, plan.axis.values, control, out);
    } else if (request.aim == Aim::Until) {
        (out.what.whole ? untilWhole : untilValue)(trial, range, control, out);
    } else {
        std::vector<Found> found;
        out.cancelled = !sought(trial, range, control, found);
        out.stretches = found[0].stretches;
        out.looked = found[0].looked;
        if (!out.stretches.empty() && !out.cancelled) {
            const bool largest = request.aim == Aim::Largest;
            const Stretch& s = largest ? out.stretches.back() : out.stretches.front();
            const double end = largest ? s.to : s.from;
            out.atEnd = largest ? s.opensHigh : s.opensLow;
            const auto passes = [&](double x) { return x >= s.from && x <= s.to && trial.detail({x}).verdict == Verdict::Ok; };
            out.answer = out.atEnd ? end : roundedInwards(trial, 0, end, !largest, passes);
            if (!out.atEnd) {
                out.beyond = largest ? s.after : s.before;
                out.stops = stopsAt(trial, {out.beyond});
            }
        } else if (!out.cancelled) {
            explainNothing(trial, placesOf(range), control, out);
        }
    }
    if (out.answer) {
        if (out.answerShown.empty()) out.answerShown = trial.valueShown(0, *out.answer);
        out.answerWritten = trial.valueWritten(0, *out.answer);
    }
    return out;
}

bool reachCells(const Trial& trial, const std::vector<std::vector<double>>& cells, Aim aim, const Range& range, const Control& control,
                std::vector<CellReach>& out) {
    const std::size_t k = trial.varied().size();
    const Holds holds = [&](const std::vector<Place>& places, Answers& answers) {
        const Fill fill = [&](std::size_t first, std::size_t count, double* const* into) {
            for (std::size_t i = 0; i < count; ++i) {
                const Place& p = places[first + i];
                for (std::size_t v = 0; v + 1 < k; ++v) into[v][i] = cells[p.search][v];
                into[k - 1][i] = p.x;
            }
        };
        return passAt(trial, places.size(), fill, control, {}, answers);
    };
    std::vector<Found> found;
    if (!findStretches(std::vector<Range>(cells.size(), range), holds, found)) return false;
    out.assign(cells.size(), {kNone, kNone, false, 0});
    for (std::size_t c = 0; c < cells.size(); ++c) {
        out[c].stretches = found[c].stretches.size();
        if (found[c].stretches.empty()) continue;
        const Stretch& s = aim == Aim::Smallest ? found[c].stretches.front() : found[c].stretches.back();
        out[c].answer = aim == Aim::Smallest ? s.from : s.to;
        out[c].beyond = aim == Aim::Smallest ? s.before : s.after;
        out[c].atEnd = aim == Aim::Smallest ? s.opensLow : s.opensHigh;
    }
    return true;
}

} // namespace spanwright::trial
