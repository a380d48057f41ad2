// SPDX-License-Identifier: MIT
#include "tests/engine/job/support.h"

using namespace spanwright;
using namespace spanwright::job;
using namespace spanwright::job::tests;

namespace {
const std::string kJob = "job     T   # kept\n# a comment\nmember  J1 = trial     -- joists\n        off   3\n        with  w_d   =  2 kN/m   -- as weighed -- "
                         "the farmer\n\nmember  H1 = trial\n\n";

/// Everything that could have changed.
std::string everything(const Job& job) {
    std::string out = job.text("work/job.spanjob").value_or("none") + told(job) + job.fingerprint();
    for (std::size_t i = 0; i < job.memberCount(); ++i)
        for (const auto& q : job.member(i).quantities) out += q.name + "=" + q.shown + q.statedText + ";";
    return out;
}
} // namespace

TEST_CASE("a stated value is edited in place and every other byte stays") {
    Desk desk(kJob);
    Job& job = desk.open();
    REQUIRE(job.setValue("J1", "w_d", "1.5 kN/m").ok());
    std::string wanted = kJob;
    wanted.replace(wanted.find("2 kN/m"), 6, "1.5 kN/m");
    CHECK(job.text("work/job.spanjob") == wanted);
    CHECK(shown(job, "J1", "M_d") == "2.43 kN·m");
    CHECK(row(job, "J1", "w_d").statedText == "1.5 kN/m");
    CHECK(job.filesTouched() == std::vector<std::string>{"work/job.spanjob"});
    CHECK(desk.files.files["work/job.spanjob"] == kJob);
    REQUIRE(job.save().ok());
    CHECK(desk.files.files["work/job.spanjob"] == wanted);
    CHECK(job.filesTouched().empty());
    REQUIRE(job.save().ok());
    CHECK(std::count(desk.files.log.begin(), desk.files.log.end(), "write work/job.spanjob") == 1);
}

TEST_CASE("a value not stated yet gets a row behind the member's last, written like it") {
    Desk desk(kJob);
    Job& job = desk.open();
    REQUIRE(job.setValue("J1", "L", "4 m").ok());
    REQUIRE(job.setValue("H1", "w_d", "J1.R_d/(1 m)").ok());
    CHECK(job.text("work/job.spanjob") == "job     T   # kept\n# a comment\nmember  J1 = trial     -- joists\n        off   3\n        with  w_d   =  2 kN/m   "
                                          "-- as weighed -- the farmer\n        with  L = 4 m\n\n"
                                          "member  H1 = trial\n        with  w_d = J1.R_d/(1 m)\n\n");
    CHECK(shown(job, "J1", "L") == "4 m");
    CHECK(shown(job, "H1", "w_d") == "4 kN/m");
    CHECK(told(job) == "");
    // Rows below have moved; what is told about them points at the right place.
    REQUIRE(job.setText("work/job.spanjob", "job T\nmember J1 = trial\nmember H1 = trial\n with w_d = 99 kN/m\n").ok());
    CHECK(job.diagnostics().at(0).place.row == 3);
    REQUIRE(job.setValue("J1", "w_d", "1 kN/m").ok());
    REQUIRE(job.diagnostics().size() == 1);
    CHECK(job.diagnostics().at(0).place.row == 4);
    CHECK(job.resolver()(job.diagnostics().at(0).place)->lineText == " with w_d = 99 kN/m");
}

TEST_CASE("texts without a last line end, and with CRLF, stay as they are") {
    Desk bare("job T\nmember J1 = trial");
    REQUIRE(bare.open().setValue("J1", "w_d", "1 kN/m").ok());
    CHECK(bare.job->text("work/job.spanjob") == "job T\nmember J1 = trial\n        with  w_d = 1 kN/m");
    CHECK(shown(*bare.job, "J1", "w_d") == "1 kN/m");
    Desk crlf("job T\r\nmember J1 = trial\r\n\twith L = 3 m\r\n");
    REQUIRE(crlf.open().setValue("J1", "w_d", "1 kN/m").ok());
    REQUIRE(crlf.job->setValue("J1", "L", "2 m").ok());
    CHECK(crlf.job->text("work/job.spanjob") == "job T\r\nmember J1 = trial\r\n\twith L = 2 m\r\n\twith w_d = 1 kN/m\r\n");
}

