// SPDX-License-Identifier: MIT
#pragma once

#include <cstddef>

#include "engine/job/extract.h"

namespace spanwright::trial {

/// Whether a value can only be a whole number by its sheet: a `require` holds it equal to itself rounded (`n == floor(n)`, by itself
/// or beside others with `and`), or it is how many of a piece there are. What stands in a part with a condition counts only for
/// a value of the same part.
[[nodiscard]] bool isWhole(const meaning::Sheet& sheet, const meaning::Quantity& value);
/// The same of one that is varied, a member's or the job's own: by its own sheet, or because a value that takes it as it is (`with n = rows`),
/// straight or through others, can only be whole in every case.
[[nodiscard]] bool isWhole(const job::Extract& extract, std::size_t varied);

} // namespace spanwright::trial
