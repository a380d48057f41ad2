// SPDX-License-Identifier: MIT
#pragma once

#include <sstream>
#include <string>
#include <vector>

#include "engine/cli/run.h"

/// A command line run in memory, with an invented orchard packing shed.
namespace spanwright::cli::sample {

inline constexpr const char* kSheet = R"(sheet   joist
title   Joist on two supports, for trying out
basis   EN 1995-1-1:2004+A2:2014
caution Look at the bearings on site.

part    Loads
ask     L [m] from 0.5 m to 12 m              -- span
given   q = 2 kN/m from 0 kN/m to 50 kN/m     -- line load       -- invented
given   M_R = 5 kN*m                          -- what it can carry
part    Bending
derive  M [kN*m] = q*L^2/8                    -- moment at midspan
derive  R [kN] = q*L/2                       -- reaction
check   bending: M <= M_R                     -- bending strength -- EN 1995-1-1 6.1.6
note    A shorter span helps most.
assume  The deck holds the upper edge.
)";

inline constexpr const char* kJob = R"(# kept
job     Orchard packing shed
author  A. Builder
date    2026-05-04

member  J1 = joist      -- loft joists
        off   14
        with  L   =  3.6 m     --  odd   spacing
member  B1 = joist      -- below them
        with  L = 4 m
        with  q = J1.R/(1 m)
)";

struct Ran {
    int status = 0;
    std::string out, err;
};

struct Bench {
    io::Memory files;
    std::string library = "lib";

    Bench() {
        files.files["joist.spansheet"] = kSheet;
        files.files["shed.spanjob"] = kJob;
        files.files["lib/eu/joist.spansheet"] = kSheet;
    }
    Ran run(const std::vector<std::string>& line, const report::PaperWriter* paper = nullptr) {
        std::ostringstream out;
        std::ostringstream err;
        const int status = cli::run(line, {files, out, err, library, paper});
        return {status, out.str(), err.str()};
    }
};

} // namespace spanwright::cli::sample
