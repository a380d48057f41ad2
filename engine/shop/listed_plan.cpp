// SPDX-License-Identifier: MIT
#include "engine/shop/listed_plan.h"

#include <algorithm>
#include <cmath>
#include <map>

#include "engine/shop/covering_lp.h"
#include "engine/shop/wide.h"

namespace spanwright::shop {

namespace {

using Verdict = ListedAnswer::Verdict;

constexpr double kScale = 1073741824.0; ///< prices are rounded to whole multiples of 1/kScale
constexpr double kShort = 100.0;        ///< what the relaxation pays for a piece, or a row of a branch, that no pattern gives
constexpr double kWhole = 1e-6;
constexpr int kDeepest = 500;

class Search {
public:
    Search(const std::vector<Pattern>& patterns, const std::vector<std::int64_t>& need, std::int64_t bars, Budget& budget)
        : m_patterns(patterns), m_need(need), m_bars(bars), m_budget(budget) {}

    ListedAnswer run() {
        std::vector<std::uint32_t> all(m_patterns.size());
        for (std::size_t j = 0; j < all.size(); ++j) all[j] = static_cast<std::uint32_t>(j);
        std::vector<Branch> branches;
        ListedAnswer out;
        out.verdict = node(all, branches, 0);
        out.plan = std::move(m_plan);
        return out;
    }

private:
    /// Patterns that hold both kinds (or, where `first` is none, the one pattern `second`) are cut `bars` times at least, or at most.
    struct Branch {
        std::uint32_t first = 0, second = 0;
        bool atLeast = false;
        std::int64_t bars = 0;
    };
    static constexpr std::uint32_t kNone = UINT32_MAX;

    [[nodiscard]] bool concerns(const Branch& b, std::uint32_t pattern) const {
        if (b.first == kNone) return pattern == b.second;
        bool first = false, second = false;
        for (const auto& [kind, n] : m_patterns[pattern]) {
            first = first || kind == b.first;
            second = second || kind == b.second;
        }
        return first && second;
    }

    Verdict node(const std::vector<std::uint32_t>& columns, std::vector<Branch>& branches, int depth) {
        if (m_budget.spent() || depth > kDeepest) return Verdict::Unknown;
        const std::size_t kinds = m_need.size(), rows = kinds + branches.size();
        std::vector<double> demand(m_need.begin(), m_need.end());
        for (const Branch& b : branches) demand.push_back(b.atLeast ? static_cast<double>(b.bars) : -static_cast<double>(b.bars));
        CoveringLp lp(demand);
        // Columns that stand for what is short keep every node solvable; no plan holds them, and they count in no proof.
        for (std::size_t r = 0; r < rows; ++r) lp.addColumn(std::vector<CoveringLp::Entry>{{r, 1.0}}, kShort);
        std::vector<std::vector<std::uint32_t>> concerned(columns.size());
        for (std::size_t j = 0; j < columns.size(); ++j) {
            std::vector<CoveringLp::Entry> e;
            for (const auto& [kind, n] : m_patterns[columns[j]]) e.push_back({kind, static_cast<double>(n)});
            for (std::size_t b = 0; b < branches.size(); ++b) {
                if (!concerns(branches[b], columns[j])) continue;
                concerned[j].push_back(static_cast<std::uint32_t>(b));
                e.push_back({kinds + b, branches[b].atLeast ? 1.0 : -1.0});
            }
            lp.addColumn(e, 1.0);
        }
        const CoveringLp::Solution s = lp.solve();
        m_budget.add((s.iterations + rows) * (rows + columns.size()) * 4);
        if (!s.ok) return Verdict::Unknown;

        // With whole prices: no pattern is worth more than `top`, so `bars` of them are worth no more than `bars` times that.
        std::vector<std::int64_t> price(rows);
        Wide value = 0;
        for (std::size_t r = 0; r < rows; ++r) {
            price[r] = static_cast<std::int64_t>(std::floor(s.duals[r] * kScale));
            value += static_cast<Wide>(price[r]) * (r < kinds ? m_need[r] : branches[r - kinds].atLeast ? branches[r - kinds].bars : -branches[r - kinds].bars);
        }
        std::vector<std::int64_t> worth(columns.size(), 0);
        std::int64_t top = 1;
        for (std::size_t j = 0; j < columns.size(); ++j) {
            for (const auto& [kind, n] : m_patterns[columns[j]]) worth[j] += n * price[kind];
            for (const std::uint32_t b : concerned[j]) worth[j] += branches[b].atLeast ? price[kinds + b] : -price[kinds + b];
            top = std::max(top, worth[j]);
        }
        const Wide slack = static_cast<Wide>(top) * m_bars - value;
        if (slack < 0) return Verdict::NotEnough;

        std::vector<std::pair<std::uint32_t, double>> used;
        bool whole = true;
        for (std::size_t j = 0; j < columns.size(); ++j) {
            const double x = s.x[rows + j];
            if (x <= kWhole) continue;
            used.emplace_back(columns[j], x);
            whole = whole && std::fabs(x - std::round(x)) <= kWhole;
        }
        if (whole && covers(used)) return Verdict::Enough;
        if (whole) return Verdict::Unknown;
        // A pattern whose worth falls short by more than the slack of all stands in no plan with so few bars.
        std::vector<std::uint32_t> left;
        for (std::size_t j = 0; j < columns.size(); ++j) {
            if (static_cast<Wide>(top) - worth[j] <= slack) left.push_back(columns[j]);
        }
        Branch b = choose(used);
        const std::int64_t below = b.bars;
        bool unknown = false;
        for (const bool atLeast : {true, false}) {
            b.atLeast = atLeast;
            b.bars = atLeast ? below + 1 : below;
            branches.push_back(b);
            const Verdict v = node(left, branches, depth + 1);
            branches.pop_back();
            if (v == Verdict::Enough) return v;
            unknown = unknown || v == Verdict::Unknown;
            if (unknown && m_budget.spent()) return Verdict::Unknown;
        }
        return unknown ? Verdict::Unknown : Verdict::NotEnough;
    }

