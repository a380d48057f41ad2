// SPDX-License-Identifier: MIT
#include "gui/views/neighbour_list.h"

#include <QEvent>
#include <QPainter>
#include <QStyledItemDelegate>

#include <algorithm>

#include "engine/meaning/typeset.h"
#include "gui/ink/box_layout.h"
#include "gui/ink/palette.h"
#include "gui/models/text.h"
#include "gui/models/words.h"

namespace spanwright::views {

using models::fromUtf8;
using models::wordsOf;

namespace {

constexpr int kMostShown = 9;

/// A value's symbol as it is set in formulas, its value, and softly what it is.
class NeighbourDelegate : public QStyledItemDelegate {
public:
    using QStyledItemDelegate::QStyledItemDelegate;

    void paint(QPainter* painter, const QStyleOptionViewItem& option, const QModelIndex& index) const override {
        const ink::Palette& p = ink::paletteOf(option.palette);
        const bool focus = (option.state & QStyle::State_Selected) != 0 && (option.state & QStyle::State_HasFocus) != 0;
        const bool hover = (option.state & QStyle::State_MouseOver) != 0;
        painter->save();
        painter->fillRect(option.rect, focus || hover ? p.card : p.paper);
        painter->setClipRect(option.rect);
        const QRectF place = QRectF(option.rect).adjusted(6, 0, -4, 0);
        const QFontMetricsF fm(option.font);
        qreal x = place.left();
        const auto words = [&](const QString& text, const QFont& font, const QColor& ink) {
            painter->setFont(font);
            painter->setPen(ink);
            const QFontMetricsF m(font);
            const QString shown = m.elidedText(text, Qt::ElideRight, place.right() - x);
            painter->drawText(QRectF(x, place.top(), place.right() - x, place.height()), Qt::AlignLeft | Qt::AlignVCenter, shown);
            x += m.horizontalAdvance(shown);
        };
        words(index.data(NeighbourModel::OtherRole).toString(), option.font, p.sepia);
        const std::string name = models::toUtf8(index.data(NeighbourModel::NameRole).toString());
        if (models::isNamed(name)) {
            const ink::BoxLayout symbol(meaning::typesetName(name), option.font);
            symbol.draw(*painter, QPointF(x, place.center().y() - symbol.size().height() / 2), p.pencil, p.softPencil);
            x += symbol.size().width();
        } else {
            words(models::wordsOf(name), option.font, p.pencil); // why a part applies
        }
        words(index.data(NeighbourModel::ValueRole).toString(), option.font, p.pencil);
        x += fm.averageCharWidth() * 1.5;
        words(index.data(NeighbourModel::WhatRole).toString(), ink::smallFont(option.font), p.softPencil);
        if (focus) {
            painter->setPen(QPen(p.sepia, 2));
            painter->drawRect(option.rect.adjusted(1, 1, -1, -1));
        }
        painter->restore();
    }

    [[nodiscard]] QSize sizeHint(const QStyleOptionViewItem& option, const QModelIndex&) const override {
        return {100, static_cast<int>(QFontMetricsF(option.font).height() * 1.5)};
    }
};

} // namespace

void NeighbourModel::set(std::vector<job::Working::Neighbour> neighbours, const std::string& own) {
    const bool same = own == m_own && std::equal(neighbours.begin(), neighbours.end(), m_list.begin(), m_list.end(),
                                                 [](const auto& a, const auto& b) { return a.member == b.member && a.name == b.name; });
    if (!same) beginResetModel();
    m_list = std::move(neighbours);
    m_own = own;
    if (!same)
        endResetModel();
    else if (!m_list.empty())
        Q_EMIT dataChanged(index(0), index(rowCount() - 1));
}

models::Spot NeighbourModel::spot(int row) const {
    const job::Working::Neighbour& n = m_list[static_cast<std::size_t>(row)];
    return {n.member.empty() ? m_own : n.member, n.name};
}

int NeighbourModel::rowCount(const QModelIndex& parent) const { return parent.isValid() ? 0 : static_cast<int>(m_list.size()); }

QVariant NeighbourModel::data(const QModelIndex& index, int role) const {
    if (!checkIndex(index, CheckIndexOption::IndexIsValid)) return {};
    const job::Working::Neighbour& n = m_list[static_cast<std::size_t>(index.row())];
    const QString other = n.member.empty() || n.member == m_own ? QString() : fromUtf8(n.member) + QLatin1Char('.');
    const QString value = n.shown.empty() ? QString() : QStringLiteral(" = ") + fromUtf8(n.shown);
    switch (role) {
    case Qt::DisplayRole:
    case Qt::ToolTipRole: {
        const QString name = models::isNamed(n.name) ? fromUtf8(meaning::plain(meaning::typesetName(n.name))) : wordsOf(n.name);
        return other + name + value + (n.what.empty() ? QString() : QStringLiteral("   ") + wordsOf(n.what));
    }
    case MarkRole: return fromUtf8(n.member.empty() ? m_own : n.member);
    case NameRole: return fromUtf8(n.name);
    case OtherRole: return other;
    case ValueRole: return value;
    case WhatRole: return wordsOf(n.what);
    default: return {};
    }
}

NeighbourList::NeighbourList(QWidget* parent) : QListView(parent), m_model(new NeighbourModel(this)) {
    setModel(m_model);
    setFrameStyle(QFrame::NoFrame);
    setHorizontalScrollBarPolicy(Qt::ScrollBarAlwaysOff);
    setTextElideMode(Qt::ElideRight);
    setUniformItemSizes(true);
    setMouseTracking(true);
    setEditTriggers(QAbstractItemView::NoEditTriggers);
    setItemDelegate(new NeighbourDelegate(this));
    const auto follow = [this](const QModelIndex& at) {
        const models::Spot spot = m_model->spot(at.row()); // a copy: the way there changes the list
        Q_EMIT followed(spot);
    };
    connect(this, &QAbstractItemView::activated, this, follow);
    connect(this, &QAbstractItemView::clicked, this, follow);
}

void NeighbourList::set(std::vector<job::Working::Neighbour> neighbours, const std::string& own) {
    const int before = count();
    m_model->set(std::move(neighbours), own);
    if (count() != before) fit();
}

void NeighbourList::fit() {
    if (count() > 0) setFixedHeight(std::min(count(), kMostShown) * sizeHintForRow(0) + 2 * frameWidth() + 2);
}

void NeighbourList::changeEvent(QEvent* event) {
    QListView::changeEvent(event);
    if (event->type() == QEvent::FontChange) fit();
}

} // namespace spanwright::views
