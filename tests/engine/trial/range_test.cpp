// SPDX-License-Identifier: MIT
#include "engine/trial/range.h"

#include "tests/engine/trial/bench.h"

using namespace spanwright;
using namespace spanwright::trial;
using namespace spanwright::trial::tests;

namespace {

base::Result<Axis, diag::Diagnostic> axis(const std::string& text) {
    static const Desk desk(kOneJoist);
    auto over = readOver(text, "job");
    if (!over) return base::Failure<diag::Diagnostic>{over.error()};
    auto trial = Trial::of(*desk.job, {splitName(*desk.job, over.value().name)}, {});
    REQUIRE(trial);
    return axisOf(trial.value(), 0, over.value(), "job");
}

std::string refused(const std::string& text) {
    const auto a = axis(text);
    if (a) return "not refused";
    return std::string(diag::codeText(a.error().code)) + " " + a.error().message;
}

} // namespace

TEST_CASE("ranges and lists are read as they are written") {
    const Axis h = axis("J1.h from 200 mm to 400 mm by 10 mm").value();
    REQUIRE(h.values.size() == 21);
    CHECK(h.numeric);
    // The same double as the value has when it is stated.
    CHECK(h.values[7] == units::readValue("270 mm").value().si);
    CHECK(h.values[9] == units::readValue("290 mm").value().si);
    CHECK(h.values.back() == units::readValue("400 mm").value().si);
    CHECK(h.labels[1] == "210 mm");
    CHECK(axis("J1.L from 2 m to 6 m").value().values.size() == 21);
    CHECK(axis("J1.h in 200 mm, 9.25 in, 0.3").value().values == std::vector<double>{0.2, 0.23495, 0.0003});
    CHECK(axis("J1.h from 100 mm to 111 mm by 4 mm").value().values.size() == 3); // the end is not passed
    const Axis grade = axis("J1.grade").value();
    CHECK(grade.labels == std::vector<std::string>{"C18", "C24", "C30"});
    CHECK(axis("J1.grade in C30, C18").value().values == std::vector<double>{2, 0});
}

TEST_CASE("what cannot be varied over is refused in words") {
    CHECK(refused("J1.h from 400 mm to 200 mm by 10 mm") == "T901 the range of `J1.h` runs backwards: from 400 mm to 200 mm");
    CHECK(refused("J1.h from 200 mm to 200 mm") == "T901 the range of `J1.h` is empty: both ends are 200 mm");
    CHECK(refused("J1.h from 200 mm to 400 mm by 0 mm") == "T901 the step of `J1.h` is 0 mm: it must be above zero");
    CHECK(refused("J1.h from 200 mm to 400 mm by -5 mm") == "T901 the step of `J1.h` is -5 mm: it must be above zero");
    CHECK(refused("J1.h from 0 mm to 1 m by 1e-9 mm") == "T902 `J1.h` would take 1000000000001 values, and a table has at most 1,000,000 points");
    CHECK(refused("J1.h").substr(0, 4) == "T901");
    CHECK(refused("J1.h from 200 mm").substr(0, 4) == "T901");
    CHECK(refused("J1.h from 200 mm to 300 kN").substr(0, 4) == "M303");
    CHECK(refused("J1.h in 200 mm, , 3 mm").substr(0, 4) == "T901");
    CHECK(refused("J1.grade in C25").substr(0, 4) == "M312");
    CHECK(refused("J1.grade from 1 to 3").substr(0, 4) == "T901");
    CHECK(refused("from 1 to 2").substr(0, 4) == "T901");
}

TEST_CASE("only what can be stated can be varied") {
    const Desk desk(kOneJoist);
    const auto code = [&](const ValueName& n) {
        const auto t = Trial::of(*desk.job, {n}, {});
        return t ? std::string("made") : std::string(diag::codeText(t.error().code));
    };
    CHECK(code({"J1", "h"}) == "made");
    CHECK(code({"J1", "M"}) == "J603");
    CHECK(code({"J1", "hh"}) == "M301");
    CHECK(code({"J9", "h"}) == "J601");
    CHECK(code({"", "snow"}) == "M301");
    CHECK_FALSE(Trial::of(*desk.job, {{"J1", "h"}, {"J1", "h"}}, {}));
    CHECK_FALSE(Trial::of(*desk.job, {{"J1", "h"}}, {{"J1", "nothing"}}));
    CHECK_FALSE(Trial::of(*desk.job, {{"J1", "h"}}, {{"J1", "grade"}}));
}

TEST_CASE("a bare name is the job's own, or the row of the one member that has it") {
    const Desk desk("job Shed\ngiven N = 2 kN/m\nmember J1 = joist\nwith w = N\nmember J2 = joist\nwith w = 1 kN/m\nmember P1 = post\nwith N = 3*J1.R\n");
    CHECK(splitName(*desk.job, "N") == ValueName{"", "N"});
    CHECK(splitName(*desk.job, " N_R ") == ValueName{"P1", "N_R"});
    CHECK(splitName(*desk.job, "h") == ValueName{"", "h"});
    CHECK(splitName(*desk.job, "P1.N") == ValueName{"P1", "N"});
    CHECK(Trial::of(*desk.job, {splitName(*desk.job, "N_R")}, {splitName(*desk.job, "squash")}));
    const auto refusal = [&](const std::string& varied, const std::string& shown) {
        const auto t = Trial::of(*desk.job, {splitName(*desk.job, varied)}, {splitName(*desk.job, shown)});
        return t ? std::string("made") : t.error().message + "; " + t.error().mend;
    };
    CHECK(refusal("h", "squash") == "`h` is a row of 2 members; say which: J1.h, J2.h");
    CHECK(refusal("N_R", "bending") == "`bending` is a row of 2 members; say which: J1.bending, J2.bending");
    CHECK(refusal("N_R", "J1") == "`J1` is a member, and not one of its rows; name a row with it, as in `J1.h`");
    CHECK(refusal("N_R", "N") == "`N` is a value of the job's own, and not a row of a member; name a row of a member, as in `J1.M_d`");
    CHECK(refusal("N_R", "sqash") == "neither the job nor a member has a row `sqash`; did you mean `squash`?");
    CHECK(refusal("xyzzy_q", "squash").find("neither the job nor a member has a row") == 0);
}
