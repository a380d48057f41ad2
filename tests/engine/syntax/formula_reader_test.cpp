// SPDX-License-Identifier: MIT
#include <doctest/doctest.h>

#include <random>

#include "engine/diag/codes.h"
#include "engine/syntax/formula.h"

using namespace spanwright;
using namespace spanwright::syntax;
using diag::Code;

namespace {

std::string tree(std::string_view text) {
    std::vector<Complaint> complaints;
    const Formula f = readFormula(text, complaints);
    return complaints.empty() ? dump(f) : "! " + std::string(diag::codeName(complaints.front().code));
}

std::string valueTree(std::string_view text) {
    std::vector<Complaint> complaints;
    const Formula f = readValueOrFormula(text, complaints);
    return complaints.empty() ? dump(f) : "! " + std::string(diag::codeName(complaints.front().code));
}

Complaint onlyComplaint(std::string_view text) {
    std::vector<Complaint> complaints;
    (void)readFormula(text, complaints);
    REQUIRE(complaints.size() == 1);
    return complaints.front();
}

std::string times(std::string_view piece, int count) {
    std::string out;
    for (int i = 0; i < count; ++i) out += piece;
    return out;
}

/// Children before parents, inside them, and the root last.
void checkShape(const Formula& f, std::string_view text) {
    if (!f.present()) return;
    REQUIRE(f.root.index() == f.nodes.size() - 1);
    for (std::size_t i = 0; i < f.nodes.size(); ++i) {
        const Node& n = f.nodes[i];
        REQUIRE(n.span.begin <= n.span.end);
        REQUIRE(n.span.end <= text.size());
        for (const NodeId child : n.children) {
            REQUIRE(child.index() < i);
            REQUIRE(f.node(child).span.begin >= n.span.begin);
            REQUIRE(f.node(child).span.end <= n.span.end);
        }
    }
}

} // namespace

TEST_CASE("operators bind as in print") {
    CHECK(tree("-x^2") == "(negate (^ x 2))");
    CHECK(tree("2^3^2") == "(^ 2 (^ 3 2))");
    CHECK(tree("a-b-c") == "(- (- a b) c)");
    CHECK(tree("a/b*c") == "(* (/ a b) c)");
    CHECK(tree("a*-b") == "(* a (negate b))");
    CHECK(tree("not a and b or c") == "(or (and (not a) b) c)");
    CHECK(tree("a < b and c >= d") == "(and (< a b) (>= c d))");
    CHECK(tree("x²*y³") == "(* (^ x 2) (^ y 3))");
    CHECK(tree("a·b−c") == "(- (* a b) c)");
    CHECK(tree("a×b") == "(* a b)");
}

TEST_CASE("a number takes one simple unit or a bracketed one") {
    CHECK(tree("150 mm/h_1") == "(/ <150 mm> h_1)");
    CHECK(tree("3 mm^2*x") == "(* <3 mm^2> x)");
    CHECK(tree("3 m²") == "<3 m²>");
    CHECK(tree("3 s^-1") == "<3 s^-1>");
    CHECK(tree("9.81 (m/s^2)*x") == "(* <9.81 m/s^2> x)");
    CHECK(tree("5 (kN/(m*s))") == "<5 kN/(m*s)>");
    CHECK(tree("25 % + 5°") == "(+ <25 %> <5 °>)");
    CHECK(tree("20 °C") == "<20 °C>");
    CHECK(tree("a > 3 and b") == "(and (> a 3) b)");
    CHECK(tree("5 in") == "<5 in>");
    CHECK(tree("2 (a + b)") == "! NameAfterNumber");
    CHECK(tree("2 (f(x))") == "! NameAfterNumber");
    CHECK(tree("2 (3)") == "! NameAfterNumber");
    CHECK(tree("5 mm^x") == "! FormulaUnexpected");
    CHECK(tree("5 mm^0.5") == "! FormulaUnexpected");
}

TEST_CASE("a compound unit written bare is pointed out, with what to write") {
    const Complaint c = onlyComplaint("2*1.5 kN/m^2");
    CHECK(c.code == Code::CompoundUnitBare);
    CHECK(c.span == base::ByteSpan{2, 12});
    CHECK(c.mend == "write `1.5 (kN/m^2)`");
    CHECK(onlyComplaint("3 kN*m/s").mend == "write `3 (kN*m/s)`");
    CHECK(tree("3 kN*m_1") == "(* <3 kN> m_1)");
    CHECK(tree("3 kN*m(x)") == "(* <3 kN> (call m x))");
    CHECK(tree("3 kN*s.x") == "(* <3 kN> (field .x s))");
}

TEST_CASE("calls, fields, ranges and reductions") {
    CHECK(tree("B.M(x, uls)") == "(call .M B x uls)");
    CHECK(tree("uls.G*g_k") == "(* (field .G uls) g_k)");
    CHECK(tree("t(\"C24\").f_mk") == "(field .f_mk (call t \"C24\"))");
    CHECK(tree("sum(a, over uls)") == "(call sum a (over uls))");
    CHECK(tree("root(f(x), x from 0 to a to b)") == "(call root (call f x) (range x 0 a b))");
    CHECK(tree("joint.from + joint.over") == "(+ (field .from joint) (field .over joint))");
    CHECK(tree("if(σ < 2, 1, 0)") == "(call if (< sigma 2) 1 0)");
}

