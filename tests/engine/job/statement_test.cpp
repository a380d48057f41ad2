// SPDX-License-Identifier: MIT
#include "tests/engine/job/support.h"

using namespace spanwright;
using namespace spanwright::job;
using namespace spanwright::job::tests;

namespace {

/// The one diagnostic of a job whose member J1 states `with`.
diag::Diagnostic mistake(const std::string& with, const std::string& sheet = kTrial) {
    Desk desk("job T\ngiven snow = 1.8 kN/m^2\nmember J1 = trial\n" + with, sheet);
    const Job& job = desk.open();
    CHECK(job.exitStatus() == 1);
    CHECK(member(job, "J1").verdict == Verdict::NotComputed);
    const auto all = job.diagnostics();
    std::vector<diag::Diagnostic> errors;
    for (const auto& d : all)
        if (d.severity == diag::Severity::Error) errors.push_back(d);
    INFO(told(job));
    REQUIRE(errors.size() == 1);
    CHECK(errors[0].place.file == "work/job.spanjob");
    return errors[0];
}

const std::string kGrades =
    "sheet trial\ntable wood by species, grade\nspecies, grade, f [N/mm^2]\nDouglas fir-larch, #1, 10\nDouglas fir-larch, #2, 8\n\"Hem, fir\", #2, 7\nend\n"
    "choose timber from wood\nask s [N/mm^2]\ncheck c: s <= timber.f\n";

} // namespace

TEST_CASE("values are stated in any unit of their dimension") {
    Desk desk("job T\nmember A = trial\n with w_d = 200 kgf/m\nmember B = trial\n with w_d = 137 plf\n with L = 11 ft 10 in\nmember C = trial\n with w_d = "
              "2*0.9 (kN/m)\n with L = 3600 mm\n");
    const Job& job = desk.open();
    CHECK(told(job) == "");
    CHECK(job.value(0, idOf(job, "A", "w_d")).one == doctest::Approx(1961.33));
    CHECK(job.value(1, idOf(job, "B", "L")).one == doctest::Approx(3.60680));
    CHECK(job.value(2, idOf(job, "C", "w_d")).one == doctest::Approx(1800));
    CHECK(job.value(2, idOf(job, "C", "L")).one == 3.6); // bit for bit, as 3.6 m
}

TEST_CASE("values that do not fit are told at their place") {
    CHECK(mistake(" with w_d = 2 kN\n").code == diag::Code::UnlikeDimensions);
    CHECK(mistake(" with w_d = 2\n").code == diag::Code::UnlikeDimensions);
    CHECK(mistake(" with w_d = 200 kg/m\n").code == diag::Code::MassForForce);
    CHECK(mistake(" with w_d = 1,200 N/m\n").code == diag::Code::ThousandsMark);
    CHECK(mistake(" with w_d = 2 kN/mm^^2\n").place.row == 3);
    CHECK(mistake(" with w_d = 2 kNN/m\n").code == diag::Code::UnknownUnit);
    const auto range = mistake(" with w_d = 60 kN/m\n");
    CHECK(range.code == diag::Code::OutOfRange);
    CHECK(range.place.row == 3);
    REQUIRE(range.labels.size() == 1);
    CHECK(range.labels[0].place.file == "work/trial.spansheet");
    CHECK(range.member == "J1");
    CHECK(mistake(" with w_d = 2 kN/m\n with M_d = 2 kN*m\n").code == diag::Code::NotSettable);
    CHECK(mistake(" with w_d = 2 kN/m\n with M_d = 2 kN*m\n").mend == "state what it is worked out from: w_d, L");
    CHECK(mistake(" with w_d = 2 kN/m\n with M_RR = 2 kN*m\n").code == diag::Code::UnknownName);
    CHECK(mistake(" with w_d = 2 kN/m\n with M_RR = 2 kN*m\n").mend == "did you mean `M_R`?");
    CHECK(mistake(" with w_d =\n").code == diag::Code::RowIncomplete);
}

