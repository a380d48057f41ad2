// SPDX-License-Identifier: MIT
#pragma once

#include <cstdint>
#include <vector>

#include "engine/shop/dual_feasible.h"

namespace spanwright::shop {

/// How a rectangle is sawn edge to edge: a tree, the whole first.
struct SawnPattern {
    struct Part {
        std::int32_t kind = -1;  ///< >= 0: one piece of it lies in the corner of this part, and nothing else
        std::int64_t width = 0;  ///< of the piece as it lies
        std::int64_t height = 0; ///< the same
        std::int32_t first = -1; ///< else sawn at `at`: the part before it ...
        std::int32_t second = -1;
        std::int64_t at = 0;
        bool alongX = false; ///< the parts follow one another along x
    };
    std::vector<Part> parts;
    std::vector<std::int32_t> counts; ///< by kind
};

/// The most that pieces can be worth that are sawn edge to edge out of one panel when there are enough of each: exact, by
/// dynamic programming over the places where a cut can lie (Gilmore and Gomory, "Multistage cutting stock problems of two
/// and more dimensions", Operations Research 13, 1965; Herz, "Recursive computational procedure for two-dimensional stock
/// cutting", IBM Journal of Research and Development 16, 1972). The smaller part of a cut is a sum of sides, the larger
/// one what is left, shrunk to a sum of sides: only sizes that come about so are looked at (after Scheithauer and Terno,
/// "The G4-heuristic for the pallet loading problem", Journal of the Operational Research Society 47, 1996).
/// Where there are still too many, see `Sort`.
class GuillotineTable {
public:
    enum class Sort : std::uint8_t {
        /// Sizes are mapped to a grid by x -> ceil((k + 1)*x/whole) - 1 with whole -> k: parts of a sum never map to more
        /// than the sum does, so what can be sawn still can; then the worth is a bound, and there are no patterns.
        Bound,
        /// Cuts lie at sums of few sides only: patterns can be sawn, but dearer ones may be missed.
        Patterns,
    };
    /// At most about `work` steps for one pricing.
    GuillotineTable(const std::vector<Rectangle>& pieces, std::int64_t width, std::int64_t height, std::uint64_t work, Sort sort);

    [[nodiscard]] bool exact() const { return m_exact; } ///< worth and pattern are exact, whatever the sort
    /// False for a piece so small that it vanished in the grid: it is not counted and may be worth nothing to a bound.
    [[nodiscard]] bool covers(std::size_t kind) const { return m_covers[kind]; }
    [[nodiscard]] std::uint64_t workOfOne() const { return m_work; }

    /// For the worth of one piece of each kind: the most for a panel. 0 <= worth <= kMostWorth; the sum over as many
    /// pieces as a panel can hold must stay below 2^31, see `mostPieces`.
    std::int32_t price(const std::vector<std::int32_t>& worth);
    /// No panel holds more pieces than that, by area.
    [[nodiscard]] std::int64_t mostPieces() const { return m_mostPieces; }

    /// How many of each kind the dearest panel of the last pricing holds; in the grid it need not be one that can be sawn.
    [[nodiscard]] std::vector<std::int32_t> counts() const { return traced(m_xs.size() - 1, m_ys.size() - 1, -1).counts; }
    /// The dearest panel of the last pricing and others that begin with another cut and are worth more than `least`:
    /// up to `most`, no two with the same counts, the dearest first.
    [[nodiscard]] std::vector<SawnPattern> patterns(std::int32_t least, std::size_t most) const;

    /// A piece, turned or not, and the least place that it fits.
    struct Fit {
        std::int32_t kind, x, y;
        std::int64_t width, height;
    };
    struct Cut {
        std::int32_t first, second; ///< places
    };
    /// What is looked at: sizes are numbered along both sides, 0 is nothing and the last the panel.
    [[nodiscard]] const std::vector<std::int64_t>& xs() const { return m_xs; }
    [[nodiscard]] const std::vector<std::int64_t>& ys() const { return m_ys; }
    [[nodiscard]] const std::vector<Cut>& cutsX(std::size_t i) const { return m_cutsX[i]; }
    [[nodiscard]] const std::vector<Cut>& cutsY(std::size_t j) const { return m_cutsY[j]; }
    [[nodiscard]] const std::vector<Fit>& fits() const { return m_fits; } ///< by place
    /// What a part of that size was worth at the last pricing, and what each kind was.
    [[nodiscard]] std::int32_t value(std::size_t i, std::size_t j) const { return m_value[cell(i, j)]; }
    [[nodiscard]] const std::vector<std::int32_t>& worth() const { return m_worth; }

private:
    [[nodiscard]] std::size_t cell(std::size_t i, std::size_t j) const { return i * m_ys.size() + j; }
    [[nodiscard]] SawnPattern traced(std::size_t i, std::size_t j, std::int64_t rootCut) const;

    std::size_t m_kinds = 0;
    bool m_exact = true;
    std::uint64_t m_work = 0;
    std::int64_t m_mostPieces = 0;
    std::vector<std::int64_t> m_xs, m_ys; ///< places, 0 first
    std::vector<std::vector<Cut>> m_cutsX, m_cutsY;
    std::vector<Fit> m_fits; ///< by place
    std::vector<bool> m_covers;
    std::vector<std::int32_t> m_worth; ///< of the last pricing
    std::vector<std::int32_t> m_value;
};

} // namespace spanwright::shop
