// SPDX-License-Identifier: MIT
#include <doctest/doctest.h>

#include <algorithm>
#include <cstdio>
#include <cstdlib>
#include <fstream>

#include "engine/report/build.h"
#include "engine/report/html_style.h"
#include "engine/report/words.h"
#include "engine/report/write.h"
#include "tests/engine/report/golden.h"
#include "tests/engine/report/html_check.h"

using namespace spanwright::report;

namespace {

std::size_t count(const std::string& text, const std::string& what) {
    std::size_t n = 0;
    for (std::size_t at = text.find(what); at != std::string::npos; at = text.find(what, at + 1)) ++n;
    return n;
}

std::string faultsOf(const std::string& page) {
    std::string out;
    for (const std::string& f : sample::pageFaults(page)) out += f + "\n";
    return out;
}

} // namespace

TEST_CASE("the report page") {
    const JobFacts facts = sample::job();
    const std::string page = writeHtml(reportDocument(facts));
    CHECK(faultsOf(page) == "");
    CHECK(page == writeHtml(reportDocument(sample::job())));
    sample::compareGolden("report.html", page);

    SUBCASE("cover, cautions, contents and every member are there") {
        for (const std::string& c : standingCautions()) CHECK(page.find(c) != std::string::npos);
        for (const char* part :
             {"Orchard packing shed", "made by", "not stated", "EN 1990:2002", "Contents", "Load path", "Assumptions", "Schedule", "What is wrong", "Review",
              "id=\"m1\"", "id=\"m4\"", "href=\"#m4\"", "span measured on site?", "reference</th>", "calculation</th>", "result</th>"})
            CHECK_MESSAGE(page.find(part) != std::string::npos, part);
    }
    SUBCASE("fingerprint and editions stand at the head of each section and in the margin") {
        const std::size_t sections = count(page, "<section");
        CHECK(sections == 3 + facts.members.size());
        CHECK(count(page, "<tr class=\"running\">") == sections);
        std::size_t repeated = 0;
        for (std::size_t at = page.find("<tr class=\"running\">"); at != std::string::npos; at = page.find("<tr class=\"running\">", at + 1)) {
            const std::string line = page.substr(at, page.find("</tr>", at) - at);
            if (line.find("QRS-TUV-234") != std::string::npos && line.find("EN 1995-1-1:2004+A2:2014; EN 1990:2002") != std::string::npos) ++repeated;
        }
        // The general pages join the editions of all members, which are the same here.
        CHECK(repeated == sections);
        CHECK(page.find("counter(page)") != std::string::npos);
        CHECK(page.find("@page m2 {") != std::string::npos);
        CHECK(page.find("QRS\\2d TUV\\2d 234") != std::string::npos);
    }
    SUBCASE("verdicts are boxed words, and only what passes is OK") {
        CHECK(page.find("<span class=\"stamp fails\">FAILS</span>") != std::string::npos);
        CHECK(page.find("<span class=\"stamp not-proven\">NOT PROVEN</span>") != std::string::npos);
        CHECK(page.find("<span class=\"stamp not-computed\">NOT COMPUTED</span>") != std::string::npos);
        const std::string joist = page.substr(page.find("id=\"m1\""), page.find("id=\"m2\"") - page.find("id=\"m1\""));
        const std::string rest = page.substr(page.find("id=\"m2\""));
        CHECK(joist.find("stamp ok") != std::string::npos);
        // Only passing single cases are OK beyond the first member, never a whole check or member.
        CHECK(rest.find("<h2><strong>B1</strong>  Sawn floor joist, uniform load  <span class=\"stamp ok\">") == std::string::npos);
        CHECK(page.find("utilisation <strong>1.00<") == std::string::npos);
        CHECK(joist.find("so not checked: notch_shear") != std::string::npos);
    }
    SUBCASE("a tick that is out of date says what changed") { CHECK(page.find("tick by AB out of date: stated values") != std::string::npos); }
}

