// SPDX-License-Identifier: MIT
#include <doctest/doctest.h>

#include "tests/engine/meaning/sheet_text.h"

using namespace spanwright;

TEST_CASE("unlike dimensions mark the operator and name both sides") {
    const SheetText s("given L = 3 m\ngiven w_d [kN/m] = 2 kN/m\nderive M_d [kN*m] = w_d*L^2/8\nderive bad [kN*m] = M_d + w_d\nderive next [kN*m] = 2*bad\n");
    CHECK(s.told() == "M303 M_d + w_d: kN·m and kN/m cannot be added | a factor in m² is missing, or one too many");
    CHECK(s.marked(0) == "+");
    const auto& labels = s.sheet->diagnostics[0].labels;
    REQUIRE(labels.size() == 2);
    CHECK(labels[0].text == "kN·m");
    CHECK(labels[0].place.span.of(s.document->rows()[3].text) == "M_d");
    CHECK(labels[1].text == "kN/m");
    CHECK(labels[1].place.span.of(s.document->rows()[3].text) == "w_d");
    CHECK(s.at("bad").broken);
    CHECK_FALSE(s.at("next").broken);

    const std::string given = "given F [lbf] = 2 lbf\ngiven h = 3 in\n";
    CHECK(said(given + "derive a [lbf] = F - h") == "M303 F - h: lbf and in cannot be subtracted");
    CHECK(said(given + "derive a [lbf] = F*h") == "M303 `a` must be in lbf, and this is in kN·m | a factor in m is missing, or one too many");
    CHECK(said(given + "derive a [lbf] = min(F, h, 2 lbf)") == "M303 min(F, h, 2 lbf): lbf and in have no larger and smaller");
    CHECK(said(given + "derive a [lbf] = if(h > 1 in, F, h)") == "M303 if(h > 1 in, F, h): lbf and in cannot be the two outcomes of one `if`");
    CHECK(said(given + "derive a [lbf] = largest(F*x, x from 0 in to F)") == "M303 x from 0 in to F: in and lbf cannot be ends of one range");
    CHECK(said(given + "check c: F <= h") == "M303 F <= h: lbf and in cannot be compared");
    CHECK(said(given + "derive a = F == h") == "M303 F == h: lbf and in cannot be compared");
}

TEST_CASE("a mass is no force") {
    CHECK(said("given m = 25 kg/m^2\ngiven q [kN/m^2] = 1 kN/m^2\nderive w [kN/m^2] = q + m\n") ==
          "M304 q + m: kN/m² and kg/m² cannot be added | write kgf for kg, or multiply by g_n");
    CHECK(said("given q [kN/m^2] = 25 kg/m^2\n") ==
          "M304 `q` must be in kN/m², and this is in kg/m²: a mass is no force | write kgf for kg, or multiply by g_n");
    CHECK(said("given m = 25 kg/m^2\nderive q [kN/m^2] = m*g_n\ngiven p [kN/m^2] = 25 kgf/m^2\n") == "");
}

TEST_CASE("money of two currencies") {
    CHECK(said("given a = 3 EUR\ngiven b = 3 USD\nderive c [EUR] = a + b\n") ==
          "M325 a + b: EUR and USD cannot be added | bring them into one currency first: multiply one by a rate, such as 1.08 (USD/EUR)");
    CHECK(said("given b = 3 USD\nderive d [EUR] = b\n") ==
          "M325 `d` must be in EUR, and this is in USD | bring them into one currency first: multiply one by a rate, such as 1.08 (USD/EUR)");
    CHECK(said("given b = 3 USD\nderive r [EUR] = b*0.9 (EUR/USD)\n") == "");
    CHECK(said("given b = 3 USD\ngiven h = 3 m\nderive r [USD] = b + h\n") == "M303 b + h: USD and m cannot be added");
}

