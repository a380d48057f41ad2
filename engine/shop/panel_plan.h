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

/// A piece of a panel: a rectangle or a trapezoid with two parallel edges. `width` is measured along its own grain.
struct PanelPiece {
    std::int64_t width = 0;  ///< of the rectangle, or of the smallest rectangle around the trapezoid
    std::int64_t height = 0; ///< the same, across
    std::int64_t count = 0;
    bool mayTurn = false; ///< by a quarter; else the grain is locked along x
    enum class Shape : std::uint8_t {
        Rectangle,
        AlongWidth,  ///< trapezoid: parallel edges along the width, `width` and `shortEdge` long, `height` apart
        AlongHeight, ///< trapezoid: parallel edges along the height, `height` and `shortEdge` long, `width` apart
    };
    Shape shape = Shape::Rectangle;
    std::int64_t shortEdge = 0; ///< of a trapezoid; 0 < shortEdge <= the long one
    std::int64_t shift = 0;     ///< where the short edge begins along the long one; 0: square at that end
};

/// Panels sawn edge to edge, cut after cut, in any number of stages.
struct PanelProblem {
    std::int64_t kerf = 0; ///< between any two pieces, not at the edges
    std::vector<CutStock> stock;
    std::vector<PanelPiece> demands;
    std::int64_t smallestOffcutWidth = 0;  ///< what is left counts as usable from this size along x ...
    std::int64_t smallestOffcutHeight = 0; ///< ... and y on; 0 and 0: nothing does
};

/// The least that must be bought, by cost; panels on hand (offcuts kept among them) are used before any is bought. `atLeast` is for
/// plans that saw edge to edge and lay trapezoids in pairs or alone.
struct PanelPlan : PlanFacts {
    std::vector<CutLayout> layouts; ///< panels on hand first
};

/// `better` is called from the caller's own thread with each better plan as it is found and each higher bound; `atLeast` holds as it
/// stands then.
[[nodiscard]] PanelPlan planPanels(const PanelProblem& problem, const Effort& effort = {}, const std::function<void(const PanelPlan&)>& better = {});

/// Looks at a plan from outside, sharing no code with the planner: every piece once, nothing overlaps, every cut goes
/// edge to edge, kerf, trims and grain kept, pairs of trapezoids really fit, sums right. Empty if all is well, else
/// what is wrong.
[[nodiscard]] std::string faultOf(const PanelProblem& problem, const PanelPlan& plan);

} // namespace spanwright::shop
