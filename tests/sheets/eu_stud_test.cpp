// SPDX-License-Identifier: MIT
// eu/stud against published columns (tests/reference/eu/worked_examples_index.csv), hand calculation and mechanics.
#include <doctest/doctest.h>

#include <cmath>
#include <string>

#include "tests/sheets/sheet_case.h"

using spanwright::job::CheckView;
using spanwright::job::Verdict;
using spanwright::sheets_test::changed;
using spanwright::sheets_test::printsAs;
using spanwright::sheets_test::readText;
using spanwright::sheets_test::SheetCase;

namespace {

const std::string kSheet = "eu/stud";

/// A stud of an inner wall, 45 x 145 mm of C24, 2.4 m, held by noggings every 0.8 m.
SheetCase::Values plain() {
    return {{"L", "2.4 m"},    {"b", "45 mm"},  {"h", "145 mm"}, {"l_ez", "0.8 m"}, {"grade", "C24"}, {"service", "1"},
            {"category", "A"}, {"N_G", "2 kN"}, {"N_Q", "5 kN"}, {"g_0", "0 kN"},   {"e", "15 mm"},   {"wall", "inner"}};
}
/// The same in an outer wall, with snow and wind.
SheetCase::Values windy() {
    return changed(plain(), {{"wall", "outer"}, {"p_W", "0.8 kN/m^2"}, {"s", "600 mm"}, {"N_S", "3 kN"}, {"N_W", "1 kN"}, {"N_U", "6 kN"}});
}

std::string replaced(std::string text, const std::string& from, const std::string& to) {
    for (std::size_t at = text.find(from); at != std::string::npos; at = text.find(from, at + to.size())) text.replace(at, from.size(), to);
    return text;
}

const char* const kChecks[] = {"buckling_y", "buckling_z", "compression", "bending_sideways", "tension_y", "tension_z", "shear", "plate", "bow"};

} // namespace

TEST_CASE("EU04: stud of LVL 32 P loaded beside its middle (LVL Handbook Europe 2025, p. 198)") {
    // The handbook's gamma_G is 1.15 (Finnish annex). Its last sum is cut off in print and takes k_m 0.7 for the
    // axis that buckles; Eq. 6.23 gives 0.8226, a value of the reference's own.
    const std::string uls = replaced(readText("sheets/tables/en1990-uls-all.csv"), ",1.35,", ",1.15,");
    SheetCase c(kSheet,
                changed(plain(), {{"L", "2.7 m"},
                                  {"b", "45 mm"},
                                  {"h", "120 mm"},
                                  {"l_ez", "0.1 m"},
                                  {"material", "LVL"},
                                  {"f_mk", "27 N/mm^2"},
                                  {"f_c0k", "26 N/mm^2"},
                                  {"E_005", "8000 N/mm^2"},
                                  {"N_G", "5 kN"},
                                  {"N_Q", "11 kN"},
                                  {"e", "30 mm"}}),
                {{"tables/en1990-uls-all.csv", uls}});
    REQUIRE_MESSAGE(!c.hasErrors(), c.errors());
    CHECK(printsAs(c.in("kN", "N_d", "imposed"), "22.3", 0.51)); // 22.25
    CHECK(printsAs(c.in("N/mm^2", "sigma_c", "imposed"), "4.1"));
    CHECK(printsAs(c.in("N/mm^2", "f_c0_d", "imposed"), "17.3"));
    CHECK(printsAs(c.number("lambda_y"), "78"));
    CHECK(printsAs(c.number("lambda_rel_y"), "1.41"));
    CHECK(printsAs(c.number("k_y"), "1.56"));
    CHECK(printsAs(c.number("k_cy"), "0.45"));
    CHECK(printsAs(c.number("eta_cy", "imposed"), "0.52"));
    CHECK(printsAs(c.in("kN*m", "M_y_d", "imposed"), "0.67"));
    CHECK(printsAs(c.in("N/mm^2", "sigma_m_y", "imposed"), "6.2"));
    CHECK(printsAs(c.number("k_h"), "1.15"));
    CHECK(c.number("k_h") == doctest::Approx(1.1473).epsilon(1e-4));
    c.set("k_h", "1.15"); // as the handbook rounds it
    CHECK(printsAs(c.in("N/mm^2", "f_my_d", "imposed"), "20.7"));
    CHECK(c.number("eta_cy", "imposed") + c.in("N/mm^2", "sigma_m_y", "imposed") / c.in("N/mm^2", "f_my_d", "imposed") ==
          doctest::Approx(0.8226).epsilon(1e-4));
    CHECK(c.number("eta_cy", "imposed") + 0.7 * c.in("N/mm^2", "sigma_m_y", "imposed") / c.in("N/mm^2", "f_my_d", "imposed") ==
          doctest::Approx(0.73303).epsilon(1e-4));
    CHECK(c.utilisation("buckling_y") == doctest::Approx(0.8226).epsilon(1e-4));
}

