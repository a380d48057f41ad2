// SPDX-License-Identifier: MIT
#pragma once

#include "engine/shop/panel_bound.h"

namespace spanwright::shop {

/// The linear relaxation over all ways to saw one panel edge to edge, columns made as they are wanted. A pattern may hold
/// more of a piece than there are (the guillotine relaxation). Stops as soon as the bound reaches `goal` panels or cannot.
/// Gives the greatest number of panels that it proved, in whole numbers.
struct RelaxationResult {
    std::int64_t panels = 0;
    bool converged = false;    ///< the relaxation is solved, or certain not to reach the goal
    std::vector<double> worth; ///< of each block, at the end
};

[[nodiscard]] RelaxationResult guillotineRelaxation(const PanelCore& core, std::int64_t goal, Budget& budget);

} // namespace spanwright::shop
