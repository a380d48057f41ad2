// SPDX-License-Identifier: MIT
#include "engine/shop/panel_columns.h"

#include <algorithm>
#include <cmath>

#include "engine/shop/covering_lp.h"
#include "engine/shop/guillotine_table.h"
#include "engine/shop/wide.h"

namespace spanwright::shop {

RelaxationResult guillotineRelaxation(const PanelCore& core, std::int64_t goal, Budget& budget) {
    constexpr double kScale = 1073741824.0; // worths are whole multiples of 1/2^30 panel
    RelaxationResult out;
    std::vector<Rectangle> pieces;
    std::vector<double> demand;
    for (const Block& b : core.blocks) {
        pieces.push_back({b.width, b.height, b.count, b.mayTurn});
        demand.push_back(static_cast<double>(b.count));
    }
    GuillotineTable table(pieces, core.bins[0].width, core.bins[0].height, std::min<std::uint64_t>(budget.left() / 30 + 100'000, 60'000'000));
    CoveringLp lp(demand);
    for (std::size_t i = 0; i < pieces.size(); ++i) {
        std::vector<std::int32_t> one(pieces.size(), 0);
        one[i] = 1;
        lp.addColumn(one);
    }
    while (!budget.spent()) {
        const CoveringLp::Solution s = lp.solve();
        budget.add((s.iterations + 1) * pieces.size());
        if (!s.ok) return out;
        std::vector<std::int64_t> worth(pieces.size());
        Wide value = 0;
        for (std::size_t i = 0; i < pieces.size(); ++i) {
            worth[i] = static_cast<std::int64_t>(std::floor(std::min(s.duals[i], 1.0) * kScale));
            value += static_cast<Wide>(worth[i]) * pieces[i].count;
        }
        const std::int64_t top = std::max<std::int64_t>(table.price(worth), 1);
        budget.add(table.workOfOne());
        // No panel is worth more than `top`, so the worths divided by it prove a bound, whatever the solver did.
        out.panels = std::max(out.panels, static_cast<std::int64_t>((value + top - 1) / top));
        out.worth = s.duals;
        if (out.panels >= goal || s.value <= static_cast<double>(goal - 1) + 1e-9 || static_cast<double>(top) <= kScale * (1.0 + 1e-7)) {
            out.converged = true;
            return out;
        }
        lp.addColumn(table.counts());
    }
    return out;
}

} // namespace spanwright::shop
