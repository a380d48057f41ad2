// SPDX-License-Identifier: MIT
// eu/bought-i-joist with an invented product, against hand calculation, mechanics and its own refusals.
#include <doctest/doctest.h>

#include <cmath>
#include <string>

#include "tests/sheets/sheet_case.h"

using spanwright::job::CheckView;
using spanwright::job::Verdict;
using spanwright::sheets_test::changed;
using spanwright::sheets_test::SheetCase;

namespace {

const std::string kSheet = "eu/bought-i-joist";

/// An invented product, 58 x 300 mm.
SheetCase::Values plain() {
    return {{"L", "4.5 m"},      {"b", "58 mm"},     {"h", "300 mm"},    {"dop", "yes"},      {"service", "1"},       {"category", "A"},   {"holes", "none"},
            {"stiffened", "no"}, {"people", "yes"},  {"M_k", "14 kN*m"}, {"V_k", "14 kN"},    {"EI", "900000 N*m^2"}, {"GA", "3000 kN"},   {"a_d", "400 mm"},
            {"m_0", "4.2 kg/m"}, {"k_mod_G", "0.6"}, {"k_mod_Q", "0.8"}, {"k_mod_Gw", "0.4"}, {"k_mod_Qw", "0.7"},    {"gamma_M", "1.3"},  {"gamma_w", "1.2"},
            {"k_def", "0.6"},    {"k_def_w", "1.5"}, {"R_kn", "9 kN"},   {"l_bn", "45 mm"},   {"g_k", "0.6 kN/m^2"},  {"q_k", "2 kN/m^2"}, {"a_r", "300 mm"}};
}

} // namespace

TEST_CASE("bought I-joist: one worked by hand") {
    // w_G = 0.6*0.4 + 4.2*9.80665/1000 = 0.281188, w_Q = 0.8, w_d = 1.35*0.281188 + 1.5*0.8 = 1.579604 kN/m.
    // M = 1.579604*4.5^2/8 = 3.998372 kNm of 0.8*14/1.3 = 8.615385; V = 3.554108 kN of 0.7*14/1.2 = 8.166667;
    // reaction 3.554108 of 0.8*9/1.3 = 5.538462.
    SheetCase c(kSheet, plain());
    REQUIRE_MESSAGE(!c.hasErrors(), c.errors());
    CHECK(c.in("kN*m", "M_d", "variable") == doctest::Approx(3.998372).epsilon(1e-6));
    CHECK(c.utilisation("bending") == doctest::Approx(3.998372 / 8.615385).epsilon(1e-6));
    CHECK(c.utilisation("shear") == doctest::Approx(3.554108 / 8.166667).epsilon(1e-6));
    CHECK(c.utilisation("bearing") == doctest::Approx(3.554108 / 5.538462).epsilon(1e-6));
    CHECK(c.utilisation("held") == doctest::Approx(0.75));
    CHECK(c.in("kN*m", "M_R_d", "permanent") == doctest::Approx(0.6 * 14 / 1.3));
    CHECK(c.in("kN", "V_R_d", "permanent") == doctest::Approx(0.4 * 14 / 1.2));
    // Bending 5 w L^4/(384 EI) and shear w L^2/(8 GA), each with its own creep: 1.6 and 2.5 for what is permanent,
    // 1 + 0.3*0.6 and 1 + 0.3*1.5 for the imposed load.
    const double wg = 0.24 + 4.2 * 9.80665e-3;
    const double bend = 5 * std::pow(4500.0, 4) / (384 * 9e11);
    const double shear = 4500.0 * 4500 / (8 * 3e6);
    CHECK(c.in("mm", "w_inst") == doctest::Approx((wg + 0.8) * (bend + shear)).epsilon(1e-6));
    CHECK(c.in("mm", "w_V") == doctest::Approx((wg + 0.8) * shear).epsilon(1e-6));
    CHECK(c.in("mm", "w_fin") == doctest::Approx(wg * (1.6 * bend + 2.5 * shear) + 0.8 * (1.18 * bend + 1.45 * shear)).epsilon(1e-6));
    CHECK(c.in("Hz", "f_1") == doctest::Approx(3.14159265 / (2 * 4.5 * 4.5) * std::sqrt(9e5 / (wg * 1000 / 9.80665))).epsilon(1e-6));
    CHECK(c.verdict() == Verdict::Ok);
}

TEST_CASE("bought I-joist: every declared value is asked for, and nothing is OK without the paper") {
    for (const auto& [name, value] : plain()) {
        INFO(name);
        SheetCase::Values fewer;
        for (const auto& v : plain())
            if (v.first != name) fewer.push_back(v);
        SheetCase c(kSheet, fewer);
        CHECK(c.verdict() == Verdict::NotProven);
    }
    const auto refused = [](const char* name, const char* value, const char* require) {
        INFO(name, " = ", value);
        SheetCase c(kSheet, changed(plain(), {{name, value}}));
        REQUIRE_MESSAGE(!c.hasErrors(), c.errors());
        CHECK(c.check(require).state == CheckView::State::NotProven);
        CHECK(c.verdict() == Verdict::NotProven);
    };
    refused("dop", "no", "documents");
    refused("holes", "other", "holes_by_rules");
    refused("service", "3", "service_allowed");
    refused("l_b", "40 mm", "bearing_length");
    refused("k_mod_G", "0.9", "durations");
    refused("u_k", "3 kN/m^2", "held_down");
    SheetCase maker(kSheet, changed(plain(), {{"holes", "maker"}}));
    CHECK(maker.verdict() == Verdict::Ok);
    SheetCase loose(kSheet, changed(plain(), {{"a_r", "401 mm"}}));
    CHECK(loose.check("held").state == CheckView::State::Fails);
}

