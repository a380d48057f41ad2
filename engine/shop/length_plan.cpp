// SPDX-License-Identifier: MIT
// Cutting to length: pack greedily, bound by the linear relaxation over all patterns (columns made as they are
// wanted; Gilmore and Gomory, "A linear programming approach to the cutting-stock problem", Operations Research
// 9 and 11, 1961 and 1963), then dive: fix what the relaxation uses in whole numbers, solve what is left, go back and
// try the next best choice where a dive cannot win any more.
#include "engine/shop/length_plan.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <numeric>
#include <tuple>

#include "engine/shop/budget.h"
#include "engine/shop/covering_lp.h"
#include "engine/shop/knapsack.h"
#include "engine/shop/strip_plan.h"
#include "engine/shop/wide.h"

namespace spanwright::shop {

namespace {

using Counts = std::vector<std::int32_t>;

constexpr std::int64_t kScale = std::int64_t{1} << 30; ///< duals are rounded down to whole multiples of 1/kScale
constexpr double kSlack = 1e-7;

/// The problem with kerfs put into the lengths, equal lengths joined, longest first, everything divided by the
/// common divisor.
struct Sizes {
    std::int64_t bar = 0;
    std::vector<std::int64_t> length;
    std::vector<std::int64_t> count;
};

class Planner {
public:
    Planner(Sizes sizes, const Effort& effort, std::function<void(const Planner&)> better)
        : m_s(std::move(sizes)), m_effort(effort), m_better(std::move(better)) {}

    void run() {
        const std::vector<std::int64_t> all = m_s.count;
        m_atLeast = std::max(areaBound(all), bigPiecesBound());
        keep(greedy(all));
        if (done()) return;
        if (kinds() > kMostKinds) return; // columns would fill the memory, and with so many lengths the area is as good a bound

        makeProgram(all);
        const auto root = relax(all);
        if (!root.ok) return;
        m_atLeast = std::max(m_atLeast, root.bound);
        std::vector<std::pair<Counts, std::int64_t>> fixed;
        for (int allowance = 0; allowance <= kMostDetours && !done() && !spent(); ++allowance) dive(all, 0, fixed, allowance, root);
    }

    [[nodiscard]] bool done() const { return m_bars <= m_atLeast; }
    [[nodiscard]] std::int64_t bars() const { return m_bars; }
    [[nodiscard]] std::int64_t atLeast() const { return m_atLeast; }
    [[nodiscard]] const std::vector<std::pair<Counts, std::int64_t>>& best() const { return m_best; }
    [[nodiscard]] std::uint64_t work() const { return m_work; }
    [[nodiscard]] std::string how() const { return kinds() > kMostKinds ? "length" : "linear relaxation over all patterns"; }

private:
    static constexpr std::size_t kMostKinds = 3000;
    static constexpr int kMostDetours = 40;
    static constexpr int kRoundsBelow = 12;
    static constexpr std::size_t kChoices = 6;
    using Plan = std::vector<std::pair<Counts, std::int64_t>>;

    struct Relaxed {
        bool ok = false;
        std::int64_t bound = 0; ///< proven in whole numbers
        std::vector<double> x;  ///< by column
    };

    [[nodiscard]] std::size_t kinds() const { return m_s.length.size(); }
    [[nodiscard]] bool spent() {
        if (m_effort.cancelled && m_effort.cancelled()) m_cancelled = true;
        return m_cancelled || m_work >= m_effort.work;
    }

    static std::int64_t barsOf(const Plan& p) {
        std::int64_t n = 0;
        for (const auto& [counts, times] : p) n += times;
        return n;
    }

    void keep(Plan p) {
        const std::int64_t n = barsOf(p);
        if (m_bars != 0 && n >= m_bars) return;
        m_bars = n;
        m_best = std::move(p);
        m_better(*this);
    }

    [[nodiscard]] std::int64_t areaBound(const std::vector<std::int64_t>& need) const {
        Wide sum = 0;
        for (std::size_t i = 0; i < kinds(); ++i) sum += static_cast<Wide>(need[i]) * m_s.length[i];
        return static_cast<std::int64_t>((sum + m_s.bar - 1) / m_s.bar);
    }

