// SPDX-License-Identifier: MIT
// us/floor-joist against published examples (tests/reference/us/worked_examples.csv names their sources),
// hand calculation, and itself in SI units.
#include <doctest/doctest.h>

#include <cmath>
#include <string>
#include <vector>

#include "tests/sheets/sheet_case.h"

using spanwright::job::CheckView;
using spanwright::job::Verdict;
using spanwright::sheets_test::changed;
using spanwright::sheets_test::printsAs;
using spanwright::sheets_test::readRows;
using spanwright::sheets_test::SheetCase;

namespace {

const std::string kSheet = "us/floor-joist";

SheetCase::Values plain() {
    return {{"L", "14 ft"},        {"s", "16 in"},  {"size", "2x10"}, {"species", "Douglas fir-larch"}, {"grade", "#2"},    {"duration", "occupancy"},
            {"repetitive", "yes"}, {"held", "yes"}, {"weigh", "no"},  {"span_rule", "tables"},          {"dead", "10 psf"}, {"live", "40 psf"}};
}

} // namespace

TEST_CASE("a joist worked by hand") {
    // DF-L No. 2 2x10 at 16 in, 14 ft, 10+40 psf: w = 50*16/12 = 66.667 plf, M = 66.667*14^2/8 = 1633.33 lbf ft,
    // S = 1.5*9.25^2/6 = 21.390625 in3, f_b = 19600/21.390625 = 916.29 psi; F_b' = 900*1.1*1.15 = 1138.5 psi.
    // Live: 53.333 plf = 4.4444 lbf/in, I = 98.9316 in4, 5*4.4444*168^4/(384*1.6e6*98.9316) = 0.29124 in of 168/360.
    SheetCase c(kSheet, plain());
    REQUIRE_MESSAGE(!c.hasErrors(), c.errors());
    CHECK(c.in("lbf*ft", "M", "dead+live") == doctest::Approx(1633.333).epsilon(1e-6));
    CHECK(c.in("in^3", "S") == doctest::Approx(21.390625));
    CHECK(c.in("psi", "f_b", "dead+live") == doctest::Approx(916.29).epsilon(1e-5));
    CHECK(c.in("psi", "F_b_1", "dead+live") == doctest::Approx(1138.5));
    CHECK(c.in("psi", "F_b_1", "dead") == doctest::Approx(0.9 * 1138.5));
    CHECK(c.in("in", "w_live") == doctest::Approx(0.29124).epsilon(1e-4));
    CHECK(c.utilisation("deflection_live") == doctest::Approx(0.29124 / (168.0 / 360)).epsilon(1e-4));
    CHECK(c.in("lbf", "V", "dead+live") == doctest::Approx(466.667).epsilon(1e-6));
    CHECK(c.in("psi", "f_v", "dead+live") == doctest::Approx(1.5 * 466.667 / 13.875).epsilon(1e-6));
    CHECK(c.in("psi", "f_cp", "dead+live") == doctest::Approx(466.667 / (1.5 * 1.5)).epsilon(1e-6));
    CHECK(c.in("in", "w_total") == doctest::Approx(0.29124 * (1 + 1.5 * 10.0 / 40.0)).epsilon(1e-4));
    CHECK(c.verdict() == Verdict::Ok);
}

TEST_CASE("the design span of NDS 3.2.1") {
    // Half of the required bearing at each end: l = w L_d/2/(b F_cp') each, L_d = L + l. By hand for 14 ft:
    // w = 5.55556 lbf/in, F_cp' 625 psi, b 1.5 in: L_d = 168/(1 - 5.55556/(2*1.5*625)) = 168.4993 in.
    SheetCase c(kSheet, changed(plain(), {{"span_rule", "nds"}}));
    CHECK(c.in("in", "L_d") == doctest::Approx(168.4993).epsilon(1e-6));
    CHECK(c.in("lbf", "R", "dead+live") / (1.5 * 625) == doctest::Approx(c.in("in", "l_req")).epsilon(1e-9));
}

