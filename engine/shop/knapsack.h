// SPDX-License-Identifier: MIT
#pragma once

#include <cstdint>
#include <vector>

namespace spanwright::shop {

/// One kind of thing to pack: how long, how much it is worth, how many at most.
struct Worth {
    std::int64_t length = 0;
    std::int64_t profit = 0;
    std::int32_t limit = 0;
};

struct Packed {
    std::int64_t profit = 0;
    std::vector<std::int32_t> counts; ///< by kind
    bool exact = false;               ///< false: the work limit was reached; then `bound` is still an upper bound
    std::int64_t bound = 0;           ///< no packing is worth more than this
    std::uint64_t work = 0;
};

/// The bounded knapsack in exact integers: the most profit within `capacity`. Depth first in order of profit per
/// length with the bound of the relaxation, then, if that takes too long, by dynamic programming over the
/// length. Lengths > 0, profits >= 0 and below 2^40, limits >= 0. The first of equals, so the same input gives the same answer.
[[nodiscard]] Packed packMost(const std::vector<Worth>& kinds, std::int64_t capacity, std::uint64_t workLimit);

/// The same, and where the table was needed also further packings worth more than `threshold`, as they fall off: each is
/// the best with one kind as its last.
[[nodiscard]] Packed packMost(const std::vector<Worth>& kinds, std::int64_t capacity, std::uint64_t workLimit, std::int64_t threshold,
                              std::vector<std::vector<std::int32_t>>& more);

} // namespace spanwright::shop
