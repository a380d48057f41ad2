// SPDX-License-Identifier: MIT
#include "engine/beam/zeros.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace spanwright::beam {

namespace {

void addInside(double t, double from, double to, Few<double>& out) {
    constexpr double kSlack = 1e-9;
    if (t > from - kSlack && t < to + kSlack) out.push_back(std::clamp(t, from, to));
}

/// Zeros of a + b*t + c*t^2 between two places.
void addQuadratic(double a, double b, double c, double from, double to, Few<double>& out) {
    if (c == 0.0) {
        if (b != 0.0) addInside(-a / b, from, to, out);
        return;
    }
    const double under = b * b - 4.0 * a * c;
    if (under < 0.0) return;
    const double far = -0.5 * (b + std::copysign(std::sqrt(under), b));
    addInside(far / c, from, to, out);
    if (far != 0.0) addInside(a / far, from, to, out);
}

/// The zero of a polynomial between two places where its signs differ: Newton's steps, halving where they leave the places known or
/// do not get on.
double crossing(std::span<const double> p, double low, double high, bool rises) {
    constexpr int kMostRounds = 100;
    constexpr double kNear = 1e-15;
    double t = 0.5 * (low + high), last = high - low, before = last;
    for (int round = 0; round < kMostRounds; ++round) {
        double value = p.back(), slope = 0.0;
        for (std::size_t k = p.size() - 1; k-- > 0;) {
            slope = slope * t + value;
            value = value * t + p[k];
        }
        if (value == 0.0) return t;
        ((value < 0.0) == rises ? low : high) = t;
        double next = 0.5 * (low + high);
        // Never where a slope of next to nothing would divide.
        if (std::fabs(2.0 * value) < std::fabs(before * slope)) {
            const double newton = t - value / slope;
            if (newton > low && newton < high) next = newton;
        }
        before = last;
        last = std::fabs(next - t);
        t = next;
        if (last <= kNear) break;
    }
    return t;
}

} // namespace

void addZeros(std::span<const double> p, double from, double to, Few<double>& out) {
    double size = 0.0;
    for (const double c : p) size = std::max(size, std::fabs(c));
    if (size == 0.0) return;
    std::size_t powers = p.size();
    while (powers > 3 && std::fabs(p[powers - 1]) <= 1e-15 * size) --powers;
    if (powers <= 3) {
        addQuadratic(p[0], powers > 1 ? p[1] : 0.0, powers > 2 ? p[2] : 0.0, from, to, out);
        return;
    }
    p = p.first(powers);
    std::array<double, kMostPowers> slope;
    for (std::size_t k = 1; k < powers; ++k) slope[k - 1] = static_cast<double>(k) * p[k];
    // Between its turns it crosses zero once at most.
    Few<double> cuts(1, from);
    addZeros(std::span(slope).first(powers - 1), from, to, cuts);
    std::sort(cuts.begin(), cuts.end());
    cuts.push_back(to);
    double low = cuts.front(), atLow = valueAt(p, low);
    for (std::size_t i = 1; i < cuts.size(); ++i) {
        const double high = cuts[i], atHigh = valueAt(p, high);
        if ((atLow < 0.0) != (atHigh < 0.0)) out.push_back(crossing(p, low, high, atLow < 0.0));
        low = high;
        atLow = atHigh;
    }
}

} // namespace spanwright::beam
