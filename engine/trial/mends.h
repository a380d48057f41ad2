// SPDX-License-Identifier: MIT
#pragma once

#include <string>
#include <vector>

#include "engine/trial/reach.h"

namespace spanwright::trial {

/// One change that makes every check of a member pass, everything else as it is.
struct Mend {
    ValueName name;
    std::string what;
    std::string nowShown;
    std::string text;    ///< "h >= 262 mm", "s <= 540 mm", "grade C30"
    std::string written; ///< the nearest value that passes, as it can be stated
    double change = 0.0; ///< how far it goes, relative to the present value; choices 0
    bool choice = false;
    Verdict reached = Verdict::Ok; ///< of the member with it: worse than Ok where something else stays unproven or not computed
};

struct Mends {
    std::vector<Mend> mends;            ///< the least change first; then choices
    std::vector<std::string> noHelp;    ///< names that help nothing alone, with where it was looked
    std::vector<std::string> notLooked; ///< names that were left out for want of time
    bool cancelled = false;
};

struct MendLimits {
    std::uint64_t work = 20'000'000; ///< formulas evaluated in all, so that it is the same on every machine
    std::size_t samples = 64;        ///< on each side of the present value
};

/// For a member that FAILS: the nearest single change of each stated value, given or choice that makes all its checks
/// pass, without making another member worse: those with which the member is OK first. Links and rows that nothing failing depends on are left out.
struct MendsPlan {
    std::size_t member = 0;
    std::vector<Trial> trials; ///< one for each value
};
/// Makes ready on the job's thread; empty for a member that does not fail.
[[nodiscard]] MendsPlan planMends(const job::Job& job, std::size_t member);
/// The search itself, on any thread.
[[nodiscard]] Mends mendsFor(const MendsPlan& plan, const MendLimits& limits, const Control& control);
/// Both at once.
[[nodiscard]] Mends mendsFor(const job::Job& job, std::size_t member, const MendLimits& limits, const Control& control);

} // namespace spanwright::trial
