// SPDX-License-Identifier: MIT
// A joist of one to three spans written by hand: even loads, one stiffness, no search. Each load is a polynomial along each span; where
// sums of them turn is worked out. What may act on any choice of spans is taken where it makes the value worse.
#pragma once

#include <algorithm>
#include <array>
#include <cmath>

namespace spanwright::bench {

/// Where something is largest, and how large.
struct Place {
    double x = 0, value = 0;
};

class Line {
public:
    /// `bend` is 1/EI, `slip` 1/GA; w_G lies on all spans, w_Q on any choice of them if `eachSpan`.
    Line(const double* spans, int n, double bend, double slip, double w_G, double w_Q, bool eachSpan) : m_n(n), m_bend(bend), m_slip(slip) {
        for (int s = 0; s < n; ++s) m_a[s] = spans[s];
        m_parts = eachSpan ? n + 1 : 2;
        for (int p = 0; p < m_parts; ++p) {
            for (int s = 0; s < n; ++s) m_load[p][s] = p == 0 ? w_G : !eachSpan || p - 1 == s ? w_Q : 0;
            solve(p);
        }
        m_choices = eachSpan;
    }

    /// Greatest moment that stretches the bottom edge.
    [[nodiscard]] double mostMoment(double G, double Q) const {
        double most = 0;
        bool first = true;
        const auto take = [&](double v) {
            most = first ? v : std::max(most, v);
            first = false;
        };
        for (int s = 0; s < m_n; ++s) {
            Cuts cuts;
            cuts.add(0, 1, 0);
            for (int p = 1; p < m_parts && m_choices; ++p)
                if (const Part& k = m_part[p][s]; k.left != 0 || k.right != 0) addQuadratic(k.left, k.right - k.left + k.bulge, -k.bulge, cuts);
            cuts.close();
            for (int i = 1; i < cuts.n; ++i) {
                const double a = cuts.at[i - 1], b = cuts.at[i];
                const Part sum = chosen(s, G, Q, [&](const Part& k) { return k.moment(0.5 * (a + b)); });
                take(sum.moment(a));
                take(sum.moment(b));
                if (sum.bulge != 0) {
                    const double t = 0.5 * (1 + (sum.right - sum.left) / sum.bulge);
                    if (t > a && t < b) take(sum.moment(t));
                }
            }
        }
        return most;
    }
    /// Greatest shear force of either sign: straight along each span, so at an end or where a choice changes its sign.
    [[nodiscard]] double mostShear(double G, double Q) const {
        double most = 0;
        for (int s = 0; s < m_n; ++s) {
            Cuts cuts;
            cuts.add(0, 1, 0);
            for (int p = 1; p < m_parts && m_choices; ++p) {
                const Part& k = m_part[p][s];
                if (k.bulge != 0) cuts.add(0.5 * (1 + (k.right - k.left) / k.bulge), 1, 0);
            }
            cuts.close();
            for (int i = 0; i < cuts.n; ++i) {
                double up = 0, down = 0;
                for (int p = 0; p < m_parts; ++p) {
                    const Part& k = m_part[p][s];
                    const double v = (p == 0 ? G : Q) * (k.right - k.left + k.bulge * (1 - 2 * cuts.at[i])) / m_a[s];
                    if (p == 0 || !m_choices || v > 0) up += v;
                    if (p == 0 || !m_choices || v < 0) down += v;
                }
                most = std::max({most, up, -down});
            }
        }
        return most;
    }
    [[nodiscard]] double mostReaction(int support, double G, double Q) const {
        double sum = 0;
        for (int p = 0; p < m_parts; ++p) {
            const double r = (p == 0 ? G : Q) * m_reaction[p][support];
            if (p == 0 || !m_choices || r > 0) sum += r;
        }
        return sum;
    }
    /// Where the deflection in parts of its span is worst.
    [[nodiscard]] Place worstSag(double G, double Q) const {
        Place worst;
        bool first = true;
        double from = 0;
        for (int s = 0; s < m_n; ++s) {
            Cuts cuts;
            cuts.add(0, 1, 0);
            for (int p = 1; p < m_parts && m_choices; ++p) {
                const Part& k = m_part[p][s];
                if (k.left == 0 && k.right == 0) continue;
                const std::array<double, 3> b = bow(k, s);
                addQuadratic(b[0], b[1], b[2], cuts);
            }
            cuts.close();
            for (int i = 1; i < cuts.n; ++i) {
                const double a = cuts.at[i - 1], b = cuts.at[i], middle = 0.5 * (a + b);
                const Part sum = chosen(s, G, Q, [&](const Part& k) { return valueOf(bow(k, s), middle); });
                const std::array<double, 3> w = bow(sum, s);
                const auto take = [&](double t) {
                    const double v = t * (1 - t) * valueOf(w, t) / m_a[s];
                    if (first || v > worst.value) worst = {from + t * m_a[s], v};
                    first = false;
                };
                take(a);
                // t(1 - t)(w0 + w1 t + w2 t^2): its slope is a cubic, which crosses zero once at most between its own turns.
                const std::array<double, 4> slope = {w[0], 2 * (w[1] - w[0]), 3 * (w[2] - w[1]), -4 * w[2]};
                Cuts turns;
                turns.add(a, 2, -1);
                addQuadratic(slope[1], 2 * slope[2], 3 * slope[3], turns, a, b);
                turns.add(b, 2, -1);
                std::sort(turns.at, turns.at + turns.n);
                for (int k = 1; k < turns.n; ++k) {
                    const double low = turns.at[k - 1], high = turns.at[k];
                    if ((valueOf(slope, low) < 0) != (valueOf(slope, high) < 0)) take(crossing(slope, low, high));
                }
                take(b);
            }
            from += m_a[s];
        }
        return worst;
    }
    /// The deflection at a place.
    [[nodiscard]] double sag(double x, double G, double Q) const {
        int s = 0;
        while (s + 1 < m_n && x > m_a[s]) x -= m_a[s++];
        const double t = x / m_a[s];
        double sum = 0;
        for (int p = 0; p < m_parts; ++p) {
            const double v = (p == 0 ? G : Q) * t * (1 - t) * valueOf(bow(m_part[p][s], s), t);
            if (p == 0 || !m_choices || v > 0) sum += v;
        }
        return sum;
    }

private:
    /// Of one load along one span: the moments at its ends, and w*a^2/2.
    struct Part {
        double left = 0, right = 0, bulge = 0;
        [[nodiscard]] double moment(double t) const { return left + t * (right - left + bulge * (1 - t)); }
    };
    struct Cuts {
        double at[16];
        int n = 0;
        void add(double t, double most, double least) {
            if (t >= least && t <= most) at[n++] = t;
        }
        void close() {
            at[n++] = 1;
            std::sort(at, at + n);
        }
    };

