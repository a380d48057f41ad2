// SPDX-License-Identifier: MIT
// How a solved line answers: breaks, places outside, block forms.
#include <cfenv>
#include <cstring>

#include "tests/engine/beam/lines.h"

using namespace spanwright::beam;
using namespace spanwright::beam::lines;

namespace {

Solved example() {
    Line l = line(9, {simple(1), fixed(4), simple(8)},
                  {uniform(900, 0, 9, 0), eachSpan(trapezoid(500, 2500, 0.5, 8.5, 1)), eachSpan(point(2000, 6, 1)), couple(400, 2, 0)}, 1);
    l.constantStiffness = false;
    l.ei = varying([](double x) { return 4e5 + 3e4 * x; });
    l.ga = varying([](double x) { return 6e6 + 1e5 * x; });
    l.kinks = {5.0, 5.0, 12.0};
    return solved(l);
}

bool sameBits(double a, double b) { return std::memcmp(&a, &b, sizeof a) == 0; }

} // namespace

TEST_CASE("breaks are the places where something happens") {
    CHECK(example().breaks() == std::vector<double>{0, 0.5, 1, 2, 4, 5, 6, 8, 8.5, 9});
    CHECK(example().supportCount() == 3);
    CHECK(example().supportAt(1) == 4.0);
}

TEST_CASE("block forms give the scalar forms' bits") {
    const Solved s = example();
    std::vector<double> x{-1.0, 10.0, NAN};
    for (int i = 0; i <= 900; ++i) x.push_back(i / 100.0);
    std::vector<double> least(x.size()), most(x.size());
    const std::vector<double> factors{1.35, 1.5};
    const auto check = [&](auto scalar, auto block) {
        (s.*block)(x.data(), x.size(), factors, least.data(), most.data());
        std::size_t alike = 0;
        for (std::size_t i = 0; i < x.size(); ++i) {
            const Range3 r = (s.*scalar)(x[i], factors);
            alike += (std::isnan(r.least) ? std::isnan(least[i]) : sameBits(r.least, least[i]) && sameBits(r.most, most[i])) ? 1 : 0;
        }
        CHECK(alike == x.size());
    };
    check(&Solved::moment, &Solved::momentBlock);
    check(&Solved::shear, &Solved::shearBlock);
    check(&Solved::deflection, &Solved::deflectionBlock);
}

TEST_CASE("outside the line, unknown supports and missing factors") {
    const Solved s = example();
    const std::vector<double> factors{1.0, 1.0};
    for (const double x : {-1e-9, 9.0 + 1e-9, double(NAN), double(INFINITY)}) {
        CHECK(std::isnan(s.moment(x, factors).most));
        CHECK(std::isnan(s.shear(x, factors).least));
        CHECK(std::isnan(s.deflection(x, factors).most));
    }
    CHECK(s.shear(9.0 + 1e-12, factors).most == s.shear(9.0, factors).most);
    CHECK(s.deflection(-1e-12, factors).most == s.deflection(0.0, factors).most);
    CHECK(std::isnan(s.reaction(3, factors).most));
    CHECK(std::isnan(s.supportAt(3)));
    CHECK(std::isnan(s.moment(1, {1.0}).most));
    CHECK(std::isnan(s.reaction(0, {}).most));
    const Solved nothing;
    CHECK(std::isnan(nothing.moment(0, {}).most));
    CHECK(std::isnan(nothing.reaction(0, {}).most));
    CHECK(nothing.supportCount() == 0);
    CHECK(nothing.breaks().empty());
    CHECK(!nothing.hasDeflection());
}

TEST_CASE("a copy outlives the line it was solved from") {
    Solved kept;
    {
        const Solved s = example();
        kept = s;
    }
    CHECK(kept.moment(3.3, {1, 1}).most == example().moment(3.3, {1, 1}).most);
}

TEST_CASE("deflection at a support is the settlement, to the last bit") {
    Line l = line(9, {simple(1, 0.001), simple(4.3, 0.0), simple(8)}, {uniform(900, 0, 9)}, 3e5, 5e6);
    const Solved s = solved(l);
    CHECK(sagAt(s, 1) == 0.001);
    CHECK(sagAt(s, 4.3) == 0.0);
    CHECK(sagAt(s, 8) == 0.0);
    const Solved plain = solved(line(4, {simple(0), simple(4)}, {uniform(900, 0, 3)}, 3e5));
    CHECK(sagAt(plain, 4) == 0.0);
    CHECK(momentAt(plain, 0) == 0.0);
    CHECK(momentAt(plain, 4) == 0.0);
}

TEST_CASE("solving and asking raise no floating-point flag") {
    std::feclearexcept(FE_ALL_EXCEPT);
    const Solved s = example();
    const std::vector<double> factors{1.0, 1.0};
    double sum = 0.0;
    for (int i = 0; i <= 90; ++i) sum += s.deflection(i / 10.0, factors).most + s.moment(i / 10.0, factors).most + s.shear(i / 10.0, factors).least;
    const int raised = std::fetestexcept(FE_INVALID | FE_DIVBYZERO | FE_OVERFLOW);
    CHECK(raised == 0);
    CHECK(std::isfinite(sum));
}
