// SPDX-License-Identifier: MIT
// Loads span by span. The coefficients are the well-known ones of continuous beams (from memory, every
// handbook has them); all of them are also held against solving each arrangement by itself.
#include "tests/engine/beam/lines.h"

using namespace spanwright::beam;
using namespace spanwright::beam::lines;

namespace {
constexpr double kEI = 5e5;
}

TEST_CASE("two and three equal spans, any span loaded") {
    const double l = 3.2, q = 1900.0;
    const Solved two = solved(line(2 * l, {simple(0), simple(l), simple(2 * l)}, {eachSpan(uniform(q, 0, 2 * l))}, kEI));
    CHECK(near(two.moment(l, kOne).least, -0.125 * q * l * l, 1e-12));
    CHECK(two.moment(l, kOne).most == 0.0);
    CHECK(near(two.moment(7 * l / 16, kOne).most, 49.0 / 512.0 * q * l * l, 1e-12));
    CHECK(near(two.reaction(0, kOne).most, 7.0 / 16.0 * q * l, 1e-12));
    CHECK(near(two.reaction(0, kOne).least, -q * l / 16.0, 1e-12));
    CHECK(near(two.reaction(1, kOne).most, 1.25 * q * l, 1e-12));

    const Solved three = solved(line(3 * l, {simple(0), simple(l), simple(2 * l), simple(3 * l)}, {eachSpan(uniform(q, 0, 3 * l))}, kEI));
    CHECK(near(three.moment(l, kOne).least, -7.0 / 60.0 * q * l * l, 1e-12));   // spans 1 and 2: 0.1167
    CHECK(near(three.moment(0.45 * l, kOne).most, 0.10125 * q * l * l, 1e-12)); // spans 1 and 3: 0.101
    CHECK(near(three.moment(1.5 * l, kOne).most, 0.075 * q * l * l, 1e-12));    // span 2
    CHECK(near(three.moment(1.5 * l, kOne).least, -0.05 * q * l * l, 1e-12));   // spans 1 and 3
    CHECK(near(three.reaction(0, kOne).most, 0.45 * q * l, 1e-12));
    CHECK(near(three.reaction(1, kOne).most, 1.2 * q * l, 1e-12));
    CHECK(three.moment(1.5 * l, kOne).greatest() == three.moment(1.5 * l, kOne).most);
    CHECK(three.moment(l, kOne).greatest() == three.moment(l, kOne).least);
}

TEST_CASE("the envelope is that of solving every arrangement by itself") {
    // Two overhangs and three spans; a dead load always, an imposed load and a point load span by span, wind
    // uplift as a second action span by span.
    const double ends[] = {0.0, 0.9, 4.1, 7.0, 9.6, 10.4};
    const std::vector<Support> supports{simple(0.9), fixed(4.1), simple(7.0), simple(9.6)};
    const auto base = [&](std::vector<Load> loads) {
        Line li = line(10.4, supports, std::move(loads), kEI, 6e6);
        li.actionCount = 3;
        return li;
    };
    const std::vector<double> factors{1.35, 1.5, 0.9};
    const Solved whole = solved(
        base({uniform(700, 0, 10.4, 0), eachSpan(trapezoid(2000, 3000, 0.2, 9.9, 1)), eachSpan(point(1500, 8.0, 1)), eachSpan(uniform(-900, 0, 10.4, 2))}));

    std::vector<Solved> arrangements;
    for (unsigned imposed = 0; imposed < 32; ++imposed) {
        for (unsigned wind = 0; wind < 32; ++wind) {
            std::vector<Load> loads{uniform(700, 0, 10.4, 0)};
            for (std::size_t i = 0; i < 5; ++i) {
                const double a = ends[i], b = ends[i + 1];
                if (imposed & (1U << i)) {
                    const double from = std::max(a, 0.2), to = std::min(b, 9.9);
                    const auto size = [](double x) { return 2000 + 1000 * (x - 0.2) / 9.7; };
                    loads.push_back(trapezoid(size(from), size(to), from, to, 1));
                    if (i == 3) loads.push_back(point(1500, 8.0, 1));
                }
                if (wind & (1U << i)) loads.push_back(uniform(-900, a, b, 2));
            }
            arrangements.push_back(solved(base(loads)));
        }
    }
    const auto extremes = [&](const std::function<Range3(const Solved&)>& value, Range3 got, double scale) {
        Range3 wanted{1e300, -1e300};
        for (const Solved& s : arrangements) {
            wanted.least = std::min(wanted.least, value(s).least);
            wanted.most = std::max(wanted.most, value(s).most);
        }
        CHECK(near(got.least, wanted.least, 1e-11, scale));
        CHECK(near(got.most, wanted.most, 1e-11, scale));
    };
    for (const double x : {0.0, 0.4, 0.9, 2.0, 4.1, 5.0, 8.0, 9.0, 10.2}) {
        CAPTURE(x);
        extremes([&](const Solved& s) { return s.moment(x, factors); }, whole.moment(x, factors), 1e3);
        extremes([&](const Solved& s) { return s.shear(x, factors); }, whole.shear(x, factors), 1e3);
        extremes([&](const Solved& s) { return s.deflection(x, factors); }, whole.deflection(x, factors), 1e-2);
    }
    for (std::size_t i = 0; i < 4; ++i) {
        extremes([&](const Solved& s) { return s.reaction(i, factors); }, whole.reaction(i, factors), 1e3);
        extremes([&](const Solved& s) { return s.supportMoment(i, factors); }, whole.supportMoment(i, factors), 1e3);
    }
    // A negative factor turns the loads round, and the extremes with them.
    const Range3 up = whole.moment(2.0, {0.0, 1.0, 0.0}), down = whole.moment(2.0, {0.0, -1.0, 0.0});
    CHECK(up.most == -down.least);
    CHECK(up.least == -down.most);
}

TEST_CASE("loads at a support and in one span") {
    const double l = 3.0;
    // On one span alone "each span" only means: may be absent.
    const Solved one = solved(line(l, {simple(0), simple(l)}, {eachSpan(point(1000, 1))}, kEI));
    CHECK(near(one.moment(1, kOne).most, 1000 * 2.0 / 3.0, 1e-12));
    CHECK(one.moment(1, kOne).least == 0.0);
    // Straight over supports, at both ends and between.
    const Solved over =
        solved(line(2 * l, {simple(0), simple(l), simple(2 * l)}, {eachSpan(point(1000, 0)), eachSpan(point(700, l)), eachSpan(point(400, 2 * l))}, kEI));
    CHECK(over.reaction(0, kOne).most == 1000.0);
    CHECK(over.reaction(1, kOne).most == 700.0);
    CHECK(over.reaction(2, kOne).most == 400.0);
    CHECK(over.reaction(1, kOne).least == 0.0);
}
