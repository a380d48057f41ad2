// SPDX-License-Identifier: MIT
#include "gui/views/schedule_view.h"

#include <QHeaderView>
#include <QPainter>
#include <QStyledItemDelegate>
#include <QVBoxLayout>

#include <algorithm>

#include "engine/report/words.h"
#include "engine/units/format.h"
#include "gui/ink/palette.h"
#include "gui/ink/stamp.h"
#include "gui/models/text.h"
#include "gui/views/row_table.h"
#include "gui/views/workshop_head.h"

namespace spanwright::views {

using models::fromUtf8;
using models::LiveWorkshop;
using models::ScheduleLine;

namespace {

constexpr int kStampRole = Qt::UserRole + 1;

/// The verdict as a boxed word.
class VerdictDelegate : public QStyledItemDelegate {
public:
    using QStyledItemDelegate::QStyledItemDelegate;
    void paint(QPainter* painter, const QStyleOptionViewItem& option, const QModelIndex& index) const override {
        const QVariant stamp = index.data(kStampRole);
        if (!stamp.isValid()) {
            QStyledItemDelegate::paint(painter, option, index);
            return;
        }
        const ink::Palette& p = ink::paletteOf(option.palette);
        painter->save();
        painter->fillRect(option.rect, (option.state & QStyle::State_Selected) != 0 ? p.card : p.paper);
        const QString word = index.data().toString();
        const QSizeF size = ink::stampSize(option.font, word, static_cast<ink::Stamp>(stamp.toInt()));
        QRectF place(option.rect.left() + 6, option.rect.top(), size.width(), option.rect.height());
        ink::drawStamp(*painter, place, option.font, word, static_cast<ink::Stamp>(stamp.toInt()), p);
        painter->restore();
    }
    QSize sizeHint(const QStyleOptionViewItem& option, const QModelIndex& index) const override {
        const QVariant stamp = index.data(kStampRole);
        if (!stamp.isValid()) return QStyledItemDelegate::sizeHint(option, index);
        const QSizeF size = ink::stampSize(option.font, index.data().toString(), static_cast<ink::Stamp>(stamp.toInt()));
        return {static_cast<int>(size.width()) + 14, static_cast<int>(size.height()) + 6};
    }
};

QString massText(double kg) { return fromUtf8(shop::kilograms(kg)); }

} // namespace

ScheduleView::ScheduleView(LiveWorkshop& live, QWidget* parent) : QWidget(parent), m_live(live) {
    auto* column = new QVBoxLayout(this);
    column->setContentsMargins(0, 0, 0, 0);
    column->setSpacing(0);
    m_head = new WorkshopHead(live, false, this);
    column->addWidget(m_head);
    m_table = new RowTable({tr("Mark"), tr("What for"), tr("Off"), tr("Section"), tr("Span"), tr("Governing check"), tr("Verdict"), tr("One weighs"),
                            tr("All weigh"), tr("Cost of all"), tr("Page")},
                           Purpose, this);
    m_table->horizontalHeaderItem(Page)->setToolTip(tr("Page in the calculation when it is printed whole, on A4"));
    m_table->setItemDelegateForColumn(Verdict, new VerdictDelegate(m_table));
    m_table->setAccessibleName(tr("Schedule of the members"));
    column->addWidget(m_table, 1);
    setFocusProxy(m_table);
    m_head->addExport(tr("&Schedule as CSV..."), [this] { Q_EMIT scheduleWanted(); });
    m_head->addExport(tr("&Copy as tab-separated text"), [this] { m_table->copy(true); });
    connect(m_table, &RowTable::chosen, this, [this](int row) { follow(row); });
    connect(m_table, &RowTable::looksChanged, this, &ScheduleView::refresh);
    connect(&live, &LiveWorkshop::changed, this, &ScheduleView::refresh);
    connect(&live, &LiveWorkshop::pagesChanged, this, &ScheduleView::refresh);
    refresh();
}

void ScheduleView::follow(int row) {
    const auto& lines = m_live.lines();
    if (row < 0 || static_cast<std::size_t>(row) >= lines.size()) return;
    const ScheduleLine line = lines[static_cast<std::size_t>(row)];
    m_member = line.mark;
    Q_EMIT followed(fromUtf8(line.mark), line.governing);
}

void ScheduleView::setMember(const std::string& mark) {
    if (m_member == mark) return;
    m_member = mark;
    const auto& lines = m_live.lines();
    for (std::size_t i = 0; i < lines.size() && i < static_cast<std::size_t>(m_table->rowCount()); ++i)
        if (lines[i].mark == mark) m_table->setCurrentCell(static_cast<int>(i), std::max(0, m_table->currentColumn()));
}

void ScheduleView::showEvent(QShowEvent* event) {
    QWidget::showEvent(event);
    refresh();
}

void ScheduleView::refresh() {
    if (!isVisible()) return;
    const auto& lines = m_live.lines();
    const std::string currency = m_live.workshop() ? m_live.workshop()->bill.currency : std::string();
    const bool prepared = m_live.prepared() != nullptr; // masses are those of the job as it stands, costs are still to come
    const bool old = m_live.isOutOfDate() && !prepared;
    const ink::Palette& palette = ink::paletteOf(this->palette());
    const int column = std::max(0, m_table->currentColumn());
    m_table->setRowCount(static_cast<int>(lines.size()));
    for (std::size_t i = 0; i < lines.size(); ++i) {
        const ScheduleLine& l = lines[i];
        const QString none = l.nothing ? QStringLiteral("-") : tr("not known");
        QString cost = !l.costed ? tr("...") : l.nothing ? QStringLiteral("-") : tr("not stated");
        if (l.cents && l.costed) {
            cost = fromUtf8(shop::showMoney(*l.cents, l.low, l.high, currency));
            // An amount that is not proven is never shown as if it were.
            if (!l.proven) cost = tr("%1, not proven").arg(cost);
        }
        if (!l.insteadOf.isEmpty()) cost = tr("in place of %1").arg(l.insteadOf);
        const QString verdict = fromUtf8(report::stampText(report::stampOf(l.verdict)));
        const QString page = i < m_live.pages().size() ? QString::number(m_live.pages()[i]) : tr("...");
        const QString cells[] = {fromUtf8(l.mark),
                                 l.purpose,
                                 l.count,
                                 l.section,
                                 l.span,
                                 l.governing.isEmpty() ? QStringLiteral("-")
                                 : l.utilisation       ? QStringLiteral("%1 %2").arg(l.governing, fromUtf8(units::showUtilisation(*l.utilisation)))
                                                       : l.governing,
                                 old ? tr("was %1").arg(verdict) : verdict,
                                 l.mass      ? massText(*l.mass)
                                 : l.nothing ? tr("nothing to cut")
                                             : none,
                                 l.mass ? massText(*l.mass * l.off) : none,
                                 cost,
                                 page};
        for (int c = 0; c < ColumnCount; ++c) {
            QTableWidgetItem* item = &m_table->put(static_cast<int>(i), c, cells[c]);
            item->setForeground(old || (c == Page && i >= m_live.pages().size()) ? palette.softPencil : palette.pencil);
            item->setToolTip(c == Purpose ? l.purpose : QString());
        }
        // A verdict of before an edit loses its box.
        m_table->item(static_cast<int>(i), Verdict)->setData(kStampRole, old ? QVariant() : QVariant(static_cast<int>(ink::stampOf(l.verdict))));
        if (l.mark == m_member && m_table->currentRow() != static_cast<int>(i)) m_table->setCurrentCell(static_cast<int>(i), column);
    }
    m_table->fit();
    if (!m_live.workshop() || m_live.isOutOfDate()) {
        m_head->show({});
        return;
    }
    const shop::Workshop& w = *m_live.workshop();
    QString words = tr("%1 members, %2%3").arg(lines.size()).arg(w.weights.known ? QString() : tr("more than ")).arg(massText(w.weights.mass));
    if (!w.bill.currency.empty()) words += tr("; %1 in all").arg(fromUtf8(shop::showMoney(w.bill.total, w.bill.low, w.bill.high, w.bill.currency)));
    words += QLatin1Char('.');
    const bool proven = w.bill.proven || w.bill.currency.empty();
    if (w.bill.currency.empty()) words += tr(" The job states no price.");
    m_head->show(words, proven ? ink::Stamp::None : ink::Stamp::NotProven, proven ? QString() : tr("NOT PROVEN"));
}

} // namespace spanwright::views
