// SPDX-License-Identifier: MIT
// The rules of eu/floor-joist one by one, at both sides of each threshold, by hand. Clauses from memory
// (as the sheet marks them) are compared with the same clause written out here: that guards the sheet, it
// is no outside evidence.
#include <doctest/doctest.h>

#include <cmath>
#include <numbers>
#include <string>

#include "tests/sheets/sheet_case.h"

using spanwright::job::CheckView;
using spanwright::sheets_test::changed;
using spanwright::sheets_test::SheetCase;

namespace {

const std::string kSheet = "eu/floor-joist";

SheetCase::Values plain() {
    return {{"L", "3.6 m"},   {"g_k", "0.55 kN/m^2"}, {"q_k", "2.0 kN/m^2"}, {"grade", "C24"},
            {"service", "1"}, {"category", "A"},      {"held", "yes"},       {"people", "no"}};
}

double kCrit(double lambda) { return lambda <= 0.75 ? 1.0 : lambda <= 1.4 ? 1.56 - 0.75 * lambda : 1.0 / (lambda * lambda); }

} // namespace

TEST_CASE("sideways buckling in the span: three branches of Eq. 6.34, Eq. 6.32 for softwood") {
    SheetCase c(kSheet, changed(plain(), {{"held", "no"}, {"L", "9 m"}}));
    int branch[3] = {};
    for (int i = 1; i <= 60; ++i) {
        const double apart = 0.15 * i;
        c.set("a_r", std::to_string(apart) + " m");
        const double lef = 900 * apart + 2 * 220;
        const double critical = 0.78 * 47 * 47 * 7400 / (220 * lef);
        CHECK(c.in("N/mm^2", "sigma_m_crit") == doctest::Approx(critical));
        const double lambda = std::sqrt(24 / critical);
        CHECK(c.number("lambda_rel_m") == doctest::Approx(lambda));
        CHECK(c.number("k_crit") == doctest::Approx(kCrit(lambda)));
        ++branch[lambda <= 0.75 ? 0 : lambda <= 1.4 ? 1 : 2];
        if (lambda > 0.75 && lambda < 0.8) CHECK(c.number("k_crit") < 1);
    }
    CHECK(branch[0] > 0);
    CHECK(branch[1] > 10);
    CHECK(branch[2] > 10);
}

TEST_CASE("hardwood takes the general critical stress, Eq. 6.31") {
    // D30: E_005 9200, G_005 = 690*9200/11000 = 577.09; k1 = (1 - 0.63*47/220)/3.
    SheetCase c(kSheet, changed(plain(), {{"held", "no"}, {"grade", "D30"}}));
    const double iz = 220 * std::pow(47, 3) / 12, itor = 220 * std::pow(47, 3) * (1 - 0.63 * 47 / 220) / 3, w = 47 * 220 * 220 / 6.0;
    const double lef = 0.9 * 3600 + 440;
    CHECK(c.in("N/mm^2", "sigma_m_crit") == doctest::Approx(std::numbers::pi * std::sqrt(9200 * iz * 690 * 9200 / 11000 * itor) / (lef * w)));
    CHECK(c.number("k_c90") == 1); // 6.1.5: the higher factors are for softwood
}

TEST_CASE("over an inner support the bottom edge is squeezed") {
    SheetCase c(kSheet, changed(plain(), {{"spans", "2"}, {"L", "6 m"}}));
    int branch[3] = {};
    for (int i = 1; i <= 60; ++i) {
        const double apart = 0.18 * i;
        c.set("a_u", std::to_string(apart) + " m");
        const double lef = std::max(900 * apart - 0.5 * 220, 100.0);
        const double critical = 0.78 * 47 * 47 * 7400 / (220 * lef), lambda = std::sqrt(24 / critical);
        CHECK(c.in("mm", "l_ef_u") == doctest::Approx(lef));
        CHECK(c.in("N/mm^2", "sigma_hog_crit") == doctest::Approx(critical));
        CHECK(c.number("k_crit_hog") == doctest::Approx(kCrit(lambda)));
        ++branch[lambda <= 0.75 ? 0 : lambda <= 1.4 ? 1 : 2];
    }
    CHECK((branch[0] > 0 && branch[1] > 5 && branch[2] > 5));
    c.set("grade", "D30");
    c.set("a_u", "3 m");
    const double iz = 220 * std::pow(47, 3) / 12, itor = iz * 12 * (1 - 0.63 * 47 / 220) / 3, w = 47 * 220 * 220 / 6.0;
    CHECK(c.in("N/mm^2", "sigma_hog_crit") == doctest::Approx(std::numbers::pi * std::sqrt(9200 * iz * 690 * 9200 / 11000 * itor) / ((2700 - 110) * w)));
}

