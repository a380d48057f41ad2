// SPDX-License-Identifier: MIT
#include <doctest/doctest.h>

#include <set>

#include "engine/report/case_tables.h"

using namespace spanwright;
using report::Table;

namespace {

Table tableOf(const std::vector<report::Block>& blocks) {
    REQUIRE_FALSE(blocks.empty());
    const auto* t = std::get_if<Table>(&blocks.front().is);
    REQUIRE(t != nullptr);
    return *t;
}

/// A row over two axes, its value 10 times the first and once the second.
report::RowFact rowOver(const std::vector<std::string>& first, const std::vector<std::string>& second) {
    report::RowFact r;
    r.axes = {first, second};
    for (std::size_t a = 0; a < first.size(); ++a)
        for (std::size_t b = 0; b < second.size(); ++b) {
            const int v = static_cast<int>(10 * a + b);
            r.cases.push_back({first[a] + ", " + second[b], v, std::to_string(v) + " kN"});
        }
    return r;
}

} // namespace

TEST_CASE("two axes make a grid in which every case stands in its place") {
    for (const bool swapped : {false, true}) {
        const std::vector<std::string> few{"first", "second", "third"},
            many{"permanent", "imposed", "a person at the edge", "snow", "wind and snow", "uplift", "fire"};
        const report::RowFact r = swapped ? rowOver(many, few) : rowOver(few, many);
        const Table t = tableOf(report::valueCases(r));
        CHECK(t.columns.size() == 4);
        CHECK(t.columns.front().head == "in kN");
        REQUIRE(t.rows.size() == 7);
        for (std::size_t row = 0; row < 7; ++row) {
            CHECK(report::wordsOf(t.rows[row][0]) == many[row]);
            for (std::size_t c = 0; c < 3; ++c) {
                CHECK(t.columns[c + 1].head == few[c]);
                CHECK(report::wordsOf(t.rows[row][c + 1]) == std::to_string(swapped ? 10 * row + c : 10 * c + row));
            }
        }
    }
}

TEST_CASE("a few cases stand in one line; many without axes stand in columns, none left out") {
    report::RowFact r;
    r.axes = {{"permanent", "variable", "uplift"}};
    for (const std::string& l : r.axes[0]) r.cases.push_back({l, 1.5, "1.5 kN"});
    const Table line = tableOf(report::valueCases(r));
    CHECK(line.rows.size() == 1);
    CHECK(line.columns.size() == 4);

    report::RowFact many;
    for (int i = 0; i < 41; ++i) many.cases.push_back({"c" + std::to_string(i), i, std::to_string(i) + " kN"});
    const Table t = tableOf(report::valueCases(many));
    CHECK(t.rows.size() < 41);
    std::set<std::string> seen;
    for (const auto& row : t.rows)
        for (std::size_t c = 0; c + 1 < row.size(); c += 2)
            if (!row[c].empty()) {
                CHECK("c" + report::wordsOf(row[c + 1]) == report::wordsOf(row[c]));
                seen.insert(report::wordsOf(row[c]));
            }
    CHECK(seen.size() == 41);
}

TEST_CASE("values of different units keep them; the case that is worked out is strong") {
    report::RowFact r;
    r.cases = {{"a", 1.0, "1 kN"}, {"b", std::nullopt, "no rows"}};
    r.working.emplace();
    r.working->caseLabel = "a";
    const Table t = tableOf(report::valueCases(r));
    CHECK(report::wordsOf(t.rows[0][1]) == "1 kN");
    CHECK(report::wordsOf(t.rows[1][1]) == "no rows");
    CHECK(t.rows[0][1].front().kind == report::Inline::Kind::Strong);
    CHECK(t.rows[1][1].front().kind == report::Inline::Kind::Text);
}

TEST_CASE("each case of a check keeps its verdict in a box, whatever the layout") {
    using State = job::CheckView::State;
    job::CheckView c;
    const std::vector<std::vector<std::string>> axes{{"first", "second"}, {"snow", "wind", "fire"}};
    for (const std::string& a : axes[0])
        for (const std::string& b : axes[1]) {
            job::CheckView::Case k;
            k.label = a + ", " + b;
            k.state = b == "snow" ? State::Passes : b == "wind" ? State::Fails : State::NotComputed;
            if (b != "fire") k.utilisation = b == "snow" ? 0.5 : 1.5;
            c.cases.push_back(k);
        }
    std::size_t ok = 0, fails = 0, unknown = 0;
    const Table t = tableOf(report::checkCases(c, axes));
    for (const auto& row : t.rows)
        for (const report::Inlines& cell : row)
            for (const report::Inline& i : cell) {
                if (i.kind != report::Inline::Kind::Boxed) continue;
                ok += i.stamp == report::Stamp::Ok ? 1 : 0;
                fails += i.stamp == report::Stamp::Fails ? 1 : 0;
                unknown += i.stamp == report::Stamp::NotComputed ? 1 : 0;
                if (i.stamp != report::Stamp::NotComputed) CHECK(cell.size() == 2);
            }
    CHECK(ok == 2);
    CHECK(fails == 2);
    CHECK(unknown == 2);
}

TEST_CASE("a limit on cases is told") {
    report::RowFact r;
    for (int i = 0; i < 500; ++i) r.cases.push_back({"c" + std::to_string(i), i, std::to_string(i) + " kN"});
    const auto blocks = report::valueCases(r);
    REQUIRE(blocks.size() == 2);
    CHECK(report::wordsOf(std::get<report::Paragraph>(blocks[1].is).text).find("of 500") != std::string::npos);
}
