// SPDX-License-Identifier: MIT
#pragma once

#include <cstdint>
#include <limits>
#include <string>
#include <vector>

#include "engine/shop/panel_plan.h"

namespace spanwright::shop {

/// A rectangle of the core problem, where kerfs are part of pieces and panels and no longer there: one piece, or two
/// trapezoids head to tail.
struct Block {
    std::int64_t width = 0; ///< kerf included
    std::int64_t height = 0;
    std::int64_t count = 0;
    bool mayTurn = false;
    std::int32_t demand = -1; ///< as they stand in the problem
    std::int32_t mate = -1;   ///< of a pair: the demand of the second trapezoid (may be the same)

    [[nodiscard]] double area() const { return static_cast<double>(width) * static_cast<double>(height); }
};

struct Bin {
    std::int64_t width = 0; ///< usable and one kerf more
    std::int64_t height = 0;
    std::int64_t cost = 0;
    std::int64_t limit = std::numeric_limits<std::int64_t>::max();
    std::size_t stock = 0; ///< as they stand in the problem
    bool onHand = false;

    [[nodiscard]] double area() const { return static_cast<double>(width) * static_cast<double>(height); }
    [[nodiscard]] bool holds(std::int64_t w, std::int64_t h) const { return w <= width && h <= height; }
    [[nodiscard]] bool holds(const Block& b) const { return holds(b.width, b.height) || (b.mayTurn && holds(b.height, b.width)); }
};

/// The panel problem in its core form: no kerfs, no trims, no trapezoids.
struct PanelCore {
    std::vector<Bin> bins; ///< on hand first, then bought, as they stand in the problem
    std::vector<Block> blocks;
    std::vector<std::int64_t> uncut; ///< by demand: nothing that is bought and nothing on hand is large enough

    /// The least width and height that any block may lie with.
    [[nodiscard]] std::int64_t narrowest() const;
    [[nodiscard]] std::int64_t lowest() const;
};

/// Two trapezoids head to tail, as they lie unturned: how far the joint's legs are apart along the parallel edges, and
/// which leg joins.
struct PairShape {
    std::int64_t width = 0; ///< of the rectangle around both, as the pieces lie unturned
    std::int64_t height = 0;
    std::int64_t gap = 0;
    bool atShift = false; ///< joined at the leg where the short edge begins, else at the other one
};

/// What is wrong with the problem, in words; empty if it can be planned.
[[nodiscard]] std::string refusalOf(const PanelProblem& problem);

[[nodiscard]] PanelCore coreOf(const PanelProblem& problem);

/// Whether two demands may lie head to tail: trapezoids of one height whose legs are parallel.
[[nodiscard]] bool canPair(const PanelPiece& a, const PanelPiece& b);
[[nodiscard]] PairShape pairShapeOf(const PanelPiece& a, const PanelPiece& b, std::int64_t kerf);

} // namespace spanwright::shop
