// SPDX-License-Identifier: MIT
// Plans are built by prices that are corrected from plan to plan. What they cost at least comes from the relaxation, split by how many of each
// stock are used: whole boards are what the relaxation takes in parts, so this is where it errs most.
#include "engine/shop/strip_plan.h"

#include <algorithm>
#include <cmath>
#include <queue>

#include "engine/shop/strip_bound.h"
#include "engine/shop/strip_build.h"

namespace spanwright::shop {

namespace {

constexpr int kRounds = 400;      ///< plans that are built before the relaxation is split
constexpr int kRoundsOfNode = 12; ///< plans tried with the boards of one part
constexpr int kRoundsOfCounts = 60;
constexpr double kWhole = 1e-6;

class Planner {
public:
    Planner(const std::vector<StripBin>& bins, const std::vector<StripPiece>& pieces, Budget& budget, const std::function<void(const StripPlan&)>& better)
        : m_bins(bins), m_pieces(pieces), m_budget(budget), m_better(better), m_builder(bins, pieces, budget) {}

    StripPlan run() {
        for (const StripPiece& p : m_pieces) m_start.push_back(static_cast<double>(p.length) * static_cast<double>(p.width));
        StripRelaxation::Counts all;
        for (const StripBin& b : m_bins) {
            all.least.push_back(0);
            all.most.push_back(b.limit);
        }
        m_best.uncut.assign(m_pieces.size(), 0);
        for (std::size_t i = 0; i < m_pieces.size(); ++i) m_best.uncut[i] = m_pieces[i].count;
        m_best.how = "nothing need be bought";
        std::vector<double> prices = m_start;
        keep(m_builder.build(prices, all.most, false));
        if (!complete(m_best)) {
            tryPlans(prices, all.most, kRounds, false);
            if (!complete(m_best)) { // what finds no stock is told; nothing is proven of it
                m_best.atLeast = 0;
                m_best.how.clear();
                return std::move(m_best);
            }
        }
        StripRelaxation relaxation(m_bins, m_pieces, m_budget);
        relaxation.add(m_best);
        Node root{all, 0};
        limitByCost(root.counts);
        const StripRelaxation::Answer a = relaxation.solve(root.counts, m_best.cost);
        root.atLeast = a.atLeast;
        raise(a.atLeast, "linear relaxation over all strips and boards");
        if (!done()) {
            prices = a.prices;
            tryPlans(prices, root.counts.most, kRounds, false);
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

    /// Builds plans within these counts until one is complete that is cheaper than the best, or `rounds` are through; true if there is one.
    bool tryPlans(std::vector<double>& prices, const std::vector<std::int64_t>& most, int rounds, bool sunk) {
        bool any = false;
        for (int round = 0; round < rounds && !m_budget.spent() && !done(); ++round) any = keep(m_builder.build(prices, most, sunk)) || any;
        return any;
    }

    /// A plan that is cheaper than the best buys no more of any stock than that.
    void limitByCost(StripRelaxation::Counts& c) const {
        for (std::size_t k = 0; k < m_bins.size(); ++k) {
            if (!m_bins[k].onHand && m_bins[k].cost > 0) c.most[k] = std::min(c.most[k], (m_best.cost - 1) / m_bins[k].cost);
        }
    }

    /// Branch and bound over how many of each stock are used, the part that may be cheapest first. A part whose counts are all whole and whose
    /// plan is not found stays open, and with it what is proven.
    void split(StripRelaxation& relaxation, Node root) {
        const auto later = [](const Node& a, const Node& b) { return a.atLeast > b.atLeast; };
        std::vector<Node> open; // a heap
        open.push_back(std::move(root));
        std::int64_t stuck = INT64_MAX;
        while (!open.empty() && !done() && !m_budget.spent()) {
            std::pop_heap(open.begin(), open.end(), later);
            Node node = std::move(open.back());
            open.pop_back();
            const std::int64_t least = std::min(node.atLeast, stuck);
            raise(least, "linear relaxation over strips and boards, split by how many of each stock are used");
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
            // Plans with the boards that it takes, rounded up.
            std::vector<std::int64_t> most(m_bins.size());
            std::size_t part = m_bins.size();
            double far = kWhole;
            for (std::size_t k = 0; k < m_bins.size(); ++k) {
                most[k] = std::min(node.counts.most[k], static_cast<std::int64_t>(std::ceil(a.used[k] - kWhole)));
                const double off = std::fabs(a.used[k] - std::round(a.used[k]));
                if (off > far && node.counts.least[k] < node.counts.most[k]) {
                    far = off;
                    part = k;
                }
            }
            std::vector<double> prices = a.prices;
            if (part < m_bins.size()) {
                tryPlans(prices, most, kRoundsOfNode, true);
                const auto below = static_cast<std::int64_t>(std::floor(a.used[part]));
                for (const bool up : {false, true}) {
                    Node child = node;
                    (up ? child.counts.least[part] : child.counts.most[part]) = up ? below + 1 : below;
                    push(open, std::move(child), later);
                }
                continue;
            }
            // Whole counts: these boards, and all others around them.
            for (std::size_t k = 0; k < m_bins.size(); ++k) most[k] = std::llround(a.used[k]);
            if (tryPlans(prices, most, kRoundsOfCounts, true) && m_best.cost <= node.atLeast) {
                open.push_back(std::move(node));
                std::push_heap(open.begin(), open.end(), later);
                continue;
            }
            Node here = node;
            for (std::size_t k = 0; k < m_bins.size(); ++k) {
                for (const bool up : {false, true}) {
                    Node child = here;
                    (up ? child.counts.least[k] : child.counts.most[k]) = most[k] + (up ? 1 : -1);
                    push(open, std::move(child), later);
                }
                here.counts.least[k] = here.counts.most[k] = most[k];
            }
            std::int64_t cost = 0;
            for (std::size_t k = 0; k < m_bins.size(); ++k) cost += m_bins[k].onHand ? 0 : most[k] * m_bins[k].cost;
            stuck = std::min(stuck, std::max(node.atLeast, cost));
        }
        std::int64_t least = std::min(stuck, m_best.cost);
        for (const Node& n : open) least = std::min(least, n.atLeast);
        raise(least, "linear relaxation over strips and boards, split by how many of each stock are used");
    }

    template <typename Later> static void push(std::vector<Node>& open, Node node, const Later& later) {
        for (std::size_t k = 0; k < node.counts.least.size(); ++k) {
            if (node.counts.least[k] > node.counts.most[k]) return; // nothing lies there
        }
        open.push_back(std::move(node));
        std::push_heap(open.begin(), open.end(), later);
    }

    const std::vector<StripBin>& m_bins;
    const std::vector<StripPiece>& m_pieces;
    Budget& m_budget;
    const std::function<void(const StripPlan&)>& m_better;
    StripBuilder m_builder;
    std::vector<double> m_start;
    StripPlan m_best;
};

} // namespace

StripPlan planStrips(const std::vector<StripBin>& bins, const std::vector<StripPiece>& pieces, Budget& budget,
                     const std::function<void(const StripPlan&)>& better) {
    return Planner(bins, pieces, budget, better).run();
}

} // namespace spanwright::shop
