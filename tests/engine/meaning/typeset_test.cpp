// SPDX-License-Identifier: MIT
#include <map>

#include <doctest/doctest.h>

#include "tests/engine/meaning/sheet_text.h"

using namespace spanwright;
using meaning::Box;
using meaning::plain;
using meaning::typesetName;

namespace {

const std::string kRows = "table t by k\nk, v [mm]\na, 2\nend\nmatrix m by r and c\nr, x\n1, 2\nend\neach u in t\nchoose g from t\n"
                          "given a = 1\ngiven b = 2\ngiven c = 3\ngiven L = 3 m\ngiven w_d [kN/m] = 2 kN/m\ngiven sigma_m_d [N/mm^2] = 3 N/mm^2\ngiven h = 100 "
                          "mm\ndefine f(x) = 2*x\n";

std::string line(const std::string& formula, const std::string& unit = "") {
    const SheetText s(kRows + "derive z " + (unit.empty() ? "" : "[" + unit + "] ") + "= " + formula + "\n");
    REQUIRE(s.told() == "");
    return s.formula("z");
}

/// The formula with values put in; branches of `if` by name of the quantity in the condition's left side.
std::string putIn(const std::string& formula, const std::string& unit, const std::map<std::string, std::string>& values, int branch = 0) {
    const SheetText s(kRows + "derive z " + (unit.empty() ? "" : "[" + unit + "] ") + "= " + formula + "\n");
    REQUIRE(s.told() == "");
    const auto naming = meaning::namingOf(*s.sheet);
    meaning::PutIn put;
    put.value = [&](meaning::ExprId id) -> std::optional<std::string> {
        const auto found = values.find(naming.leaf(s.sheet->exprs.at(id)));
        if (found == values.end()) return {};
        return found->second;
    };
    put.branch = [&](meaning::ExprId) { return std::optional<int>(branch); };
    return plain(meaning::typeset(s.sheet->exprs, s.at("z").formula, naming, &put));
}

} // namespace

TEST_CASE("names split at underscores, Greek letters by name") {
    const Box sigma = typesetName("sigma_m_d");
    CHECK(sigma.kind == Box::Kind::Sub);
    CHECK(sigma.children[0].kind == Box::Kind::Name);
    CHECK(sigma.children[0].text == "σ");
    CHECK(sigma.children[1].text == "m,d");
    CHECK(typesetName("L").kind == Box::Kind::Name);
    CHECK(typesetName("grade").kind == Box::Kind::Word);
    CHECK(typesetName("Delta").text == "Δ");
    CHECK(typesetName("x1").kind == Box::Kind::Name);
    CHECK(typesetName("k_theta").children[1].text == "θ");
    CHECK(plain(sigma) == "σ_m_d");
    CHECK(plain(typesetName("grade.f_mk")) == "grade.f_mk");
    CHECK(syntax::canonicalName(plain(sigma)) == "sigma_m_d");
}

