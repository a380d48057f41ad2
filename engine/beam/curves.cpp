// SPDX-License-Identifier: MIT
// The inner loops of everything that is asked along a beam: built with -O3, see CMakeLists.txt.
#include "engine/beam/curves.h"

#include "engine/base/widest.h"

namespace spanwright::beam {

namespace {

/// What all parts share at the places of a strip.
struct Shapes {
    const double* t = nullptr;
    std::size_t n = 0;
    double back[kStrip];                  ///< 1 - t
    double bow[kStrip], lean[kStrip];     ///< moments under a load of one over the cell, and one that rises to one
    double half[kStrip];                  ///< t^2/2
    double relief[kStrip];                ///< only for the web's shear, where there is one
    double curves[Cell::kCurves][kStrip]; ///< only for deflections
};

/// Steps of the recurrence of Legendre polynomials: P(k+1) = ahead[k]*u*P(k) - behind[k]*P(k-1).
struct Steps {
    static constexpr std::size_t kMost = 32;
    double ahead[kMost], behind[kMost];
    constexpr Steps() : ahead{}, behind{} {
        for (std::size_t k = 0; k < kMost; ++k) {
            const auto d = static_cast<double>(k);
            ahead[k] = (2.0 * d + 1.0) / (d + 1.0);
            behind[k] = d / (d + 1.0);
        }
    }
};
constexpr Steps kSteps;

/// `width` Legendre series, their coefficients side by side, at the places of a strip: out[k][i].
SPANWRIGHT_INLINE void sumSeries(const double* __restrict series, std::size_t degrees, std::size_t width, const double* __restrict t, std::size_t n,
                                 double (*__restrict out)[kStrip]) {
    double u[kStrip], before[kStrip], here[kStrip];
    for (std::size_t i = 0; i < n; ++i) {
        u[i] = 2.0 * t[i] - 1.0;
        before[i] = 1.0;
        here[i] = u[i];
    }
    for (std::size_t k = 0; k < width; ++k) {
        const double first = series[k];
        for (std::size_t i = 0; i < n; ++i) out[k][i] = first;
    }
    for (std::size_t d = 1; d < degrees; ++d) {
        for (std::size_t k = 0; k < width; ++k) {
            const double c = series[d * width + k];
            for (std::size_t i = 0; i < n; ++i) out[k][i] += c * here[i];
        }
        const double ahead = kSteps.ahead[d], behind = kSteps.behind[d];
        for (std::size_t i = 0; i < n; ++i) {
            const double next = ahead * u[i] * here[i] - behind * before[i];
            before[i] = here[i];
            here[i] = next;
        }
    }
}

SPANWRIGHT_INLINE void momentOf(const CellState& s, double h, const Shapes& at, double* __restrict out) {
    const double square = h * h;
    for (std::size_t i = 0; i < at.n; ++i) {
        out[i] = s.momentLeft * at.back[i] + s.momentRight * at.t[i] + square * (s.load * at.bow[i] + s.loadRise * at.lean[i]);
    }
}

SPANWRIGHT_INLINE void shearOf(const CellState& s, double h, const Shapes& at, double* __restrict out) {
    for (std::size_t i = 0; i < at.n; ++i) out[i] = s.shearLeft - h * (s.load * at.t[i] + s.loadRise * at.half[i]);
}

SPANWRIGHT_INLINE void sagOf(const CellState& s, double h, const Shapes& at, double* __restrict out) {
    const Polynomials force = polynomialsOf(s, h);
    for (std::size_t i = 0; i < at.n; ++i) out[i] = s.sagLeft * at.back[i] + s.sagRight * at.t[i];
    for (std::size_t k = 0; k < 4; ++k)
        for (std::size_t i = 0; i < at.n; ++i) out[i] += force.moment[k] * at.curves[k][i];
    for (std::size_t k = 0; k < 3; ++k)
        for (std::size_t i = 0; i < at.n; ++i) out[i] += force.shear[k] * at.curves[4 + k][i];
}

} // namespace

SPANWRIGHT_WIDEST void valuesInCell(const SolvedData& data, Curve curve, std::size_t cell, const double* t, std::size_t n, const std::vector<double>& factors,
                                    double* least, double* most) {
    static_assert(Steps::kMost >= 24, "a cell's series have 16 + 5 degrees at most");
    const Cell& c = data.cells[cell];
    const double h = c.width();
    Shapes at;
    at.t = t;
    at.n = n;
    const bool relieved = curve == Curve::WebShear && !c.relief.empty();
    if (curve != Curve::Shear) {
        for (std::size_t i = 0; i < n; ++i) at.back[i] = 1.0 - t[i];
    }
    if (curve == Curve::Moment || relieved) {
        for (std::size_t i = 0; i < n; ++i) {
            at.bow[i] = 0.5 * t[i] * at.back[i];
            at.lean[i] = t[i] * (1.0 - t[i] * t[i]) / 6.0;
        }
    }
    if (curve == Curve::Shear || curve == Curve::WebShear) {
        for (std::size_t i = 0; i < n; ++i) at.half[i] = 0.5 * t[i] * t[i];
    }
    if (relieved) sumSeries(c.relief.data(), c.relief.size(), 1, t, n, &at.relief);
    if (curve == Curve::Sag) {
        sumSeries(c.curves.data(), c.curves.size() / Cell::kCurves, Cell::kCurves, t, n, at.curves);
        // Nothing hangs below the chord at its ends, to the last bit.
        for (std::size_t k = 0; k < Cell::kCurves; ++k)
            for (std::size_t i = 0; i < n; ++i) at.curves[k][i] = t[i] <= 0.0 || t[i] >= 1.0 ? 0.0 : at.curves[k][i];
    }
    double always[kStrip], down[kStrip], up[kStrip], value[kStrip], moment[kStrip];
    for (std::size_t i = 0; i < n; ++i) always[i] = down[i] = up[i] = 0.0;
    const std::size_t parts = data.parts.size();
    const CellState* states = data.states.data() + cell * parts;
    for (std::size_t p = 0; p < parts; ++p) {
        const LoadPart& part = data.parts[p];
        const double factor = part.action == LoadPart::kAlways ? 1.0 : factors[part.action];
        if (factor == 0.0) continue;
        const CellState& s = states[p];
        switch (curve) {
        case Curve::Moment: momentOf(s, h, at, value); break;
        case Curve::Shear: shearOf(s, h, at, value); break;
        case Curve::WebShear:
            shearOf(s, h, at, value);
            if (!relieved) break;
            momentOf(s, h, at, moment);
            for (std::size_t i = 0; i < n; ++i) value[i] = value[i] - at.relief[i] * moment[i];
            break;
        case Curve::Sag: sagOf(s, h, at, value); break;
        }
        if (!part.eachSpan) {
            for (std::size_t i = 0; i < n; ++i) always[i] += factor * value[i];
            continue;
        }
        for (std::size_t i = 0; i < n; ++i) {
            const double v = factor * value[i];
            down[i] += v < 0.0 ? v : 0.0;
            up[i] += v < 0.0 ? 0.0 : v;
        }
    }
    for (std::size_t i = 0; i < n; ++i) {
        least[i] = always[i] + down[i];
        most[i] = always[i] + up[i];
    }
}

} // namespace spanwright::beam
