// SPDX-License-Identifier: MIT
// Plans are built by prices that are corrected from plan to plan. What they cost at least comes from the relaxation, split by how many of each
// stock are used: whole boards are what the relaxation takes in parts, so this is where it errs most.
#include "engine/shop/strip_plan.h"

#include <algorithm>
#include <cmath>
#include <optional>

#include "engine/shop/strip_bound.h"
#include "engine/shop/strip_build.h"
#include "engine/shop/strip_compose.h"
#include "engine/shop/strip_exchange.h"
#include "engine/shop/wide.h"

namespace spanwright::shop {

namespace {

constexpr int kRounds = 400;      ///< plans that are built before the relaxation is split
constexpr int kRoundsOfPart = 12; ///< plans tried with the boards of one part ...
constexpr int kFirstParts = 20;   ///< ... of the first ones, later only where nothing else finds one
constexpr double kWhole = 1e-6;
constexpr std::size_t kFewPieces = 30; ///< sorts of pieces: plans of fewer are mostly found and proven by splitting alone
constexpr int kMostFailed = 400;       ///< exchanges in a row that find nothing cheaper

class Planner {
public:
    Planner(const std::vector<StripBin>& bins, const std::vector<StripPiece>& pieces, Budget& budget, const std::function<void(const StripPlan&)>& better,
            bool part = false)
        : m_bins(bins), m_pieces(pieces), m_budget(budget), m_better(better), m_builder(bins, pieces, budget), m_part(part) {}

    StripPlan run() {
        for (const StripPiece& p : m_pieces) m_start.push_back(static_cast<double>(p.length) * static_cast<double>(p.width));
        std::vector<std::int64_t> all;
        for (const StripBin& b : m_bins) all.push_back(b.limit);
        m_best.uncut.assign(m_pieces.size(), 0);
        for (std::size_t i = 0; i < m_pieces.size(); ++i) m_best.uncut[i] = m_pieces[i].count;
        m_best.how = "nothing need be bought";
        std::vector<double> prices = m_start;
        keep(m_builder.build(prices, all, false));
        if (!complete(m_best)) {
            tryPlans(prices, all, kRounds, false);
            if (!complete(m_best)) { // what finds no stock is told; nothing is proven of it
                m_best.atLeast = 0;
                m_best.how.clear();
                return std::move(m_best);
            }
        }
        raise(byArea(), "area");
        if (done()) return std::move(m_best);
        StripRelaxation relaxation(m_bins, m_pieces, m_budget);
        relaxation.add(m_best);
        Node root{relaxation.free(), 0};
        limitByCost(root.counts);
        // Of many unlike pieces the relaxation takes long: some of the effort is kept for plans.
        const bool many = !m_part && m_pieces.size() > kFewPieces;
        const StripRelaxation::Answer a = relaxation.solve(root.counts, m_best.cost, many ? part(0.5) : UINT64_MAX);
        root.atLeast = a.atLeast;
        raise(a.atLeast, "linear relaxation over all strips and boards");
        if (!done()) {
            prices = a.prices;
            tryPlans(prices, root.counts.most, kRounds, false, many ? part(0.2) : UINT64_MAX);
            if (many) exchange(part(0.5));
        }
        split(relaxation, std::move(root));
        return std::move(m_best);
    }

private:
    struct Node {
        StripRelaxation::Counts counts;
        std::int64_t atLeast = 0;
    };

    [[nodiscard]] bool done() const { return complete(m_best) && m_best.cost <= m_best.atLeast; }

    static bool complete(const StripPlan& p) {
        return std::all_of(p.uncut.begin(), p.uncut.end(), [](std::int64_t n) { return n == 0; });
    }
    [[nodiscard]] double uncutArea(const StripPlan& p) const {
        double a = 0.0;
        for (std::size_t i = 0; i < p.uncut.size(); ++i) a += static_cast<double>(p.uncut[i]) * m_start[i];
        return a;
    }

    bool keep(StripPlan plan) {
        const double now = uncutArea(plan), before = uncutArea(m_best);
        if (now > before || (now == before && plan.cost >= m_best.cost)) return false;
        plan.atLeast = m_best.atLeast;
        plan.how = m_best.how;
        m_best = std::move(plan);
        if (m_better) m_better(m_best);
        return true;
    }

    void raise(std::int64_t atLeast, const char* how) {
        atLeast = std::min(atLeast, m_best.cost);
        if (atLeast <= m_best.atLeast) return;
        m_best.atLeast = atLeast;
        m_best.how = how;
        if (m_better) m_better(m_best);
    }

