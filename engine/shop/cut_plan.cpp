// SPDX-License-Identifier: MIT
// From parts and stock to what the planners take, and from what they give to boards with parts on them.
#include "engine/shop/cut_plan.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <set>

#include "engine/shop/board_plan.h"
#include "engine/shop/length_plan.h"
#include "engine/shop/panel_plan.h"
#include "engine/units/format.h"

namespace spanwright::shop {

using diag::Code;
using Grain = job::PieceView::Grain;

namespace {

constexpr std::int64_t kSame = 1; ///< sizes that differ by a tenth of a millimetre are one

std::int64_t near(double metres) { return std::llround(metres * kUnitsPerMetre); }

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
        for (std::size_t i = 0; i < m_parts.parts.size(); ++i) place(i);
        // What must be as broad as its board has no other choice, so it takes from what is on hand first.
        std::stable_sort(m_out.groups.begin(), m_out.groups.end(), [](const GroupPlan& a, const GroupPlan& b) { return rank(a) < rank(b); });
        for (GroupPlan& g : m_out.groups) work(g);
        for (const Part& p : m_parts.parts) m_out.whole = m_out.whole && (p.planned || p.count == 0);
        return std::move(m_out);
    }

private:
    static int rank(const GroupPlan& g) { return g.panels ? 2 : g.breadth > 0.0 ? 0 : 1; }

    void tell(Code code, const Part& p, std::string message, std::string mend) {
        diag::Diagnostic d;
        d.code = code;
        d.place = p.view.place;
        d.message = std::move(message);
        d.mend = std::move(mend);
        d.member = p.mark;
        m_out.problems.push_back(std::move(d));
    }

    /// Finds the group of a part by what it is cut from; tells why there is none.
    void place(std::size_t index) {
        Part& p = m_parts.parts[index];
        if (p.count == 0) return;
        const std::string wanted = "`" + p.view.name + "` of " + p.mark + " (" + sizeOf(p.view) + ", " + p.view.material + ")";
        bool material = false;
        std::set<std::string> thicknesses;
        for (const StockRow& s : m_rows.stock) {
            if (s.material != p.view.material) continue;
            material = true;
            thicknesses.insert(millimetres(s.thickness));
        }
        if (!material)
            return once(Code::NoStock, p, p.view.material, "there is no stock of " + p.view.material + ", which the piece " + wanted + " is cut from",
                        "state one: `stock NAME = " + p.view.material + ", T by B by L, PRICE`");
        std::optional<std::int64_t> t = thicknessFor(p, p.thickness);
        if (!t && p.breadth == p.breadthEnd) {
            t = thicknessFor(p, p.breadth);
            if (t) std::swap(p.thickness, p.breadth);
            p.breadthEnd = p.breadth;
        }
        if (!t) {
            std::string list;
            for (const std::string& s : thicknesses) list += (list.empty() ? "" : ", ") + s;
            return once(Code::NoStock, p, p.view.material + "|" + std::to_string(p.thickness),
                        "there is no stock of " + p.view.material + " " + millimetres(metresOf(p.thickness)) + " mm thick, which the piece " + wanted +
                            " is cut from",
                        "stock of it is " + list + " mm thick; state another, or give the piece `plane` if it is planed down");
        }
        p.thickness = *t;
        GroupPlan g;
        g.material = p.view.material;
        g.thickness = metresOf(*t);
        std::int64_t breadth = 0;
        for (std::size_t s = 0; s < m_rows.stock.size(); ++s) {
            const StockRow& stock = m_rows.stock[s];
            if (stock.material != g.material || near(stock.thickness) != *t) continue;
            g.panels = stock.panel;
            g.stock.push_back(s);
        }
        const bool mixed = std::any_of(g.stock.begin(), g.stock.end(), [&](std::size_t s) { return m_rows.stock[s].panel != g.panels; });
        if (mixed) {
            g.panels = false;
            std::erase_if(g.stock, [&](std::size_t s) { return m_rows.stock[s].panel; });
        }
        if (!g.panels && !p.rip) {
            for (const std::size_t s : g.stock) {
                const std::int64_t b = near(m_rows.stock[s].breadth);
                const bool fits = p.plane ? b >= p.breadth : std::llabs(b - p.breadth) <= kSame;
                if (fits && (breadth == 0 || b < breadth)) breadth = b;
            }
            if (breadth == 0) {
                std::string list;
                for (const std::size_t s : g.stock) list += (list.empty() ? "" : ", ") + millimetres(m_rows.stock[s].breadth);
                return once(Code::NoStock, p, p.view.material + "|" + std::to_string(*t) + "|" + std::to_string(p.breadth),
                            "no board of " + p.view.material + " " + millimetres(g.thickness) + " mm thick is as broad as the piece " + wanted,
                            "boards of it are " + list + " mm broad; give the piece `rip` if it may be sawn out of a broader one and is graded again");
            }
            p.breadth = p.breadthEnd = breadth;
            g.breadth = metresOf(breadth);
            std::erase_if(g.stock, [&](std::size_t s) { return near(m_rows.stock[s].breadth) != breadth; });
        }
        if (!fits(p, g)) return;
        const auto same = std::find_if(m_out.groups.begin(), m_out.groups.end(), [&](const GroupPlan& o) {
            return o.material == g.material && near(o.thickness) == near(g.thickness) && near(o.breadth) == near(g.breadth) && o.panels == g.panels;
        });
        GroupPlan& into = same == m_out.groups.end() ? m_out.groups.emplace_back(std::move(g)) : *same;
        into.parts.push_back(index);
        into.pieces += p.count;
    }

