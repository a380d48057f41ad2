// SPDX-License-Identifier: MIT
// eu/floor-joist against hand calculation, published examples and closed forms. Example numbers (EU01 ...)
// are those of tests/reference/eu/worked_examples_index.csv, which names each source.
#include <doctest/doctest.h>

#include <cmath>
#include <string>

#include "tests/sheets/sheet_case.h"

using spanwright::job::Verdict;
using spanwright::sheets_test::changed;
using spanwright::sheets_test::printsAs;
using spanwright::sheets_test::readRows;
using spanwright::sheets_test::readText;
using spanwright::sheets_test::SheetCase;

namespace {

const std::string kSheet = "eu/floor-joist";

SheetCase::Values plain() {
    return {{"L", "3.6 m"},   {"g_k", "0.55 kN/m^2"}, {"q_k", "2.0 kN/m^2"}, {"grade", "C24"},
            {"service", "1"}, {"category", "A"},      {"held", "yes"},       {"B_f", "4.8 m"}};
}

/// The strength classes with one more row: a product that an example uses and the ready table lacks.
std::string classesWith(const std::string& row) { return readText("sheets/tables/en338.csv") + row + "\n"; }

} // namespace

TEST_CASE("a joist worked by hand") {
    // C24 47 x 220 at 400 mm, span 3.6 m, g 0.55, q 2.0 kN/m2, service class 1, category A, deck holds the edge:
    //   self weight 420*9.80665*0.047*0.220 = 42.59 N/m
    //   w_G = 0.55*0.4 + 0.04259 = 0.26259, w_Q = 0.8, w_d = 1.35*0.26259 + 1.5*0.8 = 1.55449 kN/m
    //   M = 1.55449*3.6^2/8 = 2.51828 kNm, W = 47*220^2/6 = 379133 mm3, sigma = 6.6422 N/mm2
    //   f_m,d = 0.8*24/1.3 = 14.769 N/mm2, utilisation 0.4497
    SheetCase c(kSheet, plain());
    REQUIRE_MESSAGE(!c.hasErrors(), c.errors());
    CHECK(c.in("N/m", "g_0") == doctest::Approx(42.587).epsilon(1e-4));
    CHECK(c.in("kN/m", "w_d", "variable") == doctest::Approx(1.55449).epsilon(1e-5));
    CHECK(c.in("kN*m", "M_d", "variable") == doctest::Approx(2.51828).epsilon(1e-5));
    CHECK(c.in("mm^3", "W") == doctest::Approx(379133.333));
    CHECK(c.in("N/mm^2", "sigma_m_d", "variable") == doctest::Approx(6.6422).epsilon(1e-5));
    CHECK(c.in("N/mm^2", "f_m_d", "variable") == doctest::Approx(14.7692).epsilon(1e-5));
    CHECK(c.utilisation("bending") == doctest::Approx(0.44973).epsilon(1e-4));
    // Permanent load alone has the lower k_mod and a case of its own: 1.35*0.26259 = 0.35449 kN/m.
    CHECK(c.number("k_mod", "permanent") == 0.6);
    CHECK(c.number("k_mod", "variable") == 0.8);
    CHECK(c.in("kN/m", "w_d", "permanent") == doctest::Approx(0.35449).epsilon(1e-4));
    // Shear 1.5*2.79809e3/(0.67*47*220) = 0.60584 N/mm2 of 0.8*4.0/1.3; bearing 2.79809e3/(47*(50+30)) = 0.74418
    // of 1.5*0.8*2.5/1.3 = 2.30769.
    CHECK(c.in("N/mm^2", "tau_d", "variable") == doctest::Approx(0.60584).epsilon(1e-4));
    CHECK(c.utilisation("bearing") == doctest::Approx(0.74418 / 2.30769).epsilon(1e-4));
    // Deflection 5wL^4/(384EI) + wL^2/(8 GA 5/6): 1.3234 + 4.0318 mm; final 1.6*1.3234 + 1.18*4.0318 = 6.8749 mm.
    CHECK(c.in("mm", "w_G_inst") == doctest::Approx(1.32338).epsilon(1e-4));
    CHECK(c.in("mm", "w_Q_inst") == doctest::Approx(4.03181).epsilon(1e-4));
    CHECK(c.in("mm", "w_fin") == doctest::Approx(6.87495).epsilon(1e-4));
    // Reactions by action: half the loads.
    CHECK(c.in("kN", "R_G") == doctest::Approx(0.47266).epsilon(1e-4));
    CHECK(c.in("kN", "R_Q") == doctest::Approx(1.44));
    // 7.3.3: m = 0.26259e3/(0.4*9.80665) = 66.941 kg/m2, (EI)l = 11000*41.7047e6*1e-6/0.4 = 1.14688e6 Nm2/m,
    // f1 = pi/(2*3.6^2)*sqrt(1.14688e6/66.941) = 15.864 Hz; v = 0.016909 against 100^(0.15864-1) = 0.020763.
    CHECK(c.in("Hz", "f_1") == doctest::Approx(15.8645).epsilon(1e-4));
    CHECK(c.number("n_40") == doctest::Approx(8.8923).epsilon(1e-4));
    CHECK(c.number("v_imp") == doctest::Approx(0.0169092).epsilon(1e-4));
    CHECK(c.number("v_lim") == doctest::Approx(0.0207630).epsilon(1e-4));
    CHECK(c.in("mm/kN", "w_1") == doctest::Approx(1.17945).epsilon(1e-4));
    CHECK(c.verdict() == Verdict::Ok);
}

