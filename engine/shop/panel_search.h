// SPDX-License-Identifier: MIT
#pragma once

#include <cstdint>
#include <functional>
#include <vector>

#include "engine/shop/chance.h"
#include "engine/shop/panel_core.h"
#include "engine/shop/slicing.h"

namespace spanwright::shop {

/// Work done so far against a limit; whoever works adds to it and asks whether to go on.
class Budget {
public:
    Budget(std::uint64_t limit, std::function<bool()> cancelled) : m_limit(limit), m_cancelled(std::move(cancelled)) {}
    void add(std::uint64_t work) { m_done += work; }
    [[nodiscard]] std::uint64_t done() const { return m_done; }
    [[nodiscard]] std::uint64_t limit() const { return m_limit; }
    [[nodiscard]] std::uint64_t left() const { return m_done >= m_limit ? 0 : m_limit - m_done; }
    /// Asks for cancelling not more often than every few thousand steps of work.
    [[nodiscard]] bool spent() {
        if (m_stopped || m_done >= m_limit) return true;
        if (m_cancelled && m_done >= m_askAt) {
            m_askAt = m_done + 100'000;
            m_stopped = m_cancelled();
        }
        return m_stopped;
    }

private:
    std::uint64_t m_limit;
    std::uint64_t m_done = 0;
    std::uint64_t m_askAt = 0;
    std::function<bool()> m_cancelled;
    bool m_stopped = false;
};

/// One piece (or pair) to be placed; items of one block are alike.
struct Item {
    std::int64_t width = 0;
    std::int64_t height = 0;
    bool mayTurn = false;
    std::int32_t block = 0;
};

/// Sliced panels, and the items that lie in none.
struct Packing {
    std::vector<std::size_t> bins; ///< kinds, as they stand in the core
    std::vector<Slicing> slicings; ///< one for each
    std::vector<std::int32_t> out; ///< items without a place
};

[[nodiscard]] std::vector<Item> itemsOf(const PanelCore& core);
[[nodiscard]] std::int64_t costOf(const PanelCore& core, const Packing& packing);

/// Panel after panel, each item where least is spoilt; tries several orders and gives the cheapest.
[[nodiscard]] Packing packGreedily(const PanelCore& core, const std::vector<Item>& items, Budget& budget);

/// Tries to get every item into the panels of `start`: takes some parts out, puts them back otherwise, keeps what is
/// not much worse (after Gardeyn and Wauters, "A goal-driven ruin and recreate heuristic for the 2D variable-sized bin
/// packing problem with guillotine constraints", European Journal of Operational Research 301, 2022). Gives the best
/// it found within `work`; nothing is left out if it succeeded.
[[nodiscard]] Packing squeeze(const PanelCore& core, const std::vector<Item>& items, Packing start, std::uint64_t work, std::uint64_t seed, Budget& budget);

} // namespace spanwright::shop
