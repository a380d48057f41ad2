// SPDX-License-Identifier: MIT
// us/header against published examples (tests/reference/us/worked_examples.csv names their sources), hand
// calculation, and itself in SI units.
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

const std::string kSheet = "us/header";
const std::string kHead = "load, at [ft], P_D [lbf], P_L [lbf], P_S [lbf], P_W [lbf]\n";

SheetCase::Values plain() {
    return {{"L_o", "6 ft"},
            {"size", "2x10"},
            {"species", "Douglas fir-larch"},
            {"grade", "#2"},
            {"w_D", "150 plf"},
            {"w_L", "250 plf"},
            {"weigh", "no"},
            {"H_s", "7 ft"},
            {"a_s", "12 in"},
            {"list point_loads", kHead + "post, 3.125, 100, 300, 0, 0"}};
}

/// One dressed size by itself, simple span, no line load unless said.
SheetCase::Values single(const SheetCase::Values& changes) {
    return changed({{"L_o", "7.5 ft"},
                    {"n", "1"},
                    {"size", "4x8"},
                    {"species", "Douglas fir-larch"},
                    {"grade", "#1"},
                    {"w_D", "0 plf"},
                    {"w_L", "0 plf"},
                    {"weigh", "no"},
                    {"held", "yes"},
                    {"H_s", "7 ft"},
                    {"a_s", "12 in"}},
                   changes);
}

} // namespace

TEST_CASE("us header: one worked by hand") {
    // Two 2x10 over 6 ft on two jack studs each end: span 6.25 ft, 400 plf and 400 lbf at midspan.
    //   M = 400*6.25^2/8 + 400*6.25/4 = 2578.125 lbf ft, S = 3*9.25^2/6 = 42.78125 in3, f_b = 723.156 psi
    //   one ply, not held: l_e = 1.63*75 + 27.75 = 150 in, R_B = sqrt(150*9.25)/1.5 = 24.83277,
    //   F_bE = 1.2*580000/R_B^2 = 1128.649 psi, F_b* 990: C_L = 0.8644375, F_b' = 855.793 psi
    SheetCase c(kSheet, plain());
    REQUIRE_MESSAGE(!c.hasErrors(), c.errors());
    CHECK(c.in("ft", "L") == doctest::Approx(6.25));
    CHECK(c.in("lbf*ft", "M", "dead+live") == doctest::Approx(2578.125));
    CHECK(c.in("psi", "f_b", "dead+live") == doctest::Approx(2578.125 * 12 / 42.78125));
    CHECK(c.in("in", "l_e") == doctest::Approx(150));
    CHECK(c.number("R_B") == doctest::Approx(24.832774).epsilon(1e-7));
    CHECK(c.number("C_L", "dead+live") == doctest::Approx(0.86443749).epsilon(1e-7));
    CHECK(c.in("psi", "F_b_1", "dead+live") == doctest::Approx(855.79311).epsilon(1e-7));
    // V = R = 1450 lbf: f_v = 1.5*1450/27.75, bearing on 3 x 3 in 161.1 psi of 625.
    CHECK(c.in("psi", "f_v", "dead+live") == doctest::Approx(1.5 * 1450 / 27.75));
    CHECK(c.utilisation("bearing") == doctest::Approx(1450.0 / 9 / 625));
    // Jack studs 2-2x6 Spruce-pine-fir No. 2: F_c* = 1150*1.1, le/d 84/5.5, F_cE = 0.822*510000/15.2727^2 =
    // 1797.251 psi, C_P 0.7966333; 1450/16.5 = 87.88 psi of 1007.741.
    CHECK(c.in("psi", "F_cE") == doctest::Approx(1797.25128).epsilon(1e-7));
    CHECK(c.number("C_P", "dead+live") == doctest::Approx(0.79663333).epsilon(1e-7));
    CHECK(c.utilisation("studs") == doctest::Approx(1450 / 16.5 / 1007.741165).epsilon(1e-6));
    CHECK(c.utilisation("plate") == doctest::Approx(1450 / 16.5 / 425));
    CHECK(c.verdict() == Verdict::Ok);
    CHECK(c.in("lbf", "R_D") == doctest::Approx(150 * 3.125 + 50));
    CHECK(c.in("lbf", "R_L") == doctest::Approx(250 * 3.125 + 150));
}

