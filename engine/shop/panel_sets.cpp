// SPDX-License-Identifier: MIT
#include "engine/shop/panel_sets.h"

#include <algorithm>
#include <bit>
#include <cmath>
#include <unordered_map>

#include "engine/shop/covering_lp.h"
#include "engine/shop/wide.h"

namespace spanwright::shop {

namespace {

using Mask = std::uint64_t;
using Shape = std::pair<std::int64_t, std::int64_t>;

constexpr std::size_t kMostSets = 250'000;
constexpr double kScale = 1073741824.0;

/// All sets that fit, each with the smallest rectangles around it (none within another).
class Sets {
public:
    Sets(const PanelCore& core, Budget& budget) : m_bin(core.bins[0]), m_budget(budget) {
        int bit = 0;
        for (const Block& b : core.blocks) {
            const Mask all = (b.count >= 64 ? ~Mask{0} : (Mask{1} << b.count) - 1) << bit;
            m_kinds.push_back({all, bit, static_cast<int>(b.count)});
            bit += static_cast<int>(b.count);
        }
        std::vector<Mask> level;
        for (std::size_t k = 0; k < m_kinds.size(); ++k) {
            const Block& b = core.blocks[k];
            std::vector<Shape> shapes;
            add(shapes, {b.width, b.height});
            if (b.mayTurn) add(shapes, {b.height, b.width});
            if (shapes.empty()) continue;
            const Mask one = Mask{1} << m_kinds[k].bit;
            m_shapes.emplace(one, shapes);
            m_sets.push_back(one);
            level.push_back(one);
        }
        // Sets of one more piece: of the same kind as the last or of a later one.
        while (!level.empty()) {
            std::vector<Mask> next;
            for (const Mask s : level) {
                for (std::size_t k = 0; k < m_kinds.size(); ++k) {
                    const Kind& kind = m_kinds[k];
                    if (kind.count == 0 || (s >> kind.bit >> (kind.count - 1) >> 1) != 0) continue; // later kinds are in it
                    const int have = std::popcount(s & kind.all);
                    if (have == kind.count) continue;
                    const Mask more = s | (Mask{1} << (kind.bit + have));
                    if (!fits(more)) continue;
                    m_sets.push_back(more);
                    next.push_back(more);
                    if (m_sets.size() > kMostSets || m_budget.spent()) return;
                }
            }
            level = std::move(next);
        }
        m_complete = true;
    }

    [[nodiscard]] bool complete() const { return m_complete; }
    [[nodiscard]] const std::vector<Mask>& all() const { return m_sets; }
    [[nodiscard]] int count(Mask s, std::size_t kind) const { return std::popcount(s & m_kinds[kind].all); }

private:
    struct Kind {
        Mask all;
        int bit;
        int count;
    };

    void add(std::vector<Shape>& shapes, const Shape& s) const {
        if (!m_bin.holds(s.first, s.second)) return;
        for (const Shape& t : shapes) {
            if (t.first <= s.first && t.second <= s.second) return;
        }
        std::erase_if(shapes, [&](const Shape& t) { return t.first >= s.first && t.second >= s.second; });
        shapes.push_back(s);
    }

    /// Pieces of a kind are alike: the first ones stand for any.
    [[nodiscard]] Mask canonical(Mask s) const {
        Mask out = 0;
        for (const Kind& k : m_kinds) {
            const int n = std::popcount(s & k.all);
            if (n > 0) out |= ((n >= 64 ? ~Mask{0} : (Mask{1} << n) - 1) << k.bit);
        }
        return out;
    }

