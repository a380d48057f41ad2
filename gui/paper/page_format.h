// SPDX-License-Identifier: MIT
#pragma once

#include <QRectF>
#include <QSizeF>

#include "engine/report/document.h"

namespace spanwright::paper {

/// Everything on paper is measured in these: fine enough that letters keep their widths, whole enough for fonts.
inline constexpr qreal kPerPoint = 20;
inline constexpr qreal kPerMillimetre = kPerPoint * 72 / 25.4;

[[nodiscard]] constexpr qreal points(qreal p) { return p * kPerPoint; }
[[nodiscard]] constexpr qreal millimetres(qreal mm) { return mm * kPerMillimetre; }

/// The paper, what is printed on, and the margin left free for remarks at its right.
struct PageFormat {
    report::PaperWriter::Size size = report::PaperWriter::Size::A4;
    bool largePrint = false; ///< to be read from a step away: no margin for remarks, and everything in larger letters

    [[nodiscard]] QSizeF paper() const {
        return size == report::PaperWriter::Size::A4 ? QSizeF(millimetres(210), millimetres(297)) : QSizeF(points(8.5 * 72), points(11 * 72));
    }
    /// Between the head line and the foot line of each page.
    [[nodiscard]] QRectF body() const {
        const QSizeF p = paper();
        return {millimetres(20), millimetres(14), p.width() - millimetres(20 + (largePrint ? 14 : 42)), p.height() - millimetres(14 + 13)};
    }
    /// How much larger than usual letters are.
    [[nodiscard]] qreal enlarged() const { return largePrint ? 1.7 : 1; }
    /// Where a reviewer writes; without width where there is no such place.
    [[nodiscard]] QRectF remarks() const {
        const QRectF b = body();
        if (largePrint) return {b.topRight(), QSizeF(0, b.height())};
        return {b.right() + millimetres(4), b.top(), paper().width() - b.right() - millimetres(4 + 6), b.height()};
    }
};

/// The three columns of a calculation.
struct Columns {
    qreal reference, calculation, result, gap;
    explicit Columns(qreal width) : reference(width * 0.17), calculation(0), result(width * 0.21), gap(points(8)) {
        calculation = width - reference - result - 2 * gap;
    }
    [[nodiscard]] qreal calculationLeft() const { return reference + gap; }
    [[nodiscard]] qreal resultLeft() const { return reference + gap + calculation + gap; }
};

} // namespace spanwright::paper
