// SPDX-License-Identifier: MIT
#include "engine/trial/reach.h"

#include <cmath>
#include <numbers>
#include <thread>

#include "engine/trial/mends.h"
#include "engine/trial/vary.h"
#include "tests/engine/trial/bench.h"

using namespace spanwright;
using namespace spanwright::trial;
using namespace spanwright::trial::tests;

namespace {

/// sag governs: L^3 = 384 E I/(5*300 w)
double longest(double w, double b, double h, double e) { return std::cbrt(384 * e * b * h * h * h / 12 / (1500 * w)); }

} // namespace

TEST_CASE("a range to its end, on the passing side, with the check that ends it") {
    const Desk desk(kOneJoist);
    const auto r = reach(*desk.job, {.over = "J1.L", .aim = Aim::Largest, .until = {}, .within = {}, .by = {}, .samples = 400}, {});
    REQUIRE(r);
    const double exact = longest(2000, 0.06, 0.24, 11e9);
    REQUIRE(r.value().answer);
    CHECK(*r.value().answer <= exact);
    CHECK(exact - *r.value().answer < 0.001); // rounded down to a millimetre
    CHECK(r.value().stretches.front().to == doctest::Approx(exact).epsilon(1e-6));
    CHECK(r.value().ownRange);
    CHECK(r.value().stops.front().find("sag") == 0);
    const auto small = reach(*desk.job, {.over = "J1.h from 100 mm to 400 mm", .aim = Aim::Smallest, .until = {}, .within = {}, .by = {}, .samples = 400}, {});
    REQUIRE(small);
    CHECK(*small.value().answer == doctest::Approx(0.2088).epsilon(1e-12));
    CHECK(small.value().answerWritten == "208.8 mm");
}

TEST_CASE("how far a value can go, on a thread of its own while the job is edited and gone") {
    auto desk = std::make_unique<Desk>(kOneJoist);
    auto made = Trial::of(*desk->job, {{"J1", "h"}}, {});
    auto table = planVary(*desk->job, {.over = {"J1.h from 160 mm to 260 mm by 20 mm"}, .show = {}, .aim = {}, .reach = {}, .samples = 200});
    REQUIRE(made);
    REQUIRE(table);
    const auto own = ownRange(made.value().varied()[0]);
    REQUIRE(own);
    CHECK(own->limits);
    HowFar far;
    VaryTable rows;
    REQUIRE(desk->job->setValue("J1", "h", "300 mm"));
    std::thread other([&] {
        far = howFar(made.value(), {own->from, own->to, 100, 1e-6}, {});
        rows = vary(table.value(), {});
    });
    desk.reset();
    other.join();
    REQUIRE(far.around);
    CHECK(far.stretches[*far.around].from == doctest::Approx(0.20872).epsilon(1e-4));
    CHECK(far.stretches[*far.around].opensHigh);
    REQUIRE(far.stopsLow.size() == 1);
    CHECK(far.stopsLow.front().find("sag") == 0);
    CHECK(far.stopsHigh.empty());
    CHECK(rows.results.points == 6);
    CHECK(rows.boundaries.size() == 1);
}

TEST_CASE("an end that stands on a round value, or on the present one, is found to the last bit") {
    const std::string sheet =
        "sheet joist\ngiven a = 4 deg from 0 deg to 60 deg\ngiven b = 3.1415926 m from 1 m to 9 m\ncheck c: a <= 5 deg\ncheck d: b >= 3.1415926 m\n";
    const Desk desk("job S\nmember J1 = joist\nwith a = 5 deg\n", sheet);
    REQUIRE(desk.job->verdict() == job::Verdict::Ok);
    const auto largest = reach(*desk.job, {.over = "J1.a", .aim = Aim::Largest, .until = {}, .within = {}, .by = {}, .samples = 400}, {});
    REQUIRE(largest);
    CHECK(*largest.value().answer == std::numbers::pi / 36.0);
    CHECK(largest.value().stops.size() == 1);
    // The present value is neither round nor beyond what passes.
    const auto plan = planFar(*desk.job, "J1.b");
    REQUIRE(plan);
    const Far far = farOf(plan.value(), {});
    REQUIRE(far.far.stretches.size() == 1);
    CHECK(far.far.around == 0);
    // One that does not pass, a hair beyond the end, stays outside.
    const Desk beyond("job S\nmember J1 = joist\nwith b = 3.14159 m\n", sheet);
    const auto other = planFar(*beyond.job, "J1.b");
    REQUIRE(other);
    const Far out = farOf(other.value(), {});
    REQUIRE(out.far.stretches.size() == 1);
    CHECK_FALSE(out.far.around);
    CHECK(out.far.stretches[0].from > 3.14159);
}

