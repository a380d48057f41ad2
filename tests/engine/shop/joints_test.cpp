// SPDX-License-Identifier: MIT
// Joints proposed from stock lengths, for a small beam with a web and flanges.
#include "engine/shop/joints.h"

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
    // The same again from there: what costs least cannot be dearer.
    const auto again = proposeJoints(job, "B1");
    REQUIRE(again.ok());
    CHECK(again.value().cost <= p.cost * (1.0 + 1e-9));
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
