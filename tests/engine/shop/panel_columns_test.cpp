// SPDX-License-Identifier: MIT
#include "engine/shop/panel_columns.h"

#include <doctest/doctest.h>

#include <random>

#include "engine/shop/panel_dive.h"
#include "engine/shop/panel_sets.h"

using namespace spanwright::shop;

TEST_CASE("the least cost of panels that are worth so much equals the one by trying all") {
    std::mt19937 random(6);
    for (int round = 0; round < 300; ++round) {
        std::vector<PanelWorth> panels;
        const int kinds = 1 + static_cast<int>(random() % 3);
        for (int k = 0; k < kinds; ++k) panels.push_back({1 + static_cast<std::int64_t>(random() % 40), static_cast<std::int64_t>(random() % 30)});
        const std::int64_t need = static_cast<std::int64_t>(random() % 120);
        // least[n]: for n still wanted.
        std::vector<std::int64_t> least(static_cast<std::size_t>(need) + 1, 0);
        bool can = need == 0;
        for (const PanelWorth& p : panels) can = can || p.worth > 0;
        for (std::int64_t n = 1; n <= need; ++n) {
            std::int64_t best = INT64_MAX;
            for (const PanelWorth& p : panels) {
                if (p.worth > 0) best = std::min(best, p.cost + least[static_cast<std::size_t>(std::max<std::int64_t>(0, n - p.worth))]);
            }
            least[static_cast<std::size_t>(n)] = best;
        }
        CHECK(costOfWorth(panels, need) == (can ? least.back() : 0));
    }
}

namespace {

PanelProblem randomJob(std::mt19937& random, bool trapezoids) {
    PanelProblem p;
    p.kerf = 32;
    p.stock.push_back({.width = 25000, .height = 12500, .cost = 100, .onHand = static_cast<std::int64_t>(random() % 3)});
    p.stock.push_back({.width = 30000, .height = 15000, .cost = 130 + static_cast<std::int64_t>(random() % 30)});
    const int kinds = 3 + static_cast<int>(random() % 6);
    for (int k = 0; k < kinds; ++k) {
        PanelPiece d{.width = 1500 + 10 * static_cast<std::int64_t>(random() % 900),
                     .height = 1000 + 10 * static_cast<std::int64_t>(random() % 500),
                     .count = 2 + static_cast<std::int64_t>(random() % 20),
                     .mayTurn = random() % 2 == 0};
        if (trapezoids && k < 2) {
            d.mayTurn = false;
            d.shape = PanelPiece::Shape::AlongHeight;
            d.shortEdge = d.height * 2 / 3;
            p.demands.push_back(d);
            // A second one with the same slope.
            d.height += 500;
            d.shortEdge += 500;
        }
        p.demands.push_back(d);
    }
    return p;
}

} // namespace

TEST_CASE("bounds for several sizes of panels lie between the area and the plan, and prove most plans") {
    std::mt19937 random(21);
    for (const bool trapezoids : {false, true}) {
        int proven = 0;
        int raised = 0;
        for (int round = 0; round < 12; ++round) {
            const PanelProblem p = randomJob(random, trapezoids);
            const PanelPlan plan = planPanels(p, effortOfSeconds(0.3));
            REQUIRE(plan.problem == "");
            REQUIRE(faultOf(p, plan) == "");
            const std::int64_t area = areaBound(p, coreOf(p)).cost;
            CHECK(plan.atLeast >= area);
            CHECK(plan.atLeast <= plan.cost);
            proven += plan.proven ? 1 : 0;
            raised += plan.atLeast > area ? 1 : 0;
        }
        MESSAGE(proven, " proven, ", raised, " raised above the area");
        CHECK(proven >= 4);
        CHECK(raised >= 1);
    }
}