TEST_CASE("strength factors: depth, load sharing, further line loads") {
    SheetCase c(kSheet, changed(plain(), {{"h", "100 mm"}, {"sharing", "deck"}, {"g_x", "0.3 kN/m"}, {"q_x", "0.7 kN/m"}, {"g_0", "0 kN/m"}}));
    const double kh = std::pow(1.5, 0.2);
    CHECK(c.number("k_h") == doctest::Approx(kh));
    CHECK(c.in("N/mm^2", "f_m_d", "variable") == doctest::Approx(0.8 * kh * 1.1 * 24 / 1.3));
    CHECK(c.in("N/mm^2", "f_v_d", "variable") == doctest::Approx(0.8 * 1.1 * 4.0 / 1.3));
    CHECK(c.in("N/mm^2", "f_c90_d", "variable") == doctest::Approx(0.8 * 2.5 / 1.3)); // no load sharing in bearing
    CHECK(c.in("kN/m", "w_G") == doctest::Approx(0.55 * 0.4 + 0.3));
    CHECK(c.in("kN/m", "w_Q") == doctest::Approx(2.0 * 0.4 + 0.7));
    CHECK(c.in("kN", "V_d", "variable") == doctest::Approx((1.35 * 0.52 + 1.5 * 1.5) * 1.8));
    c.set("h", "155 mm");
    CHECK(c.number("k_h") == 1);
    c.set("category", "E"); // stored goods: long-term, psi_2 0.8
    CHECK(c.number("k_mod", "variable") == 0.7);
    CHECK(c.number("psi_2") == 0.8);
    c.set("service", "3");
    CHECK(c.number("k_mod", "variable") == 0.55);
    CHECK(c.number("k_def") == 2.0);
}

TEST_CASE("bearing length and the factor across the grain (6.1.5)") {
    SheetCase c(kSheet, plain());
    CHECK(c.in("mm", "l_c90") == doctest::Approx(50 + 30));
    c.set("a_e", "20 mm");
    CHECK(c.in("mm", "l_c90") == doctest::Approx(50 + 30 + 20));
    c.set("a_e", "200 mm");
    CHECK(c.in("mm", "l_c90") == doctest::Approx(50 + 30 + 30));
    c.set("l_b", "25 mm");
    CHECK(c.in("mm", "l_c90") == doctest::Approx(25 + 25 + 25));
    c.set("l_b", "50 mm");
    CHECK(c.number("k_c90") == 1.5);
    c.set("L", "0.495 m"); // l_1 = 445 mm, just above 2*220
    CHECK(c.number("k_c90") == 1.5);
    c.set("L", "0.48 m"); // 430 mm, below
    CHECK(c.number("k_c90") == 1);
    c.set("L", "0.3 m");
    c.set("l_b", "250 mm"); // 50 mm between the bearings: half of it counts
    c.set("a_e", "0 mm");
    CHECK(c.in("mm", "l_c90") == doctest::Approx(250 + 25));
}

TEST_CASE("unequal spans: the longest, the shortest, the greater reactions, the right span's limit") {
    SheetCase c(kSheet, changed(plain(), {{"spans", "2"}, {"L", "2.0 m"}, {"L_2", "4.0 m"}, {"T_d", "100 kN"}}));
    REQUIRE_MESSAGE(!c.hasErrors(), c.errors());
    CHECK(c.in("m", "L_B") == doctest::Approx(6.0));
    CHECK(c.in("m", "L_max") == doctest::Approx(4.0));
    CHECK(c.in("m", "L_min") == doctest::Approx(2.0));
    CHECK(c.in("m", "x_inst") > 3.0);
    CHECK(c.utilisation("deflection_instant") == doctest::Approx(c.in("mm", "w_inst") / (4000.0 / 300)));
    CHECK(c.utilisation("deflection_final") == doctest::Approx(c.in("mm", "w_fin") / (4000.0 / 150)));
    const double right = c.in("kN", "R_d", "variable");
    CHECK(right > 1.35 * c.in("kN", "R_G") + 1.5 * c.in("kN", "R_Q")); // the long span's end, not the short one's
    // The same joist turned round: the same numbers.
    SheetCase turned(kSheet, changed(plain(), {{"spans", "2"}, {"L", "4.0 m"}, {"L_2", "2.0 m"}, {"T_d", "100 kN"}}));
    for (const CheckView& check : c.member().checks)
        if (check.utilisation) CHECK(turned.utilisation(check.name) == doctest::Approx(*check.utilisation).epsilon(1e-7));
    // Three spans, the middle one long: the inner reactions differ, the greater one counts.
    SheetCase three(kSheet, changed(plain(), {{"spans", "3"}, {"L", "2.0 m"}, {"L_2", "4.0 m"}, {"L_3", "3.0 m"}, {"T_d", "100 kN"}}));
    CHECK(three.in("m", "L_B") == doctest::Approx(9.0));
    CHECK(three.in("m", "L_max") == doctest::Approx(4.0));
    CHECK(three.in("m", "L_min") == doctest::Approx(2.0));
    CHECK(three.in("kN", "R_i_d", "variable") > 1.35 * three.in("kN", "R_G2") + 1.5 * three.in("kN", "R_Q2"));
    CHECK(three.in("mm", "l_c90_i") == doctest::Approx(50 + 2 * 30));
    CHECK((three.in("m", "x_inst") > 2.0 && three.in("m", "x_inst") < 6.0));
    CHECK(three.utilisation("deflection_instant") == doctest::Approx(three.in("mm", "w_inst") / (4000.0 / 300)));
    three.set("l_i", "25 mm");
    CHECK(three.in("mm", "l_c90_i") == doctest::Approx(25 + 2 * 25));
    three.set("L", "0.3 m");
    three.set("l_i", "260 mm"); // 40 mm between the bearings: half of it counts at each side
    CHECK(three.in("mm", "l_c90_i") == doctest::Approx(260 + 2 * 20));
    // One span: the others do not matter.
    SheetCase one(kSheet, changed(plain(), {{"L_2", "9 m"}, {"L_3", "9 m"}}));
    CHECK(one.in("m", "L_max") == doctest::Approx(3.6));
    CHECK(one.in("m", "L_min") == doctest::Approx(3.6));
}

