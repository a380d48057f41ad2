// SPDX-License-Identifier: MIT
// us/area-loads against hand calculation. Its coefficients are from memory where the tables say so: these tests
// hold the arithmetic, not the standard.
#include <doctest/doctest.h>

#include <cmath>
#include <string>

#include "tests/sheets/sheet_case.h"

using spanwright::job::CheckView;
using spanwright::job::Verdict;
using spanwright::sheets_test::changed;
using spanwright::sheets_test::SheetCase;

namespace {

const std::string kSheet = "us/area-loads";
const std::string kHead = "layer, t [in], rho [lbf/ft^3], share, w [psf], is [text]\n";
const std::string kLayers = kHead + "deck, 0.75, 36, 1, 0, layer\nroofing, 0, 0, 0, 3, layer";

SheetCase::Values plain() {
    return {{"use", "roof"},         {"list layers", kLayers}, {"live_u", "20 psf"}, {"p_g", "30 psf"}, {"exposure", "C partial"},
            {"thermal", "unheated"}, {"W_e", "20 ft"},         {"higher", "no"},     {"w_up", "30 psf"}};
}

} // namespace

TEST_CASE("us area loads: one roof worked by hand") {
    // Dead 0.75/12*36 + 3 = 5.25 psf. Snow 0.7*1.0*1.2*1.0*30 = 25.2 psf, above the least 20 psf; roof live 20 psf.
    SheetCase c(kSheet, plain());
    REQUIRE_MESSAGE(!c.hasErrors(), c.errors());
    CHECK(c.in("psf", "dead") == doctest::Approx(5.25));
    CHECK(c.in("psf", "p_s") == doctest::Approx(25.2));
    CHECK(c.in("psf", "p_m") == doctest::Approx(20));
    CHECK(c.in("psf", "rain") == 0); // only where the ground snow is 20 psf or less
    CHECK(c.in("psf", "L_r") == doctest::Approx(20));
    CHECK(c.in("psf", "roof") == doctest::Approx(25.2));
    CHECK(c.number("C_D_snow") == 1.15);
    CHECK(c.in("psf", "w_net") == doctest::Approx(0.6 * 30 - 0.6 * 5.25));
    CHECK(c.number("k_self") == 1);
    CHECK(c.verdict() == Verdict::Ok);
    // Little snow: rain on snow for a roof flatter than W/50 degrees, and the least load; roof live load governs.
    c.set("p_g", "15 psf");
    CHECK(c.in("psf", "rain") == doctest::Approx(5));
    CHECK(c.in("psf", "p_s") == doctest::Approx(0.7 * 1.2 * 15 + 5));
    CHECK(c.in("psf", "roof") == doctest::Approx(20));
    CHECK(c.number("C_D_snow") == 1.25);
    // A heavy roof: (40 + 17.6)/1.15 is above (40 + 20)/1.25, so snow governs though the roof live load is the greater.
    SheetCase heavy(kSheet, changed(plain(), {{"p_g", "15 psf"}, {"list layers", kHead + "turf, 0, 0, 0, 40, layer"}}));
    CHECK(heavy.number("C_D_snow") == 1.15);
    c.set("slope", "1"); // 4.76 degrees > 20/50
    CHECK(c.in("psf", "rain") == 0);
    CHECK(c.in("psf", "dead") == doctest::Approx(5.25 * std::sqrt(145.0) / 12));
}

TEST_CASE("us area loads: reduction of the roof live load") {
    SheetCase c(kSheet, plain());
    const auto live = [&](const char* area, const char* slope) {
        c.set("A_t", area);
        c.set("slope", slope);
        return c.in("psf", "L_r");
    };
    CHECK(live("200 ft^2", "2") == doctest::Approx(20));
    CHECK(live("400 ft^2", "2") == doctest::Approx(20 * 0.8));
    CHECK(live("600 ft^2", "2") == doctest::Approx(12));
    CHECK(live("100 ft^2", "6") == doctest::Approx(20 * 0.9));
    CHECK(live("600 ft^2", "12") == doctest::Approx(12)); // never below 12 psf
}

