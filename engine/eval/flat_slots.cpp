// SPDX-License-Identifier: MIT
// What a flat formula's nodes depend on (a point, a place, the rows of axes), and where their numbers go.
#include <algorithm>

#include "engine/eval/flat_run.h"
#include "engine/eval/machine.h"
#include "engine/eval/points.h"

namespace spanwright::eval {

using meaning::Expr;
using meaning::ExprKind;
using Kind = Flat::Node::Kind;

namespace {

/// Least and most, or what was chosen so far and the result.
std::uint32_t partsOf(Kind k) { return k == Kind::Along || k == Kind::Choose ? 2 : 1; }

} // namespace

Engine::FlatRun::FlatRun(Engine& engine, const Flat& flat) : FlatRun(engine, flat, 0) {}

Engine::FlatRun::FlatRun(Engine& engine, const Flat& flat, std::size_t points, const std::vector<meaning::QuantityId>& axes)
    : m_engine(engine), m_flat(flat), m_mark(engine.m_arena), m_axes(axes), m_points(points) {
    for (const meaning::QuantityId a : axes) m_cases *= engine.m_values->axisSize(a);
    m_beams.resize(m_cases * flat.beams.size());
    placeSlots();
    m_pointStride = strideOf(points);
}

std::uint32_t Engine::FlatRun::axesOf(const Flat::Node& n) const {
    std::uint32_t bits = 0;
    const auto axis = [&](meaning::QuantityId q) {
        for (std::size_t a = 0; a < m_axes.size(); ++a)
            if (q == m_axes[a]) bits |= 1U << a;
    };
    switch (n.kind) {
    case Kind::Leaf: {
        const Leaf& l = m_flat.leaves[n.index];
        if (!l.quantity.valid()) break;
        axis(l.quantity);
        for (const meaning::QuantityId a : m_engine.m_sheet->at(l.quantity).axes) axis(a);
        break;
    }
    case Kind::Along:
        if (const Expr& e = m_engine.m_pool.at(m_flat.beams[n.index]); e.factors.row.valid()) axis(e.factors.row);
        break;
    case Kind::CallOut: bits = (1U << m_axes.size()) - 1; break; // whatever it reads
    default: break;
    }
    return bits;
}

void Engine::FlatRun::placeSlots() {
    const std::size_t nodes = m_flat.nodes.size();
    std::vector<std::uint32_t> bits(nodes, 0);
    m_views.resize(m_cases * nodes);
    m_view = m_views.data(); // levels are the same in all cases
    m_slots.reserve(nodes);
    std::uint32_t singles = 0, byPoint = 0, byPlace = 0;
    for (std::size_t id = 0; id < nodes; ++id) {
        const Flat::Node& n = m_flat.nodes[id];
        std::uint32_t& mine = bits[id];
        mine = m_axes.empty() ? 0 : axesOf(n);
        const std::uint32_t parts = partsOf(n.kind);
        Slot slot;
        slot.level = levelOf(n);
        if (!m_axes.empty()) {
            switch (n.kind) {
            case Kind::Place:
            case Kind::Constant:
            case Kind::Leaf:
            case Kind::CallOut: break;
            case Kind::Choose: mine |= bits[n.c]; [[fallthrough]];
            case Kind::Two:
            case Kind::Call2: mine |= bits[n.b]; [[fallthrough]];
            case Kind::One:
            case Kind::Call1:
            case Kind::Along:
            case Kind::Pick: mine |= bits[n.a]; break;
            }
        }
        // Lanes of places are kept for a block only. Where all axes that run slower are among a node's own, each of its
        // values is done with before the next one comes; else each has a place of its own.
        const bool passing = (mine & (mine + 1)) == 0;
        for (std::size_t c = 0; c < m_cases; ++c) {
            std::size_t owner = 0, rest = c, stride = 1;
            for (std::size_t a = m_axes.size(); a-- > 0;) {
                const std::size_t size = m_engine.m_values->axisSize(m_axes[a]);
                if ((mine & (1U << a)) != 0) owner += rest % size * stride;
                rest /= size;
                stride *= size;
            }
            if (owner != c) {
                m_views[c * nodes + id] = m_views[owner * nodes + id];
                continue;
            }
            m_views[c * nodes + id] = static_cast<std::uint32_t>(m_slots.size());
            const bool fresh = c == 0 || !passing;
            if (slot.level == Level::One) {
                slot.room = singles;
                singles += parts;
            } else if (slot.level == Level::Point) {
                slot.room = byPoint;
                byPoint += parts;
                if (fresh) slot.spreadRoom = byPlace++;
            } else if (fresh) {
                slot.room = byPlace;
                byPlace += parts;
            }
            m_slots.push_back(slot);
        }
    }
    m_single = m_engine.m_arena.take(singles + 1);
    m_byPoint = m_engine.m_arena.take(byPoint * strideOf(m_points) + 1);
    m_byPlace = m_engine.m_arena.take(byPlace * strideOf(kLanes) + 1);
}

void Engine::FlatRun::setCase(std::size_t index) {
    m_case = index;
    m_view = m_views.data() + index * m_flat.nodes.size();
    for (std::size_t a = m_axes.size(); a-- > 0;) {
        const std::size_t size = m_engine.m_values->axisSize(m_axes[a]);
        m_engine.setAxisRow(m_axes[a], index % size);
        index /= size;
    }
}

Engine::FlatRun::Level Engine::FlatRun::levelOf(const Leaf& l) const {
    if (m_points == 0) return Level::One;
    if (l.kind == ExprKind::Bound) return m_engine.m_laneSlot[l.index] != nullptr ? Level::Point : Level::One;
    return m_engine.m_points->rows[l.quantity.index()] != nullptr ? Level::Point : Level::One;
}

Engine::FlatRun::Level Engine::FlatRun::levelOf(const Flat::Node& n) const {
    const auto of = [&](std::uint32_t id) { return slotOf(id).level; };
    const auto beam = [&](const Expr& e) {
        return m_points != 0 && e.kind == ExprKind::BeamValue && m_engine.m_points->rows[e.quantity.index()] != nullptr ? Level::Point : Level::One;
    };
    switch (n.kind) {
    case Kind::Place: return Level::Place;
    case Kind::Constant: return Level::One;
    case Kind::Leaf: return levelOf(m_flat.leaves[n.index]);
    case Kind::One:
    case Kind::Call1:
    case Kind::Pick: return of(n.a);
    case Kind::Two:
    case Kind::Call2: return std::max(of(n.a), of(n.b));
    case Kind::Choose: return std::max({of(n.a), of(n.b), of(n.c)});
    case Kind::Along: return std::max(of(n.a), beam(m_engine.m_pool.at(m_flat.beams[n.index])));
    case Kind::CallOut: {
        Level level = beam(m_engine.m_pool.at(m_flat.callOuts[n.index].node));
        for (const std::uint32_t a : m_flat.callOuts[n.index].arguments) level = std::max(level, of(a));
        return level;
    }
    }
    return Level::Place;
}

} // namespace spanwright::eval