TEST_CASE("several stretches are all reported") {
    const Desk desk("job S\nmember J1 = joist\n", "sheet joist\ngiven x = 1 from 0 to 10\nderive y = 0.7 + sin(x)\ncheck c: y <= 1.2\n");
    const auto r = reach(*desk.job, {.over = "J1.x", .aim = Aim::Largest, .until = {}, .within = {}, .by = {}, .samples = 400}, {});
    REQUIRE(r);
    CHECK(r.value().stretches.size() == 3); // up to pi/6, from 5/6 pi to 13/6 pi, from 17/6 pi on
    CHECK(r.value().atEnd);
    CHECK(*r.value().answer == 10.0);
}

TEST_CASE("choices in their order and by a formula") {
    const Desk desk("job Shed\nmember J1 = joist\nwith w = 2.2 kN/m\n");
    const auto r = reach(*desk.job, {.over = "J1.grade", .aim = Aim::Smallest, .until = {}, .within = {}, .by = {}, .samples = 400}, {});
    REQUIRE(r);
    CHECK(r.value().answerShown == "C18");
    const auto list =
        reach(*desk.job, {.over = "J1.h in 300 mm, 180 mm, 220 mm", .aim = Aim::Smallest, .until = {}, .within = {}, .by = {}, .samples = 400}, {});
    REQUIRE(list);
    CHECK(list.value().answerShown == "220 mm");
    CHECK(list.value().options.front().label == "180 mm");
    const auto cost =
        reach(*desk.job, {.over = "J1.h in 300 mm, 180 mm, 220 mm", .aim = Aim::Smallest, .until = {}, .within = {}, .by = "1 m - h", .samples = 400}, {});
    REQUIRE(cost);
    CHECK(cost.value().answerShown == "300 mm"); // the least of 1 m - h
    CHECK(cost.value().options.front().label == "300 mm");
    CHECK_FALSE(reach(*desk.job, {.over = "J1.h in 300 mm", .aim = Aim::Smallest, .until = {}, .within = {}, .by = "nothing*2", .samples = 400}, {}));
}

TEST_CASE("choices in the order of a formula over fields of their rows") {
    // Sections that are dearer the stiffer they are, but for one that is cheap for its size.
    const std::string sheet = "sheet joist\ntable sections by name\nname, b [mm], h [mm], price, what [text]\nsmall, 45, 195, 500, \"s\"\n"
                              "odd, 60, 240, 300, \"o\"\nlarge, 60, 240, 600, \"l\"\nend\n"
                              "table grades by grade\ngrade, E [N/mm^2], price\nC24, 11000, 2\nC30, 12000, 3\nend\n"
                              "given w = 2 kN/m\ngiven L = 4 m\nchoose section = small from sections\nchoose grade = C24 from grades\n"
                              "derive I [mm^4] = section.b*section.h^3/12\ncheck sag: 5*w*L^4/(384*grade.E*I) <= L/300\n";
    const Desk desk("job S\nmember J1 = joist\nmember J2 = joist\nwith grade = C30\n", sheet);
    const auto by = [&](const std::string& formula, const std::string& mark = "J1") {
        return reach(*desk.job, {.over = mark + ".section", .aim = Aim::Smallest, .until = {}, .within = {}, .by = formula, .samples = 400}, {});
    };
    // price by the m³ times the section: 500 x 45 x 195, 300 x 60 x 240, 600 x 60 x 240 mm²; J1 needs 60 x 240.
    for (const char* formula : {"price*b*h", "section.price*section.b*section.h"}) {
        const auto r = by(formula);
        REQUIRE_MESSAGE(r.ok(), (r.ok() ? "" : r.error().message));
        REQUIRE(r.value().options.size() == 3);
        CHECK(r.value().options[0].label == "odd");
        CHECK(*r.value().options[0].order == doctest::Approx(300 * 0.060 * 0.240));
        CHECK(r.value().options[1].label == "small");
        CHECK(*r.value().options[1].order == doctest::Approx(500 * 0.045 * 0.195));
        CHECK(*r.value().options[2].order == doctest::Approx(600 * 0.060 * 0.240));
        CHECK(r.value().answerShown == "odd");
    }
    // Rows and fields together; the field of a choice that stands as it is.
    CHECK(*by("price*I").value().options[0].order == doctest::Approx(500 * 0.045 * std::pow(0.195, 3) / 12));
    CHECK(*by("grade.price*price", "J2").value().options[0].order == doctest::Approx(3 * 300));
    // A row goes before a column of the same name; texts and what is not there are refused.
    CHECK_FALSE(by("what*2").ok());
    CHECK_FALSE(by("section.what").ok());
    CHECK_FALSE(by("section.nothing").ok());
    CHECK_FALSE(by("nothing.price").ok());
    CHECK_FALSE(by("price + h").ok()); // a number and a length
}

