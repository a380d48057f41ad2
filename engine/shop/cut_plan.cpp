// SPDX-License-Identifier: MIT
// From parts and stock to what the planners take, and from what they give to boards with parts on them.
#include "engine/shop/cut_plan.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <set>

#include "engine/shop/board_plan.h"
#include "engine/shop/cut_groups.h"
#include "engine/shop/length_layout.h"
#include "engine/shop/length_plan.h"
#include "engine/shop/panel_plan.h"
#include "engine/units/format.h"

namespace spanwright::shop {

using diag::Code;
using Grain = job::PieceView::Grain;

namespace {

/// A piece as the planners see it: alike pieces of all parts are one demand.
struct Demand {
    std::int64_t length = 0, breadth = 0, breadthEnd = 0;
    Grain grain = Grain::Along;
    bool operator<(const Demand& o) const { return std::tie(o.length, o.breadth, o.breadthEnd, grain) < std::tie(length, breadth, breadthEnd, o.grain); }
};

class Planner {
public:
    Planner(Parts& parts, const ShopRows& rows, const std::vector<meaning::Rate>& rates, const PlanOptions& options)
        : m_parts(parts), m_rows(rows), m_rates(rates), m_options(options) {
        for (const StockRow& s : rows.stock) m_onHand.push_back(s.onHand);
        m_kerf = unitsAtLeast(rows.saw.kerf);
        m_crossKerf = unitsAtLeast(rows.saw.crossKerf);
    }

    [[nodiscard]] CutPlan plan() {
        m_out.groups = groupParts(m_parts, m_rows, m_out.problems);
        for (m_group = 0; m_group < m_out.groups.size(); ++m_group) work(m_out.groups[m_group]);
        for (const Part& p : m_parts.parts) m_out.whole = m_out.whole && (p.planned || p.count == 0);
        return std::move(m_out);
    }

private:
    /// Stock as the planners take it: prices in cents, or numbers where only one sort can be bought.
    [[nodiscard]] std::vector<CutStock> stockOf(GroupPlan& g) {
        std::vector<CutStock> out;
        std::vector<Cents> prices;
        bool priced = false;
        for (const std::size_t s : g.stock) {
            CutStock c = cutStock(m_rows, s, g);
            c.onHand = m_onHand[s];
            const auto price = priceOfOne(m_rows.stock[s], m_rows.currency, m_rates);
            if (!price && (m_rows.stock[s].price.unread || m_rows.stock[s].price.stated())) g.unread = true; // told where it stands
            prices.push_back(price ? std::max<Cents>(1, toCents(*price, m_rows.currency)) : 0);
            priced = priced || price.has_value();
            out.push_back(c);
        }
        std::set<Cents> costs;
        for (std::size_t i = 0; i < out.size(); ++i) {
            out[i].bought = !priced || prices[i] > 0;
            // Without prices the least wood is the best: areas in cm².
            out[i].cost = priced ? std::max<Cents>(prices[i], 1) : std::max<std::int64_t>(1, out[i].width / 100 * (out[i].height / 100));
            if (out[i].bought) costs.insert(out[i].cost);
        }
        g.counted = costs.size() <= 1;
        g.money = priced && !g.counted;
        if (g.counted)
            for (CutStock& c : out) c.cost = 1;
        return out;
    }

