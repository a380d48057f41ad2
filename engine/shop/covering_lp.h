// SPDX-License-Identifier: MIT
#pragma once

#include <cstdint>
#include <memory>
#include <vector>

namespace spanwright::shop {

/// The linear program min sum c_j x_j with sum_j a_ij x_j >= d_i, x >= 0, built column by column. A small window
/// on the solver (CLP), so that no other file knows it. Nothing that it says is taken as proof: whoever needs
/// a bound re-checks it in integers.
class CoveringLp {
public:
    explicit CoveringLp(const std::vector<double>& demand);
    ~CoveringLp();
    CoveringLp(CoveringLp&&) noexcept;
    CoveringLp& operator=(CoveringLp&&) noexcept;

    /// `counts[i]` of demand i in the pattern.
    void addColumn(const std::vector<std::int32_t>& counts, double cost = 1.0);
    struct Entry {
        std::size_t row = 0;
        double value = 0.0;
    };
    void addColumn(const std::vector<Entry>& entries, double cost);
    void setDemand(std::size_t row, double demand);
    [[nodiscard]] std::size_t rows() const;
    [[nodiscard]] std::size_t columns() const;
    /// Takes a column out of use (or in again).
    void allow(std::size_t column, bool allowed);

    struct Solution {
        bool ok = false;
        double value = 0.0;
        std::vector<double> x;     ///< by column
        std::vector<double> duals; ///< by demand, >= 0
        std::uint64_t iterations = 0;
    };
    [[nodiscard]] Solution solve();

private:
    struct Impl;
    std::unique_ptr<Impl> m_impl;
};

} // namespace spanwright::shop
