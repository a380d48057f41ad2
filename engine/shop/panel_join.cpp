// SPDX-License-Identifier: MIT
#include "engine/shop/panel_join.h"

#include <algorithm>
#include <bit>
#include <cmath>
#include <iterator>
#include <tuple>
#include <unordered_set>

#include "engine/shop/chance.h"
#include "engine/shop/panel_dive.h"

namespace spanwright::shop {

namespace {

using Mask = std::uint64_t;

struct Joined {
    std::int64_t width = 0;
    std::int64_t height = 0;
    double area = 0.0; ///< of its pieces
    Mask mask = 0;
    std::int32_t first = -1; ///< -1: a single piece
    std::int32_t second = -1;
    bool alongX = false;
    float rank = 0.0F; ///< share that is waste, and a little chance: low is good
};

class Joiner {
public:
    Joiner(const Bin& bin, const std::vector<Item>& items, const std::vector<std::int32_t>& pool, std::size_t width, std::uint64_t seed, Budget& budget)
        : m_bin(bin), m_pool(pool), m_keep(width), m_chance(seed), m_budget(budget) {
        if (m_pool.size() > kMostOfPool) m_pool.resize(kMostOfPool);
        // Few pieces leave less choice, and looser joins then cost little.
        const double loose = m_pool.size() > 40 ? 1.0 : m_pool.size() > 24 ? 1.5 : 2.5;
        m_unlike *= loose;
        m_waste *= loose;
        m_levels.emplace_back();
        m_levels.emplace_back();
        for (std::size_t i = 0; i < m_pool.size(); ++i) {
            const Item& item = items[static_cast<std::size_t>(m_pool[i])];
            const auto add = [&](std::int64_t w, std::int64_t h) {
                if (!bin.holds(w, h)) return;
                m_levels[1].push_back(static_cast<std::int32_t>(m_blocks.size()));
                m_blocks.push_back({w, h, static_cast<double>(w) * static_cast<double>(h), Mask{1} << i, -1, -1, false, 0.0F});
            };
            add(item.width, item.height);
            if (item.mayTurn) add(item.height, item.width);
        }
    }

    void join() {
        for (std::size_t n = 2; n <= kMostPieces; ++n) {
            m_found.clear();
            for (std::size_t i = 1; 2 * i <= n; ++i) {
                joinLevels(i, n - i, true);
                joinLevels(i, n - i, false);
            }
            if (m_found.empty() || m_budget.spent()) break;
            keepBest();
        }
    }

    std::vector<DensePanel> panels(std::size_t most) {
        std::vector<DensePanel> out;
        lay(true);
        lay(false);
        std::sort(m_full.begin(), m_full.end(), [](const Full& a, const Full& b) { return a.area > b.area; });
        std::unordered_set<Mask> seen;
        for (const Full& f : m_full) {
            if (out.size() >= most) break;
            if (!seen.insert(f.mask).second) continue;
            DensePanel p;
            p.filled = f.area / m_bin.area();
            for (std::size_t i = 0; i < m_pool.size(); ++i) {
                if ((f.mask >> i & 1) != 0) p.items.push_back(m_pool[i]);
            }
            p.pattern.parts.emplace_back();
            std::size_t at = 0;
            for (std::size_t k = 0; k < f.rows.size(); ++k) {
                const Joined& b = block(f.rows[k]);
                const auto first = static_cast<std::int32_t>(p.pattern.parts.size());
                p.pattern.parts.resize(p.pattern.parts.size() + 2);
                SawnPattern::Part& part = p.pattern.parts[at];
                part.alongX = f.alongX;
                part.at = f.alongX ? b.width : b.height;
                part.first = first;
                part.second = first + 1;
                write(p.pattern, first, f.rows[k]);
                at = static_cast<std::size_t>(first) + 1;
            }
            out.push_back(std::move(p));
        }
        return out;
    }

private:
    static constexpr std::size_t kMostPieces = 14;
    static constexpr std::size_t kMostOfPool = 64;
    static constexpr int kMostRows = 24;
    static constexpr double kLeast = 0.85; ///< of the panel: emptier ones are not given

    struct Full {
        double area = 0.0;
        Mask mask = 0;
        std::vector<std::int32_t> rows;
        bool alongX = false;
    };

