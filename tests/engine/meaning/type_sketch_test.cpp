// SPDX-License-Identifier: MIT
#include <doctest/doctest.h>

#include "tests/engine/meaning/sheet_text.h"

using namespace spanwright;
using Shape = meaning::SketchDefinition::Shape;

namespace {

const std::string kRows = "list joints\nat [m], flange [text]\n1, top\n2, low\nend\neach j in joints\neach k in joints\n"
                          "given b = 45 mm\ngiven h = 220 mm\ngiven n = 2\nderive x_j [m] = j.at + b\ncheck c: b <= h\n";

SheetText sketch(const std::string& marks) { return SheetText(kRows + "sketch Section heights 4 times -- across\n" + marks + "end\n"); }

std::string wrong(const std::string& mark) { return sketch(mark + "\n").told(); }

} // namespace

TEST_CASE("a sketch is read into typed marks") {
    const SheetText s =
        sketch("outline 0, 0 to b, 0 to b, h\nhatch panel 0, 0 to b, 0 to b, h\nhatch 0, 0 to b, 0 to b, h\nline dashed 0, 0 to b, h\nline 0, 0 to b, h\n"
               "dimension 0, 0 to b, 0 offset -h/4\nsupport 0, 0\nload 0, h to b, h\nforce b, h only if b > 40 mm\nlabel b, h \"end A\"\nlabel b, h h\n");
    REQUIRE(s.told() == "");
    REQUIRE(s.sheet->sketches.size() == 1);
    const auto& sketch = s.sheet->sketches[0];
    CHECK(sketch.title == "Section");
    CHECK(sketch.heights == 4.0);
    const Shape shapes[] = {Shape::Outline, Shape::Hatch, Shape::Hatch, Shape::Line,  Shape::Line, Shape::Dimension,
                            Shape::Support, Shape::Load,  Shape::Force, Shape::Label, Shape::Label};
    REQUIRE(sketch.marks.size() == 11);
    for (std::size_t i = 0; i < 11; ++i) CHECK(sketch.marks[i].shape == shapes[i]);
    CHECK(sketch.marks[1].other);
    CHECK_FALSE(sketch.marks[2].other);
    CHECK(sketch.marks[3].other);
    CHECK_FALSE(sketch.marks[4].other);
    CHECK(sketch.marks[5].offset.valid());
    CHECK(sketch.marks[8].onlyIf.valid());
    CHECK(sketch.marks[9].text == "end A");
    CHECK(sketch.marks[10].value.valid());
    CHECK(s.sheet->quantities.back().kind == meaning::Kind::Sketch);
    CHECK(s.sheet->quantities.back().what == "across");
    // So that the drawing follows its values.
    CHECK(s.sheet->quantities.back().reads.size() == 2);
}

TEST_CASE("a mark over the rows of one each is drawn for every row") {
    const SheetText s = sketch("line j.at, 0 to j.at, h\nline x_j, 0 to x_j, h\nlabel b, h j.flange\nlabel b, h j\nlabel b, h x_j\nlabel j.at, h x_j\n");
    REQUIRE(s.told() == "");
    const auto& marks = s.sheet->sketches[0].marks;
    const auto j = s.at("j").id;
    CHECK(marks[0].axis == j);
    CHECK(marks[1].axis == j);
    CHECK(marks[2].axis == j);
    CHECK(marks[3].axis == j);
    CHECK_FALSE(marks[4].axis.valid()); // says the governing one
    CHECK(marks[5].axis == j);
}

TEST_CASE("what is wrong with a mark is told, as a warning") {
    CHECK(wrong("line 0, 0 to n, h") == "M303 a coordinate must be in m, and this is a pure number | a factor in m is missing, or one too many");
    CHECK(wrong("line 0, 0 to 3, h") == "M303 a coordinate must be in m, and this is a pure number | write the unit behind the number: 3 m");
    CHECK(wrong("line 0, 0 to q, h") == "M301 `q` is defined nowhere | define it in a row of its own, such as: given q = ...");
    CHECK(wrong("dimension 0, 0 to b, h offset n") ==
          "M303 the offset of a dimension must be in m, and this is a pure number | a factor in m is missing, or one too many");
    CHECK(wrong("line j.at, 0 to k.at, h") == "M316 this mark goes over more than one each row: `j` and `k` | let it go over one only");
    CHECK(wrong("support b, 0 only if n").find("`only if`") != std::string::npos);
    CHECK(wrong("label b, h joints").find("`joints` is a list") != std::string::npos);
    for (const char* mark : {"line 0, 0 to n, h\n", "line 0, 0\n", "label 0, 0 joints\n"}) {
        const SheetText s = sketch(std::string(mark) + "support 0, 0\n");
        for (const auto& d : s.sheet->diagnostics) CHECK(d.severity == diag::Severity::Warning);
        REQUIRE(s.sheet->sketches[0].marks.size() == 2);
        CHECK_FALSE(s.sheet->sketches[0].marks[0].fault.empty());
        CHECK(s.sheet->sketches[0].marks[1].fault.empty());
        CHECK_FALSE(s.sheet->quantities.back().broken);
    }
}

TEST_CASE("a row that is no mark may have been meant as a check: it stays an error") {
    const SheetText s = SheetText(kRows + "sketch Section\nsupport 0, 0\nchek d: b <= h\nend\n");
    REQUIRE(s.sheet->diagnostics.size() == 1);
    CHECK(s.sheet->diagnostics[0].severity == diag::Severity::Error);
}
