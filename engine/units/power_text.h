// SPDX-License-Identifier: MIT
#pragma once

#include <string>
#include <vector>

#include "engine/units/dimension.h"

namespace spanwright::units {

/// One name to a power, as it stands in the text of a unit or a dimension.
struct NamedPower {
    std::string name;
    Rational power;
};

/// "kg·m²/s²" (typeset) or "kg*m^2/s^2" (ascii): what is multiplied first, in the order given, then
/// what divides, in brackets if it is more than one name; "1/m"; empty for no names at all. Powers of
/// zero are left out.
[[nodiscard]] std::string powerText(const std::vector<NamedPower>& names, bool typeset);

} // namespace spanwright::units
