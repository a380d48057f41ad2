// SPDX-License-Identifier: MIT
#include "gui/models/governing_walk.h"

#include <algorithm>

#include "gui/models/cell_text.h"

namespace spanwright::models {

namespace {

/// The quantities that a row's formulas name, in the order of reading: of a check the demand before the capacity.
std::vector<meaning::QuantityId> inOrderOfReading(const meaning::Sheet& sheet, const meaning::Quantity& q) {
    std::vector<meaning::QuantityId> out;
    std::vector<meaning::ExprId> open;
    for (const meaning::ExprId root : {q.formula, q.right}) {
        if (!root.valid()) continue;
        open.push_back(root);
        while (!open.empty()) {
            const meaning::Expr& e = sheet.exprs.at(open.back());
            open.pop_back();
            if (e.quantity.valid() && std::find(out.begin(), out.end(), e.quantity) == out.end()) out.push_back(e.quantity);
            for (std::size_t i = e.children.size(); i-- > 0;) open.push_back(e.children[i]);
        }
    }
    return out;
}

} // namespace

void GoverningWalk::start(const Spot& spot) {
    m_open.clear();
    m_seen.clear();
    m_seen.insert({spot.mark, spot.name});
    m_at = spot;
    push(spot);
}

std::optional<Spot> GoverningWalk::step(const Spot& from) {
    if (!m_at || *m_at != from) start(from);
    while (!m_open.empty()) {
        const Spot next = m_open.back();
        m_open.pop_back();
        if (!m_seen.insert({next.mark, next.name}).second) continue;
        m_at = next;
        push(next);
        return next;
    }
    m_at.reset();
    return {};
}

void GoverningWalk::push(const Spot& spot) {
    const std::optional<CellId> cell = m_session.find(spot.mark, spot.name);
    if (!cell) return;
    const job::Working working = m_session.job().working(cell->member, cell->quantity);
    struct Next {
        Spot to;
        std::size_t place;
        bool worked;
    };
    std::vector<Next> next;
    const std::vector<meaning::QuantityId> order = inOrderOfReading(m_session.job().sheet(cell->member), m_session.quantity(*cell));
    for (const job::Working::Neighbour& n : working.comesFrom) {
        const Spot to{n.member.empty() ? spot.mark : n.member, n.name};
        const std::optional<CellId> found = m_session.find(to.mark, to.name);
        if (!found) continue;
        const meaning::Quantity& q = m_session.quantity(*found);
        const bool worked = q.kind == meaning::Kind::Derive || q.kind == meaning::Kind::Beam || isLink(q, m_session.view(*found).statedText);
        const auto place = found->member == cell->member ? std::find(order.begin(), order.end(), found->quantity) : order.end();
        next.push_back({to, static_cast<std::size_t>(place - order.begin()), worked});
    }
    std::stable_sort(next.begin(), next.end(), [](const Next& a, const Next& b) { return a.place < b.place; });
    std::stable_partition(next.begin(), next.end(), [](const Next& n) { return n.worked; });
    // The stack is taken from its end.
    for (std::size_t i = next.size(); i-- > 0;) m_open.push_back(next[i].to);
}

} // namespace spanwright::models
