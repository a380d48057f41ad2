// SPDX-License-Identifier: MIT
// The report's trials: settings beside results, nothing without an answer shown as one, the same bytes each time.
#include "engine/report/build.h"
#include "engine/report/trial_document.h"
#include "engine/report/write.h"
#include "tests/engine/trial/bench.h"

using namespace spanwright;
using trial::tests::Desk;

namespace {

const std::string kJob = R"(job Shed
member J1 = joist
with w = 2 kN/m
with h = 240 mm +- 5 mm
trial vary J1.h in 200 mm, 240 mm, 280 mm and J1.L in 3 m, 4 m, 50 m -- how deep for how wide
trial reach J1.L
trial reach J1.grade
trial weigh J1.sag
trial sure J1 samples 200
trial reach J1.nothing
)";

std::string textOf(const job::Job& job, bool trials, const report::ReportScope& scope = {}) {
    report::Want want;
    want.rows = want.workings = true;
    want.trials = trials;
    return report::writeText(report::reportDocument(report::gather(job, want), scope), 1000);
}

} // namespace

TEST_CASE("the report prints settings and results, and says what could not be worked out") {
    const Desk desk(kJob);
    const std::string text = textOf(*desk.job, true);
    CHECK(text.find("how deep for how wide") != std::string::npos);
    CHECK(text.find("trial vary J1.h in 200 mm, 240 mm, 280 mm and J1.L in 3 m, 4 m") != std::string::npos);
    CHECK(text.find("J1, by h and L") != std::string::npos);
    CHECK(text.find("how far J1.L can go") != std::string::npos);
    CHECK(text.find("which of J1.grade pass") != std::string::npos);
    CHECK(text.find("what weighs on J1.sag") != std::string::npos);
    CHECK(text.find("J1 within its tolerances") != std::string::npos);
    // What has no answer is boxed as loudly as a value that could not be computed.
    const std::size_t unanswered = text.find("a trial without an answer");
    REQUIRE(unanswered != std::string::npos);
    CHECK(text.find("[ NOT COMPUTED ] ", unanswered) != std::string::npos);
    CHECK(text.find("prove nothing about") != std::string::npos);
    CHECK(textOf(*desk.job, true) == text);
    CHECK(textOf(*desk.job, false).find("trial reach") == std::string::npos);
    // A print that is a part says that it leaves them out; the whole one has nothing to say of it.
    CHECK(textOf(*desk.job, false, {{}, true}).find("leaves out the job's 6 trials") != std::string::npos);
    CHECK(text.find("leaves out") == std::string::npos);
}

TEST_CASE("the field of two values hatches what does not pass and crosses what was not computed") {
    const Desk desk(kJob);
    auto plans = trial::planPinned(*desk.job);
    const trial::PinnedResult r = trial::workPinned(plans[0], {});
    const auto& t = std::get<trial::VaryTable>(r.result);
    const report::Drawing d = report::varyField(t);
    std::size_t hatched = 0, crossed = 0, ok = 0, unknown = 0;
    for (const auto& s : d.shapes) {
        if (const auto* rect = std::get_if<report::Drawing::Rect>(&s)) hatched += rect->hatched ? 1 : 0;
        if (std::holds_alternative<report::Drawing::Strokes>(s)) ++crossed;
    }
    for (const auto v : t.results.verdicts) {
        ok += v == job::Verdict::Ok ? 1 : 0;
        unknown += v == job::Verdict::NotComputed ? 1 : 0;
    }
    CHECK(unknown == 3); // 50 m is beyond the row's limits
    CHECK(crossed == unknown);
    CHECK(hatched == t.results.points - ok - unknown);
    CHECK(ok > 0);
    CHECK(hatched > 0);
}

TEST_CASE("two values that vary are printed once: as a table that names each verdict, with what governs below it") {
    const auto section = [](const std::string& row) {
        const Desk desk("job Shed\nmember J1 = joist\nwith w = 2 kN/m\n" + row + "\n");
        report::Want want;
        want.rows = want.trials = true;
        return report::trialsSection(report::gather(*desk.job, want));
    };
    const auto figures = [](const report::Section& s) {
        return std::count_if(s.blocks.begin(), s.blocks.end(), [](const report::Block& b) { return std::holds_alternative<report::Figure>(b.is); });
    };
    const auto words = [](const report::Section& s) {
        report::Document d;
        d.sections.push_back(s);
        return report::writeText(d, 1000);
    };
    const report::Section few = section("trial vary J1.h in 200 mm, 240 mm, 280 mm and J1.L in 3 m, 4 m, 9 m");
    CHECK(figures(few) == 0);
    CHECK(words(few).find("[ FAILS ]") != std::string::npos);
    const std::size_t governing = words(few).find("governing: ");
    REQUIRE(governing != std::string::npos);
    // The numbers behind the checks add up to all points.
    const std::string line = words(few).substr(governing, words(few).find('\n', governing) - governing);
    if (line.find(" everywhere") == std::string::npos) {
        int sum = 0;
        for (std::size_t at = line.find(" at "); at != std::string::npos; at = line.find(" at ", at + 1)) sum += std::stoi(line.substr(at + 4));
        CHECK(sum == 9);
    }
    // Too many columns for a table: a line a point, and the field beside it shows how it all lies.
    const report::Section many = section("trial vary J1.h in 200 mm, 240 mm and J1.L from 3 m to 9 m by 0.5 m");
    CHECK(figures(many) == 1);
    CHECK(words(many).find("governing: ") == std::string::npos);
}

TEST_CASE("the bar of a value is hatched where it does not pass") {
    const Desk desk(kJob);
    auto plans = trial::planPinned(*desk.job);
    const trial::PinnedResult r = trial::workPinned(plans[1], {});
    const auto& f = std::get<trial::Far>(r.result);
    std::size_t hatched = 0;
    double wide = 0;
    for (const auto& s : report::farDrawing(f).shapes)
        if (const auto* rect = std::get_if<report::Drawing::Rect>(&s)) {
            hatched += rect->hatched ? 1 : 0;
            wide += rect->hatched ? rect->width : 0;
        }
    CHECK(hatched == 1); // too wide a span
    CHECK(wide == doctest::Approx(400 * (10 - f.far.stretches[0].to) / 9).epsilon(1e-6));
    trial::Far stopped = f;
    stopped.cancelled = true;
    CHECK(report::farDrawing(stopped).shapes.empty());
}

TEST_CASE("the place beyond an answer is told only where it can be told apart") {
    const Desk desk(kJob);
    const auto text = [&](const std::string& over) {
        trial::ReachRequest request;
        request.aim = trial::Aim::Largest;
        request.over = over;
        const auto made = trial::reach(*desk.job, request, {});
        REQUIRE(made);
        return report::writeText(report::reachDocument(made.value()), 1000);
    };
    CHECK(text("J1.w").find("just beyond it does not pass: ") != std::string::npos);
    CHECK(text("J1.L").find("beyond, at 4.6 m, does not pass: ") != std::string::npos);
    CHECK(text("J1.L in 3 m, 4 m, 9 m").find("beyond, at 9 m, does not pass: ") != std::string::npos);
}
