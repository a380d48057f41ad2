// SPDX-License-Identifier: MIT
#include "engine/units/power_text.h"

#include <array>

namespace spanwright::units {

namespace {

std::string raised(const std::string& name, Rational power, bool typeset) {
    if (power == Rational{1, 1}) return name;
    if (!power.isWhole()) return name + "^(" + power.text() + ")";
    if (!typeset) return name + "^" + power.text();
    static const std::array<std::string, 10> kRaised{"⁰", "¹", "²", "³", "⁴", "⁵", "⁶", "⁷", "⁸", "⁹"};
    std::string out = name;
    for (const char digit : power.text()) out += kRaised[static_cast<std::size_t>(digit - '0')]; // positive: see powerText
    return out;
}

} // namespace

std::string powerText(const std::vector<NamedPower>& names, bool typeset) {
    const std::string dot = typeset ? "·" : "*";
    std::string above;
    std::string below;
    int countBelow = 0;
    for (const NamedPower& n : names) {
        if (n.power.isZero()) continue;
        std::string& side = n.power.num > 0 ? above : below;
        if (n.power.num < 0) ++countBelow;
        if (!side.empty()) side += dot;
        side += raised(n.name, n.power.num > 0 ? n.power : n.power * Rational{-1, 1}, typeset);
    }
    if (below.empty()) return above;
    if (above.empty()) above = "1";
    return above + "/" + (countBelow > 1 ? "(" + below + ")" : below);
}

} // namespace spanwright::units
