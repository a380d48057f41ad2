// SPDX-License-Identifier: MIT
#include "engine/report/shop_pages.h"

#include <cmath>

namespace spanwright::report {

namespace {

constexpr double kLength = 400.0, kLeft = 40.0, kTop = 74.0, kDeep = 26.0;

Drawing::Text words(double x, double y, std::string text, Drawing::Text::Anchor anchor = Drawing::Text::Anchor::Middle, double size = 10.0) {
    return {{x, y}, std::move(text), anchor, Drawing::Ink::Full, size, 0.0};
}

/// The head of an arrow that points down or up at `at`.
Drawing::Filled head(Drawing::Point at, bool up) {
    const double back = up ? 7.0 : -7.0;
    return {{at, {at.x - 3.0, at.y + back}, {at.x + 3.0, at.y + back}}};
}

} // namespace

std::pair<double, double> slingsOf(double length, double centre) {
    constexpr double kHalf = 0.293;
    return {centre - kHalf * length, centre + kHalf * length};
}

Drawing liftDrawing(const std::string& mark, double length, double centre, Tape tape) {
    Drawing d;
    d.width = kLength + 2 * kLeft;
    d.height = 160.0;
    const auto [first, second] = slingsOf(length, centre);
    const auto reading = [&](double metres) { return tapeText(std::llround(metres * shop::kUnitsPerMetre), tape); };
    const auto x = [&](double metres) { return kLeft + kLength * metres / length; };
    const double bottom = kTop + kDeep;
    d.title = mark + " on two slings at " + reading(first) + " and " + reading(second) + " from end A, centre of mass at " + reading(centre);
    d.shapes.emplace_back(Drawing::Rect{kLeft, kTop, kLength, kDeep, false, Drawing::Ink::Full});
    d.shapes.emplace_back(words(kLeft - 8.0, kTop + 18.0, "A", Drawing::Text::Anchor::End, 13.0));
    d.shapes.emplace_back(words(kLeft + kLength + 8.0, kTop + 18.0, "B", Drawing::Text::Anchor::Start, 13.0));
    // Slings go up to one hook, above the centre of mass.
    const Drawing::Point hook{x(centre), 12.0};
    for (const double at : {first, second}) {
        d.shapes.emplace_back(Drawing::Polyline{{{x(at), bottom}, {x(at), kTop}, hook}, Drawing::Ink::Full, Drawing::Dash::Solid, 1.4});
        d.shapes.emplace_back(Drawing::Polyline{{{x(at), bottom}, {x(at), bottom + 14.0}}, Drawing::Ink::Faint, Drawing::Dash::Short, 0.8});
        d.shapes.emplace_back(words(x(at), bottom + 26.0, reading(at)));
        d.shapes.emplace_back(words(x(at), bottom + 38.0, "sling"));
    }
    d.shapes.emplace_back(Drawing::Polyline{{hook, {hook.x, bottom + 14.0}}, Drawing::Ink::Faint, Drawing::Dash::LongShort, 0.8});
    d.shapes.emplace_back(Drawing::Dot{{hook.x, kTop + kDeep / 2.0}, 3.5});
    d.shapes.emplace_back(words(hook.x, bottom + 26.0, reading(centre)));
    d.shapes.emplace_back(words(hook.x, bottom + 38.0, "centre of mass"));
    // Which way is up.
    const double arrow = kLeft + kLength * 0.06;
    d.shapes.emplace_back(Drawing::Polyline{{{arrow, bottom - 4.0}, {arrow, kTop + 6.0}}, Drawing::Ink::Full, Drawing::Dash::Solid, 1.2});
    d.shapes.emplace_back(head({arrow, kTop + 4.0}, true));
    d.shapes.emplace_back(words(arrow + 6.0, kTop + 17.0, "up", Drawing::Text::Anchor::Start));
    return d;
}

} // namespace spanwright::report
