// SPDX-License-Identifier: MIT
// Trials kept as rows of a job: settings read and written back, worked out anew, never taken for more than they are.
#include "engine/trial/pinned.h"

#include "tests/engine/trial/bench.h"

using namespace spanwright;
using namespace spanwright::trial;
using namespace spanwright::trial::tests;

namespace {

const std::string kRows = R"(job Shed
member J1 = joist
with w = 2 kN/m
with h = 240 mm +- 5 mm
trial vary J1.h from 200 mm to 300 mm by 20 mm and J1.grade in C24, C30 show J1.u, J1.bending -- what for
trial vary J1.grade largest J1.L from 1 m to 9 m
trial reach largest J1.L within 1 mm
trial reach J1.h until J1.u = 10 mm
trial reach smallest J1.h in 300 mm, 180 mm order b*h
trial reach J1.L
trial reach J1.grade
trial weigh J1.sag
trial sure J1 samples 500 seed 7 normal calculated
trial sure
)";

std::string textOf(const Pinned& p) {
    switch (p.sort) {
    case Pinned::Sort::Vary: return pinnedText(p.vary);
    case Pinned::Sort::Reach: return pinnedText(p.reach);
    case Pinned::Sort::Far: return pinnedFar(p.name);
    case Pinned::Sort::Weigh: return "weigh " + p.name;
    case Pinned::Sort::Sure: return pinnedSure(p.name, p.sure);
    }
    return {};
}

} // namespace

TEST_CASE("rows are read into settings, and settings give the same row") {
    const Desk desk(kRows);
    const auto all = pinnedIn(*desk.job);
    REQUIRE(all.size() == 10);
    for (const Pinned& p : all) {
        CHECK_FALSE(p.broken);
        CHECK_FALSE(p.problem);
        CHECK(textOf(p) == p.text);
    }
    CHECK(all[0].what == "what for");
    CHECK(all[0].vary.over == std::vector<std::string>{"J1.h from 200 mm to 300 mm by 20 mm", "J1.grade in C24, C30"});
    CHECK(all[0].vary.show == std::vector<std::string>{"J1.u", "J1.bending"});
    CHECK(all[8].sure.samples == 500);
    CHECK(all[8].sure.normal);
    CHECK(all[8].sure.workOutAll);
}

TEST_CASE("a pinned trial comes to what the same trial comes to when it is asked at once") {
    const Desk desk(kRows);
    auto plans = planPinned(*desk.job);
    REQUIRE(plans.size() == 10);
    for (PinnedPlan& p : plans) {
        INFO(p.pinned.text);
        REQUIRE_FALSE(p.problem);
        const PinnedResult r = workPinned(p, {1, {}});
        CHECK_FALSE(r.leftOut);
        CHECK_FALSE(r.problem);
        CHECK_FALSE(std::holds_alternative<std::monostate>(r.result));
    }
    auto again = planPinned(*desk.job);
    const PinnedResult far = workPinned(again[5], {});
    const Far& f = std::get<Far>(far.result);
    const auto largest = reach(*desk.job, pinnedIn(*desk.job)[2].reach, {});
    REQUIRE(f.far.stretches.size() == 1);
    CHECK(f.far.stretches[0].to == doctest::Approx(*largest.value().answer).epsilon(1e-3));
    CHECK(f.far.around == 0);
    REQUIRE_FALSE(f.far.stopsHigh.empty());
    // The end that is shown passes; a little beyond does not.
    REQUIRE(desk.job->setValue("J1", "L", f.shown(f.far.stretches[0].to)));
    CHECK(desk.job->member(0).verdict == job::Verdict::Ok);
    REQUIRE(desk.job->setValue("J1", "L", std::to_string(f.far.stretches[0].to * 1.002) + " m"));
    CHECK(desk.job->member(0).verdict == job::Verdict::Fails);
    const PinnedResult grades = workPinned(again[6], {});
    CHECK(std::get<Far>(grades.result).options.size() == 3);
}

