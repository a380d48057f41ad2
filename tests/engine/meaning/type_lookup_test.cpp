// SPDX-License-Identifier: MIT
#include <doctest/doctest.h>

#include "tests/engine/meaning/sheet_text.h"

using namespace spanwright;
using meaning::ExprKind;

namespace {

const std::string kTables = "table t by k\nk, v [mm], what [text]\na, 2, x\nb, 3, y\nend\n"
                            "table n\nspan [m], h [mm]\n1, 100\n2, 150\nend\n"
                            "table two by species, size\nspecies, size, F [psi]\n\"Douglas fir-larch\", #2, 900\npine, #2, 800\nend\n"
                            "matrix m by service and duration\nservice, permanent, medium\n1, 0.6, 0.8\n2, 0.5, 0.7\nend\n"
                            "table u by c\nc, G, Q\n1, 1.35, 1.5\n2, 1, 0\nend\n";

} // namespace

TEST_CASE("look-ups are typed by their columns") {
    const SheetText s(kTables + "choose r = b from t\nchoose p = Douglas fir-larch, #2 from two\neach uls in u\ngiven L = 1.5 m\n"
                                "derive a [mm] = t(\"a\").v\nderive b [mm] = interpolate(n.h, L)\nderive c [mm] = at_or_below(n.h, 2 m)\nderive d [mm] = r.v\n"
                                "derive e = m(\"1\", \"medium\")\nderive f = m(uls, \"permanent\")\nderive g [psi] = p.F\nderive h [psi] = two(\"pine\", "
                                "\"#2\").F\nderive i = uls.G\nderive j = r.what\nderive k [mm] = t(r).v\n");
    REQUIRE(s.told() == "");
    const auto root = [&](const char* name) { return s.sheet->exprs.at(s.at(name).formula); };
    CHECK(root("a").kind == ExprKind::TableField);
    CHECK(root("a").index == 1);
    CHECK(root("b").how == meaning::Lookup::Interpolate);
    CHECK(root("c").how == meaning::Lookup::AtOrBelow);
    CHECK(root("d").kind == ExprKind::ChoiceField);
    CHECK(root("e").kind == ExprKind::MatrixField);
    CHECK(root("i").kind == ExprKind::AxisField);
    CHECK(s.at("f").axes.size() == 1);
    CHECK(s.at("j").type == meaning::Type::Text);
    CHECK(s.reads("f") == "uls");
    CHECK(s.reads("k") == "r");
    CHECK(s.at("r").defaultRow == 1U);
    CHECK(s.at("p").defaultRow == 0U);
    CHECK(root("k").children.size() == 1);
    CHECK(s.sheet->exprs.at(root("k").children[0]).type == meaning::Type::Text); // the key of the chosen row
}

TEST_CASE("wrong look-ups") {
    const std::string r = kTables + "choose r from t\ngiven k = 3\n";
    CHECK(said(r + "derive w [mm] = t(\"c\").v") == "M312 table `t` has no row `c` | its keys are a, b");
    CHECK(said(r + "derive w [psi] = two(\"pime\", \"#2\").F") == "M312 table `two` has no row `pime, #2` | did you mean `pine, #2`?");
    CHECK(said(r + "derive w = m(\"3\", \"medium\")") == "M312 the matrix `m` has no row `3` | its rows are 1, 2");
    CHECK(said(r + "derive w = m(\"1\", \"medum\")") == "M311 the matrix `m` has no column `medum` | did you mean `medium`?");
    CHECK(said(r + "choose q = Cc from t") == "M312 table `t` has no row `Cc` | its keys are a, b");
    CHECK(said(r + "derive w = if(r == \"aa\", 1, 2)") == "M312 table `t` has no row `aa` | did you mean `a`?");
    CHECK(said(r + "derive w [mm] = t(\"a\").vv") == "M311 table `t` has no column `vv` | did you mean `v`?");
    CHECK(said(r + "derive w [mm] = r.vee") == "M311 table `t` has no column `vee` | its columns are k, v, what");
    CHECK(said(r + "derive w [mm] = t(k).v") == "M307 the keys of `t` are texts, and this is a number | write the key in double quotes, or use a chosen row");
    CHECK(said(r + "derive w [mm] = t(\"a\", \"b\").v") == "M309 table `t` is looked up by k, and here are 2 keys | write t(k).v");
    CHECK(said(r + "derive w [mm] = t(\"a\")") == "M307 a row of the table `t` is no value without its column | name the column: t(...).COLUMN");
    CHECK(said(r + "derive w [mm] = interpolate(n.h, 3 kN)") ==
          "M303 the key of `n` must be in m, and this is in kN | write a value in m, or in another unit of that kind");
    CHECK(said(r + "derive w [mm] = interpolate(t.v, 3)") ==
          "M307 `interpolate` needs a table with one key column of numbers; `t` is named by texts | look the row up exactly: t(key).v");
    CHECK(said(r + "derive w [mm] = interpolate(3, 3)") ==
          "M309 `interpolate` takes a column of a table and a key | write it like interpolate(TABLE.column, key)");
    CHECK(said(r + "derive w [mm] = interpolate(nn.h, 3 m)") == "M310 there is no table `nn` | did you mean `n`?");
    CHECK(said("choose g from tt\n") == "M310 there is no table `tt` | write the table into the sheet, or `use` a file that holds it");
    CHECK(said(kTables + "each g in m\n") ==
          "M307 `m` is a matrix: it is looked up by two keys and has no rows to take | write m(row key, column key) in a formula");
    CHECK(said("table d\nx, y\n1, 1\n3, 2\n2, 3\nend\nderive a = interpolate(d.y, 1.5)\nderive b = d(3).y\n") ==
          "M313 the keys of table `d` must rise from row to row to be used here: 2 stands after 3 | sort its rows by `x`");
}

