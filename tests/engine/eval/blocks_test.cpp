// SPDX-License-Identifier: MIT
// The block path against the scalar path, bit for bit, on random sheets; and the walker against both.
#include <doctest/doctest.h>

#include <bit>
#include <cmath>
#include <random>

#include "worked_sheet.h"

using namespace spanwright;
using eval::State;
using eval::Value;
using eval::test::WorkedSheet;

namespace {

/// Random formulas over rows a, b (pure numbers), the fields of two axes, a function and look-ups.
class FormulaMaker {
public:
    explicit FormulaMaker(std::uint32_t seed) : m_random(seed) {}
    std::string number(int depth) {
        switch (pick(depth <= 0 ? 5 : 18)) {
        case 0: return "a";
        case 1: return "u.p";
        case 2: return "w.q";
        case 3: return "rowed";
        case 4: return std::to_string(1 + pick(90)) + "/" + std::to_string(2 + pick(9));
        case 5: return "(" + number(depth - 1) + " + " + number(depth - 1) + ")";
        case 6: return "(" + number(depth - 1) + " - " + number(depth - 1) + ")";
        case 7: return "(" + number(depth - 1) + " * " + number(depth - 1) + ")";
        case 8: return "(" + number(depth - 1) + " / " + number(depth - 1) + ")";
        case 9: return "if(" + truth(depth - 1) + ", " + number(depth - 1) + ", " + number(depth - 1) + ")";
        case 10: return "max(" + number(depth - 1) + ", " + number(depth - 1) + ")";
        case 11: return "sqrt(abs(" + number(depth - 1) + "))";
        case 12: return "(" + number(depth - 1) + ")^2";
        case 13: return "f(" + number(depth - 1) + ", " + number(depth - 1) + ")";
        case 14: return "abs(" + number(depth - 1) + ")^0.2";
        case 15: return "-" + number(depth - 1);
        case 16: return "exp(-abs(" + number(depth - 1) + ")/50)";
        default: return "sqrt(" + number(depth - 1) + ")"; // has no value for some
        }
    }
    std::string truth(int depth) {
        switch (pick(depth <= 0 ? 1 : 4)) {
        case 0: return "(" + number(depth - 1) + " < " + number(depth - 1) + ")";
        case 1: return "(" + truth(depth - 1) + " and " + truth(depth - 1) + ")";
        case 2: return "(" + truth(depth - 1) + " or " + truth(depth - 1) + ")";
        default: return "(not " + truth(depth - 1) + ")";
        }
    }

private:
    unsigned pick(unsigned n) { return static_cast<unsigned>(m_random() % n); }
    std::mt19937 m_random;
};

std::string sheetWith(const std::string& rows) {
    std::string text = "given a = 3.7\neach u in us\neach w in ws\ndefine f(x, y) = if(x > y, x/3 - y, y*x + 1)\nderive rowed = u.p*w.q - 1.5\n" + rows;
    text += "table us by k\nk, p\n";
    for (int i = 0; i < 23; ++i) text += "r" + std::to_string(i) + ", " + std::to_string((i * 37 % 101) - 40) + "." + std::to_string(i) + "\n";
    text += "end\ntable ws by k\nk, q\n";
    for (int i = 0; i < 17; ++i) text += "s" + std::to_string(i) + ", " + std::to_string((i * 53 % 89) - 30) + "." + std::to_string(i) + "\n";
    return text + "end\n";
}

bool sameBits(double a, double b) { return std::bit_cast<std::uint64_t>(a) == std::bit_cast<std::uint64_t>(b); }

} // namespace

