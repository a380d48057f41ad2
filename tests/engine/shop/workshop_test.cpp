// SPDX-License-Identifier: MIT
// Whole small jobs, worked by hand.
#include "tests/engine/shop/support.h"

#include <numeric>

using namespace spanwright;
using namespace spanwright::shop;
using namespace spanwright::shop::tests;

namespace {

const std::string kShop = "date 2026-05-04\n"
                          "stock s195 = C24, 47 mm by 195 mm by 4.8 m, 3.90 EUR/m on 2026-04-20 until 2026-06-30\n"
                          "stock b12 = birch 12, 12 mm by 1220 mm by 2440 mm, panel, 64 EUR on 2026-04-20\n"
                          "consumable nail = nails, 1, 0.05 EUR on 2026-04-20, weighs 6 g\n"
                          "saw kerf 3.2 mm, trim 20 mm\n";

} // namespace

TEST_CASE("a small job comes out by hand to the last cent") {
    Bench b("job T\n" + kShop +
            "labour crosscut = 2 min, 30 EUR/h on 2026-04-20\n"
            "labour member = 12 min, 30 EUR/h on 2026-04-20\n"
            "tool blade = crosscut, 60 EUR on 2026-04-20, life 4000\n"
            "overhead 10 %\n"
            "member J1 = trial\noff 5\nwith L = 2.3 m\n"
            "member J2 = trial\noff 2\nwith L = 1.5 m\n");
    const Workshop& w = b.work();
    REQUIRE(b.told() == "");
    // A board of 4800 mm less 2 x 20 mm leaves 4760: two of 2300 with a kerf of 3.2 (4603.2), or three of 1500 (4506.4), or
    // 2300 + 1500 (3803.2). Five of 2300 take three boards, and one of 1500 goes beside the fifth; the other does not.
    REQUIRE(w.plan.groups.size() == 1);
    const GroupPlan& g = w.plan.groups[0];
    CHECK(g.bought == 4);
    CHECK(g.atLeast == 4);
    CHECK(g.proven);
    CHECK(g.words == "4 boards; at least 4 are needed, so this is the least");
    // 4 boards x 4.8 m x 3.90 = 74.88.
    CHECK(line(w, "s195").cents == 7488);
    CHECK(line(w, "s195").working.putIn == "3.90 EUR/m x 4.8 m x 4");
    // 7 members x 6 nails x 0.05 = 2.10.
    CHECK(line(w, "nail").cents == 210);
    // 7 x 12 min x 30 EUR/h = 42.00.
    CHECK(line(w, "member").cents == 4200);
    // Cuts: every piece ends with one unless it ends at the trim, and each board is trimmed twice: 7 + 8 = 15. 15 x 2 min = 0.5 h = 15.00.
    CHECK(line(w, "crosscut").cents == 1500);
    CHECK(line(w, "crosscut").hours == doctest::Approx(0.5));
    // 60 EUR x 15 / 4000 = 0.225 -> 0.23.
    CHECK(line(w, "blade").cents == 23);
    // 10 % of 74.88 + 2.10 + 42.00 + 15.00 + 0.23 = 134.21 -> 13.42.
    CHECK(line(w, "overhead").cents == 1342);
    CHECK(w.bill.total == 14763);
    CHECK(w.bill.proven);
    // Shares of the boards by length with the kerf beside: 5 x 2303.2 : 2 x 1503.2 = 11516 : 3006.4.
    // 7488 x 11516/14522.4 = 5937.85, x 3006.4/14522.4 = 1550.15: 5938 + 1550.
    CHECK(line(w, "s195").shares == std::vector<Cents>{5938, 1550});
    CHECK(line(w, "nail").shares == std::vector<Cents>{150, 60});
    CHECK(line(w, "member").shares == std::vector<Cents>{3000, 1200});
    // Offcuts and waste: 1 - 14522.4/(4 x 4800) = 24.36 % of 74.88 = 18.24.
    CHECK(line(w, "s195").rest == 1824);
    CHECK(w.bill.wasteShare == doctest::Approx(1.0 - 14522.4 / 19200.0));
    Cents members = 0;
    for (const MemberCost& m : w.bill.members) members += m.cents;
    CHECK(members == w.bill.total);
    for (const BillLine& l : w.bill.lines) CHECK(std::accumulate(l.shares.begin(), l.shares.end(), Cents{0}) == l.cents);
}