    template <std::size_t K> static double valueOf(const std::array<double, K>& p, double t) {
        double v = p[K - 1];
        for (std::size_t k = K - 1; k-- > 0;) v = v * t + p[k];
        return v;
    }
    static void addQuadratic(double a, double b, double c, Cuts& cuts, double from = 0, double to = 1) {
        if (c == 0) {
            if (b != 0) cuts.add(-a / b, to, from);
            return;
        }
        const double under = b * b - 4 * a * c;
        if (under < 0) return;
        const double far = -0.5 * (b + std::copysign(std::sqrt(under), b));
        cuts.add(far / c, to, from);
        if (far != 0) cuts.add(a / far, to, from);
    }
    static double crossing(const std::array<double, 4>& p, double low, double high) {
        const bool rises = valueOf(p, low) < 0;
        double t = 0.5 * (low + high);
        for (int round = 0; round < 60; ++round) {
            const double v = valueOf(p, t), slope = p[1] + t * (2 * p[2] + 3 * t * p[3]);
            if (v == 0) return t;
            ((v < 0) == rises ? low : high) = t;
            double next = t - v / slope;
            if (!(next > low && next < high)) next = 0.5 * (low + high);
            if (std::fabs(next - t) <= 1e-15) return next;
            t = next;
        }
        return t;
    }
    /// What acts: the permanent load, and the choices for which `sign` is above zero.
    template <class Sign> Part chosen(int s, double G, double Q, Sign sign) const {
        Part sum;
        for (int p = 0; p < m_parts; ++p) {
            const Part& k = m_part[p][s];
            const double factor = p == 0 ? G : Q;
            if (p != 0 && m_choices && !(sign(k) > 0)) continue;
            sum.left += factor * k.left;
            sum.right += factor * k.right;
            sum.bulge += factor * k.bulge;
        }
        return sum;
    }
    /// The deflection is t(1 - t) times this.
    [[nodiscard]] std::array<double, 3> bow(const Part& k, int s) const {
        const double f = m_a[s] * m_a[s] * m_bend;
        return {f * ((2 * k.left + k.right) / 6 + k.bulge / 12) + k.bulge * m_slip, f * ((k.right - k.left) / 6 + k.bulge / 12), -f * k.bulge / 12};
    }
    /// Three moments, the slip of the shear with them.
    void solve(int p) {
        const double* w = m_load[p];
        double M[4] = {};
        const auto turn = [&](int s) { return w[s] * m_a[s] * m_a[s] * m_a[s] * m_bend / 24; };
        const auto own = [&](int s) { return m_a[s] * m_bend / 3 + m_slip / m_a[s]; };
        const auto other = [&](int s) { return m_a[s] * m_bend / 6 - m_slip / m_a[s]; };
        if (m_n == 2) {
            M[1] = -(turn(0) + turn(1)) / (own(0) + own(1));
        } else if (m_n == 3) {
            const double a = own(0) + own(1), b = other(1), c = own(1) + own(2), e = -(turn(0) + turn(1)), f = -(turn(1) + turn(2));
            const double under = a * c - b * b;
            M[1] = (e * c - b * f) / under;
            M[2] = (a * f - b * e) / under;
        }
        for (int s = 0; s <= m_n; ++s) m_reaction[p][s] = 0;
        for (int s = 0; s < m_n; ++s) {
            m_part[p][s] = {M[s], M[s + 1], w[s] * m_a[s] * m_a[s] / 2};
            const double lean = (M[s + 1] - M[s]) / m_a[s];
            m_reaction[p][s] += w[s] * m_a[s] / 2 + lean;
            m_reaction[p][s + 1] += w[s] * m_a[s] / 2 - lean;
        }
    }

    int m_n = 1, m_parts = 2;
    bool m_choices = false;
    double m_bend = 0, m_slip = 0;
    double m_a[3], m_load[4][3], m_reaction[4][4];
    Part m_part[4][3];
};

} // namespace spanwright::bench
