// SPDX-License-Identifier: MIT
#pragma once

#include <QPainter>
#include <QStyledItemDelegate>

#include "gui/ink/palette.h"

namespace spanwright::views {

/// A row of a list, drawn by ourselves: its ground, what is on it, and a frame where the keys are.
class RowDelegate : public QStyledItemDelegate {
public:
    /// `lines`: how high a row is, in lines of its letters.
    RowDelegate(double lines, QObject* parent) : QStyledItemDelegate(parent), m_lines(lines) {}

    void paint(QPainter* painter, const QStyleOptionViewItem& option, const QModelIndex& index) const final {
        const ink::Palette& p = ink::paletteOf(option.palette);
        painter->save();
        const bool current = (option.state & (QStyle::State_Selected | QStyle::State_MouseOver)) != 0;
        painter->fillRect(option.rect, current ? p.card : p.paper);
        draw(*painter, option, index, p);
        if ((option.state & QStyle::State_HasFocus) != 0) {
            painter->setBrush(Qt::NoBrush);
            painter->setPen(QPen(p.sepia, 2));
            painter->drawRect(option.rect.adjusted(1, 1, -1, -1));
        }
        painter->restore();
    }
    [[nodiscard]] QSize sizeHint(const QStyleOptionViewItem& option, const QModelIndex&) const override {
        return {120, static_cast<int>(QFontMetricsF(option.font).height() * m_lines)};
    }

protected:
    virtual void draw(QPainter& painter, const QStyleOptionViewItem& option, const QModelIndex& index, const ink::Palette& p) const = 0;
    /// Words from `x` to `right`, shortened where they are longer; gives where they end.
    static qreal words(QPainter& painter, const QRectF& row, qreal x, const QString& text, const QFont& font, const QColor& ink) {
        if (x >= row.right()) return x;
        painter.setFont(font);
        painter.setPen(ink);
        const QFontMetricsF m(font);
        const QString shown = m.elidedText(text, Qt::ElideRight, row.right() - x);
        painter.drawText(QRectF(x, row.top(), row.right() - x, row.height()), Qt::AlignLeft | Qt::AlignVCenter, shown);
        return x + m.horizontalAdvance(shown);
    }

private:
    double m_lines;
};

} // namespace spanwright::views
