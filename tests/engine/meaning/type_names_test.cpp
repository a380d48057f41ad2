// SPDX-License-Identifier: MIT
#include <doctest/doctest.h>

#include "tests/engine/meaning/sheet_text.h"

using namespace spanwright;

TEST_CASE("unknown names suggest the nearest, once a row") {
    const SheetText s("given M_dd [kN*m] = 1 kN*m\n"
                      "derive a [kN*m] = M_d*2 + M_d\n"
                      "derive b [kN] = 2*kN\n"
                      "derive c [mm] = zzz\n"
                      "derive d [mm] = c + 3 mm\n");
    CHECK(s.told() == "M301 `M_d` is defined nowhere | did you mean `M_dd`?\n"
                      "M301 `kN` is defined nowhere | `kN` is a unit: units stand behind a number, as in 1 kN\n"
                      "M301 `zzz` is defined nowhere | define it in a row of its own, such as: given zzz = ...");
    CHECK(s.marked(0) == "M_d");
    CHECK(s.at("a").broken);
    CHECK(s.at("c").broken);
    CHECK_FALSE(s.at("d").broken); // waits for c
    CHECK(s.at("c").problem->message == "`zzz` is defined nowhere");
}

TEST_CASE("one cause, one diagnostic: what cannot be known fits everywhere") {
    CHECK(said("given f = 400 mmm\nderive g [kN] = f + 2 kN\nderive h = f*2\nderive i [kN] = h + 1 kN\n") ==
          "U201 `mmm` is no unit in the catalogue | did you mean `mm`?");
    CHECK(said("deriv d [kN] = 3 kN\nderive e [kN] = d + 2 kN\n") == "S101 `deriv` is no kind of row | write `derive` if that is meant");
    CHECK(said("derive j [kN] = (2 kN\nderive k [kN] = j\n") == "S106 this bracket is never closed | write `)` where it should end");
    CHECK(said("derive w [kN/m] = 3 kN/m\n") == "S111 in a formula a compound unit stands in brackets | write `3 (kN/m)`");
    CHECK(said("define f(x [m]) = y\nderive a [m] = f(2 m)\nderive b [m] = a\n") ==
          "M301 `y` is defined nowhere | define it in a row of its own, such as: given y = ...");
}

TEST_CASE("a row that waits for another never hides it") {
    // B's loads are not known: what is asked of it with an action Z must wait, not be zero
    const SheetText s("beam B from 0 m to 3 m\nsupport 0 m, 3 m\nload G line zz\nend\nderive a [kN*m] = B.M(1 m, Z)\nchoose c from none\nderive b = c.v\n");
    CHECK(s.told() == "M301 `zz` is defined nowhere | define it in a row of its own, such as: given zz = ...\n"
                      "M310 there is no table `none` | write the table into the sheet, or `use` a file that holds it");
    CHECK(s.reads("a") == "B");
    CHECK(s.at("B").broken);
    CHECK_FALSE(s.at("a").broken);
    CHECK(s.sheet->exprs.at(s.at("a").formula).kind == meaning::ExprKind::Quantity);
    CHECK(s.reads("b") == "c");
    CHECK(s.sheet->exprs.at(s.at("b").formula).kind == meaning::ExprKind::Quantity);
}

TEST_CASE("no name is defined twice") {
    const SheetText s("given a = 1\ngiven a = 2\nderive pi = 3\nderive min = 2\n");
    CHECK(s.told() == "M302 `a` is defined twice | give one of them another name\n"
                      "M302 `pi` is a constant of the language | choose another name\n"
                      "M302 `min` is a function of the language | choose another name");
    REQUIRE(s.sheet->diagnostics[0].labels.size() == 1);
    CHECK(s.sheet->diagnostics[0].labels[0].text == "first defined here");
    CHECK(s.sheet->diagnostics[0].labels[0].place.row == 0);
    CHECK(said("schedule section = 3 mm by 4 mm\nschedule section = 3 mm\n") ==
          "M302 schedule column `section` is defined twice | give one of them another name");
}

TEST_CASE("order is for the reader") {
    const SheetText s("derive c [kN] = b*2\nderive b [kN] = a + 1 kN\ngiven a = 3 kN\ncheck d: c <= 10 kN\n");
    CHECK(s.told() == "");
    CHECK(s.reads("c") == "b");
    CHECK(s.reads("d") == "c");
}

TEST_CASE("rows in a ring are typed from their units, and typing ends") {
    const SheetText s("derive a [kN] = b*2\nderive b [kN] = a\nderive c [kN] = a + 2 mm\n");
    CHECK(s.told() == "M303 a + 2 mm: kN and mm cannot be added");
    CHECK_FALSE(s.at("a").broken);
    CHECK(s.reads("a") == "b");
    CHECK(s.reads("b") == "a");
}

