// SPDX-License-Identifier: MIT
#pragma once

#include <algorithm>
#include <cstdint>
#include <string>
#include <vector>

namespace spanwright::shop {

/// What every planner says of its plan, whatever is cut: bars, boards or panels.
struct PlanFacts {
    std::int64_t cut = 0;            ///< bars, boards or panels that are cut, bought or on hand
    std::int64_t bought = 0;         ///< of these, bought
    std::int64_t cost = 0;           ///< of the bought ones (their number where each costs 1)
    std::int64_t atLeast = 0;        ///< no plan of this kind costs less: proven in whole numbers
    bool proven = false;             ///< cost == atLeast, and nothing is short
    std::vector<std::int64_t> uncut; ///< by demand: so many found no stock (none is bought that is large enough)
    std::string how;                 ///< what proved `atLeast`, in words
    std::uint64_t work = 0;
    std::string problem; ///< not empty: nothing was planned, and why

    [[nodiscard]] bool complete() const {
        return problem.empty() && std::all_of(uncut.begin(), uncut.end(), [](std::int64_t n) { return n == 0; });
    }
};

} // namespace spanwright::shop
