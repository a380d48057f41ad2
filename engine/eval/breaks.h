// SPDX-License-Identifier: MIT
#pragma once

#include <cmath>
#include <optional>
#include <vector>

#include "engine/eval/engine.h"

namespace spanwright::eval {

/// at + slope * x
struct Straight {
    double at = 0.0, slope = 0.0;
};

/// Gathers places strictly between two ends.
class BreakPlaces {
public:
    BreakPlaces(double from, double to) : m_from(from), m_to(to) {}
    void add(double x) {
        if (x > m_from && x < m_to && m_found.size() < kMost) m_found.push_back(x);
    }
    /// Where a straight line has the value v.
    void addWhere(const std::optional<Straight>& line, double v) {
        if (!line || line->slope == 0.0) return;
        const double x = (v - line->at) / line->slope;
        if (std::isfinite(x)) add(x);
    }
    void addCrossing(const std::optional<Straight>& a, const std::optional<Straight>& b) {
        if (a && b) addWhere(Straight{a->at - b->at, a->slope - b->slope}, 0.0);
    }
    /// Ascending, without what is nearer to another or to an end than 1e-12 of the length.
    [[nodiscard]] std::vector<double> keptApart();
    /// So many that more are not kept.
    [[nodiscard]] bool full() const { return m_found.size() >= kMost; }

private:
    static constexpr std::size_t kMost = 2'000;
    double m_from, m_to;
    std::vector<double> m_found;
};

/// Places strictly between `from` and `to` where the body has a kink or a jump as far as can be told
/// without evaluating it: breaks of the beams it asks, changes of sign of what stands in abs(), of the two
/// sides of a comparison, crossings in min and max, rows of a table it interpolates; each where the thing
/// asked is a straight line in the variable. Ascending, apart by at least 1e-12 of the length.
[[nodiscard]] std::vector<double> breaksOf(Engine& engine, meaning::ExprId body, std::uint32_t slot, double from, double to);

} // namespace spanwright::eval