TEST_CASE("a value that does not fit is refused and nothing changes") {
    Desk desk(kJob);
    Job& job = desk.open();
    REQUIRE(job.override("H1", "w_d", "1 kN/m").ok());
    const std::string before = everything(job);
    const auto refused = [&](Job::Done done) {
        CHECK_FALSE(done.ok());
        CHECK(everything(job) == before);
        CHECK(job.calculate() == 0);
        return done.ok() ? diag::Code{} : done.error().code;
    };
    CHECK(refused(job.setValue("J1", "w_d", "2 kN")) == diag::Code::UnlikeDimensions);
    CHECK(refused(job.setValue("J1", "w_d", "60 kN/m")) == diag::Code::OutOfRange);
    CHECK(refused(job.setValue("J1", "w_d", "2 kN/m -- oops")) == diag::Code::ValueMalformed);
    CHECK(refused(job.setValue("J1", "w_d", "2 kN/m\nmember X = trial")) == diag::Code::ValueMalformed);
    CHECK(refused(job.setValue("J1", "w_d", "")) == diag::Code::ValueMalformed);
    CHECK(refused(job.setValue("J1", "w_d", "Z9.L")) == diag::Code::UnknownMember);
    CHECK(refused(job.setValue("J1", "M_d", "2 kN*m")) == diag::Code::NotSettable);
    CHECK(refused(job.setValue("J1", "LL", "2 m")) == diag::Code::UnknownName);
    CHECK(refused(job.setValue("J9", "L", "2 m")) == diag::Code::UnknownMember);
    CHECK(refused(job.override("J1", "w_d", "2 kN")) == diag::Code::UnlikeDimensions);
    CHECK(refused(job.override("J1", "L", "")) == diag::Code::RowIncomplete);
    CHECK(refused(job.setJobGiven("snow", "2 kN")) == diag::Code::UnknownName);
    CHECK(refused(job.addTick("J1", "M_e", "AB", "2026-05-04")) == diag::Code::TickBroken);
    CHECK(refused(job.addTick("J1", "M_d", "", "2026-05-04")) == diag::Code::TickBroken);
    CHECK(refused(job.addTick("J1", "M_d", "AB on", "x -- y")) == diag::Code::TickBroken);
    CHECK(refused(job.setText("work/other", "x")) == diag::Code::FileNotFound);
    CHECK(refused(job.setText("work/job.spanjob", "job \xff")) == diag::Code::FileNotText);
}

TEST_CASE("an override holds here and now and leaves the text alone") {
    Desk desk(kJob);
    Job& job = desk.open();
    REQUIRE(job.override("J1", "w_d", "1 kN/m").ok());
    REQUIRE(job.override("J1", "L", "J1.w_d*3 (m^2/kN)").ok());
    CHECK(shown(job, "J1", "L") == "3 m");
    CHECK(row(job, "J1", "L").overridden);
    CHECK(row(job, "J1", "L").stated);
    CHECK(job.filesTouched().empty());
    // It outlives edits of the text around it, and of its sheet.
    REQUIRE(job.setText("work/trial.spansheet", kTrial + "given more = 1\n").ok());
    CHECK(shown(job, "J1", "L") == "3 m");
    REQUIRE(job.setText("work/job.spanjob", "job T\n\nmember  J1 = trial\n  with w_d = 5 kN/m\n").ok());
    CHECK(shown(job, "J1", "w_d") == "1 kN/m");
    // Setting the value for good ends it.
    REQUIRE(job.setValue("J1", "w_d", "2 kN/m").ok());
    CHECK(shown(job, "J1", "w_d") == "2 kN/m");
    CHECK_FALSE(row(job, "J1", "w_d").overridden);
    CHECK(job.text("work/job.spanjob") == "job T\n\nmember  J1 = trial\n  with w_d = 2 kN/m\n");
    // Where something goes wrong later, it is told at the override.
    REQUIRE(job.setText("work/trial.spansheet", "sheet trial\nask w_d [kN/m]\ngiven L = 2 kN\ncheck c: L <= 3 kN\n").ok());
    REQUIRE(job.diagnostics().size() == 1);
    CHECK(job.diagnostics()[0].place.file == "--set J1.L");
    const auto at = job.resolver()(job.diagnostics()[0].place);
    REQUIRE(at);
    CHECK(at->lineText == "with L = J1.w_d*3 (m^2/kN)");
}

