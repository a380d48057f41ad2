// SPDX-License-Identifier: MIT
#pragma once

#include <memory>

#include "engine/shop/panel_bound.h"

namespace spanwright::shop {

/// The linear relaxation over all ways to saw one panel edge to edge, columns made as they are wanted. A pattern may hold
/// more of a piece than there are (the guillotine relaxation). Only where all panels are of one size.
class GuillotineRelaxation {
public:
    explicit GuillotineRelaxation(const PanelCore& core);
    ~GuillotineRelaxation();

    /// Works on until so many panels are proven to be needed, or it is certain that this relaxation cannot prove that, or
    /// the work is spent. May be called again with a lower goal.
    void raise(std::int64_t goal, Budget& budget);

    [[nodiscard]] std::int64_t panels() const; ///< proven in whole numbers
    /// Solved to the end: no goal above `panels()` can be reached.
    [[nodiscard]] bool solved() const;
    [[nodiscard]] const std::vector<double>& worth() const; ///< of each block, in panels

private:
    struct Impl;
    std::unique_ptr<Impl> m_impl;
};

} // namespace spanwright::shop
