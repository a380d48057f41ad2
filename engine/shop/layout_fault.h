// SPDX-License-Identifier: MIT
#pragma once

#include <string>

#include "engine/shop/cut_layout.h"

namespace spanwright::shop {

/// Looks at one layout from outside; shares no code with any planner. Walks the cut tree from the stock piece as bought:
/// trims taken off, every cut from edge to edge of what is left, its kerf gone, both parts exactly what remains; every
/// placed piece in exactly one leaf and every leaf of the right size; cuts numbered in an order in which they can be
/// sawn; offcuts as listed and large enough. Shapes of pieces are not looked at. Empty if all is well.
[[nodiscard]] std::string faultOfTree(const CutStock& stock, const CutLayout& layout, std::int64_t uprightKerf, std::int64_t lyingKerf,
                                      std::int64_t smallestOffcutX, std::int64_t smallestOffcutY);

} // namespace spanwright::shop
