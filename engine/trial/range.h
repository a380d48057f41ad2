// SPDX-License-Identifier: MIT
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "engine/base/result.h"
#include "engine/trial/trial.h"

namespace spanwright::trial {

/// "J1.h" taken apart at its last dot; in a single sheet the name alone. A bare name in a job is the job's own given, else the row
/// of the one member that has it; where none or several have it no mark is given, and who takes the name says so.
[[nodiscard]] ValueName splitName(const job::Job& job, std::string_view text);

/// The marks of all members that have such a row, in the order of the text.
[[nodiscard]] std::vector<std::string> membersWith(const job::Job& job, const std::string& name);
/// A name without a mark that is nothing of the job's: a row of several members, a member, or unknown.
[[nodiscard]] diag::Diagnostic bareName(const job::Job& job, const std::string& name);

/// What a value is varied over, read but not yet held against the job:
/// `h from 200 mm to 400 mm by 10 mm`, `h in 200 mm, 220 mm, 240 mm`, `grade in C24, C30`, `grade` (every row of
/// its table), `L from 2 m to 6 m` (no step: for a search; for a table twenty steps).
struct OverText {
    std::string name, from, to, by;
    std::vector<std::string> list;
};
[[nodiscard]] base::Result<OverText, diag::Diagnostic> readOver(std::string_view text, const std::string& file);

/// The values of one axis of a trial.
struct Axis {
    std::vector<double> values;
    std::vector<std::string> labels; ///< as shown
    bool numeric = false;            ///< rises evenly or not, but rises: can be drawn along a line
};
/// The most values along one axis and points in a table.
inline constexpr std::size_t kMostTablePoints = 1'000'000;

/// Values of `trial.varied()[k]` as `over` says. Values outside its limits are kept: those points are not computed.
[[nodiscard]] base::Result<Axis, diag::Diagnostic> axisOf(const Trial& trial, std::size_t k, const OverText& over, const std::string& file);

/// One value of a varied one, read as in a job: with its unit, or the key of a row.
[[nodiscard]] base::Result<double, diag::Diagnostic> valueOf(const Trial& trial, std::size_t k, std::string_view text, const std::string& file);

/// A number of a grid as if it had been written: `from + i*by` in the unit of `from`, freed of the last bits.
[[nodiscard]] double gridValue(const units::Written& from, const units::Written& by, std::size_t i);

[[nodiscard]] diag::Diagnostic trialFault(diag::Code code, const std::string& file, std::string message, std::string mend);

} // namespace spanwright::trial
