// SPDX-License-Identifier: MIT
#include "engine/beam/layout.h"

#include <algorithm>
#include <cmath>

#include "engine/base/text.h"

namespace spanwright::beam {

namespace {

using What = Problem::What;

Problem failed(What what, std::string message, std::ptrdiff_t support = -1, std::ptrdiff_t load = -1) {
    return {what, std::move(message), static_cast<std::int32_t>(support), static_cast<std::int32_t>(load)};
}

/// Moves `x` onto the line if it is a rounding error outside; false if it is further out or no number.
bool bringInside(double& x, double from, double to) {
    const double slack = kOutsideSlack * (to - from);
    if (!std::isfinite(x) || x < from - slack || x > to + slack) return false;
    x = std::clamp(x, from, to);
    return true;
}

std::string whereIs(double x, const Line& line) {
    return (std::isfinite(x) ? metres(x) : std::string("no number")) + " is not between " + metres(line.from) + " and " + metres(line.to);
}

void addSegments(Layout& layout) {
    const auto& supports = layout.supports;
    if (supports.front().at > layout.from) layout.segments.push_back({Segment::Kind::LeftOverhang, layout.from, supports.front().at, 0});
    for (std::size_t i = 0; i + 1 < supports.size(); ++i) layout.segments.push_back({Segment::Kind::Span, supports[i].at, supports[i + 1].at, i});
    if (supports.back().at < layout.to) layout.segments.push_back({Segment::Kind::RightOverhang, supports.back().at, layout.to, supports.size() - 1});
}

} // namespace

std::string metres(double x) { return base::shortest(x) + " m"; }

std::optional<Problem> layOut(const Line& line, Layout& layout) {
    if (!std::isfinite(line.from) || !std::isfinite(line.to) || line.to <= line.from || !std::isfinite(line.to - line.from)) {
        return failed(What::NoSpan, "the line has no length");
    }
    layout.from = line.from;
    layout.to = line.to;
    layout.breaks = {line.from, line.to};

    Few<Support> supports;
    Few<std::size_t> order;
    for (std::size_t i = 0; i < line.supports.size(); ++i) {
        Support s = line.supports[i];
        if (!bringInside(s.at, line.from, line.to)) return failed(What::SupportOutside, "the support is off the line: " + whereIs(s.at, line), i);
        if (!std::isfinite(s.sink)) return failed(What::SupportOutside, "the support's settlement is no number", i);
        supports.push_back(s);
        order.push_back(i);
        layout.breaks.push_back(s.at);
    }
    std::sort(order.begin(), order.end(),
              [&](std::size_t a, std::size_t b) { return supports[a].at != supports[b].at ? supports[a].at < supports[b].at : a < b; });
    for (const std::size_t i : order) layout.supports.push_back(supports[i]);
    for (std::size_t i = 0; i + 1 < order.size(); ++i) {
        const double a = layout.supports[i].at, b = layout.supports[i + 1].at;
        if (b - a < kCoincide * layout.length()) {
            return failed(What::SupportsCoincide, "two supports are at one place: " + metres(a) + " and " + metres(b), order[i + 1]);
        }
    }
    const bool anyFixed = std::any_of(layout.supports.begin(), layout.supports.end(), [](const Support& s) { return s.fixed; });
    if (layout.supports.empty()) return failed(What::Unstable, "nothing supports the line");
    if (layout.supports.size() == 1 && !anyFixed) return failed(What::Unstable, "one simple support does not hold the line: it would turn about it", order[0]);
    if (line.sinkAction != 0xffffffffU && line.sinkAction >= line.actionCount)
        return failed(What::SupportOutside, "the settlements belong to an unknown action");

    for (std::size_t i = 0; i < line.loads.size(); ++i) {
        Load load = line.loads[i];
        if (load.shape != Load::Shape::Line) load.to = load.from;
        for (double* x : {&load.from, &load.to}) {
            if (!bringInside(*x, line.from, line.to)) return failed(What::LoadOutside, "the load is off the line: " + whereIs(*x, line), -1, i);
        }
        if (!std::isfinite(load.size) || (load.shape == Load::Shape::Line && !std::isfinite(load.sizeEnd))) {
            return failed(What::NotAccurate, "the load's size is no number", -1, i);
        }
        if (load.action >= line.actionCount) return failed(What::LoadOutside, "the load belongs to an unknown action", -1, i);
        if (load.from > load.to) {
            std::swap(load.from, load.to);
            std::swap(load.size, load.sizeEnd);
        }
        layout.loads.push_back(load);
        layout.breaks.push_back(load.from);
        layout.breaks.push_back(load.to);
    }
    for (const double x : line.kinks) {
        if (std::isfinite(x) && x > line.from && x < line.to) layout.breaks.push_back(x);
    }
    std::sort(layout.breaks.begin(), layout.breaks.end());
    layout.breaks.erase(std::unique(layout.breaks.begin(), layout.breaks.end()), layout.breaks.end());
    addSegments(layout);
    return std::nullopt;
}

} // namespace spanwright::beam