TEST_CASE("EU17: stud 38 x 100 of C16 (unsigned calculation sheet)") {
    SheetCase c(kSheet, changed(plain(), {{"L", "2.75 m"},
                                          {"l_ey", "2.3375 m"},
                                          {"b", "38 mm"},
                                          {"h", "100 mm"},
                                          {"l_ez", "0.1 m"},
                                          {"grade", "C16"},
                                          {"N_G", "6.6 kN"},
                                          {"N_Q", "0 kN"},
                                          {"e", "0 mm"}}));
    REQUIRE_MESSAGE(!c.hasErrors(), c.errors());
    CHECK(printsAs(c.in("kN", "N_d", "permanent"), "8.91"));
    CHECK(printsAs(c.number("lambda_y"), "80.97"));
    CHECK(printsAs(c.number("lambda_rel_y"), "1.45"));
    CHECK(printsAs(c.number("k_y"), "1.66"));
    CHECK(printsAs(c.number("k_cy"), "0.40"));
    // The source divides 8910 N by 3800 mm2 and prints 2.34 of 7.85 and 0.74.
    CHECK(printsAs(c.in("N/mm^2", "sigma_c", "permanent"), "2.34"));
    CHECK(printsAs(c.in("N/mm^2", "f_c0_d", "permanent"), "7.85"));
    CHECK(printsAs(c.number("eta_cy", "permanent"), "0.74"));
}

TEST_CASE("EU11: column 150 x 200 of C18, 3.75 m (Porteous and Kermani, example 5.7.1)") {
    // Its figures are lost in the stored text; the published verdict is that it passes. Own values of the reference.
    SheetCase c(kSheet, changed(plain(), {{"L", "3.75 m"},
                                          {"l_ez", "3.75 m"},
                                          {"b", "150 mm"},
                                          {"h", "200 mm"},
                                          {"grade", "C18"},
                                          {"service", "2"},
                                          {"N_G", "30 kN"},
                                          {"N_Q", "50 kN"},
                                          {"e", "0 mm"},
                                          {"base", "other"},
                                          {"f_b_d", "10 N/mm^2"}}));
    REQUIRE_MESSAGE(!c.hasErrors(), c.errors());
    CHECK(c.in("kN", "N_d", "imposed") == doctest::Approx(115.5));
    CHECK(c.in("N/mm^2", "sigma_c", "imposed") == doctest::Approx(3.85));
    CHECK(c.in("N/mm^2", "f_c0_d", "imposed") == doctest::Approx(11.077).epsilon(1e-4));
    CHECK(c.number("lambda_z") == doctest::Approx(86.603).epsilon(1e-4));
    CHECK(c.number("lambda_rel_z") == doctest::Approx(1.5099).epsilon(1e-4));
    CHECK(c.number("k_z") == doctest::Approx(1.7609).epsilon(1e-4));
    CHECK(c.number("k_cz") == doctest::Approx(0.37497).epsilon(1e-4));
    CHECK(c.utilisation("buckling_z") == doctest::Approx(0.92692).epsilon(1e-4));
    CHECK(c.verdict() == Verdict::Ok);
}

TEST_CASE("EU20: section of a stud 38 x 89 (TRADA design example C3, 1994)") {
    SheetCase c(kSheet, changed(plain(), {{"b", "38 mm"}, {"h", "89 mm"}}));
    CHECK(printsAs(c.in("mm^2", "A"), "3382"));
    CHECK(printsAs(c.in("mm^3", "W_y") / 10, "5017"));
    CHECK(printsAs(c.in("mm^4", "I_y") / 1000, "2232"));
}

