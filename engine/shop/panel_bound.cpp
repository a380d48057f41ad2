// SPDX-License-Identifier: MIT
#include "engine/shop/panel_bound.h"

#include <algorithm>
#include <limits>
#include <numeric>

#include "engine/shop/dual_feasible.h"
#include "engine/shop/wide.h"

namespace spanwright::shop {

namespace {

/// Whole panels by trying how many of each kind, the one that costs least for its worth last.
class Cover {
public:
    explicit Cover(std::vector<PanelWorth> panels) : m_panels(std::move(panels)) {
        std::erase_if(m_panels, [](const PanelWorth& p) { return p.worth <= 0; });
        for (const PanelWorth& p : m_panels) m_step = std::gcd(m_step, p.cost);
        std::stable_sort(m_panels.begin(), m_panels.end(),
                         [](const PanelWorth& a, const PanelWorth& b) { return static_cast<Wide>(a.cost) * b.worth > static_cast<Wide>(b.cost) * a.worth; });
    }

    std::int64_t least(std::int64_t need) {
        if (need <= 0 || m_panels.empty() || m_step == 0) return 0;
        const std::int64_t atLeast = roundedUp(need, 0);
        const PanelWorth& last = m_panels.back();
        m_best = static_cast<std::int64_t>((static_cast<Wide>(need) + last.worth - 1) / last.worth * last.cost);
        tryFrom(0, need, 0);
        return m_steps < kMostSteps ? m_best : atLeast;
    }

private:
    static constexpr std::int64_t kMostSteps = 200'000;

    /// A bound on the cost if `need` is left and `spent` has been spent: by the best ratio, in steps of what costs differ by.
    [[nodiscard]] std::int64_t roundedUp(std::int64_t need, std::int64_t spent) const {
        if (need <= 0) return spent;
        const PanelWorth& last = m_panels.back();
        const Wide cost = spent + (static_cast<Wide>(need) * last.cost + last.worth - 1) / last.worth;
        return static_cast<std::int64_t>((cost + m_step - 1) / m_step * m_step);
    }

    void tryFrom(std::size_t k, std::int64_t need, std::int64_t spent) {
        if (++m_steps >= kMostSteps) return;
        if (need <= 0) {
            m_best = std::min(m_best, spent);
            return;
        }
        const PanelWorth& p = m_panels[k];
        if (k + 1 == m_panels.size()) {
            m_best = std::min(m_best, static_cast<std::int64_t>(spent + (static_cast<Wide>(need) + p.worth - 1) / p.worth * p.cost));
            return;
        }
        while (roundedUp(need, spent) < m_best && m_steps < kMostSteps) {
            tryFrom(k + 1, need, spent);
            if (need <= 0) return;
            need -= p.worth;
            spent += p.cost;
        }
    }

    std::vector<PanelWorth> m_panels;
    std::int64_t m_step = 0;
    std::int64_t m_best = 0;
    std::int64_t m_steps = 0;
};

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
    std::vector<PanelWorth> bought;
    for (const Bin& b : core.bins) {
        const Wide twice = static_cast<Wide>(2) * b.width * b.height;
        if (b.onHand) {
            need -= twice * b.limit;
        } else {
            bought.push_back({b.cost, static_cast<std::int64_t>(twice)});
        }
    }
    constexpr Wide kMost = std::numeric_limits<std::int64_t>::max();
    return {costOfWorth(std::move(bought), static_cast<std::int64_t>(std::clamp<Wide>(need, 0, kMost))), "area"};
}

std::int64_t costOfWorth(std::vector<PanelWorth> panels, std::int64_t need) { return Cover(std::move(panels)).least(need); }

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
