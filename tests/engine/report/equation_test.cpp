// SPDX-License-Identifier: MIT
#include <doctest/doctest.h>

#include "engine/report/equation.h"
#include "engine/report/write.h"
#include "tests/engine/report/sample_facts.h"

using namespace spanwright::report;
using Kind = spanwright::meaning::Box::Kind;

namespace {
std::string lineOf(const Equation::Line& l) { return spanwright::meaning::plain(l.left) + "|" + l.relation + "|" + spanwright::meaning::plain(l.right); }
} // namespace

TEST_CASE("formula, values put in, result") {
    const spanwright::job::Working w = *sample::job().members[0].rows[1].working;
    const Equation e = equationOf(w);
    REQUIRE(e.lines.size() == 3);
    CHECK(e.lines[0].relation == "=");
    CHECK(e.lines[1].left.children.empty());
    CHECK(lineOf(e.lines[2]).find("2.106") != std::string::npos);
}

TEST_CASE("steps that say the same are left out") {
    const Equation e = equationOf(*sample::job().members[0].rows[0].working);
    REQUIRE(e.lines.size() == 1);
    CHECK(lineOf(e.lines[0]).rfind("s|=|", 0) == 0);
}

TEST_CASE("a check that fails ends in what is true") {
    spanwright::job::Working w = *sample::job().members[1].rows[3].working;
    CHECK(checkFails(w));
    CHECK(equationOf(w).lines.back().relation == ">");
    w.utilisation = 1.0 + 5e-10;
    CHECK_FALSE(checkFails(w));
    CHECK(equationOf(w).lines.back().relation == "≤");
    w.relation = "<";
    CHECK_FALSE(checkFails(w));
    CHECK(equationOf(w).lines.back().relation == "≤");
}

TEST_CASE("what is not known has no result") {
    spanwright::job::Working w = *sample::job().members[0].rows[1].working;
    w.state = spanwright::eval::State::Blocked;
    const Equation e = equationOf(w);
    REQUIRE(e.lines.size() == 1);
    CHECK(lineOf(e.lines[0]).find("2.106") == std::string::npos);
}

TEST_CASE("formulas as MathML") {
    CHECK(writeMathml(sample::sub("σ", "m"), false) ==
          "<math xmlns=\"http://www.w3.org/1998/Math/MathML\" displaystyle=\"true\"><mrow><msub><mrow><mi>σ</mi></mrow><mrow><mi>m</mi></mrow></msub></mrow></math>");
    CHECK(writeMathml(valueBox("2.1 kN·m"), false).find("<mn>2.1</mn><mspace width=\"0.17em\"></mspace><mi mathvariant=\"normal\">kN·m</mi>") !=
          std::string::npos);
    CHECK(writeMathml(sample::word(Kind::Word, "a<b&c"), false).find("a&lt;b&amp;c") != std::string::npos);
    spanwright::meaning::Box cases;
    cases.kind = Kind::Cases;
    cases.children = {sample::word(Kind::Number, "1"), sample::word(Kind::Word, "if x"), sample::word(Kind::Number, "2")};
    CHECK(writeMathml(cases, false).find("<mtr><mtd><mrow><mn>2</mn></mrow></mtd></mtr>") != std::string::npos);
}
