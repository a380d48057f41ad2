// SPDX-License-Identifier: MIT
// eu/ridge-beam against plane-stress models in CalculiX, a general-purpose finite-element program. We know of
// no complete published example of a ridge beam or a continuous I-beam with its section; these models take
// their place. They share with the sheet nothing but geometry, moduli and load.
// Tolerances: reactions 1 %, deflection 3 %, mean flange stress 5 % at five stations, the station of the
// greatest flange force 3 % of the beam's length (the force is flat there: it changes by less than 1 % within that reach).
// Stations keep half a depth or more from kinks and point forces, where a plane model shows what no beam
// theory does: the tests at the end say how far off the sheet is there, and on which side.
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <string>
#include <vector>

#include "tests/fe/plane_model.h"
#include "tests/sheets/sheet_case.h"

using spanwright::sheets_test::changed;
using spanwright::sheets_test::SheetCase;
namespace fe = spanwright::fe;

namespace {

struct Case {
    std::string name;
    std::vector<double> supports; ///< mm; the first at 0
    double length, h1, hr, h2, ridge;
    std::string form;
    double b, hf, dg, bw;
    std::vector<double> stations;
    double forceAt = 0, force = 0; ///< one point load, in mm and N
};

std::string mm(double v) { return std::to_string(v) + " mm"; }

constexpr double kLoad = 3.0; ///< N/mm

fe::Beam model(const Case& c) {
    fe::Beam m;
    m.length = c.length;
    m.ridge = c.ridge;
    m.depth = [c](double x) {
        return x < c.ridge ? c.h1 + (c.hr - c.h1) * x / c.ridge : (x > c.ridge ? c.h2 + (c.hr - c.h2) * (c.length - x) / (c.length - c.ridge) : c.hr);
    };
    m.supports = c.supports;
    m.lineLoad = kLoad;
    if (c.force > 0) m.forces.push_back({c.forceAt, c.force});
    m.flangeDepth = c.hf;
    m.glueDepth = c.form == "groove" ? c.dg : c.hf;
    m.timber = c.b;
    m.timberGlued = c.form == "box" ? c.b : c.b - c.bw;
    m.web = c.form == "box" ? 2 * c.bw : c.bw;
    return m;
}

/// All load permanent and without factor: stresses of the case "permanent, new" are 1.35 times those of the load.
constexpr double kFactor = 1.35;

SheetCase::Values values(const Case& c) {
    SheetCase::Values v{{"L", mm(c.supports[1])},
                        {"supports", std::to_string(c.supports.size())},
                        {"o_2", mm(c.length - c.supports.back())},
                        {"h_1", mm(c.h1)},
                        {"h_r", mm(c.hr)},
                        {"h_2", mm(c.h2)},
                        {"x_r", mm(c.ridge)},
                        {"form", c.form},
                        {"b", mm(c.b)},
                        {"h_f", mm(c.hf)},
                        {"d_g", mm(c.dg)},
                        {"slack", "0 mm"},
                        {"panel", "birch 12"},
                        {"b_w", mm(c.bw)},
                        {"grain", "along"},
                        {"grade", "C24"},
                        {"service", "1"},
                        {"category", "A"},
                        {"w_G", std::to_string(kLoad) + " kN/m"},
                        {"w_Q", "0 kN/m"},
                        {"g_0", "0 kN/m"}};
    if (c.force > 0) {
        v.back().second += "\n        list  point_loads\n        load, at [m], P_G [kN], P_Q [kN], P_W [kN], l_p [mm]\n        1, " +
                           std::to_string(c.forceAt / 1000) + ", " + std::to_string(c.force / 1000) + ", 0, 0, 100\n        end";
    }
    if (c.supports.size() > 2) v.emplace_back("L_2", mm(c.supports[2] - c.supports[1]));
    if (c.supports.size() > 3) v.emplace_back("L_3", mm(c.supports[3] - c.supports[2]));
    return v;
}

/// Each model is solved once.
const fe::Answer& answer(const Case& c) {
    static std::map<std::string, fe::Answer> known;
    const auto found = known.find(c.name);
    if (found != known.end()) return found->second;
    return known[c.name] = fe::solve(model(c), SPANWRIGHT_CCX, std::string(SPANWRIGHT_BINARY_DIR) + "/fe", c.name);
}

/// A beam that is its own mirror image has two places of the greatest force: whichever is found first.
bool isMirrored(const Case& c) {
    if (c.h1 != c.h2 || c.ridge != c.length / 2) return false;
    for (std::size_t i = 0; i < c.supports.size(); ++i)
        if (c.supports[i] != c.length - c.supports[c.supports.size() - 1 - i]) return false;
    return true;
}

std::size_t cornerAt(const fe::Answer& a, double x) {
    const auto found = std::min_element(a.x.begin(), a.x.end(), [&](double p, double q) { return std::abs(p - x) < std::abs(q - x); });
    return static_cast<std::size_t>(found - a.x.begin());
}

/// Place of the greatest value, from the parabola through it and its neighbours.
double placeOfMost(const std::vector<double>& x, const std::vector<std::optional<double>>& v, double sign) {
    std::size_t best = 1;
    for (std::size_t i = 1; i + 1 < x.size(); ++i)
        if (sign * *v[i] > sign * *v[best]) best = i;
    if (best < 2 || best + 2 >= x.size()) return x[best];
    const double a = *v[best - 1], b = *v[best], c = *v[best + 1];
    return x[best] + 0.5 * (a - c) / (a - 2 * b + c) * (x[best + 1] - x[best]);
}

double off(double got, double wanted) { return got / wanted - 1; }

const std::string kNew = "permanent, new";

const std::vector<Case>& cases() {
    static const std::vector<Case> all{
        // I2 of tests/reference/eu/beam_theory.csv
        {"ridge", {0, 6000}, 6000, 300, 600, 300, 3000, "halves", 108, 48, 48, 12, {500, 1000, 1500, 2000, 2500}},
        {"eccentric", {0, 6000}, 6000, 300, 600, 300, 2000, "groove", 96, 60, 40, 12, {600, 1200, 2700, 3600, 4500}},
        {"taper", {0, 5000}, 5000, 240, 480, 480, 5000, "box", 72, 45, 45, 9, {500, 1250, 2000, 3000, 4000}},
        // one piece over three walls, constant depth: I1's section
        {"continuous", {0, 5000, 10000}, 10000, 300, 300, 300, 5000, "halves", 108, 48, 48, 12, {1000, 2000, 3000, 7000, 8500}},
        // a roof over three walls with its ridge beside the inner one and an overhang
        {"roof", {0, 4000, 9000}, 9600, 300, 560, 300, 5500, "groove", 96, 60, 40, 12, {800, 1600, 6400, 7200, 8000}},
        // a point load a third from the end of a ridge beam
        {"loaded", {0, 6000}, 6000, 300, 500, 300, 3000, "halves", 108, 48, 48, 12, {800, 1500, 2600, 3600, 4800}, 2000, 6000},
    };
    return all;
}

} // namespace

