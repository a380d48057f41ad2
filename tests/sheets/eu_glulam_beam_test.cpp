// SPDX-License-Identifier: MIT
// eu/glulam-beam against hand calculation, closed forms and eu/floor-joist; its table against printed values. No
// published example of a straight glulam beam with its inputs was found.
#include <doctest/doctest.h>

#include <cmath>
#include <map>
#include <string>

#include "tests/sheets/sheet_case.h"

using spanwright::job::CheckView;
using spanwright::job::Verdict;
using spanwright::sheets_test::changed;
using spanwright::sheets_test::readRows;
using spanwright::sheets_test::readText;
using spanwright::sheets_test::SheetCase;

namespace {

const std::string kSheet = "eu/glulam-beam";

SheetCase::Values plain() {
    return {{"L", "5 m"},     {"b", "90 mm"},    {"h", "315 mm"},   {"grade", "GL24h"}, {"declared", "yes"},
            {"service", "1"}, {"category", "A"}, {"w_G", "1 kN/m"}, {"w_Q", "2 kN/m"},  {"g_0", "0 kN/m"}};
}

const char* const kChecks[] = {"bending", "bending_hogging", "shear", "bearing", "deflection_instant", "deflection_final", "deflection_net"};

} // namespace

TEST_CASE("strength classes of glulam are those of the reference") {
    int compared = 0;
    for (const auto& theirs : readRows("tests/reference/eu/strength_classes.csv")) {
        if (theirs.at("edition") != "EN 14080:2013") continue;
        for (const auto& ours : readRows("sheets/tables/en14080.csv")) {
            if (ours.at("class") != theirs.at("class")) continue;
            for (const auto& [a, b] : std::map<std::string, std::string>{{"f_mk", "fm_k"},
                                                                         {"f_t0k", "ft_0_k"},
                                                                         {"f_t90k", "ft_90_k"},
                                                                         {"f_c0k", "fc_0_k"},
                                                                         {"f_c90k", "fc_90_k"},
                                                                         {"f_vk", "fv_k"},
                                                                         {"E_0mean", "E0_mean"},
                                                                         {"E_005", "E0_05"},
                                                                         {"E_90mean", "E90_mean"},
                                                                         {"G_mean", "G_mean"},
                                                                         {"rho_k", "rho_k"},
                                                                         {"rho_mean", "rho_mean"}}) {
                CHECK(std::stod(ours.at(a)) == std::stod(theirs.at(b)));
                ++compared;
            }
        }
    }
    CHECK(compared == 2 * 12);
    // Every row: E_005 is five sixths of E_0mean, homogeneous glulam is as strong in compression as in bending and has
    // 0.8 of it in tension, all as rounded in the standard's tables.
    for (const auto& row : readRows("sheets/tables/en14080.csv")) {
        INFO(row.at("class"));
        CHECK(std::abs(std::stod(row.at("E_005")) - std::stod(row.at("E_0mean")) * 5 / 6) <= 70);
        if (row.at("kind") != "homogeneous") continue;
        CHECK(row.at("f_c0k") == row.at("f_mk"));
        CHECK(std::abs(std::stod(row.at("f_t0k")) - 0.8 * std::stod(row.at("f_mk"))) <= 0.11);
    }
}

TEST_CASE("creep factors of solid timber, glulam and LVL are those of the reference") {
    int compared = 0;
    for (const auto& theirs : readRows("tests/reference/eu/factors_actions.csv")) {
        if (theirs.at("group") != "kdef" || theirs.at("item") != "solid timber, glulam, LVL") continue;
        for (const auto& ours : readRows("sheets/tables/en1995-kdef.csv")) {
            if (ours.at("material") == "plywood") continue;
            CHECK(std::stod(ours.at(theirs.at("condition").substr(14))) == std::stod(theirs.at("value")));
            ++compared;
        }
    }
    CHECK(compared == 3 * 3);
}

