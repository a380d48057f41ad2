// SPDX-License-Identifier: MIT
#include "engine/trial/weigh.h"

#include <cmath>
#include <map>

#include "tests/engine/trial/bench.h"

using namespace spanwright;
using namespace spanwright::trial;
using namespace spanwright::trial::tests;

namespace {

std::map<std::string, Weight> weights(const Desk& desk, const ValueName& of) {
    const auto w = weigh(*desk.job, of, {});
    REQUIRE_MESSAGE(w, w.error().message);
    std::map<std::string, Weight> out;
    double last = HUGE_VAL;
    for (const Weight& x : w.value().weights) {
        CHECK(std::fabs(x.percent) <= last);
        last = std::fabs(x.percent);
        out[pathText(x.name)] = x;
    }
    return out;
}

/// One formula of x, at x = 2.
Weight of(const std::string& formula, const std::string& more = "") {
    const Desk desk("job S\nmember J1 = joist\n", "sheet joist\n" + more + "given x = 2\nderive y = " + formula + "\ncheck c: y <= 1e9\n");
    auto w = weights(desk, {"J1", "y"});
    REQUIRE(w.count("J1.x") == 1);
    return w["J1.x"];
}

} // namespace

TEST_CASE("powers of closed forms come out as themselves") {
    const Desk desk(kOneJoist);
    auto sag = weights(desk, {"J1", "sag"}); // w L^3/(b h^3 E)
    for (const auto& [name, power] : std::map<std::string, double>{{"J1.w", 1}, {"J1.L", 3}, {"J1.b", -1}, {"J1.h", -3}}) {
        CHECK(sag[name].exact);
        CHECK(sag[name].percent == doctest::Approx(power).epsilon(1e-12));
    }
    auto bending = weights(desk, {"J1", "bending"});
    CHECK(bending["J1.L"].percent == doctest::Approx(2).epsilon(1e-12));
    CHECK(bending["J1.h"].percent == doctest::Approx(-2).epsilon(1e-12));
    CHECK(weights(desk, {"J1", "M"})["J1.L"].slope == doctest::Approx(2 * 2000.0 * 4 / 8).epsilon(1e-12));
}

TEST_CASE("through links and the job's own givens") {
    const Desk desk(kCarried);
    auto w = weights(desk, {"P1", "squash"});
    CHECK(w["load"].percent == doctest::Approx(1).epsilon(1e-12));
    CHECK(w["load"].exact);
    CHECK(w["J1.L"].percent == doctest::Approx(1).epsilon(1e-12));
    CHECK(w["P1.N_R"].percent == doctest::Approx(-1).epsilon(1e-12));
    CHECK(w.count("J1.w") == 0); // linked: what it is linked to is weighed
    CHECK(w.count("P1.N") == 0);
}

TEST_CASE("derivatives against closed forms") {
    const auto slope = [](const std::string& f, const std::string& more = "") {
        const Weight w = of(f, more);
        CHECK(w.exact);
        return w.slope;
    };
    CHECK(slope("x^3 - 2*x + 1") == doctest::Approx(10));
    CHECK(slope("1/(x + 1)") == doctest::Approx(-1.0 / 9));
    CHECK(slope("sqrt(x)*exp(x/4)") == doctest::Approx(std::exp(0.5) * (0.5 / std::sqrt(2.0) + std::sqrt(2.0) / 4)));
    CHECK(slope("x^1.3") == doctest::Approx(1.3 * std::pow(2, 0.3)));
    CHECK(slope("ln(x) + log10(x) + cbrt(x)") == doctest::Approx(0.5 + 0.5 / std::log(10.0) + std::pow(2, -2.0 / 3) / 3));
    CHECK(slope("sin(x) - cos(x) + atan(x)") == doctest::Approx(std::cos(2) + std::sin(2) + 0.2));
    CHECK(slope("if(x > 1, x^2, 7)") == doctest::Approx(4));
    CHECK(slope("min(x^2, 5) + max(x, 1)") == doctest::Approx(5));
    CHECK(slope("min(x^2, 3) + x") == doctest::Approx(1));
    CHECK(slope("abs(1 - x)") == doctest::Approx(1));
    CHECK(slope("f(x) + f(2*x)", "define f(a) = a^2 + 1\n") == doctest::Approx(4 + 16));
    CHECK(slope("interpolate(t.v, x)", "table t by k\nk, v\n1, 10\n3, 40\n9, 0\nend\n") == doctest::Approx(15));
    CHECK(slope("sum(e.v*x^2, over e) + largest(e.v*x, over e)", "table t by k\nk, v\na, 1\nb, 5\nend\neach e in t\n") == doctest::Approx(24 + 5));
    // The largest moves by what its place holds; at a moving end by the end as well.
    CHECK(slope("largest(z*(x - z), z from 0 to 3)") == doctest::Approx(1).epsilon(1e-6)); // x^2/4
    CHECK(slope("largest(z^2, z from 0 to x)") == doctest::Approx(4));
    CHECK(slope("root(z^2 - x, z from 0 to 5)") == doctest::Approx(0.5 / std::sqrt(2.0)).epsilon(1e-7));
}

