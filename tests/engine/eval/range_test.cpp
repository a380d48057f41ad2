// SPDX-License-Identifier: MIT
// The numerics of ranges against the adaptive routines of Boost.Math and against closed forms.
#include "engine/eval/range.h"

#include <doctest/doctest.h>

#include <boost/math/quadrature/gauss_kronrod.hpp>
#include <boost/math/quadrature/tanh_sinh.hpp>
#include <boost/math/tools/minima.hpp>
#include <boost/math/tools/roots.hpp>
#include <cmath>
#include <numbers>
#include <random>

using namespace spanwright::eval;

namespace {

template <class F> Body bodyOf(F f, std::size_t* count = nullptr) {
    return [f, count](const double* x, std::size_t n, double* out) {
        for (std::size_t i = 0; i < n; ++i) out[i] = f(x[i]);
        if (count != nullptr) *count += n;
        return true;
    };
}

constexpr double kPi = std::numbers::pi;

} // namespace

TEST_CASE("integrals equal those of Gauss-Kronrod and tanh-sinh") {
    using boost::math::quadrature::gauss_kronrod;
    const auto compare = [](auto f, double a, double b) {
        const RangeResult r = integrate(bodyOf(f), {a, b});
        REQUIRE(r.state == RangeResult::State::Ok);
        const double kronrod = gauss_kronrod<double, 61>::integrate(f, a, b, 15, 1e-14);
        boost::math::quadrature::tanh_sinh<double> ends;
        const double sinh = ends.integrate(f, a, b);
        CHECK(r.value == doctest::Approx(kronrod).epsilon(1e-10));
        CHECK(r.value == doctest::Approx(sinh).epsilon(1e-10));
    };
    compare([](double x) { return std::exp(-x) * std::sin(3 * x); }, 0.0, 4.0);
    compare([](double x) { return 1.0 / (1.0 + 25.0 * x * x); }, -1.0, 1.0);
    compare([](double x) { return std::cos(40.0 * x); }, 0.0, 1.3);
    compare([](double x) { return x * (3.6 - x) / std::pow(0.2 + 0.05 * x, 3); }, 0.0, 3.6);
    compare([](double x) { return std::log(1.0 + x); }, 0.0, 2.0);
}

TEST_CASE("integrals of polynomials are exact to rounding") {
    for (int power = 0; power <= 29; ++power) {
        const RangeResult r = integrate(bodyOf([power](double x) { return std::pow(x, power); }), {0.0, 1.0});
        CHECK(r.value == doctest::Approx(1.0 / (power + 1)).epsilon(1e-13));
    }
}

TEST_CASE("kinks and jumps: named they cost nothing, unnamed they are found by halving") {
    std::size_t named = 0, unnamed = 0;
    const auto kinked = [](double x) { return std::fabs(x - 0.3); };
    const RangeResult a = integrate(bodyOf(kinked, &named), {0.0, 0.3, 1.0});
    const RangeResult b = integrate(bodyOf(kinked, &unnamed), {0.0, 1.0});
    const double exact = 0.5 * (0.09 + 0.49);
    CHECK(a.value == doctest::Approx(exact).epsilon(1e-14));
    REQUIRE(b.state == RangeResult::State::Ok);
    CHECK(b.value == doctest::Approx(exact).epsilon(1e-10));
    CHECK(named == 90);
    CHECK(unnamed > named);
    const RangeResult jump = integrate(bodyOf([](double x) { return x < 1.0 / 3.0 ? 1.0 : 5.0; }), {0.0, 1.0});
    REQUIRE(jump.state == RangeResult::State::Ok);
    CHECK(jump.value == doctest::Approx(1.0 / 3.0 + 5.0 * 2.0 / 3.0).epsilon(1e-10));
}

