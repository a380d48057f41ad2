// SPDX-License-Identifier: MIT
// Where moments and shears turn, against very many samples of random lines.
#include <random>

#include "lines.h"

using namespace spanwright::beam;
using namespace spanwright::beam::lines;

namespace {

/// No sample of a curve lies outside the values at the turns, the breaks and just beside them.
void nothingOutside(const Solved& s, bool moment, double from, double to, const std::vector<double>& factors) {
    std::vector<double> places = moment ? s.momentTurns(from, to, factors) : s.shearTurns(from, to, factors);
    for (const double x : places) {
        CHECK(x > from);
        CHECK(x < to);
    }
    for (const double b : s.breaks())
        if (b > from && b < to) places.push_back(b);
    places.push_back(from);
    places.push_back(to);
    std::sort(places.begin(), places.end());
    const auto value = [&](double x) { return moment ? s.moment(x, factors) : s.shear(x, factors); };
    double size = 0.0;
    for (const double x : places) size = std::max({size, std::fabs(value(x).least), std::fabs(value(x).most)});
    for (std::size_t i = 1; i < places.size(); ++i) {
        const double a = places[i - 1], b = places[i];
        if (!(std::nextafter(a, b) < b)) continue;
        const Range3 left = value(std::nextafter(a, b)), right = value(std::nextafter(b, a));
        Range3 before = left;
        for (int k = 1; k < 60; ++k) {
            const Range3 here = value(a + (b - a) * k / 60.0);
            const double slack = 1e-11 * size;
            // Rising all the way, or falling all the way.
            const bool mostOk = left.most <= right.most ? here.most >= before.most - slack : here.most <= before.most + slack;
            const bool leastOk = left.least <= right.least ? here.least >= before.least - slack : here.least <= before.least + slack;
            if (!mostOk || !leastOk) FAIL_CHECK("between ", a, " and ", b, " it turns at ", a + (b - a) * k / 60.0, moment ? " (moment)" : " (shear)");
            before = here;
        }
    }
}

} // namespace

TEST_CASE("between turns and breaks moments and shears only rise or only fall") {
    std::mt19937 random(611);
    const auto some = [&](double low, double high) { return low + (high - low) * static_cast<double>(random() % 10'000) / 10'000.0; };
    for (int round = 0; round < 60; ++round) {
        std::vector<Support> supports;
        const std::size_t count = 1 + random() % 4;
        double x = some(0.0, 1.0);
        for (std::size_t i = 0; i < count; ++i) {
            supports.push_back(count == 1 || random() % 5 == 0 ? fixed(x) : simple(x));
            x += some(0.8, 3.0);
        }
        const double length = supports.back().at + some(0.0, 1.2) + (count == 1 ? 1.0 : 0.0);
        std::vector<Load> loads{uniform(some(0.5, 3.0), 0.0, length, 0), eachSpan(uniform(some(-2.0, 4.0), 0.0, length, 1))};
        if (random() % 2 == 0) loads.push_back(eachSpan(trapezoid(some(-3.0, 3.0), some(-3.0, 3.0), some(0.0, length / 2), some(length / 2, length), 1)));
        if (random() % 2 == 0) loads.push_back(trapezoid(some(-3.0, 3.0), some(-3.0, 3.0), 0.0, length, 2));
        if (random() % 2 == 0) loads.push_back(eachSpan(point(some(-5.0, 5.0), some(0.0, length), 1)));
        if (random() % 3 == 0) loads.push_back(couple(some(-2.0, 2.0), some(0.0, length), 2));
        Line l = line(length, supports, loads, 1e3);
        l.actionCount = 3;
        if (round % 3 == 0) {
            l.constantStiffness = false;
            l.ei = varying([length](double at) { return 1e3 * (1.0 + at * (length - at)); });
        }
        const Solved s = solved(l);
        for (const bool moment : {true, false}) {
            nothingOutside(s, moment, 0.0, length, {1.35, 1.5, 0.9});
            nothingOutside(s, moment, 0.0, length, {0.9, -1.0, 0.0});
            nothingOutside(s, moment, length / 7, length / 1.3, {0.0, 1.0, 1.0});
        }
    }
}

TEST_CASE("turns of a simple span: the middle, and for a choice of spans where it changes its sign") {
    const Solved s = solved(line(4.0, {simple(0.0), simple(4.0)}, {uniform(2.0, 0.0, 4.0, 0), eachSpan(uniform(3.0, 0.0, 4.0, 1))}, 1e3));
    const std::vector<double> factors{1.0, 1.0};
    CHECK(s.hasChoices());
    bool middle = false;
    for (const double x : s.momentTurns(0.0, 4.0, factors)) middle = middle || std::fabs(x - 2.0) < 1e-12;
    CHECK(middle);
    middle = false;
    for (const double x : s.shearTurns(0.0, 4.0, factors)) middle = middle || std::fabs(x - 2.0) < 1e-12;
    CHECK(middle);
    CHECK(s.momentTurns(0.0, 1.0, factors).empty());
    CHECK(s.momentTurns(0.0, 4.0, {}).empty()); // too few factors say nothing
}

TEST_CASE("a load a rounding error beside a support: both jumps are seen") {
    double at = 2.0;
    for (int ulps = 0; ulps < 5; ++ulps) at = std::nextafter(at, 3.0);
    const Solved s = solved(line(4.0, {simple(0.0), simple(2.0), simple(4.0)}, {uniform(1.0, 0.0, 4.0), point(100.0, at)}, 1e3));
    double most = 0.0, least = 0.0;
    for (const double x : s.shearTurns(0.0, 4.0, kOne)) {
        most = std::max(most, s.shear(x, kOne).most);
        least = std::min(least, s.shear(x, kOne).least);
    }
    CHECK(most == doctest::Approx(100.0 + 1.25).epsilon(1e-9));
    CHECK(least == doctest::Approx(-1.25).epsilon(1e-9));
}
