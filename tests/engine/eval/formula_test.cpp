// SPDX-License-Identifier: MIT
#include "engine/eval/formula.h"

#include <doctest/doctest.h>

#include "worked_sheet.h"

using namespace spanwright;
using eval::test::WorkedSheet;

namespace {

std::string textOf(const std::string& formula, const std::string& unit = "") {
    WorkedSheet s("given a [m] = 3 m\ngiven b [m] = 2 m\ngiven n = 4\ndefine f(x [m]) = x/2\nderive it " + unit + " = " + formula + "\n");
    INFO(s.complaints());
    REQUIRE(s.complaints() == "");
    return s.program().compiledText(s.sheet().at(s.id("it")).formula);
}

} // namespace

TEST_CASE("the text for muParser: every operation in brackets, SI, short names") {
    CHECK(textOf("a + b*2", "[m]") == "(v0+(v1*2))");
    CHECK(textOf("a/b/n") == "((v0/v1)/v2)");
    CHECK(textOf("-a^2", "[m^2]") == "(-(v0*v0))");
    CHECK(textOf("(a + b)^2", "[m^2]") == "p2((v0+v1))");
    CHECK(textOf("(a + b)^3", "[m^3]") == "p3((v0+v1))");
    CHECK(textOf("a^4", "[m^4]") == "(v0*v0*v0*v0)");
    CHECK(textOf("(a/b)^0.2") == "pw((v0/v1),0.2)");
    CHECK(textOf("n^5") == "(v0*v0*v0*v0*v0)");
    CHECK(textOf("(n + 1)^5") == "p5((v0+1))");
    CHECK(textOf("n^6") == "pw(v0,6)");
    CHECK(textOf("a^-2", "[m^-2]") == "(1/(v0*v0))");
    CHECK(textOf("max(a, b, 400 mm)", "[m]") == "max(max(v0,v1),0.4)");
    CHECK(textOf("if(a < b and not (n == 4), sqrt(n), abs(-2.5))") == "(((v0<v1)&&((v2==4)==0))?sqrt(v2):abs((-2.5)))");
    CHECK(textOf("f(a) + f(b)", "[m]") == "(o0(v0)+o1(v1))");
    CHECK(textOf("integral(x*n, x from 0 m to a)", "[m^2]") == "o0(0)");
    CHECK(textOf("round(n/3)") == "round((v0/3))");
    CHECK(textOf("round(a, 10 mm)", "[m]") == "(round((v0/0.01))*0.01)");
}

TEST_CASE("a formula longer than muParser takes is cut into parts and comes out the same") {
    std::string sum = "a";
    double expected = 1.5;
    for (int i = 1; i <= 3000; ++i) {
        sum += i % 2 == 0 ? "+b" : "-" + std::to_string(i % 10);
        expected = i % 2 == 0 ? expected + 0.7 : expected - i % 10;
    }
    REQUIRE(sum.size() < 20'000);
    WorkedSheet s("given a = 1.5\ngiven b = 0.7\nderive it = " + sum + "\n");
    REQUIRE(s.complaints() == "");
    CHECK(s.number("it") == expected);
    const std::string text = s.program().compiledText(s.sheet().at(s.id("it")).formula);
    CHECK(text.size() < 19'000);
    CHECK(text.find("o0(0)") != std::string::npos);
    // The walker goes the whole way without parts, and comes to the same.
    const auto trace = s.program().trace(s.sheet().at(s.id("it")).formula, {}, s.values());
    CHECK(trace.steps[s.sheet().at(s.id("it")).formula.index()].value == expected);
}

TEST_CASE("min and max of very many numbers") {
    std::string list = "a";
    for (int i = 0; i < 400; ++i) list += ", " + std::to_string(500 - i) + "/7";
    WorkedSheet s("given a = 90\nderive least = min(" + list + ")\nderive most = max(" + list + ")\n");
    REQUIRE(s.complaints() == "");
    CHECK(s.number("least") == 101.0 / 7.0);
    CHECK(s.number("most") == 90.0);
}

TEST_CASE("a part that is not reached is not worked out") {
    std::string sum = "1/z";
    for (int i = 0; i < 2000; ++i) sum += "+1/z";
    WorkedSheet s("given z = 0\nderive it = if(z == 0, 7, " + sum + ")\n");
    REQUIRE(s.complaints() == "");
    CHECK(s.number("it") == 7.0);
    s.state("z", 1.0);
    CHECK(s.number("it") == 2001.0);
}
