// SPDX-License-Identifier: MIT
#pragma once

#include <map>
#include <memory>

#include "engine/shop/covering_lp.h"
#include "engine/shop/strip_plan.h"

namespace spanwright::shop {

/// The linear relaxation over all strips and boards, with so many of each stock at least and at most. Columns are made as they are wanted and
/// kept from one question to the next.
class StripRelaxation {
public:
    StripRelaxation(const std::vector<StripBin>& bins, const std::vector<StripPiece>& pieces, Budget& budget);

    /// Strips and boards of a plan, as columns to begin with.
    void add(const StripPlan& plan);

    struct Counts {
        std::vector<std::int64_t> least, most; ///< of each stock
    };
    struct Answer {
        bool whole = false;         ///< no further column helps; else the budget was spent
        std::int64_t atLeast = 0;   ///< what plans within these counts cost at least: proven in whole numbers
        std::vector<double> used;   ///< of each stock, as the relaxation uses it
        std::vector<double> prices; ///< by piece
    };
    /// Stops where what is proven reaches `enough`, the cost of a plan that is known.
    [[nodiscard]] Answer solve(const Counts& counts, std::int64_t enough);

private:
    struct Row {
        std::int64_t width, length;
        bool operator<(const Row& o) const { return width != o.width ? width < o.width : length < o.length; }
    };
    void addStrip(const Row& row, const std::vector<std::pair<std::size_t, std::int64_t>>& pieces);
    void addBin(std::size_t bin, const std::map<std::int64_t, std::int64_t>& widths);
    /// The worth of the best board of each stock at these whole prices, and new columns that are worth their cost; true if there are any.
    bool price(const std::vector<std::int64_t>& prices, double scale, const CoveringLp::Solution& s, std::vector<std::int64_t>& worth);

    const std::vector<StripBin>& m_bins;
    const std::vector<StripPiece>& m_pieces;
    Budget& m_budget;
    std::map<std::int64_t, std::vector<std::size_t>> m_classes; ///< pieces by width
    std::vector<std::size_t> m_pieceRow, m_leastRow, m_mostRow;
    std::map<Row, std::size_t> m_stripRow;
    std::vector<std::size_t> m_binOf; ///< by column: the stock, or none
    double m_dearest = 1.0;           ///< costs are in parts of it
    std::int64_t m_costStep = 0;      ///< every cost is a multiple of it
    std::unique_ptr<CoveringLp> m_lp;
};

} // namespace spanwright::shop