    [[nodiscard]] const Joined& block(std::int32_t n) const { return m_blocks[static_cast<std::size_t>(n)]; }
    [[nodiscard]] std::int64_t side(std::int32_t n, bool width) const { return width ? block(n).width : block(n).height; }

    void joinLevels(std::size_t a, std::size_t b, bool alongX) {
        if (a >= m_levels.size() || b >= m_levels.size()) return;
        // By the sides that must be alike.
        std::vector<std::int32_t> sorted = m_levels[b];
        std::sort(sorted.begin(), sorted.end(), [&](std::int32_t u, std::int32_t v) { return side(u, !alongX) < side(v, !alongX); });
        std::uint64_t work = sorted.size() * 8;
        for (const std::int32_t u : m_levels[a]) {
            const Joined& p = block(u);
            const auto like = static_cast<double>(side(u, !alongX));
            const auto from = std::lower_bound(sorted.begin(), sorted.end(), static_cast<std::int64_t>(like * (1.0 - m_unlike)),
                                               [&](std::int32_t v, std::int64_t s) { return side(v, !alongX) < s; });
            for (auto it = from; it != sorted.end(); ++it) {
                const Joined& q = block(*it);
                ++work;
                if (static_cast<double>(side(*it, !alongX)) > like * (1.0 + m_unlike)) break;
                if ((p.mask & q.mask) != 0 || (a == b && *it < u)) continue;
                Joined j;
                j.width = alongX ? p.width + q.width : std::max(p.width, q.width);
                j.height = alongX ? std::max(p.height, q.height) : p.height + q.height;
                if (!m_bin.holds(j.width, j.height)) continue;
                j.area = p.area + q.area;
                const double whole = static_cast<double>(j.width) * static_cast<double>(j.height);
                const double waste = 1.0 - j.area / whole;
                if (waste > m_waste) continue;
                j.mask = p.mask | q.mask;
                j.first = u;
                j.second = *it;
                j.alongX = alongX;
                j.rank = static_cast<float>(waste + 0.006 * m_chance.part());
                work += 4;
                m_found.push_back(j);
            }
            if (m_found.size() > 40 * m_keep) keepFound(20 * m_keep);
        }
        m_budget.add(work);
    }

    void keepFound(std::size_t most) {
        if (m_found.size() <= most) return;
        std::nth_element(m_found.begin(), m_found.begin() + static_cast<std::ptrdiff_t>(most), m_found.end(), before);
        m_found.resize(most);
    }

    static bool before(const Joined& a, const Joined& b) {
        if (a.rank != b.rank) return a.rank < b.rank;
        return std::pair(a.first, a.second) < std::pair(b.first, b.second);
    }

    /// The best of what was found, none twice, and not all with the same large piece.
    void keepBest() {
        std::sort(m_found.begin(), m_found.end(), before);
        m_budget.add(m_found.size() * 16);
        std::vector<std::size_t> with(64, 0);
        const std::size_t share = 4 * m_keep / std::max<std::size_t>(m_pool.size(), 1) + 8;
        std::unordered_set<std::uint64_t> seen;
        m_levels.emplace_back();
        for (const Joined& j : m_found) {
            if (m_levels.back().size() >= m_keep) break;
            const auto lowest = static_cast<std::size_t>(std::countr_zero(j.mask));
            if (with[lowest] >= share) continue;
            const std::uint64_t sign = (j.mask * 0x9e3779b97f4a7c15ULL) ^ (static_cast<std::uint64_t>(j.width) << 32 | static_cast<std::uint64_t>(j.height));
            if (!seen.insert(sign).second) continue;
            ++with[lowest];
            m_levels.back().push_back(static_cast<std::int32_t>(m_blocks.size()));
            m_blocks.push_back(j);
        }
    }

