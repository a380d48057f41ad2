// SPDX-License-Identifier: MIT
#include "engine/eval/beam_row.h"

#include <algorithm>
#include <iterator>
#include <limits>
#include <numeric>
#include <optional>
#include <utility>

#include "engine/eval/breaks.h"
#include "engine/eval/flags.h"
#include "engine/eval/flat_run.h"

namespace spanwright::eval {

using meaning::BeamDefinition;
using meaning::ExprId;
using meaning::QuantityId;

namespace {

class Builder {
public:
    Builder(Engine& engine, const meaning::Quantity& row) : m_engine(engine), m_row(row), m_def(engine.sheet()->beams[row.beam]) {}

    std::shared_ptr<const beam::Solved> solve() {
        m_line.from = number(m_def.from);
        m_line.to = number(m_def.to);
        m_line.supports.reserve(m_def.supports.size());
        m_supportFrom.reserve(m_def.supports.size());
        m_line.loads.reserve(m_def.loads.size());
        m_loadFrom.reserve(m_def.loads.size());
        for (const BeamDefinition::Support& s : m_def.supports) everyRow(s.axis, [&] { addSupport(s); });
        for (const BeamDefinition::Load& l : m_def.loads) everyRow(l.axis, [&] { addLoad(l); });
        if (m_engine.failed()) return nullptr;
        sortSupports();
        m_line.actionCount = static_cast<std::uint32_t>(m_def.actions.size());
        m_line.constantStiffness = m_def.constantStiffness;
        const ExprId curves[] = {m_def.stiffnessEI, m_def.stiffnessGA, m_def.stiffnessRelief};
        std::optional<Engine::FlatRun> runs[std::size(curves)]; // the last one made goes first
        for (std::size_t i = 0; i < std::size(curves) && !m_def.constantStiffness; ++i) {
            if (!curves[i].valid()) continue;
            if (const Flat& flat = m_engine.flat(curves[i], m_def.slot); flat.usable) runs[i].emplace(m_engine, flat);
        }
        const auto runOf = [&](std::size_t i) { return runs[i] ? &*runs[i] : nullptr; };
        m_line.ei = stiffness(curves[0], runOf(0));
        m_line.ga = stiffness(curves[1], runOf(1));
        m_line.relief = stiffness(curves[2], runOf(2));
        if (!m_def.constantStiffness && m_line.from < m_line.to) {
            for (std::size_t i = 0; i < std::size(curves); ++i) {
                if (!curves[i].valid()) continue;
                const std::vector<double> kinks =
                    runs[i] ? runs[i]->breaks(m_line.from, m_line.to) : breaksOf(m_engine, curves[i], m_def.slot, m_line.from, m_line.to);
                m_line.kinks.insert(m_line.kinks.end(), kinks.begin(), kinks.end());
            }
            std::sort(m_line.kinks.begin(), m_line.kinks.end());
        }
        base::Result<beam::Solved, beam::Problem> solved = beam::solve(m_line);
        clearFlags();
        if (m_engine.failed()) return nullptr; // the stiffness has no value somewhere
        if (solved) return std::make_shared<const beam::Solved>(std::move(solved).value());
        tell(solved.error());
        return nullptr;
    }

private:
    double number(ExprId e) {
        double v = 0.0;
        if (e.valid() && !m_engine.failed()) static_cast<void>(m_engine.number(e, v));
        return v;
    }

    bool holds(ExprId condition) { return !condition.valid() || number(condition) != 0.0; }

    template <class Add> void everyRow(QuantityId axis, Add add) {
        if (m_engine.failed()) return;
        if (!axis.valid()) {
            add();
            return;
        }
        const Value& rows = m_engine.values().at(axis);
        if (!rows.known()) {
            Leaf leaf;
            leaf.kind = meaning::ExprKind::AxisKey;
            leaf.quantity = axis;
            m_engine.blockOn(leaf);
            return;
        }
        const std::size_t kept = m_engine.axisRow(axis);
        m_engine.pushNoteAxis(axis);
        for (std::size_t r = 0; r < m_engine.values().axisSize(axis) && !m_engine.failed(); ++r) {
            m_engine.setAxisRow(axis, r);
            add();
        }
        m_engine.popNoteAxis();
        m_engine.setAxisRow(axis, kept);
    }

    void addSupport(const BeamDefinition::Support& s) {
        if (!holds(s.onlyIf) || m_engine.failed()) return;
        beam::Support support;
        support.at = number(s.at);
        support.fixed = s.fixed;
        support.sink = number(s.sink);
        m_line.supports.push_back(support);
        m_supportFrom.push_back(&s);
    }

