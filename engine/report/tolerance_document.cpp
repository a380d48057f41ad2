// SPDX-License-Identifier: MIT
// Whether it still holds when values are not held exactly.
#include <algorithm>
#include <cmath>

#include <nlohmann/json.hpp>

#include "engine/report/build.h"
#include "engine/report/clean.h"
#include "engine/report/trial_document.h"
#include "engine/units/format.h"

namespace spanwright::report {

using trial::CheckTolerance;
using trial::Tolerance;

namespace {

std::string u(double v) { return std::isnan(v) ? "-" : std::isinf(v) ? "beyond" : units::showUtilisation(v); }

void member(const Tolerance& t, Section& s) {
    s.title = t.mark + " within its tolerances";
    if (t.spreads.empty()) {
        s.blocks.push_back({Paragraph{{plainText("no value that it depends on has a tolerance: write `with b = 58 mm +- 3 mm`")}}});
        return;
    }
    const bool marks = std::any_of(t.spreads.begin(), t.spreads.end(), [&](const trial::Spread& x) { return x.name.mark != t.mark; });
    Table spreads;
    spreads.ruled = false;
    spreads.columns = {{"value", Table::Align::Left, false}, {"tolerance", Table::Align::Left, false}, {"alone", Table::Align::Left, true}};
    for (const trial::Spread& x : t.spreads) spreads.rows.push_back({{codeText(trialName(x.name, marks))}, {plainText(x.shown)}, {plainText(x.text)}});
    s.blocks.push_back({std::move(spreads)});
    Table checks;
    checks.columns = {{"check", Table::Align::Left, false}, {"now", Table::Align::Right, false},       {"5 %", Table::Align::Right, false},
                      {"50 %", Table::Align::Right, false}, {"95 %", Table::Align::Right, false},      {"99 %", Table::Align::Right, false},
                      {"fail", Table::Align::Right, false}, {"all together", Table::Align::Left, true}};
    for (const CheckTolerance& c : t.checks) {
        const auto q = [&](std::size_t i) { return plainText(i < c.quantiles.size() ? u(c.quantiles[i]) : "-"); };
        checks.rows.push_back({{codeText(c.name)},
                               {plainText(u(c.now))},
                               {q(1)},
                               {q(2)},
                               {q(3)},
                               {q(4)},
                               {plainText(shareText(c.failing, t.samples))},
                               {plainText(toleranceVerdict(c))}});
    }
    s.blocks.push_back({std::move(checks)});
    for (const CheckTolerance& c : t.checks) {
        if (c.how != CheckTolerance::Worst::Fails) continue;
        std::string at;
        for (std::size_t k = 0; k < t.spreads.size() && k < c.at.size(); ++k)
            at += (k > 0 ? ", " : "") + trialName(t.spreads[k].name, marks) + " = " + t.spreads[k].showValue(c.at[k]);
        s.blocks.push_back({Paragraph{{codeText(c.name), plainText(" is worst seen at " + at)}}});
    }
    s.blocks.push_back({Paragraph{{plainText("OK at " + shareText(t.okay, t.samples) + " of " + std::to_string(t.samples) + " samples")}}});
    std::string how = std::string(t.normal ? "samples normally distributed, the tolerance being two standard deviations"
                                           : "samples evenly distributed within the tolerances") +
                      ", seed " + std::to_string(t.seed);
    if (t.readOff) {
        const trial::ReadOff& r = *t.readOff;
        const auto number = [](std::size_t n) { return std::to_string(n); };
        how += "; " + number(t.workedOut) + " places were calculated, and the samples read off surfaces of degree " + std::to_string(r.degree) + " through " +
               number(r.through) + " of them; at " + number(r.held) + " places calculated beside them no utilisation differed by more than " +
               units::showNumber(std::max(r.off, 1e-9), units::Unit{}, {1, {}, {}}) + ". A sample nearer to failing than twice that counts as failing";
    }
    if (t.corners > 0) how += "; also all " + std::to_string(t.corners) + " corners";
    if (t.fewer) how += "; fewer samples than 10000 because a point takes long: `--samples` asks for more";
    s.blocks.push_back({Paragraph{{faintText(how)}}});
    if (t.cancelled) s.blocks.push_back({Paragraph{{strongText("cancelled: this is not complete")}}});
}

} // namespace

std::string shareText(std::size_t part, std::size_t whole) {
    if (whole == 0) return "-";
    return units::showNumber(100.0 * static_cast<double>(part) / static_cast<double>(whole), units::Unit{}, {3, {}, {}}) + " %";
}

std::string toleranceVerdict(const CheckTolerance& c) {
    switch (c.how) {
    case CheckTolerance::Worst::Proved: return "proved: never above " + u(c.bound);
    case CheckTolerance::Worst::NoneFound: return "no failure at " + std::to_string(c.places) + " places; no proof";
    case CheckTolerance::Worst::Fails: return "FAILS, worst seen " + u(c.worst);
    case CheckTolerance::Worst::NotComputed: return "not computed at " + std::to_string(c.without) + " of " + std::to_string(c.places) + " places";
    }
    return {};
}

Document toleranceDocument(const std::vector<Tolerance>& list) {
    Document d;
    for (const Tolerance& t : list) {
        Section s;
        member(t, s);
        d.sections.push_back(std::move(s));
    }
    return d;
}

Drawing toleranceDrawing(const Tolerance& t, const CheckTolerance& c) {
    job::PlotView plot;
    plot.name = c.name;
    plot.what = "samples of " + t.mark + "." + c.name;
    plot.xName = "utilisation";
    PlotMarks marks;
    if (!c.counts.empty()) {
        const double most = c.quantiles.empty() ? c.worst : std::max(c.worst, c.quantiles.back());
        const double width = (most - c.least) / static_cast<double>(c.counts.size());
        job::PlotView::Curve curve;
        for (std::size_t i = 0; i < c.counts.size(); ++i) {
            // Each bin as a flat stretch.
            for (const std::size_t side : {i, i + 1}) {
                plot.x.push_back(c.least + width * static_cast<double>(side));
                curve.y.push_back(static_cast<double>(c.counts[i]));
            }
        }
        plot.curves.push_back(std::move(curve));
        if (most > 1.0) marks.hatched.push_back({1.0, most});
        if (c.least < 1.0 && most > 1.0) marks.lines.push_back({1.0, "fails from here"});
    }
    return plotDrawing(plot, marks);
}

std::string writeToleranceJson(const std::vector<Tolerance>& list) {
    using Json = nlohmann::ordered_json;
    const auto number = [](double v) { return std::isfinite(v) ? Json(v) : Json(nullptr); };
    Json out = Json::array();
    for (const Tolerance& t : list) {
        Json j;
        j["member"] = cleaned(t.mark);
        j["samples"] = t.samples;
        j["seed"] = t.seed;
        j["distribution"] = t.normal ? "normal" : "even";
        j["ok"] = t.okay;
        j["places_calculated"] = t.workedOut;
        j["read_off"] = nullptr;
        if (t.readOff)
            j["read_off"] = {{"through", t.readOff->through}, {"degree", t.readOff->degree}, {"held_against", t.readOff->held}, {"off", t.readOff->off}};
        j["complete"] = !t.cancelled;
        j["spreads"] = Json::array();
        for (const trial::Spread& s : t.spreads)
            j["spreads"].push_back({{"name", cleaned(trial::pathText(s.name))},
                                    {"now_si", s.now},
                                    {"half_si", s.half},
                                    {"passes_from_si", s.from},
                                    {"passes_to_si", s.to},
                                    {"passes", s.passesAll},
                                    {"proved", s.proved}});
        j["checks"] = Json::array();
        for (const CheckTolerance& c : t.checks) {
            static constexpr const char* kHow[] = {"proved", "no failure found", "fails", "not computed"};
            Json check = {{"name", cleaned(c.name)},
                          {"now", number(c.now)},
                          {"worst_case", kHow[static_cast<std::size_t>(c.how)]},
                          {"bound", c.how == CheckTolerance::Worst::Proved ? number(c.bound) : Json(nullptr)},
                          {"worst_seen", number(c.worst)},
                          {"places", c.places},
                          {"failing_samples", c.failing}};
            for (std::size_t q = 0; q < c.quantiles.size(); ++q)
                check["quantiles"].push_back({{"share", trial::kQuantiles[q]}, {"utilisation", number(c.quantiles[q])}});
            j["checks"].push_back(std::move(check));
        }
        out.push_back(std::move(j));
    }
    return out.dump(1) + "\n";
}

} // namespace spanwright::report
