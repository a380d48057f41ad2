// SPDX-License-Identifier: MIT
#include "engine/trial/along.h"

#include <algorithm>
#include <cmath>

#include "engine/job/judge.h"
#include "engine/trial/passing.h"

namespace spanwright::trial {

using diag::Code;
using diag::Diagnostic;

std::string checkPath(const Trial& trial, const CheckName& c) { return trial.members().size() > 1 ? c.mark + "." + c.name : c.name; }

Fill single(const std::vector<double>& x) {
    return [&x](std::size_t first, std::size_t count, double* const* out) { std::copy_n(x.begin() + static_cast<std::ptrdiff_t>(first), count, out[0]); };
}

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
            if (u <= 1.0 + job::kCheckSlack) always = false;
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
    const Holds holds = [&](const std::vector<Place>& places, Answers& answers) { return passAt(trial, places, control, {}, answers); };
    if (!findStretches({range}, holds, found)) return false;
    const Varied& v = trial.varied()[0];
    if (v.whole) return true;
    // An end may stand on a round value, such as the limit of a check, or be the present one. The search would stop short of it.
    for (Stretch& s : found[0].stretches) {
        for (const bool high : {false, true}) {
            if (high ? s.opensHigh : s.opensLow) continue;
            double& end = high ? s.to : s.from;
            double& beyond = high ? s.after : s.before;
            const double round = roundedInwards(trial, 0, end, high, [](double) { return true; });
            for (const double x : {round, v.now.value_or(end)}) {
                if (!(std::min(end, beyond) < x && x < std::max(end, beyond))) continue;
                (trial.detail({x}).verdict == Verdict::Ok ? end : beyond) = x;
                ++found[0].looked;
            }
        }
    }
    return true;
}

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

/// The whole numbers of a range, each a sample.
base::Result<bool, Diagnostic> toWhole(const Trial& trial, std::size_t k, const std::string& file, Range& range) {
    constexpr double kMost = 10'000.0;
    const std::string name = pathText(trial.varied()[k].name);
    const double from = std::ceil(range.from), to = std::floor(range.to);
    if (from > to)
        return base::Failure<Diagnostic>{trialFault(Code::TrialRange, file, "`" + name + "` takes whole numbers only, and none lies in the range",
                                                    "give a range with a whole number in it")};
    if (to - from >= kMost)
        return base::Failure<Diagnostic>{trialFault(Code::TrialTooLarge, file, "`" + name + "` takes whole numbers only, and more than 10,000 lie in the range",
                                                    "give a shorter range: `" + name + " from A to B`")};
    range = {from, to, static_cast<std::size_t>(to - from), 1.0};
    return true;
}

} // namespace

base::Result<bool, Diagnostic> rangeOf(const Trial& trial, std::size_t k, const OverText& over, const std::string& file, Range& range, bool& own) {
    if (!over.from.empty()) {
        auto axis = axisOf(trial, k, over, file); // says what is wrong with the range
        if (!axis) return base::Failure<Diagnostic>{axis.error()};
        range.from = valueOf(trial, k, over.from, file).value();
        range.to = valueOf(trial, k, over.to, file).value();
    } else if (const auto found = ownRange(trial.varied()[k])) {
        range.from = found->from;
        range.to = found->to;
        own = true;
    } else {
        return base::Failure<Diagnostic>{trialFault(Code::TrialRange, file, "where to look for `" + over.name + "` is not known: it has no limits and no value",
                                                    "give a range: `" + over.name + " from A to B`")};
    }
    range.tolerance = (range.to - range.from) * 1e-7;
    return trial.varied()[k].whole ? toWhole(trial, k, file, range) : true;
}

std::vector<double> placesOf(const Range& range) {
    std::vector<double> places;
    if (range.samples == 0) return {range.from};
    for (std::size_t i = 0; i <= range.samples; ++i)
        places.push_back(range.from + (range.to - range.from) * static_cast<double>(i) / static_cast<double>(range.samples));
    return places;
}

} // namespace spanwright::trial
