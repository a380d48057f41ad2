// SPDX-License-Identifier: MIT
// What is worked out after an edit, and rings through members.
#include <algorithm>
#include <set>

#include "tests/engine/job/support.h"

using namespace spanwright;
using namespace spanwright::job;
using namespace spanwright::job::tests;

namespace {

const std::string kTwo = R"(job T
given   s = 400 mm
member  J1 = trial
        with w_d = 2 kN/m
member  H1 = trial
        with w_d = J1.R_d/(4 m)
        with L = 2*s + 2.8 m
)";

std::set<std::string> logged(const Job& job) { return {job.log().begin(), job.log().end()}; }

} // namespace

TEST_CASE("only what lies downstream of an edit is worked out, in order") {
    Desk desk(kTwo);
    Job& job = desk.open();
    job.keepLog(true);
    CHECK(job.calculate() == 2 * 6 + 1);
    CHECK(job.calculate() == 0);
    REQUIRE(job.setValue("J1", "M_R", "5 kN*m").ok());
    CHECK(job.calculate() == 2);
    CHECK(job.log() == std::vector<std::string>{"J1.M_R", "J1.bending"});
    REQUIRE(job.setValue("J1", "w_d", "2.1 kN/m").ok());
    job.calculate();
    CHECK(logged(job) == std::set<std::string>{"J1.w_d", "J1.M_d", "J1.R_d", "J1.bending", "H1.w_d", "H1.M_d", "H1.R_d", "H1.bending"});
    CHECK(job.log().front() == "J1.w_d");
    REQUIRE(job.setJobGiven("s", "450 mm").ok());
    job.calculate();
    CHECK(logged(job) == std::set<std::string>{"s", "H1.L", "H1.M_d", "H1.R_d", "H1.bending"});
}

TEST_CASE("a row that comes out equal stops the wave") {
    const std::string sheet = "sheet trial\nask a [mm]\nderive b = round(a/(1 mm))\nderive c = b + 1\ncheck d: c <= 100\n";
    Desk desk("job T\nmember J1 = trial\n with a = 7.1 mm\n", sheet);
    Job& job = desk.open();
    job.keepLog(true);
    job.calculate();
    REQUIRE(job.setValue("J1", "a", "7.2 mm").ok());
    job.calculate();
    CHECK(job.log() == std::vector<std::string>{"J1.a", "J1.b"});
    REQUIRE(job.setValue("J1", "a", "0.72 cm").ok()); // the same value, written otherwise
    job.calculate();
    CHECK(job.log() == std::vector<std::string>{"J1.a"});
    REQUIRE(job.setValue("J1", "a", "9 mm").ok());
    job.calculate();
    CHECK(job.log() == std::vector<std::string>{"J1.a", "J1.b", "J1.c", "J1.d"});
}

TEST_CASE("a literal of a single sheet is edited in its text without working out the rest") {
    Desk desk("");
    desk.files.files["work/trial.spansheet"] =
        "sheet trial\ngiven a [m] = 3.6 m -- span\ngiven b = 2 m\nderive c [m] = a + b\nderive d [m] = 2*b\ncheck e: c <= 9 m\n";
    Job& job = desk.openSheet();
    job.keepLog(true);
    job.calculate();
    REQUIRE(job.setValue("trial", "a", "410 cm").ok());
    CHECK(job.calculate() == 3);
    CHECK(job.log() == std::vector<std::string>{"a", "c", "e"});
    CHECK(job.text("work/trial.spansheet") ==
          "sheet trial\ngiven a [m] = 410 cm -- span\ngiven b = 2 m\nderive c [m] = a + b\nderive d [m] = 2*b\ncheck e: c <= 9 m\n");
    CHECK(shown(job, "trial", "c") == "6.1 m");
    CHECK(row(job, "trial", "a").assumed);
    CHECK_FALSE(row(job, "trial", "a").stated);
    CHECK(meaning::plain(job.working(0, idOf(job, "trial", "a")).formula) == "410 cm");
    CHECK(job.calculate() == 0);
    // The unit shown is that of the literal where none is declared: then the sheet is read anew.
    REQUIRE(job.setValue("trial", "b", "2500 mm").ok());
    CHECK(shown(job, "trial", "b") == "2500 mm");
    CHECK(shown(job, "trial", "c") == "6.6 m");
    CHECK(job.filesTouched() == std::vector<std::string>{"work/trial.spansheet"});
}

