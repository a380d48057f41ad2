// SPDX-License-Identifier: MIT
// The verifier of panel plans. It shares no code with the planner: shapes are rebuilt from the problem by their edges.
#include <algorithm>
#include <array>

#include "engine/shop/layout_fault.h"
#include "engine/shop/panel_plan.h"
#include "engine/shop/wide.h"

namespace spanwright::shop {

namespace {

Wide cross(const Spot& o, const Spot& a, const Spot& b) { return static_cast<Wide>(a.x - o.x) * (b.y - o.y) - static_cast<Wide>(a.y - o.y) * (b.x - o.x); }

/// Steps from corner to corner of a piece that lies unturned, counter-clockwise.
std::vector<Spot> stepsOf(const PanelPiece& p) {
    const std::int64_t w = p.width;
    const std::int64_t h = p.height;
    const std::int64_t s = p.shortEdge;
    if (p.shape == PanelPiece::Shape::AlongWidth) return {{w, 0}, {p.shift + s - w, h}, {-s, 0}, {-p.shift, -h}};
    if (p.shape == PanelPiece::Shape::AlongHeight) return {{w, p.shift}, {0, s}, {-w, h - p.shift - s}, {0, -h}};
    return {{w, 0}, {0, h}, {-w, 0}, {0, -h}};
}

std::string faultOfOutline(const PanelPiece& d, const PlacedPiece& p) {
    if (p.outline.size() != 4) return "an outline has not four corners";
    std::int64_t left = p.outline[0].x, right = left, low = p.outline[0].y, high = low;
    for (const Spot& c : p.outline) {
        left = std::min(left, c.x);
        right = std::max(right, c.x);
        low = std::min(low, c.y);
        high = std::max(high, c.y);
    }
    if (p.box != Box{left, low, right - left, high - low}) return "an outline does not fill its box";
    if (p.turned && !d.mayTurn) return "a piece is turned across its grain";
    std::vector<Spot> steps = stepsOf(d);
    if (p.turned) {
        for (Spot& s : steps) s = {-s.y, s.x};
    }
    for (const int sign : {1, -1}) { // as it is or by half a turn, beginning at any corner
        for (std::size_t shift = 0; shift < 4; ++shift) {
            bool same = true;
            for (std::size_t k = 0; k < 4; ++k) {
                const Spot& a = p.outline[k];
                const Spot& b = p.outline[(k + 1) % 4];
                const Spot& want = steps[(k + shift) % 4];
                same = same && b.x - a.x == sign * want.x && b.y - a.y == sign * want.y;
            }
            if (same) return {};
        }
    }
    return "an outline is not the shape of its piece";
}

/// Whether the straight line along an edge of `a` keeps all of `b` at least `kerf` away on its other side.
bool partedByAnEdge(const std::vector<Spot>& a, const std::vector<Spot>& b, std::int64_t kerf) {
    for (std::size_t k = 0; k < a.size(); ++k) {
        const Spot& p = a[k];
        const Spot& q = a[(k + 1) % a.size()];
        const Wide dx = q.x - p.x;
        const Wide dy = q.y - p.y;
        bool parted = true;
        for (const Spot& c : b) {
            const Wide away = -cross(p, q, c); // outlines run counter-clockwise: outside is negative
            // away/|pq| >= kerf, without a root
            parted = parted && away >= 0 && away * away >= static_cast<Wide>(kerf) * kerf * (dx * dx + dy * dy);
        }
        if (parted) return true;
    }
    return false;
}

bool onEdge(const Box& b, const Spot& s) {
    const bool within = s.x >= b.x && s.x <= b.x + b.width && s.y >= b.y && s.y <= b.y + b.height;
    return within && (s.x == b.x || s.x == b.x + b.width || s.y == b.y || s.y == b.y + b.height);
}

/// A slanted cut may cut into no piece; rounding to whole units may move it by one unit.
bool cutsInto(const SlantedCut& cut, const std::vector<Spot>& outline) {
    const Wide dx = cut.to.x - cut.from.x;
    const Wide dy = cut.to.y - cut.from.y;
    bool left = false;
    bool right = false;
    for (const Spot& c : outline) {
        const Wide side = cross(cut.from, cut.to, c);
        if (side * side <= 2 * (dx * dx + dy * dy)) continue;
        (side > 0 ? left : right) = true;
    }
    return left && right;
}

std::string faultOfSlants(const PanelProblem& problem, const CutLayout& l) {
    std::size_t wanted = 0;
    for (const CutPart& part : l.parts) {
        if (part.kind != CutPart::Kind::Piece && part.kind != CutPart::Kind::Pair) continue;
        std::size_t legs = 0;
        for (const std::int32_t n : {part.piece, part.mate}) {
            if (n < 0) continue;
            const auto& o = l.pieces[static_cast<std::size_t>(n)].outline;
            for (std::size_t k = 0; k < 4; ++k) legs += o[k].x != o[(k + 1) % 4].x && o[k].y != o[(k + 1) % 4].y ? 1 : 0;
        }
        if (part.kind == CutPart::Kind::Pair) {
            const auto& a = l.pieces[static_cast<std::size_t>(part.piece)].outline;
            const auto& b = l.pieces[static_cast<std::size_t>(part.mate)].outline;
            if (!partedByAnEdge(a, b, problem.kerf) && !partedByAnEdge(b, a, problem.kerf)) return "two trapezoids of a pair are not parted by a cut";
            if (legs >= 2) --legs; // the joint is one cut for two legs
        }
        wanted += legs;
        std::size_t found = 0;
        for (const SlantedCut& s : l.slants) {
            if (!onEdge(part.box, s.from) || !onEdge(part.box, s.to)) continue;
            ++found;
            for (const std::int32_t n : {part.piece, part.mate}) {
                if (n >= 0 && cutsInto(s, l.pieces[static_cast<std::size_t>(n)].outline)) return "a slanted cut runs into a piece";
            }
        }
        if (found < legs) return "a slanted cut is missing";
    }
    if (l.slants.size() != wanted) return "there are more or fewer slanted cuts than slanted edges";
    return {};
}

/// By sweeping over pairs of outlines: nothing lies on anything else, whatever the tree says.
std::string faultOfOverlap(const PanelProblem& problem, const CutLayout& l) {
    std::vector<std::size_t> byX(l.pieces.size());
    for (std::size_t i = 0; i < byX.size(); ++i) byX[i] = i;
    std::sort(byX.begin(), byX.end(), [&](std::size_t a, std::size_t b) { return l.pieces[a].box.x < l.pieces[b].box.x; });
    for (std::size_t i = 0; i < byX.size(); ++i) {
        const Box& a = l.pieces[byX[i]].box;
        for (std::size_t j = i + 1; j < byX.size(); ++j) {
            const Box& b = l.pieces[byX[j]].box;
            if (b.x >= a.x + a.width + problem.kerf) break;
            if (b.y >= a.y + a.height + problem.kerf || a.y >= b.y + b.height + problem.kerf) continue;
            const auto& o = l.pieces[byX[i]].outline;
            const auto& q = l.pieces[byX[j]].outline;
            if (!partedByAnEdge(o, q, problem.kerf) && !partedByAnEdge(q, o, problem.kerf)) return "two pieces overlap or leave no room for the kerf";
        }
    }
    return {};
}

} // namespace

std::string faultOf(const PanelProblem& problem, const PanelPlan& plan) {
    if (!plan.problem.empty()) return plan.layouts.empty() ? "" : "a plan though there is a problem";
    std::vector<std::int64_t> made(problem.demands.size(), 0);
    std::vector<std::int64_t> used(problem.stock.size(), 0);
    std::int64_t panels = 0;
    std::int64_t bought = 0;
    std::int64_t cost = 0;
    bool boughtBefore = false;
    for (const CutLayout& l : plan.layouts) {
        if (l.stock >= problem.stock.size()) return "a layout names a panel that is not there";
        const CutStock& stock = problem.stock[l.stock];
        if (std::string f = faultOfTree(stock, l, problem.kerf, problem.kerf, problem.smallestOffcutWidth, problem.smallestOffcutHeight); !f.empty()) return f;
        if (l.pieces.empty()) return "a panel is cut for nothing";
        for (const PlacedPiece& p : l.pieces) {
            if (p.demand >= made.size()) return "a placed piece is none of those wanted";
            made[p.demand] += l.times;
            if (std::string f = faultOfOutline(problem.demands[p.demand], p); !f.empty()) return f;
        }
        if (std::string f = faultOfOverlap(problem, l); !f.empty()) return f;
        if (std::string f = faultOfSlants(problem, l); !f.empty()) return f;
        panels += l.times;
        if (l.onHand) {
            if (boughtBefore) return "a panel on hand stands behind a bought one";
            used[l.stock] += l.times;
            continue;
        }
        boughtBefore = true;
        if (!stock.bought) return "a panel is bought that cannot be";
        bought += l.times;
        cost += l.times * stock.cost;
    }
    for (std::size_t i = 0; i < used.size(); ++i) {
        if (used[i] > problem.stock[i].onHand) return "more panels are taken from what is on hand than there are";
    }
    if (plan.uncut.size() != made.size()) return "it is not said of every piece whether it is cut";
    for (std::size_t i = 0; i < made.size(); ++i) {
        if (plan.uncut[i] < 0 || made[i] + plan.uncut[i] != problem.demands[i].count)
            return "piece " + std::to_string(i + 1) + " is cut " + std::to_string(made[i]) + " times, wanted " + std::to_string(problem.demands[i].count);
    }
    if (panels != plan.cut || bought != plan.bought || cost != plan.cost) return "panels or costs are not what the layouts add up to";
    if (plan.cost < plan.atLeast) return "it costs less than the bound says it must";
    if (plan.proven != (plan.complete() && plan.cost == plan.atLeast)) return "proven without proof";
    return {};
}

} // namespace spanwright::shop