TEST_CASE("a choose wants a key of its table, as it is written there") {
    Desk desk("job T\nmember A = trial\n with s = 1 MPa\n with timber = Douglas fir-larch, #2 -- as delivered\nmember B = trial\n with s = 1 MPa\n with timber "
              "= \"Hem, fir\", #2\n",
              kGrades);
    const Job& job = desk.open();
    CHECK(told(job) == "");
    CHECK(shown(job, "A", "timber") == "Douglas fir-larch, #2");
    CHECK(check(job, "A", "c").rightShown == "8 N/mm²");
    CHECK(check(job, "B", "c").rightShown == "7 N/mm²");
    const auto wrong = mistake(" with s = 1 MPa\n with timber = Douglas fir-larch, #3\n", kGrades);
    CHECK(wrong.code == diag::Code::UnknownTableRow);
    CHECK(wrong.mend == "did you mean `Douglas fir-larch, #1`?");
    CHECK(wrong.message == "the table wood has no row `Douglas fir-larch, #3`");
}

TEST_CASE("texts and conditions can be stated") {
    const std::string sheet = "sheet trial\ngiven kind = \"sawn\"\ngiven wet = false\ngiven a = 1\ncheck c: if(wet or kind == \"round\", 2*a, a) <= 1.5\n";
    Desk desk("job T\nmember A = trial\nmember B = trial\n with wet = true\nmember C = trial\n with kind = \"round\"\n", sheet);
    const Job& job = desk.open();
    CHECK(told(job) == "");
    CHECK(member(job, "A").verdict == Verdict::Ok);
    CHECK(member(job, "B").verdict == Verdict::Fails);
    CHECK(member(job, "C").verdict == Verdict::Fails);
    CHECK(shown(job, "B", "wet") == "yes");
    CHECK(shown(job, "C", "kind") == "round");
}

TEST_CASE("links take values of other members and givens of the job") {
    Desk desk(R"(job T
given   s = 400 mm
given   half [mm] = s/2
given   snow [kN/m^2] = 1.8 kN/m^2
member  J1 = trial
        with w_d = snow*s
member  H1 = trial
        with w_d = J1.R_d/half
        with L = J1.L
)");
    const Job& job = desk.open();
    CHECK(told(job) == "");
    CHECK(shown(job, "J1", "w_d") == "0.72 kN/m");
    CHECK(job.value(1, idOf(job, "H1", "w_d")).one == doctest::Approx(0.72e3 * 3.6 / 2 / 0.2));
    CHECK(row(job, "H1", "w_d").statedText == "J1.R_d/half");
    CHECK(joined(member(job, "J1").feedsMembers) == "H1");
    CHECK(joined(member(job, "H1").readsMembers) == "J1");
    CHECK(member(job, "J1").readsMembers.empty());
}

TEST_CASE("links that do not fit are told") {
    const std::string ok = " with w_d = 1 kN/m\n";
    CHECK(mistake(" with w_d = J9.R_d/(1 m)\n").code == diag::Code::UnknownMember);
    CHECK(mistake(" with w_d = J9.R_d/(1 m) + J9.L*(1 kPa)\n").code == diag::Code::UnknownMember);
    CHECK(mistake(" with w_d = J11.R_d/(1 m)\n").mend == "did you mean `J1`?");
    CHECK(mistake(" with w_d = J1.R_dd/(1 m)\n").code == diag::Code::UnknownName);
    CHECK(mistake(" with w_d = snwo*(1 m)\n").mend == "did you mean `snow`?");
    Desk desk("job T\nmember J1 = trial\n" + ok + "member J2 = trial\n with w_d = J1.R_d\n with M_R = 9 kN*m\n");
    const auto all = desk.open().diagnostics();
    REQUIRE(all.size() == 1);
    CHECK(all[0].code == diag::Code::UnlikeDimensions);
    CHECK(all[0].member == "J2");
}

TEST_CASE("a tag must meet its like") {
    const std::string sheet = "sheet trial\nask w [kN/m] as characteristic\nderive R [kN] as characteristic = w*2 m\ngiven gamma = 1.35\nderive E [kN] as "
                              "design = gamma*R\ncheck c: E <= 100 kN\n";
    Desk good("job T\nmember A = trial\n with w = 1 kN/m\nmember B = trial\n with w = A.R/(1 m)\n", sheet);
    CHECK(told(good.open()) == "");
    Desk bad("job T\nmember A = trial\n with w = 1 kN/m\nmember B = trial\n with w = A.E/(1 m)\n", sheet);
    const auto all = bad.open().diagnostics();
    REQUIRE(all.size() == 1);
    CHECK(all[0].code == diag::Code::TagMismatch);
    CHECK(all[0].member == "B");
}

