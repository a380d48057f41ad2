// SPDX-License-Identifier: MIT
#include "engine/shop/dual_feasible.h"

#include <algorithm>
#include <set>

#include "engine/shop/wide.h"

namespace spanwright::shop {

namespace {

/// A function of a side, worked out for all pieces, both ways round; and for the whole panel.
struct Mapped {
    std::vector<std::int64_t> upright; ///< of a piece's own side
    std::vector<std::int64_t> turned;  ///< of its other side
    std::int64_t whole = 0;
};

/// Small sides count for nothing, what they cannot fill up counts as the whole.
std::int64_t cutOff(std::int64_t x, std::int64_t whole, std::int64_t k) { return x > whole - k ? whole : x < k ? 0 : x; }

/// How many times k goes into it, sides past the half by what they leave.
std::int64_t byMultiples(std::int64_t x, std::int64_t whole, std::int64_t k) {
    if (2 * x > whole) return 2 * (whole / k - (whole - x) / k);
    if (2 * x == whole) return whole / k;
    return 2 * (x / k);
}

/// Rounds to the next lower share of k + 1 parts, counted as shares of k; exact shares stay.
std::int64_t byShares(std::int64_t x, std::int64_t whole, std::int64_t k) { return (k + 1) * x % whole == 0 ? x * k : (k + 1) * x / whole * whole; }

template <typename F> Mapped mapped(const std::vector<Rectangle>& pieces, bool alongWidth, std::int64_t whole, F&& f) {
    Mapped m;
    for (const Rectangle& r : pieces) {
        // A side longer than the panel only belongs to a way round that is not used.
        const auto of = [&](std::int64_t x) { return x > whole ? std::int64_t{-1} : f(x); };
        m.upright.push_back(of(alongWidth ? r.width : r.height));
        m.turned.push_back(of(alongWidth ? r.height : r.width));
    }
    m.whole = f(whole);
    return m;
}

std::vector<Mapped> functionsOf(const std::vector<Rectangle>& pieces, bool alongWidth, std::int64_t whole) {
    std::set<std::int64_t> sizes;
    for (const Rectangle& r : pieces) {
        for (const std::int64_t x : {r.width, r.height}) {
            for (const std::int64_t k : {x, x + 1, whole - x, whole - x + 1}) {
                if (k >= 1 && 2 * k <= whole) sizes.insert(k);
            }
        }
    }
    // Many sizes: an even choice of them.
    constexpr std::size_t kMost = 120;
    std::vector<std::int64_t> chosen(sizes.begin(), sizes.end());
    if (chosen.size() > kMost) {
        std::vector<std::int64_t> fewer;
        for (std::size_t i = 0; i < kMost; ++i) fewer.push_back(chosen[i * chosen.size() / kMost]);
        chosen = fewer;
    }
    std::vector<Mapped> out;
    std::set<std::vector<std::int64_t>> seen;
    const auto add = [&](Mapped m) {
        std::vector<std::int64_t> key = m.upright;
        key.insert(key.end(), m.turned.begin(), m.turned.end());
        key.push_back(m.whole);
        if (seen.insert(std::move(key)).second) out.push_back(std::move(m));
    };
    add(mapped(pieces, alongWidth, whole, [](std::int64_t x) { return x; }));
    for (const std::int64_t k : chosen) {
        add(mapped(pieces, alongWidth, whole, [&](std::int64_t x) { return cutOff(x, whole, k); }));
        if (k >= 2) add(mapped(pieces, alongWidth, whole, [&](std::int64_t x) { return byMultiples(x, whole, k); }));
    }
    for (std::int64_t k = 1; k <= 30; ++k) add(mapped(pieces, alongWidth, whole, [&](std::int64_t x) { return byShares(x, whole, k); }));
    return out;
}

} // namespace

std::int64_t dualFeasibleBound(const std::vector<Rectangle>& pieces, std::int64_t width, std::int64_t height, Budget& budget) {
    const std::vector<Mapped> along = functionsOf(pieces, true, width);
    const std::vector<Mapped> across = functionsOf(pieces, false, height);
    std::int64_t best = 0;
    for (const Mapped& f : along) {
        if (budget.spent()) break;
        for (const Mapped& g : across) {
            Wide sum = 0;
            for (std::size_t i = 0; i < pieces.size(); ++i) {
                Wide area = f.upright[i] < 0 || g.upright[i] < 0 ? Wide{-1} : static_cast<Wide>(f.upright[i]) * g.upright[i];
                if (pieces[i].mayTurn && f.turned[i] >= 0 && g.turned[i] >= 0) {
                    const Wide other = static_cast<Wide>(f.turned[i]) * g.turned[i];
                    area = area < 0 ? other : std::min(area, other);
                }
                sum += area * pieces[i].count;
            }
            const Wide whole = static_cast<Wide>(f.whole) * g.whole;
            if (whole > 0) best = std::max(best, static_cast<std::int64_t>((sum + whole - 1) / whole));
        }
        budget.add(across.size() * pieces.size() / 2);
    }
    return best;
}

} // namespace spanwright::shop
