// SPDX-License-Identifier: MIT
#include "engine/trial/search.h"

#include <cmath>

namespace spanwright::trial {

namespace {

/// An end of a stretch, between a place that holds and one that does not.
struct End {
    std::size_t search = 0, stretch = 0;
    bool high = false;
    double in = 0.0, out = 0.0;
};

constexpr std::size_t kCuts = 15; ///< places between the two at each round
constexpr int kRounds = 40;

} // namespace

bool findStretches(const std::vector<Range>& ranges, const Holds& holds, std::vector<Found>& found) {
    found.assign(ranges.size(), {});
    std::vector<Place> places;
    std::vector<char> answer;
    const auto at = [](const Range& r, std::size_t i) {
        return i == r.samples ? r.to : r.from + (r.to - r.from) * static_cast<double>(i) / static_cast<double>(r.samples);
    };
    for (std::size_t s = 0; s < ranges.size(); ++s)
        for (std::size_t i = 0; i <= ranges[s].samples; ++i) places.push_back({s, at(ranges[s], i)});
    if (!holds(places, answer)) return false;
    std::vector<End> ends;
    std::size_t next = 0;
    for (std::size_t s = 0; s < ranges.size(); ++s) {
        const Range& r = ranges[s];
        Found& f = found[s];
        f.looked = r.samples + 1;
        for (std::size_t i = 0; i <= r.samples; ++i, ++next) {
            if (answer[next] == 0) continue;
            const double x = at(r, i);
            if (i > 0 && answer[next - 1] != 0) {
                f.stretches.back().to = x;
            } else {
                f.stretches.push_back({x, x, x, x, i == 0, false});
                if (i > 0) ends.push_back({s, f.stretches.size() - 1, false, x, at(r, i - 1)});
            }
            if (i == r.samples)
                f.stretches.back().opensHigh = true;
            else if (answer[next + 1] == 0)
                ends.push_back({s, f.stretches.size() - 1, true, x, at(r, i + 1)});
        }
    }
    for (int round = 0; round < kRounds; ++round) {
        places.clear();
        std::vector<End*> open;
        for (End& e : ends) {
            const double width = std::fabs(e.in - e.out);
            if (width <= ranges[e.search].tolerance || width <= 4e-16 * std::fabs(e.in)) continue;
            open.push_back(&e);
            for (std::size_t c = 1; c <= kCuts; ++c) places.push_back({e.search, e.in + (e.out - e.in) * static_cast<double>(c) / (kCuts + 1)});
        }
        if (open.empty()) break;
        if (!holds(places, answer)) return false;
        for (std::size_t k = 0; k < open.size(); ++k) {
            End& e = *open[k];
            found[e.search].looked += kCuts;
            double in = e.in, out = e.out;
            for (std::size_t c = 0; c < kCuts; ++c) {
                const double x = places[k * kCuts + c].x;
                if (answer[k * kCuts + c] == 0) {
                    out = x;
                    break;
                }
                in = x;
            }
            e.in = in;
            e.out = out;
        }
    }
    for (const End& e : ends) {
        Stretch& s = found[e.search].stretches[e.stretch];
        (e.high ? s.to : s.from) = e.in;
        (e.high ? s.after : s.before) = e.out;
    }
    return true;
}

} // namespace spanwright::trial
