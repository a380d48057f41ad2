// SPDX-License-Identifier: MIT
// Beam rows of sheets: what becomes of them, and what cannot be solved. Formulas for simple spans and the
// two-span beam are common textbook statics; the beam solver has its own tests against published cases.
#include <doctest/doctest.h>

#include <cmath>
#include <cstring>

#include "worked_sheet.h"

using namespace spanwright;
using eval::State;
using eval::test::WorkedSheet;

namespace {

const char* kSimple =
    "given L [m] = 4 m\ngiven g [kN/m] = 1 kN/m\ngiven q [kN/m] = 2 kN/m\ngiven P [kN] = 3 kN\ngiven a [m] = 1 m\n"
    "given EI [kN*m^2] = 500 kN*m^2\ngiven twin = 0\n"
    "beam B from 0 m to L\n stiffness EI\n support 0 m, L\n support L/2 only if twin > 0\n load G line g\n load Q line q each span\n load Q point P at a\nend\n"
    "each u in us\nchoose one = low from us\ntable us by n\nn, G, Q\nlow, 1, 0\nhigh, 1.35, 1.5\nend\n";

} // namespace

TEST_CASE("moments, shears, reactions and deflections by action, by case and all at once") {
    WorkedSheet s(
        std::string(kSimple) +
        "derive M_G [kN*m] = B.M(L/2, G)\nderive M_u [kN*m] = B.M(L/2, u)\nderive M_one [kN*m] = B.M(L/2, one)\nderive M_all [kN*m] = B.M(L/2)\n"
        "derive R_1 [kN] = B.R(1, Q)\nderive R_2 [kN] = B.R(2, Q)\nderive w_G [mm] = B.w(L/2, G)\nderive V_a [kN] = B.V(a, Q)\nderive left = B.residual\n"
        "derive most [kN*m] = largest(B.M(x, u), x from 0 m to L)\nderive where [m] = where_largest(abs(B.V(x, Q)), x from 0 m to L)\nderive area [kN*m^2] = "
        "integral(B.M(x, G), x from 0 m to L)\n");
    REQUIRE(s.complaints() == "");
    CHECK(s.number("M_G") == doctest::Approx(1e3 * 16 / 8).epsilon(1e-12));
    const double atMid = 2e3 * 16 / 8 + 3e3 * 1.0 / 4.0 * 2.0; // line, and P*a/L*(L/2)
    REQUIRE(s.at("M_u").known());
    REQUIRE(s.at("M_u").many.size() == 2);
    CHECK(s.at("M_u").many[0] == doctest::Approx(2e3).epsilon(1e-12));
    CHECK(s.at("M_u").many[1] == doctest::Approx(1.35 * 2e3 + 1.5 * atMid).epsilon(1e-12));
    CHECK(s.number("M_one") == doctest::Approx(2e3).epsilon(1e-12));
    CHECK(s.number("M_all") == doctest::Approx(2e3 + atMid).epsilon(1e-12));
    CHECK(s.number("R_1") == doctest::Approx(4e3 + 3e3 * 3 / 4).epsilon(1e-12));
    CHECK(s.number("R_2") == doctest::Approx(4e3 + 3e3 / 4).epsilon(1e-12));
    CHECK(s.number("w_G") == doctest::Approx(5 * 1e3 * 256 / (384 * 500e3)).epsilon(1e-9));
    // at the load the larger side counts: left of it, R_1 - q*a
    CHECK(s.number("V_a") == doctest::Approx(4e3 + 2250 - 2e3).epsilon(1e-12));
    CHECK(s.number("left") < 1e-12);
    CHECK(s.number("area") == doctest::Approx(1e3 * 64 / 12).epsilon(1e-11));
    CHECK(s.number("where") == 0.0);
    REQUIRE(s.at("most").many.size() == 2);
    CHECK(s.at("most").many[0] == doctest::Approx(2e3).epsilon(1e-12));
}

