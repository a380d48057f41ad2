// SPDX-License-Identifier: MIT
#include "engine/shop/strip_plan.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <numeric>

#include "engine/shop/covering_lp.h"
#include "engine/shop/knapsack.h"
#include "engine/shop/wide.h"

namespace spanwright::shop {

namespace {

constexpr std::uint64_t kFillWork = 2'000'000;
constexpr double kPriceScale = 268435456.0; ///< prices are whole multiples of the greatest over 2^28

class Planner {
public:
    Planner(const std::vector<StripBin>& bins, const std::vector<StripPiece>& pieces, Budget& budget) : m_bins(bins), m_pieces(pieces), m_budget(budget) {
        for (std::size_t i = 0; i < pieces.size(); ++i) {
            if (pieces[i].count > 0) m_classes[pieces[i].width].push_back(i);
        }
        for (const StripBin& b : bins) {
            if (!b.onHand) m_costStep = std::gcd(m_costStep, b.cost);
        }
    }

    StripPlan run() {
        std::vector<double> prices;
        for (const StripPiece& p : m_pieces) prices.push_back(static_cast<double>(p.length) * static_cast<double>(p.width));
        m_best = build(prices);
        if (complete(m_best)) bound();
        const std::vector<double> start = m_duals.empty() ? prices : m_duals;
        std::vector<double> now = start;
        for (int round = 0; round < kRounds && !m_budget.spent() && !(complete(m_best) && m_best.cost <= m_atLeast); ++round) {
            StripPlan plan = build(now);
            if (better(plan, m_best)) m_best = std::move(plan);
        }
        if (complete(m_best)) {
            m_best.atLeast = m_atLeast;
            m_best.how = m_how;
        }
        return std::move(m_best);
    }

private:
    static constexpr int kRounds = 400;

    static bool complete(const StripPlan& p) {
        return std::all_of(p.uncut.begin(), p.uncut.end(), [](std::int64_t n) { return n == 0; });
    }
    double uncutArea(const StripPlan& p) const {
        double a = 0.0;
        for (std::size_t i = 0; i < p.uncut.size(); ++i) {
            a += static_cast<double>(p.uncut[i]) * static_cast<double>(m_pieces[i].length) * static_cast<double>(m_pieces[i].width);
        }
        return a;
    }
    bool better(const StripPlan& a, const StripPlan& b) const {
        const double ua = uncutArea(a);
        const double ub = uncutArea(b);
        return ua != ub ? ua < ub : a.cost < b.cost;
    }

    struct Fill {
        double value = 0.0;
        std::vector<Strip> strips;
    };

