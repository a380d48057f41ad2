// SPDX-License-Identifier: MIT
#pragma once

#include <deque>
#include <map>
#include <string>
#include <unordered_map>
#include <vector>

#include "engine/base/result.h"
#include "engine/meaning/expr.h"
#include "engine/units/unit.h"

namespace spanwright::meaning {

/// Keeps one object of each dimension, unit and set of axes that the nodes of a pool share, and remembers
/// products of dimensions and texts read as units. Internal to the layer; one per pool, kept by ExprPool::keep.
class Interner {
public:
    [[nodiscard]] SharedDimension dimension(const units::Dimension& d);
    [[nodiscard]] SharedDimension times(SharedDimension a, SharedDimension b);
    [[nodiscard]] SharedDimension over(SharedDimension a, SharedDimension b);

    [[nodiscard]] SharedAxes axes(std::vector<QuantityId> ascending);
    [[nodiscard]] SharedAxes joined(SharedAxes a, SharedAxes b);
    [[nodiscard]] SharedAxes without(SharedAxes a, QuantityId axis);

    [[nodiscard]] Shared<units::Unit> unit(const units::Unit& u);
    /// units::readUnit, each text once.
    [[nodiscard]] const base::Result<units::Unit, units::ReadError>& readUnit(const std::string& text);
    /// units::habitualUnit, each dimension once.
    [[nodiscard]] const units::Unit& habitual(SharedDimension d);

private:
    struct Pair {
        const void* a;
        const void* b;
        friend bool operator==(Pair, Pair) = default;
    };
    struct PairHash {
        std::size_t operator()(Pair p) const { return std::hash<const void*>()(p.a) * 31U + std::hash<const void*>()(p.b); }
    };
    std::deque<units::Dimension> m_dimensions;
    std::unordered_multimap<std::size_t, const units::Dimension*> m_byHash;
    std::unordered_map<Pair, SharedDimension, PairHash> m_products, m_quotients;
    std::map<std::vector<QuantityId>, std::vector<QuantityId>*> m_axesByValue;
    std::deque<std::vector<QuantityId>> m_axes;
    std::unordered_map<Pair, SharedAxes, PairHash> m_joins;
    std::deque<units::Unit> m_units;
    std::unordered_map<std::string, const units::Unit*> m_unitsByText;
    std::unordered_map<std::string, base::Result<units::Unit, units::ReadError>> m_read;
    std::unordered_map<const void*, units::Unit> m_habits;
};

} // namespace spanwright::meaning