TEST_CASE("brackets are few and never ambiguous") {
    CHECK(line("w_d*L^2/8", "kN*m") == "w_d·L²/8");
    CHECK(line("a+b*c") == "a + b·c");
    CHECK(line("(a+b)*c") == "(a + b)·c");
    CHECK(line("a-(b-c)") == "a - (b - c)");
    CHECK(line("a-b-c") == "a - b - c");
    CHECK(line("a/(b*c)") == "a/(b·c)");
    CHECK(line("a/b/c") == "a/b/c");
    CHECK(line("a/(b/c)") == "a/(b/c)");
    CHECK(line("a/b*c") == "a/b·c");
    CHECK(line("a*(b/c)") == "a·(b/c)");
    CHECK(line("a*(b*c)") == "a·(b·c)");
    CHECK(line("(a+b)/(a-b)") == "(a + b)/(a - b)");
    CHECK(line("-a^2") == "-a²");
    CHECK(line("(-a)^2") == "(-a)²");
    CHECK(line("a*-b") == "a·(-b)");
    CHECK(line("a - -b") == "a - (-b)");
    CHECK(line("-(a+b)") == "-(a + b)");
    CHECK(line("-a/b") == "-a/b");
    CHECK(line("(a/b)^c") == "(a/b)^c");
    CHECK(line("a^(b+c)") == "a^(b + c)");
    CHECK(line("a^-1") == "a^(-1)");
    CHECK(line("a^b^c") == "a^(b^c)");
    CHECK(line("(a^b)^c") == "(a^b)^c");
    CHECK(line("a^(1/5)") == "a^(1/5)");
    CHECK(line("sqrt(a+b)*cbrt(c)") == "sqrt(a + b)·cbrt(c)");
    CHECK(line("abs(a-b)/c") == "|a - b|/c");
    CHECK(line("abs(abs(a)-b)") == "abs(|a| - b)");
    CHECK(line("min(a, b, max(a, c))") == "min(a, b, max(a, c))");
    CHECK(line("150 mm/h") == "150 mm/h");
    CHECK(line("h/(150 mm)") == "h/(150 mm)");
    CHECK(line("9.81 (m/s^2)*a", "m/s^2") == "(9.81 m/s²)·a");
    CHECK(line("2*3 mm*a", "mm") == "2·(3 mm)·a");
    CHECK(line("pi*g_n", "m/s^2") == "π·g_n");
    CHECK(line("a < b and not (b < c or a == b)") == "a < b and not (b < c or a == b)");
    CHECK(line("(a < b or b < c) and a != b") == "(a < b or b < c) and a ≠ b");
    CHECK(line("not a <= b") == "not a ≤ b");
    CHECK(line("if(a < b, 1, if(a < c, 2, 3))") == "if(a < b, 1, if(a < c, 2, 3))");
    CHECK(line("integral(2*x, x from a to b)") == "integral(2·x, x from a to b)");
    CHECK(line("integral(x+1, x from a to b)") == "integral(x + 1, x from a to b)");
    CHECK(line("integral(x, x from a to b to c)") == "integral(x, x from a to b to c)");
    CHECK(line("largest(x^2, x from a to b)") == "largest(x², x from a to b)");
    CHECK(line("root(x - a, x from 0 to b)") == "root(x - a, x from 0 to b)");
    CHECK(line("sum(u.v, over u)", "mm") == "sum(u.v, over u)");
    CHECK(line("count(u.v > 1 mm, over u)") == "count(u.v > 1 mm, over u)");
    CHECK(line("t(\"a\").v", "mm") == "t(\"a\").v");
    CHECK(line("m(g, \"x\")") == "m(g, \"x\")");
    CHECK(line("f(a+b)") == "f(a + b)");
    CHECK(line("g == \"a\"") == "g == \"a\"");
}

TEST_CASE("plain text reads back as the same formula") {
    for (const char* formula : {"a+b*c",
                                "(a+b)*c",
                                "a-(b-c)",
                                "a/(b*c)",
                                "a/b/c",
                                "a/(b/c)",
                                "a*(b/c)",
                                "-a^2",
                                "(-a)^2",
                                "a*-b",
                                "a - -b",
                                "-(a+b)",
                                "(a/b)^c",
                                "a^(b+c)",
                                "a^-1",
                                "a^b^c",
                                "(a^b)^c",
                                "sqrt(a+b)*cbrt(c)",
                                "min(a, b, max(a, c))",
                                "150 mm/h",
                                "h/(150 mm)",
                                "if(a < b, 1, if(a < c, 2, 3))",
                                "(a+b)/(a-b)",
                                "pi*a",
                                "integral(2*x, x from a to b)",
                                "integral((x+1)*(x+2), x from a to b)",
                                "largest(x^2, x from a to b to c)",
                                "where_largest(u.v, over u) == \"a\"",
                                "all(u.v > 1 mm, over u)",
                                "a < b and not (b < c or a == b)",
                                "t(\"a\").v/h",
                                "f(a)*m(g, \"x\")",
                                "a*(b*c)",
                                "2*(a+1)^3/(4*b)^2",
                                "a-b+c-(a+b)"}) {
        const std::string once = line(formula);
        CHECK(line(once) == once);
    }
}