TEST_CASE("glued beams against plane-stress models") {
    for (const Case& c : cases()) {
        CAPTURE(c.name);
        const fe::Answer& a = answer(c);
        SheetCase s("eu/ridge-beam", values(c));

        CHECK(std::abs(off(s.in("N", "R_G"), a.reactions[0])) < 0.01);
        CHECK(std::abs(off(s.in("N", "R_G2"), a.reactions[1])) < 0.01);
        double sum = 0;
        for (const double r : a.reactions) sum += r;
        CHECK(sum == doctest::Approx(kLoad * c.length + c.force).epsilon(1e-6));

        const double sag = *std::max_element(a.sag.begin(), a.sag.end());
        MESSAGE(c.name << ": deflection " << s.in("mm", "w_inst") << " mm, plane model " << sag << " mm");
        CHECK(std::abs(off(s.in("mm", "w_inst"), sag)) < 0.03);

        for (const double x : c.stations) {
            CAPTURE(x);
            s.set("x_s", mm(x));
            const std::size_t i = cornerAt(a, x);
            REQUIRE(a.x[i] == doctest::Approx(x));
            const double low = s.in("N/mm^2", "sigma_low_s", kNew) / kFactor, top = s.in("N/mm^2", "sigma_top_s", kNew) / kFactor;
            MESSAGE(c.name << " x " << x << ": bottom " << low << ", plane model " << *a.lowMean[i] << "; top " << top << ", plane model " << -*a.topMean[i]
                           << "; edge " << s.in("N/mm^2", "sigma_edge_s", kNew) / kFactor << ", plane model "
                           << std::max(std::abs(*a.lowEdge[i]), std::abs(*a.topEdge[i])));
            CHECK(std::abs(off(low, *a.lowMean[i])) < 0.05);
            CHECK(std::abs(off(top, -*a.topMean[i])) < 0.05);
        }
        const double at = s.in("mm", "x_t", kNew), there = placeOfMost(a.x, a.lowMean, 1);
        MESSAGE(c.name << ": bottom flange stretched most at " << at << ", plane model " << there);
        const double mirrored = isMirrored(c) ? c.length - there : there;
        CHECK(std::min(std::abs(at - there), std::abs(at - mirrored)) < 0.03 * c.length);
    }
}

