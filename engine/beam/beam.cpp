// SPDX-License-Identifier: MIT
#include "engine/beam/beam.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "engine/beam/curves.h"

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

/// Least and most at n places, in runs of places that lie in one cell.
void block(const SolvedData& data, Curve curve, const double* x, std::size_t n, const std::vector<double>& factors, double* least, double* most) {
    const bool nothing = data.cells.empty() || factors.size() < data.actionCount || (curve == Curve::Sag && !data.hasDeflection);
    const double slack = kOutsideSlack * (data.to - data.from);
    std::size_t c = 0;
    double t[kLongStrip];
    const std::size_t strip = data.constant && curve == Curve::Sag ? kLongStrip : kStrip;
    for (std::size_t i = 0; i < n;) {
        if (nothing || !std::isfinite(x[i]) || x[i] < data.from - slack || x[i] > data.to + slack) {
            least[i] = most[i] = kNaN;
            ++i;
            continue;
        }
        const double first = std::clamp(x[i], data.from, data.to);
        const auto holds = [&](std::size_t cell, double at) {
            return data.cells[cell].left <= at && (cell + 1 == data.cells.size() || at < data.cells[cell + 1].left);
        };
        if (!holds(c, first)) {
            const auto after = std::upper_bound(data.cells.begin(), data.cells.end(), first, [](double here, const Cell& cell) { return here < cell.left; });
            c = static_cast<std::size_t>(after - data.cells.begin()) - 1;
        }
        const Cell& cell = data.cells[c];
        t[0] = along(cell, first);
        std::size_t run = 1;
        // The relief may jump wherever the stiffness has a kink: both sides of every joint are looked at.
        const bool jumps =
            c > 0 && ((curve == Curve::Shear && data.shearJumps[c] != 0) || (curve == Curve::Moment && data.momentJumps[c] != 0) || curve == Curve::WebShear);
        if (jumps && first == cell.left) {
            const double end = 1.0;
            Range3 before, here;
            valuesInCell(data, curve, c - 1, &end, 1, factors, &before.least, &before.most);
            valuesInCell(data, curve, c, t, 1, factors, &here.least, &here.most);
            const Range3 both = joined(before, here);
            least[i] = both.least;
            most[i] = both.most;
            ++i;
            continue;
        }
        run = stripOf(data, c, x + i, std::min(strip, n - i), t);
        valuesInCell(data, curve, c, t, run, factors, least + i, most + i);
        i += run;
    }
}

Range3 at(const SolvedData& data, Curve curve, double x, const std::vector<double>& factors) {
    Range3 range;
    block(data, curve, &x, 1, factors, &range.least, &range.most);
    return range;
}

template <class Values> Range3 atSupport(const SolvedData& data, const Values& values, std::size_t support, const std::vector<double>& factors) {
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

std::vector<double> Solved::momentTurns(double from, double to, const std::vector<double>& factors) const {
    std::vector<double> places;
    addTurns(*m_data, Curve::Moment, from, to, factors, places);
    return places;
}
std::vector<double> Solved::shearTurns(double from, double to, const std::vector<double>& factors) const {
    std::vector<double> places;
    addTurns(*m_data, Curve::Shear, from, to, factors, places);
    return places;
}
bool Solved::hasChoices() const {
    return std::any_of(m_data->parts.begin(), m_data->parts.end(), [](const LoadPart& p) { return p.eachSpan; });
}

double Solved::residual() const { return m_data->residual; }
const std::vector<double>& Solved::breaks() const { return m_data->breaks; }
std::size_t Solved::supportCount() const { return m_data->supportAt.size(); }
double Solved::supportAt(std::size_t i) const { return i < m_data->supportAt.size() ? m_data->supportAt[i] : kNaN; }
bool Solved::hasDeflection() const { return m_data->hasDeflection; }
double Solved::accuracy() const { return m_data->accuracy; }

} // namespace spanwright::beam
