// SPDX-License-Identifier: MIT
#pragma once

#include <vector>

#include "engine/eval/engine.h"

namespace spanwright::eval {

/// Places strictly between `from` and `to` where the body has a kink or a jump as far as can be told
/// without evaluating it: breaks of the beams it asks, changes of sign of what stands in abs(), of the two
/// sides of a comparison, crossings in min and max, rows of a table it interpolates; each where the thing
/// asked is a straight line in the variable. Ascending, apart by at least 1e-12 of the length.
[[nodiscard]] std::vector<double> breaksOf(Engine& engine, meaning::ExprId body, std::uint32_t slot, double from, double to);

/// What was found, in order, without what is as near to another or to an end as that.
[[nodiscard]] std::vector<double> keptApart(std::vector<double> found, double from, double to);

} // namespace spanwright::eval