    /// Blocks that reach across the panel, and stacks of two that do; then those side by side.
    void lay(bool alongX) {
        const std::int64_t across = alongX ? m_bin.height : m_bin.width;
        const std::int64_t along = alongX ? m_bin.width : m_bin.height;
        const auto least = static_cast<std::int64_t>(static_cast<double>(across) * (1.0 - 0.75 * m_waste));
        std::vector<std::int32_t> all;
        for (std::size_t n = 1; n < m_levels.size(); ++n) all.insert(all.end(), m_levels[n].begin(), m_levels[n].end());
        std::sort(all.begin(), all.end(), [&](std::int32_t u, std::int32_t v) { return std::pair(side(u, !alongX), u) < std::pair(side(v, !alongX), v); });
        std::vector<std::int32_t> rows;
        for (const std::int32_t u : all) {
            if (side(u, !alongX) >= least) rows.push_back(u);
        }
        std::uint64_t work = all.size() * 8;
        m_found.clear();
        for (const std::int32_t u : all) {
            const std::int64_t most = across - side(u, !alongX);
            const std::int64_t fewest = least - side(u, !alongX);
            const double like = static_cast<double>(side(u, alongX));
            auto it = std::lower_bound(all.begin(), all.end(), fewest, [&](std::int32_t v, std::int64_t s) { return side(v, !alongX) < s; });
            for (; it != all.end() && side(*it, !alongX) <= most; ++it) {
                ++work;
                const Joined& p = block(u);
                const Joined& q = block(*it);
                if (*it < u || (p.mask & q.mask) != 0 || std::abs(static_cast<double>(side(*it, alongX)) - like) > m_unlike * like) continue;
                Joined j;
                j.width = alongX ? std::max(p.width, q.width) : p.width + q.width;
                j.height = alongX ? p.height + q.height : std::max(p.height, q.height);
                j.area = p.area + q.area;
                j.mask = p.mask | q.mask;
                const double waste = 1.0 - j.area / (static_cast<double>(alongX ? j.width : j.height) * static_cast<double>(across));
                if (waste > m_waste) continue;
                j.first = u;
                j.second = *it;
                j.alongX = !alongX;
                j.rank = static_cast<float>(waste + 0.004 * m_chance.part());
                m_found.push_back(j);
            }
            if (m_found.size() > 8 * m_keep) keepFound(4 * m_keep);
        }
        m_budget.add(work);
        keepBest();
        rows.insert(rows.end(), m_levels.back().begin(), m_levels.back().end());
        m_levels.pop_back();
        for (const std::int32_t u : rows) {
            Joined& j = m_blocks[static_cast<std::size_t>(u)];
            j.rank = static_cast<float>(1.0 - j.area / (static_cast<double>(side(u, alongX)) * static_cast<double>(across)));
        }
        // Rows side by side: the states that waste least beside what they take, and every full panel.
        struct State {
            std::int64_t taken;
            double area;
            Mask mask;
            std::int32_t parent, row;
        };
        std::sort(rows.begin(), rows.end(), [&](std::int32_t u, std::int32_t v) { return std::pair(block(u).rank, u) < std::pair(block(v).rank, v); });
        if (rows.size() > m_keep) rows.resize(m_keep);
        std::vector<State> states{{0, 0.0, 0, -1, -1}};
        std::vector<std::int32_t> open{0};
        const double wide = static_cast<double>(across) * static_cast<double>(along);
        for (int depth = 0; depth < kMostRows && !open.empty() && !m_budget.spent(); ++depth) {
            std::vector<State> next;
            for (const std::int32_t n : open) {
                const State s = states[static_cast<std::size_t>(n)];
                for (const std::int32_t u : rows) {
                    const Joined& j = block(u);
                    const std::int64_t taken = s.taken + side(u, alongX);
                    if ((s.mask & j.mask) != 0 || taken > along) continue;
                    next.push_back({taken, s.area + j.area, s.mask | j.mask, n, u});
                }
                m_budget.add(rows.size());
                if (next.size() > 400'000) break;
            }
            const auto order = [&](const State& a, const State& b) {
                // Waste so far beside what has been taken.
                const double wa = 1.0 - a.area / (static_cast<double>(a.taken) * static_cast<double>(across));
                const double wb = 1.0 - b.area / (static_cast<double>(b.taken) * static_cast<double>(across));
                if (wa != wb) return wa < wb;
                return std::tie(a.parent, a.row) < std::tie(b.parent, b.row);
            };
            open.clear();
            std::vector<State> fullest = next;
            const auto full = [&](const State& a, const State& b) {
                if (a.area != b.area) return a.area > b.area;
                return std::tie(a.parent, a.row) < std::tie(b.parent, b.row);
            };
            const std::size_t some = std::min<std::size_t>(fullest.size(), 200);
            std::partial_sort(fullest.begin(), fullest.begin() + static_cast<std::ptrdiff_t>(some), fullest.end(), full);
            fullest.resize(some);
            for (const State& s : fullest) {
                if (s.area < kLeast * wide) break;
                Full f{s.area, s.mask, {s.row}, alongX};
                for (std::int32_t n = s.parent; n > 0; n = states[static_cast<std::size_t>(n)].parent)
                    f.rows.push_back(states[static_cast<std::size_t>(n)].row);
                m_full.push_back(std::move(f));
            }
            // One of each set of pieces.
            std::sort(next.begin(), next.end(), order);
            m_budget.add(next.size() * 8);
            std::unordered_set<Mask> seen;
            for (const State& s : next) {
                if (open.size() >= m_keep / 2) break;
                if (!seen.insert(s.mask).second) continue;
                open.push_back(static_cast<std::int32_t>(states.size()));
                states.push_back(s);
            }
        }
    }

    void write(SawnPattern& out, std::int32_t part, std::int32_t n) const {
        const Joined& b = block(n);
        if (b.first < 0) {
            SawnPattern::Part& p = out.parts[static_cast<std::size_t>(part)];
            p.kind = m_pool[static_cast<std::size_t>(std::countr_zero(b.mask))];
            p.width = b.width;
            p.height = b.height;
            return;
        }
        const auto first = static_cast<std::int32_t>(out.parts.size());
        out.parts.resize(out.parts.size() + 2);
        SawnPattern::Part& p = out.parts[static_cast<std::size_t>(part)];
        p.first = first;
        p.second = first + 1;
        p.alongX = b.alongX;
        p.at = side(b.first, b.alongX);
        write(out, first, b.first);
        write(out, first + 1, b.second);
    }

    Bin m_bin;
    std::vector<std::int32_t> m_pool;
    double m_unlike = 0.05; ///< sides of blocks that are joined differ by less
    double m_waste = 0.04;  ///< of a block
    std::size_t m_keep;
    Chance m_chance;
    Budget& m_budget;
    std::vector<Joined> m_blocks;
    std::vector<std::vector<std::int32_t>> m_levels; ///< by number of pieces
    std::vector<Joined> m_found;
    std::vector<Full> m_full;
};

/// How full panels are filled one after the other.
class DensePacker {
public:
    DensePacker(const PanelCore& core, const std::vector<Item>& items, std::size_t width, std::uint64_t seed, Budget& budget)
        : m_core(core), m_items(items), m_width(width), m_chance(seed), m_budget(budget) {
        for (std::size_t i = 0; i < items.size(); ++i) m_rest.push_back(static_cast<std::int32_t>(i));
    }