    [[nodiscard]] std::optional<std::int64_t> thicknessFor(const Part& p, std::int64_t wanted) const {
        std::optional<std::int64_t> best;
        for (const StockRow& s : m_rows.stock) {
            const std::int64_t t = near(s.thickness);
            if (s.material != p.view.material || (p.plane ? t < wanted : std::llabs(t - wanted) > kSame)) continue;
            if (!best || t < *best) best = t;
        }
        return best;
    }

    void once(Code code, const Part& p, const std::string& key, std::string message, std::string mend) {
        if (m_told.insert(std::to_string(static_cast<int>(code)) + key).second) tell(code, p, std::move(message), std::move(mend));
    }

    [[nodiscard]] bool fits(const Part& p, const GroupPlan& g) {
        const std::int64_t kerf = std::max(m_kerf, m_crossKerf);
        if (kerf > 0 && std::min(p.length, std::max(p.breadth, p.breadthEnd)) <= kerf) {
            tell(Code::KerfTooWide, p,
                 "the kerf of " + millimetres(metresOf(kerf)) + " mm is as wide as the piece `" + p.view.name + "` of " + p.mark + " (" + sizeOf(p.view) +
                     ") or wider",
                 "such a piece cannot be sawn: see its sizes and the saw's kerf");
            return false;
        }
        const std::int64_t breadth = std::max(p.breadth, p.breadthEnd);
        std::int64_t longest = 0, broadest = 0;
        for (const std::size_t s : g.stock) {
            const CutStock c = cutStock(s, g);
            const std::int64_t x = c.width - 2 * c.trimX, y = c.height - 2 * c.trimY;
            longest = std::max(longest, x);
            broadest = std::max(broadest, y);
            const bool along = p.length <= x && breadth <= y, across = p.length <= y && breadth <= x;
            if (!g.panels || p.view.grain == Grain::Along ? along : p.view.grain == Grain::Across ? across : along || across) return true;
        }
        tell(Code::PieceTooLarge, p,
             "the piece `" + p.view.name + "` of " + p.mark + " (" + sizeOf(p.view) + ") is larger than any " + (g.panels ? "panel" : "board") + " of " +
                 g.material + " " + millimetres(g.thickness) + " mm thick",
             "the largest leave " + millimetres(metresOf(broadest)) + " x " + millimetres(metresOf(longest)) +
                 " mm behind their trims; join the piece, or state larger stock");
        return false;
    }

    [[nodiscard]] CutStock cutStock(std::size_t s, const GroupPlan& g) const {
        const StockRow& row = m_rows.stock[s];
        CutStock c;
        c.width = unitsAtMost(row.length);
        c.height = g.breadth > 0.0 ? near(g.breadth) : unitsAtMost(row.breadth);
        c.trimX = unitsAtLeast(m_rows.saw.trim);
        c.trimY = g.panels ? c.trimX : 0;
        return c;
    }

