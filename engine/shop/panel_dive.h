// SPDX-License-Identifier: MIT
#pragma once

#include <cstdint>
#include <functional>
#include <vector>

#include "engine/shop/panel_columns.h"
#include "engine/shop/panel_limited.h"
#include "engine/shop/panel_search.h"

namespace spanwright::shop {

constexpr std::int32_t kNoItem = -2; ///< leaves the place of a piece free

/// The panel sawn by a pattern; `itemOf` gives an item, or `kNoItem`, for each piece of a kind.
[[nodiscard]] Slicing sawn(const PanelCore& core, std::size_t bin, const SawnPattern& pattern, const std::function<std::int32_t(std::int32_t)>& itemOf);

/// As many panels as patterns, those on hand first, sawn so; kinds are blocks. For panels of one size.
[[nodiscard]] Packing packingOf(const PanelCore& core, const std::vector<Item>& items, const std::vector<SawnPattern>& patterns);

/// These panels, sawn so; kinds are blocks. What of `cost` is not spent and what is on hand and not used stands empty.
[[nodiscard]] Packing packingOf(const PanelCore& core, const std::vector<Item>& items, const std::vector<SawnPanel>& panels, std::int64_t cost);

/// How a panel is sawn, kinds being blocks.
[[nodiscard]] SawnPattern patternOf(const PanelCore& core, const std::vector<Item>& items, const Slicing& slicing);

/// Panels for at most so much, taken from the relaxation one after the other: what it uses wholly, then what it uses most,
/// each time worked out anew for what is left to cut. Pieces without a place are left in `out`. Another seed rounds
/// otherwise.
[[nodiscard]] Packing diveForPanels(const PanelCore& core, const std::vector<Item>& items, GuillotineRelaxation& patterns, std::int64_t cost,
                                    std::uint64_t seed, Budget& budget);

} // namespace spanwright::shop
