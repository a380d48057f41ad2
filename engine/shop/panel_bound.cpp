// SPDX-License-Identifier: MIT
#include "engine/shop/panel_bound.h"

#include <algorithm>
#include <numeric>

#include "engine/shop/dual_feasible.h"
#include "engine/shop/wide.h"

namespace spanwright::shop {

namespace {

/// What costs so much is a sum of bought panels: rounded up to a whole number of the costs' common divisor.
std::int64_t roundedUp(const PanelCore& core, std::int64_t cost) {
    std::int64_t step = 0;
    for (const Bin& b : core.bins) {
        if (!b.onHand) step = std::gcd(step, b.cost);
    }
    return step == 0 ? 0 : (cost + step - 1) / step * step;
}

} // namespace

Bound areaBound(const PanelProblem& problem, const PanelCore& core) {
    // Twice the area that each demand takes at least.
    Wide need = 0;
    for (std::size_t i = 0; i < problem.demands.size(); ++i) {
        const PanelPiece& d = problem.demands[i];
        Wide twice = static_cast<Wide>(2) * (d.width + problem.kerf) * (d.height + problem.kerf);
        if (d.shape != PanelPiece::Shape::Rectangle) {
            const PairShape pair = pairShapeOf(d, d, problem.kerf);
            twice = std::min(twice, static_cast<Wide>(pair.width + problem.kerf) * (pair.height + problem.kerf));
        }
        need += twice * (d.count - core.uncut[i]);
    }
    std::int64_t cost = 0;
    std::vector<const Bin*> bought;
    for (const Bin& b : core.bins) {
        const Wide twice = static_cast<Wide>(2) * b.width * b.height;
        if (b.onHand) {
            need -= twice * b.limit;
        } else {
            bought.push_back(&b);
        }
    }
    if (need > 0 && !bought.empty()) {
        // The least over all kinds of cost for the area, rounded up: whole panels of any mix cost at least that.
        const auto per = [](const Bin* a, const Bin* b) {
            return static_cast<Wide>(a->cost) * b->width * b->height < static_cast<Wide>(b->cost) * a->width * a->height;
        };
        const Bin& best = **std::min_element(bought.begin(), bought.end(), per);
        const Wide twice = static_cast<Wide>(2) * best.width * best.height;
        // need*cost/twice, divided first so that nothing overflows.
        const Wide whole = need / twice * best.cost;
        const Wide part = (need % twice * best.cost + twice - 1) / twice;
        cost = static_cast<std::int64_t>(whole + part);
    }
    return {roundedUp(core, cost), "area"};
}

bool oneSize(const PanelCore& core) {
    bool bought = false;
    for (const Bin& b : core.bins) {
        bought = bought || !b.onHand;
        if (b.width != core.bins[0].width || b.height != core.bins[0].height) return false;
    }
    for (const Block& b : core.blocks) {
        if (b.mate >= 0) return false;
    }
    return bought;
}

std::int64_t costOfPanels(const PanelCore& core, std::int64_t panels) {
    std::int64_t cheapest = -1;
    for (const Bin& b : core.bins) {
        if (b.onHand) {
            panels -= std::min(panels, b.limit);
        } else if (cheapest < 0 || b.cost < cheapest) {
            cheapest = b.cost;
        }
    }
    return panels * std::max<std::int64_t>(cheapest, 0);
}

void raiseByDualFeasible(const PanelCore& core, Bound& bound, Budget& budget) {
    if (core.bins.empty() || !oneSize(core)) return;
    std::vector<Rectangle> pieces;
    for (const Block& b : core.blocks) pieces.push_back({b.width, b.height, b.count, b.mayTurn});
    const std::int64_t cost = costOfPanels(core, dualFeasibleBound(pieces, core.bins[0].width, core.bins[0].height, budget));
    if (cost > bound.cost) bound = {cost, "dual feasible function"};
}

} // namespace spanwright::shop
