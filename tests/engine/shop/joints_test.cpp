// SPDX-License-Identifier: MIT
// Joints proposed from stock lengths, for a small beam with a web and flanges.
#include "engine/shop/joints.h"

#include <algorithm>

#include "engine/shop/joint_places.h"

#include "tests/engine/shop/support.h"

using namespace spanwright;
using namespace spanwright::shop;
using namespace spanwright::shop::tests;

namespace {

const std::string kBeam = R"(sheet   beam
table   classes by class
class, rho_mean [kg/m^3]
C24, 420
end
table   panels by panel
panel, t [mm], rho_mean [kg/m^3]
birch 12, 12, 680
end
choose  grade = C24 from classes
choose  panel = birch 12 from panels
list    web_joints by joint
joint, at [m], t_p [mm], l_p [mm]
end
list    flange_joints by joint
joint, flange [text], at [m], R [kN]
end
each    wj in web_joints
each    wk in web_joints
each    fj in flange_joints
each    fk in flange_joints
given   L = 6 m
given   b_w = 12 mm
given   apart = 600 mm
given   l_panel = 2.44 m
derive  x_A [m] = 0 m
derive  x_B [m] = L
derive  force [kN] = 4 (kN/m^2)*fj.at*(L - fj.at)
derive  w_from [m] = largest(if(wk.at < wj.at, wk.at, x_A), over wk)
derive  w_last [m] = if(count(wk.at > x_A, over wk) > 0, largest(wk.at, over wk), x_A)
derive  f_from [m] = largest(if(fk.flange == fj.flange and fk.at < fj.at, fk.at, x_A), over fk)
derive  top_last [m] = if(count(fj.flange == "top", over fj) > 0, largest(if(fj.flange == "top", fj.at, x_A), over fj), x_A)
derive  low_last [m] = if(count(fj.flange == "bottom", over fj) > 0, largest(if(fj.flange == "bottom", fj.at, x_A), over fj), x_A)
check   splice: force <= fj.R
check   always: L <= 20 m
require web_pieces: L - wj.at <= l_panel or any(wk.at > wj.at and wk.at <= wj.at + l_panel, over wk)
require flanges_apart: fj == fk or abs(fj.at - fk.at) >= apart
require web_apart: abs(fj.at - wj.at) >= apart
piece   web = 1 off, 12 mm by 300 mm by wj.at - w_from from panel, at (w_from + wj.at)/2
piece   last_web = 1 off, 12 mm by 300 mm by x_B - w_last from panel, at (w_last + x_B)/2
piece   flange = 1 off, 47 mm by 72 mm by fj.at - f_from from grade, rip, at (f_from + fj.at)/2
piece   top_flange = 1 off, 47 mm by 72 mm by x_B - top_last from grade, rip, at (top_last + x_B)/2
piece   bottom_flange = 1 off, 47 mm by 72 mm by x_B - low_last from grade, rip, at (low_last + x_B)/2
)";

std::string jobText(const std::string& strength, const std::string& more = "") {
    return "job T\ndate 2026-05-04\nstock s = C24, 47 mm by 195 mm by 4.8 m, 4 EUR/m on 2026-05-01\n"
           "stock p = birch 12, 12 mm by 1250 mm by 2500 mm, panel, 60 EUR on 2026-05-01\nsaw kerf 3 mm, trim 10 mm\n"
           "member B1 = trial -- kept\n        with L = 6 m\n        list  flange_joints\n        joint, flange [text], at [m], R [kN]\n        1, top, 1.8, " +
           strength + "\n        end\n" + more;
}

} // namespace

TEST_CASE("what is proposed keeps every rule, and its plan is no dearer than others that do") {
    Bench b(jobText("100"), kBeam);
    b.work();
    job::Job& job = *b.job;
    const auto proposal = proposeJoints(job, "B1");
    REQUIRE(proposal.ok());
    const JointProposal& p = proposal.value();
    // 6 m of web from panels that leave 2.48 m, and no longer than 2.44 m: two joints; flanges from 4.78 m: one each.
    CHECK(p.web.size() >= 2);
    CHECK(p.top.size() >= 1);
    CHECK(p.bottom.size() >= 1);
    const auto apart = [](const std::vector<double>& x, const std::vector<double>& y) {
        for (const double a : x)
            for (const double c : y)
                if (std::abs(a - c) < 0.6 - 1e-9) return false;
        return true;
    };
    CHECK(apart(p.web, p.top));
    CHECK(apart(p.web, p.bottom));
    CHECK(apart(p.top, p.bottom));
    CHECK(p.money);
    CHECK(job.member(0).verdict == job::Verdict::Ok);
    CHECK(p.flangeLines.find("1, top, ") != std::string::npos);
    CHECK(p.webLines.find("joint, at [m], t_p [mm], l_p [mm]\n1, ") == 0);
    // The strength of the first joint stands behind each, the web's plates come from the web itself.
    CHECK(p.flangeLines.find(", 100\n") != std::string::npos);
    CHECK(p.webLines.find(", 12, 250\n") != std::string::npos);
    // The same again from there: what buys least cannot buy more.
    const auto again = proposeJoints(job, "B1");
    REQUIRE(again.ok());
    CHECK(again.value().bought <= p.bought * (1.0 + 1e-9));
    CHECK(again.value().webLines == p.webLines);
    CHECK(again.value().flangeLines == p.flangeLines);
}

