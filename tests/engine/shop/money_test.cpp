// SPDX-License-Identifier: MIT
#include "engine/shop/money.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <numeric>
#include <random>

using namespace spanwright::shop;

TEST_CASE("amounts are rounded to the currency's smallest unit, half away from zero") {
    CHECK(toCents(1.005, "EUR") == 101); // a little less than it says as a double
    CHECK(toCents(1.0049, "EUR") == 100);
    CHECK(toCents(-1.005, "EUR") == -101);
    CHECK(toCents(2.5, "JPY") == 3);
    CHECK(toCents(0.0005, "KWD") == 1);
    CHECK(toCents(1e30, "EUR") == 9'000'000'000'000'000);
    CHECK(showMoney(123450, "EUR") == "1234.50 EUR");
    CHECK(showMoney(-7, "EUR") == "-0.07 EUR");
    CHECK(showMoney(7, "JPY") == "7 JPY");
    CHECK(showMoney(7, "KWD") == "0.007 KWD");
    // ISO 4217:2015 list one
    CHECK(minorDigits("ISK") == 0);
    CHECK(minorDigits("TND") == 3);
    CHECK(minorDigits("CLF") == 4);
    CHECK(minorDigits("USD") == 2);
}

TEST_CASE("shares add up to the amount: the largest remainders get the odd cents") {
    // 100 in three: 33.33 each; the first of equals gets the cent.
    CHECK(share(100, {1, 1, 1}) == std::vector<Cents>{34, 33, 33});
    // Hamilton's method: 10 seats by 4.5 : 3.2 : 2.3 are 4.5, 3.2, 2.3 -> 4 + 3 + 2, one left to .5.
    CHECK(share(10, {4.5, 3.2, 2.3}) == std::vector<Cents>{5, 3, 2});
    CHECK(share(-100, {1, 1, 1}) == std::vector<Cents>{-34, -33, -33});
    CHECK(share(7, {0, 0}) == std::vector<Cents>{4, 3});
    CHECK(share(7, {0, 1}) == std::vector<Cents>{0, 7});
    CHECK(share(7, {}).empty());
    std::mt19937 random(5);
    for (int round = 0; round < 2000; ++round) {
        std::vector<double> weights(1 + random() % 30);
        for (double& w : weights) w = static_cast<double>(random() % 1000) / 7.0;
        const Cents cents = static_cast<Cents>(random() % 1'000'000);
        const std::vector<Cents> parts = share(cents, weights);
        CHECK(std::accumulate(parts.begin(), parts.end(), Cents{0}) == cents);
        for (std::size_t i = 0; i < parts.size(); ++i) {
            if (weights[i] == 0.0 && std::accumulate(weights.begin(), weights.end(), 0.0) > 0.0) CHECK(parts[i] == 0);
        }
    }
}

TEST_CASE("shares at an end of a range add up to it and lie on the right side of those as stated") {
    // Quotas 1.4, 1.4, 0.2 of three and 1.87, 1.87, 0.27 of four: a single cent more by the largest remainders alone takes one away from the third.
    std::mt19937 random(20260504);
    for (int round = 0; round < 3000; ++round) {
        std::vector<double> weights(1 + random() % 6);
        for (double& w : weights) w = static_cast<double>(random() % 50);
        weights.front() += 1.0;
        const Cents stated = random() % 200, low = stated - std::min<Cents>(stated, random() % 4), high = stated + random() % 4;
        const std::vector<Cents> middle = share(stated, weights);
        const std::vector<Cents> under = shareBeside(low, weights, middle, true), over = shareBeside(high, weights, middle, false);
        CHECK(std::accumulate(under.begin(), under.end(), Cents{0}) == low);
        CHECK(std::accumulate(over.begin(), over.end(), Cents{0}) == high);
        for (std::size_t i = 0; i < weights.size(); ++i) {
            REQUIRE(under[i] >= 0);
            REQUIRE(under[i] <= middle[i]);
            REQUIRE(middle[i] <= over[i]);
        }
    }
    CHECK(showRange(18240, 20160, "EUR") == "182.40 to 201.60 EUR");
}

TEST_CASE("a date is a day of the calendar") {
    CHECK(isDate("2026-05-04"));
    CHECK(isDate("2024-02-29"));
    for (const char* bad : {"2026-02-29", "1900-02-29", "2026-13-01", "2026-00-10", "2026-5-4", "4 May 2026", "2026-05-32", "", "2026/05/04", "2026-05-0x"})
        CHECK_FALSE(isDate(bad));
    CHECK(isDate("2000-02-29"));
}
