// SPDX-License-Identifier: MIT
// Pack greedily, bound by the linear relaxation over all patterns (columns made as they are wanted; Gilmore and Gomory, "A linear programming
// approach to the cutting-stock problem", Operations Research 9 and 11, 1961 and 1963), then dive: fix what the relaxation uses in whole
// numbers, solve what is left, go back and try the next best choice where a dive cannot win any more. Where the relaxation leaves little room,
// all patterns that a plan at the bound could use are listed and searched: that finds the plan or raises the bound.
#include "engine/shop/length_search.h"

#include <algorithm>
#include <cmath>
#include <memory>

#include "engine/shop/covering_lp.h"
#include "engine/shop/knapsack.h"
#include "engine/shop/length_greedy.h"
#include "engine/shop/listed_plan.h"
#include "engine/shop/pattern_list.h"
#include "engine/shop/wide.h"

namespace spanwright::shop {

namespace {

constexpr std::int64_t kScale = std::int64_t{1} << 30; ///< duals are rounded down to whole multiples of 1/kScale
constexpr double kSlack = 1e-7;
constexpr std::size_t kMostKinds = 2000; ///< with more the area is as good a bound, and columns would fill the memory
constexpr std::uint64_t kFillWork = 3'000'000, kFillWorkBelow = 4'000;
constexpr std::uint64_t kPriceWork = 40'000'000;
constexpr double kNear = 3e-5; ///< bars between the program and its proof: further columns can hardly move it
constexpr int kMostDetours = 40;
constexpr int kRoundsBelow = 12;
constexpr std::size_t kChoices = 6;
constexpr std::size_t kFewListed = 1'000, kMostListed = 10'000;

class Search {
public:
    Search(const Sizes& sizes, Budget& budget, const std::function<void(const LengthFound&)>& better) : m_s(sizes), m_budget(budget), m_better(better) {}

    LengthFound run() {
        const std::vector<std::int64_t> all = m_s.count;
        m_found.how = "length";
        m_found.atLeast = std::max(areaBound(all), bigPiecesBound());
        keep(firstFit(m_s, all, m_budget));
        if (!done()) keep(fillBars(m_s, all, kFillWork, m_budget));
        if (!done() && m_s.kinds() <= kMostKinds) improve(all);
        return std::move(m_found);
    }

private:
    struct Relaxed {
        bool ok = false;
        std::int64_t bound = 0; ///< proven in whole numbers
        std::vector<double> x;  ///< by column
    };

    /// Whole prices that prove a bound: no pattern is worth more than `top`, all that is wanted is worth `value`.
    struct Proof {
        std::vector<Worth> worth;
        std::int64_t top = 1;
        Wide value = 0;
        [[nodiscard]] bool betterThan(const Proof& o) const {
            return o.worth.empty() || static_cast<double>(value) * static_cast<double>(o.top) > static_cast<double>(o.value) * static_cast<double>(top);
        }
    };

    [[nodiscard]] std::size_t kinds() const { return m_s.kinds(); }
    [[nodiscard]] bool done() const { return m_bars <= m_found.atLeast; }
    [[nodiscard]] bool spent() { return m_budget.spent(); }

    void keep(Patterns p) {
        const std::int64_t n = barsOf(p);
        if (m_bars != 0 && n >= m_bars) return;
        m_bars = n;
        m_found.plan = std::move(p);
        if (m_better) m_better(m_found);
    }

    void raise(std::int64_t bound, const char* how) {
        if (bound <= m_found.atLeast) return;
        m_found.atLeast = bound;
        m_found.how = how;
        if (m_better) m_better(m_found);
    }

    [[nodiscard]] std::int64_t areaBound(const std::vector<std::int64_t>& need) const {
        Wide sum = 0;
        for (std::size_t i = 0; i < kinds(); ++i) sum += static_cast<Wide>(need[i]) * m_s.length[i];
        return static_cast<std::int64_t>((sum + m_s.bar - 1) / m_s.bar);
    }

    /// What all bars of a plan at the bound leave together: no pattern of it leaves more.
    [[nodiscard]] std::int64_t roomIn(const std::vector<std::int64_t>& need) const {
        Wide room = static_cast<Wide>(m_found.atLeast) * m_s.bar;
        for (std::size_t i = 0; i < kinds(); ++i) room -= static_cast<Wide>(need[i]) * m_s.length[i];
        return static_cast<std::int64_t>(std::clamp<Wide>(room, 0, m_s.bar));
    }

    /// Pieces longer than half a bar need a bar each.
    [[nodiscard]] std::int64_t bigPiecesBound() const {
        std::int64_t n = 0;
        for (std::size_t i = 0; i < kinds(); ++i) n += 2 * m_s.length[i] > m_s.bar ? m_s.count[i] : 0;
        return n;
    }

