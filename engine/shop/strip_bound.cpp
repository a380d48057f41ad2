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
constexpr std::size_t kMembersPerStrip = 8;    ///< so many unlike pieces of a width for each strip that is priced besides the best
constexpr std::uint64_t kFurtherWork = 20'000; ///< of these: any that is worth more than it costs will do
constexpr double kScale = 1073741824.0;        ///< prices are whole multiples of the greatest over 2^30
constexpr double kShort = 64.0;                ///< times the dearest board: what a piece costs that no board gives
constexpr std::uint64_t kSolveWork = 30'000;   ///< of calling the solver, however little it has to do
constexpr double kTolerance = 1e-6;            ///< in parts of the dearest board: what a column must gain
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
            if (b.height < width || !m_rowOf.try_emplace({width, b.length}, m_rows.size()).second) continue;
            m_rows.push_back({width, b.length});
            m_stripRow.push_back(demand.size());
            demand.push_back(0.0);
            m_leastStrips.push_back(demand.size());
            demand.push_back(0.0);
            m_mostStrips.push_back(demand.size());
            demand.push_back(-1e9);
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
    // What no board gives costs more than any board: so there is a start, and
    // counts that are too few are found to be so.
    for (std::size_t i = 0; i < pieces.size(); ++i) {
        if (m_pieceRow[i] != kNone) m_lp->addColumn(std::vector<CoveringLp::Entry>{{m_pieceRow[i], 1.0}}, kShort);
    }
    for (const std::size_t row : m_leastRow) m_lp->addColumn(std::vector<CoveringLp::Entry>{{row, 1.0}}, kShort);
    for (const std::size_t row : m_leastStrips) m_lp->addColumn(std::vector<CoveringLp::Entry>{{row, 1.0}}, kShort);
    m_binOf.assign(m_lp->columns(), kNone);
    m_rowOfColumn = m_binOf;
    m_cut.resize(m_binOf.size());
    for (std::size_t r = 0; r < m_rows.size(); ++r) {
        for (const std::size_t i : m_classes.at(m_rows[r].width)) {
            if (m_pieces[i].length <= m_rows[r].length) addStrip(r, {{i, 1}});
        }
    }
    for (std::size_t k = 0; k < bins.size(); ++k) {
        for (const auto& [width, members] : m_classes) {
            if (width <= bins[k].height) addBin(k, {{width, 1}});
        }
    }
}

StripRelaxation::Counts StripRelaxation::free() const {
    Counts out;
    for (const StripBin& b : m_bins) {
        out.least.push_back(0);
        out.most.push_back(b.limit);
    }
    for (const Row& r : m_rows) {
        std::int64_t pieces = 0;
        for (const std::size_t i : m_classes.at(r.width)) pieces += m_pieces[i].length <= r.length ? m_pieces[i].count : 0;
        out.leastStrips.push_back(0);
        out.mostStrips.push_back(pieces); // an empty strip helps nobody
    }
    return out;
}

void StripRelaxation::add(const StripPlan& plan) {
    for (const StrippedBin& b : plan.bins) {
        std::map<std::int64_t, std::int64_t> widths;
        for (const Strip& s : b.strips) {
            addStrip(m_rowOf.at({s.width, m_bins[b.bin].length}), s.pieces);
            ++widths[s.width];
        }
        addBin(b.bin, widths);
    }
}

void StripRelaxation::addStrip(std::size_t row, const std::vector<std::pair<std::size_t, std::int64_t>>& pieces) {
    std::vector<CoveringLp::Entry> e{{m_stripRow[row], -1.0}, {m_leastStrips[row], 1.0}, {m_mostStrips[row], -1.0}};
    for (const auto& [i, n] : pieces) e.push_back({m_pieceRow[i], static_cast<double>(n)});
    m_lp->addColumn(e, 0.0);
    m_binOf.push_back(kNone);
    m_rowOfColumn.push_back(row);
    m_cut.push_back(pieces);
}

