// SPDX-License-Identifier: MIT
#include "engine/eval/program.h"

#include <doctest/doctest.h>

#include <cmath>
#include <limits>

#include "worked_sheet.h"

using namespace spanwright;
using eval::State;
using eval::Value;
using eval::test::WorkedSheet;

TEST_CASE("what is not stated blocks what needs it, and nothing else") {
    WorkedSheet s("ask L [m]\nderive M [m^2] = L^2/8\nderive N [m^2] = M*2\nderive k = 4/2\ncheck c: N <= 3 m^2\n");
    REQUIRE(s.complaints() == "");
    CHECK(s.said("L") == "not stated");
    CHECK(s.said("M") == "blocked by L");
    CHECK(s.said("N") == "blocked by M");
    CHECK(s.said("c") == "blocked by N");
    CHECK(s.number("k") == 2.0);
    s.state("L", 4.0);
    CHECK(s.number("M") == 2.0);
    CHECK(s.at("c").one == 4.0);
    REQUIRE(s.at("c").right.size() == 1);
    CHECK(s.at("c").right[0] == 3.0);
}

TEST_CASE("an error in one row makes the rows that need it not computed, and no other") {
    WorkedSheet s("given a = 0\nderive b = 1/a\nderive c = b + 1\nderive d = a + 1\n");
    CHECK(s.at("b").state == State::Failed);
    CHECK(s.said("c") == "blocked by b");
    CHECK(s.number("d") == 1.0);
}

TEST_CASE("an if needs only the branch it takes") {
    WorkedSheet s("given h = 100\nask missing\nderive bad = 1/(h - 100)\nderive a = if(h < 150, h*2, bad)\nderive b = if(h < 150, h*2, missing)\nderive c = "
                  "if(h > 150, h*2, bad)\n"
                  "define f(x) = if(x < 150, x, bad)\nderive d = f(h)\n");
    REQUIRE(s.complaints() == "");
    CHECK(s.number("a") == 200.0);
    CHECK(s.number("b") == 200.0);
    CHECK(s.said("c") == "blocked by bad");
    CHECK(s.number("d") == 100.0);
    s.state("h", 200.0);
    CHECK(s.number("c") == 400.0);
    CHECK(s.said("b") == "blocked by missing");
}

TEST_CASE("a part that is off does not apply; otherwise does") {
    WorkedSheet s("given notch [mm] = 0 mm\ngiven h [mm] = 200 mm\npart Notch only if notch > 0 mm\nderive h_e [mm] = h - notch\ncheck n: notch <= "
                  "h/4\notherwise\nderive h_e [mm] = h\n"
                  "part Rest\nderive twice [mm] = 2*h_e\n");
    REQUIRE(s.complaints() == "");
    CHECK(s.said("n") == "not applicable");
    CHECK(s.number("h_e") == doctest::Approx(0.2));
    CHECK(s.number("twice") == doctest::Approx(0.4));
    s.state("notch", 0.03);
    CHECK(s.said("n") == "known");
    CHECK(s.number("h_e") == doctest::Approx(0.17));
}

TEST_CASE("limits hold for what is stated and for defaults, with a little slack") {
    WorkedSheet s("ask L [m] from 0.5 to 10 m\ngiven b [mm] = 45 mm from 20 mm to 2*h\ngiven h [mm] = 220 mm\n", {{"L", 12.0}});
    REQUIRE(s.complaints() == "");
    CHECK(s.said("L") ==
          "E405 L = 12 m is outside its range, from 0.5 m to 10 m | mend: state a value from 0.5 m to 10 m; the limits stand in the row of the sheet");
    CHECK(s.marked("L") == "L");
    CHECK(s.number("b") == doctest::Approx(0.045));
    s.state("L", 10.0 * (1 + 5e-10));
    CHECK(s.number("L") == 10.0 * (1 + 5e-10));
    s.state("L", 10.0 * (1 + 2e-9));
    CHECK(s.said("L").find("E405 L = 10.00000002 m is outside its range, from 0.5 m to 10 m") == 0);
    s.state("b", 0.5);
    CHECK(s.said("b") ==
          "E405 b = 500 mm is outside its range, from 20 mm to 440 mm | mend: state a value from 20 mm to 440 mm; the limits stand in the row of the sheet");
    WorkedSheet d("given b [mm] = 10 mm from 20 mm to 30 mm\n");
    CHECK(d.at("b").state == State::Failed);
}

