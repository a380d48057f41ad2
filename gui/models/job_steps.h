// SPDX-License-Identifier: MIT
#pragma once

#include <functional>
#include <vector>

#include "gui/models/loading.h"
#include "gui/models/text_delta.h"

namespace spanwright::models {

/// Brings a job's texts one step on or back.
job::Job::Done applyTo(job::Job& job, const std::vector<TextDelta>& deltas, bool forward);
/// The same for a copy that is to follow later.
[[nodiscard]] std::function<void(JobCopy&)> stepOf(std::vector<TextDelta> deltas);

} // namespace spanwright::models
