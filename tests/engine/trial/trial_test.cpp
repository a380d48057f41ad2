// SPDX-License-Identifier: MIT
#include "engine/trial/trial.h"

#include <cmath>

#include "tests/engine/trial/bench.h"

using namespace spanwright;
using namespace spanwright::trial;
using namespace spanwright::trial::tests;

namespace {

Fill values(std::vector<double> x) {
    return [x = std::move(x)](std::size_t first, std::size_t count, double* const* out) {
        for (std::size_t i = 0; i < count; ++i) out[0][i] = x[first + i];
    };
}

} // namespace

TEST_CASE("closed forms at every point, verdicts with them") {
    const Desk desk(kOneJoist);
    auto made = Trial::of(*desk.job, {{"J1", "h"}}, {{"J1", "M"}, {"J1", "u"}, {"J1", "bending"}});
    REQUIRE(made);
    const Trial& t = made.value();
    std::vector<double> h;
    for (int i = 0; i < 1000; ++i) h.push_back(0.1 + 0.0003 * i);
    const Results r = t.run(h.size(), values(h), {});
    REQUIRE(r.points == h.size());
    for (std::size_t i = 0; i < h.size(); ++i) {
        const double u = 5 * 2000.0 * 256 / (384 * 11e9 * 0.06 * h[i] * h[i] * h[i] / 12);
        const double bending = 4000.0 / (0.06 * h[i] * h[i] / 6) / 14.77e6;
        CHECK(r.shown[0][i] == doctest::Approx(4000).epsilon(1e-14));
        CHECK(r.shown[1][i] == doctest::Approx(u).epsilon(1e-13));
        CHECK(r.shown[2][i] == doctest::Approx(bending).epsilon(1e-13));
        const bool passes = bending <= 1 + 1e-9 && u / (4.0 / 300) <= 1 + 1e-9;
        CHECK((r.verdicts[i] == Verdict::Ok) == passes);
    }
}

TEST_CASE("varying goes through links into other members, and through the job's own givens") {
    const Desk desk(kCarried);
    auto made = Trial::of(*desk.job, {{"", "load"}}, {{"P1", "N"}});
    REQUIRE(made);
    const Trial& t = made.value();
    CHECK(t.members().size() == 2);
    const Results r = t.run(3, values({1000, 2000, 4000}), {});
    CHECK(r.shown[0] == Column<double>{6000, 12000, 24000});
    CHECK(r.members[1] == Column<Verdict>{Verdict::Ok, Verdict::Ok, Verdict::Fails});
    CHECK(r.verdicts[2] == Verdict::Fails);
    // The post does not notice a depth, so it is not reached.
    auto depth = Trial::of(*desk.job, {{"J1", "h"}}, {{"P1", "N"}});
    REQUIRE(depth);
    CHECK(depth.value().members().size() == 1);
    CHECK(depth.value().run(1, values({0.3}), {}).shown[0][0] == 12000);
}