TEST_CASE("until a quantity has a value: every place that has it, no jump past it") {
    const Desk desk("job S\nmember J1 = joist\n",
                    "sheet joist\ngiven x = 1 from 0 to 10\nderive y = (x - 3)^2\nderive z = if(x > 5, 2, 0)\ncheck c: y <= 100\n");
    const auto r = reach(*desk.job, {.over = "J1.x", .aim = Aim::Until, .until = "J1.y=4", .within = {}, .by = {}, .samples = 400}, {});
    REQUIRE(r);
    REQUIRE(r.value().stretches.size() == 2);
    CHECK(*r.value().answer == doctest::Approx(1).epsilon(1e-9));
    CHECK(r.value().stretches[1].from == doctest::Approx(5).epsilon(1e-9));
    const auto jump = reach(*desk.job, {.over = "J1.x", .aim = Aim::Until, .until = "J1.z=1", .within = {}, .by = {}, .samples = 400}, {});
    REQUIRE(jump);
    CHECK_FALSE(jump.value().answer);
    CHECK(jump.value().reasons.front().find("jumps past 1") != std::string::npos);
}

TEST_CASE("single changes that make a failing member pass") {
    const Desk desk("job Shed\nmember J1 = joist\nwith w = 4 kN/m\nmember P1 = post\nwith N = J1.R\n");
    REQUIRE(desk.job->member(0).verdict == job::Verdict::Fails);
    const Mends m = mendsFor(*desk.job, 0, {}, {});
    CHECK(m.notLooked.empty());
    std::string all;
    for (const Mend& x : m.mends) all += x.text + "; ";
    INFO(all);
    REQUIRE(m.mends.size() == 4);
    // The least change first; w L^3/(b h^3) must fall by a third; no grade is enough.
    CHECK(m.mends[0].text == "L <= 3.65 m");
    CHECK(m.mends[1].text == "h >= 263 mm");
    const double h = std::cbrt(1500 * 4000.0 * 64 / 384 / 11e9 / 0.06 * 12);
    CHECK(std::stod(m.mends[1].written) / 1000 >= h);
    CHECK(std::stod(m.mends[1].written) / 1000 - h < 1e-4);
    CHECK(all.find("b >= 78.") != std::string::npos);
    CHECK(all.find("L <= 3.") != std::string::npos);
    CHECK(all.find("w <= 3.0") != std::string::npos);
    REQUIRE(m.noHelp.size() == 1);
    CHECK(m.noHelp[0].find("grade") == 0);
    CHECK(mendsFor(*desk.job, 1, {}, {}).mends.empty()); // it does not fail
    // Each one, stated, does what it says.
    for (const Mend& x : m.mends) {
        Desk fresh("job Shed\nmember J1 = joist\nwith w = 4 kN/m\n");
        REQUIRE(fresh.job->setValue("J1", x.name.name, x.written));
        CHECK(fresh.job->member(0).verdict == job::Verdict::Ok);
    }
    for (const Mend& x : m.mends) CHECK(x.reached == job::Verdict::Ok);
    // With hardly any work allowed it says what it left out.
    const Mends few = mendsFor(*desk.job, 0, {.work = 10, .samples = 64}, {});
    CHECK(few.mends.empty());
    CHECK(few.notLooked.size() == 5);
}

