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
        [&](const std::vector<Place>& places, std::vector<char>& holds) {
            holds.resize(places.size());
            for (std::size_t i = 0; i < places.size(); ++i) holds[i] = f(places[i].x) ? 1 : 0;
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
        {{0, 1, 10, 1e-6}}, [](const std::vector<Place>&, std::vector<char>&) { return false; }, none));
}
