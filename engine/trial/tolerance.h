// SPDX-License-Identifier: MIT
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "engine/trial/range.h"
#include "engine/trial/sampling.h"

namespace spanwright::trial {

struct ToleranceRequest {
    std::size_t samples = 0; ///< 0: 10,000, or fewer where a point takes so much work that it would take long
    std::uint64_t seed = 1;
    bool normal = false;       ///< normally distributed, the tolerance being two standard deviations; else evenly
    bool workOutAll = false;   ///< no sample is read off a surface, however long that takes
    std::size_t boxes = 2'000; ///< into how many parts the box is cut at most, to prove the worst case
};

/// A value that is not held exactly.
struct Spread {
    ValueName name;
    std::string what;
    double now = 0.0, half = 0.0;
    std::string shown; ///< "58 mm +- 3 mm"
    /// Alone, everything else as stated: the stretch within its tolerance where every check passes.
    double from = 0.0, to = 0.0;
    bool passesAll = false; ///< over its whole tolerance
    bool proved = false;    ///< and that by interval arithmetic, not by looking at places
    units::Unit unit;
    units::Show show;
    [[nodiscard]] std::string showValue(double si) const { return units::showValue(si, unit, show); }
    std::string text; ///< "passes for every b from 55 mm to 61 mm", "starts to fail below b = 56.2 mm: bending"
};

/// One check under all spreads together.
struct CheckTolerance {
    std::string name; ///< "bending"
    double now = 0.0; ///< utilisation as stated
    enum class Worst : std::uint8_t {
        Proved,      ///< holds everywhere in the box: `bound` is a proven bound of its utilisation
        NoneFound,   ///< no failure at any place looked at; not a proof
        Fails,       ///< fails somewhere: `worst` at `at`
        NotComputed, ///< at some place it could not be computed, and it fails nowhere
    } how = Worst::NoneFound;
    double bound = 0.0;
    double worst = 0.0;                  ///< the greatest utilisation seen
    std::vector<double> at;              ///< values of the spreads there
    std::size_t places = 0, without = 0; ///< worked out; of them not computed
    std::size_t failing = 0;             ///< of the samples
    std::vector<double> quantiles;       ///< of the samples, at kQuantiles
    std::vector<std::size_t> counts;     ///< of the samples, in kBins bins from `least` to `worst`
    double least = 0.0;
};
inline constexpr double kQuantiles[] = {0.01, 0.05, 0.5, 0.95, 0.99};
inline constexpr std::size_t kBins = 24;

struct Tolerance {
    std::string mark;
    std::vector<Spread> spreads;
    std::vector<CheckTolerance> checks;
    std::size_t samples = 0;
    bool fewer = false; ///< than 10,000, for want of time
    std::uint64_t seed = 0;
    bool normal = false;
    std::size_t okay = 0; ///< samples at which the member is OK
    std::size_t corners = 0;
    std::size_t workedOut = 0;      ///< places in all; fewer than the samples where these were read off surfaces
    std::optional<ReadOff> readOff; ///< how, then
    bool cancelled = false;
};

/// A member under the tolerances of its own values, of those of the members that it reads and of the job's givens:
/// the worst case over the whole box, and a sampling. Without any tolerance there are no spreads and no checks.
struct TolerancePlan {
    std::size_t member = 0;
    std::string mark;
    std::vector<Trial> all;   ///< one, of all spreads together; none without a spread
    std::vector<Trial> alone; ///< one for each spread
};
/// Makes ready on the job's thread.
[[nodiscard]] base::Result<TolerancePlan, diag::Diagnostic> planTolerance(const job::Job& job, std::size_t member);
/// The work itself, on any thread.
[[nodiscard]] Tolerance tolerance(const TolerancePlan& plan, const ToleranceRequest& request, const Control& control);
/// Both at once.
[[nodiscard]] base::Result<Tolerance, diag::Diagnostic> tolerance(const job::Job& job, std::size_t member, const ToleranceRequest& request,
                                                                  const Control& control);

/// Numbers of a sample at q, between neighbours in proportion. `sorted` ascends and is not empty.
[[nodiscard]] double quantileOf(const Column<double>& sorted, double q);

} // namespace spanwright::trial
