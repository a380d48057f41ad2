// SPDX-License-Identifier: MIT
#pragma once

#include <map>
#include <string>
#include <utility>
#include <vector>

#include "engine/shop/cut_plan.h"
#include "engine/shop/parts.h"

namespace spanwright::shop {

/// How much of an operation each member takes.
struct Use {
    std::vector<double> amounts; ///< by built member, all of it
    const Part* first = nullptr; ///< a part that states it; none: it comes from the plan
    [[nodiscard]] double sum() const;
};

/// Operations with what they are measured in. What pieces state, and what is counted from the plan: `rip`, `crosscut`, `panelcut`, `plane`, and
/// `member` for each member that has pieces.
using Uses = std::map<std::pair<std::string, Measure>, Use>;

/// `place`: from the job's member to the built one. The parts must live as long as what is given.
[[nodiscard]] Uses usesOf(const Parts& parts, const CutPlan& plan, const std::map<std::size_t, std::size_t>& place);

} // namespace spanwright::shop
