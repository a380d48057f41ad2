// SPDX-License-Identifier: MIT
#include "native_formulas.h"

#include <cmath>

namespace spanwright::bench {

namespace {

inline __attribute__((always_inline)) JoistResults work(const Joist& j, double h) {
    JoistResults r;
    r.A = j.b * h;
    r.W = j.b * h * h / 6;
    r.I = j.b * h * h * h / 12;
    r.w_d = (1.35 * (j.g_k + j.rho * r.A / j.s) + 1.5 * j.q_k) * j.s;
    r.M_d = r.w_d * j.L * j.L / 8;
    r.V_d = r.w_d * j.L / 2;
    r.sigma_m = r.M_d / r.W;
    r.tau = 1.5 * r.V_d / r.A;
    r.k_h = std::fmin(0.15 / h * 1.2, 1.3);
    r.f_md = r.k_h * j.k_mod * j.f_mk / j.gamma_M;
    r.u_m = r.sigma_m / r.f_md;
    r.w_inst = 5 * (j.g_k + j.q_k) * j.s * (j.L * j.L * j.L * j.L) / (384 * j.E * r.I);
    return r;
}

inline __attribute__((always_inline)) void all(const Joist& in, const double* __restrict h, std::size_t n, double* const* out) {
    double* __restrict A = out[0];
    double* __restrict W = out[1];
    double* __restrict I = out[2];
    double* __restrict w_d = out[3];
    double* __restrict M_d = out[4];
    double* __restrict V_d = out[5];
    double* __restrict sigma_m = out[6];
    double* __restrict tau = out[7];
    double* __restrict k_h = out[8];
    double* __restrict f_md = out[9];
    double* __restrict u_m = out[10];
    double* __restrict w_inst = out[11];
    const Joist j = in;
    for (std::size_t i = 0; i < n; ++i) {
        const JoistResults r = work(j, h[i]);
        A[i] = r.A;
        W[i] = r.W;
        I[i] = r.I;
        w_d[i] = r.w_d;
        M_d[i] = r.M_d;
        V_d[i] = r.V_d;
        sigma_m[i] = r.sigma_m;
        tau[i] = r.tau;
        k_h[i] = r.k_h;
        f_md[i] = r.f_md;
        u_m[i] = r.u_m;
        w_inst[i] = r.w_inst;
    }
}

} // namespace

__attribute__((noinline)) void joistByHand(const Joist& in, JoistResults& out) { out = work(in, in.h); }

__attribute__((noinline, optimize("no-tree-vectorize"))) void joistsByHand(const Joist& in, const double* h, std::size_t n, double* const* out) {
    all(in, h, n, out);
}

__attribute__((noinline, optimize("O3"))) void joistsVectorised(const Joist& in, const double* h, std::size_t n, double* const* out) { all(in, h, n, out); }

} // namespace spanwright::bench