TEST_CASE("a single sheet: defaults are edited, what is asked for is left to jobs") {
    Desk desk("");
    desk.files.files["work/trial.spansheet"] =
        kTrial + "table wood by class\nclass, f\nC16, 16\nC24, 24\nend\nchoose grade = C16 from wood\nchoose other from wood\n";
    Job& job = desk.openSheet();
    REQUIRE(job.setValue("trial", "M_R", "6 kN*m").ok());
    REQUIRE(job.setValue("", "grade", "C24").ok());
    std::string wanted = desk.files.files["work/trial.spansheet"];
    wanted.replace(wanted.find("4 kN*m"), 6, "6 kN*m");
    wanted.replace(wanted.find("= C16"), 5, "= C24");
    CHECK(job.text("work/trial.spansheet") == wanted);
    CHECK(shown(job, "trial", "grade") == "C24");
    const auto ask = job.setValue("trial", "w_d", "2 kN/m");
    REQUIRE_FALSE(ask.ok());
    CHECK(ask.error().code == diag::Code::NotSettable);
    CHECK(ask.error().mend == "use the sheet in a job, or state it here and now with `--set w_d=...`");
    CHECK_FALSE(job.setValue("trial", "other", "C24").ok());
    CHECK_FALSE(job.setValue("trial", "grade", "C22").ok());
    CHECK(job.text("work/trial.spansheet") == wanted);
    REQUIRE(job.override("", "w_d", "2 kN/m").ok());
    REQUIRE(job.override("trial", "other", "C24").ok());
    CHECK(job.verdict() == Verdict::Ok);
    CHECK(job.exitStatus() == 0);
    REQUIRE(job.save().ok());
    CHECK(desk.files.files["work/trial.spansheet"] == wanted);
    CHECK_FALSE(job.addTick("trial", "M_d", "AB", "2026-05-04").ok());
}

TEST_CASE("a job's given is edited in place") {
    Desk desk("job T\ngiven  snow [kN/m^2] = 1.8 kN/m^2   -- on the ground\nmember J1 = trial\n with w_d = snow*(1 m)\n");
    Job& job = desk.open();
    REQUIRE(job.setJobGiven("snow", "2 kN/m^2").ok());
    CHECK(job.text("work/job.spanjob") == "job T\ngiven  snow [kN/m^2] = 2 kN/m^2   -- on the ground\nmember J1 = trial\n with w_d = snow*(1 m)\n");
    CHECK(shown(job, "J1", "w_d") == "2 kN/m");
    REQUIRE(job.override("", "snow", "1 kN/m^2").ok());
    CHECK(shown(job, "J1", "w_d") == "1 kN/m");
    CHECK_FALSE(job.setJobGiven("snow", "2 kN").ok());
    CHECK(shown(job, "J1", "w_d") == "1 kN/m");
    REQUIRE(job.setJobGiven("snow", "3 kN/m^2").ok());
    CHECK(shown(job, "J1", "w_d") == "3 kN/m");
}