TEST_CASE("pure numbers where they are needed") {
    const std::string h = "given h = 100 mm\n";
    CHECK(said(h + "derive s = sin(h)") ==
          "M305 `sin`: its argument must be a pure number, and this is in mm | divide it by a value of the same kind, or write number(..., mm)");
    CHECK(said(h + "derive r = round(h)") == "M305 `round` needs a pure number, and this is in mm | state the step to round to: round(..., 1 mm)");
    CHECK(said(h + "derive r = floor(h)") == "M305 `floor` needs a pure number, and this is in mm | divide it by the step first, and multiply by it after");
    CHECK(said(h + "derive e = 2^h") ==
          "M305 an exponent must be a pure number, and this is in mm | divide it by a value of the same kind, or write number(..., mm)");
    CHECK(said(h + "derive p [mm] = h^(h/(1 mm))") == "M321 a value in mm can only be raised to a fixed number | divide it by a value of the same kind first, "
                                                      "as in (h/(150 mm))^k, or write the exponent as a number");
    CHECK(said(h + "derive l = ln(h/(3 mm)) + sin(30 deg)") == "");
    CHECK(said(h + "derive n = number(h, kN)") == "M303 the first argument of `number` must be in kN, and this is in mm | its units must come out as kN");
    CHECK(said(h + "derive n = number(h, h + 1)") == "U203 the second argument of `number` must be a unit | write it like number(f, Hz)");
}

TEST_CASE("units of rows") {
    const std::string h = "given h = 100 mm\n";
    CHECK(said(h + "derive A = h*h") == "M306 `A` is in mm², and its row does not say so | write the unit behind the name: A [mm^2]");
    CHECK(said(h + "given b = h*2") == "M306 `b` is in mm, and its row does not say so | write the unit behind the name: b [mm]");
    CHECK(said("given t [kN] = 3") == "M303 `t` must be in kN, and this is a pure number | write the unit behind the number: 3 kN");
    const SheetText s("ask q [kN/m^2] from 0.5 to 10 kN/m^2\nask L from 1 m to 8 m\ngiven s = 400 mm from 200 to 900 mm\ngiven g [kN 0.1] = 3 kN +- 5 %\ngiven "
                      "x = 3 mm +- 1 mm\nderive y [mm] = x\ncheck c: 2*y <= L\ncheck d: q*s <= 3 (kN/m)\n");
    REQUIRE(s.told() == "");
    CHECK(s.at("L").unit.ascii == "m");
    CHECK(s.at("s").unit.ascii == "mm");
    CHECK(s.sheet->exprs.at(s.at("q").low).value == 500.0);
    CHECK(s.sheet->exprs.at(s.at("s").low).value == doctest::Approx(0.2).epsilon(1e-15));
    CHECK(s.at("g").show.step == 0.1);
    const auto& tolerance = s.sheet->exprs.at(s.at("g").tolerance);
    CHECK(tolerance.kind == meaning::ExprKind::Multiply);
    CHECK(tolerance.dimension == s.at("g").dimension);
    CHECK(s.reads("g") == ""); // a share of itself is no dependency
    CHECK(s.sheet->exprs.at(s.at("x").tolerance).value == doctest::Approx(0.001).epsilon(1e-15));
    CHECK(s.at("c").unit.ascii == "mm");   // as the first quantity on the left
    CHECK(s.at("d").unit.ascii == "kN/m"); // by habit
    CHECK(said("given L = 2 m\nask x [mm] from 2 kN to L") ==
          "M303 the lower limit of `x` must be in mm, and this is in kN | write a value in mm, or in another unit of that kind");
    CHECK(said("given x [mm] = 3 mm +- 2 kN") ==
          "M303 the tolerance of `x` must be in mm, and this is in kN | write a value in mm, or in another unit of that kind");
}

