// SPDX-License-Identifier: MIT
#include <doctest/doctest.h>

#include "engine/syntax/csv.h"

using namespace spanwright;
using namespace spanwright::syntax;
using diag::Code;

namespace {

/// Lines joined by `|`, cells by `;`.
std::string cells(const CsvTable& t) {
    std::string out;
    for (const auto& line : t.lines) {
        if (!out.empty()) out += '|';
        for (std::size_t i = 0; i < line.cells.size(); ++i) out += (i > 0 ? ";" : "") + std::string(line.cells[i].text);
    }
    return out;
}

std::string messages(const CsvTable& t) {
    std::string out;
    for (const auto& d : t.diagnostics) out += renderText(d, [&](const diag::Place& p) { return t.resolve(p); });
    return out;
}

} // namespace

TEST_CASE("a table file: comment, head with units and texts, lines") {
    const CsvTable t = readCsv(
        "en338.csv",
        "# EN 338:2016 Table 1, as printed\n# second remark\n\ngrade, f_mk [N/mm^2], what [text], σ_m\nC24, 24, \"a, b\", 1\n# between\nC16,16,plain,2\n");
    CHECK(messages(t).empty());
    CHECK(t.comment == "EN 338:2016 Table 1, as printed");
    REQUIRE(t.columns.size() == 4);
    CHECK(t.columns[1].name.text == "f_mk");
    CHECK(t.columns[1].unit.text == "N/mm^2");
    CHECK(t.columns[2].text);
    CHECK(!t.columns[2].unit.present());
    CHECK(t.columns[3].name.text == "sigma_m");
    CHECK(t.headRow == 3);
    CHECK(cells(t) == "C24;24;a, b;1|C16;16;plain;2");
    CHECK(t.lines[1].row == 6);
    CHECK(t.lines[0].cells[1].span == base::ByteSpan{5, 7});
    CHECK(t.lines[0].cells[2].span == base::ByteSpan{9, 15});
}

TEST_CASE("RFC 4180: quotes, doubled quotes, line ends inside a field, CRLF, no last line end") {
    const CsvTable t = readCsv("t.csv", "a,b\r\n\"x \"\"y\"\"\",\"two\r\nlines\"\r\n\"\",3\r\n 4 , 5 ");
    CHECK(messages(t).empty());
    CHECK(cells(t) == "x \"y\";two\r\nlines|;3|4;5");
    CHECK(t.lines[1].row == 3);
    CHECK(t.lines[2].row == 4);
}

TEST_CASE("a byte order mark is no part of the first column") {
    const CsvTable t = readCsv("t.csv", "\xEF\xBB\xBFkey, v\na, 1\n");
    CHECK(messages(t).empty());
    CHECK(t.columns[0].name.text == "key");
    CHECK(t.columns[0].name.span == base::ByteSpan{0, 3});
    const CsvTable c = readCsv("t.csv", "\xEF\xBB\xBF# comment\nkey, v\na, 1\n");
    CHECK(c.comment == "comment");
    CHECK(cells(c) == "a;1");
}

TEST_CASE("a line with a wrong number of fields is said and left out, the rest stands") {
    const CsvTable t = readCsv("t.csv", "a,b\n1,2\n3\n4,5,6\n7,8\n");
    CHECK(cells(t) == "1;2|7;8");
    CHECK(messages(t) == "t.csv:3:1: error: this line has 1 field, the table's head has 2 [S117]\n"
                         "  3 | 3\n"
                         "    | ^\n"
                         "  mend: write the missing fields; an empty field still needs its comma\n"
                         "t.csv:4:5: error: this line has 3 fields, the table's head has 2 [S117]\n"
                         "  4 | 4,5,6\n"
                         "    |     ^\n"
                         "  mend: take fields out, or put a field that holds a comma in double quotes\n");
}

TEST_CASE("the same fault on every line is said twenty times, then counted") {
    std::string bytes = "a,b\n";
    for (int i = 0; i < 1000; ++i) bytes += "1\n";
    const CsvTable t = readCsv("t.csv", bytes);
    REQUIRE(t.diagnostics.size() == 21);
    CHECK(t.diagnostics.back().message == "980 more lines are faulty in this way or another");
}

TEST_CASE("an open quote costs one line, not the file") {
    const CsvTable t = readCsv("t.csv", "a,b\n1,\"open\n2,3\n4,5\n");
    CHECK(cells(t) == "2;3|4;5");
    REQUIRE(t.diagnostics.size() == 1);
    CHECK(t.diagnostics[0].code == Code::CsvQuote);
    CHECK(t.diagnostics[0].place.row == 1);
    CHECK(t.diagnostics[0].place.span == base::ByteSpan{2, 3});
}

