// SPDX-License-Identifier: MIT
#include <algorithm>

#include "engine/eval/points.h"

namespace spanwright::eval {

void PointRow::setAll(State s, std::size_t points) {
    std::fill_n(states.begin(), points, s);
    std::fill_n(causes.begin(), points, s);
    allKnown = s == State::Known;
}

void PointRow::keep(const std::vector<std::uint32_t>& points) {
    const auto compact = [&](auto& values, std::size_t at) {
        for (std::size_t i = 0; i < points.size(); ++i)
            if (points[i] != i) values[at + i] = std::move(values[at + points[i]]);
    };
    compact(states, 0);
    compact(causes, 0);
    for (std::vector<double>* v : {&numbers, &right})
        for (std::size_t at = 0; at + kPoints <= v->size(); at += kPoints) compact(*v, at);
    if (!counts.empty()) compact(counts, 0);
    if (!tables.empty()) compact(tables, 0);
    if (!solved.empty()) compact(solved, 0);
    made.clear();
    if (lines) lines->keep(points);
    allKnown = allKnown || std::all_of(states.begin(), states.begin() + static_cast<std::ptrdiff_t>(points.size()), [](State s) { return s == State::Known; });
}

const std::shared_ptr<const beam::Solved>& PointRow::beamAt(std::size_t point) const {
    if (!lines) return solved[point];
    made.resize(kPoints);
    if (!made[point]) made[point] = std::make_shared<const beam::Solved>(lines->line(point));
    return made[point];
}

void PointRow::setLines(std::shared_ptr<beam::EvenLines> all) {
    lines = std::move(all);
    made.clear();
    solved.clear();
}

void PointRow::setBeam(std::size_t point, std::shared_ptr<const beam::Solved> beam) {
    lines.reset();
    made.clear();
    solved.resize(kPoints);
    solved[point] = std::move(beam);
}

} // namespace spanwright::eval