TEST_CASE("wind that lifts squeezes the bottom flange as the plane model says") {
    // The same models: linear, so that their answer turned round is that of a load upwards.
    constexpr double kWind = 1.5; // the combination "uplift", without any weight
    for (const std::string name : {"ridge", "taper", "continuous", "roof"}) {
        CAPTURE(name);
        const auto found = std::find_if(cases().begin(), cases().end(), [&](const Case& k) { return k.name == name; });
        REQUIRE(found != cases().end());
        const Case& c = *found;
        const fe::Answer& a = answer(c);
        SheetCase s("eu/ridge-beam", changed(values(c), {{"w_G", "0 kN/m"}, {"w_W", std::to_string(kLoad) + " kN/m"}}));
        CHECK(std::abs(off(-s.in("N", "R_W"), a.reactions[0])) < 0.01);
        CHECK(std::abs(off(-s.in("N", "R_W2"), a.reactions[1])) < 0.01);
        const double area = (c.form == "halves" ? c.b - c.bw : c.b) * c.hf - (c.form == "groove" ? c.bw * c.dg : 0.0);
        for (const double x : c.stations) {
            CAPTURE(x);
            s.set("x_s", mm(x));
            const std::size_t i = cornerAt(a, x);
            const double there = std::max(std::abs(*a.lowMean[i]), std::abs(*a.topMean[i]));
            const double sheet = s.in("N", "N_s") / area / kWind;
            MESSAGE(name << " x " << x << ": greatest flange stress under wind " << sheet << ", plane model " << there);
            CHECK(std::abs(off(sheet, there)) < 0.05);
        }
        // Where the bottom flange is squeezed most, and how much: what its buckling check takes.
        const double at = s.in("mm", "x_cb", "uplift, new"), there = placeOfMost(a.x, a.lowMean, 1);
        const double squeezed = s.in("N/mm^2", "sigma_cb", "uplift, new") / kWind, model = *a.lowMean[cornerAt(a, there)];
        MESSAGE(name << ": bottom flange squeezed " << squeezed << " at " << at << ", plane model " << model << " at " << there);
        const double mirrored = isMirrored(c) ? c.length - there : there;
        CHECK(std::min(std::abs(at - there), std::abs(at - mirrored)) < 0.03 * c.length);
        CHECK(std::abs(off(squeezed, model)) < 0.05);
    }
}

