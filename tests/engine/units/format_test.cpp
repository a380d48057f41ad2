// SPDX-License-Identifier: MIT
#include "engine/units/format.h"

#include <cmath>
#include <doctest/doctest.h>
#include <limits>
#include <random>

#include "engine/base/text.h"
#include "engine/units/decimal_text.h"

using namespace spanwright;
using namespace spanwright::units;

namespace {

std::string significant(double x, int n = 4) {
    Show how;
    how.significant = n;
    return showNumber(x, Unit{}, how);
}
std::string decimals(double x, int n) {
    Show how;
    how.decimals = n;
    return showNumber(x, Unit{}, how);
}
std::string stepped(double x, double step) {
    Show how;
    how.step = step;
    return showNumber(x, Unit{}, how);
}

} // namespace

TEST_CASE("significant digits") {
    CHECK(significant(2.1064) == "2.106");
    CHECK(significant(0.8) == "0.8");
    CHECK(significant(45) == "45");
    CHECK(significant(0) == "0");
    CHECK(significant(-0.0) == "0");
    CHECK(significant(-1.25) == "-1.25");
    CHECK(significant(1234.5678) == "1235");
    CHECK(significant(13456.78) == "13457"); // digits before the point are kept
    CHECK(significant(9999999) == "9999999");
    CHECK(significant(9999999.6) == "1e7");
    CHECK(significant(195213333) == "1.952e8");
    CHECK(significant(-195213333) == "-1.952e8");
    CHECK(significant(0.00012341) == "0.0001234");
    CHECK(significant(0.0000999949) == "9.999e-5");
    CHECK(significant(0.000099999) == "0.0001");
    CHECK(significant(1.2345e-7) == "1.235e-7"); // the double lies just above the half
    CHECK(significant(1.2355e-7) == "1.235e-7"); // and this one just below
    CHECK(significant(99999.96) == "100000");
    CHECK(significant(0.99996) == "1");
    CHECK(significant(0.99994) == "0.9999");
    CHECK(significant(1.0 / 3.0, 6) == "0.333333");
    CHECK(significant(5e-324) == "4.941e-324");
    CHECK(significant(std::numeric_limits<double>::max()) == "1.798e308");
    CHECK(significant(1.5, 0) == "2");                      // at least one digit
    CHECK(significant(0.1, 1000) == "0.10000000000000001"); // at most 17
}

TEST_CASE("declared decimals are kept, halves go away from zero on the exact double") {
    CHECK(decimals(0.8, 2) == "0.80");
    CHECK(decimals(2.5, 0) == "3");
    CHECK(decimals(-2.5, 0) == "-3");
    CHECK(decimals(0.5, 0) == "1");
    CHECK(decimals(1.5, 0) == "2");
    CHECK(decimals(0.125, 2) == "0.13");
    CHECK(decimals(0.375, 2) == "0.38");
    CHECK(decimals(2.675, 2) == "2.67");  // the double is 2.67499999999999982236431605997495353221893310546875
    CHECK(decimals(1.005, 2) == "1.00");  // 1.00499999999999989341858963598497211933135986328125
    CHECK(decimals(0.145, 2) == "0.14");  // 0.14499999999999999000799277837359
    CHECK(decimals(0.285, 2) == "0.28");  // 0.284999999999999975575093458246556110680103302001953125
    CHECK(decimals(1.115, 2) == "1.11");  // 1.1149999999999999911182158029987
    CHECK(decimals(8.345, 2) == "8.35");  // 8.3450000000000006394884621840902
    CHECK(decimals(-0.001, 2) == "0.00"); // never -0
    CHECK(decimals(0.0, 3) == "0.000");
    CHECK(decimals(999.995, 2) == "1000.00"); // 999.99500000000000454747350886464118957519531250
    CHECK(decimals(1e20, 2) == "1e20");
    CHECK(decimals(123456789012345.0, 1) == "123456789012345.0");
    CHECK(decimals(3.0, -2) == "3");
}

TEST_CASE("a declared step") {
    CHECK(stepped(2.1064, 0.1) == "2.1");
    CHECK(stepped(2.15, 0.1) == "2.1"); // the double 2.15 is below the half: 2.149999999999999911182158029987
    CHECK(stepped(2.25, 0.5) == "2.5");
    CHECK(stepped(-2.25, 0.5) == "-2.5");
    CHECK(stepped(1237.0, 5) == "1235");
    CHECK(stepped(1237.5, 5) == "1240");
    CHECK(stepped(1237.6, 25) == "1250");
    CHECK(stepped(0.3, 0.1) == "0.3");
    CHECK(stepped(-0.01, 0.1) == "0.0");
    CHECK(stepped(3.1, 0.0625) == "3.1250");
    CHECK(stepped(2.1064, 0.0) == "2.106"); // no step at all
    CHECK(stepped(2.1064, -1.0) == "2.106");
    CHECK(stepped(2.1064, std::nan("")) == "2.106");
}

TEST_CASE("step wins over decimals, decimals over significant digits") {
    Show how;
    how.significant = 2;
    CHECK(showNumber(12.3456, Unit{}, how) == "12");
    how.decimals = 3;
    CHECK(showNumber(12.3456, Unit{}, how) == "12.346");
    how.step = 0.5;
    CHECK(showNumber(12.3456, Unit{}, how) == "12.5");
}

