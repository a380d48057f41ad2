// SPDX-License-Identifier: MIT
#include <doctest/doctest.h>

#include <cmath>

#include "engine/report/sketch_geometry.h"

using namespace spanwright::report;

namespace {

double lengthOf(const std::vector<PaperPoint>& ends) {
    double sum = 0;
    for (std::size_t i = 0; i + 1 < ends.size(); i += 2) sum += std::hypot(ends[i + 1].x - ends[i].x, ends[i + 1].y - ends[i].y);
    return sum;
}

} // namespace

TEST_CASE("strokes cover an area: their length times their spacing") {
    const std::vector<PaperPoint> square{{0, 0}, {100, 0}, {100, 100}, {0, 100}};
    for (const double degrees : {45.0, -45.0, 30.0, 0.0, 90.0})
        CHECK(lengthOf(hatchStrokes(square, degrees, 2, {})) * 2 == doctest::Approx(10'000).epsilon(0.03));
    // A figure with a notch: two thirds of it.
    const std::vector<PaperPoint> notched{{0, 0}, {90, 0}, {90, 90}, {60, 90}, {60, 30}, {30, 30}, {30, 90}, {0, 90}};
    CHECK(lengthOf(hatchStrokes(notched, 45, 2, {})) * 2 == doctest::Approx(8100.0 - 1800.0).epsilon(0.03));
    CHECK(hatchStrokes({{0, 0}, {1, 1}}, 45, 2, {}).empty());
}

TEST_CASE("boxes are left free") {
    const std::vector<PaperPoint> square{{0, 0}, {100, 0}, {100, 100}, {0, 100}};
    const std::vector<PaperBox> free{{20, 20, 60, 40}, {50, 30, 80, 50}};
    // 800 and 600, less 100 that they share.
    CHECK(lengthOf(hatchStrokes(square, 45, 1, free)) == doctest::Approx(10'000.0 - 1'300.0).epsilon(0.03));
}

TEST_CASE("a box meets boxes and lines that cross it") {
    const PaperBox box{0, 0, 10, 10};
    CHECK(box.meets(PaperBox{5, 5, 15, 15}));
    CHECK_FALSE(box.meets(PaperBox{10, 0, 20, 10}));
    CHECK(box.meets(PaperPoint{-5, 5}, PaperPoint{15, 5}));
    CHECK(box.meets(PaperPoint{2, 2}, PaperPoint{3, 3}));
    CHECK_FALSE(box.meets(PaperPoint{-5, 0}, PaperPoint{0, -5}));
    CHECK_FALSE(box.meets(PaperPoint{-5, 11}, PaperPoint{15, 11}));
}

TEST_CASE("a text takes more room the longer it is, and stands up when turned") {
    const PaperBox flat = textBox("220 mm", 11, {0, 0}, 0);
    const PaperBox upright = textBox("220 mm", 11, {0, 0}, 90);
    CHECK(flat.right == doctest::Approx(upright.bottom));
    CHECK(flat.bottom == doctest::Approx(upright.right));
    CHECK(textBox("µµ", 11, {0, 0}, 0).right == doctest::Approx(textBox("nn", 11, {0, 0}, 0).right));
}