void StripRelaxation::addBin(std::size_t bin, const std::map<std::int64_t, std::int64_t>& widths) {
    std::vector<CoveringLp::Entry> e{{m_leastRow[bin], 1.0}, {m_mostRow[bin], -1.0}};
    for (const auto& [w, n] : widths) e.push_back({m_stripRow[m_rowOf.at({w, m_bins[bin].length})], static_cast<double>(n)});
    m_lp->addColumn(e, m_bins[bin].onHand ? 0.0 : static_cast<double>(m_bins[bin].cost) / m_dearest);
    m_binOf.push_back(bin);
    m_rowOfColumn.push_back(kNone);
    m_cut.emplace_back();
}

bool StripRelaxation::price(double scale, const CoveringLp::Solution& s, Worths& w) {
    bool added = false;
    for (std::size_t r = 0; r < m_rows.size(); ++r) {
        const Row& row = m_rows[r];
        const auto& members = m_classes.at(row.width);
        std::vector<Worth> kinds;
        for (const std::size_t i : members)
            kinds.push_back({m_pieces[i].length, w.pieces[i], static_cast<std::int32_t>(std::min<std::int64_t>(m_pieces[i].count, INT32_MAX))});
        const Packed p = packMost(kinds, row.length, kPriceWork);
        m_budget.add(p.work + 4 * kinds.size() + 40);
        w.bestStrip[r] = p.bound;
        // Any price of a strip proves something. Where its number is held by a bound it is the program's own; else what its pieces are worth.
        const bool held = s.duals[m_leastStrips[r]] > kTolerance || s.duals[m_mostStrips[r]] > kTolerance;
        w.strips[r] = static_cast<std::int64_t>(std::floor(s.duals[m_stripRow[r]] * scale));
        if (!held) w.strips[r] = std::max(w.strips[r], p.bound);
        const double paid = s.duals[m_stripRow[r]] - s.duals[m_leastStrips[r]] + s.duals[m_mostStrips[r]];
        if (static_cast<double>(p.profit) <= paid * scale + kTolerance * scale) continue;
        std::vector<std::pair<std::size_t, std::int64_t>> pieces;
        for (std::size_t k = 0; k < members.size(); ++k) {
            if (p.counts[k] > 0) pieces.emplace_back(members[k], p.counts[k]);
        }
        if (pieces.empty()) continue;
        addStrip(r, pieces);
        added = true;
        // Of many unlike pieces one strip changes the prices of few: more of them, each from what those before it leave.
        for (std::size_t n = 0; n < members.size() / kMembersPerStrip && !m_budget.spent(); ++n) {
            for (const auto& [i, count] : pieces) {
                const auto k = static_cast<std::size_t>(std::lower_bound(members.begin(), members.end(), i) - members.begin());
                kinds[k].limit -= static_cast<std::int32_t>(count);
            }
            const Packed more = packMost(kinds, row.length, kFurtherWork);
            m_budget.add(more.work + 4 * kinds.size() + 40);
            if (static_cast<double>(more.profit) <= paid * scale + kTolerance * scale) break;
            pieces.clear();
            for (std::size_t k = 0; k < members.size(); ++k)
                if (more.counts[k] > 0) pieces.emplace_back(members[k], more.counts[k]);
            addStrip(r, pieces);
        }
    }
    for (std::size_t k = 0; k < m_bins.size(); ++k) {
        std::vector<Worth> kinds;
        std::vector<std::int64_t> widths;
        for (const auto& [width, members] : m_classes) {
            if (width > m_bins[k].height) continue;
            kinds.push_back({width, w.strips[m_rowOf.at({width, m_bins[k].length})], INT32_MAX});
            widths.push_back(width);
        }
        const Packed p = packMost(kinds, m_bins[k].height, kPriceWork);
        m_budget.add(p.work + 4 * kinds.size() + 40);
        w.bestBoard[k] = p.bound;
        const double cost = (m_bins[k].onHand ? 0.0 : static_cast<double>(m_bins[k].cost) / m_dearest) - s.duals[m_leastRow[k]] + s.duals[m_mostRow[k]];
        if (static_cast<double>(p.profit) <= cost * scale + kTolerance * scale) continue;
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

StripRelaxation::Answer StripRelaxation::solve(const Counts& counts, std::int64_t enough, std::uint64_t until) {
    Answer out;
    out.used.assign(m_bins.size(), 0.0);
    out.prices.assign(m_pieces.size(), 0.0);
    for (std::size_t k = 0; k < m_bins.size(); ++k) {
        m_lp->setDemand(m_leastRow[k], static_cast<double>(counts.least[k]));
        m_lp->setDemand(m_mostRow[k], -static_cast<double>(counts.most[k]));
    }
    for (std::size_t r = 0; r < m_rows.size(); ++r) {
        m_lp->setDemand(m_leastStrips[r], static_cast<double>(counts.leastStrips[r]));
        m_lp->setDemand(m_mostStrips[r], -static_cast<double>(counts.mostStrips[r]));
    }
    out.strips.assign(m_rows.size(), 0.0);
    Worths w{std::vector<std::int64_t>(m_pieces.size()), std::vector<std::int64_t>(m_rows.size()), std::vector<std::int64_t>(m_rows.size()),
             std::vector<std::int64_t>(m_bins.size())};
    while (!m_budget.spent() && m_budget.done() < until) {
        const CoveringLp::Solution s = m_lp->solve();
        m_budget.add(kSolveWork + s.iterations * (m_lp->rows() + m_lp->columns()) * 4);
        if (!s.ok) return out;
        double top = 1e-6;
        for (std::size_t i = 0; i < m_pieces.size(); ++i) top = std::max(top, m_pieceRow[i] == kNone ? 0.0 : s.duals[m_pieceRow[i]]);
        for (const std::size_t row : m_stripRow) top = std::max(top, s.duals[row]);
        // A power of two, so that costs come out whole as well.
        const double scale = std::exp2(std::floor(std::log2(kScale / top)));
        Wide value = 0;
        for (std::size_t i = 0; i < m_pieces.size(); ++i) {
            const double dual = m_pieceRow[i] == kNone ? 0.0 : s.duals[m_pieceRow[i]];
            w.pieces[i] = static_cast<std::int64_t>(std::floor(dual * scale));
            value += static_cast<Wide>(w.pieces[i]) * m_pieces[i].count;
            out.prices[i] = dual * m_dearest;
        }
        const bool added = price(scale, s, w);
        // At these prices a plan's pieces are worth `value`, its strips and boards
        // no more than the best ones each. What boards cost beyond their worth, and
        // strips beyond that of their pieces, is the least where as few are taken
        // as may be of those that cost more, as many as may be of those that cost
        // less. In parts of 1 / scale of the dearest.
        const auto dearest = static_cast<std::int64_t>(m_dearest);
        const auto unit = static_cast<Wide>(scale);
        if (scale >= 1.0 && unit < (static_cast<Wide>(1) << 62)) {
            Wide total = value * dearest;
            for (std::size_t k = 0; k < m_bins.size(); ++k) {
                const Wide more = (m_bins[k].onHand ? 0 : unit * m_bins[k].cost) - static_cast<Wide>(w.bestBoard[k]) * dearest;
                total += more * (more >= 0 ? counts.least[k] : counts.most[k]);
            }
            for (std::size_t r = 0; r < m_rows.size(); ++r) {
                const Wide more = static_cast<Wide>(w.strips[r] - w.bestStrip[r]) * dearest;
                total += more * (more >= 0 ? counts.leastStrips[r] : counts.mostStrips[r]);
            }
            if (total > 0) {
                Wide least = (total + unit - 1) / unit;
                if (m_costStep > 1) least = (least + m_costStep - 1) / m_costStep * m_costStep;
                out.atLeast = std::max(out.atLeast, static_cast<std::int64_t>(std::min<Wide>(least, INT64_MAX)));
            }
        }
        std::fill(out.used.begin(), out.used.end(), 0.0);
        out.cuts.clear();
        std::fill(out.strips.begin(), out.strips.end(), 0.0);
        for (std::size_t j = 0; j < s.x.size(); ++j) {
            if (m_binOf[j] != kNone) out.used[m_binOf[j]] += s.x[j];
            if (m_rowOfColumn[j] == kNone) continue;
            out.strips[m_rowOfColumn[j]] += s.x[j];
            const auto times = static_cast<std::int64_t>(std::floor(s.x[j] + 1e-6));
            if (times > 0) out.cuts.push_back({m_rowOfColumn[j], m_cut[j], times});
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