TEST_CASE("stud: one worked by hand") {
    // N_d = 1.35*2 + 1.5*5 = 10.2 kN on 6525 mm2: 1.563218 N/mm2 of 0.8*21/1.3 = 12.923077. lambda 2400*sqrt(12)/145
    // = 57.33708, relative 0.972253; k = 0.5*(1 + 0.2*0.672253 + 0.945276) = 1.039863, k_c = 1/(1.039863 +
    // sqrt(1.081315 - 0.945276)) = 0.709876. M = 10.2 kN*15 mm = 0.153 kNm on 157687.5 mm3: 0.970273 of
    // 0.8*24*(150/145)^0.2/1.3 = 14.869686. 1.563218/(0.709876*12.923077) + 0.970273/14.869686 = 0.235653.
    SheetCase c(kSheet, plain());
    REQUIRE_MESSAGE(!c.hasErrors(), c.errors());
    CHECK(c.number("lambda_rel_y") == doctest::Approx(0.972253).epsilon(1e-5));
    CHECK(c.number("k_cy") == doctest::Approx(0.709876).epsilon(1e-5));
    CHECK(c.in("N/mm^2", "sigma_m_y", "imposed") == doctest::Approx(0.970273).epsilon(1e-6));
    CHECK(c.utilisation("buckling_y") == doctest::Approx(0.235653).epsilon(1e-4));
    // Plate of C16, 30 mm on either side: 10.2 kN on 145*105 = 0.669951 of 1.25*0.8*2.2/1.3 = 1.692308.
    CHECK(c.utilisation("plate") == doctest::Approx(0.669951 / 1.692308).epsilon(1e-5));
    // Shear 0.153 kNm/2.4 m = 63.75 N: 1.5*63.75/(0.67*6525) of 0.8*4/1.3.
    CHECK(c.utilisation("shear") == doctest::Approx(1.5 * 63.75 / (0.67 * 6525) / (0.8 * 4 / 1.3)).epsilon(1e-6));
    // Bow: (2 + 5) kN*15 mm*L^2/(15.588 E I), and creep on 2 + 0.3*5.
    const double bow = 105e3 * 2400.0 * 2400.0 / (9 * std::sqrt(3.0) * 11000 * 45 * 145.0 * 145 * 145 / 12);
    CHECK(c.in("mm", "u_fin", "imposed") == doctest::Approx(bow * (1 + 0.6 * 3.5 / 7)).epsilon(1e-6));
    CHECK(c.verdict() == Verdict::Ok);
}

TEST_CASE("stud: wind from the side, and wind that lifts") {
    SheetCase c(kSheet, changed(windy(), {{"e", "0 mm"}}));
    REQUIRE_MESSAGE(!c.hasErrors(), c.errors());
    // 1.5*0.48 kN/m over 2.4 m: w L^2/8 = 0.5184 kNm at midheight where wind leads, 0.6 of it where it accompanies.
    CHECK(c.in("kN*m", "M_y_d", "wind+imposed+snow") == doctest::Approx(0.5184));
    CHECK(c.in("m", "x_M", "wind+imposed+snow") == doctest::Approx(1.2).epsilon(1e-4));
    CHECK(c.in("kN*m", "M_y_d", "snow+imposed+wind") == doctest::Approx(0.6 * 0.5184));
    CHECK(c.in("kN*m", "M_y_d", "snow") == 0);
    CHECK(c.in("kN", "V_d", "uplift") == doctest::Approx(0.72 * 1.2));
    // 1.0*2 - 1.5*6 = -7 kN: tension with the full wind from the side.
    CHECK(c.in("kN", "N_d", "uplift") == doctest::Approx(-7));
    CHECK(c.in("kN", "N_T_d") == doctest::Approx(1.5 * 6 - 0.9 * 2)); // the tie counts on nine tenths of the weight
    CHECK(c.in("kN", "C_d", "uplift") == 0);
    const double f = 1.1 / 1.3;
    const double kh = std::pow(150.0 / 145, 0.2);
    CHECK(c.utilisation("tension_y") == doctest::Approx(7000.0 / 6525 / (f * 14.5) + 518400 / 157687.5 / (f * kh * 24)).epsilon(1e-6));
    CHECK(c.number("k_mod", "permanent") == 0.6);
    CHECK(c.number("k_mod", "imposed") == 0.8);
    CHECK(c.number("k_mod", "snow+imposed") == 0.9);
    CHECK(c.number("k_mod", "uplift") == 1.1);
    // Loads beside the middle add to the wind from the worse side: largest of M x/L + w x (L - x)/2.
    c.set("e", "40 mm");
    const double m = c.in("kN*m", "M_e", "wind+imposed+snow");
    const double w = 0.72;
    const double l = 2.4;
    const double x = l / 2 + m / (w * l);
    CHECK(c.in("kN*m", "M_y_d", "wind+imposed+snow") == doctest::Approx(m * x / l + w * x * (l - x) / 2).epsilon(1e-6));
    c.set("e", "-40 mm");
    CHECK(c.in("kN*m", "M_y_d", "wind+imposed+snow") == doctest::Approx(m * x / l + w * x * (l - x) / 2).epsilon(1e-6));
    // Permanent load on one face, imposed on the other: the moments take away from one another, and the permanent one
    // is taken at its least, 1.0*2 kN. Of two variable loads on two faces the one that helps is away.
    c.set("e_Q", "40 mm");
    CHECK(c.in("kN*m", "M_e", "imposed") == doctest::Approx(0.04 * (7.5 - 2.0)));
    CHECK(c.in("kN*m", "M_e", "permanent") == doctest::Approx(-0.04 * 2.7));
    CHECK(c.in("kN*m", "M_e", "imposed+snow") == doctest::Approx(0.04 * (7.5 - 2.0)));      // snow on the permanent load's side
    CHECK(c.in("kN*m", "M_e", "snow+imposed") == doctest::Approx(-0.04 * (2.7 + 1.5 * 3))); // 7.2 against 5.25 - 2
    CHECK(c.in("kN", "N_d", "snow+imposed") == doctest::Approx(2.7 + 0.7 * 7.5 + 1.5 * 3)); // the force is that of all
}

