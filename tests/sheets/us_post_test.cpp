// SPDX-License-Identifier: MIT
// us/post against published columns (tests/reference/us/worked_examples.csv, W17 and W19), hand calculation and limits.
#include <doctest/doctest.h>

#include <cmath>
#include <string>

#include "tests/sheets/sheet_case.h"

using spanwright::job::CheckView;
using spanwright::job::Verdict;
using spanwright::sheets_test::changed;
using spanwright::sheets_test::printsAs;
using spanwright::sheets_test::readRows;
using spanwright::sheets_test::SheetCase;

namespace {

const std::string kSheet = "us/post";

/// A 4x4 of No. 2 Douglas fir-larch, 8 ft, in the building, loaded on its middle.
SheetCase::Values plain() {
    return {{"L", "8 ft"},       {"size", "4x4"}, {"species", "Douglas fir-larch"}, {"grade", "#2"}, {"wall", "inner"}, {"P_D", "2000 lbf"},
            {"P_L", "3000 lbf"}, {"P_0", "0 lbf"}};
}
SheetCase::Values windy() {
    return changed(plain(), {{"size", "4x6"},
                             {"wall", "outer"},
                             {"p_W", "20 psf"},
                             {"s", "24 in"},
                             {"P_S", "500 lbf"},
                             {"P_W", "100 lbf"},
                             {"P_U", "4000 lbf"},
                             {"e_1", "0.5 in"},
                             {"e_2", "0.2 in"}});
}
/// The older examples: F_cE = 0.3 E/(l_e/d)^2, no size factor.
SheetCase::Values old(const std::string& b, const std::string& d, const std::string& fc, const std::string& e, const std::string& length) {
    return changed(plain(), {{"b", b + " in"}, {"d", d + " in"}, {"F_c", fc + " psi"}, {"E_min", e + " psi"}, {"K_cE", "0.3"}, {"C_Fc", "1"}, {"L", length}});
}

std::string figure(const std::string& example, const std::string& quantity) {
    for (const auto& row : readRows("tests/reference/us/worked_examples.csv"))
        if (row.at("id") == example && row.at("quantity") == quantity) return row.at("published_value");
    return {};
}

const char* const kChecks[] = {"buckling", "combined", "euler", "euler_1", "tension", "tension_twist", "shear", "end_grain", "plate", "bow"};

} // namespace

TEST_CASE("W17: column 3.5 x 7.25 in at three lengths, older F_cE = 0.3 E/(l_e/d)^2") {
    for (const char* feet : {"6", "8", "10"}) {
        const std::string le = std::string("Le=") + feet + " ft: ";
        INFO(le);
        SheetCase c(kSheet, old("3.5", "7.25", "1000", "1300000", std::string(feet) + " ft"));
        REQUIRE_MESSAGE(!c.hasErrors(), c.errors());
        REQUIRE(!figure("W17", le + "CP").empty());
        CHECK(printsAs(c.number("slender_2"), figure("W17", le + "Le/d")));
        CHECK(printsAs(c.number("ratio", "dead+live"), figure("W17", le + "FcE/Fc")));
        CHECK(printsAs(c.number("C_P", "dead+live"), figure("W17", le + "CP")));
        CHECK(printsAs(c.in("lbf", "P_a", "dead+live") / 1000, figure("W17", le + "P allowed")));
    }
}

TEST_CASE("W19: longest square column 3.5 in under 8 kip, older F_cE = 0.3 E/(l_e/d)^2") {
    SheetCase c(kSheet, changed(old("3.5", "3.5", "900", "1500000", figure("W19", "L max") + " in"), {{"P_D", "0 lbf"}, {"P_L", "8000 lbf"}}));
    REQUIRE_MESSAGE(!c.hasErrors(), c.errors());
    CHECK(printsAs(c.number("slender_2"), figure("W19", "L/d")));
    CHECK(c.number("ratio", "dead+live") == doctest::Approx(std::stod(figure("W19", "FcE/Fc"))).epsilon(2e-4));
    CHECK(c.number("C_P", "dead+live") == doctest::Approx(std::stod(figure("W19", "CP needed"))).epsilon(1e-4));
    CHECK(c.utilisation("buckling") == doctest::Approx(1).epsilon(2e-4));
    c.set("L", "74.0 in");
    CHECK(c.check("buckling").state == CheckView::State::Passes);
    c.set("L", "74.6 in");
    CHECK(c.check("buckling").state == CheckView::State::Fails);
}

