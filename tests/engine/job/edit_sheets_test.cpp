// SPDX-License-Identifier: MIT
#include <algorithm>

#include "tests/engine/job/support.h"

using namespace spanwright;
using namespace spanwright::job;
using namespace spanwright::job::tests;

namespace {

const std::string kReady = R"(sheet   joist
title   A ready joist
use     tables/wood.csv
use     near.csv
choose  grade = C24 from wood
given   L = 3.6 m               -- span
given   w = 1 kN/m
derive  M [kN*m] = w*L^2/8      -- moment
        note Simply supported.
check   bending: M <= 4 (kN*m)  -- strength
)";
const std::string kJob = "job     T\nmember  J1 = eu/joist\nmember  J2 = eu/joist\nmember  J3 = eu/joist\n";

struct Copies : Desk {
    Copies() : Desk(kJob) {
        files.files["library/eu/joist.spansheet"] = kReady;
        files.files["library/tables/wood.csv"] = "class, f [N/mm^2]\nC16, 16\nC24, 24\n";
        files.files["library/eu/near.csv"] = "class, g\na, 1\n";
    }
};

const char* const kCopy = "work/our-joist.spansheet";

} // namespace

TEST_CASE("a copy of a ready sheet is what the members use, and is written when the job is saved") {
    Copies desk;
    Job& job = desk.open();
    REQUIRE(job.copySheet("eu/joist", "our-joist", {"J1", "J3"}).ok());
    CHECK(job.text("work/job.spanjob") == "job     T\nmember  J1 = our-joist\nmember  J2 = eu/joist\nmember  J3 = our-joist\n");
    CHECK(member(job, "J1").copyOf == "eu/joist");
    CHECK(member(job, "J1").verdict == Verdict::Ok);
    CHECK(told(job).empty());
    CHECK(desk.files.files.count(kCopy) == 0);
    CHECK(job.filesTouched() == std::vector<std::string>{"work/job.spanjob", kCopy});
    CHECK_FALSE(job.isReady(kCopy));
    CHECK(job.isReady("library/eu/joist.spansheet"));
    REQUIRE(job.save().ok());
    CHECK(desk.files.files.at(kCopy).find("use     eu/near.csv") != std::string::npos);
    CHECK(job.filesTouched().empty());
    // The same job, opened anew, is the same.
    const std::string print = job.fingerprint();
    CHECK(desk.open().fingerprint() == print);
}

TEST_CASE("links to a member find it again when it has a sheet again") {
    Copies desk;
    const std::string path = "work/job.spanjob", linked = "job     T\nmember  J1 = eu/joist\nmember  J2 = eu/joist\n        with  w = J1.M/(3.24 m^2)\n";
    desk.files.files[path] = linked;
    Job& job = desk.open();
    const std::string print = job.fingerprint();
    CHECK(shown(job, "J2", "w") == "0.5 kN/m"); // 1 kN/m * (3.6 m)^2 / 8 / 3.24 m^2
    // Its name written wrongly, and right again.
    std::string wrong = linked;
    wrong.replace(wrong.find("eu/joist"), 8, "eu/joyst");
    REQUIRE(job.setText(path, wrong).ok());
    CHECK(member(job, "J2").verdict == Verdict::NotComputed);
    REQUIRE(job.setText(path, linked).ok());
    CHECK(shown(job, "J2", "w") == "0.5 kN/m");
    CHECK(member(job, "J2").verdict == Verdict::Ok);
    // A copy that is taken away before the member is given its sheet again.
    REQUIRE(job.copySheet("eu/joist", "our-joist", {"J1"}).ok());
    REQUIRE(job.setText(kCopy, "").ok());
    CHECK(member(job, "J2").verdict == Verdict::NotComputed);
    REQUIRE(job.setText(path, linked).ok());
    CHECK(member(job, "J2").verdict == Verdict::Ok);
    CHECK(job.fingerprint() == print);
    CHECK(told(job).empty());
}

TEST_CASE("undoing a copy leaves nothing behind") {
    Copies desk;
    Job& job = desk.open();
    const std::string print = job.fingerprint();
    REQUIRE(job.copySheet("eu/joist", "our-joist", {}).ok());
    const std::string copy = job.text(kCopy).value();
    REQUIRE(job.setText("work/job.spanjob", kJob).ok());
    REQUIRE(job.setText(kCopy, "").ok());
    CHECK(job.filesTouched().empty());
    CHECK(job.fingerprint() == print);
    REQUIRE(job.save().ok());
    CHECK(desk.files.files.count(kCopy) == 0);
    // Done again, in either order.
    std::string used = kJob;
    for (std::size_t at = 0; (at = used.find("eu/joist", at)) != std::string::npos;) used.replace(at, 8, "our-joist");
    REQUIRE(job.setText("work/job.spanjob", used).ok());
    CHECK(member(job, "J1").verdict == Verdict::NotComputed);
    REQUIRE(job.setText(kCopy, copy).ok());
    CHECK(member(job, "J1").verdict == Verdict::Ok);
    CHECK(member(job, "J1").sheetTitle == "A ready joist");
}

