// SPDX-License-Identifier: MIT
#pragma once

#include <bit>
#include <cstdint>

#include "engine/base/widest.h"
#include "engine/beam/even_lines.h"
#include "engine/beam/solved_data.h"

namespace spanwright::beam {

/// A number as what of it is below zero and what above; what is no number is none in both. (By its sign: of a comparison compilers make a
/// branch here.)
struct Parted {
    double down, up;
};
SPANWRIGHT_INLINE Parted parted(double v) {
    const auto bits = std::bit_cast<std::uint64_t>(v);
    const double up = v - std::bit_cast<double>(bits & (0U - (bits >> 63U)));
    return {v - up, up};
}

/// Places of one cell that are worked out together.
inline constexpr std::size_t kStrip = 64;
/// The same of deflections where nothing varies.
inline constexpr std::size_t kLongStrip = 256;

/// How far along a cell a place lies, from 0 to 1: just these at its ends.
[[nodiscard]] inline double along(const Cell& cell, double x) {
    const double t = (x - cell.left) * cell.perLength;
    const double below = t < 1.0 ? t : 1.0;
    return x < cell.right ? below : 1.0;
}
/// Places from the second on, at most n with the first, that lie in one cell behind its left end: how many with the first, and in
/// t[1].. how far along it they lie.
[[nodiscard]] std::size_t stripOf(const SolvedData& data, std::size_t cell, const double* x, std::size_t n, double* t);

/// Least and most of a curve at n <= kStrip (kLongStrip) places of one cell, t from 0 to 1 along it, all parts added up: always
/// the plain ones, and those that may act span by span where they make the value worse. Parts with factor 0
/// are not asked. Each place comes out with the same bits however many stand beside it.
void valuesInCell(const SolvedData& data, Curve curve, std::size_t cell, const double* t, std::size_t n, const std::vector<double>& factors, double* least,
                  double* most);

/// Adds places strictly between `from` and `to` so that between neighbouring ones of them and of the ends of cells
/// least and most of the moment or the shear only rise or only fall; and both sides of jumps.
void addTurns(const SolvedData& data, Curve curve, double from, double to, const std::vector<double>& factors, std::vector<double>& out);

} // namespace spanwright::beam
