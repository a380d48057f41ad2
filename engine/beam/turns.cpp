// SPDX-License-Identifier: MIT
// Where moments and shears turn: they are polynomials in each cell, so this can be said instead of searched for.
#include <algorithm>
#include <array>
#include <cmath>

#include "engine/beam/curves.h"
#include "engine/beam/zeros.h"

namespace spanwright::beam {

namespace {

/// c[0] + c[1]*t + c[2]*t^2 + c[3]*t^3
using Cubic = std::array<double, 4>;

Cubic slopeOf(const Cubic& c) { return {c[1], 2.0 * c[2], 3.0 * c[3], 0.0}; }

Cubic curveOf(const CellState& s, double width, Curve curve) {
    const Polynomials p = polynomialsOf(s, width);
    if (curve == Curve::Moment) return p.moment;
    return {p.shear[0], p.shear[1], p.shear[2], 0.0};
}

Cubic& operator+=(Cubic& a, const Cubic& b) {
    for (std::size_t k = 0; k < a.size(); ++k) a[k] += b[k];
    return a;
}

} // namespace

void addTurns(const SolvedData& data, Curve curve, double from, double to, const std::vector<double>& factors, std::vector<double>& out) {
    if (factors.size() < data.actionCount) return;
    Few<Cubic> choices;
    Few<double> cuts, turns;
    for (std::size_t c = 0; c < data.cells.size(); ++c) {
        const Cell& cell = data.cells[c];
        if (cell.right <= from || cell.left >= to) continue;
        Cubic always{};
        choices.clear();
        for (std::size_t p = 0; p < data.parts.size(); ++p) {
            const LoadPart& part = data.parts[p];
            const double factor = part.action == LoadPart::kAlways ? 1.0 : factors[part.action];
            if (factor == 0.0) continue;
            Cubic mine = curveOf(data.states[c * data.parts.size() + p], cell.width(), curve);
            for (double& k : mine) k *= factor;
            if (part.eachSpan)
                choices.push_back(mine);
            else
                always += mine;
        }
        // Where a choice changes its sign it goes over from least to most; in between both are polynomials.
        cuts.assign(1, 0.0);
        for (const Cubic& choice : choices) addZeros(choice, 0.0, 1.0, cuts);
        std::sort(cuts.begin(), cuts.end());
        cuts.push_back(1.0);
        turns.clear();
        for (std::size_t i = 1; i < cuts.size(); ++i) {
            const double low = cuts[i - 1], high = cuts[i], middle = 0.5 * (low + high);
            if (low < high) { // (a choice is mostly zero at both ends)
                Cubic least = always, most = always;
                for (const Cubic& choice : choices) (valueAt(choice, middle) < 0.0 ? least : most) += choice;
                addZeros(slopeOf(least), low, high, turns);
                if (!choices.empty()) addZeros(slopeOf(most), low, high, turns);
            }
            // A choice may also change its sign just where cells meet.
            if (!choices.empty()) turns.push_back(high);
        }
        for (const double t : turns) {
            const double x = t < 1.0 ? cell.left + t * cell.width() : cell.right;
            if (x > from && x < to) out.push_back(x);
        }
    }
    // Both sides of every jump, too: whoever asks may have taken two breaks a rounding error apart for one.
    for (std::size_t j = 1; j < data.cells.size(); ++j) {
        if (curve == Curve::Moment ? data.momentJumps[j] == 0 : data.shearJumps[j] == 0) continue;
        const double x = data.cells[j].left;
        for (const double beside : {std::nextafter(x, data.from), x, std::nextafter(x, data.to)})
            if (beside > from && beside < to) out.push_back(beside);
    }
}

} // namespace spanwright::beam
