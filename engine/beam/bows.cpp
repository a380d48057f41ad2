// SPDX-License-Identifier: MIT
#include "engine/beam/bows.h"

namespace spanwright::beam {

void addBows(SolvedData& data) {
    for (Cell& cell : data.cells) cell.perLength = 1.0 / cell.width();
    data.degrees = data.constant ? kBowOfConstant : data.cells.front().curves.size() / Cell::kCurves;
    data.bows.resize(data.states.size() * data.degrees);
    double* to = data.bows.data();
    for (std::size_t i = 0; i < data.states.size(); ++i) {
        const Cell& cell = data.cells[i / data.parts.size()];
        const Polynomials force = polynomialsOf(data.states[i], cell.width());
        if (data.constant) {
            bowOfConstant(cell.width(), cell.bend[0], cell.shear[0], cell.cross[0], force, to);
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