TEST_CASE("mass against published densities") {
    // 2 x (45 x 95) of 420 kg/m3 and 12 x 350 of plywood of 550 kg/m3: 5.9 kg/m; 6 m: 35 kg (trade handbook arithmetic).
    const std::string sheet =
        "sheet trial\ntable c by k\nk, rho_mean [kg/m^3]\nC24, 420\nply, 550\nend\nchoose g = C24 from c\nchoose p = ply from c\ngiven L = 1 m\n"
        "check x: L <= 9 m\npiece f = 2 off, 45 mm by 95 mm by L from g, at L/2\npiece w = 1 off, 12 mm by 350 mm by L from p, at L/2\n";
    Bench one("job T\nsaw kerf 0 mm\nmember B = trial\n", sheet);
    CHECK(one.work().weights.members[0].mass == doctest::Approx(5.9).epsilon(0.01));
    Bench six("job T\nsaw kerf 0 mm\nmember B = trial\noff 3\nwith L = 6 m\n", sheet);
    const Weights& w = six.work().weights;
    CHECK(w.members[0].mass == doctest::Approx(35.0).epsilon(0.015));
    CHECK(w.mass == doctest::Approx(3.0 * w.members[0].mass));
    CHECK(*w.members[0].centre == doctest::Approx(3.0));
    // "at 25 kg each 33, 37.5; the 35 kg beam fails for two"
    CHECK(w.lift.people == 3);
    Bench wet("job T\nsaw kerf 0 mm\nmoisture 26 %\nmember B = trial\n", sheet);
    CHECK(wet.work().weights.members[0].mass == doctest::Approx(one.shop.weights.members[0].mass * 1.26 / 1.12));
}

TEST_CASE("places count from end A, and a member is as long as its sheet says, not as its laps and upright pieces add up to") {
    const std::string head = "sheet trial\ntable c by k\nk, rho_mean [kg/m^3]\nC24, 420\nend\nchoose g = C24 from c\ngiven L = 4 m\ncheck x: L <= 9 m\n";
    const std::string ends = "derive x_A [m] = -0.1 m\nderive x_B [m] = L + 0.1 m\n";
    // Two halves that overlap by 0.4 m, and stiffeners of 0.3 m that stand upright over the supports.
    const std::string pieces = "piece left = 1 off, 47 mm by 95 mm by 2.3 m from g, at 0.95 m\npiece right = 1 off, 47 mm by 95 mm by 2.3 m from g, at 3.05 m\n"
                               "piece stiffener = 1 off, 45 mm by 95 mm by 300 mm from g, rip, at 0 m\n";
    Bench built("job T\nsaw kerf 0 mm\nmember B = trial\n", head + ends + pieces);
    const Workshop& w = built.work();
    CHECK(w.parts.members[0].length == doctest::Approx(4.2));
    CHECK(w.parts.members[0].start == doctest::Approx(-0.1));
    // By hand: volumes 2 x 0.010270 m3 about 2 m and 0.0012825 m3 at 0 m, so 1.8823 m from the support and 0.1 m more from end A.
    const double half = 0.047 * 0.095 * 2.3, stiffener = 0.045 * 0.095 * 0.3;
    REQUIRE(w.weights.members[0].centre);
    CHECK(*w.weights.members[0].centre == doctest::Approx(2.0 * half * 2.0 / (2.0 * half + stiffener) + 0.1));
    // One piece, longer than between its supports: end A is where it begins.
    Bench one("job T\nsaw kerf 0 mm\nmember B = trial\n", head + ends + "piece joist = 1 off, 47 mm by 95 mm by L + 0.3 m from g, at L/2\n");
    CHECK(one.work().parts.members[0].length == doctest::Approx(4.3));
    CHECK(*one.shop.weights.members[0].centre == doctest::Approx(2.15));
    // Without such rows, as the pieces lie.
    Bench plain("job T\nsaw kerf 0 mm\nmember B = trial\n",
                head + "piece a = 1 off, 47 mm by 95 mm by 2 m from g, at 0.5 m\npiece b = 1 off, 47 mm by 95 mm by 2 m from g, at 2.5 m\n");
    CHECK(plain.work().parts.members[0].length == doctest::Approx(4.0));
    CHECK(*plain.shop.weights.members[0].centre == doctest::Approx(2.0));
}

