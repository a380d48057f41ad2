// SPDX-License-Identifier: MIT
// The verifier of board plans; it shares no code with the planner.
#include <algorithm>

#include "engine/shop/board_plan.h"
#include "engine/shop/layout_fault.h"

namespace spanwright::shop {

namespace {

std::string faultOfStages(const BoardProblem& p, const CutLayout& l) {
    // Once a strip has been cut to length no rip may follow.
    std::vector<std::pair<std::int32_t, bool>> open{{0, false}};
    while (!open.empty()) {
        const auto [n, crossed] = open.back();
        open.pop_back();
        const CutPart& part = l.parts[static_cast<std::size_t>(n)];
        if (part.kind == CutPart::Kind::Pair) return "a board holds a pair of trapezoids";
        if (part.kind != CutPart::Kind::Cut) continue;
        if (crossed && !part.upright) return "a board is ripped after it was cut to length";
        if (part.upright && n != 0 && part.box.width <= 0) return "a strip has no length";
        for (const std::int32_t child : {part.first, part.second}) {
            if (child >= 0) open.emplace_back(child, crossed || part.upright);
        }
    }
    for (const PlacedPiece& piece : l.pieces) {
        const BoardProblem::Demand& d = p.demands[piece.demand];
        if (piece.turned || piece.box.width != d.length || piece.box.height != d.width) return "a piece has not the size that is wanted";
        const Box& b = piece.box;
        const std::vector<Spot> corners{{b.x, b.y}, {b.x + b.width, b.y}, {b.x + b.width, b.y + b.height}, {b.x, b.y + b.height}};
        if (piece.outline.size() != 4) return "an outline has not four corners";
        for (std::size_t k = 0; k < 4; ++k) {
            if (piece.outline[k].x != corners[k].x || piece.outline[k].y != corners[k].y) return "an outline is not its box";
        }
    }
    // By itself, whatever the tree says: a kerf between any two pieces of a strip, and between strips.
    for (std::size_t i = 0; i < l.pieces.size(); ++i) {
        for (std::size_t j = i + 1; j < l.pieces.size(); ++j) {
            const Box& a = l.pieces[i].box;
            const Box& b = l.pieces[j].box;
            const bool apartX = a.x + a.width + p.crossKerf <= b.x || b.x + b.width + p.crossKerf <= a.x;
            const bool apartY = a.y + a.height + p.ripKerf <= b.y || b.y + b.height + p.ripKerf <= a.y;
            if (!apartX && !apartY) return "two pieces overlap or leave no room for the kerf";
        }
    }
    return {};
}

} // namespace

std::string faultOf(const BoardProblem& problem, const BoardPlan& plan) {
    if (!plan.problem.empty()) return plan.layouts.empty() ? "" : "a plan though there is a problem";
    std::vector<std::int64_t> made(problem.demands.size(), 0);
    std::vector<std::int64_t> used(problem.stock.size(), 0);
    std::int64_t boards = 0;
    std::int64_t bought = 0;
    std::int64_t cost = 0;
    bool boughtBefore = false;
    for (const CutLayout& l : plan.layouts) {
        if (l.stock >= problem.stock.size()) return "a layout names a board that is not there";
        const CutStock& stock = problem.stock[l.stock];
        if (std::string f = faultOfTree(stock, l, problem.crossKerf, problem.ripKerf, problem.smallestOffcutLength, problem.smallestOffcutWidth); !f.empty())
            return f;
        if (l.pieces.empty()) return "a board is cut for nothing";
        if (!l.slants.empty()) return "a board has a slanted cut";
        for (const PlacedPiece& p : l.pieces) {
            if (p.demand >= made.size()) return "a placed piece is none of those wanted";
            made[p.demand] += l.times;
        }
        if (std::string f = faultOfStages(problem, l); !f.empty()) return f;
        boards += l.times;
        if (l.onHand) {
            if (boughtBefore) return "a board on hand stands behind a bought one";
            used[l.stock] += l.times;
            continue;
        }
        boughtBefore = true;
        if (!stock.bought) return "a board is bought that cannot be";
        bought += l.times;
        cost += l.times * stock.cost;
    }
    for (std::size_t i = 0; i < used.size(); ++i) {
        if (used[i] > problem.stock[i].onHand) return "more boards are taken from what is on hand than there are";
    }
    if (plan.uncut.size() != made.size()) return "it is not said of every piece whether it is cut";
    for (std::size_t i = 0; i < made.size(); ++i) {
        if (plan.uncut[i] < 0 || made[i] + plan.uncut[i] != problem.demands[i].count)
            return "piece " + std::to_string(i + 1) + " is cut " + std::to_string(made[i]) + " times, wanted " + std::to_string(problem.demands[i].count);
    }
    if (boards != plan.cut || bought != plan.bought || cost != plan.cost) return "boards or costs are not what the layouts add up to";
    if (plan.cost < plan.atLeast) return "it costs less than the bound says it must";
    if (plan.proven != (plan.complete() && plan.cost == plan.atLeast)) return "proven without proof";
    return {};
}

} // namespace spanwright::shop
