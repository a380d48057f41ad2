// SPDX-License-Identifier: MIT
#include "engine/shop/strip_bound.h"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "engine/shop/knapsack.h"
#include "engine/shop/wide.h"

namespace spanwright::shop {

namespace {

constexpr std::uint64_t kPriceWork = 40'000'000;
constexpr double kScale = 1073741824.0; ///< prices are whole multiples of the greatest over 2^30
constexpr double kShort = 64.0; ///< times the dearest board: what a piece costs that no board gives
constexpr std::size_t kNone = SIZE_MAX;

} // namespace

StripRelaxation::StripRelaxation(const std::vector<StripBin>& bins, const std::vector<StripPiece>& pieces, Budget& budget)
    : m_bins(bins), m_pieces(pieces), m_budget(budget), m_pieceRow(pieces.size(), kNone) {
    std::vector<double> demand;
    for (std::size_t i = 0; i < pieces.size(); ++i) {
        if (pieces[i].count == 0) continue;
        m_classes[pieces[i].width].push_back(i);
        m_pieceRow[i] = demand.size();
        demand.push_back(static_cast<double>(pieces[i].count));
    }
    for (const auto& [width, members] : m_classes) {
        for (const StripBin& b : bins) {
            if (b.height >= width && m_stripRow.try_emplace({width, b.length}, demand.size()).second) demand.push_back(0.0);
        }
    }
    for (const StripBin& b : bins) {
        m_leastRow.push_back(demand.size());
        demand.push_back(0.0);
        m_mostRow.push_back(demand.size());
        demand.push_back(-static_cast<double>(b.limit));
        if (b.onHand) continue;
        m_costStep = std::gcd(m_costStep, b.cost);
        m_dearest = std::max(m_dearest, static_cast<double>(b.cost));
    }
    m_lp = std::make_unique<CoveringLp>(demand);
    // What no board gives costs more than any board: so there is a start, and counts that are too few are found to be so.
    for (std::size_t i = 0; i < pieces.size(); ++i) {
        if (m_pieceRow[i] != kNone) m_lp->addColumn(std::vector<CoveringLp::Entry>{{m_pieceRow[i], 1.0}}, kShort);
    }
    for (const std::size_t row : m_leastRow) m_lp->addColumn(std::vector<CoveringLp::Entry>{{row, 1.0}}, kShort);
    m_binOf.assign(m_lp->columns(), kNone);
    for (const auto& [row, r] : m_stripRow) {
        for (const std::size_t i : m_classes.at(row.width)) {
            if (m_pieces[i].length <= row.length) addStrip(row, {{i, 1}});
        }
    }
    for (std::size_t k = 0; k < bins.size(); ++k) {
        for (const auto& [width, members] : m_classes) {
            if (width <= bins[k].height) addBin(k, {{width, 1}});
        }
    }
}

void StripRelaxation::add(const StripPlan& plan) {
    for (const StrippedBin& b : plan.bins) {
        std::map<std::int64_t, std::int64_t> widths;
        for (const Strip& s : b.strips) {
            addStrip({s.width, m_bins[b.bin].length}, s.pieces);
            ++widths[s.width];
        }
        addBin(b.bin, widths);
    }
}

void StripRelaxation::addStrip(const Row& row, const std::vector<std::pair<std::size_t, std::int64_t>>& pieces) {
    std::vector<CoveringLp::Entry> e{{m_stripRow.at(row), -1.0}};
    for (const auto& [i, n] : pieces) e.push_back({m_pieceRow[i], static_cast<double>(n)});
    m_lp->addColumn(e, 0.0);
    m_binOf.push_back(kNone);
}

void StripRelaxation::addBin(std::size_t bin, const std::map<std::int64_t, std::int64_t>& widths) {
    std::vector<CoveringLp::Entry> e{{m_leastRow[bin], 1.0}, {m_mostRow[bin], -1.0}};
    for (const auto& [w, n] : widths) e.push_back({m_stripRow.at({w, m_bins[bin].length}), static_cast<double>(n)});
    m_lp->addColumn(e, m_bins[bin].onHand ? 0.0 : static_cast<double>(m_bins[bin].cost) / m_dearest);
    m_binOf.push_back(bin);
}

bool StripRelaxation::price(const std::vector<std::int64_t>& prices, double scale, const CoveringLp::Solution& s, std::vector<std::int64_t>& worth) {
    bool added = false;
    std::map<Row, std::int64_t> stripWorth;
    for (const auto& [row, r] : m_stripRow) {
        const auto& members = m_classes.at(row.width);
        std::vector<Worth> kinds;
        for (const std::size_t i : members)
            kinds.push_back({m_pieces[i].length, prices[i], static_cast<std::int32_t>(std::min<std::int64_t>(m_pieces[i].count, INT32_MAX))});
        const Packed p = packMost(kinds, row.length, kPriceWork);
        m_budget.add(p.work + 4 * kinds.size() + 40);
        stripWorth[row] = p.bound;
        if (static_cast<double>(p.profit) <= s.duals[r] * scale + 1e-8 * kScale) continue;
        std::vector<std::pair<std::size_t, std::int64_t>> pieces;
        for (std::size_t k = 0; k < members.size(); ++k) {
            if (p.counts[k] > 0) pieces.emplace_back(members[k], p.counts[k]);
        }
        addStrip(row, pieces);
        added = true;
    }
    for (std::size_t k = 0; k < m_bins.size(); ++k) {
        std::vector<Worth> kinds;
        std::vector<std::int64_t> widths;
        for (const auto& [width, members] : m_classes) {
            if (width > m_bins[k].height) continue;
            kinds.push_back({width, stripWorth.at({width, m_bins[k].length}), INT32_MAX});
            widths.push_back(width);
        }
        const Packed p = packMost(kinds, m_bins[k].height, kPriceWork);
        m_budget.add(p.work + 4 * kinds.size() + 40);
        worth[k] = p.bound;
        const double cost = (m_bins[k].onHand ? 0.0 : static_cast<double>(m_bins[k].cost) / m_dearest) - s.duals[m_leastRow[k]] + s.duals[m_mostRow[k]];
        if (static_cast<double>(p.profit) <= cost * scale + 1e-8 * kScale) continue;
        std::map<std::int64_t, std::int64_t> taken;
        for (std::size_t j = 0; j < widths.size(); ++j) {
            if (p.counts[j] > 0) taken[widths[j]] += p.counts[j];
        }
        if (taken.empty()) continue;
        addBin(k, taken);
        added = true;
    }
    return added;
}

StripRelaxation::Answer StripRelaxation::solve(const Counts& counts, std::int64_t enough) {
    Answer out;
    out.used.assign(m_bins.size(), 0.0);
    out.prices.assign(m_pieces.size(), 0.0);
    for (std::size_t k = 0; k < m_bins.size(); ++k) {
        m_lp->setDemand(m_leastRow[k], static_cast<double>(counts.least[k]));
        m_lp->setDemand(m_mostRow[k], -static_cast<double>(counts.most[k]));
    }
    std::vector<std::int64_t> prices(m_pieces.size()), worth(m_bins.size());
    while (!m_budget.spent()) {
        const CoveringLp::Solution s = m_lp->solve();
        m_budget.add((s.iterations + 2) * (m_lp->rows() + m_lp->columns()) * 4);
        if (!s.ok) return out;
        double top = 1e-12;
        for (std::size_t i = 0; i < m_pieces.size(); ++i) top = std::max(top, m_pieceRow[i] == kNone ? 0.0 : s.duals[m_pieceRow[i]]);
        // A power of two, so that costs come out whole as well.
        const double scale = std::exp2(std::floor(std::log2(kScale / top)));
        Wide value = 0;
        for (std::size_t i = 0; i < m_pieces.size(); ++i) {
            const double dual = m_pieceRow[i] == kNone ? 0.0 : s.duals[m_pieceRow[i]];
            prices[i] = static_cast<std::int64_t>(std::floor(dual * scale));
            value += static_cast<Wide>(prices[i]) * m_pieces[i].count;
            out.prices[i] = dual * m_dearest;
        }
        const bool added = price(prices, scale, s, worth);
        // At these prices a plan is worth `value` and its boards no more than `worth` each: what they cost beyond their worth is the least where
        // as few are taken as may be of those that cost more, as many as may be of those that cost less. In parts of 1 / scale of the dearest.
        const auto dearest = static_cast<std::int64_t>(m_dearest);
        const auto unit = static_cast<Wide>(scale);
        if (scale >= 1.0 && unit < (static_cast<Wide>(1) << 62)) {
            Wide total = value * dearest;
            for (std::size_t k = 0; k < m_bins.size(); ++k) {
                const Wide more = (m_bins[k].onHand ? 0 : unit * m_bins[k].cost) - static_cast<Wide>(worth[k]) * dearest;
                total += more * (more >= 0 ? counts.least[k] : counts.most[k]);
            }
            if (total > 0) {
                Wide least = (total + unit - 1) / unit;
                if (m_costStep > 1) least = (least + m_costStep - 1) / m_costStep * m_costStep;
                out.atLeast = std::max(out.atLeast, static_cast<std::int64_t>(std::min<Wide>(least, INT64_MAX)));
            }
        }
        std::fill(out.used.begin(), out.used.end(), 0.0);
        for (std::size_t j = 0; j < s.x.size(); ++j) {
            if (m_binOf[j] != kNone) out.used[m_binOf[j]] += s.x[j];
        }
        const std::int64_t step = std::max<std::int64_t>(m_costStep, 1);
        const auto reach = static_cast<std::int64_t>(std::ceil(s.value * m_dearest / static_cast<double>(step) - 1e-6)) * step;
        if (!added || out.atLeast >= enough || out.atLeast >= reach) {
            out.whole = true;
            return out;
        }
    }
    return out;
}

} // namespace spanwright::shop
