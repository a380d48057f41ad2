// SPDX-License-Identifier: MIT
#pragma once

#include <QFont>
#include <QRectF>
#include <QSizeF>
#include <QString>

#include "engine/job/verdict.h"
#include "engine/report/document.h"
#include "gui/ink/palette.h"

class QPainter;

namespace spanwright::ink {

/// A verdict as a boxed word: box and hatching tell the verdicts apart without any colour.
enum class Stamp : std::uint8_t { Ok, Fails, NotProven, NotComputed, None /* soft words without a box */ };

[[nodiscard]] Stamp stampOf(job::Verdict verdict);
[[nodiscard]] Stamp stampOf(job::CheckView::State state);
[[nodiscard]] Stamp stampOf(report::Stamp stamp);
[[nodiscard]] QSizeF stampSize(const QFont& font, const QString& word, Stamp stamp);
/// Drawn with its right edge and vertical middle where those of `place` are; gives what it covers.
QRectF drawStamp(QPainter& painter, const QRectF& place, const QFont& font, const QString& word, Stamp stamp, const Palette& palette);
/// A thin line with ticks at 0, 0.5 and 1, and on it a stroke as long as the utilisation, hatched where it passes 1.
void drawRuler(QPainter& painter, const QRectF& place, double utilisation, const Palette& palette);

} // namespace spanwright::ink