TEST_CASE("a support under a condition, and loads on any choice of spans") {
    WorkedSheet s(std::string(kSimple) + "derive M_1 [kN*m] = B.M(L/4, Q)\nderive M_s [kN*m] = B.M_least(L/2, Q)\nderive R_3 [kN] = B.R(3, G)\n");
    REQUIRE(s.complaints() == "");
    CHECK(s.said("R_3") ==
          "B502 beam B has no support 3: it has 2 supports | mend: supports are numbered from the left, beginning with 1, counting those present");
    s.state("P", 0.0);
    s.state("twin", 1.0);
    // Two equal spans l = 2 m, load on one only: moment in its middle q*l^2/16*(2 - 1/2)... by three moments
    // M_support = -q*l^2/16, M(l/2) = q*l^2/8 + M_support/2.
    const double support = -2e3 * 4 / 16;
    CHECK(s.number("M_1") == doctest::Approx(2e3 * 4 / 8 + support / 2).epsilon(1e-9));
    CHECK(s.number("M_s") == doctest::Approx(2 * support).epsilon(1e-9));
    CHECK(s.number("R_3") == doctest::Approx(0.375 * 1e3 * 2).epsilon(1e-9));
}

TEST_CASE("one load for every row of a list, all at once") {
    WorkedSheet s("given L [m] = 5 m\neach p in loads\nbeam B from 0 m to L\n support 0 m, L\n load Q point p.P at p.x\nend\nderive R [kN] = B.R(2, Q)\n"
                  "list loads by n\nn, P [kN], x [m]\n1, 2, 1\n2, 3, 4\nend\n");
    REQUIRE(s.complaints() == "");
    CHECK(s.number("R") == doctest::Approx(2e3 * 1 / 5 + 3e3 * 4 / 5).epsilon(1e-12));
}

TEST_CASE("stiffness that varies: blocks and scalars give the same bits") {
    const std::string rows = "given L [m] = 3.6 m\ngiven E [N/mm^2] = 11000 N/mm^2\ndefine h(x [m]) = 0.2 m + 0.1 m*(1 - abs(2*x/L - 1))\n"
                             "beam B from 0 m to L\n stiffness E*(45 mm)*h(x)^3/12\n support 0 m, L\n load G line 1 (kN/m)\nend\nderive w [mm] = B.w(L/2, G)\n";
    WorkedSheet blocks(rows), scalars(rows, {}, {}, false);
    REQUIRE(blocks.complaints() == "");
    const double a = blocks.number("w"), b = scalars.number("w");
    CHECK(std::memcmp(&a, &b, sizeof a) == 0);
    // virtual work: w = integral of M*m/EI, by a fine midpoint sum
    double w = 0.0;
    constexpr int kSteps = 200'000;
    for (int i = 0; i < kSteps; ++i) {
        const double x = 3.6 * (i + 0.5) / kSteps;
        const double h = 0.2 + 0.1 * (1 - std::fabs(2 * x / 3.6 - 1));
        w += 1e3 * x * (3.6 - x) / 2 * (x < 1.8 ? x / 2 : (3.6 - x) / 2) / (11e9 * 0.045 * h * h * h / 12) * 3.6 / kSteps;
    }
    CHECK(a == doctest::Approx(w).epsilon(1e-7));
}

TEST_CASE("shear that inclined flanges take: what the web keeps, of one and the same arrangement") {
    // Load on the one span or not: M = q*x*(L - x)/2, V = q*(L/2 - x); at 1 m of 4 m under 2 kN/m: 3 kNm, 2 kN.
    // With 0.3/m the web keeps 2 - 0.9 = 1.1 kN; V_most less 0.3*M_least would be 2 kN.
    const std::string text = "given L [m] = 4 m\nbeam B from 0 m to L\n stiffness 1e6 (N*m^2), 1e7 N, if(x < L/2, 0.3, -0.3)*1 (1/m)\n"
                             " support 0 m, L\n load Q line 2 (kN/m) each span\nend\n"
                             "derive a [kN] = B.V_web(1 m, Q)\nderive b [kN] = B.V_web_most(1 m)\nderive c [kN] = B.V_web_least(3 m, Q)\n"
                             "derive d [kN] = largest(abs(B.V_web(x, Q)), x from 0 m to L)\nderive e [kN] = B.V(1 m, Q)\n";
    WorkedSheet s(text);
    REQUIRE(s.complaints() == "");
    CHECK(s.number("a") == doctest::Approx(1100));
    CHECK(s.number("b") == doctest::Approx(1100));
    CHECK(s.number("c") == doctest::Approx(-1100));
    CHECK(s.number("d") == doctest::Approx(4000)); // at the ends, where there is no moment
    CHECK(s.number("e") == doctest::Approx(2000));
}

