// SPDX-License-Identifier: MIT
#include <doctest/doctest.h>

#include <functional>
#include <random>

#include "engine/shop/panel_plan.h"

using namespace spanwright::shop;

namespace {

PanelProblem onePanel(std::int64_t width, std::int64_t height, std::int64_t kerf, std::vector<PanelPiece> pieces) {
    PanelProblem p;
    p.kerf = kerf;
    p.stock.push_back({.width = width, .height = height});
    p.demands = std::move(pieces);
    return p;
}

PanelPlan planned(const PanelProblem& p, double seconds = 0.05) {
    PanelPlan plan = planPanels(p, effortOfSeconds(seconds));
    CHECK(plan.problem == "");
    CHECK(faultOf(p, plan) == "");
    return plan;
}

PanelPiece web(std::int64_t length, std::int64_t high, std::int64_t low, std::int64_t count) {
    return {.width = length, .height = high, .count = count, .shape = PanelPiece::Shape::AlongHeight, .shortEdge = low};
}

} // namespace

TEST_CASE("webs of a panel: kerf arithmetic of the trade") {
    // Common practice, no source: four webs of 305 mm from 1220 mm without any kerf, three with any real one.
    for (const std::int64_t kerf : {0, 1, 32}) {
        const PanelPlan plan = planned(onePanel(24400, 12200, kerf, {{24400, 3050, 12}}));
        CHECK(plan.cut == (kerf == 0 ? 3 : 4));
        CHECK(plan.proven);
    }
}

TEST_CASE("trapezoids lie head to tail") {
    // Two webs of a ridge beam, 300 to 500 mm high, make a rectangle of 800 mm and a slanted kerf.
    const PanelPlan pair = planned(onePanel(12200, 8040, 32, {web(12200, 5000, 3000, 2)}));
    CHECK(pair.cut == 1);
    CHECK(pair.proven);
    REQUIRE(pair.layouts.size() == 1);
    CHECK(pair.layouts[0].slants.size() == 1);
    // The same without room for the kerf, which is a little wider along the slope: each alone.
    CHECK(planned(onePanel(12200, 8032, 32, {web(12200, 5000, 3000, 2)})).cut == 2);
    CHECK(planned(onePanel(12200, 8033, 32, {web(12200, 5000, 3000, 2)})).cut == 1);
    // An odd one lies alone; webs of other heights and the same slope pair with one another.
    const PanelPlan three = planned(onePanel(24400, 8040, 32, {web(12180, 5000, 3000, 3)}));
    CHECK(three.cut == 1);
    const PanelPlan mixed = planned(onePanel(12200, 10040, 32, {web(12200, 5000, 3000, 1), web(12200, 7000, 5000, 1)}));
    CHECK(mixed.cut == 1);
}

TEST_CASE("random jobs: every plan stands up to the verifier, and the same input gives the same plan") {
    std::mt19937 random(5);
    for (int round = 0; round < 150; ++round) {
        PanelProblem p;
        p.kerf = static_cast<std::int64_t>(random() % 3) * 16;
        p.stock.push_back({.width = 24400, .height = 12200, .cost = 100, .onHand = static_cast<std::int64_t>(random() % 2)});
        if (random() % 2 == 0) p.stock.push_back({.width = 30500, .height = 15250, .trimX = 50, .trimY = 30, .cost = 140});
        if (random() % 2 == 0) p.stock.push_back({.width = 9000, .height = 8000, .onHand = 2, .bought = false});
        p.smallestOffcutWidth = 3000;
        p.smallestOffcutHeight = 1500;
        const int kinds = 1 + static_cast<int>(random() % 8);
        for (int k = 0; k < kinds; ++k) {
            PanelPiece d{.width = 800 + static_cast<std::int64_t>(random() % 11000),
                         .height = 500 + static_cast<std::int64_t>(random() % 7000),
                         .count = 1 + static_cast<std::int64_t>(random() % 6),
                         .mayTurn = random() % 2 == 0};
            if (random() % 3 == 0) {
                d.shape = random() % 2 == 0 ? PanelPiece::Shape::AlongWidth : PanelPiece::Shape::AlongHeight;
                const std::int64_t edge = d.shape == PanelPiece::Shape::AlongWidth ? d.width : d.height;
                d.shortEdge = 1 + static_cast<std::int64_t>(random() % static_cast<std::uint64_t>(edge));
                d.shift = random() % 2 == 0 ? 0 : static_cast<std::int64_t>(random() % static_cast<std::uint64_t>(edge - d.shortEdge + 1));
            }
            p.demands.push_back(d);
        }
        const PanelPlan a = planPanels(p, effortOfSeconds(0.004));
        REQUIRE(a.problem == "");
        REQUIRE(faultOf(p, a) == "");
        CHECK(a.complete());
        if (round % 10 != 0) continue;
        const PanelPlan b = planPanels(p, effortOfSeconds(0.004));
        REQUIRE(a.layouts.size() == b.layouts.size());
        CHECK(a.cost == b.cost);
        for (std::size_t i = 0; i < a.layouts.size(); ++i) {
            REQUIRE(a.layouts[i].pieces.size() == b.layouts[i].pieces.size());
            for (std::size_t k = 0; k < a.layouts[i].pieces.size(); ++k) CHECK(a.layouts[i].pieces[k].box == b.layouts[i].pieces[k].box);
        }
    }
}

