// SPDX-License-Identifier: MIT
#include <doctest/doctest.h>

#include <cmath>

#include "engine/report/build.h"
#include "engine/report/sketch_geometry.h"
#include "engine/report/write.h"
#include "tests/engine/report/golden.h"

using namespace spanwright::report;
using spanwright::job::SketchView;
using Shape = SketchView::Shape;

namespace {

SketchView with(std::vector<SketchView::Mark> marks) {
    SketchView s;
    s.title = "Trial";
    s.marks = std::move(marks);
    return s;
}

SketchView::Mark mark(Shape shape, std::vector<SketchView::Point> points, std::string text = {}) {
    SketchView::Mark m;
    m.shape = shape;
    m.points = std::move(points);
    m.text = std::move(text);
    return m;
}

const SketchView::Mark kBox = mark(Shape::Outline, {{0, 0}, {2, 0}, {2, 1}, {0, 1}});

template <class T> std::vector<T> all(const Drawing& d) {
    std::vector<T> out;
    for (const Drawing::Shape& s : d.shapes)
        if (const auto* t = std::get_if<T>(&s)) out.push_back(*t);
    return out;
}

std::string texts(const Drawing& d) {
    std::string out;
    for (const auto& t : all<Drawing::Text>(d)) out += t.text + ";";
    return out;
}

/// As the drawing reckons it.
PaperBox boxOf(const Drawing::Text& t) {
    const double down = t.size * 0.35;
    const double angle = t.turned * 3.14159265358979323846 / 180;
    return textBox(t.text, t.size, {t.at.x - std::sin(angle) * down, t.at.y - std::cos(angle) * down}, t.turned);
}

} // namespace

TEST_CASE("an outline is closed and to scale, lengths and heights alike") {
    const Drawing d = sketchDrawing(with({kBox}));
    const auto lines = all<Drawing::Polyline>(d);
    REQUIRE(lines.size() == 1);
    REQUIRE(lines[0].points.size() == 5);
    const auto& p = lines[0].points;
    CHECK(p[0].x == p[4].x);
    CHECK(p[0].y == p[4].y);
    CHECK(p[1].x - p[0].x == doctest::Approx(2 * (p[1].y - p[2].y)));
    CHECK(p[0].y > p[2].y); // up is up
    CHECK(d.width <= 620);
}

TEST_CASE("heights drawn larger are said to be, on the drawing") {
    SketchView s = with({mark(Shape::Outline, {{0, 0}, {8, 0}, {8, 0.25}, {0, 0.25}})});
    CHECK(texts(sketchDrawing(s)) == "");
    const auto plain = all<Drawing::Polyline>(sketchDrawing(s))[0].points;
    s.heights = 4;
    const Drawing d = sketchDrawing(s);
    const auto larger = all<Drawing::Polyline>(d)[0].points;
    CHECK(larger[1].x - larger[0].x == doctest::Approx(plain[1].x - plain[0].x));
    CHECK(larger[1].y - larger[2].y == doctest::Approx(4 * (plain[1].y - plain[2].y)));
    CHECK(texts(d) == "heights drawn 4 times larger than lengths;");
}

TEST_CASE("a line is solid or dashed") {
    SketchView::Mark hidden = mark(Shape::Line, {{0, 0}, {2, 1}});
    hidden.other = true;
    const auto lines = all<Drawing::Polyline>(sketchDrawing(with({mark(Shape::Line, {{0, 0}, {2, 1}}), hidden})));
    REQUIRE(lines.size() == 2);
    CHECK(lines[0].dash == Drawing::Dash::Solid);
    CHECK(lines[1].dash == Drawing::Dash::Short);
}

TEST_CASE("timber and panels are hatched, each in its own way, inside the figure only") {
    for (const bool panel : {false, true}) {
        SketchView::Mark m = mark(Shape::Hatch, {{0, 0}, {2, 0}, {2, 1}, {0, 1}});
        m.other = panel;
        const Drawing d = sketchDrawing(with({kBox, m}));
        const auto strokes = all<Drawing::Strokes>(d);
        REQUIRE(strokes.size() == 1);
        REQUIRE(strokes[0].ends.size() > 20);
        const auto frame = all<Drawing::Polyline>(d)[0].points;
        for (std::size_t i = 0; i < strokes[0].ends.size(); i += 2) {
            const auto& a = strokes[0].ends[i];
            const auto& b = strokes[0].ends[i + 1];
            CHECK(((b.y - a.y) * (b.x - a.x) < 0) == !panel); // timber rises to the right
            for (const auto& p : {a, b}) {
                CHECK(p.x >= frame[0].x - 1e-6);
                CHECK(p.x <= frame[1].x + 1e-6);
                CHECK(p.y >= frame[2].y - 1e-6);
                CHECK(p.y <= frame[0].y + 1e-6);
            }
        }
    }
}