TEST_CASE("where there is no exact derivative differences are used and said") {
    const Weight w = of("integral(z^x, z from 0 to 1)"); // 1/(x + 1)
    CHECK_FALSE(w.exact);
    CHECK(w.slope == doctest::Approx(-1.0 / 9).epsilon(1e-7));
    const Weight corner = of("max(x, 2)");
    CHECK_FALSE(corner.exact);
    const Weight beam = of("number(B.M(x/2*1 m), kN*m)", "beam B from 0 m to 4 m\n support 0 m, 4 m\n load G line 2 (kN/m)\nend\n"); // 4z - z^2
    CHECK(beam.slope == doctest::Approx(1.0).epsilon(1e-6));
}

TEST_CASE("of a quantity that jumps beside the present value no weight is given") {
    // The second span counts from two on, and a hair more than two is that already.
    const std::string sheet = "sheet joist\ngiven n = 2\ngiven x = 3\ngiven k = 1.5\n"
                              "derive y = largest(if(n > 2, 10, 1)*x*z*(4 - z), z from 0 to 4)\n"
                              "derive v = largest((n + abs(k - 1.5))*x*z*(4 - z), z from 0 to 4)\ncheck c: y <= 1e9\n";
    const Desk desk("job S\nmember J1 = joist\n", sheet);
    const auto w = weigh(*desk.job, {"J1", "y"}, {});
    REQUIRE(w);
    REQUIRE(w.value().weights.size() == 1);
    CHECK(w.value().weights.front().name.name == "x");
    CHECK(w.value().weights.front().percent == doctest::Approx(1.0).epsilon(1e-9));
    REQUIRE(w.value().without.size() == 1);
    CHECK(w.value().without.front().name.name == "n");
    CHECK(w.value().without.front().jumps);
    CHECK(w.value().without.front().text.find("jumps") != std::string::npos);
    // A kink is no jump, and what is smooth is weighed, whole number or not.
    const auto smooth = weights(desk, {"J1", "v"});
    CHECK(smooth.at("J1.n").percent == doctest::Approx(1.0).epsilon(1e-6));
    CHECK(smooth.count("J1.k") == 1);
}

TEST_CASE("what cannot be weighed is refused or said") {
    const Desk desk(kOneJoist);
    CHECK_FALSE(weigh(*desk.job, {"J1", "nothing"}, {}));
    CHECK_FALSE(weigh(*desk.job, {"J9", "M"}, {}));
    const Desk unstated("job Shed\nmember J1 = joist\n");
    CHECK_FALSE(weigh(*unstated.job, {"J1", "bending"}, {}));
    const Desk zero("job S\nmember J1 = joist\n", "sheet joist\ngiven x = 0\ngiven z = 1\nderive y = x + z\ncheck c: y <= 2\n");
    const auto w = weigh(*zero.job, {"J1", "y"}, {});
    REQUIRE(w);
    REQUIRE(w.value().without.size() == 1);
    CHECK(w.value().without.front().name.name == "x");
}