TEST_CASE("us area loads: snow drifts against a higher part") {
    // Density 0.13*30 + 14 = 17.9 pcf, even snow 25.2/17.9 = 1.40782 ft deep. Upper roof 20 ft:
    // 0.43*20^(1/3)*40^(1/4) - 1.5 = 1.435352 ft, 25.6928 psf over 5.74141 ft.
    SheetCase c(kSheet, changed(plain(), {{"higher", "yes"}, {"h_step", "6 ft"}, {"l_up", "20 ft"}}));
    REQUIRE_MESSAGE(!c.hasErrors(), c.errors());
    CHECK(c.in("lbf/ft^3", "gamma_s") == doctest::Approx(17.9));
    CHECK(c.in("ft", "h_b") == doctest::Approx(1.40782123).epsilon(1e-8));
    CHECK(c.in("ft", "h_d") == doctest::Approx(1.43535153).epsilon(1e-8));
    CHECK(c.in("psf", "p_d") == doctest::Approx(25.6927924).epsilon(1e-8));
    CHECK(c.in("ft", "w_d") == doctest::Approx(5.74140612).epsilon(1e-8));
    // A low step is filled up: 100 ft above, 2 ft of step: h_c 0.592179 ft, 10.6 psf, 8 h_c wide.
    c.set("l_up", "100 ft");
    c.set("h_step", "2 ft");
    CHECK(c.in("psf", "p_d") == doctest::Approx(10.6));
    CHECK(c.in("ft", "w_d") == doctest::Approx(4.73743017).epsilon(1e-8));
    c.set("h_step", "1.5 ft"); // less than a fifth of the snow's depth stands above it
    CHECK(c.in("psf", "p_d") == 0);
    // Little snow: the least load of low roofs, 20 psf, does not drift. 0.7*20 = 14 psf lie 14/16.6 = 0.843373 ft deep, so
    // a step of 1.2 ft leaves room for 0.356627 ft more; 20 psf would have left 0.048 ft of it out and called the step none.
    c.set("p_g", "20 psf");
    c.set("thermal", "heated");
    c.set("slope", "3");
    c.set("h_step", "1.2 ft");
    CHECK(c.in("psf", "p_s") == doctest::Approx(20));
    CHECK(c.in("psf", "p_d") == doctest::Approx(0.3566265 * 16.6).epsilon(1e-6));
    SheetCase unstated(kSheet, changed(plain(), {{"higher", "yes"}}));
    CHECK(unstated.verdict() == Verdict::NotProven);
}

TEST_CASE("us area loads: floors, self weight once, what is not stated") {
    SheetCase c(kSheet, {{"use", "rooms"}, {"list layers", kLayers}, {"live_u", "40 psf"}});
    CHECK_MESSAGE(c.verdict() == Verdict::Ok, c.errors());
    CHECK(c.in("psf", "live") == doctest::Approx(40));
    c.set("live_u", "30 psf");
    CHECK(c.check("live_load").state == CheckView::State::Fails);
    SheetCase none(kSheet, {{"use", "rooms"}, {"list layers", kHead}, {"live_u", "40 psf"}});
    CHECK(none.verdict() == Verdict::NotProven);
    SheetCase joists(kSheet, {{"use", "rooms"}, {"list layers", kLayers + "\n2x10, 9.25, 33.6, 0.09375, 0, joists"}, {"live_u", "40 psf"}});
    CHECK(joists.number("k_self") == 0);
    CHECK(joists.in("psf", "dead") == doctest::Approx(5.25 + 9.25 / 12 * 33.6 * 0.09375));
    SheetCase both(kSheet, {{"use", "rooms"}, {"list layers", kHead + "deck, 0.75, 36, 1, 2, layer"}, {"live_u", "40 psf"}});
    CHECK(both.verdict() == Verdict::NotProven);
}

TEST_CASE("us area loads: no snow, no drift; more snow never gives less; the same in metric units") {
    SheetCase none(kSheet, changed(plain(), {{"p_g", "0 psf"}, {"higher", "yes"}, {"h_step", "6 ft"}, {"l_up", "20 ft"}}));
    REQUIRE_MESSAGE(!none.hasErrors(), none.errors());
    CHECK(none.in("psf", "p_s") == 0);
    CHECK(none.in("psf", "p_d") == 0);
    SheetCase c(kSheet, changed(plain(), {{"higher", "yes"}, {"h_step", "6 ft"}, {"l_up", "60 ft"}}));
    double even = -1;
    double drift = -1;
    for (const char* snow : {"25 psf", "40 psf", "70 psf"}) {
        c.set("p_g", snow);
        CHECK(c.in("psf", "p_s") > even);
        CHECK(c.in("psf", "p_d") > drift);
        even = c.in("psf", "p_s");
        drift = c.in("psf", "p_d");
    }
    SheetCase us(kSheet, changed(plain(), {{"higher", "yes"}, {"h_step", "6 ft"}, {"l_up", "20 ft"}}));
    SheetCase si(kSheet, changed(plain(), {{"higher", "yes"},
                                           {"h_step", "1.8288 m"},
                                           {"l_up", "6.096 m"},
                                           {"W_e", "6.096 m"},
                                           {"p_g", "1.43640777 kN/m^2"},
                                           {"live_u", "0.95760518 kN/m^2"},
                                           {"w_up", "1.43640777 kN/m^2"},
                                           {"list layers", kHead + "deck, 19.05 mm, 36, 1, 0, layer\nroofing, 0, 0, 0, 0.143640777 kN/m^2, layer"}}));
    REQUIRE_MESSAGE(!si.hasErrors(), si.errors());
    for (const char* name : {"dead", "p_s", "p_d", "roof", "w_net"}) CHECK(si.in("psf", name) == doctest::Approx(us.in("psf", name)).epsilon(1e-7));
}
