// SPDX-License-Identifier: MIT
#include "gui/views/grid_view.h"

#include <QContextMenuEvent>
#include <QHBoxLayout>
#include <QHeaderView>
#include <QKeyEvent>
#include <QLabel>
#include <QPushButton>
#include <QScrollBar>
#include <QSplitter>
#include <QVBoxLayout>

#include <algorithm>
#include <memory>
#include <utility>

#include "gui/editor/completing_line.h"
#include "gui/models/text.h"
#include "gui/views/cell_editor.h"
#include "gui/views/grid_delegate.h"
#include "gui/views/list_editor.h"
#include "gui/views/member_head.h"
#include "gui/views/row_editor.h"

namespace spanwright::views {

using models::GridModel;
using models::GridRow;

namespace {

constexpr int kMemberLetters = 29; ///< a value with its unit, where it comes from before it

/// A table that paints of what changed only the cells that are seen.
class CellTable : public QTableView {
public:
    using QTableView::QTableView;

    void setModel(QAbstractItemModel* model) override {
        QTableView::setModel(model);
        // What a member's head says changes with nearly every edit, and never how large anything is: no cause to lay out and paint all cells.
        const char* const layOut = "_q_headerDataChanged()";
        if (QAbstractItemView::staticMetaObject.indexOfSlot(layOut) >= 0)
            disconnect(model, SIGNAL(headerDataChanged(Qt::Orientation, int, int)), this, SLOT(_q_headerDataChanged()));
    }

protected:
    void dataChanged(const QModelIndex& first, const QModelIndex& last, const QList<int>& roles) override {
        if (!first.isValid() || !last.isValid() || first == last) {
            if (!first.isValid() || !isColumnHidden(first.column())) QTableView::dataChanged(first, last, roles);
            return;
        }
        const int top = std::max(first.row(), rowAt(0)), foot = rowAt(viewport()->height() - 1);
        const int bottom = foot < 0 ? last.row() : std::min(last.row(), foot);
        const QModelIndex at = currentIndex();
        for (int c = first.column(); c <= last.column(); ++c) {
            if (isColumnHidden(c)) continue;
            for (int r = top; r <= bottom; ++r) cell(r, c, roles);
            // Somebody may be typing in a cell that was scrolled out of view.
            if (at.column() == c && at.row() >= first.row() && at.row() <= last.row() && (at.row() < top || at.row() > bottom)) cell(at.row(), c, roles);
        }
    }

private:
    void cell(int row, int column, const QList<int>& roles) {
        const QModelIndex at = model()->index(row, column);
        QTableView::dataChanged(at, at, roles);
    }
};

void prepare(QTableView& view, GridModel& model, GridDelegate& delegate) {
    auto* head = new MemberHead(&view);
    view.setHorizontalHeader(head);
    view.setModel(&model);
    view.setItemDelegate(&delegate);
    view.setShowGrid(false);
    view.setWordWrap(false);
    view.setFrameStyle(QFrame::NoFrame);
    view.setHorizontalScrollMode(QAbstractItemView::ScrollPerPixel);
    view.setVerticalScrollMode(QAbstractItemView::ScrollPerItem);
    view.setCornerButtonEnabled(false);
    view.verticalHeader()->hide();
    view.verticalHeader()->setSectionResizeMode(QHeaderView::Fixed);
}

} // namespace

GridView::GridView(GridModel& model, models::JobSession& session, QWidget* parent)
    : QWidget(parent), m_model(model), m_session(session), m_names(new CellTable(this)), m_members(new CellTable(this)),
      m_namesDelegate(new GridDelegate(model, session, this)), m_delegate(new GridDelegate(model, session, this)), m_room(new QWidget(this)) {
    prepare(*m_names, model, *m_namesDelegate);
    prepare(*m_members, model, *m_delegate);
    m_names->setAccessibleName(tr("Rows: symbol, what it is, unit"));
    m_members->setAccessibleName(tr("Values of the members"));
    m_names->setEditTriggers(QAbstractItemView::NoEditTriggers);
    m_names->setSelectionMode(QAbstractItemView::NoSelection);
    m_names->setFocusPolicy(Qt::NoFocus);
    m_names->setVerticalScrollBarPolicy(Qt::ScrollBarAlwaysOff);
    m_members->setEditTriggers(QAbstractItemView::DoubleClicked | QAbstractItemView::EditKeyPressed | QAbstractItemView::AnyKeyPressed);
    m_members->setSelectionMode(QAbstractItemView::ContiguousSelection);
    m_members->setTabKeyNavigation(false);
    setFocusProxy(m_members);

    auto* split = m_split = new QSplitter(Qt::Horizontal, this);
    auto* left = new QWidget(split);
    auto* column = new QVBoxLayout(left);
    column->setContentsMargins(0, 0, 0, 0);
    column->setSpacing(0);
    column->addWidget(m_names, 1);
    column->addWidget(m_room);
    split->addWidget(left);
    split->addWidget(m_members);
    split->setStretchFactor(0, 0);
    split->setStretchFactor(1, 1);
    split->setChildrenCollapsible(false);
    split->setHandleWidth(3);
    auto* row = new QHBoxLayout(this);
    row->setContentsMargins(0, 0, 0, 0);
    row->addWidget(split);

    // Both scroll as one; the left one has room for the other's scroll bar.
    // When rows come and go each table learns of it in its own time: the names follow once they reach as far.
    const auto following = std::make_shared<bool>(false);
    const auto follow = [this, following] {
        const bool before = std::exchange(*following, true);
        m_names->verticalScrollBar()->setValue(m_members->verticalScrollBar()->value());
        *following = before;
    };
    connect(m_members->verticalScrollBar(), &QScrollBar::valueChanged, this, follow);
    connect(m_names->verticalScrollBar(), &QScrollBar::rangeChanged, this, follow);
    connect(m_names->verticalScrollBar(), &QScrollBar::valueChanged, this, [this, following](int value) {
        if (!*following) m_members->verticalScrollBar()->setValue(value);
    });
    const auto bars = [this] {
        const bool bar = m_members->horizontalScrollBar()->maximum() > 0;
        m_room->setFixedHeight(bar ? m_members->horizontalScrollBar()->sizeHint().height() : 0);
    };
    connect(m_members->horizontalScrollBar(), &QScrollBar::rangeChanged, this, bars);
    m_names->setHorizontalScrollBarPolicy(Qt::ScrollBarAlwaysOff);
    bars();

    connect(m_delegate, &EditingDelegate::retyped, this, &GridView::retyped);
    m_members->installEventFilter(this);
    m_members->viewport()->installEventFilter(this);
    m_names->viewport()->installEventFilter(this);
    connect(&model, &GridModel::modelAboutToBeReset, this, [this] {
        // The cell being typed into may stand elsewhere afterwards, or be another: what was typed goes on there.
        if (CellEditor* editor = cellEditor()) {
            if (!editor->taking && editor->isTouched()) m_kept = Kept{editor->spot, editor->text()};
            editor->done = true;
        }
        for (int c = GridModel::FirstMember; c < m_model.columnCount(); ++c)
            if (const int width = m_members->columnWidth(c); width > 0 && width != m_usualWidth)
                m_widths[m_model.headerData(c, Qt::Horizontal, Qt::DisplayRole).toString()] = width;
    });
    connect(&model, &GridModel::modelReset, this, [this] {
        m_namesDelegate->forgetSymbols();
        // Rows are others: the place of a row being written is gone, but not the row.
        if (m_rowEditor) {
            if (m_rowEditor->line().isModified() && !m_rowEditor->line().text().trimmed().isEmpty()) {
                m_keptFile = m_rowEditor->place().file;
                m_keptRow = m_rowEditor->line().text();
                Q_EMIT rowKept();
            }
            m_rowEditor->deleteLater();
        }
        m_rowEditor = nullptr;
        fit();
        keepPlace();
        placeList();
        goOnTyping();
    });
    connect(&model, &GridModel::rowsInserted, this, [this](const QModelIndex&, int first, int last) { fitHeights(first, last); });
    connect(&model, &GridModel::aboutToLeave, this, [this] {
        if (CellEditor* editor = cellEditor()) m_delegate->leave(*editor);
    });
    connect(&model, &GridModel::aboutToRelay, this, [this] {
        // An editor whose row may go is left first: what stands in it is taken or kept while its cell is known.
        if (CellEditor* editor = cellEditor()) m_delegate->leave(*editor);
        m_stood = m_members->currentIndex();
        m_relaying = true;
    });
    connect(&model, &GridModel::relaid, this, &GridView::standAfterRelay);
    m_heightsSoon.setSingleShot(true);
    m_heightsSoon.setInterval(40);
    connect(&m_heightsSoon, &QTimer::timeout, this, &GridView::fitAllHeights);
    m_shrunkSoon.setSingleShot(true);
    m_shrunkSoon.setInterval(0);
    connect(&m_shrunkSoon, &QTimer::timeout, this, [this] {
        if (current().isValid()) m_members->scrollTo(current());
    });
    connect(m_names->horizontalHeader(), &QHeaderView::sectionResized, this, [this](int section) {
        if (section == GridModel::WhatColumn) m_heightsSoon.start();
    });
    connect(m_members->verticalScrollBar(), &QScrollBar::valueChanged, this, &GridView::placeList);
    connect(m_members->selectionModel(), &QItemSelectionModel::currentChanged, this, &GridView::currentMoved);
    m_names->horizontalHeader()->setStretchLastSection(false);
    connect(split, &QSplitter::splitterMoved, this, [this] {
        m_sharedByHand = true;
        fitNames();
    });
    fit();
    keepPlace();
}

void GridView::fit() {
    const int height = GridDelegate::rowHeight(font());
    for (QTableView* view : {m_names, m_members}) view->verticalHeader()->setDefaultSectionSize(height);
    const int letter = fontMetrics().averageCharWidth();
    m_usualWidth = letter * kMemberLetters;
    m_names->horizontalHeader()->setSectionResizeMode(GridModel::WhatColumn, QHeaderView::Stretch);
    m_names->setMinimumWidth(letter * 36);
    for (int c = 0; c < m_model.columnCount(); ++c) {
        m_names->setColumnHidden(c, c >= GridModel::FirstMember);
        m_members->setColumnHidden(c, c < GridModel::FirstMember);
        if (c >= GridModel::FirstMember)
            m_members->setColumnWidth(c, m_widths.value(m_model.headerData(c, Qt::Horizontal, Qt::DisplayRole).toString(), m_usualWidth));
    }
    share();
    fitNames();
    fitAllHeights();
}

/// Widths that suit the words in each column; where there is little room, what a row is gets most of it.
void GridView::fitNames() {
    const int letter = fontMetrics().averageCharWidth();
    const bool narrow = m_names->viewport()->width() < letter * 46;
    m_names->setColumnWidth(GridModel::SymbolColumn, letter * (narrow ? 11 : 15));
    m_names->setColumnWidth(GridModel::UnitColumn, letter * (narrow ? 7 : 9));
}

void GridView::fitAllHeights() {
    fitHeights(0, m_model.rowCount() - 1);
    placeList();
}

void GridView::fitHeights(int first, int last) {
    const int width = m_names->columnWidth(GridModel::WhatColumn), usual = GridDelegate::rowHeight(font());
    for (int r = first; r <= last; ++r) {
        const int height = std::max(usual, m_namesDelegate->heightOf(m_model.index(r, GridModel::WhatColumn), width, m_names->font()));
        if (m_names->rowHeight(r) == height && m_members->rowHeight(r) == height) continue;
        m_names->setRowHeight(r, height);
        m_members->setRowHeight(r, height);
    }
}

std::optional<models::CellId> GridView::currentCell() const { return m_model.cellAt(m_members->currentIndex()); }

void GridView::currentMoved(const QModelIndex& now) {
    if (m_relaying) return; // the table moves it from row to row while rows go; where it ends is told once
    m_displaced = false;
    const int row = now.isValid() ? now.row() : -1;
    m_namesDelegate->setCurrentRow(row);
    m_delegate->setCurrentRow(row);
    m_names->viewport()->update();
    if (now.isValid()) {
        m_row = row;
        if (const auto cell = m_model.cellAt(now)) m_place = models::Spot{m_session.job().member(cell->member).mark, m_session.quantity(*cell).name};
    }
    Q_EMIT currentChanged();
}

void GridView::editCurrent() {
    const QModelIndex at = m_members->currentIndex();
    if (at.isValid() && (at.flags() & Qt::ItemIsEditable) != 0) m_members->edit(at);
}

void GridView::toggleCurrent() {
    const QModelIndex at = m_members->currentIndex();
    if (!at.isValid()) return;
    const GridRow row = m_model.rowAt(at.row());
    bool opened = false;
    if (row.sort == GridRow::Sort::Part) {
        opened = at.data(GridModel::FoldedRole).toBool();
        m_model.setFolded(at.row(), !opened);
    } else if (row.sort == GridRow::Sort::Value && at.data(GridModel::OpensRole).toBool()) {
        opened = !at.data(GridModel::OpenRole).toBool();
        m_model.setOpen(at.row(), opened);
    }
    const QModelIndex now = m_members->currentIndex();
    if (!opened || !now.isValid()) return;
    // What came is seen, as far as there is room below the row that it came of.
    int last = now.row();
    while (last + 1 < m_model.rowCount() && m_model.rowAt(last + 1).part == row.part && m_model.rowAt(last + 1).sort != GridRow::Sort::Part &&
           (row.sort == GridRow::Sort::Part || m_model.rowAt(last + 1).sort == GridRow::Sort::Case))
        ++last;
    m_members->scrollTo(m_model.index(last, now.column()));
    m_members->scrollTo(now);
}

RowEditor* GridView::editRow(RowEditor* editor, int row, bool below) {
    delete m_rowEditor;
    m_rowEditor = editor;
    editor->setParent(this);
    connect(editor, &RowEditor::grown, this, [this, row, below] { placeRowEditor(row, below); });
    connect(editor, &RowEditor::dropped, this, [this] {
        if (m_rowEditor) m_rowEditor->deleteLater();
        m_rowEditor = nullptr;
        m_members->setFocus();
    });
    // So that the row itself stays seen above it.
    m_members->scrollTo(m_model.index(std::min(row + 3, m_model.rowCount() - 1), std::max<int>(GridModel::FirstMember, m_members->currentIndex().column())));
    m_members->scrollTo(m_model.index(row, std::max<int>(GridModel::FirstMember, m_members->currentIndex().column())));
    placeRowEditor(row, below);
    editor->show();
    editor->setFocus();
    return editor;
}

void GridView::placeRowEditor(int row, bool below) {
    if (!m_rowEditor) return;
    const QRect at = m_names->visualRect(m_model.index(row, GridModel::SymbolColumn));
    const int top = m_names->viewport()->mapTo(this, below ? at.bottomLeft() : at.topLeft()).y();
    const QSize size = m_rowEditor->sizeHint();
    m_rowEditor->setGeometry(0, std::clamp(top, 0, std::max(0, height() - size.height())), width(), size.height());
    m_rowEditor->raise();
}

QString GridView::takeKeptRow(const std::string& file) { return m_keptFile == file ? std::exchange(m_keptRow, {}) : QString(); }

ListEditor* GridView::editList(models::CellId cell) {
    closeList();
    if (!goTo(cell)) return nullptr;
    auto* frame = new QFrame(this);
    frame->setAutoFillBackground(true);
    frame->setFrameStyle(QFrame::Box | QFrame::Plain);
    frame->setLineWidth(2);
    const ink::Palette& p = ink::paletteOf(palette());
    QPalette colors = frame->palette();
    colors.setColor(QPalette::Window, p.paper);
    colors.setColor(QPalette::WindowText, p.sepia); // the frame
    frame->setPalette(colors);
    auto* column = new QVBoxLayout(frame);
    column->setContentsMargins(8, 6, 8, 6);
    auto* editor = new ListEditor(m_session, cell, frame);
    auto* head = new QHBoxLayout;
    const QString mark = models::fromUtf8(editor->rows().mark());
    const QString what = editor->rows().what();
    auto* words = new QLabel(what.isEmpty() ? tr("%1: rows of %2").arg(mark, models::fromUtf8(editor->rows().name())) : tr("%1: %2").arg(mark, what), frame);
    words->setWordWrap(true);
    words->setTextFormat(Qt::PlainText);
    QPalette pencil = words->palette();
    pencil.setColor(QPalette::WindowText, p.pencil);
    words->setPalette(pencil);
    head->addWidget(words, 1);
    auto* done = new QPushButton(tr("Done"), frame);
    done->setObjectName(QStringLiteral("listDone"));
    done->setAutoDefault(false);
    connect(done, &QPushButton::clicked, this, &GridView::closeList);
    head->addWidget(done, 0, Qt::AlignTop);
    column->addLayout(head);
    column->addWidget(editor);
    m_listFrame = frame;
    m_listEditor = editor;
    connect(editor, &ListEditor::leaveWanted, this, &GridView::closeList);
    connect(editor, &ListEditor::grown, this, &GridView::placeList);
    frame->show();
    placeList();
    editor->setFocus();
    return editor;
}

void GridView::closeList() {
    if (!m_listFrame) return;
    QFrame* gone = m_listFrame;
    m_listFrame = nullptr;
    m_listEditor = nullptr;
    gone->hide();
    gone->deleteLater();
    m_members->setFocus();
}

/// Below its cell, across the grid; hidden while its row is, and gone when the list is.
void GridView::placeList() {
    if (!m_listFrame || !m_listEditor) return;
    const auto cell = m_session.isOpen() ? m_session.find(m_listEditor->rows().mark(), m_listEditor->rows().name()) : std::nullopt;
    if (!cell) return closeList();
    const QModelIndex at = m_model.indexOf(*cell);
    m_listFrame->setVisible(at.isValid());
    if (!at.isValid()) return;
    const QRect place = m_members->visualRect(at);
    const int below = m_members->viewport()->mapTo(this, place.bottomLeft()).y();
    const int high = std::min(m_listFrame->heightForWidth(width()) > 0 ? m_listFrame->heightForWidth(width()) : m_listFrame->sizeHint().height(), height());
    m_listFrame->setGeometry(0, std::clamp(below, 0, std::max(0, height() - high)), width(), high);
    m_listFrame->raise();
}

bool GridView::wantList(const QModelIndex& at) {
    const auto cell = m_model.cellAt(at);
    if (!cell || m_model.rowAt(at.row()).sort != GridRow::Sort::Value || m_session.quantity(*cell).kind != meaning::Kind::List) return false;
    Q_EMIT listWanted(*cell);
    return true;
}

bool GridView::eventFilter(QObject* object, QEvent* event) {
    if (object == m_members && event->type() == QEvent::KeyPress) {
        const auto* key = static_cast<QKeyEvent*>(event);
        const QModelIndex at = m_members->currentIndex();
        const bool editable = at.isValid() && (at.flags() & Qt::ItemIsEditable) != 0;
        if (key->key() == Qt::Key_Space && key->modifiers() == Qt::NoModifier) {
            toggleCurrent();
            return true;
        }
        if (key->key() == Qt::Key_F2 && at.isValid() && wantList(at)) return true;
        if (key->key() == Qt::Key_Return || key->key() == Qt::Key_Enter) {
            if (key->modifiers() == Qt::NoModifier && at.isValid() && wantList(at)) return true;
            if (key->modifiers() != Qt::NoModifier && key->modifiers() != Qt::KeypadModifier) return false;
            if (editable)
                editCurrent();
            else
                toggleCurrent();
            return true;
        }
    }
    if (event->type() == QEvent::MouseButtonPress || event->type() == QEvent::MouseButtonDblClick) {
        const auto* mouse = static_cast<QMouseEvent*>(event);
        const bool names = object == m_names->viewport();
        if ((names || object == m_members->viewport()) && mouse->button() == Qt::LeftButton) {
            QTableView& view = names ? *m_names : *m_members;
            const QModelIndex at = view.indexAt(mouse->pos());
            if (!at.isValid()) return QWidget::eventFilter(object, event);
            if (names) {
                const int column = std::max<int>(GridModel::FirstMember, m_members->currentIndex().column());
                m_members->setFocus(Qt::MouseFocusReason);
                m_members->setCurrentIndex(m_model.index(at.row(), column));
            }
            const bool heading = m_model.rowAt(at.row()).sort == GridRow::Sort::Part;
            const bool marks = names && at.column() == GridModel::SymbolColumn && at.data(GridModel::OpensRole).toBool() &&
                               mouse->pos().x() > m_names->visualRect(at).right() - std::max(22, fontMetrics().height() * 22 / 17);
            if (names && event->type() == QEvent::MouseButtonPress && (heading || marks)) {
                toggleCurrent();
                return true;
            }
            if (names) return true;
            if (event->type() == QEvent::MouseButtonDblClick && wantList(at)) return true;
        }
    }
    if (event->type() == QEvent::ContextMenu && (object == m_members->viewport() || object == m_names->viewport() || object == m_members)) {
        const auto* menu = static_cast<QContextMenuEvent*>(event);
        QPoint at = menu->globalPos();
        if (menu->reason() == QContextMenuEvent::Keyboard && current().isValid())
            at = m_members->viewport()->mapToGlobal(m_members->visualRect(current()).bottomLeft());
        Q_EMIT contextMenuWanted(at);
        return true;
    }
    return QWidget::eventFilter(object, event);
}

void GridView::changeEvent(QEvent* event) {
    if (event->type() == QEvent::FontChange) {
        m_widths.clear();
        m_namesDelegate->forgetSymbols();
        fit();
        share();
    }
    QWidget::changeEvent(event);
}

void GridView::resizeEvent(QResizeEvent* event) {
    share();
    placeList();
    // Something opened beside or below the grid: what is selected stays seen.
    const QSize before = event->oldSize(), now = event->size();
    if (before.isValid() && (now.height() < before.height() || now.width() < before.width())) m_shrunkSoon.start();
}

void GridView::share() {
    if (m_sharedByHand || width() <= 0) return;
    const int letter = fontMetrics().averageCharWidth();
    // What the members do not need, the words may have.
    const int over = width() - m_split->handleWidth() - m_members->horizontalHeader()->length() - m_members->verticalScrollBar()->sizeHint().width();
    const int names = std::max({letter * 36, std::min(letter * 56, width() * 2 / 5), std::min(letter * 90, over)});
    m_split->setSizes({names, std::max(1, width() - names)});
    fitNames();
}

} // namespace spanwright::views
