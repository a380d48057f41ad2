// SPDX-License-Identifier: MIT
// What is asked of beams: a value at a place or a support, at many places, at many points of a trial.
#include <algorithm>
#include <cmath>
#include <limits>

#include "engine/base/text.h"
#include "engine/eval/beam_outputs.h"
#include "engine/eval/engine.h"
#include "engine/eval/flags.h"
#include "engine/eval/lanes.h"
#include "engine/eval/machine.h"
#include "engine/eval/points.h"
#include "engine/units/format.h"

namespace spanwright::eval {

using meaning::Expr;
using meaning::ExprId;
using meaning::ExprKind;

namespace {

/// Keeps the flags as they were: what a solved beam does inside is checked by its result.
class FlagsKept {
public:
    FlagsKept() : m_flags(raisedFlags()) {}
    FlagsKept(const FlagsKept&) = delete;
    FlagsKept& operator=(const FlagsKept&) = delete;
    ~FlagsKept() {
        if (m_flags == 0) clearFlags();
    }

private:
    unsigned m_flags;
};

} // namespace

bool Engine::beamKnown(const Expr& e) {
    const Value& v = m_values->at(e.quantity);
    if (v.known() && v.solved) return true;
    Leaf leaf;
    leaf.kind = ExprKind::Quantity;
    leaf.quantity = e.quantity;
    blockOn(leaf);
    return false;
}

bool Engine::factorsOf(const Expr& e, std::vector<double>& out) {
    using meaning::Factors;
    const meaning::Quantity& q = m_sheet->at(e.quantity);
    const std::size_t actions = m_sheet->beams[q.beam].actions.size();
    out.assign(actions, e.factors.from == Factors::From::All ? 1.0 : 0.0);
    if (e.factors.from == Factors::From::OneAction) out[e.factors.action] = 1.0;
    if (e.factors.from != Factors::From::Axis && e.factors.from != Factors::From::Choice) return true;
    Leaf leaf;
    leaf.kind = e.factors.from == Factors::From::Axis ? ExprKind::AxisField : ExprKind::ChoiceField;
    leaf.quantity = e.factors.row;
    for (std::size_t a = 0; a < actions && a < e.factors.columns.size(); ++a) {
        leaf.index = e.factors.columns[a];
        if (!load(leaf, out[a])) {
            blockOn(leaf);
            return false;
        }
    }
    return true;
}

void Engine::failBeamPlace(const Expr& e, double x) {
    const beam::Solved& solved = *m_values->at(e.quantity).solved;
    const meaning::Quantity& q = m_sheet->at(e.quantity);
    diag::Diagnostic d;
    d.place = place(e);
    const BeamCurve curve = curveOf(e.beamValue);
    if (!hasPlace(e.beamValue)) {
        d.code = diag::Code::BeamPlace;
        const std::size_t supports = solved.supportCount();
        d.message =
            "beam " + q.name + " has no support " + base::shortest(x) + ": it has " + std::to_string(supports) + (supports == 1 ? " support" : " supports");
        d.mend = "supports are numbered from the left, beginning with 1, counting those present";
    } else if (curve == BeamCurve::Deflection && !solved.hasDeflection()) {
        d.code = diag::Code::BeamStiffness;
        d.message = "beam " + q.name + " has no stiffness, so its deflection is not known";
        d.mend = "add a row `stiffness E*I` to the beam";
    } else {
        d.code = diag::Code::BeamPlace;
        const double from = solved.breaks().empty() ? 0.0 : solved.breaks().front(), to = solved.breaks().empty() ? 0.0 : solved.breaks().back();
        const ExprId at = e.children[0];
        d.message =
            written(m_pool.at(at)) + " = " + shown(at, x) + " lies off beam " + q.name + ", which runs from " + shown(at, from) + " to " + shown(at, to);
        d.mend = "ask for a place on the beam";
    }
    fail(std::move(d));
}

namespace {

/// A support by its number, counted from 1, to be had from 0; nothing: there is none such.
std::optional<std::size_t> supportOf(double number, std::size_t count) {
    const double whole = std::round(number);
    if (!(std::fabs(number - whole) <= 1e-9) || whole < 1.0 || whole > static_cast<double>(count)) return std::nullopt;
    return static_cast<std::size_t>(whole) - 1;
}

/// NaN where there is no such place or support.
double outputOf(const beam::Solved& solved, meaning::BeamOutput output, double x, const std::vector<double>& factors) {
    constexpr double kNone = std::numeric_limits<double>::quiet_NaN();
    const BeamCurve curve = curveOf(output);
    beam::Range3 range;
    if (curve == BeamCurve::Reaction || curve == BeamCurve::Holding) {
        const std::optional<std::size_t> support = supportOf(x, solved.supportCount());
        if (!support) return kNone;
        range = curve == BeamCurve::Holding ? solved.supportMoment(*support, factors) : solved.reaction(*support, factors);
    } else {
        alongBeam(solved, curve, &x, 1, factors, &range.least, &range.most);
    }
    return pick(output, range.least, range.most);
}

} // namespace

double Engine::beamValue(const Expr& e, const double* arguments) {
    if (!beamKnown(e)) return 0.0;
    const beam::Solved& solved = *m_values->at(e.quantity).solved;
    const FlagsKept flags;
    if (curveOf(e.beamValue) == BeamCurve::Residual) return solved.residual();
    std::vector<double> factors;
    if (!factorsOf(e, factors)) return 0.0;
    const double v = outputOf(solved, e.beamValue, arguments[0], factors);
    if (std::isfinite(v)) return v;
    failBeamPlace(e, arguments[0]);
    return 0.0;
}

std::optional<bool> Engine::linePoints(const beam::EvenLines& lines, const Expr& e, const Operand* arguments, std::size_t n, const std::vector<double>& factors,
                                       double* out) {
    const BeamCurve curve = curveOf(e.beamValue);
    if (curve == BeamCurve::Holding || curve == BeamCurve::Residual) return std::nullopt;
    const Operand& argument = arguments[0];
    if (curve == BeamCurve::Reaction && (!argument.one || m_points->list != nullptr)) return std::nullopt;
    const Arena::Mark mark(m_arena);
    double* least = m_arena.take(n);
    double* most = m_arena.take(n);
    if (curve == BeamCurve::Reaction) {
        const std::optional<std::size_t> support = supportOf(*argument.data, 2);
        if (!support) return false;
        lines.reactions(*support, n, factors, least, most);
    } else {
        double* x = m_arena.take(n);
        for (std::size_t i = 0; i < n; ++i) x[i] = argument.at(i);
        alongLines(lines, curve, m_points->list, x, n, factors, least, most);
    }
    lanes::pick(e.beamValue, least, most, out, n);
    return allFinite(out, n);
}

bool Engine::beamPoints(const Expr& e, const Operand* arguments, std::size_t n, const std::uint8_t* mask, double* out) {
    const PointRow* row = m_points->rows[e.quantity.index()];
    if (row == nullptr || !row->hasBeams()) return false;
    if (e.factors.row.valid() && m_points->rows[e.factors.row.index()] != nullptr) return false;
    const FlagsKept flags;
    std::vector<double> factors;
    if (!factorsOf(e, factors)) return false;
    if (row->lines && mask == nullptr) {
        if (const std::optional<bool> known = linePoints(*row->lines, e, arguments, n, factors, out)) return *known;
    }
    for (std::size_t i = 0; i < n; ++i) {
        out[i] = 0.0;
        if (mask != nullptr && mask[i] == 0) continue;
        const beam::Solved* solved = row->beamAt(m_points->list != nullptr ? m_points->list[i] : i).get();
        if (solved == nullptr) return false;
        out[i] = curveOf(e.beamValue) == BeamCurve::Residual ? solved->residual() : outputOf(*solved, e.beamValue, arguments[0].at(i), factors);
        if (!std::isfinite(out[i])) return false;
    }
    return true;
}

bool Engine::beamBlock(const Expr& e, const Operand& x, std::size_t n, const std::uint8_t* mask, double* out) {
    if (!beamKnown(e)) return false;
    const beam::Solved& solved = *m_values->at(e.quantity).solved;
    const FlagsKept flags;
    std::vector<double> factors;
    if (!factorsOf(e, factors)) return false;
    const Arena::Mark mark(m_arena);
    double* least = m_arena.take(n);
    double* most = m_arena.take(n);
    alongBeam(solved, curveOf(e.beamValue), x.data, n, factors, least, most);
    for (std::size_t i = 0; i < n; ++i) {
        out[i] = pick(e.beamValue, least[i], most[i]);
        if (std::isfinite(out[i])) continue;
        if (mask == nullptr || mask[i] != 0) {
            failBeamPlace(e, x.data[i]);
            return false;
        }
        out[i] = 0.0;
    }
    return true;
}

} // namespace spanwright::eval
