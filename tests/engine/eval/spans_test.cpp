// SPDX-License-Identifier: MIT
// Ranges in sheets: kinks found and named, nesting, both paths, against Boost.Math.
#include <doctest/doctest.h>

#include <boost/math/quadrature/gauss_kronrod.hpp>
#include <cmath>
#include <cstring>

#include "worked_sheet.h"

using namespace spanwright;
using eval::test::WorkedSheet;

namespace {

double both(const std::string& rows, const std::string& name = "it") {
    WorkedSheet blocks(rows), scalars(rows, {}, {}, false);
    INFO(blocks.complaints());
    REQUIRE(blocks.complaints() == "");
    const double a = blocks.number(name), b = scalars.number(name);
    CHECK(std::memcmp(&a, &b, sizeof a) == 0);
    return a;
}

} // namespace

TEST_CASE("an integral along a tapered member") {
    const double v = both("given L [m] = 3.6 m\ngiven h_0 [m] = 0.2 m\ngiven h_1 [m] = 0.35 m\ndefine h(x [m]) = h_0 + (h_1 - h_0)*(1 - abs(2*x/L - 1))\n"
                          "derive it = integral(x*(L - x)/h(x)^3, x from 0 m to L)\n");
    using boost::math::quadrature::gauss_kronrod;
    const auto f = [](double x) { return x * (3.6 - x) / std::pow(0.2 + 0.15 * (1 - std::fabs(2 * x / 3.6 - 1)), 3); };
    const double expected = gauss_kronrod<double, 61>::integrate(f, 0.0, 1.8, 15, 1e-14) + gauss_kronrod<double, 61>::integrate(f, 1.8, 3.6, 15, 1e-14);
    CHECK(v == doctest::Approx(expected).epsilon(1e-11));
}

TEST_CASE("kinks that stand in the formula are found without being named") {
    // Each would need many halvings; found, two evaluations of few panels do.
    const auto count = [](const std::string& formula) {
        WorkedSheet s("given a = 0.123\nderive it = integral(" + formula + ", x from 0 to 1)\n");
        REQUIRE(s.complaints() == "");
        const auto before = s.program().counts().lanes;
        s.work();
        CHECK(s.said("it") == "known");
        return s.program().counts().lanes - before;
    };
    CHECK(count("abs(x - a)") == 90);
    CHECK(count("if(2*x < a + 1, 1, 3)") == 90);
    CHECK(count("max(x, 1 - x)") == 90);
    CHECK(count("x") == 45);
}

TEST_CASE("named kinks, zero length, nesting") {
    CHECK(both("given a = 0.25\nderive it = integral(if(x*x < a*a, 1, 3), x from 0 to a to 1)\n") == doctest::Approx(0.25 + 3 * 0.75).epsilon(1e-12));
    CHECK(both("given a = 2\nderive it = integral(1/x, x from a to a)\n") == 0.0);
    CHECK(both("given a = 2\nderive it = largest(1/x, x from a to a)\n") == 0.5);
    CHECK(both("given a = 2\nderive it = where_largest(1/x, x from a to a)\n") == 2.0);
    CHECK(both("given a = 2\nderive it = integral(integral(x*y, y from 0 to x), x from 0 to a)\n") == doctest::Approx(2.0).epsilon(1e-13)); // x^3/2 over [0, 2]
    CHECK(both("given a = 3\nderive it = largest(integral(cos(y), y from 0 to x), x from 0 to a)\n") == doctest::Approx(1.0).epsilon(1e-13));
    CHECK(both("given a = 3\nderive it = root(integral(2*y, y from 0 to x) - 4, x from 0 to a)\n") == doctest::Approx(2.0).epsilon(1e-13));
}

TEST_CASE("largest and where on both sides of a jump") {
    const std::string rows = "given P [kN] = 3 kN\ngiven a [m] = 1.2 m\ngiven L [m] = 4 m\ngiven w [kN/m] = 1 kN/m\n"
                             "derive R [kN] = (P*(L - a) + w*L*L/2)/L\ndefine V(x [m]) = R - w*x - if(x < a, 0 kN, P)\n";
    CHECK(both(rows + "derive it [kN] = smallest(V(x), x from 0 m to L)\n") == doctest::Approx(-2900.0).epsilon(1e-12));
    CHECK(both(rows + "derive it [m] = where_smallest(V(x), x from 0 m to L)\n") == 4.0);
    CHECK(both(rows + "derive it [kN] = largest(abs(V(x)), x from 0 m to a)\n") == doctest::Approx(4100.0).epsilon(1e-12));
    // just left of the load the shear is highest of what is left
    CHECK(both(rows + "derive it [kN] = largest(if(x < 0.6 m, 0 kN, V(x)), x from 0 m to L)\n") == doctest::Approx(3500.0).epsilon(1e-12));
}

TEST_CASE("a range in every case of an axis, and lanes that differ in branches") {
    const std::string rows = "each c in cs\nderive it = integral(if(x < c.k, sqrt(c.k - x), ln(x - c.k + 1)), x from 0 to 1)\ntable cs by n\nn, k\na, 0\nb, "
                             "0.25\nc, 0.5\nd, 0.9\ne, 1\nend\n";
    WorkedSheet blocks(rows), scalars(rows, {}, {}, false);
    REQUIRE(blocks.complaints() == "");
    REQUIRE(blocks.at("it").known());
    CHECK(blocks.at("it").many == scalars.at("it").many);
    const double k[] = {0, 0.25, 0.5, 0.9, 1};
    for (std::size_t i = 0; i < 5; ++i) {
        const double u = 1 - k[i];
        const double expected = 2.0 / 3.0 * std::pow(k[i], 1.5) + ((u + 1) * std::log(u + 1) - u);
        CHECK(blocks.at("it").many[i] == doctest::Approx(expected).epsilon(1e-9));
    }
}
