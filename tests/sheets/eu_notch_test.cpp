// SPDX-License-Identifier: MIT
// eu/notch against hand calculation and a published example (tests/reference/eu/worked_examples_index.csv).
#include <doctest/doctest.h>

#include <string>

#include "tests/sheets/sheet_case.h"

using spanwright::job::CheckView;
using spanwright::job::Verdict;
using spanwright::sheets_test::changed;
using spanwright::sheets_test::printsAs;
using spanwright::sheets_test::readText;
using spanwright::sheets_test::SheetCase;

namespace {

const std::string kSheet = "eu/notch";

SheetCase::Values plain() {
    return {{"b", "47 mm"},   {"h", "220 mm"},  {"h_ef", "165 mm"}, {"side", "support"}, {"x", "40 mm"},
            {"grade", "C24"}, {"service", "1"}, {"category", "A"},  {"V_G", "0.5 kN"},   {"V_Q", "1.5 kN"}};
}

} // namespace

TEST_CASE("notch: one worked by hand") {
    // 47 x 220, 165 left, corner 40 mm from the reaction: alpha 0.75,
    //   sqrt(220)*(sqrt(0.75*0.25) + 0.8*40/220*sqrt(1/0.75 - 0.75^2)) = 8.31679, k_v = 5/8.31679 = 0.60119
    //   V_d = 1.35*0.5 + 1.5*1.5 = 2.925 kN, tau = 1.5*2925/(0.67*47*165) = 0.84442 N/mm2
    //   f_v,d = 0.8*4.0/1.3 = 2.46154; utilisation 0.84442/(0.60119*2.46154) = 0.57061
    SheetCase c(kSheet, plain());
    REQUIRE_MESSAGE(!c.hasErrors(), c.errors());
    CHECK(c.in("kN", "V_d", "imposed") == doctest::Approx(2.925));
    CHECK(c.number("k_open") == doctest::Approx(8.316786).epsilon(1e-6));
    CHECK(c.number("k_v") == doctest::Approx(0.6011938).epsilon(1e-6));
    CHECK(c.in("N/mm^2", "tau_d", "imposed") == doctest::Approx(0.844424).epsilon(1e-5));
    CHECK(c.utilisation("notch") == doctest::Approx(0.570610).epsilon(1e-5));
    CHECK(c.verdict() == Verdict::Ok);
    // A cut that slopes 1 in 4 gains 1 + 1.1*4^1.5/sqrt(220) = 1.59330.
    c.set("i", "4");
    CHECK(c.number("k_v") == doctest::Approx(0.6011938 * 1.5932959).epsilon(1e-6));
    // So gentle a slope that the corner does not matter: never above 1.
    c.set("i", "12");
    CHECK(c.number("k_v") == 1);
}

TEST_CASE("EU08: notched joist 47 x 245 in D50 (TRADA design example F6, 1994)") {
    // f_v 4.6 N/mm2 is the value of 1994; k_cr is younger than the example.
    SheetCase c(
        kSheet,
        changed(
            plain(),
            {{"h", "245 mm"}, {"h_ef", "182 mm"}, {"x", "24 mm"}, {"grade", "D50 1994"}, {"V_G", "520 N"}, {"V_Q", "2280 N"}, {"k_cr", "1"}, {"k_sys", "1.1"}}),
        {{"tables/en338.csv",
          readText("sheets/tables/en338.csv") + "D50 1994,hardwood,50,30,0.6,29,9.7,4.6,14000,11800,930,880,650,780,as the example states f_v\n"}});
    REQUIRE_MESSAGE(!c.hasErrors(), c.errors());
    CHECK(printsAs(c.in("N", "V_d", "imposed"), "4122"));
    CHECK(printsAs(c.number("alpha"), "0.743"));
    CHECK(printsAs(c.number("k_v"), "0.630"));
    // Own values of the reference, not published: 0.72282 and 1.9623 N/mm2.
    CHECK(c.in("N/mm^2", "tau_d", "imposed") == doctest::Approx(0.72282).epsilon(1e-5));
    CHECK(c.number("k_v") * c.in("N/mm^2", "f_v_d", "imposed") == doctest::Approx(1.9623).epsilon(1e-4));
}

