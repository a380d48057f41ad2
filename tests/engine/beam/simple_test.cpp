// SPDX-License-Identifier: MIT
// One span under line loads from end to end goes its own short way: against the long one, which a named kink of no consequence asks for.
#include <cmath>
#include <random>

#include <doctest/doctest.h>

#include "tests/engine/beam/lines.h"

using namespace spanwright::beam;
using namespace spanwright::beam::lines;

namespace {

Line span(double from, double to) {
    Line line;
    line.from = from;
    line.to = to;
    line.supports = {{from, false, 0.0}, {to, false, 0.0}};
    line.constantStiffness = true;
    line.actionCount = 3;
    return line;
}

void close(double a, double b, double size, double tolerance = 1e-12) { CHECK(std::fabs(a - b) <= tolerance * size); }

void same(const Range3& a, const Range3& b, double size) {
    close(a.least, b.least, size);
    close(a.most, b.most, size);
}

} // namespace

TEST_CASE("the short way through one span comes to what the long one does") {
    std::mt19937 random(20260504);
    const auto between = [&](double a, double b) { return a + (b - a) * std::uniform_real_distribution<double>()(random); };
    for (int round = 0; round < 200; ++round) {
        const double from = between(-3.0, 3.0), to = from + between(0.3, 12.0);
        Line line = span(from, to);
        line.ei = constant(between(1e4, 1e7));
        if (round % 2 == 0) line.ga = constant(between(1e5, 1e7));
        const int loads = 1 + round % 4;
        for (int i = 0; i < loads; ++i) {
            Load l;
            l.action = static_cast<std::uint32_t>(random() % 3);
            l.size = between(-500.0, 2000.0);
            l.sizeEnd = round % 3 == 0 ? between(-500.0, 2000.0) : l.size;
            l.from = from;
            l.to = to;
            l.eachSpan = random() % 2 == 0;
            line.loads.push_back(l);
        }
        Line other = line;
        other.kinks = {from + 0.37 * (to - from)};
        const auto fast = solve(line), slow = solve(other);
        REQUIRE(fast);
        REQUIRE(slow);
        CHECK(fast.value().breaks() == std::vector<double>{from, to}); // so it is one cell
        CHECK(slow.value().breaks().size() == 3);
        CHECK(fast.value().residual() <= 1e-15);
        CHECK(fast.value().hasChoices() == slow.value().hasChoices());
        CHECK(fast.value().accuracy() == slow.value().accuracy());
        const std::vector<double> factors{1.35, 1.5, round % 5 == 0 ? 0.0 : 0.9};
        double moment = 0.0, shear = 0.0, sag = 0.0;
        for (int i = 0; i <= 40; ++i) {
            const double x = i == 40 ? to : from + (to - from) * i / 40.0;
            for (const double v : {slow.value().moment(x, factors).least, slow.value().moment(x, factors).most}) moment = std::max(moment, std::fabs(v));
            for (const double v : {slow.value().shear(x, factors).least, slow.value().shear(x, factors).most}) shear = std::max(shear, std::fabs(v));
            for (const double v : {slow.value().deflection(x, factors).least, slow.value().deflection(x, factors).most}) sag = std::max(sag, std::fabs(v));
        }
        // Loads may nearly cancel each other: what they are made of is the measure.
        double size = 0.0;
        for (const Load& l : line.loads) size += 1.5 * (std::fabs(l.size) + std::fabs(l.sizeEnd));
        shear = std::max(shear, 0.2 * size * (to - from));
        moment = std::max(moment, 0.05 * size * (to - from) * (to - from));
        for (int i = 0; i <= 40; ++i) {
            const double x = i == 40 ? to : from + (to - from) * i / 40.0;
            INFO(round << " at " << x);
            same(fast.value().moment(x, factors), slow.value().moment(x, factors), moment);
            same(fast.value().shear(x, factors), slow.value().shear(x, factors), shear);
            close(fast.value().deflection(x, factors).most, slow.value().deflection(x, factors).most, sag, 1e-10);
            close(fast.value().deflection(x, factors).least, slow.value().deflection(x, factors).least, sag, 1e-10);
        }
        for (std::size_t s = 0; s < 2; ++s) {
            same(fast.value().reaction(s, factors), slow.value().reaction(s, factors), shear);
            CHECK(fast.value().supportMoment(s, factors).most == 0.0);
        }
        CHECK(fast.value().deflection(from, factors).most == 0.0);
        CHECK(fast.value().deflection(to, factors).most == 0.0);
    }
}

TEST_CASE("what is amiss with one span is told as ever") {
    Line line = span(0.0, 4.0);
    line.loads = {{Load::Shape::Line, 0, 1000.0, 1000.0, 0.0, 4.0, false}};
    const auto problem = [](const Line& l) {
        const auto solved = solve(l);
        REQUIRE_FALSE(solved);
        return solved.error();
    };
    line.ei = constant(0.0);
    CHECK(problem(line).what == Problem::What::BadStiffness);
    line.ei = constant(std::nan(""));
    CHECK(problem(line).what == Problem::What::BadStiffness);
    line.ei = constant(1e6);
    line.ga = constant(-1.0);
    CHECK(problem(line).what == Problem::What::BadStiffness);
    line.ga = {};
    line.loads[0].size = HUGE_VAL;
    CHECK(problem(line).what == Problem::What::NotAccurate);
    line.loads[0].size = 1e308;
    line.loads[0].sizeEnd = 1e308;
    CHECK(problem(line).what == Problem::What::NotAccurate);
    line.loads[0].size = line.loads[0].sizeEnd = 1000.0;
    line.loads[0].action = 7;
    CHECK(problem(line).what == Problem::What::LoadOutside);
    line.loads[0].action = 0;
    // A promise of a constant stiffness that does not hold is not believed.
    line.ei = varying([](double x) { return 1e6 * (1.0 + 0.1 * x); });
    const auto stiffer = solve(line);
    REQUIRE(stiffer);
    line.ei = constant(1e6);
    const auto even = solve(line);
    REQUIRE(even);
    CHECK(stiffer.value().deflection(2.0, {1.0, 1.0, 1.0}).most < 0.9 * even.value().deflection(2.0, {1.0, 1.0, 1.0}).most);
    // 5 w L^4/(384 EI)
    CHECK(even.value().deflection(2.0, {1.0, 1.0, 1.0}).most == doctest::Approx(5.0 * 1000.0 * 256.0 / (384.0 * 1e6)).epsilon(1e-14));
}