    /// What does not lie on the stock that is there lies on bought stock: no less of it than its area, at the best price for area.
    [[nodiscard]] std::int64_t byArea() const {
        Wide area = 0;
        for (const StripPiece& p : m_pieces) area += static_cast<Wide>(p.length) * p.width * p.count;
        for (const StripBin& b : m_bins) {
            if (b.onHand) area -= static_cast<Wide>(b.length) * b.height * b.limit;
        }
        if (area <= 0) return 0;
        std::optional<Wide> least;
        for (const StripBin& b : m_bins) {
            if (b.onHand) continue;
            const Wide one = static_cast<Wide>(b.length) * b.height;
            // As many whole areas as there are, and the part of one that is left: no product grows beyond what is held.
            const Wide cost = area / one * b.cost + (area % one * b.cost + one - 1) / one;
            if (!least || cost < *least) least = cost;
        }
        return static_cast<std::int64_t>(std::min<Wide>(least.value_or(0), INT64_MAX));
    }

    /// Builds plans within these counts until one is complete that is cheaper than the best, or `rounds` are through; true if there is one.
    bool tryPlans(std::vector<double>& prices, const std::vector<std::int64_t>& most, int rounds, bool sunk, std::uint64_t until = UINT64_MAX) {
        bool any = false;
        for (int round = 0; round < rounds && !m_budget.spent() && m_budget.done() < until && !done(); ++round)
            any = keep(m_builder.build(prices, most, sunk)) || any;
        return any;
    }

    /// The work at which that part of what is left of the budget is spent.
    [[nodiscard]] std::uint64_t part(double share) const { return m_budget.done() + static_cast<std::uint64_t>(static_cast<double>(m_budget.left()) * share); }

    /// Makes the best plan cheaper by a few boards at a time.
    void exchange(std::uint64_t until) {
        const StripSolver solve = [](const std::vector<StripBin>& bins, const std::vector<StripPiece>& pieces, Budget& budget) {
            return Planner(bins, pieces, budget, {}, true).run();
        };
        Chance chance(2026);
        for (int failed = 0; failed < kMostFailed && !done() && !m_budget.spent() && m_budget.done() < until;)
            failed = keep(exchangeStrips(m_bins, m_pieces, m_best, chance, m_budget, solve)) ? 0 : failed + 1;
    }

    /// A plan that is cheaper than the best buys no more of any stock than that.
    void limitByCost(StripRelaxation::Counts& c) const {
        for (std::size_t k = 0; k < m_bins.size(); ++k) {
            if (!m_bins[k].onHand && m_bins[k].cost > 0) c.most[k] = std::min(c.most[k], (m_best.cost - 1) / m_bins[k].cost);
        }
    }

