// SPDX-License-Identifier: MIT
#include "tests/engine/job/support.h"

using namespace spanwright;
using namespace spanwright::job;
using namespace spanwright::job::tests;

namespace {
MemberView one(const std::string& sheet, const std::string& with = "") {
    Desk desk("job T\nmember J1 = trial\n" + with, sheet);
    return member(desk.open(), "J1");
}
} // namespace

TEST_CASE("verdicts have their words") {
    CHECK(verdictText(Verdict::Ok) == "OK");
    CHECK(verdictText(Verdict::Fails) == "FAILS");
    CHECK(verdictText(Verdict::NotProven) == "NOT PROVEN");
    CHECK(verdictText(Verdict::NotComputed) == "NOT COMPUTED");
}

TEST_CASE("OK, FAILS and the slack of 1e-9") {
    // capacity 4 kN*m; L^2/8 = 1.62 m^2
    CHECK(one(kTrial, " with w_d = 2 kN/m\n").verdict == Verdict::Ok);
    const MemberView fails = one(kTrial, " with w_d = 2.5 kN/m\n");
    CHECK(fails.verdict == Verdict::Fails);
    CHECK(fails.reasons == std::vector<std::string>{"`bending` fails: utilisation 1.01"});
    REQUIRE(fails.governing);
    CHECK(fails.checks[*fails.governing].utilisation == doctest::Approx(2.5 * 1.62 / 4));
    CHECK(fails.checks[0].leftShown == "4.05 kN·m");
    CHECK(fails.checks[0].rightShown == "4 kN·m");
    const std::string bare = "sheet trial\nask a\ncheck c: a <= 1\n";
    CHECK(one(bare, " with a = 1\n").verdict == Verdict::Ok);
    CHECK(one(bare, " with a = 1.0000000009\n").verdict == Verdict::Ok);
    CHECK(one(bare, " with a = 1.0000000011\n").verdict == Verdict::Fails);
    CHECK(one(bare, " with a = 1.0000000011\n").reasons.at(0) != "`c` fails: utilisation 1.00");
}

TEST_CASE("checks may be written either way round") {
    const std::string sheet = "sheet trial\nask f [Hz]\ncheck slow: f >= 8 Hz\ncheck quick: f < 20 Hz\n";
    const MemberView m = one(sheet, " with f = 10 Hz\n");
    CHECK(m.verdict == Verdict::Ok);
    CHECK(m.checks[0].name == "slow"); // governs: 8/10 > 10/20
    CHECK(m.checks[0].utilisation == doctest::Approx(0.8));
    CHECK(m.checks[1].utilisation == doctest::Approx(0.5));
    CHECK(one(sheet, " with f = 7 Hz\n").verdict == Verdict::Fails);
    CHECK(one(sheet, " with f = 21 Hz\n").verdict == Verdict::Fails);
}

TEST_CASE("the governing check comes first, then as they stand") {
    const MemberView m = one("sheet trial\ngiven a = 1\ncheck c1: a <= 4\ncheck c2: a <= 2\ncheck c3: a <= 1.5\ncheck c4: a <= 8\n");
    std::vector<std::string> names;
    for (const auto& c : m.checks) names.push_back(c.name);
    CHECK(names == std::vector<std::string>{"c3", "c1", "c2", "c4"});
    CHECK(m.governing == std::optional<std::size_t>(0));
}

TEST_CASE("what is not stated is not proven") {
    const MemberView m = one(kTrial);
    CHECK(m.verdict == Verdict::NotProven);
    CHECK(m.reasons == std::vector<std::string>{"`w_d` is not stated"});
    CHECK(m.checks[0].state == CheckView::State::NotComputed);
    CHECK(m.checks[0].reason == "not computed, because of w_d, which is not stated");
    CHECK(one(kTrial, " with w_d = ?\n").verdict == Verdict::NotProven);
    // An ask that no check reads is missing all the same.
    CHECK(one("sheet trial\nask a\ngiven b = 1\ncheck c: b <= 2\n").verdict == Verdict::NotProven);
    // A failing check outranks it.
    CHECK(one("sheet trial\nask a\ngiven b = 3\ncheck c: b <= 2\n").verdict == Verdict::Fails);
    // An error outranks both.
    CHECK(one("sheet trial\nask a\ngiven b = 3\ncheck c: b <= 2\nderive d = 1/(b - b)\n").verdict == Verdict::NotComputed);
}

