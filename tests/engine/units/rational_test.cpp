// SPDX-License-Identifier: MIT
#include <doctest/doctest.h>
#include <limits>
#include <random>

#include "engine/units/dimension.h"

using namespace spanwright::units;

TEST_CASE("fractions are kept in lowest terms with a positive denominator") {
    CHECK(Rational::of(2, 4) == Rational{1, 2});
    CHECK(Rational::of(1, -3) == Rational{-1, 3});
    CHECK(Rational::of(-6, -4) == Rational{3, 2});
    CHECK(Rational::of(0, 17) == Rational{0, 1});
    CHECK(Rational::of(3, 0) == Rational{3, 1});
    CHECK(Rational::of(7).text() == "7");
    CHECK(Rational::of(-1, 5).text() == "-1/5");
    CHECK(Rational::of(1, 5).toDouble() == 0.2);
    CHECK(Rational::of(4, 2).isWhole());
}

TEST_CASE("a decimal literal is the fraction it says") {
    CHECK(Rational::fromDecimal("0.2") == Rational{1, 5});
    CHECK(Rational::fromDecimal("2") == Rational{2, 1});
    CHECK(Rational::fromDecimal("-1.5") == Rational{-3, 2});
    CHECK(Rational::fromDecimal(".25") == Rational{1, 4});
    CHECK(Rational::fromDecimal("3.") == Rational{3, 1});
    CHECK(Rational::fromDecimal("0.333333333") == Rational{333333333, 1000000000});
    for (const char* bad : {"", ".", "-", "x", "1e3", "1/2", "0.1234567891", "99999999999", "3000000000", "999999999.999999999", "1.2.3"}) {
        CAPTURE(bad);
        CHECK_FALSE(Rational::fromDecimal(bad));
    }
}

TEST_CASE("arithmetic of fractions keeps the laws of a field on random fractions") {
    std::mt19937 random(5);
    const auto any = [&] { return Rational::of(static_cast<int>(random() % 41) - 20, static_cast<int>(random() % 12) + 1); };
    for (int i = 0; i < 5000; ++i) {
        const Rational a = any();
        const Rational b = any();
        const Rational c = any();
        REQUIRE(a + b == b + a);
        REQUIRE((a + b) + c == a + (b + c));
        REQUIRE(a * (b + c) == a * b + a * c);
        REQUIRE((a - b) + b == a);
        REQUIRE((a + b).toDouble() == doctest::Approx(a.toDouble() + b.toDouble()));
    }
}

TEST_CASE("what does not fit is clamped and never overflows") {
    const std::int64_t most = std::numeric_limits<std::int64_t>::max();
    const std::int64_t least = std::numeric_limits<std::int64_t>::min();
    const std::int32_t end = std::numeric_limits<std::int32_t>::max();
    CHECK(Rational::of(most) == Rational{end, 1});
    CHECK(Rational::of(least) == Rational{-end, 1});
    CHECK(Rational::of(1, least) == Rational{0, 1});
    CHECK(Rational::of(least, least).den > 0);
    CHECK(Rational{end, 1} * Rational{end, 1} == Rational{end, 1});
    CHECK(Rational{-end, 1} + Rational{-end, 1} == Rational{-end, 1});
    CHECK((Rational{1, end} + Rational{1, end - 1}).den > 0);
}
