// SPDX-License-Identifier: MIT
#include "engine/trial/reach.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "engine/base/text.h"
#include "engine/trial/passing.h"
#include "engine/trial/worker.h"

namespace spanwright::trial {

using diag::Code;
using diag::Diagnostic;

namespace {

constexpr double kNone = std::numeric_limits<double>::quiet_NaN();

std::string checkPath(const Trial& trial, const CheckName& c) { return trial.members().size() > 1 ? c.mark + "." + c.name : c.name; }

/// Values of one varied at many points.
Fill single(const std::vector<double>& x) {
    return [&x](std::size_t first, std::size_t count, double* const* out) { std::copy_n(x.begin() + static_cast<std::ptrdiff_t>(first), count, out[0]); };
}

/// What does not pass at a place, the worst first.
std::vector<std::string> stopsAt(const Trial& trial, const std::vector<double>& values) {
    std::vector<std::string> out;
    const Detail d = trial.detail(values);
    for (const CheckAt& c : d.checks) {
        if (c.state == job::CheckView::State::Passes || c.state == job::CheckView::State::NotApplicable) continue;
        const CheckName& name = trial.checks()[c.check];
        std::string text = checkPath(trial, name);
        if (c.state == job::CheckView::State::Fails)
            text += c.utilisation ? " " + units::showUtilisation(*c.utilisation) : " fails";
        else if (c.state == job::CheckView::State::NotProven)
            text += name.isRequire ? " does not hold" : " is not proven";
        else
            text += " is not computed";
        out.push_back(std::move(text));
    }
    if (out.empty() || d.verdict == Verdict::NotComputed) out.insert(out.begin(), d.reasons.begin(), d.reasons.end());
    return out;
}

void overOptions(const ReachRequest& request, const Control& control, const Trial& trial, const Axis& axis, FreeFormula* by, Reach& out) {
    out.ofOptions = true;
    const Results r = trial.run(axis.values.size(), single(axis.values), control);
    out.cancelled = r.cancelled;
    out.looked = axis.values.size();
    for (std::size_t i = 0; i < axis.values.size(); ++i) {
        Option o;
        o.value = axis.values[i];
        o.label = axis.labels[i];
        o.verdict = r.verdicts[i];
        o.utilisation = r.utilisation[i];
        if (!std::isnan(o.utilisation)) o.governing = checkPath(trial, trial.checks()[r.governing[i]]);
        if (by != nullptr) {
            std::vector<double> reads;
            for (const auto& s : r.shown) reads.push_back(s[i]);
            o.order = by->value(reads, axis.values[i]);
        }
        out.options.push_back(std::move(o));
    }
    if (by != nullptr)
        std::stable_sort(out.options.begin(), out.options.end(), [](const Option& a, const Option& b) {
            if (a.order.has_value() != b.order.has_value()) return a.order.has_value();
            return a.order && *a.order < *b.order;
        });
    else if (!out.what.table)
        std::stable_sort(out.options.begin(), out.options.end(), [](const Option& a, const Option& b) { return a.value < b.value; });
    const bool largest = request.aim == Aim::Largest;
    const std::size_t n = out.options.size();
    for (std::size_t j = 0; j < n; ++j) {
        const std::size_t i = largest ? n - 1 - j : j;
        const Option& o = out.options[i];
        if (o.verdict != Verdict::Ok || (by != nullptr && !o.order)) continue;
        out.answer = o.value;
        out.answerShown = o.label;
        out.atEnd = j == 0;
        if (j > 0) {
            const Option& next = out.options[largest ? i + 1 : i - 1];
            out.beyond = next.value;
            out.stops = stopsAt(trial, {next.value});
        }
        break;
    }
}

/// Why nothing passes: checks that fail at every place, and by how much at best.
void explainNothing(const Trial& trial, const std::vector<double>& places, const Control& control, Reach& out) {
    const Results r = trial.run(places.size(), single(places), control, true);
    for (std::size_t c = 0; c < trial.checks().size() && !r.cancelled; ++c) {
        Hopeless h;
        h.utilisation = HUGE_VAL;
        bool always = !trial.checks()[c].isRequire;
        bool any = false;
        for (std::size_t i = 0; i < places.size() && always; ++i) {
            const double u = r.byCheck[c][i];
            if (std::isnan(u)) continue;
            any = true;
            if (u <= 1.0 + 1e-9) always = false;
            if (u < h.utilisation) {
                h.utilisation = u;
                h.at = places[i];
            }
        }
        if (!always || !any) continue;
        h.check = checkPath(trial, trial.checks()[c]);
        out.hopeless.push_back(std::move(h));
    }
    std::stable_sort(out.hopeless.begin(), out.hopeless.end(), [](const Hopeless& a, const Hopeless& b) { return a.utilisation > b.utilisation; });
    for (const job::ExtractMember& m : trial.members())
        for (const std::string& reason : m.reasons) out.reasons.push_back((trial.members().size() > 1 ? m.mark + ": " : "") + reason);
    if (!out.hopeless.empty() || !out.reasons.empty()) return;
    // Different checks at different places: the place where the worst is least.
    double least = HUGE_VAL;
    std::size_t best = places.size() / 2;
    for (std::size_t i = 0; i < places.size(); ++i)
        if (r.utilisation[i] < least) {
            least = r.utilisation[i];
            best = i;
        }
    for (const std::string& s : stopsAt(trial, {places[best]})) out.reasons.push_back("at " + trial.valueShown(0, places[best]) + ": " + s);
}

bool sought(const Trial& trial, const Range& range, const Control& control, std::vector<Found>& found) {
    const Holds holds = [&](const std::vector<Place>& places, Answers& answers) {
        const Fill fill = [&](std::size_t first, std::size_t count, double* const* out) {
            for (std::size_t i = 0; i < count; ++i) out[0][i] = places[first + i].x;
        };
        return passAt(trial, places.size(), fill, control, {}, answers);
    };
    return findStretches({range}, holds, found);
}

void untilValue(const Trial& trial, const Range& range, const Control& control, Reach& out) {
    // The quantity less its value: a change of sign between two samples is narrowed down like the end of a stretch.
    const double tiny = 1e-9 * std::fabs(out.untilValue);
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
    double scale = std::fabs(out.untilValue);
    for (std::size_t i = 0; i < ends.size(); ++i)
        if (!std::isnan(r.shown[0][i])) scale = std::max(scale, std::fabs(r.shown[0][i]));
    for (std::size_t i = 0; i < ends.size(); ++i) {
        const double v = r.shown[0][i];
        // A jump past the value is no place that has it.
        if (std::isnan(v) || std::fabs(v - out.untilValue) > std::max(tiny, 1e-9 * scale)) continue;
        out.stretches.push_back({ends[i], ends[i], ends[i], ends[i], false, false});
        if (out.answer) continue;
        out.answer = ends[i];
        out.untilReached = v;
    }
    if (out.answer) return;
    double least = kNone, most = kNone, atLeast = range.from, atMost = range.from;
    std::vector<double> places;
    for (std::size_t i = 0; i <= range.samples; ++i)
        places.push_back(range.from + (range.to - range.from) * static_cast<double>(i) / static_cast<double>(range.samples));
    const Results all = trial.run(places.size(), single(places), control);
    for (std::size_t i = 0; i < places.size(); ++i) {
        const double v = all.shown[0][i];
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

} // namespace

std::optional<OwnRange> ownRange(const Varied& v) {
    if (v.low && v.high && *v.low < *v.high) return OwnRange{*v.low, *v.high, true};
    if (!v.now || *v.now == 0.0) return std::nullopt;
    const double a = *v.now / 10.0, b = *v.now * 10.0;
    OwnRange r{std::min(a, b), std::max(a, b), false};
    if (v.low) r.from = std::max(r.from, *v.low);
    if (v.high) r.to = std::min(r.to, *v.high);
    if (!(r.from < r.to)) return std::nullopt;
    return r;
}

double roundedInwards(const Trial& trial, std::size_t k, double value, bool up, const std::function<bool(double)>& passes) {
    const Varied& v = trial.varied()[k];
    const double shown = units::fromSi(value, v.unit);
    if (shown == 0.0 || !std::isfinite(shown)) return value;
    const double step = std::pow(10.0, std::floor(std::log10(std::fabs(shown))) - 3.0);
    const double whole = up ? std::ceil(shown / step - 1e-9) : std::floor(shown / step + 1e-9);
    const units::Written start{0.0, v.unit};
    // As if it had been written with so many figures.
    const double clean = gridValue(start, {units::toSi(std::fabs(whole) * step, v.unit), v.unit}, 1) * (whole < 0 ? -1.0 : 1.0);
    return passes(clean) ? clean : value;
}

namespace {

/// The range that a text states, or the value's own; nothing with the reason where neither is known.
base::Result<bool, Diagnostic> rangeOf(const Trial& trial, const OverText& over, const std::string& file, Range& range, bool& own) {
    if (!over.from.empty()) {
        auto axis = axisOf(trial, 0, over, file); // says what is wrong with the range
        if (!axis) return base::Failure<Diagnostic>{axis.error()};
        range.from = valueOf(trial, 0, over.from, file).value();
        range.to = valueOf(trial, 0, over.to, file).value();
    } else if (const auto found = ownRange(trial.varied()[0])) {
        range.from = found->from;
        range.to = found->to;
        own = true;
    } else {
        return base::Failure<Diagnostic>{trialFault(Code::TrialRange, file, "where to look for `" + over.name + "` is not known: it has no limits and no value",
                                                    "give a range: `" + over.name + " from A to B`")};
    }
    range.tolerance = (range.to - range.from) * 1e-7;
    return true;
}

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

std::vector<double> placesOf(const Range& range) {
    std::vector<double> places;
    for (std::size_t i = 0; i <= range.samples; ++i)
        places.push_back(range.from + (range.to - range.from) * static_cast<double>(i) / static_cast<double>(range.samples));
    return places;
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
    if (auto read = rangeOf(trial, over.value(), file, plan.range, out.ownRange); !read) return fail(read.error());
    if (!request.within.empty()) {
        auto within = valueOf(trial, 0, request.within, file);
        if (!within) return fail(within.error());
        if (!(within.value() > 0.0)) return fail(trialFault(Code::TrialRange, file, "the tolerance must be above zero", "write `--within 1 mm`"));
        plan.range.tolerance = within.value();
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
        untilValue(trial, range, control, out);
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
    if (auto range = rangeOf(plan.trial, read.value(), job.path(), plan.range, plan.found.ownRange); !range) return fail(range.error());
    // The present value is to be seen in its own range.
    if (plan.found.ownRange && plan.found.what.now) {
        plan.range.from = std::min(plan.range.from, *plan.found.what.now);
        plan.range.to = std::max(plan.range.to, *plan.found.what.now);
    }
    return plan;
}

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
            range.samples = static_cast<std::size_t>(std::clamp<std::uint64_t>(kWork / workOf(plan.trial), kFewest, range.samples));
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
