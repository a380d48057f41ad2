// SPDX-License-Identifier: MIT
#pragma once

#include <QAbstractScrollArea>

#include <memory>

#include "gui/paper/page_book.h"

namespace spanwright::app {

/// The pages below one another, as they will be printed. The wheel and the usual keys scroll; with Ctrl the wheel and plus and
/// minus make the pages larger or smaller.
class PaperView : public QAbstractScrollArea {
    Q_OBJECT

public:
    explicit PaperView(QWidget* parent = nullptr);
    void setBook(std::shared_ptr<const paper::PageBook> book);
    [[nodiscard]] const std::shared_ptr<const paper::PageBook>& book() const { return m_book; }
    /// The page in the middle of what is seen, the first being 1; 0 where there is none.
    [[nodiscard]] int page() const;
    void showPage(int page);
    /// Of the width there is; 1 fills it.
    void setZoom(qreal zoom);
    [[nodiscard]] qreal zoom() const { return m_zoom; }

Q_SIGNALS:
    void pageChanged(int page);

protected:
    void paintEvent(QPaintEvent* event) override;
    void resizeEvent(QResizeEvent* event) override;
    void keyPressEvent(QKeyEvent* event) override;
    void wheelEvent(QWheelEvent* event) override;
    void scrollContentsBy(int dx, int dy) override;

private:
    [[nodiscard]] QSizeF pageSize() const;
    [[nodiscard]] qreal step() const;
    void measure();
    void tell();
    std::shared_ptr<const paper::PageBook> m_book;
    qreal m_zoom = 1;
    int m_told = -1;
};

} // namespace spanwright::app