TEST_CASE("what is not stated is never OK") {
    SheetCase c(kSheet, {{"L", "3.6 m"}, {"g_k", "0.55 kN/m^2"}, {"q_k", "2.0 kN/m^2"}, {"service", "1"}, {"category", "A"}, {"B_f", "4.8 m"}});
    CHECK(c.verdict() == Verdict::NotProven);
    SheetCase width(kSheet, changed(plain(), {{"people", "yes"}}));
    CHECK(width.verdict() == Verdict::Ok);
    // Without people on it the width of the floor need not be stated, and vibration is not applicable.
    SheetCase store(kSheet, {{"L", "3.6 m"},
                             {"g_k", "0.55 kN/m^2"},
                             {"q_k", "2.0 kN/m^2"},
                             {"grade", "C24"},
                             {"service", "1"},
                             {"category", "A"},
                             {"held", "yes"},
                             {"people", "no"}});
    CHECK_MESSAGE(store.verdict() == Verdict::Ok, store.errors());
    CHECK(store.check("frequency").state == spanwright::job::CheckView::State::NotApplicable);
}

TEST_CASE("EU07: floor beam C24 80 x 240 at 625 mm (kvh.eu, DIN 1052:2008 in the form of EC5)") {
    // The span 4.50 m is not printed: it was recovered from the printed moment, so M proves nothing and V does.
    // The example counts no cracks (k_cr 1) and holds the beam's weight within g.
    SheetCase c(kSheet, {{"L", "4.5 m"},
                         {"s", "625 mm"},
                         {"b", "80 mm"},
                         {"h", "240 mm"},
                         {"g_k", "1.75 kN/m^2"},
                         {"q_k", "2.80 kN/m^2"},
                         {"g_0", "0 kN/m"},
                         {"k_cr", "1"},
                         {"grade", "C24"},
                         {"service", "1"},
                         {"category", "A"},
                         {"held", "yes"},
                         {"people", "no"}});
    REQUIRE_MESSAGE(!c.hasErrors(), c.errors());
    CHECK(printsAs(c.in("kN/m", "w_d", "permanent") / 0.625, "2.36"));
    CHECK(printsAs(c.in("kN/m", "w_d", "variable") / 0.625, "6.56"));
    CHECK(printsAs(c.in("kN*m", "M_d", "variable"), "10.38"));
    CHECK(printsAs(c.in("kN", "V_d", "variable"), "9.23"));
    CHECK(printsAs(c.in("N/mm^2", "f_m_d", "variable"), "14.8"));
    CHECK(printsAs(c.in("cm^3", "W"), "768"));
    CHECK(printsAs(c.in("N/mm^2", "sigma_m_d", "variable"), "13.5"));
    CHECK(printsAs(c.in("N/mm^2", "tau_d", "variable"), "0.72"));
    CHECK(printsAs(c.in("kN*m", "M_d", "variable") * 1e3 / c.in("N/mm^2", "f_m_d", "variable"), "701", 2.0)); // W needed; 14.8 is rounded: 701 or 703
    // Own values of the reference, not published: bending deflections 5.7607 and 9.217 mm; shear is added here.
    const double shear = (1.75 + 2.80) * 0.625e3 * 4.5 * 4.5 / (8 * 5.0 / 6.0 * 690e6 * 0.080 * 0.240) * 1e3;
    CHECK(c.in("mm", "w_inst") == doctest::Approx(5.7607 + 9.217 + shear).epsilon(2e-5));
}

