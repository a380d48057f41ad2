// SPDX-License-Identifier: MIT
// eu/roof-joist against hand calculation and closed forms. No published example of such a joist is known to us.
#include <doctest/doctest.h>

#include <cmath>
#include <string>

#include "tests/sheets/sheet_case.h"

using spanwright::job::CheckView;
using spanwright::job::Verdict;
using spanwright::sheets_test::changed;
using spanwright::sheets_test::SheetCase;

namespace {

const std::string kSheet = "eu/roof-joist";

SheetCase::Values plain() {
    return {{"L", "3.6 m"},        {"grade", "C24"},       {"service", "2"},      {"held", "yes"},      {"g_k", "0.5 kN/m^2"},
            {"q_k", "0.4 kN/m^2"}, {"s_k", "1.44 kN/m^2"}, {"w_U", "0.9 kN/m^2"}, {"alpha", "1.5 deg"}, {"T_d", "2 kN"}};
}

const char* const kChecks[] = {"bending", "bending_top", "shear", "bearing", "deflection_instant", "deflection_final", "deflection_net", "drainage", "ponding"};

} // namespace

TEST_CASE("roof joist: one worked by hand") {
    // C24 47 x 220 at 400 mm, span 3.6 m on plan, 1.5 degrees. Self weight 42.588/cos 1.5 = 42.6029 N/m on plan;
    // w_G = 0.5*0.4 + 0.0426029, w_S = 0.576 kN/m.
    //   snow: 1.35*0.2426029 + 1.5*0.576 = 1.191514 kN/m, M = 1.930253 kNm, sigma = 5.091224 of 0.9*24/1.3 = 16.6154
    //   shear 2.144725 kN: 0.464374; bearing on 47 x 80: 0.570406 of 1.5*0.9*2.5/1.3 = 2.596154 N/mm2
    SheetCase c(kSheet, plain());
    REQUIRE_MESSAGE(!c.hasErrors(), c.errors());
    CHECK(c.in("N/m", "g_0") == doctest::Approx(42.6029186).epsilon(1e-6));
    CHECK(c.in("kN*m", "M_d", "snow") == doctest::Approx(1.9302526).epsilon(1e-6));
    CHECK(c.in("N/mm^2", "sigma_m_d", "snow") == doctest::Approx(5.0912236).epsilon(1e-6));
    CHECK(c.in("N/mm^2", "f_m_d", "snow") == doctest::Approx(16.6153846).epsilon(1e-6));
    CHECK(c.utilisation("bending") == doctest::Approx(5.0912236 / 16.6153846).epsilon(1e-6));
    CHECK(c.in("N/mm^2", "tau_d", "snow") == doctest::Approx(0.46437363).epsilon(1e-6));
    CHECK(c.utilisation("bearing") == doctest::Approx(0.57040561 / 2.59615385).epsilon(1e-6));
    // Wind, square to the roof: 1.5*0.36/cos^2 1.5 - 1.0*0.242603 lifts: 0.482383 kNm with the bottom edge squeezed and not held: l_ef 3680 mm,
    // sigma_crit 15.74895, lambda 1.234468, k_crit 1.56 - 0.75*1.234468 = 0.634149.
    CHECK(c.in("kN*m", "M_hog", "uplift") == doctest::Approx(0.4823831).epsilon(1e-6));
    CHECK(c.number("k_crit_hog", "uplift") == doctest::Approx(0.6341490).epsilon(1e-6));
    // 1.5*0.360247*1.8 - 0.9*0.242603*1.8 = 0.579650 kN lift each end.
    CHECK(c.in("kN", "U_d", "first, lifting by wind") == doctest::Approx(0.5796498).epsilon(1e-6));
    CHECK(c.in("kN", "R_U") == doctest::Approx(0.36 * 1.8 / std::pow(std::cos(1.5 * std::acos(-1.0) / 180), 2)));
    // Deflections with shear, along the joist: 1.223454 mm permanent, 2.904787 mm snow; k_def 0.8 on the permanent share.
    CHECK(c.in("mm", "w_inst", "snow") == doctest::Approx(4.1282411).epsilon(1e-5));
    CHECK(c.in("mm", "w_fin", "snow") == doctest::Approx(5.1070047).epsilon(1e-5));
    CHECK(c.number("k_p") == doctest::Approx(0.02653911).epsilon(1e-6));
    CHECK(c.verdict() == Verdict::Ok);
}