    Packing pack(const std::vector<std::size_t>& bins) {
        Packing p;
        double room = 0.0;
        for (const std::size_t b : bins) room += m_core.bins[b].area();
        for (std::size_t n = 0; n < bins.size() && !m_budget.spent(); ++n) {
            const Bin& bin = m_core.bins[bins[n]];
            const std::size_t left = bins.size() - n;
            if (m_rest.empty() || (left <= 2 && area(m_rest) < kEasy * room)) break;
            if (left == 2 && m_rest.size() <= kFew) {
                lastTwo(p, bins[n], bins[n + 1]);
                break;
            }
            const std::vector<DensePanel> found = densePanels(bin, m_items, pool(), kChoice, m_width, m_chance.next(), m_budget);
            if (found.empty()) break;
            const DensePanel* best = nullptr;
            double most = 0.0;
            for (const DensePanel& d : found) {
                // Large pieces are hard to place later.
                const double rank = d.filled + kLarge * area(d.items) / static_cast<double>(d.items.size()) / mean() + 0.001 * m_chance.part();
                if (best == nullptr || rank > most) {
                    best = &d;
                    most = rank;
                }
            }
            take(p, bins[n], *best);
            room -= bin.area();
        }
        for (std::size_t n = p.bins.size(); n < bins.size(); ++n) {
            p.bins.push_back(bins[n]);
            p.slicings.push_back(emptyPanel(m_core, bins[n]));
        }
        p.out = m_rest;
        return p;
    }

private:
    static constexpr double kEasy = 0.88;  ///< so full the search packs two panels by itself
    static constexpr double kLarge = 0.01; ///< how much a panel of large pieces is preferred
    static constexpr std::size_t kChoice = 100;
    static constexpr std::size_t kFew = 64;    ///< pieces that the last two panels are tried with together
    static constexpr std::size_t kSurely = 16; ///< of the largest pieces are always looked at