TEST_CASE("an integral that cancels settles, one without a value is reported") {
    const RangeResult zero = integrate(bodyOf([](double x) { return std::sin(x); }), {0.0, 2.0 * kPi});
    REQUIRE(zero.state == RangeResult::State::Ok);
    CHECK(std::fabs(zero.value) < 1e-12);
    CHECK(integrate(bodyOf([](double) { return 0.0; }), {0.0, 1.0}).value == 0.0);
    CHECK(integrate(bodyOf([](double x) { return 1.0 / x; }), {0.0, 1.0}).state == RangeResult::State::Unsettled);
    CHECK(integrate(bodyOf([](double x) { return std::sin(1.0 / x) / x; }), {0.0, 1.0}).state == RangeResult::State::Unsettled);
    const Body never = [](const double*, std::size_t, double*) { return false; };
    CHECK(integrate(never, {0.0, 1.0}).state == RangeResult::State::BodyFailed);
    CHECK(searchLargest(never, {0.0, 1.0}, 1.0).state == RangeResult::State::BodyFailed);
    CHECK(findRoot(never, {0.0, 1.0}).state == RangeResult::State::BodyFailed);
}

TEST_CASE("the largest equals Brent's, and its place") {
    std::mt19937 random(11);
    std::uniform_real_distribution<double> some(0.5, 6.0);
    for (int i = 0; i < 60; ++i) {
        const double p = some(random), q = some(random);
        const auto f = [p, q](double x) { return x * std::exp(-x * p) + 0.1 * std::sin(q * x); };
        const RangeResult r = searchLargest(bodyOf(f), {0.0, 1.0 / p + 0.4}, 1.0);
        // Brent from a coarse scan: his interval must hold one maximum only.
        double best = 0.0;
        for (int k = 1; k < 1000; ++k) {
            const double x = (1.0 / p + 0.4) * k / 1000.0;
            if (f(x) > f(best)) best = x;
        }
        const double step = (1.0 / p + 0.4) / 1000.0;
        const auto [x, negative] =
            boost::math::tools::brent_find_minima([&](double at) { return -f(at); }, std::max(0.0, best - step), std::min(1.0 / p + 0.4, best + step), 52);
        CHECK(r.value == doctest::Approx(-negative).epsilon(1e-12));
        CHECK(r.value >= -negative * (1 - 1e-14));
        CHECK(r.place == doctest::Approx(x).epsilon(1e-6));
        const RangeResult s = searchLargest(bodyOf([&](double at) { return -f(at); }), {0.0, 1.0 / p + 0.4}, -1.0);
        CHECK(s.value == -r.value);
        CHECK(s.place == r.place);
    }
}

TEST_CASE("ends, plateaus, equals, jumps") {
    // at an end, exactly
    const RangeResult end = searchLargest(bodyOf([](double x) { return 2.0 * x; }), {0.0, 3.0}, 1.0);
    CHECK(end.value == 6.0);
    CHECK(end.place == 3.0);
    // the same everywhere: the first place
    const RangeResult flat = searchLargest(bodyOf([](double) { return 4.0; }), {1.0, 2.0}, 1.0);
    CHECK(flat.value == 4.0);
    CHECK(flat.place == 1.0);
    // two equal tops: the first, though rounding may lift the second
    const RangeResult equals = searchLargest(bodyOf([](double x) { return std::sin(x) * std::sin(x); }), {0.0, 2.0 * kPi}, 1.0);
    CHECK(equals.value == doctest::Approx(1.0).epsilon(1e-15));
    CHECK(equals.place == doctest::Approx(kPi / 2).epsilon(1e-6));
    // the edge of a plateau
    const RangeResult plateau = searchLargest(bodyOf([](double x) { return std::min(x, 0.7123); }), {0.0, 1.0}, 1.0);
    CHECK(plateau.value == 0.7123);
    CHECK(plateau.place == doctest::Approx(0.7123).epsilon(1e-9));
    // a jump at a named kink: both sides count
    const auto saw = [](double x) { return x < 1.0 ? x : x - 1.0; };
    const RangeResult before = searchLargest(bodyOf(saw), {0.0, 1.0, 1.5}, 1.0);
    CHECK(before.value == doctest::Approx(1.0).epsilon(1e-15));
    CHECK(before.place == doctest::Approx(1.0).epsilon(1e-15));
    // a kink between two samples
    const RangeResult kink = searchLargest(bodyOf([](double x) { return -std::fabs(x - 0.123456789); }), {0.0, 1.0}, 1.0);
    CHECK(kink.place == doctest::Approx(0.123456789).epsilon(1e-12));
}

