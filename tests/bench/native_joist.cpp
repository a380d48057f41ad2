// SPDX-License-Identifier: MIT
#include "native_joist.h"

#include <algorithm>
#include <cmath>

namespace spanwright::bench {

__attribute__((noinline, optimize("no-tree-vectorize"))) void joistSheetByHand(const double* heights, std::size_t n, JoistAnswer* out) {
    static constexpr double kG[] = {1.35, 1.35, 1, 1.15}, kQ[] = {0, 1.5, 1.5, 1.5}, kMod[] = {0.6, 0.8, 0.8, 0.9};
    const double L = 4, s = 0.4, b = 0.06, f_m = 24e6, f_v = 4e6, E = 11e9, g_k = 600, q_k = 2000, rho = 4200, gamma = 1.3, psi = 0.3, k_def = 0.6, l_b = 0.06,
                 f_c = 2.5e6;
    const double q = q_k * s;
    for (std::size_t i = 0; i < n; ++i) {
        const double h = heights[i];
        const double A = b * h, W = b * h * h / 6, I = b * h * h * h / 12;
        const double g = g_k * s + rho * A;
        const double k_h = h < 0.15 ? std::min(std::sqrt(std::sqrt(0.15 / h)), 1.3) : 1.0;
        double most = 0, M = 0;
        bool passes = true;
        const auto check = [&](double demand, double capacity) {
            const double u = demand / capacity;
            if (u > most) most = u;
            passes = passes && capacity > 0 && demand <= capacity * (1 + 1e-9);
        };
        for (int c = 0; c < 4; ++c) {
            const double w = kG[c] * g + kQ[c] * q;
            const double M_d = w * (L * L) / 8, V_d = w * L / 2;
            const double f_md = k_h * kMod[c] * f_m / gamma, f_vd = kMod[c] * f_v / gamma;
            if (M_d > M) M = M_d;
            check(M_d / W, f_md);
            check(1.5 * V_d / (0.67 * A), f_vd);
            check(V_d / (b * l_b), kMod[c] * 1.5 * f_c / gamma);
        }
        const double w_G = 5 * g * (L * L * L * L) / (384 * E * I), w_Q = 5 * q * (L * L * L * L) / (384 * E * I);
        const double w_inst = w_G + w_Q, w_fin = w_G * (1 + k_def) + w_Q * (1 + psi * k_def);
        check(w_inst, L / 300);
        check(w_fin, L / 200);
        out[i] = {M, w_fin, most, passes};
    }
}

} // namespace spanwright::bench
