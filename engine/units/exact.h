// SPDX-License-Identifier: MIT
#pragma once

#include <boost/multiprecision/cpp_int.hpp>
#include <optional>
#include <string>
#include <string_view>

#include "engine/units/unit.h"

namespace spanwright::units {

/// Exact fractions, for factors and for reading and writing values without a second rounding.
using Exact = boost::multiprecision::cpp_rational;

/// The double nearest to `x`, ties to even (IEEE 754); infinity if it is too large.
[[nodiscard]] double nearestDouble(const Exact& x);

/// What a double is, exactly. Only for finite values.
[[nodiscard]] Exact exactly(double x);

/// What a plain decimal number is, exactly: "3.6", "-1.5e-3", ".5". Nothing if it is none, or so
/// large or small that no double comes near it in any unit (`why` then tells which).
enum class DecimalFault { None, NotANumber, TooLarge };
[[nodiscard]] std::optional<Exact> exactDecimal(std::string_view text, DecimalFault* why = nullptr);

/// What a short plain number ("3.6", "-220") is in SI, by a single rounded division of whole numbers;
/// nothing when the exact way has to be taken. For tables of many cells.
[[nodiscard]] std::optional<double> plainToSi(std::string_view text, const Unit& unit);

/// The factor of a unit as exactly as it is known.
[[nodiscard]] Exact exactFactor(const Unit& unit);

/// x^n for a whole n; x must not be zero when n < 0.
[[nodiscard]] Exact wholePower(const Exact& x, int n);

/// The nearest whole number, halves away from zero.
[[nodiscard]] boost::multiprecision::cpp_int nearestWhole(const Exact& x);

} // namespace spanwright::units
