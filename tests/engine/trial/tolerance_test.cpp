// SPDX-License-Identifier: MIT
#include "engine/trial/tolerance.h"

#include <algorithm>
#include <cmath>
#include <random>

#include "tests/engine/trial/bench.h"

using namespace spanwright;
using namespace spanwright::trial;
using namespace spanwright::trial::tests;
using How = CheckTolerance::Worst;

namespace {

Tolerance of(const std::string& sheet, const ToleranceRequest& request = {}, const std::string& job = "job S\nmember J1 = joist\n") {
    const Desk desk(job, sheet);
    auto t = tolerance(*desk.job, 0, request, {});
    REQUIRE_MESSAGE(t, t.error().message);
    return std::move(t).value();
}

} // namespace

TEST_CASE("sampling against the exact distribution of a linear case") {
    // The sum of two evenly distributed values has a triangular distribution from 0.4 to 0.8 about 0.6.
    const Tolerance t = of("sheet joist\ngiven a = 0.2 +- 0.1\ngiven b = 0.4 +- 0.1\ncheck c: a + b <= 1\n", {.samples = 200'000, .seed = 7});
    REQUIRE(t.checks.size() == 1);
    const CheckTolerance& c = t.checks.front();
    const auto exact = [](double q) { return q <= 0.5 ? 0.4 + 0.2 * std::sqrt(2 * q) : 0.8 - 0.2 * std::sqrt(2 * (1 - q)); };
    REQUIRE(c.quantiles.size() == std::size(kQuantiles));
    for (std::size_t i = 0; i < c.quantiles.size(); ++i) CHECK(std::fabs(c.quantiles[i] - exact(kQuantiles[i])) < 0.002);
    CHECK(c.how == How::Proved);
    CHECK(c.bound == doctest::Approx(0.8).epsilon(1e-12));
    CHECK(c.worst == doctest::Approx(0.8).epsilon(1e-12)); // a corner
    CHECK(t.okay == t.samples);
    // The share that fails: beyond 0.7 lies an eighth.
    const Tolerance f = of("sheet joist\ngiven a = 0.2 +- 0.1\ngiven b = 0.4 +- 0.1\ncheck c: a + b <= 0.7\n", {.samples = 200'000, .seed = 7});
    CHECK(static_cast<double>(f.checks.front().failing) / 200'000 == doctest::Approx(0.125).epsilon(0.02));
    CHECK(f.checks.front().how == How::Fails);
    // Normally distributed: the sum of two has sqrt(2) times the deviation, half the tolerance each.
    const Tolerance n = of("sheet joist\ngiven a = 0.2 +- 0.1\ngiven b = 0.4 +- 0.1\ncheck c: a + b <= 1\n", {.samples = 200'000, .seed = 7, .normal = true});
    CHECK(n.checks.front().quantiles[2] == doctest::Approx(0.6).epsilon(0.002));
    CHECK(n.checks.front().quantiles[3] == doctest::Approx(0.6 + 1.6449 * 0.05 * std::sqrt(2.0)).epsilon(0.003));
}

TEST_CASE("the same seed gives the same, another seed another") {
    const std::string sheet = "sheet joist\ngiven a = 0.2 +- 0.1\ncheck c: a^2 <= 1\n";
    const Tolerance a = of(sheet, {.samples = 500, .seed = 3}), b = of(sheet, {.samples = 500, .seed = 3}), c = of(sheet, {.samples = 500, .seed = 4});
    CHECK(a.checks[0].quantiles == b.checks[0].quantiles);
    CHECK(a.checks[0].quantiles != c.checks[0].quantiles);
}

TEST_CASE("a proven worst case holds against brute force on a fine grid") {
    std::mt19937 random(11);
    const char* const kLeft[] = {
        "a*b - a", "a^2/b", "max(a, b)*a", "sqrt(a*b) + a/(a + b)", "if(a > b, a, b^2)", "abs(a - b) + a^1.3", "exp(a - b)", "interpolate(t.v, a)"};
    std::size_t proved = 0, failing = 0;
    for (const char* left : kLeft) {
        for (int round = 0; round < 4; ++round) {
            const double a = 1.0 + 0.1 * static_cast<double>(random() % 10), b = 1.0 + 0.1 * static_cast<double>(random() % 10);
            const double limit = 1.0 + 0.25 * static_cast<double>(random() % 12);
            const std::string sheet = "sheet joist\ntable t by k\nk, v\n0, 1\n1.5, 4\n3, 2\nend\ngiven a = " + std::to_string(a) +
                                      " +- 0.3\ngiven b = " + std::to_string(b) + " +- 0.2\ncheck c: " + left + " <= " + std::to_string(limit) + "\n";
            const Tolerance t = of(sheet, {.samples = 200});
            REQUIRE(t.checks.size() == 1);
            // Brute force.
            const Desk desk("job S\nmember J1 = joist\n", sheet);
            auto made = Trial::of(*desk.job, {{"J1", "a"}, {"J1", "b"}}, {{"J1", "c"}});
            REQUIRE(made);
            constexpr std::size_t n = 81;
            const Results r = made.value().run(n * n,
                                               [&](std::size_t first, std::size_t count, double* const* out) {
                                                   for (std::size_t i = 0; i < count; ++i) {
                                                       out[0][i] = a - 0.3 + 0.6 * static_cast<double>((first + i) / n) / (n - 1);
                                                       out[1][i] = b - 0.2 + 0.4 * static_cast<double>((first + i) % n) / (n - 1);
                                                   }
                                               },
                                               {});
            const double worst = *std::max_element(r.shown[0].begin(), r.shown[0].end());
            INFO(sheet);
            if (t.checks[0].how == How::Proved) {
                ++proved;
                CHECK(worst <= t.checks[0].bound);
                CHECK(t.checks[0].bound <= 1.0);
            } else if (worst > 1.0 + 1e-9) {
                ++failing;
            }
            if (worst > 1.001) CHECK(t.checks[0].how == How::Fails);
        }
    }
    CHECK(proved > 8);
    CHECK(failing > 5);
}

TEST_CASE("what cannot be proved is never called proved") {
    const Tolerance t = of("sheet joist\ngiven a = 1 +- 0.1\ncheck c: integral(z*a, z from 0 to 1) <= 1\n", {.samples = 300});
    REQUIRE(t.checks.size() == 1);
    CHECK(t.checks[0].how == How::NoneFound);
    CHECK(t.checks[0].places == 303); // two corners, the stated value and the samples
    REQUIRE(t.spreads.size() == 1);
    CHECK(t.spreads[0].passesAll);
    CHECK_FALSE(t.spreads[0].proved);
    // A division by zero inside the box.
    const Tolerance z = of("sheet joist\ngiven a = 0.05 +- 0.1\ncheck c: 0*a/(a - 0.05) <= 1\n", {.samples = 300});
    if (!z.checks.empty()) CHECK(z.checks[0].how != How::Proved);
    // Outside the limits of the row.
    const Tolerance l = of("sheet joist\ngiven a = 1 +- 0.1 from 0.95 to 2\ncheck c: a <= 2\n", {.samples = 300});
    REQUIRE(l.checks.size() == 1);
    CHECK(l.checks[0].how == How::NotComputed);
}

TEST_CASE("alone: how far each may go") {
    // Passes for b from 0.8 on.
    const Tolerance t = of("sheet joist\ngiven b = 1 +- 0.3\ngiven c = 1 +- 0.1\ncheck k: 0.8/b <= 1\ncheck m: c <= 2\n");
    REQUIRE(t.spreads.size() == 2);
    CHECK_FALSE(t.spreads[0].passesAll);
    CHECK(t.spreads[0].from == doctest::Approx(0.8).epsilon(1e-5));
    CHECK(t.spreads[0].text.find("starts to fail below b = 0.8: k") == 0);
    CHECK(t.spreads[1].passesAll);
    CHECK(t.spreads[1].proved);
    CHECK(t.spreads[1].text.find("passes for every c from 0.9 to 1.1") == 0);
}

TEST_CASE("a job states tolerances, in the unit or in per cent, and the mistakes in them are told") {
    const std::string sheet = "sheet joist\ngiven b = 60 mm\ncheck k: b <= 1 m\n";
    const Tolerance t = of(sheet, {}, "job S\nmember J1 = joist\nwith b = 58 mm +- 3 mm\n");
    REQUIRE(t.spreads.size() == 1);
    CHECK(t.spreads[0].now == 0.058);
    CHECK(t.spreads[0].half == 0.003);
    CHECK(of(sheet, {}, "job S\nmember J1 = joist\nwith b = 58 mm ± 10 %\n").spreads.at(0).half == doctest::Approx(0.0058));
    CHECK(of(sheet, {}, "job S\nmember J1 = joist\nwith b = 58 mm +- 0 mm\n").spreads.empty());
    CHECK(of(sheet, {}, "job S\nmember J1 = joist\n").spreads.empty());
    for (const char* wrong : {"58 mm +- 3 kN", "58 mm +-", "+- 3 mm", "58 mm +- -3 mm", "58 mm +- 3", "3 kN +- 3 mm"}) {
        const Desk desk(std::string("job S\nmember J1 = joist\nwith b = ") + wrong + "\n", sheet);
        INFO(wrong);
        CHECK(desk.job->verdict() == job::Verdict::NotComputed);
        CHECK(desk.job->diagnostics().size() == 1);
    }
}

TEST_CASE("quantiles lie between neighbours") {
    CHECK(quantileOf({1, 2, 3, 4, 5}, 0.5) == 3);
    CHECK(quantileOf({1, 2}, 0.25) == 1.25);
    CHECK(quantileOf({7}, 0.99) == 7);
    double sum = 0.0;
    for (std::uint64_t i = 0; i < 10'000; ++i) {
        const double v = evenNumber(5, i, 0);
        CHECK_UNARY(v > 0.0 && v < 1.0);
        sum += v;
    }
    CHECK(sum / 10'000 == doctest::Approx(0.5).epsilon(0.02));
}