TEST_CASE("what cannot be planned is refused in words") {
    const auto problemOf = [](const PanelProblem& p) { return planPanels(p, effortOfSeconds(0.01)).problem; };
    CHECK(problemOf(onePanel(1000, 500, 3, {{1001, 10, 1}})) == "a piece is larger than every panel");
    CHECK(problemOf(onePanel(1000, 500, 3, {{500, 1000, 1}})) == "a piece is larger than every panel");
    CHECK(problemOf(onePanel(1000, 500, 3, {{500, 1000, 1, true}})) == "");
    CHECK(problemOf(onePanel(0, 500, 3, {})) == "a panel has no size");
    CHECK(problemOf(onePanel(1000, 500, -1, {})) == "the kerf is negative");
    CHECK(problemOf(onePanel(1000, 500, 30, {{100, 20, 1}})) == "the kerf is wider than a piece");
    CHECK(problemOf(onePanel(1000, 500, 3, {{0, 20, 1}})) == "a piece has no size");
    CHECK(problemOf(onePanel(1000, 500, 3, {{100, -20, 1}})) == "a piece has no size");
    CHECK(problemOf(onePanel(1000, 500, 3, {{100, 20, -1}})) == "a count is negative");
    CHECK(problemOf(onePanel(1000, 500, 3, {{100, 20, 1'000'000'000'000}})) == "there are more pieces than can be planned");
    CHECK(problemOf(onePanel(INT64_MAX, 500, 3, {{100, 20, 1}})) == "a panel is larger than can be planned");
    CHECK(problemOf({}) == "there is no panel to cut from");
    const PanelPlan none = planPanels(onePanel(1000, 500, 3, {}));
    CHECK(none.problem.empty());
    CHECK(none.cut == 0);
    CHECK(none.proven);
}

TEST_CASE("panels on hand come first, and what finds no panel is said") {
    PanelProblem p = onePanel(1000, 1000, 0, {{1000, 500, 5}});
    p.stock[0].onHand = 2;
    const PanelPlan plan = planned(p);
    CHECK(plan.cut == 3);
    CHECK(plan.bought == 1);
    CHECK(plan.proven);
    p.stock[0].bought = false;
    const PanelPlan less = planned(p);
    CHECK(less.cut == 2);
    CHECK(less.bought == 0);
    CHECK(less.uncut[0] == 1);
    CHECK_FALSE(less.complete());
    CHECK_FALSE(less.proven);
}

TEST_CASE("cancelling gives the best plan so far") {
    PanelProblem p = onePanel(24400, 12200, 32, {});
    std::mt19937 random(3);
    for (int i = 0; i < 40; ++i) p.demands.push_back({2000 + static_cast<std::int64_t>(random() % 9000), 1000 + static_cast<std::int64_t>(random() % 6000), 1});
    Effort effort = effortOfSeconds(3600);
    int asked = 0;
    effort.cancelled = [&] { return ++asked > 3; };
    int better = 0;
    const PanelPlan plan = planPanels(p, effort, [&](const PanelPlan& b) {
        ++better;
        CHECK(faultOf(p, b) == "");
    });
    CHECK(better > 0);
    CHECK(faultOf(p, plan) == "");
    CHECK(plan.complete());
}

