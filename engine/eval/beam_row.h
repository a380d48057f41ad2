// SPDX-License-Identifier: MIT
#pragma once

#include <memory>

#include "engine/beam/beam.h"
#include "engine/eval/engine.h"

namespace spanwright::eval {

/// Works out the line of a beam row from the values it reads, and solves it once for all its users.
/// Supports and loads that are there only under a condition are left out when it does not hold; those of an
/// each axis stand once per row of it; loads of zero are kept, so that an action never vanishes.
/// Nothing when the engine has failed.
[[nodiscard]] std::shared_ptr<const beam::Solved> solveBeamRow(Engine& engine, const meaning::Quantity& row);

/// The beams of all points of a trial at once, where they are of the kind that goes so; null: they are not, or anything is amiss.
[[nodiscard]] std::shared_ptr<beam::EvenLines> evenLinesOf(Engine& engine, const meaning::Quantity& row, PointScope& scope, std::size_t points);

} // namespace spanwright::eval
