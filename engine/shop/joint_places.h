// SPDX-License-Identifier: MIT
#pragma once

#include <cstddef>
#include <cstdint>
#include <set>
#include <vector>

namespace spanwright::shop {

/// Joints along a member, ascending, m.
using Places = std::vector<double>;

/// What is cut between two joints, as stock sees it.
struct JointStock {
    struct Board {
        std::int64_t length = 0; ///< usable, 0.1 mm
        std::int64_t strips = 1; ///< so many pieces lie beside one another
        double area = 0.0;       ///< m², of the whole board or panel
        double volume = 0.0;     ///< m³
        std::int64_t most = 0;   ///< 0.1 mm: no more of the pieces' length can come out of one, however they lie
        std::int64_t onHand = 0;
        friend bool operator==(const Board&, const Board&) = default;
    };
    std::vector<Board> boards;
    std::int64_t kerf = 0;
    std::int64_t times = 1;     ///< so many alike of each piece: beside one another and in all members
    double lap = 0.0;           ///< m, of a joint whose pieces overlap
    std::set<std::size_t> rows; ///< of stock that the boards are
    std::int64_t fewest = 0;    ///< no part of a chain stands fewer times
    std::int64_t sum = 0;       ///< 0.1 mm of all pieces as the joints stand now
};

/// Whole boards or panels that the pieces of these chains take together, m²: strips packed the longest first, so it is a guess, the same for
/// the same joints.
[[nodiscard]] double stockFor(const JointStock& stock, double low, double high, const std::vector<const Places*>& chains);

/// Where joints may stand to be tried: whole steps between the ends, and where whole lengths of stock reach from either end.
[[nodiscard]] Places placesToTry(const JointStock& stock, double low, double high);

/// How long a piece may be, m: between two joints, between an end and a joint (which overlaps there only), and without any joint.
struct PieceLimits {
    double inner = 0.0, end = 0.0, whole = 0.0;
};

/// Stock that must be bought for so many chains from end to end, wherever their joints stand, m³: no plan buys less.
[[nodiscard]] double leastStock(const JointStock& stock, double low, double high, std::int64_t chains);

/// Chains of joints, and whether they are all that there are.
struct JointChains {
    std::vector<Places> chains;
    bool all = true; ///< on the places, with these numbers of joints
};

/// Chains of joints at `allowed` places (ascending) between `low` and `high`, no piece longer than the limits: those with the fewest joints
/// and those with one more. Of many, those that take the least stock and others evenly from the rest.
[[nodiscard]] JointChains jointChains(const JointStock& stock, double low, double high, const PieceLimits& limits, const Places& allowed);

inline constexpr double kJointStep = 0.1;     ///< m: joints stand at whole multiples of it along the member, or where lengths of stock reach
inline constexpr double kShortestPiece = 0.4; ///< m, between joints

} // namespace spanwright::shop
