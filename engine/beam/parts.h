// SPDX-License-Identifier: MIT
#pragma once

#include "engine/beam/solved_data.h"

namespace spanwright::beam {

/// Loads of one part, spread over the cells and the joints between them (joint j is the left end of
/// cell j; the last joint is the line's end).
struct PartLoads {
    LoadPart part;
    bool settles = false;       ///< the supports' settlements belong to this part
    Few<double> load, loadRise; ///< per cell, see CellState
    Few<double> force, couple;  ///< per joint
};

/// The parts that a line's loads and settlements fall into; empty ones are left out.
void partsOf(const Layout& layout, const FewCells& cells, std::uint32_t sinkAction, Few<PartLoads>& parts);

/// The joint at exactly `x`.
[[nodiscard]] std::size_t jointAt(const FewCells& cells, double x);

} // namespace spanwright::beam
