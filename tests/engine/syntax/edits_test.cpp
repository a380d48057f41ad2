// SPDX-License-Identifier: MIT
#include <doctest/doctest.h>

#include "engine/syntax/document.h"

using namespace spanwright::syntax;

namespace {

std::string set(FileKind kind, const std::string& bytes, std::uint32_t row, std::string_view value) {
    Document d = Document::read("x", kind, bytes);
    const RowEdit edit = valueEdit(d, row, value);
    d.apply({edit});
    return d.text();
}
std::string inSheet(const std::string& row, std::string_view value) { return set(FileKind::Sheet, row, 0, value); }
std::string inJob(const std::string& row, std::string_view value) { return set(FileKind::Job, "member J1 = s\r\n" + row, 1, value).substr(15); }

} // namespace

TEST_CASE("a given's value is replaced, everything else stays") {
    CHECK(inSheet("given   s  = 400 mm from 200 mm to 900 mm        -- joist spacing\r\n", "600 mm") ==
          "given   s  = 600 mm from 200 mm to 900 mm        -- joist spacing\r\n");
    CHECK(inSheet("given\th [mm]=220 mm +- 3 mm\n", "9 in") == "given\th [mm]=9 in +- 3 mm\n");
    CHECK(inSheet("given h = a*(b +\n  c) -- x\n", "1") == "given h = 1 -- x\n");
    CHECK(inSheet("given h = 14 ft 6 in", "4.4 m") == "given h = 4.4 m");
    CHECK(inSheet("given h = -- x\n", "1 m") == "given h = 1 m -- x\n");
    CHECK(inSheet("given h =\n", "1 m") == "given h = 1 m\n");
    CHECK(inSheet("given h\n", "1 m") == "given h = 1 m\n");
    CHECK(inSheet("given h [mm] as design -- x\n", "1 m") == "given h [mm] as design = 1 m -- x\n");
}

TEST_CASE("an ask of a sheet becomes a given") {
    CHECK(inSheet("ask     q_k [kN/m^2] from 0.5 to 10 kN/m^2       -- imposed load\n", "2 kN/m^2") ==
          "given     q_k [kN/m^2] = 2 kN/m^2 from 0.5 to 10 kN/m^2       -- imposed load\n");
    CHECK(inSheet("  ask L as characteristic\n", "3 m") == "  given L as characteristic = 3 m\n");
    CHECK(inSheet("ask L", "3 m") == "given L = 3 m");
}

TEST_CASE("a choose takes a key") {
    CHECK(inSheet("choose  grade = C24  from en338 -- class\n", "C16") == "choose  grade = C16  from en338 -- class\n");
    CHECK(inSheet("choose  grade from en338\n", "C16") == "choose  grade = C16 from en338\n");
    CHECK(inSheet("choose  s = Douglas fir-larch, #2 from nds\n", "Hem-fir, #1") == "choose  s = Hem-fir, #1 from nds\n");
    CHECK(inSheet("choose  s = \"C24\" from nds\n", "C16") == "choose  s = C16 from nds\n");
}

TEST_CASE("a job's with and given") {
    CHECK(inJob("   with  L  = 3.6 m   # no comment\r\n", "4.1 m") == "   with  L  = 4.1 m\r\n");
    CHECK(inJob("with grade = C24 -- as bought -- label\r\n", "C16") == "with grade = C16 -- as bought -- label\r\n");
    CHECK(inJob("with w = J1.R_G/J1.s\r\n", "2 kN/m") == "with w = 2 kN/m\r\n");
    CHECK(inJob("with w =\r\n", "2 kN/m") == "with w = 2 kN/m\r\n");
    CHECK(inJob("with w\r\n", "2 kN/m") == "with w = 2 kN/m\r\n");
    CHECK(set(FileKind::Job, "given snow = 1.8 kN/m^2 -- map\n", 0, "2 kN/m^2") == "given snow = 2 kN/m^2 -- map\n");
}

TEST_CASE("a row that can hold no value is left alone") {
    for (const char* row : {"derive a = 1\n", "title given x = 1\n", "# given x = 1\n", "given\n", "\n", "table t\n"}) CHECK(inSheet(row, "9") == row);
    const Document d = Document::read("x", FileKind::Sheet, "");
    CHECK(valueEdit(d, 3, "1").text.empty());
}

TEST_CASE("the edited row reads as what was set") {
    Document d = Document::read("x", FileKind::Sheet, "ask q [kN/m] as design from 1 to 3 kN/m -- load -- source\n");
    d.apply({valueEdit(d, 0, "2 kN/m")});
    const Row& row = d.rows()[0];
    CHECK(row.kind == RowKind::Given);
    CHECK(row->formula.top().text == "2 kN/m");
    CHECK(row->tag == Tag::Design);
    CHECK(row->limits.high.top().text == "3 kN/m");
    CHECK(row->source.text == "source");
    CHECK(d.diagnostics().empty());
}
