// SPDX-License-Identifier: MIT
#include "engine/shop/weights.h"

#include <algorithm>
#include <cmath>

#include "engine/units/format.h"

namespace spanwright::shop {

namespace {

/// Moisture at which the densities of the tables hold: 20 degrees C and 65 % relative humidity (EN 338, EN 384).
constexpr double kTableMoisture = 0.12;

std::string number(double v, int digits = 4) { return units::showNumber(v, {}, {digits, {}, {}}); }

/// Volume of one piece, m³: of a trapezoid by its mean breadth.
double volumeOf(const job::PieceView& v) { return v.thickness * (v.breadth + v.breadthEnd) / 2.0 * v.length; }

/// Where its mass acts: of a trapezoid nearer to its broad end.
double centreOf(const job::PieceView& v) { return *v.at + v.length / 6.0 * (v.breadthEnd - v.breadth) / (v.breadthEnd + v.breadth); }

} // namespace

std::string kilograms(double mass) { return units::showNumber(mass, {}, {3, {}, {}}) + " kg"; }

double amountFor(const ConsumableRow& c, double operation) {
    if (c.pitch) return std::ceil(operation / *c.pitch - 1e-9);
    return c.amount * operation;
}

const char* LiftAdvice::source() {
    return "common practice: two lift 2/3 of the sum of what each lifts alone, three 1/2, more rarely work together "
           "(guidelines on team handling); the law names no safe weight";
}

LiftAdvice adviseLift(double mass, double liftOfOne) {
    LiftAdvice a;
    const double limits[] = {liftOfOne, 2.0 * liftOfOne * 2.0 / 3.0, 3.0 * liftOfOne / 2.0};
    const char* words[] = {"one person", "two people", "three people"};
    const std::string each = number(liftOfOne, 3) + " kg";
    for (int i = 0; i < 3; ++i) {
        if (mass > limits[i] * (1.0 + 1e-9)) continue;
        a.people = i + 1;
        a.limit = limits[i];
        a.words = std::string(words[i]) + (i == 0   ? " (" + each + ")"
                                           : i == 1 ? " (2/3 of 2 x " + each + " = " + kilograms(a.limit) + ")"
                                                    : " (1/2 of 3 x " + each + " = " + kilograms(a.limit) + ")");
        return a;
    }
    a.limit = limits[2];
    a.words = "mechanical lift (three people lift 1/2 of 3 x " + each + " = " + kilograms(a.limit) + ")";
    return a;
}

Weights weigh(const Parts& parts, const ShopRows& rows) {
    Weights out;
    const double wet = (1.0 + rows.moisture) / (1.0 + kTableMoisture);
    const std::string percent = number(rows.moisture * 100.0, 3) + " %";
    if (!rows.moistureStated) out.assumed.push_back("moisture " + percent + ", as the densities of the tables are; state another with `moisture`");
    if (!rows.liftStated) out.assumed.push_back("one person lifts " + number(rows.liftOfOne, 3) + " kg; state another with `lift`");
    for (std::size_t i = 0; i < parts.parts.size(); ++i) {
        const Part& p = parts.parts[i];
        PartWeight w;
        w.part = i;
        if (p.view.density) {
            const double volume = volumeOf(p.view);
            w.mass = volume * *p.view.density * wet;
            w.working.formula = "volume x density" + std::string(rows.moisture == kTableMoisture ? "" : " x (1 + moisture)/1.12");
            w.working.putIn = number(volume) + " m³ x " + number(*p.view.density) + " kg/m³ (" + p.view.densitySource + ")" +
                              (rows.moisture == kTableMoisture ? "" : " x (1 + " + percent + ")/1.12");
            w.working.result = kilograms(*w.mass);
        } else {
            w.working.formula = "volume x density";
            w.working.putIn = "the density of " + p.view.material + " is not known";
            w.working.result = "not known";
            diag::Diagnostic d;
            d.code = diag::Code::DensityUnknown;
            d.severity = diag::Severity::Warning;
            d.place = p.view.place;
            d.message = "the density of " + p.view.material + " is not known, so nobody knows what the piece `" + p.view.name + "` of " + p.mark + " weighs";
            d.mend = "write `density ...` behind the piece, or cut it from a row of a table with a column rho_mean";
            d.member = p.mark;
            out.problems.push_back(std::move(d));
        }
        out.parts.push_back(std::move(w));
    }
    for (const BuiltMember& m : parts.members) {
        MemberWeight w;
        w.index = m.index;
        w.mark = m.mark;
        w.count = m.count;
        w.known = m.named && m.whole;
        bool placed = w.known;
        double moment = 0.0;
        std::size_t sorts = 0;
        for (std::size_t i = 0; i < parts.parts.size(); ++i) {
            const Part& p = parts.parts[i];
            if (p.member != m.index) continue;
            ++sorts;
            const auto each = static_cast<double>(p.each);
            if (!out.parts[i].mass) {
                w.known = placed = false;
            } else {
                w.wood += each * *out.parts[i].mass;
                if (p.view.at)
                    moment += each * *out.parts[i].mass * centreOf(p.view);
                else
                    placed = false;
            }
            for (const auto& o : p.view.operations)
                for (const ConsumableRow& c : rows.consumables)
                    if (c.operation == o.name && c.measure == o.measure && c.weighs) w.fastened += each * amountFor(c, o.amount) * *c.weighs;
        }
        if (sorts == 0) w.known = placed = false;
        w.mass = w.wood + w.fastened;
        w.working = {"pieces + glue and fasteners", kilograms(w.wood) + " + " + kilograms(w.fastened), kilograms(w.mass)};
        if (!w.known) w.working.result = w.mass > 0.0 ? "not known: more than " + kilograms(w.mass) : "not known";
        if (placed && w.wood > 0.0) {
            w.centre = moment / w.wood - m.start;
            w.centreWorking = {"sum of mass x place / sum of mass, glue and fasteners left out; less the place of end A",
                               number(moment) + " kg·m / " + kilograms(w.wood) + " - " +
                                   (m.start < 0.0 ? "(" + number(m.start) + " m)" : number(m.start) + " m"),
                               number(*w.centre) + " m"};
        }
        out.known = out.known && (w.known || !m.named || (m.whole && !m.cut));
        out.mass += w.mass * static_cast<double>(w.count);
        if (w.mass > 0.0 && (!out.heaviest || w.mass > out.members[*out.heaviest].mass)) out.heaviest = out.members.size();
        out.members.push_back(std::move(w));
    }
    if (out.heaviest) out.lift = adviseLift(out.members[*out.heaviest].mass, rows.liftOfOne);
    return out;
}

} // namespace spanwright::shop