TEST_CASE("EU01 and EU02: joist floor of LVL 48 P (LVL Handbook Europe 2025, p. 181 to 185)") {
    // Another product and another national annex than the ready tables hold (gamma_G 1.15 of the Finnish
    // annex): both are put in as tables. The depth factor of LVL (1.034) is not this sheet's, so f_m,d is
    // compared without it. The published f_m,d = 30.3 was worked with 44 where 48 is stated.
    const SheetCase::Replaced tables{
        {"tables/en338.csv", classesWith("LVL 48 P,LVL,44,35,0.8,35,6,4.2,13800,11600,430,600,480,510,LVL Handbook Europe 2025; 44 as the example worked")},
        {"tables/en1990-uls-floor.csv",
         "# Finnish annex as the example prints it\nname,G,Q,what [text]\npermanent,1.35,0,permanent\nvariable,1.15,1.5,Eq. 6.10b\n"}};
    SheetCase c(kSheet, {{"L", "4.5 m"},        {"s", "400 mm"},   {"b", "45 mm"}, {"h", "240 mm"},       {"l_b", "45 mm"},      {"g_k", "0.9 kN/m^2"},
                         {"q_k", "2.0 kN/m^2"}, {"g_0", "0 kN/m"}, {"k_cr", "1"},  {"gamma_M", "1.2"},    {"grade", "LVL 48 P"}, {"service", "1"},
                         {"category", "A"},     {"held", "yes"},   {"B_f", "5 m"}, {"m_v", "120 kg/m^2"}, {"t_deck", "22 mm"},   {"E_deck", "3500 N/mm^2"},
                         {"zeta", "0.01"},      {"b_v", "150"}},
                tables);
    REQUIRE_MESSAGE(!c.hasErrors(), c.errors());
    CHECK(printsAs(c.in("mm^2", "A"), "10800"));
    CHECK(printsAs(c.in("mm^3", "W"), "432000"));
    CHECK(printsAs(c.in("mm^4", "I") * 1e-6, "51.8"));
    CHECK(printsAs(c.in("N/mm^2", "E") * c.in("mm^4", "I") * 1e-9, "715"));
    CHECK(printsAs(c.in("N/mm^2", "G_mean") * c.in("mm^2", "A"), "6480000"));
    CHECK(printsAs(c.in("kN/m", "w_d", "variable") / 0.4, "4.03", 0.6)); // 4.035, printed cut
    CHECK(printsAs(c.in("kN*m", "M_d", "variable"), "4.1"));
    CHECK(printsAs(c.in("N/mm^2", "sigma_m_d", "variable"), "9.5"));
    CHECK(printsAs(c.in("kN", "V_d", "variable"), "3.6"));
    CHECK(printsAs(c.in("N/mm^2", "tau_d", "variable"), "0.5"));
    CHECK(printsAs(c.in("N/mm^2", "f_v_d", "variable"), "2.8"));
    CHECK(printsAs(c.in("N/mm^2", "f_c90_d", "variable"), "4.0"));
    CHECK(printsAs(c.in("N/mm^2", "f_m_d", "variable") * 1.034, "30.3"));
    CHECK(printsAs((c.in("kN/m", "w_G") + c.in("kN/m", "w_Q")) / 0.4, "2.9"));
    // Own values of the reference for the deflections (equation 4.74 of the handbook: bending and shear).
    CHECK(c.in("mm", "w_G_inst") == doctest::Approx(2.8556).epsilon(1e-4));
    CHECK(c.in("mm", "w_Q_inst") == doctest::Approx(6.3458).epsilon(1e-4));
    // Vibration. E of the chipboard was found from the printed 3110 Nm2/m, so that figure proves nothing.
    CHECK(printsAs(c.number("EI_l") * 1e-6, "1.79"));
    CHECK(printsAs(c.number("EI_b"), "3110", 5.0));
    CHECK(printsAs(c.in("Hz", "f_1"), "9.5"));
    CHECK(printsAs(c.number("n_40"), "11"));
    CHECK(printsAs(c.number("v_imp"), "0.01"));
    CHECK(printsAs(c.number("v_lim"), "0.011"));
    CHECK(printsAs(c.number("k_delta"), "0.2"));
    CHECK(printsAs(c.in("mm", "w_plate"), "1.3"));
    CHECK(printsAs(c.in("mm", "w_joist"), "2.7"));
}

