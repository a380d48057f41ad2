// SPDX-License-Identifier: MIT
// Small jobs in memory for the tests of engine/job.
#pragma once

#include <memory>
#include <string>

#include <doctest/doctest.h>

#include "engine/job/job.h"

namespace spanwright::job::tests {

/// A sheet that says little and shows much: 3.6 m span, M_d = w_d*L^2/8 against 4 kN*m.
inline const std::string kTrial = R"(sheet   trial
title   A trial sheet
ask     w_d [kN/m] from 0.1 to 50 kN/m -- design line load
given   L   = 3.6 m             -- span
given   M_R = 4 kN*m            -- resistance
derive  M_d [kN*m] = w_d*L^2/8  -- design moment -- statics
derive  R_d [kN] = w_d*L/2      -- reaction
check   bending: M_d <= M_R     -- bending strength
)";

struct Desk {
    io::Memory files;
    std::unique_ptr<Job> job;

    explicit Desk(const std::string& jobText, const std::string& sheet = kTrial) {
        files.files["work/trial.spansheet"] = sheet;
        files.files["work/job.spanjob"] = jobText;
    }
    Job& open() {
        job = Job::open(files, "work/job.spanjob", {.library = "library", .cancelled = {}});
        return *job;
    }
    Job& openSheet() {
        job = Job::open(files, "work/trial.spansheet", {.library = "library", .cancelled = {}});
        return *job;
    }
};

inline const MemberView& member(const Job& job, const std::string& mark) {
    const auto index = job.memberByMark(mark);
    REQUIRE(index);
    return job.member(*index);
}

inline meaning::QuantityId idOf(const Job& job, const std::string& mark, const std::string& name) {
    const meaning::Quantity* q = job.sheet(*job.memberByMark(mark)).find(name);
    REQUIRE(q != nullptr);
    return q->id;
}

inline const QuantityView& row(const Job& job, const std::string& mark, const std::string& name) {
    const MemberView& m = member(job, mark);
    for (const QuantityView& q : m.quantities)
        if (q.name == name) return q;
    FAIL("no row ", name);
    return m.quantities.front();
}

inline std::string shown(const Job& job, const std::string& mark, const std::string& name) { return row(job, mark, name).shown; }

inline const CheckView& check(const Job& job, const std::string& mark, const std::string& name) {
    const MemberView& m = member(job, mark);
    for (const CheckView& c : m.checks)
        if (c.name == name) return c;
    FAIL("no check ", name);
    return m.checks.front();
}

/// Code and whole text of every diagnostic.
inline std::string told(const Job& job) {
    std::string out;
    const auto resolve = job.resolver();
    for (const diag::Diagnostic& d : job.diagnostics()) out += std::string(diag::codeText(d.code)) + " " + diag::renderText(d, resolve);
    return out;
}

inline std::string joined(const std::vector<std::string>& list) {
    std::string out;
    for (const std::string& s : list) out += (out.empty() ? "" : "; ") + s;
    return out;
}

} // namespace spanwright::job::tests