    void improve(const std::vector<std::int64_t>& all) {
        makeProgram(all);
        const Relaxed root = relax(all, 0);
        if (!root.ok) return;
        raise(root.bound, "linear relaxation over all patterns");
        if (done()) return;
        bool listed = list(all, kFewListed, m_budget.limit() / 20);
        Patterns fixed;
        for (int allowance = 0; allowance <= kMostDetours && !done() && !spent(); ++allowance) {
            dive(all, 0, fixed, allowance, root);
            // Searching a long list pays only once a few dives have failed.
            if (!listed && allowance == 2) listed = list(all, kMostListed, m_budget.limit() / 5);
        }
    }

    /// Looks for a plan at the bound among all patterns that it could use; true if that settled it or cannot be done.
    bool list(const std::vector<std::int64_t>& all, std::size_t most, std::uint64_t work) {
        while (!done() && !spent()) {
            const Wide slack = static_cast<Wide>(m_proof.top) * m_found.atLeast - m_proof.value;
            if (m_proof.worth.empty() || slack < 0) return true;
            const PatternList l = listPatterns(m_proof.worth, m_s.bar, static_cast<std::int64_t>(std::max<Wide>(0, m_proof.top - slack)), roomIn(all), most,
                                               std::min(work, m_budget.left()));

            m_budget.add(l.work);
            if (!l.whole) return false;
            Budget some(std::min(m_budget.left(), std::max(work, m_budget.limit() / 2)), [this] { return m_budget.spent(); });
            ListedAnswer answer = searchListed(l.patterns, all, m_found.atLeast, some);
            m_budget.add(some.done());
            if (answer.verdict == ListedAnswer::Verdict::Unknown) return false;
            if (answer.verdict == ListedAnswer::Verdict::Enough) {
                keep(trimmed(std::move(answer.plan), all));
                return true;
            }
            raise(m_found.atLeast + 1, "all patterns that a plan with one bar fewer could use, listed");
        }
        return true;
    }

    /// Without what is cut beyond the need.
    Patterns trimmed(Patterns plan, std::vector<std::int64_t> left) const {
        Patterns out;
        for (auto& [pattern, times] : plan) {
            while (times > 0) {
                Pattern p;
                std::int64_t same = times;
                for (const auto& [i, n] : pattern) {
                    const auto take = static_cast<std::int32_t>(std::min<std::int64_t>(n, left[i]));
                    if (take == 0) continue;
                    p.emplace_back(i, take);
                    same = std::min(same, left[i] / take);
                }
                if (p.empty()) break;
                for (const auto& [i, n] : p) left[i] -= same * n;
                out.emplace_back(std::move(p), same);
                times -= same;
            }
        }
        return out;
    }

    // ---- the linear relaxation

    void makeProgram(const std::vector<std::int64_t>& need) {
        m_lp = std::make_unique<CoveringLp>(std::vector<double>(need.begin(), need.end()));
        for (std::size_t i = 0; i < kinds(); ++i) addColumn({{static_cast<std::uint32_t>(i), 1}});
        for (const auto& [pattern, times] : m_found.plan) addColumn(pattern);
    }

    void addColumn(Pattern p) {
        std::vector<CoveringLp::Entry> e;
        e.reserve(p.size());
        for (const auto& [i, n] : p) e.push_back({i, static_cast<double>(n)});
        m_lp->addColumn(e, 1.0);
        m_columns.push_back(std::move(p));
        m_allowed.push_back(true);
    }

    [[nodiscard]] static bool fits(const Pattern& p, const std::vector<std::int64_t>& need) {
        return std::all_of(p.begin(), p.end(), [&](const auto& e) { return e.second <= need[e.first]; });
    }