TEST_CASE("who lifts what: past three people a machine, never more people") {
    CHECK(adviseLift(25.0, 25.0).people == 1);
    CHECK(adviseLift(25.1, 25.0).people == 2);
    CHECK(adviseLift(33.3, 25.0).people == 2);
    CHECK(adviseLift(33.4, 25.0).people == 3);
    CHECK(adviseLift(37.5, 25.0).people == 3);
    const LiftAdvice a = adviseLift(37.6, 25.0);
    CHECK(a.people == 0);
    CHECK(a.words == "mechanical lift (three people lift 1/2 of 3 x 25 kg = 37.5 kg)");
}

TEST_CASE("the centre of mass of a trapezoid lies nearer to its broad end") {
    // 300 to 600 mm over 1.2 m: centroid at L/3 (b1 + 2 b2)/(b1 + b2) = 0.4 x 1500/900 = 0.6667 m.
    Bench b("job T\n" + kShop + "member B = trial\nwith n_j = 0\nwith n_w = 1\nwith h_2 = 600 mm\n");
    const Weights& w = b.work().weights;
    REQUIRE(w.members[0].centre);
    CHECK(*w.members[0].centre == doctest::Approx(2.0 / 3.0));
    CHECK(w.members[0].wood == doctest::Approx(0.012 * 0.45 * 1.2 * 680.0));
}

TEST_CASE("waste of 30 % means buying 1/0.7") {
    // 70 planned boards: 100 bought, 30 of them spare; not 91.
    Bench b("job T\n" + kShop + "waste 30 %\nmember J = trial\noff 70\nwith L = 4.7 m\n");
    const Workshop& w = b.work();
    REQUIRE(w.plan.groups.size() == 1);
    REQUIRE(w.plan.groups[0].use.size() == 1);
    CHECK(w.plan.groups[0].use[0].planned == 70);
    CHECK(w.plan.groups[0].use[0].spare == 30);
    CHECK(line(w, "s195").cents == 100 * 1872);
    CHECK(w.bill.wasteShare == doctest::Approx(1.0 - 70.0 * 4703.2 / 480000.0));
    Bench own("job T\ndate 2026-05-04\nstock s = C24, 47 mm by 195 mm by 4.8 m, 1 EUR on 2026-05-04, waste 0 %\nsaw kerf 3 mm\nwaste 30 %\nmember J = trial\n");
    CHECK(own.work().plan.groups[0].use[0].spare == 0);
}

TEST_CASE("kerf arithmetic of the trade: four webs of 305 mm from a panel of 1220 mm at no kerf, three at any") {
    const auto panels = [](const std::string& saw, int count) {
        Bench b("job T\nstock b12 = birch 12, 12 mm by 1220 mm by 1200 mm, panel\n" + saw +
                "member B = trial\nwith n_j = 0\nwith n_w = " + std::to_string(count) + "\nwith h_1 = 305 mm\nwith h_2 = 305 mm\n");
        const Workshop& w = b.work();
        REQUIRE_MESSAGE(w.plan.groups.size() == 1, b.told());
        return w.plan.groups[0].cut;
    };
    CHECK(panels("saw kerf 0 mm\n", 4) == 1);
    CHECK(panels("saw kerf 0.1 mm\n", 4) == 2);
    CHECK(panels("saw kerf 3.2 mm\n", 3) == 1);
}

