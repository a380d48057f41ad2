// SPDX-License-Identifier: MIT
#pragma once

#include <cstdint>
#include <vector>

namespace spanwright::shop {

/// A board or panel that pieces are cut from. x runs along the length of a board and along the grain of a panel, y
/// across. Whole numbers of one small unit (say 0.1 mm).
struct CutStock {
    std::int64_t width = 0;  ///< along x, as bought
    std::int64_t height = 0; ///< along y, as bought
    std::int64_t trimX = 0;  ///< taken off at each end before anything else, the saw's kerf in it
    std::int64_t trimY = 0;  ///< the same at each long edge
    std::int64_t cost = 1;   ///< of one that is bought: money in its smallest unit, or 1 each to count them
    std::int64_t onHand = 0; ///< so many are there already and cost nothing
    bool bought = true;      ///< more can be bought
};

struct Box {
    std::int64_t x = 0;
    std::int64_t y = 0;
    std::int64_t width = 0;
    std::int64_t height = 0;

    friend bool operator==(const Box&, const Box&) = default;
};

struct Spot {
    std::int64_t x = 0;
    std::int64_t y = 0;
};

/// A node of the cut tree: a rectangle that is sawn in two, or what it has become.
struct CutPart {
    enum class Kind : std::uint8_t {
        Cut,    ///< sawn from edge to edge, see `upright`, `at`
        Piece,  ///< exactly one piece (a trapezoid alone lies in its rectangle)
        Pair,   ///< two trapezoids head to tail, still to be parted by the slanted cut
        Offcut, ///< usable later: at least as large as the problem says
        Waste,
    };
    Kind kind = Kind::Waste;
    Box box; ///< measured from the corner of the stock piece as bought
    /// Cut: the saw runs along y, at x (else along x, at y) ...
    bool upright = false;
    /// ... and takes away from `at` to `at` + kerf, or to the edge of the box if that comes sooner.
    std::int64_t at = 0;
    std::int32_t order = 0;   ///< Cut: 1, 2, 3 ... as sawn on this stock piece, slanted cuts counted with them
    std::int32_t first = -1;  ///< Cut: the part before the kerf
    std::int32_t second = -1; ///< Cut: the part behind it; -1 if the kerf took all that was left
    std::int32_t piece = -1;  ///< Piece, Pair: the (first) placed piece, see CutLayout::pieces
    std::int32_t mate = -1;   ///< Pair: the second
};

/// A piece where it lies on the stock.
struct PlacedPiece {
    std::size_t demand = 0; ///< as they stand in the problem
    Box box;
    bool turned = false;       ///< by a quarter: its width lies along y
    std::vector<Spot> outline; ///< corners in order around it
};

/// A cut inside a rectangle that is not square to it: it parts two trapezoids or frees one.
struct SlantedCut {
    Spot from; ///< the middle of the kerf, edge to edge of the rectangle
    Spot to;
    std::int32_t order = 0;
};

/// How one stock piece is cut, and how many are cut so.
struct CutLayout {
    std::size_t stock = 0; ///< as they stand in the problem
    bool onHand = false;   ///< else bought
    std::int64_t times = 0;
    std::vector<CutPart> parts; ///< the tree; parts[0] is the usable rectangle, trims taken off
    std::vector<PlacedPiece> pieces;
    std::vector<SlantedCut> slants;
    std::vector<Box> offcuts; ///< the boxes of all parts of kind Offcut, largest first
};

} // namespace spanwright::shop
