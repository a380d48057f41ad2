// SPDX-License-Identifier: MIT
#pragma once

#include <vector>

namespace spanwright::eval::spans {

/// Named points and found breaks in one ascending list; a named one stays where both nearly agree.
[[nodiscard]] std::vector<double> merged(const std::vector<double>& named, const std::vector<double>& found);

} // namespace spanwright::eval::spans