TEST_CASE("W1: adjusted values of a 4x8, No. 1 Douglas fir-larch, roof live load (textbook problem 6.1)") {
    // The published beam carries one load at midspan; of it the section and the adjusted values are this sheet's.
    SheetCase c(kSheet, changed(plain(), {{"size", "4x8"}, {"grade", "#1"}, {"duration", "construction"}, {"repetitive", "no"}}));
    CHECK(printsAs(c.in("in^2", "A"), "25.375"));
    CHECK(printsAs(c.in("in^3", "S"), "30.66"));
    CHECK(printsAs(c.in("in^4", "I"), "111.1"));
    CHECK(printsAs(c.in("psi", "F_b_1", "dead+live"), "1625"));
    CHECK(printsAs(c.in("psi", "F_v_1", "dead+live"), "225"));
    CHECK(c.in("psi", "E_min") == doctest::Approx(620000));
    // W3: slenderness of the same beam for an effective length of 53.28 in; here it is reached with
    // l_u = 53.28/2.06 in, because this sheet's load is uniform.
    c.set("held", "no");
    c.set("l_u", "25.8640777 in");
    CHECK(c.in("in", "l_e") == doctest::Approx(53.28).epsilon(1e-6));
    CHECK(printsAs(c.number("R_B"), "5.62"));
}

TEST_CASE("W4: adjusted values of Hem-fir No. 2 2x10 at 16 in under snow (Missouri S&T course, problem 4.30)") {
    SheetCase c(kSheet, changed(plain(), {{"species", "Hem-fir"}, {"duration", "snow"}}));
    CHECK(c.number("C_F") == 1.1);
    CHECK(c.number("C_r") == 1.15);
    CHECK(c.number("C_D", "dead+live") == 1.15);
    CHECK(printsAs(c.in("psi", "F_b_1", "dead+live"), "1237"));
    CHECK(printsAs(c.in("psi", "F_v_1", "dead+live"), "173"));
    CHECK(printsAs(c.in("psi", "E_1"), "1300000"));
    CHECK(c.in("psi", "F_cp_1") == doctest::Approx(405));
}

TEST_CASE("W6, W7, W9: load, moment, shear and deflection of larger beams (Cal Poly Pomona homework 17, 20, 21)") {
    // Sizes beyond dimension lumber, so breadth and depth are stated; stresses allowed then are not today's.
    SheetCase c(
        kSheet,
        changed(
            plain(),
            {{"L", "14 ft"}, {"s", "72 in"}, {"size", "4x12"}, {"b", "5.5 in"}, {"d", "11.5 in"}, {"dead", "35 psf"}, {"live", "40 psf"}, {"held", "yes"}}));
    REQUIRE_MESSAGE(!c.hasErrors(), c.errors());
    CHECK(printsAs(c.in("plf", "w_D") + c.in("plf", "w_L"), "450"));
    CHECK(printsAs(c.in("lbf*ft", "M", "dead+live"), "11025"));
    CHECK(printsAs(c.in("lbf*in", "M", "dead+live") / 1500, "88.2"));
    CHECK(printsAs(c.in("lbf", "V", "dead+live"), "3150"));
    CHECK(printsAs(c.in("psi", "f_v", "dead+live"), "74.7"));
    CHECK(printsAs(c.in("in^4", "I"), "697.1"));
    CHECK(printsAs(c.in("in", "w_dead") + c.in("in", "w_live"), "0.349"));
    CHECK(c.in("psi", "E_1") == doctest::Approx(1.6e6));
    // 3x16, 4x14 and 4x16 as dressed then: 2.5 x 15.25, 3.5 x 13.25, 3.5 x 15.25 in.
    const auto shear = [&](const char* b, const char* d) {
        c.set("b", b);
        c.set("d", d);
        return c.in("psi", "f_v", "dead+live");
    };
    CHECK(printsAs(shear("2.5 in", "15.25 in"), "123.91", 3.0)); // the source rounds A to 38.13
    CHECK(printsAs(shear("3.5 in", "13.25 in"), "101.88", 2.0));
    CHECK(printsAs(shear("3.5 in", "15.25 in"), "88.52", 2.0));
    // W7: 6x18, 20 ft, 185 lbf/ft.
    c.set("b", "5.5 in");
    c.set("d", "17.5 in");
    c.set("L", "20 ft");
    c.set("s", "12 in");
    c.set("dead", "0 psf");
    c.set("live", "185 psf");
    CHECK(printsAs(c.in("in^4", "I"), "2456"));
    CHECK(printsAs(c.in("in", "w_live"), "0.169"));
    // W9: 24 ft, 6 ft apart, 135 psf.
    c.set("L", "24 ft");
    c.set("s", "72 in");
    c.set("live", "135 psf");
    CHECK(printsAs(c.in("plf", "w_L"), "810"));
    CHECK(printsAs(c.in("lbf*ft", "M", "dead+live"), "58320"));
    CHECK(printsAs(c.in("lbf*in", "M", "dead+live") / 1350, "518.4"));
    c.set("b", "11.5 in");
    CHECK(printsAs(c.in("in^3", "S"), "586.979"));
    c.set("b", "9.5 in");
    c.set("d", "19.5 in");
    CHECK(printsAs(c.in("in^3", "S"), "602.063"));
    c.set("b", "7.5 in");
    c.set("d", "21.5 in");
    CHECK(printsAs(c.in("in^3", "S"), "577.8"));
}

