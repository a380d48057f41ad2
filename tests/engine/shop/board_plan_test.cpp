// SPDX-License-Identifier: MIT
#include <doctest/doctest.h>

#include <functional>
#include <random>

#include "engine/shop/board_plan.h"

using namespace spanwright::shop;

namespace {

BoardProblem oneBoard(std::int64_t length, std::int64_t width, std::int64_t kerf, std::vector<BoardProblem::Demand> demands) {
    BoardProblem p;
    p.ripKerf = p.crossKerf = kerf;
    p.stock.push_back({.width = length, .height = width});
    p.demands = std::move(demands);
    return p;
}

} // namespace

TEST_CASE("a board's width divided by n never gives n strips of that width") {
    // Common practice, no source.
    for (std::int64_t n = 2; n <= 6; ++n) {
        const std::int64_t width = 2400;
        for (const std::int64_t kerf : {0, 32}) {
            const BoardProblem p = oneBoard(48000, width, kerf, {{48000, width / n, n}});
            const BoardPlan plan = planBoards(p);
            CHECK(faultOf(p, plan) == "");
            CHECK(plan.cut == (kerf == 0 ? 1 : 2));
            CHECK(plan.proven);
        }
        // With the kerfs between them taken off first they do.
        const BoardProblem p = oneBoard(48000, width, 32, {{48000, (width - (n - 1) * 32) / n, n}});
        CHECK(planBoards(p).cut == 1);
    }
}

TEST_CASE("a piece as wide as its board needs no rip") {
    const BoardProblem p = oneBoard(60000, 2200, 32, {{19978, 2200, 3}});
    const BoardPlan plan = planBoards(p);
    CHECK(faultOf(p, plan) == "");
    CHECK(plan.cut == 1);
    for (const CutPart& part : plan.layouts.at(0).parts) CHECK((part.kind != CutPart::Kind::Cut || part.upright));
}

TEST_CASE("random jobs: boards of one and of several sizes, on hand and bought") {
    std::mt19937 random(9);
    int proven = 0;
    int one = 0;
    for (int round = 0; round < 80; ++round) {
        BoardProblem p = oneBoard(48000, 2200, static_cast<std::int64_t>(random() % 2) * 32, {});
        p.stock[0].cost = 1900;
        p.stock[0].onHand = static_cast<std::int64_t>(random() % 3);
        p.smallestOffcutLength = 5000;
        p.smallestOffcutWidth = 400;
        const bool several = random() % 2 == 0;
        if (several) {
            p.stock.push_back({.width = 60000, .height = 2200, .trimX = 50, .trimY = 20, .cost = 2500});
            p.stock.push_back({.width = 30000, .height = 2000, .onHand = 1 + static_cast<std::int64_t>(random() % 2), .bought = false});
        }
        const std::int64_t widths[] = {450, 700, 950, 1200, 2200};
        for (int k = 0; k < 10; ++k) {
            p.demands.push_back({3000 + static_cast<std::int64_t>(random() % 44000), widths[random() % 5], static_cast<std::int64_t>(random() % 7)});
        }
        const BoardPlan plan = planBoards(p, effortOfSeconds(0.05));
        REQUIRE(plan.problem == "");
        REQUIRE(faultOf(p, plan) == "");
        CHECK(plan.complete());
        if (several) continue;
        ++one;
        proven += plan.proven ? 1 : 0;
    }
    CHECK(proven == one);
}

TEST_CASE("boards that cannot be planned are refused in words") {
    CHECK(planBoards(oneBoard(1000, 100, 3, {{1001, 50, 1}})).problem == "a piece is larger than every board");
    CHECK(planBoards(oneBoard(1000, 100, 3, {{100, 101, 1}})).problem == "a piece is larger than every board");
    CHECK(planBoards(oneBoard(1000, 100, 30, {{100, 20, 1}})).problem == "the kerf is wider than a piece");
    CHECK(planBoards(oneBoard(1000, 0, 3, {})).problem == "a board has no size");
    CHECK(planBoards(oneBoard(1000, 100, -3, {})).problem == "the kerf is negative");
    CHECK(planBoards(oneBoard(1000, 100, 3, {{0, 10, 1}})).problem == "a piece has no size");
    CHECK(planBoards(oneBoard(1000, 100, 3, {{10, 10, INT64_MAX}})).problem == "there are more pieces than can be planned");
    CHECK(planBoards({}).problem == "there is no board to cut from");
    const BoardPlan none = planBoards(oneBoard(1000, 100, 3, {}));
    CHECK(none.problem.empty());
    CHECK(none.cut == 0);
}

TEST_CASE("the verifier of boards finds faults") {
    BoardProblem p = oneBoard(48000, 2200, 32, {{20000, 700, 5}, {15000, 1000, 2}});
    p.stock[0].cost = 7;
    const BoardPlan plan = planBoards(p);
    REQUIRE(faultOf(p, plan) == "");
    const auto spoilt = [&](const std::function<void(BoardPlan&)>& spoil) {
        BoardPlan wrong = plan;
        spoil(wrong);
        return faultOf(p, wrong);
    };
    CHECK(spoilt([](BoardPlan& w) { w.layouts.pop_back(); }) != "");
    CHECK(spoilt([](BoardPlan& w) { w.layouts[0].times += 1; }) != "");
    CHECK(spoilt([](BoardPlan& w) { w.layouts[0].parts[0].at += 1; }) != "");
    CHECK(spoilt([](BoardPlan& w) { w.layouts[0].pieces[0].box.x += 1; }) != "");
    CHECK(spoilt([](BoardPlan& w) { w.layouts[0].pieces[0].demand ^= 1; }) != "");
    CHECK(spoilt([](BoardPlan& w) { w.layouts[0].onHand = true; }) != "");
    CHECK(spoilt([](BoardPlan& w) { w.atLeast = w.cost + 1; }) != "");
    CHECK(spoilt([](BoardPlan& w) { w.proven = !w.proven; }) != "");
    CHECK(spoilt([](BoardPlan& w) { w.cost -= 1; }) != "");
    CHECK(spoilt([](BoardPlan& w) { w.uncut[0] = 1; }) != "");
}
