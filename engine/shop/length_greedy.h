// SPDX-License-Identifier: MIT
#pragma once

#include "engine/shop/budget.h"
#include "engine/shop/length_core.h"

namespace spanwright::shop {

/// Bar after bar, each filled as full as it goes with the longest piece left in it (which must go somewhere); as many equal bars as the
/// need allows. `care` limits the work on one bar. Once the budget is spent the rest goes where it first fits.
[[nodiscard]] Patterns fillBars(const Sizes& sizes, std::vector<std::int64_t> need, std::uint64_t care, Budget& budget);

/// The longest first, each into the first bar that it fits in.
[[nodiscard]] Patterns firstFit(const Sizes& sizes, const std::vector<std::int64_t>& need, Budget& budget);

} // namespace spanwright::shop
