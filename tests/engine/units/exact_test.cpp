// SPDX-License-Identifier: MIT
#include "engine/units/exact.h"

#include <bit>
#include <cmath>
#include <cstdint>
#include <doctest/doctest.h>
#include <limits>
#include <random>

#include "engine/base/text.h"

using namespace spanwright;
using namespace spanwright::units;

TEST_CASE("a double made exact is the same double, subnormal and large ones too") {
    std::mt19937_64 random(1);
    for (int i = 0; i < 20000; ++i) {
        const double x = std::bit_cast<double>(random());
        if (!std::isfinite(x)) continue;
        REQUIRE(nearestDouble(exactly(x)) == x);
    }
    for (const double x :
         {0.0, 1.0, std::numeric_limits<double>::min(), std::numeric_limits<double>::denorm_min(), std::numeric_limits<double>::max(), 1e-310, -4.9e-324}) {
        CHECK(nearestDouble(exactly(x)) == x);
    }
}

TEST_CASE("decimal numbers round as the standard library rounds them") {
    std::mt19937_64 random(2);
    for (int i = 0; i < 20000; ++i) {
        std::string text = random() % 2 == 0 ? "-" : "";
        for (auto n = random() % 25 + 1; n > 0; --n) text += static_cast<char>('0' + random() % 10);
        text += ".";
        for (auto n = random() % 25; n > 0; --n) text += static_cast<char>('0' + random() % 10);
        text += "e" + std::to_string(static_cast<int>(random() % 640) - 345);
        const auto theirs = base::readDouble(text);
        const auto ours = exactDecimal(text);
        if (!ours || !theirs) continue; // beyond a double, or just out of what is tried
        CAPTURE(text);
        REQUIRE(nearestDouble(*ours) == *theirs);
    }
}

TEST_CASE("halves round to even, overflow is infinite, underflow is zero") {
    const Exact half = Exact(1) / 2;
    const Exact big = wholePower(2, 53);
    CHECK(nearestDouble(big + 1) == 9007199254740992.0);
    CHECK(nearestDouble(big + 3) == 9007199254740996.0);
    CHECK(nearestDouble(big + 1 + half / 1000) == 9007199254740994.0);
    CHECK(nearestDouble(wholePower(10, 400)) == std::numeric_limits<double>::infinity());
    CHECK(nearestDouble(-wholePower(10, 400)) == -std::numeric_limits<double>::infinity());
    CHECK(nearestDouble(wholePower(10, -400)) == 0.0);
    CHECK(nearestDouble(wholePower(2, -1075)) == 0.0);
    CHECK(nearestDouble(wholePower(2, -1075) * 3 / 2) == std::numeric_limits<double>::denorm_min());
    CHECK(nearestWhole(Exact(5, 2)) == 3);
    CHECK(nearestWhole(Exact(-5, 2)) == -3);
    CHECK(nearestWhole(Exact(7, 3)) == 2);
}

TEST_CASE("what is no plain decimal is refused") {
    DecimalFault why{};
    for (const char* bad : {"", ".", "-", "1e", "e1", "1,2", "0x1", "inf", "1 ", " 1", "1e+-2", "--1", "1.2.3"}) {
        CAPTURE(bad);
        CHECK_FALSE(exactDecimal(bad, &why));
        CHECK(why == DecimalFault::NotANumber);
    }
    CHECK_FALSE(exactDecimal("1e401", &why));
    CHECK(why == DecimalFault::TooLarge);
    CHECK_FALSE(exactDecimal("1e-99999999999", &why));
    CHECK(why == DecimalFault::TooLarge);
    CHECK(exactDecimal("0e99999999999", &why) == Exact(0));
    CHECK(exactDecimal("010", &why) == Exact(10)); // decimal, not octal
}

TEST_CASE("the quick way for plain numbers agrees with the exact way to the bit") {
    std::mt19937_64 random(3);
    const std::vector<Unit> units{Unit{},         *findUnit("mm"),  *findUnit("in"),  *findUnit("ft"),           *findUnit("kN"),
                                  *findUnit("%"), *findUnit("lbf"), *findUnit("psi"), readUnit("N/mm^2").value()};
    int quick = 0;
    for (int i = 0; i < 40000; ++i) {
        std::string text = random() % 3 == 0 ? "-" : "";
        text += std::to_string(random() % 100000);
        if (random() % 2 == 0) text += "." + std::to_string(random() % 1000);
        const Unit& unit = units[random() % units.size()];
        const auto plain = plainToSi(text, unit);
        if (!plain) continue;
        ++quick;
        CAPTURE(text);
        CAPTURE(unit.ascii);
        REQUIRE(*plain == nearestDouble(*exactDecimal(text) * exactFactor(unit)));
    }
    CHECK(quick > 20000);
}

TEST_CASE("to SI and back, from numbers") {
    const Unit mm = *findUnit("mm");
    CHECK(toSi(1001.0, mm) == 1.001);
    CHECK(fromSi(3.6, mm) == 3600.0);
    CHECK(fromSi(0.1397, *findUnit("in")) == 5.5);
    CHECK(toSi("5.5", *findUnit("in")) == 0.1397);
    CHECK_FALSE(toSi("5,5", mm));
    CHECK_FALSE(toSi("1e999", mm));
    CHECK(std::isinf(toSi(std::numeric_limits<double>::infinity(), mm)));
    CHECK(std::isnan(fromSi(std::nan(""), *findUnit("in"))));
    std::mt19937 random(4);
    for (int i = 0; i < 5000; ++i) {
        const double inches = static_cast<double>(random() % 100000) / 16.0;
        REQUIRE(fromSi(toSi(inches, *findUnit("in")), *findUnit("in")) == doctest::Approx(inches).epsilon(1e-15));
    }
}