TEST_CASE("glulam beam: one worked by hand") {
    // w_d = 1.35 + 3 = 4.35 kN/m: M = 13.59375 kNm on 90*315^2/6 = 1488375 mm3, 9.133283 N/mm2. k_h = (600/315)^0.1
    // = 1.066557, f_m,d = 0.8*1.066557*24/1.25 = 16.382315. l_ef = 0.9*5000 + 2*315 = 5130 mm, I_z = 19136250,
    // I_tor = 62766900 mm4: sigma_crit = pi*sqrt(9600*19136250*540*62766900)/(5130*1488375) = 32.46732, lambda 0.859770,
    // k_crit = 1.56 - 0.75*0.859770 = 0.915172.
    SheetCase c(kSheet, plain());
    REQUIRE_MESSAGE(!c.hasErrors(), c.errors());
    CHECK(c.in("kN*m", "M_d", "imposed") == doctest::Approx(13.59375));
    CHECK(c.in("N/mm^2", "sigma_m_d", "imposed") == doctest::Approx(9.133283).epsilon(1e-6));
    CHECK(c.number("k_h") == doctest::Approx(1.066557).epsilon(1e-6));
    CHECK(c.in("N/mm^2", "sigma_m_crit") == doctest::Approx(32.46732).epsilon(1e-6));
    CHECK(c.number("k_crit", "imposed") == doctest::Approx(0.915172).epsilon(1e-6));
    CHECK(c.utilisation("bending") == doctest::Approx(9.133283 / (0.915172 * 16.382315)).epsilon(1e-6));
    // 10.875 kN: 1.5*10875/(0.67*28350) = 0.858803 of 0.8*3.5/1.25; on 90 x (90 + 30) mm of 1.75*0.8*2.5/1.25.
    CHECK(c.utilisation("shear") == doctest::Approx(0.858803 / 2.24).epsilon(1e-5));
    CHECK(c.utilisation("bearing") == doctest::Approx(10875.0 / (90 * 120) / 2.8).epsilon(1e-6));
    // 5 w L^4/(384 E I) + w L^2/(8*5/6 G A); creep on 1 + 0.3*2 = 1.6 of 3 kN/m.
    const double i = 90 * 315.0 * 315 * 315 / 12;
    const double w = 5 * 3 * std::pow(5000.0, 4) / (384 * 11500 * i) + 3 * 5000.0 * 5000 / (8 * 5.0 / 6 * 650 * 28350);
    CHECK(c.in("mm", "w_inst", "imposed") == doctest::Approx(w).epsilon(1e-6));
    CHECK(c.in("mm", "w_fin", "imposed") == doctest::Approx(w * (1 + 0.6 * 1.6 / 3)).epsilon(1e-6));
    CHECK(c.in("kN", "R_G") == doctest::Approx(2.5));
    CHECK(c.in("kN", "R_Q") == doctest::Approx(5));
    CHECK(c.verdict() == Verdict::Ok);
    c.set("w_c", "5 mm");
    CHECK(c.in("mm", "w_net", "imposed") == doctest::Approx(w * (1 + 0.6 * 1.6 / 3) - 5).epsilon(1e-6));
    c.set("held", "yes");
    CHECK(c.number("k_crit") == 1);
}

TEST_CASE("glulam beam: with a sawn joist's values it is eu/floor-joist, on one to three spans") {
    // 100 x 600 mm, so that no depth factor acts; a class that uses Eq. 6.31 in both sheets.
    const std::string row = "X24,hardwood,24,14.5,0.4,21,2.5,4.0,11000,7400,370,690,350,420,for comparison\n";
    const std::string glulam = "X24,combined,24,14.5,0.4,21,2.5,4.0,11000,7400,370,690,464.1818181818182,350,420,for comparison\n";
    for (const char* spans : {"1", "2", "3"}) {
        INFO(spans);
        const SheetCase::Values both{{"spans", spans}, {"L", "6 m"},     {"L_2", "4 m"},    {"L_3", "5 m"},     {"b", "100 mm"},          {"h", "600 mm"},
                                     {"grade", "X24"}, {"service", "2"}, {"category", "C"}, {"gamma_M", "1.3"}, {"limits", "span-least"}, {"g_0", "0.2 kN/m"}};
        SheetCase joist("eu/floor-joist", changed(both, {{"g_k", "2 kN/m^2"}, {"q_k", "5 kN/m^2"}, {"s", "1 m"}, {"people", "no"}}),
                        {{"tables/en338.csv", readText("sheets/tables/en338.csv") + row}});
        SheetCase beam(kSheet, changed(both, {{"w_G", "2 kN/m"}, {"w_Q", "5 kN/m"}, {"declared", "yes"}}),
                       {{"tables/en14080.csv", readText("sheets/tables/en14080.csv") + glulam}});
        REQUIRE_MESSAGE(!joist.hasErrors(), joist.errors());
        REQUIRE_MESSAGE(!beam.hasErrors(), beam.errors());
        for (const char* check : {"bending", "shear", "deflection_instant", "deflection_final", "deflection_net"}) {
            INFO(check);
            CHECK(beam.utilisation(check) == doctest::Approx(joist.utilisation(check)).epsilon(1e-6));
        }
        CHECK(beam.in("kN", "R_Q2") == doctest::Approx(joist.in("kN", "R_Q2")).epsilon(1e-9));
        if (spans[0] != '1') CHECK(beam.in("kN", "R_i_d", "imposed") == doctest::Approx(joist.in("kN", "R_i_d", "variable")).epsilon(1e-9));
    }
}