TEST_CASE("roof joist: a person, and the tip of an overhang") {
    SheetCase c(kSheet, changed(plain(), {{"o_1", "0.6 m"}, {"o_2", "0.3 m"}, {"s_k", "0 kN/m^2"}, {"w_U", "0 kN/m^2"}}));
    REQUIRE_MESSAGE(!c.hasErrors(), c.errors());
    // At the tip: 1.35*w_G*0.6^2/2 + 1.5*1*0.6 = 0.958949 kNm; it lifts the far end by 0.9*0.6/3.6... by statics:
    // R_2 = 0.9*w_G*(4.5*(2.25 - 0.6))/3.6 - 1.5*0.6/3.6.
    const double w = c.in("kN/m", "w_G");
    CHECK(c.in("kN*m", "M_hog", "person at the left end") == doctest::Approx(1.35 * w * 0.18 + 0.9).epsilon(1e-6));
    CHECK(c.in("kN", "U_d", "second, lifting by a person at the left end") == doctest::Approx(std::max(0.0, 0.25 - 0.9 * w * 4.5 * 1.65 / 3.6)).epsilon(1e-6));
    // In the middle of the span: 1.35*w_G*3.6^2/8 less half the overhang moments, and 1.5*1*3.6/4.
    const double middle = 1.35 * w * (3.6 * 3.6 / 8 - (0.18 + 0.045) / 2) + 1.35;
    CHECK(c.in("kN*m", "M_d", "person") == doctest::Approx(middle).epsilon(1e-3)); // the greatest is beside the middle
    CHECK(c.in("kN*m", "M_d", "person") >= middle * (1 - 1e-9));
}

TEST_CASE("roof joist: a person may stand in any span, over any support, on either overhang") {
    const SheetCase::Values light = changed(
        plain(), {{"g_k", "0 kN/m^2"}, {"k_self", "0"}, {"q_k", "0 kN/m^2"}, {"s_k", "0 kN/m^2"}, {"w_U", "0 kN/m^2"}, {"alpha", "2 deg"}, {"h", "100 mm"}});
    // Three spans, the middle one longer by a millimetre: a person bends an end span by 1/5 P L (bending theory;
    // shear flexibility moves it by less than 2 %), the middle one by 7/40 P L.
    SheetCase three(kSheet, changed(light, {{"spans", "3"}, {"L", "4 m"}, {"L_2", "4.001 m"}, {"L_3", "4 m"}}));
    REQUIRE_MESSAGE(!three.hasErrors(), three.errors());
    CHECK(three.in("kN*m", "M_d", "person") == doctest::Approx(1.5 * 4.0 / 5).epsilon(0.02));
    CHECK(three.in("kN*m", "M_d", "person in the second span") == doctest::Approx(1.5 * 4.0 * 7 / 40).epsilon(0.02));
    CHECK(three.in("kN*m", "M_d", "person in the third span") == doctest::Approx(1.5 * 4.0 / 5).epsilon(0.02));
    CHECK(three.utilisation("bending") == doctest::Approx(1.5 * 0.8e6 / (47 * 100.0 * 100 / 6) / (0.9 * 24 / 1.3 * std::pow(1.5, 0.2))).epsilon(0.02));
    // Close to a support all of the person is shear there, and over it all of the person presses on it.
    SheetCase one(kSheet, changed(plain(), {{"s_k", "0 kN/m^2"}, {"w_U", "0 kN/m^2"}, {"q_k", "0 kN/m^2"}}));
    const double w = one.in("kN/m", "w_G");
    CHECK(one.in("kN", "V_d", "person") == doctest::Approx(1.35 * w * 1.8 + 1.5).epsilon(1e-9));
    CHECK(one.in("kN", "R_d", "first, person") == doctest::Approx(1.35 * w * 1.8 + 1.5).epsilon(1e-9));
    // The shorter overhang beside a short span lifts more than the longer one beside a long span: 1.5*0.9/1.
    SheetCase ends(kSheet, changed(light, {{"spans", "3"}, {"L", "5 m"}, {"L_2", "5 m"}, {"L_3", "1 m"}, {"o_1", "1 m"}, {"o_2", "0.9 m"}}));
    REQUIRE_MESSAGE(!ends.hasErrors(), ends.errors());
    CHECK(ends.in("kN", "U_d", "third, lifting by a person at the right end") > 1.5 * 0.9 / 1);
    CHECK(ends.in("kN", "U_d", "second, lifting by a person at the left end") < 0.6);
}