TEST_CASE("number and unit") {
    CHECK(showValue(2106.4, readUnit("kN*m").value()) == "2.106 kN·m");
    CHECK(showValue(0.45, *findUnit("%")) == "45 %");
    CHECK(showValue(0.8, Unit{}) == "0.8");
    CHECK(showValue(0.39269908169872414, *findUnit("deg")) == "22.5°");
    CHECK(showValue(0.0125, *findUnit("mm"), {4, 0, std::nullopt}) == "13 mm"); // 12.5 exactly
    CHECK(showValue(11e9, readUnit("N/mm^2").value()) == "11000 N/mm²");
    CHECK(showValue(std::nan(""), *findUnit("mm")) == "not a number");
    CHECK(showValue(std::numeric_limits<double>::infinity(), *findUnit("mm")) == "not a number");
    CHECK(showValue(-std::numeric_limits<double>::infinity(), Unit{}) == "not a number");
}

TEST_CASE("feet and inches") {
    CHECK(showFeetInches(4.4323) == "14'-6 1/2\"");
    CHECK(showFeetInches(4.4196) == "14'-6\"");
    CHECK(showFeetInches(0.0762) == "0'-3\"");
    CHECK(showFeetInches(0) == "0'-0\"");
    CHECK(showFeetInches(-0.6111875) == "-2'-0 1/16\"");
    CHECK(showFeetInches(-0.0001) == "0'-0\"");
    CHECK(showFeetInches(0.3047) == "1'-0\"");
    CHECK(showFeetInches(0.01, 8) == "0'-0 3/8\"");
    CHECK(showFeetInches(0.01, 1) == "0'-0\"");
    CHECK(showFeetInches(0.0127, 1) == "0'-1\""); // half an inch goes up
    CHECK(showFeetInches(std::nan("")) == "not a number");
    CHECK(showFeetInches(1e300).find("ft") != std::string::npos);
}

TEST_CASE("utilisation: a failing value is never shown as 1.00, a passing one never above") {
    CHECK(showUtilisation(0.87) == "0.87");
    CHECK(showUtilisation(0.999) == "1.00");
    CHECK(showUtilisation(1.0) == "1.00");
    CHECK(showUtilisation(1.0 + 5e-10) == "1.00");
    CHECK(showUtilisation(1.0 + 9.99e-10) == "1.00");
    CHECK(showUtilisation(1.0 + 1.1e-9) == "1.000000001");
    CHECK(showUtilisation(1.0000001) == "1.0000001");
    CHECK(showUtilisation(1.0012) == "1.001");
    CHECK(showUtilisation(1.004) == "1.004");
    CHECK(showUtilisation(1.005) == "1.005"); // the double lies below 1.005
    CHECK(showUtilisation(1.006) == "1.01");
    CHECK(showUtilisation(1.25) == "1.25");
    CHECK(showUtilisation(0.0) == "0.00");
    CHECK(showUtilisation(-0.001) == "0.00");
    CHECK(showUtilisation(-0.5) == "-0.50");
    CHECK(showUtilisation(1e20) == "1e20");
    CHECK(showUtilisation(std::nan("")) == "not a number");
    CHECK(showUtilisation(std::numeric_limits<double>::infinity()) == "not a number");
    std::mt19937_64 random(8);
    for (int i = 0; i < 20000; ++i) {
        const double distance = std::ldexp(static_cast<double>(random() >> 11), -53) * std::pow(10.0, -static_cast<double>(random() % 12));
        const double above = 1.0 + distance;
        const double shown = *base::readDouble(showUtilisation(above));
        if (above > 1.0 + 1e-9) {
            REQUIRE(shown > 1.0);
        } else {
            REQUIRE(shown == 1.0);
        }
        REQUIRE(*base::readDouble(showUtilisation(1.0 - distance)) <= 1.0);
    }
}

TEST_CASE("shown numbers are the nearest of their length, on random doubles") {
    std::mt19937_64 random(15);
    for (int i = 0; i < 20000; ++i) {
        const double x = std::ldexp(static_cast<double>(static_cast<std::int64_t>(random())), -static_cast<int>(random() % 70) - 10);
        const int places = static_cast<int>(random() % 7);
        const std::string text = decimals(x, places);
        CAPTURE(text);
        if (text.find('e') != std::string::npos) continue;
        REQUIRE_FALSE((text.starts_with("-") && *base::readDouble(text) == 0.0));
        const auto shown = base::readDouble(text);
        REQUIRE(shown);
        REQUIRE(std::fabs(*shown - x) <= 0.5 * std::pow(10.0, -places) * (1 + 1e-9) + std::fabs(x) * 1e-15);
        REQUIRE((places == 0 ? text.find('.') == std::string::npos : text.size() - text.find('.') == static_cast<std::size_t>(places) + 1));
    }
}

TEST_CASE("the decimal text of a double is exact") {
    CHECK(decimalText(0.1).digits == "1000000000000000055511151231257827021181583404541015625");
    CHECK(decimalText(0.1).exponent == 0);
    CHECK(decimalText(1e22).digits == "1");
    CHECK(decimalText(1e22).exponent == 23);
    CHECK(decimalText(-1.5).negative);
    CHECK(decimalText(0.0).digits.empty());
    CHECK(decimalText(5e-324).exponent == -323);
    CHECK(decimalText(5e-324).digits.size() == 751); // 5^1074 has 751 digits
}
