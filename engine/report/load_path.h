// SPDX-License-Identifier: MIT
#pragma once

#include <cstddef>
#include <vector>

#include "engine/report/facts.h"

namespace spanwright::report {

/// Members by index, with arrows from what rests to what carries.
struct LoadPath {
    std::vector<std::vector<std::size_t>> carriers; ///< per member: who takes its reactions
    std::vector<std::vector<std::size_t>> resting;
    std::vector<std::size_t> level; ///< 0: nothing rests on it; an arrow to the same level or a lower one closes a ring
};
[[nodiscard]] LoadPath loadPathOf(const JobFacts& f);

} // namespace spanwright::report