TEST_CASE("blocks and scalars agree to the last bit, states and messages too") {
    FormulaMaker maker(4242);
    std::string rows;
    constexpr int kRows = 250;
    for (int i = 0; i < kRows; ++i) rows += "derive r" + std::to_string(i) + " = u.p*0 + w.q*0 + " + maker.number(5) + "\n";
    WorkedSheet blocks(sheetWith(rows), {}, {}, true), scalars(sheetWith(rows), {}, {}, false);
    REQUIRE(blocks.complaints() == "");
    int known = 0, failed = 0;
    for (int i = 0; i < kRows; ++i) {
        const std::string name = "r" + std::to_string(i);
        const Value &a = blocks.at(name), &b = scalars.at(name);
        CAPTURE(name);
        CAPTURE(blocks.program().compiledText(blocks.sheet().at(blocks.id(name)).formula));
        CAPTURE(scalars.said(name));
        REQUIRE(a.state == b.state);
        CHECK(blocks.said(name) == scalars.said(name));
        if (a.known()) ++known;
        if (a.state == State::Failed) ++failed;
        REQUIRE(a.many.size() == b.many.size());
        if (a.known()) REQUIRE(a.many.size() == 23 * 17);
        for (std::size_t c = 0; c < a.many.size(); ++c) REQUIRE(sameBits(a.many[c], b.many[c]));
    }
    CHECK(known > 150);
    CHECK(failed > 0);
    CHECK(blocks.program().counts().lanes > 100'000);
    CHECK(scalars.program().counts().lanes == 0);
}

TEST_CASE("along a range, what is worked out once comes to the same as every place by itself") {
    // Functions in functions that read the same things over and over, with branches, kinks and places without a value.
    FormulaMaker maker(77);
    std::string rows = "define twice(z) = f(z, z/2) + abs(z - 1)*f(z, z/2)^3\n";
    constexpr int kRows = 60;
    const char* const kOps[] = {"largest", "smallest", "where_largest", "where_smallest"};
    for (int i = 0; i < kRows; ++i) {
        const std::string n = std::to_string(i);
        std::string body = maker.number(4);
        for (std::size_t at = body.find("w.q"); at != std::string::npos; at = body.find("w.q", at)) body.replace(at, 3, "z");
        for (std::size_t at = body.find("rowed"); at != std::string::npos; at = body.find("rowed", at)) body.replace(at, 5, "twice(z)");
        for (std::size_t at = body.find("u.p"); at != std::string::npos; at = body.find("u.p", at)) body.replace(at, 3, "y");
        rows += "define g" + n + "(z, y) = " + body + "\n";
        rows += "derive r" + n + " = " + kOps[i % 4] + "(g" + n + "(z, u.p) + min(g" + n + "(z, u.p), twice(z), 5) - max(z, u.p/40, 1), z from -1 to 2.5)\n";
    }
    WorkedSheet blocks(sheetWith(rows), {}, {}, true), scalars(sheetWith(rows), {}, {}, false);
    REQUIRE(blocks.complaints() == "");
    int known = 0, failed = 0;
    for (int i = 0; i < kRows; ++i) {
        const std::string name = "r" + std::to_string(i);
        const Value &a = blocks.at(name), &b = scalars.at(name);
        CAPTURE(name);
        REQUIRE(a.state == b.state);
        CHECK(blocks.said(name) == scalars.said(name));
        known += a.known() ? 1 : 0;
        failed += a.state == State::Failed ? 1 : 0;
        REQUIRE(a.many.size() == b.many.size());
        for (std::size_t c = 0; c < a.many.size(); ++c) REQUIRE(sameBits(a.many[c], b.many[c]));
    }
    CHECK(known > 25);
    CHECK(failed > 3);
}

TEST_CASE("the walker comes to the same as the compiled formula") {
    FormulaMaker maker(99);
    std::string rows;
    for (int i = 0; i < 120; ++i) rows += "derive r" + std::to_string(i) + " = u.p*0 + w.q*0 + " + maker.number(4) + "\n";
    WorkedSheet s(sheetWith(rows));
    REQUIRE(s.complaints() == "");
    int compared = 0;
    for (int i = 0; i < 120; ++i) {
        const std::string name = "r" + std::to_string(i);
        const Value& v = s.at(name);
        if (!v.known()) continue;
        const meaning::ExprId root = s.sheet().at(s.id(name)).formula;
        for (const std::size_t c : {std::size_t{0}, std::size_t{100}, std::size_t{390}}) {
            const auto trace = s.program().trace(root, {c / 17, c % 17}, s.values());
            REQUIRE(trace.problem == nullptr);
            REQUIRE(trace.steps[root.index()].visited);
            CHECK(sameBits(trace.steps[root.index()].value, v.many[c]));
            ++compared;
        }
    }
    CHECK(compared > 200);
}

TEST_CASE("a branch that no lane takes raises no flag, and one that some take counts only there") {
    // p runs from below zero to above: roots and quotients only where they have a value.
    WorkedSheet s(sheetWith("derive guarded = if(u.p > 0, sqrt(u.p)/u.p, 0)\nderive nested = if(u.p > 0, if(u.p > 20, ln(u.p - 20), sqrt(20 - u.p)), -1)\n"
                            "derive bare = sqrt(u.p)\n"));
    REQUIRE(s.complaints() == "");
    const Value& v = s.at("guarded");
    REQUIRE(v.known());
    REQUIRE(v.many.size() == 23);
    for (std::size_t i = 0; i < 23; ++i) {
        const double p = s.at("u").table->cells[1][i];
        CHECK(v.many[i] == (p > 0.0 ? std::sqrt(p) / p : 0.0));
        CHECK(s.at("nested").many[i] == (p > 0.0 ? (p > 20.0 ? std::log(p - 20.0) : std::sqrt(20.0 - p)) : -1.0));
    }
    CHECK(s.said("bare") == "E403 a negative number has no square root: u.p is -40 | in the case u = r0 | mend: keep it inside by limits (from ... to ...), or "
                            "write if(...) around it");
}

TEST_CASE("more cases than a block holds") {
    std::string text =
        "each u in us\neach w in ws\nderive it = u.p*1000 + w.q\nderive most = largest(it, over u)\nderive total = sum(most, over w)\ntable us by k\nk, p\n";
    for (int i = 0; i < 61; ++i) text += "r" + std::to_string(i) + ", " + std::to_string(i) + "\n";
    text += "end\ntable ws by k\nk, q\n";
    for (int i = 0; i < 47; ++i) text += "s" + std::to_string(i) + ", " + std::to_string(i) + "\n";
    WorkedSheet s(text + "end\n");
    REQUIRE(s.complaints() == "");
    const Value& v = s.at("it");
    REQUIRE(v.many.size() == 61 * 47);
    for (std::size_t c = 0; c < v.many.size(); ++c) REQUIRE(v.many[c] == static_cast<double>(c / 47) * 1000.0 + static_cast<double>(c % 47));
    CHECK(s.at("most").many.size() == 47);
    CHECK(s.number("total") == 47.0 * 60'000.0 + 46.0 * 47.0 / 2.0);
}
