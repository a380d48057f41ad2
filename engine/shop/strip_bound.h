// SPDX-License-Identifier: MIT
#pragma once

#include <map>
#include <memory>

#include "engine/shop/covering_lp.h"
#include "engine/shop/strip_plan.h"

namespace spanwright::shop {

/// The linear relaxation over all strips and boards, with so many of each stock
/// at least and at most. Columns are made as they are wanted and kept from one
/// question to the next.
class StripRelaxation {
public:
    StripRelaxation(const std::vector<StripBin>& bins, const std::vector<StripPiece>& pieces, Budget& budget);

    /// Strips and boards of a plan, as columns to begin with.
    void add(const StripPlan& plan);

    /// Strips of one width and length.
    struct Row {
        std::int64_t width, length;
        bool operator<(const Row& o) const { return width != o.width ? width < o.width : length < o.length; }
    };
    struct Counts {
        std::vector<std::int64_t> least, most; ///< of each stock
        std::vector<std::int64_t> leastStrips,
            mostStrips; ///< of each row of strips
    };
    [[nodiscard]] const std::vector<Row>& rows() const { return m_rows; }
    /// Counts that leave all free: `most` of each stock, as many strips as there
    /// are pieces.
    [[nodiscard]] Counts free() const;
    struct Answer {
        bool whole = false;         ///< no further column helps; else the budget was spent
        std::int64_t atLeast = 0;   ///< what plans within these counts cost at least:
                                    ///< proven in whole numbers
        std::vector<double> used;   ///< of each stock, as the relaxation uses it
        std::vector<double> strips; ///< of each row of strips
        /// Strips that it uses, whole numbers of them: row, pieces, how many.
        struct Cut {
            std::size_t row = 0;
            std::vector<std::pair<std::size_t, std::int64_t>> pieces;
            std::int64_t times = 0;
        };
        std::vector<Cut> cuts;
        std::vector<double> prices; ///< by piece
    };
    /// Stops where what is proven reaches `enough`, the cost of a plan that is
    /// known.
    [[nodiscard]] Answer solve(const Counts& counts, std::int64_t enough, std::uint64_t until = UINT64_MAX);

private:
    void addStrip(std::size_t row, const std::vector<std::pair<std::size_t, std::int64_t>>& pieces);
    void addBin(std::size_t bin, const std::map<std::int64_t, std::int64_t>& widths);
    /// Whole prices, and what the best strip and board are worth at them.
    struct Worths {
        std::vector<std::int64_t> pieces,
            strips;                          ///< prices: by piece, by row of strips
        std::vector<std::int64_t> bestStrip; ///< worth of the best strip of each
                                             ///< row at the prices of pieces
        std::vector<std::int64_t> bestBoard; ///< worth of the best board of each
                                             ///< stock at the prices of strips
    };
    /// Fills in the best ones and adds those as columns that are worth more than
    /// the program pays; true if there are any.
    bool price(double scale, const CoveringLp::Solution& s, Worths& w);

    const std::vector<StripBin>& m_bins;
    const std::vector<StripPiece>& m_pieces;
    Budget& m_budget;
    std::map<std::int64_t, std::vector<std::size_t>> m_classes; ///< pieces by width
    std::vector<std::size_t> m_pieceRow, m_leastRow, m_mostRow;
    std::vector<Row> m_rows;
    std::map<Row, std::size_t> m_rowOf;
    std::vector<std::size_t> m_stripRow, m_leastStrips,
        m_mostStrips;                                                     ///< by row of strips
    std::vector<std::vector<std::pair<std::size_t, std::int64_t>>> m_cut; ///< by column: pieces of a strip
    std::vector<std::size_t> m_binOf,
        m_rowOfColumn;           ///< by column: the stock, the row of strips, or none
    double m_dearest = 1.0;      ///< costs are in parts of it
    std::int64_t m_costStep = 0; ///< every cost is a multiple of it
    std::unique_ptr<CoveringLp> m_lp;
};

} // namespace spanwright::shop