TEST_CASE("W1 and W3: 4x8 over 8 ft, one load at midspan, No. 1 Douglas fir-larch, roof live load (textbook problem 6.1)") {
    SheetCase c(kSheet, single({{"L", "8 ft"}, {"roof_load", "construction"}, {"list point_loads", kHead + "load, 4, 400, 0, 1600, 0"}}));
    REQUIRE_MESSAGE(!c.hasErrors(), c.errors());
    CHECK(printsAs(c.in("in^2", "A"), "25.375"));
    CHECK(printsAs(c.in("in^3", "S"), "30.66"));
    CHECK(printsAs(c.in("in^4", "I"), "111.1"));
    CHECK(printsAs(c.in("psi", "F_b_1", "dead+roof"), "1625"));
    CHECK(printsAs(c.in("psi", "F_v_1", "dead+roof"), "225"));
    CHECK(printsAs(c.in("lbf*in", "M", "dead+roof"), "48000"));
    CHECK(printsAs(c.in("psi", "f_b", "dead+roof"), "1566", 0.6)); // 1565.48; from S rounded to 30.66
    CHECK(printsAs(c.in("psi", "f_v", "dead+roof"), "59.1"));
    CHECK(printsAs(c.in("in", "w_live"), "0.156"));
    CHECK(printsAs(c.in("in", "w_live") + c.in("in", "w_dead"), "0.195")); // the example adds no creep
    CHECK(printsAs(c.in("in", "L") / c.number("n_live"), "0.267"));
    // W3: held at ends and midspan, l_e = 1.11 l_u = 53.28 in: R_B 5.62.
    c.set("held", "no");
    c.set("l_e", "53.28 in");
    CHECK(printsAs(c.number("R_B"), "5.62"));
    CHECK(printsAs(c.in("psi", "E_min"), "620000"));
}

TEST_CASE("W6 and W7: beams under uniform load (Cal Poly Pomona homework 20 and 21)") {
    // Sizes beyond dimension lumber, so breadth and depth are stated; Select Structural 2x has another E, so E is
    // compared through the product E I w. W6: 6x12, 14 ft, 450 plf, E 1.6e6 (No. 2 here): 0.349 in.
    SheetCase c(kSheet,
                single({{"L_o", "13.5 ft"}, {"L", "14 ft"}, {"b", "5.5 in"}, {"d", "11.5 in"}, {"grade", "#2"}, {"w_D", "210 plf"}, {"w_L", "240 plf"}}));
    REQUIRE_MESSAGE(!c.hasErrors(), c.errors());
    CHECK(printsAs(c.in("lbf*ft", "M", "dead+live"), "11025"));
    CHECK(printsAs(c.in("lbf", "V", "dead+live"), "3150"));
    CHECK(printsAs(c.in("psi", "f_v", "dead+live"), "74.7"));
    CHECK(printsAs(c.in("in^4", "I"), "697.1"));
    CHECK(printsAs(c.in("in", "w_dead") + c.in("in", "w_live"), "0.349"));
    // W7: 6x18, 20 ft, 185 plf: I 2456, 0.169 in.
    SheetCase large(kSheet,
                    single({{"L_o", "19.5 ft"}, {"L", "20 ft"}, {"b", "5.5 in"}, {"d", "17.5 in"}, {"grade", "#2"}, {"w_D", "0 plf"}, {"w_L", "185 plf"}}));
    CHECK(printsAs(large.in("in^4", "I"), "2456"));
    CHECK(printsAs(large.in("in", "w_live"), "0.169"));
}

