// SPDX-License-Identifier: MIT
#pragma once

#include <cstddef>
#include <memory>
#include <vector>

namespace spanwright::trial {

/// Smooth functions of a few variables, known at some places, read off elsewhere: for each a polynomial of one total degree in all
/// variables, fitted by least squares (the response surface of a reliability analysis). Products of Chebyshev polynomials are its terms, so
/// that high degrees are no worse conditioned than low ones (Trefethen, Approximation Theory and Approximation Practice, ch. 2 to 4; from memory).
/// It knows nothing of how good it is: hold it against places that it was not fitted to.
class ResponseSurface {
public:
    /// Terms of a polynomial of total degree `degree` in so many variables: binomial(variables + degree, degree).
    [[nodiscard]] static std::size_t termsOf(std::size_t variables, unsigned degree);

    /// Fits to `values` (by function, then by place) at `places` (by variable, then by place, each from -1 to 1). Needs at least as many places as
    /// terms and finite values; otherwise, or where the places do not tell the terms apart, ok() is false.
    ResponseSurface(unsigned degree, const std::vector<std::vector<double>>& places, const std::vector<std::vector<double>>& values);
    ~ResponseSurface();
    ResponseSurface(ResponseSurface&&) noexcept;
    ResponseSurface& operator=(ResponseSurface&&) noexcept;

    [[nodiscard]] bool ok() const;
    /// Reads off all functions at `count` places: `places` by variable, `out` by function. May be called from several threads.
    void at(std::size_t count, const std::vector<const double*>& places, const std::vector<double*>& out) const;

private:
    struct Impl;
    std::unique_ptr<Impl> m_impl;
};

} // namespace spanwright::trial
