// SPDX-License-Identifier: MIT
// Kinks and jumps of a flat formula: each operation is looked at once, however often the sheet calls for it.
#include <cmath>
#include <optional>

#include "engine/eval/breaks.h"
#include "engine/eval/flags.h"
#include "engine/eval/flat_run.h"
#include "engine/eval/points.h"

namespace spanwright::eval {

using meaning::Expr;
using meaning::ExprKind;
using Kind = Flat::Node::Kind;

class Engine::FlatRun::BreakFinder : public BreakPlaces {
public:
    BreakFinder(FlatRun& run, double from, double to, std::size_t point)
        : BreakPlaces(from, to), m_run(run), m_flat(run.m_flat), m_point(point), m_lines(run.m_lines) {
        m_lines.assign(m_flat.nodes.size(), {});
    }

    void look(const std::vector<std::uint32_t>& breaking) {
        for (const std::uint32_t id : breaking) look(m_flat.nodes[id]);
    }

    bool amiss = false; ///< something that was looked at has no value
    bool vague = false; ///< sides of a comparison are no straight lines: it may change where it was not seen

private:
    static constexpr std::size_t kMostRows = 500, kMostOperands = 8;

    void look(const Flat::Node& n) {
        switch (n.kind) {
        case Kind::Two:
            if (n.what >= Do::Less && n.what <= Do::NotEqual) addCrossing(n.a, n.b);
            if (n.what == Do::Min || n.what == Do::Max) {
                // min(a, b, c) is min(min(a, b), c): c meets a and b.
                std::uint32_t left = n.a;
                addCrossing(left, n.b);
                for (std::size_t more = 2; more < kMostOperands; ++more) {
                    const Flat::Node& before = m_flat.nodes[left];
                    if (before.kind != Kind::Two || before.what != n.what) break;
                    addCrossing(before.b, n.b);
                    addCrossing(before.a, n.b);
                    left = before.a;
                }
            }
            break;
        case Kind::One:
            if (n.what == Do::Abs) addWhere(line(n.a), 0.0);
            break;
        case Kind::Along: beam(m_run.m_engine.m_pool.at(m_flat.beams[n.index]), n.a); break;
        case Kind::CallOut: {
            const Flat::CallOut& c = m_flat.callOuts[n.index];
            const Expr& e = m_run.m_engine.m_pool.at(c.node);
            if (c.arguments.empty()) break;
            if (e.kind == ExprKind::BeamValue) beam(e, c.arguments[0]);
            if (e.kind == ExprKind::TableField && e.how != meaning::Lookup::Exact) rows(*m_run.m_engine.m_sheet->tables[e.table.index()], c.arguments[0]);
            break;
        }
        default: break;
        }
    }

    void beam(const Expr& e, std::uint32_t x) {
        const beam::Solved* solved = m_run.m_engine.m_values->at(e.quantity).solved.get();
        if (const PointRow* row = m_run.m_points != 0 ? m_run.m_engine.m_points->rows[e.quantity.index()] : nullptr) {
            const std::uint32_t* list = m_run.m_engine.m_points->list;
            const std::size_t point = list != nullptr ? list[m_point] : m_point;
            solved = row->hasBeams() ? row->beamAt(point).get() : nullptr;
        }
        if (solved == nullptr) return;
        const std::optional<Straight> at = line(x);
        for (const double b : solved->breaks()) {
            if (at)
                addWhere(at, b);
            else
                add(b);
        }
    }

    void rows(const meaning::Table& t, std::uint32_t keyNode) {
        const std::optional<Straight> key = line(keyNode);
        if (!key || key->slope == 0.0 || t.keys.empty() || t.rowCount() > kMostRows) return;
        for (const double v : t.cells[t.keys[0]]) addWhere(key, v);
    }

    void addCrossing(std::uint32_t a, std::uint32_t b) {
        const std::optional<Straight> one = line(a), other = line(b);
        vague = vague || !one || !other;
        BreakPlaces::addCrossing(one, other);
    }

    /// The node as a straight line in x, if it is one by its form.
    std::optional<Straight> line(std::uint32_t id) {
        KnownLine& known = m_lines[id];
        if (!known.asked) {
            known.asked = true;
            known.line = straight(m_flat.nodes[id], id);
        }
        return known.line;
    }

    std::optional<Straight> straight(const Flat::Node& n, std::uint32_t id) {
        if (n.kind == Kind::Place) return Straight{0.0, 1.0};
        if (!n.placed) {
            const Operand v = m_run.at(id);
            const double number = m_run.m_bad ? 0.0 : v.at(v.one ? 0 : m_point);
            if (m_run.m_bad || raisedFlags() != 0) {
                amiss = true;
                m_run.m_bad = false;
                clearFlags();
                m_run.forget();
                return std::nullopt;
            }
            if (!std::isfinite(number)) return std::nullopt;
            return Straight{number, 0.0};
        }
        if (n.kind == Kind::One && n.what == Do::Negate) {
            const auto a = line(n.a);
            if (!a) return std::nullopt;
            return Straight{-a->at, -a->slope};
        }
        if (n.kind != Kind::Two || n.what > Do::Divide) return std::nullopt;
        const auto a = line(n.a), b = line(n.b);
        if (!a || !b) return std::nullopt;
        switch (n.what) {
        case Do::Add: return Straight{a->at + b->at, a->slope + b->slope};
        case Do::Subtract: return Straight{a->at - b->at, a->slope - b->slope};
        case Do::Multiply:
            if (a->slope != 0.0 && b->slope != 0.0) return std::nullopt;
            return Straight{a->at * b->at, a->slope * b->at + b->slope * a->at};
        case Do::Divide:
            if (b->slope != 0.0 || b->at == 0.0) return std::nullopt;
            return Straight{a->at / b->at, a->slope / b->at};
        default: return std::nullopt;
        }
    }

    FlatRun& m_run;
    const Flat& m_flat;
    std::size_t m_point;
    std::vector<KnownLine>& m_lines;
};

void Engine::FlatRun::forget() {
    for (Slot& s : m_slots) s.block = s.spreadBlock = 0;
    for (Beam& b : m_beams) b.ready = false;
}

std::vector<double> Engine::FlatRun::breaks(const std::vector<std::uint32_t>& breaking, double from, double to, std::size_t point) {
    m_vague = false;
    if (m_bad || breaking.empty()) return {};
    const Quiet quiet(m_engine);
    m_lanes = {Level::Point, m_points, nullptr, kEverywhere};
    BreakFinder finder(*this, from, to, point);
    finder.look(breaking);
    if (finder.amiss) {
        // What was looked at need not be read by any place: whatever went wrong on the way is tried again where it
        // is. Of several points nobody knows which it was.
        forget();
        m_bad = m_points != 0;
    }
    m_vague = finder.amiss || finder.vague || finder.full();
    return finder.keptApart();
}

} // namespace spanwright::eval
