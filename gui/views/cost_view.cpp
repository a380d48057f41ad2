// SPDX-License-Identifier: MIT
#include "gui/views/cost_view.h"

#include <QLabel>
#include <QResizeEvent>
#include <QScrollArea>
#include <QSplitter>
#include <QVBoxLayout>

#include <algorithm>

#include "gui/ink/palette.h"
#include "gui/models/text.h"
#include "gui/models/words.h"
#include "gui/views/cost_picture.h"
#include "gui/views/row_table.h"
#include "gui/views/workshop_head.h"

namespace spanwright::views {

using models::fromUtf8;
using models::LiveWorkshop;

CostView::CostView(LiveWorkshop& live, QWidget* parent) : QWidget(parent), m_live(live) {
    auto* column = new QVBoxLayout(this);
    column->setContentsMargins(0, 0, 0, 0);
    column->setSpacing(0);
    m_head = new WorkshopHead(live, false, this);
    column->addWidget(m_head);
    m_split = new QSplitter(Qt::Horizontal, this);
    m_split->setChildrenCollapsible(false);
    m_table = new RowTable({tr("Paid for"), tr("Item"), tr("Amount"), tr("From"), tr("To"), tr("What")}, What, m_split);
    m_table->setAccessibleName(tr("The bill, line by line"));
    m_scroll = new QScrollArea(m_split);
    m_scroll->setFrameStyle(QFrame::NoFrame);
    m_scroll->setWidgetResizable(true);
    m_scroll->setFocusPolicy(Qt::NoFocus);
    auto* inside = new QWidget(m_scroll);
    auto* list = new QVBoxLayout(inside);
    list->setContentsMargins(0, 0, 0, 0);
    m_picture = new CostPicture(inside);
    list->addWidget(m_picture);
    m_remarks = new QLabel(inside);
    m_remarks->setWordWrap(true);
    m_remarks->setTextFormat(Qt::PlainText);
    m_remarks->setContentsMargins(8, 0, 8, 8);
    m_remarks->setTextInteractionFlags(Qt::TextSelectableByMouse);
    list->addWidget(m_remarks);
    list->addStretch(1);
    m_scroll->setWidget(inside);
    m_split->addWidget(m_table);
    m_split->addWidget(m_scroll);
    m_split->setStretchFactor(0, 1);
    m_split->setStretchFactor(1, 1);
    m_split->setSizes({1000, 1000});
    column->addWidget(m_split, 1);
    setFocusProxy(m_table);
    m_head->addExport(tr("&Bill as CSV..."), [this] { Q_EMIT billWanted(); });
    m_head->addExport(tr("&Copy as tab-separated text"), [this] { m_table->copy(true); });
    connect(m_table, &RowTable::chosen, this, [this](int row) { follow(row); });
    connect(m_table, &QTableWidget::currentCellChanged, this, [this](int row, int, int before, int) {
        if (row != before) draw();
    });
    connect(m_picture, &CostPicture::followed, this, [this](const QString& mark) { Q_EMIT followed(mark, {}); });
    connect(m_picture, &CostPicture::wanted, this,
            [this](const QRect& place) { m_scroll->ensureVisible(place.center().x(), place.center().y(), 0, place.height()); });
    connect(m_table, &RowTable::looksChanged, this, &CostView::refresh);
    connect(&live, &LiveWorkshop::changed, this, &CostView::refresh);
    refresh();
}

QString CostView::remarks() const { return m_remarks->text(); }

/// The line of the bill in a row of the table; the first row is all of them.
std::optional<std::size_t> CostView::lineOf(int row) const {
    if (row <= 0 || !m_shown || static_cast<std::size_t>(row) > m_shown->bill.lines.size()) return {};
    return static_cast<std::size_t>(row) - 1;
}

void CostView::follow(int row) {
    const auto line = lineOf(row);
    if (!line) return;
    const shop::Bill& bill = m_shown->bill;
    const shop::BillLine& l = bill.lines[*line];
    // The member that is looked at, if it has a share; else the one that has the largest.
    std::size_t who = bill.members.size();
    for (std::size_t i = 0; i < bill.members.size(); ++i) {
        if (l.shares[i] <= 0) continue;
        if (bill.members[i].mark == m_member) {
            who = i;
            break;
        }
        if (who == bill.members.size() || l.shares[i] > l.shares[who]) who = i;
    }
    if (who == bill.members.size()) return;
    // The first of its pieces that is cut from that stock, or on which that work is done.
    std::string operation = l.item;
    for (const auto& c : m_shown->rows.consumables)
        if (c.name == l.item) operation = c.operation;
    for (const auto& t : m_shown->rows.tools)
        if (t.name == l.item) operation = t.operation;
    std::string piece;
    const auto& parts = m_shown->parts.parts;
    for (const shop::GroupPlan& g : m_shown->plan.groups)
        for (const shop::CutBoard& b : g.boards)
            for (const shop::CutPiece& p : b.pieces)
                if (piece.empty() && l.sort == shop::BillLine::Sort::Material && m_shown->rows.stock[b.stock].name == l.item &&
                    parts[p.part].member == bill.members[who].index)
                    piece = parts[p.part].view.name;
    for (const shop::Part& p : parts)
        for (const auto& o : p.view.operations)
            if (piece.empty() && p.member == bill.members[who].index && o.name == operation) piece = p.view.name;
    Q_EMIT followed(fromUtf8(bill.members[who].mark), fromUtf8(piece));
}

void CostView::setMember(const std::string& mark) {
    m_member = mark;
    m_picture->setMember(mark);
}

void CostView::resizeEvent(QResizeEvent* event) {
    QWidget::resizeEvent(event);
    // Beside one another where there is room, else one below the other.
    const Qt::Orientation fits = width() > 1.3 * height() && width() > fontMetrics().averageCharWidth() * 110 ? Qt::Horizontal : Qt::Vertical;
    if (m_split->orientation() != fits) m_split->setOrientation(fits);
}

void CostView::showEvent(QShowEvent* event) {
    QWidget::showEvent(event);
    refresh();
}

void CostView::draw() { m_picture->show(m_shown, lineOf(m_table->currentRow()), m_shownOld); }

void CostView::refresh() {
    if (!isVisible()) return;
    m_shown = m_live.workshop();
    m_shownOld = m_live.isOutOfDate();
    const ink::Palette& p = ink::paletteOf(palette());
    const shop::Bill none;
    const shop::Bill& bill = m_shown ? m_shown->bill : none;
    const auto bare = [&](shop::Cents c) { return fromUtf8(shop::showMoney(c, bill.currency)).section(QLatin1Char(' '), 0, 0); };
    const bool any = m_shown && !bill.currency.empty();
    m_table->setRowCount(any ? static_cast<int>(bill.lines.size()) + 1 : 0);
    for (int r = 0; r < m_table->rowCount(); ++r) {
        const shop::BillLine* l = r > 0 ? &bill.lines[static_cast<std::size_t>(r) - 1] : nullptr;
        const shop::Cents all = l ? l->cents : bill.total, low = l ? l->low : bill.low, high = l ? l->high : bill.high;
        const QString cells[] = {l ? fromUtf8(shop::sortText(l->sort)) : tr("all"),
                                 l ? fromUtf8(l->item) : QString(),
                                 fromUtf8(shop::showMoney(all, bill.currency)) + (!l && !bill.proven ? tr(", not proven") : QString()),
                                 bill.ranged ? bare(low) : QString(),
                                 bill.ranged ? bare(high) : QString(),
                                 l ? fromUtf8(l->what) : tr("the whole job")};
        const QString how = l ? QStringLiteral("%1\n%2\n= %3").arg(fromUtf8(l->working.formula), fromUtf8(l->working.putIn), fromUtf8(l->working.result))
                              : QStringLiteral("%1\n%2\n= %3").arg(fromUtf8(bill.working.formula), fromUtf8(bill.working.putIn), fromUtf8(bill.working.result));
        for (int c = 0; c < ColumnCount; ++c) {
            QTableWidgetItem* item = &m_table->put(r, c, cells[c]);
            item->setForeground(m_shownOld ? p.softPencil : p.pencil);
            item->setTextAlignment(c == Amount || c == From || c == To ? Qt::AlignRight | Qt::AlignVCenter : Qt::AlignLeft | Qt::AlignVCenter);
            item->setToolTip(how);
        }
    }
    m_table->setColumnHidden(From, !bill.ranged);
    m_table->setColumnHidden(To, !bill.ranged);
    m_table->fit();
    QStringList remarks;
    if (any) {
        if (bill.ranged) remarks << tr("From and to: %1.").arg(fromUtf8(shop::Bill::rangeRule()));
        if (!bill.wasteWorking.formula.empty())
            remarks << tr("Offcuts and waste: %1 of the area bought, %2 of the material.")
                           .arg(fromUtf8(bill.wasteWorking.result), fromUtf8(shop::showMoney(bill.rest, bill.currency)));
        for (const std::string& why : bill.reasons) remarks << tr("Not proven: %1.").arg(models::wordsOf(why));
        for (const std::string& left : bill.notCounted) remarks << tr("Not counted: %1.").arg(fromUtf8(left));
    }
    m_remarks->setText(remarks.join(QLatin1Char('\n')));
    QPalette soft = palette();
    if (m_shownOld) soft.setColor(QPalette::WindowText, p.softPencil);
    m_remarks->setPalette(soft);
    draw();
    if (!m_shown || m_shownOld) {
        m_head->show({});
        return;
    }
    if (!any) {
        m_head->show(tr("The job states no price."));
        return;
    }
    QString words = tr("In all %1").arg(fromUtf8(shop::showMoney(bill.total, bill.currency)));
    if (bill.ranged) words += tr(", from %1").arg(fromUtf8(shop::showRange(bill.low, bill.high, bill.currency)));
    words += bill.proven ? tr("; every price is dated and holds on the job's date.")
                         : tr("; %1%2").arg(bill.reasons.empty() ? QString() : models::wordsOf(bill.reasons.front()),
                                            bill.reasons.size() > 1 ? tr(" (and %1 more).").arg(bill.reasons.size() - 1) : QStringLiteral("."));
    m_head->show(words, bill.proven ? ink::Stamp::None : ink::Stamp::NotProven, bill.proven ? QString() : tr("NOT PROVEN"));
}

} // namespace spanwright::views