TEST_CASE("a new text is read and what is as before is kept") {
    Desk desk("job T\nmember J1 = trial\n with w_d = 2 kN/m\nmember J2 = trial\n with w_d = J1.w_d\n");
    Job& job = desk.open();
    job.keepLog(true);
    job.calculate();
    // Blank lines and comments: nothing to work out.
    REQUIRE(
        job.setText("work/job.spanjob", "# now with a comment\njob T\n\nmember J1 = trial\n with w_d = 2 kN/m\nmember J2 = trial\n with w_d = J1.w_d\n").ok());
    CHECK(job.calculate() == 0);
    // A member more: only that one.
    REQUIRE(job.setText("work/job.spanjob",
                        "job T\nmember J0 = trial\n with w_d = 1 kN/m\nmember J1 = trial\n with w_d = 2 kN/m\nmember J2 = trial\n with w_d = J1.w_d\n")
                .ok());
    CHECK(job.calculate() == 6);
    for (const std::string& name : job.log()) CHECK(name.substr(0, 3) == "J0.");
    CHECK(job.memberByMark("J1") == std::optional<std::size_t>(1));
    // A member less: whoever read it is told.
    REQUIRE(job.setText("work/job.spanjob", "job T\nmember J2 = trial\n with w_d = J1.w_d\n").ok());
    REQUIRE(job.diagnostics().size() == 1);
    CHECK(job.diagnostics()[0].code == diag::Code::UnknownMember);
    CHECK_FALSE(job.memberByMark("J1"));
    // And back again.
    REQUIRE(job.setText("work/job.spanjob", "job T\nmember J1 = trial\n with w_d = 2 kN/m\nmember J2 = trial\n with w_d = J1.w_d\n").ok());
    CHECK(told(job) == "");
    CHECK(shown(job, "J2", "w_d") == "2 kN/m");
}

TEST_CASE("a sheet's new text reaches all its members and what links to them") {
    Desk desk("job T\nmember J1 = trial\n with w_d = 2 kN/m\nmember J2 = trial\n with w_d = J1.R_d/(1 m)\n with M_R = 90 kN*m\n");
    Job& job = desk.open();
    CHECK(shown(job, "J2", "w_d") == "3.6 kN/m");
    std::string other = kTrial;
    other.replace(other.find("w_d*L/2 "), 8, "w_d*L ");
    other.insert(other.find("given   L"), "given   first = 1\n");
    REQUIRE(job.setText("work/trial.spansheet", other).ok());
    CHECK(told(job) == "");
    CHECK(shown(job, "J2", "w_d") == "7.2 kN/m");
    CHECK(job.filesTouched() == std::vector<std::string>{"work/trial.spansheet"});
    // A row that a link wants disappears and comes back.
    std::string without = kTrial;
    without.replace(without.find("derive  R_d"), 11, "derive  R_x");
    REQUIRE(job.setText("work/trial.spansheet", without).ok());
    REQUIRE(job.diagnostics().size() == 1);
    CHECK(job.diagnostics()[0].code == diag::Code::UnknownName);
    REQUIRE(job.setText("work/trial.spansheet", kTrial).ok());
    CHECK(told(job) == "");
    CHECK(shown(job, "J2", "w_d") == "3.6 kN/m");
    CHECK(job.filesTouched().empty());
}

TEST_CASE("a table's new text reaches the sheets that use it") {
    Desk desk("job T\nmember A = trial\n", "sheet trial\nuse wood.csv\nchoose grade = C24 from wood\ncheck a: grade.f <= 30 (N/mm^2)\n");
    desk.files.files["work/wood.csv"] = "# invented\nclass, f [N/mm^2]\nC16, 16\nC24, 24\n";
    Job& job = desk.open();
    CHECK(check(job, "A", "a").leftShown == "24 N/mm²");
    REQUIRE(job.setText("work/wood.csv", "# invented\nclass, f [N/mm^2]\nC16, 16\nC24, 25\n").ok());
    CHECK(check(job, "A", "a").leftShown == "25 N/mm²");
    CHECK(job.filesTouched() == std::vector<std::string>{"work/wood.csv"});
    REQUIRE(job.save().ok());
    CHECK(desk.files.files["work/wood.csv"].find("C24, 25") != std::string::npos);
}

TEST_CASE("saving onto a full or read-only disk keeps the old file and says so") {
    Desk desk(kJob);
    Job& job = desk.open();
    REQUIRE(job.setValue("J1", "w_d", "1.5 kN/m").ok());
    desk.files.readOnly = true;
    CHECK(job.save().error().what == io::IoError::What::NotWritable);
    CHECK(desk.files.files["work/job.spanjob"] == kJob);
    CHECK(job.filesTouched().size() == 1);
    desk.files.readOnly = false;
    desk.files.capacity = 10;
    CHECK(job.save().error().what == io::IoError::What::NoSpace);
    desk.files.capacity = static_cast<std::size_t>(-1);
    CHECK(job.save().ok());
    CHECK(job.filesTouched().empty());
}

