// SPDX-License-Identifier: MIT
#include "engine/shop/knapsack.h"

#include <algorithm>
#include <numeric>

#include "engine/shop/wide.h"

namespace spanwright::shop {

namespace {

constexpr std::uint64_t kSearchShare = 20000; ///< nodes of the search before dynamic programming takes over
constexpr std::int64_t kWidestTable = 4'000'000;
constexpr std::uint64_t kCellsPerStep = 20; ///< cells of the table are quicker than steps of the search

/// The search, over kinds sorted by profit per length, the best first.
class Search {
public:
    Search(std::vector<Worth> kinds, std::int64_t capacity, std::uint64_t limit)
        : m_kinds(std::move(kinds)), m_limit(limit), m_taken(m_kinds.size(), 0), m_best(m_kinds.size(), 0), m_shortest(m_kinds.size() + 1, INT64_MAX) {
        for (std::size_t i = m_kinds.size(); i-- > 0;) m_shortest[i] = std::min(m_shortest[i + 1], m_kinds[i].length);
        m_complete = run(capacity);
    }
    [[nodiscard]] bool complete() const { return m_complete; }
    [[nodiscard]] std::int64_t profit() const { return m_most; }
    [[nodiscard]] const std::vector<std::int32_t>& counts() const { return m_best; }
    [[nodiscard]] std::uint64_t work() const { return m_work; }

private:
    /// What the rest could add at most: filled by the best kind per length, rounded down (profits are whole).
    [[nodiscard]] std::int64_t relaxation(std::size_t from, std::int64_t room) const {
        std::int64_t sum = 0;
        for (std::size_t i = from; i < m_kinds.size() && room > 0; ++i) {
            const Worth& k = m_kinds[i];
            const std::int64_t n = std::min<std::int64_t>(k.limit, room / k.length);
            sum += n * k.profit;
            room -= n * k.length;
            if (n < k.limit) return sum + static_cast<std::int64_t>(static_cast<Wide>(room) * k.profit / k.length);
        }
        return sum;
    }

    bool run(std::int64_t capacity) {
        std::size_t level = 0;
        std::int64_t room = capacity;
        std::int64_t profit = 0;
        while (true) {
            // Down: as many of each kind as fit.
            while (level < m_kinds.size() && room >= m_shortest[level]) {
                if (++m_work > m_limit) return false;
                if (profit + relaxation(level, room) <= m_most) break;
                const Worth& k = m_kinds[level];
                const auto n = static_cast<std::int32_t>(std::min<std::int64_t>(k.limit, room / k.length));
                m_taken[level] = n;
                room -= n * k.length;
                profit += n * k.profit;
                ++level;
            }
            if (profit > m_most) {
                m_most = profit;
                std::copy(m_taken.begin(), m_taken.begin() + static_cast<std::ptrdiff_t>(level), m_best.begin());
                std::fill(m_best.begin() + static_cast<std::ptrdiff_t>(level), m_best.end(), 0);
            }
            // Up: one fewer of the last kind taken, as long as the rest can still win with that.
            while (true) {
                while (level > 0 && m_taken[level - 1] == 0) --level;
                if (level == 0) return true;
                if (++m_work > m_limit) return false;
                const Worth& k = m_kinds[level - 1];
                --m_taken[level - 1];
                room += k.length;
                profit -= k.profit;
                if (profit + relaxation(level, room) > m_most) break;
                room += static_cast<std::int64_t>(m_taken[level - 1]) * k.length;
                profit -= static_cast<std::int64_t>(m_taken[level - 1]) * k.profit;
                m_taken[level - 1] = 0;
                --level;
            }
        }
    }

