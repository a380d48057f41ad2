// SPDX-License-Identifier: MIT
// Every ready sheet, as the example uses it, with random values: each point of a trial is what the job itself
// comes to with those values stated, to the last bit, in lanes, one by one and on any number of threads.
#include <bit>
#include <cmath>
#include <map>
#include <random>
#include <set>

#include <doctest/doctest.h>

#include "engine/io/files.h"
#include "engine/trial/trial.h"

using namespace spanwright;
using namespace spanwright::trial;

namespace {

std::unique_ptr<job::Job> example() {
    static io::Disk disk;
    return job::Job::open(disk, std::string(SPANWRIGHT_SOURCE_DIR) + "/examples/packing-shed/packing-shed.spanjob",
                          {.library = std::string(SPANWRIGHT_SOURCE_DIR) + "/sheets", .cancelled = {}});
}

bool same(double a, double b) { return std::bit_cast<std::uint64_t>(a) == std::bit_cast<std::uint64_t>(b) || (std::isnan(a) && std::isnan(b)); }

/// Values that can be varied: stated ones and defaults, not links.
std::vector<ValueName> statable(const job::Job& job, std::size_t member) {
    std::vector<ValueName> out;
    const job::MemberView& view = job.member(member);
    for (const meaning::Quantity& q : job.sheet(member).quantities) {
        const bool kind = q.kind == meaning::Kind::Ask || q.kind == meaning::Kind::Given || q.kind == meaning::Kind::Choose;
        // A default that is worked out from other rows cannot be put back once it was stated.
        const bool own = view.quantities[q.id.index()].stated || q.reads.empty();
        if (kind && own && !q.broken && view.quantities[q.id.index()].state == eval::State::Known) out.push_back({view.mark, q.name});
    }
    return out;
}

std::vector<ValueName> numbersOf(const job::Job& job, std::size_t member) {
    std::vector<ValueName> out;
    for (const meaning::Quantity& q : job.sheet(member).quantities) {
        const bool number = q.type == meaning::Type::Number || q.type == meaning::Type::Truth;
        const bool kind = q.kind == meaning::Kind::Ask || q.kind == meaning::Kind::Given || q.kind == meaning::Kind::Derive || q.kind == meaning::Kind::Check ||
                          q.kind == meaning::Kind::Require || q.kind == meaning::Kind::Switch;
        if (kind && number && !q.name.empty() && job.sheet(member).find(q.name) == &q) out.push_back({job.member(member).mark, q.name});
    }
    return out;
}

double jobNumber(const job::Job& job, std::size_t member, const meaning::Quantity& q) {
    if (q.kind == meaning::Kind::Check) {
        for (const job::CheckView& c : job.member(member).checks) {
            if (c.id != q.id) continue;
            double u = std::nan("");
            for (const auto& k : c.cases) {
                if (k.utilisation && !(u >= *k.utilisation)) u = *k.utilisation;
                if (!k.utilisation && k.state == job::CheckView::State::Fails) u = HUGE_VAL;
            }
            return u;
        }
    }
    const eval::Value& v = job.value(member, q.id);
    double out = std::nan("");
    const std::size_t n = !v.known() ? 0 : q.axes.empty() ? 1 : v.many.size();
    for (std::size_t i = 0; i < n; ++i)
        if (i == 0 || std::fabs(v.data()[i]) > std::fabs(out)) out = v.data()[i];
    return out;
}

} // namespace

