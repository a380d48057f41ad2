// SPDX-License-Identifier: MIT
// eu/nails-and-screws against EU05 and EU02 of tests/reference/eu/worked_examples.csv (LVL Handbook Europe 2025
// p. 206, 207 and 185: figures seen in print) and against hand calculation.
#include <doctest/doctest.h>

#include <cmath>
#include <string>

#include "tests/sheets/sheet_case.h"

using spanwright::job::CheckView;
using spanwright::job::Verdict;
using spanwright::sheets_test::changed;
using spanwright::sheets_test::printsAs;
using spanwright::sheets_test::SheetCase;

namespace {

const std::string kSheet = "eu/nails-and-screws";

/// EU05: a ledger of LVL 51 mm on LVL studs, six round nails 3.1 x 90 in a line at 50 mm, no rope effect.
SheetCase::Values ledger() {
    return {{"fastener", "round nail"},
            {"t_h", "51 mm"},
            {"b_2", "100 mm"},
            {"d", "3.1 mm"},
            {"l", "90 mm"},
            {"rho_k1", "480 kg/m^3"},
            {"rho_k2", "410 kg/m^3"},
            {"rope", "no"},
            {"service", "1"},
            {"category", "A"},
            {"F_G", "0 kN"},
            {"F_Q", "1 kN"},
            {"n_r", "6"},
            {"a_1", "50 mm"},
            {"alpha_1", "90 deg"},
            {"alpha_2", "0 deg"},
            {"a_3", "100 mm"},
            {"a_4", "50 mm"},
            {"a_32", "100 mm"},
            {"a_42", "25 mm"}};
}

/// Two pieces of C24, 45 mm each, round nails 3.1 x 90, two in a row, force along the grain.
SheetCase::Values plain() {
    return {{"fastener", "round nail"}, {"t_h", "45 mm"}, {"b_2", "45 mm"},  {"d", "3.1 mm"},   {"l", "80 mm"},   {"service", "1"},
            {"category", "A"},          {"F_G", "0 kN"},  {"F_Q", "0.4 kN"}, {"n_r", "2"},      {"a_1", "50 mm"}, {"alpha_1", "0 deg"},
            {"alpha_2", "0 deg"},       {"a_3", "60 mm"}, {"a_4", "45 mm"},  {"a_32", "60 mm"}, {"a_42", "45 mm"}};
}

} // namespace

TEST_CASE("EU05: nailed ledger, every intermediate (LVL Handbook Europe 2025 p. 206, 207)") {
    SheetCase c(kSheet, ledger());
    REQUIRE_MESSAGE(!c.hasErrors(), c.errors());
    CHECK(printsAs(c.in("N/mm^2", "f_h1"), "28.0"));
    CHECK(printsAs(c.in("N/mm^2", "f_h2"), "23.9"));
    CHECK(printsAs(c.in("N*mm", "M_y") / 10, "341")); // printed 3410
    CHECK(printsAs(c.in("kN", "F_a"), "4.43"));
    CHECK(printsAs(c.in("kN", "F_b"), "2.89"));
    CHECK(printsAs(c.in("kN", "F_c"), "1.55"));
    CHECK(printsAs(c.in("kN", "F_d1"), "1.58"));
    CHECK(printsAs(c.in("kN", "F_e"), "1.13"));
    CHECK(printsAs(c.in("kN", "F_f"), "0.85"));
    CHECK(c.in("kN", "F_v_Rk") == doctest::Approx(c.in("kN", "F_f")));
    CHECK(c.number("mode") == 6);
    CHECK(c.in("mm", "t_2") == doctest::Approx(39));
    CHECK(printsAs(c.in("mm", "a_1_least"), "46.5"));
    CHECK(printsAs(c.in("kN", "R_v_d", "imposed"), "3.1")); // staggered
    CHECK(c.verdict() == Verdict::Ok);
    // The handbook has a rule of its own for rows in LVL edges, k_ef = 1 - 0.03*(20 - 50/3.1) = 0.88387; by EN 1995-1-1
    // Table 8.1 the spacing of 16 d lets every nail count. With the handbook's exponent stated its figure comes out.
    CHECK(c.number("n_ef") == doctest::Approx(6));
    c.set("k_ef", "0.88387");
    CHECK(c.utilisation("row") == doctest::Approx(1.5 / 2.5484).epsilon(1e-3));
    c.set("k_ef", "0.88"); // as printed
    CHECK(printsAs(c.number("n_ef"), "4.84"));
}