    /// Branch and bound over how many boards of each stock and strips of each row are used, the part that may be cheapest first. A part whose counts are all
    /// whole and whose plan is not found stays open, and with it what is proven.
    void split(StripRelaxation& relaxation, Node root) {
        const auto later = [](const Node& a, const Node& b) { return a.atLeast > b.atLeast; };
        std::vector<Node> open; // a heap
        open.push_back(std::move(root));
        std::int64_t stuck = INT64_MAX;
        int parts = 0;
        // Where every board is one strip, boards and strips are the same.
        std::int64_t narrowest = INT64_MAX;
        for (const StripPiece& p : m_pieces) narrowest = p.count > 0 ? std::min(narrowest, p.width) : narrowest;
        const bool ripped = std::any_of(m_bins.begin(), m_bins.end(), [&](const StripBin& b) { return b.height / 2 >= narrowest; });
        while (!open.empty() && !done() && !m_budget.spent()) {
            std::pop_heap(open.begin(), open.end(), later);
            Node node = std::move(open.back());
            open.pop_back();
            const std::int64_t least = std::min(node.atLeast, stuck);
            raise(least, "linear relaxation over strips and boards, split by how many of each are used");
            if (done()) return;
            if (node.atLeast >= m_best.cost) continue;
            limitByCost(node.counts);
            StripRelaxation::Answer a = relaxation.solve(node.counts, m_best.cost);
            node.atLeast = std::max(node.atLeast, a.atLeast);
            if (!a.whole) { // the budget was spent
                stuck = std::min(stuck, node.atLeast);
                break;
            }
            if (node.atLeast >= m_best.cost) continue;
            // Plans with the boards and strips that it takes, rounded up.
            const Split by = splitAt(node.counts, a, ripped);
            std::vector<std::int64_t> boards, strips;
            for (std::size_t k = 0; k < a.used.size(); ++k)
                boards.push_back(std::min(node.counts.most[k], static_cast<std::int64_t>(std::ceil(a.used[k] - kWhole))));
            for (std::size_t r = 0; r < a.strips.size(); ++r)
                strips.push_back(std::min(node.counts.mostStrips[r], static_cast<std::int64_t>(std::ceil(a.strips[r] - kWhole))));
            bool composed = false;
            if (std::optional<StripPlan> plan = composePlan(m_bins, m_pieces, relaxation.rows(), boards, strips, a.cuts, m_budget)) {
                composed = true;
                keep(std::move(*plan));
            }
            if (node.atLeast >= m_best.cost) continue;
            if (++parts <= kFirstParts || (by.off == 0.0 && !composed)) {
                std::vector<double> prices = a.prices;
                tryPlans(prices, boards, kRoundsOfPart, true);
            }
            if (node.atLeast >= m_best.cost) continue;
            if (by.off > 0.0) {
                for (const bool up : {false, true}) {
                    Node child = node;
                    std::vector<std::int64_t>& low = by.strips ? child.counts.leastStrips : child.counts.least;
                    std::vector<std::int64_t>& high = by.strips ? child.counts.mostStrips : child.counts.most;
                    (up ? low : high)[by.at] = up ? by.below + 1 : by.below;
                    push(open, std::move(child), later);
                }
                continue;
            }
            // Whole counts: these boards and strips, and all others around them.
            Node here = node;
            const auto around = [&](std::vector<std::int64_t> StripRelaxation::Counts::*leasts, std::vector<std::int64_t> StripRelaxation::Counts::*mosts,
                                    const std::vector<std::int64_t>& at) {
                for (std::size_t k = 0; k < at.size(); ++k) {
                    for (const bool up : {false, true}) {
                        Node child = here;
                        (child.counts.*(up ? leasts : mosts))[k] = at[k] + (up ? 1 : -1);
                        push(open, std::move(child), later);
                    }
                    (here.counts.*leasts)[k] = (here.counts.*mosts)[k] = at[k];
                }
            };
            around(&StripRelaxation::Counts::least, &StripRelaxation::Counts::most, boards);
            if (ripped) around(&StripRelaxation::Counts::leastStrips, &StripRelaxation::Counts::mostStrips, strips);
            std::int64_t cost = 0;
            for (std::size_t k = 0; k < m_bins.size(); ++k) cost += m_bins[k].onHand ? 0 : boards[k] * m_bins[k].cost;
            stuck = std::min(stuck, std::max(node.atLeast, cost));
        }
        std::int64_t least = std::min(stuck, m_best.cost);
        for (const Node& n : open) least = std::min(least, n.atLeast);
        raise(least, "linear relaxation over strips and boards, split by how many of each are used");
    }

    /// Where a part is split: the stock, or row of strips, of which the relaxation uses the least whole number.
    struct Split {
        double off = 0.0; ///< 0: all are whole
        bool strips = false;
        std::size_t at = 0;
        std::int64_t below = 0;
    };
    [[nodiscard]] static Split splitAt(const StripRelaxation::Counts& counts, const StripRelaxation::Answer& a, bool ripped) {
        Split out;
        const auto look = [&](const std::vector<double>& used, const std::vector<std::int64_t>& least, const std::vector<std::int64_t>& most, bool strips) {
            for (std::size_t k = 0; k < used.size(); ++k) {
                const double off = std::fabs(used[k] - std::round(used[k]));
                if (off > std::max(out.off, kWhole) && least[k] < most[k]) out = {off, strips, k, static_cast<std::int64_t>(std::floor(used[k]))};
            }
        };
        look(a.used, counts.least, counts.most, false);
        if (out.off == 0.0 && ripped) look(a.strips, counts.leastStrips, counts.mostStrips, true);
        return out;
    }

    template <typename Later> static void push(std::vector<Node>& open, Node node, const Later& later) {
        const StripRelaxation::Counts& c = node.counts;
        for (std::size_t k = 0; k < c.least.size(); ++k) {
            if (c.least[k] > c.most[k]) return; // nothing lies there
        }
        for (std::size_t r = 0; r < c.leastStrips.size(); ++r) {
            if (c.leastStrips[r] > c.mostStrips[r]) return;
        }
        open.push_back(std::move(node));
        std::push_heap(open.begin(), open.end(), later);
    }

    const std::vector<StripBin>& m_bins;
    const std::vector<StripPiece>& m_pieces;
    Budget& m_budget;
    const std::function<void(const StripPlan&)>& m_better;
    StripBuilder m_builder;
    bool m_part; ///< of another problem, whose boards are exchanged
    std::vector<double> m_start;
    StripPlan m_best;
};

} // namespace

StripPlan planStrips(const std::vector<StripBin>& bins, const std::vector<StripPiece>& pieces, Budget& budget,
                     const std::function<void(const StripPlan&)>& better) {
    return Planner(bins, pieces, budget, better).run();
}

} // namespace spanwright::shop
