// SPDX-License-Identifier: MIT
#include "engine/shop/pattern_list.h"

#include <algorithm>
#include <numeric>

namespace spanwright::shop {

namespace {

constexpr std::size_t kMostCells = 4'000'000;

class Lister {
public:
    Lister(const std::vector<Worth>& kinds, std::int64_t capacity, std::int64_t least, std::int64_t mostLeft, std::size_t most, std::uint64_t workLimit)
        : m_kinds(kinds), m_capacity(capacity), m_least(least), m_mostLeft(mostLeft), m_most(most), m_limit(workLimit), m_order(kinds.size()) {
        std::iota(m_order.begin(), m_order.end(), std::size_t{0});
        std::stable_sort(m_order.begin(), m_order.end(), [&](std::size_t a, std::size_t b) { return kinds[a].length > kinds[b].length; });
    }

    PatternList list() {
        const std::size_t width = static_cast<std::size_t>(m_capacity) + 1;
        if ((m_kinds.size() + 1) * width > kMostCells) return std::move(m_out);
        // m_best[i * width + c]: the most that the kinds from the i-th on are worth within c.
        m_best.assign((m_kinds.size() + 1) * width, 0);
        for (std::size_t i = m_kinds.size(); i-- > 0;) {
            const Worth& k = m_kinds[m_order[i]];
            const std::int64_t* after = &m_best[(i + 1) * width];
            std::int64_t* here = &m_best[i * width];
            const std::int64_t most = std::min<std::int64_t>(k.limit, m_capacity / k.length);
            std::copy(after, after + width, here);
            for (std::int64_t n = 1; n <= most; ++n) {
                for (std::int64_t c = n * k.length; c <= m_capacity; ++c) here[c] = std::max(here[c], after[c - n * k.length] + n * k.profit);
            }
            m_out.work += width * static_cast<std::size_t>(most + 1) / 4;
            if (m_out.work > m_limit) return std::move(m_out);
        }
        m_taken.assign(m_kinds.size(), 0);
        m_whole = true;
        go(0, m_capacity, 0, m_capacity + 1);
        m_out.whole = m_whole;
        if (!m_whole) m_out.patterns.clear();
        return std::move(m_out);
    }

private:
    /// `open`: the shortest length of which more could have been taken.
    void go(std::size_t i, std::int64_t room, std::int64_t profit, std::int64_t open) {
        if (!m_whole || ++m_out.work > m_limit) {
            m_whole = false;
            return;
        }
        if (profit + m_best[i * (static_cast<std::size_t>(m_capacity) + 1) + static_cast<std::size_t>(room)] < m_least) return;
        if (i == m_kinds.size()) {
            if (room >= open || room > m_mostLeft) return; // one more piece fits, or too much is lost
            if (m_out.patterns.size() >= m_most) {
                m_whole = false;
                return;
            }
            m_out.patterns.push_back(sparse(m_taken));
            return;
        }
        const std::size_t kind = m_order[i];
        const Worth& k = m_kinds[kind];
        const auto most = static_cast<std::int32_t>(std::min<std::int64_t>(k.limit, room / k.length));
        for (std::int32_t n = most; n >= 0; --n) {
            m_taken[kind] = n;
            go(i + 1, room - n * k.length, profit + n * k.profit, n < k.limit ? std::min(open, k.length) : open);
        }
        m_taken[kind] = 0;
    }

    const std::vector<Worth>& m_kinds;
    std::int64_t m_capacity, m_least, m_mostLeft;
    std::size_t m_most;
    std::uint64_t m_limit;
    std::vector<std::size_t> m_order;
    std::vector<std::int64_t> m_best;
    std::vector<std::int32_t> m_taken;
    bool m_whole = false;
    PatternList m_out;
};

} // namespace

PatternList listPatterns(const std::vector<Worth>& kinds, std::int64_t capacity, std::int64_t least, std::int64_t mostLeft, std::size_t most,
                         std::uint64_t workLimit) {
    return Lister(kinds, capacity, least, mostLeft, most, workLimit).list();
}

} // namespace spanwright::shop