TEST_CASE("ten thousand pieces take bounded time and memory") {
    PanelProblem p = onePanel(24400, 12200, 32, {});
    std::mt19937 random(3);
    for (int i = 0; i < 50; ++i)
        p.demands.push_back({2000 + static_cast<std::int64_t>(random() % 9000), 1000 + static_cast<std::int64_t>(random() % 6000), 200, i % 2 == 0});
    const PanelPlan plan = planPanels(p, effortOfSeconds(0.2));
    CHECK(faultOf(p, plan) == "");
    CHECK(plan.complete());
}

TEST_CASE("the verifier of panels finds faults") {
    PanelProblem p = onePanel(24400, 12200, 32, {{9000, 4000, 4}, {7000, 5000, 3, true}, web(12180, 5000, 3000, 3)});
    p.stock[0].cost = 7;
    p.smallestOffcutWidth = 2000;
    p.smallestOffcutHeight = 1000;
    const PanelPlan plan = planned(p);
    const auto spoilt = [&](const std::function<void(PanelPlan&)>& spoil) {
        PanelPlan wrong = plan;
        spoil(wrong);
        return faultOf(p, wrong);
    };
    const auto all = [](PanelPlan& w, const std::function<void(CutLayout&)>& spoil) {
        for (CutLayout& l : w.layouts) spoil(l);
    };
    CHECK(spoilt([](PanelPlan& w) { w.layouts.pop_back(); }) != "");
    CHECK(spoilt([](PanelPlan& w) { w.layouts[0].times += 1; }) != "");
    CHECK(spoilt([](PanelPlan& w) { w.layouts[0].parts[0].at += 1; }) != "");
    CHECK(spoilt([](PanelPlan& w) { w.layouts[0].parts[0].box.width += 1; }) != "");
    CHECK(spoilt([](PanelPlan& w) { w.layouts[0].onHand = true; }) != "");
    CHECK(spoilt([](PanelPlan& w) { w.atLeast = w.cost + 1; }) != "");
    CHECK(spoilt([](PanelPlan& w) { w.proven = !w.proven; }) != "");
    CHECK(spoilt([](PanelPlan& w) { w.cost -= 1; }) != "");
    CHECK(spoilt([](PanelPlan& w) { w.uncut[0] = 1; }) != "");
    CHECK(spoilt([&](PanelPlan& w) { all(w, [](CutLayout& l) { l.pieces.pop_back(); }); }) != "");
    // Moved by less than a kerf, moved wholly, called turned, shaped otherwise.
    CHECK(spoilt([&](PanelPlan& w) { all(w, [](CutLayout& l) { l.pieces[0].box.x += 1; }); }) != "");
    CHECK(spoilt([&](PanelPlan& w) {
              all(w, [](CutLayout& l) {
                  l.pieces[0].box.x += 10;
                  for (Spot& c : l.pieces[0].outline) c.x += 10;
              });
          }) != "");
    CHECK(spoilt([&](PanelPlan& w) { all(w, [](CutLayout& l) { l.pieces[0].outline[2].x -= 1; }); }) != "");
    CHECK(spoilt([&](PanelPlan& w) { all(w, [](CutLayout& l) { l.slants.clear(); }); }) != "");
    CHECK(spoilt([&](PanelPlan& w) { all(w, [](CutLayout& l) { l.offcuts.push_back({0, 0, 5000, 5000}); }); }) != "");
    // A kerf that grows after the plan was made leaves no room.
    PanelProblem wider = p;
    wider.kerf = 33;
    CHECK(faultOf(wider, plan) != "");
    PanelProblem locked = p;
    locked.demands[1].width = 5000;
    locked.demands[1].height = 7000;
    locked.demands[1].mayTurn = false;
    CHECK(faultOf(locked, plan) != "");
}