TEST_CASE("EU02: slip modulus of a nail of 2.5 mm in C14 (LVL Handbook Europe 2025 p. 185)") {
    SheetCase c(kSheet, changed(plain(), {{"d", "2.5 mm"}, {"rho_m1", "350 kg/m^3"}, {"rho_m2", "350 kg/m^3"}}));
    CHECK(printsAs(c.in("N/mm", "K_ser"), "454"));
    // Bored, and as a screw with an effective diameter of 1.1*0.6*2.5: 350^1.5*d/23.
    c.set("predrilled", "yes");
    CHECK(c.in("N/mm", "K_ser") == doctest::Approx(std::pow(350.0, 1.5) * 2.5 / 23));
    c.set("fastener", "screw");
    CHECK(c.in("N/mm", "K_ser") == doctest::Approx(std::pow(350.0, 1.5) * 1.65 / 23));
}

TEST_CASE("nails: one worked by hand, with the rope effect and its cap") {
    // C24, d 3.1, t 45 and 35: f_h = 0.082*350*3.1^-0.3 = 20.4396; mode f: 1.15*sqrt(2*3410.47*20.4396*3.1) = 756.03 N.
    // Pull: f_ax = 20e-6*350^2 = 2.45, t_pen = 35 of 12 d = 37.2: 35/12.4 - 2 = 0.82258; 2.45*3.1*35*0.82258 = 218.66 N.
    // Head: 70e-6*350^2*6.2^2 + 2.45*3.1*45 = 329.62 + 341.78 = 671.40 N. Rope: 218.66/4 = 54.67, below 15 % (113.4).
    SheetCase c(kSheet, plain());
    REQUIRE_MESSAGE(!c.hasErrors(), c.errors());
    CHECK(c.in("N/mm^2", "f_h1") == doctest::Approx(20.4396).epsilon(1e-5));
    CHECK(c.in("N", "J_f") == doctest::Approx(756.03).epsilon(1e-4));
    CHECK(c.in("N", "F_pull") == doctest::Approx(218.66).epsilon(1e-4));
    CHECK(c.in("N", "F_head") == doctest::Approx(671.40).epsilon(1e-4));
    CHECK(c.in("N", "F_v_Rk") == doctest::Approx(756.03 + 54.67).epsilon(1e-4));
    CHECK(c.in("N", "F_v_Rd", "imposed") == doctest::Approx(0.8 * 810.70 / 1.3).epsilon(1e-4));
    // Ring nails of declared hold: 6 N/mm2*3.1*35 = 651 N; head 20*6.2^2 = 768.8 N; a quarter, 162.75, below 50 %.
    c.set("fastener", "ring nail");
    c.set("f_ax_decl", "6 N/mm^2");
    c.set("f_head_decl", "20 N/mm^2");
    CHECK(c.in("N", "F_v_Rk") == doctest::Approx(756.03 + 162.75).epsilon(1e-4));
    // Undeclared, the rope counts as nothing.
    c.set("f_ax_decl", "0 N/mm^2");
    CHECK(c.in("N", "F_v_Rk") == doctest::Approx(756.03).epsilon(1e-4));
    // The cap: round nails 15 %, with a hold that is far too good.
    c.set("fastener", "round nail");
    c.set("f_ax_decl", "30 N/mm^2");
    c.set("f_head_decl", "60 N/mm^2");
    CHECK(c.in("N", "F_v_Rk") == doctest::Approx(756.03 * 1.15).epsilon(1e-4));
}

