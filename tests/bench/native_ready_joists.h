// SPDX-License-Identifier: MIT
// The ready joist sheets written by hand, as an engineer would write them in C++: one value at a time, everything that depends on the depth
// for each depth, the combinations in a loop. `ByHand` takes the joist as a line of one to three spans (`native_line.h`). `Searched`
// knows one span by its closed forms and looks for its worst deflection at the places and by the rules of the engine's own search
// (`engine/eval/range.h`), which the engine itself does only where a stiffness varies.
#pragma once

#include <array>
#include <cstddef>

namespace spanwright::bench {

/// `eu/floor-joist` with one span, SI throughout.
struct EuJoist {
    double L = 0, s = 0, b = 0, l_b = 0, a_e = 0, a_r = 0, w_c = 0;
    bool softwood = true, held = false, people = true;
    double k_sys = 1, gamma_M = 1.3, k_cr = 0.67, k_self = 1;
    double f_mk = 0, f_vk = 0, f_c90k = 0, E = 0, E_005 = 0, G_mean = 0, rho = 0;
    double g_k = 0, q_k = 0, g_x = 0, q_x = 0, k_def = 0, psi_2 = 0;
    std::array<double, 2> G{}, Q{}, k_mod{}; ///< by combination
    double inst = 0, fin = 0, net = 0;       ///< limits of deflection: span divided by
    double B_f = 0, t_deck = 0, E_deck = 0, zeta = 0, a_v = 0, b_v = 0;
};
struct EuJoistAnswer {
    /// bending, shear, bearing, instant, final and net deflection, frequency, unit load, impulse
    static constexpr std::array<const char*, 9> kChecks = {"bending",   "shear",     "bearing", "deflection_instant", "deflection_final", "deflection_net",
                                                           "frequency", "unit_load", "impulse"};
    std::array<double, 9> utilisation{};
    double R_G = 0, R_Q = 0, R_G2 = 0, R_Q2 = 0, x_inst = 0, x_fin = 0, w_fin = 0;
    bool passes = false;
};
void euJoistByHand(const EuJoist& joist, const double* depths, std::size_t n, EuJoistAnswer* out);
void euJoistSearched(const EuJoist& joist, const double* depths, std::size_t n, EuJoistAnswer* out);

/// `us/floor-joist`, SI throughout.
struct UsJoist {
    double L = 0, s = 0, b = 0, l_b = 0, a_e = 0, l_u = 0;
    bool clearSpanAlone = false, held = false, weigh = false;
    double F_b = 0, F_v = 0, F_cp = 0, E = 0, E_min = 0, SG = 0, C_F = 1, C_r = 1, MC = 15;
    double C_Mb = 1, C_Mv = 1, C_Mcp = 1, C_ME = 1, K_cr = 1.5, C_t = 1, C_tE = 1, C_i = 1, C_iE = 1;
    double dead = 0, live = 0, d_x = 0, l_x = 0;
    std::array<double, 2> D{}, LL{}, C_D{}; ///< by combination
    double n_live = 360, n_total = 240;
};
struct UsJoistAnswer {
    static constexpr std::array<const char*, 5> kChecks = {"bending", "shear", "bearing", "deflection_live", "deflection_total"};
    std::array<double, 5> utilisation{};
    double R_D = 0, R_L = 0, w_live = 0, w_total = 0;
    bool passes = false;
};
void usJoistByHand(const UsJoist& joist, const double* depths, std::size_t n, UsJoistAnswer* out);
void usJoistSearched(const UsJoist& joist, const double* depths, std::size_t n, UsJoistAnswer* out);

} // namespace spanwright::bench
