// SPDX-License-Identifier: MIT
#pragma once

#include <memory>
#include <string>

#include "engine/io/files.h"
#include "gui/models/job_session.h"

/// An invented job whose edits take long: many cases, each with an integral that needs many points.
namespace slow {

inline std::string sheet(int cases) {
    std::string out = "sheet   slow\ntitle   Slow board\ntable   waves by wave\nwave, k\n";
    for (int i = 1; i <= cases; ++i) out += std::to_string(i) + ", " + std::to_string(40 + i % 7) + "\n";
    out += R"(end
part    Board
ask     L [m] from 0.2 m to 9 m         -- span
given   b = 200 mm from 20 mm to 600 mm -- breadth
derive  b_2 [mm] = 2*b                  -- twice the breadth
each    w in waves
derive  area [m] = integral(sin(w.k*x/L)^2*exp(-x/L), x from 0 m to L) -- under each wave
derive  most [m] = largest(area, over w) -- the greatest
check   room: most <= 2 m               -- room for it
check   broad: b_2 <= 1 m               -- not too broad
)";
    return out;
}

inline const char* const kJob = R"(job     Slow
member  S1 = slow                       -- first
        with  L = 1.2 m
member  S2 = slow                       -- second
        with  L = 1.5 m
)";

inline std::unique_ptr<spanwright::io::Memory> files(int cases) {
    auto memory = std::make_unique<spanwright::io::Memory>();
    memory->files["shed/job.spanjob"] = kJob;
    memory->files["lib/slow.spansheet"] = sheet(cases);
    return memory;
}

} // namespace slow
