// SPDX-License-Identifier: MIT
// The verifier of plans of lengths; it shares no code with the planner.
#include "engine/shop/length_plan.h"

namespace spanwright::shop {

std::string faultOf(const LengthProblem& problem, const LengthPlan& plan) {
    if (!plan.problem.empty()) return plan.patterns.empty() ? "" : "a plan though there is a problem";
    std::vector<std::int64_t> made(problem.demands.size(), 0);
    std::vector<std::int64_t> used(problem.bars.size(), 0);
    std::int64_t bars = 0;
    std::int64_t bought = 0;
    std::int64_t cost = 0;
    bool boughtBefore = false;
    for (const LengthPattern& p : plan.patterns) {
        if (p.times <= 0) return "a pattern is cut no times";
        if (p.bar >= problem.bars.size()) return "a pattern names a bar that is not there";
        const LengthBar& bar = problem.bars[p.bar];
        std::int64_t length = 0;
        std::int64_t pieces = 0;
        for (std::size_t k = 0; k < p.pieces.size(); ++k) {
            const auto& [i, n] = p.pieces[k];
            if (i >= made.size()) return "a pattern names a piece that is not there";
            if (k > 0 && p.pieces[k - 1].first >= i) return "a pattern names its pieces out of order";
            if (n <= 0) return "a pattern holds a piece no times";
            length += problem.demands[i].length * n;
            pieces += n;
            made[i] += n * p.times;
        }
        if (pieces == 0) return "a pattern is empty";
        const std::int64_t taken = length + (pieces - 1) * problem.kerf;
        if (taken > bar.length) return "a bar is too short for its pieces";
        const std::int64_t left = bar.length - taken <= problem.kerf ? 0 : bar.length - taken - problem.kerf;
        if (p.leftover != left) return "what is left of a bar is not what it says";
        bars += p.times;
        if (p.onHand) {
            if (boughtBefore) return "a bar on hand stands behind a bought one";
            used[p.bar] += p.times;
            continue;
        }
        boughtBefore = true;
        if (!bar.bought) return "a bar is bought that cannot be";
        bought += p.times;
        cost += p.times * bar.cost;
    }
    for (std::size_t i = 0; i < used.size(); ++i) {
        if (used[i] > problem.bars[i].onHand) return "more bars are taken from what is on hand than there are";
    }
    if (plan.uncut.size() != made.size()) return "it is not said of every piece whether it is cut";
    for (std::size_t i = 0; i < made.size(); ++i) {
        if (plan.uncut[i] < 0 || made[i] + plan.uncut[i] != problem.demands[i].count)
            return "piece " + std::to_string(i + 1) + " is cut " + std::to_string(made[i]) + " times, wanted " + std::to_string(problem.demands[i].count);
    }
    if (bars != plan.cut || bought != plan.bought || cost != plan.cost) return "bars or costs are not what the patterns add up to";
    if (plan.cost < plan.atLeast) return "it costs less than the bound says it must";
    if (plan.proven != (plan.complete() && plan.cost == plan.atLeast)) return "proven without proof";
    return {};
}

} // namespace spanwright::shop
