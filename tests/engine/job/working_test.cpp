// SPDX-License-Identifier: MIT
#include <cmath>

#include "tests/engine/job/support.h"

using namespace spanwright;
using namespace spanwright::job;
using namespace spanwright::job::tests;

namespace {

Working workingOf(const Job& job, const std::string& mark, const std::string& name, std::optional<std::size_t> index = {}) {
    return job.working(*job.memberByMark(mark), idOf(job, mark, name), index);
}

bool has(const std::vector<std::string>& list, const std::string& text) { return std::find(list.begin(), list.end(), text) != list.end(); }

std::string names(const std::vector<Working::Neighbour>& list) {
    std::string out;
    for (const auto& n : list) out += (out.empty() ? "" : ", ") + (n.member.empty() ? "" : n.member + ".") + n.name + " = " + n.shown;
    return out;
}

const std::string kBeam = R"(sheet trial
table uls by n
n, G, Q
1, 1.35, 0
2, 1.35, 1.5
end
table wood by class
# invented grades
class, f [N/mm^2], kind [text]
C16, 16, sawn
C24, 24, sawn
end
choose grade = C24 from wood -- strength class
each c in uls -- combinations
given g = 1 kN/m
given q = 2 kN/m
given L = 4 m
given h = 120 mm
given n = 1
beam B from 0 m to L
     support 0 m, L
     load G line g
     load Q line q each span
end
derive M [kN*m] = largest(B.M(x, c), x from 0 m to L) -- greatest moment -- statics
derive k = if(h < 150 mm, min((150 mm/h)^0.2, 1.3), 1)
derive t [N/mm^2] = wood("C16").f*k
derive W [mm^3] = largest(M, over c)/grade.f
check c1: W <= 500000 mm^3 -- section modulus
check c2: M <= 8 (kN*m)
plot B.M(x, c) [kN*m], x from 0 m to L -- moment
)";

} // namespace

TEST_CASE("a working shows formula, values put in, result and neighbours") {
    Desk desk("job T\ngiven s = 400 mm\nmember J1 = trial\n with w_d = 2 kN/m\nmember H1 = trial\n with w_d = J1.R_d/s\n with M_R = 99 kN*m\n");
    const Job& job = desk.open();
    const Working w = workingOf(job, "J1", "M_d");
    CHECK(w.member == "J1");
    CHECK(w.kind == "derive");
    CHECK(w.what == "design moment");
    CHECK(w.source == "statics");
    CHECK(w.hasFormula);
    CHECK(meaning::plain(w.formula) == "w_d·L²/8");
    CHECK(meaning::plain(w.putIn) == "(2 kN/m)·(3.6 m)²/8");
    CHECK(w.shown == "3.24 kN·m");
    CHECK(names(w.comesFrom) == "J1.w_d = 2 kN/m, J1.L = 3.6 m");
    CHECK(names(w.feeds) == "J1.bending = 0.81");
    CHECK(w.letters == job.letters(0, idOf(job, "J1", "M_d")));
    CHECK(w.letters.size() == 11);

    const Working link = workingOf(job, "H1", "w_d");
    CHECK(link.hasFormula);
    CHECK(meaning::plain(link.formula) == "J1.R_d/s");
    CHECK(meaning::plain(link.putIn) == "3.6 kN/(400 mm)");
    CHECK(link.shown == "9 kN/m");
    CHECK(names(link.comesFrom) == "J1.R_d = 3.6 kN, s = 400 mm");
    CHECK(names(workingOf(job, "J1", "R_d").feeds) == "H1.w_d = 9 kN/m");

    const Working stated = workingOf(job, "J1", "w_d");
    CHECK_FALSE(stated.hasFormula);
    CHECK(stated.shown == "2 kN/m");
    CHECK(stated.comesFrom.empty());

    const Working check = workingOf(job, "J1", "bending");
    CHECK(check.relation == "≤");
    CHECK(meaning::plain(check.formula) == "M_d");
    CHECK(meaning::plain(check.right) == "M_R");
    CHECK(meaning::plain(check.rightPutIn) == "4 kN·m");
    CHECK(check.shown == "3.24 kN·m");
    CHECK(check.rightShown == "4 kN·m");
    CHECK(check.utilisation == doctest::Approx(0.81));
}

