// SPDX-License-Identifier: MIT
#pragma once

#include <functional>
#include <optional>
#include <string>
#include <vector>

namespace spanwright::fe {

/// A beam with panel webs as a plane-stress model: 8-node quadrilaterals (CPS8) of the finite-element program
/// CalculiX. All elements are equally thick; each zone's moduli are those of timber and panel weighted by
/// their thicknesses, each material orthotropic, the top flange's along its slope. N, mm, N/mm2.
/// It knows nothing of beam theory: no section properties, no shear areas, no lever arms.
struct Beam {
    double length = 0;
    std::function<double(double)> depth; ///< over all, at x
    double ridge = 0;                    ///< where the slope of the top changes; outside the beam: nowhere
    std::vector<double> supports;
    struct Force {
        double at = 0, size = 0; ///< on the top, spread over `bearing`; a multiple of `column`
    };
    std::vector<Force> forces;
    double lineLoad = 0;                                    ///< downwards, on the top
    double flangeDepth = 0, glueDepth = 0;                  ///< of the solid and glued zones together; of the glued zone
    double timber = 0, timberGlued = 0, web = 0;            ///< thicknesses: solid zone, timber of the glued zone, all webs
    double flangeE = 11000, flangeE90 = 370, flangeG = 690; ///< C24, EN 338 (from memory)
    double webE = 9333, webE90 = 8167, webG = 620;          ///< 12 mm birch plywood, grain along
    double bearing = 100;                                   ///< length of supports and forces; stiffeners stand over it
    double column = 50;                                     ///< length of an element
};

struct Answer {
    std::vector<double> reactions; ///< upwards
    std::vector<double> x;         ///< element corners
    std::vector<double> sag;       ///< deflection of the bottom flange's upper edge at x
    /// Stress of the flange timber along the flange at x: mean over its area, and at the beam's outer edge.
    /// Tension positive. Empty at the two ends.
    std::vector<std::optional<double>> lowMean, topMean, lowEdge, topEdge;
};

/// Writes the model to `folder`/`name`.inp, runs the program at `ccx`, reads its answer; throws
/// std::runtime_error if that does not work.
[[nodiscard]] Answer solve(const Beam& beam, const std::string& ccx, const std::string& folder, const std::string& name);

} // namespace spanwright::fe
