// SPDX-License-Identifier: MIT
#pragma once

#include <cstdint>
#include <vector>

#include "engine/shop/budget.h"

namespace spanwright::shop {

/// A rectangle to be packed, `count` times.
struct Rectangle {
    std::int64_t width = 0;
    std::int64_t height = 0;
    std::int64_t count = 0;
    bool mayTurn = false;
};

/// So many panels at least, by dual feasible functions on each side and the area that they make of the pieces. In whole
/// numbers. Fekete and Schepers, "New classes of fast lower bounds for bin packing problems", Mathematical Programming 91,
/// 2001; Carlier, Clautiaux and Moukrim, "New reduction procedures and lower bounds for the two-dimensional bin packing
/// problem with fixed orientation", Computers & Operations Research 34, 2007.
[[nodiscard]] std::int64_t dualFeasibleBound(const std::vector<Rectangle>& pieces, std::int64_t width, std::int64_t height, Budget& budget);

} // namespace spanwright::shop
