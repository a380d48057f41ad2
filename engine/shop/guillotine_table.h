// SPDX-License-Identifier: MIT
#pragma once

#include <cstdint>
#include <vector>

#include "engine/shop/dual_feasible.h"

namespace spanwright::shop {

/// The most that pieces can be worth that are sawn edge to edge out of one panel when there are enough of each: exact, by
/// dynamic programming over the places where a cut can lie (Gilmore and Gomory, "Multistage cutting stock problems of two
/// and more dimensions", Operations Research 13, 1965; Herz, "Recursive computational procedure for two-dimensional stock
/// cutting", IBM Journal of Research and Development 16, 1972). Where there are too many such places sizes are mapped to a
/// grid by x -> ceil((k + 1)*x/whole) - 1 with whole -> k: parts of a sum never map to more than the sum does, so what can
/// be sawn still can; then the worth is a bound and not exact.
class GuillotineTable {
public:
    /// At most `work` steps for one pricing.
    GuillotineTable(const std::vector<Rectangle>& pieces, std::int64_t width, std::int64_t height, std::uint64_t work);

    [[nodiscard]] bool exact() const { return m_exact; }
    /// False for a piece so small that it vanished in the grid: it is not counted and may be worth nothing to a bound.
    [[nodiscard]] bool covers(std::size_t kind) const { return m_covers[kind]; }
    [[nodiscard]] std::uint64_t workOfOne() const { return m_work; }

    /// For the worth of one piece of each kind (>= 0): the most for a panel.
    std::int64_t price(const std::vector<std::int64_t>& worth);
    /// How many of each kind the last pricing uses.
    [[nodiscard]] std::vector<std::int32_t> counts() const;

private:
    struct Fit {
        std::int32_t kind, x, y;
    };
    [[nodiscard]] std::size_t cell(std::size_t i, std::size_t j) const { return i * m_ys.size() + j; }

    std::size_t m_kinds = 0;
    bool m_exact = true;
    std::uint64_t m_work = 0;
    std::vector<std::int64_t> m_xs, m_ys; ///< places, 0 first
    std::vector<std::vector<std::int32_t>> m_restX, m_restY;
    std::vector<Fit> m_fits;
    std::vector<bool> m_covers;
    std::vector<std::int64_t> m_value;
    std::vector<std::int32_t> m_how; ///< >= 0: kind; -1: nothing; else a cut
};

} // namespace spanwright::shop
