// SPDX-License-Identifier: MIT
// Which values weigh most.
#include <algorithm>
#include <cmath>
#include <set>

#include <nlohmann/json.hpp>

#include "engine/report/clean.h"
#include "engine/report/trial_document.h"
#include "engine/report/words.h"
#include "engine/units/format.h"

namespace spanwright::report {

using trial::Weight;
using trial::Weights;

namespace {

std::string shown(const Weights& w) {
    return w.of.kind == meaning::Kind::Check ? units::showUtilisation(w.value) : units::showValue(w.value, w.of.unit, w.of.show);
}

std::string percent(double v) { return (v > 0 ? "+" : "") + units::showNumber(v, units::Unit{}, {3, {}, {}}) + " %"; }

bool several(const Weights& w) {
    std::set<std::string> marks;
    for (const Weight& x : w.weights) marks.insert(x.name.mark);
    return marks.size() > 1;
}

} // namespace

Document weightsDocument(const Weights& w) {
    Document d;
    Section s;
    s.title = "what weighs on " + trial::pathText(w.of.name) + (w.of.what.empty() ? "" : ", " + w.of.what);
    s.blocks.push_back({Paragraph{
        {plainText((w.of.kind == meaning::Kind::Check ? "utilisation now " : "now ") + shown(w) + "; its change for one per cent more of each value")}}});
    const bool marks = several(w);
    Table t;
    t.columns = {{"change", Table::Align::Right, false},
                 {"value", Table::Align::Left, false},
                 {"now", Table::Align::Right, false},
                 {"how", Table::Align::Left, false},
                 {"what", Table::Align::Left, true}};
    std::size_t still = 0;
    for (const Weight& x : w.weights) {
        if (x.percent == 0.0) {
            ++still;
            continue;
        }
        t.rows.push_back({{plainText(percent(x.percent))},
                          {codeText(trialName(x.name, marks))},
                          {plainText(x.nowShown)},
                          {plainText(x.exact ? "exact" : "differences")},
                          symbolsMarked(x.what)});
    }
    if (t.rows.empty())
        s.blocks.push_back({Paragraph{{plainText("no value changes it")}}});
    else
        s.blocks.push_back({std::move(t)});
    if (still > 0)
        s.blocks.push_back({Paragraph{
            {faintText(std::to_string(still) + (still == 1 ? " more value" : " more values") + " upstream would not change it from where they are")}}});
    for (const Weight& x : w.without) s.blocks.push_back({Paragraph{{codeText(trialName(x.name, marks)), faintText(": " + x.text)}}});
    s.blocks.push_back(
        {Paragraph{{faintText("exact: by differentiating the formulas; differences: calculated a ten-thousandth of the value to either side")}}});
    if (w.cancelled) s.blocks.push_back({Paragraph{{strongText("cancelled: the list is not complete")}}});
    d.sections.push_back(std::move(s));
    return d;
}

Drawing weightsDrawing(const Weights& w) {
    constexpr std::size_t kMost = 15;
    constexpr double kMiddle = 170, kBars = 260, kRow = 19, kTop = 34;
    Drawing d;
    d.title = "what weighs on " + trial::pathText(w.of.name) + ": its change for one per cent more of each value";
    d.width = kMiddle + kBars + 90;
    d.shapes.push_back(Drawing::Text{{10, 16},
                                     "change of " + trial::pathText(w.of.name) + " for 1 % more of each; hatched: it falls",
                                     Drawing::Text::Anchor::Start,
                                     Drawing::Ink::Full,
                                     11});
    double most = 0.0;
    std::size_t rows = 0;
    for (const Weight& x : w.weights) {
        if (x.percent == 0.0 || rows >= kMost) break;
        most = std::max(most, std::fabs(x.percent));
        ++rows;
    }
    const bool marks = several(w);
    for (std::size_t i = 0; i < rows; ++i) {
        const Weight& x = w.weights[i];
        const double y = kTop + kRow * static_cast<double>(i), length = std::max(1.0, std::fabs(x.percent) / most * kBars);
        d.shapes.push_back(Drawing::Text{{kMiddle - 8, y + 10}, trialName(x.name, marks), Drawing::Text::Anchor::End, Drawing::Ink::Full, 11});
        if (x.percent < 0.0) d.shapes.push_back(Drawing::Rect{kMiddle, y, length, 12, true, Drawing::Ink::Full});
        d.shapes.push_back(Drawing::Rect{kMiddle, y, length, 12, false, x.exact ? Drawing::Ink::Full : Drawing::Ink::Faint});
        d.shapes.push_back(
            Drawing::Text{{kMiddle + length + 6, y + 10}, percent(x.percent) + (x.exact ? "" : " ~"), Drawing::Text::Anchor::Start, Drawing::Ink::Full, 10});
    }
    d.shapes.push_back(
        Drawing::Polyline{{{kMiddle, kTop - 4}, {kMiddle, kTop + kRow * static_cast<double>(rows)}}, Drawing::Ink::Full, Drawing::Dash::Solid, 1.0});
    d.height = kTop + kRow * static_cast<double>(rows) + 8;
    return d;
}

std::string writeWeightsJson(const Weights& w) {
    using Json = nlohmann::ordered_json;
    Json j;
    j["of"] = cleaned(trial::pathText(w.of.name));
    j["value"] = units::fromSi(w.value, w.of.unit);
    j["unit"] = w.of.unit.ascii;
    j["complete"] = !w.cancelled;
    j["weights"] = Json::array();
    for (const Weight& x : w.weights)
        j["weights"].push_back({{"name", cleaned(trial::pathText(x.name))},
                                {"percent_for_one_percent", x.percent},
                                {"slope_si", x.slope},
                                {"how", x.exact ? "exact" : "differences"}});
    j["without"] = Json::array();
    for (const Weight& x : w.without) j["without"].push_back({{"name", cleaned(trial::pathText(x.name))}, {"why", cleaned(x.text)}});
    return j.dump(1) + "\n";
}

} // namespace spanwright::report
