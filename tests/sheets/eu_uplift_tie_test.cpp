// SPDX-License-Identifier: MIT
// eu/uplift-tie against hand calculation.
#include <doctest/doctest.h>

#include <string>

#include "tests/sheets/sheet_case.h"

using spanwright::job::CheckView;
using spanwright::job::Verdict;
using spanwright::sheets_test::changed;
using spanwright::sheets_test::SheetCase;

namespace {

const std::string kSheet = "eu/uplift-tie";
const std::string kHead = "link, kind [text], n, F_Rk [kN], gamma, G_above [kN]\n";
const std::string kChain = kHead + "joist to strap, nails, 6, 0.6, 1.3, 0\nstrap, strap, 1, 4, 1.25, 0\nstrap to stud, nails, 5, 0.6, 1.3, 0.2\n"
                                   "stud to sole, nails, 6, 0.6, 1.3, 0.5\nanchor, anchor, 1, 5, 1.5, 1.0";

SheetCase::Values plain() { return {{"F_U", "2.4 kN"}, {"F_G", "0.8 kN"}, {"service", "2"}, {"list path", kChain}, {"G_w", "1.5 kN"}, {"G_f", "2.5 kN"}}; }

} // namespace

TEST_CASE("uplift: a chain worked by hand") {
    // 1.5*2.4 - 0.9*0.8 = 2.88 kN in the first link; k_mod 1.1 for a gust.
    //   nails 6*0.6*1.1/1.3 = 3.046154 kN: 0.945455; strap 4/1.25 = 3.2: 0.9
    //   5 nails 2.538462 kN carry 2.88 - 0.9*0.2 = 2.70: 1.063636 FAILS; anchor 5/1.5 carries 2.88 - 0.9 = 1.98
    SheetCase c(kSheet, plain());
    REQUIRE_MESSAGE(!c.hasErrors(), c.errors());
    CHECK(c.in("kN", "U_top", "lifting by wind") == doctest::Approx(2.88));
    CHECK(c.utilisation("link") == doctest::Approx(2.70 / 2.5384615).epsilon(1e-6));
    CHECK(c.check("link").state == CheckView::State::Fails);
    CHECK(c.in("kN", "T_d") == doctest::Approx(2.5384615).epsilon(1e-6));
    // Foundation: 3.6 kN against 0.9*(0.8 + 1.5 + 2.5) = 4.32.
    CHECK(c.utilisation("foundation") == doctest::Approx(3.6 / 4.32));
    // One nail more on the stud puts it right.
    std::string six = kChain;
    six.replace(six.find("nails, 5"), 8, "nails, 6");
    SheetCase right(kSheet, changed(plain(), {{"list path", six}}));
    CHECK(right.verdict() == Verdict::Ok);
    CHECK(right.utilisation("link") == doctest::Approx(2.88 / 3.0461538).epsilon(1e-6));
}

TEST_CASE("uplift: a chain with a link missing is not proven") {
    SheetCase none(kSheet, changed(plain(), {{"list path", kHead}}));
    CHECK(none.verdict() == Verdict::NotProven);
    SheetCase hanging(kSheet, changed(plain(), {{"list path", kHead + "a, nails, 9, 0.6, 1.3, 0\nb, strap, 1, 9, 1.25, 0\nc, nails, 9, 0.6, 1.3, 0"}}));
    CHECK(hanging.verdict() == Verdict::NotProven); // ends in no anchor
    SheetCase kind(kSheet, changed(plain(), {{"list path", kHead + "a, glue, 9, 0.6, 1.3, 0\nb, strap, 1, 9, 1.25, 0\nc, anchor, 1, 9, 1.5, 0"}}));
    CHECK(kind.verdict() == Verdict::NotProven);
    SheetCase weak(kSheet, changed(plain(), {{"list path",
                                              kHead + "a, nails, 0, 0.6, 1.3, 0\nb, strap, 1, 9, 1.25, 0\nc, anchor, 1, 9, 1.5, 0\nd, nails, 9, 1, 1.3, 0"}}));
    CHECK(weak.verdict() != Verdict::Ok); // no nails at all
    SheetCase factor(kSheet, changed(plain(), {{"list path", kHead + "a, nails, 9, 0.6, 0.5, 0\nb, strap, 1, 9, 1.25, 0\nc, anchor, 1, 9, 1.5, 0"}}));
    CHECK(factor.verdict() != Verdict::Ok);
    // More weight above a link than the wall and floor weigh that are stated for the foundation; a strength below zero.
    SheetCase heavy(kSheet, changed(plain(), {{"list path", kHead + "a, nails, 9, 0.6, 1.3, 0\nb, strap, 1, 9, 1.25, 20\nc, anchor, 1, 9, 1.5, 20"}}));
    CHECK(heavy.check("weight_once").state == CheckView::State::NotProven);
    SheetCase below(
        kSheet,
        changed(plain(), {{"list path", kHead + "a, nails, -9, -0.6, 1.3, 0\nb, strap, 1, 9, 1.25, 0\nc, anchor, 1, 9, 1.5, 0\nd, strap, 1, 9, 1.25, 0"}}));
    CHECK(below.verdict() == Verdict::NotProven);
    SheetCase ground(kSheet, {{"F_U", "2.4 kN"}, {"F_G", "0.8 kN"}, {"service", "2"}, {"list path", kChain}});
    CHECK(ground.verdict() != Verdict::Ok);
}

TEST_CASE("uplift: no wind needs no tie; more wind never helps, more weight never hurts") {
    SheetCase c(kSheet, changed(plain(), {{"F_U", "0 kN"}}));
    REQUIRE_MESSAGE(!c.hasErrors(), c.errors());
    CHECK(c.utilisation("link") == 0);
    CHECK(c.utilisation("foundation") == 0);
    double link = -1;
    double foundation = -1;
    for (const char* wind : {"0.3 kN", "1 kN", "2 kN", "4 kN"}) {
        c.set("F_U", wind);
        CHECK(c.utilisation("link") >= link);
        CHECK(c.utilisation("foundation") > foundation);
        link = c.utilisation("link");
        foundation = c.utilisation("foundation");
    }
    for (const char* weight : {"1.5 kN", "3 kN", "5 kN"}) {
        c.set("F_G", weight);
        CHECK(c.utilisation("link") <= link);
        CHECK(c.utilisation("foundation") < foundation);
        link = c.utilisation("link");
        foundation = c.utilisation("foundation");
    }
}

TEST_CASE("uplift: joists whose forces come together; the same in pounds") {
    SheetCase two(kSheet, changed(plain(), {{"spread", "2"}}));
    CHECK(two.in("kN", "U_top", "lifting by wind") == doctest::Approx(5.76));
    CHECK(two.in("kN", "T_d") == doctest::Approx(2.5384615 / 2).epsilon(1e-6)); // for one joist
    SheetCase si(kSheet, plain());
    SheetCase us(kSheet,
                 changed(plain(), {{"F_U", "539.54146341 lbf"}, {"F_G", "179.84715447 lbf"}, {"G_w", "337.21341463 lbf"}, {"G_f", "562.02235772 lbf"}}));
    CHECK(us.utilisation("link") == doctest::Approx(si.utilisation("link")).epsilon(1e-8));
    CHECK(us.utilisation("foundation") == doctest::Approx(si.utilisation("foundation")).epsilon(1e-8));
}
