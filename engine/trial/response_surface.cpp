// SPDX-License-Identifier: MIT
#include "engine/trial/response_surface.h"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>

namespace spanwright::trial {

struct ResponseSurface::Impl {
    /// A term is another one times a Chebyshev polynomial of one variable.
    struct Term {
        std::size_t of = 0, variable = 0;
        unsigned power = 0; ///< 0: the constant
    };
    unsigned degree = 0;
    std::size_t variables = 0;
    std::vector<Term> terms;
    Eigen::MatrixXd factors; ///< terms by functions
    bool ok = false;

    void addTerms(std::size_t of, std::size_t variable, unsigned left) {
        for (std::size_t v = variable; v < variables; ++v) {
            for (unsigned p = 1; p <= left; ++p) {
                terms.push_back({of, v, p});
                addTerms(terms.size() - 1, v + 1, left - p);
            }
        }
    }
    [[nodiscard]] Eigen::MatrixXd basis(std::size_t count, const std::vector<const double*>& places) const {
        const auto rows = static_cast<Eigen::Index>(count);
        // T_0 = 1, T_1 = x, T_n+1 = 2 x T_n - T_n-1.
        std::vector<Eigen::ArrayXXd> powers;
        for (std::size_t v = 0; v < variables; ++v) {
            const Eigen::Map<const Eigen::ArrayXd> x(places[v], rows);
            Eigen::ArrayXXd t(rows, static_cast<Eigen::Index>(degree) + 1);
            t.col(0).setOnes();
            if (degree > 0) t.col(1) = x;
            for (Eigen::Index p = 2; p < t.cols(); ++p) t.col(p) = 2.0 * x * t.col(p - 1) - t.col(p - 2);
            powers.push_back(std::move(t));
        }
        Eigen::MatrixXd b(rows, static_cast<Eigen::Index>(terms.size()));
        b.col(0).setOnes();
        for (std::size_t i = 1; i < terms.size(); ++i)
            b.col(static_cast<Eigen::Index>(i)) = b.col(static_cast<Eigen::Index>(terms[i].of)).array() * powers[terms[i].variable].col(terms[i].power);
        return b;
    }
};

std::size_t ResponseSurface::termsOf(std::size_t variables, unsigned degree) {
    std::size_t n = 1;
    for (unsigned i = 1; i <= degree; ++i) n = n * (variables + i) / i;
    return n;
}

ResponseSurface::ResponseSurface(unsigned degree, const std::vector<std::vector<double>>& places, const std::vector<std::vector<double>>& values)
    : m_impl(std::make_unique<Impl>()) {
    Impl& m = *m_impl;
    m.degree = degree;
    m.variables = places.size();
    m.terms.push_back({});
    m.addTerms(0, 0, degree);
    const std::size_t count = places.empty() ? 0 : places.front().size();
    if (count < m.terms.size()) return;
    std::vector<const double*> at;
    for (const auto& p : places) at.push_back(p.data());
    Eigen::MatrixXd right(static_cast<Eigen::Index>(count), static_cast<Eigen::Index>(values.size()));
    for (std::size_t f = 0; f < values.size(); ++f)
        right.col(static_cast<Eigen::Index>(f)) = Eigen::Map<const Eigen::VectorXd>(values[f].data(), static_cast<Eigen::Index>(count));
    if (!right.allFinite()) return;
    const Eigen::ColPivHouseholderQR<Eigen::MatrixXd> qr(m.basis(count, at));
    if (qr.rank() < static_cast<Eigen::Index>(m.terms.size())) return;
    m.factors = qr.solve(right);
    m.ok = m.factors.allFinite();
}

ResponseSurface::~ResponseSurface() = default;
ResponseSurface::ResponseSurface(ResponseSurface&&) noexcept = default;
ResponseSurface& ResponseSurface::operator=(ResponseSurface&&) noexcept = default;

bool ResponseSurface::ok() const { return m_impl->ok; }

void ResponseSurface::at(std::size_t count, const std::vector<const double*>& places, const std::vector<double*>& out) const {
    constexpr std::size_t kBlock = 256;
    std::vector<const double*> from(places.size());
    for (std::size_t first = 0; first < count; first += kBlock) {
        const std::size_t n = std::min(kBlock, count - first);
        for (std::size_t v = 0; v < places.size(); ++v) from[v] = places[v] + first;
        const Eigen::MatrixXd u = m_impl->basis(n, from) * m_impl->factors;
        for (std::size_t f = 0; f < out.size(); ++f) std::copy_n(u.col(static_cast<Eigen::Index>(f)).data(), n, out[f] + first);
    }
}

} // namespace spanwright::trial
