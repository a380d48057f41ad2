// SPDX-License-Identifier: MIT
#include <doctest/doctest.h>

#include "tests/engine/meaning/sheet_text.h"

using namespace spanwright;
using meaning::Factors;

namespace {

const std::string kBeam = "table c by k\nk, G, Q\na, 1.35, 1.5\nb, 1.35, 0\nend\n"
                          "table p by n\nn, at [m], P [kN]\n1, 1, 2\n2, 2, 3\nend\n"
                          "table one by k\nk, G\na, 1\nend\n"
                          "each u in c\neach l in p\nchoose ch = b from c\neach o in one\n"
                          "given g [kN/m] as characteristic = 1 kN/m\ngiven q [kN/m] = 2 kN/m\ngiven L = 3 m\ngiven EI [kN*m^2] = 100 kN*m^2\n"
                          "beam B from 0 m to L\n stiffness EI*(1 + x/L), 20 kN only if L > 2 m\n stiffness EI\n support 0 m, L/2 sinks 3 mm, fixed L\n"
                          " load G line g\n load Q line q to 2*q from 1 m to L each span\n load Q point l.P at l.at only if L > 1 m\nend\n";

} // namespace

TEST_CASE("a beam block is read into what the solver needs") {
    const SheetText s(kBeam);
    REQUIRE(s.told() == "");
    REQUIRE(s.sheet->beams.size() == 1);
    const auto& b = s.sheet->beams[0];
    CHECK(b.name == "B");
    CHECK(b.actions == std::vector<std::string>{"G", "Q"});
    REQUIRE(b.supports.size() == 3);
    CHECK(b.supports[1].sink.valid());
    CHECK(b.supports[2].fixed);
    REQUIRE(b.loads.size() == 3);
    CHECK(b.loads[1].shape == syntax::LoadRow::Shape::Triangle);
    CHECK(b.loads[1].eachSpan);
    CHECK(b.loads[1].sizeEnd.valid());
    CHECK(b.loads[2].axis == s.at("l").id);
    CHECK(b.loads[2].onlyIf.valid());
    CHECK_FALSE(b.constantStiffness);
    CHECK(s.sheet->exprs.at(b.stiffnessEI).kind == meaning::ExprKind::If); // the first row that applies
    CHECK(s.reads("B") == "l g q L EI");
    CHECK(s.at("B").axes.empty());
}

TEST_CASE("what a beam gives") {
    const SheetText s(
        kBeam + "derive a [kN] = B.R(1, G)\nderive b [kN] = B.R(1, u)\nderive d [kN*m] = largest(B.M(x, ch), x from 0 m to L)\nderive e [mm] = B.w_most(1 m)\n"
                "derive f [m] = where_largest(B.V(x, u), x from 0 m to L/2 to L)\nderive r = B.residual\nderive n [kN] = B.R(1)\n");
    REQUIRE(s.told() == "");
    const auto root = [&](const char* name) { return s.sheet->exprs.at(s.at(name).formula); };
    CHECK(root("a").factors.from == Factors::From::OneAction);
    CHECK(root("a").factors.action == 0);
    CHECK(s.at("a").tag == syntax::Tag::Characteristic); // the tag of its loads
    CHECK(root("b").factors.from == Factors::From::Axis);
    CHECK(root("b").factors.columns == std::vector<std::uint32_t>{1, 2});
    CHECK(s.at("b").tag == syntax::Tag::None);
    CHECK(s.at("b").axes == std::vector<meaning::QuantityId>{s.at("u").id});
    CHECK(s.reads("b") == "u B");
    CHECK(s.reads("d") == "ch L B");
    CHECK(root("e").beamValue == meaning::BeamOutput::WMost);
    CHECK(root("e").factors.from == Factors::From::All);
    CHECK(s.at("n").tag == syntax::Tag::None); // G is characteristic, Q is not tagged
    CHECK(root("r").children.empty());
    CHECK(s.formula("f") == "where_largest(B.V(x, u), x from 0 m to L/2 to L)");
}

TEST_CASE("wrong questions to a beam") {
    CHECK(said(kBeam + "derive a [kN] = B.R(1, W)") ==
          "M320 beam `B` has no load of the action `W` | its actions are G, Q; or name an each row or a chosen row with one column per action");
    CHECK(said(kBeam + "derive a [kN*m] = B.M(1 m, o)") ==
          "M320 table `one` has no factor for the action `Q` of beam `B` | give it a column `Q`; 0 where the action does not act");
    CHECK(said(kBeam + "derive h [kN] = B.X(1)") ==
          "M308 a beam does not give `X` | a beam gives M, V, V_web, w, R, M_R, each also with _most and _least, and residual");
    CHECK(said(kBeam + "derive i [kN] = B.V(1, G)") ==
          "M303 a place on the beam must be in m, and this is a pure number | write the unit behind the number: 1 m");
    CHECK(said(kBeam + "derive j [kN*m] = B.M") == "M309 `B.M` takes a place and what acts | write B.M(x) or B.M(x, action)");
    CHECK(said(kBeam + "derive n [kN] = B.R(1 m)") ==
          "M305 the number of a support must be a pure number, and this is in m | divide it by a value of the same kind, or write number(..., mm)");
    CHECK(said(kBeam + "derive n [kN] = B") == "M307 `B` is a beam; a value is wanted here | ask for what it gives: B.M(x), B.V(x), B.w(x) or B.R(1)");
}

TEST_CASE("wrong beams") {
    const std::string ends = "given L = 3 m\ntable c by k\nk, G\na, 1.35\nend\neach u in c\nderive w [kN/m] = u.G*1 (kN/m)\n";
    CHECK(said(ends + "beam A from 0 m to L\n support 0 m\nend\n") == "M323 beam `A` has no loads | write what it carries: load G line ...");
    CHECK(said(ends + "beam A from 0 m to L\nend\n") == "M323 beam `A` has neither supports nor loads | write where it rests: support 0 m, L");
    CHECK(said(ends + "beam A from 0 m to L\n stiffness 3 kN\n support 0 m, 2 kN\n load G line 3 kN\n load G point 3 kN at 2\nend\n") ==
          "M303 a bending stiffness E*I must be in N·m², and this is in kN | write a value in N·m², or in another unit of that kind\n"
          "M303 the place of a support must be in m, and this is in kN | write a value in m, or in another unit of that kind\n"
          "M303 a line load must be in kN/m, and this is in kN | write a value in kN/m, or in another unit of that kind\n"
          "M303 the place of a load must be in m, and this is a pure number | write the unit behind the number: 2 m");
    CHECK(said(ends + "beam A from 0 m to L\n support 0 m, L\n load G line 25 (kg/m)\nend\n") ==
          "M304 a line load must be in kN/m, and this is in kg/m: a mass is no force | write kgf for kg, or multiply by g_n");
    CHECK(said(ends + "beam A from 0 m to L\n support 0 m, L\n load G line w\nend\n") ==
          "M316 this load uses a value that has one number for every row of `u` | put in the loads of one action without factors and give the rows when "
          "asking: B.M(x, u); or reduce "
          "the value: largest(..., over u)");
}
