// SPDX-License-Identifier: MIT
#pragma once

#include <string>
#include <vector>

#include "engine/report/drawing.h"

/// Plane geometry of sketches on paper (pixels, y downwards).
namespace spanwright::report {

using PaperPoint = Drawing::Point;

struct PaperBox {
    double left = 0, top = 0, right = 0, bottom = 0;
    [[nodiscard]] bool meets(const PaperBox& o) const { return left < o.right && o.left < right && top < o.bottom && o.top < bottom; }
    [[nodiscard]] bool meets(PaperPoint a, PaperPoint b) const;
    void take(PaperPoint p);
    void take(const PaperBox& o);
};

/// Strokes at `degrees` (against the clock) about `spacing` apart that fill a closed polygon, by the even-odd rule,
/// with the boxes left free for texts. Pairs of ends. The spacing varies a little, the same way every time.
[[nodiscard]] std::vector<PaperPoint> hatchStrokes(const std::vector<PaperPoint>& polygon, double degrees, double spacing, const std::vector<PaperBox>& free);

/// Room that a text of that size takes, centred at `centre`, turned by so many degrees.
[[nodiscard]] PaperBox textBox(const std::string& text, double size, PaperPoint centre, double turned);

} // namespace spanwright::report
