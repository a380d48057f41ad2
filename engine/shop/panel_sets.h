// SPDX-License-Identifier: MIT
#pragma once

#include <cstdint>

#include "engine/shop/budget.h"
#include "engine/shop/panel_core.h"

namespace spanwright::shop {

/// The number of panels that the linear relaxation over all sets of pieces proves that can be sawn edge to edge out of
/// one panel. Every such set is listed, with the smallest rectangles that each can be sawn from, so nothing is relaxed but
/// wholeness. Only for panels of one size and where few pieces go into a panel: 0 if there are too many sets, too many
/// pieces or too little work. Stops when `goal` is proven or out of reach.
[[nodiscard]] std::int64_t boundBySets(const PanelCore& core, std::int64_t goal, Budget& budget);

} // namespace spanwright::shop
