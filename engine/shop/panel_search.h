// SPDX-License-Identifier: MIT
#pragma once

#include <cstdint>
#include <vector>

#include "engine/shop/budget.h"
#include "engine/shop/panel_core.h"
#include "engine/shop/slicing.h"

namespace spanwright::shop {

/// One piece (or pair) to be placed; items of one block are alike.
struct Item {
    std::int64_t width = 0;
    std::int64_t height = 0;
    bool mayTurn = false;
    std::int32_t block = 0;
};

/// Sliced panels, and the items that lie in none.
struct Packing {
    std::vector<std::size_t> bins; ///< kinds, as they stand in the core
    std::vector<Slicing> slicings; ///< one for each
    std::vector<std::int32_t> out; ///< items without a place
};

[[nodiscard]] Slicing emptyPanel(const PanelCore& core, std::size_t kind);
[[nodiscard]] std::vector<Item> itemsOf(const PanelCore& core);
[[nodiscard]] std::int64_t costOf(const PanelCore& core, const Packing& packing);

/// Panel after panel, each item where least is spoilt; tries several orders and gives the cheapest.
[[nodiscard]] Packing packGreedily(const PanelCore& core, const std::vector<Item>& items, Budget& budget);

/// Tries to get every item into the panels of `start`: takes some parts out, puts them back otherwise, keeps what is
/// not much worse (after Gardeyn and Wauters, "A goal-driven ruin and recreate heuristic for the 2D variable-sized bin
/// packing problem with guillotine constraints", European Journal of Operational Research 301, 2022). Gives the best
/// it found within `work`; nothing is left out if it succeeded.
[[nodiscard]] Packing squeeze(const PanelCore& core, const std::vector<Item>& items, Packing start, std::uint64_t work, std::uint64_t seed, Budget& budget);

} // namespace spanwright::shop