TEST_CASE("EU03: sideways buckling of a beam 45 x 300 over an opening (LVL Handbook Europe 2025, p. 188)") {
    // The effective length 600 mm was found from the printed critical stress 72.2, so only what follows from
    // it is evidence: relative slenderness 0.78, k_crit 0.97. 0.9*a_r + 2*h = 600 mm needs a_r = 0: the
    // sheet's range starts at 0.1 m, so the stress is scaled to 600 mm.
    SheetCase c(
        kSheet,
        {{"L", "2.3 m"},
         {"b", "45 mm"},
         {"h", "300 mm"},
         {"g_k", "1 kN/m^2"},
         {"q_k", "1 kN/m^2"},
         {"gamma_M", "1.2"},
         {"a_r", "0.1 m"},
         {"grade", "LVL 48 P"},
         {"service", "1"},
         {"category", "A"},
         {"people", "no"}},
        {{"tables/en338.csv", classesWith("LVL 48 P,LVL,44,35,0.8,35,6,4.2,13800,11600,430,475.862,480,510,LVL Handbook Europe 2025; G_005 400 from memory")}});
    REQUIRE_MESSAGE(!c.hasErrors(), c.errors());
    CHECK(c.in("N/mm^2", "G_005") == doctest::Approx(400).epsilon(1e-5));
    const double critical = c.in("N/mm^2", "sigma_m_crit") * c.in("mm", "l_ef") / 600;
    CHECK(critical == doctest::Approx(72.2).epsilon(0.005)); // printed with k1 0.30 from a table, 0.3018 by its formula
    CHECK(printsAs(std::sqrt(44 / critical), "0.78"));
    // lambda_rel is above 0.75 here as there, so k_crit takes the same branch.
    const double lambda = c.number("lambda_rel_m");
    CHECK(lambda > 0.75);
    CHECK(c.number("k_crit") == doctest::Approx(1.56 - 0.75 * lambda));
    CHECK(printsAs(1.56 - 0.75 * std::sqrt(44 / 72.2), "0.97", 1.0));
}

TEST_CASE("EU10 and EU20: section data of TRADA design examples (1994)") {
    SheetCase lintel(kSheet, changed(plain(), {{"b", "90 mm"}, {"h", "195 mm"}})); // two pieces of 45 mm
    CHECK(printsAs(lintel.in("mm^2", "A"), "17550"));
    CHECK(printsAs(lintel.in("mm^3", "W") * 1e-3, "570.4"));
    CHECK(printsAs(lintel.in("mm^4", "I") * 1e-6, "55.61"));
    CHECK(printsAs(lintel.in("kN/m", "g_0"), "0.072"));
    SheetCase stud(kSheet, changed(plain(), {{"b", "38 mm"}, {"h", "89 mm"}}));
    CHECK(printsAs(stud.in("mm^2", "A"), "3382"));
    CHECK(printsAs(stud.in("mm^3", "W") * 1e-3, "50.17"));
    CHECK(printsAs(stud.in("mm^4", "I") * 1e-6, "2.232"));
    CHECK(stud.number("k_h") == doctest::Approx(std::pow(150.0 / 89.0, 0.2))); // EN 1995-1-1 3.2(3)
}

