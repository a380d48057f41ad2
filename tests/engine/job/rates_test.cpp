// SPDX-License-Identifier: MIT
#include <doctest/doctest.h>

#include <string>

#include "engine/io/files.h"
#include "engine/job/job.h"

using namespace spanwright;

namespace {

struct Opened {
    io::Memory files;
    std::unique_ptr<job::Job> job;
    explicit Opened(const std::string& rows) {
        files.files["w/a.spansheet"] = "sheet a\ngiven cost [EUR] = 100 EUR\ngiven each_m [EUR/m] = 2 EUR/m\ncheck ok: cost <= 200 EUR\n";
        files.files["w/b.spansheet"] = "sheet b\nask cost [USD]\ngiven run [USD/m] = 1 USD/m\ncheck ok: cost <= 200 USD\n";
        files.files["w/j.spanjob"] = "job Money\n" + rows;
        job = job::Job::open(files, "w/j.spanjob", {.library = "l", .cancelled = {}});
    }
    std::string told() const {
        std::string out;
        for (const auto& d : job->diagnostics()) out += std::string(diag::codeText(d.code)) + " " + d.message + "\n";
        return out;
    }
    double value(const char* mark, const char* name) const {
        const std::size_t m = *job->memberByMark(mark);
        return job->value(m, job->sheet(m).find(name)->id).one;
    }
};

const std::string kMembers = "member A = a\nmember B = b\n with cost = A.cost\n with run = A.each_m\n";

} // namespace

TEST_CASE("a stated rate brings an amount to the currency of the row it fills, both ways and per metre") {
    const Opened o("rate 1 EUR = 1.08 USD\n" + kMembers);
    CHECK(o.told() == "");
    CHECK(o.value("B", "cost") == doctest::Approx(108.0).epsilon(1e-15));
    CHECK(o.value("B", "run") == doctest::Approx(2.16).epsilon(1e-15));
    const Opened back("rate 2 USD = 1 EUR\n" + kMembers);
    CHECK(back.value("B", "cost") == doctest::Approx(200.0).epsilon(1e-15));
}

TEST_CASE("without a rate amounts in two currencies do not meet") {
    const Opened o(kMembers);
    CHECK(o.told().find("M325") != std::string::npos);
    CHECK(o.job->verdict() == job::Verdict::NotComputed);
}

TEST_CASE("a changed rate changes what was linked by it") {
    Opened o("rate 1 EUR = 1.08 USD\n" + kMembers);
    REQUIRE(o.value("B", "cost") == doctest::Approx(108.0));
    REQUIRE(o.job->setText("w/j.spanjob", "job Money\nrate 1 EUR = 1.5 USD\n" + kMembers).ok());
    CHECK(o.value("B", "cost") == doctest::Approx(150.0));
}

TEST_CASE("wrong rates are told") {
    CHECK(Opened("rate 1 EUR = 1.08 EUR\n").told().find("M325 both sides of this rate are in EUR") != std::string::npos);
    CHECK(Opened("rate 1 EUR = 0 USD\n").told().find("U205 a rate has an amount of money above zero on both sides") != std::string::npos);
    CHECK(Opened("rate 1 m = 1.08 USD\n").told().find("U205") != std::string::npos);
    CHECK(Opened("rate 1 EUR = 1.08 USD\nrate 1 USD = 0.9 EUR\n").told().find("S120 there is a rate between these currencies already") != std::string::npos);
}
