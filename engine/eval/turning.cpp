// SPDX-License-Identifier: MIT
#include "engine/eval/turning.h"

#include <algorithm>
#include <cmath>

namespace spanwright::eval {

void addTurningPlaces(std::span<const double> points, std::vector<double>& turns, std::vector<double>& x) {
    std::sort(turns.begin(), turns.end());
    std::size_t next = 0;
    for (std::size_t piece = 1; piece < points.size(); ++piece) {
        const double a = points[piece - 1], b = points[piece];
        if (!(a < b)) continue;
        x.push_back(a);
        x.push_back(justAbove(a, b));
        for (; next < turns.size() && turns[next] < b; ++next)
            if (turns[next] > x.back()) x.push_back(turns[next]);
        if (const double inside = justBelow(a, b); inside > x.back()) x.push_back(inside);
        x.push_back(b);
    }
}

RangeResult largestOfTurning(std::span<const double> points, const double* x, const double* f, std::size_t n, double sign) {
    double most = sign * f[0];
    for (std::size_t i = 1; i < n; ++i) most = std::max(most, sign * f[i]);
    const double alike = most - kAlike * std::fabs(most);
    double place = points.back();
    for (std::size_t i = 0; i < n; ++i)
        if (sign * f[i] >= alike) place = std::min(place, x[i]);
    // Just inside an end that has the same value: the end itself.
    const double near = kAlike * (points.back() - points.front());
    for (std::size_t i = 0; i < n; ++i) {
        if (sign * f[i] < alike || std::fabs(x[i] - place) > near) continue;
        if (std::find(points.begin(), points.end(), x[i]) != points.end()) place = x[i];
    }
    RangeResult result;
    result.value = sign * most;
    result.place = place;
    return result;
}

} // namespace spanwright::eval
