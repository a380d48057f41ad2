// SPDX-License-Identifier: MIT
#include "gui/views/drawing_view.h"

#include <QEvent>
#include <QFontInfo>
#include <QLineF>
#include <QPainter>

#include <algorithm>
#include <cmath>
#include <iterator>
#include <vector>

#include "gui/ink/drawing_paint.h"
#include "gui/ink/palette.h"
#include "gui/models/text.h"

namespace spanwright::views {

using report::Drawing;

namespace {

constexpr double kLargest = 1.6;     ///< of the size on paper
constexpr double kMostLetters = 2.2; ///< of their size on paper, against the lines

/// Measured and painted with the same letters: slanted ones may need another line.
QFont captionFont(QFont font) {
    font.setItalic(true);
    return font;
}

/// Lines that a text had better not fall on: hatching and grounds are none.
std::vector<QLineF> linesOf(const Drawing& drawing) {
    std::vector<QLineF> out;
    const auto point = [](const Drawing::Point& p) { return QPointF(p.x, p.y); };
    for (const Drawing::Shape& shape : drawing.shapes)
        if (const auto* line = std::get_if<Drawing::Polyline>(&shape))
            for (std::size_t i = 1; i < line->points.size(); ++i) out.emplace_back(point(line->points[i - 1]), point(line->points[i]));
    return out;
}

/// Within the middle of the text: its box has room above and below the letters.
bool crosses(const QRectF& text, const QLineF& line) {
    const QRectF core = text.adjusted(0, text.height() * 0.15, 0, -text.height() * 0.15);
    if (core.contains(line.p1()) || core.contains(line.p2())) return true;
    const QLineF sides[] = {
        {core.topLeft(), core.topRight()}, {core.topRight(), core.bottomRight()}, {core.bottomRight(), core.bottomLeft()}, {core.bottomLeft(), core.topLeft()}};
    return std::any_of(std::begin(sides), std::end(sides), [&](const QLineF& side) { return side.intersects(line, nullptr) == QLineF::BoundedIntersection; });
}

} // namespace

DrawingView::DrawingView(QWidget* parent) : QWidget(parent) {
    QSizePolicy policy(QSizePolicy::Expanding, QSizePolicy::Fixed);
    policy.setHeightForWidth(true);
    setSizePolicy(policy);
}

void DrawingView::setDrawing(report::Drawing drawing, const QString& caption) {
    m_drawing = std::move(drawing);
    m_fittedFor = -1;
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
    return QFontMetrics(captionFont(font())).boundingRect(QRect(0, 0, std::max(width, 1), 10'000), Qt::TextWordWrap, m_caption).height() + 4;
}

int DrawingView::heightForWidth(int width) const { return static_cast<int>(std::ceil(m_drawing.height * scaleFor(width))) + captionHeight(width); }

QSize DrawingView::sizeHint() const {
    const int width = static_cast<int>(std::ceil(m_drawing.width));
    return {width, heightForWidth(width)};
}

void DrawingView::fitLetters() {
    if (m_fittedFor == width()) return;
    m_fittedFor = width();
    m_fitted = m_drawing;
    m_letters = 1;
    std::vector<Drawing::Text*> texts;
    double size = 0;
    for (Drawing::Shape& s : m_fitted.shapes)
        if (auto* t = std::get_if<Drawing::Text>(&s)) {
            texts.push_back(t);
            size = std::max(size, t->size);
        }
    const double scale = scaleFor(width());
    if (texts.empty() || size <= 0 || scale <= 0) return;
    const double wanted = std::min(kMostLetters, QFontInfo(ink::smallFont(font())).pixelSize() / (size * scale));
    if (wanted <= 1) return;
    const std::vector<QLineF> lines = linesOf(m_fitted);
    const QRectF whole(0, 0, m_drawing.width, m_drawing.height);
    std::vector<QRectF> before, now;
    for (const Drawing::Text* t : texts) before.push_back(ink::textExtent(*t, font()));
    now = before;
    const auto fits = [&](std::size_t i) {
        if (!whole.contains(now[i]) && whole.contains(before[i])) return false;
        for (std::size_t j = 0; j < texts.size(); ++j)
            if (j != i && now[i].intersects(now[j]) && !before[i].intersects(before[j])) return false;
        return std::none_of(lines.begin(), lines.end(), [&](const QLineF& l) { return crosses(now[i], l) && !crosses(before[i], l); });
    };
    m_letters = wanted;
    for (std::size_t i = 0; i < texts.size(); ++i) {
        const double asGiven = texts[i]->size;
        double by = wanted;
        for (; by > 1.02; by -= 0.06) {
            texts[i]->size = asGiven * by;
            now[i] = ink::textExtent(*texts[i], font());
            if (fits(i)) break;
        }
        if (by <= 1.02) {
            by = 1;
            texts[i]->size = asGiven;
            now[i] = before[i];
        }
        m_letters = std::min(m_letters, by);
    }
}

void DrawingView::changeEvent(QEvent* event) {
    if (event->type() == QEvent::FontChange) {
        m_fittedFor = -1;
        updateGeometry();
        update();
    }
    QWidget::changeEvent(event);
}

void DrawingView::paintEvent(QPaintEvent*) {
    QPainter p(this);
    p.setRenderHint(QPainter::Antialiasing);
    const double scale = scaleFor(width());
    p.save();
    p.scale(scale, scale);
    fitLetters();
    ink::paintDrawing(p, m_fitted, ink::paletteOf(palette()).pencil);
    p.restore();
    const int top = static_cast<int>(std::ceil(m_drawing.height * scale));
    p.setFont(captionFont(font()));
    p.setPen(ink::paletteOf(palette()).pencil);
    p.drawText(QRect(0, top, width(), captionHeight(width())), Qt::TextWordWrap, m_caption);
}

} // namespace spanwright::views