TEST_CASE("bought I-joist: with stiffeners their own declared reaction counts") {
    SheetCase c(kSheet, changed(plain(), {{"stiffened", "yes"}}));
    CHECK(c.verdict() == Verdict::NotProven); // R_ks and its bearing length are not stated
    c.set("R_ks", "14 kN");
    c.set("l_bs", "45 mm");
    CHECK(c.utilisation("bearing") == doctest::Approx(3.554108 / (0.8 * 14 / 1.3)).epsilon(1e-6));
    CHECK(c.verdict() == Verdict::Ok);
}

TEST_CASE("bought I-joist: two spans, and wind that lifts") {
    SheetCase c(kSheet, changed(plain(), {{"spans", "2"}}));
    CHECK(c.verdict() == Verdict::NotProven); // the inner reaction is not declared
    c.set("R_ki", "20 kN");
    c.set("l_bi", "89 mm");
    REQUIRE_MESSAGE(!c.hasErrors(), c.errors());
    // Two equal spans with shear: hogging moment w L^2/8 / (1 + 3 EI/(GA L^2)).
    const double w = 1.35 * (0.24 + 4.2 * 9.80665e-3) + 1.5 * 0.8;
    const double hog = w * 4.5 * 4.5 / 8 / (1 + 3 * 9e5 / (3e6 * 4.5 * 4.5));
    CHECK(c.in("kN*m", "M_d", "variable") == doctest::Approx(hog).epsilon(1e-6));
    CHECK(c.in("kN", "R_i_d", "variable") == doctest::Approx(w * 4.5 + 2 * hog / 4.5).epsilon(1e-6));
    CHECK(c.utilisation("bearing_inner") == doctest::Approx((w * 4.5 + 2 * hog / 4.5) / (0.8 * 20 / 1.3)).epsilon(1e-6));
    c.set("l_i", "80 mm");
    CHECK(c.check("bearing_length_inner").state == CheckView::State::NotProven);
    SheetCase wind(kSheet, changed(plain(), {{"u_k", "3 kN/m^2"}, {"T_d", "4 kN"}}));
    // 0.9*0.281188 - 1.5*1.2 = -1.546931 kN/m lifts 3.480594 kN at each end.
    CHECK(wind.in("kN", "U_d", "lifting by wind") == doctest::Approx(3.480594).epsilon(1e-6));
    CHECK(wind.check("held_down").state == CheckView::State::Passes);
}

TEST_CASE("bought I-joist: no load uses nothing up; more load, span and spacing never help") {
    SheetCase none(kSheet, changed(plain(), {{"g_k", "0 kN/m^2"}, {"q_k", "0 kN/m^2"}, {"g_0", "0 kN/m"}, {"people", "no"}}));
    REQUIRE_MESSAGE(!none.hasErrors(), none.errors());
    const char* const checks[] = {"bending", "shear", "bearing", "deflection_instant", "deflection_final", "deflection_net"};
    for (const char* check : checks) CHECK(none.utilisation(check) == doctest::Approx(0));
    const auto rises = [&](const char* name, const char* more) {
        for (const char* check : checks) {
            INFO(name, " ", check);
            SheetCase c(kSheet, plain());
            const double low = c.utilisation(check);
            c.set(name, more);
            CHECK(c.utilisation(check) > low);
        }
    };
    rises("g_k", "0.9 kN/m^2");
    rises("q_k", "3 kN/m^2");
    rises("L", "5 m");
    rises("s", "600 mm");
    rises("g_x", "0.2 kN/m");
    rises("q_x", "0.2 kN/m");
}

TEST_CASE("bought I-joist: the same in feet and pounds") {
    SheetCase si(kSheet, plain());
    SheetCase us(kSheet, changed(plain(), {{"L", "14.763779527559 ft"},
                                           {"s", "15.748031496063 in"},
                                           {"g_k", "12.531260581 psf"},
                                           {"q_k", "41.770868603 psf"},
                                           {"V_k", "3147.3252039 lbf"},
                                           {"R_kn", "2023.2804882 lbf"}}));
    REQUIRE_MESSAGE(!us.hasErrors(), us.errors());
    for (const char* check : {"bending", "shear", "bearing", "deflection_instant", "deflection_final", "frequency", "unit_load"})
        CHECK(us.utilisation(check) == doctest::Approx(si.utilisation(check)).epsilon(1e-7));
}
