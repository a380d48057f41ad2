// SPDX-License-Identifier: MIT
#include <doctest/doctest.h>

#include "tests/engine/meaning/sheet_text.h"

using namespace spanwright;
using meaning::PieceDefinition;
using Measure = PieceDefinition::Operation::Measure;

namespace {

const std::string kRows = "list joints\nat [m], flange [text]\n1, top\n2, low\nend\neach j in joints\neach k in joints\n"
                          "table classes by class\nclass, rho_mean [kg/m^3]\nC24, 420\nC30, 460\nend\nchoose grade = C24 from classes\n"
                          "table ways by way\nway, what [text]\nalong, a\nacross, b\nend\nchoose lies = along from ways\n"
                          "given b = 45 mm\ngiven h = 220 mm\ngiven L = 3.6 m\ncheck c: b <= h\n";

std::string wrong(const std::string& rows) { return SheetText(kRows + rows + "\n").told(); }

} // namespace

TEST_CASE("a piece has a count, three sizes, what it is cut from and what is done to it") {
    const SheetText s(kRows + "piece web = 2 off, b by h to 2*h by L from grade, grain across, groove 2*L, glue 2*L*b, screws 12, rip, at L/2\n");
    REQUIRE(s.told() == "");
    REQUIRE(s.sheet->pieces.size() == 1);
    const PieceDefinition& p = s.sheet->pieces[0];
    CHECK(p.name == "web");
    REQUIRE(p.stock.size() == 1);
    CHECK(p.stock[0].choice.valid());
    CHECK(p.sizes.size() == 3);
    CHECK(p.breadthEnd.valid());
    CHECK(p.at.valid());
    CHECK(p.grain == PieceDefinition::Grain::Across);
    REQUIRE(p.operations.size() == 4);
    CHECK(p.operations[0].measure == Measure::Length);
    CHECK(p.operations[1].measure == Measure::Area);
    CHECK(p.operations[2].measure == Measure::Count);
    CHECK(p.operations[3].name == "rip");
    CHECK_FALSE(p.operations[3].amount.valid());
    CHECK_FALSE(p.axis.valid());
}

TEST_CASE("a piece may stand for every row of one list") {
    const SheetText s(kRows + "piece part = 1 off, b by h by j.at from grade and deal, grain lies only if j.flange == \"top\"\n");
    REQUIRE(s.told() == "");
    const PieceDefinition& p = s.sheet->pieces[0];
    CHECK(p.axis.valid());
    CHECK(p.onlyIf.valid());
    CHECK(p.grain == PieceDefinition::Grain::Chosen);
    CHECK_FALSE(p.stock[1].choice.valid());
    CHECK(p.stock[1].word == "deal");
    CHECK(wrong("piece part = 1 off, b by k.at by j.at from grade").find("more than one each row") != std::string::npos);
}

TEST_CASE("what does not fit in a piece is told") {
    CHECK(wrong("piece p = 1 off, b by h by L").find("S102") == 0);
    CHECK(wrong("piece p = 1 off, b by L from grade").find("a thickness, a breadth and a length") != std::string::npos);
    CHECK(wrong("piece p = 1 off, b to h by h by L from grade").find("only the breadth") != std::string::npos);
    CHECK(wrong("piece p = L off, b by h by L from grade").find("M3") == 0);
    CHECK(wrong("piece p = 1 off, b by h by L*L from grade").find("M303") == 0);
    CHECK(wrong("piece p = 1 off, b by h by L from grade, groove L^3").find("a length, an area or a count") != std::string::npos);
    CHECK(wrong("piece p = 1 off, b by h by L from grade, grain upwards").find("how the grain") != std::string::npos);
    CHECK(wrong("piece p = 1 off, b by h by L from grade, groove L, groove L").find("twice") != std::string::npos);
    CHECK(wrong("piece p = 1 off, b by h by L from grade, at").find("says nothing") != std::string::npos);
    CHECK(wrong("piece p = 1 off, b by h by L from grade, density L").find("M303") == 0);
    CHECK(wrong("piece p = 1 off, b by h by L from grade,").find("S102") == 0);
    CHECK(wrong("piece p = 1 off, b by h by L from grade\npiece p = 1 off, b by h by L from grade").find("defined twice") != std::string::npos);
}
