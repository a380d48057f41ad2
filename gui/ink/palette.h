// SPDX-License-Identifier: MIT
#pragma once

#include <QColor>
#include <QFont>
#include <QPalette>

namespace spanwright::ink {

/// Paper and pencil, as gui/README.md writes it down. No colour says what only a colour says.
struct Palette {
    QColor paper, card, rule, pencil, softPencil, sepia;
    bool dark = false;
};

[[nodiscard]] const Palette& lightPalette();
[[nodiscard]] const Palette& darkPalette();
/// Ours that goes with a widget's own: dark ground, dark palette.
[[nodiscard]] const Palette& paletteOf(const QPalette& palette);
/// What the application's widgets are told.
[[nodiscard]] QPalette widgetPalette(const Palette& ours);

/// The same font, smaller: for units, sources, words in boxes.
[[nodiscard]] QFont smallFont(const QFont& font);

} // namespace spanwright::ink