TEST_CASE("W11: joist spacing in metric units (Gere, problem 5.6-8): 450 mm uses up 15 MPa") {
    SheetCase c(kSheet, changed(plain(), {{"L", "4.0 m"}, {"s", "450 mm"}, {"b", "40 mm"}, {"d", "180 mm"}, {"dead", "0 kN/m^2"}, {"live", "3.6 kN/m^2"}}));
    REQUIRE_MESSAGE(!c.hasErrors(), c.errors());
    CHECK(c.in("N/mm^2", "f_b", "dead+live") == doctest::Approx(15.0));
}

TEST_CASE("weights of 32 species (AWC, Wood Structural Design Data, 1992 revisions)") {
    SheetCase c(kSheet, plain());
    int seen = 0;
    for (const auto& row : readRows("tests/reference/us/wood_weights.csv")) {
        ++seen;
        c.set("SG", row.at("specific_gravity"));
        INFO(row.at("species"));
        CHECK(printsAs(c.in("lbf/ft^3", "rho_w"), row.at("published_weight_lb_ft3")));
    }
    CHECK(seen == 32);
}

TEST_CASE("the same member in American and in SI units") {
    SheetCase us(kSheet, changed(plain(), {{"held", "no"}, {"weigh", "yes"}, {"l_u", "4 ft"}}));
    SheetCase si(kSheet, changed(plain(), {{"held", "no"},
                                           {"weigh", "yes"},
                                           {"l_u", "1.2192 m"},
                                           {"L", "4.2672 m"},
                                           {"s", "406.4 mm"},
                                           {"l_b", "38.1 mm"},
                                           {"dead", "478.802589803 N/m^2"},
                                           {"live", "1915.21035921 N/m^2"}}));
    REQUIRE_MESSAGE(!si.hasErrors(), si.errors());
    for (const CheckView& check : us.member().checks)
        if (check.utilisation) CHECK(si.utilisation(check.name) == doctest::Approx(*check.utilisation).epsilon(1e-10));
    CHECK(si.in("N/mm^2", "f_b", "dead+live") == doctest::Approx(us.in("psi", "f_b", "dead+live") * 0.00689475729).epsilon(1e-8));
}

