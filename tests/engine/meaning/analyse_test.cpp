// SPDX-License-Identifier: MIT
#include <doctest/doctest.h>

#include "tests/engine/meaning/sheet_text.h"

using namespace spanwright;
using meaning::Kind;

namespace {

/// A sheet with every kind of row.
const char* const kSheet = R"(sheet   floor-joist
title   Sawn floor joist, uniform load -- for joists between walls
basis   EN 1995-1-1:2004+A2:2014; EN 1990:2002
caution Have a licensed engineer review it before you build.
use     tables/en338.csv
use     tables/en1990-uls.csv

part    Loads
ask     q_k [kN/m^2] from 0.5 to 10 kN/m^2       -- imposed load      -- EN 1991-1-1 Table 6.2
note    What people and furniture weigh.
note    A loft needs less.
given   s  = 400 mm from 200 mm to 900 mm        -- joist spacing
given   h  = 220 mm +- 3 mm                      -- depth as sawn
choose  grade from en338                         -- strength class    -- EN 338:2016
choose  service from service_class
each    uls in en1990_uls                        -- combinations      -- EN 1990 Eq. 6.10
derive  w_d [kN/m] = (uls.G*g_k + uls.Q*q_k)*s   -- design line load
derive  k_mod = k_mod_solid(service, uls.duration)   --  -- EN 1995-1-1 Table 3.1

part    Bending
derive  M_d [kN*m] = w_d*L^2/8                   -- design moment at midspan
derive  k_h = if(h < 150 mm, min((150 mm/h)^0.2, 1.3), 1)   -- depth factor -- EN 1995-1-1 3.2(3)
check   bending: sigma_m <= k_crit*f_m_d         -- bending strength  -- EN 1995-1-1 6.1.6
part    Notch only if notch > 0 mm
check   notched: sigma_m <= f_m_d/2
part    Line
define  h_x(x [m]) = h_e + (h_r - h_e)*(1 - abs(2*x/L - 1))          -- depth at x
define  I(x [m]) = b*h_x(x)^3/12
define  A(x [m]) = b*h_x(x)
beam    B from 0 m to L                          -- the member as a line
        stiffness E*I(x), G*A(x)
        support   0 m, a, L
        load G line g_k*s
        load S line s_roof*s each span           -- spans loaded one by one and together
        load Q point P_Q at x_P
end
derive  C_max [kN] = largest(abs(B.M(x, uls))/(0.9*h_x(x)), x from 0 m to x_r to L)  -- greatest flange force
derive  x_C [m] = where_largest(abs(B.M(x, uls))/(0.9*h_x(x)), x from 0 m to x_r to L)
derive  R_G [kN] = B.R(1, G) as characteristic   -- reaction, by action
plot    B.M(x, uls) [kN*m], x from 0 m to L      -- bending moment
require bond: glue.kind == "structural"          -- carries load for the life of the house
assume  The floor deck holds the compression edge along its length.
piece   top_flange = 2 off, 47 mm by 95 mm by L from timber
schedule section = b by h
list    joints                                   -- flange joints; a member may state its own
at [m], flange [text]
2.40, bottom
end
each    j in joints
check   joint: j.at <= L
table   service_class by class
class, k_def, what [text]
1, 0.60, "heated, dry"
2, 0.80, "covered, unheated"
end
matrix  k_mod_solid by service and duration
service, permanent, medium
1, 0.6, 0.8
2, 0.6, 0.8
end
table   glues
name, kind [text]
prf, structural
pva, non-structural
end
choose  glue from glues
given   L = 4 m
given   g_k = 0.5 kN/m^2
given   b = 47 mm
given   notch = 0 mm
given   h_e = 200 mm
given   h_r = 300 mm
given   a = 2 m
given   x_r = 2 m
given   x_P = 1 m
given   P_Q = 2 kN
given   s_roof = 1 kN/m^2
given   k_crit = 1
derive  E [N/mm^2] = grade.E_mean
derive  G [N/mm^2] = grade.G_mean
derive  f_m_d [N/mm^2] = k_mod*k_h*grade.f_mk/1.3
derive  sigma_m [N/mm^2] = M_d/(b*h^2/6)
)";

SheetText example() {
    SheetText s;
    s.files["tables/en338.csv"] = "# EN 338:2016\nclass, f_mk [N/mm^2], E_mean [N/mm^2], G_mean [N/mm^2]\nC24, 24, 11000, 690\n";
    s.files["tables/en1990-uls.csv"] = "# EN 1990:2002 Eq. 6.10\ncombination, G, Q, S, duration [text]\n1, 1.35, 0, 0, permanent\n2, 1.35, 1.5, 0.75, medium\n";
    s.read(kSheet);
    return s;
}

} // namespace

