// SPDX-License-Identifier: MIT
// The lines of a plot.
#include <algorithm>
#include <cmath>

#include "engine/job/core.h"

namespace spanwright::job {

using meaning::Expr;
using meaning::ExprId;

std::optional<PlotView> Core::plot(std::uint32_t slot, const meaning::Quantity& q, int points) const {
    const Member& m = at(slot);
    if (q.kind != Kind::Plot || q.broken || !m.values.at(q.id).known()) return std::nullopt;
    const meaning::Sheet& sheet = *m.sheet->sheet;
    const meaning::PlotDefinition& plot = sheet.plots[q.plot];
    if (plot.points.size() < 2) return std::nullopt;
    eval::Program& program = *m.sheet->program;
    std::vector<double> ends;
    for (ExprId point : plot.points) {
        const auto x = program.scalar(point, {}, m.values);
        if (!x || !std::isfinite(*x)) return std::nullopt;
        ends.push_back(*x);
    }
    const double from = ends.front();
    const double to = ends.back();
    if (!(to > from)) return std::nullopt;
    std::vector<double> x;
    const int n = std::clamp(points, 2, 10001);
    for (int i = 0; i < n; ++i) x.push_back(i + 1 == n ? to : from + (to - from) * i / (n - 1));
    // Both sides of every named kink and of the breaks of the lines that are drawn, so that a jump is upright.
    const double sideways = (to - from) * 1e-9;
    const auto kink = [&](double at_) {
        for (double d : {-sideways, 0.0, sideways})
            if (at_ + d >= from && at_ + d <= to) x.push_back(at_ + d);
    };
    for (double e : ends) kink(e);
    for (QuantityId read : readsOf(sheet, {plot.body}))
        if (sheet.at(read).kind == Kind::Beam && m.values.at(read).solved)
            for (double b : m.values.at(read).solved->breaks()) kink(b);
    std::sort(x.begin(), x.end());
    x.erase(std::unique(x.begin(), x.end()), x.end());

    PlotView out;
    out.name = q.name;
    out.what = q.what;
    out.xName = plot.variable;
    const units::Unit xUnit = unitOf(*m.sheet, plot.points.back());
    const units::Unit yUnit = q.unit.dimension == q.dimension ? q.unit : units::habitualUnit(q.dimension);
    out.xUnit = xUnit.shown;
    out.yUnit = yUnit.shown;
    for (double v : x) out.x.push_back(units::fromSi(v, xUnit));
    const Expr& body = sheet.exprs.at(plot.body);
    const std::vector<QuantityId> axes(body.axes.begin(), body.axes.end());
    const std::size_t cases = caseCount(slot, axes);
    for (std::size_t c = 0; c < cases; ++c) {
        PlotView::Curve curve;
        curve.label = axes.empty() ? std::string() : caseLabel(slot, axes, c);
        std::vector<double> y;
        if (program.sample(plot.body, plot.slot, x, axisRows(m.values, axes, c), m.values, y) && y.size() == x.size())
            for (double v : y) curve.y.push_back(units::fromSi(v, yUnit));
        else
            curve.y.assign(x.size(), std::nan(""));
        out.curves.push_back(std::move(curve));
    }
    return out;
}

} // namespace spanwright::job
