// SPDX-License-Identifier: MIT
#include "engine/shop/panel_sets.h"

#include <algorithm>
#include <bit>
#include <cmath>
#include <unordered_map>

#include "engine/shop/chance.h"
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
    /// How a set that fits is sawn; `core` is the one that it was made for.
    [[nodiscard]] SawnPattern pattern(Mask s, const PanelCore& core) const {
        SawnPattern p;
        p.counts.assign(m_kinds.size(), 0);
        p.parts.emplace_back();
        write(p, 0, s, {m_bin.width, m_bin.height}, core);
        return p;
    }

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

    /// Calls `see` with both sides of every first cut of a set, each once, until it says false; gives the steps.
    template <typename See> std::uint64_t eachParting(Mask s, See&& see) const {
        struct Part {
            int bit, have, taken;
        };
        std::vector<Part> kinds;
        for (const Kind& k : m_kinds) {
            if (const int n = std::popcount(s & k.all); n > 0) kinds.push_back({k.bit, n, 0});
        }
        const auto first = [](int n, int bit) { return (n >= 64 ? ~Mask{0} : (Mask{1} << n) - 1) << bit; };
        std::uint64_t work = 4;
        while (true) {
            // So many of each kind go to one side: the next choice.
            std::size_t k = 0;
            while (k < kinds.size() && kinds[k].taken == kinds[k].have) kinds[k++].taken = 0;
            if (k == kinds.size()) return work;
            ++kinds[k].taken;
            Mask part = 0;
            Mask other = 0;
            for (const Part& p : kinds) {
                if (p.taken > 0) part |= first(p.taken, p.bit);
                if (p.taken < p.have) other |= first(p.have - p.taken, p.bit);
            }
            work += kinds.size() / 2 + 1;
            if (other == 0 || part > other) continue; // each choice comes twice
            work += 12;
            if (!see(part, other)) return work;
        }
    }

    /// The first cut parts the set in two, each of which fits by itself.
    bool fits(Mask s) {
        std::vector<Shape> shapes;
        std::uint64_t work = 0;
        bool possible = true;
        work += eachParting(s, [&](Mask part, Mask other) {
            const auto a = m_shapes.find(part);
            const auto b = m_shapes.find(other);
            // A part of it does not fit: nor does the whole.
            possible = a != m_shapes.end() && b != m_shapes.end();
            if (!possible) return false;
            for (const Shape& p : a->second) {
                for (const Shape& q : b->second) {
                    add(shapes, {p.first + q.first, std::max(p.second, q.second)});
                    add(shapes, {std::max(p.first, q.first), p.second + q.second});
                    work += 2;
                }
            }
            return true;
        });
        m_budget.add(work);
        if (!possible || shapes.empty()) return false;
        m_shapes.emplace(s, std::move(shapes));
        return true;
    }

    void write(SawnPattern& out, std::int32_t at, Mask s, const Shape& room, const PanelCore& core) const {
        if (std::popcount(s) == 1) {
            std::size_t kind = 0;
            while ((m_kinds[kind].all & s) == 0) ++kind;
            const Block& b = core.blocks[kind];
            const bool upright = b.width <= room.first && b.height <= room.second;
            SawnPattern::Part& part = out.parts[static_cast<std::size_t>(at)];
            part.kind = static_cast<std::int32_t>(kind);
            part.width = upright ? b.width : b.height;
            part.height = upright ? b.height : b.width;
            ++out.counts[kind];
            return;
        }
        eachParting(s, [&](Mask a, Mask b) {
            for (const Shape& p : m_shapes.at(a)) {
                for (const Shape& q : m_shapes.at(b)) {
                    const bool alongX = p.first + q.first <= room.first && std::max(p.second, q.second) <= room.second;
                    const bool alongY = p.second + q.second <= room.second && std::max(p.first, q.first) <= room.first;
                    if (!alongX && !alongY) continue;
                    const auto first = static_cast<std::int32_t>(out.parts.size());
                    out.parts.resize(out.parts.size() + 2);
                    SawnPattern::Part& part = out.parts[static_cast<std::size_t>(at)];
                    part.alongX = alongX;
                    part.at = alongX ? p.first : p.second;
                    part.first = first;
                    part.second = first + 1;
                    write(out, first, a, alongX ? Shape{p.first, room.second} : Shape{room.first, p.second}, core);
                    write(out, first + 1, b, alongX ? Shape{room.first - p.first, room.second} : Shape{room.first, room.second - p.second}, core);
                    return false;
                }
            }
            return true;
        });
    }

    Bin m_bin;
    Budget& m_budget;
    std::vector<Kind> m_kinds;
    std::unordered_map<Mask, std::vector<Shape>> m_shapes;
    std::vector<Mask> m_sets;
    bool m_complete = false;
};

/// The relaxation over listed sets, and its rounding.
class Program {
public:
    Program(const PanelCore& core, const Sets& sets, Budget& budget) : m_budget(budget), m_lp(demandOf(core)) {
        for (const Block& b : core.blocks) m_left.push_back(b.count);
        m_all = m_left;
        // What each set holds, side by side, so that pricing is one walk.
        for (const Mask s : sets.all()) {
            m_holds.emplace_back();
            for (std::size_t k = 0; k < m_left.size(); ++k) {
                if (const int n = sets.count(s, k); n > 0) m_holds.back().push_back({static_cast<std::uint16_t>(k), static_cast<std::int16_t>(n)});
            }
        }
        for (std::size_t n = 0; n < m_holds.size(); ++n) {
            if (m_holds[n].size() == 1 && m_holds[n][0].count == 1) addColumn(n);
        }
    }

