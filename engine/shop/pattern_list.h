// SPDX-License-Identifier: MIT
#pragma once

#include "engine/shop/knapsack.h"
#include "engine/shop/length_core.h"

namespace spanwright::shop {

/// Every pattern that is worth `least` or more, leaves no more than `mostLeft` of the bar and that no further piece fits in; not `whole` and empty if there are
/// more than `most` of them, if listing them takes more than `workLimit`, or if its table (as wide as the bar, a row for each kind) would be too large.
struct PatternList {
    bool whole = false;
    std::vector<Pattern> patterns;
    std::uint64_t work = 0;
};
[[nodiscard]] PatternList listPatterns(const std::vector<Worth>& kinds, std::int64_t capacity, std::int64_t least, std::int64_t mostLeft, std::size_t most,
                                       std::uint64_t workLimit);

} // namespace spanwright::shop
