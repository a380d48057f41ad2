// SPDX-License-Identifier: MIT
#include <doctest/doctest.h>

#include "engine/base/text.h"
#include "engine/report/build.h"
#include "engine/report/clean.h"
#include "engine/report/words.h"
#include "engine/report/write.h"
#include "tests/engine/report/golden.h"

using namespace spanwright::report;

namespace {

std::size_t widest(const std::string& text) {
    std::size_t most = 0;
    for (std::size_t at = 0; at < text.size();) {
        const std::size_t end = std::min(text.find('\n', at), text.size());
        most = std::max(most, textWidth(std::string_view(text).substr(at, end - at)));
        at = end + 1;
    }
    return most;
}

} // namespace

TEST_CASE("what check prints") {
    const std::string text = writeText(checkDocument(sample::job(), {}));
    sample::compareGolden("check.txt", text);
    sample::compareGolden("check-explain.txt", writeText(checkDocument(sample::job(), {true})));
    CHECK(widest(text) <= 80);
    CHECK(text == writeText(checkDocument(sample::job(), {})));
    CHECK(text.find("[ FAILS ]") != std::string::npos);
    CHECK(text.find("[ NOT PROVEN ]") != std::string::npos);
    for (const char* mark : {"J1", "B1", "H1", "X1"}) CHECK(text.find(mark) != std::string::npos);
    // The failing check is never shown as just fully used.
    CHECK(text.find(" 1.00 ") == std::string::npos);
    CHECK(text.find("1.0000001") != std::string::npos);
}

TEST_CASE("cautions cannot be left out") {
    std::string flat;
    for (const char c : writeText(checkDocument(sample::job(), {}))) {
        if (c == '\n')
            c == '\n' && !flat.empty() && flat.back() != ' ' ? flat += ' ' : flat;
        else if (!(c == ' ' && !flat.empty() && flat.back() == ' '))
            flat += c;
    }
    for (const std::string& c : cautionsOf(sample::job())) CHECK_MESSAGE(flat.find(c) != std::string::npos, c);
}

TEST_CASE("a terminal cannot be steered by a sheet") {
    for (const std::string& text : {writeText(checkDocument(sample::job(sample::hostile), {true})), writeText(reportDocument(sample::job(sample::hostile)))}) {
        CHECK(spanwright::base::isUtf8(text));
        for (const char c : text) {
            if (c != '\n' && (static_cast<unsigned char>(c) < 0x20 || c == 0x7f)) FAIL_CHECK("control character " << static_cast<int>(c));
        }
        CHECK(text.find("\xe2\x80\xae") == std::string::npos);
    }
}

TEST_CASE("what working prints") {
    const JobFacts f = sample::job();
    const std::vector<WorkingStep> steps{{*f.members[0].rows[1].working, 0}, {*f.members[0].rows[0].working, 1}, {*f.members[1].rows[3].working, 1}};
    const std::string text = writeText(workingDocument(steps, false));
    sample::compareGolden("working.txt", text);
    CHECK(widest(text) <= 80);
    CHECK(text.find("letters KQ7-MFD-2XH") != std::string::npos);
    CHECK(text.find("[ FAILS ]") != std::string::npos);
}

TEST_CASE("the whole report as text") { sample::compareGolden("report.txt", writeText(reportDocument(sample::job()))); }

TEST_CASE("a member whose purpose is its sheet's title says it once") {
    JobFacts f = sample::job();
    f.members.resize(1);
    f.members[0].view.sheetTitle = "Shelf board";
    for (const char* purpose : {"Shelf board", "in the pantry"}) {
        f.members[0].view.purpose = purpose;
        for (const std::string& text : {writeText(checkDocument(f, {})), writeText(reportDocument(f))}) {
            const auto once = text.find("J1  Shelf board");
            REQUIRE(once != std::string::npos);
            const std::string head = text.substr(once + 4, 60);
            CHECK((head.find("Shelf board", 4) != std::string::npos) == false);
            CHECK((head.find("in the pantry") != std::string::npos) == (std::string(purpose) == "in the pantry"));
        }
    }
}

TEST_CASE("tables give way until they fit") {
    Document d;
    d.sections.emplace_back();
    Table t;
    t.columns = {{"a", Table::Align::Left, true}, {"b", Table::Align::Right, false}};
    t.rows = {{{plainText(std::string(200, 'x') + " " + std::string(30, 'y'))}, {plainText("12")}}};
    d.sections.back().blocks.push_back({t});
    CHECK(widest(writeText(d, 60)) <= 60);
    const std::string text = writeText(d, 60);
    CHECK(std::count(text.begin(), text.end(), 'x') == 200);
}