TEST_CASE("rows that need each other are told once, with the path; the rest is computed") {
    const std::string sheet =
        "sheet trial\ngiven x = 1 m\nderive a [m] = c + x\nderive b [m] = a\nderive c [m] = b/2\nderive d [m] = c\nderive e [m] = 2*x\ncheck k: e <= 3 m\n";
    Desk desk("job T\nmember J1 = trial\nmember J2 = trial\n", sheet);
    const Job& job = desk.open();
    const auto all = job.diagnostics();
    REQUIRE(all.size() == 1);
    CHECK(all[0].code == diag::Code::Cycle);
    CHECK(all[0].message == "rows need each other in a ring: a -> c -> b -> a");
    CHECK(all[0].place.file == "work/trial.spansheet");
    CHECK(all[0].place.row == 2);
    for (const char* name : {"a", "b", "c"}) CHECK(row(job, "J1", name).state == eval::State::Failed);
    CHECK(row(job, "J1", "d").state == eval::State::Blocked);
    CHECK(shown(job, "J1", "e") == "2 m");
    CHECK(check(job, "J1", "k").state == CheckView::State::Passes);
    CHECK(member(job, "J1").verdict == Verdict::NotComputed);
}

TEST_CASE("rings through members name the members") {
    Desk desk("job T\nmember J1 = trial\n with w_d = H1.R_d/(1 m)\nmember H1 = trial\n with w_d = J1.R_d/(1 m)\nmember K1 = trial\n with w_d = H1.R_d/(1 "
              "m)\nmember K2 = trial\n with w_d = 1 kN/m\n");
    Job& job = desk.open();
    const auto all = job.diagnostics();
    REQUIRE(all.size() == 1);
    CHECK(all[0].code == diag::Code::Cycle);
    CHECK(all[0].message == "rows need each other in a ring: J1.w_d -> H1.R_d -> H1.w_d -> J1.R_d -> J1.w_d");
    CHECK(all[0].place.file == "work/job.spanjob");
    CHECK(all[0].place.row == 2);
    CHECK(row(job, "K1", "w_d").reason == "not computed, because of H1.R_d, which could not be computed");
    CHECK(shown(job, "J1", "L") == "3.6 m");
    CHECK(member(job, "K2").verdict == Verdict::Ok);
    CHECK(member(job, "K1").verdict == Verdict::NotComputed);
    // Taking one link out mends it, and only that.
    REQUIRE(job.setValue("H1", "w_d", "1 kN/m").ok());
    CHECK(job.diagnostics().empty());
    CHECK(shown(job, "J1", "w_d") == "1.8 kN/m");
    // An edit that would close it again is refused and changes nothing.
    const auto before = job.text("work/job.spanjob");
    const auto refused = job.setValue("H1", "w_d", "J1.R_d/(1 m)");
    REQUIRE_FALSE(refused.ok());
    CHECK(refused.error().code == diag::Code::Cycle);
    CHECK(refused.error().message == "rows would need each other in a ring: J1.R_d is worked out from H1.w_d");
    CHECK(job.text("work/job.spanjob") == before);
    CHECK(job.calculate() == 0);
}

TEST_CASE("a stated value cuts a ring of defaults") {
    const std::string sheet = "sheet trial\ngiven a [m] = b\ngiven b [m] = a\ncheck c: a <= 2 m\n";
    Desk desk("job T\nmember J1 = trial\n with a = 1 m\nmember J2 = trial\n", sheet);
    const Job& job = desk.open();
    CHECK(member(job, "J1").verdict == Verdict::Ok);
    CHECK(shown(job, "J1", "b") == "1 m");
    CHECK(row(job, "J2", "a").state == eval::State::Failed);
}