TEST_CASE("a dimension has two heads, extension lines and its text to the left of its direction") {
    const Drawing d = sketchDrawing(with({kBox, mark(Shape::Dimension, {{2, 0}, {0, 0}}, "2 m")}));
    CHECK(all<Drawing::Filled>(d).size() == 2);
    const auto lines = all<Drawing::Polyline>(d);
    REQUIRE(lines.size() == 4);
    CHECK(lines[3].points[0].y > lines[0].points[0].y); // from right to left: below
    CHECK(texts(d) == "2 m;");
    // Upright: read from the right.
    const Drawing up = sketchDrawing(with({kBox, mark(Shape::Dimension, {{0, 0}, {0, 1}}, "1 m")}));
    CHECK(all<Drawing::Text>(up)[0].turned == doctest::Approx(90));
    CHECK(all<Drawing::Text>(up)[0].at.x < all<Drawing::Polyline>(up)[0].points[0].x);
    SketchView::Mark other = mark(Shape::Dimension, {{2, 0}, {0, 0}}, "2 m");
    other.offset = -0.2;
    const Drawing inside = sketchDrawing(with({kBox, other}));
    CHECK(all<Drawing::Polyline>(inside)[3].points[0].y < all<Drawing::Polyline>(inside)[0].points[0].y);
}

TEST_CASE("the line of a dimension runs on to a number that has no room beside it") {
    std::vector<SketchView::Mark> marks{kBox};
    // Lines close by on both sides.
    for (int i = -6; i <= 6; ++i)
        if (i != 0) marks.push_back(mark(Shape::Line, {{1 + i * 0.03, 0.4}, {1 + i * 0.03, 0.5}}));
    SketchView::Mark upright = mark(Shape::Dimension, {{1, 0.4}, {1, 0.5}}, "100 mm");
    upright.offset = 0;
    marks.push_back(upright);
    const Drawing d = sketchDrawing(with(marks));
    const auto words = all<Drawing::Text>(d);
    REQUIRE(words.size() == 1);
    CHECK(words[0].turned == doctest::Approx(0));
    const PaperBox box = boxOf(words[0]);
    const auto lines = all<Drawing::Polyline>(d);
    bool led = false;
    for (const auto& line : lines)
        for (const auto& p : line.points)
            led = led || (p.x > box.left && p.x < box.right && std::min(std::fabs(p.y - box.top), std::fabs(p.y - box.bottom)) < 3);
    CHECK(led);
}

TEST_CASE("supports stand below their point, loads and forces come down on theirs") {
    const Drawing d = sketchDrawing(with({kBox, mark(Shape::Support, {{0, 0}})}));
    const auto lines = all<Drawing::Polyline>(d);
    REQUIRE(lines.size() == 3);
    CHECK(lines[1].points[0].x == doctest::Approx(lines[0].points[0].x));
    CHECK(lines[1].points[0].y == doctest::Approx(lines[0].points[0].y));
    CHECK(lines[1].points[1].y > lines[0].points[0].y);
    const Drawing load = sketchDrawing(with({kBox, mark(Shape::Load, {{0, 1}, {2, 1}})}));
    CHECK(all<Drawing::Filled>(load).size() > 3);
    for (const auto& head : all<Drawing::Filled>(load)) CHECK(head.points[0].y == doctest::Approx(all<Drawing::Polyline>(load)[0].points[2].y));
    const Drawing force = sketchDrawing(with({kBox, mark(Shape::Force, {{1, 1}})}));
    REQUIRE(all<Drawing::Filled>(force).size() == 1);
    CHECK(all<Drawing::Filled>(force)[0].points[0].y == doctest::Approx(all<Drawing::Polyline>(force)[0].points[2].y));
}

