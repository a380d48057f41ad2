// SPDX-License-Identifier: MIT
#pragma once

#include <string>
#include <vector>

#include "engine/shop/cut_plan.h"

namespace spanwright::shop {

/// Parts by what they are cut from: material and thickness, and breadth where they must not be ripped; what must be as broad as its
/// board first, panels last. A part is set to the sizes of its stock; a part that finds no stock stands in no group, and why is told.
[[nodiscard]] std::vector<GroupPlan> groupParts(Parts& parts, const ShopRows& rows, std::vector<diag::Diagnostic>& problems);

/// A stock row as the planners take it, without its number and price; `s` in ShopRows::stock.
[[nodiscard]] CutStock cutStock(const ShopRows& rows, std::size_t s, const GroupPlan& g);

/// A complaint about a part.
[[nodiscard]] diag::Diagnostic aboutPart(diag::Code code, const Part& p, std::string message, std::string mend);

} // namespace spanwright::shop