TEST_CASE("post: one worked by hand") {
    // l_e/d = 96/3.5: F_cE = 0.822*580000/27.42857^2 = 633.714 psi; F_c* = 1350*1.15 = 1552.5, ratio 0.408189,
    // C_P = 0.880118 - sqrt(0.774608 - 0.510237) = 0.365947; 568.13 psi on 12.25 in2 is 6960 lbf. f_c = 408.163 psi.
    SheetCase c(kSheet, plain());
    REQUIRE_MESSAGE(!c.hasErrors(), c.errors());
    CHECK(c.in("psi", "F_cE") == doctest::Approx(633.714).epsilon(1e-5));
    CHECK(c.number("C_P", "dead+live") == doctest::Approx(0.365947).epsilon(1e-5));
    CHECK(c.in("lbf", "P_a", "dead+live") == doctest::Approx(6959.6).epsilon(1e-4));
    CHECK(c.utilisation("buckling") == doctest::Approx(408.163 / 568.132).epsilon(1e-5));
    // The plate: Spruce-pine-fir No. 2, 425 psi, near its end.
    CHECK(c.utilisation("plate") == doctest::Approx(408.163 / 425).epsilon(1e-5));
    CHECK(c.verdict() == Verdict::Ok);
    // Half an inch beside the middle: 408.163*6*0.5/3.5 = 349.854 psi of 900*1.5, enlarged by
    // (1 + 0.234*0.644081)/(1 - 0.644081): 0.837857; with (408.163/568.132)^2 = 0.516139 it is 1.353994.
    c.set("e_1", "0.5 in");
    CHECK(c.utilisation("combined") == doctest::Approx(1.353994).epsilon(1e-4));
    CHECK(c.check("combined").state == CheckView::State::Fails);
}

TEST_CASE("post: factors") {
    SheetCase c(kSheet, windy());
    REQUIRE_MESSAGE(!c.hasErrors(), c.errors());
    CHECK(c.number("C_D", "dead") == 0.9);
    CHECK(c.number("C_D", "dead+live") == 1.0);
    CHECK(c.number("C_D", "dead+roof") == 1.15);
    CHECK(c.number("C_D", "uplift") == 1.6);
    CHECK(c.in("psi", "F_c_star", "dead+live") == doctest::Approx(1350 * 1.1));
    CHECK(c.in("lbf", "P", "uplift") == doctest::Approx(0.6 * 2000 - 0.6 * 4000));
    CHECK(c.in("lbf", "T") == doctest::Approx(1200));
    CHECK(c.in("lbf*ft", "M_1", "dead+wind") == doctest::Approx(0.6 * 40 * 64 / 8));
    CHECK(c.in("lbf*ft", "M_1", "dead+live+roof+wind") == doctest::Approx(0.45 * 40 * 64 / 8));
    CHECK(c.in("psi", "f_b1", "dead+wind") == doctest::Approx(0.6 * 40 * 64 / 8 * 12 / (3.5 * 5.5 * 5.5 / 6)));
    // Wet, hot, incised: NDS Supplement Table 4A, NDS Tables 2.3.3 and 4.3.8.
    c.set("moisture", "wet");
    c.set("temperature", "125F");
    c.set("incised", "yes");
    CHECK(c.in("psi", "F_c_star", "dead+live") == doctest::Approx(1350 * 1.1 * 0.8 * 0.7 * 0.8));
    CHECK(c.in("psi", "E_min_1") == doctest::Approx(580000 * 0.9 * 0.9 * 0.95));
    CHECK(c.in("psi", "F_cp_1") == doctest::Approx(425 * 0.67 * 0.7 * 0.8));
    c.set("plate_end", "far");
    CHECK(c.number("C_b") == doctest::Approx((3.5 + 0.375) / 3.5));
    SheetCase pine(kSheet, changed(plain(), {{"species", "Southern pine"}, {"size", "2x6"}}));
    REQUIRE_MESSAGE(!pine.hasErrors(), pine.errors());
    CHECK(pine.in("psi", "F_c_star", "dead+live") == 1400); // the size factor is inside
}

TEST_CASE("post: a short one carries F_c*, a slender one F_cE, and what has buckled never counts as sound") {
    SheetCase c(kSheet, changed(plain(), {{"L", "1 ft"}}));
    CHECK(c.number("C_P", "dead+live") > 0.98);
    c.set("L", "14.5 ft"); // l_e/d 49.7
    CHECK(c.check("slender").state == CheckView::State::Passes);
    CHECK(c.in("psi", "F_c_1", "dead+live") == doctest::Approx(c.in("psi", "F_cE")).epsilon(0.04));
    c.set("L", "14.7 ft");
    CHECK(c.check("slender").state == CheckView::State::NotProven);
    SheetCase over(kSheet, changed(windy(), {{"L", "14 ft"}}));
    double last = 0;
    for (const char* load : {"5000 lbf", "10000 lbf", "20000 lbf", "100000 lbf"}) {
        over.set("P_L", load);
        CHECK(over.utilisation("combined") > last);
        last = over.utilisation("combined");
    }
    CHECK(last > 10);
}