    /// The most valuable way to fill one stock piece from what is left.
    Fill fill(const StripBin& bin, const std::vector<std::int64_t>& left, const std::vector<double>& prices) {
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
                const Packed packed = packMost(worth, bin.length, kFillWork);
                m_budget.add(packed.work + 5);
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
        const Packed packed = packMost(kinds, bin.height, kFillWork);
        m_budget.add(packed.work + 5);
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

    /// One whole plan, stock piece after stock piece; the prices are corrected as it goes: what was cut with much waste
    /// is dearer next time.
    StripPlan build(std::vector<double>& prices) {
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
                if (used[k] >= b.limit || (bestOnHand && !b.onHand)) continue;
                Fill f = fill(b, left, prices);
                if (f.strips.empty()) continue;
                const double area = static_cast<double>(b.length) * static_cast<double>(b.height);
                const double rate = f.value / (b.onHand ? area : std::max<double>(1e-9, static_cast<double>(b.cost)));
                if (kind == m_bins.size() || (b.onHand && !bestOnHand) || rate > bestRate) {
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
            std::int64_t times = m_bins[kind].limit - used[kind];
            for (const auto& [i, n] : pieces) times = std::min(times, left[i] / n);
            used[kind] += times;
            kind = smallestFor(kind, best, used, times);
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
    std::size_t smallestFor(std::size_t kind, const Fill& f, std::vector<std::int64_t>& used, std::int64_t times) const {
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
            if (k == kind || m_bins[k].length < length || m_bins[k].height < height || m_bins[k].limit - used[k] < times) continue;
            if (cost(k) < cost(best) || (cost(k) == cost(best) && area(k) < area(best))) best = k;
        }
        used[kind] -= times;
        used[best] += times;
        return best;
    }

    // ---- the bound

    struct Row {
        std::int64_t width, length;
        bool operator<(const Row& o) const { return width != o.width ? width < o.width : length < o.length; }
    };

    void bound() {
        // A piece that only stock on hand can hold leaves the relaxation without a start: then nothing is proven but 0.
        for (const StripPiece& p : m_pieces) {
            const bool canBuy =
                std::any_of(m_bins.begin(), m_bins.end(), [&](const StripBin& b) { return !b.onHand && p.length <= b.length && p.width <= b.height; });
            if (p.count > 0 && !canBuy) return;
        }
        std::map<Row, std::size_t> stripRow;
        std::vector<double> demand;
        std::vector<std::size_t> pieceRow(m_pieces.size(), SIZE_MAX);
        for (const auto& [width, members] : m_classes) {
            for (const std::size_t i : members) {
                pieceRow[i] = demand.size();
                demand.push_back(static_cast<double>(m_pieces[i].count));
            }
        }
        for (const auto& [width, members] : m_classes) {
            for (const StripBin& b : m_bins) {
                if (b.height >= width && stripRow.try_emplace({width, b.length}, demand.size()).second) demand.push_back(0.0);
            }
        }
        std::vector<std::size_t> limitRow(m_bins.size(), SIZE_MAX);
        double dearest = 1.0;
        for (std::size_t k = 0; k < m_bins.size(); ++k) {
            if (m_bins[k].onHand) {
                limitRow[k] = demand.size();
                demand.push_back(-static_cast<double>(m_bins[k].limit));
            } else {
                dearest = std::max(dearest, static_cast<double>(m_bins[k].cost));
            }
        }
        CoveringLp lp(demand);
        const auto addStrip = [&](const Row& row, const std::vector<std::pair<std::size_t, std::int64_t>>& pieces) {
            std::vector<CoveringLp::Entry> e{{stripRow.at(row), -1.0}};
            for (const auto& [i, n] : pieces) e.push_back({pieceRow[i], static_cast<double>(n)});
            lp.addColumn(e, 0.0);
        };
        const auto addBin = [&](std::size_t k, const std::map<std::int64_t, std::int64_t>& widths) {
            std::vector<CoveringLp::Entry> e;
            for (const auto& [w, n] : widths) e.push_back({stripRow.at({w, m_bins[k].length}), static_cast<double>(n)});
            if (m_bins[k].onHand) e.push_back({limitRow[k], -1.0});
            lp.addColumn(e, m_bins[k].onHand ? 0.0 : static_cast<double>(m_bins[k].cost) / dearest);
        };
        for (const auto& [row, r] : stripRow) {
            for (const std::size_t i : m_classes.at(row.width)) {
                if (m_pieces[i].length <= row.length) addStrip(row, {{i, 1}});
            }
        }
        for (std::size_t k = 0; k < m_bins.size(); ++k) {
            for (const auto& [width, members] : m_classes) {
                if (width <= m_bins[k].height) addBin(k, {{width, 1}});
            }
        }
        for (const StrippedBin& b : m_best.bins) {
            std::map<std::int64_t, std::int64_t> widths;
            for (const Strip& s : b.strips) {
                addStrip({s.width, m_bins[b.bin].length}, s.pieces);
                ++widths[s.width];
            }
            addBin(b.bin, widths);
        }
        while (!m_budget.spent()) {
            const CoveringLp::Solution s = lp.solve();
            m_budget.add((s.iterations + 1) * demand.size());
            if (!s.ok) return;
            double top = 1e-12;
            for (std::size_t i = 0; i < m_pieces.size(); ++i) top = std::max(top, pieceRow[i] == SIZE_MAX ? 0.0 : s.duals[pieceRow[i]]);
            const double scale = kPriceScale / top;
            std::vector<std::int64_t> price(m_pieces.size(), 0);
            Wide value = 0;
            for (std::size_t i = 0; i < m_pieces.size(); ++i) {
                if (pieceRow[i] == SIZE_MAX) continue;
                price[i] = static_cast<std::int64_t>(std::floor(s.duals[pieceRow[i]] * scale));
                value += static_cast<Wide>(price[i]) * m_pieces[i].count;
            }
            bool added = false;
            std::map<Row, std::int64_t> stripValue;
            for (const auto& [row, r] : stripRow) {
                const auto& members = m_classes.at(row.width);
                std::vector<Worth> worth;
                for (const std::size_t i : members)
                    worth.push_back({m_pieces[i].length, price[i], static_cast<std::int32_t>(std::min<std::int64_t>(m_pieces[i].count, INT32_MAX))});
                const Packed p = packMost(worth, row.length, kFillWork * 20);
                m_budget.add(p.work);
                stripValue[row] = p.bound;
                if (static_cast<double>(p.profit) > s.duals[r] * scale + 1e-7 * kPriceScale) {
                    std::vector<std::pair<std::size_t, std::int64_t>> pieces;
                    for (std::size_t k = 0; k < members.size(); ++k) {
                        if (p.counts[k] > 0) pieces.emplace_back(members[k], p.counts[k]);
                    }
                    addStrip(row, pieces);
                    added = true;
                }
            }
            // Prices prove: no stock piece that is bought is worth more than its cost, once all are scaled down.
            Wide least = -1;
            std::vector<std::int64_t> binValue(m_bins.size(), 0);
            for (std::size_t k = 0; k < m_bins.size(); ++k) {
                std::vector<Worth> worth;
                std::vector<std::int64_t> widths;
                for (const auto& [width, members] : m_classes) {
                    if (width > m_bins[k].height) continue;
                    worth.push_back({width, stripValue.at({width, m_bins[k].length}), INT32_MAX});
                    widths.push_back(width);
                }
                const Packed p = packMost(worth, m_bins[k].height, kFillWork * 20);
                m_budget.add(p.work);
                binValue[k] = p.bound;
                if (m_bins[k].onHand) value -= static_cast<Wide>(p.bound) * m_bins[k].limit;
                const double cost = m_bins[k].onHand ? s.duals[limitRow[k]] : static_cast<double>(m_bins[k].cost) / dearest;
                if (static_cast<double>(p.profit) > cost * scale + 1e-7 * kPriceScale) {
                    std::map<std::int64_t, std::int64_t> taken;
                    for (std::size_t j = 0; j < widths.size(); ++j) {
                        if (p.counts[j] > 0) taken[widths[j]] += p.counts[j];
                    }
                    addBin(k, taken);
                    added = true;
                }
            }
            if (value > 0) {
                for (std::size_t k = 0; k < m_bins.size(); ++k) {
                    if (m_bins[k].onHand || binValue[k] == 0) continue;
                    const Wide b = (value * m_bins[k].cost + binValue[k] - 1) / binValue[k];
                    if (least < 0 || b < least) least = b;
                }
            }
            if (least > 0 && m_costStep > 0) {
                const auto rounded = static_cast<std::int64_t>((least + m_costStep - 1) / m_costStep * m_costStep);
                if (rounded > m_atLeast) m_atLeast = rounded;
            }
            m_how = "linear relaxation over all strips and boards";
            m_duals.assign(m_pieces.size(), 0.0);
            for (std::size_t i = 0; i < m_pieces.size(); ++i) m_duals[i] = pieceRow[i] == SIZE_MAX ? 0.0 : s.duals[pieceRow[i]] * dearest;
            if (!added || m_atLeast >= m_best.cost) return;
        }
    }

    const std::vector<StripBin>& m_bins;
    const std::vector<StripPiece>& m_pieces;
    Budget& m_budget;
    std::map<std::int64_t, std::vector<std::size_t>> m_classes; ///< pieces by width
    std::int64_t m_costStep = 0;
    StripPlan m_best;
    std::int64_t m_atLeast = 0;
    std::string m_how = "nothing need be bought";
    std::vector<double> m_duals;
};

} // namespace

StripPlan planStrips(const std::vector<StripBin>& bins, const std::vector<StripPiece>& pieces, Budget& budget) { return Planner(bins, pieces, budget).run(); }

} // namespace spanwright::shop
