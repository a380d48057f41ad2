// SPDX-License-Identifier: MIT
#pragma once

#include <QColor>
#include <QFont>
#include <QRectF>
#include <QString>

class QLabel;
class QPainter;

namespace spanwright::views {

/// A text whose names stand between backticks as one in which they are typeset as symbols; nothing else of it is taken for markup.
[[nodiscard]] QString richWords(const QString& written);
/// Shows it in a label, which is hidden when there is nothing to say.
void sayWords(QLabel& label, const QString& written);
/// Paints it into a place, in lines as wide as that, in the middle of its height.
void drawWords(QPainter& painter, const QRectF& place, const QFont& font, const QColor& ink, const QString& written);
/// How high it is in lines of that width.
[[nodiscard]] qreal heightOfWords(const QFont& font, qreal width, const QString& written);

} // namespace spanwright::views
