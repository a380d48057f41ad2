// SPDX-License-Identifier: MIT
#pragma once

#include <memory>

#include "engine/shop/guillotine_table.h"
#include "engine/shop/panel_bound.h"

namespace spanwright::shop {

/// The linear relaxation over all ways to saw panels edge to edge, columns made as they are wanted. A pattern may hold
/// more of a piece than there are (the guillotine relaxation). Panels of any sizes, some of them on hand.
class GuillotineRelaxation {
public:
    enum class Sort : std::uint8_t {
        Bound,    ///< proves costs: rows are demands, trapezoids lie alone or with any mate
        Patterns, ///< gives patterns to saw by: rows are the core's blocks
    };
    /// At most about `workOfOne` for pricing all sizes of panels once.
    GuillotineRelaxation(const PanelProblem& problem, const PanelCore& core, Sort sort, std::uint64_t workOfOne);
    ~GuillotineRelaxation();

    /// Works on until `goal` is proven to be the least cost, or it is certain that this relaxation cannot prove that, or
    /// the work is spent. May be called again with a lower goal.
    void raise(std::int64_t goal, Budget& budget);
    /// Works on until no column is missing, but prices not more than so many times; with 0 only what is known is used.
    /// Proves as well.
    void solve(int pricings, Budget& budget);

    [[nodiscard]] std::int64_t cost() const; ///< proven in whole numbers, for the demands of the problem
    /// No column is missing: no goal above `cost()` can be reached.
    [[nodiscard]] bool solved() const;
    /// It prices exactly and its rows are blocks, so it gives patterns too, whatever its sort.
    [[nodiscard]] bool givesPatterns() const;
    [[nodiscard]] std::uint64_t workOfPricing() const;

    struct Column {
        std::size_t bin = 0; ///< as they stand in the core
        SawnPattern pattern; ///< kinds are blocks
    };
    [[nodiscard]] const std::vector<Column>& columns() const;
    [[nodiscard]] const std::vector<double>& use() const;   ///< of each column, when last solved
    [[nodiscard]] const std::vector<double>& worth() const; ///< of each row, in costs of the dearest panel
    /// For patterns: how many of a block are left to cut, how many panels on hand are left. Proves nothing from then on.
    void setLeft(std::size_t block, std::int64_t count);
    void setOnHand(std::size_t bin, std::int64_t count);

private:
    struct Impl;
    std::unique_ptr<Impl> m_impl;
};

} // namespace spanwright::shop