    void work(GroupPlan& g) {
        const std::vector<CutStock> stock = stockOf(g);
        for (const std::size_t i : g.parts) g.unread = g.unread || mayBeUnread(m_parts.parts[i], m_rows);
        // Demands, the largest first, each with the parts that make it up in the order of the job.
        std::map<Demand, std::vector<std::size_t>> merged;
        for (const std::size_t i : g.parts) {
            const Part& p = m_parts.parts[i];
            merged[{p.length, p.breadth, p.breadthEnd, g.panels ? p.view.grain : Grain::Along}].push_back(i);
        }
        m_demands.clear();
        m_queues.clear();
        std::vector<std::int64_t> counts;
        for (const auto& [d, list] : merged) {
            m_demands.push_back(d);
            Queue q;
            std::int64_t n = 0;
            for (const std::size_t i : list) {
                q.parts.push_back({i, 0});
                n += m_parts.parts[i].count;
            }
            m_queues.push_back(std::move(q));
            counts.push_back(n);
        }
        std::vector<std::int64_t> uncut;
        std::string problem, fault;
        const std::string title = titleOf(g);
        const auto soFar = [&](const auto& problemOf, const auto& plan, const auto& layoutsOf) {
            if (m_options.progress) m_options.progress(title, plan.cut);
            if (!m_options.better || !faultOf(problemOf, plan).empty()) return;
            PlanSoFar now{title, m_group, m_out.groups.size(), g};
            take(now.plan, plan);
            now.plan.proven = false; // it is said once, of the plan that is handed on
            for (std::size_t d = 0; d < plan.uncut.size(); ++d)
                if (plan.uncut[d] != 0) now.whole = false;
            const std::int64_t number = m_number;
            for (const CutLayout& layout : layoutsOf(plan)) board(now.plan, layout, stock[layout.stock]);
            m_number = number;
            for (Queue& q : m_queues) {
                q.at = 0;
                for (Queue::Slot& s : q.parts) s.given = 0;
            }
            now.plan.words = wordsSoFar(now.plan, m_rows.currency);
            m_options.better(now);
        };
        const auto ownLayouts = [](const auto& plan) -> const std::vector<CutLayout>& { return plan.layouts; };
        const auto keep = [&](const auto& problemOf, const auto& plan) {
            take(g, plan);
            uncut = plan.uncut;
            problem = plan.problem;
            if (problem.empty()) fault = faultOf(problemOf, plan);
        };
        const std::int64_t keepX = unitsAtLeast(m_rows.saw.keepLength), keepY = unitsAtLeast(m_rows.saw.keepBreadth);
        std::vector<CutLayout> layouts;
        if (g.panels) {
            PanelProblem p{m_kerf, stock, {}, keepX, keepY};
            for (std::size_t i = 0; i < m_demands.size(); ++i) p.demands.push_back(panelPiece(m_demands[i], counts[i]));
            PanelPlan plan = planPanels(p, m_options.effort, [&](const PanelPlan& b) { soFar(p, b, ownLayouts); });
            keep(p, plan);
            layouts = std::move(plan.layouts);
        } else if (g.breadth > 0.0) {
            LengthProblem p;
            p.kerf = m_crossKerf;
            for (const CutStock& c : stock) p.bars.push_back({c.width - 2 * c.trimX, c.cost, c.onHand, c.bought});
            for (std::size_t i = 0; i < m_demands.size(); ++i) p.demands.push_back({m_demands[i].length, counts[i]});
            const auto asLayouts = [&](const LengthPlan& plan) {
                std::vector<CutLayout> out;
                for (const LengthPattern& pattern : plan.patterns) out.push_back(layoutOf(pattern, p, stock[pattern.bar], keepX));
                return out;
            };
            const LengthPlan plan = planLengths(p, m_options.effort, [&](const LengthPlan& b) { soFar(p, b, asLayouts); });
            keep(p, plan);
            layouts = asLayouts(plan);
        } else {
            BoardProblem p{m_kerf, m_crossKerf, stock, {}, keepX, keepY};
            for (std::size_t i = 0; i < m_demands.size(); ++i)
                p.demands.push_back({m_demands[i].length, std::max(m_demands[i].breadth, m_demands[i].breadthEnd), counts[i]});
            BoardPlan plan = planBoards(p, m_options.effort, [&](const BoardPlan& b) { soFar(p, b, ownLayouts); });
            keep(p, plan);
            layouts = std::move(plan.layouts);
        }
        if (!problem.empty() || !fault.empty()) {
            g.proven = false;
            g.cut = g.bought = 0;
            g.short_ = g.parts;
            m_out.problems.push_back(aboutPart(
                Code::PlanFault, m_parts.parts[g.parts.front()],
                problem.empty() ? "the plan for " + title + " did not stand up to being checked: " + fault : "there is no plan for " + title + ": " + problem,
                problem.empty() ? "this is a mistake of the program: report it with the job" : "see the sizes and counts of its pieces"));
            g.words = "not planned";
            return;
        }
        for (const CutLayout& layout : layouts) board(g, layout, stock[layout.stock]);
        finish(g, uncut);
    }

    static void take(GroupPlan& g, const PlanFacts& facts) {
        g.cut = facts.cut;
        g.bought = facts.bought;
        g.cost = facts.cost;
        g.atLeast = facts.atLeast;
        g.proven = facts.proven;
        g.how = facts.how;
        g.work = facts.work;
    }

    [[nodiscard]] static PanelPiece panelPiece(const Demand& d, std::int64_t count) {
        PanelPiece p;
        const std::int64_t wide = std::max(d.breadth, d.breadthEnd), narrow = std::min(d.breadth, d.breadthEnd);
        const bool across = d.grain == Grain::Across;
        p.width = across ? wide : d.length;
        p.height = across ? d.length : wide;
        p.count = count;
        p.mayTurn = d.grain == Grain::Free;
        if (wide != narrow) {
            p.shape = across ? PanelPiece::Shape::AlongWidth : PanelPiece::Shape::AlongHeight;
            p.shortEdge = narrow;
        }
        return p;
    }