    /// Proves so many panels, up to `goal`, or stops where that is out of reach.
    std::int64_t bound(std::int64_t goal) {
        std::int64_t best = 0;
        while (!m_budget.spent()) {
            if (!solve()) return best;
            const bool more = price();
            best = std::max(best, static_cast<std::int64_t>((m_value + m_top - 1) / m_top));
            if (best >= goal || !more || m_s.value <= static_cast<double>(goal - 1) + 1e-9) return best;
        }
        return best;
    }

    /// All pieces on so many panels: what the relaxation uses wholly, then what it uses most. Empty if that does not work.
    std::vector<std::size_t> round(std::int64_t panels, std::uint64_t seed) {
        Chance chance(seed);
        std::vector<std::size_t> chosen;
        set(m_all);
        while (!m_budget.spent()) {
            if (std::all_of(m_left.begin(), m_left.end(), [](std::int64_t n) { return n == 0; })) return chosen;
            if (static_cast<std::int64_t>(chosen.size()) >= panels) break;
            do {
                if (!solve()) return {};
                if (m_s.value > static_cast<double>(panels - static_cast<std::int64_t>(chosen.size())) + 1e-6 && !price()) return {};
            } while (m_s.value > static_cast<double>(panels - static_cast<std::int64_t>(chosen.size())) + 1e-6 && !m_budget.spent());
            double most = 0.0;
            std::size_t best = SIZE_MAX;
            for (std::size_t c = 0; c < m_columns.size() && c < m_s.x.size(); ++c) {
                if (m_s.x[c] < 1e-6) continue;
                const double rank = m_s.x[c] > 0.999 ? 2.0 : m_s.x[c] + (seed == 0 ? 0.0 : 0.4 * chance.part());
                if (rank > most) {
                    most = rank;
                    best = m_columns[c];
                }
            }
            if (best == SIZE_MAX) return {};
            chosen.push_back(best);
            std::vector<std::int64_t> left = m_left;
            for (const Hold& h : m_holds[best]) left[h.kind] -= h.count;
            set(left);
        }
        return {};
    }

private:
    struct Hold {
        std::uint16_t kind;
        std::int16_t count;
    };

    static std::vector<double> demandOf(const PanelCore& core) {
        std::vector<double> demand;
        for (const Block& b : core.blocks) demand.push_back(static_cast<double>(b.count));
        return demand;
    }

    void addColumn(std::size_t n) {
        std::vector<std::int32_t> counts(m_left.size(), 0);
        for (const Hold& h : m_holds[n]) counts[h.kind] = h.count;
        m_lp.addColumn(counts);
        m_columns.push_back(n);
    }

    [[nodiscard]] bool within(std::size_t n) const {
        return std::all_of(m_holds[n].begin(), m_holds[n].end(), [&](const Hold& h) { return h.count <= m_left[h.kind]; });
    }

    /// From here on so many pieces are wanted, and only sets within them.
    void set(const std::vector<std::int64_t>& left) {
        m_left = left;
        for (std::size_t k = 0; k < left.size(); ++k) m_lp.setDemand(k, static_cast<double>(left[k]));
        for (std::size_t c = 0; c < m_columns.size(); ++c) m_lp.allow(c, within(m_columns[c]));
    }

    bool solve() {
        m_s = m_lp.solve();
        m_budget.add((m_s.iterations + 2) * m_left.size() * 10);
        return m_s.ok;
    }

    /// The dearest sets, one for each first piece; the dearest of all, `m_top`, proves the bound. False if none is wanted.
    bool price() {
        std::vector<std::int64_t> worth(m_left.size());
        m_value = 0;
        for (std::size_t i = 0; i < worth.size(); ++i) {
            worth[i] = static_cast<std::int64_t>(std::floor(std::min(m_s.duals[i], 1.0) * kScale));
            m_value += static_cast<Wide>(worth[i]) * m_left[i];
        }
        m_top = 1;
        std::vector<std::pair<std::int64_t, std::size_t>> dearest(m_left.size(), {0, 0});
        for (std::size_t k = 0; k < m_holds.size(); ++k) {
            std::int64_t v = 0;
            bool fits = true;
            for (const Hold& h : m_holds[k]) {
                v += worth[h.kind] * h.count;
                fits = fits && h.count <= m_left[h.kind];
            }
            if (!fits) continue;
            m_top = std::max(m_top, v);
            auto& d = dearest[m_holds[k].front().kind];
            if (v > d.first) d = {v, k};
        }
        m_budget.add(m_holds.size());
        bool any = false;
        for (const auto& [v, k] : dearest) {
            if (static_cast<double>(v) <= kScale * (1.0 + 1e-7)) continue;
            addColumn(k);
            any = true;
        }
        return any;
    }

    Budget& m_budget;
    CoveringLp m_lp;
    CoveringLp::Solution m_s;
    std::vector<std::vector<Hold>> m_holds; ///< by set
    std::vector<std::size_t> m_columns;     ///< sets
    std::vector<std::int64_t> m_left, m_all;
    Wide m_value = 0;
    std::int64_t m_top = 1;
};

} // namespace

SetsAnswer askSets(const PanelCore& core, std::int64_t goal, Budget& budget) {
    constexpr std::uint64_t kRounds = 40;
    SetsAnswer answer;
    std::int64_t pieces = 0;
    for (const Block& b : core.blocks) pieces += b.count;
    if (pieces > 64) return answer;
    const Sets sets(core, budget);
    if (!sets.complete()) return answer;
    Program program(core, sets, budget);
    answer.panels = program.bound(goal);
    for (std::uint64_t seed = 0; seed < kRounds && answer.panels < goal && answer.plan.empty() && !budget.spent(); ++seed) {
        for (const std::size_t n : program.round(goal - 1, seed)) answer.plan.push_back(sets.pattern(sets.all()[n], core));
    }
    return answer;
}

} // namespace spanwright::shop