TEST_CASE("tables: chosen rows, fields, exact, interpolated, at or below, matrices") {
    WorkedSheet s("choose grade = C24 from classes\nchoose bare from classes\ngiven h [mm] = 150 mm\n"
                  "derive f [N/mm^2] = grade.f\nderive isC24 = if(grade == \"C24\", 1, 0)\nderive other [N/mm^2] = classes(\"C16\").f\n"
                  "derive between = interpolate(sizes.k, h)\nderive below = at_or_below(sizes.k, h)\nderive exact = sizes(200 mm).k\n"
                  "derive m = mod(grade.kind, \"long\")\nderive both = pairs(\"b\", 2).v\n"
                  "table classes by name\nname, f [N/mm^2], kind [text]\nC16, 16, soft\nC24, 24, soft\nD30, 30, hard\nend\n"
                  "table sizes by h\nh [mm], k\n100, 1.3\n200, 1.1\n400, 1\nend\n"
                  "matrix mod by kind and duration\nkind, long, short\nsoft, 0.7, 0.9\nhard, 0.75, 0.95\nend\n"
                  "table pairs by a, n\na, n, v\na, 1, 10\na, 2, 20\nb, 1, 30\nb, 2, 40\nend\n");
    REQUIRE(s.complaints() == "");
    CHECK(s.number("f") == 24e6);
    CHECK(s.said("bare") == "not stated");
    CHECK(s.number("isC24") == 1.0);
    CHECK(s.number("other") == 16e6);
    CHECK(s.number("between") == doctest::Approx(1.2));
    CHECK(s.number("below") == 1.3);
    CHECK(s.number("exact") == 1.1);
    CHECK(s.number("m") == 0.7);
    CHECK(s.number("both") == 40.0);
    s.state("h", 0.2);
    CHECK(s.number("between") == 1.1);
    CHECK(s.number("below") == 1.1);
    s.state("h", 0.4);
    CHECK(s.number("between") == 1.0);
    s.state("h", 5.0);
    CHECK(s.number("below") == 1.0);
    CHECK(s.at("between").state == State::Failed);
}

TEST_CASE("each: cases combine, reductions take one away") {
    WorkedSheet s("each c in combos\neach j in joints\ngiven G = 2\ngiven Q = 3\nderive w = c.G*G + c.Q*Q\nderive M = w*j.at\nderive most = largest(M, over "
                  "c)\nderive all_most = largest(most, over j)\n"
                  "derive which = if(where_largest(w, over c) == \"6.10b\", 1, 0)\nderive n = count(M > 10, over c)\nderive any_one = if(any(w > 7, over c), "
                  "1, 0)\nderive total = sum(w, over c)\n"
                  "derive least = smallest(w, over c)\nderive share = w/largest(w, over c)\ncheck bending: M <= 40\nrequire sane: w > 0\n"
                  "table combos by name\nname, G, Q\n6.10a, 1.35, 0\n6.10b, 1.2, 1.5\nend\n"
                  "table joints by n\nn, at\n1, 1\n2, 2\n3, 4\nend\n");
    REQUIRE(s.complaints() == "");
    CHECK(s.at("w").many == std::vector<double>{2.7, 1.2 * 2 + 1.5 * 3});
    CHECK(s.at("M").many.size() == 6);
    CHECK(s.at("M").many[5] == s.at("w").many[1] * 4);
    CHECK(s.at("most").many == std::vector<double>{s.at("w").many[1] * 1, s.at("w").many[1] * 2, s.at("w").many[1] * 4});
    CHECK(s.number("all_most") == s.at("w").many[1] * 4);
    CHECK(s.number("which") == 1.0);
    CHECK(s.at("n").many == std::vector<double>{0, 1, 2});
    CHECK(s.number("any_one") == 0.0);
    CHECK(s.number("total") == 2.7 + s.at("w").many[1]);
    CHECK(s.number("least") == 2.7);
    CHECK(s.at("share").many == std::vector<double>{2.7 / s.at("w").many[1], 1.0});
    CHECK(s.at("bending").many.size() == 6);
    CHECK(s.at("bending").right == std::vector<double>(6, 40.0));
    CHECK(s.at("sane").many == std::vector<double>{1.0, 1.0});
}

