// SPDX-License-Identifier: MIT
#include "engine/shop/length_greedy.h"

#include <algorithm>
#include <map>

#include "engine/shop/knapsack.h"

namespace spanwright::shop {

namespace {

/// So many kinds are looked at to fill one bar: of more, the longest that fit and others evenly from the rest.
constexpr std::size_t kMostTried = 600;

/// The room of bars in a row; finds the first with enough of it in logarithmic time.
class Rooms {
public:
    explicit Rooms(std::size_t most) {
        while (m_leaves < most) m_leaves *= 2;
        m_room.assign(2 * m_leaves, 0);
    }
    [[nodiscard]] std::size_t firstWith(std::int64_t room) const {
        if (m_room[1] < room) return m_leaves;
        std::size_t at = 1;
        while (at < m_leaves) at = m_room[2 * at] >= room ? 2 * at : 2 * at + 1;
        return at - m_leaves;
    }
    [[nodiscard]] std::int64_t of(std::size_t bar) const { return m_room[m_leaves + bar]; }
    void set(std::size_t bar, std::int64_t room) {
        std::size_t at = m_leaves + bar;
        m_room[at] = room;
        while ((at /= 2) > 0) m_room[at] = std::max(m_room[2 * at], m_room[2 * at + 1]);
    }

private:
    std::size_t m_leaves = 1;
    std::vector<std::int64_t> m_room;
};

} // namespace

Patterns firstFit(const Sizes& sizes, const std::vector<std::int64_t>& need, Budget& budget) {
    // Bars are opened in the order in which pieces come, so how many there may be is known only at the end.
    std::int64_t pieces = 0;
    for (const std::int64_t n : need) pieces += n;
    Rooms rooms(static_cast<std::size_t>(std::max<std::int64_t>(pieces, 1)));
    std::vector<Pattern> bars;
    for (std::size_t i = 0; i < sizes.kinds(); ++i) {
        for (std::int64_t left = need[i]; left > 0;) {
            const std::size_t open = rooms.firstWith(sizes.length[i]);
            const std::size_t bar = open < bars.size() ? open : bars.size();
            if (bar == bars.size()) {
                bars.emplace_back();
                rooms.set(bar, sizes.bar);
            }
            const std::int64_t n = std::min(left, rooms.of(bar) / sizes.length[i]);
            bars[bar].emplace_back(static_cast<std::uint32_t>(i), static_cast<std::int32_t>(n));
            rooms.set(bar, rooms.of(bar) - n * sizes.length[i]);
            left -= n;
            budget.add(8);
        }
    }
    std::map<Pattern, std::int64_t> joined;
    for (Pattern& b : bars) ++joined[std::move(b)];
    return {joined.begin(), joined.end()};
}

Patterns fillBars(const Sizes& sizes, std::vector<std::int64_t> need, std::uint64_t care, Budget& budget) {
    Patterns plan;
    std::vector<std::uint32_t> kinds;
    std::vector<Worth> worth;
    for (std::size_t top = 0; top < sizes.kinds();) {
        if (need[top] == 0) {
            ++top;
            continue;
        }
        if (budget.spent()) {
            const Patterns rest = firstFit(sizes, need, budget);
            plan.insert(plan.end(), rest.begin(), rest.end());
            break;
        }
        const std::int64_t room = sizes.bar - sizes.length[top];
        kinds.clear();
        for (std::size_t i = top; i < sizes.kinds(); ++i) {
            if (need[i] - (i == top ? 1 : 0) > 0 && sizes.length[i] <= room) kinds.push_back(static_cast<std::uint32_t>(i));
        }
        budget.add(1 + (sizes.kinds() - top) / 4);
        if (kinds.size() > kMostTried) {
            const std::size_t half = kMostTried / 2, rest = kinds.size() - half;
            for (std::size_t k = 0; k < half; ++k) kinds[half + k] = kinds[half + k * rest / half];
            kinds.resize(kMostTried);
        }
        worth.clear();
        for (const std::uint32_t i : kinds)
            worth.push_back({sizes.length[i], sizes.length[i], static_cast<std::int32_t>(std::min<std::int64_t>(need[i] - (i == top ? 1 : 0), INT32_MAX))});
        const Packed p = packMost(worth, room, care);
        budget.add(p.work + kinds.size());
        Pattern pattern{{static_cast<std::uint32_t>(top), 1}};
        for (std::size_t k = 0; k < kinds.size(); ++k) {
            if (p.counts[k] == 0) continue;
            if (kinds[k] == top)
                pattern.front().second += p.counts[k];
            else
                pattern.emplace_back(kinds[k], p.counts[k]);
        }
        std::int64_t times = INT64_MAX;
        for (const auto& [i, n] : pattern) times = std::min(times, need[i] / n);
        for (const auto& [i, n] : pattern) need[i] -= times * n;
        plan.emplace_back(std::move(pattern), times);
    }
    return plan;
}

} // namespace spanwright::shop