TEST_CASE("a requirement that is not met, no check, no capacity: not proven, in words") {
    const std::string glue =
        "sheet trial\ntable glues by kind\nkind, class [text]\nresorcinol, structural\npva, \"not structural\"\nend\nchoose glue = resorcinol from glues\n"
        "given a = 1\nrequire bond: glue.class == \"structural\" -- carries load for the life of the house\ncheck c: a <= 2\n";
    CHECK(one(glue).verdict == Verdict::Ok);
    const MemberView weak = one(glue, " with glue = pva\n");
    CHECK(weak.verdict == Verdict::NotProven);
    CHECK(weak.reasons == std::vector<std::string>{"`bond` does not hold (carries load for the life of the house)"});
    const MemberView none = one("sheet trial\ngiven a = 1\nrequire r: a > 0\n");
    CHECK(none.verdict == Verdict::NotProven);
    CHECK(joined(none.reasons) == "the sheet has no check");
    for (const char* capacity : {"0", "-1"}) {
        const MemberView zero = one("sheet trial\ngiven a = -2\ngiven r = " + std::string(capacity) + "\ncheck c: a <= r\n");
        CHECK(zero.verdict == Verdict::NotProven);
        CHECK(zero.checks[0].state == CheckView::State::NotProven);
        CHECK_FALSE(zero.checks[0].utilisation);
        CHECK(zero.reasons.at(0) == "`c` is not proven: the capacity is " + std::string(capacity) + ", and nothing is carried by zero or less");
    }
}

TEST_CASE("a check holds when it holds in every case, and names the governing one") {
    const std::string sheet = "sheet trial\ntable uls by n\nn, G, Q\n1, 1.35, 0\n2, 1.35, 1.5\n3, 1.0, 1.5\nend\neach c in uls\ngiven g = 1 kN\nask q [kN]\n"
                              "derive E [kN] = c.G*g + c.Q*q\ncheck load: E <= 5 kN\n";
    const MemberView m = one(sheet, " with q = 2 kN\n");
    CHECK(m.verdict == Verdict::Ok);
    REQUIRE(m.checks[0].cases.size() == 3);
    CHECK(m.checks[0].governingLabel == "c 2");
    CHECK(m.checks[0].governingCase == 1);
    CHECK(m.checks[0].utilisation == doctest::Approx(4.35 / 5));
    CHECK(m.checks[0].cases[2].utilisation == doctest::Approx(0.8));
    const MemberView over = one(sheet, " with q = 3 kN\n");
    CHECK(over.verdict == Verdict::Fails);
    CHECK(over.checks[0].cases[0].state == CheckView::State::Passes);
    CHECK(over.checks[0].cases[1].state == CheckView::State::Fails);
    CHECK(over.reasons.at(0) == "`load` fails: utilisation 1.17 in case c 2");
}

TEST_CASE("a part that is off takes its checks away, and a list without rows too") {
    const std::string sheet = "sheet trial\ngiven notch = 0 mm\ngiven a = 1\ncheck c: a <= 2\npart Notch only if notch > 0 mm\ncheck n: a <= 0.5\n";
    const MemberView off = one(sheet);
    CHECK(off.verdict == Verdict::Ok);
    CHECK(off.checks[1].state == CheckView::State::NotApplicable);
    CHECK(off.checks[1].reason == "stands in a part that does not apply");
    CHECK(one(sheet, " with notch = 5 mm\n").verdict == Verdict::Fails);
    const MemberView only = one("sheet trial\ngiven notch = 0 mm\ngiven a = 1\npart Notch only if notch > 0 mm\ncheck n: a <= 2\n");
    CHECK(only.verdict == Verdict::NotProven);
    CHECK(joined(only.reasons) == "no check of the sheet applies");
    const MemberView empty = one("sheet trial\ngiven a = 1\nlist loads\nat [m], P [kN]\nend\neach p in loads\ncheck c: a <= 2\ncheck l: p.P <= 2 kN\n");
    CHECK(empty.verdict == Verdict::Ok);
    CHECK(empty.checks[1].state == CheckView::State::NotApplicable);
    CHECK(empty.checks[1].reason == "no rows in loads");
}

TEST_CASE("assumptions are the defaults that nobody stated, and what the sheet assumes") {
    const MemberView m = one(kTrial + "assume The deck holds the edge.\n", " with w_d = 2 kN/m\n with M_R = 5 kN*m\n");
    REQUIRE(m.assumptions.size() == 2);
    CHECK(m.assumptions[0].name == "L");
    CHECK(m.assumptions[0].what == "span");
    CHECK(m.assumptions[0].shown == "3.6 m");
    CHECK_FALSE(m.assumptions[1].id.valid());
    CHECK(m.assumptions[1].shown == "The deck holds the edge.");
}

