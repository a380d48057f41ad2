// SPDX-License-Identifier: MIT
#include <doctest/doctest.h>

#include "engine/report/on_the_way.h"
#include "engine/report/write.h"

using namespace spanwright;
using Aside = job::Working::Aside;

namespace {

meaning::Box word(const std::string& s) { return {meaning::Box::Kind::Word, s, {}}; }

Aside aside(const std::string& x, const std::string& result) {
    Aside a;
    a.name = "h_x(x = " + x + ")";
    a.what = "depth at x";
    a.symbol = word("h_x(x)");
    a.formula = word("h_e + k x");
    a.putIn = word("300 mm + k " + x);
    a.shown = result;
    return a;
}

std::string text(std::vector<report::Block> blocks) {
    report::Document d;
    report::Section s;
    s.blocks = std::move(blocks);
    d.sections.push_back(std::move(s));
    return report::writeText(d, 200);
}

bool has(const std::string& s, const std::string& part) { return s.find(part) != std::string::npos; }

} // namespace

TEST_CASE("steps stand once, their numbers wherever they are needed, and the way back to the steps") {
    report::OnTheWay way;
    const std::string first = text(way.blocks({aside("1 m", "330 mm")}, "m1-r1", "sigma"));
    for (const char* part : {"h_x(x = 1 m)", "depth at x", "h_e + k x", "300 mm + k 1 m", "330 mm"}) CHECK_MESSAGE(has(first, part), part);

    const std::string again = text(way.blocks({aside("1 m", "330 mm")}, "m1-r2", "tau"));
    CHECK(has(again, "worked out at σ: h_x(1 m) = 330 mm"));
    CHECK_FALSE(has(again, "300 mm + k"));

    // Other arguments: values are put in anew, the formula stands at the first.
    const std::string other = text(way.blocks({aside("2 m", "360 mm")}, "m1-r3", "phi"));
    CHECK(has(other, "h_x(x = 2 m)"));
    CHECK(has(other, "formula at σ"));
    CHECK(has(other, "300 mm + k 2 m"));
    CHECK(has(other, "360 mm"));
    CHECK_FALSE(has(other, "h_e + k x"));
    CHECK_FALSE(has(other, "depth at x")); // stands with the formula
}

TEST_CASE("the same call with another result is not taken for the same") {
    report::OnTheWay way;
    (void)way.blocks({aside("1 m", "330 mm")}, "m1-r1", "sigma");
    const std::string other = text(way.blocks({aside("1 m", "331 mm")}, "m1-r2", "tau"));
    CHECK(has(other, "331 mm"));
    CHECK(has(other, "300 mm + k 1 m"));
    CHECK_FALSE(has(other, "worked out at"));
}

TEST_CASE("a number or two worked out before stand in one line, their names as symbols") {
    report::OnTheWay way;
    Aside other = aside("1 m", "12 kN");
    other.name = "V_x(x = 1 m, a_1 = 2 mm)";
    (void)way.blocks({aside("1 m", "330 mm")}, "m1-r1", "sigma_m");
    (void)way.blocks({other}, "m1-r2", "tau");
    const auto blocks = way.blocks({aside("1 m", "330 mm"), other}, "m1-r3", "phi");
    REQUIRE(blocks.size() == 1);
    const auto& line = std::get<report::Paragraph>(blocks[0].is).text;
    CHECK(report::wordsOf(line).find("; at ") != std::string::npos);
    // As formulas write them: what arguments are called stands where the steps are.
    CHECK(report::wordsOf(line).find("V_x(1 m, 2 mm) = 12 kN") != std::string::npos);
    std::vector<std::string> leads, symbols;
    for (const report::Inline& i : line) {
        if (i.kind == report::Inline::Kind::Math) symbols.push_back(meaning::plain(i.math));
        if (!i.target.empty()) leads.push_back(i.target);
        if (i.kind == report::Inline::Kind::Text) CHECK_FALSE(has(i.text, "_"));
    }
    CHECK(leads == std::vector<std::string>{"m1-r1", "m1-r2"});
    CHECK(symbols == std::vector<std::string>{"σ_m", "h_x", "τ", "V_x"});
}

TEST_CASE("many numbers worked out before stand below one another, each with its place") {
    report::OnTheWay way;
    std::vector<Aside> first, second;
    for (const char* x : {"1 m", "2 m"}) first.push_back(aside(x, std::string("3") + x));
    for (const char* x : {"3 m", "4 m"}) second.push_back(aside(x, std::string("3") + x));
    (void)way.blocks(first, "m1-r1", "sigma_m");
    (void)way.blocks(second, "m1-r2", "tau");
    std::vector<Aside> all = second;
    all.insert(all.end(), first.begin(), first.end());
    const auto blocks = way.blocks(all, "m1-r3", "phi");
    REQUIRE(blocks.size() == 4);
    for (const std::size_t i : {std::size_t(0), std::size_t(2)}) {
        const auto& lead = std::get<report::Paragraph>(blocks[i].is).text;
        CHECK(report::wordsOf(lead) == std::string("on the way, worked out at ") + (i == 0 ? "τ:" : "σ_m:"));
        CHECK(lead[1].target == (i == 0 ? "m1-r2" : "m1-r1"));
        const auto& table = std::get<report::Table>(blocks[i + 1].is);
        CHECK_FALSE(table.ruled);
        REQUIRE(table.rows.size() == 2);
        CHECK(report::wordsOf(table.rows[0][0]) == (i == 0 ? "h_x(3 m) = 33 m" : "h_x(1 m) = 31 m"));
        CHECK(report::wordsOf(table.rows[1][0]) == (i == 0 ? "h_x(4 m) = 34 m" : "h_x(2 m) = 32 m"));
    }
}

TEST_CASE("of what a number was made of nothing is told again where the number is") {
    const auto call = [](const std::string& name, const std::string& formula, const std::string& shown) {
        Aside a;
        a.name = name + "(x = 1 m)";
        a.symbol.children = {meaning::typesetName(name), {meaning::Box::Kind::Fence, "(", {word("x")}}};
        a.formula = word(formula);
        a.putIn = word(formula + " with 1 m");
        a.shown = shown;
        return a;
    };
    const Aside outer = call("EI_x", "E·I_x(x)", "12 kN·m²"), inner = call("I_x", "b·h_x(x)³/12", "3 mm⁴"), third = call("M_x", "k·x/I_x(x)", "5 kN");
    report::OnTheWay way;
    (void)way.blocks({outer, inner}, "m1-r1", "stiff", {word("EI_x(L)")});
    const std::string again = text(way.blocks({outer, inner}, "m1-r2", "bent", {word("M/EI_x(L)"), {}}));
    CHECK(has(again, "worked out at stiff: EI_x(1 m) = 12 kN·m²"));
    CHECK_FALSE(has(again, "I_x(1 m) = 3"));
    // It is where the row's own formula needs it, or steps that stand here.
    CHECK(has(text(way.blocks({outer, inner}, "m1-r3", "both", {word("EI_x(L)/I_x(L)")})), "I_x(1 m) = 3"));
    CHECK(has(text(way.blocks({third, inner}, "m1-r4", "more", {word("M_x(L)")})), "I_x(1 m) = 3"));
    CHECK_FALSE(has(text(way.blocks({third, inner}, "m1-r5", "last", {word("M_x(L)")})), "I_x(1 m) = 3"));
}
