// SPDX-License-Identifier: MIT
#include "engine/trial/search.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <optional>

namespace spanwright::trial {

namespace {

constexpr double kNone = std::numeric_limits<double>::quiet_NaN();

struct Seen {
    double x = 0.0;
    double excess = kNone;
};

/// An end of a stretch, between a place that holds and one that does not.
struct End {
    std::size_t search = 0, stretch = 0;
    bool high = false;
    Seen in, out;
    Seen third;                 ///< one more place, for the curve through three
    bool trusted = true;        ///< the last guess was right, or there was none
    double doubt = kFirstDoubt; ///< by how much of the distance between the two the next guess may be wrong
    bool guessed = false;       ///< the round under way
    std::vector<double> next;   ///< places of the round under way, from `in` to `out`
    static constexpr double kFirstDoubt = 1.0 / 32;
};

constexpr std::size_t kCuts = 15; ///< places between the two at a round without a guess
constexpr int kRounds = 80;

bool differ(double a, double b) { return std::fabs(a - b) > 1e-12 * std::max(std::fabs(a), std::fabs(b)); }

/// Where between `in` (0) and `out` (1) the excess may cross zero: by a curve through three places, else by a line.
std::optional<double> guess(const End& e) {
    const double a = e.in.excess, b = e.out.excess;
    if (!(a <= 0.0 && b > 0.0) || !std::isfinite(a) || !std::isfinite(b)) return std::nullopt;
    const double line = a / (a - b);
    const double c = e.third.excess;
    if (!std::isfinite(c) || !differ(c, a) || !differ(c, b)) return line;
    const double z = (e.third.x - e.in.x) / (e.out.x - e.in.x);
    const double curve = a * c / ((b - a) * (b - c)) + z * a * b / ((c - a) * (c - b));
    return curve >= 0.0 && curve <= 1.0 ? curve : line;
}

/// The places of the next round: close about a guess if there is one, evenly otherwise and after a guess that was wrong.
void plan(End& e, double tolerance) {
    const double width = e.out.x - e.in.x;
    e.next.clear();
    const auto put = [&](double t) {
        const double x = e.in.x + width * t;
        const bool between = width > 0.0 ? x > e.in.x && x < e.out.x : x < e.in.x && x > e.out.x;
        if (between && (e.next.empty() || x != e.next.back())) e.next.push_back(x);
    };
    const std::optional<double> t = e.trusted ? guess(e) : std::nullopt;
    e.guessed = t.has_value();
    if (!t) {
        for (std::size_t c = 1; c <= kCuts; ++c) put(static_cast<double>(c) / (kCuts + 1));
        return;
    }
    const double least = std::max(0.45 * tolerance, 4e-16 * std::fabs(e.in.x)) / std::fabs(width);
    const double doubt = std::max(e.doubt, least);
    put(*t - doubt);
    if (doubt > least) put(*t); // then this is not the last round, and the middle is worth knowing
    put(*t + doubt);
    if (!e.next.empty()) return;
    e.guessed = false;
    put(0.5);
}

/// What a round found, answers for `e.next` from `first` on.
void take(End& e, const Answers& answers, std::size_t first) {
    const double before = std::fabs(e.in.x - e.out.x);
    std::vector<Seen> seen{e.in};
    for (std::size_t k = 0; k < e.next.size(); ++k) seen.push_back({e.next[k], answers.excess.empty() ? kNone : answers.excess[first + k]});
    seen.push_back(e.out);
    std::size_t held = 0; // the last of those that hold without a break
    while (held < e.next.size() && answers.holds[first + held] != 0) ++held;
    e.in = seen[held];
    e.out = seen[held + 1];
    const Seen* below = held > 0 ? &seen[held - 1] : nullptr;
    const Seen* above = held + 2 < seen.size() ? &seen[held + 2] : nullptr;
    const bool nearer = below != nullptr && (above == nullptr || std::fabs(below->x - e.in.x) <= std::fabs(above->x - e.out.x));
    if (below != nullptr || above != nullptr) e.third = nearer ? *below : *above;
    e.trusted = !e.guessed || std::fabs(e.in.x - e.out.x) <= before / 8;
    // A curve through three places is off by about the cube of how far they lie apart.
    e.doubt = e.guessed && e.trusted ? e.doubt * e.doubt * e.doubt : End::kFirstDoubt;
}

} // namespace

bool findStretches(const std::vector<Range>& ranges, const Holds& holds, std::vector<Found>& found) {
    found.assign(ranges.size(), {});
    std::vector<Place> places;
    Answers answer;
    const auto at = [](const Range& r, std::size_t i) {
        return i == r.samples ? r.to : r.from + (r.to - r.from) * static_cast<double>(i) / static_cast<double>(r.samples);
    };
    for (std::size_t s = 0; s < ranges.size(); ++s)
        for (std::size_t i = 0; i <= ranges[s].samples; ++i) places.push_back({s, at(ranges[s], i)});
    if (!holds(places, answer)) return false;
    std::vector<End> ends;
    const auto endAt = [&](std::size_t s, bool high, std::size_t in, std::size_t out) {
        const auto seen = [&](std::size_t i) { return Seen{places[i].x, answer.excess.empty() ? kNone : answer.excess[i]}; };
        End e;
        e.search = s;
        e.stretch = found[s].stretches.size() - 1;
        e.high = high;
        e.in = seen(in);
        e.out = seen(out);
        ends.push_back(std::move(e));
    };
    std::size_t next = 0;
    for (std::size_t s = 0; s < ranges.size(); ++s) {
        const Range& r = ranges[s];
        Found& f = found[s];
        f.looked = r.samples + 1;
        for (std::size_t i = 0; i <= r.samples; ++i, ++next) {
            if (answer.holds[next] == 0) continue;
            const double x = at(r, i);
            if (i > 0 && answer.holds[next - 1] != 0) {
                f.stretches.back().to = x;
            } else {
                f.stretches.push_back({x, x, x, x, i == 0, false});
                if (i > 0) endAt(s, false, next, next - 1);
            }
            if (i == r.samples)
                f.stretches.back().opensHigh = true;
            else if (answer.holds[next + 1] == 0)
                endAt(s, true, next, next + 1);
        }
    }
    for (int round = 0; round < kRounds; ++round) {
        places.clear();
        std::vector<End*> open;
        for (End& e : ends) {
            const double width = std::fabs(e.in.x - e.out.x), tolerance = ranges[e.search].tolerance;
            if (width <= tolerance || width <= 4e-16 * std::fabs(e.in.x)) continue;
            plan(e, tolerance);
            if (e.next.empty()) continue; // no number lies between the two
            open.push_back(&e);
            for (const double x : e.next) places.push_back({e.search, x});
        }
        if (open.empty()) break;
        if (!holds(places, answer)) return false;
        std::size_t first = 0;
        for (End* e : open) {
            found[e->search].looked += e->next.size();
            const std::size_t asked = e->next.size();
            take(*e, answer, first);
            first += asked;
        }
    }
    for (const End& e : ends) {
        Stretch& s = found[e.search].stretches[e.stretch];
        (e.high ? s.to : s.from) = e.in.x;
        (e.high ? s.after : s.before) = e.out.x;
    }
    return true;
}

} // namespace spanwright::trial
