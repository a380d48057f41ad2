// SPDX-License-Identifier: MIT
#include "engine/units/dimension.h"

#include <doctest/doctest.h>
#include <random>

using namespace spanwright::units;

namespace {

Dimension any(std::mt19937& random) {
    Dimension d;
    for (int b = 0; b < kBaseCount; ++b) {
        if (random() % 2 == 0)
            d = d.times(Dimension::of(static_cast<Base>(b), Rational::of(static_cast<int>(random() % 9) - 4, static_cast<int>(random() % 3) + 1)));
    }
    for (const char* code : {"EUR", "USD", "CHF"}) {
        if (random() % 3 == 0) d = d.times(Dimension::currency(code, Rational::of(static_cast<int>(random() % 5) - 2)));
    }
    return d;
}

} // namespace

TEST_CASE("dimensions form a group under multiplication, with rational powers") {
    std::mt19937 random(23);
    const Dimension one;
    for (int i = 0; i < 3000; ++i) {
        const Dimension a = any(random);
        const Dimension b = any(random);
        const Dimension c = any(random);
        REQUIRE(a.times(b) == b.times(a));
        REQUIRE(a.times(b).times(c) == a.times(b.times(c)));
        REQUIRE(a.times(one) == a);
        REQUIRE(a.over(a) == one);
        REQUIRE(a.over(a).isNumber());
        REQUIRE(a.times(b).over(b) == a);
        REQUIRE(one.over(a) == a.toThe({-1, 1}));
        REQUIRE(a.toThe({2, 1}) == a.times(a));
        REQUIRE(a.toThe({1, 2}).toThe({2, 1}) == a);
        REQUIRE(a.toThe({0, 1}) == one);
        REQUIRE(a.times(b).toThe({1, 3}) == a.toThe({1, 3}).times(b.toThe({1, 3})));
    }
}

TEST_CASE("currencies are apart from one another, sorted, and vanish at power zero") {
    const Dimension price = Dimension::currency("USD").times(Dimension::currency("EUR")).over(Dimension::of(Base::Length));
    REQUIRE(price.currencies().size() == 2);
    CHECK(price.currencies()[0].first == "EUR");
    CHECK(price.over(Dimension::currency("EUR")).currencies().size() == 1);
    CHECK(Dimension::currency("EUR", {0, 1}).isNumber());
    CHECK_FALSE(Dimension::currency("EUR").isNumber());
}

TEST_CASE("dimensions as text") {
    const Dimension length = Dimension::of(Base::Length);
    const Dimension force = Dimension::of(Base::Mass).times(length).over(Dimension::of(Base::Time, {2, 1}));
    CHECK(Dimension().text() == "1");
    CHECK(force.text() == "kg·m/s²");
    CHECK(force.times(length).text() == "kg·m²/s²");
    CHECK(force.over(length).over(length).text() == "kg/(m·s²)");
    CHECK(Dimension().over(length).text() == "1/m");
    CHECK(length.toThe({1, 2}).text() == "m^(1/2)");
    CHECK(length.toThe({-1, 2}).text() == "1/m^(1/2)");
    CHECK(length.toThe({12, 1}).text() == "m¹²");
    CHECK(Dimension::currency("EUR").over(length.toThe({3, 1})).text() == "EUR/m³");
    CHECK(Dimension::of(Base::Current).times(Dimension::of(Base::Temperature)).times(Dimension::of(Base::Amount)).times(Dimension::of(Base::Light)).text() ==
          "A·K·mol·cd");
}