    /// Stock as the planners take it: prices in cents, or numbers where only one sort can be bought.
    [[nodiscard]] std::vector<CutStock> stockOf(GroupPlan& g) {
        std::vector<CutStock> out;
        std::vector<Cents> prices;
        bool priced = false;
        for (const std::size_t s : g.stock) {
            CutStock c = cutStock(s, g);
            c.onHand = m_onHand[s];
            const auto price = priceOfOne(m_rows.stock[s], m_rows.currency, m_rates);
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
        const auto soFar = [&](const auto& plan, std::int64_t cut, const auto& layoutsOf) {
            if (m_options.progress) m_options.progress(title, cut);
            if (!m_options.better) return;
            GroupPlan draft = g;
            draft.cut = cut;
            draft.bought = plan.bought;
            draft.cost = plan.cost;
            draft.atLeast = plan.atLeast;
            draft.words = std::to_string(cut) + (g.panels ? " panels" : " boards") + " so far";
            const std::int64_t number = m_number;
            for (const CutLayout& layout : layoutsOf(plan)) board(draft, layout, stock[layout.stock]);
            m_number = number;
            for (Queue& q : m_queues) {
                q.at = 0;
                for (Queue::Slot& s : q.parts) s.given = 0;
            }
            m_options.better(draft);
        };
        const auto ownLayouts = [](const auto& plan) -> const std::vector<CutLayout>& { return plan.layouts; };
        const auto keep = [&](const auto& problemOf, const auto& plan, std::int64_t cut) {
            g.cut = cut;
            g.bought = plan.bought;
            g.cost = plan.cost;
            g.atLeast = plan.atLeast;
            g.proven = plan.proven;
            g.how = plan.how;
            g.work = plan.work;
            uncut = plan.uncut;
            problem = plan.problem;
            if (problem.empty()) fault = faultOf(problemOf, plan);
        };
        const std::int64_t keepX = unitsAtLeast(m_rows.saw.keepLength), keepY = unitsAtLeast(m_rows.saw.keepBreadth);
        std::vector<CutLayout> layouts;
        if (g.panels) {
            PanelProblem p{m_kerf, stock, {}, keepX, keepY};
            for (std::size_t i = 0; i < m_demands.size(); ++i) p.demands.push_back(panelPiece(m_demands[i], counts[i]));
            PanelPlan plan = planPanels(p, m_options.effort, [&](const PanelPlan& b) { soFar(b, b.panels, ownLayouts); });
            keep(p, plan, plan.panels);
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
            const LengthPlan plan = planLengths(p, m_options.effort, [&](const LengthPlan& b) { soFar(b, b.bars, asLayouts); });
            keep(p, plan, plan.bars);
            layouts = asLayouts(plan);
        } else {
            BoardProblem p{m_kerf, m_crossKerf, stock, {}, keepX, keepY};
            for (std::size_t i = 0; i < m_demands.size(); ++i)
                p.demands.push_back({m_demands[i].length, std::max(m_demands[i].breadth, m_demands[i].breadthEnd), counts[i]});
            BoardPlan plan = planBoards(p, m_options.effort, [&](const BoardPlan& b) { soFar(b, b.boards, ownLayouts); });
            keep(p, plan, plan.boards);
            layouts = std::move(plan.layouts);
        }
        if (!problem.empty() || !fault.empty()) {
            g.proven = false;
            g.cut = g.bought = 0;
            g.short_ = g.parts;
            tell(Code::PlanFault, m_parts.parts[g.parts.front()],
                 problem.empty() ? "the plan for " + title + " did not stand up to being checked: " + fault : "there is no plan for " + title + ": " + problem,
                 problem.empty() ? "this is a mistake of the program: report it with the job" : "see the sizes and counts of its pieces");
            g.words = "not planned";
            return;
        }
        for (const CutLayout& layout : layouts) board(g, layout, stock[layout.stock]);
        finish(g, uncut);
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

    /// A bar cut to lengths as a board: the longest piece first, what is left behind them.
    [[nodiscard]] CutLayout layoutOf(const LengthPattern& pattern, const LengthProblem& p, const CutStock& stock, std::int64_t keep) const {
        CutLayout out;
        out.stock = pattern.bar;
        out.onHand = pattern.onHand;
        out.times = pattern.times;
        Box rest{stock.trimX, 0, stock.width - 2 * stock.trimX, stock.height};
        CutPart root;
        root.box = rest;
        out.parts.push_back(root);
        std::size_t at = 0;
        std::int32_t order = 0;
        for (std::size_t d = 0; d < pattern.counts.size(); ++d) {
            for (std::int32_t n = 0; n < pattern.counts[d]; ++n) {
                const std::int64_t length = p.demands[d].length;
                const Box box{rest.x, rest.y, length, rest.height};
                PlacedPiece placed;
                placed.demand = d;
                placed.box = box;
                placed.outline = {{box.x, box.y}, {box.x + box.width, box.y}, {box.x + box.width, box.y + box.height}, {box.x, box.y + box.height}};
                const auto piece = static_cast<std::int32_t>(out.pieces.size());
                out.pieces.push_back(std::move(placed));
                if (length == rest.width) { // nothing is left
                    out.parts[at].kind = CutPart::Kind::Piece;
                    out.parts[at].piece = piece;
                    rest.width = 0;
                    continue;
                }
                const std::int64_t left = std::max<std::int64_t>(rest.width - length - p.kerf, 0);
                out.parts[at].kind = CutPart::Kind::Cut;
                out.parts[at].upright = true;
                out.parts[at].at = rest.x + length;
                out.parts[at].order = ++order;
                out.parts[at].first = static_cast<std::int32_t>(out.parts.size());
                CutPart first;
                first.kind = CutPart::Kind::Piece;
                first.box = box;
                first.piece = piece;
                out.parts.push_back(first);
                rest = {rest.x + length + p.kerf, rest.y, left, rest.height};
                if (left == 0) continue;
                out.parts[at].second = static_cast<std::int32_t>(out.parts.size());
                at = out.parts.size();
                CutPart second;
                second.box = rest;
                out.parts.push_back(second);
            }
        }
        if (rest.width > 0 && keep > 0 && rest.width >= keep) {
            out.parts[at].kind = CutPart::Kind::Offcut;
            out.offcuts.push_back(rest);
        }
        return out;
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
                tell(Code::StockShort, p,
                     std::to_string(p.count - s.given) + " of the piece `" + p.view.name + "` of " + p.mark + " (" + sizeOf(p.view) +
                         ") find no stock: what is on hand does not reach, and what is long and broad enough has no price",
                     "state a price for stock that it fits on, or more on hand");
            }
        }
        const std::string what = g.panels ? (g.cut == 1 ? " panel" : " panels") : (g.cut == 1 ? " board" : " boards");
        std::string hand;
        if (g.cut > g.bought) hand = ", " + std::to_string(g.cut - g.bought) + " of them on hand";
        if (g.counted) {
            g.words = std::to_string(g.cut) + what + hand + "; at least " + std::to_string(g.atLeast) +
                      (g.cut > g.bought ? " must be bought"
                       : g.atLeast == 1 ? " is needed"
                                        : " are needed");
        } else if (g.money) {
            g.words = std::to_string(g.cut) + what + hand + " for " + showMoney(g.cost, m_rows.currency) + "; no plan costs less than " +
                      showMoney(g.atLeast, m_rows.currency);
        } else {
            const double share = g.cost > 0 ? static_cast<double>(g.atLeast) / static_cast<double>(g.cost) : 1.0;
            g.words =
                std::to_string(g.cut) + what + hand + "; no plan needs less than " + units::showNumber(100.0 * share, {}, {3, {}, {}}) + " % of this area";
        }
        g.words += g.proven ? ", so this is the least" : "; whether fewer would do is not proven";
        if (!g.short_.empty()) g.words += "; not all pieces find stock";
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
    std::vector<Demand> m_demands;
    std::vector<Queue> m_queues;
    std::set<std::string> m_told;
    CutPlan m_out;
};

} // namespace

CutPlan planCuts(Parts& parts, const ShopRows& rows, const std::vector<meaning::Rate>& rates, const PlanOptions& options) {
    return Planner(parts, rows, rates, options).plan();
}

} // namespace spanwright::shop
