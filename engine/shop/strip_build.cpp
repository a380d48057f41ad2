// SPDX-License-Identifier: MIT
#include "engine/shop/strip_build.h"

#include <algorithm>
#include <cmath>

#include "engine/shop/knapsack.h"

namespace spanwright::shop {

namespace {

constexpr std::uint64_t kFillWork = 2'000'000, kLeastFillWork = 5'000;
constexpr double kPlanShare = 0.05;         ///< of the budget that one plan may take, about
constexpr double kPriceScale = 268435456.0; ///< prices are whole multiples of the greatest over 2^28

} // namespace

StripBuilder::StripBuilder(const std::vector<StripBin>& bins, const std::vector<StripPiece>& pieces, Budget& budget)
    : m_bins(bins), m_pieces(pieces), m_budget(budget) {
    for (std::size_t i = 0; i < pieces.size(); ++i) {
        if (pieces[i].count > 0) m_classes[pieces[i].width].push_back(i);
    }
    double area = 0.0, largest = 1.0;
    for (const StripPiece& p : pieces) area += static_cast<double>(p.length) * static_cast<double>(p.width) * static_cast<double>(p.count);
    for (const StripBin& b : bins) largest = std::max(largest, static_cast<double>(b.length) * static_cast<double>(b.height));
    // Pieces that are all unlike fill each board anew, from each stock.
    const double fills = std::min(area / largest + 1.0, static_cast<double>(pieces.size())) * static_cast<double>(bins.size());
    m_fillWork = std::clamp(static_cast<std::uint64_t>(kPlanShare * static_cast<double>(budget.limit()) / fills), kLeastFillWork, kFillWork);
}

/// The most valuable way to fill one stock piece from what is left.
StripBuilder::Fill StripBuilder::fill(const StripBin& bin, const std::vector<std::int64_t>& left, const std::vector<double>& prices) {
    double top = 1e-300;
    for (std::size_t i = 0; i < prices.size(); ++i) top = std::max(top, left[i] > 0 ? prices[i] : 0.0);
    std::vector<Worth> kinds;
    std::vector<Strip> strips;
    for (const auto& [width, members] : m_classes) {
        if (width > bin.height) continue;
        std::vector<std::int64_t> rest;
        for (const std::size_t i : members) rest.push_back(left[i]);
        for (std::int64_t n = bin.height / width; n > 0; --n) {
            std::vector<Worth> worth;
            bool any = false;
            for (std::size_t k = 0; k < members.size(); ++k) {
                const StripPiece& p = m_pieces[members[k]];
                const auto profit = static_cast<std::int64_t>(std::max(1.0, prices[members[k]] / top * kPriceScale / 64.0));
                worth.push_back({p.length, profit, static_cast<std::int32_t>(std::min<std::int64_t>(rest[k], INT32_MAX))});
                any = any || (rest[k] > 0 && p.length <= bin.length);
            }
            if (!any) break;
            const Packed packed = packMost(worth, bin.length, m_fillWork);
            m_budget.add(packed.work + 4 * worth.size() + 40);
            Strip s{width, {}};
            for (std::size_t k = 0; k < members.size(); ++k) {
                rest[k] -= packed.counts[k];
                if (packed.counts[k] > 0) s.pieces.emplace_back(members[k], packed.counts[k]);
            }
            if (s.pieces.empty()) break;
            kinds.push_back({width, packed.profit, 1});
            strips.push_back(std::move(s));
        }
    }
    const Packed packed = packMost(kinds, bin.height, m_fillWork);
    m_budget.add(packed.work + 4 * kinds.size() + 40);
    Fill out;
    // Of equal strips the first ones are taken, so that none stands on pieces of one that is not there.
    std::map<std::int64_t, std::int64_t> taken;
    for (std::size_t k = 0; k < kinds.size(); ++k) taken[kinds[k].length] += packed.counts[k];
    for (std::size_t k = 0; k < kinds.size(); ++k) {
        if (taken[kinds[k].length]-- <= 0) continue;
        out.value += static_cast<double>(kinds[k].profit);
        out.strips.push_back(std::move(strips[k]));
    }
    out.value *= top;
    return out;
}

StripPlan StripBuilder::build(std::vector<double>& prices, const std::vector<std::int64_t>& limits, bool sunk) {
    StripPlan plan;
    std::vector<std::int64_t> left;
    for (const StripPiece& p : m_pieces) left.push_back(p.count);
    std::vector<std::int64_t> used(m_bins.size(), 0);
    while (std::any_of(left.begin(), left.end(), [](std::int64_t n) { return n > 0; })) {
        std::size_t kind = m_bins.size();
        Fill best;
        double bestRate = 0.0;
        bool bestOnHand = false;
        for (std::size_t k = 0; k < m_bins.size(); ++k) {
            const StripBin& b = m_bins[k];
            if (used[k] >= limits[k] || (!sunk && bestOnHand && !b.onHand)) continue;
            Fill f = fill(b, left, prices);
            if (f.strips.empty()) continue;
            const double area = static_cast<double>(b.length) * static_cast<double>(b.height);
            const double rate = f.value / (sunk || b.onHand ? area : std::max<double>(1e-9, static_cast<double>(b.cost)));
            if (kind == m_bins.size() || (!sunk && b.onHand && !bestOnHand) || rate > bestRate) {
                kind = k;
                best = std::move(f);
                bestRate = rate;
                bestOnHand = b.onHand;
            }
        }
        if (kind == m_bins.size()) break;
        std::map<std::size_t, std::int64_t> pieces;
        double usedArea = 0.0;
        for (const Strip& s : best.strips) {
            for (const auto& [i, n] : s.pieces) {
                pieces[i] += n;
                usedArea += static_cast<double>(n) * static_cast<double>(m_pieces[i].length) * static_cast<double>(m_pieces[i].width);
            }
        }
        std::int64_t times = limits[kind] - used[kind];
        for (const auto& [i, n] : pieces) times = std::min(times, left[i] / n);
        used[kind] += times;
        kind = smallestFor(kind, best, used, limits, times);
        const double waste = static_cast<double>(m_bins[kind].length) * static_cast<double>(m_bins[kind].height) / usedArea;
        for (const auto& [i, n] : pieces) {
            left[i] -= times * n;
            const double area = static_cast<double>(m_pieces[i].length) * static_cast<double>(m_pieces[i].width);
            const double g = 0.5 * static_cast<double>(times * n) / static_cast<double>(m_pieces[i].count);
            prices[i] = (1.0 - g) * prices[i] + g * std::pow(area, 1.02) * waste;
        }
        plan.cost += m_bins[kind].onHand ? 0 : times * m_bins[kind].cost;
        plan.bins.push_back({kind, times, std::move(best.strips)});
    }
    plan.uncut = left;
    return plan;
}

/// A cheaper kind that holds the same strips, if there is one.
std::size_t StripBuilder::smallestFor(std::size_t kind, const Fill& f, std::vector<std::int64_t>& used, const std::vector<std::int64_t>& limits,
                                      std::int64_t times) const {
    std::int64_t height = 0;
    std::int64_t length = 0;
    for (const Strip& s : f.strips) {
        std::int64_t l = 0;
        for (const auto& [i, n] : s.pieces) l += n * m_pieces[i].length;
        height += s.width;
        length = std::max(length, l);
    }
    const auto cost = [&](std::size_t k) { return m_bins[k].onHand ? 0 : m_bins[k].cost; };
    const auto area = [&](std::size_t k) { return static_cast<double>(m_bins[k].length) * static_cast<double>(m_bins[k].height); };
    std::size_t best = kind;
    for (std::size_t k = 0; k < m_bins.size(); ++k) {
        if (k == kind || m_bins[k].length < length || m_bins[k].height < height || limits[k] - used[k] < times) continue;
        if (cost(k) < cost(best) || (cost(k) == cost(best) && area(k) < area(best))) best = k;
    }
    used[kind] -= times;
    used[best] += times;
    return best;
}

} // namespace spanwright::shop
