// SPDX-License-Identifier: MIT
#pragma once

#include <QColor>
#include <QFont>
#include <QRectF>

#include "engine/report/drawing.h"

class QPainter;

namespace spanwright::ink {

/// Paints a drawing with its upper left corner at the painter's origin, one unit a pixel. Letters keep their proportions
/// at any scale of the painter; they are of the painter's font family.
void paintDrawing(QPainter& painter, const report::Drawing& drawing, const QColor& ink);
/// What a text of a drawing covers, in the drawing's units, with the painter's family; turned texts as the box around them.
[[nodiscard]] QRectF textExtent(const report::Drawing::Text& text, const QFont& family);

} // namespace spanwright::ink
