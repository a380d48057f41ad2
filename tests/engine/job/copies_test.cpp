// SPDX-License-Identifier: MIT
#include "tests/engine/job/support.h"

using namespace spanwright;
using namespace spanwright::job;
using namespace spanwright::job::tests;

namespace {

const std::string kReady = R"(sheet   joist
title   A ready joist
basis   EN 1995-1-1:2004
use     wood.csv
choose  grade = C24 from wood
given   L = 3.6 m               -- span
given   w = 1 kN/m
derive  M [kN*m] = w*L^2/8      -- moment
check   bending: M <= 4 (kN*m)  -- strength
check   shear: w*L/2 <= 9 kN
require dry: grade.f > 10 (N/mm^2)
)";
const std::string kWood = "class, f [N/mm^2]\nC16, 16\nC24, 24\n";

MemberView copyOf(const std::string& sheet, const std::string& file = "work/joist.spansheet", const std::string& wood = kWood) {
    Desk desk("job T\nmember J1 = " + file.substr(5, file.size() - 15) + "\n");
    desk.files.files["library/eu/joist.spansheet"] = kReady;
    desk.files.files["library/eu/wood.csv"] = kWood;
    desk.files.files["library/us/other.spansheet"] = "sheet other\ngiven a = 1\ncheck c: a <= 2\n";
    desk.files.files[file] = sheet;
    desk.files.files["work/wood.csv"] = wood;
    return member(desk.open(), "J1");
}

std::string changed(std::string text, const std::string& from, const std::string& to) {
    REQUIRE(text.find(from) != std::string::npos);
    return text.replace(text.find(from), from.size(), to);
}

} // namespace

TEST_CASE("a copy that says the same differs in nothing") {
    CHECK(copyOf(kReady).differs.empty());
    CHECK(copyOf(kReady).verdict == Verdict::Ok);
    CHECK(copyOf("# my own notes\n\n" + changed(kReady, "given   L = 3.6 m ", "given L=3.6 m") + "note and a note\n").differs.empty());
    CHECK(copyOf(changed(kReady, "-- moment", "-- another word for it")).differs.empty());
}

TEST_CASE("rows changed, added and taken out are listed") {
    std::string sheet = changed(kReady, "w*L^2/8", "w*L^2/10");
    sheet = changed(sheet, "given   w = 1 kN/m\n", "");
    sheet = changed(sheet, "given   L", "ask     w [kN/m]\ngiven   extra = 1\ngiven   L");
    const MemberView m = copyOf(sheet);
    CHECK(m.differs == std::vector<std::string>{"changed: w", "added: extra", "changed: M"});
    CHECK(copyOf(changed(kReady, "given   w = 1 kN/m\n", "given   v = 1 kN/m\n")).differs.at(1) == "taken out: w");
    CHECK(copyOf(kReady, "work/joist.spansheet", changed(kWood, "C24, 24", "C24, 25")).differs == std::vector<std::string>{"changed: table wood"});
}

TEST_CASE("a sheet is known as a copy by its file's name or by its own") {
    CHECK_FALSE(copyOf(changed(kReady, "/8", "/9"), "work/mine.spansheet").differs.empty());
    CHECK(copyOf(changed(changed(kReady, "/8", "/9"), "sheet   joist", "sheet   mine"), "work/mine.spansheet").differs.empty());
    CHECK_FALSE(copyOf(changed(changed(kReady, "/8", "/9"), "sheet   joist", "sheet   mine")).differs.empty());
    CHECK_FALSE(copyOf(changed(kReady, "/8", "/9"), "work/eu/joist.spansheet").differs.empty());
}

TEST_CASE("a check that was taken out of a copy leaves it not proven") {
    const MemberView m = copyOf(changed(kReady, "check   shear: w*L/2 <= 9 kN\n", ""));
    CHECK(m.verdict == Verdict::NotProven);
    CHECK(m.reasons == std::vector<std::string>{"check `shear` of eu/joist was taken out"});
    CHECK(m.differs == std::vector<std::string>{"taken out: shear"});
    CHECK(copyOf(changed(kReady, "require dry: grade.f > 10 (N/mm^2)\n", "")).reasons == std::vector<std::string>{"require `dry` of eu/joist was taken out"});
    // Nor does a comment, another kind of row or another name do instead of it.
    CHECK(copyOf(changed(kReady, "check   shear", "# check shear")).verdict == Verdict::NotProven);
    CHECK(copyOf(changed(kReady, "check   shear: w*L/2 <= 9 kN", "require shear: w*L/2 <= 9 kN")).verdict == Verdict::NotProven);
    CHECK(copyOf(changed(kReady, "check   shear", "check   sheer")).verdict == Verdict::NotProven);
}

TEST_CASE("a check that was made to hold always leaves a copy not proven") {
    const auto verdict = [](const std::string& from, const std::string& to) {
        const MemberView m = copyOf(changed(kReady, from, to));
        INFO(joined(m.reasons));
        CHECK(m.differs.size() >= 1);
        return m.verdict;
    };
    CHECK(verdict("shear: w*L/2 <= 9 kN", "shear: 1 <= 2") == Verdict::NotProven);
    CHECK(verdict("shear: w*L/2 <= 9 kN", "shear: 0*w*L <= 9 kN") == Verdict::NotProven);
    CHECK(verdict("shear: w*L/2 <= 9 kN", "shear: if(true, 0 kN, w*L/2) <= 9 kN") == Verdict::NotProven);
    CHECK(verdict("grade.f > 10 (N/mm^2)", "grade.f > 10 (N/mm^2) or true") == Verdict::NotProven);
    CHECK(verdict("require dry", "part Off only if 1 > 2\nrequire dry") == Verdict::NotProven);
    // One that still depends on what is loaded is listed, and judged as it stands.
    CHECK(verdict("shear: w*L/2 <= 9 kN", "shear: w*L/2 <= 90 kN") == Verdict::Ok);
}

TEST_CASE("a sheet of the library is no copy, nor is one that stands alone without a library") {
    Desk desk("job T\nmember J1 = eu/joist\n");
    desk.files.files["library/eu/joist.spansheet"] = changed(kReady, "check   shear: w*L/2 <= 9 kN\n", "");
    desk.files.files["library/us/joist.spansheet"] = kReady;
    desk.files.files["library/eu/wood.csv"] = desk.files.files["library/us/wood.csv"] = kWood;
    CHECK(member(desk.open(), "J1").verdict == Verdict::Ok);
    CHECK(member(*desk.job, "J1").differs.empty());
    // Of two ready sheets of one name, the one it resembles most is meant.
    desk.files.files["work/joist.spansheet"] = kReady;
    desk.files.files["work/wood.csv"] = kWood;
    desk.files.files["work/job.spanjob"] = "job T\nmember J1 = joist\n";
    CHECK(member(desk.open(), "J1").differs.empty());
    // A sheet opened alone is compared too.
    desk.files.files["work/joist.spansheet"] = changed(kReady, "check   shear: w*L/2 <= 9 kN\n", "");
    desk.files.files["library/eu/joist.spansheet"] = kReady;
    const auto alone = Job::open(desk.files, "work/joist.spansheet", {.library = "library", .cancelled = {}});
    CHECK(alone->member(0).verdict == Verdict::NotProven);
    const auto without = Job::open(desk.files, "work/joist.spansheet", {.library = "", .cancelled = {}});
    CHECK(without->member(0).verdict == Verdict::Ok);
}
