// SPDX-License-Identifier: MIT
#include "tests/engine/job/support.h"

using namespace spanwright;
using namespace spanwright::job;
using namespace spanwright::job::tests;

namespace {

const std::string kSheet = R"(sheet   trial
title   Point loads on a beam of 4 m
list    loads by load
load, at [m], P [kN], kind [text]
own, 2.0, 1, G
end
each    l in loads
derive  M [kN*m] = sum(l.P*l.at*(4 m - l.at)/(4 m), over l)
check   bending: M <= 20 (kN*m)
)";
const std::string kJob = "job     T\nmember  B1 = trial\n        off   2\n        note  Loads as counted.\nmember  B2 = trial\n";

using Rows = std::vector<std::vector<std::string>>;

std::string text(const Job& job) { return job.text("work/job.spanjob").value_or(""); }
ListView list(const Job& job, const char* mark) { return *job.list(*job.memberByMark(mark), idOf(job, mark, "loads")); }

} // namespace

TEST_CASE("a list shows the sheet's rows until the job states its own") {
    Desk desk(kJob, kSheet);
    Job& job = desk.open();
    const ListView before = list(job, "B1");
    CHECK_FALSE(before.stated);
    CHECK(before.rows == Rows{{"own", "2.0", "1", "G"}});
    REQUIRE(before.columns.size() == 4);
    CHECK(before.columns[0].key);
    CHECK(before.columns[1].unit == "m");
    CHECK(before.columns[3].text);
    CHECK(shown(job, "B1", "M") == "1 kN·m"); // 1 kN in the middle of 4 m: P*L/4

    REQUIRE(job.setListRows("B1", "loads", {{"tank, full", "1", "3", "G"}, {"hoist", "2000 mm", "2", "Q"}}).ok());
    CHECK(text(job) == "job     T\nmember  B1 = trial\n        off   2\n        list  loads\n        load, at [m], P [kN], kind [text]\n"
                       "        \"tank, full\", 1, 3, G\n        hoist, 2000 mm, 2, Q\n        end\n        note  Loads as counted.\nmember  B2 = trial\n");
    CHECK(shown(job, "B1", "M") == "4.25 kN·m"); // 3*1*3/4 + 2*2*2/4
    CHECK(shown(job, "B2", "M") == "1 kN·m");
    CHECK(list(job, "B1").stated);
    CHECK(told(job).empty());
}

TEST_CASE("what a list's block says besides stands when rows change") {
    Desk desk("job     T\nmember  B1 = trial\n  list loads\n  # counted in May\n  P [N], load, at [mm], kind [text]\n  1000, a, 500, G\n  # the second\n  "
              "2000, b, 600, G\n  end\n",
              kSheet);
    Job& job = desk.open();
    CHECK(list(job, "B1").columns[1].unit == "mm");
    CHECK(list(job, "B1").rows == Rows{{"a", "500", "1000", "G"}, {"b", "600", "2000", "G"}});
    REQUIRE(job.setListRows("B1", "loads", {{"a", "500", "1000", "G"}, {"b", "700", "2000", "Q"}, {"c", "800", "10", "G"}}).ok());
    CHECK(text(job) ==
          "job     T\nmember  B1 = trial\n  list loads\n  # counted in May\n  P [N], load, at [mm], kind [text]\n  1000, a, 500, G\n  # the second\n"
          "  2000, b, 700, Q\n  10, c, 800, G\n  end\n");
    REQUIRE(job.setListRows("B1", "loads", {}).ok());
    CHECK(list(job, "B1").rows.empty());
    CHECK(list(job, "B1").stated);
    REQUIRE(job.takeBack("B1", "loads").ok());
    CHECK(text(job) == "job     T\nmember  B1 = trial\n");
    CHECK(list(job, "B1").rows == Rows{{"own", "2.0", "1", "G"}});
}

TEST_CASE("fields that do not fit are refused and nothing is changed") {
    Desk desk(kJob, kSheet);
    Job& job = desk.open();
    CHECK_FALSE(job.setListRows("B1", "loads", {{"a", "2 kg", "1", "G"}}).ok());
    CHECK_FALSE(job.setListRows("B1", "loads", {{"a", "1,200", "1", "G"}}).ok());
    CHECK_FALSE(job.setListRows("B1", "loads", {{"a", "", "1", "G"}}).ok());
    CHECK_FALSE(job.setListRows("B1", "loads", {{"a", "1", "1"}}).ok());
    CHECK_FALSE(job.setListRows("B1", "loads", {{"a", "1", "1", "G"}, {"a", "2", "1", "G"}}).ok());
    CHECK_FALSE(job.setListRows("B1", "loads", {{"a\nend", "1", "1", "G"}}).ok());
    CHECK_FALSE(job.setListRows("B1", "M", {}).ok());
    CHECK(text(job) == kJob);
    CHECK(shown(job, "B1", "M") == "1 kN·m");
    // Words that look like something else are still words.
    REQUIRE(job.setListRows("B1", "loads", {{"end", "1", "1", "with \"quotes\", and more"}, {"# 2", "2", "1", "member X = y"}}).ok());
    CHECK(list(job, "B1").rows == Rows{{"end", "1", "1", "with \"quotes\", and more"}, {"# 2", "2", "1", "member X = y"}});
    CHECK(told(job).empty());
}