    [[nodiscard]] double area(const std::vector<std::int32_t>& ids) const {
        double sum = 0.0;
        for (const std::int32_t id : ids) sum += areaOf(id);
        return sum;
    }
    [[nodiscard]] double areaOf(std::int32_t id) const {
        const Item& i = m_items[static_cast<std::size_t>(id)];
        return static_cast<double>(i.width) * static_cast<double>(i.height);
    }
    [[nodiscard]] double mean() const { return area(m_rest) / static_cast<double>(m_rest.size()); }

    /// What is left, some of the largest first, the others by chance.
    std::vector<std::int32_t> pool() {
        std::vector<std::int32_t> ids = m_rest;
        std::sort(ids.begin(), ids.end(), [&](std::int32_t a, std::int32_t b) { return std::pair(-areaOf(a), a) < std::pair(-areaOf(b), b); });
        const std::size_t from = std::min(kSurely, ids.size());
        for (std::size_t k = ids.size(); k > from + 1; --k) std::swap(ids[k - 1], ids[from + m_chance.below(static_cast<std::uint32_t>(k - from))]);
        return ids;
    }

    void take(Packing& p, std::size_t bin, const DensePanel& d) {
        p.bins.push_back(bin);
        p.slicings.push_back(sawn(m_core, bin, d.pattern, [](std::int32_t item) { return item; }));
        m_rest = without(m_rest, d.items);
    }

    [[nodiscard]] static std::vector<std::int32_t> without(const std::vector<std::int32_t>& all, std::vector<std::int32_t> gone) {
        std::sort(gone.begin(), gone.end());
        std::vector<std::int32_t> out;
        std::set_difference(all.begin(), all.end(), gone.begin(), gone.end(), std::back_inserter(out));
        return out;
    }

    /// Of many fillings of the first the one whose rest fills the second best; ends when nothing is left.
    void lastTwo(Packing& p, std::size_t first, std::size_t second) {
        std::vector<DensePanel> found = densePanels(m_core.bins[first], m_items, pool(), kChoice, m_width, m_chance.next(), m_budget);
        const std::size_t tries = m_rest.size() > 40 ? 10 : kChoice;
        double least = 0.0;
        std::size_t best = found.size();
        DensePanel mate;
        for (std::size_t k = 0; k < std::min(found.size(), tries) && !m_budget.spent(); ++k) {
            const std::vector<std::int32_t> rest = without(m_rest, found[k].items);
            const double wanted = area(rest);
            if (wanted > m_core.bins[second].area()) continue;
            std::vector<DensePanel> other = densePanels(m_core.bins[second], m_items, rest, 1, m_width / 2, m_chance.next(), m_budget);
            const double out = wanted - (other.empty() ? 0.0 : area(other[0].items));
            if (best < found.size() && out >= least) continue;
            least = out;
            best = k;
            mate = other.empty() ? DensePanel{} : std::move(other[0]);
            if (!mate.items.empty() && mate.items.size() == rest.size()) break;
        }
        if (best == found.size()) return;
        take(p, first, found[best]);
        if (!mate.items.empty()) take(p, second, mate);
    }

    const PanelCore& m_core;
    const std::vector<Item>& m_items;
    std::size_t m_width;
    Chance m_chance;
    Budget& m_budget;
    std::vector<std::int32_t> m_rest;
};

} // namespace

Packing packDensely(const PanelCore& core, const std::vector<Item>& items, const std::vector<std::size_t>& bins, std::size_t width, std::uint64_t seed,
                    Budget& budget) {
    return DensePacker(core, items, width, seed, budget).pack(bins);
}

std::vector<DensePanel> densePanels(const Bin& bin, const std::vector<Item>& items, const std::vector<std::int32_t>& pool, std::size_t most, std::size_t width,
                                    std::uint64_t seed, Budget& budget) {
    Joiner joiner(bin, items, pool, width, seed, budget);
    joiner.join();
    return joiner.panels(most);
}

} // namespace spanwright::shop
