// SPDX-License-Identifier: MIT
#include "engine/diag/codes.h"

#include <doctest/doctest.h>
#include <set>
#include <string>

using namespace spanwright::diag;

TEST_CASE("codes have texts, names and explanations of their own") {
    std::set<std::string> texts;
    std::set<std::string> names;
    std::set<std::string> explanations;
    REQUIRE(allCodes().size() > 80);
    for (const Code c : allCodes()) {
        CAPTURE(codeName(c));
        CHECK(texts.insert(std::string(codeText(c))).second);
        CHECK(names.insert(std::string(codeName(c))).second);
        CHECK(explanations.insert(std::string(codeExplanation(c))).second);
        REQUIRE(codeText(c).size() == 4);
        CHECK(std::string("FSUMEBJLWT").find(codeText(c).front()) != std::string::npos);
        CHECK(codeText(c).find_first_not_of("0123456789", 1) == std::string_view::npos);
        CHECK(codeExplanation(c).size() > 20);
        CHECK(codeExplanation(c).back() == '.');
    }
}

TEST_CASE("codes of a group stand together, ascending, each group with its hundred") {
    const std::string groups = "FSUMEBJLWT";
    std::string last;
    for (const Code c : allCodes()) {
        const std::string text(codeText(c));
        const auto group = groups.find(text.front());
        CHECK(text[1] == static_cast<char>('0' + group));
        const std::string key = std::to_string(group) + text.substr(1);
        CHECK(key > last);
        last = key;
    }
}

TEST_CASE("codes that others rely on stay what they are") {
    CHECK(codeText(Code::FileNotFound) == "F001");
    CHECK(codeText(Code::UnknownUnit) == "U201");
    CHECK(codeName(Code::UnknownUnit) == "UnknownUnit");
    CHECK(codeText(Code::UnlikeDimensions) == "M303");
    CHECK(codeText(Code::Cycle) == "E401");
    CHECK(codeText(static_cast<Code>(60000)) == "?");
}