TEST_CASE("roof joist: permanent load weighs 1.1 where it lifts a support; limits of spans are those of spans") {
    // 3 m and an overhang of 2 m: at the first support 0.9*w*3/2 hold and 1.1*w*2*2/(2*3) lift; upkeep of 0.16 kN/m on the overhang.
    SheetCase c(kSheet, changed(plain(), {{"L", "3 m"}, {"o_2", "2 m"}, {"alpha", "0 deg"}, {"g_k", "2.5 kN/m^2"}, {"k_self", "0"}}));
    REQUIRE_MESSAGE(!c.hasErrors(), c.errors());
    const double holds = 0.9 * 1.0 * 1.5;
    CHECK(c.in("kN", "U_d", "first, lifting by snow") == doctest::Approx(std::max(0.0, (1.1 + 1.5 * 0.576) * 4 / 6 - holds)).epsilon(1e-6));
    CHECK(c.in("kN", "U_d", "first, lifting by snow") == 0);
    c.set("s_k", "4 kN/m^2");
    CHECK(c.in("kN", "U_d", "first, lifting by snow") == doctest::Approx((1.1 + 1.5 * 1.6) * 4 / 6 - holds).epsilon(1e-6));
    SheetCase loose(kSheet, changed(plain(), {{"limits", "cantilever-least"}}));
    CHECK(loose.verdict() == Verdict::NotProven);
}

TEST_CASE("roof joist: on a pitch wind is square to the roof, and lengths are those along the joist") {
    // 30 degrees, span 3 m on plan, 3.4641 m along the slope. Wind alone, 1 kN/m2 at 400 mm: 1.5*0.4*3.4641^2/8 = 0.9 kNm.
    // Snow alone, 1 kN/m2 on plan: on the slope 0.4*cos^2 30 = 0.3 kN/m, bending 5*0.3*3464.1^4/(384*E*I), of 3464.1/300.
    SheetCase c(kSheet, changed(plain(), {{"L", "3 m"}, {"alpha", "30 deg"}, {"g_k", "0 kN/m^2"}, {"k_self", "0"}, {"w_U", "1 kN/m^2"}, {"s_k", "1 kN/m^2"}}));
    REQUIRE_MESSAGE(!c.hasErrors(), c.errors());
    CHECK(c.in("kN*m", "M_hog", "uplift") == doctest::Approx(0.9).epsilon(1e-9));
    CHECK(c.in("kN*m", "M_d", "snow") == doctest::Approx(1.5 * 0.4 * 9 / 8).epsilon(1e-9)); // what stands on plan stays
    const double slope = 3000 / std::cos(std::acos(-1.0) / 6);
    const double bow = 5 * 0.3 * std::pow(slope, 4) / (384 * 11000 * (47 * std::pow(220.0, 3) / 12)) + 0.3 * slope * slope / (8 * 5.0 / 6 * 690 * 47 * 220);
    CHECK(c.in("mm", "w_inst", "snow") == doctest::Approx(bow).epsilon(1e-6));
    CHECK(c.utilisation("deflection_instant") == doctest::Approx(bow / (slope / 300)).epsilon(1e-6));
    // Across the slope the span is what it is; the strip of roof is 400 mm/cos 30 wide.
    c.set("lie", "leaning");
    CHECK(c.in("kN*m", "M_hog", "uplift") == doctest::Approx(1.5 * 0.4 / std::cos(std::acos(-1.0) / 6) * 9 / 8).epsilon(1e-9));
}