TEST_CASE("points that cannot be computed are marked, and the others stand") {
    const std::string sheet = "sheet joist\ntable t by k\nk, v\n1, 10\n2, 20\n3, 40\nend\ngiven k = 2 from 0 to 9\ngiven d = 1\nask q\n"
                              "derive v = interpolate(t.v, k)\nderive x = q/(k - 2.5)\ncheck c: v <= 30\ncheck e: x <= 1000\n";
    const Desk desk("job S\nmember J1 = joist\nwith q = 1\n", sheet);
    auto made = Trial::of(*desk.job, {{"J1", "k"}}, {{"J1", "v"}, {"J1", "x"}});
    REQUIRE(made);
    const Results r = made.value().run(6, values({1, 2, 2.5, 3, 3.5, 10}), {});
    CHECK(r.shown[0][0] == 10);
    CHECK(r.shown[0][2] == 30);
    CHECK(std::isnan(r.shown[0][4])); // past the edge of the table
    CHECK(std::isnan(r.shown[1][2])); // division by zero
    CHECK(std::isnan(r.shown[1][5])); // outside the limits of its row
    CHECK(r.verdicts == Column<Verdict>{Verdict::Ok, Verdict::Ok, Verdict::NotComputed, Verdict::Fails, Verdict::NotComputed, Verdict::NotComputed});
    const Passed passed = made.value().passing(6, values({1, 2, 2.5, 3, 3.5, 10}), {});
    CHECK(passed.passes == std::vector<char>{1, 1, 0, 0, 0, 0});
    // What is told of many points at once is told of each.
    const std::vector<double> k{1, 2, 2.5, 3, 3.5, 10};
    const std::vector<Detail> details = made.value().details(6, values(k), {});
    for (std::size_t i = 0; i < k.size(); ++i) {
        const Detail alone = made.value().detail({k[i]});
        CHECK(details[i].verdict == r.verdicts[i]);
        CHECK(details[i].reasons == alone.reasons);
        REQUIRE(details[i].checks.size() == alone.checks.size());
        for (std::size_t c = 0; c < alone.checks.size(); ++c) {
            CHECK(details[i].checks[c].check == alone.checks[c].check);
            CHECK(details[i].checks[c].state == alone.checks[c].state);
            CHECK(details[i].checks[c].utilisation == alone.checks[c].utilisation);
        }
    }
    // Each point has its own reason, whatever was worked out before.
    REQUIRE(details[2].reasons.size() == 1);
    REQUIRE(details[4].reasons.size() == 1);
    CHECK(details[2].reasons != details[4].reasons);
    CHECK(details[4].reasons.front().starts_with("v: "));
}

TEST_CASE("nothing is OK by accident") {
    const auto at = [](const std::string& job, const std::string& sheet, double v) {
        const Desk desk(job, sheet);
        auto made = Trial::of(*desk.job, {{"J1", "a"}}, {});
        REQUIRE(made);
        const Verdict verdict = made.value().run(1, values({v}), {}).verdicts[0];
        CHECK((made.value().passing(1, values({v}), {}).passes[0] != 0) == (verdict == Verdict::Ok));
        return verdict;
    };
    const std::string job = "job S\nmember J1 = joist\n";
    CHECK(at(job, "sheet joist\ngiven a = 1\ncheck c: a <= 2\n", 1.5) == Verdict::Ok);
    CHECK(at(job, "sheet joist\ngiven a = 1\nask q\ncheck c: a <= 2\n", 1.5) == Verdict::NotProven);
    CHECK(at(job, "sheet joist\ngiven a = 1\nask q\ncheck c: a*q <= 2\n", 1.5) == Verdict::NotProven);
    CHECK(at(job, "sheet joist\ngiven a = 1\nrequire r: a > 2\ncheck c: a <= 2\n", 1.5) == Verdict::NotProven);
    CHECK(at(job, "sheet joist\ngiven a = 1\nrequire r: 1 > 2\ncheck c: a <= 2\n", 1.5) == Verdict::NotProven);
    CHECK(at(job, "sheet joist\ngiven a = 1\ncheck c: a <= 2 - a\n", 2.5) == Verdict::NotProven);                 // no capacity
    CHECK(at(job, "sheet joist\ngiven a = 1\nderive d = a\n", 1) == Verdict::NotProven);                          // no check
    CHECK(at(job, "sheet joist\ngiven a = 1\npart P only if a > 2\ncheck c: a <= 9\n", 1) == Verdict::NotProven); // none applies
    CHECK(at(job, "sheet joist\ngiven a = 1\npart P only if a > 2\ncheck c: a <= 9\n", 3) == Verdict::Ok);
    CHECK(at(job, "sheet joist\ngiven a = 1\nderive e = 1/0\ncheck c: a <= 9\n", 3) == Verdict::NotComputed);
    CHECK(at(job + "with zz = 1\n", "sheet joist\ngiven a = 1\ncheck c: a <= 9\n", 3) == Verdict::NotComputed);
    CHECK(at(job, "sheet joist\ngiven a = 1 from 0 to 2\ncheck c: a <= 9\n", 3) == Verdict::NotComputed);
}

