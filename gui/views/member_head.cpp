// SPDX-License-Identifier: MIT
#include "gui/views/member_head.h"

#include <QPainter>

#include "gui/ink/palette.h"
#include "gui/ink/stamp.h"
#include "gui/models/grid_model.h"

namespace spanwright::views {

using models::GridModel;

MemberHead::MemberHead(QWidget* parent) : QHeaderView(Qt::Horizontal, parent) {
    setSectionsClickable(true);
    setHighlightSections(false);
    setMinimumSectionSize(60);
}

QSize MemberHead::sizeHint() const { return {100, static_cast<int>(fontMetrics().height() * 3.6)}; }

void MemberHead::paintSection(QPainter* painter, const QRect& rect, int section) const {
    const ink::Palette& p = ink::paletteOf(palette());
    painter->save();
    painter->fillRect(rect, p.card);
    painter->setPen(QPen(p.rule, 1));
    painter->drawLine(rect.bottomLeft(), rect.bottomRight());
    painter->drawLine(rect.topRight(), rect.bottomRight());
    const QRect place = rect.adjusted(8, 4, -8, -4);
    const QString text = model()->headerData(section, Qt::Horizontal, Qt::DisplayRole).toString();
    const QFont small = ink::smallFont(font());
    if (section < GridModel::FirstMember) {
        painter->setFont(small);
        painter->setPen(p.softPencil);
        painter->drawText(place, Qt::AlignLeft | Qt::AlignBottom, text);
        painter->restore();
        return;
    }
    QFont bold = font();
    bold.setBold(true);
    const QFontMetrics bm(bold), sm(small);
    painter->setFont(bold);
    painter->setPen(p.pencil);
    const QString mark = bm.elidedText(text, Qt::ElideRight, place.width());
    painter->drawText(place, Qt::AlignLeft | Qt::AlignTop, mark);
    const QString count = tr("%1 off").arg(model()->headerData(section, Qt::Horizontal, GridModel::CountRole).toString());
    const int x = place.left() + bm.horizontalAdvance(mark) + 10;
    painter->setFont(small);
    painter->setPen(p.softPencil);
    painter->drawText(QRect(x, place.top(), place.right() - x, bm.height()), Qt::AlignLeft | Qt::AlignVCenter, count);
    const QString purpose = model()->headerData(section, Qt::Horizontal, GridModel::PurposeRole).toString();
    painter->setPen(p.pencil);
    painter->drawText(QRect(place.left(), place.top() + bm.height(), place.width(), sm.height()), Qt::AlignLeft | Qt::AlignVCenter,
                      sm.elidedText(purpose, Qt::ElideRight, place.width()));
    const auto verdict = static_cast<job::Verdict>(model()->headerData(section, Qt::Horizontal, GridModel::VerdictRole).toInt());
    // What no longer holds is said without its box: it must not be taken for a verdict.
    const bool old = model()->headerData(section, Qt::Horizontal, GridModel::OutOfDateRole).toBool();
    const QString word = old ? tr("was %1, being worked out").arg(GridModel::verdictWord(verdict)) : GridModel::verdictWord(verdict);
    const ink::Stamp stamp = old ? ink::Stamp::None : ink::stampOf(verdict);
    const QSizeF size = ink::stampSize(small, word, stamp);
    ink::drawStamp(*painter, QRectF(place.left(), place.bottom() - size.height(), size.width(), size.height()), small, word, stamp, p);
    painter->restore();
}

} // namespace spanwright::views