TEST_CASE("a text counts as touched where one byte differs, and no more where it is put back") {
    for (const std::string mark : {"", "\xEF\xBB\xBF"}) {
        Copies desk;
        const std::string text = mark + kJob;
        desk.files.files["work/job.spanjob"] = text;
        Job& job = desk.open();
        CHECK(job.filesTouched().empty());
        for (const std::string& other : {text + "# more\n", text.substr(0, text.size() - 1), mark + std::string(kJob).replace(10, 1, "x"), mark,
                                         mark.empty() ? "\xEF\xBB\xBF" + text : text.substr(3)}) {
            REQUIRE(job.setText("work/job.spanjob", other).ok());
            CHECK(job.filesTouched() == std::vector<std::string>{"work/job.spanjob"});
            REQUIRE(job.setText("work/job.spanjob", text).ok());
            CHECK(job.filesTouched().empty());
        }
    }
}

TEST_CASE("names that are taken, or lead elsewhere, are refused") {
    Copies desk;
    desk.files.files["work/there.spansheet"] = kReady;
    Job& job = desk.open();
    for (const char* name : {"", "eu/joist", "there", "../out", "/tmp/x", "a -- b", "a\nb"}) {
        CAPTURE(name);
        CHECK_FALSE(job.copySheet("eu/joist", name, {}).ok());
    }
    CHECK_FALSE(job.copySheet("eu/other", "mine", {}).ok());
    CHECK_FALSE(job.copySheet("eu/joist", "mine", {"J9"}).ok());
    CHECK_FALSE(job.setText("work/../out.spansheet", "sheet x\n").ok());
    CHECK_FALSE(job.setText("elsewhere/out.spansheet", "sheet x\n").ok());
    CHECK(job.filesTouched().empty());
    // Somebody else writes a file of that name before the job is saved: it is not written over.
    REQUIRE(job.copySheet("eu/joist", "our-joist", {}).ok());
    desk.files.files[kCopy] = "mine";
    CHECK_FALSE(job.save().ok());
    CHECK(desk.files.files[kCopy] == "mine");
}

TEST_CASE("rows of a copy are added, written, moved and taken out, and the differences are told") {
    Copies desk;
    Job& job = desk.open();
    CHECK_FALSE(job.insertRow("library/eu/joist.spansheet", 7, "given x = 1").ok());
    REQUIRE(job.copySheet("eu/joist", "our-joist", {"J1"}).ok());
    const auto rowOf = [&](const char* name) { return job.sheet(0).find(name)->row; };
    REQUIRE(job.insertRow(kCopy, rowOf("M"), "derive  w_2 [kN/m] = 2*w -- twice as much").ok());
    CHECK(shown(job, "J1", "w_2") == "2 kN/m");
    CHECK(member(job, "J1").addedRows == std::vector<std::string>{"use eu/near.csv", "w_2"});
    REQUIRE(job.writeRow(kCopy, rowOf("M"), "derive  M [kN*m] = w_2*L^2/8 -- moment").ok());
    CHECK(shown(job, "J1", "M") == "3.24 kN·m"); // 2 kN/m * (3.6 m)^2 / 8
    CHECK(member(job, "J1").changedRows == std::vector<std::string>{"M"});
    CHECK(shown(job, "J2", "M") == "1.62 kN·m");
    // A row moves with its note, past its neighbour with its own.
    REQUIRE(job.moveRow(kCopy, rowOf("w_2"), 1).ok());
    const std::string text = job.text(kCopy).value();
    CHECK(text.find("-- moment\n        note Simply supported.\nderive  w_2") != std::string::npos);
    REQUIRE(job.moveRow(kCopy, rowOf("w_2"), -1).ok());
    CHECK(job.text(kCopy).value().find("derive  w_2 [kN/m] = 2*w -- twice as much\nderive  M") != std::string::npos);
    CHECK_FALSE(job.moveRow(kCopy, 0, -1).ok());
    // Taking a check out is not proving anything.
    REQUIRE(job.removeRow(kCopy, rowOf("bending")).ok());
    CHECK(member(job, "J1").verdict == Verdict::NotProven);
    CHECK(member(job, "J1").lostChecks.size() == 1);
    REQUIRE(job.removeRow(kCopy, rowOf("M")).ok());
    CHECK(job.text(kCopy).value().find("note") == std::string::npos);
}

TEST_CASE("a row is tried without being put in") {
    Copies desk;
    Job& job = desk.open();
    REQUIRE(job.copySheet("eu/joist", "our-joist", {"J1"}).ok());
    const std::string before = job.text(kCopy).value();
    const std::uint32_t at = job.sheet(0).find("M")->row;
    const RowTrial wrong = job.tryRow(kCopy, at, "derive  x [kN*m] = M + w");
    REQUIRE(wrong.inRow.size() == 1);
    CHECK(wrong.inRow[0].code == diag::Code::UnlikeDimensions);
    CHECK(wrong.inRow[0].place.row == 0);
    CHECK(wrong.elsewhere.empty());
    CHECK(job.tryRow(kCopy, at, "derive  x [kN*m] = 2*M").inRow.empty());
    CHECK(job.tryRow(kCopy, at, "derive  x = nothing*2").inRow.at(0).code == diag::Code::UnknownName);
    CHECK_FALSE(job.tryRow(kCopy, at, "  ").inRow.empty());
    // Writing a row anew may break others.
    const RowTrial other = job.tryRow(kCopy, at, "derive  M [kN] = w*L", at);
    CHECK(other.inRow.empty());
    REQUIRE(other.elsewhere.size() == 1);
    CHECK(other.elsewhere[0].message.find("kN") != std::string::npos);
    CHECK(job.text(kCopy).value() == before);
    CHECK(member(job, "J1").verdict == Verdict::Ok);
}
