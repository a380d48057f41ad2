// SPDX-License-Identifier: MIT
#pragma once

#include <optional>
#include <string>

#include "engine/units/unit.h"

namespace spanwright::units {

/// How a value is shown. `step` (in the unit shown) wins over `decimals`, which wins over
/// `significant`. Rounding is half away from zero on the decimal text of the exact double.
/// Significant digits: zeros at the end are dropped ("0.8"), digits before the point are never
/// rounded away ("13457", not "13460") below ten million. A declared number of decimals is kept as
/// it is ("0.80"). "-0" is never shown.
struct Show {
    int significant = 4;
    std::optional<int> decimals;
    std::optional<double> step;
};

/// The number alone, in `unit`: locale-free, "." as the point, no thousands mark, a true minus is
/// ASCII "-"; very large or small as "1.234e-7" in plain text. NaN and infinities give "not a number".
[[nodiscard]] std::string showNumber(double si, const Unit& unit, const Show& how = {});
/// Number and unit: "2.106 kN·m", "45 %", "0.8"; a degree sign stands close: "22.5°".
[[nodiscard]] std::string showValue(double si, const Unit& unit, const Show& how = {});
/// Text that readValue() reads back to the same double in that unit: as few digits as do it. Zero loses
/// its sign; "not a number" for what is none.
[[nodiscard]] std::string writeValue(double si, const Unit& unit);
/// Feet, inches and fractions of an inch for the workshop: 14'-6 1/2", 0'-3", -2'-0 1/16". Rounded to
/// the nearest 1/`denominator`; the fraction is in lowest terms. readValue() reads it.
[[nodiscard]] std::string showFeetInches(double si, int denominator = 16);
/// Utilisation for show: "0.87"; never "1.00" when it is above 1 by more than 1e-9 relative (digits
/// are added until it differs), never below "1.00" printed for a failing one.
[[nodiscard]] std::string showUtilisation(double u);

} // namespace spanwright::units
