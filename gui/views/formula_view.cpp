// SPDX-License-Identifier: MIT
#include "gui/views/formula_view.h"

#include <QEvent>
#include <QPainter>

#include <algorithm>
#include <cmath>

#include "gui/ink/palette.h"

namespace spanwright::views {

namespace {
constexpr int kGap = 8;
constexpr int kEdge = 2;
} // namespace

FormulaView::FormulaView(QWidget* parent) : QWidget(parent) {
    QSizePolicy policy(QSizePolicy::Expanding, QSizePolicy::Fixed);
    policy.setHeightForWidth(true);
    setSizePolicy(policy);
}

void FormulaView::setLines(std::vector<meaning::Box> lines, const QString& said) {
    const int before = m_width > 0 ? heightForWidth(m_width) : -1, width = m_width;
    m_lines = std::move(lines);
    m_width = -1;
    setAccessibleName(said);
    // What is as high as before moves nothing else in the panel.
    if (before < 0 || heightForWidth(width) != before) updateGeometry();
    update();
}

void FormulaView::lay(int width) const {
    if (width == m_width) return;
    m_width = width;
    m_laid.clear();
    for (const meaning::Box& line : m_lines) m_laid.emplace_back(line, font(), std::max(80, width - 2 * kEdge));
}

QSize FormulaView::sizeHint() const { return {320, heightForWidth(std::max(width(), 320))}; }

int FormulaView::heightForWidth(int width) const {
    lay(width);
    qreal height = 2 * kEdge;
    for (const ink::BoxLayout& l : m_laid) height += l.size().height() + kGap;
    return static_cast<int>(std::ceil(height));
}

void FormulaView::paintEvent(QPaintEvent*) {
    lay(width());
    const ink::Palette& p = ink::paletteOf(palette());
    QPainter painter(this);
    qreal y = kEdge;
    for (const ink::BoxLayout& l : m_laid) {
        const qreal room = width() - 2 * kEdge;
        painter.save();
        painter.translate(kEdge, y);
        // What cannot be broken and is still too wide is drawn smaller rather than cut.
        if (l.size().width() > room) painter.scale(room / l.size().width(), room / l.size().width());
        l.draw(painter, {}, p.pencil, p.softPencil);
        painter.restore();
        y += l.size().height() + kGap;
    }
}

void FormulaView::changeEvent(QEvent* event) {
    if (event->type() == QEvent::FontChange) {
        m_width = -1;
        updateGeometry();
    }
    QWidget::changeEvent(event);
}

} // namespace spanwright::views
