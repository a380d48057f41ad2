// SPDX-License-Identifier: MIT
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "engine/shop/budget.h"
#include "engine/shop/panel_core.h"

namespace spanwright::shop {

/// What must at least be bought, and what proves it.
struct Bound {
    std::int64_t cost = 0;
    std::string how;
};

/// By area: what is on hand costs nothing, then the cheapest area; trapezoids count as half of their pair.
[[nodiscard]] Bound areaBound(const PanelProblem& problem, const PanelCore& core);

/// What a panel costs and what it is worth at most.
struct PanelWorth {
    std::int64_t cost = 0;
    std::int64_t worth = 0;
};

/// The least that whole panels cost that are worth `need` together. Exact, or a little less where that takes too long.
[[nodiscard]] std::int64_t costOfWorth(std::vector<PanelWorth> panels, std::int64_t need);

/// So many panels are needed, where all panels are of one size: what that costs, those on hand taken off.
[[nodiscard]] std::int64_t costOfPanels(const PanelCore& core, std::int64_t panels);

/// Whether all panels are of one size, and every piece is cut as it is (no trapezoids): then panels can be counted.
[[nodiscard]] bool oneSize(const PanelCore& core);

/// Raises `bound` by dual feasible functions if they prove more.
void raiseByDualFeasible(const PanelCore& core, Bound& bound, Budget& budget);

} // namespace spanwright::shop
