// SPDX-License-Identifier: MIT
#include "gui/views/row_table.h"

#include <QApplication>
#include <QClipboard>
#include <QHeaderView>
#include <QKeyEvent>
#include <QPainter>
#include <QStyledItemDelegate>

#include <set>

#include "gui/ink/palette.h"

namespace spanwright::views {

namespace {
constexpr int kWideLetters = 24;
constexpr int kBar = 3; // px: at the left of rows that are selected

/// A selected row stands on card, with a bar at its left.
class RowDelegate : public QStyledItemDelegate {
public:
    using QStyledItemDelegate::QStyledItemDelegate;
    void paint(QPainter* painter, const QStyleOptionViewItem& option, const QModelIndex& index) const override {
        QStyledItemDelegate::paint(painter, option, index);
        if (index.column() == 0 && (option.state & QStyle::State_Selected) != 0)
            painter->fillRect(QRect(option.rect.topLeft(), QSize(kBar, option.rect.height())), ink::paletteOf(option.palette).sepia);
    }
};

} // namespace

RowTable::RowTable(const QStringList& heads, int wide, QWidget* parent) : QTableWidget(0, static_cast<int>(heads.size()), parent), m_wide(wide) {
    setHorizontalHeaderLabels(heads);
    setEditTriggers(QAbstractItemView::NoEditTriggers);
    setSelectionBehavior(QAbstractItemView::SelectRows);
    setSelectionMode(QAbstractItemView::ExtendedSelection);
    verticalHeader()->hide();
    setTabKeyNavigation(false);
    setShowGrid(false);
    setWordWrap(false);
    setFrameStyle(QFrame::NoFrame);
    setHorizontalScrollMode(QAbstractItemView::ScrollPerPixel);
    horizontalHeader()->setHighlightSections(false);
    horizontalHeader()->setDefaultAlignment(Qt::AlignLeft | Qt::AlignVCenter);
    setItemDelegate(new RowDelegate(this));
    paintSelection();
    m_looksSoon.setSingleShot(true);
    m_looksSoon.setInterval(0);
    connect(&m_looksSoon, &QTimer::timeout, this, &RowTable::looksChanged);
    connect(this, &QTableWidget::cellClicked, this, [this](int row, int) { Q_EMIT chosen(row); });
}

QTableWidgetItem& RowTable::put(int row, int column, const QString& text) {
    QTableWidgetItem* cell = item(row, column);
    if (cell == nullptr) {
        cell = new QTableWidgetItem;
        setItem(row, column, cell);
    }
    if (cell->text() != text) cell->setText(text);
    return *cell;
}

void RowTable::fit() {
    if (rowCount() == 0) return;
    for (int c = 0; c < columnCount(); ++c) {
        if (isColumnHidden(c)) continue;
        if (c == m_wide) {
            const int most = fontMetrics().averageCharWidth() * kWideLetters;
            if (!m_fitted) resizeColumnToContents(c);
            if (!m_fitted && columnWidth(c) > most) setColumnWidth(c, most);
        } else if (!m_fitted || sizeHintForColumn(c) > columnWidth(c)) {
            resizeColumnToContents(c);
        }
    }
    m_fitted = true;
    resizeRowsToContents();
}

QString RowTable::tabText(bool all) const {
    std::set<int> rows;
    for (const QModelIndex& at : selectionModel()->selectedIndexes()) rows.insert(at.row());
    if (all || rows.empty())
        for (int r = 0; r < rowCount(); ++r) rows.insert(r);
    const auto clean = [](QString text) { return text.replace(QLatin1Char('\t'), QLatin1Char(' ')).replace(QLatin1Char('\n'), QLatin1Char(' ')); };
    QStringList heads;
    for (int c = 0; c < columnCount(); ++c) heads << clean(horizontalHeaderItem(c)->text());
    QString out = heads.join(QLatin1Char('\t')) + QLatin1Char('\n');
    for (const int r : rows) {
        QStringList cells;
        for (int c = 0; c < columnCount(); ++c) cells << (item(r, c) != nullptr ? clean(item(r, c)->text()) : QString());
        out += cells.join(QLatin1Char('\t')) + QLatin1Char('\n');
    }
    return out;
}

void RowTable::copy(bool all) const { QApplication::clipboard()->setText(tabText(all)); }

bool RowTable::event(QEvent* event) {
    if (event->type() == QEvent::ShortcutOverride && static_cast<QKeyEvent*>(event)->matches(QKeySequence::Copy)) {
        event->accept();
        return true;
    }
    return QTableWidget::event(event);
}

void RowTable::keyPressEvent(QKeyEvent* event) {
    if (event->matches(QKeySequence::Copy)) {
        copy(false);
        return;
    }
    if ((event->key() == Qt::Key_Return || event->key() == Qt::Key_Enter) && currentRow() >= 0) {
        Q_EMIT chosen(currentRow());
        return;
    }
    QTableWidget::keyPressEvent(event);
}

void RowTable::changeEvent(QEvent* event) {
    if (event->type() == QEvent::FontChange) m_fitted = false;
    QTableWidget::changeEvent(event);
    if (event->type() == QEvent::PaletteChange) paintSelection();
    if (event->type() == QEvent::PaletteChange || event->type() == QEvent::FontChange) m_looksSoon.start();
}

void RowTable::paintSelection() {
    const ink::Palette& p = ink::paletteOf(QApplication::palette());
    if (palette().color(QPalette::Highlight) == p.card && palette().color(QPalette::HighlightedText) == p.pencil) return;
    QPalette own;
    own.setColor(QPalette::Highlight, p.card);
    own.setColor(QPalette::HighlightedText, p.pencil);
    setPalette(own);
}

} // namespace spanwright::views