TEST_CASE("texts do not cover one another, and hatching leaves them room") {
    std::vector<SketchView::Mark> marks{kBox, mark(Shape::Hatch, {{0, 0}, {2, 0}, {2, 1}, {0, 1}})};
    for (int i = 0; i < 12; ++i) marks.push_back(mark(Shape::Label, {{1, 0.5}}, "label " + std::to_string(i)));
    const Drawing d = sketchDrawing(with(marks));
    const auto words = all<Drawing::Text>(d);
    REQUIRE(words.size() == 12);
    for (std::size_t i = 0; i < words.size(); ++i) {
        const PaperBox box = boxOf(words[i]);
        for (std::size_t k = 0; k < i; ++k) CHECK_FALSE(box.meets(boxOf(words[k])));
        CHECK(box.left >= 0);
        CHECK(box.right <= d.width);
        PaperBox inner{box.left + 0.01, box.top + 0.01, box.right - 0.01, box.bottom - 0.01};
        for (const auto& s : all<Drawing::Strokes>(d))
            for (std::size_t k = 0; k < s.ends.size(); k += 2) CHECK_FALSE(inner.meets(s.ends[k], s.ends[k + 1]));
    }
}

TEST_CASE("the line from a text to its point runs through no other text") {
    // A long member with a long note in its lower edge: the length is written right below that point.
    const std::string note = "a note that is far too long for the depth of this member: cut nothing";
    std::vector<SketchView::Mark> marks{mark(Shape::Outline, {{0, 0}, {10, 0}, {10, 0.3}, {0, 0.3}}), mark(Shape::Dimension, {{10, 0}, {0, 0}}, "10 m")};
    marks[1].offset = 0.01;
    for (int i = 1; i < 20; ++i) {
        marks.push_back(mark(Shape::Line, {{i * 0.5, 0}, {i * 0.5, 0.3}}));
        marks.push_back(mark(Shape::Line, {{0, 0.3 + i * 0.1}, {10, 0.3 + i * 0.1}})); // no room above
    }
    marks.push_back(mark(Shape::Label, {{5, 0.05}}, note));
    const Drawing d = sketchDrawing(with(marks));
    const auto words = all<Drawing::Text>(d);
    REQUIRE(words.size() == 2);
    REQUIRE(words[0].text == "10 m");
    const auto lines = all<Drawing::Polyline>(d);
    const auto dots = all<Drawing::Dot>(d);
    REQUIRE(dots.size() == 1); // the note stands elsewhere, and a line leads to its point
    const auto& leader = lines.back().points;
    REQUIRE(leader.size() == 2);
    CHECK(leader[1].x == doctest::Approx(dots[0].at.x));
    CHECK(leader[1].y == doctest::Approx(dots[0].at.y));
    CHECK_FALSE(boxOf(words[0]).meets(leader[0], leader[1]));
    CHECK_FALSE(boxOf(words[0]).meets(boxOf(words[1])));
}

TEST_CASE("what could not be drawn is counted, and nothing to draw is said") {
    SketchView s = with({kBox});
    s.leftOut = {"a", "b"};
    CHECK(texts(sketchDrawing(s)) == "2 marks could not be drawn;");
    CHECK(texts(sketchDrawing(with({}))) == "there is nothing to draw;");
    // A point has no size, and far away is far away.
    CHECK(std::isfinite(sketchDrawing(with({mark(Shape::Label, {{1e6, -1e6}}, "x")})).width));
}

TEST_CASE("a section as SVG") {
    SketchView s =
        with({mark(Shape::Outline, {{0, 0}, {0.045, 0}, {0.045, 0.22}, {0, 0.22}}), mark(Shape::Hatch, {{0, 0}, {0.045, 0}, {0.045, 0.22}, {0, 0.22}}),
              mark(Shape::Dimension, {{0.045, 0}, {0, 0}}, "45 mm"), mark(Shape::Dimension, {{0, 0}, {0, 0.22}}, "220 mm"), mark(Shape::Support, {{0.0225, 0}}),
              mark(Shape::Force, {{0.0225, 0.22}}), mark(Shape::Label, {{0.0225, 0.11}}, "C24 <&>")});
    s.what = "across";
    sample::compareGolden("sketch.svg", writeSvg(sketchDrawing(s), "s", true));
}
