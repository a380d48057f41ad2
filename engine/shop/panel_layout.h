// SPDX-License-Identifier: MIT
#pragma once

#include "engine/shop/panel_core.h"
#include "engine/shop/panel_search.h"

namespace spanwright::shop {

/// Turns slicings of the core into layouts with kerfs, trims, cut orders, outlines and offcuts; alike panels joined.
[[nodiscard]] std::vector<CutLayout> layoutsOf(const PanelProblem& problem, const PanelCore& core, const std::vector<Item>& items, const Packing& packing);

} // namespace spanwright::shop
