// SPDX-License-Identifier: MIT
#pragma once

#include <array>
#include <cstddef>
#include <vector>

#include "engine/beam/layout.h"

namespace spanwright::beam {

/// A stretch without a break in which 1/EI and 1/GA are polynomials (of degree zero for constant
/// stiffness). Where inclined flanges relieve the web of r*M, the energy M^2/EI + (V - r*M)^2/GA makes the
/// curvature M*(1/EI + r^2/GA) - V*r/GA and the slip V/GA - M*r/GA. t runs from 0 to 1 along it. Bending moments in a cell are cubics of t, shear forces
/// quadratics, so that everything below is an exact integral of polynomials.
struct Cell {
    double left = 0.0, right = 0.0;
    double perLength = 0.0; ///< 1/width(), once the line is solved
    std::size_t segment = 0;
    std::array<double, 5> bend{};  ///< integral of t^k*(1/EI + r^2/GA) over the cell, k = 0..4
    std::array<double, 3> shear{}; ///< integral of t^k/GA over the cell, k = 0..2
    std::array<double, 4> cross{}; ///< integral of t^k*r/GA over the cell, k = 0..3
    std::vector<double> relief;    ///< Legendre series of r in 2t - 1; empty where there is none
    /// Legendre series in 2t - 1 of seven curves that vanish at both ends, kCurves numbers a degree: the
    /// deflection under M = t^k (k = 0..3), then under V = t^k (k = 0..2). As many degrees in every cell of a line; empty where nothing
    /// varies along it (closed forms do), and once it is solved.
    std::vector<double> curves;

    static constexpr std::size_t kCurves = 7;
    [[nodiscard]] double width() const { return right - left; }
};

/// One, as a span has where nothing varies, without asking for memory.
using FewCells = boost::container::small_vector<Cell, 1>;

struct Cells {
    FewCells cells; ///< from left, without gaps
    bool stiffnessKnown = false;
    bool constant = false; ///< no stiffness and no relief varies
    /// Relative difference of the integrals of 1/EI and 1/GA in the last two refinements, worst segment.
    double difference = 0.0;
};

/// Cuts the line at its breaks, and between them as finely as its stiffness needs.
[[nodiscard]] base::Result<Cells, Problem> cutIntoCells(const Layout& layout, const Line& line);

} // namespace spanwright::beam
