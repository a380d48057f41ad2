// SPDX-License-Identifier: MIT
#pragma once

#include <cstdint>
#include <vector>

#include "engine/shop/dual_feasible.h"
#include "engine/shop/guillotine_limits.h"
#include "engine/shop/panel_core.h"

namespace spanwright::shop {

/// The rectangles that panels are sawn into, and the rows of demand that each counts for.
struct PanelKinds {
    std::vector<Rectangle> sizes;
    std::vector<Taken> takes; ///< of each
    std::vector<std::int64_t> demand;
    bool rowsAreBlocks = true; ///< and kinds as well
};

/// Rows are the core's blocks: what is sawn so can be planned by.
[[nodiscard]] PanelKinds kindsOfBlocks(const PanelCore& core);

/// For bounds: as above without trapezoids; with them, rows are demands, and a trapezoid lies alone or with any mate.
[[nodiscard]] PanelKinds kindsOfDemands(const PanelProblem& problem, const PanelCore& core);

} // namespace spanwright::shop
