// SPDX-License-Identifier: MIT
#include "engine/shop/panel_limited.h"

#include <doctest/doctest.h>

#include <functional>
#include <map>
#include <random>

#include "engine/shop/panel_dive.h"

using namespace spanwright::shop;

namespace {

/// The most that pieces can be worth that are sawn edge to edge out of one panel, no more of a kind than there are: every set of
/// pieces is tried, parted in two in every way.
class BySets {
public:
    BySets(const std::vector<Rectangle>& pieces, std::int64_t width, std::int64_t height) : m_width(width), m_height(height) {
        for (std::size_t k = 0; k < pieces.size(); ++k) {
            for (std::int64_t n = 0; n < pieces[k].count; ++n) m_all.push_back({pieces[k], k});
        }
    }
    [[nodiscard]] std::int32_t most(const std::vector<std::int32_t>& worth) {
        std::int32_t best = 0;
        for (std::uint32_t set = 1; set < 1U << m_all.size(); ++set) {
            if (shapes(set).empty()) continue;
            std::int32_t sum = 0;
            for (std::size_t i = 0; i < m_all.size(); ++i) sum += (set >> i & 1) != 0 ? worth[m_all[i].second] : 0;
            best = std::max(best, sum);
        }
        return best;
    }
    /// Whether these pieces can be sawn out of one panel.
    [[nodiscard]] bool fit(std::uint32_t set) { return !shapes(set).empty(); }

private:
    using Shape = std::pair<std::int64_t, std::int64_t>;
    const std::vector<Shape>& shapes(std::uint32_t set) {
        const auto known = m_shapes.find(set);
        if (known != m_shapes.end()) return known->second;
        std::vector<Shape> out;
        const auto add = [&](std::int64_t w, std::int64_t h) {
            if (w <= m_width && h <= m_height) out.emplace_back(w, h);
        };
        if ((set & (set - 1)) == 0) {
            std::size_t i = 0;
            while ((set >> i & 1) == 0) ++i;
            add(m_all[i].first.width, m_all[i].first.height);
            if (m_all[i].first.mayTurn) add(m_all[i].first.height, m_all[i].first.width);
        } else {
            for (std::uint32_t a = (set - 1) & set; a > 0; a = (a - 1) & set) {
                for (const Shape& p : shapes(a)) {
                    for (const Shape& q : shapes(set ^ a)) {
                        add(p.first + q.first, std::max(p.second, q.second));
                        add(std::max(p.first, q.first), p.second + q.second);
                    }
                }
            }
            std::sort(out.begin(), out.end());
            out.erase(std::unique(out.begin(), out.end()), out.end());
        }
        return m_shapes[set] = std::move(out);
    }

    std::int64_t m_width, m_height;
    std::vector<std::pair<Rectangle, std::size_t>> m_all;
    std::map<std::uint32_t, std::vector<Shape>> m_shapes;
};

std::vector<Taken> ownRows(std::size_t kinds) {
    std::vector<Taken> out;
    for (std::size_t k = 0; k < kinds; ++k) out.push_back({k, SIZE_MAX});
    return out;
}

} // namespace

