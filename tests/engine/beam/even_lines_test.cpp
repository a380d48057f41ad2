// SPDX-License-Identifier: MIT
#include "engine/beam/even_lines.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <bit>
#include <cmath>
#include <limits>
#include <random>

using namespace spanwright;
using beam::EvenLines;

namespace {

using Factors = std::vector<double>;

bool sameBits(double a, double b) { return std::bit_cast<std::uint64_t>(a) == std::bit_cast<std::uint64_t>(b) || (std::isnan(a) && std::isnan(b)); }

/// Lines of random lengths and stiffness; three actions, one of them by choice, one of them twice, some loads upwards.
EvenLines::Input randomInput(std::size_t count, bool slips, unsigned seed) {
    std::mt19937 random(seed);
    const auto between = [&](double a, double b) { return std::uniform_real_distribution<double>(a, b)(random); };
    EvenLines::Input in;
    in.count = count;
    in.actionCount = 3;
    in.loads = {{0, false, {}}, {1, true, {}}, {2, false, {}}, {0, false, {}}, {1, true, {}}, {2, true, {}}};
    for (std::size_t i = 0; i < count; ++i) {
        in.from.push_back(i % 3 == 0 ? 0.0 : between(-2.0, 2.0));
        in.to.push_back(in.from.back() + between(0.5, 8.0));
        in.ei.push_back(between(1e4, 1e7));
        if (slips) in.ga.push_back(between(1e5, 1e7));
        for (EvenLines::Loads& l : in.loads) l.size.push_back(i % 7 == 0 ? 0.0 : between(-500.0, 4000.0));
    }
    return in;
}

beam::Solved byItself(const EvenLines::Input& in, std::size_t i) {
    beam::Line line;
    line.from = in.from[i];
    line.to = in.to[i];
    line.supports = {{line.from, false, 0.0}, {line.to, false, 0.0}};
    for (const EvenLines::Loads& l : in.loads) line.loads.push_back({beam::Load::Shape::Line, l.action, l.size[i], l.size[i], line.from, line.to, l.eachSpan});
    line.actionCount = in.actionCount;
    line.constantStiffness = true;
    line.ei = [&in, i](const double*, std::size_t n, double* out) { std::fill(out, out + n, in.ei[i]); };
    if (!in.ga.empty()) line.ga = [&in, i](const double*, std::size_t n, double* out) { std::fill(out, out + n, in.ga[i]); };
    auto solved = beam::solve(line);
    REQUIRE(solved.ok());
    return std::move(solved).value();
}

beam::Range3 one(const beam::Solved& s, beam::Curve curve, double x, const Factors& f) {
    switch (curve) {
    case beam::Curve::Moment: return s.moment(x, f);
    case beam::Curve::Shear: return s.shear(x, f);
    case beam::Curve::WebShear: return s.webShear(x, f);
    case beam::Curve::Sag: break;
    }
    return s.deflection(x, f);
}

constexpr beam::Curve kCurves[] = {beam::Curve::Moment, beam::Curve::Shear, beam::Curve::WebShear, beam::Curve::Sag};

} // namespace

TEST_CASE("lines of all points come out bit for bit as each by itself") {
    const Factors cases[] = {{1.0, 1.0, 1.0}, {1.35, 1.5, 0.0}, {0.9, 0.0, 1.5}, {0.0, 1.5, 0.0}, {-1.0, 0.7, 2.0}, {0.0, 0.0, 0.0}};
    for (const bool slips : {true, false}) {
        constexpr std::size_t kCount = 300; // more than a strip
        const EvenLines::Input in = randomInput(kCount, slips, slips ? 3 : 4);
        const auto lines = EvenLines::of(in);
        REQUIRE(lines != nullptr);
        CHECK(lines->hasChoices());
        std::vector<beam::Solved> alone;
        for (std::size_t i = 0; i < kCount; ++i) alone.push_back(byItself(in, i));
        std::mt19937 random(5);
        for (const Factors& f : cases) {
            for (const beam::Curve curve : kCurves) {
                // Every line at a place of its own, then places of any lines: ends, the middle, just inside, beyond the ends.
                std::vector<double> x, least, most;
                std::vector<std::uint32_t> owner;
                for (std::size_t i = 0; i < kCount; ++i) x.push_back(in.from[i] + (in.to[i] - in.from[i]) * static_cast<double>(i % 11) / 10.0);
                least.resize(kCount);
                most.resize(kCount);
                lines->values(curve, nullptr, x.data(), kCount, f, least.data(), most.data());
                std::size_t different = 0;
                for (std::size_t i = 0; i < kCount; ++i) {
                    const beam::Range3 r = one(alone[i], curve, x[i], f);
                    different += sameBits(least[i], r.least) && sameBits(most[i], r.most) ? 0U : 1U;
                }
                x.clear();
                for (int k = 0; k < 700; ++k) {
                    const auto i = static_cast<std::uint32_t>(random() % kCount);
                    owner.push_back(i);
                    const double a = in.from[i], b = in.to[i];
                    const double places[] = {a,
                                             b,
                                             0.5 * (a + b),
                                             std::nextafter(a, b),
                                             std::nextafter(b, a),
                                             a - 1e-3,
                                             b + 1e-3,
                                             a - 1e-13 * (b - a),
                                             std::numeric_limits<double>::quiet_NaN(),
                                             a + 0.3 * (b - a)};
                    x.push_back(places[static_cast<std::size_t>(k) % std::size(places)]);
                }
                least.resize(x.size());
                most.resize(x.size());
                lines->values(curve, owner.data(), x.data(), x.size(), f, least.data(), most.data());
                for (std::size_t k = 0; k < x.size(); ++k) {
                    const beam::Range3 r = one(alone[owner[k]], curve, x[k], f);
                    different += sameBits(least[k], r.least) && sameBits(most[k], r.most) ? 0U : 1U;
                }
                CAPTURE(static_cast<int>(curve));
                CHECK(different == 0);
            }
            for (const std::size_t support : {std::size_t{0}, std::size_t{1}}) {
                std::vector<double> least(kCount), most(kCount);
                lines->reactions(support, kCount, f, least.data(), most.data());
                std::size_t different = 0;
                for (std::size_t i = 0; i < kCount; ++i) {
                    const beam::Range3 r = alone[i].reaction(support, f);
                    different += sameBits(least[i], r.least) && sameBits(most[i], r.most) ? 0U : 1U;
                }
                CHECK(different == 0);
            }
        }
    }
}