TEST_CASE("two planes: modes g, h, j, k by hand") {
    // Birch plywood 12 between two halves of C24, 35 and 35 mm, nail 3.1 x 80 through all: t_pen 33.
    // f_h1 = 20.4396; f_h2 = 0.11*630*3.1^-0.3 = 49.354; beta = 2.41456. g: 20.44*33*3.1 = 2091.0; h: 0.5*49.354*12*3.1 = 917.98;
    // k: 1.15*sqrt(2*2.41456/3.41456)*sqrt(2*3410.47*20.44*3.1) = 1.15*1.189228*657.418 = 899.08 (no rope).
    SheetCase c(kSheet, changed(plain(), {{"planes", "2"}, {"t_h", "35 mm"}, {"b_2", "12 mm"}, {"b_3", "35 mm"}, {"side_2", "birch plywood"}, {"rope", "no"}}));
    REQUIRE_MESSAGE(!c.hasErrors(), c.errors());
    CHECK(c.in("mm", "t_1") == doctest::Approx(33));
    CHECK(c.in("N/mm^2", "f_h2") == doctest::Approx(49.354).epsilon(1e-4));
    CHECK(c.in("N", "F_g") == doctest::Approx(2091.0).epsilon(1e-4));
    CHECK(c.in("N", "F_h") == doctest::Approx(917.98).epsilon(1e-4));
    CHECK(c.in("N", "F_k") == doctest::Approx(899.08).epsilon(1e-4));
    // j: 1.05*20.44*33*3.1/4.41456*(sqrt(2*2.41456*3.41456 + 4*2.41456*4.41456*3410.47/(20.44*3.1*1089)) - 2.41456)
    //  = 497.345*(sqrt(16.48932 + 2.107289) - 2.41456) = 943.87.
    CHECK(c.in("N", "F_j") == doctest::Approx(943.87).epsilon(1e-3));
    CHECK(c.in("N", "F_v_Rk") == doctest::Approx(899.08).epsilon(1e-4));
    CHECK(c.in("N", "R_v_d", "imposed") == doctest::Approx(4 * 0.8 * 899.08 / 1.3).epsilon(1e-4));
    // No third member: nothing for the point to hold in.
    c.set("b_3", "0 mm");
    CHECK(c.check("third_there").state == CheckView::State::NotProven);
    CHECK(c.verdict() != Verdict::Ok);
}

TEST_CASE("OSB: its own embedment, k_mod of two materials, creep") {
    // 65*3.1^-0.7*12^0.1 = 65*0.452943*1.282089 = 37.746; k_mod: sqrt(0.7*0.8); creep 2*sqrt(1.5*0.6).
    SheetCase c(kSheet, changed(plain(), {{"side_1", "OSB3"}, {"t_h", "12 mm"}, {"l", "50 mm"}}));
    REQUIRE_MESSAGE(!c.hasErrors(), c.errors());
    CHECK(c.in("N/mm^2", "f_h1") == doctest::Approx(37.746).epsilon(1e-4));
    CHECK(c.number("k_mod", "imposed") == doctest::Approx(std::sqrt(0.56)));
    CHECK(c.number("k_def") == doctest::Approx(2 * std::sqrt(0.9)));
    // With panels the spacing may shrink to 0.85: 0.85*10*3.1; the panel's end 7 d, its edge 3 d at 0 degrees.
    CHECK(c.in("mm", "a_1_least") == doctest::Approx(26.35));
    CHECK(c.in("mm", "a_3_least", "head") == doctest::Approx(21.7));
    CHECK(c.in("mm", "a_3_least", "point") == doctest::Approx(46.5));
    CHECK(c.in("mm", "a_4_least", "head") == doctest::Approx(9.3));
}

