// SPDX-License-Identifier: MIT
#pragma once

#include "engine/meaning/sheet.h"

namespace spanwright::trial {

/// Whether a value can only be a whole number by its sheet: a `require` holds it equal to itself rounded (`n == floor(n)`, by itself
/// or beside others with `and`), or it is how many of a piece there are. What stands in a part with a condition counts only for
/// a value of the same part.
[[nodiscard]] bool isWhole(const meaning::Sheet& sheet, const meaning::Quantity& value);

} // namespace spanwright::trial
