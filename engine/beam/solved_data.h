// SPDX-License-Identifier: MIT
#pragma once

#include <cstdint>
#include <vector>

#include "engine/beam/cells.h"

namespace spanwright::beam {

/// What acts together and is factored together: the loads of one action, or those of them that stand in
/// one span, or the settlements.
struct LoadPart {
    static constexpr std::uint32_t kAlways = 0xffffffffU; ///< no action: factor 1
    std::uint32_t action = 0;
    bool eachSpan = false;
};

/// One part's forces and deflections in one cell; t runs from 0 to 1 along it.
struct CellState {
    double momentLeft = 0.0, momentRight = 0.0;
    double shearLeft = 0.0;
    double load = 0.0, loadRise = 0.0; ///< line load at the left end, and its growth over the cell
    double sagLeft = 0.0, sagRight = 0.0;

    [[nodiscard]] double shear(double t, double width) const { return shearLeft - width * (load * t + loadRise * (0.5 * t * t)); }
};

/// Bending moments as a + b t + c t^2 + d t^3 and shear forces as a + b t + c t^2 within a cell.
struct Polynomials {
    std::array<double, 4> moment{};
    std::array<double, 3> shear{};
};

[[nodiscard]] inline Polynomials polynomialsOf(const CellState& s, double width) {
    const double w2 = width * width;
    Polynomials p;
    p.moment = {s.momentLeft, s.momentRight - s.momentLeft + w2 * (0.5 * s.load + s.loadRise / 6.0), -0.5 * w2 * s.load, -w2 * s.loadRise / 6.0};
    p.shear = {s.shearLeft, -width * s.load, -0.5 * width * s.loadRise};
    return p;
}

/// Powers of t that the deflection of a cell has beside t*(1 - t) where nothing varies.
inline constexpr std::size_t kBowOfConstant = 4;

/// The accuracy stated for constant stiffness.
inline constexpr double kConstantAccuracy = 1e-9;

/// The solved line. Moments and shears are exact polynomials per cell and part. Trials hold hundreds of these at a time: of one span with two
/// actions each is in one piece, what is asked for at every place in front, and no larger than that.
struct SolvedData {
    template <class T, std::size_t N> using Short = boost::container::small_vector<T, N>;
    double from = 0.0, to = 0.0;
    std::uint32_t actionCount = 0;
    bool constant = false; ///< nothing varies
    bool even = false;     ///< one span, hinged at both ends, of a constant stiffness, under even loads from end to end
    bool hasDeflection = false;
    std::size_t degrees = 0; ///< of `bows`, in every cell
    FewCells cells;
    Short<LoadPart, 2> parts;
    /// [cell][part][degree]: the deflection below the chord, as a Legendre series in 2t - 1; where nothing varies along the line as
    /// t*(1 - t) times powers of t. As many degrees in every cell.
    Short<double, 2 * kBowOfConstant> bows;
    Short<CellState, 2> states;                     ///< [cell][part]
    Short<std::uint8_t, 8> shearJumps, momentJumps; ///< per joint (left end of each cell, end of the line): is there a jump
    Short<double, 4> reactions, holding;            ///< [support][part]
    Short<double, 2> supportAt;
    std::vector<double> breaks;
    double residual = 0.0;
    double accuracy = 0.0;
};

} // namespace spanwright::beam
