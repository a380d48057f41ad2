// SPDX-License-Identifier: MIT
// Cases that an each leaves out, and tags of columns.
#include <doctest/doctest.h>

#include "worked_sheet.h"

using namespace spanwright;
using eval::State;
using eval::test::WorkedSheet;

namespace {

const std::string kPoints =
    "given L [m] = 3 m\nlist points by load\nload, at [m], P [kN] as characteristic, side [text]\na, 1, 2, top\nb, 2, 4, low\nc, 5, 8, top\nend\n";

} // namespace

TEST_CASE("an each goes over the rows for which its condition holds") {
    WorkedSheet t(kPoints + "each t in points only if t.side == \"top\"\neach i in points only if i.at <= L\n"
                            "derive top [kN] as characteristic = sum(t.P, over t)\nderive on [kN] as characteristic = sum(i.P, over i)\n"
                            "derive n = count(i.at > 0 m, over i)\nderive pairs [m] = t.at + i.at\n");
    REQUIRE(t.complaints() == "");
    CHECK(t.number("top") == doctest::Approx(10e3));
    CHECK(t.number("on") == doctest::Approx(6e3));
    CHECK(t.number("n") == 2.0);
    CHECK(t.at("pairs").many == std::vector<double>{2, 3, 6, 7});
    t.state("L", 10.0);
    t.work();
    CHECK(t.number("on") == doctest::Approx(14e3));
    CHECK(t.at("pairs").many.size() == 6);
    t.state("L", 0.5);
    t.work();
    CHECK(t.at("i").known());
    CHECK(t.at("pairs").many.empty());
}

TEST_CASE("the condition of an each that cannot be worked out stops its rows, and no others") {
    WorkedSheet s(kPoints + "given z = 0\neach i in points only if i.at/z > 1 m\nderive on [kN] as characteristic = sum(i.P, over i)\nderive other = z + 1\n");
    REQUIRE(s.complaints() == "");
    CHECK(s.said("i").find("division by zero") != std::string::npos);
    CHECK(s.at("on").state == State::Blocked);
    CHECK(s.number("other") == 1.0);
}

TEST_CASE("what is wrong in the condition of an each is told there") {
    CHECK(WorkedSheet(kPoints + "each i in points only if i.at + 1\n").complaints().find("and") != std::string::npos);
    CHECK(WorkedSheet(kPoints + "each i in points only if i.at\n").complaints().find("condition") != std::string::npos);
    CHECK(WorkedSheet(kPoints + "each i in points\neach j in points only if j.at > i.at\n").complaints().find("cannot depend on the rows of another each") !=
          std::string::npos);
    // A row that depends on what is left cannot decide what is left.
    CHECK(WorkedSheet(kPoints + "each i in points only if n > 1\nderive n = count(i.at > 0 m, over i)\n").at("n").state == State::Blocked);
}

TEST_CASE("a column hands its tag on") {
    CHECK(WorkedSheet(kPoints + "each i in points\nderive d [kN] as design = i.P\n").complaints().find("declared as design") != std::string::npos);
    CHECK(WorkedSheet(kPoints + "each i in points\nderive d [kN] as design = 1.35*i.P\n").complaints() == "");
    CHECK(WorkedSheet(kPoints + "each i in points\ngiven D [kN] as design = 1 kN\nderive d [kN] = i.P + D\n").complaints().find("meets a design value") !=
          std::string::npos);
}