TEST_CASE("a ring of 5,000 rows and a chain of 60,000") {
    std::string ring = "sheet trial\n";
    for (int i = 0; i < 5000; ++i) ring += "derive a" + std::to_string(i) + " = a" + std::to_string((i + 1) % 5000) + " + 1\n";
    Desk desk("", ring + "given b = 1\ncheck c: b <= 2\n");
    const Job& job = desk.openSheet();
    std::size_t cycles = 0;
    for (const auto& d : job.diagnostics()) {
        REQUIRE(d.code == diag::Code::Cycle);
        ++cycles;
        CHECK(d.message.find("a0 -> a1 -> ") != std::string::npos);
        CHECK(d.message.find(" more)") != std::string::npos);
        CHECK(d.message.size() < 500);
    }
    CHECK(cycles == 1);
    CHECK(check(job, "trial", "c").state == CheckView::State::Passes);

    std::string chain = "sheet trial\n";
    for (int i = 0; i < 60000; ++i) chain += "derive a" + std::to_string(i) + " = a" + std::to_string(i + 1) + "\n";
    Desk ask("", chain + "ask a60000\ncheck c: a0 <= 2\n");
    Job& open = ask.openSheet();
    CHECK(row(open, "trial", "a0").reason == "not computed, because of a60000, which is not stated");
    REQUIRE(open.override("trial", "a60000", "1").ok());
    CHECK(open.calculate() == 60002);
    CHECK(open.verdict() == Verdict::Ok);
}

TEST_CASE("loading tells how far it has come, in members and then in rows") {
    Desk desk("job T\nmember J1 = trial\n with w_d = 2 kN/m\nmember J2 = trial\n");
    std::vector<Progress> told;
    desk.job = Job::open(desk.files, "work/job.spanjob", {.library = "library", .cancelled = {}, .progress = [&](const Progress& p) { told.push_back(p); }});
    REQUIRE(told.size() == 2);
    CHECK(told[1].stage == Progress::Stage::Reading);
    CHECK(told[1].done == 1);
    CHECK(told[1].all == 2);
    desk.job->calculate();
    REQUIRE(told.size() == 3);
    CHECK(told[2].stage == Progress::Stage::Calculating);
    CHECK(told[2].all >= 12);
}

TEST_CASE("given up between two rows, the rest stands as it was and is worked out next time") {
    Desk desk("job T\nmember J1 = trial\n with w_d = 2 kN/m\n");
    int left = 1'000'000;
    desk.job = Job::open(desk.files, "work/job.spanjob", {.library = "library", .cancelled = [&] { return left-- <= 0; }});
    Job& job = *desk.job;
    job.calculate();
    CHECK(shown(job, "J1", "M_d") == "3.24 kN·m");
    REQUIRE(job.setValue("J1", "w_d", "3 kN/m").ok());
    left = 2;
    job.hold(true);
    CHECK(job.calculate() == 2);
    CHECK(shown(job, "J1", "w_d") == "3 kN/m");
    CHECK(shown(job, "J1", "R_d") == "3.6 kN"); // of before
    left = 1'000'000;
    CHECK(job.calculate() > 0);
    CHECK(shown(job, "J1", "R_d") == "5.4 kN");
    CHECK(shown(job, "J1", "M_d") == "4.86 kN·m");
    CHECK(check(job, "J1", "bending").state == CheckView::State::Fails);
}

TEST_CASE("held, edits are read in and nothing is worked out") {
    Desk desk("job T\nmember J1 = trial\n with w_d = 2 kN/m\n");
    Job& job = desk.open();
    job.calculate();
    job.hold(true);
    REQUIRE(job.setValue("J1", "w_d", "3 kN/m").ok());
    CHECK(shown(job, "J1", "M_d") == "3.24 kN·m");
    CHECK(!job.setValue("J1", "w_d", "3 kg").ok());
    REQUIRE(job.setText("work/job.spanjob", "job T\nmember J1 = trial\n with w_d = 3 kN/m\nmember J2 = trial\n with w_d = 2 kN/m\n").ok());
    CHECK(member(job, "J2").verdict != Verdict::Ok);
    job.hold(false);
    CHECK(shown(job, "J1", "M_d") == "4.86 kN·m");
    CHECK(member(job, "J2").verdict == Verdict::Ok);
}

TEST_CASE("what lies downstream of a value, also in other members") {
    Desk desk("job T\nmember J1 = trial\n with w_d = 2 kN/m\nmember J2 = trial\n with w_d = J1.R_d/J1.L\n");
    Job& job = desk.open();
    job.calculate();
    std::vector<std::string> names;
    for (const auto& [m, id] : job.downstream(0, idOf(job, "J1", "w_d"))) names.push_back(job.member(m).mark + "." + job.sheet(m).at(id).name);
    std::sort(names.begin(), names.end());
    CHECK(joined(names) == "J1.M_d; J1.R_d; J1.bending; J2.M_d; J2.R_d; J2.bending; J2.w_d");
}
