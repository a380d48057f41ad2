// SPDX-License-Identifier: MIT
#pragma once

#include <cstddef>
#include <cstdint>
#include <vector>

#include "engine/shop/length_plan.h"

namespace spanwright::shop {

/// Joints along a member, ascending, m.
using Places = std::vector<double>;

/// What is cut between two joints, as stock sees it: stock taken as bars, each with the area that one strip of it takes.
struct JointStock {
    std::vector<LengthBar> bars; ///< in 0.1 mm; cost in mm²
    std::int64_t kerf = 0;
    std::int64_t times = 1; ///< so many alike of each piece: beside one another and in all members
    double lap = 0.0;       ///< m, of a joint whose pieces overlap
};

/// Stock that the pieces of these chains take together, m²: packed the longest first, so it is a guess, the same for the same joints.
[[nodiscard]] double stockFor(const JointStock& stock, double low, double high, const std::vector<const Places*>& chains);

/// Where joints may stand to be tried: whole steps between the ends, and where whole lengths of stock reach from either end.
[[nodiscard]] Places placesToTry(const JointStock& stock, double low, double high);

/// Chains of joints at `allowed` places (ascending) between `low` and `high`, no piece longer than `most`: those with the fewest joints and
/// those with one more. Of many, those that take the least stock and others evenly from the rest.
[[nodiscard]] std::vector<Places> jointChains(const JointStock& stock, double low, double high, double most, const Places& allowed);

inline constexpr double kShortestPiece = 0.4; ///< m, between joints

} // namespace spanwright::shop
