// SPDX-License-Identifier: MIT
#include "engine/beam/bows.h"

namespace spanwright::beam {

namespace {

/// Of a cell where nothing varies, with a curvature of t^k it hangs by t*(1 - t)*(1 + .. + t^k)/((k + 1)*(k + 2)) below its chord, with a slip of t^k by
/// t*(1 - t)*(1 + .. + t^(k - 1))/(k + 1) above it.
void bowOfConstant(const Cell& cell, const Polynomials& force, double* out) {
    const double h = cell.width(), bend = cell.bend[0], shear = cell.shear[0], cross = cell.cross[0];
    for (std::size_t k = 0; k < kBowOfConstant; ++k) out[k] = 0.0;
    for (std::size_t k = 0; k < 4; ++k) {
        const double v = k < 3 ? force.shear[k] : 0.0, n = static_cast<double>(k + 1);
        const double turn = h * (bend * force.moment[k] - cross * v) / (n * (n + 1.0)), slip = (shear * v - cross * force.moment[k]) / n;
        for (std::size_t j = 0; j <= k; ++j) out[j] += j < k ? turn - slip : turn;
    }
}

} // namespace

void addBows(SolvedData& data) {
    for (Cell& cell : data.cells) cell.perLength = 1.0 / cell.width();
    data.degrees = data.constant ? kBowOfConstant : data.cells.front().curves.size() / Cell::kCurves;
    data.bows.resize(data.states.size() * data.degrees);
    double* to = data.bows.data();
    for (std::size_t i = 0; i < data.states.size(); ++i) {
        const Cell& cell = data.cells[i / data.parts.size()];
        const Polynomials force = polynomialsOf(data.states[i], cell.width());
        if (data.constant) {
            bowOfConstant(cell, force, to);
            to += kBowOfConstant;
            continue;
        }
        const double* curves = cell.curves.data();
        for (std::size_t d = 0; d < data.degrees; ++d, curves += Cell::kCurves) {
            double sum = 0.0;
            for (std::size_t k = 0; k < 4; ++k) sum += force.moment[k] * curves[k];
            for (std::size_t k = 0; k < 3; ++k) sum += force.shear[k] * curves[4 + k];
            *to++ = sum;
        }
    }
    for (Cell& cell : data.cells) std::vector<double>().swap(cell.curves);
}

} // namespace spanwright::beam