TEST_CASE("a link takes one number; with cases it says to reduce it") {
    Desk desk("job T\nmember J1 = trial\n with w_d = 1 kN/m\nmember C = cases\nmember J2 = trial\n with w_d = C.w\nmember J3 = trial\n with w_d = C.most\n");
    desk.files.files["work/cases.spansheet"] = "sheet cases\ntable t by k\nk, f\na, 1\nb, 2\nend\neach c in t\nderive w [kN/m] = c.f*1 (kN/m)\nderive most "
                                               "[kN/m] = largest(w, over c)\ncheck ok: w <= 3 (kN/m)\n";
    const Job& job = desk.open();
    const auto all = job.diagnostics();
    INFO(told(job));
    REQUIRE(all.size() == 1);
    CHECK(all[0].code == diag::Code::LinkCases);
    CHECK(all[0].place.file == "work/job.spanjob");
    CHECK(all[0].place.row == 5);
    CHECK(shown(job, "J3", "w_d") == "2 kN/m");
}

TEST_CASE("what a link waits for is said, and only the cause is a mistake") {
    Desk desk(R"(job T
member J1 = trial
member J2 = trial
        with w_d = J1.R_d/(2 m)
member J3 = trial
        with w_d = J2.R_d/(2 m)
member X1 = nothing
member J4 = trial
        with w_d = X1.R_d/(2 m)
)");
    const Job& job = desk.open();
    CHECK(row(job, "J2", "w_d").reason == "not computed, because of J1.w_d, which is not stated");
    CHECK(row(job, "J3", "M_d").reason == "not computed, because of J1.w_d, which is not stated");
    CHECK(member(job, "J3").verdict == Verdict::NotProven);
    CHECK(joined(member(job, "J3").reasons) == "it needs J1.w_d, which is not stated");
    CHECK(row(job, "J4", "M_d").reason == "not computed, because of X1, whose sheet could not be read");
    CHECK(member(job, "J4").verdict == Verdict::NotComputed);
    const auto all = job.diagnostics(); // errors first
    REQUIRE(all.size() == 2);
    CHECK(all[0].code == diag::Code::UnknownSheet);
    CHECK(all[1].code == diag::Code::NotStated);
    CHECK(all[1].severity == diag::Severity::Warning);
    CHECK(all[1].message == "`w_d` (design line load) is not stated for J1");
}

TEST_CASE("a reason follows its cause, even where the values in between stay as they are") {
    Desk desk("job T\nmember J1 = trial\nmember J2 = trial\n with w_d = J1.R_d/(2 m)\n");
    Job& job = desk.open();
    CHECK(row(job, "J2", "M_d").reason == "not computed, because of J1.w_d, which is not stated");
    REQUIRE(job.setText("work/job.spanjob", "job T\nmember J1 = trial\n with w_d = 2 m\nmember J2 = trial\n with w_d = J1.R_d/(2 m)\n").ok());
    CHECK(row(job, "J2", "M_d").reason == "not computed, because of J1.w_d, which could not be computed");
    CHECK(member(job, "J2").verdict == Verdict::NotComputed);
}

TEST_CASE("a member may link to a row that does not apply, and is told") {
    const std::string sheet = "sheet trial\ngiven n = 0\ngiven a = 1\ncheck c: a <= 2\npart Second only if n > 0\nderive r = 2*a\notherwise\nderive q = a\n";
    Desk desk("job T\nmember A = trial\nmember B = trial\n with a = A.r/2\nmember C = trial\n with a = A.q\n", sheet);
    const Job& job = desk.open();
    CHECK(member(job, "C").verdict == Verdict::Ok);
    const auto all = job.diagnostics();
    REQUIRE(all.size() == 1);
    CHECK(all[0].code == diag::Code::ConditionalUse);
    CHECK(all[0].member == "B");
    CHECK(all[0].message == "`a` needs A.r, which stands in a part that does not apply");
}

namespace {
const std::string kJoints = "sheet trial\nlist joints\nat [m], face [text]\n1.0, top\nend\neach j in joints\ngiven L = 4 m\nderive most [m] = largest(j.at, "
                            "over j)\ncheck c: most <= L\n";
} // namespace

