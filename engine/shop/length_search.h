// SPDX-License-Identifier: MIT
#pragma once

#include <functional>
#include <string>

#include "engine/shop/budget.h"
#include "engine/shop/length_core.h"

namespace spanwright::shop {

/// The fewest bars of one length, as far as the budget reaches.
struct LengthFound {
    Patterns plan;
    std::int64_t atLeast = 0; ///< bars; proven in whole numbers
    std::string how;          ///< what proved it
};

/// `better` is called with each better plan and each higher bound.
[[nodiscard]] LengthFound searchLengths(const Sizes& sizes, Budget& budget, const std::function<void(const LengthFound&)>& better);

} // namespace spanwright::shop
