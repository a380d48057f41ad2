// SPDX-License-Identifier: MIT
// Every way in which a row cannot be computed, with its whole message and place.
#include <doctest/doctest.h>

#include <string>

#include "worked_sheet.h"

using namespace spanwright;
using eval::State;
using eval::test::WorkedSheet;

namespace {

std::string saidOf(const std::string& rows, const std::string& expectedMark, const std::string& name = "it") {
    WorkedSheet s(rows);
    INFO(s.complaints());
    CHECK(s.complaints() == "");
    CHECK(s.marked(name) == expectedMark);
    // The scalar path says the same.
    WorkedSheet scalars(rows, {}, {}, false);
    CHECK(scalars.said(name) == s.said(name));
    return s.said(name);
}

} // namespace

TEST_CASE("division by zero") {
    CHECK(saidOf("given h_1 [mm] = 100 mm\ngiven h_2 [mm] = 100 mm\nderive it [1/mm] = 3/(h_2 - h_1)\n", "3/(h_2 - h_1)") ==
          "E402 division by zero: h_2 - h_1 is 0 mm | mend: keep the divisor away from zero by limits (from ... to ...), or write if(...) around the division");
    CHECK(saidOf("given x = 0\nderive it = min(1/x, 5)\n", "1/x") ==
          "E402 division by zero: x is 0 | mend: keep the divisor away from zero by limits (from ... to ...), or write if(...) around the division");
    CHECK(saidOf("given x = 0\nderive it = if(1/x > 3, 1, 2)\n", "1/x").substr(0, 30) == "E402 division by zero: x is 0 ");
    CHECK(saidOf("given x = 0\nderive it = 5 + x^-2\n", "x^-2") == "E402 division by zero: x is 0 and has a negative power | mend: keep the base away from "
                                                                   "zero by limits (from ... to ...), or write if(...) around the power");
    CHECK(saidOf("given x = 0\ndefine f(y) = 1/y\nderive it = f(x)\n", "1/y") ==
          "E402 division by zero: y is 0 | mend: keep the divisor away from zero by limits (from ... to ...), or write if(...) around the division");
}

TEST_CASE("operations without a value") {
    const std::string mend = " | mend: keep it inside by limits (from ... to ...), or write if(...) around it";
    CHECK(saidOf("given a [mm] = 3 mm\ngiven b [mm] = 5 mm\nderive it [mm] = sqrt(a^2 - b^2)\n", "sqrt(a^2 - b^2)") ==
          "E403 a negative number has no square root: a^2 - b^2 is -16 mm²" + mend);
    CHECK(saidOf("given a = 0\nderive it = ln(a)\n", "ln(a)") == "E403 only a number above zero has a logarithm: a is 0" + mend);
    CHECK(saidOf("given a = -2\nderive it = log10(a)\n", "log10(a)") == "E403 only a number above zero has a logarithm: a is -2" + mend);
    CHECK(saidOf("given a = 1.5\nderive it = asin(a)\n", "asin(a)") == "E403 only a number from -1 to 1 has an arc sine or cosine: a is 1.5" + mend);
    CHECK(saidOf("given a = -0.5\nderive it = a^0.2\n", "a^0.2") ==
          "E403 a negative number has no power that is a fraction: a is -0.5 | mend: keep the base at zero or above, or write if(...) around the power");
    CHECK(saidOf("given a = 0\ngiven b = 0\nderive it = a^b\n", "a^b") ==
          "E403 zero to the power of zero has no value: a is 0 | mend: write if(...) around it for the case of zero");
}

TEST_CASE("results that are too large") {
    CHECK(saidOf("given a = 1e200\nderive it = a*a\n", "a*a") ==
          "E404 a*a is too large for a number | mend: look for a wrong unit or power in the values it reads");
    CHECK(saidOf("given a = 1000\nderive it = exp(a)\n", "exp(a)").substr(0, 4) == "E404");
    // hidden again by what follows
    CHECK(saidOf("given a = 1e200\nderive it = 1/(a*a)\n", "a*a").substr(0, 4) == "E404");
}

TEST_CASE("the case and the place of a failure are named") {
    CHECK(saidOf("each c in cs\nderive it = 1/(c.k - 2)\ntable cs by n\nn, k\none, 1\ntwo, 2\nend\n", "1/(c.k - 2)") ==
          "E402 division by zero: c.k - 2 is 0 | in the case c = two | mend: keep the divisor away from zero by limits (from ... to ...), or write if(...) "
          "around the division");
    CHECK(saidOf("each c in cs\nderive it = sum(sqrt(c.k - 2), over c)\ntable cs by n\nn, k\none, 3\ntwo, 1\nend\n", "sqrt(c.k - 2)") ==
          "E403 a negative number has no square root: c.k - 2 is -1 | in the case c = two | mend: keep it inside by limits (from ... to ...), or write if(...) "
          "around it");
    CHECK(saidOf("given a [m] = 1 m\nderive it = largest(1/(x/a), x from 0 m to 2 m)\n", "1/(x/a)") ==
          "E402 division by zero: x/a is 0 | at x = 0 m | mend: keep the divisor away from zero by limits (from ... to ...), or write if(...) around the "
          "division");
}