TEST_CASE("a table without rows: sums are zero, checks do not apply, a largest has no value") {
    WorkedSheet s("each j in joints\nderive n = sum(1, over j)\nderive total = sum(j.at, over j)\nderive good = if(all(j.at > 0, over j), 1, 0)\nderive most = "
                  "largest(j.at, over j)\ncheck c: j.at <= 3\n"
                  "list joints by n\nn, at\nend\n");
    REQUIRE(s.complaints() == "");
    CHECK(s.number("n") == 0.0);
    CHECK(s.number("total") == 0.0);
    CHECK(s.number("good") == 1.0);
    CHECK(s.said("c") == "not applicable");
    CHECK(s.said("most") == "E410 there is no largest or smallest over j: its table has no rows | mend: state at least one row, or write if(count(true, over "
                            "j) > 0, ..., ...) around it");
}

TEST_CASE("functions: parameters, calls in calls, other rows") {
    WorkedSheet s(
        "given k = 10\ndefine f(x, y) = x*k + y\ndefine g(x) = f(x, f(x, 1)) - f(1, x)\nderive a = g(2)\nderive b = integral(g(x)*x, x from 0 to 1)\n");
    REQUIRE(s.complaints() == "");
    CHECK(s.number("a") == (2 * 10 + (2 * 10 + 1)) - (10 + 2));
    // g(x) = 20x + 1 - 10 - x; times x over [0, 1]: 19/3 - 9/2
    CHECK(s.number("b") == doctest::Approx(19.0 / 3.0 - 4.5).epsilon(1e-13));
}

TEST_CASE("texts and truths are values too") {
    WorkedSheet s("choose t = b from ts\nderive name = t.word\nderive same = name == \"two\"\nderive n = if(same, 5, 6)\ntable ts by k\nk, word [text]\na, "
                  "one\nb, two\nend\n");
    REQUIRE(s.complaints() == "");
    CHECK(s.texts().textOf(s.number("name")) == "two");
    CHECK(s.number("same") == 1.0);
    CHECK(s.number("n") == 5.0);
}

TEST_CASE("a broken row fails with what was found at its place") {
    WorkedSheet s("derive a = unknown + 1\nderive b = a + 1\n");
    CHECK(s.at("a").state == State::Failed);
    CHECK(s.said("a").substr(0, 4) == "M301");
    CHECK(s.said("b") == "blocked by a");
}

TEST_CASE("plots are known without a number, and their bodies are sampled") {
    WorkedSheet s("given L [m] = 4 m\neach c in cs\nplot x*(L - x)*c.k [m^2], x from 0 m to L -- a parabola\ntable cs by n\nn, k\na, 1\nb, 3\nend\n");
    REQUIRE(s.complaints() == "");
    REQUIRE(s.sheet().plots.size() == 1);
    const meaning::PlotDefinition& p = s.sheet().plots[0];
    std::vector<double> out;
    REQUIRE(s.program().sample(p.body, p.slot, {0.0, 1.0, 2.0}, {1}, s.values(), out));
    CHECK(out == std::vector<double>{0.0, 9.0, 12.0});
    REQUIRE(s.program().sample(p.body, p.slot, {1.0, 2.0}, {}, s.values(), out));
    CHECK(out == std::vector<double>{3.0, 4.0, 9.0, 12.0});
    CHECK(s.program().scalar(p.points[1], {}, s.values()).value_or(0.0) == 4.0);
}

TEST_CASE("a trace shows every step, the branch taken and what was not visited") {
    WorkedSheet s("given h [mm] = 100 mm\nderive k = if(h < 150 mm, (150 mm/h)^0.2, 1/(h/h - 1))\n");
    REQUIRE(s.complaints() == "");
    const meaning::ExprId root = s.sheet().at(s.id("k")).formula;
    const auto trace = s.program().trace(root, {}, s.values());
    CHECK(trace.problem == nullptr);
    const auto& steps = trace.steps;
    CHECK(steps[root.index()].branch == 0);
    CHECK(steps[root.index()].value == s.number("k"));
    const meaning::Expr& e = s.sheet().exprs.at(root);
    CHECK(steps[e.children[1].index()].visited);
    CHECK_FALSE(steps[e.children[2].index()].visited);
}