    /// Solves the relaxation for what is still needed, with patterns that hold no more of a kind than is needed. `rounds`: that many at most; 0:
    /// the root, as many as it takes.
    Relaxed relax(const std::vector<std::int64_t>& need, int rounds) {
        const bool root = rounds == 0;
        for (std::size_t i = 0; i < kinds(); ++i) m_lp->setDemand(i, static_cast<double>(need[i]));
        for (std::size_t j = 0; j < m_columns.size(); ++j) {
            const bool may = j < kinds() || fits(m_columns[j], need);
            if (may == m_allowed[j]) continue;
            m_lp->allow(j, may);
            m_allowed[j] = may;
        }
        m_budget.add(kinds() + m_columns.size() * 4);
        Relaxed out;
        std::vector<std::vector<std::int32_t>> more;
        std::vector<Worth> worth(kinds());
        for (int round = 1; !spent(); ++round) {
            CoveringLp::Solution s = m_lp->solve();
            m_budget.add((s.iterations + 2) * (kinds() + m_columns.size()) * 4); // what a pivot costs beside a step of a knapsack
            if (!s.ok) return out;
            out.x = std::move(s.x);
            Wide value = 0;
            for (std::size_t i = 0; i < kinds(); ++i) {
                const auto profit = static_cast<std::int64_t>(std::floor(std::min(s.duals[i], 1.0) * static_cast<double>(kScale)));
                worth[i] = {m_s.length[i], profit, static_cast<std::int32_t>(std::min<std::int64_t>(need[i], INT32_MAX))};
                value += static_cast<Wide>(profit) * need[i];
            }
            const Packed p = packMost(worth, m_s.bar, kPriceWork, kScale + kScale / 1000000, more);
            m_budget.add(p.work);
            // No pattern is worth more than `top`, so these prices, divided by it, prove a bound whatever the solver did.
            const std::int64_t top = std::max<std::int64_t>(p.bound, 1);
            out.bound = std::max(out.bound, static_cast<std::int64_t>((value + top - 1) / top));
            if (root) {
                Proof proof{worth, top, value};
                if (proof.betterThan(m_proof)) m_proof = std::move(proof);
            }
            const bool better = static_cast<double>(p.profit) > static_cast<double>(kScale) * (1.0 + kSlack);
            // The bound rounds up: once it meets the program's value rounded up, more columns cannot raise it.
            if (!better || static_cast<double>(out.bound) >= s.value + 1.0 - 1e-6) {
                out.ok = true;
                return out;
            }
            if (!root) { // a good answer is enough
                if (round >= rounds || out.bound >= static_cast<std::int64_t>(std::ceil(s.value - 1e-6))) out.ok = true;
                if (round >= rounds) return out;
            } else if (s.value - static_cast<double>(m_proof.value) / static_cast<double>(m_proof.top) < kNear ||
                       m_budget.done() > m_budget.limit() / 2) { // it is left as it is: its columns still lead to good plans
                out.ok = true;
                return out;
            }
            addColumn(sparse(p.counts));
            for (const std::vector<std::int32_t>& c : more) {
                if (c != p.counts) addColumn(sparse(c));
            }
        }
        return out;
    }

    // ---- diving

    void dive(std::vector<std::int64_t> need, std::int64_t used, Patterns& fixed, int detours, const Relaxed& relaxed) {
        if (done() || spent()) return;
        const std::size_t mark = fixed.size();
        // All that the relaxation uses in whole numbers.
        std::vector<std::pair<double, std::size_t>> parts;
        bool any = false;
        for (std::size_t j = 0; j < relaxed.x.size(); ++j) {
            auto whole = static_cast<std::int64_t>(std::floor(relaxed.x[j] + 1e-6));
            if (whole > 0) {
                for (const auto& [i, n] : m_columns[j]) whole = std::min(whole, need[i] / n);
            }
            if (whole > 0) {
                for (const auto& [i, n] : m_columns[j]) need[i] -= whole * n;
                fixed.emplace_back(m_columns[j], whole);
                used += whole;
                any = true;
            }
            const double rest = relaxed.x[j] - std::floor(relaxed.x[j] + 1e-6);
            if (rest > 1e-6) parts.emplace_back(rest, j);
        }
        if (any) {
            descend(need, used, fixed, detours);
        } else {
            std::stable_sort(parts.begin(), parts.end(), [](const auto& a, const auto& b) { return a.first > b.first + 1e-9; });
            std::size_t tried = 0;
            for (const auto& [rest, j] : parts) {
                if (tried > static_cast<std::size_t>(detours) || tried >= kChoices || done() || spent()) break;
                const Pattern column = m_columns[j];
                if (!fits(column, need)) continue;
                std::vector<std::int64_t> left = need;
                for (const auto& [i, n] : column) left[i] -= n;
                fixed.emplace_back(column, 1);
                descend(left, used + 1, fixed, detours - static_cast<int>(tried));
                fixed.pop_back();
                ++tried;
            }
        }
        fixed.resize(mark);
    }

    /// One level deeper: finish greedily, prune by the bound, go on.
    void descend(const std::vector<std::int64_t>& need, std::int64_t used, Patterns& fixed, int detours) {
        if (std::all_of(need.begin(), need.end(), [](std::int64_t n) { return n == 0; })) {
            keep(fixed);
            return;
        }
        if (used + areaBound(need) >= m_bars) return;
        for (const bool fill : {false, true}) {
            const Patterns rest = fill ? fillBars(m_s, need, kFillWorkBelow, m_budget) : firstFit(m_s, need, m_budget);
            if (used + barsOf(rest) >= m_bars) continue;
            Patterns whole = fixed;
            whole.insert(whole.end(), rest.begin(), rest.end());
            keep(std::move(whole));
            if (done()) return;
        }
        const Relaxed next = relax(need, kRoundsBelow);
        if (!next.ok || used + next.bound >= m_bars) return;
        dive(need, used, fixed, detours, next);
    }

    const Sizes& m_s;
    Budget& m_budget;
    const std::function<void(const LengthFound&)>& m_better;
    std::unique_ptr<CoveringLp> m_lp;
    std::vector<Pattern> m_columns;
    std::vector<bool> m_allowed;
    Proof m_proof;
    LengthFound m_found;
    std::int64_t m_bars = 0;
};

} // namespace

LengthFound searchLengths(const Sizes& sizes, Budget& budget, const std::function<void(const LengthFound&)>& better) {
    return Search(sizes, budget, better).run();
}

} // namespace spanwright::shop
