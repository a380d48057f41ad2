// SPDX-License-Identifier: MIT
#include <doctest/doctest.h>

#include "engine/base/text.h"
#include "engine/report/clean.h"

using namespace spanwright::report;

TEST_CASE("cleaned keeps what is text and replaces what is not") {
    CHECK(cleaned("σ_m ≤ f") == "σ_m ≤ f");
    CHECK(cleaned("a\x1b[31mb") == "a\xef\xbf\xbd[31mb");
    CHECK(cleaned(std::string("a\0b", 3)) == "a\xef\xbf\xbd"
                                             "b");
    CHECK(cleaned("a\xff"
                  "b") == "a\xef\xbf\xbd"
                          "b");
    CHECK(cleaned("a\xe2\x80\xae"
                  "b") == "a\xef\xbf\xbd"
                          "b"); // right-to-left override
    CHECK(cleaned("a\xc2\x85"
                  "b") == "a\xef\xbf\xbd"
                          "b");                       // C1 control
    CHECK(cleaned("\xef\xbf\xbe") == "\xef\xbf\xbd"); // non-character
    CHECK(cleaned("a\r\nb\tc") == "a b c");
    CHECK(cleaned("a\r\nb", true) == "a\nb");
    CHECK(cleaned("\xed\xa0\x80") != "\xed\xa0\x80"); // a surrogate is no text
}

TEST_CASE("every byte and pair of bytes comes out as harmless UTF-8") {
    for (int a = 0; a < 256; ++a) {
        for (int b = 0; b < 256; ++b) {
            const std::string text{static_cast<char>(a), static_cast<char>(b), 'z'};
            const std::string out = cleaned(text);
            bool ok = spanwright::base::isUtf8(out);
            for (const char c : out) ok = ok && static_cast<unsigned char>(c) >= 0x20 && c != 0x7f;
            if (!ok) FAIL_CHECK("bytes " << a << " " << b);
        }
    }
}

TEST_CASE("text for pages, styles and tables") {
    CHECK(htmlText("<a href=\"x\">&'") == "&lt;a href=&quot;x&quot;&gt;&amp;&#39;");
    CHECK(cssText("J1 a") == "J1 a");
    CHECK(cssText("\"</style>\\") == "\\22 \\3c \\2f style\\3e \\5c ");
    CHECK(cssText("é") == "\\e9 ");
    CHECK(csvField("plain") == "plain");
    CHECK(csvField("a,b") == "\"a,b\"");
    CHECK(csvField("5 1/2\"") == "\"5 1/2\"\"\"");
    CHECK(csvField("-3.5") == "-3.5");
    CHECK(csvField("=1+1") == "\" =1+1\"");
    CHECK(textWidth("σ̄ ≤") == 3 + 0);
}

TEST_CASE("words are printed with the signs that a keyboard lacks, and a number keeps its unit beside it") {
    CHECK(asPrinted("47 x 195 x 4800 mm") == "47\u00a0×\u00a0195\u00a0×\u00a04800\u00a0mm");
    CHECK(asPrinted("12 × 455.9/374.6 × 2400 mm") == "12\u00a0×\u00a0455.9/374.6\u00a0×\u00a02400\u00a0mm");
    CHECK(asPrinted("2 × R1 web 4") == "2 × R1 web 4");
    CHECK(asPrinted("3 x (2 + 1)") == "3 × (2 + 1)");
    CHECK(asPrinted("29.80 EUR/m^2 +- 6 %") == "29.80\u00a0EUR/m² ± 6\u00a0%");
    CHECK(asPrinted("= 204.1 mm; next") == "= 204.1\u00a0mm; next");
    CHECK(asPrinted("1.2e4 N/mm²,") == "1.2·10⁴\u00a0N/mm²,");
    CHECK(asPrinted("-1.508e-9 and 2e12; 1e10") == "-1.508·10⁻⁹ and 2·10¹²; 1·10¹⁰");
    CHECK(asPrinted("form == \"box\" or h <= 3 m and b >= 2 m, n != 1") == "form = \"box\" or h ≤ 3\u00a0m and b ≥ 2\u00a0m, n ≠ 1");
    CHECK(asPrinted("in N/mm²") == "in\u00a0N/mm²");
    CHECK(asPrinted("(c - e*z^2/2)^2 from p") == "(c - e*z²/2)² from p");
    CHECK(asPrinted("EN 338:2016; (ASCE 7-16), EN 1990") == "EN\u00a0338:2016; (ASCE\u00a07-16), EN\u00a01990");
    // What only looks like it stays.
    for (const char* same : {"largest at x = 3", "from x to y", "3 joists", "a^23", "^2", "10 ", "", " x ", "6.10 and 6.11", "class 3 timber", "x^n", "M2e4",
                             "2e", "2e4a", "1e4_x", "3 eggs", "e7", "in all", "a==b"})
        CHECK(asPrinted(same) == same);
}

TEST_CASE("a number with a power of ten is printed with it, any other as it is") {
    CHECK(figuresPrinted("2.904e7") == "2.904·10⁷");
    CHECK(figuresPrinted("-6e-13") == "-6·10⁻¹³");
    for (const char* same : {"12.5", "0", "C24e", "e7", "", "two"}) CHECK(figuresPrinted(same) == same);
}