TEST_CASE("beams that cannot be solved say why, at the row to blame") {
    const auto with = [](const std::string& block, const std::string& ask = "B.M(1 m, G)", const std::string& unit = "kN*m") {
        return "given L [m] = 4 m\ngiven z = 0\n" + block + "derive it [" + unit + "] = " + ask + "\n";
    };
    WorkedSheet unstable(with("beam B from 0 m to L\n support 0 m\n load G line 1 (kN/m)\nend\n"));
    CHECK(unstable.said("B").substr(0, 12) == "B501 beam B:");
    CHECK(unstable.said("it") == "blocked by B");
    WorkedSheet outside(with("beam B from 0 m to L\n support 0 m, L\n support 5 m\n load G line 1 (kN/m)\nend\n"));
    CHECK(outside.said("B").substr(0, 12) == "B502 beam B:");
    CHECK(outside.marked("B") == "5 m");
    WorkedSheet load(with("beam B from 0 m to L\n support 0 m, L\n load G point 2 kN at 2*L\nend\n"));
    CHECK(load.said("B").substr(0, 12) == "B502 beam B:");
    CHECK(load.marked("B") == "2*L");
    WorkedSheet soft(with("beam B from 0 m to L\n stiffness z*1 (kN*m^2)\n support 0 m, 1 m, L\n load G line 1 (kN/m)\nend\n"));
    CHECK(soft.said("B").substr(0, 12) == "B503 beam B:");
    WorkedSheet none(with("beam B from 0 m to L\n support 0 m, L\n load G line 1 (kN/m)\nend\n", "B.w(1 m, G)", "mm"));
    CHECK(none.said("it") == "B503 beam B has no stiffness, so its deflection is not known | mend: add a row `stiffness E*I` to the beam");
    WorkedSheet off(with("beam B from 0 m to L\n support 0 m, L\n load G line 1 (kN/m)\nend\n", "B.M(L + 1 m, G)"));
    CHECK(off.said("it") == "B502 L + 1 m = 5 m lies off beam B, which runs from 0 m to 4 m | mend: ask for a place on the beam");
    WorkedSheet inside(with("beam B from 0 m to L\n stiffness 1 (kN*m^2)/(z*x/L)\n support 0 m, L\n load G line 1 (kN/m)\nend\n"));
    CHECK(inside.said("B").substr(0, 26) == "E402 division by zero: z*x");
    WorkedSheet blocked("ask g [kN/m]\nbeam B from 0 m to 4 m\n support 0 m, 4 m\n load G line g\nend\nderive it [kN*m] = B.M(1 m, G)\n");
    CHECK(blocked.said("B") == "blocked by g");
}

TEST_CASE("a fixed support tells the moment with which it holds the beam") {
    // A cantilever held at its left end: -w*L^2/2 under a line load; held at both ends: w*L^2/12 each (textbook statics).
    WorkedSheet s("given L [m] = 4 m\nbeam C from 0 m to L\n stiffness 500 (kN*m^2)\n support fixed 0 m\n load G line 1 (kN/m)\n load Q point 3 kN at L\nend\n"
                  "beam D from 0 m to L\n stiffness 500 (kN*m^2)\n support fixed 0 m\n support fixed L\n load G line 1 (kN/m)\nend\n"
                  "beam S from 0 m to L\n support 0 m, L\n load G line 1 (kN/m)\nend\n"
                  "derive C_G [kN*m] = C.M_R(1, G)\nderive C_Q [kN*m] = C.M_R(1, Q)\nderive C_all [kN*m] = C.M_R(1)\nderive C_M [kN*m] = C.M(0 m)\n"
                  "derive D_1 [kN*m] = D.M_R(1, G)\nderive D_2 [kN*m] = D.M_R_most(2, G)\nderive S_1 [kN*m] = S.M_R(1, G)\nderive no [kN*m] = D.M_R(3, G)\n");
    REQUIRE(s.complaints() == "");
    CHECK(s.number("C_G") == doctest::Approx(-8e3).epsilon(1e-9));
    CHECK(s.number("C_Q") == doctest::Approx(-12e3).epsilon(1e-9));
    CHECK(s.number("C_all") == doctest::Approx(-20e3).epsilon(1e-9));
    CHECK(s.number("C_M") == doctest::Approx(-20e3).epsilon(1e-9));
    CHECK(s.number("D_1") == doctest::Approx(-16e3 / 12).epsilon(1e-9));
    CHECK(s.number("D_2") == doctest::Approx(16e3 / 12).epsilon(1e-9));
    CHECK(s.number("S_1") == 0.0);
    CHECK(s.said("no").find("has no support 3") != std::string::npos);
}
