// SPDX-License-Identifier: MIT
#include "gui/views/drawing_view.h"

#include <QPainter>

#include <algorithm>
#include <cmath>

#include "gui/ink/drawing_paint.h"
#include "gui/ink/palette.h"
#include "gui/models/text.h"

namespace spanwright::views {

namespace {

constexpr double kLargest = 1.6; ///< of the size on paper

/// Measured and painted with the same letters: slanted ones may need another line.
QFont captionFont(QFont font) {
    font.setItalic(true);
    return font;
}
} // namespace

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
    return QFontMetrics(captionFont(font())).boundingRect(QRect(0, 0, std::max(width, 1), 10'000), Qt::TextWordWrap, m_caption).height() + 4;
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
    ink::paintDrawing(p, m_drawing, ink::paletteOf(palette()).pencil);
    p.restore();
    const int top = static_cast<int>(std::ceil(m_drawing.height * scale));
    p.setFont(captionFont(font()));
    p.setPen(ink::paletteOf(palette()).pencil);
    p.drawText(QRect(0, top, width(), captionHeight(width())), Qt::TextWordWrap, m_caption);
}

} // namespace spanwright::views