TEST_CASE("values put in") {
    const std::map<std::string, std::string> v = {{"w_d", "2.106 kN/m"}, {"L", "3.60 m"}, {"a", "-2"}, {"b", "0.8"}, {"h", "120 mm"}, {"g", "C24"}};
    CHECK(putIn("w_d*L^2/8", "kN*m", v) == "(2.106 kN/m)·(3.60 m)²/8");
    CHECK(putIn("L*h", "m^2", v) == "3.60 m·120 mm");
    CHECK(putIn("L*c", "m", v) == "(3.60 m)·c");
    CHECK(putIn("b - a", "", v) == "0.8 - (-2)");
    CHECK(putIn("a + b", "", v) == "-2 + 0.8");
    CHECK(putIn("b*a", "", v) == "0.8·(-2)");
    CHECK(putIn("a^2", "", v) == "(-2)²");
    CHECK(putIn("L/h", "", v) == "3.60 m/(120 mm)");
    CHECK(putIn("w_d/w_d", "", v) == "(2.106 kN/m)/(2.106 kN/m)");
    CHECK(putIn("g == \"a\" or b > 1", "", v) == "C24 == \"a\" or 0.8 > 1");
    // only the branch taken has values
    CHECK(putIn("if(h < 150 mm, b, c*b)", "", v, 0) == "if(120 mm < 150 mm, 0.8, not taken: c·b)");
    CHECK(putIn("if(h < 150 mm, b, c*b)", "", v, 1) == "if(120 mm < 150 mm, not taken: b, c·0.8)");
    // what varies inside keeps its name
    CHECK(putIn("largest(x*b, x from 0 to b)", "", {{"x", "7"}, {"b", "0.8"}}) == "largest(x·0.8, x from 0 to 0.8)");
    CHECK(putIn("sum(u.v, over u)", "mm", {{"u.v", "2 mm"}}) == "sum(u.v, over u)");
    // what a function comes to, but for one that is the whole formula: what that comes to stands behind it
    CHECK(putIn("c*f(b)^2", "", {{"f", "1.6"}, {"b", "0.8"}, {"c", "3"}}) == "3·1.6²");
    CHECK(putIn("f(b)", "", {{"f", "1.6"}, {"b", "0.8"}}) == "f(0.8)");
    CHECK(putIn("largest(f(x), x from 0 to b)", "", {{"f", "1.6"}, {"b", "0.8"}}) == "largest(f(x), x from 0 to 0.8)");
    CHECK(putIn("largest(x*f(b), x from 0 to b)", "", {{"f", "1.6"}, {"b", "0.8"}}) == "largest(x·1.6, x from 0 to 0.8)");
}

TEST_CASE("boxes in two dimensions") {
    const SheetText s(kRows + "derive z = if(a < b, a/b, sqrt(a))\nderive y = integral(x^2, x from a to b)\n");
    REQUIRE(s.told() == "");
    const Box z = meaning::typeset(s.sheet->exprs, s.at("z").formula, meaning::namingOf(*s.sheet));
    REQUIRE(z.kind == Box::Kind::Cases);
    REQUIRE(z.children.size() == 4);
    CHECK(z.children[0].kind == Box::Kind::Fraction);
    CHECK(z.children[2].kind == Box::Kind::Root);
    CHECK(z.children[3].text == "otherwise");
    const Box y = meaning::typeset(s.sheet->exprs, s.at("y").formula, meaning::namingOf(*s.sheet));
    CHECK(y.kind == Box::Kind::Big);
    CHECK(y.text == "∫");
    CHECK(plain(y.children[1]) == "b");
}