TEST_CASE("a default that the sheet works out is no change to be made") {
    // A span that follows its opening; where it is held, as far apart as it spans until somebody says otherwise.
    const std::string sheet = "sheet joist\nask L_o [m] from 0.3 m to 8 m\ngiven L [m] = L_o + 0.1 m from 0.3 m to 9 m\ngiven a [m] = L from 0.1 m to 9 m\n"
                              "check c: L + a <= 4 m\n";
    const auto named = [&](const std::string& with) {
        const Desk desk("job S\nmember J1 = joist\nwith L_o = 2 m\n" + with, sheet);
        REQUIRE(desk.job->member(0).verdict == job::Verdict::Fails);
        std::string all;
        for (const Mend& x : mendsFor(*desk.job, 0, {}, {}).mends) all += x.text + "; ";
        return all;
    };
    CHECK(named("") == "L_o <= 1.9 m; a <= 1.9 m; ");
    CHECK(named("with L = 2.2 m\n") == "L <= 2 m; a <= 1.8 m; ");
}

TEST_CASE("a change that leaves a member unproven says so, and stands behind those that do not") {
    const std::string sheet = "sheet joist\ngiven h = 100 mm from 50 mm to 400 mm\ngiven b = 100 mm from 50 mm to 400 mm\ngiven a = 2 m from 0.1 m to 4 m\n"
                              "require slender: a <= 10*b\ncheck c: 20000 (mm^2) <= b*h\n";
    const Desk desk("job S\nmember J1 = joist\n", sheet);
    REQUIRE(desk.job->member(0).verdict == job::Verdict::Fails);
    const Mends m = mendsFor(*desk.job, 0, {}, {});
    REQUIRE(m.mends.size() == 2);
    CHECK(m.mends[0].text == "b >= 200 mm"); // which is thick enough as well
    CHECK(m.mends[0].reached == job::Verdict::Ok);
    CHECK(m.mends[1].text == "h >= 200 mm");
    CHECK(m.mends[1].reached == job::Verdict::NotProven);
    for (const Mend& x : m.mends) {
        Desk fresh("job S\nmember J1 = joist\n", sheet);
        REQUIRE(fresh.job->setValue("J1", x.name.name, x.written));
        CHECK(fresh.job->member(0).verdict == x.reached);
    }
}

TEST_CASE("a mend that would make another member worse is none") {
    const Desk desk(
        "job Shed\nmember J1 = joist\nwith w = 2 kN/m\nwith h = 150 mm\nwith L = 4 m\nmember P1 = post\nwith N = (J1.h/(1 m))*100*(1 kN)\nwith N_R = 20 kN\n");
    REQUIRE(desk.job->member(0).verdict == job::Verdict::Fails);
    for (const Mend& m : mendsFor(*desk.job, 0, {}, {}).mends) CHECK(m.name.name != "h"); // 209 mm would be too much for P1
}

TEST_CASE("a table of largest spans equals the closed form") {
    const Desk desk(kOneJoist);
    const auto t = vary(
        *desk.job,
        {.over = {"J1.h in 160 mm, 200 mm, 240 mm", "J1.grade", "J1.w in 1 kN/m, 2 kN/m"}, .show = {}, .aim = Aim::Largest, .reach = "J1.L", .samples = 200},
        {});
    REQUIRE(t);
    REQUIRE(t.value().results.points == 18);
    const double e[] = {9e9, 11e9, 12e9}, f[] = {11e6, 14.77e6, 18.46e6};
    for (std::size_t i = 0; i < 18; ++i) {
        const auto at = t.value().indices(i);
        const double h = t.value().axes[0].values[at[0]], w = t.value().axes[2].values[at[2]];
        const double sag = longest(w, 0.06, h, e[at[1]]), bending = std::sqrt(8 * f[at[1]] * 0.06 * h * h / 6 / w);
        CHECK(t.value().reached[i].answer == doctest::Approx(std::min(sag, bending)).epsilon(1e-6));
        CHECK(t.value().reachedStops[i] == (sag < bending ? "sag" : "bending"));
    }
}

