// SPDX-License-Identifier: MIT
// Cells of a member's list that are links: worked out, wired, told of and shown like any other link.
#include <doctest/doctest.h>

#include "engine/meaning/typeset.h"
#include "tests/engine/job/support.h"

using namespace spanwright;
using namespace spanwright::job;
using namespace spanwright::job::tests;

namespace {

const std::string kPoints = "sheet trial\nlist points by load\nload, at [m], P [kN] as characteristic, share\nend\neach p in points\n"
                            "given F [kN] as characteristic = 2 kN\ngiven F_d [kN] as design = 2 kN\ngiven L = 4 m\n"
                            "derive most [kN] as characteristic = sum(p.P, over p) + 0 kN\ncheck c: most <= 100 kN\n";

std::string points(const std::string& rows, const std::string& head = "load, at, P, share") {
    return "job T\ngiven k [kN] as characteristic = 3 kN\ngiven half = 0.5\nmember A = trial\nmember B = trial\n list points\n " + head + "\n" + rows +
           " end\n";
}

} // namespace

TEST_CASE("a cell of a list may be a link, and what it links to is worked out first") {
    Desk desk(points(" door, 1.2, A.F, 1\n window, 2, A.F/2 + k, half\n own, 3, 250 N, 0\n far, 1, \"max(A.F, 4 kN)\", 0\n"), kPoints);
    Job& job = desk.open();
    job.calculate();
    CHECK(told(job) == "");
    // 2 + (2/2 + 3) + 0.25 + 4 = 10.25 kN
    CHECK(shown(job, "B", "most") == "10.25 kN");
    // A cell that was worked out is shown as any value is; one that was stated, as it stands there.
    REQUIRE(job.setValue("A", "F", "1 kN").ok());
    REQUIRE(job.setJobGiven("k", "1.6554509770919996 kN").ok());
    job.calculate();
    const auto rows = job.value(*job.memberByMark("B"), idOf(job, "B", "points")).table;
    CHECK(rows->texts[2][0] == "1");
    CHECK(rows->texts[2][1] == "2.155");
    CHECK(rows->texts[2][2] == "250 N");
    CHECK(rows->cells[2][1] == doctest::Approx(2155.4509770919996).epsilon(1e-15));
    REQUIRE(job.setValue("A", "F", "2 kN").ok());
    REQUIRE(job.setJobGiven("k", "3 kN").ok());
    job.calculate();
    CHECK(job.member(*job.memberByMark("B")).readsMembers == std::vector<std::string>{"A"});
    CHECK(job.member(*job.memberByMark("A")).feedsMembers == std::vector<std::string>{"B"});
    job.keepLog(true);
    REQUIRE(job.setValue("A", "F", "6 kN").ok());
    job.calculate();
    CHECK(job.log() == std::vector<std::string>{"A.F", "B.points", "B.p", "B.most", "B.c"});
    CHECK(shown(job, "B", "most") == "18.25 kN"); // 6 + (3 + 3) + 0.25 + 6
    // What comes out equal goes no further.
    REQUIRE(job.setValue("A", "F", "6000 N").ok());
    job.calculate();
    CHECK(job.log() == std::vector<std::string>{"A.F"});
    REQUIRE(job.setJobGiven("half", "0.25").ok());
    job.calculate();
    const auto& table = *job.value(*job.memberByMark("B"), idOf(job, "B", "points")).table;
    CHECK(table.cells[3][1] == 0.25);
}

TEST_CASE("the head of a member's list may leave out what the sheet declares") {
    Desk full(points(" door, 1.2, 2, 1\n", "load [text], at [m], P [kN] as characteristic, share"), kPoints);
    Desk bare(points(" door, 1.2, 2, 1\n"), kPoints);
    Desk other(points(" 2000, door, 120, 1\n", "P [N], load, at [cm], share"), kPoints);
    for (Desk* d : {&full, &bare, &other}) {
        Job& job = d->open();
        job.calculate();
        CHECK(told(job) == "");
        CHECK(shown(job, "B", "most") == "2 kN");
    }
    Desk wrong(points(" door, 1.2, 2, 1\n", "load, at, P [kN] as design, share"), kPoints);
    Job& job = wrong.open();
    CHECK(told(job).find("the column `P` holds characteristic values in the sheet, not design values") != std::string::npos);
}

