// SPDX-License-Identifier: MIT
#include <algorithm>
#include <cmath>

#include "tests/engine/job/support.h"

using namespace spanwright;
using namespace spanwright::job;
using namespace spanwright::job::tests;

namespace {
const std::string kSheet = R"(sheet   trial
title   Curves
table   loads by load
load, Q
rest, 1
rush, 2
end
ask     w [kN/m]
given   L = 4 m
given   EI [kN*m^2] = 1000 kN*m^2
each    c in loads
beam    B from 0 m to L
        stiffness EI
        support 0 m, L
        load Q line w
end
derive  area [kN*m] = integral(c.Q*w*x, x from 0 m to L)
derive  M [kN*m] = largest(c.Q*w*x*(L - x)/2, x from 0 m to L)
derive  x_M [m] = where_largest(w*x*(L - x)/2, x from 0 m to L)
derive  plain [kN] = w*L
derive  summed [kN*m] = largest(integral(c.Q*w*x, x from 0 m to L), over c)
check   bending: M <= 50 kN*m
)";
} // namespace

TEST_CASE("the curve behind an integral or a search, with the place that was found") {
    Desk desk("job T\nmember J1 = trial\n with w = 3 kN/m\n", kSheet);
    Job& job = desk.open();
    const auto of = [&](const char* name, std::optional<std::size_t> c = {}) { return job.curves(0, idOf(job, "J1", name), c); };

    const auto area = of("area");
    REQUIRE(area.size() == 1);
    CHECK(area[0].filled);
    CHECK(!area[0].place);
    CHECK(area[0].xUnit == "m");
    CHECK(area[0].xName == "x");
    REQUIRE(area[0].curves.size() == 1);
    CHECK(area[0].x.front() == 0.0);
    CHECK(area[0].x.back() == 4.0);
    // The governing case, rush: 2*3*4 kN at the end.
    CHECK(area[0].curves[0].label == "rush");
    CHECK(area[0].curves[0].y.back() == doctest::Approx(24.0));
    CHECK(of("area", 0)[0].curves[0].y.back() == doctest::Approx(12.0));

    const auto most = of("M");
    REQUIRE(most.size() == 1);
    CHECK(!most[0].filled);
    REQUIRE(most[0].place);
    CHECK(*most[0].place == doctest::Approx(2.0).epsilon(1e-6));
    CHECK(most[0].yUnit == "kN·m");
    CHECK(*std::max_element(most[0].curves[0].y.begin(), most[0].curves[0].y.end()) == doctest::Approx(12.0));

    const auto where = of("x_M");
    REQUIRE(where.size() == 1);
    CHECK(*where[0].place == doctest::Approx(2.0).epsilon(1e-6));
    // No curve: plain formulas; and where a sum over cases would need many.
    CHECK(of("plain").empty());
    CHECK(of("summed").empty());
    CHECK(of("w").empty());
}

TEST_CASE("a beam's diagrams by action, in agreement with statics") {
    Desk desk("job T\nmember J1 = trial\n with w = 3 kN/m\n", kSheet);
    Job& job = desk.open();
    const auto all = job.curves(0, idOf(job, "J1", "B"));
    REQUIRE(all.size() == 3);
    for (const PlotView& p : all) {
        REQUIRE(p.curves.size() == 1);
        CHECK(p.curves[0].label == "Q");
        CHECK(p.xUnit == "m");
    }
    // w*L^2/8, w*L/2, 5*w*L^4/(384*EI): statics of a simple span.
    const auto largest = [](const PlotView& p) {
        double out = 0;
        for (double y : p.curves[0].y) out = std::max(out, std::fabs(y));
        return out;
    };
    CHECK(all[0].yUnit == "kN·m");
    CHECK(largest(all[0]) == doctest::Approx(3.0 * 16 / 8));
    CHECK(all[1].yUnit == "kN");
    CHECK(largest(all[1]) == doctest::Approx(6.0));
    CHECK(all[2].yUnit == "mm");
    CHECK(largest(all[2]) == doctest::Approx(1000 * 5.0 * 3 * 256 / (384 * 1000)));
}

TEST_CASE("without a value there is no curve") {
    Desk desk("job T\nmember J1 = trial\n", kSheet);
    Job& job = desk.open();
    for (const char* name : {"area", "M", "B", "bending"}) CHECK(job.curves(0, idOf(job, "J1", name)).empty());
}
