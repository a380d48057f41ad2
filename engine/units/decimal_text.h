// SPDX-License-Identifier: MIT
#pragma once

#include <string>

namespace spanwright::units {

/// The exact decimal expansion of a finite double: 0.digits x 10^exponent, without zeros at either
/// end; no digits for zero.
struct DecimalText {
    bool negative = false;
    std::string digits;
    int exponent = 0;
};
[[nodiscard]] DecimalText decimalText(double value);

/// Rounded to `places` digits behind the point (negative: tens, hundreds), halves away from zero.
[[nodiscard]] DecimalText rounded(const DecimalText& x, int places);

/// "-12.50" with `places` digits behind the point; `x` must have no more. Zero has no sign.
[[nodiscard]] std::string plainText(const DecimalText& x, int places);

} // namespace spanwright::units
