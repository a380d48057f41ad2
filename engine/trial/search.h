// SPDX-License-Identifier: MIT
#pragma once

#include <cstddef>
#include <functional>
#include <vector>

namespace spanwright::trial {

/// Places of one search where it is asked whether something holds.
struct Place {
    std::size_t search = 0;
    double x = 0.0;
};
/// Answers for many places at once, holds[i] for places[i]; false when it was cancelled.
using Holds = std::function<bool(const std::vector<Place>& places, std::vector<char>& holds)>;

/// A stretch where it holds, as far as was looked: every sample from `from` to `to` holds, and so do both ends.
struct Stretch {
    double from = 0.0, to = 0.0;
    double before = 0.0, after = 0.0; ///< the nearest place below `from` and above `to` that was seen not to hold
    bool opensLow = false;            ///< it begins with the range itself
    bool opensHigh = false;           ///< it ends with the range itself
};

/// What a search over a range is to do: samples first, so that several stretches are seen, then each of their ends
/// narrowed down until it is known to `tolerance`.
struct Range {
    double from = 0.0, to = 0.0;
    std::size_t samples = 200; ///< steps between samples; one more place than that
    double tolerance = 0.0;
};

struct Found {
    std::vector<Stretch> stretches; ///< ascending
    std::size_t looked = 0;         ///< places asked about
};

/// Several searches at once, so that their places fill blocks. False when cancelled.
[[nodiscard]] bool findStretches(const std::vector<Range>& ranges, const Holds& holds, std::vector<Found>& found);

} // namespace spanwright::trial