    /// Pieces longer than half a bar need a bar each.
    [[nodiscard]] std::int64_t bigPiecesBound() const {
        std::int64_t n = 0;
        for (std::size_t i = 0; i < kinds(); ++i) n += 2 * m_s.length[i] > m_s.bar ? m_s.count[i] : 0;
        return n;
    }

    // ---- greedy

    /// Bar after bar, each filled as full as it goes with the longest piece left in it (which must go somewhere); as
    /// many equal bars as the need allows.
    Plan greedy(std::vector<std::int64_t> need) {
        Plan full = fillBars(need);
        Plan first = firstFit(need);
        return barsOf(first) < barsOf(full) ? first : full;
    }

    Plan fillBars(std::vector<std::int64_t> need) {
        Plan plan;
        for (std::size_t top = 0; top < kinds();) {
            if (need[top] == 0) {
                ++top;
                continue;
            }
            std::vector<Worth> worth(kinds());
            for (std::size_t i = top; i < kinds(); ++i) {
                worth[i] = {m_s.length[i], m_s.length[i], static_cast<std::int32_t>(std::min<std::int64_t>(need[i] - (i == top ? 1 : 0), INT32_MAX))};
            }
            Packed p = packMost(worth, m_s.bar - m_s.length[top], kFillWork);
            m_work += p.work + 1;
            ++p.counts[top];
            std::int64_t times = INT64_MAX;
            for (std::size_t i = 0; i < kinds(); ++i) {
                if (p.counts[i] > 0) times = std::min(times, need[i] / p.counts[i]);
            }
            for (std::size_t i = 0; i < kinds(); ++i) need[i] -= times * p.counts[i];
            plan.emplace_back(std::move(p.counts), times);
        }
        return plan;
    }

    Plan firstFit(const std::vector<std::int64_t>& need) {
        std::vector<std::int64_t> room;
        std::vector<Counts> bars;
        std::size_t open = 0;
        for (std::size_t i = 0; i < kinds(); ++i) {
            for (std::int64_t n = 0, from = static_cast<std::int64_t>(open); n < need[i]; ++n) {
                auto b = static_cast<std::size_t>(from);
                while (b < room.size() && room[b] < m_s.length[i]) ++b;
                m_work += b - static_cast<std::size_t>(from) + 1;
                from = static_cast<std::int64_t>(b); // equal pieces never fit further left
                if (b == room.size()) {
                    room.push_back(m_s.bar);
                    bars.emplace_back(kinds(), 0);
                }
                room[b] -= m_s.length[i];
                ++bars[b][i];
            }
        }
        std::map<Counts, std::int64_t> joined;
        for (Counts& b : bars) ++joined[b];
        return {joined.begin(), joined.end()};
    }

    // ---- the linear relaxation

    void makeProgram(const std::vector<std::int64_t>& need) {
        std::vector<double> demand(need.begin(), need.end());
        m_lp = std::make_unique<CoveringLp>(demand);
        for (std::size_t i = 0; i < kinds(); ++i) {
            Counts c(kinds(), 0);
            c[i] = 1;
            addColumn(std::move(c));
        }
        for (const auto& [counts, times] : m_best) addColumn(counts);
    }

    void addColumn(Counts c) {
        m_lp->addColumn(c);
        m_columns.push_back(std::move(c));
        m_allowed.push_back(true);
    }