TEST_CASE("EU15: loads of C24 joists 50 x 150 at 600 mm (structville.com)") {
    // The example weighs the joist with 350 kg/m3 (0.0257 kN/m); its checks were cut off.
    SheetCase c(kSheet, changed(plain(), {{"L", "3.0 m"},
                                          {"s", "600 mm"},
                                          {"b", "50 mm"},
                                          {"h", "150 mm"},
                                          {"g_k", "0.75 kN/m^2"},
                                          {"q_k", "1.5 kN/m^2"},
                                          {"g_0", "0.025751 kN/m"},
                                          {"service", "2"},
                                          {"l_b", "100 mm"}}));
    CHECK(printsAs(c.in("kN/m", "w_G"), "0.476"));
    CHECK(printsAs(c.in("kN/m", "w_d", "variable"), "1.9926", 4.0)); // the source goes on with 0.476: 1.35*0.476 + 1.5*0.9
    // Own values, not published: bending 11.96 N/mm2, final deflection 13.97 mm by bending and shear.
    CHECK(c.in("N/mm^2", "sigma_m_d", "variable") == doctest::Approx(11.96).epsilon(1e-3));
    CHECK(c.in("mm", "w_fin") == doctest::Approx(13.97).epsilon(2e-3));
    CHECK(c.check("deflection_net").state == spanwright::job::CheckView::State::Fails); // 13.97 > 3000/250
}

TEST_CASE("joist sizes that Approved Document A lists as suitable for 3.6 m (buildersengineer.info)") {
    // Rule: deflection by all loads, with shear, no more than 0.003 L (NHBC 6.4.9). Permissible stress days:
    // SC3 has a mean modulus of 8800 N/mm2. Dead load 0.25 to 0.50 kN/m2, imposed 1.5 kN/m2, 400 mm.
    const SheetCase::Replaced tables{{"tables/en338.csv", classesWith("SC3,softwood,16,8.5,0.4,17,2.2,3.2,8800,5800,270,550,310,370,BS 5268 mean modulus")}};
    SheetCase c(kSheet, changed(plain(), {{"grade", "SC3"}, {"g_k", "0.5 kN/m^2"}, {"q_k", "1.5 kN/m^2"}, {"people", "no"}}), tables);
    const auto used = [&](const std::string& b, const std::string& h) {
        c.set("b", b);
        c.set("h", h);
        return c.in("mm", "w_inst") / (0.003 * 3600);
    };
    CHECK(used("38 mm", "200 mm") <= 1);
    CHECK(used("50 mm", "175 mm") <= 1);
    CHECK(used("63 mm", "175 mm") <= 1);
    CHECK(used("75 mm", "150 mm") <= 1);
    // The next smaller sizes, which the text does not list, do not do.
    CHECK(used("50 mm", "150 mm") > 1);
    CHECK(used("38 mm", "175 mm") > 1);
}

