// SPDX-License-Identifier: MIT
#include <set>

#include "engine/job/digest.h"
#include "tests/engine/job/support.h"

using namespace spanwright;
using namespace spanwright::job;
using namespace spanwright::job::tests;

namespace {

const std::string kSheet = "sheet trial\nuse wood.csv\nask w [kN/m]\ngiven L = 3.6 m\ngiven lone = 1\nchoose grade = C24 from wood -- class -- EN 338:2016\n"
                           "define sq(x [m]) = x*x\nderive M [kN*m] = w*sq(L)/8 -- moment -- statics\nderive W [mm^3] = M/grade.f\ncheck c: W <= 1 m^3\n";
const std::string kWood = "# invented\nclass, f [N/mm^2]\nC16, 16\nC24, 24\n";
const std::string kJob = "job T\ngiven snow = 1 kN/m\nmember A = trial\n with w = snow\nmember B = trial\n with w = 2*A.w\n";

std::string lettersOf(const std::string& jobText, const std::string& sheet, const std::string& wood, const std::string& mark = "B",
                      const std::string& name = "W") {
    Desk desk(jobText, sheet);
    desk.files.files["work/wood.csv"] = wood;
    const Job& job = desk.open();
    return job.letters(*job.memberByMark(mark), idOf(job, mark, name));
}

std::string changed(std::string text, const std::string& from, const std::string& to) {
    REQUIRE(text.find(from) != std::string::npos);
    return text.replace(text.find(from), from.size(), to);
}

/// Which of the three groups differ.
std::string groups(const std::string& a, const std::string& b) {
    std::string out;
    REQUIRE(a.size() == 11);
    REQUIRE(b.size() == 11);
    if (a.substr(0, 3) != b.substr(0, 3)) out += "formulas ";
    if (a.substr(4, 3) != b.substr(4, 3)) out += "values ";
    if (a.substr(8, 3) != b.substr(8, 3)) out += "tables ";
    return out;
}

} // namespace

TEST_CASE("letters are three groups of three without look-alikes") {
    std::set<char> seen;
    for (int i = 0; i < 2000; ++i) {
        const Groups g{Digester().number(i).done(), Digester().number(-i).done(), Digester().text(std::to_string(i)).done()};
        const std::string letters = nineLetters(g);
        REQUIRE(letters.size() == 11);
        CHECK(letters[3] == '-');
        CHECK(letters[7] == '-');
        for (char c : letters) seen.insert(c);
    }
    seen.erase('-');
    CHECK(seen.size() == 31);
    for (char c : {'0', 'O', '1', 'I', 'L'}) CHECK(seen.count(c) == 0);
    // SHA-1 of a known text (FIPS 180-4's example "abc"), through the length that closes each piece off.
    CHECK(Digester().text("abc").done() != Digester().text("ab").text("c").done());
    CHECK(Digester().number(0.0).done() == Digester().number(-0.0).done());
}

TEST_CASE("letters stand for formulas, stated values and tables, each group alone") {
    const std::string now = lettersOf(kJob, kSheet, kWood);
    CHECK(lettersOf(kJob, kSheet, kWood) == now);
    const auto sheet = [&](const std::string& from, const std::string& to) { return groups(now, lettersOf(kJob, changed(kSheet, from, to), kWood)); };
    const auto job = [&](const std::string& from, const std::string& to) { return groups(now, lettersOf(changed(kJob, from, to), kSheet, kWood)); };
    const auto wood = [&](const std::string& from, const std::string& to) { return groups(now, lettersOf(kJob, kSheet, changed(kWood, from, to))); };
    CHECK(sheet("/8", "/9") == "formulas ");
    CHECK(sheet("x*x", "x*x*1") == "formulas "); // a function that it calls
    CHECK(sheet("3.6 m", "3.7 m") == "values "); // a default counts as a stated value
    CHECK(job("1 kN/m", "2 kN/m") == "values "); // two members upstream
    CHECK(job("2*A.w", "3*A.w") == "formulas "); // a link is a formula
    CHECK(wood("24\n", "25\n") == "tables ");
    CHECK(wood("invented", "also invented") == "tables "); // where the table is from
    CHECK(sheet("EN 338:2016", "EN 338:2009") == "tables ");
    CHECK(sheet("= C24", "= C16") == "values ");
}

TEST_CASE("what does not bear on a value leaves its letters alone") {
    const std::string now = lettersOf(kJob, kSheet, kWood);
    const auto sheet = [&](const std::string& from, const std::string& to) { return groups(now, lettersOf(kJob, changed(kSheet, from, to), kWood)); };
    CHECK(sheet("lone = 1", "lone = 2") == "");
    CHECK(sheet("L = 3.6 m", "L = 3600 mm") == "");     // the same value
    CHECK(sheet("w*sq(L)/8", "w * sq( L ) / 8") == ""); // blanks
    CHECK(sheet("ask w", "# a comment\n\nask w") == "");
    CHECK(sheet("-- moment", "-- greatest moment") == "");
    CHECK(sheet("given L = 3.6 m\ngiven lone = 1\n", "given lone = 1\ngiven L = 3.6 m\n") == ""); // order is for the reader
    CHECK(groups(now, lettersOf(changed(kJob, "member A", "member Z = trial\nmember A"), kSheet, kWood)) == "");
    CHECK(groups(now, lettersOf(changed(kJob, "2*A.w", "2*A.w\n with L = 3.6 m"), kSheet, kWood)) == ""); // stated as it was assumed
}

