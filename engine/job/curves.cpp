// SPDX-License-Identifier: MIT
// Curves behind one value: what an integral or a search ran along, and the diagrams of a beam.
#include <algorithm>
#include <cmath>
#include <limits>

#include "engine/base/text.h"
#include "engine/job/core.h"

namespace spanwright::job {

using meaning::Expr;
using meaning::ExprId;
using meaning::ExprKind;
using meaning::RangeOp;

namespace {

constexpr int kPoints = 161;
constexpr std::size_t kMostCurves = 6; ///< of one value: more would not be looked at

/// Even steps from end to end, with both sides of every kink, so that a jump is upright.
std::vector<double> places(const std::vector<double>& ends, const std::vector<double>& kinks) {
    const double from = ends.front(), to = ends.back();
    std::vector<double> x;
    for (int i = 0; i < kPoints; ++i) x.push_back(i + 1 == kPoints ? to : from + (to - from) * i / (kPoints - 1));
    const double sideways = (to - from) * 1e-9;
    for (const std::vector<double>* list : {&ends, &kinks})
        for (double k : *list)
            for (double d : {-sideways, 0.0, sideways})
                if (k + d >= from && k + d <= to) x.push_back(k + d);
    std::sort(x.begin(), x.end());
    x.erase(std::unique(x.begin(), x.end()), x.end());
    return x;
}

/// Anything in a range's body that only something around the range gives a value: another range's variable, a row of
/// an axis that is reduced outside.
bool standsAlone(const meaning::Sheet& sheet, ExprId body, std::uint32_t slot) {
    std::vector<std::pair<ExprId, std::vector<std::uint32_t>>> open{{body, {slot}}};
    while (!open.empty()) {
        auto [id, slots] = std::move(open.back());
        open.pop_back();
        const Expr& e = sheet.exprs.at(id);
        if (e.kind == ExprKind::Bound && std::find(slots.begin(), slots.end(), e.index) == slots.end()) return false;
        for (std::size_t i = 0; i < e.children.size(); ++i) {
            std::vector<std::uint32_t> inside = slots;
            if (e.kind == ExprKind::Span && i == 0) inside.push_back(e.index);
            open.emplace_back(e.children[i], std::move(inside));
        }
    }
    return true;
}

std::string variableOf(const meaning::Sheet& sheet, ExprId body, std::uint32_t slot) {
    std::vector<ExprId> open{body};
    while (!open.empty()) {
        const Expr& e = sheet.exprs.at(open.back());
        open.pop_back();
        if (e.kind == ExprKind::Bound && e.index == slot) return e.writtenText;
        for (ExprId child : e.children) open.push_back(child);
    }
    return "x";
}

std::string_view wordOf(RangeOp op) {
    switch (op) {
    case RangeOp::Integral: return "integral of";
    case RangeOp::Largest: return "largest of";
    case RangeOp::Smallest: return "smallest of";
    case RangeOp::WhereLargest: return "where largest:";
    case RangeOp::WhereSmallest: return "where smallest:";
    case RangeOp::Root: return "where zero:";
    }
    return {};
}

} // namespace

std::vector<PlotView> Core::curves(std::uint32_t slot, const meaning::Quantity& q, std::optional<std::size_t> caseIndex) const {
    std::vector<PlotView> out;
    const Member& m = at(slot);
    const eval::Value& value = m.values.at(q.id);
    if (q.broken || !value.known() || q.kind == Kind::Plot) return out;
    const meaning::Sheet& sheet = *m.sheet->sheet;
    if (q.kind == Kind::Beam) return beamCurves(slot, q);
    const Statement* s = m.statement(q.id.value);
    if (s != nullptr && !s->patch) return out;

    const std::size_t cases = q.axes.empty() ? 1 : value.many.size();
    std::size_t index = caseIndex.value_or(0);
    if (!caseIndex && (q.kind == Kind::Check || q.kind == Kind::Require)) index = check(slot, q).governingCase;
    if (!caseIndex && q.kind != Kind::Check && q.kind != Kind::Require && !value.many.empty())
        index = static_cast<std::size_t>(
            std::max_element(value.many.begin(), value.many.end(), [](double a, double b) { return std::fabs(a) < std::fabs(b); }) - value.many.begin());
    if (index >= cases) index = 0;
    const std::vector<std::size_t> rows = axisRows(m.values, q.axes, index);

    eval::Program& program = *m.sheet->program;
    for (const ExprId root : {q.formula, q.right}) {
        if (!root.valid()) continue;
        const auto trace = program.trace(root, axisRowsFor(sheet.exprs.at(root), q.axes, rows), m.values);
        std::vector<ExprId> open{root};
        while (!open.empty() && out.size() < kMostCurves) {
            const ExprId id = open.back();
            open.pop_back();
            const Expr& e = sheet.exprs.at(id);
            if (e.kind != ExprKind::Span) {
                // Inside a sum over rows there is not one curve but many.
                if (e.kind == ExprKind::Reduce) continue;
                for (std::size_t i = e.children.size(); i-- > 0;) open.push_back(e.children[i]);
                continue;
            }
            const bool visited = id.index() < trace.steps.size() && trace.steps[id.index()].visited;
            const Expr& body = sheet.exprs.at(e.children[0]);
            const bool ours =
                std::all_of(body.axes.begin(), body.axes.end(), [&](QuantityId axis) { return std::find(q.axes.begin(), q.axes.end(), axis) != q.axes.end(); });
            if (!visited || !ours || !standsAlone(sheet, e.children[0], e.index) || body.type != meaning::Type::Number) continue;
            std::vector<double> ends;
            for (std::size_t i = 1; i < e.children.size(); ++i) {
                const auto end = program.scalar(e.children[i], axisRowsFor(sheet.exprs.at(e.children[i]), q.axes, rows), m.values);
                if (!end || !std::isfinite(*end)) break;
                ends.push_back(*end);
            }
            if (ends.size() + 1 != e.children.size() || ends.size() < 2 || !(ends.back() > ends.front())) continue;
            std::vector<double> kinks;
            for (QuantityId read : readsOf(sheet, {e.children[0]}))
                if (sheet.at(read).kind == Kind::Beam && m.values.at(read).solved) kinks = m.values.at(read).solved->breaks();
            const std::vector<double> x = places(ends, kinks);

            PlotView plot;
            plot.name = q.name;
            plot.what = std::string(wordOf(e.range)) + " " + meaning::plain(meaning::typeset(sheet.exprs, e.children[0], meaning::namingOf(sheet)));
            plot.xName = variableOf(sheet, e.children[0], e.index);
            const units::Unit xUnit = unitOf(*m.sheet, e.children.back());
            const bool same = q.unit.dimension == body.dimension && !q.unit.shown.empty();
            const units::Unit yUnit = same ? q.unit : unitOf(*m.sheet, e.children[0]);
            plot.xUnit = xUnit.shown;
            plot.yUnit = yUnit.shown;
            for (double v : x) plot.x.push_back(units::fromSi(v, xUnit));
            PlotView::Curve curve;
            if (!q.axes.empty()) curve.label = caseLabel(slot, q.axes, index);
            std::vector<double> y;
            if (!program.sample(e.children[0], e.index, x, axisRowsFor(body, q.axes, rows), m.values, y) || y.size() != x.size()) continue;
            for (double v : y) curve.y.push_back(units::fromSi(v, yUnit));
            plot.curves.push_back(std::move(curve));
            const auto& step = trace.steps[id.index()];
            if (e.range == RangeOp::Integral)
                plot.filled = true;
            else
                plot.place = units::fromSi(e.range == RangeOp::Largest || e.range == RangeOp::Smallest ? step.place : step.value, xUnit);
            out.push_back(std::move(plot));
        }
    }
    return out;
}

/// Moment, shear and deflection of a beam, one curve for each action: between least and most only the greater is drawn.
std::vector<PlotView> Core::beamCurves(std::uint32_t slot, const meaning::Quantity& q) const {
    std::vector<PlotView> out;
    const Member& m = at(slot);
    const auto& solved = m.values.at(q.id).solved;
    const meaning::Sheet& sheet = *m.sheet->sheet;
    const meaning::BeamDefinition& beam = sheet.beams[q.beam];
    if (!solved || solved->breaks().size() < 2 || beam.actions.empty()) return out;
    const std::vector<double> ends{solved->breaks().front(), solved->breaks().back()};
    if (!(ends.back() > ends.front())) return out;
    const std::vector<double> x = places(ends, solved->breaks());
    const units::Unit along = beam.to.valid() ? unitOf(*m.sheet, beam.to) : units::Unit{};
    const bool metric = along.shown != "ft" && along.shown != "in";
    const auto unit = [](const char* text) {
        const auto read = units::readUnit(text);
        return read ? read.value() : units::Unit{};
    };
    struct Row {
        const char* word;
        const char* metric;
        const char* customary;
        beam::Range3 (beam::Solved::*of)(double, const std::vector<double>&) const;
    };
    const Row kRows[] = {{"moment", "kN*m", "lbf*ft", &beam::Solved::moment},
                         {"shear", "kN", "lbf", &beam::Solved::shear},
                         {"deflection", "mm", "in", &beam::Solved::deflection}};
    for (const Row& row : kRows) {
        if (row.of == &beam::Solved::deflection && !solved->hasDeflection()) continue;
        PlotView plot;
        plot.name = q.name;
        plot.what = std::string(row.word) + " along " + q.name + ", by action, not factored";
        plot.xName = "x";
        plot.xUnit = along.shown;
        const units::Unit yUnit = unit(metric ? row.metric : row.customary);
        plot.yUnit = yUnit.shown;
        for (double v : x) plot.x.push_back(units::fromSi(v, along));
        for (std::size_t a = 0; a < beam.actions.size(); ++a) {
            std::vector<double> factors(beam.actions.size(), 0.0);
            factors[a] = 1.0;
            PlotView::Curve curve;
            curve.label = beam.actions[a];
            for (double v : x) curve.y.push_back(units::fromSi(((*solved).*row.of)(v, factors).greatest(), yUnit));
            plot.curves.push_back(std::move(curve));
        }
        out.push_back(std::move(plot));
    }
    return out;
}

} // namespace spanwright::job