    /// Solves the relaxation for what is still needed, with patterns that hold no more of a kind than is needed.
    Relaxed relax(const std::vector<std::int64_t>& need, int rounds = INT32_MAX) {
        for (std::size_t i = 0; i < kinds(); ++i) m_lp->setDemand(i, static_cast<double>(need[i]));
        for (std::size_t j = 0; j < m_columns.size(); ++j) {
            bool fits = true;
            for (std::size_t i = 0; i < kinds() && fits; ++i) fits = m_columns[j][i] <= need[i] || j == i;
            if (fits != m_allowed[j]) {
                m_lp->allow(j, fits);
                m_allowed[j] = fits;
            }
        }
        m_work += m_columns.size() * kinds() / 16;
        Relaxed out;
        std::vector<Counts> more;
        for (int round = 0; !spent(); ++round) {
            CoveringLp::Solution s = m_lp->solve();
            m_work += (s.iterations + 2) * (kinds() + m_columns.size()) * 10; // what a pivot costs beside a step of a knapsack
            if (!s.ok) return out;
            out.x = std::move(s.x);
            std::vector<Worth> worth(kinds());
            Wide value = 0;
            for (std::size_t i = 0; i < kinds(); ++i) {
                const auto profit = static_cast<std::int64_t>(std::floor(std::min(s.duals[i], 1.0) * static_cast<double>(kScale)));
                worth[i] = {m_s.length[i], profit, static_cast<std::int32_t>(std::min<std::int64_t>(need[i], INT32_MAX))};
                value += static_cast<Wide>(profit) * need[i];
            }
            const Packed p = packMost(worth, m_s.bar, kPriceWork, kScale + kScale / 1000000, more);
            m_work += p.work;
            // No pattern is worth more than `top`, so these prices, divided by it, prove a bound whatever the solver did.
            const std::int64_t top = std::max<std::int64_t>(p.bound, 1);
            out.bound = std::max(out.bound, static_cast<std::int64_t>((value + top - 1) / top));
            const bool better = static_cast<double>(p.profit) > static_cast<double>(kScale) * (1.0 + kSlack);
            // The bound rounds up: once it meets the program's value rounded up, more columns cannot raise it.
            if (!better || static_cast<double>(out.bound) >= s.value + 1.0 - 1e-6) {
                out.ok = true;
                return out;
            }
            // Below the root a good answer is enough.
            if (round + 1 >= rounds || out.bound >= static_cast<std::int64_t>(std::ceil(s.value - 1e-6))) out.ok = true;
            if (round + 1 >= rounds) return out;
            // A root that takes more than half of the work is left as it is: its columns still lead to good plans.
            if (rounds == INT32_MAX && m_work > m_effort.work / 2) {
                out.ok = true;
                return out;
            }
            addColumn(p.counts);
            for (Counts& c : more) {
                if (c != p.counts) addColumn(std::move(c));
            }
        }
        return out;
    }

    // ---- diving

    void dive(std::vector<std::int64_t> need, std::int64_t used, Plan& fixed, int detours, const Relaxed& relaxed) {
        if (done() || spent()) return;
        const std::size_t mark = fixed.size();
        // All that the relaxation uses in whole numbers.
        std::vector<std::pair<double, std::size_t>> parts;
        bool any = false;
        for (std::size_t j = 0; j < relaxed.x.size(); ++j) {
            auto whole = static_cast<std::int64_t>(std::floor(relaxed.x[j] + 1e-6));
            for (std::size_t i = 0; i < kinds() && whole > 0; ++i) {
                if (m_columns[j][i] > 0) whole = std::min(whole, need[i] / m_columns[j][i]);
            }
            if (whole > 0) {
                fixed.emplace_back(m_columns[j], whole);
                used += whole;
                for (std::size_t i = 0; i < kinds(); ++i) need[i] -= whole * m_columns[j][i];
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
                const Counts column = m_columns[j];
                bool fits = true;
                for (std::size_t i = 0; i < kinds() && fits; ++i) fits = column[i] <= need[i];
                if (!fits) continue;
                std::vector<std::int64_t> left = need;
                for (std::size_t i = 0; i < kinds(); ++i) left[i] -= column[i];
                fixed.emplace_back(column, 1);
                descend(left, used + 1, fixed, detours - static_cast<int>(tried));
                fixed.pop_back();
                ++tried;
            }
        }
        fixed.resize(mark);
    }

    /// One level deeper: finish greedily, prune by the bound, go on.
    void descend(const std::vector<std::int64_t>& need, std::int64_t used, Plan& fixed, int detours) {
        if (std::all_of(need.begin(), need.end(), [](std::int64_t n) { return n == 0; })) {
            keep(fixed);
            return;
        }
        if (used + areaBound(need) >= m_bars) return;
        Plan rest = greedy(need);
        if (used + barsOf(rest) < m_bars) {
            Plan whole = fixed;
            whole.insert(whole.end(), rest.begin(), rest.end());
            keep(std::move(whole));
            if (done()) return;
        }
        const Relaxed next = relax(need, kRoundsBelow);
        if (!next.ok || used + next.bound >= m_bars) return;
        dive(need, used, fixed, detours, next);
    }

    static constexpr std::uint64_t kFillWork = 3'000'000;
    static constexpr std::uint64_t kPriceWork = 40'000'000;