TEST_CASE("a chain of 60,000 rows written backwards is typed") {
    std::string text = "given a0 [kN] = 2 kN\n";
    for (int i = 60'000; i > 0; --i) text += "derive a" + std::to_string(i) + " [kN] = a" + std::to_string(i - 1) + "*1.0001\n";
    const SheetText s(text);
    CHECK(s.told() == "");
    CHECK(s.sheet->quantities.size() == 60'001);
    CHECK(s.reads("a60000") == "a59999");
}

TEST_CASE("functions") {
    CHECK(said("define f(x [m]) = g(x)\ndefine g(x [m]) = f(x)\nderive a = f(2 m)\n") ==
          "M317 a function cannot call itself: f calls g calls f | write it as rows, or over a range with integral or largest");
    CHECK(said("derive a = sqt(4)\n") == "M308 there is no function `sqt` | did you mean `sqrt`?");
    CHECK(said("given e = 1\nderive f = e(2)\n") == "M308 `e` is a value, no function | write the multiplication: e*(...)");
    CHECK(said("derive b = sqrt(4, 5)\n") == "M309 `sqrt` takes 1 argument, and here are 2 | write it like sqrt(a)");
    CHECK(said("derive b = round(4, 5, 6)\n") == "M309 `round` takes 1 or 2 arguments, and here are 3 | write it like round(a)");
    CHECK(said("derive b = min(4)\n") == "M309 `min` takes 2 arguments or more, and here is 1 | write it like min(a, b)");
    const std::string k = "define k(x [m]) = x*2\n";
    CHECK(said(k + "derive d [m] = k(2 m, 3)\n") == "M309 `k` takes 1 argument, and here are 2");
    CHECK(said(k + "derive c [m] = k(2)\n") == "M303 `x` of `k` must be in m, and this is a pure number | write the unit behind the number: 2 m");
    CHECK(said(k + "derive e [m] = k\n") == "M307 `k` is a function | call it: k(...)");
    CHECK(said(k + "derive e2 [m] = k(0)\n") == "");
    const SheetText s("given a = 2 m\ndefine f(x [m]) = x + a\nderive b [m] = f(1 m)\n");
    CHECK(s.told() == "");
    CHECK(s.reads("b") == "a"); // through the function
}

TEST_CASE("parts that may be switched off") {
    const std::string part = "given n = 1 mm\npart Notch only if n > 0 mm\nderive k = 0.5\nderive j = k*2\ncheck kk: k <= 1\n";
    CHECK(said(part) == "");
    const SheetText outside(part + "part Other\nderive m = k + 1\n");
    CHECK(outside.told() ==
          "M318 `k` stands in the part `Notch`, which may be switched off | define `k` behind an `otherwise` in that part too, or use it only inside the part");
    CHECK(said(part + "part Two only if n>0 mm\nderive i = k\n") == ""); // the same condition
    CHECK(said(part + "otherwise\nderive m = k\n") ==
          "M318 `k` stands in the part `Notch`, which may be switched off | define `k` on both sides of that part's `otherwise`");

    const SheetText s("given n = 1 mm\npart A only if n > 2 mm\nderive t [mm] = 2 mm\nderive t1 [mm] = t\notherwise\nderive t [mm] = 3 mm\nderive t2 [mm] = "
                      "t\npart B\nderive w [mm] = t*2\n");
    REQUIRE(s.told() == "");
    const auto& whole = s.at("t");
    CHECK(whole.kind == meaning::Kind::Switch);
    CHECK(whole.id.index() == s.sheet->quantities.size() - 1);
    const auto& condition = s.sheet->at(s.sheet->parts[1].condition);
    CHECK(condition.kind == meaning::Kind::Condition);
    CHECK(s.sheet->at(whole.whenTrue).condition == condition.id);
    CHECK_FALSE(s.sheet->at(whole.whenTrue).otherwise);
    CHECK(s.sheet->at(whole.whenFalse).otherwise);
    CHECK(s.sheet->exprs.at(s.at("t1").formula).quantity == whole.whenTrue);
    CHECK(s.sheet->exprs.at(s.at("t2").formula).quantity == whole.whenFalse);
    CHECK(s.reads("w") == "t");
    CHECK(s.sheet->at(whole.whenFalse).reads == std::vector<meaning::QuantityId>{condition.id});

    CHECK(
        said(
            "given n = 1 mm\npart A only if n > 2 mm\nderive v [mm] = 2 mm\notherwise\nderive v [kN] = 3 kN\nderive w [kN] = v\npart C\nderive x [kN] = v\n") ==
        "M324 `v` is in mm in its part and in kN behind `otherwise` | give both the same unit, or different names");
    CHECK(said("given n = 1\npart A only if n\nderive v = 2\n") ==
          "M307 a part wants a condition, and this is a number | compare it with something, as in a <= b or kind == \"text\"");
}
