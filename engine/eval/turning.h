// SPDX-License-Identifier: MIT
#pragma once

#include <span>
#include <vector>

#include "engine/eval/range.h"

namespace spanwright::eval {

// The largest of a function that is known only to rise or only to fall between neighbouring ones of some places: of `points`,
// ascending, where it may have kinks and jumps, and of `turns`.

/// Adds the places where it is wanted to `x`: the points, from just inside too, and the turns. Puts the turns in order.
void addTurningPlaces(std::span<const double> points, std::vector<double>& turns, std::vector<double>& x);

/// What its values there come to: as LargestSearch::result().
[[nodiscard]] RangeResult largestOfTurning(std::span<const double> points, const double* x, const double* f, std::size_t n, double sign);

} // namespace spanwright::eval