TEST_CASE("EU19's fascia nail: pull by the code's clauses (own value of the reference; the printed 62 mm is not reproduced)") {
    // 15 mm plywood of 550 kg/m3, smooth nail 2.65 x 40 in C18: f_ax = 20e-6*320^2 = 2.048, t_pen 25: 25/10.6 - 2 = 0.35849;
    // 2.048*2.65*25*0.35849 = 48.640 N; k_mod 0.9 (service class 3, a gust): 33.674 N; over 600 N/m: 56.12 mm.
    SheetCase c(kSheet, changed(plain(), {{"d", "2.65 mm"},
                                          {"l", "40 mm"},
                                          {"t_h", "15 mm"},
                                          {"side_1", "birch plywood"},
                                          {"rho_k1", "550 kg/m^3"},
                                          {"grade_2", "C18"},
                                          {"service", "3"},
                                          {"F_Q", "0 kN"},
                                          {"A_W", "0.02 kN"}}));
    REQUIRE_MESSAGE(!c.hasErrors(), c.errors());
    CHECK(c.in("mm", "t_pen") == doctest::Approx(25));
    CHECK(c.in("N", "F_ax_Rd", "wind+imposed+snow") / 0.6 == doctest::Approx(56.123).epsilon(1e-4));
    CHECK(c.check("penetration").state == CheckView::State::Passes);
    c.set("wet", "yes");
    CHECK(c.in("N", "F_ax_Rd", "wind+imposed+snow") / 0.6 == doctest::Approx(37.415).epsilon(1e-4));
    c.set("A_G", "0.01 kN"); // smooth nails and a lasting pull
    CHECK(c.check("no_lasting_pull").state == CheckView::State::NotProven);
}

TEST_CASE("screws: effective diameter, withdrawal by the code from 6 mm, declared values below") {
    // 6 x 80 through 45 mm of C24, root 3.6: d_ef 3.96; 35 mm of thread in the point's member: 0.52*6^-0.5*35^-0.1*350^0.8 N/mm2 by the formula.
    SheetCase c(
        kSheet,
        changed(plain(), {{"fastener", "screw"}, {"d", "6 mm"}, {"l", "80 mm"}, {"d_1", "3.6 mm"}, {"t_h", "45 mm"}, {"b_2", "95 mm"}, {"d_h", "12 mm"}}));
    REQUIRE_MESSAGE(!c.hasErrors(), c.errors());
    CHECK(c.in("mm", "d_ef") == doctest::Approx(3.96));
    const double fax = 0.52 / std::sqrt(6.0) * std::pow(35.0, -0.1) * std::pow(350.0, 0.8);
    CHECK(c.in("N/mm^2", "f_ax") == doctest::Approx(fax));
    CHECK(c.in("N", "F_pull") == doctest::Approx(0.0)); // 35 mm is below 6 d = 36 mm: nothing
    c.set("l", "90 mm");
    CHECK(c.in("N", "F_pull") == doctest::Approx(0.52 / std::sqrt(6.0) * std::pow(45.0, -0.1) * std::pow(350.0, 0.8) * 6 * 45 * 0.75));
    c.set("epsilon_g", "30 deg"); // 1.2*0.75 + 0.25 = 1.15
    CHECK(c.in("N", "F_pull") == doctest::Approx(0.52 / std::sqrt(6.0) * std::pow(45.0, -0.1) * std::pow(350.0, 0.8) * 6 * 45 * 0.75 / 1.15));
    c.set("epsilon_g", "90 deg");
    c.set("f_ax_decl", "12 N/mm^2");
    c.set("grade_2", "C18"); // 12*(320/350)^0.8
    CHECK(c.in("N/mm^2", "f_ax") == doctest::Approx(12 * std::pow(320.0 / 350.0, 0.8)));
    // A shank that goes 4 d past the plane counts: 45 + 4*4.2 = 61.8 mm.
    c.set("l_s", "61 mm");
    CHECK(c.in("mm", "d_ef") == doctest::Approx(3.96));
    c.set("l_s", "62 mm");
    CHECK(c.in("mm", "d_ef") == doctest::Approx(4.2));
    // Pulled: a screw without a declared tension strength is not proven; several count as n^0.9.
    c.set("A_Q", "0.5 kN");
    c.set("f_head_decl", "10 N/mm^2");
    CHECK(c.check("screw_declared").state == CheckView::State::NotProven);
    c.set("F_tens", "8 kN");
    CHECK(c.check("screw_declared").state == CheckView::State::Passes);
    CHECK(c.in("N", "R_ax_d", "imposed") == doctest::Approx(std::pow(2.0, 0.9) * c.in("N", "F_ax_Rd", "imposed")));
    const double v = c.utilisation("row"), a = c.utilisation("pull"); // two behind one another, 8.3 d apart, count for less than two
    CHECK(v > 1.05 * c.utilisation("lateral"));
    CHECK(c.utilisation("both") == doctest::Approx(std::sqrt(v * v + a * a)));
    c.set("fastener", "round nail");
    c.set("d", "3.5 mm");
    CHECK(c.utilisation("both") == doctest::Approx(c.utilisation("lateral") + c.utilisation("pull")));
}

