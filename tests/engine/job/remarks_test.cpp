// SPDX-License-Identifier: MIT
#include "tests/engine/job/support.h"

using namespace spanwright;
using namespace spanwright::job;
using namespace spanwright::job::tests;

namespace {

const std::string kJob = "job     T\nmember  J1 = trial\n        with  w_d = 2 kN/m\n";

std::string text(const Job& job) { return job.text("work/job.spanjob").value_or(""); }

} // namespace

TEST_CASE("a remark is left on a value, answered, and taken out with its answers") {
    Desk desk(kJob);
    Job& job = desk.open();
    REQUIRE(job.addRemark("J1", "M_d", "CD", "2026-05-05", "is that the clear span? -- I doubt it").ok());
    CHECK(text(job) == kJob + "remark  J1.M_d by CD on 2026-05-05: is that the clear span? -- I doubt it\n");
    REQUIRE(job.remarks().size() == 1);
    CHECK(job.remarks()[0].open);
    CHECK(job.remarks()[0].text == "is that the clear span? -- I doubt it");
    CHECK(row(job, "J1", "M_d").remarks == std::vector<std::uint32_t>{0});

    REQUIRE(job.addRemark("J1", "L", "CD", "2026-05-05", "measured?").ok());
    REQUIRE(job.answerRemark(0, "AB", "2026-05-06", "yes").ok());
    REQUIRE(job.answerRemark(0, "AB", "2026-05-07", "and measured again").ok());
    CHECK(text(job) == kJob + "remark  J1.M_d by CD on 2026-05-05: is that the clear span? -- I doubt it\n"
                              "answer  J1.M_d by AB on 2026-05-06: yes\n"
                              "answer  J1.M_d by AB on 2026-05-07: and measured again\n"
                              "remark  J1.L by CD on 2026-05-05: measured?\n");
    CHECK_FALSE(job.remarks()[0].open);
    CHECK(job.remarks()[1].answer);
    CHECK(job.remarks()[3].open);
    CHECK(row(job, "J1", "M_d").remarks == std::vector<std::uint32_t>{0, 1, 2});
    CHECK(told(job).empty());

    // A second remark on the same value is open again, and the answers before it are not its own.
    REQUIRE(job.addRemark("J1", "M_d", "CD", "2026-05-08", "and the load?").ok());
    CHECK(job.remarks()[4].open);
    CHECK_FALSE(job.remarks()[0].open);
    REQUIRE(job.removeRemark(0).ok());
    CHECK(text(job) == kJob + "remark  J1.L by CD on 2026-05-05: measured?\nremark  J1.M_d by CD on 2026-05-08: and the load?\n");
}

TEST_CASE("remarks that would not read back are refused and nothing is changed") {
    Desk desk(kJob);
    Job& job = desk.open();
    CHECK_FALSE(job.addRemark("J9", "M_d", "CD", "2026-05-05", "x").ok());
    CHECK_FALSE(job.addRemark("J1", "nothing", "CD", "2026-05-05", "x").ok());
    CHECK_FALSE(job.addRemark("J1", "M_d", "", "2026-05-05", "x").ok());
    CHECK_FALSE(job.addRemark("J1", "M_d", "CD", "", "x").ok());
    CHECK_FALSE(job.addRemark("J1", "M_d", "CD", "2026-05-05", "  ").ok());
    CHECK_FALSE(job.addRemark("J1", "M_d", "CD", "2026-05-05", "two\nlines").ok());
    CHECK_FALSE(job.answerRemark(0, "AB", "2026-05-06", "yes").ok());
    CHECK_FALSE(job.removeRemark(0).ok());
    CHECK(text(job) == kJob);
}

TEST_CASE("a remark does not touch what a tick stands for, and a tick can be taken back") {
    Desk desk(kJob);
    Job& job = desk.open();
    REQUIRE(job.addTick("J1", "M_d", "CD", "2026-05-05").ok());
    REQUIRE(job.addRemark("J1", "M_d", "CD", "2026-05-05", "fine").ok());
    CHECK(job.ticks().at(0).state == TickView::State::Current);
    CHECK(job.removeTick("J1", "M_d").ok());
    CHECK(job.ticks().empty());
    CHECK_FALSE(job.removeTick("J1", "M_d").ok());
    CHECK(text(job) == kJob + "remark  J1.M_d by CD on 2026-05-05: fine\n");
}

TEST_CASE("answers follow a member's new mark and go with the member") {
    Desk desk(kJob + "remark  J1.M_d by CD on 2026-05-05: fine\nanswer  J1.M_d by AB on 2026-05-06: good\n");
    Job& job = desk.open();
    REQUIRE(job.renameMember("J1", "B7").ok());
    CHECK(job.remarks().at(1).member == "B7");
    REQUIRE(job.removeMember("B7").ok());
    CHECK(job.remarks().empty());
}