TEST_CASE("a board's length divided by n does not give n pieces: four of 24 in from 96 in") {
    const auto boards = [](const std::string& saw) {
        Bench b("job T\nstock s = C24, 47 mm by 195 mm by 96 in\n" + saw + "member J = trial\noff 4\nwith L = 24 in\n");
        return b.work().plan.groups[0].cut;
    };
    CHECK(boards("saw kerf 0 mm\n") == 1);
    CHECK(boards("saw kerf 1/8 in\n") == 2); // the last is 23 5/8 in
}

TEST_CASE("what is on hand is used first and costs nothing") {
    Bench b("job T\n" + kShop + "member J = trial\noff 4\nwith L = 2.3 m\n");
    b.files.files["work/job.spanjob"].replace(b.files.files["work/job.spanjob"].find("until 2026-06-30"), 16, "until 2026-06-30, have 1");
    const Workshop& w = b.work();
    REQUIRE(b.told() == "");
    CHECK(w.plan.groups[0].cut == 2);
    CHECK(w.plan.groups[0].bought == 1);
    CHECK(w.plan.groups[0].boards.front().onHand);
    CHECK(line(w, "s195").cents == 1872);
}

TEST_CASE("an expired, an undated or a missing price makes the total not proven, and so does a job without a date") {
    const auto total = [](std::string text, const std::string& from, const std::string& to) {
        if (const std::size_t at = text.find(from); at != std::string::npos) text.replace(at, from.size(), to);
        Bench b("job T\n" + text + "member J = trial\n");
        const Workshop w = b.work();
        return std::pair<bool, std::string>{w.bill.proven, b.told()};
    };
    CHECK(total(kShop, "", "").first);
    CHECK_FALSE(total(kShop, "until 2026-06-30", "until 2026-05-03").first);
    CHECK(total(kShop, "until 2026-06-30", "until 2026-05-03").second == "W813 the price of `s195` expired on 2026-05-03, before the job's date 2026-05-04\n");
    CHECK(total(kShop, "until 2026-06-30", "until 2026-05-04").first); // the last day counts
    CHECK(total(kShop, " on 2026-04-20 until", " until").second.find("W812") == 0);
    CHECK_FALSE(total(kShop, " on 2026-04-20 until", " until").first);
    CHECK(total(kShop, "date 2026-05-04", "date 4 May 2026").second.find("W814 the job's date `4 May 2026` is no day") == 0);
    CHECK_FALSE(total(kShop, "date 2026-05-04\n", "").first);
    CHECK_FALSE(total(kShop, ", 3.90 EUR/m on 2026-04-20 until 2026-06-30", "").first);
}

TEST_CASE("prices in another currency need a rate; a price by another unit comes to the same") {
    const auto total = [](const std::string& price, const std::string& more = "", const std::string& behind = "") {
        Bench b("job T\ndate 2026-05-04\ncurrency EUR\n" + more + "stock s = C24, 47 mm by 195 mm by 4.8 m, " + price + " on 2026-05-01" + behind +
                "\nsaw kerf 3 mm\nmember J = trial\n");
        b.work();
        return b.shop.bill.total == 0 ? b.told() : showMoney(b.shop.bill.total, b.shop.bill.currency);
    };
    CHECK(total("18.72 EUR") == "18.72 EUR");
    CHECK(total("18.72 EUR each") == "18.72 EUR");
    CHECK(total("3.90 EUR/m") == "18.72 EUR");
    CHECK(total("20 EUR/m^2") == "18.72 EUR");                               // 4.8 x 0.195 = 0.936 m2
    CHECK(total("425 EUR/m^3") == "18.70 EUR");                              // 0.047 x 0.195 x 4.8 = 0.0439920 m3
    CHECK(total("1 EUR/bdft") == "18.64 EUR");                               // 1 bdft = 2359.737216 cm3: 18.6428
    CHECK(total("1 EUR/bdft", "", ", nominal 2 in by 8 in") == "21.00 EUR"); // 2 x 8 x 188.976/144 in = 20.9973
    CHECK(total("20 USD", "rate 1 EUR = 1.08 USD\n") == "18.52 EUR");
    CHECK(total("20 USD").find("M325") == 0);
}