TEST_CASE("glulam beam: closed forms of two spans and of a point load; wind that lifts") {
    SheetCase two(kSheet, changed(plain(), {{"spans", "2"}, {"h", "600 mm"}}));
    REQUIRE_MESSAGE(!two.hasErrors(), two.errors());
    // Two equal spans with shear: w L^2/8/(1 + 3 EI/(GA L^2)) over the inner support, GA of 5/6 of the section.
    const double soft = 3 * 11500 * 90 * std::pow(600.0, 3) / 12 / (5.0 / 6 * 650 * 90 * 600 * 5000.0 * 5000);
    const double hog = 4.35 * 25 / 8 / (1 + soft);
    CHECK(two.in("kN*m", "M_hog", "imposed") == doctest::Approx(hog).epsilon(1e-6));
    CHECK(two.in("kN", "R_i_d", "imposed") == doctest::Approx(4.35 * 5 + 2 * hog / 5).epsilon(1e-6));
    SheetCase point(kSheet, changed(plain(), {{"w_G", "0 kN/m"},
                                              {"w_Q", "0 kN/m"},
                                              {"list point_loads", "load, at [m], P_G [kN], P_Q [kN], P_S [kN], P_W [kN], P_U [kN]\n A, 2.5, 0, 4, 0, 0, 0"}}));
    REQUIRE_MESSAGE(!point.hasErrors(), point.errors());
    CHECK(point.in("kN*m", "M_d", "imposed") == doctest::Approx(1.5 * 4 * 5 / 4));
    CHECK(point.in("kN", "V_d", "imposed") == doctest::Approx(3));
    // 1.0*1 - 1.5*2 = -2 kN/m stretches the top edge; 0.9*1 - 1.5*2 = -2.1 kN/m lifts 5.25 kN at each end.
    SheetCase wind(kSheet, changed(plain(), {{"w_U", "2 kN/m"}}));
    CHECK(wind.in("kN*m", "M_hog", "uplift") == doctest::Approx(2 * 25.0 / 8));
    CHECK(wind.in("kN*m", "M_d", "uplift") == 0);
    CHECK(wind.check("held_down").state == CheckView::State::NotProven);
    CHECK(wind.in("kN", "U_d", "lifting by wind") == doctest::Approx(5.25));
    CHECK(wind.in("kN", "R_U") == doctest::Approx(5));
    wind.set("T_d", "5.3 kN");
    CHECK(wind.check("held_down").state == CheckView::State::Passes);
}

TEST_CASE("glulam beam: thresholds") {
    SheetCase c(kSheet, plain());
    CHECK(c.number("k_c90") == 1.75);
    c.set("h", "2000 mm");
    CHECK(c.number("k_h") == 1);
    c.set("L", "4.12 m"); // 4000 mm between bearings: twice the depth
    CHECK(c.number("k_c90") == 1.75);
    c.set("L", "4.11 m");
    CHECK(c.number("k_c90") == 1);
    c.set("h", "599.999 mm");
    CHECK(c.number("k_h") == doctest::Approx(1).epsilon(1e-5));
    c.set("h", "200 mm");
    CHECK(c.number("k_h") == 1.1);
    c.set("l_b", "401 mm");
    CHECK(c.number("k_c90") == 1);
    // Both bounds of k_crit: 0.75 and 1.4.
    SheetCase s(kSheet, changed(plain(), {{"a_r", "0.5 m"}}));
    CHECK(s.number("lambda_rel_m") < 0.75);
    CHECK(s.number("k_crit") == 1);
    s.set("L", "20 m");
    s.set("b", "50 mm");
    s.set("a_r", "20 m");
    const double l = s.number("lambda_rel_m");
    CHECK(l > 1.4);
    CHECK(s.number("k_crit") == doctest::Approx(1 / (l * l)));
}

