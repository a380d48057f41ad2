// SPDX-License-Identifier: MIT
// Beams of all points of a trial at once: what makes such a line, as beam_row.cpp does it for one.
#include <algorithm>
#include <vector>

#include "engine/beam/even_lines.h"
#include "engine/eval/beam_row.h"

namespace spanwright::eval {

using meaning::BeamDefinition;
using meaning::ExprId;

namespace {

class Gatherer {
public:
    Gatherer(Engine& engine, PointScope& scope, std::size_t n) : m_engine(engine), m_scope(scope), m_n(n) {}

    [[nodiscard]] bool lanes(ExprId e, std::vector<double>& out) {
        out.resize(m_n);
        return m_engine.goesInLanes(e, m_scope) && m_engine.points(e, m_scope, m_n, out.data()) && m_scope.alone.empty();
    }
    /// Whether something is there, the same at every point.
    [[nodiscard]] bool stands(ExprId condition, bool& there) {
        there = true;
        if (!condition.valid()) return true;
        if (!lanes(condition, m_spare)) return false;
        there = m_spare.front() != 0.0;
        return std::all_of(m_spare.begin(), m_spare.end(), [&](double v) { return (v != 0.0) == there; });
    }
    /// Not stated, or just this at every point.
    [[nodiscard]] bool isAt(ExprId e, const std::vector<double>& place) { return !e.valid() || (lanes(e, m_spare) && m_spare == place); }

private:
    Engine& m_engine;
    PointScope& m_scope;
    std::size_t m_n;
    std::vector<double> m_spare;
};

} // namespace

std::shared_ptr<beam::EvenLines> evenLinesOf(Engine& engine, const meaning::Quantity& row, PointScope& scope, std::size_t points) {
    const BeamDefinition& def = engine.sheet()->beams[row.beam];
    if (points == 0 || !def.constantStiffness || !def.stiffnessEI.valid() || def.stiffnessRelief.valid()) return nullptr;
    scope.alone.clear();
    Gatherer gather(engine, scope, points);
    beam::EvenLines::Input in;
    in.count = points;
    in.actionCount = static_cast<std::uint32_t>(def.actions.size());
    if (!gather.lanes(def.from, in.from) || !gather.lanes(def.to, in.to)) return nullptr;
    std::size_t supports = 0;
    for (const BeamDefinition::Support& s : def.supports) {
        if (s.axis.valid()) return nullptr;
        bool there = false;
        if (!gather.stands(s.onlyIf, there)) return nullptr;
        if (!there) continue;
        if (s.fixed || s.sink.valid() || supports > 1 || !gather.isAt(s.at, supports == 0 ? in.from : in.to)) return nullptr;
        ++supports;
    }
    if (supports != 2) return nullptr;
    for (const BeamDefinition::Load& l : def.loads) {
        if (l.axis.valid()) return nullptr;
        bool there = false;
        if (!gather.stands(l.onlyIf, there)) return nullptr;
        if (!there) continue;
        const bool even = l.shape == syntax::LoadRow::Shape::Line && !l.sizeEnd.valid() && gather.isAt(l.from, in.from) && gather.isAt(l.to, in.to);
        if (!even) return nullptr;
        in.loads.push_back({l.action, l.eachSpan, {}});
        if (!gather.lanes(l.size, in.loads.back().size)) return nullptr;
    }
    if (!gather.lanes(def.stiffnessEI, in.ei) || (def.stiffnessGA.valid() && !gather.lanes(def.stiffnessGA, in.ga))) return nullptr;
    return beam::EvenLines::of(std::move(in));
}

} // namespace spanwright::eval