TEST_CASE("us header: what is not proven") {
    SheetCase lift(kSheet, changed(plain(), {{"w_W", "600 plf"}}));
    REQUIRE_MESSAGE(!lift.hasErrors(), lift.errors());
    // 0.6*600*3.125 - 0.6*(150*3.125 + 50) = 813.75 lbf.
    CHECK(lift.in("lbf", "U", "uplift") == doctest::Approx(813.75));
    CHECK(lift.check("held_down").state == CheckView::State::NotProven);
    lift.set("T_a", "820 lbf");
    CHECK(lift.check("held_down").state == CheckView::State::Passes);
    // A deck holds the top edge, not the bottom one that the lift squeezes.
    SheetCase deck(kSheet, changed(plain(), {{"w_W", "600 plf"}, {"held", "yes"}}));
    CHECK(deck.number("C_L", "dead+live") == 1);
    CHECK(deck.number("C_L", "uplift") < 1);
    deck.set("w_W", "0 plf");
    CHECK(deck.number("C_L", "uplift") == 1); // the weight holds: the bottom edge is not squeezed
    SheetCase two(kSheet, changed(plain(), {{"repetitive", "yes"}}));
    CHECK(two.verdict() == Verdict::NotProven); // the factor needs three plies
    SheetCase old(kSheet, changed(plain(), {{"species_s", "Hem-fir (old)"}}));
    CHECK(old.verdict() == Verdict::NotProven);
    SheetCase tall(kSheet, changed(plain(), {{"a_s", "7 ft"}})); // 84/1.5 > 50
    CHECK(tall.verdict() == Verdict::NotProven);
    SheetCase face(kSheet, changed(plain(), {{"loaded", "face"}, {"list point_loads", kHead}}));
    CHECK(face.verdict() == Verdict::NotProven);
    face.set("Z_f", "100 lbf");
    face.set("a_f", "12 in");
    CHECK(face.utilisation("ply_fasteners") == doctest::Approx(400.0 / 2 / 200));
    CHECK(face.verdict() == Verdict::Ok);
    face.set("n", "3"); // two thirds must pass the first joint
    CHECK(face.check("ply_fasteners").state == CheckView::State::Fails);
}

TEST_CASE("us header: loads that lift, that hang, that stand close to an end, or that last too short") {
    // Half of 0.6*900 - 0.6*150 = 450 plf upwards, above half of 400 plf downwards.
    SheetCase face(
        kSheet,
        changed(plain(), {{"loaded", "face"}, {"list point_loads", kHead}, {"Z_f", "120 lbf"}, {"a_f", "12 in"}, {"w_W", "900 plf"}, {"T_a", "9000 lbf"}}));
    REQUIRE_MESSAGE(!face.hasErrors(), face.errors());
    CHECK(face.in("plf", "w_pass", "uplift") == doctest::Approx(225));
    CHECK(face.utilisation("ply_fasteners") == doctest::Approx(225.0 / 240));
    SheetCase point(kSheet, changed(plain(), {{"loaded", "face"}, {"list point_loads", kHead + "a, 3, 0, 0, 0, 500"}, {"Z_f", "120 lbf"}, {"a_f", "12 in"}}));
    CHECK(point.check("no_point_on_face").state == CheckView::State::NotProven);
    // Loads within the depth of the edge of a support: not where they hang, and not a point load (it counts by x/d).
    SheetCase top(kSheet, changed(plain(), {{"near", "9.25 in"}}));
    CHECK(top.check("near_enough").state == CheckView::State::Passes);
    // 10.2 in from the middle of the bearing, 8.7 from its edge.
    SheetCase close(kSheet, changed(plain(), {{"near", "9.25 in"}, {"list point_loads", kHead + "post, 0.85, 100, 3000, 0, 0"}}));
    CHECK(close.check("near_enough").state == CheckView::State::NotProven);
    close.set("near", "0 in");
    CHECK(close.check("near_enough").state == CheckView::State::Passes);
    SheetCase hung(kSheet, changed(plain(), {{"loaded", "face"}, {"list point_loads", kHead}, {"Z_f", "900 lbf"}, {"a_f", "12 in"}, {"near", "9 in"}}));
    CHECK(hung.check("near_enough").state == CheckView::State::NotProven);
    SheetCase relief(kSheet, changed(plain(), {{"list point_loads", kHead + "a, 3, 0, -900, 0, 0"}}));
    CHECK(relief.verdict() == Verdict::NotProven);
    SheetCase thick(kSheet, changed(plain(), {{"b", "3.5 in"}})); // a 2x10 is 1.5 in
    CHECK(thick.check("dressed").state == CheckView::State::NotProven);
    SheetCase brief(kSheet, changed(plain(), {{"roof_load", "impact"}}));
    CHECK(brief.check("roof_duration").state == CheckView::State::NotProven);
}

