// SPDX-License-Identifier: MIT
#include "gui/views/grid_delegate.h"

#include <QAbstractItemView>
#include <QFontMetricsF>
#include <QPainter>

#include <algorithm>
#include <cmath>

#include "gui/ink/stamp.h"
#include "gui/models/text.h"
#include "gui/views/cell_editor.h"
#include "gui/views/rich_words.h"

namespace spanwright::views {

using models::GridModel;
using models::GridRow;

namespace {

constexpr int kPad = 8;

/// Lines of signs are thought of beside letters of the usual size; with larger ones they grow.
qreal signUnit(const QFont& font) { return std::max(1.0, QFontMetricsF(font).height() / 17); }
/// Room for the stacked lines of a row that opens.
qreal opensSign(const QFont& font) { return 13 * signUnit(font); }

GridRow::Sort sortOf(const QModelIndex& i) { return static_cast<GridRow::Sort>(i.data(GridModel::SortRole).toInt()); }

/// Of words that do not fit on one line.
QFont wordsFont(const QFont& font) { return ink::smallFont(ink::smallFont(font)); }

void dottedLine(QPainter& painter, qreal from, qreal to, qreal y, const QColor& color) {
    painter.setPen(QPen(color, 1, Qt::DotLine));
    painter.drawLine(QPointF(from, y), QPointF(to, y));
}

} // namespace

GridDelegate::GridDelegate(GridModel& grid, models::JobSession& session, QObject* parent) : EditingDelegate(parent), m_grid(grid), m_session(session) {}

int GridDelegate::rowHeight(const QFont& font) { return static_cast<int>(std::ceil(QFontMetricsF(font).height() * 1.9)); }

int GridDelegate::heightOf(const QModelIndex& index, int width, const QFont& font) const {
    if (sortOf(index) != GridRow::Sort::Value) return 0;
    const QString text = index.data().toString(), how = index.data(GridModel::RewrittenRole).toString();
    // Breaking words into lines is slow, and behind an edit of a sheet nearly all rows say what they said before.
    if (width != m_heightsWidth || font != m_heightsFont) {
        m_heights.clear();
        m_heightsWidth = width;
        m_heightsFont = font;
    }
    const auto [known, isNew] = m_heights.try_emplace({text, how}, 0);
    if (!isNew) return known->second;
    qreal room = width - kPad - 4;
    if (!how.isEmpty()) {
        QFont word = ink::smallFont(font);
        word.setItalic(true);
        room -= QFontMetricsF(word).horizontalAdvance(how) + 8;
    }
    if (room < 20 || QFontMetricsF(font).horizontalAdvance(text) <= room) return 0;
    const QFontMetricsF small(wordsFont(font));
    if (const QString written = index.data(GridModel::WordsRole).toString(); !written.isEmpty()) {
        known->second = static_cast<int>(std::ceil(heightOfWords(wordsFont(font), room, written))) + 5;
        return known->second;
    }
    known->second = static_cast<int>(std::ceil(small.boundingRect(QRectF(0, 0, room, 10000), Qt::TextWordWrap | Qt::AlignLeft, text).height())) + 5;
    return known->second;
}

QSize GridDelegate::sizeHint(const QStyleOptionViewItem& option, const QModelIndex&) const { return {80, rowHeight(option.font)}; }

const ink::BoxLayout& GridDelegate::symbol(const QModelIndex& index, const QFont& font) const {
    const QString key = index.data(GridModel::NameRole).toString();
    std::shared_ptr<ink::BoxLayout>& set = m_symbols[key];
    if (!set) {
        const meaning::Box* box = m_grid.symbol(index.row());
        set = box != nullptr ? std::make_shared<ink::BoxLayout>(*box, font) : std::make_shared<ink::BoxLayout>();
    }
    return *set;
}

void GridDelegate::paint(QPainter* painter, const QStyleOptionViewItem& option, const QModelIndex& index) const {
    const ink::Palette& p = ink::paletteOf(option.palette);
    const GridRow::Sort sort = sortOf(index);
    const bool heading = sort == GridRow::Sort::Part || sort == GridRow::Sort::Otherwise;
    const QRectF rect(option.rect);
    painter->save();
    const bool selected = (option.state & QStyle::State_Selected) != 0;
    painter->fillRect(option.rect, heading || selected || (index.row() == m_currentRow && index.column() < GridModel::FirstMember) ? p.card : p.paper);
    painter->setPen(QPen(p.rule, 1));
    painter->drawLine(QPointF(rect.left(), rect.bottom() - 0.5), QPointF(rect.right(), rect.bottom() - 0.5));
    painter->setClipRect(option.rect, Qt::IntersectClip);

    const QRectF place = rect.adjusted(kPad, 0, -kPad, -1);
    if (heading && index.column() < GridModel::FirstMember)
        paintHeading(*painter, option, index, p);
    else if (index.column() < GridModel::FirstMember)
        paintRowHead(*painter, option, index, p);
    else if (index.data(GridModel::CheckRole).isValid())
        paintCheck(*painter, place, option.font, index, p);
    else
        paintValue(*painter, place, option.font, index, p);

    if ((option.state & QStyle::State_HasFocus) != 0 || selected) {
        const bool focus = (option.state & QStyle::State_HasFocus) != 0;
        painter->setPen(QPen(p.sepia, focus ? 2 : 1));
        painter->setBrush(Qt::NoBrush);
        painter->drawRect(rect.adjusted(1, 1, -1, -2));
    }
    painter->restore();
}

/// The title runs over symbol, name and unit; each of the three cells paints its part of it.
void GridDelegate::paintHeading(QPainter& painter, const QStyleOptionViewItem& option, const QModelIndex& index, const ink::Palette& p) const {
    const QModelIndex first = index.siblingAtColumn(GridModel::SymbolColumn);
    const bool otherwise = sortOf(index) == GridRow::Sort::Otherwise;
    qreal left = option.rect.left();
    if (const auto* view = qobject_cast<const QAbstractItemView*>(option.widget)) left = view->visualRect(first).left();
    QFont font = option.font;
    font.setBold(!otherwise);
    font.setItalic(otherwise);
    painter.setRenderHint(QPainter::Antialiasing);
    const QFontMetricsF fm(font);
    qreal x = left + kPad;
    if (!otherwise) {
        // A corner that points down where rows follow, to the side where they are folded away.
        const qreal s = fm.height() * 0.26, cx = x + s, cy = option.rect.top() + option.rect.height() / 2.0;
        painter.setPen(QPen(p.pencil, 1.6, Qt::SolidLine, Qt::RoundCap, Qt::RoundJoin));
        if (index.data(GridModel::FoldedRole).toBool())
            painter.drawPolyline(QPolygonF{QPointF(cx - s / 2, cy - s), QPointF(cx + s / 2, cy), QPointF(cx - s / 2, cy + s)});
        else
            painter.drawPolyline(QPolygonF{QPointF(cx - s, cy - s / 2), QPointF(cx, cy + s / 2), QPointF(cx + s, cy - s / 2)});
        x += 2 * s + kPad;
    }
    painter.setFont(font);
    painter.setPen(p.pencil);
    // A long title goes on in a second line of smaller letters.
    const QString title = first.data().toString();
    const auto* view = qobject_cast<const QAbstractScrollArea*>(option.widget);
    const qreal room = view != nullptr ? view->viewport()->width() - x - 2 : 4000;
    const bool wide = fm.horizontalAdvance(title) > room;
    if (wide) {
        QFont small = ink::smallFont(font);
        small.setBold(font.bold());
        painter.setFont(small);
    }
    painter.drawText(QRectF(x, option.rect.top(), room, option.rect.height()), Qt::AlignLeft | Qt::AlignVCenter | (wide ? int(Qt::TextWordWrap) : 0), title);
}

void GridDelegate::paintRowHead(QPainter& painter, const QStyleOptionViewItem& option, const QModelIndex& index, const ink::Palette& p) const {
    const QRectF place = QRectF(option.rect).adjusted(kPad, 0, -4, -1);
    const bool isCase = sortOf(index) == GridRow::Sort::Case;
    painter.setRenderHint(QPainter::Antialiasing);
    if (index.column() == GridModel::SymbolColumn && !isCase) {
        const bool opens = index.data(GridModel::OpensRole).toBool();
        const qreal room = place.width() - (opens ? opensSign(option.font) : 0); // the sign of rows below stands at the right
        qreal x = place.left();
        if (index.row() == m_currentRow) {
            painter.setPen(Qt::NoPen);
            painter.fillRect(QRectF(option.rect.left(), option.rect.top() + 2, 3, option.rect.height() - 5), p.sepia);
        }
        const auto kind = static_cast<meaning::Kind>(index.data(GridModel::KindRole).toInt());
        if (kind == meaning::Kind::Check || kind == meaning::Kind::Require) {
            QString text = index.data().toString();
            const QRectF at(place.left(), place.top(), room, place.height());
            painter.setPen(p.pencil);
            if (QFontMetricsF(option.font).horizontalAdvance(text) <= room) {
                painter.setFont(option.font);
                painter.drawText(at, Qt::AlignLeft | Qt::AlignVCenter, text);
            } else {
                // A long name is set smaller, and may break behind its joints.
                painter.setFont(wordsFont(option.font));
                text.replace(QLatin1Char('_'), QStringLiteral("_\u200b"));
                painter.drawText(at, Qt::AlignLeft | Qt::AlignVCenter | Qt::TextWordWrap, text);
            }
        } else {
            const ink::BoxLayout& box = symbol(index, option.font);
            if (box.size().width() <= room) {
                box.draw(painter, QPointF(x, place.center().y() - box.size().height() / 2), p.pencil, p.softPencil);
            } else {
                const qreal scale = std::max<qreal>(0.6, room / box.size().width());
                painter.save();
                painter.translate(x, place.center().y() - box.size().height() / 2 * scale);
                painter.scale(scale, scale);
                box.draw(painter, {}, p.pencil, p.softPencil);
                painter.restore();
            }
        }
        if (opens) {
            // Stacked lines: there is more below. Filled while they are open.
            const qreal right = option.rect.right() - 5, y = place.center().y(), unit = signUnit(option.font);
            painter.setPen(QPen(p.softPencil, 1.4 * unit));
            const bool open = index.data(GridModel::OpenRole).toBool();
            for (int i = -1; i <= 1; ++i) painter.drawLine(QPointF(right - (open ? 10 : 6) * unit, y + i * 3.5 * unit), QPointF(right, y + i * 3.5 * unit));
        }
        return;
    }
    const bool unit = index.column() == GridModel::UnitColumn;
    const QFont font = unit || isCase ? ink::smallFont(option.font) : option.font;
    painter.setFont(font);
    painter.setPen(unit || isCase ? p.softPencil : p.pencil);
    QRectF at = isCase ? place.adjusted(14, 0, 0, 0) : place;
    if (const QString how = unit || isCase ? QString() : index.data(GridModel::RewrittenRole).toString(); !how.isEmpty()) {
        // A row that is not as in the ready sheet says so at its end.
        QFont word = ink::smallFont(option.font);
        word.setItalic(true);
        const qreal width = QFontMetricsF(word).horizontalAdvance(how) + 8;
        painter.setFont(word);
        painter.setPen(p.sepia);
        painter.drawText(at, Qt::AlignRight | Qt::AlignVCenter, how);
        painter.setFont(font);
        painter.setPen(p.pencil);
        at.setRight(at.right() - width);
    }
    const QString text = index.data().toString();
    const QFontMetricsF fm(font);
    const bool narrow = !unit && !isCase && fm.horizontalAdvance(text) > at.width();
    if (const QString written = unit || isCase ? QString() : index.data(GridModel::WordsRole).toString(); !written.isEmpty()) {
        drawWords(painter, at, narrow ? wordsFont(option.font) : font, p.pencil, written);
        return;
    }
    if (narrow) {
        // Lines of smaller letters where one does not hold it; the row is as high as they need.
        painter.setFont(wordsFont(option.font));
        painter.drawText(at, Qt::AlignLeft | Qt::AlignVCenter | Qt::TextWordWrap, text);
        return;
    }
    painter.drawText(at, Qt::AlignLeft | Qt::AlignVCenter, fm.elidedText(text, Qt::ElideRight, at.width()));
}

qreal GridDelegate::paintReview(QPainter& painter, const QRectF& place, const QFont& font, const QModelIndex& index, const ink::Palette& p) const {
    const auto tick = static_cast<GridModel::Tick>(index.data(GridModel::TickRole).toInt());
    const auto remark = static_cast<GridModel::Remark>(index.data(GridModel::RemarkRole).toInt());
    if (tick == GridModel::Tick::None && remark == GridModel::Remark::None) return 0;
    const qreal s = QFontMetricsF(font).height() * 0.3, y = place.center().y();
    qreal x = place.left() + 1;
    painter.setRenderHint(QPainter::Antialiasing);
    if (tick != GridModel::Tick::None) {
        painter.setPen(QPen(p.pencil, 1.6, Qt::SolidLine, Qt::RoundCap, Qt::RoundJoin));
        painter.drawPolyline(QPolygonF{QPointF(x, y), QPointF(x + s * 0.6, y + s * 0.8), QPointF(x + s * 1.8, y - s)});
        if (tick != GridModel::Tick::Current) painter.drawLine(QPointF(x - 1, y - s), QPointF(x + s * 2, y + s)); // struck out: no longer true
        x += s * 2.9; // the stroke through it ends before what follows
    }
    if (remark != GridModel::Remark::None) {
        // A slip of paper with a corner turned down: with lines on it while nobody has answered.
        const bool open = remark == GridModel::Remark::Open;
        painter.setPen(QPen(open ? p.pencil : p.softPencil, 1.2));
        painter.setBrush(Qt::NoBrush);
        const QRectF slip(x, y - s, s * 1.7, s * 2);
        const qreal fold = s * 0.6;
        painter.drawPolygon(
            QPolygonF{slip.topLeft(), slip.topRight() - QPointF(fold, 0), slip.topRight() + QPointF(0, fold), slip.bottomRight(), slip.bottomLeft()});
        if (open) {
            painter.drawLine(QPointF(slip.left() + 2, y), QPointF(slip.right() - 2, y));
            painter.drawLine(QPointF(slip.left() + 2, y + s * 0.5), QPointF(slip.right() - 2, y + s * 0.5));
        }
        x += s * 2.6;
    }
    return x - place.left();
}

void GridDelegate::paintCheck(QPainter& painter, const QRectF& whole, const QFont& font, const QModelIndex& index, const ink::Palette& p) const {
    if (index.data(GridModel::ChangedRole).toBool()) painter.fillRect(QRectF(whole.left() - 6, whole.top() + 3, 2.5, whole.height() - 6), p.sepia);
    const QRectF place = whole.adjusted(paintReview(painter, whole, font, index, p), 0, 0, 0);
    const auto state = static_cast<job::CheckView::State>(index.data(GridModel::CheckRole).toInt());
    const QVariant utilisation = index.data(GridModel::UtilisationRole);
    const QString number = utilisation.isValid() ? m_grid.data(index, Qt::DisplayRole).toString() : QString();
    const QFont small = ink::smallFont(font);
    QString word = GridModel::checkWord(state);
    if (index.data(GridModel::OutOfDateRole).toBool()) {
        // Of before an edit: in soft words, without box and ruler, so that nobody takes it for a verdict.
        const QString old = !number.isEmpty() ? tr("was %1, %2").arg(number, word) : tr("was %1").arg(word);
        (void)ink::drawStamp(painter, place, small, QFontMetricsF(small).elidedText(old, Qt::ElideRight, place.width()), ink::Stamp::None, p);
        return;
    }
    const qreal ruler = QFontMetricsF(font).height() * 4;
    // The word stands at the right; the number with its ruler before it.
    QRectF box = ink::drawStamp(painter, place, small, word, ink::stampOf(state), p);
    const bool heading = sortOf(index) == GridRow::Sort::Part;
    if (utilisation.isValid() && box.left() - place.left() > ruler * 0.6) {
        const QRectF left(place.left(), place.top(), std::min(ruler, box.left() - place.left() - 10), place.height());
        painter.setFont(heading ? small : font);
        painter.setPen(p.pencil);
        if (!heading) {
            painter.drawText(left.adjusted(0, 1, 0, -place.height() * 0.3), Qt::AlignLeft | Qt::AlignVCenter, number);
            ink::drawRuler(painter, QRectF(left.left(), left.bottom() - place.height() * 0.32, left.width(), place.height() * 0.26), utilisation.toDouble(), p);
        } else {
            ink::drawRuler(painter, QRectF(left.left(), left.center().y() - place.height() * 0.13, left.width(), place.height() * 0.26), utilisation.toDouble(),
                           p);
        }
    }
}

void GridDelegate::paintValue(QPainter& painter, const QRectF& place, const QFont& font, const QModelIndex& index, const ink::Palette& p) const {
    const QString text = index.data().toString();
    const QFont small = ink::smallFont(font);
    const QFontMetricsF fm(font), sm(small);
    if (!index.data(GridModel::StateRole).isValid()) { // a heading, or a member without a sheet
        painter.setFont(small);
        painter.setPen(p.softPencil);
        painter.drawText(place, Qt::AlignRight | Qt::AlignVCenter, text);
        return;
    }
    const auto state = static_cast<eval::State>(index.data(GridModel::StateRole).toInt());
    const auto form = static_cast<GridModel::Form>(index.data(GridModel::FormRole).toInt());
    QRectF at = place;
    painter.setRenderHint(QPainter::Antialiasing);
    if (index.data(GridModel::ChangedRole).toBool()) painter.fillRect(QRectF(place.left() - 6, place.top() + 3, 2.5, place.height() - 6), p.sepia);

    at.setLeft(at.left() + paintReview(painter, at, font, index, p));
    // What the form says in words stands before the value, small.
    QString before, tag; // a link says as what it was carried
    QColor beforeInk = p.softPencil;
    const QString refused = index.data(GridModel::RefusedRole).toString();
    const bool old = index.data(GridModel::OutOfDateRole).toBool();
    if (!refused.isEmpty()) {
        before = tr("refused: %1").arg(refused);
        beforeInk = p.sepia;
    } else if (old) {
        before = tr("out of date");
    } else if (form == GridModel::Form::Linked) {
        before = tr("from %1").arg(index.data(GridModel::LinkRole).toString());
        tag = index.data(GridModel::TagRole).toString();
        beforeInk = p.sepia;
    } else if (form == GridModel::Form::Assumed) {
        before = tr("assumed");
    }
    const bool known = state == eval::State::Known;
    const QFont& valueFont = known ? font : small;
    const QFontMetricsF& vm = known ? fm : sm;
    const qreal valueWidth = std::min(vm.horizontalAdvance(text), at.width());
    if (!before.isEmpty()) {
        const qreal room = at.width() - valueWidth - 10;
        if (room > sm.averageCharWidth() * 4) {
            painter.setFont(small);
            painter.setPen(beforeInk);
            const QRectF words(at.left(), at.top(), room, at.height());
            if (tag.isEmpty()) {
                painter.drawText(words, Qt::AlignLeft | Qt::AlignVCenter, sm.elidedText(before, Qt::ElideMiddle, room));
            } else {
                const QFont least = wordsFont(font);
                const QRectF upper(words.left(), words.center().y() - sm.lineSpacing(), room, sm.lineSpacing());
                painter.drawText(upper, Qt::AlignLeft | Qt::AlignBottom, sm.elidedText(before, Qt::ElideMiddle, room));
                painter.setFont(least);
                painter.setPen(p.softPencil);
                painter.drawText(upper.translated(0, sm.lineSpacing() - 1), Qt::AlignLeft | Qt::AlignTop,
                                 QFontMetricsF(least).elidedText(tag, Qt::ElideRight, room));
            }
        }
    }
    painter.setFont(valueFont);
    painter.setPen(known && !old ? p.pencil : p.softPencil);
    painter.drawText(at, Qt::AlignRight | Qt::AlignVCenter, vm.elidedText(text, Qt::ElideRight, at.width()));
    if (form != GridModel::Form::Worked && sortOf(index) == GridRow::Sort::Value) {
        const qreal y = std::round(at.center().y() + fm.height() * 0.56) + 0.5;
        dottedLine(painter, place.left() + place.width() * 0.35, place.right(), y, form == GridModel::Form::Linked ? p.sepia : p.pencil);
    }
}

// ---- editing

CellEditor* GridDelegate::editorFor(QWidget* parent, const QModelIndex& index) const {
    const auto cell = m_grid.cellAt(index);
    if (!cell) return nullptr;
    CellEditor* editor = m_session.quantity(*cell).kind == meaning::Kind::Choose ? static_cast<CellEditor*>(new ChoiceEditor(m_session, *cell, parent))
                                                                                 : static_cast<CellEditor*>(new ValueEditor(m_session, *cell, parent));
    editor->spot = {m_session.job().member(cell->member).mark, m_session.quantity(*cell).name};
    return editor;
}

QString GridDelegate::refusalAt(const QModelIndex& index) const { return index.data(GridModel::RefusalRole).toString(); }

void GridDelegate::dropRefusalAt(const QModelIndex& index) {
    if (const auto cell = m_grid.cellAt(index)) m_grid.dropRefusal(*cell);
}

} // namespace spanwright::views