TEST_CASE("a value that its sheet holds to whole numbers is looked for among them") {
    // 4 kN a screw; n must be whole by a requirement, k by a count of pieces, r is a number like any other.
    const std::string sheet =
        "sheet joist\ntable deals by k\nk, v\na, 1\nend\nchoose deal = a from deals\ngiven n = 5 from 1 to 12\ngiven k = 1 from 1 to 40\ngiven r = 2.5 from 1 "
        "to 7\nask P [kN]\n"
        "given half = 1 from 0 to 9\ngiven apart = 2 from 1 to 9\n"
        "require whole_n: n > 0 and floor(n) == n\nrequire some: r == floor(r) or r > 0\npart X only if P > 1000 kN\nrequire later: apart == "
        "floor(apart)\npart Y\n"
        "piece plate = k off, 10 mm by 20 mm by 1 m from deal\npiece lath = 2*half off, 10 mm by 20 mm by 1 m from deal\n"
        "check screws: P <= 4 kN*n*k*r/2.5\ncheck few: n*half*apart/2 <= 9.5\n";
    const Desk desk("job S\nmember J1 = joist\nwith P = 27 kN\n", sheet);
    REQUIRE_MESSAGE(desk.job->diagnostics().empty(), desk.job->diagnostics().front().message);
    for (const auto& [name, whole] : {std::pair{"n", true}, {"k", true}, {"r", false}, {"half", false}, {"apart", false}}) {
        auto made = Trial::of(*desk.job, {{"J1", name}}, {});
        REQUIRE(made);
        INFO(name);
        CHECK(made.value().varied()[0].whole == whole);
    }
    const auto ask = [&](const std::string& over, Aim aim, const std::string& until = {}) {
        return reach(*desk.job, {.over = over, .aim = aim, .until = until, .within = {}, .by = {}, .samples = 400}, {});
    };
    const auto least = ask("J1.n", Aim::Smallest), most = ask("J1.n", Aim::Largest);
    REQUIRE(least);
    REQUIRE(most);
    REQUIRE(least.value().answer);
    CHECK(*least.value().answer == 7.0); // 6.75 screws
    CHECK(least.value().answerWritten == "7");
    CHECK(least.value().beyond == 6.0);
    CHECK(least.value().stops == std::vector<std::string>{"screws 1.13"});
    CHECK(least.value().looked == 12);
    CHECK(*most.value().answer == 9.0);
    CHECK(most.value().beyond == 10.0);
    CHECK(most.value().stops.front().starts_with("few 1.05"));
    // Ends between whole numbers are drawn in; a range without one is refused, and so is one with too many.
    const auto inner = ask("J1.n from 2.5 to 8.5", Aim::Largest);
    REQUIRE(inner);
    CHECK(inner.value().from == 3.0);
    CHECK(*inner.value().answer == 8.0);
    CHECK(inner.value().atEnd);
    CHECK_FALSE(ask("J1.n from 2.2 to 2.8", Aim::Largest));
    CHECK_FALSE(ask("J1.n from 1 to 100000", Aim::Largest));
    CHECK_FALSE(ask("J1.n", Aim::Smallest, "screws=1").value().until.has_value());
    // Until: 27 kN are 0.75 of nine screws' load; no whole number is at 1 of it.
    const auto until = ask("J1.n", Aim::Until, "J1.screws=0.75");
    REQUIRE(until);
    REQUIRE(until.value().answer);
    CHECK(*until.value().answer == 9.0);
    CHECK(until.value().looked == 12);
    const auto between = ask("J1.n", Aim::Until, "J1.screws=1");
    REQUIRE(between);
    CHECK_FALSE(between.value().answer);
    REQUIRE(between.value().reasons.size() == 1);
    CHECK(between.value().reasons.front() == "`J1.n` takes whole numbers only: `J1.screws` is 1.125 at 6 and 0.9643 at 7");
    const auto beyond = ask("J1.n", Aim::Until, "J1.screws=0.1");
    REQUIRE(beyond);
    CHECK_FALSE(beyond.value().answer);
    REQUIRE(beyond.value().reasons.size() == 1);
    CHECK(beyond.value().reasons.front().starts_with("`J1.screws` lies between"));
    const auto one = ask("J1.n from 6.5 to 7.5", Aim::Largest);
    REQUIRE(one);
    CHECK(*one.value().answer == 7.0);
    // How far it goes, and what would do.
    auto far = planFar(*desk.job, "J1.k");
    REQUIRE(far);
    const Far found = farOf(far.value(), {});
    REQUIRE(found.far.stretches.size() == 1);
    CHECK(found.far.stretches[0].from == 2.0); // 1.35
    CHECK(found.far.stretches[0].opensHigh);
    CHECK(found.far.looked == 40);
    const Mends mends = mendsFor(*desk.job, 0, {}, {});
    bool said = false;
    for (const Mend& m : mends.mends) {
        if (m.name.name == "n") CHECK(m.text == "n from 7 to about 9");
        if (m.name.name == "k") CHECK(m.text == "k >= 2");
        said = said || m.name.name == "n";
    }
    CHECK(said);
    // A table: the boundary lies between two whole numbers, and a check is named, not the requirement.
    const auto table = vary(*desk.job, {.over = {"J1.n from 1 to 12 by 1"}, .show = {}, .aim = {}, .reach = {}, .samples = 200}, {});
    REQUIRE(table);
    REQUIRE(table.value().boundaries.size() == 2);
    CHECK(table.value().boundaries[0].at == 7.0);
    CHECK(table.value().boundaries[0].stops == std::vector<std::string>{"screws"});
    CHECK(table.value().boundaries[1].at == 9.0);
    const auto cells = vary(*desk.job, {.over = {"J1.r in 1.5, 2.5, 3.5"}, .show = {}, .aim = Aim::Smallest, .reach = "J1.n", .samples = 200}, {});
    REQUIRE(cells);
    CHECK(cells.value().reachedShown == std::vector<std::string>{"", "7", "5"}); // 11.25: too many for the other check; 6.75; 4.8
}

