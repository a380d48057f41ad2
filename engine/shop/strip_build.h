// SPDX-License-Identifier: MIT
#pragma once

#include <map>

#include "engine/shop/strip_plan.h"

namespace spanwright::shop {

/// Builds whole plans, stock piece after stock piece, each filled with what is worth most.
class StripBuilder {
public:
    StripBuilder(const std::vector<StripBin>& bins, const std::vector<StripPiece>& pieces, Budget& budget);

    /// One plan with so many of each stock at most. `prices` by piece are corrected as it goes: what was cut with much waste is dearer next
    /// time. `sunk`: all that may be used is paid already, so what is filled best is taken first, not what is filled most cheaply.
    [[nodiscard]] StripPlan build(std::vector<double>& prices, const std::vector<std::int64_t>& limits, bool sunk);

private:
    struct Fill {
        double value = 0.0;
        std::vector<Strip> strips;
    };
    Fill fill(const StripBin& bin, const std::vector<std::int64_t>& left, const std::vector<double>& prices);
    [[nodiscard]] std::size_t smallestFor(std::size_t kind, const Fill& f, std::vector<std::int64_t>& used, const std::vector<std::int64_t>& limits,
                                          std::int64_t times) const;

    const std::vector<StripBin>& m_bins;
    const std::vector<StripPiece>& m_pieces;
    Budget& m_budget;
    std::uint64_t m_fillWork = 0;                               ///< for one way to fill one board
    std::map<std::int64_t, std::vector<std::size_t>> m_classes; ///< pieces by width
};

} // namespace spanwright::shop