    Sizes m_s;
    const Effort& m_effort;
    std::function<void(const Planner&)> m_better;
    std::unique_ptr<CoveringLp> m_lp;
    std::vector<Counts> m_columns;
    std::vector<bool> m_allowed;
    Plan m_best;
    std::int64_t m_bars = 0;
    std::int64_t m_atLeast = 0;
    std::uint64_t m_work = 0;
    bool m_cancelled = false;
};

constexpr std::int64_t kLongest = 1'000'000'000'000;
constexpr std::int64_t kMostPieces = 1'000'000;
constexpr std::int64_t kDearest = 1'000'000'000'000;

std::string refusalOf(const LengthProblem& p) {
    if (p.kerf < 0) return "the kerf is negative";
    if (p.bars.empty()) return "there is no bar to cut from";
    for (const LengthBar& b : p.bars) {
        if (b.length <= 0) return "a bar has no length";
        if (b.length > kLongest) return "a bar is longer than can be planned";
        if (b.cost < 0) return "a bar has a negative cost";
        if (b.cost > kDearest) return "a bar costs more than can be planned";
        if (b.onHand < 0) return "the number of bars on hand is negative";
    }
    std::int64_t pieces = 0;
    for (const auto& d : p.demands) {
        if (d.count < 0) return "a count is negative";
        if (d.length <= 0) return "a piece has no length";
        if (d.count == 0) continue;
        if (p.kerf > d.length) return "the kerf is wider than a piece is long";
        if (d.count > kMostPieces || (pieces += d.count) > kMostPieces) return "there are more pieces than can be planned";
        if (std::none_of(p.bars.begin(), p.bars.end(), [&](const LengthBar& b) { return d.length <= b.length; })) return "a piece is longer than every bar";
    }
    return {};
}

/// Patterns of one problem, equal ones joined, in the order in which they are shown.
class Patterns {
public:
    explicit Patterns(const LengthProblem& problem) : m_p(problem) {}
    void add(std::size_t bar, bool onHand, const Counts& counts, std::int64_t times) { m_joined[{!onHand, bar, reversed(counts)}] += times; }