TEST_CASE("look-ups outside their table") {
    const std::string table = "table sizes by h\nh [mm], k\n100, 1.3\n200, 1.1\nend\n";
    CHECK(saidOf("given h [mm] = 500 mm\nderive it = interpolate(sizes.k, h)\n" + table, "interpolate(sizes.k, h)") ==
          "E406 h is 500 mm, which is above the last row of sizes, 200 | mend: add rows to the table, or keep the value inside it; nothing is extrapolated");
    CHECK(saidOf("given h [mm] = 50 mm\nderive it = at_or_below(sizes.k, h)\n" + table, "at_or_below(sizes.k, h)") ==
          "E406 h is 50 mm, which is below the first row of sizes, 100 | mend: add rows to the table, or keep the value inside it; nothing is extrapolated");
    CHECK(saidOf("given h [mm] = 150 mm\nderive it = sizes(h).k\n" + table, "sizes(h).k") ==
          "E406 sizes has no row for this: h is 150 mm | rows: 100; 200 | mend: add a row to the table, or use a value that has one");
    const std::string matrix = "choose s = wet from kinds\nchoose d = long from times\nderive it = mod(s, d)\ntable kinds by k\nk, a\ndry, 1\nwet, "
                               "2\nend\ntable times by t\nt, a\nshort, 1\nlong, 2\nend\n";
    CHECK(saidOf(matrix + "matrix mod by kind and time\nkind, long, short\ndry, 0.7, 0.9\nend\n", "mod(s, d)") ==
          "E406 mod has no row for this: s is wet | rows: dry | mend: add a row to the matrix, or use a value that has one");
    CHECK(saidOf(matrix + "matrix mod by kind and time\nkind, brief, short\ndry, 0.7, 0.9\nwet, 0.7, 0.9\nend\n", "mod(s, d)") ==
          "E406 mod has no column for this: d is long | columns: brief; short | mend: add a column to the matrix, or use a value that has one");
}

TEST_CASE("ranges that cannot be gone through") {
    CHECK(saidOf("given L [m] = 2 m\ngiven x_r [m] = 3 m\nderive it = largest(x/L, x from 0 m to x_r to L)\n", "L") ==
          "E409 the range runs backwards: from x_r = 3 m to L = 2 m | mend: write the ends and kinks of a range in ascending order");
    CHECK(saidOf("given a [m] = 0 m\nderive it [m] = integral(1 (m)/x, x from a to 1 m)\n", "integral(1 (m)/x, x from a to 1 m)") ==
          "E407 the integral of 1 (m)/x did not settle near x = 8.674e-19 m | mend: name the places where the formula has a kink or a jump (x from A to KINK "
          "to B), and keep it finite in between");
    CHECK(saidOf("given k = 3\nderive it = root(x^2 + k, x from 0 to 2)\n", "root(x^2 + k, x from 0 to 2)") ==
          "E408 x^2 + k does not change sign between x = 0 and 2: it lies between 3 and 7 | mend: look for the root in a range where the sign changes");
    CHECK(saidOf("given k = 0.37\nderive it = root(if(x < k, -1, 1), x from 0 to 2)\n", "root(if(x < k, -1, 1), x from 0 to 2)") ==
          "E408 if(x < k, -1, 1) changes sign by a jump at x = 0.37 without being zero | mend: look for the root in a range without the jump");
}

TEST_CASE("limits of work") {
    std::string axes;
    for (const char* name : {"a", "b", "c"}) {
        axes += std::string("table t") + name + " by n\nn, k\n";
        for (int i = 0; i < 50; ++i) axes += std::to_string(i) + ", 1\n";
        axes += "end\n";
    }
    CHECK(saidOf("each a in ta\neach b in tb\neach c in tc\nderive it = a.k + b.k + c.k\n" + axes, "it") ==
          "L703 the row has too many cases: 50 a by 50 b by 50 c, and at most 100,000 are worked out | mend: take an axis away by a row of its own, for "
          "instance largest(..., over c)");
    WorkedSheet s(
        "given k = 2\nderive it = integral(integral(integral(integral(cos(30*x*y*z*w), w from 0 to k), z from 0 to k), y from 0 to k), x from 0 to k)\n");
    REQUIRE(s.complaints() == "");
    CHECK(s.said("it") == "L704 the row needs more than 50,000,000 evaluations of a formula along its ranges | mend: nest fewer ranges, or work the inner one "
                          "out in a row of its own");
}
