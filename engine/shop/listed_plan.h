// SPDX-License-Identifier: MIT
#pragma once

#include "engine/shop/budget.h"
#include "engine/shop/length_core.h"

namespace spanwright::shop {

/// Whether so many bars are enough if every bar is cut by one of the patterns listed, more than is needed being allowed.
struct ListedAnswer {
    enum class Verdict : std::uint8_t {
        Enough,
        NotEnough, ///< proven in whole numbers
        Unknown,   ///< the budget was spent
    };
    Verdict verdict = Verdict::Unknown;
    Patterns plan; ///< Enough: covers the need; may hold more than it
};
/// Branch and bound: the relaxation over the patterns, split by how many bars hold two kinds together. A branch is given up only where prices
/// rounded to whole numbers prove it.
[[nodiscard]] ListedAnswer searchListed(const std::vector<Pattern>& patterns, const std::vector<std::int64_t>& need, std::int64_t bars, Budget& budget);

} // namespace spanwright::shop
