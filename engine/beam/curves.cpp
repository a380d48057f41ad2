// SPDX-License-Identifier: MIT
// The inner loops of everything that is asked along a beam: built with -O3, see CMakeLists.txt.
#include "engine/beam/curves.h"

#include <algorithm>
#include <cmath>

#include "engine/base/widest.h"

namespace spanwright::beam {

namespace {

/// A cell's series have 16 + 5 degrees at most.
constexpr std::size_t kMostDegrees = 24;

/// What all parts share at the places of a strip.
struct Shapes {
    const double* t = nullptr;
    std::size_t n = 0;
    double back[kStrip];                   ///< 1 - t
    double bow[kStrip], lean[kStrip];      ///< moments under a load of one over the cell, and one that rises to one
    double half[kStrip];                   ///< t^2/2
    double relief[kStrip];                 ///< only for the web's shear, where there is one
    double legendre[kMostDegrees][kStrip]; ///< only for deflections
};

/// Steps of the recurrence of Legendre polynomials: P(k+1) = ahead[k]*u*P(k) - behind[k]*P(k-1).
struct Steps {
    double ahead[kMostDegrees], behind[kMostDegrees];
    constexpr Steps() : ahead{}, behind{} {
        for (std::size_t k = 0; k < kMostDegrees; ++k) {
            const auto d = static_cast<double>(k);
            ahead[k] = (2.0 * d + 1.0) / (d + 1.0);
            behind[k] = d / (d + 1.0);
        }
    }
};
constexpr Steps kSteps;

/// Legendre polynomials of 2t - 1 at the places of a strip.
SPANWRIGHT_INLINE void legendreAt(std::size_t degrees, const double* __restrict t, std::size_t n, double (*__restrict out)[kStrip]) {
    double u[kStrip];
    for (std::size_t i = 0; i < n; ++i) {
        u[i] = 2.0 * t[i] - 1.0;
        out[0][i] = 1.0;
        out[1][i] = u[i];
    }
    for (std::size_t d = 1; d + 1 < degrees; ++d) {
        const double ahead = kSteps.ahead[d], behind = kSteps.behind[d];
        for (std::size_t i = 0; i < n; ++i) out[d + 1][i] = ahead * u[i] * out[d][i] - behind * out[d - 1][i];
    }
}

SPANWRIGHT_INLINE void sumSeries(const double* __restrict series, std::size_t degrees, const double (*__restrict legendre)[kStrip], std::size_t n,
                                 double* __restrict out) {
    for (std::size_t i = 0; i < n; ++i) out[i] = series[0];
    for (std::size_t d = 1; d < degrees; ++d) {
        const double c = series[d];
        for (std::size_t i = 0; i < n; ++i) out[i] += c * legendre[d][i];
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

SPANWRIGHT_INLINE void sagOf(const CellState& s, const double* series, std::size_t degrees, const Shapes& at, double* __restrict out) {
    double bow[kStrip];
    sumSeries(series, degrees, at.legendre, at.n, bow);
    // Nothing hangs below the chord at its ends, to the last bit.
    for (std::size_t i = 0; i < at.n; ++i) {
        const double below = at.t[i] <= 0.0 || at.t[i] >= 1.0 ? 0.0 : bow[i];
        out[i] = s.sagLeft * at.back[i] + s.sagRight * at.t[i] + below;
    }
}

/// What sagging parts add up to where nothing varies.
struct Sum {
    double powers[kBowOfConstant] = {}, left = 0.0, right = 0.0; ///< below the chord; the chord's ends
    bool any = false;
    void add(const double* bow, const CellState& s, double factor) {
        for (std::size_t k = 0; k < kBowOfConstant; ++k) powers[k] += factor * bow[k];
        left += factor * s.sagLeft;
        right += factor * s.sagRight;
        any = true;
    }
    /// `chord`: its ends are not both at zero.
    template <bool chord> [[nodiscard]] SPANWRIGHT_INLINE double at(double t) const {
        const double back = 1.0 - t;
        const double bow = ((powers[3] * t + powers[2]) * t + powers[1]) * t + powers[0];
        return chord ? left * back + right * t + t * back * bow : t * back * bow;
    }
    [[nodiscard]] bool hasChord() const { return left != 0.0 || right != 0.0; }
};

template <bool chord> SPANWRIGHT_INLINE void addSags(const Sum& always, const Few<Sum>& choices, const double* __restrict t, std::size_t n,
                                                     double* __restrict least, double* __restrict most) {
    if (always.any || choices.empty())
        for (std::size_t i = 0; i < n; ++i) least[i] = most[i] = always.at<chord>(t[i]);
    else
        for (std::size_t i = 0; i < n; ++i) least[i] = most[i] = 0.0;
    if (choices.empty()) return;
    if (choices.size() == 1) {
        const Sum choice = choices.front();
        for (std::size_t i = 0; i < n; ++i) {
            const Parted v = parted(choice.at<chord>(t[i]));
            least[i] += v.down;
            most[i] += v.up;
        }
        return;
    }
    double down[kLongStrip], up[kLongStrip];
    for (std::size_t i = 0; i < n; ++i) down[i] = up[i] = 0.0;
    for (const Sum& choice : choices) {
        for (std::size_t i = 0; i < n; ++i) {
            const Parted v = parted(choice.at<chord>(t[i]));
            down[i] += v.down;
            up[i] += v.up;
        }
    }
    for (std::size_t i = 0; i < n; ++i) {
        least[i] += down[i];
        most[i] += up[i];
    }
}

} // namespace

SPANWRIGHT_WIDEST std::size_t stripOf(const SolvedData& data, std::size_t cell, const double* __restrict x, std::size_t n, double* __restrict t) {
    const Cell& c = data.cells[cell];
    // Where another cell begins it is asked.
    const double left = c.left, last = cell + 1 == data.cells.size() ? data.to : std::nextafter(data.cells[cell + 1].left, left);
    std::uint64_t outside = 0; // (without branches, so that it goes in lanes)
    for (std::size_t i = 1; i < n; ++i) {
        const std::uint64_t before = x[i] > left ? 0U : 1U, behind = x[i] <= last ? 0U : 1U;
        outside |= before | behind;
    }
    if (outside != 0) {
        std::size_t run = 1;
        while (run < n && x[run] > left && x[run] <= last) ++run;
        n = run;
    }
    for (std::size_t i = 1; i < n; ++i) t[i] = along(c, x[i]);
    return n;
}

/// Deflections where nothing varies: by parts as in valuesInCell(), those that always act taken together.
SPANWRIGHT_WIDEST void sagsInConstantCell(const SolvedData& data, std::size_t cell, const double* __restrict t, std::size_t n,
                                          const std::vector<double>& factors, double* __restrict least, double* __restrict most) {
    const std::size_t parts = data.parts.size();
    const CellState* states = data.states.data() + cell * parts;
    Sum always;
    Few<Sum> choices;
    for (std::size_t p = 0; p < parts; ++p) {
        const LoadPart& part = data.parts[p];
        const double factor = part.action == LoadPart::kAlways ? 1.0 : factors[part.action];
        if (factor != 0.0) (part.eachSpan ? choices.emplace_back() : always).add(data.bows.data() + (cell * parts + p) * kBowOfConstant, states[p], factor);
    }
    if (always.hasChord() || std::any_of(choices.begin(), choices.end(), [](const Sum& c) { return c.hasChord(); }))
        addSags<true>(always, choices, t, n, least, most);
    else
        addSags<false>(always, choices, t, n, least, most);
}

SPANWRIGHT_WIDEST void valuesInCell(const SolvedData& data, Curve curve, std::size_t cell, const double* t, std::size_t n, const std::vector<double>& factors,
                                    double* least, double* most) {
    if (curve == Curve::Sag && data.constant) {
        sagsInConstantCell(data, cell, t, n, factors, least, most);
        return;
    }
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
            at.lean[i] = t[i] * (1.0 - t[i] * t[i]) * (1.0 / 6.0);
        }
    }
    if (curve == Curve::Shear || curve == Curve::WebShear) {
        for (std::size_t i = 0; i < n; ++i) at.half[i] = 0.5 * t[i] * t[i];
    }
    if (relieved) {
        legendreAt(std::max<std::size_t>(c.relief.size(), 2), t, n, at.legendre);
        sumSeries(c.relief.data(), c.relief.size(), at.legendre, n, at.relief);
    }
    if (curve == Curve::Sag) legendreAt(data.degrees, t, n, at.legendre);
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
        case Curve::Sag: sagOf(s, data.bows.data() + (cell * parts + p) * data.degrees, data.degrees, at, value); break;
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