TEST_CASE("what is proposed buys no more stock than any set of joints on a coarse grid that keeps the rules") {
    Bench b(jobText("100", "        off 3\n"), kBeam);
    b.work();
    const auto proposal = proposeJoints(*b.job, "B1");
    REQUIRE(proposal.ok());
    const JointProposal& p = proposal.value();
    CHECK(p.held > 0);
    CHECK(p.tried >= p.held);
    CHECK(p.waste > 0.0);
    CHECK(p.waste < 1.0);
    // By hand: 3 x 2 flanges of 6 m, 72 mm out of 195 mm, two strips a board: with 4.78 m usable a board gives 9.56 m of flange at most, so
    // 36 m need four boards at least; webs of 300 mm: four strips a panel of 1.23 m, 3 x 6 m of them are 18 m, two panels of 4 x 2.48 m.
    const double least = 4 * 0.047 * 0.195 * 4.8 + 2 * 0.012 * 1.25 * 2.5;
    CHECK(p.bought >= least - 1e-9);
    // Every chain of two web joints and one joint in each flange on a grid of 0.4 m, planned the same way.
    int kept = 0;
    for (double w1 = 1.4; w1 < 2.4; w1 += 0.4)
        for (double w2 = 3.8; w2 < 4.7; w2 += 0.4)
            for (double t = 1.2; t < 4.8; t += 0.4)
                for (double c = 1.2; c < 4.8; c += 0.4) {
                    const auto place = [](double x) { return std::to_string(x); };
                    const std::string web = "joint, at [m], t_p [mm], l_p [mm]\n1, " + place(w1) + ", 12, 250\n2, " + place(w2) + ", 12, 250\n";
                    const std::string flange = "joint, flange [text], at [m], R [kN]\n1, top, " + place(t) + ", 100\n2, bottom, " + place(c) + ", 100\n";
                    REQUIRE(b.job->setList("B1", "web_joints", web));
                    REQUIRE(b.job->setList("B1", "flange_joints", flange));
                    if (b.job->member(0).verdict != job::Verdict::Ok) continue;
                    WorkshopOptions o;
                    o.plan.effort = effortOfSeconds(0.1);
                    const Workshop w = work(*b.job, o);
                    if (!w.plan.whole) continue; // a piece is longer than a board
                    double bought = 0.0;
                    for (const GroupPlan& g : w.plan.groups)
                        for (const StockUse& u : g.use) {
                            const StockRow& s = w.rows.stock[u.stock];
                            bought += s.thickness * s.breadth * s.length * static_cast<double>(u.planned);
                        }
                    ++kept;
                    CHECK(p.bought <= bought + 1e-9);
                }
    CHECK(kept >= 5);
}

TEST_CASE("it is told what was chosen and why, and what the next best was") {
    Bench b(jobText("100"), kBeam);
    b.work();
    const auto proposal = proposeJoints(*b.job, "B1");
    REQUIRE(proposal.ok());
    const auto begins = [&](const std::string& with) {
        return std::any_of(proposal.value().words.begin(), proposal.value().words.end(), [&](const std::string& w) { return w.rfind(with, 0) == 0; });
    };
    CHECK(begins("joints of the web: "));
    CHECK(begins("joints of the top flange: "));
    CHECK(begins("joints of the bottom flange: "));
    CHECK(begins("chosen: "));
    CHECK(begins("next best: "));
    CHECK(begins("why: "));
}

