// SPDX-License-Identifier: MIT
#include "gui/views/list_editor.h"

#include <QCompleter>
#include <QEvent>
#include <QHeaderView>
#include <QKeyEvent>
#include <QLabel>
#include <QLineEdit>
#include <QPainter>
#include <QPushButton>
#include <QScrollBar>
#include <QStyledItemDelegate>
#include <QTableView>
#include <QVBoxLayout>

#include <algorithm>
#include <functional>

#include "gui/ink/palette.h"

namespace spanwright::views {

using models::ListRows;

namespace {

constexpr int kMostRowsSeen = 9;

/// A field on a dotted line, as every value that somebody states; a refused text in a box. Words that the sheet knows are
/// offered.
class FieldDelegate : public QStyledItemDelegate {
public:
    FieldDelegate(const ListRows& rows, QObject* parent) : QStyledItemDelegate(parent), m_rows(rows) {}

    void paint(QPainter* painter, const QStyleOptionViewItem& option, const QModelIndex& index) const override {
        const ink::Palette& p = ink::paletteOf(option.palette);
        const bool focus = (option.state & QStyle::State_HasFocus) != 0;
        const bool refused = !index.data(ListRows::RefusalRole).toString().isEmpty();
        const QRectF rect(option.rect), place = rect.adjusted(6, 0, -6, 0);
        painter->save();
        painter->fillRect(option.rect, (option.state & QStyle::State_Selected) != 0 ? p.card : p.paper);
        painter->setClipRect(option.rect);
        painter->setFont(option.font);
        painter->setPen(p.pencil);
        const QFontMetricsF fm(option.font);
        const auto align = static_cast<Qt::Alignment>(index.data(Qt::TextAlignmentRole).toInt());
        painter->drawText(place, static_cast<int>(align), fm.elidedText(index.data().toString(), Qt::ElideRight, place.width()));
        const qreal y = std::round(place.center().y() + fm.height() * 0.56) + 0.5;
        painter->setPen(QPen(p.pencil, 1, Qt::DotLine));
        painter->drawLine(QPointF(place.left(), y), QPointF(place.right(), y));
        if (refused || focus) {
            painter->setPen(QPen(p.sepia, focus ? 2 : 1, refused ? Qt::DashLine : Qt::SolidLine));
            painter->setBrush(Qt::NoBrush);
            painter->drawRect(rect.adjusted(1, 1, -2, -2));
        }
        painter->restore();
    }

