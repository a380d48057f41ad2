// SPDX-License-Identifier: MIT
// Known problems (tests/reference/cutting/README.md names the sources): no bound above what is known, every plan through the
// verifier, and the small ones solved.
#include <doctest/doctest.h>

#include <random>
#include <string>

#include "engine/shop/panel_bound.h"
#include "engine/shop/panel_plan.h"
#include "engine/shop/panel_sets.h"
#include "tests/bench/cutting_sets.h"

using namespace spanwright::shop;

namespace {

const std::filesystem::path kFolder = std::filesystem::path(SPANWRIGHT_SOURCE_DIR) / "tests/reference/cutting";

PanelProblem panelsOf(const cutting::Rectangles& r, std::int64_t kerf, bool mayTurn) {
    PanelProblem p;
    p.kerf = kerf;
    p.stock.push_back({.width = r.width, .height = r.height});
    for (const auto& d : r.pieces) p.demands.push_back({.width = d.w, .height = d.h, .count = d.n, .mayTurn = mayTurn});
    return p;
}

} // namespace

TEST_CASE("panels of the published classes: bounds never above, plans seldom above what is known") {
    std::map<std::string, cutting::Rectangles> all;
    for (const auto* file : {"class01.txt", "class03.txt", "class05.txt", "class09.txt", "planted-slack.txt"}) {
        for (auto& r : cutting::readBlocks(kFolder / file)) all.emplace(r.name, r);
    }
    int solved = 0;
    int proven = 0;
    int known = 0;
    for (const auto& row : cutting::readTable(kFolder / "certified-panels.csv")) {
        const std::string& name = row[0];
        const bool mayTurn = row[1] == "1";
        const std::int64_t lower = std::stoll(row[3]);
        const std::int64_t upper = std::stoll(row[4]);
        const bool large = name.find("_080_") != std::string::npos || name.find("_100_") != std::string::npos || name.find("_m150") != std::string::npos ||
                           name.find("_s16_") != std::string::npos;
        if (large || !all.contains(name)) continue;
        CAPTURE(name);
        const PanelProblem p = panelsOf(all.at(name), std::stoll(row[2]), mayTurn);
        const PanelPlan plan = planPanels(p, effortOfSeconds(0.06));
        REQUIRE(plan.problem == "");
        REQUIRE(faultOf(p, plan) == "");
        CHECK(plan.atLeast <= upper);
        CHECK(plan.cut >= lower);
        CHECK(plan.cut <= upper + 1);
        ++known;
        solved += plan.cut <= upper ? 1 : 0;
        proven += plan.proven ? 1 : 0;
    }
    CHECK(known >= 30);
    CHECK(solved >= known * 3 / 4);
    CHECK(proven >= known / 2);
}

TEST_CASE("what fits by area alone need not fit edge to edge") {
    // Five rectangles around one another like the blades of a windmill fill a square of 5 by 5, but no straight cut from edge to
    // edge leaves them whole: two panels are needed, and the guillotine relaxation proves it.
    PanelProblem p;
    p.stock.push_back({.width = 5, .height = 5});
    p.demands = {{.width = 3, .height = 2, .count = 2}, {.width = 2, .height = 3, .count = 2}, {.width = 1, .height = 1, .count = 1}};
    const PanelPlan plan = planPanels(p);
    CHECK(faultOf(p, plan) == "");
    CHECK(plan.cut == 2);
}

TEST_CASE("the relaxation over sets never lies above a plan nor below the area") {
    std::mt19937 random(31);
    int raised = 0;
    for (int round = 0; round < 40; ++round) {
        PanelProblem p;
        p.stock.push_back({.width = 12, .height = 10});
        for (int k = 0; k < 5; ++k) {
            p.demands.push_back({.width = 3 + static_cast<std::int64_t>(random() % 7),
                                 .height = 3 + static_cast<std::int64_t>(random() % 6),
                                 .count = 1 + static_cast<std::int64_t>(random() % 2),
                                 .mayTurn = random() % 2 == 0});
        }
        const PanelCore core = coreOf(p);
        const PanelPlan plan = planPanels(p, effortOfSeconds(0.05));
        REQUIRE(faultOf(p, plan) == "");
        Budget budget(100'000'000, {});
        const std::int64_t bySets = askSets(core, plan.cut, budget).panels;
        CHECK(bySets <= plan.cut);
        CHECK(bySets >= areaBound(p, core).cost);
        raised += bySets > areaBound(p, core).cost ? 1 : 0;
    }
    CHECK(raised > 3);
}
