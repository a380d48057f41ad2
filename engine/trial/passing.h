// SPDX-License-Identifier: MIT
#pragma once

#include "engine/trial/search.h"
#include "engine/trial/trial.h"

namespace spanwright::trial {

/// For a search: which of `points` pass by Trial::passing(), with the logarithm of the greatest utilisation to guess by. False when cancelled.
[[nodiscard]] bool passAt(const Trial& trial, std::size_t points, const Fill& fill, const Control& control, const std::vector<Verdict>& worst,
                          Answers& answers);
/// The same where one value is varied.
[[nodiscard]] bool passAt(const Trial& trial, const std::vector<Place>& places, const Control& control, const std::vector<Verdict>& worst, Answers& answers);

} // namespace spanwright::trial