TEST_CASE("glulam beam: no load uses nothing up; more load and span never help; more depth does") {
    SheetCase none(kSheet, changed(plain(), {{"w_G", "0 kN/m"}, {"w_Q", "0 kN/m"}}));
    REQUIRE_MESSAGE(!none.hasErrors(), none.errors());
    for (const char* check : kChecks) CHECK(none.utilisation(check) == doctest::Approx(0));
    for (const char* name : {"w_G", "w_Q", "w_S", "w_W"})
        for (const char* check : kChecks) {
            INFO(name, " ", check);
            SheetCase c(kSheet, changed(plain(), {{"spans", "2"}, {"L_2", "4 m"}}));
            double last = c.utilisation(check);
            for (const char* value : {"4 kN/m", "8 kN/m"}) {
                c.set(name, value);
                CHECK(c.utilisation(check) >= last * (1 - 1e-9));
                last = c.utilisation(check);
            }
        }
    SheetCase c(kSheet, plain());
    for (const char* check : {"bending", "shear", "bearing", "deflection_instant", "deflection_final"}) {
        c.set("L", "5 m");
        const double low = c.utilisation(check);
        c.set("L", "6 m");
        CHECK(c.utilisation(check) > low);
        c.set("h", "405 mm");
        if (std::string(check) != "bearing") CHECK(c.utilisation(check) < low * 1.3);
        c.set("h", "315 mm");
    }
}

TEST_CASE("glulam beam: boards glued on site are not glulam; the same in feet and pounds") {
    SheetCase c(kSheet, changed(plain(), {{"declared", "no"}}));
    CHECK(c.check("marked").state == CheckView::State::NotProven);
    CHECK(c.verdict() == Verdict::NotProven);
    SheetCase cambered(kSheet, changed(plain(), {{"spans", "2"}, {"w_c", "5 mm"}}));
    CHECK(cambered.check("camber_one_span").state == CheckView::State::NotProven);
    SheetCase si(kSheet, plain());
    SheetCase us(
        kSheet,
        changed(
            plain(),
            {{"L", "16.404199475066 ft"}, {"b", "3.543307086614 in"}, {"h", "12.401574803150 in"}, {"w_G", "68.521765618 plf"}, {"w_Q", "137.043531236 plf"}}));
    REQUIRE_MESSAGE(!us.hasErrors(), us.errors());
    for (const char* check : {"bending", "shear", "bearing", "deflection_instant", "deflection_final"})
        CHECK(us.utilisation(check) == doctest::Approx(si.utilisation(check)).epsilon(1e-7));
}

TEST_CASE("glulam beam: a variable load in a short span is not counted where it relieves the long one") {
    const SheetCase::Values two = changed(plain(), {{"spans", "2"}, {"L", "2 m"}, {"L_2", "6 m"}, {"T_d", "100 kN"}});
    SheetCase without(kSheet, two);
    SheetCase c(kSheet, changed(two, {{"list point_loads", "load, at, P_G, P_Q, P_S, P_W, P_U\na, 1.2, 0, 6, 4, 0, 0"}}));
    REQUIRE_MESSAGE(!c.hasErrors(), c.errors());
    CHECK(c.in("kN*m", "M_d", "imposed") == doctest::Approx(without.in("kN*m", "M_d", "imposed")));
    CHECK(c.in("mm", "w_inst", "imposed") == doctest::Approx(without.in("mm", "w_inst", "imposed")));
    CHECK(c.in("kN*m", "M_hog", "imposed") > 1.05 * without.in("kN*m", "M_hog", "imposed"));
    c.set("limits", "cantilever-least");
    CHECK(c.check("limits_of_spans").state == CheckView::State::NotProven);
    SheetCase up(kSheet, changed(two, {{"list point_loads", "load, at, P_G, P_Q, P_S, P_W, P_U\na, 1.2, -6, 0, 0, 0, 0"}}));
    CHECK(up.check("loads_stated").state == CheckView::State::NotProven);
}
