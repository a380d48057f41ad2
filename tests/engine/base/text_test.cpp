// SPDX-License-Identifier: MIT
#include "engine/base/text.h"

#include <bit>
#include <cstdint>
#include <doctest/doctest.h>
#include <limits>
#include <random>

using namespace spanwright::base;

TEST_CASE("well-formed UTF-8 is what RFC 3629 section 4 allows") {
    CHECK(isUtf8(""));
    CHECK(isUtf8("plain"));
    CHECK(isUtf8("\x7F"));
    CHECK(isUtf8("\xC2\x80"));
    CHECK(isUtf8("\xDF\xBF"));
    CHECK(isUtf8("\xE0\xA0\x80"));
    CHECK(isUtf8("\xED\x9F\xBF"));
    CHECK(isUtf8("\xEE\x80\x80"));
    CHECK(isUtf8("\xEF\xBF\xBF"));
    CHECK(isUtf8("\xF0\x90\x80\x80"));
    CHECK(isUtf8("\xF4\x8F\xBF\xBF"));
    CHECK(isUtf8("kN·m ≤ σ₁"));
}

TEST_CASE("malformed UTF-8 is refused") {
    for (const char* bad : {"\x80",
                            "\xBF",
                            "\xC0\x80",
                            "\xC1\xBF",
                            "\xC2",
                            "\xC2\x41",
                            "\xE0\x80\x80",
                            "\xE0\x9F\xBF",
                            "\xE1\x80",
                            "\xE1\x80\x41",
                            "\xED\xA0\x80",
                            "\xED\xBF\xBF",
                            "\xF0\x80\x80\x80",
                            "\xF0\x8F\xBF\xBF",
                            "\xF0\x90\x80",
                            "\xF4\x90\x80\x80",
                            "\xF5\x80\x80\x80",
                            "\xFE",
                            "\xFF",
                            "ok\xFFok"}) {
        CAPTURE(bad);
        CHECK_FALSE(isUtf8(bad));
    }
}

TEST_CASE("every code point written by the book is well-formed, and no surrogate is") {
    for (std::uint32_t point = 0; point <= 0x10FFFF; point += point < 0x3000 ? 1 : 37) {
        std::string text;
        const auto put = [&](std::uint32_t byte) { text += static_cast<char>(static_cast<unsigned char>(byte)); };
        if (point < 0x80) {
            put(point);
        } else if (point < 0x800) {
            put(0xC0 | (point >> 6));
            put(0x80 | (point & 0x3F));
        } else if (point < 0x10000) {
            put(0xE0 | (point >> 12));
            put(0x80 | ((point >> 6) & 0x3F));
            put(0x80 | (point & 0x3F));
        } else {
            put(0xF0 | (point >> 18));
            put(0x80 | ((point >> 12) & 0x3F));
            put(0x80 | ((point >> 6) & 0x3F));
            put(0x80 | (point & 0x3F));
        }
        const bool surrogate = point >= 0xD800 && point <= 0xDFFF;
        REQUIRE(isUtf8(text) == !surrogate);
        if (!surrogate) REQUIRE(utf8Length(text, 0) == text.size());
    }
}

TEST_CASE("lengths and counts take a malformed byte as one") {
    CHECK(utf8Length("a", 0) == 1);
    CHECK(utf8Length("·", 0) == 2);
    CHECK(utf8Length("≤", 0) == 3);
    CHECK(utf8Length("\xE2\x89", 0) == 1);
    CHECK(utf8Length("a", 5) == 1);
    CHECK(utf8Count("kN·m") == 4);
    CHECK(utf8Count("\xFF\xFE") == 2);
    CHECK(utf8Count("\xE2\x89\x41") == 3);
    CHECK(utf8Count("") == 0);
}

TEST_CASE("trimmed takes ASCII blanks off both ends") {
    CHECK(trimmed("  a b\t\r\n") == "a b");
    CHECK(trimmed(" \t ") == "");
    CHECK(trimmed("") == "");
    CHECK(trimmed("x") == "x");
}

TEST_CASE("edit distance") {
    CHECK(editDistance("", "") == 0);
    CHECK(editDistance("abc", "abc") == 0);
    CHECK(editDistance("abc", "") == 3);
    CHECK(editDistance("M_d", "M_k") == 1);
    CHECK(editDistance("grdae", "grade") == 1); // neighbours swapped
    CHECK(editDistance("kitten", "sitting") == 3);
    CHECK(editDistance("σ_m", "s_m") == 1); // letters, not bytes
}

TEST_CASE("edit distance keeps the laws of a distance on random words") {
    std::mt19937 random(11);
    const auto word = [&] {
        std::string w;
        for (auto n = random() % 7; n > 0; --n) w += static_cast<char>('a' + random() % 3);
        return w;
    };
    for (int i = 0; i < 3000; ++i) {
        const std::string a = word();
        const std::string b = word();
        REQUIRE(editDistance(a, b) == editDistance(b, a));
        REQUIRE((editDistance(a, b) == 0) == (a == b));
        REQUIRE(editDistance(a, b) <= std::max(a.size(), b.size()));
        REQUIRE(editDistance(a, b) >= std::max(a.size(), b.size()) - std::min(a.size(), b.size()));
    }
}

TEST_CASE("nearest suggests what may have been meant and nothing else") {
    const std::vector<std::string> names{"sigma_m", "f_m_d", "k_mod", "K_mod", "kN", "mm"};
    CHECK(nearest("sigma_n", names) == "sigma_m");
    CHECK(nearest("kmod", names) == "k_mod");
    CHECK(nearest("KN", names) == "kN");
    CHECK(nearest("K_MOd", names) == "K_mod"); // two half steps against three
    CHECK_FALSE(nearest("deflection", names));
    CHECK_FALSE(nearest("q", names)); // one letter with nothing kept
    CHECK(nearest("m", names) == "mm");
    CHECK_FALSE(nearest("", names));
    CHECK_FALSE(nearest("k_mod", {}));
    CHECK_FALSE(nearest(std::string(100000, 'k'), names));
    CHECK(nearest("ab", {"ac", "ad"}) == "ac"); // the first of equals
}

TEST_CASE("numbers survive text bit for bit") {
    std::mt19937_64 random(7);
    for (int i = 0; i < 20000; ++i) {
        const double x = std::bit_cast<double>(random());
        if (!(x - x == 0.0)) continue; // infinities and NaN have no text
        const auto back = readDouble(shortest(x));
        REQUIRE(back);
        REQUIRE(std::bit_cast<std::uint64_t>(*back) == std::bit_cast<std::uint64_t>(x));
    }
    CHECK(shortest(0.1) == "0.1");
    CHECK(shortest(3600) == "3600");
}

TEST_CASE("readDouble takes whole decimal numbers only") {
    CHECK(readDouble("3.6") == 3.6);
    CHECK(readDouble("-1e3") == -1000.0);
    CHECK(readDouble("+2") == 2.0);
    CHECK(readDouble(".5") == 0.5);
    for (const char* bad : {"", " 1", "1 ", "1,5", "0x10", "inf", "nan", "infinity", "--1", "+-1", "1e", "e5", "1.2.3", "1e999", "-", "."}) {
        CAPTURE(bad);
        CHECK_FALSE(readDouble(bad));
    }
}
