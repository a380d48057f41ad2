// SPDX-License-Identifier: MIT
#pragma once

#include <memory>
#include <string>

#include "engine/io/files.h"
#include "gui/models/job_session.h"

/// A small invented sheet and job in memory: every kind of row that the grid shows, two members that share the
/// sheet, a third that takes a value from the first, and one of another sheet.
namespace shelf {

inline const char* const kSheet = R"(sheet   shelf
title   Shelf board
basis   invented
caution For trials only.
table   woods by kind
kind, f [N/mm^2], what [text]
soft, 10, "light"
hard, 20, "heavy"
end
table   loads by kind
kind, Q
rest, 1
rush, 2
end
part    Board
ask     L [m] from 0.2 m to 4 m         -- span
given   b = 200 mm from 20 mm to 600 mm -- breadth        -- measured
given   h = 30 mm                       -- depth
choose  wood from woods                 -- what it is of
derive  W [mm^3] = b*h^2/6              -- section modulus
part    Load
ask     q [kN/m]                        -- load
each    load in loads
derive  M [kN*m] = load.Q*q*L^2/8       -- moment         -- handbook
derive  sigma [N/mm^2] = M/W            -- stress
check   bending: sigma <= wood.f        -- bending strength
        note A thicker board helps.
require slender: L <= 3 m               -- not too long
derive  R [kN] = q*L/2                  -- reaction
part    Stiffener only if h < 20 mm
derive  t [mm] = 2*h                    -- its depth
check   room: t <= 100 mm               -- room below
)";

inline const char* const kOther = R"(sheet   post
title   Post
part    All
ask     N [kN]                          -- load
given   A = 5000 mm^2                   -- area
derive  sigma_c [N/mm^2] = N/A          -- stress
check   crushing: sigma_c <= 10 (N/mm^2) -- strength
)";

inline const char* const kJob = R"(# a shelf in a shed, invented
job     Trial
given   q_all [kN/m] = 0.4 kN/m         -- on every shelf -- counted
member  S1 = shelf                      -- upper shelf
        off   3
        with  L = 1.2 m
        with  q = q_all
        with  wood = soft
member  S2 = shelf                      -- lower shelf
        with  L = 1.8 m
        with  q = 0.5 kN/m
member  P1 = post                       -- under the upper shelf
        with  N = S1.R*2
)";

inline std::unique_ptr<spanwright::io::Memory> files() {
    auto memory = std::make_unique<spanwright::io::Memory>();
    memory->files["shed/job.spanjob"] = kJob;
    memory->files["lib/shelf.spansheet"] = kSheet;
    memory->files["lib/post.spansheet"] = kOther;
    return memory;
}

inline std::unique_ptr<spanwright::models::JobSession> open() {
    auto session = std::make_unique<spanwright::models::JobSession>(QStringLiteral("lib"), files());
    session->open(QStringLiteral("shed/job.spanjob"));
    return session;
}

inline std::string text(const spanwright::models::JobSession& s) { return s.job().text("shed/job.spanjob").value_or(""); }

} // namespace shelf
