// SPDX-License-Identifier: MIT
#pragma once

#include <cstdint>
#include <functional>
#include <string>
#include <utility>
#include <vector>

#include "engine/shop/effort.h"
#include "engine/shop/plan_facts.h"

namespace spanwright::shop {

/// Bars of one length. Whole numbers of one small unit (say 0.1 mm) everywhere in this folder.
struct LengthBar {
    std::int64_t length = 0; ///< usable, end trims taken off by the caller
    std::int64_t cost = 1;   ///< of one that is bought: money in its smallest unit, or 1 each to count bars
    std::int64_t onHand = 0; ///< so many are there already and cost nothing
    bool bought = true;      ///< more can be bought
};

/// Pieces to be cut to length.
struct LengthProblem {
    std::int64_t kerf = 0; ///< lost between any two pieces, not at the ends
    std::vector<LengthBar> bars;
    struct Demand {
        std::int64_t length = 0;
        std::int64_t count = 0;
    };
    std::vector<Demand> demands;
};

/// Which pieces come out of a bar, and how many bars are cut so.
struct LengthPattern {
    std::size_t bar = 0;                                      ///< as they stand in the problem
    bool onHand = false;                                      ///< else bought
    std::vector<std::pair<std::size_t, std::int64_t>> pieces; ///< demands as they stand in the problem, ascending, and how many of each (> 0)
    std::int64_t times = 0;
    std::int64_t leftover = 0; ///< of each such bar, behind the last piece and its kerf; 0 if nothing is left
};

/// The least that must be bought, by cost; bars on hand are used before any is bought.
struct LengthPlan : PlanFacts {
    std::vector<LengthPattern> patterns; ///< bars on hand first
};

/// `better` is called from the caller's own thread with each better plan as it is found and each higher bound; `atLeast` holds as it
/// stands then.
[[nodiscard]] LengthPlan planLengths(const LengthProblem& problem, const Effort& effort = {}, const std::function<void(const LengthPlan&)>& better = {});

/// Looks at a plan from outside, sharing no code with the planner: every piece once, every bar long enough, kerfs
/// counted, sums right, no more taken from what is on hand than there is. Empty if all is well, else what is wrong.
[[nodiscard]] std::string faultOf(const LengthProblem& problem, const LengthPlan& plan);

} // namespace spanwright::shop
