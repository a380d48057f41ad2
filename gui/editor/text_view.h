// SPDX-License-Identifier: MIT
#pragma once

#include <QPlainTextEdit>

#include <functional>
#include <vector>

#include "gui/editor/completing_keys.h"
#include "gui/editor/completion.h"
#include "gui/editor/text_buffer.h"

namespace spanwright::editor {

/// Something that is told of a line, shown as a mark in the margin and a wave under the place.
struct Note {
    enum class Weight : std::uint8_t { Error, Warning, Remark } weight = Weight::Error;
    std::uint32_t row = 0;
    base::ByteSpan span; ///< within the row
    QString message, mend;
};

/// A sheet or a job as text: what the engine read of it decides how it looks. Only lines in view are dressed, so a
/// large text is as quick as a small one. Holds no undo of its own: the job's history is the one there is.
class TextView : public QPlainTextEdit {
    Q_OBJECT

public:
    explicit TextView(TextBuffer& buffer, QWidget* parent = nullptr);
    /// Shows the buffer anew, from its start.
    void showAll();
    /// Does to the shown text what was done to the buffer; the cursor stays with the text it stands in.
    void apply(const TextBuffer::Change& change);
    void setNotes(std::vector<Note> notes);
    [[nodiscard]] const std::vector<Note>& notes() const { return m_notes; }
    [[nodiscard]] std::vector<const Note*> notesOfLine(int line) const;
    /// Where suggestions come from; none: there are none.
    void setSuggester(std::function<Suggestions(TextBuffer::Spot)> suggester) { m_suggester = std::move(suggester); }
    void suggest(bool asked);
    [[nodiscard]] CompletionPopup& popup() { return *m_popup; }

    void fitLetters();
    [[nodiscard]] int marginWidth() const;
    void paintMargin(QPaintEvent& event);
    [[nodiscard]] QString noteAt(int y) const;

Q_SIGNALS:
    /// The person changed the text; the buffer has it already.
    void typed();
    void undoWanted();
    void redoWanted();
    void left();
    /// Escape, with nothing open: back to where one came from.
    void leaveWanted();

protected:
    bool event(QEvent* event) override;
    void keyPressEvent(QKeyEvent* event) override;
    /// Plain text goes out and comes in, whatever else others put beside it.
    [[nodiscard]] QMimeData* createMimeDataFromSelection() const override;
    [[nodiscard]] bool canInsertFromMimeData(const QMimeData* source) const override;
    void insertFromMimeData(const QMimeData* source) override;
    void resizeEvent(QResizeEvent* event) override;
    void paintEvent(QPaintEvent* event) override;
    void focusOutEvent(QFocusEvent* event) override;
    void changeEvent(QEvent* event) override;

private:
    void changed(int at, int removed, int added);
    void dress();
    void dressLine(QTextBlock block);
    void undress(int fromBlock, int toBlock);
    void take(const QString& word);
    void fitMargin();
    [[nodiscard]] int blockAtY(int y) const;

    TextBuffer& m_buffer;
    QWidget* m_margin;
    CompletionPopup* m_popup;
    CompletingKeys m_keys;
    std::function<Suggestions(TextBuffer::Spot)> m_suggester;
    std::vector<Note> m_notes;
    bool m_quiet = false;   ///< the change is ours, not the person's
    int m_dressed = 1;      ///< of this age are lines that look as they should
    std::size_t m_from = 0; ///< of the word that a suggestion replaces, in its row
};

} // namespace spanwright::editor
