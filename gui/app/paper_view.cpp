// SPDX-License-Identifier: MIT
#include "gui/app/paper_view.h"

#include <QKeyEvent>
#include <QPainter>
#include <QScrollBar>
#include <QWheelEvent>

#include <algorithm>
#include <cmath>

#include "gui/ink/palette.h"

namespace spanwright::app {

namespace {
constexpr int kGap = 14; ///< around each page
} // namespace

PaperView::PaperView(QWidget* parent) : QAbstractScrollArea(parent) {
    setFocusPolicy(Qt::StrongFocus);
    setAccessibleName(tr("Pages as they will be printed"));
    horizontalScrollBar()->setAccessibleName(tr("Across the page"));
    verticalScrollBar()->setAccessibleName(tr("Through the pages"));
    viewport()->setAccessibleName(tr("Pages"));
    setMinimumSize(320, 320);
}

void PaperView::setBook(std::shared_ptr<const paper::PageBook> book) {
    const int before = page();
    m_book = std::move(book);
    measure();
    showPage(std::max(1, std::min(before, m_book ? m_book->pageCount() : 0)));
    m_told = -1;
    tell();
    viewport()->update();
}

QSizeF PaperView::pageSize() const {
    if (!m_book) return {};
    const QSizeF paper = m_book->format().paper();
    const qreal width = std::max<qreal>(80, (viewport()->width() - 2 * kGap) * m_zoom);
    return {width, width * paper.height() / paper.width()};
}

qreal PaperView::step() const { return pageSize().height() + kGap; }

void PaperView::measure() {
    const QSizeF size = pageSize();
    const int pages = m_book ? m_book->pageCount() : 0;
    verticalScrollBar()->setPageStep(viewport()->height());
    verticalScrollBar()->setSingleStep(std::max(16, fontMetrics().height() * 2));
    verticalScrollBar()->setRange(0, std::max(0, static_cast<int>(std::ceil(step() * pages + kGap)) - viewport()->height()));
    horizontalScrollBar()->setPageStep(viewport()->width());
    horizontalScrollBar()->setRange(0, std::max(0, static_cast<int>(std::ceil(size.width())) + 2 * kGap - viewport()->width()));
}

int PaperView::page() const {
    if (!m_book || m_book->pageCount() == 0) return 0;
    const qreal middle = verticalScrollBar()->value() + viewport()->height() / 2.0;
    return std::clamp(static_cast<int>(middle / step()) + 1, 1, m_book->pageCount());
}

void PaperView::showPage(int page) {
    if (m_book) verticalScrollBar()->setValue(static_cast<int>(step() * (std::clamp(page, 1, std::max(1, m_book->pageCount())) - 1)));
}

void PaperView::setZoom(qreal zoom) {
    const int before = page();
    m_zoom = std::clamp(zoom, 0.3, 4.0);
    measure();
    showPage(before);
    viewport()->update();
}

void PaperView::paintEvent(QPaintEvent*) {
    QPainter painter(viewport());
    const ink::Palette& p = ink::paletteOf(palette());
    painter.fillRect(viewport()->rect(), p.rule);
    if (!m_book) return;
    const QSizeF size = pageSize();
    const qreal scale = size.width() / m_book->format().paper().width();
    const qreal left = std::max<qreal>(kGap, (viewport()->width() - size.width()) / 2) - horizontalScrollBar()->value();
    const int top = verticalScrollBar()->value();
    for (int i = std::max(0, static_cast<int>(top / step()) - 1); i < m_book->pageCount(); ++i) {
        const QRectF place(left, kGap + step() * i - top, size.width(), size.height());
        if (place.top() > viewport()->height()) break;
        // Paper is white, and what is printed on it black, whatever the window looks like.
        painter.fillRect(place, Qt::white);
        painter.save();
        painter.setClipRect(place);
        painter.setRenderHint(QPainter::Antialiasing);
        painter.translate(place.topLeft());
        painter.scale(scale, scale);
        m_book->paint(painter, i);
        painter.restore();
    }
    if (hasFocus()) {
        painter.setPen(QPen(p.sepia, 2));
        painter.drawRect(viewport()->rect().adjusted(1, 1, -1, -1));
    }
}

void PaperView::resizeEvent(QResizeEvent*) {
    const int before = page();
    measure();
    showPage(before);
}

void PaperView::scrollContentsBy(int, int) {
    viewport()->update();
    tell();
}

void PaperView::tell() {
    if (page() == m_told) return;
    m_told = page();
    setAccessibleDescription(m_book ? tr("page %1 of %2").arg(m_told).arg(m_book->pageCount()) : QString());
    Q_EMIT pageChanged(m_told);
}

void PaperView::keyPressEvent(QKeyEvent* event) {
    const auto move = [&](QAbstractSlider::SliderAction action) { verticalScrollBar()->triggerAction(action); };
    switch (event->key()) {
    case Qt::Key_PageDown: showPage(page() + 1); return;
    case Qt::Key_PageUp: showPage(page() - 1); return;
    case Qt::Key_Home: move(QAbstractSlider::SliderToMinimum); return;
    case Qt::Key_End: move(QAbstractSlider::SliderToMaximum); return;
    case Qt::Key_Down: move(QAbstractSlider::SliderSingleStepAdd); return;
    case Qt::Key_Up: move(QAbstractSlider::SliderSingleStepSub); return;
    default: break;
    }
    if (event->matches(QKeySequence::ZoomIn) || event->key() == Qt::Key_Plus)
        setZoom(m_zoom * 1.2);
    else if (event->matches(QKeySequence::ZoomOut) || event->key() == Qt::Key_Minus)
        setZoom(m_zoom / 1.2);
    else
        QAbstractScrollArea::keyPressEvent(event);
}

void PaperView::wheelEvent(QWheelEvent* event) {
    if ((event->modifiers() & Qt::ControlModifier) == 0) {
        QAbstractScrollArea::wheelEvent(event);
        return;
    }
    setZoom(m_zoom * (event->angleDelta().y() > 0 ? 1.2 : 1 / 1.2));
}

} // namespace spanwright::app
