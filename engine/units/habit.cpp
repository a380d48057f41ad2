// SPDX-License-Identifier: MIT
#include <array>
#include <utility>

#include "engine/units/power_text.h"
#include "engine/units/unit.h"

namespace spanwright::units {

namespace {

/// What drawings and calculation sheets use; the first of a dimension counts. Common practice, no source.
constexpr std::array<std::string_view, 25> kHabits{
    "mm",   "mm^2",   "mm^3",   "mm^4", "mm^6", "1/m", "kN",    "kN*m", "kN*m^2", "kN/m", "N/mm^2", "kN/m^3", "kg",
    "kg/m", "kg/m^2", "kg/m^3", "s",    "Hz",   "m/s", "m/s^2", "kW",   "K",      "A",    "mol",    "cd",
};

std::string baseText(const Dimension& d) {
    std::vector<NamedPower> names;
    for (const auto& [code, power] : d.currencies()) names.push_back({code, power});
    const std::array<std::pair<Base, const char*>, kBaseCount> bases{{{Base::Mass, "kg"},
                                                                      {Base::Length, "m"},
                                                                      {Base::Time, "s"},
                                                                      {Base::Current, "A"},
                                                                      {Base::Temperature, "K"},
                                                                      {Base::Amount, "mol"},
                                                                      {Base::Light, "cd"}}};
    // kg·m/s² to whatever power is a force to that power, which is what the trade reckons in.
    const Rational force = d.power(Base::Mass);
    const bool ofForces = !force.isZero() && d.power(Base::Time) == Rational::of(-2) * force;
    if (ofForces) names.push_back({"N", force});
    for (const auto& [base, symbol] : bases) {
        if (ofForces && (base == Base::Mass || base == Base::Time)) continue;
        names.push_back({symbol, ofForces && base == Base::Length ? d.power(base) - force : d.power(base)});
    }
    return powerText(names, false);
}

} // namespace

Unit habitualUnit(const Dimension& d) {
    static const std::vector<Unit> habits = [] {
        std::vector<Unit> list;
        for (const std::string_view text : kHabits) {
            auto unit = readUnit(text);
            if (unit) list.push_back(std::move(unit).value());
        }
        return list;
    }();
    for (const Unit& unit : habits) {
        if (unit.dimension == d) return unit;
    }
    // A price by length, area, volume or mass keeps the SI unit; by time it is by the hour.
    if (d.currencies().size() == 1) {
        const auto& [code, power] = d.currencies().front();
        auto byHour = readUnit(code + "/h");
        if (byHour && byHour.value().dimension == d) return std::move(byHour).value();
    }
    auto unit = readUnit(baseText(d));
    if (unit && unit.value().dimension == d) return std::move(unit).value();
    // Powers beyond what a unit's text may hold: coherent SI all the same.
    Unit plain;
    plain.dimension = d;
    plain.shown = d.text();
    plain.ascii = baseText(d);
    return plain;
}

bool isMassForForce(const Dimension& got, const Dimension& wanted) {
    const Dimension acceleration = Dimension::of(Base::Length).over(Dimension::of(Base::Time, {2, 1}));
    return got.power(Base::Mass).num > 0 && got.times(acceleration) == wanted;
}

} // namespace spanwright::units
