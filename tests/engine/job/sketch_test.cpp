// SPDX-License-Identifier: MIT
#include "tests/engine/job/support.h"

#include <cmath>

using namespace spanwright;
using namespace spanwright::job;
using namespace spanwright::job::tests;

namespace {

const std::string kRows =
    "sheet   trial\nlist joints\nat [m], flange [text]\n1.5, top\n2.25, low\nend\neach j in joints\n"
    "ask q_k [kN/m] from 0 to 5\nask w [mm]\ngiven b = 45 mm\ngiven h = 220 mm\ngiven L = 3.6 m\ngiven t = 0 mm\ngiven e = 2 ft\nderive n = h/t\n"
    "derive M [kN*m] = q_k*j.at^2\nderive A_net [mm^2 10] = b*h\ncheck c: b <= h\n";

struct Sketched {
    std::unique_ptr<Desk> desk;
    std::optional<SketchView> view;
};

Sketched sketch(const std::string& marks, const std::string& with = "with q_k = 2 kN/m\nwith w = 10 mm\n") {
    Sketched out;
    out.desk = std::make_unique<Desk>("job T\nmember J1 = trial\n" + with, kRows + "sketch Section heights 2 times -- across\n" + marks + "end\n");
    Job& job = out.desk->open();
    for (const meaning::Quantity& q : job.sheet(0).quantities)
        if (q.kind == meaning::Kind::Sketch) out.view = job.sketch(0, q.id);
    REQUIRE(out.view);
    return out;
}

std::string text(const std::string& mark) {
    const Sketched s = sketch(mark + "\n");
    REQUIRE_MESSAGE(s.view->marks.size() == 1, told(*s.desk->job));
    return s.view->marks[0].text;
}

std::string leftOut(const std::string& mark, const std::string& with = "with q_k = 2 kN/m\nwith w = 10 mm\n") {
    const Sketched s = sketch(mark + "\n", with);
    CHECK(s.view->marks.empty());
    REQUIRE(s.view->leftOut.size() == 1);
    return s.view->leftOut[0];
}

} // namespace

TEST_CASE("coordinates are worked out in metres") {
    const Sketched s = sketch("line dashed -b/2, 0 to L + e, h\n");
    CHECK(s.view->title == "Section");
    CHECK(s.view->what == "across");
    CHECK(s.view->heights == 2.0);
    REQUIRE(s.view->marks.size() == 1);
    const auto& m = s.view->marks[0];
    CHECK(m.shape == SketchView::Shape::Line);
    CHECK(m.other);
    REQUIRE(m.points.size() == 2);
    CHECK(m.points[0].x == doctest::Approx(-0.0225));
    CHECK(m.points[0].y == 0.0);
    CHECK(m.points[1].x == doctest::Approx(3.6 + 0.6096));
    CHECK(m.points[1].y == doctest::Approx(0.22));
    CHECK(s.view->leftOut.empty());
}

TEST_CASE("a dimension says the true distance in the unit of its first coordinate that is not a bare 0") {
    CHECK(text("dimension 0, 0 to b, 0") == "45 mm");
    CHECK(text("dimension 0 m, 0 to b, 0") == "0.045 m");
    CHECK(text("dimension 0, 0 to L, 0") == "3.6 m");
    CHECK(text("dimension 0, 0 to e, 0") == "2 ft");
    CHECK(text("dimension L, 0 to 0, 0") == "3.6 m");
    CHECK(text("dimension 0, 0 to 0, 0") == "0 mm");
    // 3-4-5, whatever the heights are drawn like.
    CHECK(text("dimension 0, 0 to 3*b, 4*b") == "225 mm");
    CHECK(*sketch("dimension 0, 0 to b, 0 offset -h/4\n").view->marks[0].offset == doctest::Approx(-0.055));
}

TEST_CASE("a label says a text, a value with its symbol, a cell") {
    CHECK(text("label 0, 0 \"end A\"") == "end A");
    CHECK(text("label 0, 0 h") == "h = 220 mm");
    CHECK(text("label 0, 0 A_net") == "A_net = 9900 mm²");
    CHECK(text("label 0, 0 M") == "M = 10.13 kN·m"); // the governing one: 2*2.25^2
    const Sketched s = sketch("label j.at, 0 j.flange\nlabel j.at, 0 M\nlabel j.at, 0 j\nlabel j.at, 0 j.at\n");
    std::string all;
    for (const auto& m : s.view->marks) all += m.text + ";";
    CHECK(all == "top;low;M = 4.5 kN·m;M = 10.13 kN·m;1.5;2.25;1.5 m;2.25 m;");
}

