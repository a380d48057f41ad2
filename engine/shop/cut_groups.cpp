// SPDX-License-Identifier: MIT
// From parts to groups that share their stock.
#include "engine/shop/cut_groups.h"

#include <algorithm>
#include <cmath>
#include <set>

namespace spanwright::shop {

using diag::Code;
using Grain = job::PieceView::Grain;

namespace {

constexpr std::int64_t kSame = 1; ///< sizes that differ by a tenth of a millimetre are one

std::int64_t near(double metres) { return std::llround(metres * kUnitsPerMetre); }

class Grouper {
public:
    Grouper(Parts& parts, const ShopRows& rows, std::vector<diag::Diagnostic>& problems)
        : m_parts(parts), m_rows(rows), m_problems(problems), m_kerf(std::max(unitsAtLeast(rows.saw.kerf), unitsAtLeast(rows.saw.crossKerf))) {}

    [[nodiscard]] std::vector<GroupPlan> groups() {
        for (std::size_t i = 0; i < m_parts.parts.size(); ++i) place(i);
        // What must be as broad as its board has no other choice, so it takes from what is on hand first.
        std::stable_sort(m_groups.begin(), m_groups.end(), [](const GroupPlan& a, const GroupPlan& b) { return rank(a) < rank(b); });
        return std::move(m_groups);
    }

private:
    static int rank(const GroupPlan& g) { return g.panels ? 2 : g.breadth > 0.0 ? 0 : 1; }

    void tell(Code code, const Part& p, std::string message, std::string mend) {
        m_problems.push_back(aboutPart(code, p, std::move(message), std::move(mend)));
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
        const auto same = std::find_if(m_groups.begin(), m_groups.end(), [&](const GroupPlan& o) {
            return o.material == g.material && near(o.thickness) == near(g.thickness) && near(o.breadth) == near(g.breadth) && o.panels == g.panels;
        });
        GroupPlan& into = same == m_groups.end() ? m_groups.emplace_back(std::move(g)) : *same;
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
        if (mayBeUnread(p, m_rows)) return;
        if (m_told.insert(std::to_string(static_cast<int>(code)) + key).second) tell(code, p, std::move(message), std::move(mend));
    }

    [[nodiscard]] bool fits(const Part& p, const GroupPlan& g) {
        if (m_kerf > 0 && std::min(p.length, std::max(p.breadth, p.breadthEnd)) <= m_kerf) {
            tell(Code::KerfTooWide, p,
                 "the kerf of " + millimetres(metresOf(m_kerf)) + " mm is as wide as the piece `" + p.view.name + "` of " + p.mark + " (" + sizeOf(p.view) +
                     ") or wider",
                 "such a piece cannot be sawn: see its sizes and the saw's kerf");
            return false;
        }
        const std::int64_t breadth = std::max(p.breadth, p.breadthEnd);
        std::int64_t longest = 0, broadest = 0;
        for (const std::size_t s : g.stock) {
            const CutStock c = cutStock(m_rows, s, g);
            const std::int64_t x = c.width - 2 * c.trimX, y = c.height - 2 * c.trimY;
            longest = std::max(longest, x);
            broadest = std::max(broadest, y);
            const bool along = p.length <= x && breadth <= y, across = p.length <= y && breadth <= x;
            if (!g.panels || p.view.grain == Grain::Along ? along : p.view.grain == Grain::Across ? across : along || across) return true;
        }
        if (mayBeUnread(p, m_rows)) return false;
        tell(Code::PieceTooLarge, p,
             "the piece `" + p.view.name + "` of " + p.mark + " (" + sizeOf(p.view) + ") is larger than any " + (g.panels ? "panel" : "board") + " of " +
                 g.material + " " + millimetres(g.thickness) + " mm thick",
             "the largest leave " + millimetres(metresOf(broadest)) + " x " + millimetres(metresOf(longest)) +
                 " mm behind their trims; join the piece, or state larger stock");
        return false;
    }

    Parts& m_parts;
    const ShopRows& m_rows;
    std::vector<diag::Diagnostic>& m_problems;
    std::int64_t m_kerf = 0;
    std::set<std::string> m_told;
    std::vector<GroupPlan> m_groups;
};

} // namespace

bool mayBeUnread(const Part& p, const ShopRows& rows) {
    return std::any_of(rows.unread.stock.begin(), rows.unread.stock.end(), [&](const StockRow& s) {
        if (!s.material.empty() && s.material != p.view.material) return false;
        if (!(s.thickness > 0.0 && s.breadth > 0.0 && s.length > 0.0)) return true;
        const std::int64_t t = near(s.thickness);
        const auto thick = [&](std::int64_t wanted) { return p.plane ? t >= wanted : std::llabs(t - wanted) <= kSame; };
        return thick(p.thickness) || thick(p.breadth);
    });
}

diag::Diagnostic aboutPart(Code code, const Part& p, std::string message, std::string mend) {
    diag::Diagnostic d;
    d.code = code;
    d.place = p.view.place;
    d.message = std::move(message);
    d.mend = std::move(mend);
    d.member = p.mark;
    return d;
}

CutStock cutStock(const ShopRows& rows, std::size_t s, const GroupPlan& g) {
    const StockRow& row = rows.stock[s];
    CutStock c;
    c.width = unitsAtMost(row.length);
    c.height = g.breadth > 0.0 ? near(g.breadth) : unitsAtMost(row.breadth);
    c.trimX = unitsAtLeast(rows.saw.trim);
    c.trimY = g.panels ? c.trimX : 0;
    return c;
}

std::vector<GroupPlan> groupParts(Parts& parts, const ShopRows& rows, std::vector<diag::Diagnostic>& problems) {
    return Grouper(parts, rows, problems).groups();
}

} // namespace spanwright::shop