TEST_CASE("where a value can stand, a text that reads like one is one") {
    CHECK(valueTree("1.5 kN/m^2") == "(value {1.5 kN/m^2} (/ <1.5 kN> (^ m 2)))");
    CHECK(valueTree("14 ft 6 in") == "{14 ft 6 in}");
    CHECK(valueTree("14 ft 5 1/2 in") == "{14 ft 5 1/2 in}");
    CHECK(valueTree("5 1/2 in") == "{5 1/2 in}");
    CHECK(valueTree("3,6 m") == "{3,6 m}");
    CHECK(valueTree("1,200") == "{1,200}");
    CHECK(valueTree("-3 mm") == "(value {-3 mm} (negate <3 mm>))");
    CHECK(valueTree("25 %") == "(value {25 %} <25 %>)");
    CHECK(valueTree("9.81 (m/s^2)") == "(value {9.81 (m/s^2)} <9.81 m/s^2>)");
    CHECK(valueTree("2 m*k") == "(value {2 m*k} (* <2 m> k))");
    CHECK(valueTree("7") == "(value {7} 7)");
    // These are formulas.
    CHECK(valueTree("2*a") == "(* 2 a)");
    CHECK(valueTree("J1.R_G/J1.s") == "(/ (field .R_G J1) (field .s J1))");
    CHECK(valueTree("3 m + 2 m") == "(+ <3 m> <2 m>)");
    CHECK(valueTree("3 m*f(x)") == "(* <3 m> (call f x))");
    CHECK(valueTree("1/2") == "(/ 1 2)");
    CHECK(valueTree("") == "! FormulaExpected");
    // These are neither.
    CHECK(valueTree("14 ft 6") == "! FormulaUnexpected");
    CHECK(valueTree("1 200") == "! FormulaUnexpected");
}

TEST_CASE("places are those of the text") {
    std::vector<Complaint> none;
    const std::string text = " a + max(b, σ*2.5 mm) ";
    const Formula f = readFormula(text, none);
    REQUIRE(none.empty());
    CHECK(f.span.of(text) == "a + max(b, σ*2.5 mm)");
    checkShape(f, text);
    for (const Node& n : f.nodes) {
        if (n.kind == NodeKind::Name) CHECK(canonicalName(n.span.of(text)) == n.text);
        if (n.kind == NodeKind::Measure) CHECK(n.unitSpan.of(text) == "mm");
        if (n.kind == NodeKind::Call) CHECK(n.mark.of(text) == "max");
        if (n.kind == NodeKind::Binary) CHECK((n.mark.of(text) == "+" || n.mark.of(text) == "*"));
    }
}

TEST_CASE("nesting is limited, chains are not") {
    const auto nested = [](int n) { return times("(", n) + "1" + times(")", n); };
    CHECK(tree(nested(kMaxNesting)).substr(0, 7) == "(paren ");
    CHECK(tree(nested(kMaxNesting + 1)) == "! TooDeep");
    CHECK(tree(nested(9900)) == "! TooDeep");
    CHECK(tree(times("-", 9900) + "1") == "! TooDeep");
    CHECK(tree(times("not ", 4000) + "a") == "! TooDeep");
    CHECK(tree(times("a^", 9900) + "a") == "! TooDeep");
    CHECK(tree(times("f(", 6000)) == "! TooDeep");
    CHECK(tree(nested(20000)) == "! FormulaTooLong");
    CHECK(tree(times("-", 20000) + "1") == "! FormulaTooLong");
    std::vector<Complaint> complaints;
    const Formula sum = readFormula(times("a+", 9990) + "a", complaints);
    CHECK(complaints.empty());
    CHECK(sum.nodes.size() == 2 * 9990 + 1);
    CHECK(dump(sum).size() > 9990);
    CHECK(tree(times("a", 20001)) == "! FormulaTooLong");
    CHECK(tree(times("x²", 5000)) == "! FormulaUnexpected");
}

TEST_CASE("one thing wrong, one complaint") {
    for (const char* text :
         {"a +", "(a", "a)", "a b", "f(a,", "* a", "((a + ) * (b", "a = b = c", "[", "x from 1", "\"abc", "1 2 3 4", "a ? b ? c", ",,,", "f(,)"}) {
        std::vector<Complaint> complaints;
        (void)readFormula(text, complaints);
        CHECK_MESSAGE(complaints.size() == 1, text);
    }
}

TEST_CASE("law: any text gives a well-shaped tree and, if it is broken, a complaint inside it") {
    std::mt19937 random(7);
    const std::vector<std::string> pieces = {"a",     "b_1", "σ", "2", "0.5", "mm", "kN", " ",   "  ", "+",   "-",    "*",    "/",    "^",
                                             "(",     ")",   ",", ".", "<=",  "==", "=",  "and", "or", "not", "if(",  "over", "from", "to",
                                             "\"t\"", "\"",  "²", "%", "°",   "+-", "[",  "]",   "\n", "#",   "\xff", "--",   " -- "};
    int broken = 0;
    for (int round = 0; round < 20000; ++round) {
        std::string text;
        const std::size_t length = random() % 14;
        for (std::size_t i = 0; i < length; ++i) text += pieces[random() % pieces.size()];
        CAPTURE(text);
        for (const bool value : {false, true}) {
            std::vector<Complaint> complaints;
            const Formula f = value ? readValueOrFormula(text, complaints) : readFormula(text, complaints);
            checkShape(f, text);
            for (const Complaint& c : complaints) {
                REQUIRE(c.span.begin <= c.span.end);
                REQUIRE(c.span.end <= text.size());
                REQUIRE(!c.message.empty());
                REQUIRE(!c.mend.empty());
            }
            bool error = !f.present();
            for (const Node& n : f.nodes) error = error || n.kind == NodeKind::Error;
            if (error) {
                REQUIRE(!complaints.empty());
                ++broken;
            }
        }
    }
    CHECK(broken > 1000);
}
