// SPDX-License-Identifier: MIT
#pragma once

#include <functional>

#include "engine/shop/budget.h"
#include "engine/shop/chance.h"
#include "engine/shop/strip_plan.h"

namespace spanwright::shop {

/// Plans a part of a problem by itself.
using StripSolver = std::function<StripPlan(const std::vector<StripBin>&, const std::vector<StripPiece>&, Budget&)>;

/// Takes a few stock pieces out of a whole plan, mostly such as are filled badly, plans what lay on them by itself, and puts it back if that is
/// cheaper; else gives the plan as it was.
[[nodiscard]] StripPlan exchangeStrips(const std::vector<StripBin>& bins, const std::vector<StripPiece>& pieces, const StripPlan& plan, Chance& chance,
                                       Budget& budget, const StripSolver& solve);

} // namespace spanwright::shop
