// SPDX-License-Identifier: MIT
#pragma once

#include <cstdint>
#include <vector>

#include "engine/shop/budget.h"
#include "engine/shop/guillotine_table.h"
#include "engine/shop/panel_core.h"

namespace spanwright::shop {

struct SetsAnswer {
    std::int64_t panels = 0;       ///< so many are needed; 0: nothing was proven
    std::vector<SawnPattern> plan; ///< not empty: all pieces on fewer than `goal` panels; kinds are blocks
};

/// The linear relaxation over all sets of pieces that can be sawn edge to edge out of one panel. Every such set is listed,
/// with the smallest rectangles that each can be sawn from, so nothing is relaxed but wholeness; where it does not prove
/// that `goal` panels are needed it is rounded to a plan. Only for panels of one size and where few pieces go into a
/// panel: no answer if there are too many sets, too many pieces or too little work.
[[nodiscard]] SetsAnswer askSets(const PanelCore& core, std::int64_t goal, Budget& budget);

} // namespace spanwright::shop