TEST_CASE("an error anywhere in a sheet leaves open what it was meant to check") {
    const MemberView m = one(kTrial + "chekc shear: L <= 1 m\n", " with w_d = 2 kN/m\n");
    CHECK(m.verdict == Verdict::NotComputed);
    CHECK(m.reasons.at(0) == "`shear`: `chekc` is no kind of row");
    // Also where the row that is wrong has no value of its own, and where the job's own row is.
    const MemberView use = one(kTrial + "table t by k\nk, a\nx, 1, 2\nend\n", " with w_d = 2 kN/m\n");
    CHECK(use.verdict == Verdict::NotComputed);
    CHECK(use.reasons.at(0).find("the sheet has 1 error: ") == 0);
    const MemberView misspelt = one(kTrial, " with w_d = 2 kN/m\n wiht L = 9 m\n");
    CHECK(misspelt.verdict == Verdict::NotComputed);
    CHECK(misspelt.reasons.at(0) == "`wiht` is no kind of row");
}

TEST_CASE("section and span for the schedule") {
    const MemberView m =
        one(kTrial + "given b = 45 mm\ngiven h = 220 mm\nschedule section = b by h\nschedule span = L\n", " with w_d = 2 kN/m\n with L = 11 ft\n");
    CHECK(m.sectionShown == "45 × 220 mm");
    CHECK(m.spanShown == "3.353 m");
}

TEST_CASE("the worst member is the job's verdict") {
    Desk desk("job T\nmember J1 = trial\n with w_d = 2 kN/m\nmember J2 = trial\n");
    CHECK(desk.open().verdict() == Verdict::NotProven);
    CHECK(desk.job->exitStatus() == 3);
    Desk both("job T\nmember J1 = trial\n with w_d = 9 kN/m\nmember J2 = trial\n");
    CHECK(both.open().verdict() == Verdict::Fails);
    Desk none("job T\n");
    CHECK(none.open().verdict() == Verdict::NotProven);
    Desk tick("job T\nmember J1 = trial\n with w_d = 2 kN/m\ntick J1.M_dd by AB on 2026-05-04 letters AAA-BBB-CCC\n");
    CHECK(tick.open().verdict() == Verdict::NotComputed);
    CHECK(tick.job->diagnostics().at(0).code == diag::Code::TickBroken);
    CHECK(tick.job->diagnostics().at(0).mend == "did you mean `M_d`?");
}

TEST_CASE("what is taken from a member that is not proven proves nothing") {
    // Loads without layers come out as zero, and a joist that carries zero passes.
    Desk desk("job T\ngiven more = A1.g\nmember A1 = loads\nmember J1 = trial\n with w_d = A1.g*(1 m) + 0.1 (kN/m)\nmember J2 = trial\n"
              " with w_d = J1.R_d/(1 m)\nmember J3 = trial\n with w_d = more*(1 m) + 0.1 (kN/m)\nmember J4 = trial\n with w_d = 1 kN/m\n");
    desk.files.files["work/loads.spansheet"] = "sheet loads\ngiven g = 0 kN/m^2\ngiven p = 1\ngiven seen = 0\nrequire layers: seen == 1\n"
                                               "check plain: p <= 2\n";
    Job& job = desk.open();
    REQUIRE(member(job, "A1").verdict == Verdict::NotProven);
    for (const char* mark : {"J1", "J2", "J3"}) {
        CAPTURE(mark);
        CHECK(check(job, mark, "bending").state == CheckView::State::Passes);
        CHECK(member(job, mark).verdict == Verdict::NotProven);
        CHECK(member(job, mark).reasons == std::vector<std::string>{"it takes values from A1, where `layers` does not hold"});
    }
    CHECK(member(job, "J4").verdict == Verdict::Ok);
    // No value that the joists take changes, and yet they are proven now; and back again.
    REQUIRE(job.setValue("A1", "seen", "1").ok());
    for (const char* mark : {"J1", "J2", "J3"}) CHECK(member(job, mark).verdict == Verdict::Ok);
    CHECK(job.verdict() == Verdict::Ok);
    REQUIRE(job.setValue("A1", "p", "3").ok());
    CHECK(member(job, "A1").verdict == Verdict::Fails);
    for (const char* mark : {"J2", "J1", "J3"}) {
        CHECK(member(job, mark).verdict == Verdict::NotProven);
        CHECK(member(job, mark).reasons == std::vector<std::string>{"it takes values from A1, where `plain` fails: utilisation 1.50"});
    }
    // Its own failure outweighs that of others, and is what is told.
    REQUIRE(job.setValue("J1", "w_d", "3 kN/m").ok());
    CHECK(member(job, "J1").verdict == Verdict::Fails);
    CHECK(member(job, "J2").reasons == std::vector<std::string>{"`bending` fails: utilisation 2.19"});
    REQUIRE(job.setValue("J2", "w_d", "J1.R_d/(9 m)").ok());
    CHECK(member(job, "J2").reasons == std::vector<std::string>{"it takes values from J1, where `bending` fails: utilisation 1.22"});
}
