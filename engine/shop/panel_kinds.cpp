// SPDX-License-Identifier: MIT
#include "engine/shop/panel_kinds.h"

#include <algorithm>

namespace spanwright::shop {

PanelKinds kindsOfBlocks(const PanelCore& core) {
    PanelKinds out;
    for (const Block& b : core.blocks) {
        out.sizes.push_back({b.width, b.height, b.count, b.mayTurn});
        out.takes.push_back({out.demand.size(), SIZE_MAX});
        out.demand.push_back(b.count);
    }
    return out;
}

PanelKinds kindsOfDemands(const PanelProblem& problem, const PanelCore& core) {
    if (std::none_of(core.blocks.begin(), core.blocks.end(), [](const Block& b) { return b.mate >= 0; })) return kindsOfBlocks(core);
    PanelKinds out;
    out.rowsAreBlocks = false;
    std::vector<std::size_t> of;
    for (std::size_t i = 0; i < problem.demands.size(); ++i) {
        const PanelPiece& d = problem.demands[i];
        const std::int64_t count = d.count - core.uncut[i];
        if (count <= 0) continue;
        out.sizes.push_back({d.width + problem.kerf, d.height + problem.kerf, count, d.mayTurn});
        out.takes.push_back({of.size(), SIZE_MAX});
        of.push_back(i);
        out.demand.push_back(count);
    }
    for (std::size_t r = 0; r < of.size(); ++r) {
        for (std::size_t s = r; s < of.size(); ++s) {
            const PanelPiece& a = problem.demands[of[r]];
            const PanelPiece& b = problem.demands[of[s]];
            if (!canPair(a, b)) continue;
            const PairShape shape = pairShapeOf(a, b, problem.kerf);
            const std::int64_t count = r == s ? out.demand[r] / 2 : std::min(out.demand[r], out.demand[s]);
            if (count <= 0) continue;
            out.sizes.push_back({shape.width + problem.kerf, shape.height + problem.kerf, count, a.mayTurn});
            out.takes.push_back({r, s});
        }
    }
    return out;
}

} // namespace spanwright::shop