TEST_CASE("texts, conditions and rows where something else is wanted") {
    const std::string t = "table t by k\nk, v [mm], what [text]\na, 2, x\nb, 3, y\nend\nchoose r from t\ngiven k = 3\n";
    CHECK(said(t + "derive x = r + 1") == "M307 `r` is a row of a table; a number is wanted here | name one of its columns: r.COLUMN");
    CHECK(said(t + "derive y = r.what*2") == "M307 a text stands where a number is wanted | texts can only be compared, with == or !=");
    CHECK(said(t + "derive z = (k > 2) + 1") == "M307 a condition stands where a number is wanted | make a number of it: if(condition, a, b)");
    CHECK(said(t + "derive u [mm] = t + 1") == "M307 `t` is a table; a value is wanted here | name a row and a column: t(key).COLUMN");
    CHECK(said(t + "derive w = if(k, 1, 2)") ==
          "M307 `if` wants a condition, and this is a number | compare it with something, as in a <= b or kind == \"text\"");
    CHECK(said(t + "derive w = if(r == 1, 1, 2)") ==
          "M307 r == 1: the row `r` and a number cannot be compared | a row compares by its key, a text: r == \"...\"; for a number name a column: r.COLUMN");
    CHECK(said(t + "derive w = r.what < \"x\"") == "M307 a text stands where a number is wanted | texts can only be compared, with == or !=");
    CHECK(said(t + "derive w = if(k > 1, 1, \"a\")") == "M307 if(k > 1, 1, \"a\"): a number and a text cannot be the two outcomes of one `if`");
    CHECK(said(t + "derive w = r == \"a\" or r.what != \"x\"") == "");
    CHECK(said(t + "check c: k") == "M307 a check needs two sides | write it like: check c: demand <= capacity");
    CHECK(said(t + "check c: k == 3") ==
          "M307 a check compares a demand with a capacity by <=, <, >= or > | write `require` for a condition that has no two sides");
    CHECK(said(t + "require q: k") ==
          "M307 a requirement wants a condition, and this is a number | compare it with something, as in a <= b or kind == \"text\"");
    CHECK(said(t + "check c: k <= 3\nderive d = c") == "M307 `c` is a check: its outcome is no value for a formula | use the values that it compares");
    CHECK(said(t + "derive d = k.x") == "M307 `k` is one value and has no columns");
}

TEST_CASE("tags") {
    const std::string r = "given R_G [kN] as characteristic = 2 kN\ngiven R_d [kN] as design = 2 kN\ngiven f = 1.35\ngiven L = 2 m\n";
    CHECK(said(r + "derive a [kN] = R_G + R_d") ==
          "M315 R_G + R_d: a characteristic value meets a design value | factor the characteristic one first, or take both of one sort");
    CHECK(said(r + "derive e [kN] = min(R_G, R_d, 3 kN)") ==
          "M315 min(R_G, R_d, 3 kN): a characteristic value meets a design value | factor the characteristic one first, or take both of one sort");
    CHECK(said(r + "check c: R_G <= R_d") ==
          "M315 R_G <= R_d: a characteristic value meets a design value | factor the characteristic one first, or take both of one sort");
    CHECK(said(r + "derive c [kN] as design = R_G*1.35") == ""); // a number with decimals may be a factor
    CHECK(said(r + "derive c [kN] as design = R_G*2") ==
          "M315 `c` is declared as design, but its formula gives a characteristic value | declare it `as characteristic`, or use values of the declared sort");
    CHECK(said(r + "derive c [kN] as design = R_G*f") == "");
    const auto tagOf = [&](const std::string& formula, const std::string& unit) {
        return SheetText(r + "derive t [" + unit + "] = " + formula + "\n").at("t").tag;
    };
    using syntax::Tag;
    CHECK(tagOf("R_G", "kN") == Tag::Characteristic);
    CHECK(tagOf("R_d*L/8", "kN*m") == Tag::Design);
    CHECK(tagOf("R_G*(L/(4*L))", "kN") == Tag::Characteristic); // a ratio of lengths is no factor
    CHECK(tagOf("f*R_G", "kN") == Tag::None);
    CHECK(tagOf("R_G/f", "kN") == Tag::None);
    CHECK(tagOf("R_G*(f*L)", "kN*m") == Tag::None); // as (R_G*f)*L
    CHECK(tagOf("R_G + 1 kN", "kN") == Tag::Characteristic);
    CHECK(tagOf("-abs(R_G)", "kN") == Tag::Characteristic);
    CHECK(tagOf("R_G*L/R_G", "m") == Tag::None);
    CHECK(tagOf("if(f > 1, R_G, 0)", "kN") == Tag::Characteristic);
}
