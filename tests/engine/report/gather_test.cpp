// SPDX-License-Identifier: MIT
#include <doctest/doctest.h>

#include <fstream>
#include <nlohmann/json.hpp>

#include "engine/report/build.h"
#include "engine/report/clean.h"
#include "engine/report/write.h"
#include "tests/engine/report/html_check.h"
#include "tests/engine/report/json_schema.h"
#include "tests/engine/report/sample_facts.h"

using namespace spanwright;

namespace {

const std::string kSource = SPANWRIGHT_SOURCE_DIR;

std::unique_ptr<job::Job> open(io::Files& files, const std::string& path) {
    job::Options options;
    options.library = kSource + "/sheets";
    return job::Job::open(files, path, options);
}

} // namespace

TEST_CASE("the example job, gathered whole") {
    io::Disk disk;
    const auto shed = open(disk, kSource + "/examples/packing-shed/packing-shed.spanjob");
    report::Want want;
    want.rows = want.workings = true;
    const report::JobFacts f = report::gather(*shed, want);
    REQUIRE(f.members.size() == shed->memberCount());
    REQUIRE(f.members.size() > 3);
    std::size_t workings = 0;
    std::size_t plots = 0;
    for (std::size_t i = 0; i < f.members.size(); ++i) {
        CHECK(f.members[i].rows.size() == shed->member(i).quantities.size());
        CHECK(f.members[i].view.verdict == shed->member(i).verdict);
        CHECK_FALSE(f.members[i].basis.empty());
        for (const report::RowFact& r : f.members[i].rows) {
            if (r.working) ++workings;
            if (r.plot) ++plots;
            if (r.si) CHECK(std::isfinite(*r.si));
            // What is not known has no number.
            if (r.view.state != eval::State::Known) CHECK_FALSE(r.si.has_value());
        }
    }
    CHECK(workings > 100);
    CHECK(plots > 3);
    CHECK(f.exitStatus == shed->exitStatus());

    const std::string page = report::writeHtml(report::reportDocument(f));
    std::string faults;
    for (const std::string& fault : report::sample::pageFaults(page)) faults += fault + "\n";
    CHECK(faults == "");
    for (const report::MemberFacts& m : f.members) {
        for (const std::string& note : m.notes) CHECK_MESSAGE(page.find(report::htmlText(report::asPrinted(note))) != std::string::npos, note);
    }

    std::ifstream in(kSource + "/engine/report/check.schema.json");
    const nlohmann::json schema = nlohmann::json::parse(in);
    faults.clear();
    for (const std::string& fault : report::sample::schemaFaults(schema, schema, nlohmann::json::parse(report::writeJson(f)))) faults += fault + "\n";
    CHECK(faults == "");
}

TEST_CASE("words of the job: notes go to their member, remarks to the review") {
    io::Memory files;
    files.files["a.spansheet"] = "sheet a\nbasis EN 1990:2002\ngiven F = 1 kN\ncheck c: F <= 2 kN\n";
    files.files["x.spanjob"] = "job x\nnote over all\nmember A = a\n note first\nmember B = a\n note second\nremark B.F by AB on 2026-05-05: weighed?\n";
    const auto x = open(files, "x.spanjob");
    const report::JobFacts f = report::gather(*x, {});
    REQUIRE(f.members.size() == 2);
    CHECK(f.cover.notes == std::vector<std::string>{"over all"});
    CHECK(f.members[0].notes == std::vector<std::string>{"first"});
    CHECK(f.members[1].notes == std::vector<std::string>{"second"});
    REQUIRE(f.remarks.size() == 1);
    CHECK(f.remarks[0].member == "B");
    CHECK(f.remarks[0].name == "F");
    CHECK(f.remarks[0].text == "weighed?");
    // Without rows wanted none are gathered.
    CHECK(f.members[0].rows.empty());
}

TEST_CASE("one member wanted: its own verdict and status") {
    io::Memory files;
    files.files["a.spansheet"] = "sheet a\nbasis EN 1990:2002\ngiven F = 1 kN\ncheck c: F <= 2 kN\n";
    files.files["x.spanjob"] = "job x\nmember A = a\nmember B = a\n with F = 3 kN\n";
    const auto x = open(files, "x.spanjob");
    report::Want want;
    CHECK(report::gather(*x, want).exitStatus == 3);
    want.member = 0;
    CHECK(report::gather(*x, want).exitStatus == 0);
    CHECK(report::gather(*x, want).verdict == job::Verdict::Ok);
    want.member = 1;
    CHECK(report::gather(*x, want).exitStatus == 3);
}