TEST_CASE("what follows a closed quote is a fault") {
    const CsvTable t = readCsv("t.csv", "a,b\n\"x\"y,2\n3,4\n");
    CHECK(cells(t) == "3;4");
    REQUIRE(t.diagnostics.size() == 1);
    CHECK(t.diagnostics[0].code == Code::CsvQuote);
}

TEST_CASE("heads") {
    const auto code = [](std::string bytes) {
        const CsvTable t = readCsv("t.csv", std::move(bytes));
        return t.diagnostics.empty() ? std::string("none") : std::string(diag::codeName(t.diagnostics[0].code));
    };
    CHECK(code("") == "CsvHead");
    CHECK(code("# only a comment\n") == "CsvHead");
    CHECK(code("a,,b\n") == "CsvHead");
    CHECK(code("a, b [m\n") == "CsvHead");
    CHECK(code("a, b m]\n") == "CsvHead");
    CHECK(code("a, a\n") == "CsvHead");
    CHECK(code("a, [m]\n") == "CsvHead");
    CHECK(code("a\n") == "none");
    CHECK(code("row, #2, 1, \"a, b\"\n") == "none");
}

TEST_CASE("bytes that are no text") {
    const CsvTable t = readCsv("t.csv", "a,b\n1,\xff\n");
    REQUIRE(t.diagnostics.size() == 1);
    CHECK(t.diagnostics[0].code == Code::BadBytes);
    CHECK(t.diagnostics[0].place.row == 1);
    CHECK(t.diagnostics[0].place.span == base::ByteSpan{2, 3});
}

TEST_CASE("a table that is moved or copied keeps its cells") {
    CsvTable copy;
    {
        CsvTable t = readCsv("t.csv", "a\n\"x\"\"y\"\nz\n");
        copy = t;
        std::vector<CsvTable> moved;
        moved.push_back(std::move(t));
        CHECK(cells(moved[0]) == "x\"y|z");
    }
    CHECK(cells(copy) == "x\"y|z");
}

TEST_CASE("more lines than the limit: the rest is left out and said so") {
    std::string bytes = "a\n";
    for (std::size_t i = 0; i <= kMaxTableLines + 5; ++i) bytes += "1\n";
    const CsvTable t = readCsv("t.csv", std::move(bytes));
    CHECK(t.lines.size() == kMaxTableLines);
    REQUIRE(t.diagnostics.size() == 1);
    CHECK(t.diagnostics[0].code == Code::TableTooLarge);
}

TEST_CASE("the lines of a block are a table whose places are the document's") {
    const Document d = Document::read("s.spansheet", FileKind::Sheet,
                                      "sheet s\n"
                                      "table   service_class by class   -- classes -- EN 1995-1-1 2.3.1.3\n"
                                      "class, k_def, what [text]\n"
                                      "\n"
                                      "1, 0.60, \"heated, dry\"\n"
                                      "# not yet\n"
                                      "2, 0.80\n"
                                      "\"3, 2.00, outside\n"
                                      "4, 1, x\n"
                                      "end\n"
                                      "derive a = 1\n");
    CHECK(d.diagnostics().empty());
    const CsvTable t = blockTable(d, 1);
    CHECK(cells(t) == "1;0.60;heated, dry|4;1;x");
    CHECK(t.comment == "EN 1995-1-1 2.3.1.3");
    CHECK(t.headRow == 2);
    CHECK(t.lines[0].row == 4);
    REQUIRE(t.diagnostics.size() == 2);
    CHECK(t.diagnostics[0].code == Code::CsvFieldCount);
    const auto place = d.resolve(t.diagnostics[0].place);
    REQUIRE(place);
    CHECK(place->line == 7);
    CHECK(place->column == 4);
    CHECK(t.diagnostics[1].code == Code::CsvQuote);
    CHECK(t.diagnostics[1].place.row == 7);
}

TEST_CASE("an empty block has no head") {
    const Document d = Document::read("s.spansheet", FileKind::Sheet, "table t\nend\n");
    const CsvTable t = blockTable(d, 0);
    REQUIRE(t.diagnostics.size() == 1);
    CHECK(t.diagnostics[0].code == Code::CsvHead);
    CHECK(t.diagnostics[0].place.row == 0);
}
