// SPDX-License-Identifier: MIT
#pragma once

#include <string>
#include <vector>

#include "engine/shop/cut_plan.h"

namespace spanwright::shop {

/// Parts by what they are cut from: material and thickness, and breadth where they must not be ripped; what must be as broad as its
/// board first, panels last. A part is set to the sizes of its stock; a part that finds no stock stands in no group, and why
/// is told, unless a row of stock that could not be read may be what it is cut from: that row has its own problem.
[[nodiscard]] std::vector<GroupPlan> groupParts(Parts& parts, const ShopRows& rows, std::vector<diag::Diagnostic>& problems);

/// True if a row of stock that could not be read may hold the part.
[[nodiscard]] bool mayBeUnread(const Part& part, const ShopRows& rows);

/// A stock row as the planners take it, without its number and price; `s` in ShopRows::stock.
[[nodiscard]] CutStock cutStock(const ShopRows& rows, std::size_t s, const GroupPlan& g);

/// A complaint about a part.
[[nodiscard]] diag::Diagnostic aboutPart(diag::Code code, const Part& p, std::string message, std::string mend);

} // namespace spanwright::shop
