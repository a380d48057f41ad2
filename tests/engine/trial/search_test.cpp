// SPDX-License-Identifier: MIT
#include "engine/trial/search.h"

#include <cmath>
#include <doctest/doctest.h>

using namespace spanwright::trial;

namespace {

std::vector<Found> look(const std::vector<Range>& ranges, const std::function<bool(double)>& f, std::size_t* asked = nullptr) {
    std::vector<Found> found;
    const bool done = findStretches(
        ranges,
        [&](const std::vector<Place>& places, Answers& answers) {
            answers.holds.resize(places.size());
            for (std::size_t i = 0; i < places.size(); ++i) answers.holds[i] = f(places[i].x) ? 1 : 0;
            if (asked != nullptr) *asked += places.size();
            return true;
        },
        found);
    REQUIRE(done);
    return found;
}

} // namespace

TEST_CASE("every stretch is found, its ends to the tolerance and on the holding side") {
    const auto holds = [](double x) { return std::sin(x) > 0.5; };
    std::size_t asked = 0;
    const Found f = look({{0, 20, 200, 1e-9}}, holds, &asked).front();
    CHECK(f.looked == asked);
    REQUIRE(f.stretches.size() == 4);
    const double pi = 3.14159265358979323846;
    for (std::size_t k = 0; k < 3; ++k) {
        const Stretch& s = f.stretches[k];
        const double turn = 2 * pi * static_cast<double>(k);
        CHECK(std::fabs(s.from - (turn + pi / 6)) < 1e-8);
        CHECK(std::fabs(s.to - (turn + 5 * pi / 6)) < 1e-8);
        CHECK(holds(s.from));
        CHECK(holds(s.to));
        CHECK_FALSE(holds(s.before));
        CHECK_FALSE(holds(s.after));
        CHECK(s.from - s.before <= 1e-9);
    }
    CHECK_FALSE(f.stretches[0].opensLow);
    CHECK(f.stretches[3].opensHigh);
    CHECK(f.stretches[3].to == 20.0);
}

TEST_CASE("all, nothing, the ends of the range, several searches at once") {
    const auto found = look({{0, 1, 10, 1e-6}, {2, 3, 10, 1e-6}, {0, 3, 10, 1e-6}}, [](double x) { return x < 1.5; });
    REQUIRE(found.size() == 3);
    REQUIRE(found[0].stretches.size() == 1);
    CHECK(found[0].stretches[0].opensLow);
    CHECK(found[0].stretches[0].opensHigh);
    CHECK(found[1].stretches.empty());
    CHECK(found[2].stretches[0].opensLow);
    CHECK(found[2].stretches[0].to == doctest::Approx(1.5).epsilon(1e-6));
    std::vector<Found> none;
    CHECK_FALSE(findStretches(
        {{0, 1, 10, 1e-6}}, [](const std::vector<Place>&, Answers&) { return false; }, none));
}

namespace {

/// Searches one range with a number to guess by.
Found guided(const Range& range, const std::function<bool(double)>& holds, const std::function<double(double)>& excess) {
    std::vector<Found> found;
    REQUIRE(findStretches(
        {range},
        [&](const std::vector<Place>& places, Answers& answers) {
            answers = {};
            for (const Place& p : places) {
                CHECK(p.x >= range.from);
                CHECK(p.x <= range.to);
                answers.holds.push_back(holds(p.x) ? 1 : 0);
                answers.excess.push_back(excess(p.x));
            }
            return true;
        },
        found));
    return found.front();
}

} // namespace

TEST_CASE("a guess by the excess takes few places, and the end is as well known") {
    for (const double power : {0.5, 1.0, 2.0, 3.0, 4.0, 7.0}) {
        for (const double end : {1.234, 3.21, 6.6, 8.91}) {
            const auto f = [&](double x) { return power * std::log(x / end); };
            const auto holds = [&](double x) { return f(x) <= 0; };
            const Range range{1, 9, 200, 8e-7};
            const Found by = guided(range, holds, f), without = look({range}, holds).front();
            REQUIRE(by.stretches.size() == 1);
            const Stretch& s = by.stretches.front();
            CHECK(holds(s.to));
            CHECK_FALSE(holds(s.after));
            CHECK(s.after - s.to <= 8e-7);
            CHECK(s.after > s.to);
            CHECK(std::fabs(s.to - without.stretches.front().to) <= 8e-7);
            CHECK(by.looked <= 201 + 12);
            CHECK(without.looked == 201 + 60);
        }
    }
    // Down to neighbouring numbers.
    const auto f = [](double x) { return x * x - 2; };
    const Found exact = guided(
        {0, 2, 400, 0}, [&](double x) { return f(x) <= 0; }, f);
    const double root = std::sqrt(2.0);
    CHECK(std::fabs(exact.stretches.front().to - root) <= 4e-16 * root);
    CHECK(exact.looked <= 401 + 40);
}

TEST_CASE("a guess that misleads costs places and changes nothing") {
    // The greatest of several: kinks. A jump. What says nothing, the wrong thing, or nonsense.
    const double end = 4.5678;
    const auto holds = [&](double x) { return x <= end; };
    const std::vector<std::function<double(double)>> misleading{
        [&](double x) {
            return std::max({3 * std::log(x / end), 200 * std::log(x / (end * 1.0003)), std::log(x / end * 0.9)});
        },
        [&](double x) { return x <= end ? -1e-9 : 50.0; },
        [&](double x) { return x <= end ? -50.0 : 1e-9; },
        [](double) { return std::nan(""); },
        [](double) { return 1.0; },
        [](double) { return -HUGE_VAL; },
        [&](double x) { return end - x; },
        [&](double x) { return x <= end ? std::nan("") : 1.0; },
        [&](double x) { return x <= end ? -1e-300 : 1e-300; },
        [&](double x) { return std::sin(1e9 * x) + (x <= end ? -1.0 : 1.0); },
        [&](double x) { return std::pow(x - end, 9); },
        [&](double x) { return std::cbrt(x - end); },
    };
    for (const auto& excess : misleading) {
        const Found f = guided({1, 9, 50, 1e-9}, holds, excess);
        REQUIRE(f.stretches.size() == 1);
        CHECK(f.stretches.front().opensLow);
        CHECK(f.stretches.front().to <= end);
        CHECK(f.stretches.front().after > end);
        CHECK(f.stretches.front().after - f.stretches.front().to <= 1e-9);
        CHECK(f.looked <= 51 + 300);
    }
}
