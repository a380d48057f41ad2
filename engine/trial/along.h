// SPDX-License-Identifier: MIT
// What searches over one value share. Only engine/trial/*.cpp include this.
#pragma once

#include <string>
#include <vector>

#include "engine/trial/reach.h"

namespace spanwright::trial {

[[nodiscard]] std::string checkPath(const Trial& trial, const CheckName& c);
/// Values of one varied at many points; `x` must outlive it.
[[nodiscard]] Fill single(const std::vector<double>& x);
/// What does not pass at a place, the worst first.
[[nodiscard]] std::vector<std::string> stopsAt(const Trial& trial, const std::vector<double>& values);
/// Rows of a choice or values of a list, in order, and the last that passes.
void overOptions(const ReachRequest& request, const Control& control, const Trial& trial, const Axis& axis, FreeFormula* by, Reach& out);
/// Why nothing passes: checks that fail at every place, and by how much at best.
void explainNothing(const Trial& trial, const std::vector<double>& places, const Control& control, Reach& out);
/// Where in a range everything passes. False when cancelled.
[[nodiscard]] bool sought(const Trial& trial, const Range& range, const Control& control, std::vector<Found>& found);
/// The range that a text states for the k-th value, or the value's own; nothing with the reason where neither is known. Of a value that
/// takes whole numbers only the range has each of them as a sample, and its tolerance is 1.
[[nodiscard]] base::Result<bool, diag::Diagnostic> rangeOf(const Trial& trial, std::size_t k, const OverText& over, const std::string& file, Range& range,
                                                           bool& own);
/// Its samples.
[[nodiscard]] std::vector<double> placesOf(const Range& range);

} // namespace spanwright::trial
