// SPDX-License-Identifier: MIT
#include <doctest/doctest.h>

#include <random>

#include "engine/syntax/token.h"

using namespace spanwright::syntax;

namespace {

/// One letter a token, then its text: "W:derive B:_ N:12".
std::string show(std::string_view row) {
    constexpr char kLetters[] = {'B', 'E', 'C', 'W', 'N', 'T', 'S', 'D', 'X'};
    std::string out;
    for (const Token& t : tokenize(row)) {
        if (t.kind == TokenKind::Blank || t.kind == TokenKind::LineEnd) continue;
        if (!out.empty()) out += ' ';
        out += kLetters[static_cast<int>(t.kind)];
        out += ':';
        out += t.span.of(row);
    }
    return out;
}

void checkGapless(std::string_view row) {
    std::uint32_t at = 0;
    for (const Token& t : tokenize(row)) {
        REQUIRE(t.span.begin == at);
        REQUIRE(t.span.end > t.span.begin);
        at = t.span.end;
    }
    REQUIRE(at == row.size());
}

} // namespace

TEST_CASE("numbers, words and symbols") {
    CHECK(show("a_1 = .5+1e-3*2.50") == "W:a_1 S:= N:.5 S:+ N:1e-3 S:* N:2.50");
    CHECK(show("3m 2e 1.x 1..2") == "N:3 W:m N:2 W:e N:1 S:. W:x N:1 S:. N:.2");
    CHECK(show("a<=b>=c==d!=e<f>g") == "W:a S:<= W:b S:>= W:c S:== W:d S:!= W:e S:< W:f S:> W:g");
    CHECK(show("a +- b + -c") == "W:a S:+- W:b S:+ S:- W:c");
}

TEST_CASE("letters are Latin and Greek; signs beyond ASCII are one symbol each") {
    CHECK(show("σ_m·x² − Ä_1 ≤ 45°") == "W:σ_m S:· W:x S:² S:− W:Ä_1 S:≤ N:45 S:°");
    CHECK(show("5 µm 3 Ω") == "N:5 W:µm N:3 W:Ω");
    CHECK(show("水") == "S:水");
}

TEST_CASE("texts hold doubled quotes and end with their line") {
    CHECK(show("\"a \"\"b\"\"\" c") == "T:\"a \"\"b\"\"\" W:c");
    CHECK(show("\"open\nb") == "T:\"open W:b");
}

TEST_CASE("dashes cut only between blanks, and not inside a text") {
    CHECK(show("a -- b") == "W:a D:-- W:b");
    CHECK(show("a --b a-- b --") == "W:a S:- S:- W:b W:a S:- S:- W:b D:--");
    CHECK(show("\"a -- b\" -- c") == "T:\"a -- b\" D:-- W:c");
    CHECK(show("a -- 2\" -- b\"") == "W:a D:-- N:2 S:\" D:-- W:b S:\"");
}

TEST_CASE("a number sign begins a comment only at the start of a line") {
    CHECK(show("  # all of it") == "C:# all of it");
    CHECK(show("(a\n # inside\n b)\n") == "S:( W:a C:# inside W:b S:)");
    CHECK(show("No. #2") == "W:No S:. S:# N:2");
}

TEST_CASE("bytes that are no text are bad, one by one") { CHECK(tokenize("\xff\x01").size() == 2); }

TEST_CASE("law: tokens cover every byte of any row") {
    std::mt19937 random(20260504);
    const std::string alphabet = "ab1._ \t\r\n\"#-+*/()[]<>=!^,.:;%\xc2\xb7\xcf\x83\xff\xe2\x88\x92";
    for (int round = 0; round < 3000; ++round) {
        std::string row;
        const std::size_t length = random() % 60;
        for (std::size_t i = 0; i < length; ++i) row += round % 2 == 0 ? alphabet[random() % alphabet.size()] : static_cast<char>(random() % 256);
        checkGapless(row);
    }
}