TEST_CASE("roof joist: a drift on one span does not relieve another") {
    const SheetCase::Values even = changed(plain(), {{"spans", "2"}, {"L", "2 m"}, {"L_2", "4 m"}, {"w_U", "0 kN/m^2"}});
    SheetCase without(kSheet, even);
    SheetCase drifted(kSheet, changed(even, {{"s_dr", "4 kN/m^2"}, {"l_dr", "2 m"}}));
    REQUIRE_MESSAGE(!drifted.hasErrors(), drifted.errors());
    CHECK(drifted.in("kN*m", "M_d", "snow") >= without.in("kN*m", "M_d", "snow") * (1 - 1e-12));
    CHECK(drifted.utilisation("deflection_final") >= without.utilisation("deflection_final") * (1 - 1e-12));
    CHECK(drifted.in("kN", "U_d", "first, lifting by snow") >= without.in("kN", "U_d", "first, lifting by snow"));
}

TEST_CASE("roof joist: two equal spans against closed forms") {
    // Snow on one span of two: 49/512 w L^2 at most in the span; both loaded: w L^2/8 over the wall, 10/8 w L on it
    // (bending theory; shear flexibility moves it by less than 2 %).
    SheetCase c(kSheet, changed(plain(), {{"spans", "2"}, {"L", "4 m"}, {"g_k", "0 kN/m^2"}, {"k_self", "0"}, {"s_k", "2.5 kN/m^2"}, {"w_U", "0 kN/m^2"}}));
    REQUIRE_MESSAGE(!c.hasErrors(), c.errors());
    CHECK(c.in("kN*m", "M_hog", "snow") == doctest::Approx(1.5 * 2.0).epsilon(0.02));
    CHECK(c.in("kN*m", "M_d", "snow") == doctest::Approx(1.5 * 49.0 / 512 * 16).epsilon(0.02));
    CHECK(c.in("kN", "R_S2") == doctest::Approx(5.0).epsilon(0.02));
    CHECK(c.in("kN", "R_S") == doctest::Approx(7.0 / 16 * 4).epsilon(0.02));
    CHECK(c.in("kN", "U_d", "third, lifting by snow") == doctest::Approx(1.5 * 4.0 / 16).epsilon(0.05));
    CHECK(c.in("kN", "U_d", "fourth, lifting by snow") == 0); // there is none
    // Over the wall the bottom edge is squeezed where the deck cannot reach it.
    CHECK(c.check("bending_top").state == CheckView::State::Passes);
    CHECK(c.number("k_crit_hog", "snow") < 1);
    c.set("a_u", "0.5 m");
    CHECK(c.number("k_crit_hog", "snow") == 1);
}

TEST_CASE("roof joist: drifted snow by statics") {
    // A triangle of 2 kN/m2 over 5 m on a span of 3.6 m: w from 0.8 to 0.8*(1 - 3.6/5) = 0.224 kN/m.
    SheetCase c(kSheet, changed(plain(), {{"s_dr", "2 kN/m^2"}, {"s_k", "0 kN/m^2"}}));
    REQUIRE_MESSAGE(!c.hasErrors(), c.errors());
    CHECK(c.in("kN", "R_S") == doctest::Approx(0.224 * 1.8 + 0.576 * 3.6 / 2 * 2 / 3).epsilon(1e-6));
    CHECK(c.in("kN", "R_S2") == doctest::Approx(0.224 * 1.8 + 0.576 * 3.6 / 2 / 3).epsilon(1e-6));
    SheetCase high(kSheet, changed(plain(), {{"snow_site", "snow-high"}}));
    CHECK(high.number("psi_0S") == 0.7);
    CHECK(high.number("k_mod", "snow") == 0.8); // above 1000 m snow is medium-term
    CHECK(high.number("k_mod", "snow+wind") == 1.1);
}

