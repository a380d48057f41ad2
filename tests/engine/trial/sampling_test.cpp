// SPDX-License-Identifier: MIT
#include "engine/trial/sampling.h"

#include <algorithm>
#include <cmath>
#include <random>

#include "engine/trial/response_surface.h"
#include "tests/engine/trial/bench.h"

using namespace spanwright;
using namespace spanwright::trial;
using namespace spanwright::trial::tests;

namespace {

/// A sheet that takes so much work at each point that ten thousand samples are too many: `a` and `b` vary.
std::string heavy(const std::string& rows) {
    std::string out = "sheet joist\ngiven a = 1 +- 0.1\ngiven b = 2 +- 0.2\n";
    for (int i = 0; i < 40; ++i) out += "derive m_" + std::to_string(i) + " = largest(a*x*exp(-(b + " + std::to_string(i) + "/100)*x), x from 0 to 3)\n";
    return out + rows;
}

struct Asked {
    Desk desk;
    Trial trial;
    std::vector<std::uint32_t> checks;
    explicit Asked(const std::string& sheet)
        : desk("job S\nmember J1 = joist\n", sheet), trial([&] {
              auto made = Trial::of(*desk.job, {{"J1", "a"}, {"J1", "b"}}, {});
              REQUIRE_MESSAGE(made, made.error().message);
              return std::move(made).value();
          }()) {
        for (std::uint32_t c = 0; c < trial.checks().size(); ++c)
            if (!trial.checks()[c].isRequire) checks.push_back(c);
    }
    [[nodiscard]] Sampled sampled(bool all, std::size_t samples = 0, bool normal = false, unsigned threads = 0) const {
        return sample(trial, 0, checks, {{1.0, 2.0}, {0.1, 0.2}, samples, 5, normal, all}, {threads, {}});
    }
};

void holdAlike(const Sampled& read, const Sampled& all) {
    REQUIRE(read.readOff);
    CHECK_FALSE(all.readOff);
    REQUIRE(read.samples >= all.samples);
    REQUIRE(read.checks.size() == all.checks.size());
    CHECK(read.workedOut < read.samples / 4);
    for (std::size_t c = 0; c < read.checks.size(); ++c) {
        for (std::size_t i = 0; i < all.samples; ++i) CHECK(std::fabs(read.checks[c].samples[i] - all.checks[c].samples[i]) <= 2.0 * read.readOff->off + 1e-12);
        CHECK(read.checks[c].now == all.checks[c].now);
    }
}

} // namespace

TEST_CASE("a surface has as many terms as there are products up to its degree, and is exact for them") {
    CHECK(ResponseSurface::termsOf(1, 4) == 5);
    CHECK(ResponseSurface::termsOf(3, 2) == 10);
    CHECK(ResponseSurface::termsOf(4, 3) == 35);
    std::mt19937 random(3);
    std::uniform_real_distribution<double> even(-1.0, 1.0);
    const auto cubic = [](double x, double y, double z) { return 1 + 2 * x - y * z + x * y * z - 3 * z * z * z + x * x * y; };
    const auto places = [&](std::size_t n) {
        std::vector<std::vector<double>> at(3, std::vector<double>(n));
        for (auto& column : at)
            for (double& t : column) t = even(random);
        return at;
    };
    const auto at = places(50), other = places(1000);
    std::vector<std::vector<double>> values(2, std::vector<double>(50));
    for (std::size_t i = 0; i < 50; ++i) {
        values[0][i] = cubic(at[0][i], at[1][i], at[2][i]);
        values[1][i] = 7.0;
    }
    const ResponseSurface s(3, at, values);
    REQUIRE(s.ok());
    std::vector<double> f(1000), g(1000);
    s.at(1000, {other[0].data(), other[1].data(), other[2].data()}, {f.data(), g.data()});
    for (std::size_t i = 0; i < 1000; ++i) {
        CHECK(f[i] == doctest::Approx(cubic(other[0][i], other[1][i], other[2][i])).epsilon(1e-11));
        CHECK(g[i] == doctest::Approx(7.0).epsilon(1e-12));
    }
    // One degree less is not enough, too few places, places that do not tell terms apart, a value that is none.
    const ResponseSurface low(2, at, values);
    REQUIRE(low.ok());
    low.at(1000, {other[0].data(), other[1].data(), other[2].data()}, {f.data(), g.data()});
    double off = 0.0;
    for (std::size_t i = 0; i < 1000; ++i) off = std::max(off, std::fabs(f[i] - cubic(other[0][i], other[1][i], other[2][i])));
    CHECK(off > 0.1);
    CHECK_FALSE(ResponseSurface(4, {std::vector<double>(30, 0.0), std::vector<double>(30, 0.0), std::vector<double>(30, 0.0)}, {std::vector<double>(30)}).ok());
    CHECK_FALSE(ResponseSurface(1, {std::vector<double>(30, 0.5)}, {std::vector<double>(30, 1.0)}).ok());
    values[0][7] = std::nan("");
    CHECK_FALSE(ResponseSurface(3, at, values).ok());
}

