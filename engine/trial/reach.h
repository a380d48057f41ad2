// SPDX-License-Identifier: MIT
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "engine/trial/formula.h"
#include "engine/trial/range.h"
#include "engine/trial/search.h"

namespace spanwright::trial {

enum class Aim : std::uint8_t { Largest, Smallest, Until };

struct ReachRequest {
    std::string over; ///< name, with `from A to B` or `in LIST` if wanted
    Aim aim = Aim::Largest;
    std::string until;  ///< Until: "NAME=VALUE"
    std::string within; ///< tolerance as a value; empty: a thousandth of what is shown
    std::string by;     ///< of a choice or list: a formula over the member's rows, instead of its own order
    std::size_t samples = 400;
};

/// A row of a choice, or a value of a list.
struct Option {
    double value = 0.0;
    std::string label;
    Verdict verdict = Verdict::NotComputed;
    double utilisation = 0.0; ///< NaN: none
    std::string governing;
    std::optional<double> order; ///< what the formula gives
};

/// A check that nothing passes: by how little it fails at best.
struct Hopeless {
    std::string check;
    double utilisation = 0.0;
    double at = 0.0;
};

struct Reach {
    Varied what;
    Aim aim = Aim::Largest;
    bool ofOptions = false;
    double from = 0.0, to = 0.0, tolerance = 0.0;
    bool ownRange = false;  ///< the range was taken from the row's limits or about the present value
    std::size_t looked = 0; ///< points calculated
    std::size_t samples = 0;
    std::vector<Stretch> stretches; ///< where all passes (or, with Until, the crossings as stretches without length)
    std::vector<Option> options;
    std::optional<double> answer; ///< passes, or reaches the value; of a range rounded inwards
    std::string answerShown, answerWritten;
    bool atEnd = false;               ///< the range ends there, not a check
    double beyond = 0.0;              ///< the nearest place past the answer that does not pass
    std::vector<std::string> stops;   ///< checks that do not pass beyond, the worst first: "J1.bending 1.02"
    std::vector<std::string> reasons; ///< without an answer: why nothing passes, in words
    std::vector<Hopeless> hopeless;   ///< without an answer: checks that fail everywhere, the worst first
    std::optional<Shown> until;
    double untilValue = 0.0, untilReached = 0.0;
    bool cancelled = false;
};

/// One value so that every check of every member that it reaches passes, or until a quantity has a value. It samples
/// the range first, so a stretch wider than the distance of two samples is not missed; the ends of every
/// stretch are known to the tolerance, on the passing side.
[[nodiscard]] base::Result<Reach, diag::Diagnostic> reach(const job::Job& job, const ReachRequest& request, const Control& control);

/// A search made ready: apart from the job from then on.
struct ReachPlan {
    Trial trial;
    ReachRequest request;
    Reach found; ///< what is known before anything was looked at
    Range range; ///< of a value that is no choice and no list
    Axis axis;   ///< of one that is
    std::vector<FreeFormula> by;
};
/// Reads and checks a request on the job's thread.
[[nodiscard]] base::Result<ReachPlan, diag::Diagnostic> planReach(const job::Job& job, const ReachRequest& request);
/// The search itself, on any thread. It uses up the plan's formula: once.
[[nodiscard]] Reach reach(ReachPlan& plan, const Control& control);

/// The same within each of many settings: `base` are the values of trial.varied()[0..k-1) of each cell; the last one is
/// sought. Gives NaN where nothing passes. False when cancelled.
struct CellReach {
    double answer = 0.0;
    double beyond = 0.0;
    bool atEnd = false;
    std::size_t stretches = 0;
};
[[nodiscard]] bool reachCells(const Trial& trial, const std::vector<std::vector<double>>& cells, Aim aim, const Range& range, const Control& control,
                              std::vector<CellReach>& out);

/// For a bar that shows how far a value can go: where in a range every check passes, and what ends the stretch about the
/// present value on either side. Needs a trial of one value and no job: it may run on any thread.
struct HowFar {
    Range range;
    std::vector<Stretch> stretches;
    std::optional<std::size_t> around;            ///< index of the stretch that holds the present value
    std::vector<std::string> stopsLow, stopsHigh; ///< checks that do not pass just beyond it; empty where the range ends
    std::size_t looked = 0;
    bool cancelled = false;
};
[[nodiscard]] HowFar howFar(const Trial& trial, const Range& range, const Control& control);

/// How far one value of a job can go to either side, or which rows of its table (values of its list) pass.
struct Far {
    Varied what;
    HowFar far;
    bool ofOptions = false;
    std::vector<Option> options; ///< in the order of the table
    bool ownRange = false;
    std::vector<std::string> members; ///< marks of those that it reaches
    std::vector<std::string> reasons; ///< where nothing passes: why, in words
    bool cancelled = false;
    [[nodiscard]] std::string shown(double si) const { return units::showValue(si, what.unit, what.show); }
};
struct FarPlan {
    Trial trial;
    Far found; ///< what is known before anything was looked at
    Range range;
    Axis axis;
};
/// `over`: a name, with a range or a list if wanted. Made ready on the job's thread.
[[nodiscard]] base::Result<FarPlan, diag::Diagnostic> planFar(const job::Job& job, const std::string& over);
/// The search itself, on any thread.
[[nodiscard]] Far farOf(const FarPlan& plan, const Control& control);

/// Where a value is looked for when nobody says: its row's limits, else about its present value.
struct OwnRange {
    double from = 0.0, to = 0.0;
    bool limits = false;
};
[[nodiscard]] std::optional<OwnRange> ownRange(const Varied& v);
/// A value rounded to four figures of what is shown, towards `inside`; the value itself where that does not pass.
[[nodiscard]] double roundedInwards(const Trial& trial, std::size_t k, double value, bool up, const std::function<bool(double)>& passes);

} // namespace spanwright::trial
