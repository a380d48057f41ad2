// SPDX-License-Identifier: MIT
// Small jobs in memory for the tests of engine/trial.
#pragma once

#include <memory>
#include <string>

#include <doctest/doctest.h>

#include "engine/io/files.h"
#include "engine/job/job.h"

namespace spanwright::trial::tests {

/// A joist with closed forms: bending M = w L^2/8 against f W, deflection 5 w L^4/(384 E I) against L/300.
inline const std::string kJoist = R"(sheet   joist
title   A joist for trials
use     grades.csv
ask     w [kN/m] from 0.1 to 50 kN/m      -- line load
given   L = 4 m from 1 m to 10 m          -- span
given   b = 60 mm from 20 mm to 200 mm    -- width
given   h = 240 mm from 100 mm to 400 mm  -- depth
choose  grade = C24 from grades           -- strength class
derive  W [mm^3] = b*h^2/6
derive  I [mm^4] = b*h^3/12
derive  M [kN*m] = w*L^2/8                -- moment
derive  u [mm] = 5*w*L^4/(384*grade.E*I)  -- deflection
derive  R [kN] = w*L/2                    -- reaction
check   bending: M/W <= grade.f
check   sag: u <= L/300
)";
inline const std::string kGrades = "grade, f [N/mm^2], E [N/mm^2], price\nC18, 11, 9000, 1\nC24, 14.77, 11000, 1.2\nC30, 18.46, 12000, 1.5\n";
inline const std::string kPost = "sheet post\ntitle A post\nask N [kN] from 0 to 500 kN\ngiven N_R = 20 kN\ncheck squash: N <= N_R\n";

struct Desk {
    io::Memory files;
    std::unique_ptr<job::Job> job;

    explicit Desk(const std::string& jobText, const std::string& sheet = kJoist) {
        files.files["work/joist.spansheet"] = sheet;
        files.files["work/post.spansheet"] = kPost;
        files.files["work/grades.csv"] = kGrades;
        files.files["work/job.spanjob"] = jobText;
        job = job::Job::open(files, "work/job.spanjob", {.library = "library", .cancelled = {}});
    }
};

inline const std::string kOneJoist = "job Shed\nmember J1 = joist\nwith w = 2 kN/m\n";
inline const std::string kCarried = "job Shed\ngiven load = 2 kN/m\nmember J1 = joist\nwith w = load\nmember P1 = post\nwith N = 3*J1.R\n";

} // namespace spanwright::trial::tests