TEST_CASE("post: laid the wrong way, or under a roof load that lasts too short, it is not proven") {
    SheetCase wrong(kSheet, changed(plain(), {{"b", "5.5 in"}, {"d", "3.5 in"}, {"e_2", "1 in"}}));
    REQUIRE_MESSAGE(!wrong.hasErrors(), wrong.errors());
    CHECK(wrong.check("wide_face").state == CheckView::State::NotProven);
    wrong.set("e_2", "0 in");
    CHECK(wrong.check("wide_face").state == CheckView::State::Passes);
    SheetCase brief(kSheet, changed(plain(), {{"roof_load", "wind"}}));
    CHECK(brief.check("roof_duration").state == CheckView::State::NotProven);
}

TEST_CASE("post: no load uses nothing up; more load never helps; a larger post always does") {
    SheetCase none(kSheet, changed(windy(), {{"P_D", "0 lbf"}, {"P_L", "0 lbf"}, {"P_S", "0 lbf"}, {"P_W", "0 lbf"}, {"P_U", "0 lbf"}, {"p_W", "0 psf"}}));
    REQUIRE_MESSAGE(!none.hasErrors(), none.errors());
    // Without uplift the squeezed edge has nothing to do either.
    for (const char* check : kChecks) CHECK(none.utilisation(check) == 0);
    for (const char* load : {"P_L", "P_S", "P_W", "P_U"})
        for (const char* check : kChecks) {
            if (std::string(check) == "tension_twist") continue; // tension takes squeezing away
            INFO(load, " ", check);
            SheetCase c(kSheet, windy());
            double last = c.utilisation(check);
            for (const char* value : {"4500 lbf", "6000 lbf", "9000 lbf"}) {
                c.set(load, value);
                CHECK(c.utilisation(check) >= last * (1 - 1e-12));
                last = c.utilisation(check);
            }
        }
    SheetCase c(kSheet, windy());
    SheetCase larger(kSheet, changed(windy(), {{"size", "4x8"}}));
    for (const char* check : {"buckling", "combined", "tension", "shear", "bow"}) {
        const double low = c.utilisation(check);
        c.set("p_W", "30 psf");
        CHECK(c.utilisation(check) >= low);
        c.set("p_W", "20 psf");
        CHECK(larger.utilisation(check) < low);
    }
}

TEST_CASE("post: what is not stated or not known is not proven; the same in SI units") {
    SheetCase c(kSheet, changed(plain(), {{"wall", "outer"}}));
    CHECK(c.verdict() == Verdict::NotProven); // the wind
    SheetCase base(kSheet, changed(plain(), {{"base", "other"}}));
    CHECK(base.verdict() == Verdict::NotProven);
    base.set("F_base", "500 psi");
    CHECK(base.verdict() == Verdict::Ok);
    SheetCase old(kSheet, changed(plain(), {{"species", "Hem-fir (old)"}}));
    CHECK(old.check("in_force").state == CheckView::State::NotProven);
    CHECK(old.verdict() != Verdict::Ok);
    SheetCase heavy(kSheet, changed(plain(), {{"L", "1 ft"}, {"P_L", "14000 lbf"}})); // 1306 psi, above 0.75*1552.5
    CHECK(heavy.check("steel_between").state == CheckView::State::NotProven);
    heavy.set("metal", "yes");
    CHECK(heavy.check("steel_between").state == CheckView::State::Passes);
    SheetCase us(kSheet, windy());
    SheetCase si(kSheet, changed(windy(), {{"L", "2438.4 mm"},
                                           {"P_D", "8.8964432305 kN"},
                                           {"P_L", "13.3446648458 kN"},
                                           {"P_S", "2.2241108076 kN"},
                                           {"P_W", "0.4448221615 kN"},
                                           {"P_U", "17.7928864610 kN"},
                                           {"p_W", "0.957605180 kN/m^2"},
                                           {"s", "609.6 mm"},
                                           {"e_1", "12.7 mm"},
                                           {"e_2", "5.08 mm"}}));
    REQUIRE_MESSAGE(!si.hasErrors(), si.errors());
    for (const char* check : kChecks) CHECK(si.utilisation(check) == doctest::Approx(us.utilisation(check)).epsilon(1e-7));
}