TEST_CASE("a run can be cancelled, and tells how far it is") {
    const Desk desk(kOneJoist);
    auto made = Trial::of(*desk.job, {{"J1", "h"}}, {});
    REQUIRE(made);
    const Fill fill = [](std::size_t, std::size_t count, double* const* out) { std::fill_n(out[0], count, 0.24); };
    std::size_t calls = 0;
    const Results r = made.value().run(100'000, fill, {.threads = 1, .progress = [&](std::size_t done, std::size_t total) {
                                                           CHECK(done <= total);
                                                           return ++calls < 3;
                                                       }});
    CHECK(r.cancelled);
    CHECK(calls == 3);
    CHECK(r.verdicts[0] != Verdict::NotComputed);
    CHECK(r.verdicts.back() == Verdict::NotComputed); // what was not reached is not known
    CHECK(std::isnan(r.utilisation.back()));
    CHECK(r.members[0].back() == Verdict::NotComputed);
    for (std::size_t i = 0; i < r.points; ++i) REQUIRE((r.verdicts[i] == Verdict::NotComputed) == std::isnan(r.utilisation[i]));
    calls = 0;
    const Passed passed = made.value().passing(100'000, fill, {.threads = 1, .progress = [&](std::size_t, std::size_t) { return ++calls < 3; }});
    CHECK(passed.cancelled);
    CHECK(passed.passes[0] != 0);
    CHECK(passed.passes.back() == 0);
}

TEST_CASE("a closer look names what does not pass and why") {
    const Desk desk(kOneJoist);
    auto made = Trial::of(*desk.job, {{"J1", "h"}}, {});
    REQUIRE(made);
    const Detail d = made.value().detail({0.12});
    CHECK(d.verdict == Verdict::Fails);
    REQUIRE(!d.checks.empty());
    CHECK(made.value().checks()[d.checks.front().check].name == "sag");
    CHECK(*d.checks.front().utilisation > 2);
}

TEST_CASE("rows of a list that come from another member, and rows that count or not, vary with the point") {
    const std::string sheet = "sheet joist\nlist parts by k\nk, P [kN]\na, 1\nb, 2\nend\ngiven least [kN] = 1.5 kN\neach p in parts only if p.P > "
                              "least\nderive most [kN] = if(count(true, over p) > 0, largest(p.P, over p), 0 kN)\n"
                              "derive n = count(true, over p)\nderive twice [kN] = 2*p.P\ncheck c: most <= 6 kN\ncheck e: twice <= 10 kN\n";
    Desk desk("job S\ngiven load = 3 kN\nmember J1 = joist\nlist parts\nk, P\na, load\nb, load/2\nc, 2\nend\n", sheet);
    REQUIRE_MESSAGE(desk.job->diagnostics().empty(), desk.job->diagnostics().front().message);
    for (const ValueName& name : {ValueName{"", "load"}, ValueName{"J1", "least"}}) {
        auto made = Trial::of(*desk.job, {name}, {{"J1", "most"}, {"J1", "n"}, {"J1", "twice"}});
        REQUIRE_MESSAGE(made, made.error().message);
        const std::vector<double> x{500, 1500, 2500, 4000, 5200, 7000};
        const Results r = made.value().run(x.size(), values(x), {}), one = made.value().runOneByOne(x.size(), values(x));
        CHECK(r.verdicts == one.verdicts);
        const Passed passed = made.value().passing(x.size(), values(x), {});
        for (std::size_t i = 0; i < x.size(); ++i) {
            CHECK((passed.passes[i] != 0) == (r.verdicts[i] == Verdict::Ok));
            Desk fresh("job S\ngiven load = 3 kN\nmember J1 = joist\nlist parts\nk, P\na, load\nb, load/2\nc, 2\nend\n", sheet);
            const std::string text = std::to_string(x[i]) + " N";
            REQUIRE((name.mark.empty() ? fresh.job->setJobGiven(name.name, text) : fresh.job->override(name.mark, name.name, text)));
            INFO(name.name, " = ", text);
            CHECK(r.verdicts[i] == fresh.job->verdict());
            const auto number = [&](const char* row) {
                const meaning::Quantity* q = fresh.job->sheet(0).find(row);
                const eval::Value& v = fresh.job->value(0, q->id);
                double most = std::nan("");
                for (std::size_t k = 0; k < (q->axes.empty() ? 1 : v.many.size()) && v.known(); ++k)
                    if (k == 0 || v.data()[k] > most) most = v.data()[k];
                return most;
            };
            const char* const rows[] = {"most", "n", "twice"};
            for (std::size_t s = 0; s < 3; ++s) {
                const double is = r.shown[s][i], want = number(rows[s]);
                CHECK((is == want || (std::isnan(is) && std::isnan(want))));
            }
        }
    }
}