TEST_CASE("how far: a value that passes nowhere says why; one that fails now but would pass elsewhere has no stretch about it") {
    const Desk desk("job S\nmember J1 = joist\nwith w = 49 kN/m\n");
    const auto none = planFar(*desk.job, "J1.grade");
    REQUIRE(none);
    const Far n = farOf(none.value(), {});
    CHECK(n.ofOptions);
    for (const Option& o : n.options) CHECK(o.verdict == Verdict::Fails);
    CHECK_FALSE(n.reasons.empty());
    const auto span = planFar(*desk.job, "J1.L");
    REQUIRE(span);
    const Far s = farOf(span.value(), {});
    CHECK_FALSE(s.far.stretches.empty());
    CHECK_FALSE(s.far.around);
    // Something that does not vary is not stated: nothing ever passes.
    const Desk open("job S\nmember J1 = joist\nwith w = ?\n");
    const auto depth = planFar(*open.job, "J1.h");
    REQUIRE(depth);
    CHECK(farOf(depth.value(), {}).far.stretches.empty());
}

TEST_CASE("what cannot be worked out says why, at its row, and the others stand") {
    const Desk desk("job S\nmember J1 = joist\nwith w = 2 kN/m\ntrial reach J1.nothing\ntrial weigh J1.sag\ntrial vary J1.h from 100 mm to 400 mm by 0.1 mm\n");
    auto plans = planPinned(*desk.job);
    REQUIRE(plans.size() == 3);
    REQUIRE(plans[0].problem);
    CHECK(plans[0].problem->place.row == 3);
    CHECK_FALSE(plans[1].problem);
    REQUIRE(plans[2].problem);
    CHECK(plans[2].problem->code == diag::Code::TrialTooLarge);
    CHECK(std::holds_alternative<std::monostate>(workPinned(plans[0], {}).result));
    // It changes nothing of the job.
    CHECK(desk.job->verdict() == job::Verdict::Ok);
}

TEST_CASE("a cancelled one is left out whole") {
    const Desk desk(kRows);
    for (PinnedPlan& p : planPinned(*desk.job)) {
        if (p.pinned.sort == Pinned::Sort::Weigh) continue; // too small to be cancelled
        INFO(p.pinned.text);
        const PinnedResult r = workPinned(p, {1, [](std::size_t, std::size_t) { return false; }});
        if (r.leftOut) CHECK(std::holds_alternative<std::monostate>(r.result));
    }
    auto plans = planPinned(*desk.job);
    CHECK(workPinned(plans[2], {1, [](std::size_t, std::size_t) { return false; }}).leftOut);
}

TEST_CASE("pinning is one row in the text; the same twice is refused; taking out puts the text back") {
    const Desk desk("job S\r\nmember J1 = joist\r\nwith w = 2 kN/m");
    const std::string before = desk.job->text("work/job.spanjob").value();
    REQUIRE(pin(*desk.job, "weigh J1.sag", "why it sags"));
    REQUIRE(pin(*desk.job, "reach J1.L", ""));
    CHECK(desk.job->text("work/job.spanjob").value() == before + "\r\n\r\ntrial   weigh J1.sag -- why it sags\r\ntrial   reach J1.L\r\n");
    CHECK_FALSE(pin(*desk.job, "weigh J1.sag", ""));
    CHECK_FALSE(pin(*desk.job, "weigh J1.sag\ngiven x = 1", ""));
    CHECK_FALSE(pin(*desk.job, "nothing of the kind", ""));
    CHECK(pinnedIn(*desk.job).size() == 2);
    REQUIRE(unpin(*desk.job, 0));
    CHECK(pinnedIn(*desk.job).size() == 1);
    CHECK_FALSE(unpin(*desk.job, 1));
    // A single sheet keeps none.
    const auto single = job::Job::open(const_cast<io::Memory&>(desk.files), "work/joist.spansheet", {.library = "library", .cancelled = {}});
    CHECK_FALSE(pin(*single, "weigh sag", ""));
    CHECK(pinnedIn(*single).empty());
}

TEST_CASE("trials follow a member's new mark, and go with the member that they ask about") {
    const Desk desk("job S\nmember J1 = joist\nwith w = 2 kN/m\nmember P1 = post\nwith N = J1.R\ntrial vary J1.h in 200 mm, 220 mm and P1.N_R in 10 kN, 20 kN\n"
                    "trial weigh J1.sag\ntrial sure J1\n");
    REQUIRE(desk.job->renameMember("J1", "K1"));
    const auto all = pinnedIn(*desk.job);
    CHECK(all[0].text == "vary K1.h in 200 mm, 220 mm and P1.N_R in 10 kN, 20 kN");
    CHECK(all[1].text == "weigh K1.sag");
    CHECK(all[2].text == "sure K1");
    REQUIRE(desk.job->removeMember("K1"));
    REQUIRE(pinnedIn(*desk.job).size() == 1);
    CHECK(planPinned(*desk.job)[0].problem);
}
