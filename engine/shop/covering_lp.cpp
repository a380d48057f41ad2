// SPDX-License-Identifier: MIT
#include "engine/shop/covering_lp.h"

#include <algorithm>

#include <coin/ClpSimplex.hpp>
#include <coin/CoinPackedVector.hpp>

namespace spanwright::shop {

struct CoveringLp::Impl {
    ClpSimplex model;
    bool demandsChanged = false;
};

CoveringLp::CoveringLp(const std::vector<double>& demand) : m_impl(std::make_unique<Impl>()) {
    ClpSimplex& model = m_impl->model;
    model.setLogLevel(0);
    model.setOptimizationDirection(1.0);
    model.resize(static_cast<int>(demand.size()), 0);
    for (std::size_t i = 0; i < demand.size(); ++i) model.setRowBounds(static_cast<int>(i), demand[i], COIN_DBL_MAX);
}

CoveringLp::~CoveringLp() = default;
CoveringLp::CoveringLp(CoveringLp&&) noexcept = default;
CoveringLp& CoveringLp::operator=(CoveringLp&&) noexcept = default;

void CoveringLp::addColumn(const std::vector<Entry>& entries, double cost) {
    std::vector<int> rows;
    std::vector<double> values;
    for (const Entry& e : entries) {
        rows.push_back(static_cast<int>(e.row));
        values.push_back(e.value);
    }
    m_impl->model.addColumn(static_cast<int>(rows.size()), rows.data(), values.data(), 0.0, COIN_DBL_MAX, cost);
}

void CoveringLp::addColumn(const std::vector<std::int32_t>& counts, double cost) {
    std::vector<int> rows;
    std::vector<double> values;
    for (std::size_t i = 0; i < counts.size(); ++i) {
        if (counts[i] == 0) continue;
        rows.push_back(static_cast<int>(i));
        values.push_back(counts[i]);
    }
    m_impl->model.addColumn(static_cast<int>(rows.size()), rows.data(), values.data(), 0.0, COIN_DBL_MAX, cost);
}

void CoveringLp::setDemand(std::size_t row, double demand) {
    m_impl->model.setRowBounds(static_cast<int>(row), demand, COIN_DBL_MAX);
    m_impl->demandsChanged = true;
}

std::size_t CoveringLp::rows() const { return static_cast<std::size_t>(m_impl->model.numberRows()); }
std::size_t CoveringLp::columns() const { return static_cast<std::size_t>(m_impl->model.numberColumns()); }

void CoveringLp::allow(std::size_t column, bool allowed) {
    m_impl->model.setColumnBounds(static_cast<int>(column), 0.0, allowed ? COIN_DBL_MAX : 0.0);
    m_impl->demandsChanged = true;
}

CoveringLp::Solution CoveringLp::solve() {
    ClpSimplex& model = m_impl->model;
    if (m_impl->demandsChanged) {
        model.dual();
    } else {
        model.primal();
    }
    m_impl->demandsChanged = false;
    Solution s;
    s.ok = model.isProvenOptimal();
    s.iterations = static_cast<std::uint64_t>(std::max(model.numberIterations(), 0));
    if (!s.ok) return s;
    s.value = model.objectiveValue();
    s.x.assign(model.primalColumnSolution(), model.primalColumnSolution() + model.numberColumns());
    s.duals.assign(model.dualRowSolution(), model.dualRowSolution() + model.numberRows());
    for (double& d : s.duals) d = std::max(d, 0.0);
    return s;
}

} // namespace spanwright::shop
