// SPDX-License-Identifier: MIT
#include <doctest/doctest.h>
#include <random>

#include "engine/units/unit.h"

using namespace spanwright::units;

namespace {
std::string habit(std::string_view text) { return habitualUnit(readUnit(text).value().dimension).ascii; }
} // namespace

TEST_CASE("quantities of the trade show in the units of drawings and calculation sheets") {
    CHECK(habit("ft") == "mm");
    CHECK(habit("ft^2") == "mm^2");
    CHECK(habit("m^3") == "mm^3");
    CHECK(habit("in^4") == "mm^4");
    CHECK(habit("lbf") == "kN");
    CHECK(habit("lbf*ft") == "kN*m");
    CHECK(habit("psi") == "N/mm^2");
    CHECK(habit("plf") == "kN/m");
    CHECK(habit("pcf") == "kN/m^3");
    CHECK(habit("lbf*in^2") == "kN*m^2");
    CHECK(habit("lbm/ft^3") == "kg/m^3");
    CHECK(habit("h") == "s");
    CHECK(habit("1/min") == "Hz");
    CHECK(habit("mph") == "m/s");
    CHECK(habit("hp") == "kW");
    CHECK(habit("") == "");
    CHECK(habit("%") == "");
    CHECK(habit("EUR") == "EUR");
    CHECK(habit("EUR/ft") == "EUR/m");
    CHECK(habit("USD/MBM") == "USD/m^3");
    CHECK(habit("EUR/s") == "EUR/h");
    // What has no unit of its own in the trade is told in forces and lengths where it is made of them.
    CHECK(habit("N*mm^4") == "N*m^4");
    CHECK(habit("lbf^2*in^3") == "N^2*m^3");
    CHECK(habit("1/N") == "1/N");
    CHECK(habit("m/N^2") == "m/N^2");
    CHECK(habit("kg*m") == "kg*m");
    CHECK(habit("kg/s") == "kg/s");
}

TEST_CASE("the habitual unit has exactly the dimension asked for, whatever it is") {
    std::mt19937 random(77);
    for (int i = 0; i < 3000; ++i) {
        Dimension d;
        for (int b = 0; b < kBaseCount; ++b) {
            if (random() % 3 == 0)
                d = d.times(Dimension::of(static_cast<Base>(b), Rational::of(static_cast<int>(random() % 11) - 5, static_cast<int>(random() % 3) + 1)));
        }
        if (random() % 4 == 0) d = d.times(Dimension::currency("EUR", Rational::of(static_cast<int>(random() % 5) - 2)));
        if (random() % 50 == 0) d = d.toThe({101, 1});
        const Unit unit = habitualUnit(d);
        REQUIRE(unit.dimension == d);
        REQUIRE(unit.factor > 0.0);
        REQUIRE(unit.shown.empty() == d.isNumber());
    }
}

TEST_CASE("a mass where a force is wanted is told by one acceleration") {
    const auto of = [](std::string_view text) { return readUnit(text).value().dimension; };
    CHECK(isMassForForce(of("kg/m^2"), of("N/m^2")));
    CHECK(isMassForForce(of("kg/m^2"), of("kgf/m^2")));
    CHECK(isMassForForce(of("lbm"), of("lbf")));
    CHECK(isMassForForce(of("kg/m"), of("kN/m")));
    CHECK(isMassForForce(of("kg*m"), of("kN*m")));
    CHECK_FALSE(isMassForForce(of("kgf"), of("N")));
    CHECK_FALSE(isMassForForce(of("N"), of("kg")));
    CHECK_FALSE(isMassForForce(of("kg"), of("N/m")));
    CHECK_FALSE(isMassForForce(of("m"), of("N")));
    CHECK_FALSE(isMassForForce(of(""), of("m/s^2")));
}
