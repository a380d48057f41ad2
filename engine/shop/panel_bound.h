// SPDX-License-Identifier: MIT
#pragma once

#include <cstdint>
#include <string>

#include "engine/shop/panel_core.h"

namespace spanwright::shop {

/// What must at least be bought, and what proves it.
struct Bound {
    std::int64_t cost = 0;
    std::string how;
};

/// By area: what is on hand costs nothing, then the cheapest area; trapezoids count as half of their pair.
[[nodiscard]] Bound areaBound(const PanelProblem& problem, const PanelCore& core);

} // namespace spanwright::shop
