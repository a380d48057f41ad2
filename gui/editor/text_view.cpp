// SPDX-License-Identifier: MIT
#include "gui/editor/text_view.h"

#include <QAbstractItemView>
#include <QFontDatabase>
#include <QHelpEvent>
#include <QMimeData>
#include <QPainter>
#include <QScrollBar>
#include <QTextBlock>
#include <QTextDocumentFragment>
#include <QTextLayout>
#include <QToolTip>

#include <algorithm>
#include <cmath>

#include "gui/editor/completion_popup.h"
#include "gui/editor/row_style.h"
#include "gui/ink/palette.h"
#include "gui/models/text.h"

namespace spanwright::editor {

namespace {

/// The strip at the left of the text: numbers of lines and marks.
class Margin : public QWidget {
public:
    explicit Margin(TextView& view) : QWidget(&view), m_view(view) { setAttribute(Qt::WA_OpaquePaintEvent); }
    [[nodiscard]] QSize sizeHint() const override { return {m_view.marginWidth(), 0}; }

protected:
    void paintEvent(QPaintEvent* event) override { m_view.paintMargin(*event); }
    bool event(QEvent* event) override {
        if (event->type() != QEvent::ToolTip) return QWidget::event(event);
        const auto* help = static_cast<QHelpEvent*>(event);
        const QString text = m_view.noteAt(help->pos().y());
        if (text.isEmpty())
            QToolTip::hideText();
        else
            QToolTip::showText(help->globalPos(), text, this);
        return true;
    }

private:
    TextView& m_view;
};

QTextCharFormat formatOf(Style style, const ink::Palette& p) {
    QTextCharFormat f;
    switch (style) {
    case Style::RowWord: f.setFontWeight(QFont::Bold); break;
    case Style::Name: f.setFontItalic(true); break;
    case Style::Joining: f.setFontWeight(QFont::DemiBold); break;
    case Style::Function: break;
    case Style::Unit: f.setForeground(p.softPencil); break;
    case Style::Text: break;
    case Style::Link: f.setForeground(p.sepia); break;
    case Style::Words: f.setForeground(p.softPencil); break;
    case Style::Source:
        f.setForeground(p.softPencil);
        f.setFontItalic(true);
        break;
    case Style::Comment:
        f.setForeground(p.softPencil);
        f.setFontItalic(true);
        break;
    case Style::Bad:
        f.setForeground(p.sepia);
        f.setFontStrikeOut(false);
        break;
    }
    return f;
}

/// A mark of its own shape for each weight: told apart without colour.
void drawMark(QPainter& painter, const QRectF& box, Note::Weight weight, const ink::Palette& p) {
    painter.setRenderHint(QPainter::Antialiasing);
    painter.setBrush(Qt::NoBrush);
    switch (weight) {
    case Note::Weight::Error: // a boxed cross
        painter.setPen(QPen(p.pencil, 1.6));
        painter.drawRect(box);
        painter.drawLine(box.topLeft() + QPointF(2, 2), box.bottomRight() - QPointF(2, 2));
        painter.drawLine(box.topRight() + QPointF(-2, 2), box.bottomLeft() + QPointF(2, -2));
        break;
    case Note::Weight::Warning: // a dashed box with a stroke
        painter.setPen(QPen(p.pencil, 1.2, Qt::DashLine));
        painter.drawRect(box);
        painter.setPen(QPen(p.pencil, 1.6));
        painter.drawLine(QPointF(box.center().x(), box.top() + 2), QPointF(box.center().x(), box.bottom() - 2));
        break;
    case Note::Weight::Remark: // a ring
        painter.setPen(QPen(p.softPencil, 1.2));
        painter.drawEllipse(box);
        break;
    }
}

} // namespace

TextView::TextView(TextBuffer& buffer, QWidget* parent)
    : QPlainTextEdit(parent), m_buffer(buffer), m_margin(new Margin(*this)), m_popup(new CompletionPopup(this)),
      m_keys(*m_popup, {[this](bool asked) { suggest(asked); }, [this](const QString& word) { take(word); }, [this] { Q_EMIT leaveWanted(); }}) {
    setUndoRedoEnabled(false);
    setLineWrapMode(QPlainTextEdit::NoWrap);
    setTabChangesFocus(true);
    setFrameStyle(QFrame::NoFrame);
    setCenterOnScroll(false);
    setAccessibleName(tr("Text of the job or the sheet"));
    m_margin->setObjectName(QStringLiteral("margin"));
    connect(document(), &QTextDocument::contentsChange, this, &TextView::changed);
    connect(this, &QPlainTextEdit::updateRequest, this, [this](const QRect& rect, int dy) {
        if (dy != 0)
            m_margin->scroll(0, dy);
        else
            m_margin->update(0, rect.y(), m_margin->width(), rect.height());
    });
    connect(this, &QPlainTextEdit::blockCountChanged, this, &TextView::fitMargin);
    connect(this, &QPlainTextEdit::cursorPositionChanged, m_margin, qOverload<>(&QWidget::update));
    connect(m_popup, qOverload<const QString&>(&QCompleter::activated), this, &TextView::take);
    changeEvent(nullptr);
}

void TextView::showAll() {
    m_quiet = true;
    m_popup->close();
    m_notes.clear();
    setPlainText(m_buffer.shown());
    m_quiet = false;
    ++m_dressed;
    fitMargin();
    viewport()->update();
}

void TextView::apply(const TextBuffer::Change& change) {
    m_quiet = true;
    m_popup->close();
    QTextCursor cursor(document());
    cursor.setPosition(static_cast<int>(change.at));
    cursor.setPosition(static_cast<int>(change.at + change.removed), QTextCursor::KeepAnchor);
    cursor.insertText(change.added);
    m_quiet = false;
    ++m_dressed;
    viewport()->update();
}

/// The document tells what was done to it; looks and what an input method composes are no changes of the text.
void TextView::changed(int at, int removed, int added) {
    if (m_quiet) return;
    const qsizetype before = m_buffer.shown().size();
    const qsizetype now = document()->characterCount() - 1;
    // The block that ends the document is counted in by some changes and is no text.
    const qsizetype put = std::min<qsizetype>(added, now - at);
    const qsizetype gone = before - now + put;
    if (gone < 0 || at + gone > before || std::abs(gone - removed) > 1) {
        // Not to be told from the numbers: what is shown is compared.
        (void)m_buffer.take(models::toUtf8(toPlainText()));
        ++m_dressed;
        Q_EMIT typed();
        return;
    }
    QTextCursor cursor(document());
    cursor.setPosition(at);
    cursor.setPosition(static_cast<int>(at + put), QTextCursor::KeepAnchor);
    QString text = cursor.selectedText();
    text.replace(QChar(QChar::ParagraphSeparator), QLatin1Char('\n'));
    if (gone == put && m_buffer.shown().mid(at, gone) == text) return;
    const std::size_t rows = m_buffer.document().rows().size();
    m_buffer.edit({at, gone, text});
    // Rows below look as they did unless a bracket or a block was opened or closed.
    const int block = document()->findBlock(at).blockNumber();
    if (rows == m_buffer.document().rows().size())
        undress(block, document()->findBlock(static_cast<int>(at + put)).blockNumber() + 1);
    else
        ++m_dressed;
    Q_EMIT typed();
}

// ---- how lines look

void TextView::undress(int fromBlock, int toBlock) {
    for (QTextBlock b = document()->findBlockByNumber(std::max(0, fromBlock)); b.isValid() && b.blockNumber() <= toBlock; b = b.next()) b.setUserState(-1);
}

/// Dresses what is in view and was not yet.
void TextView::dress() {
    QTextBlock block = firstVisibleBlock();
    const int bottom = viewport()->height();
    qreal y = blockBoundingGeometry(block).translated(contentOffset()).top();
    while (block.isValid() && y <= bottom) {
        if (block.userState() != m_dressed) dressLine(block);
        y += blockBoundingRect(block).height();
        block = block.next();
    }
}

void TextView::dressLine(QTextBlock block) {
    block.setUserState(m_dressed);
    const auto line = static_cast<std::uint32_t>(block.blockNumber());
    const std::uint32_t index = m_buffer.rowOfLine(line);
    QList<QTextLayout::FormatRange> ranges;
    const auto& rows = m_buffer.document().rows();
    if (index < rows.size()) {
        const syntax::Row& row = rows[index];
        const ink::Palette& p = ink::paletteOf(palette());
        // Where this line begins in its row: bytes, and what is shown of them.
        std::size_t begin = 0;
        for (std::uint32_t skip = line - m_buffer.lineOfRow(index); skip > 0 && begin != std::string::npos; --skip) {
            const std::size_t feed = row.text.find('\n', begin);
            begin = feed == std::string::npos ? row.text.size() : feed + 1;
        }
        const std::size_t feed = row.text.find('\n', begin);
        const std::size_t end = feed == std::string::npos ? row.text.size() : feed;
        const std::string_view text = std::string_view(row.text).substr(begin, end - begin);
        const auto range = [&](base::ByteSpan span, const QTextCharFormat& format) {
            if (span.end <= begin || span.begin >= end) return;
            const qsizetype from = TextBuffer::unitsIn(text, span.begin > begin ? span.begin - begin : 0);
            const qsizetype to = TextBuffer::unitsIn(text, std::min<std::size_t>(span.end, end) - begin);
            if (to > from) ranges.append({static_cast<int>(from), static_cast<int>(to - from), format});
        };
        for (const Stretch& s : stretchesOf(row, m_buffer.document().kind())) range(s.span, formatOf(s.style, p));
        for (const Note& note : m_notes) {
            if (note.row != index || note.weight == Note::Weight::Remark) continue;
            QTextCharFormat wave;
            wave.setUnderlineStyle(QTextCharFormat::WaveUnderline);
            wave.setUnderlineColor(p.sepia);
            range(note.span, wave);
        }
    }
    if (block.layout()->formats() == ranges) return;
    block.layout()->setFormats(ranges);
    block.layout()->clearLayout(); // laid out again when it is painted
}

void TextView::setNotes(std::vector<Note> notes) {
    m_notes = std::move(notes);
    ++m_dressed;
    viewport()->update();
    m_margin->update();
}

std::vector<const Note*> TextView::notesOfLine(int line) const {
    std::vector<const Note*> out;
    for (const Note& note : m_notes) {
        const std::uint32_t first = m_buffer.lineOfRow(note.row);
        const auto& rows = m_buffer.document().rows();
        std::uint32_t at = first;
        if (note.row < rows.size()) {
            const std::string_view text(rows[note.row].text);
            at += static_cast<std::uint32_t>(
                std::count(text.begin(), text.begin() + static_cast<std::ptrdiff_t>(std::min<std::size_t>(note.span.begin, text.size())), '\n'));
            at = std::min(at, first + std::max(1U, rows[note.row].lines) - 1);
        }
        if (static_cast<int>(at) == line) out.push_back(&note);
    }
    return out;
}

void TextView::paintEvent(QPaintEvent* event) {
    dress();
    // The line of the cursor stands on a card.
    QPainter painter(viewport());
    const ink::Palette& p = ink::paletteOf(palette());
    painter.fillRect(event->rect(), p.paper);
    const QTextBlock current = textCursor().block();
    const QRectF line = blockBoundingGeometry(current).translated(contentOffset());
    painter.fillRect(QRectF(0, line.top(), viewport()->width(), line.height()), p.card);
    painter.end();
    QPlainTextEdit::paintEvent(event);
    if (hasFocus()) {
        QPainter frame(viewport());
        frame.setPen(QPen(p.sepia, 2));
        frame.drawRect(viewport()->rect().adjusted(1, 1, -1, -1));
    }
}

// ---- margin

int TextView::marginWidth() const {
    const int digits = std::max(3, static_cast<int>(std::log10(std::max(1, blockCount()))) + 1);
    return fontMetrics().horizontalAdvance(QLatin1Char('9')) * digits + fontMetrics().height() + 12;
}

void TextView::fitMargin() {
    setViewportMargins(marginWidth(), 0, 0, 0);
    m_margin->setGeometry(QRect(contentsRect().topLeft(), QSize(marginWidth(), contentsRect().height())));
}

void TextView::resizeEvent(QResizeEvent* event) {
    QPlainTextEdit::resizeEvent(event);
    fitMargin();
}

void TextView::paintMargin(QPaintEvent& event) {
    QPainter painter(m_margin);
    const ink::Palette& p = ink::paletteOf(palette());
    painter.fillRect(event.rect(), p.card);
    painter.setPen(p.rule);
    painter.drawLine(m_margin->width() - 1, event.rect().top(), m_margin->width() - 1, event.rect().bottom());
    painter.setFont(ink::smallFont(font()));
    // The heaviest note of each line.
    std::vector<std::pair<int, Note::Weight>> marks;
    for (QTextBlock block = firstVisibleBlock(); block.isValid(); block = block.next()) {
        const QRectF at = blockBoundingGeometry(block).translated(contentOffset());
        if (at.top() > event.rect().bottom()) break;
        const int line = block.blockNumber();
        painter.setPen(line == textCursor().blockNumber() ? p.pencil : p.softPencil);
        painter.drawText(QRectF(0, at.top(), m_margin->width() - 6, at.height()), Qt::AlignRight | Qt::AlignVCenter, QString::number(line + 1));
        const auto notes = notesOfLine(line);
        if (notes.empty()) continue;
        const auto heaviest = std::min_element(notes.begin(), notes.end(), [](const Note* a, const Note* b) { return a->weight < b->weight; });
        const qreal size = std::round(at.height() * 0.5);
        drawMark(painter, QRectF(5.5, std::round(at.center().y() - size / 2) + 0.5, size, size), (*heaviest)->weight, p);
    }
}

QString TextView::noteAt(int y) const {
    QStringList lines;
    for (const Note* note : notesOfLine(blockAtY(y))) {
        lines << note->message;
        if (!note->mend.isEmpty()) lines << tr("mend: %1").arg(note->mend);
    }
    return lines.join(QLatin1Char('\n'));
}

int TextView::blockAtY(int y) const {
    for (QTextBlock block = firstVisibleBlock(); block.isValid(); block = block.next()) {
        const QRectF at = blockBoundingGeometry(block).translated(contentOffset());
        if (y < at.bottom()) return y >= at.top() ? block.blockNumber() : -1;
    }
    return -1;
}

// ---- keys

bool TextView::event(QEvent* event) {
    if (event->type() == QEvent::ShortcutOverride) {
        auto* key = static_cast<QKeyEvent*>(event);
        if (key->matches(QKeySequence::Undo) || key->matches(QKeySequence::Redo)) {
            key->accept();
            return true;
        }
    }
    if (m_keys.first(event)) return true;
    if (event->type() == QEvent::ToolTip) {
        const auto* help = static_cast<QHelpEvent*>(event);
        const QString text = noteAt(help->pos().y());
        if (!text.isEmpty()) {
            QToolTip::showText(help->globalPos(), text, this);
            return true;
        }
    }
    return QPlainTextEdit::event(event);
}

void TextView::keyPressEvent(QKeyEvent* event) {
    if (m_keys.before(event)) return;
    if (event->matches(QKeySequence::Undo)) return Q_EMIT undoWanted();
    if (event->matches(QKeySequence::Redo)) return Q_EMIT redoWanted();
    const bool plainReturn = (event->key() == Qt::Key_Return || event->key() == Qt::Key_Enter) && event->modifiers() == Qt::NoModifier;
    if (plainReturn && !isReadOnly()) {
        // A new line begins where the one before it did.
        const QString line = textCursor().block().text().left(textCursor().positionInBlock());
        qsizetype blanks = 0;
        while (blanks < line.size() && (line[blanks] == QLatin1Char(' ') || line[blanks] == QLatin1Char('\t'))) ++blanks;
        m_popup->close();
        textCursor().insertText(QLatin1Char('\n') + line.left(blanks));
        ensureCursorVisible();
        return;
    }
    QPlainTextEdit::keyPressEvent(event);
    m_keys.behind(*event);
}

QMimeData* TextView::createMimeDataFromSelection() const {
    auto* carried = new QMimeData;
    carried->setText(textCursor().selection().toPlainText());
    return carried;
}

bool TextView::canInsertFromMimeData(const QMimeData* source) const { return source != nullptr && source->hasText(); }

void TextView::insertFromMimeData(const QMimeData* source) {
    if (isReadOnly() || !canInsertFromMimeData(source)) return;
    const QString text = source->text();
    textCursor().insertText(text);
    ensureCursorVisible();
}

void TextView::suggest(bool asked) {
    if (!m_suggester || isReadOnly()) return;
    const TextBuffer::Spot spot = m_buffer.spotAt(textCursor().position());
    Suggestions found = m_suggester(spot);
    const std::size_t typedLetters = spot.at >= found.from ? spot.at - found.from : 0;
    const auto& rows = m_buffer.document().rows();
    const bool field = spot.row < rows.size() && found.from > 0 && found.from <= rows[spot.row].text.size() && rows[spot.row].text[found.from - 1] == '.';
    // Not asked for, one letter is not enough to go by, but behind a dot.
    if (!asked && !field && typedLetters < 2) found.list.clear();
    m_from = found.from;
    const QRect at = cursorRect();
    m_popup->suggest(std::move(found.list), QRect(at.left() + viewport()->x(), at.top(), at.width(), at.height()), asked);
}

void TextView::take(const QString& word) {
    const TextBuffer::Spot spot = m_buffer.spotAt(textCursor().position());
    QTextCursor cursor = textCursor();
    cursor.setPosition(static_cast<int>(m_buffer.shownAt(spot.row, m_from)), QTextCursor::KeepAnchor);
    cursor.insertText(word);
    setTextCursor(cursor);
}

void TextView::focusOutEvent(QFocusEvent* event) {
    QPlainTextEdit::focusOutEvent(event);
    if (event->reason() != Qt::PopupFocusReason || !m_popup->isOpen()) Q_EMIT left();
    viewport()->update();
}

void TextView::changeEvent(QEvent* event) {
    if (event != nullptr) QPlainTextEdit::changeEvent(event);
    if (event == nullptr || event->type() == QEvent::FontChange || event->type() == QEvent::ApplicationFontChange) fitLetters();
    ++m_dressed;
}

/// Even letters, of the size of all others.
void TextView::fitLetters() {
    QFont mono = QFontDatabase::systemFont(QFontDatabase::FixedFont);
    const QFont around = parentWidget() != nullptr ? parentWidget()->font() : font();
    if (around.pointSizeF() > 0) mono.setPointSizeF(around.pointSizeF());
    if (mono != font()) setFont(mono);
    fitMargin();
    ++m_dressed;
}

} // namespace spanwright::editor
