// SPDX-License-Identifier: MIT
// us/notch against hand calculation and the rules of NDS 4.4.3 and IRC R502.8 as they stand in
// tests/reference/us/adjustment_factors.csv (form seen in print, the square of the depth ratio from memory).
#include <doctest/doctest.h>

#include <string>

#include "tests/sheets/sheet_case.h"

using spanwright::job::CheckView;
using spanwright::job::Verdict;
using spanwright::sheets_test::changed;
using spanwright::sheets_test::SheetCase;

namespace {

const std::string kSheet = "us/notch";
const std::string kHead = "hole, at [in], d_h [in], edge [in]\n";

SheetCase::Values plain() {
    return {{"size", "2x10"}, {"side", "tension"}, {"d_n", "7 in"},   {"L", "12 ft"}, {"species", "Douglas fir-larch"},
            {"grade", "#2"},  {"V_D", "100 lbf"},  {"V_L", "300 lbf"}};
}

} // namespace

TEST_CASE("us notch: one worked by hand") {
    // V_r = 2/3*180*1.5*7*(7/9.25)^2 = 721.578 lbf; V = 400 lbf; notch 2.25 in of 9.25/4 = 2.3125 in.
    SheetCase c(kSheet, plain());
    REQUIRE_MESSAGE(!c.hasErrors(), c.errors());
    CHECK(c.in("lbf", "V_r", "dead+live") == doctest::Approx(721.57779).epsilon(1e-7));
    CHECK(c.in("lbf", "V", "dead+live") == doctest::Approx(400));
    CHECK(c.utilisation("notch") == doctest::Approx(0.55434078).epsilon(1e-6));
    CHECK(c.utilisation("notch_depth") == doctest::Approx(2.25 / 2.3125));
    CHECK(c.verdict() == Verdict::Ok);
    // The same notch cut from above: 2/3*180*1.5*(9.25 - 2.25/7*3) for e = 3 in; beyond e = d_n plain shear on d_n.
    c.set("side", "compression");
    c.set("e", "3 in");
    CHECK(c.in("lbf", "V_r", "dead+live") == doctest::Approx(1491.42857).epsilon(1e-7));
    c.set("e", "9 in");
    CHECK(c.in("lbf", "V_r", "dead+live") == doctest::Approx(1260));
    // Snow lasts two months: C_D 1.15.
    CHECK(c.number("C_D", "dead+roof") == 1.15);
    CHECK(c.number("C_D", "uplift") == 1.6);
}

TEST_CASE("us notch: no load, no notch, and cuts that no rule allows") {
    SheetCase none(kSheet, changed(plain(), {{"V_D", "0 lbf"}, {"V_L", "0 lbf"}}));
    CHECK(none.utilisation("notch") == 0);
    SheetCase whole(kSheet, changed(plain(), {{"d_n", "9.25 in"}}));
    CHECK(whole.in("lbf", "V_r", "dead+live") == doctest::Approx(2.0 / 3 * 180 * 1.5 * 9.25)); // NDS Eq. 3.4-2
    SheetCase deep(kSheet, changed(plain(), {{"d_n", "6.5 in"}, {"V_L", "1 lbf"}}));
    CHECK(deep.check("notch_depth").state == CheckView::State::Fails);
    SheetCase more(kSheet, changed(plain(), {{"d_n", "10 in"}}));
    CHECK(more.verdict() != Verdict::Ok);
}