TEST_CASE("a file of prices takes the place of the rows', and another file that of the first") {
    Bench b("job T\n" + kShop + "prices prices.csv\nlabour member = 12 min, 30 EUR/h on 2026-04-20\nmember J = trial\n");
    b.files.files["work/prices.csv"] =
        "# Invented\nitem [text], price [text], on [text], until [text]\ns195, 4.10 EUR/m, 2026-05-01, 2026-05-31\nmember, 36 EUR/h, 2026-05-01,\n";
    b.work();
    REQUIRE(b.told() == "");
    CHECK(line(b.shop, "s195").cents == 1968);
    CHECK(line(b.shop, "member").cents == 720);
    WorkshopOptions o;
    o.prices = PriceFile{"autumn.csv", "item [text], price [text], on [text], until [text]\ns195, 5 EUR/m, 2026-04-01, 2026-04-30\n"};
    b.work(o);
    CHECK(line(b.shop, "s195").cents == 2400);
    CHECK_FALSE(b.shop.bill.proven);
    o.prices = PriceFile{"bad.csv", "item [text], price [text]\ns195, 5 EUR/kg\nnobody, 3 EUR\nb12, much\n"};
    b.work(o);
    CHECK(b.told().find("another unit") != std::string::npos);
    CHECK(b.told().find("`nobody`") != std::string::npos);
    CHECK(b.told().find("cannot be read") != std::string::npos);
    CHECK_FALSE(b.shop.bill.proven);
    CHECK(b.shop.bill.total == 600 + 30); // the wage of the row and its nails stand; a price that cannot be read is none
}

TEST_CASE("consumables: pitch, loss and packs") {
    Bench b("job T\n" + kShop +
            "consumable resin = glue, 350 g/m^2, 10 EUR/kg on 2026-04-20, loss 12.5 %, pack 500 g\n"
            "consumable screw = screws, pitch 150 mm, 0.10 EUR on 2026-04-20, weighs 5 g\n"
            "member B = trial\nwith n_j = 0\nwith n_w = 10\n");
    const Workshop& w = b.work();
    REQUIRE(b.told() == "");
    // Ten webs of 2 x 1.2 m x 60 mm = 1.44 m2 of glue line: 504 g, with losses 576 g: two packs of 500 g.
    CHECK(line(w, "resin").cents == 1000);
    // 1.2 m / 150 mm = 8 a web.
    CHECK(line(w, "screw").cents == 800);
    // In the beam stays what is not lost: 504 g and 80 x 5 g.
    CHECK(w.weights.members[0].fastened == doctest::Approx(0.504 + 0.4));
}

TEST_CASE("pieces that find no stock are told, and the rest is planned") {
    const auto told = [](const std::string& with, const std::string& shop = kShop) {
        Bench b("job T\n" + shop + "member K = trial\nmember J = trial\n" + with);
        b.work();
        CHECK(b.shop.plan.groups.size() >= 1);
        CHECK(b.shop.plan.groups[0].cut >= 1);
        CHECK_FALSE(b.shop.bill.proven);
        CHECK(b.shop.cutStatus() == 1);
        return b.told();
    };
    CHECK(told("with L = 4.77 m\n").find("W808 the piece `joist` of J (47 x 195 x 4770 mm) is larger than any board") != std::string::npos);
    CHECK(told("with b = 60 mm\n").find("W807 there is no stock of C24 60 mm thick") != std::string::npos);
    CHECK(told("with h = 170 mm\n").find("W807 no board of C24 47 mm thick is as broad") != std::string::npos);
    CHECK(told("with grade = C30\n").find("W807 there is no stock of C30") != std::string::npos);
    CHECK(told("with L = 3 mm\n").find("W809") != std::string::npos);
    const std::string few =
        "date 2026-05-04\nstock s195 = C24, 47 mm by 195 mm by 4.8 m, have 1\nstock short = C24, 47 mm by 195 mm by 1 m, 2 EUR on 2026-05-04\nsaw kerf 3 mm\n";
    CHECK(told("", few).find("W810 1 of the piece `joist` of") != std::string::npos);
}

