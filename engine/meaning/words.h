// SPDX-License-Identifier: MIT
#pragma once

#include "engine/meaning/expr.h"

namespace spanwright::meaning {

/// How a function of numbers is written, in sheets and in what muParser is given.
[[nodiscard]] const char* wordOf(Builtin b);
/// What stands behind a beam's dot: "M", "V_web_most".
[[nodiscard]] const char* wordOf(BeamOutput o);

} // namespace spanwright::meaning