TEST_CASE("us notch: holes by IRC R502.8.1") {
    SheetCase c(kSheet, changed(plain(), {{"apart", "yes"}, {"list holes", kHead + "pipe, 24, 3, 3"}}));
    REQUIRE_MESSAGE(!c.hasErrors(), c.errors());
    CHECK(c.utilisation("hole_size") == doctest::Approx(3 / (9.25 / 3)));
    CHECK(c.utilisation("hole_edge") == doctest::Approx(2.0 / 3));
    CHECK(c.verdict() == Verdict::Ok);
    SheetCase large(kSheet, changed(plain(), {{"apart", "yes"}, {"list holes", kHead + "pipe, 24, 3.25, 3"}}));
    CHECK(large.check("hole_size").state == CheckView::State::Fails);
    SheetCase low(kSheet, changed(plain(), {{"apart", "yes"}, {"list holes", kHead + "pipe, 24, 2, 1.5"}}));
    CHECK(low.check("hole_edge").state == CheckView::State::Fails);
    SheetCase impossible(kSheet, changed(plain(), {{"apart", "yes"}, {"list holes", kHead + "pipe, 24, 3, 3.5"}})); // 3 + 2*3.5 > 9.25
    CHECK(impossible.verdict() == Verdict::NotProven);
    SheetCase alone(kSheet, {{"size", "2x10"},
                             {"side", "none"},
                             {"d_n", "9.25 in"},
                             {"L", "12 ft"},
                             {"species", "Douglas fir-larch"},
                             {"grade", "#2"},
                             {"V_D", "100 lbf"},
                             {"V_L", "300 lbf"},
                             {"apart", "yes"},
                             {"list holes", kHead + "pipe, 24, 3, 3"}});
    CHECK(alone.check("notch").state == CheckView::State::NotApplicable);
    CHECK(alone.verdict() == Verdict::Ok);
    // Wood between two holes is asked for: not said, and said no.
    SheetCase silent(kSheet, changed(plain(), {{"list holes", kHead + "pipe, 24, 3, 3\nwire, 25, 1, 4"}}));
    CHECK(silent.verdict() == Verdict::NotProven);
    SheetCase close(kSheet, changed(plain(), {{"apart", "no"}, {"list holes", kHead + "pipe, 24, 3, 3\nwire, 25, 1, 4"}}));
    CHECK(close.verdict() == Verdict::NotProven);
    SheetCase sound(kSheet, changed(plain(), {{"apart", "yes"}, {"list holes", kHead + "pipe, 24, 3, 3\nwire, 36, 1, 4"}}));
    CHECK(sound.verdict() == Verdict::Ok);
}

TEST_CASE("us notch: where wind lifts the end, a notch in the upper edge is on the stretched side") {
    // 0.6*400 - 0.6*100 = 180 lbf upwards, on 2/3*180*1.6*1.5*7*(7/9.25)^2 = 1154.524 lbf as for a notch from below.
    SheetCase c(kSheet, changed(plain(), {{"side", "compression"}, {"e", "0 in"}, {"V_W", "400 lbf"}}));
    REQUIRE_MESSAGE(!c.hasErrors(), c.errors());
    CHECK(c.in("lbf", "V", "uplift") == doctest::Approx(180));
    CHECK(c.in("lbf", "V_r", "uplift") == doctest::Approx(1.6 * 721.57779).epsilon(1e-7));
    CHECK(c.in("lbf", "V_r", "dead+live") == doctest::Approx(2.0 / 3 * 180 * 1.5 * 9.25)); // pressed, the corner is squeezed
    c.set("V_W", "3000 lbf");
    CHECK(c.check("notch").state == CheckView::State::Fails);
    // A roof load that is said to last ten minutes is refused.
    SheetCase brief(kSheet, changed(plain(), {{"roof_load", "wind"}}));
    CHECK(brief.verdict() == Verdict::NotProven);
}

TEST_CASE("us notch: more load or a deeper notch never help; the same in metric units") {
    SheetCase c(kSheet, plain());
    double last = -1;
    for (const char* load : {"100 lbf", "300 lbf", "900 lbf"}) {
        c.set("V_L", load);
        CHECK(c.utilisation("notch") > last);
        last = c.utilisation("notch");
    }
    for (const char* left : {"6.9 in", "6 in", "5 in"}) {
        c.set("d_n", left);
        CHECK(c.utilisation("notch") > last);
        last = c.utilisation("notch");
    }
    SheetCase us(kSheet, plain());
    SheetCase si(kSheet, changed(plain(), {{"d_n", "177.8 mm"}, {"L", "3.6576 m"}, {"V_D", "0.444822161526 kN"}, {"V_L", "1.33446648458 kN"}}));
    CHECK(si.utilisation("notch") == doctest::Approx(us.utilisation("notch")).epsilon(1e-9));
    CHECK(si.utilisation("notch_depth") == doctest::Approx(us.utilisation("notch_depth")).epsilon(1e-9));
}