TEST_CASE("a trace goes to what governs: the row of a largest, the place in a range") {
    WorkedSheet s("given L [m] = 4 m\neach c in cs\nderive most = largest(c.k*2, over c)\nderive top [m^2] = largest(x*(L - x), x from 0 m to L)\ntable cs by n\nn, k\na, 1\nb, 5\nc, 3\nend\n");
    REQUIRE(s.complaints() == "");
    const meaning::ExprId most = s.sheet().at(s.id("most")).formula;
    const auto a = s.program().trace(most, {}, s.values());
    CHECK(a.steps[most.index()].value == 10.0);
    CHECK(a.steps[most.index()].place == 1.0);
    CHECK(a.steps[s.sheet().exprs.at(most).children[0].index()].value == 10.0);
    const meaning::ExprId top = s.sheet().at(s.id("top")).formula;
    const auto b = s.program().trace(top, {}, s.values());
    CHECK(b.steps[top.index()].value == doctest::Approx(4.0));
    CHECK(b.steps[top.index()].place == doctest::Approx(2.0).epsilon(1e-6));
    CHECK(b.steps[s.sheet().exprs.at(top).children[2].index()].value == 4.0);
}

TEST_CASE("a row worked out into its place says whether it changed") {
    WorkedSheet s("given a = 2\neach c in cs\nderive b = a*a\nderive d = if(b < 5, 1, 1/(b - 9))\nderive e = c.k*a\ntable cs by n\nn, k\nx, 1\ny, 2\nend\n");
    REQUIRE(s.complaints() == "");
    eval::MemberValues& v = s.values();
    const auto changed = [&](const char* name) { return s.program().update(s.id(name), v); };
    CHECK_FALSE(changed("b"));
    CHECK_FALSE(changed("d"));
    CHECK_FALSE(changed("e"));
    v.values[s.id("a").index()].one = 2.2;
    CHECK(changed("b"));
    CHECK(s.number("b") == 2.2 * 2.2);
    CHECK_FALSE(changed("b"));
    CHECK_FALSE(changed("d"));
    CHECK(changed("e"));
    CHECK(s.at("e").many == std::vector<double>{2.2, 4.4});
    v.values[s.id("a").index()].one = 3.0;
    CHECK(changed("b"));
    CHECK(changed("d"));
    CHECK(s.at("d").state == State::Failed);
    CHECK_FALSE(changed("d"));
    v.values[s.id("a").index()].state = State::NotStated;
    CHECK(changed("b"));
    CHECK(s.said("b") == "blocked by a");
    v.values[s.id("a").index()].state = State::Known;
    CHECK(changed("b"));
    CHECK(s.number("b") == 9.0);
}

TEST_CASE("the same values: bits, not looks") {
    Value a, b;
    a.state = b.state = State::Known;
    CHECK(eval::sameValue(a, b));
    b.one = -0.0;
    CHECK_FALSE(eval::sameValue(a, b));
    b.one = 0.0;
    b.many = {1.0};
    CHECK_FALSE(eval::sameValue(a, b));
    a.many = {1.0};
    CHECK(eval::sameValue(a, b));
    a.many = {std::numeric_limits<double>::quiet_NaN()};
    b.many = a.many;
    CHECK(eval::sameValue(a, b));
    b.state = State::Failed;
    CHECK_FALSE(eval::sameValue(a, b));
    a.state = State::Failed;
    diag::Diagnostic d;
    d.message = "x";
    a.problem = std::make_shared<const diag::Diagnostic>(d);
    b.problem = std::make_shared<const diag::Diagnostic>(d);
    CHECK(eval::sameValue(a, b));
    d.message = "y";
    b.problem = std::make_shared<const diag::Diagnostic>(d);
    CHECK_FALSE(eval::sameValue(a, b));
}
