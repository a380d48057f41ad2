// SPDX-License-Identifier: MIT
// Tables and plots of what varies.
#include <algorithm>
#include <cmath>
#include <limits>

#include <nlohmann/json.hpp>

#include "engine/base/text.h"
#include "engine/report/build.h"
#include "engine/report/clean.h"
#include "engine/report/trial_document.h"
#include "engine/report/words.h"
#include "engine/units/format.h"

namespace spanwright::report {

using job::Verdict;
using trial::Aim;
using trial::VaryTable;

std::string trialName(const trial::ValueName& name, bool several) { return several ? trial::pathText(name) : name.name; }

namespace {

bool several(const VaryTable& t) { return t.members.size() > 1; }

std::string shownText(const VaryTable& t, std::size_t s, std::size_t point) {
    const double v = t.results.shown[s][point];
    const trial::Shown& what = t.shown[s];
    if (std::isnan(v)) return "not computed";
    if (what.truth) return v != 0.0 ? "yes" : "no";
    if (what.kind == meaning::Kind::Check) return std::isinf(v) ? "beyond" : units::showUtilisation(v);
    return units::showValue(v, what.unit, what.show);
}

std::string utilisationText(const VaryTable& t, std::size_t point) {
    const double u = t.results.utilisation[point];
    return std::isnan(u) ? "-" : std::isinf(u) ? "beyond" : units::showUtilisation(u);
}

std::string governing(const VaryTable& t, std::size_t point) {
    if (std::isnan(t.results.utilisation[point])) return "-";
    const trial::CheckName& c = t.checks[t.results.governing[point]];
    return several(t) ? c.mark + "." + c.name : c.name;
}

std::string reachedText(const VaryTable& t, std::size_t point) { return t.reachedShown[point].empty() ? "none" : t.reachedShown[point]; }

std::string reachedName(const VaryTable& t) { return trialName(t.varied.back().name, several(t)); }

std::string title(const VaryTable& t) {
    std::string over;
    for (std::size_t a = 0; a < t.axes.size(); ++a) over += (a == 0 ? "" : a + 1 == t.axes.size() ? " and " : ", ") + trialName(t.varied[a].name, several(t));
    if (t.aim) return std::string(*t.aim == Aim::Smallest ? "smallest " : "largest ") + reachedName(t) + " by " + over;
    return "by " + over;
}

Table longTable(const VaryTable& t) {
    Table out;
    for (std::size_t a = 0; a < t.axes.size(); ++a)
        out.columns.push_back({trialName(t.varied[a].name, several(t)), t.varied[a].table ? Table::Align::Left : Table::Align::Right, false});
    if (t.aim) {
        out.columns.push_back({(*t.aim == Aim::Smallest ? "smallest " : "largest ") + reachedName(t), Table::Align::Right, false});
        out.columns.push_back({"ended by", Table::Align::Left, true});
    } else {
        out.columns.push_back({"util.", Table::Align::Right, false});
        out.columns.push_back({"verdict", Table::Align::Left, false});
        out.columns.push_back({"governing", Table::Align::Left, true});
    }
    for (const trial::Shown& s : t.shown) out.columns.push_back({trialName(s.name, several(t)), Table::Align::Right, false});
    for (std::size_t i = 0; i < t.results.points; ++i) {
        std::vector<Inlines> row;
        const std::vector<std::size_t> at = t.indices(i);
        for (std::size_t a = 0; a < at.size(); ++a) row.push_back({plainText(t.axes[a].labels[at[a]])});
        if (t.aim) {
            row.push_back({plainText(reachedText(t, i))});
            row.push_back({plainText(t.reachedStops[i])});
        } else {
            row.push_back({plainText(utilisationText(t, i))});
            row.push_back({boxedWord(stampOf(t.results.verdicts[i]))});
            row.push_back({plainText(governing(t, i))});
        }
        for (std::size_t s = 0; s < t.shown.size(); ++s) row.push_back({plainText(shownText(t, s, i))});
        out.rows.push_back(std::move(row));
    }
    return out;
}

/// It stands as rows and columns; else one point a row.
bool isPage(const VaryTable& t) { return t.axes.size() > 1 && t.axes.back().values.size() <= 12 && t.shown.size() <= 1 && !(t.aim && !t.shown.empty()); }

/// Which checks govern at how many points, the most first; empty where none is known.
std::string governingText(const VaryTable& t) {
    std::vector<std::pair<std::string, std::size_t>> counts;
    for (std::size_t i = 0; i < t.results.points; ++i) {
        if (std::isnan(t.results.utilisation[i])) continue;
        const std::string name = governing(t, i);
        const auto it = std::find_if(counts.begin(), counts.end(), [&](const auto& c) { return c.first == name; });
        if (it == counts.end())
            counts.emplace_back(name, 1);
        else
            ++it->second;
    }
    std::stable_sort(counts.begin(), counts.end(), [](const auto& a, const auto& b) { return a.second > b.second; });
    std::string out;
    for (const auto& [name, count] : counts)
        out += (out.empty() ? "governing: " : ", ") + name +
               (count == t.results.points ? " everywhere" : " at " + std::to_string(count) + " of " + std::to_string(t.results.points));
    return out;
}

/// Rows along all axes but the last, columns along the last.
Table pageTable(const VaryTable& t) {
    Table out;
    const std::size_t last = t.axes.size() - 1, width = t.axes[last].values.size();
    for (std::size_t a = 0; a < last; ++a)
        out.columns.push_back({trialName(t.varied[a].name, several(t)), t.varied[a].table ? Table::Align::Left : Table::Align::Right, false});
    for (const std::string& label : t.axes[last].labels) out.columns.push_back({label, Table::Align::Right, false});
    for (std::size_t i = 0; i < t.results.points; i += width) {
        std::vector<Inlines> row;
        const std::vector<std::size_t> at = t.indices(i);
        for (std::size_t a = 0; a < last; ++a) row.push_back({plainText(t.axes[a].labels[at[a]])});
        for (std::size_t c = 0; c < width; ++c) {
            if (t.aim) {
                row.push_back({plainText(reachedText(t, i + c))});
                continue;
            }
            Inlines cell{plainText(t.shown.empty() ? utilisationText(t, i + c) : shownText(t, 0, i + c))};
            if (t.results.verdicts[i + c] != Verdict::Ok) {
                cell.push_back(plainText(" "));
                cell.push_back(boxedWord(stampOf(t.results.verdicts[i + c])));
            }
            row.push_back(std::move(cell));
        }
        out.rows.push_back(std::move(row));
    }
    return out;
}

/// A value in the unit of its head, in full; an empty field where there is none.
std::string plain(double si, const units::Unit& unit) { return std::isnan(si) ? "" : std::isinf(si) ? "inf" : base::shortest(units::fromSi(si, unit)); }

std::string headOf(const std::string& name, const units::Unit& unit) { return unit.ascii.empty() ? name : name + " [" + unit.ascii + "]"; }

std::string axisField(const VaryTable& t, std::size_t a, std::size_t index) {
    return t.varied[a].table ? t.axes[a].labels[index] : plain(t.axes[a].values[index], t.varied[a].unit);
}

} // namespace

Table varyTable(const VaryTable& t) { return longTable(t); }

bool isFieldTable(const VaryTable& t) { return t.axes.size() == 2 && !t.aim && isPage(t); }

Document varyDocument(const VaryTable& t) {
    Document d;
    Section s;
    s.title = title(t);
    std::string reaches;
    for (const std::string& m : t.members) reaches += (reaches.empty() ? "" : ", ") + m;
    if (several(t)) s.blocks.push_back({Paragraph{{plainText("members reached: " + reaches)}}});
    if (isPage(t)) {
        std::string across = trialName(t.varied[t.axes.size() - 1].name, several(t)) + " across";
        if (!t.aim) across += t.shown.empty() ? "; greatest utilisation" : "; " + trialName(t.shown[0].name, several(t));
        s.blocks.push_back({Paragraph{{plainText(across)}}});
        s.blocks.push_back({pageTable(t)});
        if (const std::string governs = t.aim ? "" : governingText(t); !governs.empty()) s.blocks.push_back({Paragraph{{faintText(governs)}}});
    } else {
        s.blocks.push_back({longTable(t)});
    }
    if (t.aim) {
        const trial::Varied& v = t.varied.back();
        s.blocks.push_back({Paragraph{{faintText(
            reachedName(t) + " looked for from " + units::showValue(t.range.from, v.unit, v.show) + " to " + units::showValue(t.range.to, v.unit, v.show) +
            (t.ownRange ? (v.low && v.high ? " (the limits of its row)" : " (a tenth to ten times its present value)") : "") + ", " +
            (v.whole ? "every whole number"
                     : std::to_string(t.range.samples + 1) + " places at first; a passing stretch narrower than " +
                           units::showValue((t.range.to - t.range.from) / static_cast<double>(t.range.samples), v.unit, v.show) + " may be missed"))}}});
        std::size_t severalStretches = 0;
        for (const trial::CellReach& r : t.reached) severalStretches += r.stretches > 1 ? 1 : 0;
        if (severalStretches > 0)
            s.blocks.push_back({Paragraph{{plainText(std::to_string(severalStretches) + (severalStretches == 1 ? " of them passes" : " of them pass") +
                                                     " in more than one stretch: look closer with `spanwright reach`")}}});
    }
    for (const trial::Boundary& b : t.boundaries) {
        std::string stops;
        for (std::size_t i = 0; i < b.stops.size() && i < 3; ++i) stops += (i > 0 ? ", " : "") + b.stops[i];
        s.blocks.push_back({Paragraph{{plainText(std::string(b.passesBelow ? "passes up to " : "passes from ") + trialName(t.varied[0].name, several(t)) +
                                                 " = " + b.shown + (stops.empty() ? "" : (b.passesBelow ? "; then not: " : "; below it not: ") + stops))}}});
    }
    std::size_t unknown = 0;
    for (const Verdict v : t.results.verdicts) unknown += v == Verdict::NotComputed ? 1 : 0;
    if (unknown > 0 && !t.aim)
        s.blocks.push_back({Paragraph{{plainText(std::to_string(unknown) + " of " + std::to_string(t.results.points) +
                                                 (t.results.points == 1 ? " point was" : " points were") + " not computed")}}});
    if (t.cancelled) s.blocks.push_back({Paragraph{{strongText("cancelled: the table is not complete")}}});
    d.sections.push_back(std::move(s));
    return d;
}

Drawing varyDrawing(const VaryTable& t) {
    // Along the first numeric axis; of choices alone by their order.
    std::size_t along = t.axes.size();
    for (std::size_t a = 0; a < t.axes.size() && along == t.axes.size(); ++a)
        if (t.axes[a].numeric) along = a;
    const bool byOrder = along == t.axes.size();
    if (byOrder) along = 0;
    job::PlotView plot;
    plot.name = title(t);
    plot.what = t.aim             ? (*t.aim == Aim::Smallest ? "smallest " : "largest ") + reachedName(t)
                : t.shown.empty() ? "greatest utilisation"
                                  : trialName(t.shown[0].name, several(t));
    const units::Unit& xUnit = t.varied[along].unit;
    plot.xName = trialName(t.varied[along].name, several(t)) + (byOrder ? " (by order)" : "");
    plot.xUnit = byOrder ? "" : xUnit.shown;
    const units::Unit yUnit = t.aim ? t.varied.back().unit : t.shown.empty() ? units::Unit{} : t.shown[0].unit;
    plot.yUnit = yUnit.shown;
    const std::size_t n = t.axes[along].values.size();
    for (std::size_t i = 0; i < n; ++i) plot.x.push_back(byOrder ? static_cast<double>(i + 1) : units::fromSi(t.axes[along].values[i], xUnit));
    std::vector<std::string> labels;
    PlotMarks marks;
    const auto curveOf = [&](const std::vector<std::size_t>& at) {
        std::string label;
        for (std::size_t a = 0; a < at.size(); ++a)
            if (a != along) label += (label.empty() ? "" : ", ") + trialName(t.varied[a].name, several(t)) + " " + t.axes[a].labels[at[a]];
        const auto it = std::find(labels.begin(), labels.end(), label);
        if (it != labels.end()) return static_cast<std::size_t>(it - labels.begin());
        labels.push_back(label);
        plot.curves.push_back({label, std::vector<double>(n, std::numeric_limits<double>::quiet_NaN())});
        return labels.size() - 1;
    };
    for (std::size_t i = 0; i < t.results.points; ++i) {
        const std::vector<std::size_t> at = t.indices(i);
        double v = t.aim ? t.reached[i].answer : t.shown.empty() ? t.results.utilisation[i] : t.results.shown[0][i];
        if (std::isinf(v)) v = std::numeric_limits<double>::quiet_NaN();
        plot.curves[curveOf(at)].y[at[along]] = std::isnan(v) ? v : units::fromSi(v, yUnit);
    }
    const bool utilisation = !t.aim && (t.shown.empty() || t.shown[0].kind == meaning::Kind::Check);
    if (utilisation) marks.level = 1.0;
    if (t.axes.size() == 1 && !t.aim && !byOrder) {
        // From one boundary to the next; where none was found, half way to the next value.
        std::size_t next = 0;
        double from = plot.x.front();
        bool fails = t.results.verdicts[0] != Verdict::Ok;
        for (std::size_t i = 0; i + 1 < n; ++i) {
            const bool failsNext = t.results.verdicts[i + 1] != Verdict::Ok;
            if (failsNext == fails) continue;
            double at = (plot.x[i] + plot.x[i + 1]) / 2;
            if (next < t.boundaries.size()) {
                const trial::Boundary& b = t.boundaries[next];
                const double x = units::fromSi(b.at, xUnit);
                if (x >= plot.x[i] && x <= plot.x[i + 1]) {
                    at = x;
                    ++next;
                    marks.lines.push_back({x, std::string(b.passesBelow ? "passes up to " : "passes from ") + b.shown, !b.passesBelow});
                }
            }
            if (fails) marks.hatched.push_back({from, at});
            from = at;
            fails = failsNext;
        }
        if (fails) marks.hatched.push_back({from, plot.x.back()});
    }
    return plotDrawing(plot, marks);
}

std::string writeVaryCsv(const VaryTable& t) {
    std::string out;
    const auto line = [&out](const std::vector<std::string>& fields) {
        for (std::size_t i = 0; i < fields.size(); ++i) out += (i > 0 ? "," : "") + csvField(fields[i]);
        out += '\n';
    };
    std::vector<std::string> head;
    for (std::size_t a = 0; a < t.axes.size(); ++a)
        head.push_back(t.varied[a].table ? trial::pathText(t.varied[a].name) : headOf(trial::pathText(t.varied[a].name), t.varied[a].unit));
    if (t.aim) {
        head.push_back(headOf((*t.aim == Aim::Smallest ? "smallest " : "largest ") + trial::pathText(t.varied.back().name), t.varied.back().unit));
        head.emplace_back("ended by");
    } else {
        head.insert(head.end(), {"verdict", "utilisation", "governing check"});
    }
    for (const trial::Shown& s : t.shown) head.push_back(headOf(trial::pathText(s.name), s.unit));
    line(head);
    for (std::size_t i = 0; i < t.results.points; ++i) {
        std::vector<std::string> row;
        const std::vector<std::size_t> at = t.indices(i);
        for (std::size_t a = 0; a < at.size(); ++a) row.push_back(axisField(t, a, at[a]));
        if (t.aim) {
            row.push_back(plain(t.reached[i].answer, t.varied.back().unit));
            row.push_back(t.reachedStops[i]);
        } else {
            row.emplace_back(stampText(stampOf(t.results.verdicts[i])));
            row.push_back(plain(t.results.utilisation[i], {}));
            row.push_back(std::isnan(t.results.utilisation[i]) ? "" : governing(t, i));
        }
        for (std::size_t s = 0; s < t.shown.size(); ++s) row.push_back(plain(t.results.shown[s][i], t.shown[s].unit));
        line(row);
    }
    return out;
}

std::string writeVaryJson(const VaryTable& t) {
    nlohmann::ordered_json j;
    const auto number = [](double v, const units::Unit& unit) -> nlohmann::ordered_json {
        if (!std::isfinite(v)) return nullptr;
        return units::fromSi(v, unit);
    };
    for (std::size_t a = 0; a < t.axes.size(); ++a) {
        nlohmann::ordered_json axis;
        axis["name"] = cleaned(trial::pathText(t.varied[a].name));
        if (!t.varied[a].table) axis["unit"] = t.varied[a].unit.ascii;
        for (std::size_t i = 0; i < t.axes[a].values.size(); ++i) {
            if (t.varied[a].table)
                axis["values"].push_back(cleaned(t.axes[a].labels[i]));
            else
                axis["values"].push_back(units::fromSi(t.axes[a].values[i], t.varied[a].unit));
        }
        j["over"].push_back(axis);
    }
    j["members"] = t.members;
    if (t.aim) {
        const trial::Varied& v = t.varied.back();
        j["reach"] = {{"name", cleaned(trial::pathText(v.name))},
                      {"aim", *t.aim == Aim::Smallest ? "smallest" : "largest"},
                      {"unit", v.unit.ascii},
                      {"from", number(t.range.from, v.unit)},
                      {"to", number(t.range.to, v.unit)},
                      {"samples", t.range.samples + 1}};
    }
    for (const trial::Shown& s : t.shown) j["show"].push_back({{"name", cleaned(trial::pathText(s.name))}, {"unit", s.unit.ascii}});
    j["complete"] = !t.cancelled;
    for (const trial::Boundary& b : t.boundaries)
        j["boundaries"].push_back({{"at", number(b.at, t.varied[0].unit)}, {"passes", b.passesBelow ? "below" : "above"}, {"checks", b.stops}});
    for (std::size_t i = 0; i < t.results.points; ++i) {
        nlohmann::ordered_json p;
        const std::vector<std::size_t> at = t.indices(i);
        p["at"] = at;
        if (t.aim) {
            p["reached"] = number(t.reached[i].answer, t.varied.back().unit);
            p["ended by"] = cleaned(t.reachedStops[i]);
            p["stretches"] = t.reached[i].stretches;
        } else {
            p["verdict"] = stampText(stampOf(t.results.verdicts[i]));
            p["utilisation"] = number(t.results.utilisation[i], {});
            p["governing"] = std::isnan(t.results.utilisation[i]) ? "" : cleaned(governing(t, i));
        }
        for (std::size_t s = 0; s < t.shown.size(); ++s) p["shown"].push_back(number(t.results.shown[s][i], t.shown[s].unit));
        j["points"].push_back(std::move(p));
    }
    return j.dump(1) + "\n";
}

} // namespace spanwright::report
