// SPDX-License-Identifier: MIT
#pragma once

#include <cstdint>
#include <functional>
#include <string>
#include <vector>

namespace spanwright::shop {

/// Pieces to be cut to length from bars of one length. Whole numbers of one small unit (say 0.1 mm).
struct LengthProblem {
    std::int64_t bar = 0;  ///< usable length, end trims taken off
    std::int64_t kerf = 0; ///< lost between any two pieces, not at the ends
    struct Demand {
        std::int64_t length = 0;
        std::int64_t count = 0;
    };
    std::vector<Demand> demands;
};

/// How hard to try, in work, not in seconds: the same input and limit give the same plan on every machine.
struct Effort {
    std::uint64_t work = 400'000'000; ///< steps of knapsacks and of the linear program
    std::function<bool()> cancelled;  ///< asked now and then; the best plan so far is given
    std::function<void(std::int64_t bars, std::int64_t atLeast)> progress;
};

/// Which pieces come out of a bar, and how many bars are cut so.
struct LengthPattern {
    std::vector<std::int32_t> counts; ///< by demand, as they stand in the problem
    std::int64_t times = 0;
};

struct LengthPlan {
    std::vector<LengthPattern> patterns;
    std::int64_t bars = 0;
    std::int64_t atLeast = 0; ///< no plan needs fewer: proven in whole numbers
    bool proven = false;      ///< bars == atLeast
    std::uint64_t work = 0;
    std::string problem; ///< not empty: nothing was planned, and why
};

[[nodiscard]] LengthPlan planLengths(const LengthProblem& problem, const Effort& effort = {});

/// Looks at a plan from outside, sharing no code with the planner: every piece once, every bar long enough, kerfs
/// counted, sums right. Empty if all is well, else what is wrong.
[[nodiscard]] std::string faultOf(const LengthProblem& problem, const LengthPlan& plan);

} // namespace spanwright::shop