    /// Gives each place on the boards of a layout its part; boards that came out alike are kept as one.
    void board(GroupPlan& g, const CutLayout& layout, const CutStock& stock) {
        CutBoard shape;
        shape.stock = g.stock[layout.stock];
        shape.onHand = layout.onHand;
        shape.size = stock;
        shape.tree = layout.parts;
        shape.slants = layout.slants;
        shape.offcuts = layout.offcuts;
        const std::int64_t kerfX = g.panels ? m_kerf : m_crossKerf, kerfY = g.breadth > 0.0 ? 0 : m_kerf;
        for (const PlacedPiece& p : layout.pieces) {
            const std::int64_t w = std::min(p.box.width + kerfX, stock.width), h = std::min(p.box.height + kerfY, stock.height);
            const Demand& d = m_demands[p.demand];
            const double part = d.breadth == d.breadthEnd
                                    ? 1.0
                                    : static_cast<double>(d.breadth + d.breadthEnd) / (2.0 * static_cast<double>(std::max(d.breadth, d.breadthEnd)));
            shape.usedArea += std::llround(static_cast<double>(w * h) * part);
        }
        shape.usedArea = std::min(shape.usedArea, stock.width * stock.height);
        for (std::int64_t n = 0; n < layout.times; ++n) {
            std::vector<CutPiece> pieces;
            pieces.reserve(layout.pieces.size());
            for (const PlacedPiece& p : layout.pieces) {
                Queue& q = m_queues[p.demand];
                while (q.at < q.parts.size() && q.parts[q.at].given == m_parts.parts[q.parts[q.at].part].count) ++q.at;
                if (q.at == q.parts.size()) continue; // the verifier has counted them
                pieces.push_back({q.parts[q.at].part, ++q.parts[q.at].given, p.box, p.turned, p.outline});
            }
            const auto alike = [&](const CutBoard& o) {
                return o.times > 0 && o.pieces.size() == pieces.size() &&
                       std::equal(o.pieces.begin(), o.pieces.end(), pieces.begin(), [](const CutPiece& a, const CutPiece& b) { return a.part == b.part; });
            };
            ++m_number;
            if (n > 0 && alike(g.boards.back())) {
                ++g.boards.back().times;
                continue;
            }
            g.boards.push_back(shape);
            g.boards.back().number = m_number;
            g.boards.back().pieces = std::move(pieces);
        }
        cuts(g, layout, stock);
    }

    static void cuts(GroupPlan& g, const CutLayout& layout, const CutStock& stock) {
        const auto times = static_cast<double>(layout.times);
        for (const CutPart& p : layout.parts) {
            if (p.kind != CutPart::Kind::Cut) continue;
            if (g.panels)
                g.sawn += times * metresOf(p.upright ? p.box.height : p.box.width);
            else if (p.upright)
                g.crosscuts += layout.times;
            else
                g.ripped += times * metresOf(p.box.width);
        }
        for (const SlantedCut& s : layout.slants) g.sawn += times * std::hypot(metresOf(s.to.x - s.from.x), metresOf(s.to.y - s.from.y));
        if (stock.trimX > 0) {
            if (g.panels)
                g.sawn += times * 2.0 * (metresOf(stock.width) + metresOf(stock.height));
            else
                g.crosscuts += 2 * layout.times;
        }
    }

    void finish(GroupPlan& g, const std::vector<std::int64_t>& uncut) {
        for (std::size_t i = 0; i < g.stock.size(); ++i) {
            StockUse use;
            use.stock = g.stock[i];
            for (const CutBoard& b : g.boards)
                if (b.stock == use.stock) (b.onHand ? use.onHand : use.planned) += b.times;
            m_onHand[use.stock] -= use.onHand;
            const double waste = m_rows.stock[use.stock].waste.value_or(m_rows.waste);
            use.spare = static_cast<std::int64_t>(std::ceil(static_cast<double>(use.planned) / (1.0 - waste) - 1e-9)) - use.planned;
            if (use.onHand > 0 || use.planned > 0) g.use.push_back(use);
        }
        for (const std::size_t i : g.parts) m_parts.parts[i].planned = true;
        for (std::size_t d = 0; d < uncut.size(); ++d) {
            if (uncut[d] == 0) continue;
            g.proven = false;
            for (const Queue::Slot& s : m_queues[d].parts) {
                Part& p = m_parts.parts[s.part];
                if (s.given == p.count) continue;
                p.planned = false;
                g.short_.push_back(s.part);
                if (g.unread) continue;
                m_out.problems.push_back(aboutPart(Code::StockShort, p,
                                                   std::to_string(p.count - s.given) + " of the piece `" + p.view.name + "` of " + p.mark + " (" +
                                                       sizeOf(p.view) +
                                                       ") find no stock: what is on hand does not reach, and what is long and broad enough has no price",
                                                   "state a price for stock that it fits on, or more on hand"));
            }
        }
        if (g.unread) g.proven = false;
        g.words = wordsOf(g, m_rows.currency);
    }

    struct Queue {
        struct Slot {
            std::size_t part = 0;
            std::int64_t given = 0;
        };
        std::vector<Slot> parts;
        std::size_t at = 0;
    };

    Parts& m_parts;
    const ShopRows& m_rows;
    const std::vector<meaning::Rate>& m_rates;
    const PlanOptions& m_options;
    std::vector<std::int64_t> m_onHand;
    std::int64_t m_kerf = 0, m_crossKerf = 0, m_number = 0;
    std::size_t m_group = 0;
    std::vector<Demand> m_demands;
    std::vector<Queue> m_queues;
    CutPlan m_out;
};

} // namespace

CutPlan planCuts(Parts& parts, const ShopRows& rows, const std::vector<meaning::Rate>& rates, const PlanOptions& options) {
    return Planner(parts, rows, rates, options).plan();
}

} // namespace spanwright::shop
