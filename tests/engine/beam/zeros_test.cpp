// SPDX-License-Identifier: MIT
#include "engine/beam/zeros.h"

#include <algorithm>
#include <cmath>
#include <doctest/doctest.h>
#include <random>

using namespace spanwright::beam;

namespace {

std::vector<double> zerosOf(const std::vector<double>& p, double from = 0.0, double to = 1.0) {
    Few<double> found;
    addZeros(p, from, to, found);
    std::vector<double> zeros(found.begin(), found.end());
    std::sort(zeros.begin(), zeros.end());
    return zeros;
}

/// The product of t - zero, times a number.
std::vector<double> product(const std::vector<double>& zeros, double times) {
    std::vector<double> p{times};
    for (const double z : zeros) {
        p.push_back(0.0);
        for (std::size_t k = p.size() - 1; k > 0; --k) p[k] = p[k - 1] - z * p[k];
        p[0] *= -z;
    }
    return p;
}

} // namespace

TEST_CASE("zeros of products of lines, of up to five, those outside left out") {
    std::mt19937 random(5);
    const auto some = [&](double low, double high) { return low + (high - low) * static_cast<double>(random() % 100'000) / 100'000.0; };
    for (int round = 0; round < 3000; ++round) {
        std::vector<double> zeros;
        const std::size_t count = 1 + random() % 5;
        while (zeros.size() < count) {
            const double z = some(-0.6, 1.6);
            // Apart from one another and from the ends, so that each is known to about ten digits.
            if (std::any_of(zeros.begin(), zeros.end(), [&](double o) { return std::fabs(o - z) < 0.02; }) || std::fabs(z) < 0.01 || std::fabs(z - 1.0) < 0.01)
                continue;
            zeros.push_back(z);
        }
        std::sort(zeros.begin(), zeros.end());
        std::vector<double> inside;
        for (const double z : zeros)
            if (z > 0.0 && z < 1.0) inside.push_back(z);
        const std::vector<double> found = zerosOf(product(zeros, some(0.1, 10.0) * (random() % 2 == 0 ? -1e-3 : 1e6)));
        REQUIRE(found.size() == inside.size());
        for (std::size_t i = 0; i < found.size(); ++i) CHECK(std::fabs(found[i] - inside[i]) < 1e-9);
    }
}

TEST_CASE("zeros that meet, none at all, and polynomials that are less than they look") {
    CHECK(zerosOf({0.0, 0.0, 0.0, 0.0}).empty());
    CHECK(zerosOf({1.0}).empty());
    CHECK(zerosOf({1.0, 0.0, 1.0, 0.0, 1.0}).empty());
    CHECK(zerosOf({-0.5, 1.0}) == std::vector<double>{0.5});
    CHECK(zerosOf({-0.5, 1.0, 0.0, 0.0, 0.0, 1e-18}) == std::vector<double>{0.5}); // what is lost in rounding counts for nothing
    const std::vector<double> triple = zerosOf(product({0.25, 0.25, 0.25}, 8.0));
    REQUIRE(triple.size() == 1);
    CHECK(std::fabs(triple.front() - 0.25) < 1e-5);
    // Touched, not crossed: found or not, there is none of another kind.
    for (const double z : zerosOf(product({0.25, 0.25, 0.75}, 1.0))) CHECK((std::fabs(z - 0.75) < 1e-9 || std::fabs(z - 0.25) < 1e-6));
    // An end that is one, and a part of the range only.
    CHECK(zerosOf(product({0.2, 0.4, 0.6, 0.8}, 1.0), 0.3, 0.7).size() == 2);
    const std::vector<double> sharp = zerosOf({-1e-9, 1.0, 0.0, 1e5}); // steep behind a slow beginning
    REQUIRE(sharp.size() == 1);
    CHECK(sharp.front() == doctest::Approx(1e-9));
}
