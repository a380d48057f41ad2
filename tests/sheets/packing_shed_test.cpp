// SPDX-License-Identifier: MIT
// The example job: what it shows on purpose stays so, and the way each is put right works.
#include <doctest/doctest.h>

#include <map>
#include <memory>
#include <string>

#include "engine/job/job.h"

using spanwright::job::CheckView;
using spanwright::job::Job;
using spanwright::job::MemberView;
using spanwright::job::Verdict;

namespace {

struct Shed {
    spanwright::io::Disk disk;
    std::unique_ptr<Job> job;
    Shed() {
        spanwright::job::Options options;
        options.library = std::string(SPANWRIGHT_SOURCE_DIR) + "/sheets";
        job = Job::open(disk, std::string(SPANWRIGHT_SOURCE_DIR) + "/examples/packing-shed/packing-shed.spanjob", options);
        job->calculate();
    }
    const MemberView& member(const char* mark) {
        job->calculate();
        const auto i = job->memberByMark(mark);
        REQUIRE(i.has_value());
        return job->member(*i);
    }
    double value(const char* mark, const char* name) {
        const auto i = job->memberByMark(mark);
        REQUIRE(i.has_value());
        const auto* q = job->sheet(*i).find(name);
        REQUIRE(q != nullptr);
        const auto& v = job->value(*i, q->id);
        REQUIRE(v.known());
        return v.one;
    }
    void set(const char* mark, const char* name, const char* text) {
        const auto done = job->override(mark, name, text);
        REQUIRE_MESSAGE(done.ok(), name);
    }
    std::string errors() {
        std::string out;
        for (const auto& d : job->diagnostics()) out += spanwright::diag::renderText(d, job->resolver());
        return out;
    }
};

} // namespace

TEST_CASE("the packing shed: one member fails and one is not proven, on purpose") {
    Shed shed;
    REQUIRE_MESSAGE(shed.job->diagnostics().empty(), shed.errors());
    const std::map<std::string, Verdict> wanted{
        {"J1", Verdict::Ok},  {"J2", Verdict::Ok},  {"T1", Verdict::Ok},  {"B1", Verdict::Ok},  {"J3", Verdict::Fails}, {"B2", Verdict::NotProven},
        {"R1", Verdict::Ok},  {"J1U", Verdict::Ok}, {"A1", Verdict::Ok},  {"A2", Verdict::Ok},  {"R2", Verdict::Ok},    {"U1", Verdict::Ok},
        {"H1", Verdict::Ok},  {"C1", Verdict::Ok},  {"N1", Verdict::Ok},  {"AU", Verdict::Ok},  {"H1U", Verdict::Ok},   {"N1U", Verdict::Ok},
        {"S1", Verdict::Ok},  {"R1G", Verdict::Ok}, {"R1C", Verdict::Ok}, {"B1N", Verdict::Ok}, {"H2", Verdict::Ok},    {"K2", Verdict::Ok},
        {"J1I", Verdict::Ok}, {"B1G", Verdict::Ok}, {"K1", Verdict::Ok},  {"K1C", Verdict::Ok}, {"S1U", Verdict::Ok}};
    CHECK(shed.job->memberCount() == wanted.size());
    for (const auto& [mark, verdict] : wanted) {
        const MemberView& m = shed.member(mark.c_str());
        std::string why;
        for (const std::string& r : m.reasons) why += r + "; ";
        INFO(mark, ": ", why);
        CHECK(spanwright::job::verdictText(m.verdict) == spanwright::job::verdictText(verdict));
    }
    CHECK(shed.job->exitStatus() == 3);
}

TEST_CASE("reactions reach the members that carry them, by action and unfactored") {
    Shed shed;
    CHECK(shed.value("T1", "g_x") == doctest::Approx(shed.value("J1", "R_G") / 0.4));
    CHECK(shed.value("T1", "q_x") == doctest::Approx(shed.value("J1", "R_Q") / 0.4));
    CHECK(shed.value("J1", "R_Q") == doctest::Approx(2000 * 0.4 * 3.6 / 2));
    CHECK(shed.value("B1", "w_G") == doctest::Approx(shed.value("J2", "R_G2") / 0.4));
    CHECK(shed.value("B1", "w_Q") == doctest::Approx(shed.value("J2", "R_Q2") / 0.4));
    // A longer joist loads the trimmer more.
    const double before = shed.value("T1", "q_x");
    shed.set("J1", "L", "4.0 m");
    CHECK(shed.value("T1", "q_x") == doctest::Approx(before * 4.0 / 3.6));
}