TEST_CASE("factors: wet, hot, incised, unheld, single") {
    SheetCase c(kSheet, plain());
    const double full = c.in("psi", "F_b_1", "dead+live");
    c.set("repetitive", "no");
    CHECK(c.in("psi", "F_b_1", "dead+live") == doctest::Approx(full / 1.15));
    c.set("repetitive", "yes");
    c.set("s", "32 in"); // more than 24 in apart: no longer a repetitive member
    CHECK(c.in("psi", "F_b_1", "dead+live") == doctest::Approx(full / 1.15));
    c.set("s", "16 in");
    // 900*1.1 = 990 psi is no more than 1150 psi: the wet factor of bending is 1 (limit from memory).
    c.set("moisture", "wet");
    CHECK(c.in("psi", "F_b_1", "dead+live") == doctest::Approx(full));
    CHECK(c.in("psi", "E_1") == doctest::Approx(0.9 * 1.6e6));
    CHECK(c.in("psi", "F_v_1", "dead+live") == doctest::Approx(0.97 * 180));
    c.set("grade", "SS");
    CHECK(c.number("C_Mb") == 0.85);
    c.set("moisture", "dry");
    c.set("incised", "yes");
    CHECK(c.in("psi", "F_b_1", "dead+live") == doctest::Approx(0.8 * 1500 * 1.1 * 1.15));
    c.set("incised", "no");
    // C_L by hand for l_u 6 ft: l_u/d = 7.78, l_e = 1.63*72 + 3*9.25 = 145.11 in, R_B^2 = 145.11*9.25/2.25 = 596.56,
    // F_bE = 1.2*690000/596.56 = 1387.95, F_b* = 1500*1.1*1.15 = 1897.5, ratio 0.731462:
    // (1.731462/1.9) - sqrt(0.911296^2 - 0.731462/0.95) = 0.911296 - 0.245967 = 0.66533
    c.set("held", "no");
    c.set("l_u", "6 ft");
    CHECK(c.number("R_B") == doctest::Approx(std::sqrt(596.563)).epsilon(1e-5));
    CHECK(c.number("C_L", "dead+live") == doctest::Approx(0.66533).epsilon(1e-4));
    c.set("l_u", "40 ft");
    c.set("d", "24 in");
    CHECK(c.number("R_B") > 50);
    CHECK(c.verdict() != Verdict::Ok);
}

TEST_CASE("no load, and what is not stated") {
    SheetCase none(kSheet, changed(plain(), {{"dead", "0 psf"}, {"live", "0 psf"}}));
    REQUIRE_MESSAGE(!none.hasErrors(), none.errors());
    for (const CheckView& check : none.member().checks)
        if (!check.isRequire) CHECK(check.utilisation.value_or(-1) == 0);
    SheetCase open(kSheet, {{"L", "14 ft"},
                            {"size", "2x10"},
                            {"species", "Douglas fir-larch"},
                            {"grade", "#2"},
                            {"duration", "occupancy"},
                            {"dead", "10 psf"},
                            {"live", "40 psf"}});
    CHECK(open.verdict() == Verdict::NotProven); // whether the joist's own weight is in the dead load is not stated
    // A size that Southern pine's table does not hold is an error, never a neighbour's value.
    SheetCase wrong(kSheet, changed(plain(), {{"species", "Southern pine"}, {"size", "4x12"}}));
    CHECK(wrong.verdict() == Verdict::NotComputed);
}

TEST_CASE("more load, span or spacing never lowers a utilisation") {
    SheetCase c(kSheet, plain()), as(kSheet, plain());
    const auto rises = [&](const char* name, const std::vector<const char*>& values, const char* back) {
        for (const CheckView& check : as.member().checks) {
            if (check.isRequire || !check.utilisation) continue;
            double last = -1;
            for (const char* value : values) {
                c.set(name, value);
                INFO(check.name, " ", std::string(name), " ", std::string(value));
                CHECK(c.utilisation(check.name) >= last);
                last = c.utilisation(check.name);
            }
            c.set(name, back);
        }
    };
    rises("dead", {"5 psf", "10 psf", "20 psf", "40 psf"}, "10 psf");
    rises("live", {"10 psf", "30 psf", "40 psf", "80 psf"}, "40 psf");
    rises("L", {"8 ft", "10 ft", "14 ft", "18 ft"}, "14 ft");
    rises("s", {"12 in", "16 in", "19.2 in", "24 in"}, "16 in");
}