TEST_CASE("a member without a piece of its own is no work and hides no mass") {
    Bench b("job T\n" + kShop + "labour member = 12 min, 30 EUR/h on 2026-04-20\nmember J = trial\nmember K = trial\noff 3\nwith n_j = 0\n");
    const Workshop& w = b.work();
    CHECK(line(w, "member").cents == 600);
    CHECK(line(w, "member").shares == std::vector<Cents>{600, 0});
    CHECK(w.weights.known);
    CHECK(w.bill.notCounted.back() == "K: it has no pieces of its own");
}

TEST_CASE("an alternative is neither bought nor cut unless it is asked for") {
    Bench b("job T\n" + kShop + "member J = trial\nmember K = trial\ninstead of J\noff 3\n");
    const Workshop& w = b.work();
    CHECK(w.parts.members.size() == 1);
    CHECK(w.parts.leftOut == std::vector<std::string>{"K, which stands in place of J"});
    WorkshopOptions o;
    o.only = {1};
    CHECK(b.work(o).plan.groups[0].pieces == 3);
}

TEST_CASE("ten thousand pieces are planned, more than the limit refused, in bounded time") {
    Bench b("job T\n" + kShop + "member J = trial\noff 10000\nwith L = 1.1 m\n");
    const Workshop& w = b.work();
    CHECK(w.plan.groups[0].cut == 2500);
    CHECK(w.plan.groups[0].proven);
    Bench many("job T\n" + kShop + "member J = trial\noff 1000000\nwith L = 1.1 m\n");
    many.work();
    CHECK(many.told().find("L707") == 0);
    CHECK_FALSE(many.shop.bill.proven);
}

TEST_CASE("plans on the way are shown whole, and asking for them changes nothing") {
    Bench b("job T\n" + kShop + "member J = trial\noff 13\nwith L = 1.7 m\nmember K = trial\noff 7\nwith L = 0.9 m\n");
    const std::int64_t boards = b.work().plan.groups[0].cut;
    WorkshopOptions o;
    std::size_t calls = 0;
    o.plan.better = [&](const PlanSoFar& now) {
        ++calls;
        std::int64_t pieces = 0;
        for (const CutBoard& board : now.plan.boards) pieces += board.times * static_cast<std::int64_t>(board.pieces.size());
        CHECK(pieces == 20);
        CHECK(now.plan.cut >= boards);
        CHECK(now.plan.atLeast <= boards);
        CHECK(now.group == 0);
        CHECK(now.groups == 1);
        CHECK(now.whole);
        CHECK_FALSE(now.plan.proven);
        CHECK(now.title == titleOf(now.plan));
        CHECK(now.plan.words.find(std::to_string(now.plan.cut) + (now.plan.cut == 1 ? " board" : " boards") + " so far; at least ") == 0);
    };
    CHECK(b.work(o).plan.groups[0].cut == boards);
    CHECK(calls > 0);
    CHECK(b.shop.plan.groups[0].boards.front().number == 1);
    CHECK(b.shop.plan.groups[0].boards.front().pieces.front().number == 1);
}