TEST_CASE("a tick holds until something upstream changes, and says what") {
    Desk desk(kJob, kSheet);
    desk.files.files["work/wood.csv"] = kWood;
    Job& job = desk.open();
    REQUIRE(job.addTick("B", "W", "AB", "2026-05-04").ok());
    REQUIRE(job.addTick("A", "M", "AB", "2026-05-04").ok());
    REQUIRE(job.ticks().size() == 2);
    CHECK(job.ticks()[0].state == TickView::State::Current);
    CHECK(job.text("work/job.spanjob") == kJob + "tick    B.W by AB on 2026-05-04 letters " + job.ticks()[0].letters +
                                              "\ntick    A.M by AB on 2026-05-04 letters " + job.ticks()[1].letters + "\n");
    CHECK(row(job, "B", "W").tick == std::optional<std::uint32_t>(0));
    CHECK_FALSE(row(job, "B", "M").tick);
    REQUIRE(job.setJobGiven("snow", "2 kN/m").ok());
    CHECK(job.ticks()[0].state == TickView::State::OutOfDate);
    CHECK(job.ticks()[0].changed == "stated values");
    REQUIRE(job.setText("work/wood.csv", changed(kWood, "24\n", "25\n")).ok());
    CHECK(job.ticks()[0].changed == "stated values, tables and sources");
    CHECK(job.ticks()[1].changed == "stated values"); // M reads no table
    REQUIRE(job.setJobGiven("snow", "1 kN/m").ok());
    CHECK(job.ticks()[0].changed == "tables and sources");
    CHECK(job.ticks()[1].state == TickView::State::Current);
    // Ticking again takes the old tick's place.
    REQUIRE(job.addTick("B", "W", "CD", "2026-06-01").ok());
    CHECK(job.ticks().size() == 2);
    CHECK(job.ticks()[0].by == "CD");
    CHECK(job.ticks()[0].state == TickView::State::Current);
    // Letters that were tampered with do not pass.
    REQUIRE(job.setText("work/job.spanjob", kJob + "tick A.M by AB on 2026-05-04 letters AAA\n").ok());
    CHECK(job.ticks()[0].state == TickView::State::OutOfDate);
    // A value that is not computed is not ticked, and its tick not current.
    REQUIRE(job.setText("work/job.spanjob", changed(kJob, "= snow", "= ?") + "tick A.M by AB on 2026-05-04 letters AAA-BBB-CCC\n").ok());
    CHECK(job.ticks()[0].state == TickView::State::Unknown);
    CHECK_FALSE(job.addTick("A", "M", "AB", "2026-05-04").ok());
    CHECK(job.letters(0, idOf(job, "A", "M")).empty());
}

TEST_CASE("letters kept from before an edit are those of a fresh job") {
    Desk desk(kJob, kSheet);
    desk.files.files["work/wood.csv"] = kWood;
    Job& job = desk.open();
    const auto all = [](const Job& j) {
        std::string out;
        for (std::size_t m = 0; m < j.memberCount(); ++m)
            for (const auto& q : j.sheet(m).quantities) out += j.letters(m, q.id) + " ";
        return out + j.fingerprint();
    };
    std::set<std::string> seen{all(job)};
    const auto same = [&] {
        const std::string now = all(job);
        CHECK(seen.insert(now).second);
        REQUIRE(job.save().ok());
        const auto fresh = Job::open(desk.files, "work/job.spanjob", {.library = "library", .cancelled = {}});
        CHECK(all(*fresh) == now);
    };
    REQUIRE(job.setJobGiven("snow", "2 kN/m").ok());
    same();
    REQUIRE(job.setValue("A", "L", "4 m").ok());
    same();
    REQUIRE(job.setValue("A", "grade", "C16").ok());
    same();
    REQUIRE(job.setText("work/trial.spansheet", changed(kSheet, "/8", "/9")).ok());
    same();
    REQUIRE(job.setText("work/wood.csv", changed(kWood, "24\n", "25\n")).ok());
    same();
    REQUIRE(job.setValue("B", "w", "3 kN/m").ok());
    same();
}

TEST_CASE("the fingerprint is that of the inputs") {
    const auto print = [](const std::string& jobText, const std::string& sheet, const std::string& wood) {
        Desk desk(jobText, sheet);
        desk.files.files["work/wood.csv"] = wood;
        return desk.open().fingerprint();
    };
    const std::string now = print(kJob, kSheet, kWood);
    CHECK(print(kJob, kSheet, kWood) == now);
    CHECK(print("# c\n" + kJob, "\n" + kSheet, kWood + "# the end\n") == now);
    CHECK(print(changed(kJob, "1 kN/m", "1.1 kN/m"), kSheet, kWood) != now);
    CHECK(print(changed(kJob, "member A = trial", "member A = trial\n off 2"), kSheet, kWood) != now);
    CHECK(print(kJob, changed(kSheet, "lone = 1", "lone = 2"), kWood) != now);
    CHECK(print(kJob, kSheet, changed(kWood, "16\n", "17\n")) != now);
    Desk desk(kJob, kSheet);
    desk.files.files["work/wood.csv"] = kWood;
    Job& job = desk.open();
    CHECK(job.fingerprint() == now);
    REQUIRE(job.override("A", "L", "9 m").ok());
    CHECK(job.fingerprint() != now); // what `--set` states counts
}
