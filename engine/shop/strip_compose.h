// SPDX-License-Identifier: MIT
#pragma once

#include <optional>

#include "engine/shop/strip_bound.h"

namespace spanwright::shop {

/// A plan from so many boards of each stock and so many strips of each row: the pieces of each width are cut from its strips, the strips of each
/// length from its boards, each by itself as bars are cut to lengths. Nothing where one of these is not found.
/// `whole`: strips to begin with.
[[nodiscard]] std::optional<StripPlan> composePlan(const std::vector<StripBin>& bins, const std::vector<StripPiece>& pieces,
                                                   const std::vector<StripRelaxation::Row>& rows, const std::vector<std::int64_t>& boards,
                                                   const std::vector<std::int64_t>& strips, const std::vector<StripRelaxation::Answer::Cut>& whole,
                                                   Budget& budget);

} // namespace spanwright::shop
