// SPDX-License-Identifier: MIT
#pragma once

#include <algorithm>
#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <functional>
#include <utility>
#include <vector>

namespace spanwright::bench {

inline double seconds(const std::function<void()>& work) {
    const auto start = std::chrono::steady_clock::now();
    work();
    return std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
}

/// Medians of two works done in turn, so that what else the machine does falls on both.
inline std::pair<double, double> side(const std::function<void()>& a, const std::function<void()>& b, int rounds) {
    std::vector<double> ta, tb;
    a();
    b();
    for (int i = 0; i < rounds; ++i) {
        ta.push_back(seconds(a));
        tb.push_back(seconds(b));
    }
    std::sort(ta.begin(), ta.end());
    std::sort(tb.begin(), tb.end());
    return {ta[ta.size() / 2], tb[tb.size() / 2]};
}

inline void must(bool fine, const char* what) {
    if (fine) return;
    std::fprintf(stderr, "wrong result, nothing is timed: %s\n", what);
    std::exit(1);
}

} // namespace spanwright::bench