    /// The first cut parts the set in two, each of which fits by itself.
    bool fits(Mask s) {
        std::vector<Shape> shapes;
        const Mask lowest = s & (~s + 1);
        const Mask rest = s ^ lowest;
        std::uint64_t work = 4;
        for (Mask part = rest;; part = (part - 1) & rest) {
            // `part` goes with the lowest piece or without it: the other side is never empty.
            const Mask other = rest ^ part;
            if (other != 0) {
                const auto a = m_shapes.find(canonical(part | lowest));
                const auto b = m_shapes.find(canonical(other));
                work += 20;
                if (a == m_shapes.end() || b == m_shapes.end()) {
                    m_budget.add(work);
                    return false; // a part of it does not fit: nor does the whole
                }
                for (const Shape& p : a->second) {
                    for (const Shape& q : b->second) {
                        add(shapes, {p.first + q.first, std::max(p.second, q.second)});
                        add(shapes, {std::max(p.first, q.first), p.second + q.second});
                        work += 2;
                    }
                }
            }
            if (part == 0) break;
        }
        m_budget.add(work);
        if (shapes.empty()) return false;
        m_shapes.emplace(s, std::move(shapes));
        return true;
    }

    Bin m_bin;
    Budget& m_budget;
    std::vector<Kind> m_kinds;
    std::unordered_map<Mask, std::vector<Shape>> m_shapes;
    std::vector<Mask> m_sets;
    bool m_complete = false;
};

} // namespace

std::int64_t boundBySets(const PanelCore& core, std::int64_t goal, Budget& budget) {
    std::int64_t pieces = 0;
    std::vector<double> demand;
    for (const Block& b : core.blocks) {
        pieces += b.count;
        demand.push_back(static_cast<double>(b.count));
    }
    if (pieces > 64) return 0;
    const Sets sets(core, budget);
    if (!sets.complete()) return 0;

    CoveringLp lp(demand);
    const auto addSet = [&](Mask s) {
        std::vector<std::int32_t> counts;
        for (std::size_t k = 0; k < demand.size(); ++k) counts.push_back(sets.count(s, k));
        lp.addColumn(counts);
    };
    for (const Mask s : sets.all()) {
        if (std::popcount(s) == 1) addSet(s);
    }
    // What each set holds, side by side, so that pricing is one walk.
    std::vector<std::vector<std::pair<std::uint16_t, std::int16_t>>> holds;
    for (const Mask s : sets.all()) {
        holds.emplace_back();
        for (std::size_t k = 0; k < demand.size(); ++k) {
            if (const int n = sets.count(s, k); n > 0) holds.back().emplace_back(static_cast<std::uint16_t>(k), static_cast<std::int16_t>(n));
        }
    }
    std::int64_t best = 0;
    while (!budget.spent()) {
        const CoveringLp::Solution s = lp.solve();
        budget.add((s.iterations + 2) * demand.size() * 10);
        if (!s.ok) return best;
        std::vector<std::int64_t> worth(demand.size());
        Wide value = 0;
        for (std::size_t i = 0; i < demand.size(); ++i) {
            worth[i] = static_cast<std::int64_t>(std::floor(std::min(s.duals[i], 1.0) * kScale));
            value += static_cast<Wide>(worth[i]) * core.blocks[i].count;
        }
        // The dearest sets, one for each first piece; the dearest of all proves the bound.
        std::int64_t top = 1;
        std::vector<std::pair<std::int64_t, std::size_t>> dearest(demand.size(), {0, 0});
        for (std::size_t k = 0; k < holds.size(); ++k) {
            std::int64_t v = 0;
            for (const auto& [kind, n] : holds[k]) v += worth[kind] * n;
            top = std::max(top, v);
            auto& d = dearest[holds[k].front().first];
            if (v > d.first) d = {v, k};
        }
        budget.add(holds.size());
        best = std::max(best, static_cast<std::int64_t>((value + top - 1) / top));
        if (best >= goal || s.value <= static_cast<double>(goal - 1) + 1e-9 || static_cast<double>(top) <= kScale * (1.0 + 1e-7)) return best;
        for (const auto& [v, k] : dearest) {
            if (static_cast<double>(v) > kScale * (1.0 + 1e-7)) addSet(sets.all()[k]);
        }
    }
    return best;
}

} // namespace spanwright::shop
