// SPDX-License-Identifier: MIT
#include "gui/views/drawing_view.h"

#include <QPainter>

#include <algorithm>
#include <cmath>

#include "gui/models/text.h"
#include "gui/views/palette.h"

namespace spanwright::views {

namespace {

constexpr double kLargest = 1.6; ///< of the size on paper
constexpr double kFaint = 0.55;

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
        p.setPen(r.hatched ? QPen(Qt::NoPen) : QPen(inked(ink, r.ink), 1.0));
        p.setBrush(r.hatched ? QBrush(ink, Qt::BDiagPattern) : QBrush(Qt::NoBrush));
        p.drawRect(QRectF(r.x, r.y, r.width, r.height));
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
        QFont font = p.font();
        font.setPixelSize(std::max(1, static_cast<int>(std::lround(t.size))));
        const QString words = models::fromUtf8(t.text);
        const double width = QFontMetricsF(font).horizontalAdvance(words);
        const double left = t.anchor == report::Drawing::Text::Anchor::Start ? 0.0 : t.anchor == report::Drawing::Text::Anchor::Middle ? -width / 2 : -width;
        p.save();
        p.setFont(font);
        p.setPen(inked(ink, t.ink));
        p.translate(t.at.x, t.at.y);
        p.rotate(-t.turned);
        p.drawText(QPointF(left, 0), words);
        p.restore();
    }
};

} // namespace

void paintDrawing(QPainter& painter, const report::Drawing& drawing, const QColor& ink) {
    for (const report::Drawing::Shape& shape : drawing.shapes) std::visit(Painting{painter, ink}, shape);
}

DrawingView::DrawingView(QWidget* parent) : QWidget(parent) {
    QSizePolicy policy(QSizePolicy::Expanding, QSizePolicy::Fixed);
    policy.setHeightForWidth(true);
    setSizePolicy(policy);
}

void DrawingView::setDrawing(report::Drawing drawing, const QString& caption) {
    m_drawing = std::move(drawing);
    m_caption = caption;
    QString said = caption;
    for (const report::Drawing::Shape& s : m_drawing.shapes)
        if (const auto* t = std::get_if<report::Drawing::Text>(&s)) said += QLatin1String("; ") + models::fromUtf8(t->text);
    setAccessibleName(said);
    updateGeometry();
    update();
}

double DrawingView::scaleFor(int width) const { return m_drawing.width > 0 ? std::min(kLargest, width / m_drawing.width) : 1.0; }

int DrawingView::captionHeight(int width) const {
    return fontMetrics().boundingRect(QRect(0, 0, std::max(width, 1), 10'000), Qt::TextWordWrap, m_caption).height() + 4;
}

int DrawingView::heightForWidth(int width) const { return static_cast<int>(std::ceil(m_drawing.height * scaleFor(width))) + captionHeight(width); }

QSize DrawingView::sizeHint() const {
    const int width = static_cast<int>(std::ceil(m_drawing.width));
    return {width, heightForWidth(width)};
}

void DrawingView::paintEvent(QPaintEvent*) {
    QPainter p(this);
    p.setRenderHint(QPainter::Antialiasing);
    const double scale = scaleFor(width());
    p.save();
    p.scale(scale, scale);
    paintDrawing(p, m_drawing, paletteOf(palette()).pencil);
    p.restore();
    const int top = static_cast<int>(std::ceil(m_drawing.height * scale));
    QFont font = this->font();
    font.setItalic(true);
    p.setFont(font);
    p.setPen(paletteOf(palette()).pencil);
    p.drawText(QRect(0, top, width(), captionHeight(width())), Qt::TextWordWrap, m_caption);
}

} // namespace spanwright::views
