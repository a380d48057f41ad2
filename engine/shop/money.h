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

/// The same for an amount at the low (or high) end of a range: no share lies on the wrong side of that of the amount as
/// stated. A cent that the largest remainders would put there goes to the next who may have it.
[[nodiscard]] std::vector<Cents> shareBeside(Cents cents, const std::vector<double>& weights, const std::vector<Cents>& stated, bool low);

/// "180.00 to 204.00 EUR".
[[nodiscard]] std::string showRange(Cents low, Cents high, std::string_view currency);
/// "192.00 EUR (180.00 to 204.00 EUR)"; without a range "192.00 EUR".
[[nodiscard]] std::string showMoney(Cents stated, Cents low, Cents high, std::string_view currency);

/// True for a day of the calendar written as 2026-05-04 (ISO 8601). Such texts compare as their days do.
[[nodiscard]] bool isDate(std::string_view text);

} // namespace spanwright::shop
