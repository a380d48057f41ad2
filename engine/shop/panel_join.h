// SPDX-License-Identifier: MIT
#pragma once

#include <cstdint>
#include <vector>

#include "engine/shop/guillotine_table.h"
#include "engine/shop/panel_search.h"

namespace spanwright::shop {

/// A panel that is almost full.
struct DensePanel {
    double filled = 0.0; ///< of the panel's area
    SawnPattern pattern; ///< kinds are items
    std::vector<std::int32_t> items;
};

/// Panels almost full of items out of `pool`, each item once: pieces are joined to blocks of little waste, blocks to larger
/// ones (after Wang, "Two algorithms for constrained two-dimensional cutting stock problems", Operations Research 31, 1983),
/// blocks as high or as wide as the panel are laid side by side. Only the best blocks of each number of pieces are kept.
/// The first 64 of the pool are looked at, `width` blocks kept of each number. Gives up to `most`, fullest first; another
/// seed keeps other blocks.
[[nodiscard]] std::vector<DensePanel> densePanels(const Bin& bin, const std::vector<Item>& items, const std::vector<std::int32_t>& pool, std::size_t most,
                                                  std::size_t width, std::uint64_t seed, Budget& budget);

/// Fills these panels (kinds of the core) one after the other so; what finds no place is left in `out`.
[[nodiscard]] Packing packDensely(const PanelCore& core, const std::vector<Item>& items, const std::vector<std::size_t>& bins, std::size_t width,
                                  std::uint64_t seed, Budget& budget);

} // namespace spanwright::shop
