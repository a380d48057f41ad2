// SPDX-License-Identifier: MIT
#pragma once

#include <vector>

#include "engine/report/document.h"
#include "gui/paper/strip.h"
#include "gui/paper/types.h"

namespace spanwright::paper {

/// One line of words, formulas and boxed words; marks are relative to its top left corner.
struct SetLine {
    std::vector<Mark> marks;
    qreal width = 0, height = 0, base = 0;
};

struct LineStyle {
    qreal size = 8; ///< points
    Voice voice = Voice::Plain;
    bool italic = false;
    qreal hang = 0; ///< how far lines after the first are set in
};

/// Sets a line of a document in lines no wider than `width`: broken at blanks, and within a word only where the word alone is
/// too wide. Formulas that are too wide are set smaller.
[[nodiscard]] std::vector<SetLine> setLines(Types& types, const report::Inlines& words, qreal width, const LineStyle& style);
/// The width of the longest line that is not broken at all, and of the widest piece that cannot be broken at a blank.
struct Widths {
    qreal whole = 0, least = 0;
};
[[nodiscard]] Widths widthsOf(Types& types, const report::Inlines& words, const LineStyle& style);
/// Lines moved by `x` as strips, so that no page ends behind a first line or begins with a last one.
[[nodiscard]] Strips stripsOf(std::vector<SetLine> lines, qreal x, qreal above);

} // namespace spanwright::paper
