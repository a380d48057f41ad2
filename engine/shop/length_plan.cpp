// SPDX-License-Identifier: MIT
// From a problem to bars without kerfs and back.
#include "engine/shop/length_plan.h"

#include <algorithm>
#include <map>
#include <numeric>
#include <tuple>

#include "engine/shop/budget.h"
#include "engine/shop/length_search.h"
#include "engine/shop/strip_plan.h"

namespace spanwright::shop {

namespace {

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

using Pieces = std::vector<std::pair<std::size_t, std::int64_t>>; ///< demands, ascending, and how many of each

/// Patterns of one problem, equal ones joined, in the order in which they are shown.
class Joined {
public:
    explicit Joined(const LengthProblem& problem) : m_p(problem) {}
    void add(std::size_t bar, bool onHand, const Pieces& pieces, std::int64_t times) { m_joined[{!onHand, bar, turned(pieces)}] += times; }

    void into(LengthPlan& plan) const {
        for (const auto& [key, times] : m_joined) {
            const auto& [isBought, bar, negated] = key;
            Pieces pieces = turned(negated);
            std::int64_t used = 0;
            for (const auto& [i, n] : pieces) used += n * (m_p.demands[i].length + m_p.kerf);
            plan.patterns.push_back({bar, !isBought, std::move(pieces), times, std::max<std::int64_t>(0, m_p.bars[bar].length - used)});
            plan.cut += times;
            if (!isBought) continue;
            plan.bought += times;
            plan.cost += times * m_p.bars[bar].cost;
        }
    }

private:
    /// So that patterns with the most of the first pieces come first.
    static Pieces turned(Pieces p) {
        for (auto& [i, n] : p) n = -n;
        return p;
    }
    const LengthProblem& m_p;
    std::map<std::tuple<bool, std::size_t, Pieces>, std::int64_t> m_joined;
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

    Budget budget(effort.work, effort.cancelled);
    const auto planOf = [&](const LengthFound& found) {
        LengthPlan out;
        out.uncut = plan.uncut;
        out.atLeast = std::max<std::int64_t>(0, found.atLeast - bar.onHand) * bar.cost;
        out.how = found.how;
        out.work = budget.done();
        // Equal lengths are handed back to the demands they came from, in order; bars on hand are cut first.
        std::vector<std::int64_t> left(problem.demands.size());
        for (std::size_t i = 0; i < left.size(); ++i) left[i] = problem.demands[i].count;
        std::vector<std::size_t> next(origin.size(), 0);
        Joined joined(problem);
        std::int64_t onHand = bar.onHand;
        for (const auto& [pattern, times] : found.plan) {
            for (std::int64_t open = times; open > 0;) {
                Pieces pieces;
                std::int64_t same = onHand > 0 ? std::min(open, onHand) : open;
                for (const auto& [k, count] : pattern) {
                    std::int64_t n = count;
                    for (std::size_t o = next[k]; n > 0; ++o) {
                        const std::size_t i = origin[k][o];
                        const std::int64_t take = std::min(n, left[i]);
                        if (take == 0) continue;
                        pieces.emplace_back(i, take);
                        same = std::min(same, left[i] / take);
                        n -= take;
                    }
                }
                for (const auto& [i, n] : pieces) left[i] -= same * n;
                for (const auto& [k, count] : pattern)
                    while (next[k] < origin[k].size() && left[origin[k][next[k]]] == 0) ++next[k];
                std::sort(pieces.begin(), pieces.end());
                joined.add(0, onHand > 0, pieces, same);
                onHand -= std::min(onHand, same);
                open -= same;
            }
        }
        joined.into(out);
        out.proven = out.cost == out.atLeast;
        return out;
    };
    std::function<void(const LengthFound&)> told;
    if (better) told = [&](const LengthFound& f) { better(planOf(f)); };
    return planOf(searchLengths(sizes, budget, told));
}

/// Bars of several lengths, or not enough of them: strips as high as the bars.
LengthPlan planMixed(const LengthProblem& problem, const Effort& effort, const std::function<void(const LengthPlan&)>& better) {
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
    const auto asBars = [&](const StripPlan& strips) {
        LengthPlan plan;
        Joined joined(problem);
        for (const StrippedBin& b : strips.bins) {
            std::map<std::size_t, std::int64_t> counts;
            for (const Strip& s : b.strips) {
                for (const auto& [i, n] : s.pieces) counts[i] += n;
            }
            joined.add(origin[b.bin], bins[b.bin].onHand, {counts.begin(), counts.end()}, b.times);
        }
        joined.into(plan);
        plan.uncut = strips.uncut;
        plan.work = budget.done();
        if (plan.complete()) {
            plan.atLeast = strips.atLeast;
            plan.how = strips.how;
            plan.proven = plan.cost == plan.atLeast;
        }
        return plan;
    };
    std::function<void(const StripPlan&)> told;
    if (better) told = [&](const StripPlan& strips) { better(asBars(strips)); };
    return asBars(planStrips(bins, pieces, budget, told));
}

} // namespace

LengthPlan planLengths(const LengthProblem& problem, const Effort& effort, const std::function<void(const LengthPlan&)>& better) {
    LengthPlan plan;
    plan.problem = refusalOf(problem);
    if (!plan.problem.empty()) return plan;
    if (problem.bars.size() == 1 && problem.bars[0].bought) return planOneLength(problem, effort, better);
    return planMixed(problem, effort, better);
}

} // namespace spanwright::shop
