// SPDX-License-Identifier: MIT
#pragma once

#include <QElapsedTimer>
#include <QTimer>
#include <QWidget>

#include <optional>
#include <vector>

#include "gui/editor/completion.h"
#include "gui/editor/text_buffer.h"
#include "gui/models/history.h"
#include "gui/models/job_session.h"

class QComboBox;
class QLabel;

namespace spanwright::editor {

class TextView;

/// The texts of a job beside the grid: one of its files at a time. What is typed is an edit of the job, what the job
/// changes is changed here; cursor and selected value follow each other. A ready sheet is shown and cannot be typed
/// into.
///
/// Invariants: the text seen is the job's own but for what was typed within the last moments (see commit()); all
/// undo is the session's.
class TextPanel : public QWidget {
    Q_OBJECT

public:
    explicit TextPanel(models::JobSession& session, QWidget* parent = nullptr);
    ~TextPanel() override;
    [[nodiscard]] TextView& view() { return *m_view; }
    [[nodiscard]] const TextBuffer& buffer() const { return m_buffer; }
    [[nodiscard]] QComboBox& files() { return *m_files; }
    /// Shows a file of the job.
    void showFile(const QString& file);
    [[nodiscard]] const QString& file() const { return m_file; }
    /// Shows what is wrong and where the selected value stands: it came into view.
    void refresh();
    /// A letter is given to the job at once unless the last one took longer than this; then when the typing pauses.
    void setQuick(qint64 milliseconds) { m_quick = milliseconds; }
    /// Gives what was typed to the job at once.
    void commit();
    /// The value that is selected in the grid: the cursor goes to its row, unless the person is in the text.
    void showCell(std::optional<models::CellId> cell);
    /// The value that the cursor's row states, works out, ticks or remarks on.
    [[nodiscard]] std::optional<models::Spot> spotAtCursor() const;
    /// What is told of the cursor's line.
    [[nodiscard]] QString told() const;
    /// To the next line with something to mend, round and round.
    void nextNote();
    /// Puts the cursor at a place of a file.
    bool goTo(const std::string& file, std::uint32_t row, std::size_t at);

Q_SIGNALS:
    /// The person moved the cursor to another value's row.
    void placed(const spanwright::models::Spot& spot);
    void leaveWanted();

protected:
    void changeEvent(QEvent* event) override;
    void showEvent(QShowEvent* event) override;

private:
    void fill();
    void load();
    void follow();
    void catchUp();
    void takeIn();
    void refreshNotes();
    void typed();
    void cursorMoved();
    [[nodiscard]] std::optional<std::uint32_t> rowOf(models::CellId cell) const;
    [[nodiscard]] Suggestions suggestions(TextBuffer::Spot spot);

    models::JobSession& m_session;
    TextBuffer m_buffer;
    TextView* m_view;
    QComboBox* m_files;
    QLabel* m_state;
    QLabel* m_told;
    QString m_file;
    QTimer m_soon;
    bool m_pending = false; ///< typed and not yet given to the job
    bool m_committing = false;
    bool m_behind = false; ///< the job was edited while this was not seen
    bool m_following = false; ///< the cursor is moved by us
    qint64 m_quick = 12;
    qint64 m_lastCost = 0; ///< of the last commit, in milliseconds
    std::optional<models::CellId> m_cell;
};

} // namespace spanwright::editor