TEST_CASE("a job's own value is looked for among whole numbers where a member that takes it as it is must have one") {
    const std::string sheet =
        "sheet joist\ngiven n = 5 from 1 to 12\ngiven m = 1 from 0 to 40\nask P [kN]\nrequire whole_n: floor(n) == n\ncheck screws: P <= 4 kN*n*m\n"
        "part Later only if P > 1000 kN\ngiven late = 1 from 0 to 40\nrequire whole_late: floor(late) == late\n";
    const Desk desk(
        "job S\ngiven rows = 5\ngiven twice = 2\ngiven loose = 1\ngiven seldom = 1\nmember J1 = joist\nwith P = 27 kN\nwith n = rows\nwith m = loose\n"
        "with late = seldom\nmember J2 = joist\nwith P = 27 kN\nwith n = 2*twice\nmember J3 = joist\nwith P = 1 kN\nwith n = J1.n\n",
        sheet);
    REQUIRE_MESSAGE(desk.job->diagnostics().empty(), desk.job->diagnostics().front().message);
    for (const auto& [name, whole] : {std::pair{"rows", true}, {"twice", false}, {"loose", false}, {"seldom", false}}) {
        auto made = Trial::of(*desk.job, {{"", name}}, {});
        REQUIRE(made);
        INFO(name);
        CHECK(made.value().varied()[0].whole == whole);
    }
    const auto least = reach(*desk.job, {.over = "rows from 1 to 12", .aim = Aim::Smallest, .until = {}, .within = {}, .by = {}, .samples = 400}, {});
    REQUIRE(least);
    REQUIRE(least.value().answer);
    CHECK(*least.value().answer == 7.0); // 6.75 screws
    CHECK(least.value().beyond == 6.0);
    CHECK(least.value().looked == 12);
}