TEST_CASE("links follow when a job's given becomes something else") {
    Desk desk("job T\ngiven s = 1 m\nmember J1 = trial\n with w_d = 2 kN/m\n with L = s\n");
    Job& job = desk.open();
    CHECK(shown(job, "J1", "L") == "1 m");
    CHECK_FALSE(job.setJobGiven("s", "2 kN").ok());
    CHECK(job.setJobGiven("s", "2*1.5 m").ok());
    CHECK(shown(job, "J1", "L") == "3 m");
    REQUIRE(job.setText("work/job.spanjob", "job T\ngiven s = 1 kN\nmember J1 = trial\n with w_d = 2 kN/m\n with L = s\n").ok());
    REQUIRE(job.diagnostics().size() == 1);
    CHECK(job.diagnostics()[0].code == diag::Code::UnlikeDimensions);
    REQUIRE(job.setText("work/job.spanjob", "job T\ngiven r = 2 m\ngiven s = r\nmember J1 = trial\n with w_d = 2 kN/m\n with L = s\n").ok());
    CHECK(told(job) == "");
    CHECK(shown(job, "J1", "L") == "2 m");
    // Which stands above which is a matter of the text, not of what was there first.
    REQUIRE(job.setText("work/job.spanjob", "job T\ngiven s = 3 m\ngiven r = s\nmember J1 = trial\n with w_d = 2 kN/m\n with L = r\n").ok());
    CHECK(told(job) == "");
    CHECK(shown(job, "J1", "L") == "3 m");
    REQUIRE(job.setText("work/job.spanjob", "job T\ngiven r = 3 m\nmember J1 = trial\n with w_d = 2 kN/m\n with L = s\n").ok());
    REQUIRE(job.diagnostics().size() == 1);
    CHECK(job.diagnostics()[0].code == diag::Code::UnknownName);
    REQUIRE(job.setText("work/job.spanjob", "job T\ngiven s = wrong\nmember J1 = trial\n with w_d = 2 kN/m\n with L = s\n").ok());
    CHECK(job.setJobGiven("s", "4 m").ok());
    CHECK(told(job) == "");
    CHECK(shown(job, "J1", "L") == "4 m");
}

TEST_CASE("a stated value says where it comes from, behind its row") {
    Desk desk("job T\nmember J1 = trial\n  with  w_d = 2 kN/m   -- guessed\n  with  L   = 3 m\n");
    Job& job = desk.open();
    CHECK(row(job, "J1", "w_d").statedFrom == "guessed");
    REQUIRE(job.setSource("J1", "w_d", " snow map, zone 2 ").ok());
    REQUIRE(job.setSource("J1", "L", "measured").ok());
    CHECK(*job.text("work/job.spanjob") == "job T\nmember J1 = trial\n  with  w_d = 2 kN/m   -- snow map, zone 2\n  with  L   = 3 m -- measured\n");
    CHECK(row(job, "J1", "w_d").statedFrom == "snow map, zone 2");
    // It stays when the value becomes another.
    REQUIRE(job.setValue("J1", "L", "3.5 m").ok());
    CHECK(row(job, "J1", "L").statedFrom == "measured");
    CHECK(row(job, "J1", "L").shown == "3.5 m");
    REQUIRE(job.setSource("J1", "L", "").ok());
    CHECK(*job.text("work/job.spanjob") == "job T\nmember J1 = trial\n  with  w_d = 2 kN/m   -- snow map, zone 2\n  with  L   = 3.5 m\n");
    // Refused: where nothing is stated, and what would be read as something else.
    CHECK(!job.setSource("J1", "M_R", "a book").ok());
    CHECK(!job.setSource("J1", "L", "one -- two").ok());
    CHECK(!job.setSource("J1", "L", "one\ntwo").ok());
    CHECK(!job.setSource("J9", "L", "one").ok());
}