TEST_CASE("thresholds of the factors, both sides, by hand") {
    // Hem-fir No. 1 2x8: 975*1.2 = 1170 psi is above 1150 psi, so wet counts in bending; No. 2: 850*1.2 = 1020 is not.
    SheetCase c(kSheet, changed(plain(), {{"species", "Hem-fir"}, {"grade", "#1"}, {"size", "2x8"}, {"moisture", "wet"}}));
    CHECK(c.number("C_Mb") == 0.85);
    CHECK(c.in("psi", "F_cp_1") == doctest::Approx(405 * 0.67));
    CHECK(c.in("psi", "E_min_1") == doctest::Approx(550000 * 0.9));
    c.set("grade", "#2");
    CHECK(c.number("C_Mb") == 1);
    c.set("moisture", "dry");
    c.set("temperature", "125F");
    CHECK(c.in("psi", "F_b_1", "dead+live") == doctest::Approx(850 * 1.2 * 1.15 * 0.8));
    CHECK(c.in("psi", "E_1") == doctest::Approx(1.3e6 * 0.9));
    c.set("temperature", "100F");
    c.set("s", "24 in");
    CHECK(c.number("C_r") == 1.15);
    c.set("s", "25 in");
    CHECK(c.number("C_r") == 1);

    // Own weight and further line loads: Hem-fir 62.4*0.43/(1 + 0.009*0.43*15)*1.15 = 29.164 pcf, 10.875 in2.
    SheetCase heavy(kSheet, changed(plain(), {{"species", "Hem-fir"}, {"size", "2x8"}, {"weigh", "yes"}, {"d_x", "7 plf"}, {"l_x", "11 plf"}}));
    CHECK(heavy.in("plf", "w_D") == doctest::Approx(10 * 16.0 / 12 + 29.164 * 10.875 / 144 + 7).epsilon(1e-5));
    CHECK(heavy.in("plf", "w_L") == doctest::Approx(40 * 16.0 / 12 + 11));

    // Effective length: l_u/d 7.2 takes the second formula, 6.8 the first; C_L lowers F_b'.
    SheetCase loose(kSheet, changed(plain(), {{"held", "no"}, {"l_u", "66.6 in"}}));
    CHECK(loose.in("in", "l_e") == doctest::Approx(1.63 * 66.6 + 3 * 9.25));
    CHECK(loose.in("psi", "F_b_1", "dead+live") == doctest::Approx(loose.in("psi", "F_b_star", "dead+live") * loose.number("C_L", "dead+live")));
    CHECK(loose.number("C_L", "dead+live") < 1);
    CHECK(loose.check("slender").state == CheckView::State::Passes);
    loose.set("l_u", "62.9 in");
    CHECK(loose.in("in", "l_e") == doctest::Approx(2.06 * 62.9));
    loose.set("l_u", "346 in"); // l_e = 1.63*346 + 27.75 = 591.7 in, R_B = sqrt(591.7*9.25/2.25) = 49.3
    CHECK(loose.check("slender").state == CheckView::State::Passes);
    loose.set("l_u", "366 in"); // R_B = 50.7
    CHECK(loose.check("slender").state == CheckView::State::NotProven);

    // Bearing area factor: under 6 in long and 3 in or more from the end.
    SheetCase seat(kSheet, changed(plain(), {{"l_b", "4 in"}, {"a_e", "3.1 in"}}));
    CHECK(seat.number("C_b") == doctest::Approx(4.375 / 4));
    CHECK(seat.in("psi", "F_cp_b") == doctest::Approx(625 * 4.375 / 4));
    seat.set("a_e", "2.9 in");
    CHECK(seat.number("C_b") == 1);
    seat.set("a_e", "3.1 in");
    seat.set("l_b", "6.2 in");
    CHECK(seat.number("C_b") == 1);

    // The limits that hold if nobody states others.
    SheetCase limits(kSheet, plain());
    CHECK(limits.utilisation("deflection_total") == doctest::Approx(limits.in("in", "w_total") * 240 / 168));
}

TEST_CASE("a live load lasts longer than wind or a blow") {
    SheetCase c(kSheet, changed(plain(), {{"duration", "construction"}}));
    CHECK(c.check("live_duration").state == CheckView::State::Passes);
    for (const char* brief : {"wind", "impact"}) {
        c.set("duration", brief);
        CHECK(c.check("live_duration").state == CheckView::State::NotProven);
        CHECK(c.verdict() != Verdict::Ok);
    }
}

TEST_CASE("a board is no larger than the size that its factors are for") {
    SheetCase c(kSheet, changed(plain(), {{"size", "2x4"}, {"d", "11 1/4 in"}})); // C_F of a 2x4 is 1.5, of a 2x12 1.0
    CHECK(c.check("dressed").state == CheckView::State::NotProven);
    CHECK(c.verdict() != Verdict::Ok);
    c.set("size", "2x12");
    CHECK(c.check("dressed").state == CheckView::State::Passes);
    c.set("d", "9 in"); // ripped: the factor of the larger size is on the safe side
    CHECK(c.check("dressed").state == CheckView::State::Passes);
}