TEST_CASE("the same job gives the same plan twice") {
    const std::string text =
        "job T\n" + kShop + "member J = trial\noff 13\nwith L = 1.7 m\nmember K = trial\noff 7\nwith L = 0.9 m\nmember W = trial\nwith n_j = 0\nwith n_w = 9\n";
    Bench a(text), b(text);
    a.work();
    b.work();
    REQUIRE(a.shop.plan.groups.size() == b.shop.plan.groups.size());
    for (std::size_t g = 0; g < a.shop.plan.groups.size(); ++g) {
        REQUIRE(a.shop.plan.groups[g].boards.size() == b.shop.plan.groups[g].boards.size());
        for (std::size_t i = 0; i < a.shop.plan.groups[g].boards.size(); ++i) {
            const CutBoard &x = a.shop.plan.groups[g].boards[i], &y = b.shop.plan.groups[g].boards[i];
            REQUIRE(x.pieces.size() == y.pieces.size());
            for (std::size_t k = 0; k < x.pieces.size(); ++k) {
                CHECK(x.pieces[k].part == y.pieces[k].part);
                CHECK(x.pieces[k].box == y.pieces[k].box);
            }
        }
    }
    // Every piece has its number once.
    std::map<std::pair<std::size_t, std::int64_t>, int> seen;
    for (const GroupPlan& g : a.shop.plan.groups)
        for (const CutBoard& board : g.boards)
            for (std::int64_t n = 0; n < board.times; ++n)
                for (const CutPiece& p : board.pieces) {
                    const auto alike = std::count_if(board.pieces.begin(), board.pieces.end(), [&](const CutPiece& o) { return o.part == p.part; });
                    ++seen[{p.part, p.number + n * alike}];
                }
    std::int64_t pieces = 0;
    for (const Part& p : a.shop.parts.parts) pieces += p.count;
    CHECK(static_cast<std::int64_t>(seen.size()) == pieces);
    for (const auto& [key, times] : seen) CHECK(times == 1);
}

namespace {

/// Shares of every line, and the members', at the stated price and at both ends.
void addUp(const Bill& bill) {
    const auto sum = [](const std::vector<Cents>& c) { return std::accumulate(c.begin(), c.end(), Cents{0}); };
    Cents stated = 0, low = 0, high = 0;
    for (const BillLine& l : bill.lines) {
        CHECK(sum(l.shares) == l.cents);
        CHECK(sum(l.lowShares) == l.low);
        CHECK(sum(l.highShares) == l.high);
        CHECK(l.low <= l.cents);
        CHECK(l.cents <= l.high);
        stated += l.cents;
        low += l.low;
        high += l.high;
    }
    CHECK(stated == bill.total);
    CHECK(low == bill.low);
    CHECK(high == bill.high);
    for (const MemberCost& m : bill.members) {
        CHECK(m.low <= m.cents);
        CHECK(m.cents <= m.high);
        stated -= m.cents;
        low -= m.low;
        high -= m.high;
    }
    CHECK(stated == 0);
    CHECK(low == 0);
    CHECK(high == 0);
}

} // namespace

