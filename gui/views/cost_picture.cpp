// SPDX-License-Identifier: MIT
#include "gui/views/cost_picture.h"

#include <QAccessible>
#include <QHelpEvent>
#include <QKeyEvent>
#include <QMouseEvent>
#include <QPainter>
#include <QToolTip>

#include <algorithm>

#include "gui/ink/palette.h"
#include "gui/models/text.h"

namespace spanwright::views {

using models::fromUtf8;

namespace {
constexpr int kMargin = 8;
} // namespace

CostPicture::CostPicture(QWidget* parent) : QWidget(parent) {
    setFocusPolicy(Qt::StrongFocus);
    setMouseTracking(true);
    setSizePolicy(QSizePolicy::Expanding, QSizePolicy::Fixed);
    setAccessibleName(tr("No costs"));
}

QString CostPicture::partName(Part part) {
    switch (part) {
    case Material: return tr("material");
    case Rest: return tr("offcuts and waste");
    case Consumables: return tr("consumables");
    case Tools: return tr("tools");
    case Labour: return tr("labour");
    case Overhead: return tr("overhead");
    case PartCount: break;
    }
    return {};
}

void CostPicture::show(std::shared_ptr<const shop::Workshop> workshop, std::optional<std::size_t> line, bool old) {
    const std::string before = m_current ? m_rows[*m_current].mark : std::string();
    m_workshop = std::move(workshop);
    m_rows.clear();
    m_current.reset();
    m_old = old;
    m_ranged = false;
    std::fill(std::begin(m_used), std::end(m_used), false);
    m_title.clear();
    if (m_workshop) {
        const shop::Bill& bill = m_workshop->bill;
        const shop::BillLine* one = line && *line < bill.lines.size() ? &bill.lines[*line] : nullptr;
        m_title = one != nullptr ? tr("Shares of %1: %2").arg(fromUtf8(one->item), fromUtf8(one->sharedBy)) : tr("What each member costs");
        for (std::size_t i = 0; i < bill.members.size(); ++i) {
            const shop::MemberCost& m = bill.members[i];
            Row r;
            r.mark = m.mark;
            r.name = m.count == 1 ? fromUtf8(m.mark) : tr("%1, %2 off").arg(fromUtf8(m.mark)).arg(m.count);
            if (one != nullptr) {
                const Part sort[] = {Material, Consumables, Tools, Labour, Overhead};
                r.parts[sort[static_cast<int>(one->sort)]] = one->shares[i];
                r.all = one->shares[i];
                r.low = one->lowShares[i];
                r.high = one->highShares[i];
            } else {
                r.parts[Material] = m.material - m.rest;
                r.parts[Rest] = m.rest;
                r.parts[Consumables] = m.consumables;
                r.parts[Tools] = m.tools;
                r.parts[Labour] = m.labour;
                r.parts[Overhead] = m.overhead;
                r.all = m.cents;
                r.low = m.low;
                r.high = m.high;
            }
            if (r.high == 0) continue;
            r.amount = fromUtf8(shop::showMoney(r.all, bill.currency));
            r.words = tr("%1: %2").arg(r.name, fromUtf8(shop::showMoney(r.all, r.low, r.high, bill.currency)));
            for (int p = 0; p < PartCount; ++p) {
                if (r.parts[p] == 0) continue;
                m_used[p] = true;
                r.words += QStringLiteral("\n%1 %2").arg(partName(static_cast<Part>(p)), fromUtf8(shop::showMoney(r.parts[p], bill.currency)));
            }
            m_ranged = m_ranged || r.low != r.high;
            if (!before.empty() && r.mark == before) m_current = m_rows.size();
            m_rows.push_back(std::move(r));
        }
    }
    QStringList said;
    for (const Row& r : m_rows) said << r.words.section(QLatin1Char('\n'), 0, 0);
    setAccessibleName(m_rows.empty() ? tr("No costs") : tr("%1: %2").arg(m_title, said.join(QStringLiteral("; "))));
    updateGeometry();
    update();
}

void CostPicture::setMember(const std::string& mark) {
    if (m_member == mark) return;
    m_member = mark;
    update();
}

int CostPicture::rowHeight() const { return static_cast<int>(fontMetrics().height() * 1.9); }
int CostPicture::top() const { return kMargin + static_cast<int>(fontMetrics().height() * 1.5); }

QSize CostPicture::sizeHint() const {
    int legend = 0;
    for (const bool used : m_used) legend += used ? 1 : 0;
    if (m_ranged) ++legend;
    return {fontMetrics().averageCharWidth() * 60,
            top() + rowHeight() * static_cast<int>(m_rows.size()) + (legend + 1) * static_cast<int>(fontMetrics().height() * 1.4) + kMargin};
}

QSize CostPicture::minimumSizeHint() const { return {fontMetrics().averageCharWidth() * 34, sizeHint().height()}; }

QPoint CostPicture::middleOf(std::size_t row) const { return {width() / 2, top() + static_cast<int>(row) * rowHeight() + rowHeight() / 2}; }

std::optional<std::size_t> CostPicture::rowAt(QPoint at) const {
    if (at.y() < top()) return {};
    const auto row = static_cast<std::size_t>((at.y() - top()) / rowHeight());
    return row < m_rows.size() ? std::optional(row) : std::nullopt;
}

void CostPicture::drawPart(QPainter& painter, const QRectF& box, Part part) const {
    const ink::Palette& p = ink::paletteOf(palette());
    const QColor& pencil = m_old ? p.softPencil : p.pencil;
    const Qt::BrushStyle strokes[] = {Qt::NoBrush, Qt::BDiagPattern, Qt::Dense6Pattern, Qt::DiagCrossPattern, Qt::HorPattern, Qt::VerPattern};
    painter.setPen(QPen(pencil, 1));
    painter.setBrush(strokes[part] == Qt::NoBrush ? QBrush() : QBrush(pencil, strokes[part]));
    painter.drawRect(box);
    painter.setBrush(Qt::NoBrush);
}

void CostPicture::paintEvent(QPaintEvent*) {
    QPainter painter(this);
    const ink::Palette& p = ink::paletteOf(palette());
    const QColor& pencil = m_old ? p.softPencil : p.pencil;
    painter.setPen(pencil);
    QFont bold = font();
    bold.setBold(true);
    painter.setFont(bold);
    painter.drawText(QRect(kMargin, kMargin, width() - 2 * kMargin, fontMetrics().height() + 4), Qt::AlignLeft | Qt::AlignTop,
                     painter.fontMetrics().elidedText(m_title, Qt::ElideRight, width() - 2 * kMargin));
    painter.setFont(font());
    int names = 0, amounts = 0;
    shop::Cents most = 1;
    for (const Row& r : m_rows) {
        names = std::max(names, fontMetrics().horizontalAdvance(r.name));
        amounts = std::max(amounts, fontMetrics().horizontalAdvance(r.amount));
        most = std::max(most, r.high);
    }
    const int row = rowHeight();
    const int left = kMargin + names + 12, room = std::max(20, width() - left - amounts - 12 - kMargin);
    const auto x = [&](shop::Cents cents) { return left + room * static_cast<double>(cents) / static_cast<double>(most); };
    for (std::size_t i = 0; i < m_rows.size(); ++i) {
        const Row& r = m_rows[i];
        const int y = top() + static_cast<int>(i) * row;
        painter.setPen(pencil);
        painter.drawText(QRect(kMargin, y, names, row), Qt::AlignLeft | Qt::AlignVCenter, r.name);
        double from = left;
        for (int part = 0; part < PartCount; ++part) {
            if (r.parts[part] <= 0) continue;
            const double wide = room * static_cast<double>(r.parts[part]) / static_cast<double>(most);
            drawPart(painter, QRectF(from, y + row * 0.22, wide, row * 0.4), static_cast<Part>(part));
            from += wide;
        }
        if (r.low != r.high) {
            painter.setPen(QPen(pencil, 1.4));
            const double at = y + row * 0.78, tick = row * 0.1;
            painter.drawLine(QPointF(x(r.low), at), QPointF(x(r.high), at));
            for (const shop::Cents end : {r.low, r.high}) painter.drawLine(QPointF(x(end), at - tick), QPointF(x(end), at + tick));
        }
        painter.setPen(pencil);
        painter.drawText(QRectF(std::max(from, x(r.high)) + 8, y, amounts + 8, row), Qt::AlignLeft | Qt::AlignVCenter, r.amount);
        if (!m_member.empty() && r.mark == m_member) {
            painter.setPen(QPen(p.sepia, 2.4));
            painter.drawRect(QRectF(2, y + 1, width() - 4, row - 2));
        }
        if (m_current == i && hasFocus()) {
            painter.setPen(QPen(p.sepia, 1.6, Qt::DotLine));
            painter.drawRect(QRectF(5, y + 4, width() - 10, row - 8));
        }
    }
    if (m_rows.empty()) return;
    const double line = fontMetrics().height() * 1.4;
    double y = top() + static_cast<double>(m_rows.size()) * row + line * 0.5;
    for (int part = 0; part < PartCount; ++part) {
        if (!m_used[part]) continue;
        drawPart(painter, QRectF(left, y + line * 0.2, line * 1.6, line * 0.6), static_cast<Part>(part));
        painter.setPen(pencil);
        painter.drawText(QRectF(left + line * 2, y, width() - left - line * 2, line), Qt::AlignLeft | Qt::AlignVCenter, partName(static_cast<Part>(part)));
        y += line;
    }
    if (!m_ranged) return;
    painter.setPen(QPen(pencil, 1.4));
    painter.drawLine(QPointF(left, y + line / 2), QPointF(left + line * 1.6, y + line / 2));
    for (const double end : {0.0, line * 1.6}) painter.drawLine(QPointF(left + end, y + line * 0.35), QPointF(left + end, y + line * 0.65));
    painter.drawText(QRectF(left + line * 2, y, width() - left - line * 2, line), Qt::AlignLeft | Qt::AlignVCenter,
                     tr("from the lowest to the highest prices"));
}

void CostPicture::setCurrent(std::optional<std::size_t> row, bool seen) {
    if (m_current == row) return;
    m_current = row;
    setAccessibleDescription(row ? m_rows[*row].words : QString());
    QAccessibleEvent told(this, QAccessible::DescriptionChanged);
    QAccessible::updateAccessibility(&told);
    if (row && seen) Q_EMIT wanted(QRect(0, top() + static_cast<int>(*row) * rowHeight(), width(), rowHeight()));
    update();
}

void CostPicture::mousePressEvent(QMouseEvent* event) {
    const auto row = event->button() == Qt::LeftButton ? rowAt(event->position().toPoint()) : std::nullopt;
    if (!row) return QWidget::mousePressEvent(event);
    setCurrent(row, false);
    Q_EMIT followed(fromUtf8(m_rows[*row].mark));
}

void CostPicture::mouseMoveEvent(QMouseEvent* event) { setCursor(rowAt(event->position().toPoint()) ? Qt::PointingHandCursor : Qt::ArrowCursor); }

bool CostPicture::event(QEvent* event) {
    if (event->type() == QEvent::ToolTip) {
        auto* help = static_cast<QHelpEvent*>(event);
        if (const auto row = rowAt(help->pos()))
            QToolTip::showText(help->globalPos(), m_rows[*row].words, this);
        else
            QToolTip::hideText();
        return true;
    }
    return QWidget::event(event);
}

void CostPicture::keyPressEvent(QKeyEvent* event) {
    const auto to = [this](std::size_t row) {
        if (row < m_rows.size()) setCurrent(row, true);
    };
    switch (event->key()) {
    case Qt::Key_Down: return to(m_current ? *m_current + 1 : 0);
    case Qt::Key_Up: return to(m_current && *m_current > 0 ? *m_current - 1 : 0);
    case Qt::Key_Home: return to(0);
    case Qt::Key_End: return to(m_rows.empty() ? 0 : m_rows.size() - 1);
    case Qt::Key_Return:
    case Qt::Key_Enter:
    case Qt::Key_Space:
        if (m_current) Q_EMIT followed(fromUtf8(m_rows[*m_current].mark));
        return;
    default: QWidget::keyPressEvent(event);
    }
}

void CostPicture::focusInEvent(QFocusEvent* event) {
    if (!m_current && !m_rows.empty() && event->reason() != Qt::MouseFocusReason) setCurrent(0, true);
    update();
}

void CostPicture::focusOutEvent(QFocusEvent*) { update(); }

void CostPicture::changeEvent(QEvent* event) {
    if (event->type() == QEvent::FontChange) updateGeometry();
    QWidget::changeEvent(event);
}

} // namespace spanwright::views