TEST_CASE("us header: no load uses nothing up; more load never helps") {
    SheetCase none(kSheet, changed(plain(), {{"w_D", "0 plf"}, {"w_L", "0 plf"}, {"list point_loads", kHead}}));
    REQUIRE_MESSAGE(!none.hasErrors(), none.errors());
    const char* const checks[] = {"bending", "shear", "bearing", "studs", "plate", "deflection_live", "deflection_total"};
    for (const char* name : checks) CHECK(none.utilisation(name) == 0);
    for (const char* load : {"w_D", "w_L", "w_S"}) {
        SheetCase c(kSheet, plain());
        double last[7] = {-1, -1, -1, -1, -1, -1, -1};
        for (const char* value : {"100 plf", "300 plf", "900 plf", "2000 plf"}) {
            c.set(load, value);
            for (int i = 0; i < 7; ++i) {
                INFO(load, " ", value, " ", checks[i]);
                CHECK(c.utilisation(checks[i]) >= last[i]);
                last[i] = c.utilisation(checks[i]);
            }
        }
        CHECK(last[0] > 1);
    }
}

TEST_CASE("us header: the same in metric units") {
    SheetCase us(kSheet, plain());
    SheetCase si(kSheet, changed(plain(), {{"L_o", "1.8288 m"},
                                           {"w_D", "2.18908544 kN/m"},
                                           {"w_L", "3.64847573 kN/m"},
                                           {"H_s", "2.1336 m"},
                                           {"a_s", "304.8 mm"},
                                           {"list point_loads", kHead + "post, 0.9525 m, 444.822162 N, 1334.46648 N, 0, 0"}}));
    REQUIRE_MESSAGE(!si.hasErrors(), si.errors());
    for (const char* name : {"bending", "shear", "bearing", "studs", "plate", "deflection_live", "deflection_total"})
        CHECK(si.utilisation(name) == doctest::Approx(us.utilisation(name)).epsilon(1e-7));
}

TEST_CASE("us header: a stated span is no shorter than NDS 3.2.1 wants") {
    SheetCase c(kSheet, plain());
    REQUIRE(c.verdict() == Verdict::Ok);
    // Clear opening and the bearing that the reaction needs, over plies of 3 in.
    const double need = 6.0 + c.in("lbf", "R", "dead+live") / (3.0 * c.in("psi", "F_cp_1")) / 12.0;
    CHECK(need < 6.25);
    CHECK(need > 6.01);
    c.set("L", "6.25 ft");
    CHECK(c.verdict() == Verdict::Ok);
    c.set("L", std::to_string(need + 0.01) + " ft");
    CHECK(c.verdict() == Verdict::Ok);
    c.set("L", std::to_string(need - 0.01) + " ft");
    CHECK(c.verdict() == Verdict::NotProven);
    c.set("L", "5 ft");
    CHECK(c.verdict() == Verdict::NotProven);
}