TEST_CASE("a working tells cases, branches, rows of tables, places and the beam's residual") {
    Desk desk("job T\nmember J1 = trial\n", kBeam);
    const Job& job = desk.open();
    INFO(told(job));
    REQUIRE(job.diagnostics().empty());
    CHECK(job.caseLabels(0, idOf(job, "J1", "M")) == std::vector<std::string>{"c 1", "c 2"});
    CHECK(job.caseLabels(0, idOf(job, "J1", "k")).empty());

    const Working m = workingOf(job, "J1", "M"); // the case of largest magnitude
    CHECK(m.caseLabel == "c 2");
    CHECK(m.shown == "8.7 kN·m"); // (1.35 + 3)*16/8
    CHECK(workingOf(job, "J1", "M", 0).caseLabel == "c 1");
    CHECK(workingOf(job, "J1", "M", 0).shown == "2.7 kN·m");
    // What it comes from is the value of the case told; where a row takes all cases together, that is said.
    CHECK(names(workingOf(job, "J1", "c2", 0).comesFrom) == "J1.c = 2 rows, J1.M = 2.7 kN·m");
    CHECK(names(workingOf(job, "J1", "c2", 1).comesFrom) == "J1.c = 2 rows, J1.M = 8.7 kN·m");
    CHECK(names(workingOf(job, "J1", "W").comesFrom).find("J1.M = 8.7 kN·m, the largest of 2 cases") != std::string::npos);
    // The same of what it feeds.
    CHECK(names(workingOf(job, "J1", "M", 0).feeds) == "J1.W = 362500 mm³, J1.c2 = 1.09, the largest of 2 cases");
    CHECK(names(workingOf(job, "J1", "L").feeds).find("J1.M = 8.7 kN·m, the largest of 2 cases") != std::string::npos);
    CHECK(has(m.details, "largest at x = 2 m"));
    const std::string howFinely = "looked for at 128 places of each piece between kinks, then closer; what is narrower than that may be missed";
    CHECK(has(m.details, howFinely)); // the larger of least and most, over any choice of spans: no beam says where that turns
    Desk other("job T\nmember J1 = trial\n", "sheet trial\ngiven k = 2\nderive p = where_largest(x*(k - x), x from 0 to k)\n"
                                             "derive q = integral(x, x from 0 to k)\ncheck c: p + root(x - 1, x from 0 to k) <= q\n");
    const Job& searched = other.open();
    CHECK(has(workingOf(searched, "J1", "p").details, howFinely));
    CHECK_FALSE(has(workingOf(searched, "J1", "q").details, howFinely));
    CHECK(has(workingOf(searched, "J1", "c").details, howFinely));
    // What beams say of themselves is looked at nowhere else: moments and shears, and deflections while no stiffness varies.
    for (const std::string stiffness : {"5e5 (N*m^2)", "5e5 (N*m)*(1 m + x)"}) {
        Desk along("job T\nmember J1 = trial\n",
                   "sheet trial\ngiven L = 4 m\nbeam B from 0 m to L\n stiffness " + stiffness +
                       "\n support 0 m, L\n load G line 1 (kN/m)\nend\nderive M [kN*m] = largest(B.M(x), x from 0 m to L)\n"
                       "derive V [kN] = largest(abs(B.V(x)), x from 0 m to L)\nderive w [mm] = largest(1.6*B.w(x), x from 0 m to L)\n"
                       "check c: w <= M/V/300\n");
        const Job& said = along.open();
        REQUIRE(said.diagnostics().empty());
        CHECK_FALSE(has(workingOf(said, "J1", "M").details, howFinely));
        CHECK_FALSE(has(workingOf(said, "J1", "V").details, howFinely));
        CHECK(has(workingOf(said, "J1", "w").details, howFinely) == (stiffness.find('x') != std::string::npos));
    }

    const Working k = workingOf(job, "J1", "k");
    CHECK(has(k.details, "branch taken: h < 150 mm"));
    CHECK(k.shown == units::showValue(std::pow(150.0 / 120.0, 0.2), {}));

    const Working t = workingOf(job, "J1", "t");
    CHECK(has(t.details, "row C16 of wood"));
    CHECK(has(t.tableSources, "wood: invented grades"));
    const Working W = workingOf(job, "J1", "W");
    CHECK(has(W.details, "row C24 of wood"));
    CHECK(meaning::plain(W.putIn).find("24 N/mm²") != std::string::npos);

    const Working b = workingOf(job, "J1", "B");
    REQUIRE(b.details.size() >= 2);
    CHECK(b.details[0].find("equilibrium residual ") == 0);
    CHECK(b.details.back() == "supports from left: 0 m, 4 m");

    const Working c2 = workingOf(job, "J1", "c2");
    CHECK(c2.caseLabel == "c 2");
    CHECK(c2.reason == "utilisation 1.09 in case c 2");
    CHECK(workingOf(job, "J1", "c2", 0).reason.empty());
    CHECK(workingOf(job, "J1", "grade").details == std::vector<std::string>{"row C24 of wood"});
}