TEST_CASE("what is wrong with a cell is told at the cell") {
    const auto said = [](const std::string& cell) {
        Desk desk(points(" door, 1.2, " + cell + ", 1\n"), kPoints);
        Job& job = desk.open();
        job.calculate();
        CHECK(job.member(*job.memberByMark("B")).verdict == Verdict::NotComputed);
        return told(job);
    };
    const std::string unknown = said("A.G");
    CHECK(unknown.find("work/job.spanjob:8:15: error: the job has no value `A.G`") != std::string::npos);
    CHECK(unknown.find("in member B") != std::string::npos);
    CHECK(said("A.L").find("`P` must be in kN, and this is in m") != std::string::npos);
    CHECK(said("A.F_d").find("`P` wants a characteristic value, and this is a design value") != std::string::npos);
    CHECK(said("1.35*A.F").find("`P` wants a characteristic value") != std::string::npos);
    CHECK(said("X.F").find("the job has no member `X`") != std::string::npos);
    CHECK(said("A.F +").find("work/job.spanjob:8:") != std::string::npos);
    CHECK(said("2 m").find("`2 m` is in m") != std::string::npos);
    CHECK(said("A.F/0").find("division by zero") != std::string::npos);
    CHECK(said("B.most").find("rows need each other in a ring") != std::string::npos);
}

TEST_CASE("a cell that links to what is not stated waits, and says for what") {
    Desk desk(points(" door, 1.2, A.q, 1\n"), kPoints + "ask q [kN] as characteristic\n");
    Job& job = desk.open();
    job.calculate();
    CHECK(row(job, "B", "most").state == eval::State::Blocked);
    CHECK(row(job, "B", "most").reason.find("A.q") != std::string::npos);
    CHECK(job.member(*job.memberByMark("B")).verdict != Verdict::Ok);
}

TEST_CASE("the working of a list shows each linked cell with values put in") {
    Desk desk(points(" door, 1.2, A.F/2 + k, 1\n"), kPoints);
    Job& job = desk.open();
    job.calculate();
    const Working w = job.working(*job.memberByMark("B"), idOf(job, "B", "points"));
    REQUIRE(w.asides.size() == 1);
    CHECK(w.asides[0].name == "P of door");
    CHECK(meaning::plain(w.asides[0].formula) == "A.F/2 + k");
    CHECK(meaning::plain(w.asides[0].putIn) == "2 kN/2 + 3 kN");
    CHECK(w.asides[0].shown == "4 kN");
}

TEST_CASE("letters cover the formula of a cell and all that it reads") {
    const auto letters = [](const std::string& cell, const std::string& f) {
        Desk desk(points(" door, 1.2, " + cell + ", 1\n"), kPoints);
        Job& job = desk.open();
        job.calculate();
        REQUIRE(job.setValue("A", "F", f).ok());
        job.calculate();
        return job.working(*job.memberByMark("B"), idOf(job, "B", "most")).letters;
    };
    const std::string first = letters("A.F", "2 kN");
    CHECK(letters(" A.F ", "2000 N") == first);
    CHECK(letters("A.F", "3 kN").substr(4, 3) != first.substr(4, 3));
    CHECK(letters("A.F*1", "2 kN").substr(0, 3) != first.substr(0, 3));
}

TEST_CASE("a member that gets another mark is renamed in cells too") {
    Desk desk(points(" door, 1.2, A.F/2, 1\n"), kPoints);
    Job& job = desk.open();
    REQUIRE(job.renameMember("A", "J7").ok());
    job.calculate();
    CHECK(job.text(job.path())->find("door, 1.2, J7.F/2, 1") != std::string::npos);
    CHECK(shown(job, "B", "most") == "1 kN");
}

TEST_CASE("a name in a part and behind its otherwise is stated for both") {
    const std::string sheet = "sheet trial\ngiven n = 1\npart P only if n > 1\nask s [m]\notherwise\ngiven s [m] = 5 m from 1 m to 9 m\npart Q\n"
                              "derive t [m] = s + 1 m\ncheck c: t <= 100 m\n";
    Desk desk("job T\nmember A = trial\n with n = 2\nmember B = trial\n with s = 3 m\nmember C = trial\n with n = 2\n with s = 40 m\n"
              "member D = trial\n with s = 40 m\nmember E = trial\n with s = 2 m\n with s = 3 m\n",
              sheet);
    Job& job = desk.open();
    job.calculate();
    CHECK(row(job, "A", "t").state == eval::State::Blocked);
    CHECK(shown(job, "B", "t") == "4 m");
    CHECK(shown(job, "C", "t") == "41 m"); // the limits are those of the other side
    CHECK(told(job).find("s = 40 m is outside its range") != std::string::npos);
    const std::string all = told(job);
    const std::size_t twice = all.find("`s` is stated twice for E");
    REQUIRE(twice != std::string::npos);
    CHECK(all.find("`s` is stated twice", twice + 1) == std::string::npos);
    REQUIRE(job.setValue("A", "s", "7 m").ok());
    job.calculate();
    CHECK(shown(job, "A", "t") == "8 m");
    CHECK(!job.setValue("B", "s", "70 m").ok());
    REQUIRE(job.override("B", "s", "8 m").ok());
    job.calculate();
    CHECK(shown(job, "B", "t") == "9 m");
}