TEST_CASE("a word that nearly stands in a column is a warning") {
    const SheetText s(kTables + "choose r from t\nderive w = if(r.what == \"X\", 1, 2)\nderive v = if(r.what == \"hardwood\", 1, 2)\n");
    CHECK(s.told() == "M312 no row of table `t` has `X` as its `what` | did you mean `x`?");
    CHECK(s.sheet->diagnostics[0].severity == diag::Severity::Warning);
    CHECK_FALSE(s.at("w").broken);
}

TEST_CASE("axes") {
    const std::string r = kTables + "each c in u\neach l in n\nderive w = c.G*2\nderive z [m] = c.Q*l.span\ngiven k = 2\n";
    const SheetText s(r + "derive a = largest(w, over c)\nderive b [m] = sum(z, over l)\nderive d = where_largest(w, over c)\nderive e = all(z < 1 m, over "
                          "c)\nderive f = count(w > 2, over c)\ncheck x: w <= 3\n");
    REQUIRE(s.told() == "");
    CHECK(s.at("z").axes == std::vector<meaning::QuantityId>{s.at("c").id, s.at("l").id});
    CHECK(s.at("a").axes.empty());
    CHECK(s.at("b").axes == std::vector<meaning::QuantityId>{s.at("c").id});
    CHECK(s.at("d").type == meaning::Type::Text);
    CHECK(s.at("e").axes == std::vector<meaning::QuantityId>{s.at("l").id});
    CHECK(s.at("x").axes.size() == 1);
    CHECK(s.reads("x") == "c w");
    CHECK(s.reads("a") == "c w");
    CHECK(said(r + "derive q = largest(k, over c)") ==
          "M316 k is the same for every row of `c` | leave largest(..., over c) out, or use a value that varies with it");
    CHECK(said(r + "derive q = largest(w, over cc)") == "M316 `cc` is no each row | did you mean `c`?");
    CHECK(said(r + "given q = c.G") == "M316 `q` must be one value, and this has one for every row of `c` | reduce it: largest(..., over c)");
    CHECK(said(r + "derive q = min(w, over c)") ==
          "M316 `over` stands where it cannot | `over` is the last argument of largest, smallest, sum, count, all, any and where_largest");
    CHECK(said(r + "derive q = sum(2, x from 1 to 2)") ==
          "M319 `sum` goes over the rows of a table, not along a range | write it like sum(f, over ROWS); along a range there is integral(f, x from a to b)");
    CHECK(said(r + "derive q = integral(2, over c)") ==
          "M319 `integral` goes along a range, not over the rows of a table | write it like integral(f, x from a to b)");
    CHECK(said(r + "derive q = max(2, x from 1 to 2)") ==
          "M319 a range stands where it cannot | ranges are the last argument of integral, largest, smallest, where_largest, where_smallest and root");
    CHECK(said(r + "derive g = largest(1, 2)") == "M309 `largest` takes a formula and a range, or the rows to go over | write it like largest(f, x from a to "
                                                  "b) or largest(f, over ROWS); the largest of several values is max(a, b)");
}

TEST_CASE("a list is the member's to fill: its rows are taken where the member has them") {
    const SheetText s("list joints\nat [m], flange [text]\n2.4, bottom\nend\neach j in joints\nchoose first from joints\nderive a = j.flange\nderive b = "
                      "joints(2.4 m).flange\n");
    REQUIRE(s.told() == "");
    CHECK(s.at("joints").kind == meaning::Kind::List);
    CHECK(s.at("j").list == s.at("joints").id);
    CHECK(s.at("first").list == s.at("joints").id);
    CHECK(s.reads("j") == "joints");
    CHECK(s.reads("b") == "joints");
    CHECK(s.sheet->exprs.at(s.at("b").formula).quantity == s.at("joints").id);
    CHECK(s.at("joints").table->isList);
}
