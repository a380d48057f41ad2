// SPDX-License-Identifier: MIT
#pragma once

#include "engine/shop/cut_layout.h"
#include "engine/shop/length_plan.h"

namespace spanwright::shop {

/// A bar that is cut to lengths, as a board: the pieces in the order of the demands, what is left behind them, usable from the length
/// `keep` on (0: never).
[[nodiscard]] CutLayout layoutOf(const LengthPattern& pattern, const LengthProblem& p, const CutStock& stock, std::int64_t keep);

} // namespace spanwright::shop
