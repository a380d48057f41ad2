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
