// SPDX-License-Identifier: MIT
#include <algorithm>
#include <cmath>

#include "engine/report/build.h"
#include "engine/units/format.h"

namespace spanwright::report {

namespace {

constexpr double kLeft = 62;
constexpr double kTop = 26;
constexpr double kWidth = 380;
constexpr double kHeight = 150;
constexpr std::size_t kMaxCurves = 12;

std::string number(double v) { return units::showNumber(v, units::Unit{}); }

struct Bounds {
    double low = INFINITY, high = -INFINITY;
    void take(double v) {
        if (!std::isfinite(v)) return;
        low = std::min(low, v);
        high = std::max(high, v);
    }
    [[nodiscard]] bool empty() const { return !(low <= high); }
};

struct Frame {
    Bounds x, y;
    [[nodiscard]] Drawing::Point at(double px, double py) const {
        return {kLeft + (px - x.low) / (x.high - x.low) * kWidth, kTop + (y.high - py) / (y.high - y.low) * kHeight};
    }
};

Drawing::Dash dashOf(std::size_t i) {
    static constexpr Drawing::Dash kOrder[] = {Drawing::Dash::Solid, Drawing::Dash::Long, Drawing::Dash::Short, Drawing::Dash::LongShort, Drawing::Dash::Dots};
    return kOrder[i % std::size(kOrder)];
}

/// A curve breaks where it was not computed: nothing is drawn over a gap.
void drawCurve(Drawing& d, const Frame& frame, const std::vector<double>& x, const std::vector<double>& y, std::size_t index) {
    Drawing::Polyline line;
    line.dash = dashOf(index);
    line.width = index < 5 ? 1.4 : 0.8;
    const auto flush = [&] {
        if (line.points.size() > 1) d.shapes.push_back(line);
        line.points.clear();
    };
    for (std::size_t i = 0; i < x.size() && i < y.size(); ++i) {
        if (std::isfinite(x[i]) && std::isfinite(y[i]))
            line.points.push_back(frame.at(x[i], y[i]));
        else
            flush();
    }
    flush();
}

struct Extreme {
    double x = 0, y = 0;
    bool found = false;
};

void labelExtreme(Drawing& d, const Frame& frame, const Extreme& e, const job::PlotView& plot, bool above) {
    if (!e.found) return;
    const Drawing::Point p = frame.at(e.x, e.y);
    d.shapes.push_back(Drawing::Dot{p, 2.4});
    const auto anchor = p.x > kLeft + kWidth * 0.7   ? Drawing::Text::Anchor::End
                        : p.x < kLeft + kWidth * 0.3 ? Drawing::Text::Anchor::Start
                                                     : Drawing::Text::Anchor::Middle;
    const std::string unit = plot.yUnit.empty() ? "" : " " + plot.yUnit;
    const std::string where = plot.xName + " = " + number(e.x) + (plot.xUnit.empty() ? "" : " " + plot.xUnit);
    d.shapes.push_back(Drawing::Text{{p.x, p.y + (above ? -6 : 14)}, number(e.y) + unit + " at " + where, anchor, Drawing::Ink::Full, 11});
}

} // namespace

Drawing plotDrawing(const job::PlotView& plot) { return plotDrawing(plot, {}); }

Drawing plotDrawing(const job::PlotView& plot, const PlotMarks& marks) {
    Drawing d;
    d.title = (plot.what.empty() ? plot.name : plot.what) + (plot.yUnit.empty() ? "" : " in " + plot.yUnit) + " over " + plot.xName +
              (plot.xUnit.empty() ? "" : " in " + plot.xUnit);
    Frame frame;
    Extreme most;
    Extreme least;
    for (const double v : plot.x) frame.x.take(v);
    for (const job::PlotView::Curve& c : plot.curves) {
        for (std::size_t i = 0; i < c.y.size() && i < plot.x.size(); ++i) {
            frame.y.take(c.y[i]);
            if (!std::isfinite(c.y[i])) continue;
            if (!most.found || c.y[i] > most.y) most = {plot.x[i], c.y[i], true};
            if (!least.found || c.y[i] < least.y) least = {plot.x[i], c.y[i], true};
        }
    }
    d.width = kLeft + kWidth + 20;
    if (frame.x.empty() || frame.y.empty()) {
        d.height = 40;
        d.shapes.push_back(Drawing::Text{{10, 25}, "not computed: there is nothing to draw", Drawing::Text::Anchor::Start, Drawing::Ink::Full, 12});
        return d;
    }
    if (marks.level) frame.y.take(*marks.level);
    // The zero line is always on the paper, and a constant still has a height.
    frame.y.take(0.0);
    if (frame.y.low == frame.y.high) frame.y.high = frame.y.low + 1;
    if (frame.x.low == frame.x.high) frame.x.high = frame.x.low + 1;

    const Drawing::Point zero = frame.at(frame.x.low, 0.0);
    d.shapes.push_back(Drawing::Rect{kLeft, kTop, kWidth, kHeight, false, Drawing::Ink::Faint});
    d.shapes.push_back(Drawing::Polyline{{{kLeft, zero.y}, {kLeft + kWidth, zero.y}}, Drawing::Ink::Full, Drawing::Dash::Solid, 0.8});
    for (const PlotMarks::Span& span : marks.hatched) {
        const double from = frame.at(std::max(span.from, frame.x.low), 0.0).x, to = frame.at(std::min(span.to, frame.x.high), 0.0).x;
        if (to > from) d.shapes.push_back(Drawing::Rect{from, kTop, to - from, kHeight, true, Drawing::Ink::Faint});
    }
    if (marks.level) {
        const double y = frame.at(frame.x.low, *marks.level).y;
        d.shapes.push_back(Drawing::Polyline{{{kLeft, y}, {kLeft + kWidth, y}}, Drawing::Ink::Full, Drawing::Dash::Long, 0.8});
        d.shapes.push_back(Drawing::Text{{kLeft - 5, y + 4}, number(*marks.level), Drawing::Text::Anchor::End, Drawing::Ink::Full, 10});
    }
    std::size_t lines = 0;
    for (const PlotMarks::Line& line : marks.lines) {
        const double x = frame.at(line.at, 0.0).x;
        d.shapes.push_back(Drawing::Polyline{{{x, kTop}, {x, kTop + kHeight}}, Drawing::Ink::Full, Drawing::Dash::Short, 1.0});
        const bool right = line.right ? x < kLeft + kWidth * 0.75 : x < kLeft + kWidth * 0.25;
        const auto anchor = right ? Drawing::Text::Anchor::Start : Drawing::Text::Anchor::End;
        const double aside = anchor == Drawing::Text::Anchor::End ? -4 : 4;
        d.shapes.push_back(Drawing::Text{{x + aside, kTop + 12 + 13 * static_cast<double>(lines++ % 3)}, line.text, anchor, Drawing::Ink::Full, 11});
    }
    const std::size_t curves = std::min(plot.curves.size(), kMaxCurves);
    for (std::size_t i = 0; i < curves; ++i) drawCurve(d, frame, plot.x, plot.curves[i].y, i);
    if (most.found && most.y > 0) labelExtreme(d, frame, most, plot, true);
    if (least.found && least.y < 0) labelExtreme(d, frame, least, plot, false);

    using Anchor = Drawing::Text::Anchor;
    for (const double v : {frame.y.high, frame.y.low})
        d.shapes.push_back(Drawing::Text{{kLeft - 5, frame.at(frame.x.low, v).y + 4}, number(v), Anchor::End, Drawing::Ink::Full, 10});
    if (frame.y.low < 0 && frame.y.high > 0) d.shapes.push_back(Drawing::Text{{kLeft - 5, zero.y + 4}, "0", Anchor::End, Drawing::Ink::Full, 10});
    d.shapes.push_back(Drawing::Text{{kLeft - 50, 12}, plot.yUnit, Anchor::Start, Drawing::Ink::Full, 11});
    // Below the label of what is least, which stands at the foot of the frame.
    const double axis = kTop + kHeight + (least.found && least.y < 0 ? 29 : 14);
    d.shapes.push_back(Drawing::Text{{kLeft, axis}, number(frame.x.low), Anchor::Start, Drawing::Ink::Full, 10});
    d.shapes.push_back(Drawing::Text{{kLeft + kWidth, axis}, number(frame.x.high), Anchor::End, Drawing::Ink::Full, 10});
    d.shapes.push_back(
        Drawing::Text{{kLeft + kWidth / 2, axis}, plot.xName + (plot.xUnit.empty() ? "" : " in " + plot.xUnit), Anchor::Middle, Drawing::Ink::Full, 11});

    double y = axis + 18;
    const bool named = plot.curves.size() > 1 || (plot.curves.size() == 1 && !plot.curves.front().label.empty());
    for (std::size_t i = 0; named && i < curves; ++i) {
        d.shapes.push_back(Drawing::Polyline{{{kLeft, y - 4}, {kLeft + 34, y - 4}}, Drawing::Ink::Full, dashOf(i), i < 5 ? 1.4 : 0.8});
        d.shapes.push_back(Drawing::Text{{kLeft + 42, y}, plot.curves[i].label, Anchor::Start, Drawing::Ink::Full, 11});
        y += 15;
    }
    if (plot.curves.size() > curves) {
        d.shapes.push_back(Drawing::Text{{kLeft, y},
                                         std::to_string(plot.curves.size() - curves) + " further cases are not drawn; the extremes are over all",
                                         Anchor::Start,
                                         Drawing::Ink::Full,
                                         11});
        y += 15;
    }
    d.height = named ? y : axis + 12;
    return d;
}

} // namespace spanwright::report
