// SPDX-License-Identifier: MIT
#pragma once

#include <cstdint>
#include <vector>

#include "engine/shop/budget.h"
#include "engine/shop/guillotine_table.h"

namespace spanwright::shop {

/// What a kind of rectangle takes of what there is: one of a row, or one each of two (a pair of trapezoids; the rows may be the same).
struct Taken {
    std::size_t row = 0;
    std::size_t mate = SIZE_MAX;
};

struct LimitedQuestion {
    std::int32_t least = 0;    ///< what no panel within the limits shall be worth more than
    std::int32_t enough = 0;   ///< worth more than that a pattern is welcome; at most `least`
    std::size_t memory = 0;    ///< so many ways to fill parts are kept at once at most; where there are more, nothing is proven
    std::size_t mostGiven = 0; ///< patterns
};

struct LimitedAnswer {
    bool none = false;                 ///< proven: no panel within the limits is worth more than `least`
    std::vector<SawnPattern> patterns; ///< else some within the limits that are worth more than `enough`, if any were found
};

/// Whether a panel can be worth much that holds no more of a row than there are, at the worths that a table was priced with last.
/// Exact: the table's recursion with several ways to fill a part, each with what it takes of the rows that were overrun so far; where the
/// dearest overruns another row, that row is counted too and all is done again (decremental state space relaxation: Righini and
/// Salani, "New dynamic programming algorithms for the resource constrained elementary shortest path problem", Networks 51, 2008). A way is
/// dropped where its worth and the most that can lie around it are too little together, which areas and counts bound: pieces by worth for
/// their area, the last one in part (Dantzig, "Discrete-variable extremum problems", Operations Research 5, 1957). What is asked for begins
/// high, which drops most ways, and falls to `least`. A bound where the table is one (`Sort::Bound`, not exact): then only the counts of patterns hold.
class GuillotineLimits {
public:
    /// `limits` by row; `kinds` as they stand in the table.
    GuillotineLimits(const GuillotineTable& table, std::vector<Taken> kinds, std::vector<std::int64_t> limits)
        : m_table(table), m_kinds(std::move(kinds)), m_limits(std::move(limits)) {}
    [[nodiscard]] LimitedAnswer ask(const LimitedQuestion& question, Budget& budget);

private:
    class Fields;
    class Round;
    class Areas;
    /// Takes out what is too much of each; gives how much of each row was.
    std::vector<std::int64_t> clip(SawnPattern& pattern, std::int64_t& worth) const;
    void gather(const Round& round, const LimitedQuestion& question, LimitedAnswer& answer);
    void fewWays(const LimitedQuestion& question, const std::vector<std::int32_t>& inside, const std::vector<std::int32_t>& most, LimitedAnswer& answer,
                 Budget& budget);

    const GuillotineTable& m_table;
    std::vector<Taken> m_kinds;
    std::vector<std::int64_t> m_limits;
    std::vector<std::size_t> m_counted; ///< rows
};

} // namespace spanwright::shop