TEST_CASE("roof joist: leaning in the slope it bends both ways") {
    // 15 degrees: M_y = 1.191494*cos 15*3.6^2/8, M_z with sin 15; 4.917663 and 6.167882 N/mm2; k_h sideways
    // (150/47)^0.2 = 1.261243: 0.501998 by Eq. 6.11, 0.501504 by Eq. 6.12.
    SheetCase c(kSheet, changed(plain(), {{"lie", "leaning"}, {"alpha", "15 deg"}, {"w_U", "0 kN/m^2"}, {"a_u", "0.4 m"}}));
    REQUIRE_MESSAGE(!c.hasErrors(), c.errors());
    CHECK(c.in("N/mm^2", "sigma_m_d", "snow") == doctest::Approx(4.9176630).epsilon(1e-6));
    CHECK(c.in("N/mm^2", "sigma_z", "snow") == doctest::Approx(6.1678818).epsilon(1e-6));
    CHECK(c.utilisation("both_ways") == doctest::Approx(0.5019979).epsilon(1e-6));
    CHECK(c.utilisation("both_ways_z") == doctest::Approx(0.5015042).epsilon(1e-6));
    CHECK(c.check("drainage").state == CheckView::State::NotApplicable); // 15 degrees drain by themselves
    // A deck that carries the pull by itself, or rods at midspan.
    c.set("a_z", "1.8 m");
    CHECK(c.in("N/mm^2", "sigma_z", "snow") == doctest::Approx(6.1678818 / 4).epsilon(1e-6));
    c.set("deck_shear", "yes");
    CHECK(c.in("N/mm^2", "sigma_z", "snow") == 0);
    CHECK(c.utilisation("both_ways") == doctest::Approx(c.utilisation("bending")).epsilon(1e-9));
    // Flat: nothing pulls sideways.
    SheetCase flat(kSheet, changed(plain(), {{"lie", "leaning"}, {"alpha", "0 deg"}, {"w_U", "0 kN/m^2"}}));
    CHECK(flat.in("N/mm^2", "sigma_z", "snow") == 0);
}

TEST_CASE("roof joist: water runs off after the sag, or the check says so") {
    SheetCase c(kSheet, plain());
    // The slope of a simple span's sag at its end is 16/5 of w/L for bending: here with some shear, within 3 %,
    // less what a step of L/100 cuts off its end (3 % again).
    const double slope = 16.0 / 5 * c.in("mm", "w_fin", "snow") / 3600;
    CHECK(c.number("i_along", "snow") == doctest::Approx(slope).epsilon(0.06));
    CHECK(c.number("i_left", "snow") == doctest::Approx(std::tan(1.5 * std::acos(-1.0) / 180) - c.number("i_along", "snow")).epsilon(1e-9));
    CHECK(c.check("drainage").state == CheckView::State::Passes);
    c.set("alpha", "0.4 deg");
    CHECK(c.check("drainage").state == CheckView::State::Fails);
    c.set("alpha", "0 deg"); // no fall at all: nothing to compare with
    CHECK(c.verdict() == Verdict::NotProven);
    c.set("alpha", "1.5 deg");
    c.set("drain", "across");
    CHECK(c.number("i_sag", "snow") == doctest::Approx(c.in("mm", "w_fin", "snow") / 400).epsilon(1e-9));
    // A roof so soft that rain piles up.
    SheetCase soft(kSheet, changed(plain(), {{"L", "7.5 m"}, {"h", "150 mm"}}));
    CHECK(soft.check("ponding").state == CheckView::State::Fails);
}