TEST_CASE("own spans of the reference by the NHBC rule (computed there, not published)") {
    int seen = 0;
    for (const auto& row : readRows("tests/reference/eu/joist_spans.csv")) {
        if (row.at("kind") != "OWN calculation, NOT published") continue;
        ++seen;
        SheetCase c(kSheet, changed(plain(), {{"grade", row.at("class")},
                                              {"b", row.at("width_mm") + " mm"},
                                              {"h", row.at("depth_mm") + " mm"},
                                              {"g_k", row.at("dead_kN_m2") + " kN/m^2"},
                                              {"q_k", row.at("imposed_kN_m2") + " kN/m^2"},
                                              {"people", "no"}}));
        const auto used = [&](double span) {
            c.set("L", std::to_string(span) + " m");
            return c.in("mm", "w_inst") / std::min(3.0 * span, 14.0);
        };
        const double span = std::stod(row.at("span_m"));
        INFO(row.at("class"), " ", row.at("depth_mm"), " ", row.at("dead_kN_m2"));
        CHECK(used(span - 0.006) < 1);
        CHECK(used(span + 0.006) > 1);
    }
    CHECK(seen == 16);
}

TEST_CASE("two equal spans against closed forms (tests/reference/eu/beam_theory.csv, B4 and B5)") {
    // 47 x 220, E 11000; shear flexibility moves the support moment a little, so it is checked to 2 %
    // against bending theory and exactly by statics.
    SheetCase c(
        kSheet,
        changed(plain(), {{"spans", "2"}, {"L", "4.0 m"}, {"s", "1000 mm"}, {"g_k", "2 kN/m^2"}, {"q_k", "0 kN/m^2"}, {"g_0", "0 kN/m"}, {"people", "no"}}));
    REQUIRE_MESSAGE(!c.hasErrors(), c.errors());
    CHECK(c.in("kN*m", "M_hog", "permanent") == doctest::Approx(1.35 * 4.0).epsilon(0.02));
    CHECK(c.in("kN*m", "M_d", "permanent") == doctest::Approx(1.35 * 2.25).epsilon(0.02));
    CHECK(2 * c.in("kN", "R_G") + c.in("kN", "R_G2") == doctest::Approx(16.0));
    CHECK(c.in("kN", "R_G2") == doctest::Approx(10.0).epsilon(0.01));
    // Variable load span by span: one span loaded alone bends and sags it more than both do, and the far
    // end wants to lift by w L/16 = 0.5 kN; the middle reaction is greatest with both loaded.
    c.set("g_k", "0 kN/m^2");
    c.set("q_k", "2 kN/m^2");
    CHECK(c.in("kN", "R_Q2") == doctest::Approx(10.0).epsilon(0.01));
    CHECK(c.in("kN", "R_Q") == doctest::Approx(7.0 / 16 * 8.0).epsilon(0.01));
    CHECK(c.in("kN*m", "M_d", "variable") == doctest::Approx(1.5 * 49.0 / 512.0 * 32.0).epsilon(0.02));
    CHECK(c.in("kN", "U_d", "lifting") == doctest::Approx(1.5 * 0.5).epsilon(0.05));
    CHECK(c.check("held_down").state == spanwright::job::CheckView::State::NotProven); // nothing ties it down
    c.set("T_d", "1 kN");
    CHECK(c.check("held_down").state == spanwright::job::CheckView::State::Passes);
}

TEST_CASE("three spans: statics, symmetry, and the short span that lifts") {
    SheetCase c(kSheet, changed(plain(), {{"spans", "3"}, {"L", "3.0 m"}, {"people", "no"}}));
    REQUIRE_MESSAGE(!c.hasErrors(), c.errors());
    CHECK(c.in("m", "L_B") == doctest::Approx(9.0));
    CHECK(c.in("kN", "R_G") + c.in("kN", "R_G2") == doctest::Approx(c.in("kN/m", "w_G") * 4.5));
    CHECK(c.in("kN", "R_G") == doctest::Approx(0.4 * c.in("kN/m", "w_G") * 3.0).epsilon(0.02));  // textbook: 0.4 w L
    CHECK(c.in("kN", "R_G2") == doctest::Approx(1.1 * c.in("kN/m", "w_G") * 3.0).epsilon(0.02)); // 1.1 w L
    c.set("L_3", "0.8 m");
    CHECK(c.in("kN", "U_d", "lifting") > 0);
    CHECK(c.check("held_down").state != spanwright::job::CheckView::State::Passes);
    // A number of spans that is none is not proven, whatever else passes.
    c.set("L_3", "3.0 m");
    CHECK(c.verdict() == Verdict::Ok);
    c.set("spans", "2.5");
    CHECK(c.verdict() != Verdict::Ok);
}