TEST_CASE("rows, spacing, edges, splitting: both sides of the thresholds") {
    SheetCase c(kSheet, changed(plain(), {{"n_r", "5"}, {"a_1", "43.4 mm"}})); // 14 d
    CHECK(c.number("n_ef") == doctest::Approx(5));
    c.set("a_1", "31 mm"); // 10 d: 5^0.85
    CHECK(c.number("n_ef") == doctest::Approx(std::pow(5.0, 0.85)));
    CHECK(c.check("spacing_along").state == CheckView::State::Passes); // (5 + 5)*3.1 = 31
    c.set("a_1", "37.2 mm");                                           // 12 d: half way from 0.85 to 1
    CHECK(c.number("k_ef") == doctest::Approx(0.925));
    c.set("a_1", "30.9 mm");
    CHECK(c.check("spacing_along").state == CheckView::State::Fails);
    c.set("predrilled", "yes"); // (4 + 1) d
    CHECK(c.in("mm", "a_1_least") == doctest::Approx(15.5));
    CHECK(c.in("mm", "a_3_least", "head") == doctest::Approx(12 * 3.1));
    c.set("staggered", "yes");
    CHECK(c.number("n_ef") == 5);
    c.set("predrilled", "no");
    c.set("alpha_1", "90 deg");
    CHECK(c.in("mm", "a_4_least", "head") == doctest::Approx(7 * 3.1));
    CHECK(c.in("mm", "a_3_least", "head") == doctest::Approx(10 * 3.1));
    c.set("edge_1", "no");
    CHECK(c.in("mm", "a_4_least", "head") == doctest::Approx(5 * 3.1));
    c.set("d", "5 mm"); // 5 + 5 from 5 mm on
    c.set("edge_1", "yes");
    CHECK(c.in("mm", "a_4_least", "head") == doctest::Approx(10 * 5.0));
    c.set("d", "3.1 mm");
    // 14 d = 43.4 mm where the timber splits easily.
    c.set("t_h", "43.5 mm");
    CHECK(c.check("thickness").state == CheckView::State::Passes);
    c.set("t_h", "43.3 mm");
    CHECK(c.check("thickness").state == CheckView::State::Fails);
    c.set("sensitive", "no"); // 7 d
    CHECK(c.check("thickness").state == CheckView::State::Passes);
    c.set("t_h", "45 mm");
    c.set("l", "69.8 mm"); // point 24.8 mm = 8 d
    CHECK(c.check("penetration").state == CheckView::State::Passes);
    c.set("l", "69.6 mm");
    CHECK(c.check("penetration").state == CheckView::State::Fails);
    c.set("fastener", "ring nail"); // 6 d
    CHECK(c.check("penetration").state == CheckView::State::Passes);
    c.set("end_grain", "yes");
    CHECK(c.check("no_end_grain").state == CheckView::State::NotProven);
}

