// SPDX-License-Identifier: MIT
#pragma once

#include <cstddef>
#include <cstdint>
#include <functional>
#include <vector>

namespace spanwright::eval {

/// Evaluates a function at n places; false when it has no value at one of them (the reason is kept
/// elsewhere). Whether it runs by blocks or one by one makes no difference to what follows.
using Body = std::function<bool(const double* x, std::size_t n, double* out)>;

struct RangeResult {
    enum class State : std::uint8_t {
        Ok,
        BodyFailed, ///< the body said no
        Unsettled,  ///< an integral did not reach its accuracy; `place`: where it is worst
        NoRoot,     ///< no change of sign; `least` and `most` of what was seen
        Jump,       ///< the sign changes by a jump at `place`, without a zero
    };
    State state = State::Ok;
    double value = 0.0;
    double place = 0.0;
    double least = 0.0, most = 0.0;
};

/// Points are ascending: both ends with kinks between; at least two, first < last.

/// Gauss-Legendre panels of 15 points (nodes of Boost.Math) between the points, halved where one panel
/// and its two halves disagree, until what is left is below 1e-10 of the integral of |f|.
[[nodiscard]] RangeResult integrate(const Body& body, const std::vector<double>& points);

/// The largest value and the first place that has it (to 1e-12 of the value). Every piece is sampled, at
/// its ends also just inside, so that at a jump both sides count; then the neighbourhood of every local
/// maximum is searched by ever finer grids. `sign` -1 finds the smallest.
[[nodiscard]] RangeResult searchLargest(const Body& body, const std::vector<double>& points, double sign);

/// The first zero from the left: scan for a change of sign, then the TOMS 748 algorithm of Boost.Math.
[[nodiscard]] RangeResult findRoot(const Body& body, const std::vector<double>& points);

} // namespace spanwright::eval
