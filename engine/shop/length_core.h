// SPDX-License-Identifier: MIT
#pragma once

#include <cstdint>
#include <utility>
#include <vector>

namespace spanwright::shop {

/// Cutting to length from bars of one length, as the search sees it: kerfs put into the lengths, equal lengths joined to kinds, the longest
/// first, everything divided by the common divisor.
struct Sizes {
    std::int64_t bar = 0;
    std::vector<std::int64_t> length;
    std::vector<std::int64_t> count;
    [[nodiscard]] std::size_t kinds() const { return length.size(); }
};

/// What is cut from one bar: kinds, ascending, and how many of each (> 0).
using Pattern = std::vector<std::pair<std::uint32_t, std::int32_t>>;

/// Patterns with how many bars are cut so.
using Patterns = std::vector<std::pair<Pattern, std::int64_t>>;

[[nodiscard]] inline Pattern sparse(const std::vector<std::int32_t>& counts) {
    Pattern out;
    for (std::size_t i = 0; i < counts.size(); ++i) {
        if (counts[i] > 0) out.emplace_back(static_cast<std::uint32_t>(i), counts[i]);
    }
    return out;
}

[[nodiscard]] inline std::int64_t barsOf(const Patterns& plan) {
    std::int64_t n = 0;
    for (const auto& [pattern, times] : plan) n += times;
    return n;
}

} // namespace spanwright::shop