    std::vector<Worth> m_kinds;
    std::uint64_t m_limit;
    std::vector<std::int32_t> m_taken, m_best;
    std::vector<std::int64_t> m_shortest;
    std::int64_t m_most = 0;
    std::uint64_t m_work = 0;
    bool m_complete = false;
};

/// value[c] = most profit within length c, kind after kind; how many of each kind were taken is kept as the
/// number taken last, in bundles of 1, 2, 4 ... so that limits cost only their logarithm.
struct Further {
    std::int64_t threshold = 0;
    std::vector<std::vector<std::int32_t>>* out = nullptr;
};

std::int64_t byTable(const std::vector<Worth>& kinds, std::int64_t capacity, std::vector<std::int32_t>& counts, std::uint64_t& work, const Further& further) {
    struct Bundle {
        std::size_t kind;
        std::int32_t n;
    };
    std::vector<Bundle> bundles;
    for (std::size_t i = 0; i < kinds.size(); ++i) {
        if (kinds[i].profit <= 0) continue;
        auto left = static_cast<std::int32_t>(std::min<std::int64_t>(kinds[i].limit, capacity / kinds[i].length));
        for (std::int32_t n = 1; left > 0; n *= 2) {
            const std::int32_t take = std::min(n, left);
            bundles.push_back({i, take});
            left -= take;
        }
    }
    const auto width = static_cast<std::size_t>(capacity) + 1;
    std::vector<std::int64_t> value(width, 0);
    std::vector<std::vector<bool>> took(bundles.size(), std::vector<bool>(width, false));
    std::vector<std::pair<std::int64_t, std::size_t>> last; // profit of the best with this bundle as its last
    for (std::size_t b = 0; b < bundles.size(); ++b) {
        const std::int64_t length = kinds[bundles[b].kind].length * bundles[b].n;
        const std::int64_t profit = kinds[bundles[b].kind].profit * bundles[b].n;
        work += width / kCellsPerStep + 1;
        if (further.out != nullptr && length <= capacity) last.emplace_back(-(value[static_cast<std::size_t>(capacity - length)] + profit), b);
        for (std::int64_t c = capacity; c >= length; --c) {
            const std::int64_t with = value[static_cast<std::size_t>(c - length)] + profit;
            if (with > value[static_cast<std::size_t>(c)]) {
                value[static_cast<std::size_t>(c)] = with;
                took[b][static_cast<std::size_t>(c)] = true;
            }
        }
    }
    const auto trace = [&](std::vector<std::int32_t>& out, std::size_t from, std::int64_t c) {
        for (std::size_t b = from; b-- > 0;) {
            if (!took[b][static_cast<std::size_t>(c)]) continue;
            out[bundles[b].kind] += bundles[b].n;
            c -= kinds[bundles[b].kind].length * bundles[b].n;
        }
    };
    counts.assign(kinds.size(), 0);
    trace(counts, bundles.size(), capacity);
    if (further.out != nullptr) {
        constexpr std::size_t kMost = 30;
        std::sort(last.begin(), last.end());
        for (std::size_t k = 0; k < std::min(last.size(), kMost) && -last[k].first > further.threshold; ++k) {
            const std::size_t b = last[k].second;
            std::vector<std::int32_t> other(kinds.size(), 0);
            other[bundles[b].kind] += bundles[b].n;
            trace(other, b, capacity - kinds[bundles[b].kind].length * bundles[b].n);
            further.out->push_back(std::move(other));
        }
    }
    return value[static_cast<std::size_t>(capacity)];
}

Packed pack(const std::vector<Worth>& kinds, std::int64_t capacity, std::uint64_t workLimit, const Further& further) {
    Packed out;
    out.counts.assign(kinds.size(), 0);
    std::vector<std::size_t> order(kinds.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::erase_if(order, [&](std::size_t i) { return kinds[i].profit <= 0 || kinds[i].limit <= 0 || kinds[i].length > capacity; });
    std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
        const auto left = static_cast<Wide>(kinds[a].profit) * kinds[b].length;
        const auto right = static_cast<Wide>(kinds[b].profit) * kinds[a].length;
        return left != right ? left > right : kinds[a].length > kinds[b].length;
    });
    std::vector<Worth> sorted;
    for (const std::size_t i : order) sorted.push_back(kinds[i]);

    const Search search(sorted, capacity, std::min(workLimit, kSearchShare));
    out.work = search.work();
    out.exact = search.complete();
    out.profit = search.profit();
    for (std::size_t i = 0; i < order.size(); ++i) out.counts[order[i]] = search.counts()[i];
    out.bound = out.profit;
    if (out.exact) return out;

    const std::uint64_t tableWork = static_cast<std::uint64_t>(capacity + 1) * (sorted.size() + 1) / kCellsPerStep;
    if (capacity < kWidestTable && out.work + tableWork <= workLimit) {
        std::vector<std::int32_t> counts;
        out.profit = byTable(sorted, capacity, counts, out.work, further);
        if (further.out != nullptr) {
            for (std::vector<std::int32_t>& other : *further.out) {
                std::vector<std::int32_t> back(kinds.size(), 0);
                for (std::size_t i = 0; i < order.size(); ++i) back[order[i]] = other[i];
                other = std::move(back);
            }
        }
        for (std::size_t i = 0; i < order.size(); ++i) out.counts[order[i]] = counts[i];
        out.bound = out.profit;
        out.exact = true;
        return out;
    }
    // No proof: the relaxation at the top stands as the bound.
    out.bound = 0;
    std::int64_t room = capacity;
    for (const Worth& k : sorted) {
        const std::int64_t n = std::min<std::int64_t>(k.limit, room / k.length);
        out.bound += n * k.profit;
        room -= n * k.length;
        if (n < k.limit) {
            out.bound += static_cast<std::int64_t>(static_cast<Wide>(room) * k.profit / k.length);
            break;
        }
    }
    return out;
}

} // namespace

Packed packMost(const std::vector<Worth>& kinds, std::int64_t capacity, std::uint64_t workLimit) { return pack(kinds, capacity, workLimit, {}); }

Packed packMost(const std::vector<Worth>& kinds, std::int64_t capacity, std::uint64_t workLimit, std::int64_t threshold,
                std::vector<std::vector<std::int32_t>>& more) {
    more.clear();
    return pack(kinds, capacity, workLimit, {threshold, &more});
}

} // namespace spanwright::shop
