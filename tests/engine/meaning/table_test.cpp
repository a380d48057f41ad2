// SPDX-License-Identifier: MIT
#include <cmath>

#include <doctest/doctest.h>

#include "tests/engine/meaning/sheet_text.h"

using namespace spanwright;

TEST_CASE("texts have one id each, exact in a double") {
    meaning::TextPool pool;
    const double a = pool.idOf("C24");
    CHECK(pool.idOf("C16") != a);
    CHECK(pool.idOf("C24") == a);
    CHECK(pool.textOf(a) == "C24");
    CHECK(pool.textOf(-1.0) == "");
    CHECK(pool.textOf(0.5) == "");
    CHECK(pool.textOf(1e300) == "");
    CHECK(pool.textOf(std::nan("")) == "");
}

TEST_CASE("cells are SI numbers or texts") {
    SheetText s;
    s.files["sub/my-table.csv"] = "# a source, 2016\nclass [text], f_mk [N/mm^2], share, what [text]\nC24, 24, 25 %, \"heated, dry\"\nC16, 16 MPa, 0.5, x\n";
    s.read("use sub/my-table.csv\nuse sub/my-table.csv as again by what\n");
    REQUIRE(s.told() == "");
    CHECK(s.fetched["sub/my-table.csv"] == 1); // each path once
    REQUIRE(s.sheet->tables.size() == 2);
    const meaning::Table& t = *s.sheet->tables[0];
    CHECK(t.name == "my_table");
    CHECK(t.comment == "a source, 2016");
    CHECK(t.rowCount() == 2);
    CHECK(t.cells[1] == std::vector<double>{24e6, 16e6});
    CHECK(t.cells[2] == std::vector<double>{0.25, 0.5});
    CHECK(s.texts.textOf(t.cells[3][0]) == "heated, dry");
    CHECK(t.texts[1][1] == "16 MPa");
    CHECK(t.rowByText({"C16"}) == 1U);
    CHECK_FALSE(t.rowByText({"C99"}));
    CHECK(t.rowLabel(0) == "C24");
    CHECK(s.sheet->tables[1]->rowByLabel("\"heated, dry\"") == 0U);
    CHECK(s.sheet->tables[1]->name == "again");
}

TEST_CASE("two keys, quotes in keys") {
    const SheetText s("table two by species, size\nspecies, size, F [psi]\nDouglas fir-larch, #2, 900\n\"oak, red\", #1, 800\nend\n");
    REQUIRE(s.told() == "");
    const meaning::Table& t = *s.sheet->tables[0];
    CHECK(t.columns[0].text); // a key without a unit may hold any text
    CHECK(t.rowByLabel("Douglas fir-larch, #2") == 0U);
    CHECK(t.rowByLabel("\"oak, red\", #1") == 1U);
    CHECK_FALSE(t.rowByLabel("Douglas fir-larch"));
    CHECK(t.rowLabel(0) == "Douglas fir-larch, #2");
}

TEST_CASE("a matrix has a row key and heads as column keys") {
    const SheetText s("matrix k [N/mm^2] by service and duration\nservice, permanent, medium\n1, 0.6, 0.8\nend\n");
    REQUIRE(s.told() == "");
    const meaning::Table& t = *s.sheet->tables[0];
    CHECK(t.isMatrix);
    CHECK(t.columnKeys == std::vector<std::string>{"permanent", "medium"});
    CHECK(t.cells[1][0] == 0.6e6);
    CHECK(t.matrixUnit.ascii == "N/mm^2");
}

TEST_CASE("wrong cells and keys") {
    const SheetText s("table t\nk, v [mm], n\na, 2 kN, x\nb, , 2\nb, 4, 3\nend\neach u in t\nderive w [mm] = t(\"a\").v\n");
    CHECK(s.told() == "M313 column `v` of table `t`: `2 kN` is in kN | write a number in mm, or mark the column as text: `v [text]`\n"
                      "M313 column `n` of table `t`: `x` is not a number | write a number, or mark the column as text: `n [text]`\n"
                      "M313 column `v` of table `t`: the cell is empty | write a number in mm, or mark the column as text: `v [text]`\n"
                      "M314 table `t` has two rows with the key `b` | make the keys differ, or name more key columns with `by`");
    CHECK(s.marked(0) == "2 kN");
    CHECK(s.sheet->diagnostics[3].labels[0].text == "first here");
    CHECK(std::isnan(s.sheet->tables[0]->cells[1][0])); // never a number that nobody wrote
    CHECK(s.at("u").broken);                            // which of two rows is meant?
    CHECK(s.at("u").problem->code == diag::Code::TableKeyTwice);
    CHECK(said("table s\nk, v [qq]\n1, 2\nend\n").substr(0, 4) == "U201");
    CHECK(said("table s by key\nk, v\n1, 2\nend\n") == "M311 table `s` has no column `key` to be its key | name one of its columns: k, v");
}

TEST_CASE("a file that cannot be read is told once, and what needs it waits") {
    SheetText s;
    s.files["bad.csv"] = "# src\nk, v [mm]\n1, 2\n2\n";
    s.read("use nothere.csv\nchoose j from nothere\nderive k [mm] = j.v + 1 mm\nderive l [mm] = nothere(1).v\nuse nothere.csv as b\nuse bad.csv\neach x in "
           "bad\nderive y [mm] = x.v\n");
    CHECK(s.told() == "F001 there is no file `nothere.csv`\nS117 this line has 1 field, the table's head has 2 | write the missing fields; an empty field "
                      "still needs its comma");
    CHECK(s.sheet->diagnostics[0].place.file == "a.spansheet");
    CHECK(s.marked(0) == "nothere.csv");
    CHECK(s.at("j").broken);
    CHECK(s.at("j").problem->code == diag::Code::FileNotFound);
    CHECK(s.at("l").problem->code == diag::Code::FileNotFound);
    CHECK_FALSE(s.at("k").broken);
    CHECK(s.at("x").broken); // the line that is missing might govern
    CHECK(s.at("x").problem->place.file == "bad.csv");
}

TEST_CASE("a table that is wrong in every line says so a few times") {
    std::string text = "table t\nk, v\n";
    for (int i = 0; i < 100; ++i) text += std::to_string(i) + ", x\n";
    const SheetText s(text + "end\n");
    std::size_t count = 0;
    for (const auto& d : s.sheet->diagnostics) count += d.code == diag::Code::TableCell ? 1 : 0;
    CHECK(count == 20);
    bool noted = false;
    for (const auto& d : s.sheet->diagnostics) {
        for (const auto& n : d.notes) noted = noted || n == "and 80 more like this in the same table";
    }
    CHECK(noted);
}
