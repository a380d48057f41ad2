// SPDX-License-Identifier: MIT
#include "gui/ink/drawing_paint.h"

#include <QFontMetricsF>
#include <QPainter>
#include <QTransform>

#include <algorithm>
#include <cmath>
#include <utility>
#include <vector>

namespace spanwright::ink {

namespace {

constexpr double kFaint = 0.55;
constexpr double kHatch = 5;
constexpr double kShortest = 0.01; ///< of its strokes
/// Letters are measured this much larger than they are drawn, so that their widths are those of the letters' outlines
/// and not those of dots.
constexpr double kFine = 16;

QFont fontOf(const report::Drawing::Text& t, QFont font) {
    font.setPixelSize(std::max(1, static_cast<int>(std::lround(t.size * kFine))));
    font.setHintingPreference(QFont::PreferNoHinting);
    return font;
}

/// A text in its runs: each with its font and where it begins, and how wide all are.
struct Runs {
    struct Run {
        QFont font;
        QString words;
        double left = 0, down = 0;
    };
    std::vector<Run> runs;
    double width = 0;
};

Runs laidOut(const report::Drawing::Text& t, const QFont& family) {
    Runs out;
    for (const report::TextRun& run : report::runsOf(t.text)) {
        report::Drawing::Text sized = t;
        if (run.below) sized.size *= report::kBelowSize;
        Runs::Run r{fontOf(sized, family), QString::fromStdString(run.text), out.width, run.below ? t.size * report::kBelowDown * kFine : 0};
        out.width += QFontMetricsF(r.font).horizontalAdvance(r.words);
        out.runs.push_back(std::move(r));
    }
    return out;
}

double leftOf(const report::Drawing::Text& t, double width) {
    switch (t.anchor) {
    case report::Drawing::Text::Anchor::Start: return 0;
    case report::Drawing::Text::Anchor::Middle: return -width / 2;
    case report::Drawing::Text::Anchor::End: return -width;
    }
    return 0;
}

QColor inked(QColor ink, report::Drawing::Ink how) {
    if (how == report::Drawing::Ink::Faint) ink.setAlphaF(static_cast<float>(ink.alphaF() * kFaint));
    return ink;
}

QPen penFor(const QColor& ink, double width, report::Drawing::Dash dash) {
    QPen pen(ink, width);
    pen.setCapStyle(Qt::FlatCap);
    // In pixels as on paper; a pen counts in widths.
    const auto pattern = [&](std::initializer_list<double> pixels) {
        QList<qreal> lengths;
        for (const double p : pixels) lengths.append(p / std::max(width, 0.1));
        pen.setDashPattern(lengths);
    };
    using Dash = report::Drawing::Dash;
    switch (dash) {
    case Dash::Solid: break;
    case Dash::Long: pattern({9, 4}); break;
    case Dash::Short: pattern({4, 3}); break;
    case Dash::Dots: pattern({1.5, 3}); break;
    case Dash::LongShort: pattern({9, 3, 2, 3}); break;
    }
    return pen;
}

QPolygonF polygon(const std::vector<report::Drawing::Point>& points) {
    QPolygonF out;
    for (const auto& p : points) out.append(QPointF(p.x, p.y));
    return out;
}

struct Painting {
    QPainter& p;
    QColor ink;

    void operator()(const report::Drawing::Polyline& l) const {
        p.setBrush(Qt::NoBrush);
        p.setPen(penFor(inked(ink, l.ink), l.width, l.dash));
        p.drawPolyline(polygon(l.points));
    }
    void operator()(const report::Drawing::Rect& r) const {
        p.setBrush(Qt::NoBrush);
        if (!r.hatched) {
            p.setPen(QPen(inked(ink, r.ink), 1.0));
            p.drawRect(QRectF(r.x, r.y, r.width, r.height));
            return;
        }
        // Strokes of their own: a brush's pattern is as fine as the device's dots.
        p.setPen(penFor(inked(ink, r.ink), 0.8, report::Drawing::Dash::Solid));
        for (double k = kHatch * std::ceil((r.x + r.y) / kHatch); k <= r.x + r.width + r.y + r.height; k += kHatch) {
            const double left = std::max(r.x, k - r.y - r.height), right = std::min(r.x + r.width, k - r.y);
            // At a corner a stroke has no length, whatever sums are rounded to: a path without a line is no sound PDF.
            if (right - left > kShortest) p.drawLine(QPointF(left, k - left), QPointF(right, k - right));
        }
    }
    void operator()(const report::Drawing::Dot& d) const {
        p.setPen(Qt::NoPen);
        p.setBrush(ink);
        p.drawEllipse(QPointF(d.at.x, d.at.y), d.radius, d.radius);
    }
    void operator()(const report::Drawing::Strokes& s) const {
        p.setPen(penFor(inked(ink, s.ink), s.width, report::Drawing::Dash::Solid));
        for (std::size_t i = 0; i + 1 < s.ends.size(); i += 2) p.drawLine(QPointF(s.ends[i].x, s.ends[i].y), QPointF(s.ends[i + 1].x, s.ends[i + 1].y));
    }
    void operator()(const report::Drawing::Filled& f) const {
        p.setPen(Qt::NoPen);
        p.setBrush(ink);
        p.drawPolygon(polygon(f.points));
    }
    void operator()(const report::Drawing::Text& t) const {
        const Runs laid = laidOut(t, p.font());
        p.save();
        p.setPen(inked(ink, t.ink));
        p.translate(t.at.x, t.at.y);
        p.rotate(-t.turned);
        p.scale(1 / kFine, 1 / kFine);
        const double left = leftOf(t, laid.width);
        for (const Runs::Run& run : laid.runs) {
            p.setFont(run.font);
            p.drawText(QPointF(left + run.left, run.down), run.words);
        }
        p.restore();
    }
};

} // namespace

void paintDrawing(QPainter& painter, const report::Drawing& drawing, const QColor& ink) {
    for (const report::Drawing::Shape& shape : drawing.shapes) std::visit(Painting{painter, ink}, shape);
}

QRectF textExtent(const report::Drawing::Text& text, const QFont& family) {
    const QFontMetricsF fm(fontOf(text, family));
    const double width = laidOut(text, family).width;
    QTransform turn;
    turn.translate(text.at.x, text.at.y);
    turn.rotate(-text.turned);
    turn.scale(1 / kFine, 1 / kFine);
    return turn.mapRect(QRectF(leftOf(text, width), -fm.ascent(), width, fm.ascent() + fm.descent()));
}

} // namespace spanwright::ink
