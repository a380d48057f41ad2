// SPDX-License-Identifier: MIT
// What cannot be solved is refused, with the place to blame.
#include <limits>

#include "tests/engine/beam/lines.h"

using namespace spanwright::beam;
using namespace spanwright::beam::lines;
using What = Problem::What;

namespace {

const double kInf = std::numeric_limits<double>::infinity(), kNaN = std::numeric_limits<double>::quiet_NaN();

Line sound() { return line(4, {simple(0), simple(4)}, {uniform(1000, 0, 4)}, 1e5); }

void refused(const Line& l, What what, int support = -1, int load = -1) {
    const auto result = solve(l);
    REQUIRE(!result);
    CHECK(result.error().what == what);
    CHECK(result.error().support == support);
    CHECK(result.error().load == load);
    CHECK(!result.error().message.empty());
}

} // namespace

TEST_CASE("a line without length") {
    for (const double to : {0.0, -1.0, kInf, kNaN}) {
        Line l = sound();
        l.to = to;
        refused(l, What::NoSpan);
    }
}

TEST_CASE("supports") {
    Line l = sound();
    l.supports = {simple(0), simple(4.001)};
    refused(l, What::SupportOutside, 1);
    l.supports = {simple(kNaN), simple(4)};
    refused(l, What::SupportOutside, 0);
    l.supports = {simple(0), simple(4, kInf)};
    refused(l, What::SupportOutside, 1);
    l.supports = {simple(4), simple(0), simple(4 - 1e-10)};
    refused(l, What::SupportsCoincide, 0);
    l.supports = {};
    refused(l, What::Unstable);
    l.supports = {simple(2)};
    refused(l, What::Unstable, 0);
    l = sound();
    l.sinkAction = 1;
    refused(l, What::SupportOutside);
    // A rounding error past the end is the end.
    l = sound();
    l.supports = {simple(-1e-13), simple(std::nextafter(4.0, 5.0))};
    l.loads = {uniform(1000, -1e-13, 4.0 + 1e-12)};
    const Solved s = solved(l);
    CHECK(s.supportAt(0) == 0.0);
    CHECK(s.supportAt(1) == 4.0);
    CHECK(s.breaks() == std::vector<double>{0.0, 4.0});
    CHECK(near(reactionAt(s, 0), 2000.0, 1e-12));
}

TEST_CASE("loads") {
    Line l = sound();
    l.loads = {uniform(1, 0, 4), point(1, 4.1)};
    refused(l, What::LoadOutside, -1, 1);
    l.loads = {uniform(1, -0.1, 4)};
    refused(l, What::LoadOutside, -1, 0);
    l.loads = {couple(1, kNaN)};
    refused(l, What::LoadOutside, -1, 0);
    l.loads = {uniform(1, 0, 4, 1)};
    refused(l, What::LoadOutside, -1, 0);
    l.loads = {trapezoid(1, kInf, 0, 4)};
    refused(l, What::NotAccurate, -1, 0);
    l.loads = {point(kNaN, 1)};
    refused(l, What::NotAccurate, -1, 0);
    l.loads = {point(1e308, 1), point(1e308, 2), point(1e308, 3)};
    refused(l, What::NotAccurate);
}

TEST_CASE("stiffness") {
    Line l = line(4, {simple(0), simple(2), simple(4)}, {uniform(1000, 0, 4)}, 1e5);
    l.ei = nullptr;
    refused(l, What::NoStiffness);
    l.supports = {fixed(0), simple(4)};
    refused(l, What::NoStiffness);
    for (const double bad : {0.0, -1.0, kInf, kNaN, 1e-310}) {
        l.ei = constant(bad);
        refused(l, What::BadStiffness);
        l.ei = constant(1e5);
        l.ga = constant(bad);
        refused(l, What::BadStiffness);
        l.ga = nullptr;
    }
    l.constantStiffness = false;
    l.ei = varying([](double x) { return x > 2.3 && x < 2.6 ? -1.0 : 1e5; });
    refused(l, What::BadStiffness);
    CHECK(solve(l).error().message.find("EI") != std::string::npos);
    l.ei = varying([](double x) { return 1e5 * (4 - x); }); // nothing left at the end
    refused(l, What::BadStiffness);
    // Noise in place of a stiffness: refused in bounded time.
    l.ei = varying([](double x) { return 1e5 * (1.5 + std::sin(1e9 * x)); });
    refused(l, What::NotAccurate);
}

TEST_CASE("a determinate line needs no stiffness for its forces") {
    for (Line l : {line(6, {simple(1), simple(5)}, {uniform(1000, 0, 6)}, 1), line(6, {fixed(2)}, {uniform(1000, 0, 6)}, 1)}) {
        const Solved with = solved(l);
        l.ei = nullptr;
        const Solved without = solved(l);
        CHECK(with.hasDeflection());
        CHECK(!without.hasDeflection());
        for (const double x : {0.0, 0.5, 1.0, 3.0, 6.0}) {
            CHECK(without.moment(x, kOne).most == with.moment(x, kOne).most);
            CHECK(without.shear(x, kOne).least == with.shear(x, kOne).least);
            CHECK(std::isnan(without.deflection(x, kOne).most));
            CHECK(std::isnan(without.deflection(x, kOne).least));
        }
        CHECK(reactionAt(without, 0) == reactionAt(with, 0));
    }
}
