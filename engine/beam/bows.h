// SPDX-License-Identifier: MIT
#pragma once

#include "engine/beam/solved_data.h"

namespace spanwright::beam {

/// The last step of solving a line: how each part bows each cell, that is the seven curves of the cell, as much of each as the part has of
/// the force that goes with it; closed forms where nothing varies. The curves themselves are not kept.
void addBows(SolvedData& data);

/// Of a cell of width h where nothing varies, with a curvature of t^k it hangs by t*(1 - t)*(1 + .. + t^k)/((k + 1)*(k + 2)) below its chord, with a slip of
/// t^k by t*(1 - t)*(1 + .. + t^(k - 1))/(k + 1) above it. `bend`, `shear` and `cross` are its integrals of 1/EI, 1/GA and r/GA.
inline void bowOfConstant(double h, double bend, double shear, double cross, const Polynomials& force, double* out) {
    for (std::size_t k = 0; k < kBowOfConstant; ++k) out[k] = 0.0;
    for (std::size_t k = 0; k < 4; ++k) {
        const double v = k < 3 ? force.shear[k] : 0.0, n = static_cast<double>(k + 1);
        const double turn = h * (bend * force.moment[k] - cross * v) / (n * (n + 1.0)), slip = (shear * v - cross * force.moment[k]) / n;
        for (std::size_t j = 0; j <= k; ++j) out[j] += j < k ? turn - slip : turn;
    }
}

} // namespace spanwright::beam
