// SPDX-License-Identifier: MIT
#pragma once

#include <span>

#include "engine/beam/layout.h"

namespace spanwright::beam {

/// Most powers of a polynomial here: of one of degree 5.
inline constexpr std::size_t kMostPowers = 6;

/// c[0] + c[1]*t + c[2]*t^2 + ..
[[nodiscard]] inline double valueAt(std::span<const double> c, double t) {
    double v = c.back();
    for (std::size_t k = c.size() - 1; k-- > 0;) v = v * t + c[k];
    return v;
}

/// Adds the zeros of a polynomial between two places, 0 <= from <= to <= 1, where it changes its sign; those of a quadratic
/// also where it only touches zero. What rounding may have carried across an end is put on it. At most kMostPowers powers.
void addZeros(std::span<const double> polynomial, double from, double to, Few<double>& out);

} // namespace spanwright::beam
