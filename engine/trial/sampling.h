// SPDX-License-Identifier: MIT
#pragma once

#include <cstdint>
#include <optional>
#include <vector>

#include "engine/trial/trial.h"

namespace spanwright::trial {

/// What is wanted of a sampling: each varied value within `half` of `centre`, apart from each other.
struct SamplingRequest {
    std::vector<double> centre, half; ///< by varied value
    std::size_t samples = 0;          ///< 0: 10,000, or fewer where a point takes so much work that it would take long
    std::uint64_t seed = 1;
    bool normal = false;     ///< normally distributed, the tolerance being two standard deviations; else evenly
    bool workOutAll = false; ///< no sample is read off a surface, however long that takes
};

/// How samples that were not worked out were come by.
struct ReadOff {
    std::size_t through = 0; ///< places that the surfaces were fitted to
    std::size_t held = 0;    ///< places beside them, worked out and not fitted to
    unsigned degree = 0;     ///< of the polynomials
    double off = 0.0;        ///< the greatest difference of a utilisation there, and at the places that they were fitted to
};

/// What one check came to.
struct SampledCheck {
    double now = 0.0;                    ///< in the middle; NaN: not computed
    std::size_t places = 0, without = 0; ///< worked out within the tolerances, samples or not; of them not computed
    double worst = 0.0;                  ///< the greatest utilisation there
    std::vector<double> at;              ///< and where
    Column<double> samples;              ///< by sample: utilisation; NaN: not computed
    std::size_t failing = 0;             ///< of the samples
};

struct Sampled {
    std::vector<SampledCheck> checks; ///< in the order asked for
    std::size_t samples = 0;
    std::size_t okay = 0;           ///< samples at which the member is OK
    std::size_t corners = 0;        ///< of the box, all worked out
    std::size_t workedOut = 0;      ///< places in all, corners and those of surfaces among them
    bool fewer = false;             ///< than 10,000, for want of time
    std::optional<ReadOff> readOff; ///< none: every sample was worked out
    bool cancelled = false;
};

/// A member's checks (indices into Trial::checks()) at many samples.
///
/// Where working all of them out would take long, some hundred places are, response surfaces are fitted through them, and the samples read off. That is
/// done only if at further samples, worked out and not fitted to, no utilisation differs by more than 0.0005, and if at no place worked
/// out anything but utilisations decides the verdict. A sample read off that is nearer to failing than the surfaces were off counts as
/// failing; the sample that looks worst for each check is worked out; `worst`, `at` and `places` know of nothing but what was worked out.
[[nodiscard]] Sampled sample(const Trial& trial, std::size_t member, const std::vector<std::uint32_t>& checks, const SamplingRequest& request,
                             const Control& control);

/// Evenly distributed numbers from 0 to 1 that depend on the seed, the point and the dimension alone.
[[nodiscard]] double evenNumber(std::uint64_t seed, std::uint64_t point, std::uint64_t dimension);

/// Formulas evaluated that a member may take where nobody says how many samples are wanted.
inline constexpr std::uint64_t kSamplingWork = 60'000'000;

} // namespace spanwright::trial