TEST_CASE("the dearest panel within the counts equals the one found by trying every set, to the last unit") {
    std::mt19937 random(3);
    const auto upTo = [&](std::int64_t n) { return 1 + static_cast<std::int64_t>(random() % static_cast<std::uint64_t>(n)); };
    int overrun = 0;
    int coarse = 0;
    for (int round = 0; round < 150; ++round) {
        const std::int64_t width = 20 + upTo(30);
        const std::int64_t height = 20 + upTo(30);
        std::vector<Rectangle> pieces;
        std::vector<std::int32_t> worth;
        std::vector<std::int64_t> limits;
        std::int64_t left = 8;
        while (left > 0) {
            const std::int64_t count = std::min(left, upTo(3));
            left -= count;
            pieces.push_back({3 + upTo(width / 2), 3 + upTo(height / 2), count, random() % 2 == 0});
            worth.push_back(static_cast<std::int32_t>(pieces.back().width * pieces.back().height * 10 + upTo(100)));
            limits.push_back(count);
        }
        const std::int32_t right = BySets(pieces, width, height).most(worth);
        GuillotineTable table(pieces, width, height, 1'000'000'000, GuillotineTable::Sort::Bound);
        REQUIRE(table.exact());
        overrun += table.price(worth) > right ? 1 : 0;
        Budget budget(1'000'000'000, {});
        GuillotineLimits limited(table, ownRows(pieces.size()), limits);
        // Not more than `right`, but not less by one either; and patterns that are welcome keep to the counts.
        CHECK(limited.ask({right, right, 1'000'000, 5}, budget).none);
        const LimitedAnswer one = GuillotineLimits(table, ownRows(pieces.size()), limits).ask({right - 1, right - 1, 1'000'000, 5}, budget);
        CHECK_FALSE(one.none);
        REQUIRE_FALSE(one.patterns.empty());
        for (const std::int32_t enough : {right - 1, right / 2}) {
            for (const SawnPattern& p : limited.ask({right - 1, enough, 1'000'000, 5}, budget).patterns) {
                std::int32_t sum = 0;
                for (std::size_t k = 0; k < pieces.size(); ++k) {
                    CHECK(p.counts[k] <= limits[k]);
                    sum += p.counts[k] * worth[k];
                }
                CHECK(sum > enough);
                CHECK(sum <= right);
            }
        }
        // In a grid too coarse to be exact it still is a bound.
        GuillotineTable grid(pieces, width, height, 300, GuillotineTable::Sort::Bound);
        coarse += grid.exact() ? 0 : 1;
        std::vector<std::int32_t> covered = worth;
        for (std::size_t k = 0; k < pieces.size(); ++k) covered[k] = grid.covers(k) ? worth[k] : 0;
        const std::int32_t rightOfGrid = BySets(pieces, width, height).most(covered);
        CHECK(grid.price(covered) >= rightOfGrid);
        if (rightOfGrid > 0)
            CHECK_FALSE(GuillotineLimits(grid, ownRows(pieces.size()), limits).ask({rightOfGrid - 1, rightOfGrid - 1, 1'000'000, 5}, budget).none);
        // Without memory nothing is proven.
        CHECK_FALSE(GuillotineLimits(table, ownRows(pieces.size()), limits).ask({right - 1, right - 1, 1, 5}, budget).none);
    }
    CHECK(overrun >= 50);
    CHECK(coarse >= 50);
}

TEST_CASE("a pair takes of both its rows") {
    // Three kinds: two of rows of their own and their pair; one of each row is there, so a panel holds the pair or both, not all three.
    const std::vector<Rectangle> pieces{{10, 10, 1, false}, {10, 10, 1, false}, {15, 10, 1, false}};
    const std::vector<Taken> takes{{0, SIZE_MAX}, {1, SIZE_MAX}, {0, 1}};
    GuillotineTable table(pieces, 40, 10, 1'000'000, GuillotineTable::Sort::Bound);
    CHECK(table.price({10, 10, 20}) == 40);
    Budget budget(1'000'000'000, {});
    GuillotineLimits limited(table, takes, {1, 1});
    CHECK(limited.ask({20, 20, 1000, 5}, budget).none);
    CHECK_FALSE(GuillotineLimits(table, takes, {1, 1}).ask({19, 19, 1000, 5}, budget).none);
    // A pair of two of the same row.
    const std::vector<Taken> same{{0, SIZE_MAX}, {1, SIZE_MAX}, {0, 0}};
    CHECK(GuillotineLimits(table, same, {1, 1}).ask({20, 20, 1000, 5}, budget).none);
    CHECK_FALSE(GuillotineLimits(table, same, {2, 1}).ask({29, 29, 1000, 5}, budget).none);
    CHECK(GuillotineLimits(table, same, {2, 1}).ask({30, 30, 1000, 5}, budget).none);
}

TEST_CASE("counts prove a panel more where patterns without them do not") {
    // Two pieces that each halve a panel, one upright, one lying: a pair of either fills a panel, but there is one of each.
    PanelProblem p;
    p.stock.push_back({.width = 100, .height = 100});
    p.demands = {{50, 100, 1}, {100, 50, 1}};
    const PanelCore core = coreOf(p);
    Budget budget(100'000'000, {});
    GuillotineRelaxation unlimited(p, core, GuillotineRelaxation::Sort::Bound, 1'000'000);
    unlimited.raise(2, budget);
    CHECK(unlimited.cost() == 1);
    LimitedRelaxation limited(core, kindsOfBlocks(core), 1'000'000);
    CHECK(limited.ask(1, budget) == LimitedRelaxation::Answer::Proven);
    CHECK(limited.ask(2, budget) == LimitedRelaxation::Answer::OutOfReach);
    const LimitedRelaxation::Plan plan = limited.plan(2, 0, budget);
    REQUIRE(plan.whole);
    CHECK(packingOf(core, itemsOf(core), plan.panels, 2).out.empty());
}

TEST_CASE("what is proven is so and what is planned holds all, against the least cost by trying every parting of the pieces") {
    std::mt19937 random(12);
    const auto upTo = [&](std::int64_t n) { return 1 + static_cast<std::int64_t>(random() % static_cast<std::uint64_t>(n)); };
    int proven = 0;
    int planned = 0;
    constexpr int kRounds = 60;
    for (int round = 0; round < kRounds; ++round) {
        PanelProblem p;
        p.stock.push_back({.width = 40, .height = 30, .cost = 10});
        if (round % 2 == 0) p.stock.push_back({.width = 50, .height = 35, .cost = 13 + upTo(4)});
        if (round % 3 == 0) p.stock.push_back({.width = 30, .height = 20, .onHand = 1, .bought = false});
        std::vector<Rectangle> pieces;
        std::int64_t left = 8;
        while (left > 0) {
            const std::int64_t count = std::min(left, upTo(2));
            left -= count;
            pieces.push_back({8 + upTo(22), 6 + upTo(18), count, random() % 2 == 0});
            p.demands.push_back({.width = pieces.back().width, .height = pieces.back().height, .count = count, .mayTurn = pieces.back().mayTurn});
        }
        const PanelCore core = coreOf(p);
        std::vector<BySets> fits;
        for (const Bin& b : core.bins) fits.emplace_back(pieces, b.width, b.height);
        // By the set that is left and the panels on hand that are.
        std::map<std::pair<std::uint32_t, std::int64_t>, std::int64_t> least;
        const std::function<std::int64_t(std::uint32_t, std::int64_t)> costOfSet = [&](std::uint32_t set, std::int64_t onHand) -> std::int64_t {
            if (set == 0) return 0;
            const auto known = least.find({set, onHand});
            if (known != least.end()) return known->second;
            std::int64_t best = 1'000'000;
            const std::uint32_t first = set & (~set + 1);
            for (std::uint32_t part = set; part > 0; part = (part - 1) & set) {
                for (std::size_t b = 0; b < core.bins.size(); ++b) {
                    const std::int64_t used = core.bins[b].onHand ? 1 : 0;
                    // What lies on hand may hold any part, what is bought the first piece that is left.
                    if (used > onHand || (used == 0 && (part & first) == 0) || !fits[b].fit(part)) continue;
                    best = std::min(best, core.bins[b].cost + costOfSet(set & ~part, onHand - used));
                }
            }
            return least[{set, onHand}] = best;
        };
        const std::int64_t right = costOfSet(255, round % 3 == 0 ? 1 : 0);
        Budget budget(300'000'000, {});
        LimitedRelaxation limited(core, kindsOfBlocks(core), 1'000'000);
        for (std::int64_t cost = right - 1; cost < right + 12; cost += 4) {
            const LimitedRelaxation::Answer answer = limited.ask(cost, budget);
            if (cost < right && answer == LimitedRelaxation::Answer::Proven) ++proven;
            if (cost >= right) CHECK(answer != LimitedRelaxation::Answer::Proven);
            const LimitedRelaxation::Plan plan = limited.plan(cost, 1, budget);
            if (cost < right) CHECK_FALSE(plan.whole);
            const Packing packing = packingOf(core, itemsOf(core), plan.panels, cost);
            CHECK(costOf(core, packing) <= cost);
            if (plan.whole) CHECK(packing.out.empty());
        }
        planned += limited.plan(right, 2, budget).whole ? 1 : 0;
    }
    MESSAGE(proven, " proven and ", planned, " planned of ", kRounds);
    CHECK(proven >= 12);
    CHECK(planned >= 50);
}
