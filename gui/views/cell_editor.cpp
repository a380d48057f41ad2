// SPDX-License-Identifier: MIT
#include "gui/views/cell_editor.h"

#include <QHeaderView>
#include <QScrollBar>
#include <QVBoxLayout>

#include <algorithm>

#include "gui/ink/palette.h"
#include "gui/models/text.h"
#include "gui/models/words.h"

namespace spanwright::views {

namespace {

QString nameOf(const models::JobSession& session, models::CellId cell) {
    const meaning::Quantity& q = session.quantity(cell);
    const QString what = models::wordsOf(q.what.empty() ? q.name : q.what);
    return QStringLiteral("%1, %2").arg(models::fromUtf8(session.job().member(cell.member).mark), what);
}

void frame(CellEditor& editor) {
    const ink::Palette& p = ink::paletteOf(editor.palette());
    editor.setAutoFillBackground(true);
    editor.setFrameStyle(QFrame::Box | QFrame::Plain);
    editor.setLineWidth(2);
    QPalette colors = editor.palette();
    colors.setColor(QPalette::Window, p.paper);
    colors.setColor(QPalette::WindowText, p.sepia); // the frame
    editor.setPalette(colors);
}

QLabel* words(CellEditor& editor, const ink::Palette& p) {
    auto* label = new QLabel(&editor);
    label->setWordWrap(true);
    label->setFont(ink::smallFont(editor.font()));
    QPalette colors = label->palette();
    colors.setColor(QPalette::WindowText, p.pencil);
    label->setPalette(colors);
    label->setMargin(4);
    return label;
}

} // namespace

ValueEditor::ValueEditor(const models::JobSession& session, models::CellId cell, QWidget* parent)
    : ValueEditor(nameOf(session, cell), models::fromUtf8(session.quantity(cell).unit.shown), parent) {}

ValueEditor::ValueEditor(const QString& name, const QString& unit, QWidget* parent) : CellEditor(parent), m_line(new QLineEdit(this)) {
    const ink::Palette p = ink::paletteOf(palette());
    frame(*this);
    m_refusal = words(*this, p);
    m_refusal->hide();
    auto* column = new QVBoxLayout(this);
    column->setContentsMargins(0, 0, 0, 0);
    column->setSpacing(0);
    column->addWidget(m_line);
    column->addWidget(m_refusal);
    m_line->setFrame(false);
    m_line->setAlignment(Qt::AlignRight);
    m_line->setAccessibleName(name);
    m_line->setPlaceholderText(unit);
    setFocusProxy(m_line);
    // A new text may be right: the old reason goes.
    connect(m_line, &QLineEdit::textEdited, this, [this] {
        showRefusal({});
        Q_EMIT retyped();
    });
}

void ValueEditor::start(const QString& text) {
    m_line->setText(text);
    m_line->selectAll();
}

void ValueEditor::retype(const QString& text) {
    m_line->setText(text);
    m_line->setModified(true);
}

void ValueEditor::showRefusal(const QString& reason) {
    if (m_refusal->text() == reason) return;
    m_refusal->setText(reason);
    m_refusal->setVisible(!reason.isEmpty());
    m_line->setAccessibleDescription(reason);
    Q_EMIT grown();
}

QSize ValueEditor::sizeHint() const {
    const int line = m_line->sizeHint().height() + 4;
    if (m_refusal->text().isEmpty()) return {120, line};
    const int width = std::max(280, fontMetrics().averageCharWidth() * 44);
    return {width, line + m_refusal->heightForWidth(width - 8) + 6};
}

ChoiceEditor::ChoiceEditor(const models::JobSession& session, models::CellId cell, QWidget* parent)
    : CellEditor(parent), m_rows(session, cell), m_table(new QTableView(this)) {
    const ink::Palette p = ink::paletteOf(palette());
    frame(*this);
    m_words = words(*this, p);
    auto* column = new QVBoxLayout(this);
    column->setContentsMargins(0, 0, 0, 0);
    column->setSpacing(0);
    column->addWidget(m_table);
    column->addWidget(m_words);
    m_table->setModel(&m_rows);
    m_table->setFrameStyle(QFrame::NoFrame);
    m_table->setSelectionBehavior(QAbstractItemView::SelectRows);
    m_table->setSelectionMode(QAbstractItemView::SingleSelection);
    m_table->setTabKeyNavigation(false);
    m_table->setShowGrid(false);
    m_table->verticalHeader()->hide();
    m_table->verticalHeader()->setDefaultSectionSize(static_cast<int>(fontMetrics().height() * 1.5));
    m_table->horizontalHeader()->setFont(ink::smallFont(font()));
    m_table->horizontalHeader()->setHighlightSections(false);
    m_table->setAccessibleName(nameOf(session, cell));
    m_table->setEditTriggers(QAbstractItemView::NoEditTriggers);
    // Only as many rows as are seen are measured.
    m_table->horizontalHeader()->setResizeContentsPrecision(50);
    m_table->resizeColumnsToContents();
    for (int c = 0; c < m_rows.columnCount(); ++c) m_table->setColumnWidth(c, std::min(m_table->columnWidth(c) + 8, fontMetrics().averageCharWidth() * 40));
    m_words->setText(m_rows.source());
    m_words->setVisible(!m_rows.source().isEmpty());
    setFocusProxy(m_table);
    connect(m_table, &QTableView::clicked, this, &CellEditor::chosen);
}

void ChoiceEditor::start(const QString& text) {
    m_start = text;
    int row = m_rows.current().value_or(-1);
    if (row < 0) row = 0;
    m_table->setCurrentIndex(m_rows.index(row, 0));
    m_table->scrollTo(m_rows.index(row, 0), QAbstractItemView::PositionAtCenter);
}

void ChoiceEditor::retype(const QString& text) {
    for (int r = 0; r < m_rows.rowCount(); ++r)
        if (m_rows.key(r) == text) m_table->setCurrentIndex(m_rows.index(r, 0));
}

QString ChoiceEditor::text() const {
    const QModelIndex at = m_table->currentIndex();
    return at.isValid() ? m_rows.key(at.row()) : m_start;
}

void ChoiceEditor::showRefusal(const QString& reason) {
    if (reason.isEmpty()) return;
    m_words->setText(reason);
    m_words->show();
    m_table->setAccessibleDescription(reason);
    Q_EMIT grown();
}

QSize ChoiceEditor::sizeHint() const {
    int width = 8;
    for (int c = 0; c < m_rows.columnCount(); ++c) width += m_table->columnWidth(c);
    const int rows = std::min(m_rows.rowCount(), 12);
    const int scrolls = m_rows.rowCount() > rows ? m_table->verticalScrollBar()->sizeHint().width() : 0;
    width = std::clamp(width + scrolls, 200, 900);
    int height = m_table->horizontalHeader()->sizeHint().height() + rows * m_table->verticalHeader()->defaultSectionSize() + 10;
    if (!m_words->text().isEmpty()) height += m_words->heightForWidth(width - 8);
    return {width, height};
}

} // namespace spanwright::views
