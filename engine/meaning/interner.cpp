// SPDX-License-Identifier: MIT
#include "engine/meaning/interner.h"

#include <algorithm>

namespace spanwright::meaning {

namespace {

std::size_t hashOf(const units::Dimension& d) {
    std::size_t h = 0;
    const auto mix = [&h](std::int32_t v) { h = h * 1000003U + static_cast<std::uint32_t>(v); };
    for (int b = 0; b < units::kBaseCount; ++b) {
        const units::Rational p = d.power(static_cast<units::Base>(b));
        mix(p.num);
        mix(p.den);
    }
    for (const auto& [code, p] : d.currencies()) {
        h ^= std::hash<std::string>()(code);
        mix(p.num);
        mix(p.den);
    }
    return h;
}

} // namespace

SharedDimension Interner::dimension(const units::Dimension& d) {
    if (d.isNumber()) return {};
    const std::size_t h = hashOf(d);
    const auto [from, to] = m_byHash.equal_range(h);
    for (auto it = from; it != to; ++it) {
        if (*it->second == d) return SharedDimension(it->second);
    }
    m_dimensions.push_back(d);
    m_byHash.emplace(h, &m_dimensions.back());
    return SharedDimension(&m_dimensions.back());
}

SharedDimension Interner::times(SharedDimension a, SharedDimension b) {
    if (b.isNumber()) return a;
    if (a.isNumber()) return b;
    const Pair key{&a.get(), &b.get()};
    if (const auto found = m_products.find(key); found != m_products.end()) return found->second;
    const SharedDimension product = dimension(a->times(b));
    m_products.emplace(key, product);
    return product;
}

SharedDimension Interner::over(SharedDimension a, SharedDimension b) {
    if (b.isNumber()) return a;
    const Pair key{&a.get(), &b.get()};
    if (const auto found = m_quotients.find(key); found != m_quotients.end()) return found->second;
    const SharedDimension quotient = dimension(a->over(b));
    m_quotients.emplace(key, quotient);
    return quotient;
}

SharedAxes Interner::axes(std::vector<QuantityId> ascending) {
    if (ascending.empty()) return {};
    if (const auto found = m_axesByValue.find(ascending); found != m_axesByValue.end()) return SharedAxes(found->second);
    m_axes.push_back(ascending);
    m_axesByValue.emplace(std::move(ascending), &m_axes.back());
    return SharedAxes(&m_axes.back());
}

SharedAxes Interner::joined(SharedAxes a, SharedAxes b) {
    if (b.empty() || a.is(b)) return a;
    if (a.empty()) return b;
    const Pair key{&a.get(), &b.get()};
    if (const auto found = m_joins.find(key); found != m_joins.end()) return found->second;
    std::vector<QuantityId> both;
    std::set_union(a.begin(), a.end(), b.begin(), b.end(), std::back_inserter(both));
    const SharedAxes kept = axes(std::move(both));
    m_joins.emplace(key, kept);
    return kept;
}

SharedAxes Interner::without(SharedAxes a, QuantityId axis) {
    std::vector<QuantityId> rest;
    for (QuantityId id : a) {
        if (id != axis) rest.push_back(id);
    }
    return axes(std::move(rest));
}

Shared<units::Unit> Interner::unit(const units::Unit& u) {
    if (u.ascii.empty() && u.shown.empty() && u.factor == 1.0) return {};
    const auto [at, fresh] = m_unitsByText.emplace(u.ascii, nullptr);
    if (!fresh && *at->second == u) return Shared<units::Unit>(at->second);
    m_units.push_back(u);
    if (fresh) at->second = &m_units.back();
    return Shared<units::Unit>(&m_units.back());
}

const base::Result<units::Unit, units::ReadError>& Interner::readUnit(const std::string& text) {
    if (const auto found = m_read.find(text); found != m_read.end()) return found->second;
    return m_read.emplace(text, units::readUnit(text)).first->second;
}

const units::Unit& Interner::habitual(SharedDimension d) {
    if (const auto found = m_habits.find(&d.get()); found != m_habits.end()) return found->second;
    return m_habits.emplace(&d.get(), units::habitualUnit(d)).first->second;
}

} // namespace spanwright::meaning