TEST_CASE("whatever a sheet holds stays text") {
    const std::string page = writeHtml(reportDocument(sample::job(sample::hostile)));
    CHECK(faultsOf(page) == "");
    CHECK(page.find("<script") == std::string::npos);
    CHECK(page.find("&lt;script&gt;") != std::string::npos);
    CHECK(page.find('\x1b') == std::string::npos);
    CHECK(count(page, "</style>") == 1);
}

TEST_CASE("an XML reader takes the page") {
    if (std::system("xmllint --version >/dev/null 2>&1") != 0) {
        MESSAGE("xmllint is not here; the page was checked by the tests' own reader only");
        return;
    }
    int n = 0;
    for (const JobFacts& facts : {sample::job(), sample::job(sample::hostile)}) {
        const std::string path = std::string(SPANWRIGHT_BINARY_DIR) + "/report_test_" + std::to_string(++n) + ".html";
        std::ofstream(path, std::ios::binary) << writeHtml(reportDocument(facts));
        CHECK(std::system(("xmllint --noout --nonet '" + path + "'").c_str()) == 0);
        std::remove(path.c_str());
    }
}

TEST_CASE("an empty job still has cover and cautions") {
    JobFacts none;
    none.file = "empty.spanjob";
    const std::string page = writeHtml(reportDocument(none));
    CHECK(faultsOf(page) == "");
    CHECK(page.find("nothing is proven") != std::string::npos);
    CHECK(page.find(standingCautions().front()) != std::string::npos);
    CHECK(page.find("stamp ok") == std::string::npos);
}

TEST_CASE("a long formula can be broken over lines, a short one stays whole") {
    using Kind = spanwright::meaning::Box::Kind;
    std::vector<spanwright::meaning::Box> sum;
    for (int i = 0; i < 12; ++i) {
        if (i > 0) sum.push_back(sample::word(Kind::Operator, "+"));
        sum.push_back(sample::word(Kind::Name, "abcdef"));
    }
    CHECK(writeMathmlPieces(sample::row(sum), 46).size() == 12);
    CHECK(writeMathmlPieces(sample::row(sum), 4600).size() == 1);
    // What is called with many arguments, between them.
    std::vector<spanwright::meaning::Box> arguments;
    for (int i = 0; i < 9; ++i) {
        if (i > 0) arguments.push_back(sample::word(Kind::Operator, ","));
        arguments.push_back(sample::word(Kind::Name, "abcdef"));
    }
    const spanwright::meaning::Box call = sample::row(
        {sample::word(Kind::Name, "E"), sample::word(Kind::Operator, "·"), sample::word(Kind::Word, "max"), {Kind::Fence, "(", {sample::row(arguments)}}});
    const auto pieces = writeMathmlPieces(call, 46);
    REQUIRE(pieces.size() == 9);
    for (const std::string& piece : pieces) CHECK(piece.find("abcdef") == piece.rfind("abcdef"));
    CHECK(pieces.front().find("max</mtext><mo form=\"prefix\" stretchy=\"false\">(</mo>") != std::string::npos);
    CHECK(pieces.back().find("<mo form=\"postfix\" stretchy=\"false\">)</mo>") != std::string::npos);
    CHECK(writeMathmlPieces(call, 4600).size() == 1);
}

TEST_CASE("words of a range stand apart from what they join") {
    using Kind = spanwright::meaning::Box::Kind;
    const std::string math = writeMathml(sample::row({sample::word(Kind::Name, "x"), sample::word(Kind::Word, "from"), sample::word(Kind::Number, "0"),
                                                      sample::word(Kind::Word, "to"), sample::word(Kind::Number, "3")}),
                                         false);
    CHECK(math.find("<mtext>\u00a0from\u00a0</mtext>") != std::string::npos);
    CHECK(math.find("<mtext>\u00a0to\u00a0</mtext>") != std::string::npos);
}
