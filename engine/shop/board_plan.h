// SPDX-License-Identifier: MIT
#pragma once

#include <cstdint>
#include <functional>
#include <string>
#include <vector>

#include "engine/shop/cut_layout.h"
#include "engine/shop/effort.h"
#include "engine/shop/plan_facts.h"

namespace spanwright::shop {

/// Boards of one thickness: ripped over their whole length into strips, then each strip is cut to lengths. A strip
/// holds pieces of its own width only; a piece as wide as the board needs no rip. Width of a piece lies along y.
struct BoardProblem {
    std::int64_t ripKerf = 0;   ///< between any two strips
    std::int64_t crossKerf = 0; ///< between any two lengths of a strip
    std::vector<CutStock> stock;
    struct Demand {
        std::int64_t length = 0; ///< along x
        std::int64_t width = 0;  ///< along y
        std::int64_t count = 0;
    };
    std::vector<Demand> demands;
    std::int64_t smallestOffcutLength = 0; ///< what is left counts as usable from this length ...
    std::int64_t smallestOffcutWidth = 0;  ///< ... and width on; 0 and 0: nothing does
};

/// The least that must be bought, by cost; boards on hand are used before any is bought.
struct BoardPlan : PlanFacts {
    std::vector<CutLayout> layouts; ///< boards on hand first
};

/// `better` is called from the caller's own thread with each better plan as it is found and each higher bound; `atLeast` holds as it
/// stands then.
[[nodiscard]] BoardPlan planBoards(const BoardProblem& problem, const Effort& effort = {}, const std::function<void(const BoardPlan&)>& better = {});

/// Looks at a plan from outside, sharing no code with the planner: every piece once, nothing overlaps, every cut goes
/// edge to edge, rips first and lengths second, kerfs and trims kept, sums right. Empty if all is well, else what is wrong.
[[nodiscard]] std::string faultOf(const BoardProblem& problem, const BoardPlan& plan);

} // namespace spanwright::shop
