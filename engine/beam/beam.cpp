// SPDX-License-Identifier: MIT
#include "engine/beam/beam.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "engine/beam/solved_data.h"

namespace spanwright::beam {

namespace {

constexpr double kNaN = std::numeric_limits<double>::quiet_NaN();
constexpr Range3 kNothing{kNaN, kNaN};

/// Adds up the parts: always the plain ones, and those that may act span by span where they make the
/// value worse. `valueOf(part)` is the part's value with factor 1. Parts with factor 0 are not asked.
template <class ValueOf> Range3 combined(const SolvedData& data, const std::vector<double>& factors, ValueOf valueOf) {
    double always = 0.0, down = 0.0, up = 0.0;
    for (std::size_t p = 0; p < data.parts.size(); ++p) {
        const LoadPart& part = data.parts[p];
        const double factor = part.action == LoadPart::kAlways ? 1.0 : factors[part.action];
        if (factor == 0.0) continue;
        const double value = factor * valueOf(p);
        if (!part.eachSpan) {
            always += value;
        } else if (value < 0.0) {
            down += value;
        } else {
            up += value;
        }
    }
    return {always + down, always + up};
}

Range3 joined(Range3 a, Range3 b) { return {std::min(a.least, b.least), std::max(a.most, b.most)}; }

enum class Curve : std::uint8_t { Moment, Shear, WebShear, Sag };

Range3 inCell(const SolvedData& data, Curve curve, std::size_t cell, double t, const std::vector<double>& factors) {
    const CellState* states = data.states.data() + cell * data.parts.size();
    const double h = data.cells[cell].width();
    switch (curve) {
    case Curve::Moment: return combined(data, factors, [&](std::size_t p) { return states[p].moment(t, h); });
    case Curve::Shear: return combined(data, factors, [&](std::size_t p) { return states[p].shear(t, h); });
    case Curve::WebShear: {
        const double relief = data.cells[cell].reliefAt(t);
        return combined(data, factors, [&](std::size_t p) { return states[p].shear(t, h) - relief * states[p].moment(t, h); });
    }
    case Curve::Sag: break;
    }
    const std::array<double, Cell::kCurves> shape = data.cells[cell].curvesAt(t);
    return combined(data, factors, [&](std::size_t p) {
        const CellState& s = states[p];
        const Polynomials force = polynomialsOf(s, h);
        double sag = s.sagLeft * (1.0 - t) + s.sagRight * t;
        for (std::size_t k = 0; k < 4; ++k) sag += force.moment[k] * shape[k];
        for (std::size_t k = 0; k < 3; ++k) sag += force.shear[k] * shape[4 + k];
        return sag;
    });
}

Range3 at(const SolvedData& data, Curve curve, double x, const std::vector<double>& factors) {
    if (data.cells.empty() || !std::isfinite(x) || factors.size() < data.actionCount) return kNothing;
    if (curve == Curve::Sag && !data.hasDeflection) return kNothing;
    const double slack = kOutsideSlack * (data.to - data.from);
    if (x < data.from - slack || x > data.to + slack) return kNothing;
    x = std::clamp(x, data.from, data.to);
    const auto after = std::upper_bound(data.cells.begin(), data.cells.end(), x, [](double here, const Cell& cell) { return here < cell.left; });
    const auto c = static_cast<std::size_t>(after - data.cells.begin()) - 1;
    const Cell& cell = data.cells[c];
    const Range3 here = inCell(data, curve, c, (x - cell.left) / cell.width(), factors);
    // The relief may jump wherever the stiffness has a kink: both sides of every joint are looked at.
    const bool jumps = (curve == Curve::Shear && data.shearJumps[c] != 0) || (curve == Curve::Moment && data.momentJumps[c] != 0) || curve == Curve::WebShear;
    if (!jumps || x != cell.left || c == 0) return here;
    return joined(inCell(data, curve, c - 1, 1.0, factors), here);
}

void block(const SolvedData& data, Curve curve, const double* x, std::size_t n, const std::vector<double>& factors, double* least, double* most) {
    for (std::size_t i = 0; i < n; ++i) {
        const Range3 range = at(data, curve, x[i], factors);
        least[i] = range.least;
        most[i] = range.most;
    }
}

Range3 atSupport(const SolvedData& data, const std::vector<double>& values, std::size_t support, const std::vector<double>& factors) {
    if (support >= data.supportAt.size() || factors.size() < data.actionCount) return kNothing;
    return combined(data, factors, [&](std::size_t p) { return values[support * data.parts.size() + p]; });
}

} // namespace

Solved::Solved() : Solved(std::make_shared<const SolvedData>()) {}
Solved::Solved(std::shared_ptr<const SolvedData> data) : m_data(std::move(data)) {}

Range3 Solved::moment(double x, const std::vector<double>& factors) const { return at(*m_data, Curve::Moment, x, factors); }
Range3 Solved::shear(double x, const std::vector<double>& factors) const { return at(*m_data, Curve::Shear, x, factors); }
Range3 Solved::webShear(double x, const std::vector<double>& factors) const { return at(*m_data, Curve::WebShear, x, factors); }
Range3 Solved::deflection(double x, const std::vector<double>& factors) const { return at(*m_data, Curve::Sag, x, factors); }
Range3 Solved::reaction(std::size_t support, const std::vector<double>& factors) const { return atSupport(*m_data, m_data->reactions, support, factors); }
Range3 Solved::supportMoment(std::size_t support, const std::vector<double>& factors) const { return atSupport(*m_data, m_data->holding, support, factors); }

void Solved::momentBlock(const double* x, std::size_t n, const std::vector<double>& factors, double* least, double* most) const {
    block(*m_data, Curve::Moment, x, n, factors, least, most);
}
void Solved::shearBlock(const double* x, std::size_t n, const std::vector<double>& factors, double* least, double* most) const {
    block(*m_data, Curve::Shear, x, n, factors, least, most);
}
void Solved::webShearBlock(const double* x, std::size_t n, const std::vector<double>& factors, double* least, double* most) const {
    block(*m_data, Curve::WebShear, x, n, factors, least, most);
}
void Solved::deflectionBlock(const double* x, std::size_t n, const std::vector<double>& factors, double* least, double* most) const {
    block(*m_data, Curve::Sag, x, n, factors, least, most);
}

double Solved::residual() const { return m_data->residual; }
const std::vector<double>& Solved::breaks() const { return m_data->breaks; }
std::size_t Solved::supportCount() const { return m_data->supportAt.size(); }
double Solved::supportAt(std::size_t i) const { return i < m_data->supportAt.size() ? m_data->supportAt[i] : kNaN; }
bool Solved::hasDeflection() const { return m_data->hasDeflection; }
double Solved::accuracy() const { return m_data->accuracy; }

} // namespace spanwright::beam