TEST_CASE("a long overhang, which stretches the top flange over its support, against the plane model") {
    const Case c{"overhang", {0, 4000}, 5600, 300, 300, 300, 2800, "halves", 108, 48, 48, 12, {600, 1000, 1600, 2200, 2700}};
    const fe::Answer& a = answer(c);
    SheetCase s("eu/ridge-beam", values(c));
    CHECK(std::abs(off(s.in("N", "R_G"), a.reactions[0])) < 0.01);
    CHECK(std::abs(off(s.in("N", "R_G2"), a.reactions[1])) < 0.01);
    const double sag = *std::max_element(a.sag.begin(), a.sag.end());
    MESSAGE("overhang: deflection " << s.in("mm", "w_inst") << " mm, plane model " << sag << " mm");
    CHECK(std::abs(off(s.in("mm", "w_inst"), sag)) < 0.03);
    const double area = (c.b - c.bw) * c.hf;
    for (const double x : {600.0, 1200.0, 1800.0, 4500.0, 4900.0}) {
        CAPTURE(x);
        s.set("x_s", mm(x));
        const std::size_t i = cornerAt(a, x);
        const double there = std::max(std::abs(*a.lowMean[i]), std::abs(*a.topMean[i]));
        const double sheet = s.in("N", "N_s") / area / kFactor;
        MESSAGE("overhang x " << x << ": greatest flange stress " << sheet << ", plane model " << there);
        CHECK(std::abs(off(sheet, there)) < 0.05);
    }
    // Over the support the top flange is stretched; the sheet's edge stress there holds the flange's own bending.
    double over = 0;
    for (std::size_t i = 1; i + 1 < a.x.size(); ++i)
        if (std::abs(a.x[i] - 4000) < 300) over = std::max({over, std::abs(*a.lowEdge[i]), std::abs(*a.topEdge[i])});
    const double local = s.in("N/mm^2", "sigma_sup", "second, " + kNew) / kFactor;
    MESSAGE("overhang: edge stress over the support " << local << ", plane model " << over);
    CHECK(local > 0.97 * over);
    CHECK(local < 1.25 * over);
}

TEST_CASE("edges of flanges: never much below the plane model, over supports and at the ridge as well") {
    for (const Case& c : cases()) {
        CAPTURE(c.name);
        const fe::Answer& a = answer(c);
        SheetCase s("eu/ridge-beam", values(c));
        double most = 0, over = 0;
        for (std::size_t i = 1; i + 1 < a.x.size(); ++i) {
            const double edge = std::max(std::abs(*a.lowEdge[i]), std::abs(*a.topEdge[i]));
            bool nearSupport = false;
            for (const double p : c.supports) nearSupport = nearSupport || std::abs(a.x[i] - p) < c.hr;
            if (c.force > 0) nearSupport = nearSupport || std::abs(a.x[i] - c.forceAt) < c.hr;
            (nearSupport ? over : most) = std::max(nearSupport ? over : most, edge);
        }
        const double sheet = s.in("N/mm^2", "sigma_f_max", kNew) / kFactor;
        MESSAGE(c.name << ": greatest edge stress " << sheet << ", plane model " << most << " in the spans, " << over << " near supports");
        CHECK(sheet > 0.97 * most);
        if (c.supports.size() == 2 && c.ridge < c.length) {
            // The inner edge of the top flange at the kink, from the mean and the outer edge: no stiffener stands there.
            const std::size_t kink = cornerAt(a, c.ridge);
            const double inner = std::abs(2 * *a.topMean[kink] - *a.topEdge[kink]), sheetInner = s.in("N/mm^2", "sigma_r", kNew) / kFactor;
            MESSAGE(c.name << ": inner edge at the ridge " << sheetInner << ", plane model " << inner);
            CHECK(sheetInner > 0.97 * inner);
            CHECK(sheetInner < 1.35 * inner);
        }
        if (c.force > 0) {
            const double local = s.in("N/mm^2", "sigma_pl", "pl 1, " + kNew) / kFactor;
            MESSAGE(c.name << ": edge stress at the point load " << local << ", plane model " << over);
            CHECK(local > 0.97 * over);
            CHECK(local < 1.25 * over);
        }
        if (c.supports.size() > 2) {
            const double local = s.in("N/mm^2", "sigma_sup", "second, " + kNew) / kFactor;
            MESSAGE(c.name << ": edge stress over the inner support " << local << ", plane model " << over);
            CHECK(local > 0.97 * over);
            CHECK(local < 1.25 * over);
        }
    }
}
