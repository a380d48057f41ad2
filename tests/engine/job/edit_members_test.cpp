// SPDX-License-Identifier: MIT
// Members as wholes: each edit is an edit of the text, and every other byte stays.
#include <doctest/doctest.h>

#include "tests/engine/job/support.h"

using namespace spanwright::job;
using namespace spanwright::job::tests;

namespace {

const std::string kTwo = R"(# heading
job     Trial
given   q = 1 kN/m

member  J1 = trial          -- upper
        off   2
        with  w_d = q
        note  a note

member  J2 = trial
        with  w_d = J1.R_d/L_0   -- from the upper one

tick    J1.M_d by AB on 2026-05-04 letters AAA-BBB-CCC
remark  J1.M_d by CD on 2026-05-05: what of J1.M_d?
)";

std::string textOf(const Job& job) { return job.text(job.path()).value_or(""); }

std::string with(std::string text, const std::string& old, const std::string& now) {
    const std::size_t at = text.find(old);
    REQUIRE(at != std::string::npos);
    return text.replace(at, old.size(), now);
}

} // namespace

TEST_CASE("a copy stands behind its model and states the same") {
    Desk desk(kTwo);
    Job& job = desk.open();
    CHECK(job.duplicateMember("J1", "J3").ok());
    CHECK(textOf(job) ==
          with(kTwo, "\nmember  J2", "\nmember  J3 = trial          -- upper\n        off   2\n        with  w_d = q\n        note  a note\n\nmember  J2"));
    CHECK(job.memberCount() == 3);
    CHECK(job.member(1).mark == "J3");
    CHECK(job.member(1).count == 2.0);
    CHECK(row(job, "J3", "w_d").shown == "1 kN/m");
}

TEST_CASE("a new member states nothing, and is not proven") {
    Desk desk(kTwo);
    Job& job = desk.open();
    CHECK(job.addMember("trial", "J3", "lower").ok());
    CHECK(textOf(job).find("from the upper one\n\nmember  J3 = trial -- lower\n\ntick") != std::string::npos);
    CHECK(member(job, "J3").verdict == Verdict::NotProven);
    CHECK(member(job, "J3").notStated == std::vector<std::string>{"w_d"});
}

TEST_CASE("the first member of an empty job, and of one without a line end") {
    for (const std::string& text : {std::string(), std::string("job Trial\n"), std::string("job Trial"), std::string("job Trial\r\n")}) {
        Desk desk(text);
        Job& job = desk.open();
        CHECK(job.addMember("trial", "J1", "").ok());
        CHECK(job.memberCount() == 1);
        CHECK(textOf(job).compare(0, text.size(), text) == 0);
        if (text.size() > 9 && text.back() == '\n' && text[text.size() - 2] == '\r') CHECK(textOf(job).find("J1 = trial\r\n") != std::string::npos);
    }
}

TEST_CASE("a member that goes takes its ticks and remarks along") {
    Desk desk(kTwo);
    Job& job = desk.open();
    CHECK(job.removeMember("J1").ok());
    CHECK(textOf(job) == "# heading\njob     Trial\ngiven   q = 1 kN/m\n\nmember  J2 = trial\n        with  w_d = J1.R_d/L_0   -- from the upper one\n\n");
    CHECK(job.memberCount() == 1);
    // The link that it carried is an error now, never a silent default.
    CHECK(member(job, "J2").verdict == Verdict::NotComputed);
}

TEST_CASE("links, ticks and remarks follow a new mark") {
    Desk desk(with(kTwo, "J1.R_d/L_0", "J1.R_d/J1.L"));
    Job& job = desk.open();
    const std::string before = row(job, "J2", "w_d").shown;
    CHECK(job.renameMember("J1", "K7").ok());
    const std::string text = textOf(job);
    CHECK(text.find("member  K7 = trial          -- upper") != std::string::npos);
    CHECK(text.find("w_d = K7.R_d/K7.L   --") != std::string::npos);
    CHECK(text.find("tick    K7.M_d by AB") != std::string::npos);
    CHECK(text.find("remark  K7.M_d by CD on 2026-05-05: what of J1.M_d?") != std::string::npos);
    CHECK(row(job, "J2", "w_d").shown == before);
    CHECK(before == "0.5 kN/m");
    CHECK(job.renameMember("K7", "J1").ok());
    CHECK(textOf(job) == with(kTwo, "J1.R_d/L_0", "J1.R_d/J1.L"));
}

