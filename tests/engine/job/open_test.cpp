// SPDX-License-Identifier: MIT
#include <algorithm>
#include <filesystem>

#include "tests/engine/job/support.h"

using namespace spanwright;
using namespace spanwright::job;
using namespace spanwright::job::tests;

TEST_CASE("a job is read into cover, members and values") {
    Desk desk(R"(job     Orchard packing shed
author  A. Builder
checker C. Reader
revision 2
date    2026-05-04
place   An invented valley
note    Stored fruit is heavy.
member  J1 = trial     -- loft joists
        off   14
        with  w_d = 2 kN/m
member  H1 = trial
        with  w_d = 1.5 kN/m
        with  L = 12 ft
)");
    const Job& job = desk.open();
    CHECK_FALSE(job.isSingleSheet());
    CHECK(job.cover().title == "Orchard packing shed");
    CHECK(job.cover().author == "A. Builder");
    CHECK(job.cover().checker == "C. Reader");
    CHECK(job.cover().revision == "2");
    CHECK(job.cover().date == "2026-05-04");
    CHECK(job.cover().place == "An invented valley");
    CHECK(job.cover().notes == std::vector<std::string>{"Stored fruit is heavy."});
    REQUIRE(job.memberCount() == 2);
    const MemberView& j1 = job.member(0);
    CHECK(j1.mark == "J1");
    CHECK(j1.purpose == "loft joists");
    CHECK(j1.count == 14);
    CHECK(j1.sheetName == "trial");
    CHECK(j1.sheetTitle == "A trial sheet");
    CHECK(j1.verdict == Verdict::Ok);
    CHECK(shown(job, "J1", "M_d") == "3.24 kN·m"); // 2*3.6^2/8
    CHECK(row(job, "J1", "w_d").stated);
    CHECK(row(job, "J1", "w_d").statedText == "2 kN/m");
    CHECK(row(job, "J1", "L").assumed);
    CHECK_FALSE(row(job, "H1", "L").assumed);
    CHECK(job.value(1, idOf(job, "H1", "L")).one == doctest::Approx(3.6576));
    CHECK(job.exitStatus() == 0);
    CHECK(told(job) == "");
}

TEST_CASE("a sheet opens as a job of one member") {
    Desk desk("");
    const Job& job = desk.openSheet();
    CHECK(job.isSingleSheet());
    REQUIRE(job.memberCount() == 1);
    CHECK(job.member(0).mark == "trial");
    CHECK(job.member(0).verdict == Verdict::NotProven);
    CHECK(joined(job.member(0).notStated) == "w_d");
    CHECK(row(job, "trial", "M_d").reason == "not computed, because of w_d, which is not stated");
    CHECK(job.exitStatus() == 3);
}

TEST_CASE("what cannot be read is told and gives a job without members") {
    Desk desk("job T\n");
    const auto missing = Job::open(desk.files, "work/none.spanjob", {.library = "library", .cancelled = {}});
    CHECK(missing->memberCount() == 0);
    CHECK(missing->exitStatus() == 1);
    CHECK(missing->verdict() == Verdict::NotComputed);
    REQUIRE(missing->diagnostics().size() == 1);
    CHECK(missing->diagnostics()[0].code == diag::Code::FileNotFound);
    desk.files.files["work/job.spanjob"] = std::string("job\0 T\n", 7);
    CHECK(desk.open().diagnostics().at(0).code == diag::Code::FileNotText);
    desk.files.files["work/job.spanjob"] = "job \xff\n";
    CHECK(desk.open().diagnostics().at(0).code == diag::Code::FileNotText);
    desk.files.files["work/job.spanjob"] = "";
    CHECK(desk.open().verdict() == Verdict::NotProven);
    CHECK(desk.job->exitStatus() == 3);
}

TEST_CASE("sheets are looked for beside the job first, then in the library, and nowhere else") {
    Desk desk("job T\nmember A = eu/joist\n with w_d = 1 kN/m\nmember B = trial\n with w_d = 1 kN/m\nmember C = ../trial\nmember D = trail\n");
    desk.files.files["library/eu/joist.spansheet"] = kTrial;
    desk.files.files["library/trial.spansheet"] = "sheet trial\ntitle From the library\n";
    const Job& job = desk.open();
    CHECK(member(job, "A").verdict == Verdict::Ok);
    CHECK(member(job, "B").sheetTitle == "A trial sheet");
    CHECK(member(job, "C").verdict == Verdict::NotComputed);
    CHECK(member(job, "C").reasons.at(0) == "a sheet cannot be taken from `../trial`: the path leads out of its folder");
    CHECK(member(job, "D").reasons.at(0) == "there is no sheet `trail` beside the job or in the library");
    const auto all = job.diagnostics();
    REQUIRE(all.size() == 2);
    CHECK(all[0].code == diag::Code::PathOutside);
    CHECK(all[1].code == diag::Code::UnknownSheet);
    CHECK(all[1].mend == "did you mean `trial`?");
    CHECK(job.exitStatus() == 1);
}

