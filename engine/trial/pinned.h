// SPDX-License-Identifier: MIT
#pragma once

#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "engine/trial/reach.h"
#include "engine/trial/tolerance.h"
#include "engine/trial/vary.h"
#include "engine/trial/weigh.h"

/// Trials that a job keeps as rows (`trial vary J1.h from 160 mm to 260 mm by 20 mm`): settings, never results. Whoever
/// prints the job works them out anew.
namespace spanwright::trial {

/// The most that one report works out, and the most points of one of its tables: more nobody reads.
inline constexpr std::size_t kMostPinned = 50;
inline constexpr std::size_t kMostPinnedPoints = 2'000;

struct Pinned {
    enum class Sort : std::uint8_t { Vary, Reach, Far /* reach without an aim */, Weigh, Sure } sort = Sort::Vary;
    std::uint32_t row = 0;    ///< in the job's document
    std::string text;         ///< as it stands behind `trial`, without the words that say what it is
    std::string what, source; ///< behind the dashes
    bool broken = false;      ///< the row cannot be read: the job says why
    VaryRequest vary;
    ReachRequest reach;
    std::string name; ///< Far: as readOver() takes it; Weigh; Sure: a mark, or empty for every member
    ToleranceRequest sure;
    std::optional<diag::Diagnostic> problem; ///< a number of it that cannot be read
};
/// In the order of the text.
[[nodiscard]] std::vector<Pinned> pinnedIn(const job::Job& job);

/// What stands behind `trial` for a request. Names must be those of a job.
[[nodiscard]] std::string pinnedText(const VaryRequest& r);
[[nodiscard]] std::string pinnedText(const ReachRequest& r);
[[nodiscard]] std::string pinnedFar(const std::string& over);
[[nodiscard]] std::string pinnedWeigh(const ValueName& of);
[[nodiscard]] std::string pinnedSure(const std::string& mark, const ToleranceRequest& r);

/// Puts a trial into the job's text, behind those that are there; refused in a single sheet, where it could not be
/// read, and where the same stands already.
[[nodiscard]] job::Job::Done pin(job::Job& job, const std::string& text, const std::string& what);
/// Takes the index-th of pinnedIn() out.
[[nodiscard]] job::Job::Done unpin(job::Job& job, std::size_t index);

/// Made ready on the job's thread; apart from the job from then on.
struct PinnedPlan {
    Pinned pinned;
    std::variant<std::monostate, VaryPlan, ReachPlan, FarPlan, WeighPlan, std::vector<TolerancePlan>> plan;
    std::optional<diag::Diagnostic> problem; ///< why it cannot be worked out, at its row
};
/// All of a job's, those past kMostPinned with the problem that they are too many.
[[nodiscard]] std::vector<PinnedPlan> planPinned(const job::Job& job);

struct PinnedResult {
    Pinned pinned;
    std::variant<std::monostate, VaryTable, Reach, Far, Weights, std::vector<Tolerance>> result; ///< nothing with a problem
    std::optional<diag::Diagnostic> problem;
    bool leftOut = false; ///< cancelled, or not asked for: nothing is known of it
};
/// The work itself, on any thread.
[[nodiscard]] PinnedResult workPinned(PinnedPlan& plan, const Control& control);

} // namespace spanwright::trial