TEST_CASE("a point of a trial is what the job comes to, on every ready sheet") {
    const auto job = example();
    REQUIRE(job->memberCount() > 10);
    const auto stated = example(); // values are stated in it, and put back
    std::mt19937 random(20260504);
    std::set<std::string> sheets;
    std::size_t compared = 0, passing = 0, unknown = 0, through = 0, stopped = 0;
    for (std::size_t m = 0; m < job->memberCount(); ++m) {
        const std::string sheet = job->member(m).sheetName;
        sheets.insert(sheet);
        const std::vector<ValueName> all = statable(*job, m);
        const std::vector<ValueName> shown = numbersOf(*job, m);
        REQUIRE(!all.empty());
        for (int round = 0; round < 3; ++round) {
            std::vector<ValueName> varied;
            for (int k = 0; k < 3; ++k) {
                const ValueName& pick = all[random() % all.size()];
                if (std::find(varied.begin(), varied.end(), pick) == varied.end()) varied.push_back(pick);
            }
            auto made = Trial::of(*job, varied, shown);
            REQUIRE(made);
            const Trial& trial = made.value();
            // Beams of varying depth, and what carries them, take long.
            bool heavy = false;
            for (const job::ExtractMember& t : trial.members())
                heavy = heavy || t.sheet->name == "ridge-beam" || t.sheet->name == "area-loads" || t.sheet->name == "roof-joist";
            const std::size_t points = heavy ? 12 : 24;
            std::vector<std::vector<double>> values(varied.size(), std::vector<double>(points));
            for (std::size_t k = 0; k < varied.size(); ++k) {
                const Varied& v = trial.varied()[k];
                for (double& x : values[k]) {
                    const double u = static_cast<double>(random() % 10'000) / 10'000;
                    x = v.table ? static_cast<double>(random() % v.table->rowCount())
                                : *v.now * (0.7 + 0.6 * u) + (*v.now == 0.0 && v.high ? u * *v.high : 0.0);
                }
            }
            const Fill fill = [&](std::size_t first, std::size_t count, double* const* out) {
                for (std::size_t k = 0; k < values.size(); ++k) std::copy_n(values[k].begin() + static_cast<std::ptrdiff_t>(first), count, out[k]);
            };
            const Results lanes = trial.run(points, fill, {.threads = 1, .progress = {}});
            const Results two = trial.run(points, fill, {.threads = 2, .progress = {}});
            const Results single = trial.runOneByOne(points, fill);
            for (std::size_t s = 0; s < shown.size(); ++s) {
                for (std::size_t i = 0; i < points; ++i) {
                    if (!same(lanes.shown[s][i], single.shown[s][i]) || !same(lanes.shown[s][i], two.shown[s][i])) {
                        FAIL_CHECK(sheet, " ", shown[s].name, " point ", i, ": ", lanes.shown[s][i], " ", two.shown[s][i], " ", single.shown[s][i]);
                    }
                    ++compared;
                    if (std::isnan(lanes.shown[s][i])) ++unknown;
                }
            }
            CHECK(lanes.verdicts == single.verdicts);
            CHECK(lanes.verdicts == two.verdicts);
            for (const Verdict v : lanes.verdicts)
                if (v == Verdict::Ok) ++passing;
            // Passing by itself says the same, whatever is asked of the members.
            std::vector<Verdict> asItIs;
            for (const job::ExtractMember& t : trial.members()) asItIs.push_back(t.verdict);
            for (const auto& worst : {std::vector<Verdict>{}, asItIs, std::vector<Verdict>(asItIs.size(), Verdict::NotProven)}) {
                const Passed passed = trial.passing(points, fill, {.threads = round % 2 == 0 ? 1U : 2U, .progress = {}}, worst);
                for (std::size_t i = 0; i < points; ++i) {
                    bool want = true;
                    for (std::size_t t = 0; t < asItIs.size(); ++t) want = want && lanes.members[t][i] <= (worst.empty() ? Verdict::Ok : worst[t]);
                    if ((passed.passes[i] != 0) != want) FAIL_CHECK(sheet, " point ", i, want ? " passes" : " does not pass");
                    (want ? through : stopped) += 1;
                }
            }
            // The job itself, with the values stated. (A link that is stated over cannot be put back.)
            bool linked = false;
            for (const Varied& v : trial.varied()) linked = linked || v.linked;
            job::Job& fresh = *stated;
            for (std::size_t i = 0; i < (linked ? 0 : heavy ? 1 : 3); ++i) {
                bool fine = true;
                std::string said;
                for (std::size_t k = 0; k < varied.size(); ++k) {
                    const std::string text = trial.valueWritten(k, values[k][i]);
                    said += " " + varied[k].name + "=" + text;
                    fine = fresh.override(varied[k].mark, varied[k].name, text).ok() && fine;
                }
                if (!fine) continue; // the job refuses what lies outside its limits
                for (std::size_t s = 0; s < shown.size(); ++s) {
                    const double is = lanes.shown[s][i], want = jobNumber(fresh, m, *fresh.sheet(m).find(shown[s].name));
                    if (!same(is, want)) FAIL_CHECK(sheet, " ", shown[s].name, " is ", is, " and the job says ", want, said);
                }
                for (std::size_t t = 0; t < trial.members().size(); ++t) {
                    const job::MemberView& view = fresh.member(trial.members()[t].index);
                    if (view.verdict != lanes.members[t][i]) {
                        FAIL_CHECK(view.mark, " of ", sheet, said, ": trial ", job::verdictText(lanes.members[t][i]), ", job ", job::verdictText(view.verdict),
                                   view.reasons.empty() ? "" : ": " + view.reasons.front());
                    }
                }
            }
            for (std::size_t k = 0; k < varied.size() && !linked; ++k)
                REQUIRE(fresh.override(varied[k].mark, varied[k].name, trial.valueWritten(k, *trial.varied()[k].now)).ok());
        }
    }
    CHECK(sheets.size() >= 15);
    CHECK(compared > 30'000);
    CHECK(passing > 100);
    CHECK(through > 300);
    CHECK(stopped > 300);
    CHECK(unknown > 100);
    CHECK(unknown < compared / 2);
}
