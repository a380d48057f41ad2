// SPDX-License-Identifier: MIT
#pragma once

#include <cstdint>
#include <string>
#include <variant>
#include <vector>

namespace spanwright::report {

/// A vector drawing in its own units (one unit is one CSS pixel at scale 1), y downwards. Ink on paper:
/// no colours, only line kinds and hatching, so that a copy in black and white loses nothing.
struct Drawing {
    struct Point {
        double x = 0, y = 0;
    };
    enum class Ink : std::uint8_t { Full, Faint };
    enum class Dash : std::uint8_t { Solid, Long, Short, Dots, LongShort };
    struct Polyline {
        std::vector<Point> points;
        Ink ink = Ink::Full;
        Dash dash = Dash::Solid;
        double width = 1.2;
    };
    /// A box; `hatched` fills it with pencil strokes.
    struct Rect {
        double x = 0, y = 0, width = 0, height = 0;
        bool hatched = false;
        Ink ink = Ink::Full;
    };
    struct Dot {
        Point at;
        double radius = 2.2;
    };
    /// Straight strokes side by side, as hatching: from ends[0] to ends[1], from ends[2] to ends[3] ...
    struct Strokes {
        std::vector<Point> ends;
        Ink ink = Ink::Full;
        double width = 0.7;
    };
    /// A small solid figure, such as the head of an arrow.
    struct Filled {
        std::vector<Point> points;
    };
    struct Text {
        Point at; ///< on the base line
        std::string text;
        enum class Anchor : std::uint8_t { Start, Middle, End } anchor = Anchor::Start;
        Ink ink = Ink::Full;
        double size = 11;
        double turned = 0; ///< degrees against the clock about `at`
    };
    using Shape = std::variant<Polyline, Rect, Dot, Text, Strokes, Filled>;

    double width = 0, height = 0;
    std::string title;         ///< what it shows, for who cannot see it
    std::vector<Shape> shapes; ///< in the order they are drawn
};

/// A stretch of a drawing's text: as it stands, or as a subscript of the one before.
struct TextRun {
    std::string text;
    bool below = false;
};
/// Names in a text as symbols: "l_b = 50 mm" is an l with a b below it. Words without an underscore stay words.
[[nodiscard]] std::vector<TextRun> runsOf(const std::string& text);
inline constexpr double kBelowSize = 0.74, kBelowDown = 0.22; ///< of a subscript, against the size of its text

} // namespace spanwright::report