    /// True if these bars cut all that is needed and are no more than there may be; they are the plan then.
    bool covers(const std::vector<std::pair<std::uint32_t, double>>& used) {
        std::vector<std::int64_t> cut(m_need.size(), 0);
        Patterns plan;
        for (const auto& [j, x] : used) {
            const std::int64_t times = std::llround(x);
            if (times == 0) continue;
            plan.emplace_back(m_patterns[j], times);
            for (const auto& [kind, n] : m_patterns[j]) cut[kind] += times * n;
        }
        if (barsOf(plan) > m_bars) return false;
        for (std::size_t i = 0; i < cut.size(); ++i) {
            if (cut[i] < m_need[i]) return false;
        }
        m_plan = std::move(plan);
        return true;
    }

    /// The two kinds whose being together is least decided, the longer the better; else the pattern that is. `bars` of it: rounded down.
    [[nodiscard]] Branch choose(const std::vector<std::pair<std::uint32_t, double>>& used) const {
        std::map<std::pair<std::uint32_t, std::uint32_t>, double> together;
        for (const auto& [j, x] : used) {
            const Pattern& p = m_patterns[j];
            for (std::size_t a = 0; a < p.size(); ++a)
                for (std::size_t b = a + 1; b < p.size(); ++b) together[{p[a].first, p[b].first}] += x;
        }
        Branch out;
        double best = kWhole * 10.0;
        const auto undecided = [](double x) { return std::min(x - std::floor(x), std::ceil(x) - x); };
        for (const auto& [pair, x] : together) {
            if (undecided(x) <= best + 1e-9) continue;
            best = undecided(x);
            out = {pair.first, pair.second, false, static_cast<std::int64_t>(std::floor(x))};
        }
        if (best > kWhole * 10.0) return out;
        best = 0.0;
        for (const auto& [j, x] : used) {
            if (undecided(x) <= best) continue;
            best = undecided(x);
            out = {kNone, j, false, static_cast<std::int64_t>(std::floor(x))};
        }
        return out;
    }

    const std::vector<Pattern>& m_patterns;
    const std::vector<std::int64_t>& m_need;
    std::int64_t m_bars;
    Budget& m_budget;
    Patterns m_plan;
};

} // namespace

ListedAnswer searchListed(const std::vector<Pattern>& patterns, const std::vector<std::int64_t>& need, std::int64_t bars, Budget& budget) {
    return Search(patterns, need, bars, budget).run();
}

} // namespace spanwright::shop
