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
/// What was found at many places.
struct Answers {
    std::vector<char> holds; ///< by place
    /// By place, or empty: a number that is at most 0 where it holds, above 0 where not, and about smooth between, such as the logarithm of
    /// a utilisation; NaN: none. The ends are guessed by it and by nothing else: where it holds is said by `holds`.
    std::vector<double> excess;
};
/// Answers for many places at once; false when it was cancelled.
using Holds = std::function<bool(const std::vector<Place>& places, Answers& answers)>;

/// A stretch where it holds, as far as was looked: every sample from `from` to `to` holds, and so do both ends.
struct Stretch {
    double from = 0.0, to = 0.0;
    double before = 0.0, after = 0.0; ///< the nearest place below `from` and above `to` that was seen not to hold
    bool opensLow = false;            ///< it begins with the range itself
    bool opensHigh = false;           ///< it ends with the range itself
};

/// What a search over a range is to do: every sample first, so that several stretches are seen, then each of their ends
/// narrowed down until it lies between a place that holds and one that does not, no further apart than `tolerance`.
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