TEST_CASE("no load: nothing is used up; more load, span or spacing never helps") {
    SheetCase none(kSheet, changed(plain(), {{"g_k", "0 kN/m^2"}, {"q_k", "0 kN/m^2"}, {"g_0", "0 kN/m"}, {"people", "no"}}));
    REQUIRE_MESSAGE(!none.hasErrors(), none.errors());
    for (const char* name : {"bending", "shear", "bearing", "deflection_instant", "deflection_final", "deflection_net"}) CHECK(none.utilisation(name) == 0);
    SheetCase c(kSheet, plain());
    const auto rises = [&](const std::string& name, const std::string& unit, double from, double to, const char* check) {
        double last = -1;
        for (int i = 0; i <= 8; ++i) {
            c.set(name, std::to_string(from + (to - from) * i / 8) + " " + unit);
            const double now = c.utilisation(check);
            INFO(name, " ", i, " ", check);
            CHECK(now > last);
            last = now;
        }
    };
    for (const char* check : {"bending", "shear", "bearing", "deflection_instant", "deflection_final"}) {
        rises("q_k", "kN/m^2", 0.5, 6, check);
        c.set("q_k", "2 kN/m^2");
        rises("L", "m", 1.5, 6, check);
        c.set("L", "3.6 m");
        rises("s", "mm", 200, 800, check);
        c.set("s", "400 mm");
    }
}

TEST_CASE("the same joist in SI and in American units") {
    // 1 ft = 0.3048 m, 1 in = 25.4 mm, 1 lbf = 4.4482216152605 N (NIST SP 811): 0.55 and 2.0 kN/m2 in psf.
    const SheetCase::Values sizes{{"s", "400 mm"}, {"b", "47 mm"}, {"h", "220 mm"}, {"spans", "2"}, {"L_2", "2.4384 m"}};
    SheetCase si(kSheet, changed(changed(plain(), sizes), {{"held", "no"}, {"T_d", "2 kN"}}));
    SheetCase us(kSheet, changed(changed(plain(), sizes), {{"held", "no"},
                                                           {"T_d", "449.617886194 lbf"},
                                                           {"L", "11.8110236220472 ft"},
                                                           {"L_2", "8 ft"},
                                                           {"s", "15.748031496063 in"},
                                                           {"b", "1.8503937007874 in"},
                                                           {"h", "8.66141732283465 in"},
                                                           {"g_k", "11.4869888659 psf"},
                                                           {"q_k", "41.7708686034 psf"},
                                                           {"B_f", "15.748031496063 ft"}}));
    REQUIRE_MESSAGE(!us.hasErrors(), us.errors());
    std::size_t compared = 0;
    for (const auto& check : si.member().checks) {
        if (!check.utilisation || *check.utilisation == 0) continue;
        INFO(check.name);
        CHECK(us.utilisation(check.name) == doctest::Approx(*check.utilisation).epsilon(1e-8));
        ++compared;
    }
    CHECK(compared >= 8);
}

TEST_CASE("an edge that is not held costs strength, a stiffer class saves deflection") {
    SheetCase c(kSheet, changed(plain(), {{"held", "no"}, {"b", "35 mm"}, {"h", "300 mm"}, {"L", "5 m"}}));
    const double free = c.number("k_crit");
    CHECK(free < 1);
    // By hand: l_ef = 0.9*5000 + 2*300 = 5100 mm, sigma_crit = 0.78*35^2*7400/(300*5100) = 4.6215 N/mm2,
    // lambda = sqrt(24/4.6215) = 2.2788, k_crit = 1/2.2788^2 = 0.19256.
    CHECK(free == doctest::Approx(0.19256).epsilon(1e-4));
    c.set("a_r", "0.4 m");
    CHECK(c.number("k_crit") > free);
    c.set("held", "yes");
    CHECK(c.number("k_crit") == 1);
}
