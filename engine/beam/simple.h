// SPDX-License-Identifier: MIT
#pragma once

#include <memory>

#include "engine/beam/solved_data.h"

namespace spanwright::beam {

/// The commonest line of all, solved very many times over by trials: one span, hinged at both its ends, of a constant stiffness without relief, under line
/// loads from end to end. Null: it is not one, or anything is amiss with it; then solve() goes its way and says what.
[[nodiscard]] std::shared_ptr<const SolvedData> solveSimple(const Line& line);

} // namespace spanwright::beam
