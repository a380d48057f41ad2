// SPDX-License-Identifier: MIT
#include "engine/shop/panel_core.h"

#include <algorithm>
#include <cmath>

#include "engine/shop/wide.h"

namespace spanwright::shop {

namespace {

constexpr std::int64_t kLongest = 100'000'000; ///< 10 km at 0.1 mm: products of two sizes and a count still fit
constexpr std::int64_t kMostPieces = 100'000;
constexpr std::int64_t kDearest = 1'000'000'000'000;

struct Trapezoid {
    std::int64_t longEdge, shortEdge, height, shift;
};

Trapezoid trapezoidOf(const PanelPiece& p) {
    if (p.shape == PanelPiece::Shape::AlongHeight) return {p.height, p.shortEdge, p.width, p.shift};
    return {p.width, p.shortEdge, p.height, p.shift};
}

/// The kerf as it shows along the parallel edges where the leg runs aside by `run` over `height`, rounded up.
std::int64_t gapOf(std::int64_t kerf, std::int64_t run, std::int64_t height) {
    if (kerf == 0) return 0;
    // The smallest g with (g*height)^2 >= kerf^2*(height^2 + run^2).
    const double slope = static_cast<double>(run) / static_cast<double>(height);
    auto g = static_cast<std::int64_t>(std::floor(static_cast<double>(kerf) * std::sqrt(1.0 + slope * slope))) - 1;
    g = std::max(g, kerf);
    const auto wide = [](std::int64_t v) { return static_cast<Wide>(v); };
    while (wide(g) * wide(g) * wide(height) * wide(height) < wide(kerf) * wide(kerf) * (wide(height) * wide(height) + wide(run) * wide(run))) ++g;
    return g;
}

} // namespace

std::string refusalOf(const PanelProblem& p) {
    if (p.kerf < 0) return "the kerf is negative";
    if (p.stock.empty()) return "there is no panel to cut from";
    for (const CutStock& s : p.stock) {
        if (s.width <= 0 || s.height <= 0) return "a panel has no size";
        if (s.width > kLongest || s.height > kLongest) return "a panel is larger than can be planned";
        if (s.trimX < 0 || s.trimY < 0) return "a trim is negative";
        if (2 * s.trimX >= s.width || 2 * s.trimY >= s.height) return "the trims leave nothing of a panel";
        if (s.cost < 0) return "a panel has a negative cost";
        if (s.cost > kDearest) return "a panel costs more than can be planned";
        if (s.onHand < 0) return "the number of panels on hand is negative";
    }
    std::int64_t pieces = 0;
    for (const PanelPiece& d : p.demands) {
        if (d.count < 0) return "a count is negative";
        if (d.width <= 0 || d.height <= 0) return "a piece has no size";
        if (d.count == 0) continue;
        if (p.kerf > std::min(d.width, d.height)) return "the kerf is wider than a piece";
        if (d.count > kMostPieces || (pieces += d.count) > kMostPieces) return "there are more pieces than can be planned";
        if (d.shape != PanelPiece::Shape::Rectangle) {
            const Trapezoid t = trapezoidOf(d);
            if (t.shortEdge <= 0 || t.shortEdge > t.longEdge) return "a trapezoid's short edge is not between nothing and its long edge";
            if (t.shift < 0 || t.shift > t.longEdge - t.shortEdge) return "a trapezoid's short edge does not lie over its long edge";
        }
        bool fits = false;
        for (const CutStock& s : p.stock) {
            const std::int64_t w = s.width - 2 * s.trimX;
            const std::int64_t h = s.height - 2 * s.trimY;
            fits = fits || (d.width <= w && d.height <= h) || (d.mayTurn && d.height <= w && d.width <= h);
        }
        if (!fits) return "a piece is larger than every panel";
    }
    return {};
}

bool canPair(const PanelPiece& a, const PanelPiece& b) {
    if (a.shape == PanelPiece::Shape::Rectangle || a.shape != b.shape || a.mayTurn != b.mayTurn) return false;
    const Trapezoid s = trapezoidOf(a);
    const Trapezoid t = trapezoidOf(b);
    return s.height == t.height && s.shift == t.shift && s.longEdge - s.shortEdge == t.longEdge - t.shortEdge;
}

PairShape pairShapeOf(const PanelPiece& a, const PanelPiece& b, std::int64_t kerf) {
    const Trapezoid s = trapezoidOf(a);
    const Trapezoid t = trapezoidOf(b);
    const std::int64_t otherRun = s.longEdge - s.shortEdge - s.shift;
    // The joined leg costs its gap, the other leg stands out by its run.
    PairShape atShift{s.longEdge + t.shortEdge + gapOf(kerf, s.shift, s.height) + otherRun, s.height, gapOf(kerf, s.shift, s.height), true};
    PairShape atOther{s.longEdge + t.shortEdge + gapOf(kerf, otherRun, s.height) + s.shift, s.height, gapOf(kerf, otherRun, s.height), false};
    PairShape best = atShift.width < atOther.width ? atShift : atOther;
    if (a.shape == PanelPiece::Shape::AlongHeight) std::swap(best.width, best.height);
    return best;
}

std::int64_t PanelCore::narrowest() const {
    std::int64_t least = std::numeric_limits<std::int64_t>::max();
    for (const Block& b : blocks) least = std::min(least, b.mayTurn ? std::min(b.width, b.height) : b.width);
    return least;
}

std::int64_t PanelCore::lowest() const {
    std::int64_t least = std::numeric_limits<std::int64_t>::max();
    for (const Block& b : blocks) least = std::min(least, b.mayTurn ? std::min(b.width, b.height) : b.height);
    return least;
}

PanelCore coreOf(const PanelProblem& p) {
    PanelCore core;
    core.uncut.assign(p.demands.size(), 0);
    for (const bool onHand : {true, false}) {
        for (std::size_t i = 0; i < p.stock.size(); ++i) {
            const CutStock& s = p.stock[i];
            if (onHand ? s.onHand == 0 : !s.bought) continue;
            core.bins.push_back({.width = s.width - 2 * s.trimX + p.kerf,
                                 .height = s.height - 2 * s.trimY + p.kerf,
                                 .cost = onHand ? 0 : s.cost,
                                 .limit = onHand ? s.onHand : std::numeric_limits<std::int64_t>::max(),
                                 .stock = i,
                                 .onHand = onHand});
        }
    }
    const auto fits = [&](std::int64_t w, std::int64_t h, bool mayTurn) {
        return std::any_of(core.bins.begin(), core.bins.end(), [&](const Bin& b) { return b.holds(w, h) || (mayTurn && b.holds(h, w)); });
    };
    std::vector<std::int64_t> left;
    for (const PanelPiece& d : p.demands) left.push_back(d.count);
    const auto pair = [&](std::size_t i, std::size_t j, std::int64_t n) {
        const PairShape shape = pairShapeOf(p.demands[i], p.demands[j], p.kerf);
        if (n <= 0 || !fits(shape.width + p.kerf, shape.height + p.kerf, p.demands[i].mayTurn)) return;
        left[i] -= n;
        left[j] -= n;
        core.blocks.push_back(
            {shape.width + p.kerf, shape.height + p.kerf, n, p.demands[i].mayTurn, static_cast<std::int32_t>(i), static_cast<std::int32_t>(j)});
    };
    for (std::size_t i = 0; i < left.size(); ++i) {
        if (p.demands[i].shape != PanelPiece::Shape::Rectangle) pair(i, i, left[i] / 2);
    }
    for (std::size_t i = 0; i < left.size(); ++i) {
        for (std::size_t j = i + 1; j < left.size() && left[i] > 0; ++j) {
            if (left[j] > 0 && canPair(p.demands[i], p.demands[j])) pair(i, j, std::min(left[i], left[j]));
        }
        if (left[i] == 0) continue;
        const PanelPiece& d = p.demands[i];
        if (!fits(d.width + p.kerf, d.height + p.kerf, d.mayTurn)) {
            core.uncut[i] = left[i];
            continue;
        }
        const bool turning = d.mayTurn && d.width != d.height;
        core.blocks.push_back({d.width + p.kerf, d.height + p.kerf, left[i], turning || (d.mayTurn && d.shape != PanelPiece::Shape::Rectangle),
                               static_cast<std::int32_t>(i), -1});
    }
    return core;
}

} // namespace spanwright::shop