TEST_CASE("roof joist: an untied roof is never OK; self weight counts once") {
    SheetCase untied(kSheet, changed(plain(), {{"T_d", "0 kN"}}));
    CHECK(untied.verdict() == Verdict::NotProven);
    SheetCase once(kSheet, changed(plain(), {{"k_self", "0"}}));
    CHECK(once.in("kN/m", "w_G") == doctest::Approx(0.2));
    CHECK(once.in("N/m", "g_0") == 0);
    SheetCase spans(kSheet, changed(plain(), {{"spans", "1.5"}}));
    CHECK(spans.verdict() != Verdict::Ok);
    SheetCase unstated(kSheet, {{"L", "3.6 m"}, {"grade", "C24"}, {"service", "2"}, {"g_k", "0.5 kN/m^2"}, {"q_k", "0.4 kN/m^2"}, {"s_k", "1.44 kN/m^2"}});
    CHECK(unstated.verdict() == Verdict::NotProven); // wind is not stated
}

TEST_CASE("roof joist: no load uses nothing up; more of any load never helps") {
    SheetCase none(kSheet,
                   changed(plain(), {{"g_k", "0 kN/m^2"}, {"k_self", "0"}, {"q_k", "0 kN/m^2"}, {"Q_1", "0 kN"}, {"s_k", "0 kN/m^2"}, {"w_U", "0 kN/m^2"}}));
    REQUIRE_MESSAGE(!none.hasErrors(), none.errors());
    for (const char* name : {"bending", "bending_top", "shear", "bearing", "deflection_instant", "deflection_final", "deflection_net"})
        CHECK(none.utilisation(name) == 0);
    for (const char* load : {"g_k", "q_k", "s_k", "w_W", "s_dr"}) {
        SheetCase c(kSheet, changed(plain(), {{"spans", "2"}, {"L_2", "2.8 m"}, {"o_1", "0.5 m"}, {"w_U", "0 kN/m^2"}}));
        double last[9] = {-1, -1, -1, -1, -1, -1, -1, -1, -1};
        for (const char* value : {"0.5 kN/m^2", "1.5 kN/m^2", "4 kN/m^2"}) {
            c.set(load, value);
            for (int i = 0; i < 9; ++i) {
                INFO(load, " ", value, " ", kChecks[i]);
                const double now = c.utilisation(kChecks[i]);
                CHECK(now >= last[i] * (1 - 1e-12));
                last[i] = now;
            }
        }
    }
    // Wind that lifts: more of it never helps the top check or the ties.
    SheetCase c(kSheet, plain());
    double last = -1;
    double tie = -1;
    for (const char* value : {"0 kN/m^2", "1 kN/m^2", "2 kN/m^2", "4 kN/m^2"}) {
        c.set("w_U", value);
        CHECK(c.utilisation("bending_top") >= last);
        CHECK(c.in("kN", "U_d", "first, lifting by wind") >= tie);
        last = c.utilisation("bending_top");
        tie = c.in("kN", "U_d", "first, lifting by wind");
    }
    CHECK(last > 0.2);
}

TEST_CASE("roof joist: the same in inches and pounds") {
    SheetCase si(kSheet, plain());
    SheetCase us(kSheet, changed(plain(), {{"L", "141.73228346 in"},
                                           {"s", "15.748031496 in"},
                                           {"b", "1.8503937008 in"},
                                           {"h", "8.6614173228 in"},
                                           {"l_b", "1.9685039370 in"},
                                           {"g_k", "10.442717117 psf"},
                                           {"q_k", "8.3541736935 psf"},
                                           {"s_k", "30.075025297 psf"},
                                           {"w_U", "18.796890810 psf"},
                                           {"Q_1", "224.80894310 lbf"}}));
    REQUIRE_MESSAGE(!us.hasErrors(), us.errors());
    for (const char* name : kChecks) {
        INFO(name);
        CHECK(us.utilisation(name) == doctest::Approx(si.utilisation(name)).epsilon(1e-7));
    }
}