TEST_CASE("loads go from the build-up of a roof to joist, header, bearing, notch, tie and roof beam") {
    Shed shed;
    CHECK(shed.value("R2", "w_S") == doctest::Approx(shed.value("A2", "s_even") * 0.4));
    CHECK(shed.value("H1", "w_S") == doctest::Approx(shed.value("R2", "R_S2") / 0.4));
    CHECK(shed.value("R1", "w_G") == doctest::Approx(shed.value("A1", "g_k") * 1.2));
    CHECK(shed.value("U1", "F_U") == doctest::Approx(shed.value("R2", "R_U2")));
    CHECK(shed.value("R2", "T_d") == doctest::Approx(shed.value("U1", "T_d")));
    // Self weight once: the joists stand in the list of layers, so their sheet adds nothing.
    CHECK(shed.value("A2", "k_self") == 0);
    CHECK(shed.value("R2", "g_0") == 0);
    CHECK(shed.value("A1", "k_self") == 1);
    // More snow on the ground loads every one of them; more wind every tie.
    const double joist = shed.value("R2", "R_S2");
    const double header = shed.value("H1", "R_S");
    const double beam = shed.value("R1", "w_Q");
    shed.set("A1", "s_k", "2.7 kN/m^2");
    shed.set("A2", "s_k", "2.7 kN/m^2");
    CHECK(shed.value("R2", "R_S2") > joist * 1.1); // the drift alone is bounded by the height of the step
    CHECK(shed.value("H1", "R_S") / header == doctest::Approx(shed.value("R2", "R_S2") / joist));
    CHECK(shed.value("R1", "w_Q") == doctest::Approx(beam * 1.5));
    const double tie = shed.value("U1", "F_U");
    shed.set("A2", "v_b0", "30 m/s");
    CHECK(shed.value("U1", "F_U") == doctest::Approx(tie * 1.44));
}

TEST_CASE("a point load and the strength of a joint come by links in the cells of lists") {
    Shed shed;
    // The trimmer stands 0.5 m from the left bearing of a header 1.29 m long: that bearing takes 1 - 0.5/1.29 of it.
    const double before = shed.value("H2", "R_Q"), trimmer = shed.value("T1", "R_Q");
    shed.set("T1", "q_k", "4 kN/m^2");
    const double more = shed.value("T1", "R_Q") - trimmer;
    CHECK(more > 0);
    CHECK(shed.value("H2", "R_Q") - before == doctest::Approx(more * (1 - 0.5 / shed.value("H2", "L"))).epsilon(1e-9));
    // A steeper scarf is a weaker joint of the roof beam, and the other way round.
    const auto utilisation = [&] {
        for (const CheckView& c : shed.member("R1").checks)
            if (c.name == "flange_splice_tension") return c.utilisation.value_or(-1);
        return -1.0;
    };
    const double sound = utilisation();
    CHECK(sound > 0);
    shed.set("K1", "k_s", "0.3");
    CHECK(utilisation() > 2 * sound);
}

TEST_CASE("the notes of the example tell the truth about how each is put right") {
    Shed shed;
    CHECK(shed.member("J3").governing.has_value());
    shed.set("J3", "h", "245 mm");
    shed.set("J3", "s", "400 mm");
    shed.set("J3", "grade", "C24");
    CHECK(shed.member("J3").verdict == Verdict::Ok);
    shed.set("B2", "glue", "EN 301 I GP 0.3");
    CHECK(shed.member("B2").verdict == Verdict::Ok);
}

TEST_CASE("every sketch of the example is drawn whole") {
    Shed shed;
    shed.job->calculate();
    std::size_t drawn = 0;
    for (std::size_t i = 0; i < shed.job->memberCount(); ++i)
        for (const auto& q : shed.job->sheet(i).quantities) {
            if (q.kind != spanwright::meaning::Kind::Sketch) continue;
            const auto sketch = shed.job->sketch(i, q.id);
            if (!sketch) continue; // its part does not apply
            INFO(shed.job->member(i).mark, ": ", sketch->title);
            CHECK(sketch->marks.size() >= 3);
            for (const std::string& missing : sketch->leftOut) FAIL_CHECK(missing);
            ++drawn;
        }
    CHECK(drawn >= 20);
}