TEST_CASE("stud: wind on the squeezed edge, a foot that is pressed beside its middle, a stud laid the wrong way") {
    // 45 x 220, 3 m, held at its ends alone: l_ef 0.9*3 + 2*0.22 = 3.14 m under wind, 3 m without.
    SheetCase c(kSheet, changed(windy(), {{"L", "3 m"}, {"l_ez", "3 m"}, {"h", "220 mm"}}));
    REQUIRE_MESSAGE(!c.hasErrors(), c.errors());
    CHECK(c.in("m", "l_ef", "uplift") == doctest::Approx(3.14));
    CHECK(c.in("m", "l_ef", "imposed") == doctest::Approx(3));
    // All of 15 mm at the foot as well: 145 - 30 mm of it press on the plate.
    SheetCase foot(kSheet, changed(plain(), {{"r_e", "1"}}));
    REQUIRE_MESSAGE(!foot.hasErrors(), foot.errors());
    CHECK(foot.utilisation("plate") == doctest::Approx(0.669951 / 1.692308 * 145 / 115).epsilon(1e-5));
    SheetCase wrong(kSheet, changed(plain(), {{"b", "145 mm"}, {"h", "45 mm"}, {"e_z", "20 mm"}, {"l_ey", "0.8 m"}, {"e", "0 mm"}}));
    CHECK(wrong.check("wide_face").state == CheckView::State::NotProven);
}

TEST_CASE("stud: short ones do not buckle, slender ones follow Euler; factors by kind of wood") {
    SheetCase c(kSheet, changed(plain(), {{"L", "0.5 m"}, {"l_ez", "0.2 m"}, {"e", "0 mm"}}));
    CHECK(c.number("k_cy") == 1);
    const double s = c.in("N/mm^2", "sigma_c", "imposed") / c.in("N/mm^2", "f_c0_d", "imposed");
    CHECK(c.utilisation("buckling_y") == doctest::Approx(s * s)); // Eq. 6.19
    c.set("l_ez", "0.3 m");                                       // relative 0.39
    CHECK(c.utilisation("buckling_y") == doctest::Approx(s));     // Eq. 6.23 with k_c = 1
    CHECK(c.utilisation("buckling_z") > s);
    // Very slender: k_c tends to 1/lambda_rel^2, that is Euler's stress pi^2 E_005/lambda^2.
    c.set("l_ez", "6 m");
    const double relative = c.number("lambda_rel_z");
    CHECK(relative > 7);
    CHECK(c.number("k_cz") == doctest::Approx(1 / (relative * relative)).epsilon(0.04));
    CHECK(c.number("beta_c") == 0.2);
    c.set("material", "glulam");
    CHECK(c.number("beta_c") == 0.1);
    CHECK(c.number("k_h") == 1.1);
    CHECK(c.number("gamma_M") == 1.25);
    c.set("h", "400 mm");
    CHECK(c.number("k_h") == doctest::Approx(std::pow(1.5, 0.1)));
    c.set("h", "600 mm");
    CHECK(c.number("k_h") == 1);
    c.set("material", "LVL");
    CHECK(c.number("k_h") == doctest::Approx(std::pow(0.5, 0.15)));
    CHECK(c.number("k_cr") == 1);
    c.set("material", "solid timber");
    CHECK(c.number("k_h") == 1);
    c.set("h", "40 mm");
    CHECK(c.number("k_h") == 1.3);
}

