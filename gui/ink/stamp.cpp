// SPDX-License-Identifier: MIT
#include "gui/ink/stamp.h"

#include <QFontMetricsF>
#include <QPainter>

#include <algorithm>
#include <cmath>

namespace spanwright::ink {

namespace {

constexpr qreal kPad = 5;
constexpr qreal kHatch = 9; ///< width of the hatching at each end of a word

/// Strokes and gaps grow with the letters.
qreal unitOf(const QFontMetricsF& fm) { return std::max<qreal>(1, std::floor(fm.height() / 14)); }
qreal hatchWidth(Stamp s) { return s == Stamp::Ok || s == Stamp::None ? 0 : kHatch; }

void strokes(QPainter& painter, const QRectF& r, qreal width, qreal step, bool crossed, const QColor& color) {
    painter.save();
    painter.setClipRect(r, Qt::IntersectClip);
    painter.setPen(QPen(color, width));
    for (qreal x = r.left() - r.height(); x < r.right(); x += step) {
        painter.drawLine(QPointF(x, r.bottom()), QPointF(x + r.height() * 0.6, r.top()));
        if (crossed) painter.drawLine(QPointF(x, r.top()), QPointF(x + r.height() * 0.6, r.bottom()));
    }
    painter.restore();
}

} // namespace

Stamp stampOf(job::Verdict verdict) {
    switch (verdict) {
    case job::Verdict::Ok: return Stamp::Ok;
    case job::Verdict::Fails: return Stamp::Fails;
    case job::Verdict::NotProven: return Stamp::NotProven;
    case job::Verdict::NotComputed: return Stamp::NotComputed;
    }
    return Stamp::NotComputed;
}

Stamp stampOf(job::CheckView::State state) {
    switch (state) {
    case job::CheckView::State::Passes: return Stamp::Ok;
    case job::CheckView::State::Fails: return Stamp::Fails;
    case job::CheckView::State::NotProven: return Stamp::NotProven;
    case job::CheckView::State::NotComputed: return Stamp::NotComputed;
    case job::CheckView::State::NotApplicable: return Stamp::None;
    }
    return Stamp::NotComputed;
}

Stamp stampOf(report::Stamp stamp) {
    switch (stamp) {
    case report::Stamp::Ok: return Stamp::Ok;
    case report::Stamp::Fails: return Stamp::Fails;
    case report::Stamp::NotProven: return Stamp::NotProven;
    case report::Stamp::NotComputed: return Stamp::NotComputed;
    case report::Stamp::NotApplicable: return Stamp::None;
    }
    return Stamp::NotComputed;
}

QSizeF stampSize(const QFont& font, const QString& word, Stamp stamp) {
    const QFontMetricsF fm(font);
    const qreal u = unitOf(fm);
    return {std::ceil(fm.horizontalAdvance(word) + 2 * u * kPad + 2 * u * hatchWidth(stamp)), std::ceil(fm.height() + 4 * u)};
}

QRectF drawStamp(QPainter& painter, const QRectF& place, const QFont& font, const QString& word, Stamp stamp, const Palette& palette) {
    const QSizeF size = stampSize(font, word, stamp);
    QRectF box(QPointF(place.right() - size.width(), place.center().y() - size.height() / 2), size);
    box = QRectF(std::round(box.x()) + 0.5, std::round(box.y()) + 0.5, box.width() - 1, box.height() - 1);
    painter.save();
    painter.setRenderHint(QPainter::Antialiasing);
    painter.setFont(font);
    painter.setBrush(Qt::NoBrush);
    const qreal u = unitOf(QFontMetricsF(font)), w = u * hatchWidth(stamp);
    const QRectF left(box.left() + u, box.top() + u, w, box.height() - 2 * u), right(box.right() - w - u, box.top() + u, w, box.height() - 2 * u);
    switch (stamp) {
    case Stamp::Ok:
        painter.setPen(QPen(palette.pencil, u));
        painter.drawRect(box);
        break;
    case Stamp::Fails:
        for (const QRectF& end : {left, right}) strokes(painter, end, 2.2 * u, 5 * u, false, palette.pencil);
        painter.setPen(QPen(palette.pencil, 1.2 * u));
        painter.drawRect(box);
        painter.drawRect(box.adjusted(2.5 * u, 2.5 * u, -2.5 * u, -2.5 * u));
        break;
    case Stamp::NotProven:
        for (const QRectF& end : {left, right}) strokes(painter, end, u, 4 * u, false, palette.pencil);
        painter.setPen(QPen(palette.pencil, 1.2 * u, Qt::DashLine));
        painter.drawRect(box);
        break;
    case Stamp::NotComputed:
        for (const QRectF& end : {left, right}) strokes(painter, end, u, 5 * u, true, palette.pencil);
        painter.setPen(QPen(palette.pencil, 1.4 * u, Qt::DotLine));
        painter.drawRect(box);
        break;
    case Stamp::None: break;
    }
    painter.setPen(stamp == Stamp::None ? palette.softPencil : palette.pencil);
    painter.drawText(box, Qt::AlignCenter, word);
    painter.restore();
    return box;
}

void drawRuler(QPainter& painter, const QRectF& place, double utilisation, const Palette& palette) {
    if (!std::isfinite(utilisation)) return;
    // The ruler ends a third past 1, so that a little too much can be seen as such.
    constexpr double kEnd = 1.33;
    painter.save();
    painter.setRenderHint(QPainter::Antialiasing);
    const qreal y = std::round(place.bottom()) - 1.5, tall = std::max<qreal>(3, place.height() - 2);
    const auto at = [&](double u) { return place.left() + place.width() * std::clamp(u, 0.0, kEnd) / kEnd; };
    painter.setPen(QPen(palette.softPencil, 1));
    painter.drawLine(QPointF(place.left(), y), QPointF(place.right(), y));
    for (const double tick : {0.0, 0.5, 1.0}) painter.drawLine(QPointF(at(tick), y), QPointF(at(tick), y - tall));
    painter.setPen(QPen(palette.pencil, 2.4, Qt::SolidLine, Qt::FlatCap));
    const qreal middle = y - tall / 2;
    painter.drawLine(QPointF(at(0), middle), QPointF(at(std::min(utilisation, 1.0)), middle));
    if (utilisation > 1) strokes(painter, QRectF(at(1.0) + 1, y - tall, at(utilisation) - at(1.0), tall), 1.4, 3, false, palette.pencil);
    painter.restore();
}

} // namespace spanwright::ink