    void into(LengthPlan& plan) const {
        for (const auto& [key, times] : m_joined) {
            const auto& [isBought, bar, negated] = key;
            Counts counts = reversed(negated);
            std::int64_t used = 0;
            for (std::size_t i = 0; i < counts.size(); ++i) used += counts[i] * (m_p.demands[i].length + m_p.kerf);
            plan.patterns.push_back({bar, !isBought, std::move(counts), times, std::max<std::int64_t>(0, m_p.bars[bar].length - used)});
            plan.cut += times;
            if (!isBought) continue;
            plan.bought += times;
            plan.cost += times * m_p.bars[bar].cost;
        }
    }

private:
    /// So that patterns with the first pieces come first.
    static Counts reversed(Counts c) {
        for (std::int32_t& n : c) n = -n;
        return c;
    }
    const LengthProblem& m_p;
    std::map<std::tuple<bool, std::size_t, Counts>, std::int64_t> m_joined;
};

/// Bars of one length.
LengthPlan planOneLength(const LengthProblem& problem, const Effort& effort, const std::function<void(const LengthPlan&)>& better) {
    const LengthBar& bar = problem.bars[0];
    std::map<std::int64_t, std::vector<std::size_t>, std::greater<>> byLength;
    for (std::size_t i = 0; i < problem.demands.size(); ++i) {
        if (problem.demands[i].count > 0) byLength[problem.demands[i].length].push_back(i);
    }
    LengthPlan plan;
    plan.uncut.assign(problem.demands.size(), 0);
    if (byLength.empty()) {
        plan.proven = true;
        plan.how = "nothing is wanted";
        return plan;
    }
    // n pieces have n - 1 kerfs between them: a kerf on every piece and one more on the bar is the same.
    Sizes sizes;
    std::vector<std::vector<std::size_t>> origin;
    for (const auto& [length, from] : byLength) {
        std::int64_t count = 0;
        for (const std::size_t i : from) count += problem.demands[i].count;
        sizes.length.push_back(length + problem.kerf);
        sizes.count.push_back(count);
        origin.push_back(from);
    }
    // The bar may be rounded down to what pieces can reach.
    std::int64_t common = 0;
    for (const std::int64_t l : sizes.length) common = std::gcd(common, l);
    for (std::int64_t& l : sizes.length) l /= common;
    sizes.bar = (bar.length + problem.kerf) / common;

    const auto planOf = [&](const Planner& planner) {
        LengthPlan out;
        out.uncut = plan.uncut;
        out.atLeast = std::max<std::int64_t>(0, planner.atLeast() - bar.onHand) * bar.cost;
        out.how = planner.how();
        out.work = planner.work();
        // Equal lengths are handed back to the demands they came from, in order; bars on hand are cut first.
        std::vector<std::int64_t> left(problem.demands.size());
        for (std::size_t i = 0; i < left.size(); ++i) left[i] = problem.demands[i].count;
        Patterns patterns(problem);
        std::int64_t onHand = bar.onHand;
        for (const auto& [counts, times] : planner.best()) {
            std::int64_t open = times;
            while (open > 0) {
                Counts c(problem.demands.size(), 0);
                std::vector<std::int64_t> after = left;
                for (std::size_t k = 0; k < counts.size(); ++k) {
                    std::int64_t n = counts[k];
                    for (const std::size_t i : origin[k]) {
                        const std::int64_t take = std::min(n, after[i]);
                        c[i] += static_cast<std::int32_t>(take);
                        after[i] -= take;
                        n -= take;
                    }
                }
                std::int64_t same = open;
                for (std::size_t i = 0; i < c.size(); ++i) {
                    if (c[i] > 0) same = std::min(same, left[i] / c[i]);
                }
                if (onHand > 0) same = std::min(same, onHand);
                same = std::max<std::int64_t>(same, 1);
                for (std::size_t i = 0; i < c.size(); ++i) left[i] -= same * c[i];
                patterns.add(0, onHand > 0, c, same);
                onHand -= std::min(onHand, same);
                open -= same;
            }
        }
        patterns.into(out);
        out.proven = out.cost == out.atLeast;
        return out;
    };
    Planner planner(std::move(sizes), effort, [&](const Planner& p) {
        if (better) better(planOf(p));
    });
    planner.run();
    return planOf(planner);
}

/// Bars of several lengths, or not enough of them: strips as high as the bars.
LengthPlan planMixed(const LengthProblem& problem, const Effort& effort) {
    std::vector<StripBin> bins;
    std::vector<std::size_t> origin;
    for (const bool onHand : {true, false}) {
        for (std::size_t i = 0; i < problem.bars.size(); ++i) {
            const LengthBar& b = problem.bars[i];
            if (onHand ? b.onHand == 0 : !b.bought) continue;
            bins.push_back({.length = b.length + problem.kerf,
                            .height = 1,
                            .cost = b.cost,
                            .limit = onHand ? std::min(b.onHand, kMostPieces) : kMostPieces,
                            .onHand = onHand});
            origin.push_back(i);
        }
    }
    std::vector<StripPiece> pieces;
    for (const auto& d : problem.demands) pieces.push_back({d.length + problem.kerf, 1, d.count});
    Budget budget(effort.work, effort.cancelled);
    const StripPlan strips = planStrips(bins, pieces, budget);
    LengthPlan plan;
    Patterns patterns(problem);
    for (const StrippedBin& b : strips.bins) {
        Counts counts(problem.demands.size(), 0);
        for (const Strip& s : b.strips) {
            for (const auto& [i, n] : s.pieces) counts[i] += static_cast<std::int32_t>(n);
        }
        patterns.add(origin[b.bin], bins[b.bin].onHand, counts, b.times);
    }
    patterns.into(plan);
    plan.uncut = strips.uncut;
    plan.work = budget.done();
    if (plan.complete()) {
        plan.atLeast = strips.atLeast;
        plan.how = strips.how;
        plan.proven = plan.cost == plan.atLeast;
    }
    return plan;
}

} // namespace

LengthPlan planLengths(const LengthProblem& problem, const Effort& effort, const std::function<void(const LengthPlan&)>& better) {
    LengthPlan plan;
    plan.problem = refusalOf(problem);
    if (!plan.problem.empty()) return plan;
    if (problem.bars.size() == 1 && problem.bars[0].bought) return planOneLength(problem, effort, better);
    plan = planMixed(problem, effort);
    if (better) better(plan);
    return plan;
}

} // namespace spanwright::shop