TEST_CASE("notch: limits, and what is not proven") {
    SheetCase none(kSheet, changed(plain(), {{"V_G", "0 kN"}, {"V_Q", "0 kN"}}));
    REQUIRE_MESSAGE(!none.hasErrors(), none.errors());
    CHECK(none.utilisation("notch") == 0);
    // No notch at all: plain shear, EN 1995-1-1 Eq. 6.13.
    SheetCase whole(kSheet, changed(plain(), {{"h_ef", "220 mm"}, {"x", "0 mm"}}));
    CHECK(whole.number("k_v") == 1);
    CHECK(whole.in("N/mm^2", "tau_d", "imposed") == doctest::Approx(1.5 * 2925 / (0.67 * 47 * 220)));
    // Cut on the side away from the support: the corner is squeezed.
    SheetCase away(kSheet, changed(plain(), {{"side", "opposite"}}));
    CHECK(away.number("k_v") == 1);
    SheetCase deep(kSheet, changed(plain(), {{"h_ef", "100 mm"}, {"V_Q", "0.1 kN"}}));
    CHECK(deep.verdict() == Verdict::NotProven);
    SheetCase far(kSheet, changed(plain(), {{"x", "230 mm"}, {"V_Q", "0.1 kN"}}));
    CHECK(far.verdict() == Verdict::NotProven);
    SheetCase more(kSheet, changed(plain(), {{"h_ef", "230 mm"}}));
    CHECK(more.verdict() != Verdict::Ok);
}

TEST_CASE("notch: where wind lifts the end, the corner on the other side opens") {
    // 1.5*6 - 0.5 = 8.5 kN upwards with the cut above: the corner opens as one below does under loads that press.
    SheetCase c(kSheet, changed(plain(), {{"side", "opposite"}, {"V_U", "6 kN"}}));
    REQUIRE_MESSAGE(!c.hasErrors(), c.errors());
    CHECK(c.number("k_vs", "imposed") == 1);
    CHECK(c.number("k_vs", "uplift") == doctest::Approx(0.6011938).epsilon(1e-6));
    CHECK(c.utilisation("notch") == doctest::Approx(1.5 * 8500 / (0.67 * 47 * 165) / (0.6011938 * 1.1 * 4.0 / 1.3)).epsilon(1e-6));
    CHECK(c.check("notch").state == CheckView::State::Fails);
    c.set("V_U", "0.2 kN"); // the weight holds it: 0.5 - 0.3 kN press
    CHECK(c.number("k_vs", "uplift") == 1);
}

TEST_CASE("notch: a long cut bends the depth left") {
    // C16, half of 220 mm left, corner 220 mm from the reaction, cut above: M = 4 kN*0.22 m on 47*110^2/6.
    SheetCase c(kSheet, changed(plain(), {{"side", "opposite"}, {"grade", "C16"}, {"h_ef", "110 mm"}, {"x", "220 mm"}, {"V_G", "0 kN"}, {"V_Q", "3.2 kN"}}));
    REQUIRE_MESSAGE(!c.hasErrors(), c.errors());
    CHECK(c.check("notch").state == CheckView::State::Fails);
    CHECK(c.utilisation("bending_left") == doctest::Approx(4800 * 220 / (47 * 110.0 * 110 / 6) / (0.8 * 16 / 1.3)).epsilon(1e-9));
    c.set("V_Q", "2.9 kN"); // shear alone would let it pass
    CHECK(c.check("notch").state != CheckView::State::Fails);
    CHECK(c.check("bending_left").state == CheckView::State::Fails);
}

TEST_CASE("notch: more load, a deeper or longer notch never help") {
    SheetCase c(kSheet, plain());
    const auto rises = [&](const std::string& name, const std::string& unit, double from, double to, bool rising) {
        double last = rising ? -1 : 1e9;
        for (int i = 0; i <= 6; ++i) {
            c.set(name, std::to_string(from + (to - from) * i / 6) + " " + unit);
            const double now = c.utilisation("notch");
            INFO(name, " ", i);
            CHECK((rising ? now > last : now < last));
            last = now;
        }
    };
    rises("V_Q", "kN", 0.5, 6, true);
    c.set("V_Q", "1.5 kN");
    rises("h_ef", "mm", 115, 200, false);
    c.set("h_ef", "165 mm");
    rises("x", "mm", 0, 200, true);
    // Wind that lifts counts by its size, with the least of the weight.
    c.set("V_U", "6 kN");
    CHECK(c.in("kN", "V_d", "uplift") == doctest::Approx(1.5 * 6 - 0.5));
    CHECK(c.check("notch").governingLabel == "uplift");
}

TEST_CASE("notch: the same in inches and pounds") {
    SheetCase si(kSheet, plain());
    SheetCase us(kSheet, changed(plain(), {{"b", "1.850393700787 in"},
                                           {"h", "8.661417322835 in"},
                                           {"h_ef", "6.496062992126 in"},
                                           {"x", "1.574803149606 in"},
                                           {"V_G", "112.4044715 lbf"},
                                           {"V_Q", "337.2134146 lbf"}}));
    REQUIRE_MESSAGE(!us.hasErrors(), us.errors());
    CHECK(us.utilisation("notch") == doctest::Approx(si.utilisation("notch")).epsilon(1e-8));
}
