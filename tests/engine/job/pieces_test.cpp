// SPDX-License-Identifier: MIT
#include "tests/engine/job/support.h"

using namespace spanwright;
using namespace spanwright::job;
using namespace spanwright::job::tests;

namespace {

const std::string kRows = "sheet   trial\nlist joints\nat [m], flange [text]\n1.5, top\n2.25, low\nend\neach j in joints\n"
                          "table classes by class\nclass, rho_mean [kg/m^3]\nC24, 420\nC30, 460\nend\nchoose grade = C24 from classes\n"
                          "ask L [m] from 0 m to 9 m\ngiven n = 2\ngiven b = 45 mm\ngiven h = 220 mm\ncheck c: b <= h\n"
                          "part Stiffeners only if n > 2\npiece post = 2 off, b by b by h from grade\n"
                          "part More\n";

struct Cut {
    std::unique_ptr<Desk> desk;
    PieceList list;
};

Cut cut(const std::string& pieces, const std::string& with = "with L = 3.6 m\n") {
    Cut out;
    out.desk = std::make_unique<Desk>("job T\nmember J1 = trial\n" + with, kRows + pieces);
    out.list = out.desk->open().pieces(0);
    return out;
}

std::string problem(const std::string& piece, const std::string& with = "with L = 3.6 m\n") {
    const Cut c = cut(piece + "\n", with);
    CHECK(c.list.pieces.empty());
    REQUIRE(c.list.problems.size() == 1);
    return std::string(diag::codeText(c.list.problems[0].code)) + " " + c.list.problems[0].message;
}

} // namespace

TEST_CASE("a piece is worked out in metres, with the density of what it is cut from") {
    const Cut c = cut("piece joist = n off, b by h by L + 2*b from grade, groove 2*L, rip, at L/2 -- a joist\n");
    REQUIRE_MESSAGE(c.list.problems.empty(), told(*c.desk->job));
    REQUIRE(c.list.pieces.size() == 1);
    const PieceView& p = c.list.pieces[0];
    CHECK(p.name == "joist");
    CHECK(p.what == "a joist");
    CHECK(p.count == 2.0);
    CHECK(p.thickness == 0.045);
    CHECK(p.breadth == 0.22);
    CHECK(p.breadthEnd == 0.22);
    CHECK(p.length == doctest::Approx(3.69));
    CHECK(p.material == "C24");
    REQUIRE(p.density);
    CHECK(*p.density == 420.0);
    CHECK(p.densitySource == "rho_mean of C24 in classes");
    REQUIRE(p.at);
    CHECK(*p.at == doctest::Approx(1.8));
    REQUIRE(p.operations.size() == 2);
    CHECK(p.operations[0].amount == doctest::Approx(7.2));
    CHECK(p.operations[1].amount == doctest::Approx(3.69)); // alone: once along the piece
}

TEST_CASE("parts that are off, counts of nothing and conditions leave pieces out; lists give one a row") {
    CHECK(cut("").list.pieces.empty());
    CHECK(cut("", "with L = 3.6 m\nwith n = 3\n").list.pieces.size() == 1);
    CHECK(cut("piece none = 0 off, 0*b by h by L from grade\n").list.pieces.empty());
    const Cut c = cut("piece part = 1 off, b by h to 2*h by j.at from grade only if j.flange == \"low\"\npiece both = 1 off, b by h by j.at from deal\n");
    REQUIRE(c.list.pieces.size() == 3);
    CHECK(c.list.pieces[0].label == "2.25");
    CHECK(c.list.pieces[0].breadthEnd == 0.44);
    CHECK(c.list.pieces[1].label == "1.5");
    CHECK(c.list.pieces[1].material == "deal");
    CHECK_FALSE(c.list.pieces[1].density);
}

TEST_CASE("what cannot be worked out is told, and the member's verdict stands") {
    CHECK(problem("piece p = 2 off, b by h by L from grade", "") == "W801 the piece `p` cannot be worked out: `L` is not stated");
    CHECK(problem("piece p = 2.5 off, b by h by L from grade").find("W802") == 0);
    CHECK(problem("piece p = -1 off, b by h by L from grade").find("W802") == 0);
    CHECK(problem("piece p = 1 off, b by h by L - 4 m from grade").find("W803") == 0);
    CHECK(problem("piece p = 1 off, b by h by L*1000 from grade").find("W803") == 0);
    CHECK(problem("piece p = 1 off, b by h by L/0 from grade").find("W801") == 0);
    CHECK(problem("piece p = 1 off, b by h by L from grade, groove L - 4 m").find("W803") == 0);
    const Cut c = cut("piece p = 1 off, b by h by L/0 from grade\n");
    CHECK(c.desk->job->member(0).verdict == Verdict::Ok);
}

TEST_CASE("a member may stand in another's place") {
    Desk desk("job T\nmember J1 = trial\nmember J2 = trial\ninstead of J1\nwith L = 3 m\nmember J3 = trial\ninstead of J9\n", kRows);
    Job& job = desk.open();
    CHECK(job.member(0).insteadOf.empty());
    CHECK(job.member(1).insteadOf == "J1");
    CHECK(told(job).find("there is no member `J9`") != std::string::npos);
    REQUIRE(job.renameMember("J1", "K1").ok());
    CHECK(job.member(1).insteadOf == "K1");
}

TEST_CASE("a list of a member is stated as text, in place of the one that is there") {
    Desk desk("job T\nmember J1 = trial -- the first\n        with L = 3.6 m\n        note  keep me\nmember J2 = trial\n        with L = 3 m\n", kRows);
    Job& job = desk.open();
    REQUIRE(job.setList("J1", "joints", "at [m], flange\n1.2, top\n").ok());
    CHECK(*job.text("work/job.spanjob") ==
          "job T\nmember J1 = trial -- the first\n        with L = 3.6 m\n        list  joints\n        at [m], flange\n        1.2, top\n        end\n"
          "        note  keep me\nmember J2 = trial\n        with L = 3 m\n");
    REQUIRE(job.setList("J1", "joints", "at [m], flange\n1.8, top\n2.4, low").ok());
    CHECK(*job.text("work/job.spanjob") == "job T\nmember J1 = trial -- the first\n        with L = 3.6 m\n        list  joints\n        at [m], flange\n      "
                                           "  1.8, top\n        2.4, low\n        end\n"
                                           "        note  keep me\nmember J2 = trial\n        with L = 3 m\n");
    CHECK_FALSE(job.setList("J1", "L", "a\n1\n").ok());
    CHECK_FALSE(job.setList("J9", "joints", "a\n1\n").ok());
    CHECK_FALSE(job.setList("J1", "joints", "at [m], flange\nend\n").ok());
}