TEST_CASE("a maximum far below is left where it is smooth, and looked into where it is not") {
    // A hump of 1, and smaller ones that need no looking into: samples, and grids of one bracket.
    std::size_t count = 0;
    const auto humps = [](double x) { return x < 1.0 ? std::sin(kPi * x) : 0.2 + 0.1 * std::sin(4.0 * kPi * x); };
    const RangeResult hump = searchLargest(bodyOf(humps, &count), {0.0, 1.0, 3.0}, 1.0);
    CHECK(hump.value == 1.0);
    CHECK(hump.place == doctest::Approx(0.5).epsilon(1e-6));
    CHECK(count < 2 * 132 + 8 * 16);
    // Where samples see no more than the flank of something steep, it is found, wherever between them its summit is.
    for (int k = 0; k < 40; ++k) {
        const double at = 2.0 + 0.0004 * k, width = 0.004;
        const auto spike = [&](double x) { return humps(x) + 5.0 * std::exp(-std::pow((x - at) / width, 2)); };
        CHECK(searchLargest(bodyOf(spike), {0.0, 1.0, 3.0}, 1.0).value == doctest::Approx(humps(at) + 5.0).epsilon(1e-3));
        const auto peak = [&](double x) { return humps(x) + std::max(0.0, 5.0 - std::fabs(x - at) * 600.0); };
        CHECK(searchLargest(bodyOf(peak), {0.0, 1.0, 3.0}, 1.0).value == doctest::Approx(humps(at) + 5.0).epsilon(1e-3));
    }
}

TEST_CASE("roots equal those of bisection, and the first comes first") {
    const auto f = [](double x) { return std::cos(x) - 0.3 * x; };
    const RangeResult r = findRoot(bodyOf(f), {0.0, 5.0});
    REQUIRE(r.state == RangeResult::State::Ok);
    const auto ends = boost::math::tools::bisect(f, 0.0, 3.0, [](double a, double b) { return b - a < 1e-15; });
    CHECK(r.place == doctest::Approx(0.5 * (ends.first + ends.second)).epsilon(1e-14));
    const RangeResult first = findRoot(bodyOf([](double x) { return std::sin(x); }), {0.5, 20.0});
    CHECK(first.place == doctest::Approx(kPi).epsilon(1e-14));
    CHECK(findRoot(bodyOf([](double x) { return x; }), {0.0, 1.0}).place == 0.0);
    CHECK(findRoot(bodyOf([](double x) { return x - 1.0; }), {0.0, 1.0}).place == 1.0);
    CHECK(findRoot(bodyOf([](double x) { return x * x - 2.0; }), {0.0, 4.0}).place == doctest::Approx(std::sqrt(2.0)).epsilon(1e-14));
}

TEST_CASE("no root, or a jump in its stead") {
    const RangeResult none = findRoot(bodyOf([](double x) { return x * x + 1.0; }), {-1.0, 1.0});
    CHECK(none.state == RangeResult::State::NoRoot);
    CHECK(none.least == doctest::Approx(1.0));
    CHECK(none.most == 2.0);
    const RangeResult jump = findRoot(bodyOf([](double x) { return x < 0.37 ? -1.0 : 1.0; }), {0.0, 1.0});
    CHECK(jump.state == RangeResult::State::Jump);
    CHECK(jump.place == doctest::Approx(0.37).epsilon(1e-12));
    // behind a jump there may be a root
    const RangeResult behind = findRoot(bodyOf([](double x) { return x < 0.37 ? -1.0 : 2.0 - 3.0 * x; }), {0.0, 1.0});
    REQUIRE(behind.state == RangeResult::State::Ok);
    CHECK(behind.place == doctest::Approx(2.0 / 3.0).epsilon(1e-13));
}