TEST_CASE("the member that a joint takes its strength from must stand for all joints, so that its plates are bought") {
    const std::string splice = "sheet splice\ngiven R_k [kN] = 100 kN\ncheck fine: R_k > 1 kN\n";
    const auto told = [&](int off) {
        Bench b(jobText("K1.R_k", "        off 3\nmember K1 = splice\n        off " + std::to_string(off) + "\n"), kBeam);
        b.files.files["work/splice.spansheet"] = splice;
        b.work();
        const auto proposal = proposeJoints(*b.job, "B1");
        REQUIRE_MESSAGE(proposal.ok(), (proposal.ok() ? std::string() : proposal.error().message));
        const std::size_t joints = 3 * (proposal.value().top.size() + proposal.value().bottom.size());
        CHECK(proposal.value().flangeLines.find("K1.R_k") != std::string::npos);
        std::string words;
        for (const std::string& w : proposal.value().words) words += w + "\n";
        CHECK(words.find(std::to_string(joints) + " are needed, K1 stands " + std::to_string(off) + " off") != std::string::npos);
        return words.find("write `off " + std::to_string(joints) + "` there") != std::string::npos;
    };
    CHECK(told(1));
    CHECK_FALSE(told(6));
}

TEST_CASE("places and chains of joints") {
    JointStock stock;
    stock.boards.push_back({24000, 1, 1.0});
    const Places places = placesToTry(stock, 0.0, 6.0);
    CHECK(std::is_sorted(places.begin(), places.end()));
    // A whole length of stock from either end, though no whole step is there.
    stock.boards[0].length = 24430;
    const Places whole = placesToTry(stock, 0.0, 6.0);
    CHECK(std::find(whole.begin(), whole.end(), 2.443) != whole.end());
    CHECK(std::find(whole.begin(), whole.end(), 6.0 - 2.443) != whole.end());
    CHECK(whole.front() >= kShortestPiece);
    CHECK(whole.back() <= 6.0 - kShortestPiece);
    const std::vector<Places> chains = jointChains(stock, 0.0, 6.0, {2.443, 2.443, 2.443}, whole).chains;
    REQUIRE_FALSE(chains.empty());
    for (const Places& c : chains) {
        double from = 0.0;
        for (const double x : c) {
            CHECK(x - from <= 2.443 + 1e-9);
            CHECK(x - from >= kShortestPiece - 1e-9);
            from = x;
        }
        CHECK(6.0 - from <= 2.443 + 1e-9);
    }
    // Overlaps shorten what may lie between joints; at an end there is but one.
    const std::vector<Places> lapped = jointChains(stock, 0.0, 6.0, {2.0, 2.2, 2.443}, whole).chains;
    REQUIRE_FALSE(lapped.empty());
    bool longEnd = false;
    for (const Places& c : lapped) {
        CHECK(c.front() <= 2.2 + 1e-9);
        CHECK(6.0 - c.back() <= 2.2 + 1e-9);
        for (std::size_t i = 1; i < c.size(); ++i) CHECK(c[i] - c[i - 1] <= 2.0 + 1e-9);
        longEnd = longEnd || c.front() > 2.0 + 1e-9;
    }
    CHECK(longEnd);
    CHECK(jointChains(stock, 0.0, 2.4, {2.0, 2.2, 2.443}, {}).chains == std::vector<Places>{{}});
    // 2 x 2.443 m and 1.114 m: three bars; two such chains take five, for the short pieces share one.
    const Places best{2.443, 4.886};
    CHECK(stockFor(stock, 0.0, 6.0, {&best}) == doctest::Approx(3.0));
    CHECK(stockFor(stock, 0.0, 6.0, {&best, &best}) == doctest::Approx(5.0));
    stock.boards[0].strips = 4; // five strips take two whole boards
    CHECK(stockFor(stock, 0.0, 6.0, {&best, &best}) == doctest::Approx(2.0));
}