TEST_CASE("at points where a member does not pass, nobody who takes values from it is OK") {
    Desk desk("job Shed\nmember J1 = joist\nwith w = 2 kN/m\nmember P1 = post\nwith N = 3*J1.R\n");
    auto made = Trial::of(*desk.job, {{"J1", "L"}}, {{"J1", "bending"}});
    REQUIRE(made);
    const Trial& t = made.value();
    REQUIRE(t.members().size() == 2);
    std::vector<double> lengths;
    for (int i = 0; i < 300; ++i) lengths.push_back(2.0 + 0.02 * i);
    const Results r = t.run(lengths.size(), values(lengths), {});
    const Passed passed = t.passing(lengths.size(), values(lengths), {});
    const Passed bad = t.passing(lengths.size(), values(lengths), {}, {Verdict::Fails, Verdict::Ok});
    std::size_t spread = 0;
    for (std::size_t i = 0; i < lengths.size(); ++i) {
        REQUIRE(desk.job->setValue("J1", "L", std::to_string(lengths[i]) + " m").ok());
        for (std::size_t m = 0; m < 2; ++m) CHECK(r.members[m][i] == desk.job->member(m).verdict);
        CHECK((passed.passes[i] != 0) == (r.members[0][i] == Verdict::Ok && r.members[1][i] == Verdict::Ok));
        // The post alone being OK is not enough while the joist, which may fail here, does.
        CHECK((bad.passes[i] != 0) == (r.members[1][i] == Verdict::Ok));
        if (r.members[0][i] == Verdict::Fails && r.members[1][i] == Verdict::NotProven) ++spread;
    }
    CHECK(spread > 0);
}

TEST_CASE("checks that take little go first, whatever the order of the sheet, and nobody passes by it") {
    // The last check takes the most; points fail some of them, all of them, or cannot be computed half way.
    const std::string sheet = "sheet joist\ngiven a = 1\ngiven n = 3\n"
                              "derive far = largest(sin(x)*a, x from 0 to 3)\nderive area = integral(exp(-x)*a, x from 0 to 2)\n"
                              "check costly: far + area <= 3\ncheck more: largest(x*a, x from 0 to 2) <= 5\n"
                              "derive half = sqrt(a - 0.2)\ncheck cheap: a <= 2.2\nrequire whole: a*n > 1\n"
                              "derive nobody = 1/(a - 1.5)\ncheck back: 1/a >= 0.4\n";
    const Desk desk("job S\nmember J1 = joist\n", sheet);
    REQUIRE(desk.job->diagnostics().empty());
    auto made = Trial::of(*desk.job, {{"J1", "a"}}, {});
    REQUIRE(made);
    std::vector<double> a;
    for (int i = 0; i < 2000; ++i) a.push_back(0.0015 * i);
    a[1000] = 1.5;
    const Results r = made.value().run(a.size(), values(a), {});
    std::size_t count[4] = {};
    for (const unsigned threads : {1U, 2U}) {
        const Passed passed = made.value().passing(a.size(), values(a), {.threads = threads, .progress = {}});
        for (std::size_t i = 0; i < a.size(); ++i) {
            REQUIRE((passed.passes[i] != 0) == (r.verdicts[i] == Verdict::Ok));
            if (passed.passes[i] != 0) REQUIRE(passed.most[i] == r.utilisation[i]);
            ++count[static_cast<std::size_t>(r.verdicts[i])];
        }
    }
    for (const std::size_t n : count) CHECK(n > 0); // every verdict was among them
    CHECK(r.verdicts[1000] == Verdict::NotComputed);
}
