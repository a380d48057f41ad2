// SPDX-License-Identifier: MIT
// Where deflections turn while nothing varies along a line: they are polynomials of degree 5 in each cell, and so is any sum of them.
#include <algorithm>
#include <array>
#include <cmath>

#include "engine/beam/curves.h"
#include "engine/beam/zeros.h"

namespace spanwright::beam {

namespace {

/// c[0] + c[1]*t + .. + c[5]*t^5
using Quintic = std::array<double, kMostPowers>;
static_assert(kMostPowers == kBowOfConstant + 2);

/// What one part sags in its cell: the chord, and t*(1 - t) times the bow.
Quintic sagOf(const double* bow, const CellState& s, double factor) {
    Quintic q{};
    q[0] = factor * s.sagLeft;
    q[1] = factor * (s.sagRight - s.sagLeft + bow[0]);
    for (std::size_t k = 1; k < kBowOfConstant; ++k) q[k + 1] = factor * (bow[k] - bow[k - 1]);
    q[kBowOfConstant + 1] = -factor * bow[kBowOfConstant - 1];
    return q;
}

/// No change of sign along the whole cell, as the bow's net of control points shows.
bool oneSided(const double* bow, const CellState& s) {
    static_assert(kBowOfConstant == 4);
    if (s.sagLeft != 0.0 || s.sagRight != 0.0) return false;
    const double a = bow[0], b = a + bow[1] / 3.0, c = b + (bow[1] + bow[2]) / 3.0, d = ((bow[3] + bow[2]) + bow[1]) + bow[0];
    return (a >= 0.0 && b >= 0.0 && c >= 0.0 && d >= 0.0) || (a <= 0.0 && b <= 0.0 && c <= 0.0 && d <= 0.0);
}

/// The same as a polynomial of u, where t = first + share*u.
Quintic within(Quintic q, double first, double share) {
    for (std::size_t k = 0; k + 1 < q.size(); ++k)
        for (std::size_t j = q.size() - 1; j-- > k;) q[j] += first * q[j + 1];
    double power = 1.0;
    for (double& c : q) {
        c *= power;
        power *= share;
    }
    return q;
}

Quintic& add(Quintic& to, const Quintic& q, double times) {
    for (std::size_t k = 0; k < q.size(); ++k) to[k] += times * q[k];
    return to;
}

/// What may act or not; of no interest where its sign is not the one that is asked for.
struct Choice {
    Quintic sag;
    double times = 0.0;
    bool least = false;
};

} // namespace

bool addSagTurns(std::span<const SagTerm> terms, double from, double to, std::vector<double>& out) {
    const double width = to - from, middle = from + 0.5 * width;
    // One span under even loads: of whatever acts the deflection is the same curve, more or less of it.
    const auto evenWhole = [&](const SagTerm& term) {
        const SolvedData& data = *term.beam->m_data;
        return data.even && term.beam->m_data == terms.front().beam->m_data && data.from == from && data.to == to && term.factors->size() >= data.actionCount;
    };
    if (!terms.empty() && std::all_of(terms.begin(), terms.end(), evenWhole)) {
        out.push_back(middle);
        return true;
    }
    Quintic always{};
    boost::container::small_vector<Choice, 4> choices;
    Few<double> cuts(1, 0.0);
    for (const SagTerm& term : terms) {
        const SolvedData& data = *term.beam->m_data;
        const std::vector<double>& factors = *term.factors;
        if (!data.constant || !data.hasDeflection || data.cells.empty() || factors.size() < data.actionCount) return false;
        std::size_t c = 0;
        while (c + 1 < data.cells.size() && data.cells[c + 1].left <= middle) ++c;
        const Cell& cell = data.cells[c];
        const double first = (from - cell.left) * cell.perLength, share = width * cell.perLength;
        constexpr double kNothing = 1e-12; // of a cell: no less than breaks stand apart
        const bool whole = std::fabs(first) <= kNothing && std::fabs(first + share - 1.0) <= kNothing;
        const std::size_t parts = data.parts.size();
        for (std::size_t p = 0; p < parts; ++p) {
            const LoadPart& part = data.parts[p];
            const double factor = part.action == LoadPart::kAlways ? 1.0 : factors[part.action];
            if (factor == 0.0) continue;
            const double* bow = data.bows.data() + (c * parts + p) * kBowOfConstant;
            const CellState& state = data.states[c * parts + p];
            const Quintic sag = whole ? sagOf(bow, state, factor) : within(sagOf(bow, state, factor), first, share);
            if (!part.eachSpan) {
                add(always, sag, term.times);
                continue;
            }
            choices.push_back({sag, term.times, term.least});
            // Where it changes its sign it goes over from least to most.
            if (!oneSided(bow, state)) addZeros(sag, 0.0, 1.0, cuts);
        }
    }
    std::sort(cuts.begin(), cuts.end());
    cuts.push_back(1.0);
    Few<double> turns;
    for (std::size_t i = 1; i < cuts.size(); ++i) {
        const double low = cuts[i - 1], high = cuts[i], between = 0.5 * (low + high);
        Quintic sum = always;
        for (const Choice& choice : choices)
            if ((valueAt(choice.sag, between) < 0.0) == choice.least) add(sum, choice.sag, choice.times);
        std::array<double, kMostPowers - 1> slope;
        for (std::size_t k = 1; k < sum.size(); ++k) slope[k - 1] = static_cast<double>(k) * sum[k];
        for (const double k : slope)
            if (!std::isfinite(k)) return false;
        addZeros(slope, low, high, turns);
        if (high < 1.0) turns.push_back(high);
    }
    for (const double u : turns) {
        const double x = from + u * width;
        if (x > from && x < to) out.push_back(x);
    }
    return true;
}

} // namespace spanwright::beam