TEST_CASE("lines that stay move up, and each can be had by itself") {
    EvenLines::Input in = randomInput(20, true, 8);
    const auto lines = EvenLines::of(in);
    REQUIRE(lines != nullptr);
    const std::vector<std::uint32_t> stay = {1, 4, 5, 19};
    lines->keep(stay);
    REQUIRE(lines->size() == stay.size());
    const Factors f = {1.35, 1.5, 0.6};
    for (std::size_t i = 0; i < stay.size(); ++i) {
        const beam::Solved alone = byItself(in, stay[i]), kept = lines->line(i);
        const double x = in.from[stay[i]] + 0.4 * (in.to[stay[i]] - in.from[stay[i]]);
        double least = 0.0, most = 0.0;
        const auto owner = static_cast<std::uint32_t>(i);
        lines->values(beam::Curve::Sag, &owner, &x, 1, f, &least, &most);
        CHECK(sameBits(most, alone.deflection(x, f).most));
        CHECK(sameBits(kept.moment(x, f).most, alone.moment(x, f).most));
        CHECK(sameBits(kept.residual(), alone.residual()));
        CHECK(lines->from(i) == in.from[stay[i]]);
        CHECK(lines->to(i) == in.to[stay[i]]);
    }
}

TEST_CASE("each turns in its middle and nowhere else, wherever beams are asked") {
    const EvenLines::Input in = randomInput(40, true, 11);
    const Factors f = {1.0, 1.5, 0.7}, other = {0.2, 0.0, 0.0};
    for (std::size_t i = 0; i < in.count; ++i) {
        const beam::Solved s = byItself(in, i);
        const double a = in.from[i], b = in.to[i], middle = a + 0.5 * (b - a);
        const beam::SagTerm terms[] = {{&s, &f, false, 1.6}, {&s, &other, false, -0.3}};
        std::vector<double> turns;
        REQUIRE(beam::addSagTurns(terms, a, b, turns));
        CHECK(turns == std::vector<double>{middle});
        for (const double x : s.momentTurns(a, b, f)) CHECK(x == middle);
        for (const double x : s.shearTurns(a, b, f)) CHECK(x == middle);
        // By looking: on either side of the middle the sum only rises or only falls.
        const auto sum = [&](double x) { return 1.6 * s.deflection(x, f).most - 0.3 * s.deflection(x, other).most; };
        const double way = sum(middle) < 0.0 ? -1.0 : 1.0;
        for (int k = 1; k <= 50; ++k) {
            const double near = 0.5 * (b - a) * k / 50.0, nearer = 0.5 * (b - a) * (k - 1) / 50.0, slack = 1e-12 * std::fabs(sum(middle));
            CHECK(way * sum(middle - near) <= way * sum(middle - nearer) + slack);
            CHECK(way * sum(middle + near) <= way * sum(middle + nearer) + slack);
        }
    }
}

TEST_CASE("where one line is amiss nothing is said of any") {
    const auto with = [](auto change) {
        EvenLines::Input in = randomInput(5, true, 2);
        change(in);
        return EvenLines::of(std::move(in)) != nullptr;
    };
    constexpr double kNone = std::numeric_limits<double>::quiet_NaN(), kEndless = std::numeric_limits<double>::infinity();
    CHECK(with([](EvenLines::Input&) {}));
    CHECK_FALSE(with([](EvenLines::Input& in) { in.to[3] = in.from[3]; }));
    CHECK_FALSE(with([](EvenLines::Input& in) { in.to[3] = in.from[3] - 1.0; }));
    CHECK_FALSE(with([](EvenLines::Input& in) { in.from[0] = -kEndless; }));
    CHECK_FALSE(with([](EvenLines::Input& in) { in.ei[4] = 0.0; }));
    CHECK_FALSE(with([](EvenLines::Input& in) { in.ei[4] = -1e5; }));
    CHECK_FALSE(with([](EvenLines::Input& in) { in.ga[1] = kNone; }));
    CHECK_FALSE(with([](EvenLines::Input& in) { in.loads[2].size[2] = kNone; }));
    CHECK_FALSE(with([](EvenLines::Input& in) { in.loads[2].size[2] = 1e308; }));
    CHECK_FALSE(with([](EvenLines::Input& in) { in.loads[2].action = 3; }));
    CHECK_FALSE(with([](EvenLines::Input& in) { in.loads.clear(); }));
    const auto lines = EvenLines::of(randomInput(3, true, 2));
    REQUIRE(lines != nullptr);
    double least = 0.0, most = 0.0;
    const double x = 0.1;
    lines->values(beam::Curve::Moment, nullptr, &x, 1, {1.0}, &least, &most); // too few factors
    CHECK(std::isnan(most));
}
