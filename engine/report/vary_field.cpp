// SPDX-License-Identifier: MIT
// Two values that vary as a field of boxes.
#include <algorithm>
#include <cmath>

#include "engine/base/text.h"
#include "engine/report/trial_document.h"
#include "engine/units/format.h"

namespace spanwright::report {

Drawing varyField(const trial::VaryTable& t) {
    constexpr std::size_t kMostAcross = 24, kMostDown = 40;
    constexpr double kRow = 20, kTop = 46, kLetter = 6.2;
    Drawing d;
    if (t.axes.size() != 2 || t.aim || t.cancelled) return d;
    const trial::Axis &down = t.axes[0], &across = t.axes[1];
    if (across.values.size() > kMostAcross || down.values.size() > kMostDown || across.values.size() < 2 || down.values.size() < 2) return d;
    const bool marks = t.members.size() > 1;
    const auto wide = [](const std::string& s) { return kLetter * static_cast<double>(base::utf8Count(s)); };
    const bool number = !t.shown.empty();
    const auto text = [&](std::size_t i) -> std::string {
        const double v = number ? t.results.shown[0][i] : t.results.utilisation[i];
        if (std::isnan(v)) return {};
        if (std::isinf(v)) return "beyond";
        if (number && t.shown[0].truth) return v != 0.0 ? "yes" : "no";
        if (number && t.shown[0].kind != meaning::Kind::Check) return units::showNumber(v, t.shown[0].unit, t.shown[0].show);
        return units::showUtilisation(v);
    };
    double left = wide(trialName(t.varied[0].name, marks)), box = 34;
    for (const std::string& s : down.labels) left = std::max(left, wide(s));
    for (const std::string& s : across.labels) box = std::max(box, wide(s) + 8);
    for (std::size_t i = 0; i < t.results.points; ++i) box = std::max(box, wide(text(i)) + 14);
    left += 14;
    const std::string what = number ? trialName(t.shown[0].name, marks) + (t.shown[0].unit.shown.empty() ? "" : " in " + t.shown[0].unit.shown)
                                    : std::string("greatest utilisation");
    const std::string head = what + "; hatched: does not pass, crossed: not computed";
    d.title = head;
    d.width = std::max(left + box * static_cast<double>(across.values.size()) + 10, wide(head) + 20);
    d.height = kTop + kRow * static_cast<double>(down.values.size()) + 8;
    const auto put = [&d](double x, double y, const std::string& words, Drawing::Text::Anchor anchor, Drawing::Ink ink = Drawing::Ink::Full) {
        d.shapes.push_back(Drawing::Text{{x, y}, words, anchor, ink, 10});
    };
    put(10, 13, head, Drawing::Text::Anchor::Start, Drawing::Ink::Faint);
    put(left - 8, 28, trialName(t.varied[0].name, marks) + " \u2193", Drawing::Text::Anchor::End);
    put(left + 4, 28, trialName(t.varied[1].name, marks) + " \u2192", Drawing::Text::Anchor::Start);
    for (std::size_t a = 0; a < across.values.size(); ++a)
        put(left + box * (static_cast<double>(a) + 0.5), 42, across.labels[a], Drawing::Text::Anchor::Middle);
    for (std::size_t r = 0; r < down.values.size(); ++r) {
        const double y = kTop + kRow * static_cast<double>(r);
        put(left - 8, y + 14, down.labels[r], Drawing::Text::Anchor::End);
        for (std::size_t a = 0; a < across.values.size(); ++a) {
            const std::size_t i = r * across.values.size() + a;
            const double x = left + box * static_cast<double>(a);
            const bool known = t.results.verdicts[i] != job::Verdict::NotComputed, ok = t.results.verdicts[i] == job::Verdict::Ok;
            d.shapes.push_back(Drawing::Rect{x, y, box, kRow, false, Drawing::Ink::Faint});
            if (!known) {
                d.shapes.push_back(Drawing::Strokes{{{x, y}, {x + box, y + kRow}, {x, y + kRow}, {x + box, y}}, Drawing::Ink::Full, 0.7});
                continue;
            }
            // The number stands beside its hatching, not on it.
            if (!ok) d.shapes.push_back(Drawing::Rect{x, y, 7, kRow, true, Drawing::Ink::Full});
            put(x + (ok ? box / 2 : box / 2 + 4), y + 14, text(i), Drawing::Text::Anchor::Middle);
        }
    }
    // The border between what passes and what does not.
    const auto okay = [&](std::size_t r, std::size_t a) { return t.results.verdicts[r * across.values.size() + a] == job::Verdict::Ok; };
    for (std::size_t r = 0; r < down.values.size(); ++r) {
        for (std::size_t a = 0; a < across.values.size(); ++a) {
            const double x = left + box * static_cast<double>(a), y = kTop + kRow * static_cast<double>(r);
            if (a + 1 < across.values.size() && okay(r, a) != okay(r, a + 1))
                d.shapes.push_back(Drawing::Polyline{{{x + box, y}, {x + box, y + kRow}}, Drawing::Ink::Full, Drawing::Dash::Solid, 2.2});
            if (r + 1 < down.values.size() && okay(r, a) != okay(r + 1, a))
                d.shapes.push_back(Drawing::Polyline{{{x, y + kRow}, {x + box, y + kRow}}, Drawing::Ink::Full, Drawing::Dash::Solid, 2.2});
        }
    }
    return d;
}

} // namespace spanwright::report