TEST_CASE("a sheet with every kind of row is typed without a word") {
    const SheetText s = example();
    CHECK(s.told(true) == "");
    CHECK(s.sheet->name == "floor-joist");
    CHECK(s.sheet->title == "Sawn floor joist, uniform load");
    CHECK(s.sheet->basis == std::vector<std::string>{"EN 1995-1-1:2004+A2:2014", "EN 1990:2002"});
    CHECK(s.sheet->cautions.size() == 1);
    CHECK(s.sheet->assumptions == std::vector<std::string>{"The floor deck holds the compression edge along its length."});
    CHECK(s.sheet->parts.size() == 5);
    CHECK(s.sheet->parts[1].title == "Loads");
    CHECK(s.sheet->plots.size() == 1);
    CHECK(s.sheet->pieces.size() == 1);
    REQUIRE(s.sheet->pieces[0].stock.size() == 1);
    CHECK(s.sheet->pieces[0].stock[0].word == "timber");
    CHECK(s.sheet->schedules[0].column == "section");
    CHECK(s.sheet->files.size() == 2);
    CHECK(s.at("q_k").note == "What people and furniture weigh.\nA loft needs less.");
    CHECK(s.at("q_k").source == "EN 1991-1-1 Table 6.2");
    CHECK(s.at("k_mod").what == "");
    CHECK(s.at("k_mod").source == "EN 1995-1-1 Table 3.1");
}

TEST_CASE("its rows carry dimensions, axes and what they read") {
    const SheetText s = example();
    CHECK(s.at("M_d").dimension == units::readUnit("kN*m").value().dimension);
    CHECK(s.at("M_d").axes == std::vector<meaning::QuantityId>{s.at("uls").id});
    CHECK(s.reads("w_d") == "q_k s uls g_k");
    CHECK(s.reads("M_d") == "uls w_d L");
    CHECK(s.reads("k_mod") == "service uls");
    CHECK(s.reads("bending") == "uls k_crit f_m_d sigma_m");
    CHECK(s.reads("B") == "s L g_k b h_e h_r a x_P P_Q s_roof E G");
    CHECK(s.reads("C_max") == "uls B L h_e h_r x_r"); // through the function h_x
    CHECK(s.reads("j") == "joints");
    CHECK(s.reads("joint") == "j L");
    const auto& notched = s.at("notched");
    CHECK(notched.condition == s.sheet->parts[3].condition);
    CHECK(s.sheet->at(notched.condition).kind == Kind::Condition);
    CHECK(s.at("bending").relation == syntax::Op::LessEqual);
    CHECK(s.at("bending").unit.shown == "N/mm²");
    CHECK(s.at("R_G").tag == syntax::Tag::Characteristic);
    CHECK(s.formula("M_d") == "w_d·L²/8");
    CHECK(s.formula("k_h") == "if(h < 150 mm, min((150 mm/h)^0.2, 1.3), 1)");
    CHECK(s.formula("C_max") == "largest(|B.M(x, uls)|/(0.9·h_x(x)), x from 0 m to x_r to L)");
}

TEST_CASE("a sheet without checks says so, as a warning") {
    const SheetText s("sheet x\ngiven a = 1\n");
    CHECK(s.told(true) == "M322 this sheet has no check: nothing can be proven by it | write what must hold: check NAME: demand <= capacity");
    CHECK(s.sheet->diagnostics[0].severity == diag::Severity::Warning);
    CHECK(s.marked(0) == "sheet");
}

TEST_CASE("what the reader says is in the sheet's diagnostics, once") {
    const SheetText s("sheet x\ntable t\na, b\n1\nend\nderive c = 1 +\ncheck d: 1 <= 2\n");
    CHECK(s.sheet->diagnostics.size() == 2);
    CHECK(s.at("c").broken);
    CHECK_FALSE(s.at("c").formula.valid());
    CHECK(s.at("c").problem->code == diag::Code::FormulaExpected);
}

TEST_CASE("any text whatever is typed without falling over") {
    // every prefix of the example, and the example with a byte taken out here and there
    const std::string whole = kSheet;
    for (std::size_t n = 0; n < whole.size(); n += 61) {
        const SheetText s(whole.substr(0, n));
        CHECK(s.sheet != nullptr);
    }
    for (std::size_t n = 0; n < whole.size(); n += 17) {
        SheetText s = example();
        std::string text = whole;
        text.erase(n, 1);
        s.read(text);
        for (const auto& q : s.sheet->quantities) {
            if (!q.broken) continue;
            CHECK_MESSAGE(q.problem, q.name << " is broken without a reason, byte " << n << " taken out before " << whole.substr(n, 30));
            CHECK_FALSE(q.formula.valid());
        }
    }
}
