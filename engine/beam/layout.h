// SPDX-License-Identifier: MIT
#pragma once

#include <boost/container/small_vector.hpp>
#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "engine/beam/beam.h"

namespace spanwright::beam {

/// A few at a time: a line of two or three spans is solved at each of very many trial points, without asking for memory at every step.
template <class T> using Few = boost::container::small_vector<T, 8>;

/// A stretch between neighbouring supports, or between an end and its nearest support.
struct Segment {
    enum class Kind : std::uint8_t { LeftOverhang, Span, RightOverhang };
    Kind kind = Kind::Span;
    double left = 0.0, right = 0.0;
    /// The support at its left end, counted from the left; for a left overhang the one at its right end.
    std::size_t support = 0;
    [[nodiscard]] double length() const { return right - left; }
};

/// A checked line: supports from the left, loads inside the line, the places where something happens.
/// No position is rounded to another one, so two breaks may be one unit in the last place apart.
struct Layout {
    double from = 0.0, to = 0.0;
    Few<Support> supports;
    Few<Load> loads; ///< Line loads run from left to right
    Few<double> breaks;
    Few<Segment> segments; ///< from left, none of zero length

    [[nodiscard]] double length() const { return to - from; }
};

/// Positions outside the line by no more than this part of its length are taken to be its end.
inline constexpr double kOutsideSlack = 1e-12;
/// Supports nearer than this part of the line's length are one support stated twice.
inline constexpr double kCoincide = 1e-9;

/// Fills a new layout, or says why the line cannot be solved.
[[nodiscard]] std::optional<Problem> layOut(const Line& line, Layout& layout);

/// "1.25 m", for messages.
[[nodiscard]] std::string metres(double x);

} // namespace spanwright::beam
