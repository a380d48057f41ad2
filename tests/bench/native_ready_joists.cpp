// SPDX-License-Identifier: MIT
#include "native_ready_joists.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "native_line.h"

namespace spanwright::bench {

namespace {

constexpr double kSlack = 1e-9; // of a check
constexpr double kGravity = 9.80665;

struct Bracket {
    Place a, best, b;
    bool open = true, smooth = false;
};

/// The largest of a function without kinks between two places: 128 samples, then grids of sixteen places, even ones and closer about the
/// vertex of a parabola, until no more than 1e-13 of the value can be gained.
template <class F> Place largest(double from, double to, F f) {
    constexpr int kSamples = 128, kEven = 7, kGrid = 16;
    std::array<Place, kSamples + 3> at;
    std::size_t n = 0;
    const auto sample = [&](double x) { at[n++] = {x, f(x)}; };
    const double inside = std::max(std::nextafter(from, to), from + (to - from) * 0x1p-60);
    const double insideEnd = std::min(std::nextafter(to, from), to - (to - from) * 0x1p-60);
    sample(from);
    sample(inside);
    for (int i = 1; i < kSamples; ++i) sample(from + (to - from) * (i / static_cast<double>(kSamples)));
    sample(insideEnd);
    sample(to);
    const std::size_t last = n - 1;
    std::array<Bracket, kSamples> brackets;
    std::size_t count = 0;
    const auto small = [&](std::size_t k, double drop) {
        return k >= 1 && k + 4 <= last && std::fabs(at[k + 3].value - 3 * at[k + 2].value + 3 * at[k + 1].value - at[k].value) <= 0.25 * drop;
    };
    for (std::size_t i = 1; i < last; ++i) {
        if (i > 1 && !(at[i].value > at[i - 1].value)) continue;
        std::size_t next = i + 1;
        while (next < last && at[next].value == at[i].value) ++next;
        if (next < last && !(at[i].value > at[next].value)) continue;
        Bracket& b = brackets[count++];
        b.a = at[i == 1 ? 1 : i - 1];
        b.best = at[i];
        b.b = at[i + 1 >= last ? last - 1 : i + 1];
        const double drop = b.best.value - std::min(b.a.value, b.b.value);
        b.smooth = drop > 0 && (i == 1 ? small(1, drop) : i + 1 == last ? small(last - 4, drop) : i >= 3 && small(i - 2, drop) && small(i - 1, drop));
    }
    for (int round = 1; round <= 40; ++round) {
        double most = std::max(at[0].value, at[last].value);
        for (std::size_t k = 0; k < count; ++k) most = std::max(most, brackets[k].best.value);
        const double worthIt = most - 2e-12 * std::fabs(most);
        bool any = false;
        for (std::size_t k = 0; k < count; ++k) {
            Bracket& b = brackets[k];
            if (!b.open) continue;
            const double drop = b.best.value - std::min(b.a.value, b.b.value), width = b.b.x - b.a.x;
            const bool farBelow = b.best.value + 16 * drop < worthIt;
            b.open = round == 1 ? !(farBelow && b.smooth) : width > 1e-13 * (to - from) && drop > 1e-13 * std::fabs(b.best.value) && !farBelow;
            if (!b.open) continue;
            any = true;
            const double toA = b.best.x - b.a.x, toB = b.best.x - b.b.x;
            const double fallA = (b.best.value - b.a.value) * toB, fallB = (b.best.value - b.b.value) * toA;
            double vertex = b.best.x;
            if (const double under = 2 * (fallB - fallA); under != 0) {
                const double x = b.best.x - (toA * fallB - toB * fallA) / under;
                if (x > b.a.x && x < b.b.x) vertex = x;
            }
            std::array<double, kEven> even;
            for (int e = 0; e < kEven; ++e) even[e] = b.a.x + width * ((e + 1) / 8.0);
            std::array<double, kGrid - kEven> about;
            about[4] = vertex;
            double away = width / 16;
            for (int e = 0; e < 4; ++e, away /= 8) {
                about[e] = std::max(b.a.x, vertex - away);
                about[8 - e] = std::min(b.b.x, vertex + away);
            }
            std::array<double, kGrid> grid;
            std::merge(even.begin(), even.end(), about.begin(), about.end(), grid.begin());
            std::array<Place, kGrid + 3> all;
            std::size_t m = 0;
            all[m++] = b.a;
            bool stands = false;
            for (const double x : grid) {
                if (!stands && b.best.x <= x) {
                    all[m++] = b.best;
                    stands = true;
                }
                all[m++] = {x, f(x)};
            }
            if (!stands) all[m++] = b.best;
            all[m++] = b.b;
            std::size_t top = 0;
            for (std::size_t j = 1; j < m; ++j)
                if (all[j].value > all[top].value) top = j;
            const double clearly = all[top].value - 2e-15 * std::fabs(all[top].value);
            std::size_t before = top, after = top;
            while (before > 0 && top - before < 3 && !(all[before].value < clearly)) --before;
            while (after + 1 < m && after - top < 3 && !(all[after].value < clearly)) ++after;
            b.a = all[before];
            b.b = all[after];
            b.best = all[top];
        }
        if (!any) break;
    }
    double most = std::max(at[0].value, at[last].value);
    for (std::size_t k = 0; k < count; ++k) most = std::max(most, brackets[k].best.value);
    const double alike = most - 1e-12 * std::fabs(most);
    double place = to;
    for (const Place& end : {at[0], at[last]})
        if (end.value >= alike) place = std::min(place, end.x);
    for (std::size_t k = 0; k < count; ++k)
        if (brackets[k].best.value >= alike) place = std::min(place, brackets[k].best.x);
    return {place, most};
}

/// One span by its closed forms; its worst deflection is looked for at the places and by the rules of the engine's search.
class Searched {
public:
    Searched(const double* spans, int, double bend, double slip, double w_G, double w_Q, bool)
        : m_L(spans[0]), m_bend(bend / 24), m_slip(slip / 2), m_w_G(w_G), m_w_Q(w_Q) {}
    [[nodiscard]] double mostMoment(double G, double Q) const { return (G * m_w_G + Q * m_w_Q) * (m_L * m_L) / 8; }
    [[nodiscard]] double mostShear(double G, double Q) const { return (G * m_w_G + Q * m_w_Q) * m_L / 2; }
    [[nodiscard]] double mostReaction(int, double G, double Q) const { return mostShear(G, Q); }
    [[nodiscard]] double sag(double x, double G, double Q) const { return G * (m_w_G * ofOne(x)) + Q * (m_w_Q * ofOne(x)); }
    [[nodiscard]] Place worstSag(double G, double Q) const {
        return largest(0.0, m_L, [&](double x) { return sag(x, G, Q) / m_L; });
    }

private:
    [[nodiscard]] double ofOne(double x) const { return x * (m_L - x) * ((m_L * m_L + x * (m_L - x)) * m_bend + m_slip); }
    double m_L, m_bend, m_slip, m_w_G, m_w_Q;
};

template <class Beam>
__attribute__((noinline, optimize("no-tree-vectorize"))) void euJoist(const EuJoist& j, const double* depths, std::size_t n, EuJoistAnswer* out) {
    const double L = j.L, s = j.s, b = j.b;
    const double f_vd[2] = {j.k_mod[0] * j.k_sys * j.f_vk / j.gamma_M, j.k_mod[1] * j.k_sys * j.f_vk / j.gamma_M};
    const double f_c90d[2] = {j.k_mod[0] * j.f_c90k / j.gamma_M, j.k_mod[1] * j.f_c90k / j.gamma_M};
    const double G_005 = j.G_mean * j.E_005 / j.E;
    const double w_Q = j.q_k * s + j.q_x;
    const double l_1 = L - j.l_b;
    const double l_c90 = j.l_b + std::min({0.03, j.l_b, l_1 / 2}) + std::min({0.03, j.l_b, j.a_e});
    const double EI_b = j.E_deck * (j.t_deck * j.t_deck * j.t_deck) / 12;
    for (std::size_t i = 0; i < n; ++i) {
        EuJoistAnswer& answer = out[i];
        const double h = depths[i];
        bool passes = h >= 0.06 && h <= 0.6;
        const auto check = [&](int which, double demand, double capacity) {
            const double u = demand / capacity;
            if (u > answer.utilisation[which]) answer.utilisation[which] = u;
            passes = passes && capacity > 0 && demand <= capacity * (1 + kSlack);
        };
        answer.utilisation.fill(0);
        const double A = b * h, W = b * (h * h) / 6, I = b * (h * h * h) / 12, I_z = h * (b * b * b) / 12;
        const double I_tor = h * (b * b * b) * (1 - 0.63 * b / h) / 3;
        const double k_h = h < 0.15 ? std::min(std::pow(0.15 / h, 0.2), 1.3) : 1;
        const double g_0 = j.k_self * j.rho * kGravity * A;
        passes = passes && g_0 >= 0 && g_0 <= 5000;
        const double w_G = j.g_k * s + j.g_x + g_0;

        const double l_ef = 0.9 * j.a_r + 2 * h;
        const double general = std::numbers::pi * std::sqrt(j.E_005 * I_z * G_005 * I_tor) / (l_ef * W);
        const double critical = j.softwood ? 0.78 * (b * b) * j.E_005 / (h * l_ef) : general;
        const double lambda = std::sqrt(j.f_mk / critical);
        const double k_crit = j.held || lambda <= 0.75 ? 1 : lambda <= 1.4 ? 1.56 - 0.75 * lambda : 1 / (lambda * lambda);
        const double k_c90 = j.softwood && l_1 >= 2 * h ? 1.5 : 1;
        const Beam beam(&j.L, 1, 1 / (j.E * I), 1 / (5.0 / 6 * j.G_mean * A), w_G, w_Q, true);
        for (int c = 0; c < 2; ++c) {
            const double M_d = beam.mostMoment(j.G[c], j.Q[c]), V_d = beam.mostShear(j.G[c], j.Q[c]);
            const double R_d = std::max(beam.mostReaction(0, j.G[c], j.Q[c]), beam.mostReaction(1, j.G[c], j.Q[c]));
            check(0, M_d / W, k_crit * (j.k_mod[c] * k_h * j.k_sys * j.f_mk / j.gamma_M));
            check(1, 1.5 * V_d / (j.k_cr * b * h), f_vd[c]);
            check(2, R_d / (b * l_c90), k_c90 * f_c90d[c]);
        }
        answer.R_G = beam.mostReaction(0, 1, 0);
        answer.R_G2 = beam.mostReaction(1, 1, 0);
        answer.R_Q = beam.mostReaction(0, 0, 1);
        answer.R_Q2 = beam.mostReaction(1, 0, 1);

        answer.x_inst = beam.worstSag(1, 1).x;
        const double w_inst = beam.sag(answer.x_inst, 1, 0) + beam.sag(answer.x_inst, 0, 1);
        check(3, w_inst, L / j.inst);
        const double later_G = 1 + j.k_def, later_Q = 1 + j.psi_2 * j.k_def;
        answer.x_fin = beam.worstSag(later_G, later_Q).x;
        answer.w_fin = beam.sag(answer.x_fin, later_G, later_Q);
        check(4, answer.w_fin, L / j.fin);
        check(5, answer.w_fin - j.w_c, L / j.net);
        if (j.people) {
            const double m_v = w_G / (s * kGravity), EI_l = j.E * I / s;
            passes = passes && m_v >= 5 && m_v <= 1000;
            const double f_1 = std::numbers::pi / (2 * (L * L)) * std::sqrt(EI_l / m_v);
            check(6, 8, f_1);
            const double k_delta = std::min(1.0, std::pow(EI_b / EI_l, 0.25));
            const double w_joist = 1000 * (L * L * L) / (48 * j.E * I), w_plate = 1000 * (L * L) / (42 * k_delta * EI_l);
            check(7, std::min(w_joist, w_plate) / 1000, j.a_v);
            const double over = 40 / f_1, wide = j.B_f / L;
            const double n_40 = std::pow(std::max(over * over - 1, 0.0) * (wide * wide * (wide * wide)) * EI_l / EI_b, 0.25);
            const double v_imp = 4 * (0.4 + 0.6 * n_40) / (m_v * j.B_f * L + 200);
            check(8, v_imp, std::pow(j.b_v, f_1 * j.zeta - 1));
        }
        answer.passes = passes;
    }
}

template <class Beam>
__attribute__((noinline, optimize("no-tree-vectorize"))) void usJoist(const UsJoist& j, const double* depths, std::size_t n, UsJoistAnswer* out) {
    constexpr double kInch = 0.0254, kPsi = 6894.757293168362, kPcf = 157.08746384623;
    const double b = j.b;
    const double F_cp_1 = j.F_cp * j.C_Mcp * j.C_t, E_1 = j.E * j.C_ME * j.C_tE * j.C_iE, E_min_1 = j.E_min * j.C_ME * j.C_tE * j.C_iE;
    const double rho = 62.4 * kPcf * j.SG / (1 + 0.009 * j.SG * j.MC) * (1 + j.MC / 100);
    const double C_Mb = j.F_b * j.C_F > 1150 * kPsi ? j.C_Mb : 1;
    const double w_L = j.live * j.s + j.l_x;
    const double C_b = j.l_b < 6 * kInch && j.a_e >= 3 * kInch ? (j.l_b + 0.375 * kInch) / j.l_b : 1;
    double F_star[2], F_v_1[2];
    for (int c = 0; c < 2; ++c) {
        F_star[c] = j.F_b * j.C_D[c] * C_Mb * j.C_t * j.C_F * j.C_i * j.C_r;
        F_v_1[c] = j.F_v * j.C_D[c] * j.C_Mv * j.C_t * j.C_i;
    }
    for (std::size_t i = 0; i < n; ++i) {
        UsJoistAnswer& answer = out[i];
        const double d = depths[i];
        bool passes = d >= 1 * kInch && d <= 24 * kInch;
        const auto check = [&](int which, double demand, double capacity) {
            const double u = demand / capacity;
            if (u > answer.utilisation[which]) answer.utilisation[which] = u;
            passes = passes && capacity > 0 && demand <= capacity * (1 + kSlack);
        };
        answer.utilisation.fill(0);
        const double A = b * d, S = b * (d * d) / 6, I = b * (d * d * d) / 12;
        const double w_D = j.dead * j.s + (j.weigh ? rho * A : 0) + j.d_x;
        const double l_req = j.clearSpanAlone ? 0 : (w_D + w_L) * j.L / (2 * b * F_cp_1 - (w_D + w_L));
        const double L_d = j.L + l_req;
        const double l_u = j.l_u > 0 ? j.l_u : L_d;
        passes = passes && l_u >= kInch && l_u <= 480 * kInch;
        const double l_e = l_u / d < 7 ? 2.06 * l_u : 1.63 * l_u + 3 * d;
        const double R_B = std::sqrt(l_e * d / (b * b));
        passes = passes && (j.held || R_B <= 50);
        const double F_bE = 1.20 * E_min_1 / (R_B * R_B);
        const Beam beam(&L_d, 1, 1 / (E_1 * I), 0, w_D, w_L, false);
        for (int c = 0; c < 2; ++c) {
            const double M = beam.mostMoment(j.D[c], j.LL[c]), V = beam.mostShear(j.D[c], j.LL[c]), R = beam.mostReaction(0, j.D[c], j.LL[c]);
            double C_L = 1;
            if (!j.held) {
                const double ratio = F_bE / F_star[c], half = (1 + ratio) / 1.9;
                C_L = half - std::sqrt(half * half - ratio / 0.95);
            }
            check(0, M / S, F_star[c] * C_L);
            check(1, 3 * V / (2 * b * d), F_v_1[c]);
            check(2, R / (b * j.l_b), F_cp_1 * C_b);
        }
        answer.R_D = beam.mostReaction(0, 1, 0);
        answer.R_L = beam.mostReaction(0, 0, 1);
        answer.w_live = beam.worstSag(0, 1).value * L_d;
        const double w_dead = beam.worstSag(1, 0).value * L_d;
        check(3, answer.w_live, L_d / j.n_live);
        answer.w_total = j.K_cr * w_dead + answer.w_live;
        check(4, answer.w_total, L_d / j.n_total);
        answer.passes = passes;
    }
}

} // namespace

void euJoistByHand(const EuJoist& j, const double* depths, std::size_t n, EuJoistAnswer* out) { euJoist<Line>(j, depths, n, out); }
void euJoistSearched(const EuJoist& j, const double* depths, std::size_t n, EuJoistAnswer* out) { euJoist<Searched>(j, depths, n, out); }
void usJoistByHand(const UsJoist& j, const double* depths, std::size_t n, UsJoistAnswer* out) { usJoist<Line>(j, depths, n, out); }
void usJoistSearched(const UsJoist& j, const double* depths, std::size_t n, UsJoistAnswer* out) { usJoist<Searched>(j, depths, n, out); }

} // namespace spanwright::bench
