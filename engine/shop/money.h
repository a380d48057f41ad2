// SPDX-License-Identifier: MIT
#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

namespace spanwright::shop {

/// Amounts of money are whole numbers of the currency's smallest unit: cents. Rounded once where they come about,
/// half away from zero; from there on they are only added.
using Cents = std::int64_t;

/// Decimals of a currency's minor unit (ISO 4217): 2 for EUR, 0 for JPY, 3 for KWD.
[[nodiscard]] int minorDigits(std::string_view currency);

/// An amount of whole currency units in cents; nothing is done about amounts past 9e15 but holding them there.
[[nodiscard]] Cents toCents(double amount, std::string_view currency);
[[nodiscard]] double fromCents(Cents cents, std::string_view currency);

/// "1234.50 EUR", "-0.07 EUR".
[[nodiscard]] std::string showMoney(Cents cents, std::string_view currency);

/// Splits `cents` by weights so that the parts add up to it: each gets its share rounded down, what is left goes by
/// single cents to the largest remainders, the first of equals first. Weights >= 0; all of them 0: in equal parts.
[[nodiscard]] std::vector<Cents> share(Cents cents, const std::vector<double>& weights);

/// True for a day of the calendar written as 2026-05-04 (ISO 8601). Such texts compare as their days do.
[[nodiscard]] bool isDate(std::string_view text);

} // namespace spanwright::shop