TEST_CASE("a member may state its own rows of a list") {
    Desk desk("job T\nmember A = trial\nmember B = trial\n list joints\n face [text], at [mm]\n bottom, 2400\n \"top, again\", 3000\n end\n with L = 3.5 m\n",
              kJoints);
    const Job& job = desk.open();
    CHECK(told(job) == "");
    CHECK(shown(job, "A", "most") == "1 m");
    CHECK(shown(job, "B", "most") == "3 m");
    CHECK(shown(job, "B", "joints") == "2 rows");
    CHECK(row(job, "B", "joints").stated);
    CHECK(shown(job, "B", "L") == "3.5 m");
}

TEST_CASE("a member's rows must have the columns of the sheet") {
    const auto lacks = mistake(" list joints\n at [m]\n 2\n end\n", kJoints);
    CHECK(lacks.code == diag::Code::UnknownColumn);
    CHECK(lacks.message == "the list joints lacks the column `face`");
    CHECK(lacks.mend == "its columns are: at [m], face [text]");
    CHECK(lacks.place.row == 4);
    CHECK(mistake(" list joints\n at [m], face [text], more\n 2, top, 3\n end\n", kJoints).message == "the list joints has no column `more`");
    CHECK(mistake(" list joints\n at [kN], face [text]\n 2, top\n end\n", kJoints).code == diag::Code::UnlikeDimensions);
    CHECK(mistake(" list joints\n at [m], face [text]\n two, top\n end\n", kJoints).code == diag::Code::TableCell);
    CHECK(mistake(" list joints\n at [m], face [text]\n 2\n end\n", kJoints).code == diag::Code::CsvFieldCount);
    CHECK(mistake(" list joint\n at [m], face [text]\n 2, top\n end\n", kJoints).mend == "did you mean `joints`?");
    CHECK(mistake(" with joints = 3\n", kJoints).code == diag::Code::NotSettable);
    CHECK(mistake(" list L\n at [m]\n 2\n end\n", kJoints).code == diag::Code::NotSettable);
}

TEST_CASE("a choose may pick from a member's own rows") {
    const std::string sheet = "sheet trial\nlist posts by name\nname, h [m]\na, 2\nb, 3\nend\nchoose post = a from posts\ncheck c: post.h <= 5 m\n";
    Desk desk("job T\nmember A = trial\n with post = b\nmember B = trial\n list posts\n name, h [m]\n c, 4\n end\n with post = c\nmember C = trial\n list "
              "posts\n name, h [m]\n c, 4\n end\n with post = d\n",
              sheet);
    const Job& job = desk.open();
    CHECK(check(job, "A", "c").leftShown == "3 m");
    CHECK(check(job, "B", "c").leftShown == "4 m");
    CHECK(row(job, "C", "post").state == eval::State::Failed);
    const auto all = job.diagnostics();
    REQUIRE(all.size() == 1);
    CHECK(all[0].code == diag::Code::UnknownTableRow);
    CHECK(all[0].place.row == 14);
}

TEST_CASE("a key may come from another member") {
    Desk desk("job T\nmember A = trial\n with s = 1 MPa\n with timber = Douglas fir-larch, #2\nmember B = trial\n with s = 1 MPa\n with timber = A.timber\n",
              kGrades);
    CHECK(told(desk.open()) == "");
    CHECK(shown(*desk.job, "B", "timber") == "Douglas fir-larch, #2");
    CHECK(check(*desk.job, "B", "c").rightShown == "8 N/mm²");
}

TEST_CASE("a job's givens are checked like any value") {
    const auto codes = [](const std::string& givens) {
        Desk desk("job T\n" + givens + "member J1 = trial\n with w_d = 1 kN/m\n");
        std::vector<std::string> out;
        for (const auto& d : desk.open().diagnostics()) out.emplace_back(diag::codeText(d.code));
        return joined(out);
    };
    CHECK(codes("given a [kN] = 2 kN\n") == "");
    CHECK(codes("given a [kN] = 2 m\n") == "M303");
    CHECK(codes("given a [kNN] = 2 kN\n") == "U201");
    CHECK(codes("given a = 2 kN\ngiven a = 3 kN\n") == "M302");
    CHECK(codes("given a = b\ngiven b = 3 kN\n") == "M301"); // only what stands above
    CHECK(codes("given a = 3 kN from 1 kN to 5 kN\n") == "S103");
}
