// SPDX-License-Identifier: MIT
#include "engine/beam/series.h"

#include <boost/math/quadrature/gauss.hpp>

namespace spanwright::beam {

namespace {

/// P(0)..P(kNodes - 1) at u.
Values legendreAt(double u) {
    Values out{};
    out[0] = 1.0;
    out[1] = u;
    for (std::size_t n = 1; n + 1 < kNodes; ++n) {
        const auto d = static_cast<double>(n);
        out[n + 1] = ((2.0 * d + 1.0) * u * out[n] - d * out[n - 1]) / (d + 1.0);
    }
    return out;
}

} // namespace

Rule::Rule() {
    const auto& x = boost::math::quadrature::gauss<double, kNodes>::abscissa();
    const auto& w = boost::math::quadrature::gauss<double, kNodes>::weights();
    for (std::size_t i = 0; i < kNodes / 2; ++i) {
        node[kNodes / 2 + i] = x[i];
        node[kNodes / 2 - 1 - i] = -x[i];
        weight[kNodes / 2 + i] = weight[kNodes / 2 - 1 - i] = w[i];
    }
    for (std::size_t i = 0; i < kNodes; ++i) {
        legendre[i] = legendreAt(node[i]);
        const Values left = legendreAt(0.5 * (node[i] - 1.0)), right = legendreAt(0.5 * (node[i] + 1.0));
        for (std::size_t n = 0; n < kNodes; ++n) {
            halves[n][i] = left[n];
            halves[n][kNodes + i] = right[n];
        }
    }
}

const Rule& rule() {
    static const Rule theRule;
    return theRule;
}

double integralOf(const Values& values, double width) {
    const Rule& r = rule();
    double sum = 0.0;
    for (std::size_t i = 0; i < kNodes; ++i) sum += r.weight[i] * values[i];
    return 0.5 * width * sum;
}

Series fit(const Values& values) {
    const Rule& r = rule();
    Values sum{};
    for (std::size_t i = 0; i < kNodes; ++i) {
        const double weighted = r.weight[i] * values[i];
        for (std::size_t n = 0; n < kNodes; ++n) sum[n] += weighted * r.legendre[i][n];
    }
    Series series(kNodes);
    for (std::size_t n = 0; n < kNodes; ++n) series[n] = (static_cast<double>(n) + 0.5) * sum[n];
    return series;
}

void valuesOfHalves(const Series& series, Values& left, Values& right) {
    const Rule& r = rule();
    std::array<double, 2 * kNodes> sum{};
    sum.fill(series[0]);
    for (std::size_t n = 1; n < kNodes; ++n)
        for (std::size_t i = 0; i < 2 * kNodes; ++i) sum[i] += series[n] * r.halves[n][i];
    for (std::size_t i = 0; i < kNodes; ++i) {
        left[i] = sum[i];
        right[i] = sum[kNodes + i];
    }
}

Series timesT(const Series& a) {
    Series out(a.size() + 1, 0.0);
    for (std::size_t n = 0; n < a.size(); ++n) {
        const auto d = static_cast<double>(n);
        out[n] += 0.5 * a[n];
        out[n + 1] += 0.5 * a[n] * (d + 1.0) / (2.0 * d + 1.0);
        if (n > 0) out[n - 1] += 0.5 * a[n] * d / (2.0 * d + 1.0);
    }
    return out;
}

Series integrated(const Series& a) {
    Series out(a.size() + 1, 0.0);
    for (std::size_t n = 0; n < a.size(); ++n) {
        const double part = a[n] / (2.0 * static_cast<double>(n) + 1.0);
        out[n + 1] += part;
        if (n > 0) out[n - 1] -= part;
    }
    return out;
}

void hangBetweenEnds(Series& a) {
    double right = 0.0, left = 0.0;
    for (std::size_t n = 0; n < a.size(); ++n) {
        right += a[n];
        left += (n % 2 == 0) ? a[n] : -a[n];
    }
    a[0] -= 0.5 * (right + left);
    a[1] -= 0.5 * (right - left);
}

} // namespace spanwright::beam