TEST_CASE("only if leaves a mark away, and each draws one for every row") {
    CHECK(sketch("support 0, 0 only if b > h\n").view->marks.empty());
    CHECK(sketch("support 0, 0 only if b > h\n").view->leftOut.empty());
    CHECK(sketch("support 0, 0 only if b < h\n").view->marks.size() == 1);
    const Sketched s = sketch("line j.at, 0 to j.at, h only if j.flange == \"low\"\nline j.at, 0 to j.at, h\n");
    REQUIRE(s.view->marks.size() == 3);
    CHECK(s.view->marks[0].points[0].x == doctest::Approx(2.25));
    CHECK(s.view->marks[1].points[0].x == doctest::Approx(1.5));
}

TEST_CASE("a mark that cannot be worked out is left out, said, and changes no verdict") {
    CHECK(leftOut("line 0, 0 to w, h", "with q_k = 1 kN/m\n") == "line 20, line: `w` is not stated");
    CHECK(leftOut("line 0, 0 to b*n, h").find("line 20, line: `n`: ") == 0);
    CHECK(leftOut("line 0, 0 to b*h/t, h") == "line 20, line: division by zero: t is 0 mm");
    CHECK(leftOut("line 0, 0 to 3, h") == "line 20, line: a coordinate must be in m, and this is a pure number");
    CHECK(leftOut("line 0, 0 to L*1e9, h") == "line 20, line: a coordinate is farther than 1000 km away");
    CHECK(leftOut("support 0, 0 only if n > 1").find("line 20, support: `n`: ") == 0);
    CHECK(leftOut("label 0, 0 w", "with q_k = 1 kN/m\n") == "line 20, label: `w` is not stated");

    const std::string good = "sheet trial\ngiven b = 45 mm\ngiven t = 0 mm\ncheck c: b <= 50 mm\n";
    for (const char* mark : {"line 0, 0 to b*b/t, b", "line 0, 0 to nobody, b", "line 0, 0", "line 0, 0 to 3, b", "hatch 0, 0 to b, b"}) {
        Desk desk("", good + "sketch S\n" + mark + "\nend\n");
        Job& job = desk.openSheet();
        CHECK(job.verdict() == Verdict::Ok);
        CHECK(job.exitStatus() == 0);
    }
}

TEST_CASE("a sketch in a part that does not apply is not drawn") {
    Desk desk(
        "",
        "sheet trial\ngiven b = 45 mm\ncheck c: b <= 50 mm\npart P only if b > 50 mm\nsketch S\nsupport 0, 0\nend\notherwise\nsketch T\nsupport 0, 0\nend\n");
    Job& job = desk.openSheet();
    std::string drawn;
    for (const meaning::Quantity& q : job.sheet(0).quantities)
        if (const auto view = job.sketch(0, q.id)) drawn += view->title;
    CHECK(drawn == "T");
    CHECK(job.verdict() == Verdict::Ok);
}

TEST_CASE("a sketch follows its values and its text") {
    Sketched s = sketch("dimension 0, 0 to b, 0\n");
    Job& job = *s.desk->job;
    const meaning::QuantityId id = job.sheet(0).quantities.back().id;
    REQUIRE(job.sheet(0).at(id).kind == meaning::Kind::Sketch);
    REQUIRE(job.override("J1", "b", "60 mm"));
    CHECK(job.sketch(0, id)->marks[0].text == "60 mm");
}

TEST_CASE("a sketch holds at most 1,000 marks") {
    std::string rows = "at [m], flange [text]\n";
    for (int i = 1; i <= 1'200; ++i) rows += std::to_string(i) + ", top\n";
    const Sketched s = sketch("support j.at, 0\n", "with q_k = 2 kN/m\nwith w = 10 mm\nlist joints\n" + rows + "end\n");
    CHECK(s.view->marks.size() == 1'000);
    REQUIRE(s.view->leftOut.size() == 1);
    CHECK(s.view->leftOut[0] == "line 20, support: a sketch holds at most 1,000 marks");
}