TEST_CASE("samples read off are those that would be calculated") {
    // The largest of a x exp(-b x) is a/(b e).
    const Asked asked(heavy("check c: m_0 <= 1\ncheck d: m_20/m_39 + a^3 <= 4\n"));
    const Sampled read = asked.sampled(false), all = asked.sampled(true, 600);
    CHECK(read.samples == 10'000);
    holdAlike(read, all);
    CHECK(read.readOff->off < 1e-4);
    CHECK(read.okay == read.samples);
    CHECK(all.okay == all.samples);
    // Against the closed form, at every sample.
    for (std::size_t i = 0; i < read.samples; ++i) {
        const double a = 1.0 + 0.1 * (2.0 * evenNumber(5, i, 0) - 1.0), b = 2.0 + 0.2 * (2.0 * evenNumber(5, i, 1) - 1.0);
        CHECK(std::fabs(read.checks[0].samples[i] - a / (b * std::exp(1.0))) <= 2.0 * read.readOff->off + 1e-12);
    }
    // The worst is that of a corner, and was calculated.
    CHECK(read.checks[0].worst == doctest::Approx(1.1 / (1.8 * std::exp(1.0))).epsilon(1e-12));
    CHECK(read.checks[0].places == read.workedOut);
    CHECK(read.checks[0].without == 0);
    // On any number of threads.
    const Sampled one = asked.sampled(false, 0, false, 1), three = asked.sampled(false, 0, false, 3);
    CHECK(std::equal(one.checks[1].samples.begin(), one.checks[1].samples.end(), three.checks[1].samples.begin()));
    CHECK(one.readOff->off == three.readOff->off);
}

TEST_CASE("normally distributed samples reach beyond the tolerances, their worst case does not") {
    const Asked asked(heavy("check c: m_0 <= 1\n"));
    const Sampled read = asked.sampled(false, 0, true), all = asked.sampled(true, 400, true);
    holdAlike(read, all);
    const auto& samples = read.checks[0].samples;
    CHECK(*std::max_element(samples.begin(), samples.end()) > 1.1 / (1.8 * std::exp(1.0)));
    CHECK(read.checks[0].worst == doctest::Approx(1.1 / (1.8 * std::exp(1.0))).epsilon(1e-12));
    CHECK(read.checks[0].places < read.workedOut);
}

TEST_CASE("a sample read off that may fail counts as failing") {
    // Fails where a/b > 0.5, about half of them.
    const Asked asked(heavy("check c: m_0*exp(1) <= 0.5\n"));
    const Sampled read = asked.sampled(false), all = asked.sampled(true, 10'000);
    holdAlike(read, all);
    CHECK(read.checks[0].failing >= all.checks[0].failing);
    CHECK(read.checks[0].failing < all.checks[0].failing + 50);
    CHECK(read.okay == read.samples - read.checks[0].failing);
    CHECK(all.okay == all.samples - all.checks[0].failing);
    CHECK(read.checks[0].worst > 1.0);
    // A verdict that is not OK even where all checks pass makes no sample OK.
    const Asked unproven(heavy("ask w\ncheck c: m_0 <= 1\n"));
    REQUIRE(unproven.desk.job->member(0).verdict != job::Verdict::Ok);
    const Sampled none = unproven.sampled(false);
    CHECK(none.readOff);
    CHECK(none.okay == 0);
    CHECK(none.checks[0].failing == 0);
    // The same where some samples fail, too.
    const Asked both(heavy("ask w\ncheck c: m_0*exp(1) <= 0.5\n"));
    const Sampled mixed = both.sampled(false);
    CHECK(mixed.readOff);
    CHECK(mixed.okay == 0);
    CHECK(mixed.checks[0].failing > 4000);
    CHECK(mixed.checks[0].failing < 6000);
}

TEST_CASE("what is not smooth, or hangs on more than utilisations, is calculated") {
    // A kink, a jump, a requirement that fails in a corner, a limit of a row, and a check that is not computed everywhere.
    for (const char* rows :
         {"check c: abs(m_0 - 1/(2*exp(1)))*20 <= 1\n", "check c: if(m_0 > 0.184, 0.5, 0.4) <= 1\n", "check c: m_0 <= 1\nrequire r: a + b < 3.25\n",
          "check c: m_0 <= 1\nderive s = sqrt(b - 1.82)\n", "check c: m_0 <= 1\npart Other only if a > 0.95\ncheck d: a <= 2\n"}) {
        INFO(rows);
        const Asked asked(heavy(rows));
        REQUIRE(asked.desk.job->member(0).verdict != job::Verdict::NotComputed);
        const Sampled read = asked.sampled(false);
        CHECK_FALSE(read.readOff);
        CHECK(read.fewer);
        const Sampled all = asked.sampled(true, read.samples);
        CHECK(read.okay == all.okay);
        for (std::size_t c = 0; c < all.checks.size(); ++c) {
            CHECK(read.checks[c].failing == all.checks[c].failing);
            CHECK(read.checks[c].places == all.checks[c].places);
            CHECK(read.checks[c].without == all.checks[c].without);
        }
    }
}

TEST_CASE("the ready ridge beam of the example, read off and calculated") {
    io::Disk disk;
    const auto job = job::Job::open(disk, std::string(SPANWRIGHT_SOURCE_DIR) + "/examples/packing-shed/packing-shed.spanjob",
                                    {.library = std::string(SPANWRIGHT_SOURCE_DIR) + "/sheets", .cancelled = {}});
    const auto member = job->memberByMark("R1");
    REQUIRE(member);
    auto made = Trial::of(*job, {{"R1", "b"}, {"R1", "h_f"}, {"R1", "d_g"}}, {});
    REQUIRE(made);
    const Trial& trial = made.value();
    std::size_t m = 0;
    for (std::size_t i = 0; i < trial.members().size(); ++i)
        if (trial.members()[i].index == *member) m = i;
    std::vector<std::uint32_t> checks;
    for (std::uint32_t c = 0; c < trial.checks().size(); ++c)
        if (trial.checks()[c].member == m && !trial.checks()[c].isRequire) checks.push_back(c);
    SamplingRequest request{{}, {}, 20'000, 1, false, false};
    for (const Varied& v : trial.varied()) {
        request.centre.push_back(*v.now);
        request.half.push_back(0.001);
    }
    const Sampled read = sample(trial, m, checks, request, {});
    request.samples = 60;
    request.workOutAll = true;
    const Sampled all = sample(trial, m, checks, request, {});
    REQUIRE(read.readOff);
    CHECK(read.readOff->off < 1e-5);
    CHECK(read.samples == 20'000);
    for (std::size_t c = 0; c < checks.size(); ++c) {
        for (std::size_t i = 0; i < all.samples; ++i) {
            const double a = read.checks[c].samples[i], b = all.checks[c].samples[i];
            CHECK((std::isnan(a) ? std::isnan(b) : std::fabs(a - b) < 1e-5));
        }
    }
    CHECK(read.okay == read.samples);
    CHECK(all.okay == all.samples);
}