    void addLoad(const BeamDefinition::Load& l) {
        if (!holds(l.onlyIf) || m_engine.failed()) return;
        using Shape = syntax::LoadRow::Shape;
        beam::Load load;
        load.action = l.action;
        load.size = number(l.size);
        load.sizeEnd = l.sizeEnd.valid() ? number(l.sizeEnd) : load.size;
        load.eachSpan = l.eachSpan;
        if (l.shape == Shape::Point || l.shape == Shape::Moment) {
            load.shape = l.shape == Shape::Point ? beam::Load::Shape::Point : beam::Load::Shape::Moment;
            load.from = load.to = number(l.at);
        } else {
            load.from = l.from.valid() ? number(l.from) : m_line.from;
            load.to = l.to.valid() ? number(l.to) : m_line.to;
        }
        m_line.loads.push_back(load);
        m_loadFrom.push_back(&l);
    }

    void sortSupports() {
        const auto before = [](const beam::Support& a, const beam::Support& b) { return a.at < b.at; };
        if (std::is_sorted(m_line.supports.begin(), m_line.supports.end(), before)) return;
        std::vector<std::size_t> order(m_line.supports.size());
        std::iota(order.begin(), order.end(), std::size_t{0});
        std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) { return before(m_line.supports[a], m_line.supports[b]); });
        std::vector<beam::Support> supports;
        std::vector<const BeamDefinition::Support*> from;
        for (const std::size_t i : order) {
            supports.push_back(m_line.supports[i]);
            from.push_back(m_supportFrom[i]);
        }
        m_line.supports = std::move(supports);
        m_supportFrom = std::move(from);
    }

    beam::Stiffness stiffness(ExprId e, Engine::FlatRun* run) {
        if (!e.valid()) return {};
        // Called by beam::solve() only, while this builder and the run live.
        if (m_def.constantStiffness) {
            return [this, e](const double*, std::size_t n, double* out) {
                double v = std::numeric_limits<double>::quiet_NaN();
                if (!m_engine.failed()) static_cast<void>(m_engine.number(e, v));
                std::fill(out, out + n, m_engine.failed() ? std::numeric_limits<double>::quiet_NaN() : v);
            };
        }
        return [this, e, run](const double* x, std::size_t n, double* out) {
            if (!m_engine.failed() && m_engine.along(e, m_def.slot, x, n, out, run)) return;
            std::fill(out, out + n, std::numeric_limits<double>::quiet_NaN());
        };
    }

    void tell(const beam::Problem& p) {
        using What = beam::Problem::What;
        diag::Diagnostic d;
        d.message = "beam " + m_row.name + ": " + p.message;
        switch (p.what) {
        case What::NoSpan:
            d.code = diag::Code::BeamPlace;
            d.mend = "a beam runs from its left end to a right end beyond it";
            break;
        case What::SupportOutside:
        case What::LoadOutside:
            d.code = diag::Code::BeamPlace;
            d.mend = "put it between the ends of the beam, or move the ends";
            break;
        case What::SupportsCoincide:
            d.code = diag::Code::BeamPlace;
            d.mend = "leave one of the two out, or put `only if` behind it";
            break;
        case What::Unstable:
            d.code = diag::Code::BeamUnstable;
            d.mend = "two simple supports or one fixed support hold a beam";
            break;
        case What::NoStiffness:
            d.code = diag::Code::BeamStiffness;
            d.mend = "add a row `stiffness E*I` to the beam";
            break;
        case What::BadStiffness:
            d.code = diag::Code::BeamStiffness;
            d.mend = "stiffness must be above zero all along the beam";
            break;
        case What::NotAccurate:
            d.code = diag::Code::BeamAccuracy;
            d.mend = "let the stiffness vary more smoothly, or split the beam";
            break;
        }
        d.place = placeOf(p);
        m_engine.fail(std::move(d));
    }

    diag::Place placeOf(const beam::Problem& p) const {
        const auto& exprs = m_engine.pool();
        if (p.load >= 0 && static_cast<std::size_t>(p.load) < m_loadFrom.size()) {
            const BeamDefinition::Load& l = *m_loadFrom[static_cast<std::size_t>(p.load)];
            for (const ExprId e : {l.at, l.to, l.from, l.size}) {
                if (e.valid()) return m_engine.place(exprs.at(e));
            }
        }
        if (p.support >= 0 && static_cast<std::size_t>(p.support) < m_supportFrom.size()) {
            return m_engine.place(exprs.at(m_supportFrom[static_cast<std::size_t>(p.support)]->at));
        }
        const bool stiff = p.what == beam::Problem::What::BadStiffness || p.what == beam::Problem::What::NotAccurate;
        if (stiff && m_def.stiffnessEI.valid()) return m_engine.place(exprs.at(m_def.stiffnessEI));
        if (p.what == beam::Problem::What::NoSpan) return m_engine.place(exprs.at(m_def.to));
        return m_engine.rowPlace(m_row);
    }

    Engine& m_engine;
    const meaning::Quantity& m_row;
    const BeamDefinition& m_def;
    beam::Line m_line;
    std::vector<const BeamDefinition::Support*> m_supportFrom;
    std::vector<const BeamDefinition::Load*> m_loadFrom;
};

} // namespace

std::shared_ptr<const beam::Solved> solveBeamRow(Engine& engine, const meaning::Quantity& row) { return Builder(engine, row).solve(); }

} // namespace spanwright::eval