    QWidget* createEditor(QWidget* parent, const QStyleOptionViewItem& option, const QModelIndex& index) const override {
        QWidget* editor = QStyledItemDelegate::createEditor(parent, option, index);
        editor->setAccessibleName(m_rows.headerData(index.column(), Qt::Horizontal, Qt::DisplayRole).toString());
        const QStringList& known = m_rows.knownWords(index.column());
        if (auto* line = qobject_cast<QLineEdit*>(editor); line != nullptr && !known.isEmpty()) {
            auto* completer = new QCompleter(known, line);
            completer->setCaseSensitivity(Qt::CaseInsensitive);
            completer->setCompletionMode(QCompleter::InlineCompletion);
            line->setCompleter(completer);
        }
        return editor;
    }

private:
    const ListRows& m_rows;
};

} // namespace

ListEditor::ListEditor(models::JobSession& session, models::CellId cell, QWidget* parent)
    : QWidget(parent), m_rows(session, cell), m_table(new QTableView(this)), m_told(new QLabel(this)), m_buttons(new QWidget(this)) {
    auto* column = new QVBoxLayout(this);
    column->setContentsMargins(0, 0, 0, 0);
    column->setSpacing(4);
    m_table->setModel(&m_rows);
    m_table->setItemDelegate(new FieldDelegate(m_rows, m_table));
    m_table->setAccessibleName(tr("Rows of %1").arg(m_rows.what().isEmpty() ? QString::fromStdString(m_rows.name()) : m_rows.what()));
    m_table->setTabKeyNavigation(false);
    m_table->setSelectionMode(QAbstractItemView::SingleSelection);
    m_table->setShowGrid(false);
    m_table->setWordWrap(false);
    m_table->setEditTriggers(QAbstractItemView::DoubleClicked | QAbstractItemView::EditKeyPressed | QAbstractItemView::AnyKeyPressed |
                             QAbstractItemView::SelectedClicked);
    m_table->horizontalHeader()->setHighlightSections(false);
    m_table->horizontalHeader()->setStretchLastSection(true);
    m_table->verticalHeader()->hide();
    m_table->setHorizontalScrollMode(QAbstractItemView::ScrollPerPixel);
    m_table->installEventFilter(this);
    column->addWidget(m_table, 1);
    m_told->setWordWrap(true);
    m_told->setTextFormat(Qt::PlainText);
    m_told->hide();
    column->addWidget(m_told);
    auto* row = new QHBoxLayout(m_buttons);
    row->setContentsMargins(0, 0, 0, 0);
    const auto button = [&](const QString& text, const QString& key, const char* id, const std::function<void()>& does) {
        auto* b = new QPushButton(text, this);
        b->setObjectName(QLatin1String(id));
        b->setAutoDefault(false);
        b->setMinimumWidth(1);
        if (!key.isEmpty()) b->setToolTip(tr("%1 (%2)").arg(text, key));
        connect(b, &QPushButton::clicked, this, does);
        row->addWidget(b);
        return b;
    };
    button(tr("Add a row"), QKeySequence(Qt::Key_Insert).toString(QKeySequence::NativeText), "addListRow", [this] { addRow(); });
    button(tr("Take it out"), QKeySequence(Qt::CTRL | Qt::Key_Delete).toString(QKeySequence::NativeText), "removeListRow", [this] { removeRow(); });
    button(tr("Up"), QKeySequence(Qt::CTRL | Qt::SHIFT | Qt::Key_Up).toString(QKeySequence::NativeText), "listRowUp", [this] { moveRow(-1); });
    button(tr("Down"), QKeySequence(Qt::CTRL | Qt::SHIFT | Qt::Key_Down).toString(QKeySequence::NativeText), "listRowDown", [this] { moveRow(1); });
    m_asInSheet = button(tr("As in the sheet"), {}, "listAsInSheet", [this] {
        const models::Outcome no = m_rows.takeBack();
        say(no ? no->message : QString());
    });
    row->addStretch(1);
    column->addWidget(m_buttons);
    setFocusProxy(m_table);
    setSizePolicy(QSizePolicy::Expanding, QSizePolicy::Fixed);
    // Behind the model's own signals, so that its views are up to date when the job answers.
    connect(&m_rows, &QAbstractItemModel::dataChanged, this, &ListEditor::state);
    connect(&m_rows, &QAbstractItemModel::rowsInserted, this, &ListEditor::state);
    connect(&m_rows, &QAbstractItemModel::rowsRemoved, this, &ListEditor::state);
    connect(&m_rows, &QAbstractItemModel::rowsMoved, this, &ListEditor::state);
    connect(&m_rows, &QAbstractItemModel::modelReset, this, [this] {
        say({});
        m_asInSheet->setEnabled(m_rows.isStated());
        updateGeometry();
        Q_EMIT grown();
    });
    m_asInSheet->setEnabled(m_rows.isStated());
    fit();
    if (m_rows.rowCount() > 0) m_table->setCurrentIndex(m_rows.index(0, 0));
}

void ListEditor::fit() {
    const int letter = fontMetrics().averageCharWidth();
    m_table->verticalHeader()->setDefaultSectionSize(static_cast<int>(fontMetrics().height() * 1.7));
    m_table->verticalHeader()->setMinimumSectionSize(4);
    m_told->setFont(ink::smallFont(font()));
    m_table->horizontalHeader()->setFont(ink::smallFont(font()));
    m_table->resizeColumnsToContents();
    for (int c = 0; c < m_rows.columnCount(); ++c) {
        const int least = m_rows.isText(c) || c == 0 ? letter * 16 : letter * 8;
        m_table->setColumnWidth(c, std::clamp(m_table->columnWidth(c) + 12, least, letter * 34));
    }
    updateGeometry();
}

QSize ListEditor::sizeHint() const {
    const int rows = std::clamp(m_rows.rowCount(), 1, kMostRowsSeen);
    int height = m_table->horizontalHeader()->sizeHint().height() + rows * m_table->verticalHeader()->defaultSectionSize() + 6;
    height += m_buttons->sizeHint().height() + 4;
    // Columns that do not fit get a bar below them.
    int wide = 0;
    for (int c = 0; c < m_rows.columnCount(); ++c)
        wide += c + 1 < m_rows.columnCount() ? m_table->columnWidth(c) : m_table->horizontalHeader()->minimumSectionSize();
    if (wide > m_table->width()) height += m_table->horizontalScrollBar()->sizeHint().height();
    if (!m_told->text().isEmpty()) height += m_told->heightForWidth(std::max(160, width() - 8)) + 4;
    return {fontMetrics().averageCharWidth() * 60, height};
}

int ListEditor::current() const { return m_table->currentIndex().row(); }

void ListEditor::addRow() {
    const int at = current() >= 0 ? current() + 1 : m_rows.rowCount();
    m_rows.insertRow(at);
    m_table->setCurrentIndex(m_rows.index(at, 0));
    m_table->setFocus();
}

void ListEditor::removeRow() {
    const QModelIndex at = m_table->currentIndex();
    if (!at.isValid()) return;
    m_rows.removeRow(at.row());
    if (m_rows.rowCount() > 0) m_table->setCurrentIndex(m_rows.index(std::min(at.row(), m_rows.rowCount() - 1), at.column()));
    m_table->setFocus();
}

void ListEditor::moveRow(int by) { m_rows.moveRow(current(), by); }

void ListEditor::state() {
    const models::Outcome no = m_rows.state();
    say(!no ? QString() : no->mend.isEmpty() ? no->message : tr("%1; mend: %2").arg(no->message, no->mend));
    m_asInSheet->setEnabled(m_rows.isStated());
    Q_EMIT grown();
}

void ListEditor::say(const QString& words) {
    m_told->setText(words);
    m_told->setVisible(!words.isEmpty());
    m_table->setAccessibleDescription(words);
    updateGeometry();
    if (!words.isEmpty()) Q_EMIT refused();
}

void ListEditor::takeTyped() {
    auto* line = m_table->viewport()->findChild<QLineEdit*>(QString(), Qt::FindDirectChildrenOnly);
    if (line == nullptr) return;
    Q_EMIT m_table->itemDelegate()->commitData(line);
    Q_EMIT m_table->itemDelegate()->closeEditor(line);
}

QString ListEditor::told() const { return m_told->text(); }

const QWidget& ListEditor::toldBelow() const { return *m_told; }

bool ListEditor::eventFilter(QObject* object, QEvent* event) {
    if (object != m_table || (event->type() != QEvent::KeyPress && event->type() != QEvent::ShortcutOverride)) return QWidget::eventFilter(object, event);
    auto* key = static_cast<QKeyEvent*>(event);
    const auto mods = key->modifiers() & ~Qt::KeypadModifier;
    std::function<void()> does;
    if (key->key() == Qt::Key_Insert && mods == Qt::NoModifier) does = [this] { addRow(); };
    if (key->key() == Qt::Key_Delete && mods == Qt::ControlModifier) does = [this] { removeRow(); };
    if (key->key() == Qt::Key_Up && mods == (Qt::ControlModifier | Qt::ShiftModifier)) does = [this] { moveRow(-1); };
    if (key->key() == Qt::Key_Down && mods == (Qt::ControlModifier | Qt::ShiftModifier)) does = [this] { moveRow(1); };
    if (key->key() == Qt::Key_Escape && mods == Qt::NoModifier) does = [this] { Q_EMIT leaveWanted(); };
    if ((key->key() == Qt::Key_Return || key->key() == Qt::Key_Enter) && mods == Qt::NoModifier && m_table->currentIndex().isValid())
        does = [this] {
            // What ends an editor comes here too, behind it.
            if (!m_table->isPersistentEditorOpen(m_table->currentIndex())) m_table->edit(m_table->currentIndex());
        };
    if (!does) return QWidget::eventFilter(object, event);
    // The window has the same keys for rows of sheets: here they are the list's.
    if (event->type() == QEvent::ShortcutOverride)
        event->accept();
    else
        does();
    return true;
}

void ListEditor::resizeEvent(QResizeEvent* event) {
    QWidget::resizeEvent(event);
    updateGeometry(); // words below the rows may need more lines
}

void ListEditor::changeEvent(QEvent* event) {
    QWidget::changeEvent(event);
    if (event->type() == QEvent::FontChange && m_buttons != nullptr) fit();
}

} // namespace spanwright::views