TEST_CASE("camber, and limits as strict as asked") {
    SheetCase c(kSheet, plain());
    const double fin = c.in("mm", "w_fin");
    c.set("w_c", "4 mm");
    CHECK(c.in("mm", "w_net") == doctest::Approx(fin - 4));
    CHECK(c.in("mm", "w_fin") == doctest::Approx(fin));
    const double easy = c.utilisation("deflection_instant");
    c.set("limits", "span-strictest");
    CHECK(c.utilisation("deflection_instant") == doctest::Approx(easy * 500 / 300));
}

TEST_CASE("vibration: both branches of b, the 8 Hz limit, no mode below 40 Hz, a stiff deck") {
    SheetCase c(kSheet, changed(plain(), {{"people", "yes"}, {"B_f", "4.8 m"}}));
    CHECK(c.number("b_v") == doctest::Approx(160 - 40 * 1.5));
    c.set("a_v", "0.8 mm/kN");
    CHECK(c.number("b_v") == doctest::Approx(180 - 60 * 0.8));
    c.set("a_v", "1.05 mm/kN");
    CHECK(c.number("b_v") == doctest::Approx(160 - 40 * 1.05));
    c.set("L", "4.95 m"); // f_1 = 15.8645*(3.6/4.95)^2 = 8.391 Hz
    CHECK(c.in("Hz", "f_1") == doctest::Approx(8.391).epsilon(1e-3));
    CHECK(c.check("frequency").state == CheckView::State::Passes);
    c.set("L", "5.1 m"); // 7.905 Hz
    CHECK(c.check("frequency").state == CheckView::State::Fails);
    c.set("L", "2.2 m"); // 42.5 Hz
    CHECK(c.in("Hz", "f_1") > 40);
    CHECK(c.number("n_40") == 0);
    c.set("t_deck", "60 mm");
    c.set("E_deck", "15000 N/mm^2");
    c.set("s", "1200 mm");
    c.set("h", "100 mm"); // the deck is stiffer than the joists: no more than one joist's share each
    CHECK(c.number("k_delta") == 1);
}

TEST_CASE("a short span between long ones: the inner support beside an empty span lifts") {
    // 4, 1.2 and 4 m: 1.5*0.8 kN/m on one long span alone, the permanent load 0.9 where it holds and 1.1 where it lifts; by a
    // calculation with Macaulay's terms apart from this one 0.99276 kN at each inner support, and no outer end lifts.
    SheetCase c(kSheet, changed(plain(), {{"spans", "3"}, {"L", "4 m"}, {"L_2", "1.2 m"}, {"L_3", "4 m"}}));
    REQUIRE_MESSAGE(!c.hasErrors(), c.errors());
    CHECK(c.in("kN", "U_d", "lifting") == doctest::Approx(0.992759).epsilon(1e-5));
    CHECK(c.check("held_down").state == CheckView::State::NotProven);
    c.set("T_d", "1 kN");
    CHECK(c.check("held_down").state == CheckView::State::Passes);
}

TEST_CASE("limits of cantilevers and a camber of several spans are not taken") {
    SheetCase c(kSheet, changed(plain(), {{"limits", "cantilever-least"}}));
    CHECK(c.check("limits_of_spans").state == CheckView::State::NotProven);
    SheetCase two(kSheet, changed(plain(), {{"spans", "2"}, {"w_c", "5 mm"}}));
    CHECK(two.check("camber_one_span").state == CheckView::State::NotProven);
}
