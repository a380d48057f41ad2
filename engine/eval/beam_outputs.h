// SPDX-License-Identifier: MIT
#pragma once

#include "engine/beam/beam.h"
#include "engine/beam/even_lines.h"
#include "engine/meaning/expr.h"

namespace spanwright::eval {

/// What a value of a beam is taken from.
enum class BeamCurve : std::uint8_t { Moment, Shear, WebShear, Deflection, Reaction, Holding, Residual };

[[nodiscard]] inline BeamCurve curveOf(meaning::BeamOutput o) {
    using enum meaning::BeamOutput;
    switch (o) {
    case M:
    case MMost:
    case MLeast: return BeamCurve::Moment;
    case V:
    case VMost:
    case VLeast: return BeamCurve::Shear;
    case VWeb:
    case VWebMost:
    case VWebLeast: return BeamCurve::WebShear;
    case W:
    case WMost:
    case WLeast: return BeamCurve::Deflection;
    case R:
    case RMost:
    case RLeast: return BeamCurve::Reaction;
    case Holding:
    case HoldingMost:
    case HoldingLeast: return BeamCurve::Holding;
    case Residual: break;
    }
    return BeamCurve::Residual;
}

/// Of a place along the beam, not of a support or of the whole.
[[nodiscard]] inline bool hasPlace(meaning::BeamOutput o) { return curveOf(o) <= BeamCurve::Deflection; }

/// Least and most of a curve at n places.
inline void alongBeam(const beam::Solved& solved, BeamCurve curve, const double* x, std::size_t n, const std::vector<double>& factors, double* least,
                      double* most) {
    switch (curve) {
    case BeamCurve::Deflection: solved.deflectionBlock(x, n, factors, least, most); break;
    case BeamCurve::Shear: solved.shearBlock(x, n, factors, least, most); break;
    case BeamCurve::WebShear: solved.webShearBlock(x, n, factors, least, most); break;
    default: solved.momentBlock(x, n, factors, least, most); break;
    }
}

/// The same on many lines, place i on line owner[i]; no owner: on line i. (Nothing relieves their webs.)
inline void alongLines(const beam::EvenLines& lines, BeamCurve curve, const std::uint32_t* owner, const double* x, std::size_t n,
                       const std::vector<double>& factors, double* least, double* most) {
    const beam::Curve asked = curve == BeamCurve::Moment ? beam::Curve::Moment : curve == BeamCurve::Deflection ? beam::Curve::Sag : beam::Curve::Shear;
    lines.values(asked, owner, x, n, factors, least, most);
}

/// Which of least and most is asked for; neither: the one of larger magnitude.
[[nodiscard]] inline bool wantsMost(meaning::BeamOutput o) {
    using enum meaning::BeamOutput;
    return o == MMost || o == VMost || o == VWebMost || o == WMost || o == RMost || o == HoldingMost;
}
[[nodiscard]] inline bool wantsLeast(meaning::BeamOutput o) {
    using enum meaning::BeamOutput;
    return o == MLeast || o == VLeast || o == VWebLeast || o == WLeast || o == RLeast || o == HoldingLeast;
}
[[nodiscard]] inline double pick(meaning::BeamOutput o, double least, double most) {
    if (wantsMost(o)) return most;
    if (wantsLeast(o)) return least;
    return beam::Range3{least, most}.greatest();
}

} // namespace spanwright::eval