TEST_CASE("patterns of the relaxation are rounded to plans of repeated pieces that the search alone does not find") {
    // 300 pieces of 8 sizes: as many panels as the relaxation proves to be needed.
    std::mt19937 random(31);
    int proven = 0;
    for (int round = 0; round < 5; ++round) {
        PanelProblem p;
        p.kerf = 32;
        p.stock.push_back({.width = 24400, .height = 12200});
        for (int k = 0; k < 8; ++k) {
            p.demands.push_back({.width = 1500 + 10 * static_cast<std::int64_t>(random() % 900),
                                 .height = 1000 + 10 * static_cast<std::int64_t>(random() % 500),
                                 .count = 20 + static_cast<std::int64_t>(random() % 30),
                                 .mayTurn = k % 2 == 0});
        }
        const PanelPlan plan = planPanels(p, effortOfSeconds(2.0));
        REQUIRE(faultOf(p, plan) == "");
        CHECK(plan.cost <= plan.atLeast + 1);
        proven += plan.proven ? 1 : 0;
    }
    CHECK(proven >= 4);
}

TEST_CASE("a dive gives each piece one place and spends no more than it may") {
    std::mt19937 random(41);
    const PanelProblem p = randomJob(random, false);
    const PanelCore core = coreOf(p);
    const std::vector<Item> items = itemsOf(core);
    Budget budget(100'000'000, {});
    GuillotineRelaxation patterns(p, core, GuillotineRelaxation::Sort::Patterns, 1'000'000);
    for (const std::int64_t cost : {0, 250, 1000}) {
        const Packing packing = diveForPanels(core, items, patterns, cost, 3, budget);
        CHECK(costOf(core, packing) <= cost);
        std::vector<int> seen(items.size(), 0);
        for (const std::int32_t id : packing.out) ++seen[static_cast<std::size_t>(id)];
        for (const Slicing& s : packing.slicings) {
            for (const Slicing::Node& n : s.nodes()) {
                if (n.kind == Slicing::Kind::Item) ++seen[static_cast<std::size_t>(n.item)];
            }
        }
        for (const int n : seen) CHECK(n == 1);
    }
}

TEST_CASE("few pieces: all sets that fit are listed, which finds what the search does not") {
    // Fifteen pieces that fill 93 % of one panel.
    PanelProblem p;
    p.kerf = 32;
    p.stock.push_back({.width = 25000, .height = 12500});
    p.demands = {{5600, 5600, 2}, {3490, 4260, 3, true}, {7770, 1870, 3}, {9720, 2400, 3}, {4780, 2300, 1, true}, {2760, 5150, 2}, {9410, 2840, 1, true}};
    const PanelCore core = coreOf(p);
    Budget budget(100'000'000, {});
    const SetsAnswer answer = askSets(core, 2, budget);
    CHECK(answer.panels == 1);
    REQUIRE(answer.plan.size() == 1);
    CHECK(packingOf(core, itemsOf(core), answer.plan).out.empty());
    const PanelPlan plan = planPanels(p, effortOfSeconds(2.0));
    CHECK(faultOf(p, plan) == "");
    CHECK(plan.cost == 1);
    CHECK(plan.proven);
}

TEST_CASE("cancelling is heard while the relaxation is worked out") {
    std::mt19937 random(17);
    PanelProblem p;
    p.kerf = 32;
    p.stock.push_back({.width = 24400, .height = 12200});
    for (int k = 0; k < 16; ++k) {
        p.demands.push_back({.width = 1500 + 10 * static_cast<std::int64_t>(random() % 900),
                             .height = 1000 + 10 * static_cast<std::int64_t>(random() % 500),
                             .count = 25,
                             .mayTurn = true});
    }
    Effort effort = effortOfSeconds(3600);
    std::uint64_t asked = 0;
    effort.cancelled = [&] { return ++asked > 200; };
    const PanelPlan plan = planPanels(p, effort);
    CHECK(faultOf(p, plan) == "");
    CHECK(plan.complete());
    CHECK_FALSE(plan.proven);
    CHECK(asked > 200);
    // Asked every 100,000 steps or so, and a pricing is up to 20 million of them.
    CHECK(plan.work < 20'000'000'000);
}