TEST_CASE("members change places, and back again") {
    Desk desk(kTwo);
    Job& job = desk.open();
    CHECK(job.addMember("trial", "J3", "").ok());
    const std::string three = textOf(job);
    for (const auto& [mark, to, expected] :
         {std::tuple{"J3", 0, "J3J1J2"}, std::tuple{"J3", 2, "J1J2J3"}, std::tuple{"J1", 1, "J2J1J3"}, std::tuple{"J1", 0, "J1J2J3"}}) {
        CHECK(job.moveMember(mark, static_cast<std::size_t>(to)).ok());
        std::string order;
        for (std::size_t i = 0; i < job.memberCount(); ++i) order += job.member(i).mark;
        CHECK(order == expected);
        CHECK(row(job, "J1", "w_d").shown == "1 kN/m");
    }
    CHECK(textOf(job) == three);
}

TEST_CASE("count and purpose are put in or changed") {
    Desk desk(kTwo);
    Job& job = desk.open();
    CHECK(job.setCount("J1", "14").ok());
    CHECK(textOf(job) == with(kTwo, "off   2", "off   14"));
    CHECK(job.setCount("J2", "3").ok());
    CHECK(textOf(job).find("member  J2 = trial\n        off   3\n") != std::string::npos);
    CHECK(member(job, "J2").count == 3.0);
    for (const char* bad : {"0", "-1", "2.5", "many", ""}) CHECK_FALSE(job.setCount("J1", bad).ok());
    CHECK(job.setPurpose("J1", "over the store").ok());
    CHECK(job.setPurpose("J2", "below").ok());
    CHECK(member(job, "J1").purpose == "over the store");
    CHECK(member(job, "J2").purpose == "below");
    CHECK_FALSE(job.setPurpose("J1", "one -- two").ok());
    CHECK_FALSE(job.setPurpose("J1", "one\nmember J9 = trial").ok());
}

TEST_CASE("what is stated can be taken back") {
    Desk desk(kTwo);
    Job& job = desk.open();
    CHECK(job.takeBack("J1", "w_d").ok());
    CHECK(textOf(job) == with(kTwo, "        with  w_d = q\n", ""));
    CHECK(row(job, "J1", "w_d").state == spanwright::eval::State::NotStated);
    CHECK(job.takeBack("J1", "L").ok());
    CHECK(textOf(job) == with(kTwo, "        with  w_d = q\n", ""));
}

TEST_CASE("marks that cannot be, and members that are not, are refused with nothing changed") {
    Desk desk(kTwo);
    Job& job = desk.open();
    for (const char* bad : {"", "1J", "J 3", "J1", "J2", "if", "J-3", "J3\n"}) {
        CHECK_FALSE(job.duplicateMember("J1", bad).ok());
        CHECK_FALSE(job.addMember("trial", bad, "").ok());
        CHECK_FALSE((std::string(bad) != "J1" && job.renameMember("J1", bad).ok()));
    }
    CHECK_FALSE(job.removeMember("X").ok());
    CHECK_FALSE(job.moveMember("X", 0).ok());
    CHECK_FALSE(job.setCount("X", "1").ok());
    CHECK_FALSE(job.takeBack("X", "L").ok());
    CHECK_FALSE(job.addMember("trial\nmember J9 = trial", "J3", "").ok());
    CHECK(textOf(job) == kTwo);
    Job& sheet = desk.openSheet();
    CHECK_FALSE(sheet.addMember("trial", "J1", "").ok());
    CHECK_FALSE(sheet.takeBack("trial", "L").ok());
}

TEST_CASE("a member with a list is moved and copied with its rows") {
    const std::string sheet = kTrial + "list    holes\nat [m], d [mm]\nend\neach    hole in holes\n";
    const std::string text = "job Trial\nmember  J1 = trial\n        with  w_d = 1 kN/m\n        list  holes\n        at [m], d [mm]\n        0.5, 20\n        "
                             "end\nmember  J2 = trial\n";
    Desk desk(text, sheet);
    Job& job = desk.open();
    CHECK(job.duplicateMember("J1", "J3").ok());
    CHECK(row(job, "J3", "holes").shown == "1 row");
    CHECK(job.removeMember("J1").ok());
    CHECK(textOf(job).find("0.5, 20") == textOf(job).rfind("0.5, 20"));
    CHECK(job.memberCount() == 2);
}