TEST_CASE("a working of what is not computed says why") {
    Desk desk("job T\nmember J1 = trial\n");
    const Job& job = desk.open();
    const Working w = workingOf(job, "J1", "M_d");
    CHECK(w.state == eval::State::Blocked);
    CHECK(w.reason == "not computed, because of w_d, which is not stated");
    CHECK(w.shown.empty());
    CHECK(w.letters.empty());
    CHECK(meaning::plain(w.formula) == "w_d·L²/8");
    CHECK(meaning::plain(w.putIn) == "w_d·(3.6 m)²/8");
}

TEST_CASE("a plot samples its row in the units shown, one curve a case") {
    Desk desk("job T\nmember J1 = trial\n", kBeam);
    const Job& job = desk.open();
    const meaning::Sheet& sheet = job.sheet(0);
    const auto plot = std::find_if(sheet.quantities.begin(), sheet.quantities.end(), [](const auto& q) { return q.kind == meaning::Kind::Plot; });
    REQUIRE(plot != sheet.quantities.end());
    const auto view = job.plot(0, plot->id, 41);
    REQUIRE(view);
    CHECK(view->what == "moment");
    CHECK(view->xName == "x");
    CHECK(view->xUnit == "m");
    CHECK(view->yUnit == "kN·m");
    REQUIRE(view->curves.size() == 2);
    CHECK(view->curves[1].label == "c 2");
    CHECK(view->x.front() == 0.0);
    CHECK(view->x.back() == 4.0);
    CHECK(std::is_sorted(view->x.begin(), view->x.end()));
    double most = 0.0;
    for (std::size_t i = 0; i < view->x.size(); ++i) {
        const double x = view->x[i];
        CHECK(view->curves[1].y[i] == doctest::Approx(4.35 * x * (4 - x) / 2).epsilon(1e-9));
        most = std::fmax(most, view->curves[1].y[i]);
    }
    CHECK(most == doctest::Approx(8.7));
    CHECK_FALSE(job.plot(0, idOf(job, "J1", "k")));
}

TEST_CASE("a function of the sheet that was called is written out with its arguments put in") {
    Desk desk("job T\nmember A = trial\n", "sheet trial\ngiven L = 4 m\ngiven h_0 = 100 mm\ntable us by n\nn, f\na, 1\nb, 3\nend\neach u in us\n"
                                           "define h(x [m]) = h_0 + 0.1*x -- depth -- drawing\ndefine g(x [m], k) = if(k > 2, 2*h(x), h(x)/2)\n"
                                           "derive a [mm] = h(L) + h(L/2) + h(L)\nderive b [mm] = g(L, u.f)\nderive c [mm] = largest(h(x), x from 0 m to L)\n"
                                           "derive d [mm^2] = integral(h(x)/1, x from 0 m to 1 mm)\ncheck e: a <= h(L)\n");
    Job& job = desk.open();
    job.calculate();
    REQUIRE(told(job) == "");
    const Working a = workingOf(job, "A", "a");
    CHECK(meaning::plain(a.putIn) == "500 mm + 300 mm + 500 mm");
    REQUIRE(a.asides.size() == 2); // the same arguments once
    CHECK(a.asides[0].name == "h(x = 4 m)");
    CHECK(a.asides[0].what == "depth");
    CHECK(a.asides[0].source == "drawing");
    CHECK(meaning::plain(a.asides[0].symbol) == "h(x)");
    CHECK(meaning::plain(a.asides[0].formula) == "h_0 + 0.1·x");
    CHECK(meaning::plain(a.asides[0].putIn) == "100 mm + 0.1·4 m");
    CHECK(a.asides[0].shown == "500 mm");
    CHECK(a.asides[1].name == "h(x = 2 m)");
    CHECK(a.asides[1].shown == "300 mm");
    // Functions that call others: outer ones first; the branch taken is that of this call.
    const Working b = workingOf(job, "A", "b", 1);
    REQUIRE(b.asides.size() == 2);
    CHECK(b.asides[0].name == "g(x = 4 m, k = 3)");
    CHECK(b.asides[0].shown == "1000 mm");
    CHECK(meaning::plain(b.asides[0].putIn).find("not taken: ") != std::string::npos);
    CHECK(b.asides[1].name == "h(x = 4 m)");
    CHECK(workingOf(job, "A", "b", 0).asides[0].shown == "250 mm");
    // Along a range: at the place that governs; an integral has no one place.
    const Working c = workingOf(job, "A", "c");
    REQUIRE(c.asides.size() == 1);
    CHECK(c.asides[0].name == "h(x = 4 m)");
    CHECK(workingOf(job, "A", "d").asides.empty());
    CHECK(workingOf(job, "A", "e").asides.size() == 1);
}