TEST_CASE("what is needed wherever joints stand is no more than any plan buys") {
    JointStock stock;
    stock.times = stock.fewest = 1;
    stock.sum = 120'000;
    // 12 m out of boards that give 4.78 m x 2: two boards; one on hand leaves one; of two sorts the mix of least volume.
    stock.boards.push_back({47'800, 2, 1.0, 0.05, 95'600, 0});
    CHECK(leastStock(stock, 0.0, 6.0, 2) == doctest::Approx(0.10));
    stock.boards[0].onHand = 1;
    CHECK(leastStock(stock, 0.0, 6.0, 2) == doctest::Approx(0.05));
    stock.boards[0].onHand = 2;
    CHECK(leastStock(stock, 0.0, 6.0, 2) == 0.0);
    stock.boards[0].onHand = 0;
    stock.boards.push_back({30'000, 1, 0.3, 0.02, 30'000, 0});
    CHECK(leastStock(stock, 0.0, 6.0, 2) == doctest::Approx(0.05 + 0.02));
    stock.sum = 90'000; // chains that are not as long as the member
    CHECK(leastStock(stock, 0.0, 6.0, 2) == doctest::Approx(0.05));
    // Every mix, counted out.
    stock.sum = 10'000'000;
    stock.boards = {{0, 1, 0.0, 0.044, 41'000, 0}, {0, 1, 0.0, 0.031, 29'500, 0}, {0, 1, 0.0, 0.057, 54'000, 0}};
    for (double length = 1.0; length < 40.0; length += 1.7) {
        double least = 1e9;
        for (int i = 0; i < 12; ++i)
            for (int j = 0; j < 16; ++j)
                for (int k = 0; k < 10; ++k)
                    if (i * 4.1 + j * 2.95 + k * 5.4 >= length - 1e-7) least = std::min(least, i * 0.044 + j * 0.031 + k * 0.057);
        CHECK(leastStock(stock, 0.0, length, 1) == doctest::Approx(least));
    }
}

TEST_CASE("it is told how far the search went, and what is proven of it") {
    const auto words = [](const JointProposal& p) {
        std::string out;
        for (const std::string& w : p.words) out += w + "\n";
        return out;
    };
    // Many places: some are tried.
    Bench many(jobText("100"), kBeam);
    many.work();
    const auto some = proposeJoints(*many.job, "B1");
    REQUIRE(some.ok());
    CHECK_FALSE(some.value().all);
    CHECK(some.value().atLeast <= some.value().bought * (1.0 + 1e-9));
    CHECK(some.value().proven == (some.value().bought <= some.value().atLeast * (1.0 + 1e-9)));
    CHECK(words(some.value()).find("tried: " + std::to_string(some.value().tried) + " sets of joints") != std::string::npos);
    CHECK((words(some.value()).find("the least: any joints take") != std::string::npos) == some.value().proven);
    // A strength that leaves few places, 1.2 m and nearer to the ends, and a web without joints: all are tried.
    std::string few = jobText("12");
    few.replace(few.find("12 mm by 1250 mm by 2500 mm"), 27, "12 mm by 1250 mm by 6500 mm");
    std::string sheet = kBeam;
    sheet.replace(sheet.find("l_panel = 2.44 m"), 16, "l_panel = 6.40 m");
    few.replace(few.find("by 4.8 m"), 8, "by 5.6 m");
    Bench whole(few, sheet);
    whole.work();
    const auto every = proposeJoints(*whole.job, "B1");
    REQUIRE_MESSAGE(every.ok(), (every.ok() ? std::string() : every.error().message));
    CHECK_MESSAGE(every.value().all, words(every.value()));
    CHECK(every.value().tried == every.value().sets);
    CHECK(words(every.value()).find("tried: all " + std::to_string(every.value().tried) + " sets") != std::string::npos);
}

TEST_CASE("joints go where the force is small: a weak joint cannot stand in the middle") {
    // 4 kN/m2 x at (6 m - at) is 36 kN in the middle, 24 kN at 1.27 m: two joints near the ends of each flange.
    Bench b(jobText("24"), kBeam);
    b.work();
    const auto proposal = proposeJoints(*b.job, "B1");
    REQUIRE_MESSAGE(proposal.ok(), (proposal.ok() ? std::string() : proposal.error().message));
    for (const auto* places : {&proposal.value().top, &proposal.value().bottom})
        for (const double x : *places) CHECK(4.0 * x * (6.0 - x) <= 24.0 + 1e-6);
}

TEST_CASE("where nothing fits the text stays as it was, and the reason is told") {
    const auto told = [](Bench b) {
        b.work();
        const std::string before = *b.job->text("work/job.spanjob");
        const auto proposal = proposeJoints(*b.job, "B1");
        REQUIRE_FALSE(proposal.ok());
        CHECK(*b.job->text("work/job.spanjob") == before);
        CHECK(proposal.error().code == diag::Code::ProposalNone);
        return proposal.error().message;
    };
    CHECK(told(Bench(jobText("1"), kBeam)).find("`splice` does not hold") != std::string::npos);
    std::string none = jobText("100");
    none.replace(none.find("        list  flange"), none.find("        end\n") + 12 - none.find("        list  flange"), "");
    CHECK(told(Bench(none, kBeam)).find("no joint of a flange is stated") != std::string::npos);
    std::string noPanel = jobText("100");
    noPanel.replace(noPanel.find("stock p"), noPanel.find("saw") - noPanel.find("stock p"), "");
    CHECK(told(Bench(noPanel, kBeam)).find("no stock is stated that its web could be cut from") != std::string::npos);
    CHECK(told(Bench("job T\nmember B1 = trial\n")).find("has no list") != std::string::npos);
    Bench gone(jobText("100"), kBeam);
    gone.work();
    CHECK(proposeJoints(*gone.job, "B9").error().code == diag::Code::UnknownMember);
}
