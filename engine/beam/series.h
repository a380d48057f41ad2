// SPDX-License-Identifier: MIT
#pragma once

#include <array>
#include <cstddef>
#include <vector>

namespace spanwright::beam {

inline constexpr std::size_t kNodes = 16;
using Values = std::array<double, kNodes>;

/// Gauss-Legendre rule on [-1, 1], nodes from the left, and the Legendre polynomials.
struct Rule {
    Values node{}, weight{};
    std::array<Values, kNodes> legendre{};                       ///< [node][degree]
    std::array<std::array<double, 2 * kNodes>, kNodes> halves{}; ///< [degree][node of the left half, then of the right one]
    Rule();
};
[[nodiscard]] const Rule& rule();

[[nodiscard]] double integralOf(const Values& values, double width);

/// A Legendre series on [-1, 1].
using Series = std::vector<double>;

/// Through values at the rule's nodes.
[[nodiscard]] Series fit(const Values& values);
/// A fitted series at the nodes of its left and of its right half.
void valuesOfHalves(const Series& series, Values& left, Values& right);
/// The series times t = (1 + u)/2.
[[nodiscard]] Series timesT(const Series& a);
[[nodiscard]] Series integrated(const Series& a);
/// Takes away the straight line through both ends.
void hangBetweenEnds(Series& a);

} // namespace spanwright::beam
