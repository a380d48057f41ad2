// SPDX-License-Identifier: MIT
#pragma once

#include <string_view>

#include "engine/base/span.h"
#include "engine/diag/diagnostic.h"

namespace spanwright::syntax {

/// Line, column and mark of `span` in `text`, whose first line is line `firstLine` (1-based) of its file.
/// A span over several lines is marked to the end of its first one; one that covers nothing is one wide.
[[nodiscard]] diag::Resolved resolveIn(std::string_view text, base::ByteSpan span, std::uint32_t firstLine);

} // namespace spanwright::syntax
