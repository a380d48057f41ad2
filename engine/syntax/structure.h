// SPDX-License-Identifier: MIT
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "engine/syntax/document.h"

namespace spanwright::syntax {

/// The name that a row defines if everybody would take it for a unit ("h", "m"); empty otherwise.
[[nodiscard]] std::string_view definesUnit(const Row& row);

/// Settles which of a row's doubts are complaints: `150 mm/h` is what it says where the document (or the
/// row itself) defines h.
void weighDoubts(Row& row, const std::vector<std::string>& ownUnits);

} // namespace spanwright::syntax
