// SPDX-License-Identifier: MIT
#pragma once

#include <algorithm>
#include <cmath>
#include <functional>
#include <vector>

#include <doctest/doctest.h>

#include "engine/beam/beam.h"

/// Short ways to state a line, for the tests of this folder.
namespace spanwright::beam::lines {

inline Stiffness constant(double value) {
    return [value](const double*, std::size_t n, double* out) { std::fill(out, out + n, value); };
}

inline Stiffness varying(std::function<double(double)> f) {
    return [f = std::move(f)](const double* x, std::size_t n, double* out) {
        for (std::size_t i = 0; i < n; ++i) out[i] = f(x[i]);
    };
}

inline Support simple(double at, double sink = 0.0) { return {at, false, sink}; }
inline Support fixed(double at, double sink = 0.0) { return {at, true, sink}; }

inline Load uniform(double size, double from, double to, std::uint32_t action = 0) { return {Load::Shape::Line, action, size, size, from, to, false}; }
inline Load trapezoid(double size, double sizeEnd, double from, double to, std::uint32_t action = 0) {
    return {Load::Shape::Line, action, size, sizeEnd, from, to, false};
}
inline Load point(double size, double at, std::uint32_t action = 0) { return {Load::Shape::Point, action, size, 0.0, at, at, false}; }
inline Load couple(double size, double at, std::uint32_t action = 0) { return {Load::Shape::Moment, action, size, 0.0, at, at, false}; }
inline Load eachSpan(Load load) {
    load.eachSpan = true;
    return load;
}

/// A line of constant stiffness from 0 to `length`.
inline Line line(double length, std::vector<Support> supports, std::vector<Load> loads, double ei, double ga = 0.0) {
    Line l;
    l.to = length;
    l.supports = std::move(supports);
    l.loads = std::move(loads);
    l.actionCount = 1;
    for (const Load& load : l.loads) l.actionCount = std::max(l.actionCount, load.action + 1);
    l.ei = constant(ei);
    if (ga > 0.0) l.ga = constant(ga);
    l.constantStiffness = true;
    return l;
}

/// Solves what must be solvable.
inline Solved solved(const Line& l) {
    auto result = solve(l);
    if (!result) FAIL(result.error().message);
    CHECK(result.value().residual() < 1e-12);
    return result.value();
}

/// The one value of a line without pattern loads.
inline double only(Range3 r) {
    CHECK(r.least == r.most);
    return r.most;
}

inline const std::vector<double> kOne{1.0};

inline double momentAt(const Solved& s, double x) { return only(s.moment(x, kOne)); }
inline double shearAt(const Solved& s, double x) { return only(s.shear(x, kOne)); }
inline double sagAt(const Solved& s, double x) { return only(s.deflection(x, kOne)); }
inline double reactionAt(const Solved& s, std::size_t i) { return only(s.reaction(i, kOne)); }
inline double holdingAt(const Solved& s, std::size_t i) { return only(s.supportMoment(i, kOne)); }

/// Equal to `relative`, or to that part of `scale` where the value itself may be zero.
inline bool near(double value, double wanted, double relative = 1e-9, double scale = 0.0) {
    const bool ok = std::abs(value - wanted) <= relative * std::max(std::abs(wanted), scale);
    if (!ok) MESSAGE("value " << doctest::toString(value) << " wanted " << doctest::toString(wanted) << " off by " << (value - wanted));
    return ok;
}

} // namespace spanwright::beam::lines
