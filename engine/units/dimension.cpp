// SPDX-License-Identifier: MIT
#include "engine/units/dimension.h"

#include <algorithm>

#include "engine/units/power_text.h"

namespace spanwright::units {

namespace {

using Money = std::vector<std::pair<std::string, Rational>>;

Money combined(const Money& a, const Money& b, Rational sign) {
    Money out;
    auto x = a.begin();
    auto y = b.begin();
    while (x != a.end() || y != b.end()) {
        if (y == b.end() || (x != a.end() && x->first < y->first)) {
            out.push_back(*x++);
        } else if (x == a.end() || y->first < x->first) {
            out.emplace_back(y->first, y->second * sign);
            ++y;
        } else {
            const Rational power = x->second + y->second * sign;
            if (!power.isZero()) out.emplace_back(x->first, power);
            ++x;
            ++y;
        }
    }
    return out;
}

} // namespace

Dimension Dimension::of(Base b, Rational power) {
    Dimension d;
    d.m_base[static_cast<std::size_t>(b)] = Rational::of(power.num, power.den);
    return d;
}

Dimension Dimension::currency(std::string_view iso4217, Rational power) {
    Dimension d;
    power = Rational::of(power.num, power.den);
    if (!power.isZero()) d.m_money.emplace_back(std::string(iso4217), power);
    return d;
}

bool Dimension::isNumber() const {
    return m_money.empty() && std::all_of(m_base.begin(), m_base.end(), [](Rational p) { return p.isZero(); });
}

Rational Dimension::power(Base b) const { return m_base[static_cast<std::size_t>(b)]; }

Dimension Dimension::times(const Dimension& o) const {
    Dimension d;
    for (std::size_t i = 0; i < m_base.size(); ++i) d.m_base[i] = m_base[i] + o.m_base[i];
    d.m_money = combined(m_money, o.m_money, {1, 1});
    return d;
}

Dimension Dimension::over(const Dimension& o) const {
    Dimension d;
    for (std::size_t i = 0; i < m_base.size(); ++i) d.m_base[i] = m_base[i] - o.m_base[i];
    d.m_money = combined(m_money, o.m_money, {-1, 1});
    return d;
}

Dimension Dimension::toThe(Rational p) const {
    Dimension d;
    if (p.isZero()) return d;
    for (std::size_t i = 0; i < m_base.size(); ++i) d.m_base[i] = m_base[i] * p;
    for (const auto& [code, power] : m_money) d.m_money.emplace_back(code, power * p);
    return d;
}

std::string Dimension::text() const {
    const std::vector<std::pair<Base, const char*>> order{{Base::Mass, "kg"},       {Base::Length, "m"},   {Base::Time, "s"},  {Base::Current, "A"},
                                                          {Base::Temperature, "K"}, {Base::Amount, "mol"}, {Base::Light, "cd"}};
    std::vector<NamedPower> names;
    for (const auto& [code, power] : m_money) names.push_back({code, power});
    for (const auto& [base, symbol] : order) names.push_back({symbol, power(base)});
    const std::string out = powerText(names, true);
    return out.empty() ? "1" : out;
}

} // namespace spanwright::units
