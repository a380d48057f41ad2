// SPDX-License-Identifier: MIT
#pragma once

#include <cstddef>

namespace spanwright::bench {

/// Inputs and results of the twelve chained formulas of a simple joist, all in coherent SI.
struct Joist {
    double L = 0, s = 0, b = 0, h = 0, g_k = 0, q_k = 0, f_mk = 0, f_vk = 0, E = 0, k_mod = 0, gamma_M = 0, rho = 0;
};
struct JoistResults {
    double A = 0, W = 0, I = 0, w_d = 0, M_d = 0, V_d = 0, sigma_m = 0, tau = 0, k_h = 0, f_md = 0, u_m = 0, w_inst = 0;
};
inline constexpr std::size_t kFormulas = 12;

/// One joist at a time, as written by hand.
void joistByHand(const Joist& in, JoistResults& out);
/// Many joists that differ in h, results in arrays of n, one value at a time.
void joistsByHand(const Joist& in, const double* h, std::size_t n, double* const* out);
/// The same, left to the compiler's vectoriser at -O3.
void joistsVectorised(const Joist& in, const double* h, std::size_t n, double* const* out);

} // namespace spanwright::bench
