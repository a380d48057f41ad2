// SPDX-License-Identifier: MIT
#include "tests/engine/job/support.h"

using namespace spanwright;
using namespace spanwright::job;
using namespace spanwright::job::tests;

TEST_CASE("the ready sheets are listed with title and basis") {
    io::Memory files;
    files.files["library/eu/floor-joist.spansheet"] = "sheet floor-joist\ntitle Sawn floor joist\nbasis EN 1995-1-1:2004\nbasis EN 1990:2002\n";
    files.files["library/us/floor-joist.spansheet"] = "title Joist\n";
    files.files["library/README.md"] = "text";
    files.files["library/tables/a.csv"] = "a\n1\n";
    const auto all = readySheets(files, "library");
    REQUIRE(all.size() == 2);
    CHECK(all[0].name == "eu/floor-joist");
    CHECK(all[0].title == "Sawn floor joist");
    CHECK(all[0].basis == std::vector<std::string>{"EN 1995-1-1:2004", "EN 1990:2002"});
    CHECK(all[1].name == "us/floor-joist");
    CHECK(readySheets(files, "none").empty());
}

TEST_CASE("a job is started with every ask to be filled in, and reads back as not stated") {
    Desk desk("");
    desk.files.files["library/eu/joist.spansheet"] = kTrial + "ask n from 1 to 9 -- how many\nask spacing [mm]\ntable wood by class\nclass, f\nC16, 16\nC24, "
                                                              "24\nend\nchoose grade from wood -- strength class\nchoose other = C16 from wood\n";
    const auto text = startJob(desk.files, "eu/joist", {.library = "library", .cancelled = {}});
    REQUIRE(text.ok());
    desk.files.files["work/job.spanjob"] = text.value();
    INFO(text.value());
    Job& job = desk.open();
    REQUIRE(job.memberCount() == 1);
    CHECK(joined(job.member(0).notStated) == "w_d; n; spacing; grade");
    CHECK(job.verdict() == Verdict::NotProven);
    CHECK(job.exitStatus() == 3);
    for (const auto& d : job.diagnostics()) CHECK(d.code == diag::Code::NotStated);
    CHECK(text.value().find("with  w_d     = ?   -- design line load, in kN/m, from 0.1 to 50 kN/m\n") != std::string::npos);
    CHECK(text.value().find("with  n       = ?   -- how many, a number, from 1 to 9\n") != std::string::npos);
    CHECK(text.value().find("with  spacing = ?   -- in mm\n") != std::string::npos);
    CHECK(text.value().find("with  grade   = ?   -- strength class, C16 | C24\n") != std::string::npos);
    CHECK(text.value().find("other") == std::string::npos);
    // Filling in is setting values.
    for (const auto& [name, value] : {std::pair{"w_d", "2 kN/m"}, {"n", "3"}, {"spacing", "400 mm"}, {"grade", "C24"}})
        REQUIRE(job.setValue(job.member(0).mark, name, value).ok());
    CHECK(job.verdict() == Verdict::Ok);
    CHECK(job.text("work/job.spanjob")->find("with  spacing = 400 mm   -- in mm\n") != std::string::npos);
}

TEST_CASE("a job cannot be started with a sheet that is not there") {
    io::Memory files;
    files.files["library/eu/joist.spansheet"] = kTrial;
    const auto text = startJob(files, "eu/joits", {.library = "library", .cancelled = {}});
    REQUIRE_FALSE(text.ok());
    CHECK(text.error().code == diag::Code::UnknownSheet);
    CHECK(text.error().mend == "did you mean `eu/joist`?");
    CHECK_FALSE(startJob(files, "../x", {.library = "library", .cancelled = {}}).ok());
}