TEST_CASE("stud: no load uses nothing up; more load never helps; more wood always does") {
    SheetCase none(kSheet, changed(windy(), {{"N_G", "0 kN"}, {"N_Q", "0 kN"}, {"N_S", "0 kN"}, {"N_W", "0 kN"}, {"N_U", "0 kN"}, {"p_W", "0 kN/m^2"}}));
    REQUIRE_MESSAGE(!none.hasErrors(), none.errors());
    for (const char* check : kChecks) CHECK(none.utilisation(check) == 0);
    for (const char* load : {"N_G", "N_Q", "N_S", "N_W", "N_U"})
        for (const char* check : kChecks) {
            INFO(load, " ", check);
            SheetCase c(kSheet, windy());
            double last = load == std::string("N_G") && (check[0] == 't') ? -1 : c.utilisation(check);
            for (const char* value : {"10 kN", "20 kN", "40 kN"}) {
                if (last < 0) continue; // permanent load holds the stud down: tension is less
                c.set(load, value);
                CHECK(c.utilisation(check) >= last * (1 - 1e-12));
                last = c.utilisation(check);
            }
        }
    SheetCase c(kSheet, windy());
    for (const char* check : {"buckling_y", "bending_sideways", "tension_y", "shear", "bow"}) {
        c.set("p_W", "0.8 kN/m^2");
        const double low = c.utilisation(check);
        c.set("p_W", "1.2 kN/m^2");
        CHECK(c.utilisation(check) > low);
        const double shallow = c.utilisation(check);
        c.set("h", "195 mm");
        CHECK(c.utilisation(check) < shallow);
        c.set("h", "145 mm");
    }
    // Two studs under twice the loads are as well off as one, each by itself along the wall.
    SheetCase one(kSheet, windy());
    SheetCase two(kSheet,
                  changed(windy(), {{"n", "2"}, {"s", "1.2 m"}, {"N_G", "4 kN"}, {"N_Q", "10 kN"}, {"N_S", "6 kN"}, {"N_W", "2 kN"}, {"N_U", "12 kN"}}));
    for (const char* check : {"buckling_y", "buckling_z", "compression", "bending_sideways", "tension_y", "shear", "bow"})
        CHECK(two.utilisation(check) == doctest::Approx(one.utilisation(check)).epsilon(1e-9));
}

TEST_CASE("stud: what is not stated is not proven; the same in inches and pounds") {
    SheetCase c(kSheet, changed(plain(), {{"wall", "outer"}}));
    CHECK(c.verdict() == Verdict::NotProven); // the wind
    SheetCase base(kSheet, changed(plain(), {{"base", "other"}}));
    CHECK(base.verdict() == Verdict::NotProven);
    base.set("f_b_d", "1.5 N/mm^2");
    CHECK(base.check("base_strength").state == CheckView::State::Fails); // 1.5632
    base.set("f_b_d", "1.6 N/mm^2");
    CHECK(base.verdict() == Verdict::Ok);
    SheetCase half(kSheet, changed(plain(), {{"n", "1.5"}}));
    CHECK(half.check("whole_studs").state == CheckView::State::NotProven);
    SheetCase si(kSheet, plain());
    SheetCase us(kSheet, changed(plain(), {{"L", "94.4881889764 in"},
                                           {"b", "1.7716535433 in"},
                                           {"h", "5.7086614173 in"},
                                           {"l_ez", "31.4960629921 in"},
                                           {"N_G", "449.6178862 lbf"},
                                           {"N_Q", "1124.0447155 lbf"},
                                           {"e", "0.5905511811 in"}}));
    REQUIRE_MESSAGE(!us.hasErrors(), us.errors());
    for (const char* check : kChecks) CHECK(us.utilisation(check) == doctest::Approx(si.utilisation(check)).epsilon(1e-8));
}
