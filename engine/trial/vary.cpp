// SPDX-License-Identifier: MIT
#include "engine/trial/vary.h"

#include <algorithm>
#include <cmath>

#include "engine/base/text.h"
#include "engine/trial/along.h"
#include "engine/trial/passing.h"

namespace spanwright::trial {

using diag::Code;
using diag::Diagnostic;

namespace {

/// "1,000,000 by 1,000,000"
std::string grouped(std::size_t n) {
    std::string s = std::to_string(n);
    for (std::size_t i = s.size(); i > 3; i -= 3) s.insert(i - 3, ",");
    return s;
}

std::vector<std::size_t> split(const std::vector<Axis>& axes, std::size_t point) {
    std::vector<std::size_t> at(axes.size());
    for (std::size_t a = axes.size(); a-- > 0;) {
        at[a] = point % axes[a].values.size();
        point /= axes[a].values.size();
    }
    return at;
}

/// Between neighbours of one numeric axis that differ in passing the place is narrowed down.
void findBoundaries(const Trial& trial, VaryTable& table, const Control& control) {
    const Axis& axis = table.axes.front();
    const std::size_t n = axis.values.size();
    const auto ok = [&](std::size_t i) { return table.results.verdicts[i] == Verdict::Ok; };
    constexpr std::size_t kMost = 20;
    std::vector<Range> ranges;
    std::vector<std::size_t> below;
    for (std::size_t i = 0; i + 1 < n && ranges.size() < kMost; ++i) {
        if (ok(i) == ok(i + 1)) continue;
        ranges.push_back({axis.values[i], axis.values[i + 1], 1, 1e-7 * (axis.values.back() - axis.values.front())});
        if (const double steps = axis.values[i + 1] - axis.values[i];
            trial.varied()[0].whole && axis.values[i] == std::floor(axis.values[i]) && steps == std::floor(steps) && steps <= 1000.0) {
            ranges.back().samples = static_cast<std::size_t>(steps);
            ranges.back().tolerance = 1.0;
        }
        below.push_back(i);
    }
    if (ranges.empty()) return;
    const Holds holds = [&](const std::vector<Place>& places, Answers& answers) { return passAt(trial, places, control, {}, answers); };
    std::vector<Found> found;
    if (!findStretches(ranges, holds, found)) return;
    for (std::size_t k = 0; k < ranges.size(); ++k) {
        if (found[k].stretches.size() != 1) continue;
        const Stretch& s = found[k].stretches.front();
        Boundary b;
        b.passesBelow = ok(below[k]);
        const double end = b.passesBelow ? s.to : s.from, past = b.passesBelow ? s.after : s.before;
        b.at = roundedInwards(trial, 0, end, !b.passesBelow, [&](double x) { return x >= s.from && x <= s.to && trial.detail({x}).verdict == Verdict::Ok; });
        b.shown = trial.valueShown(0, b.at);
        for (const CheckAt& c : trial.detail({past}).checks) {
            if (c.state == job::CheckView::State::Passes || c.state == job::CheckView::State::NotApplicable) continue;
            b.stops.push_back(checkPath(trial, trial.checks()[c.check]));
        }
        table.boundaries.push_back(std::move(b));
    }
}

} // namespace

std::vector<std::size_t> VaryTable::indices(std::size_t point) const { return split(axes, point); }

base::Result<VaryPlan, Diagnostic> planVary(const job::Job& job, const VaryRequest& request) {
    const auto fail = [](Diagnostic d) { return base::Failure<Diagnostic>{std::move(d)}; };
    if (request.over.empty() || request.over.size() > 3)
        return fail(trialFault(Code::TrialRange, job.path(), "a table varies one to three values, and this is " + std::to_string(request.over.size()),
                               "give `--over` one to three times"));
    std::vector<OverText> texts;
    std::vector<ValueName> names, shown;
    for (const std::string& o : request.over) {
        auto read = readOver(o, job.path());
        if (!read) return fail(read.error());
        names.push_back(splitName(job, read.value().name));
        texts.push_back(std::move(read).value());
    }
    OverText reachText;
    if (request.aim) {
        auto read = readOver(request.reach, job.path());
        if (!read) return fail(read.error());
        reachText = std::move(read).value();
        names.push_back(splitName(job, reachText.name));
    }
    for (const std::string& s : request.show) shown.push_back(splitName(job, s));
    auto made = Trial::of(job, names, shown);
    if (!made) return fail(made.error());
    const Trial& trial = made.value();
    VaryTable table;
    table.varied = trial.varied();
    table.shown = trial.shown();
    table.checks = trial.checks();
    for (const job::ExtractMember& m : trial.members()) table.members.push_back(m.mark);
    std::size_t points = 1;
    std::string sizes;
    bool tooMany = false;
    for (std::size_t k = 0; k < texts.size(); ++k) {
        auto axis = axisOf(trial, k, texts[k], job.path());
        if (!axis) return fail(axis.error());
        sizes += (k > 0 ? " by " : "") + grouped(axis.value().values.size());
        tooMany = tooMany || axis.value().values.size() > kMostTablePoints / points;
        if (!tooMany) points *= axis.value().values.size();
        table.axes.push_back(std::move(axis).value());
    }
    const std::size_t most = request.aim ? kMostTablePoints / 100 : kMostTablePoints;
    if (tooMany || points > most)
        return fail(trialFault(Code::TrialTooLarge, job.path(),
                               "the table would have " + sizes + " points, and " + (request.aim ? "a search in each is made at most " : "at most ") +
                                   grouped(most) + (request.aim ? " times" : " are calculated"),
                               "take longer steps, shorter ranges or fewer values"));
    table.aim = request.aim;
    if (request.aim) {
        const Varied& v = trial.varied().back();
        if (v.table || !reachText.list.empty())
            return fail(trialFault(Code::TrialRange, job.path(),
                                   "`" + reachText.name + "` is one of a list, and a table of largest values needs one with a range",
                                   "vary it with `--over` instead"));
        table.range.samples = request.samples;
        if (auto read = rangeOf(trial, texts.size(), reachText, job.path(), table.range, table.ownRange); !read) return fail(read.error());
    }
    return VaryPlan{std::move(made).value(), std::move(table), std::move(reachText), job.path()};
}

VaryTable vary(const VaryPlan& plan, const Control& control) {
    const Trial& trial = plan.trial;
    VaryTable table = plan.table;
    std::size_t points = 1;
    for (const Axis& a : table.axes) points *= a.values.size();
    std::vector<std::vector<double>> cells(points);
    for (std::size_t i = 0; i < points; ++i) {
        const std::vector<std::size_t> at = split(table.axes, i);
        for (std::size_t a = 0; a < at.size(); ++a) cells[i].push_back(table.axes[a].values[at[a]]);
    }
    if (table.aim) {
        const std::size_t k = table.axes.size();
        table.cancelled = !reachCells(trial, cells, *table.aim, table.range, control, table.reached);
        if (table.cancelled) return table;
        // What ends each: a closer look at the nearest place beyond.
        const Fill past = [&](std::size_t first, std::size_t count, double* const* out) {
            for (std::size_t i = 0; i < count; ++i) {
                for (std::size_t a = 0; a < k; ++a) out[a][i] = cells[first + i][a];
                const double beyond = table.reached[first + i].beyond;
                out[k][i] = std::isnan(beyond) ? table.range.from : beyond;
            }
        };
        const std::vector<Detail> details = trial.details(points, past, control);
        for (std::size_t i = 0; i < points; ++i) {
            const CellReach& r = table.reached[i];
            cells[i].push_back(std::isnan(r.answer) ? table.range.from : r.answer);
            std::string text, stop;
            if (!std::isnan(r.answer) && r.atEnd) {
                text = trial.valueShown(k, r.answer);
                stop = "end of the range";
            } else if (!std::isnan(r.answer)) {
                text = trial.valueShown(k, roundedInwards(trial, k, r.answer, *table.aim == Aim::Smallest, [](double) { return true; }));
                const Detail& d = details[i];
                if (!d.checks.empty()) stop = checkPath(trial, trial.checks()[d.checks.front().check]);
                if (d.verdict == Verdict::NotComputed && !d.reasons.empty()) stop = d.reasons.front();
            }
            table.reachedShown.push_back(text);
            table.reachedStops.push_back(stop);
        }
    }
    const Fill fill = [&](std::size_t first, std::size_t count, double* const* out) {
        for (std::size_t i = 0; i < count; ++i)
            for (std::size_t k = 0; k < cells[first + i].size(); ++k) out[k][i] = cells[first + i][k];
    };
    table.results = trial.run(points, fill, control);
    table.cancelled = table.results.cancelled;
    if (!table.aim && table.axes.size() == 1 && table.axes.front().numeric && !table.cancelled) findBoundaries(trial, table, control);
    return table;
}

base::Result<VaryTable, Diagnostic> vary(const job::Job& job, const VaryRequest& request, const Control& control) {
    auto plan = planVary(job, request);
    if (!plan) return base::Failure<Diagnostic>{plan.error()};
    return vary(plan.value(), control);
}

} // namespace spanwright::trial