TEST_CASE("nails: no load uses nothing up, more load never helps, more nails never hurt; the same in inches and pounds") {
    SheetCase c(kSheet, changed(plain(), {{"F_Q", "0 kN"}}));
    CHECK(c.utilisation("lateral") == 0);
    double last = -1;
    for (const char* load : {"0.2 kN", "0.4 kN", "0.8 kN"}) {
        c.set("F_Q", load);
        CHECK(c.utilisation("lateral") > last);
        CHECK(c.utilisation("row") >= c.utilisation("lateral"));
        last = c.utilisation("lateral");
    }
    for (const char* n : {"3", "6", "12"}) {
        c.set("n_r", n);
        CHECK(c.utilisation("lateral") < last);
        last = c.utilisation("lateral");
    }
    c.set("n_r", "1");
    CHECK(c.check("two_at_least").state == CheckView::State::NotProven);
    SheetCase si(kSheet, plain());
    SheetCase us(
        kSheet,
        changed(
            plain(),
            {{"t_h", "1.771653543307 in"}, {"b_2", "1.771653543307 in"}, {"d", "0.122047244094 in"}, {"l", "3.149606299213 in"}, {"F_Q", "89.92357723 lbf"}}));
    REQUIRE_MESSAGE(!us.hasErrors(), us.errors());
    CHECK(us.utilisation("lateral") == doctest::Approx(si.utilisation("lateral")).epsilon(1e-8));
}

TEST_CASE("sideways and pulled at once: what counts of a row counts there too") {
    SheetCase c(kSheet, changed(plain(), {{"fastener", "ring nail"},
                                          {"n_r", "4"},
                                          {"a_1", "31 mm"},
                                          {"F_Q", "0.8 kN"},
                                          {"A_Q", "0.3 kN"},
                                          {"f_ax_decl", "6 N/mm^2"},
                                          {"f_head_decl", "20 N/mm^2"}}));
    REQUIRE_MESSAGE(!c.hasErrors(), c.errors());
    CHECK(c.in("N", "R_vn_d", "imposed") == doctest::Approx(c.in("N", "R_v_d", "imposed") * std::pow(4, 0.85) / 4)); // 10 d apart
    CHECK(c.utilisation("both") == doctest::Approx(std::hypot(c.utilisation("row"), c.utilisation("pull"))));
    // Where the force runs across the grain of both members no row is counted.
    SheetCase across(kSheet, changed(plain(), {{"fastener", "ring nail"},
                                               {"n_r", "4"},
                                               {"a_1", "31 mm"},
                                               {"alpha_1", "90 deg"},
                                               {"alpha_2", "90 deg"},
                                               {"A_Q", "0.1 kN"},
                                               {"f_ax_decl", "6 N/mm^2"},
                                               {"f_head_decl", "20 N/mm^2"}}));
    CHECK(across.in("N", "R_vn_d", "imposed") == doctest::Approx(across.in("N", "R_v_d", "imposed")));
}

TEST_CASE("a row is along the grain nearer to the force") {
    SheetCase c(kSheet, ledger());
    CHECK(c.check("rows_along").state == CheckView::State::Passes);
    c.set("alpha_r", "90 deg"); // would leave the column of nails in the stud uncounted
    CHECK(c.check("rows_along").state == CheckView::State::NotProven);
    CHECK(c.verdict() != Verdict::Ok);
}

TEST_CASE("a screw's root is thinner than its thread") {
    SheetCase c(kSheet, changed(plain(), {{"fastener", "screw"}, {"d", "4.5 mm"}}));
    CHECK(c.check("root_thin").state == CheckView::State::Passes);
    c.set("d_1", "5 mm"); // a bending moment half as large again
    CHECK(c.check("root_thin").state == CheckView::State::NotProven);
    CHECK(c.verdict() != Verdict::Ok);
}