TEST_CASE("tables are read from the sheet's folder, then the library, once for all members") {
    const std::string sheet = "sheet trial\nuse tables/wood.csv\nchoose grade = C24 from wood\ncheck a: grade.f <= 30 (N/mm^2)\n";
    const std::string wood = "# invented\nclass, f [N/mm^2]\nC16, 16\nC24, 24\n";
    Desk desk("job T\nmember A = trial\nmember B = trial\n with grade = C16\n", sheet);
    desk.files.files["library/tables/wood.csv"] = wood;
    CHECK(told(desk.open()) == "");
    CHECK(check(*desk.job, "B", "a").leftShown == "16 N/mm²");
    CHECK(std::count(desk.files.log.begin(), desk.files.log.end(), "read library/tables/wood.csv") == 1);
    CHECK(std::count(desk.files.log.begin(), desk.files.log.end(), "read work/trial.spansheet") == 1);
    desk.files.files["work/tables/wood.csv"] = "class, f [N/mm^2]\nC16, 10\nC24, 20\n";
    CHECK(check(desk.open(), "B", "a").leftShown == "10 N/mm²");
    desk.files.files.erase("work/tables/wood.csv");
    desk.files.files.erase("library/tables/wood.csv");
    CHECK(desk.open().diagnostics().at(0).code == diag::Code::FileNotFound);
    CHECK(desk.job->exitStatus() == 1);
}

TEST_CASE("a member's mark, count and rows stand once") {
    Desk desk("job T\nauthor A\nauthor B\nmember J1 = trial\n off 2.5\n with w_d = 1 kN/m\nmember J1 = trial\nmember J2 = trial\n off 3\n off 4\n with w_d = 1 "
              "kN/m\n with w_d = 2 kN/m\n");
    const Job& job = desk.open();
    CHECK(job.memberCount() == 2);
    std::vector<diag::Code> codes;
    for (const auto& d : job.diagnostics()) codes.push_back(d.code);
    INFO(told(job));
    CHECK(codes == std::vector<diag::Code>{diag::Code::RowTwice, diag::Code::BadCount, diag::Code::MemberTwice, diag::Code::RowTwice, diag::Code::ValueTwice});
    CHECK(member(job, "J1").verdict == Verdict::NotComputed);
    CHECK(shown(job, "J2", "w_d") == "1 kN/m"); // the first counts until one is taken out
}

TEST_CASE("a member whose sheet fails in one row shows the rest") {
    std::string sheet = kTrial;
    sheet += "derive  odd [m] = L*M_R/(M_R - M_R)\nderive  after [m] = odd + L\n";
    Desk desk("job T\nmember J1 = trial\n with w_d = 2 kN/m\nmember J2 = trial\n with w_d = 2 kN/m\n with M_R = 5 kN*m\n", sheet);
    const Job& job = desk.open();
    CHECK(shown(job, "J1", "M_d") == "3.24 kN·m");
    CHECK(row(job, "J1", "odd").state == eval::State::Failed);
    CHECK(row(job, "J1", "after").state == eval::State::Blocked);
    CHECK(row(job, "J1", "after").reason == "not computed, because of odd, which could not be computed");
    CHECK(check(job, "J1", "bending").state == CheckView::State::Passes);
    CHECK(member(job, "J1").verdict == Verdict::NotComputed);
    CHECK(job.exitStatus() == 1);
    // Each member's own cause, once; what is only blocked is not told.
    const auto all = job.diagnostics();
    REQUIRE(all.size() == 2);
    CHECK(all[0].code == diag::Code::DivisionByZero);
    CHECK(all[0].member == "J1");
    CHECK(all[1].member == "J2");
}

TEST_CASE("loading can be given up; nothing is then shown as OK") {
    Desk desk("job T\nmember J1 = trial\n with w_d = 2 kN/m\n");
    bool stop = true;
    desk.job = Job::open(desk.files, "work/job.spanjob", {.library = "library", .cancelled = [&] { return stop; }});
    CHECK(desk.job->calculate() == 0);
    CHECK(desk.job->member(0).verdict == Verdict::NotComputed);
    CHECK(desk.job->exitStatus() == 1);
    stop = false;
    CHECK(desk.job->calculate() > 0);
    CHECK(desk.job->member(0).verdict == Verdict::Ok);
}

TEST_CASE("on disk, links that lead out of their folder are not followed") {
    namespace fs = std::filesystem;
    std::string pattern = (fs::temp_directory_path() / "spanwright-job-XXXXXX").string();
    REQUIRE(::mkdtemp(pattern.data()) != nullptr);
    const fs::path root = pattern;
    fs::create_directories(root / "job/tables");
    fs::create_directories(root / "library");
    io::Disk disk;
    REQUIRE(disk.write((root / "secret.spansheet").string(), kTrial).ok());
    REQUIRE(disk.write((root / "secret.csv").string(), "k, f\na, 1\n").ok());
    REQUIRE(disk.write((root / "job/inside.spansheet").string(), kTrial).ok());
    REQUIRE(disk.write((root / "job/uses.spansheet").string(), "sheet uses\nuse tables/t.csv\ngiven a = 1\ncheck c: a <= 2\n").ok());
    fs::create_symlink(root / "secret.spansheet", root / "job/out.spansheet");
    fs::create_symlink("inside.spansheet", root / "job/in.spansheet");
    fs::create_symlink(root / "secret.csv", root / "job/tables/t.csv");
    REQUIRE(disk.write((root / "job/j.spanjob").string(), "job T\nmember A = in\n with w_d = 1 kN/m\nmember B = out\nmember C = uses\n").ok());
    const auto job = Job::open(disk, (root / "job/j.spanjob").string(), {.library = (root / "library").string(), .cancelled = {}});
    CHECK(member(*job, "A").verdict == Verdict::Ok);
    CHECK(member(*job, "B").verdict == Verdict::NotComputed);
    CHECK(member(*job, "C").verdict == Verdict::NotComputed);
    const auto all = job->diagnostics();
    REQUIRE(all.size() == 2);
    for (const auto& d : all) {
        CHECK(d.code == diag::Code::PathOutside);
        CHECK(d.message.find("leads out of its folder") != std::string::npos);
    }
    std::error_code odd;
    fs::remove_all(root, odd);
}