TEST_CASE("prices with a range give a cost from and to, to the last cent, for lines, members and the job") {
    const auto bench = [](const std::string& stock, const std::string& wage, const std::string& nail) {
        return Bench("job T\ndate 2026-05-04\nstock s195 = C24, 47 mm by 195 mm by 4.8 m, " + stock + " on 2026-04-20 until 2026-06-30\n" +
                     "consumable nail = nails, 1, " + nail + " on 2026-04-20\nsaw kerf 3.2 mm, trim 20 mm\n" +
                     "labour crosscut = 2 min, 30 EUR/h on 2026-04-20\nlabour member = 12 min, " + wage + " on 2026-04-20\n" +
                     "labour job = 1 h, 30 EUR/h on 2026-04-20\n" +
                     "tool blade = crosscut, 60 EUR on 2026-04-20, life 4000\noverhead 10 %\n"
                     "member J1 = trial\noff 5\nwith L = 2.3 m\nmember J2 = trial\noff 2\nwith L = 1.5 m\n");
    };
    Bench b = bench("3.90 EUR/m +- 0.30 EUR/m", "30 EUR/h +- 10 %", "0.05 EUR");
    const Bill& bill = b.work().bill;
    REQUIRE(b.told() == "");
    CHECK(bill.ranged);
    CHECK(bill.proven);
    // 4 boards x 4.8 m x 3.60, 3.90 and 4.20.
    CHECK(line(b.shop, "s195").low == 6912);
    CHECK(line(b.shop, "s195").cents == 7488);
    CHECK(line(b.shop, "s195").high == 8064);
    CHECK(line(b.shop, "s195").working.putIn == "(3.90 EUR/m +- 0.30 EUR/m) x 4.8 m x 4");
    CHECK(line(b.shop, "s195").working.result == "74.88 EUR (69.12 to 80.64 EUR)");
    // 7 x 12 min at 27, 30 and 33 EUR/h.
    CHECK(line(b.shop, "member").low == 3780);
    CHECK(line(b.shop, "member").high == 4620);
    CHECK(line(b.shop, "nail").low == 210);
    CHECK(line(b.shop, "nail").high == 210);
    // What has no range is shared alike at all ends, also where it is shared by the cost so far.
    CHECK(line(b.shop, "job").lowShares == line(b.shop, "job").shares);
    CHECK(line(b.shop, "job").highShares == line(b.shop, "job").shares);
    // 10 % of 74.88 + 2.10 + 0.23 + 15.00 + 42.00 + 30.00 = 164.21; of 69.12 ... 37.80 = 154.25; of 80.64 ... 46.20 = 174.17.
    CHECK(line(b.shop, "overhead").cents == 1642);
    CHECK(line(b.shop, "overhead").low == 1543);
    CHECK(line(b.shop, "overhead").high == 1742);
    CHECK(bill.total == 18063);
    CHECK(bill.low == 16968);
    CHECK(bill.high == 19159);
    addUp(bill);
    CHECK(bill.members[0].eachWorking.putIn == showMoney(bill.members[0].cents, "EUR") + " / 5");

    // The stated figures are those without ranges, and without ranges nothing is from or to.
    Bench plain = bench("3.90 EUR/m", "30 EUR/h", "0.05 EUR");
    const Bill& stated = plain.work().bill;
    CHECK_FALSE(stated.ranged);
    CHECK(stated.low == stated.total);
    CHECK(stated.high == stated.total);
    REQUIRE(stated.lines.size() == bill.lines.size());
    for (std::size_t i = 0; i < bill.lines.size(); ++i) CHECK(stated.lines[i].shares == bill.lines[i].shares);
    addUp(stated);

    // Ranges of a cent or so are where shares could cross.
    for (const char* nail : {"0.05 EUR +- 0.01 EUR", "0.05 EUR +- 100 %", "0.05 EUR \u00B1 2 %"}) {
        Bench tiny = bench("3.90 EUR/m +- 0.001 EUR/m", "30 EUR/h +- 0.1 %", nail);
        addUp(tiny.work().bill);
        CHECK(tiny.told() == "");
    }
}

TEST_CASE("ranges change with a rate and stand in a file of prices, too") {
    Bench b("job T\ndate 2026-05-04\ncurrency EUR\nrate 1 EUR = 1.25 USD\nprices p.csv\nconsumable nail = nails, 1, 0 EUR on 2026-05-01\nstock s = C24, 47 mm "
            "by 195 mm by 4.8 m\nsaw kerf 3 mm\nmember J = "
            "trial\n");
    b.files.files["work/p.csv"] = "item [text], price [text], on [text], until [text]\ns, 20 USD each +- 2.50 USD, 2026-05-01,\n";
    const Bill& bill = b.work().bill;
    REQUIRE(b.told() == "");
    CHECK(bill.low == 1400);
    CHECK(bill.total == 1600);
    CHECK(bill.high == 1800);
    // Another file has prices without ranges.
    WorkshopOptions o;
    o.prices = PriceFile{"q.csv", "item [text], price [text], on [text], until [text]\ns, 20 USD, 2026-05-01,\n"};
    CHECK_FALSE(b.work(o).bill.ranged);
    o.prices = PriceFile{"q.csv", "item [text], price [text]\ns, 20 USD +- 21 USD\n"};
    CHECK_FALSE(b.work(o).bill.proven);
    CHECK(b.told().find("the range reaches below nothing") != std::string::npos);
    CHECK(b.shop.bill.total == 0);
}
