// SPDX-License-Identifier: MIT
#pragma once

#include <QObject>
#include <QString>
#include <QStringList>
#include <QUndoStack>

#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "engine/io/files.h"
#include "engine/job/job.h"
#include "gui/models/text_delta.h"

namespace spanwright::models {

/// Why something was not done, and what to do about it.
struct Refusal {
    QString message;
    QString mend;
};
/// Nothing: done.
using Outcome = std::optional<Refusal>;

/// One value of one member.
struct CellId {
    std::size_t member = 0;
    meaning::QuantityId quantity;
    friend bool operator==(const CellId&, const CellId&) = default;
};

/// A sheet and the members that use it, in the order of the job.
struct SheetGroup {
    QString name; ///< as members write it
    QString title;
    std::vector<std::size_t> members;
};

/// The job in the window: the one that owns it, edits it and says what changed. Every lasting edit is an edit of
/// the text; undo and redo put the text back. Computes nothing itself.
///
/// Invariants: views (job().member(...)) are up to date whenever a signal is sent; a refused edit changes nothing and
/// sends nothing; isModified() says whether a text differs from what was last read or saved.
class JobSession : public QObject {
    Q_OBJECT

public:
    /// `files`: where texts come from and go; the disk if null. `library`: folder of the ready sheets.
    explicit JobSession(QString library, std::unique_ptr<io::Files> files = nullptr, QObject* parent = nullptr);
    ~JobSession() override;

    // ---- files
    /// Opens a job or a sheet; an unreadable file gives a job without members whose diagnostics say why.
    void open(const QString& path);
    /// Reads everything anew; unsaved edits and the history of edits are given up.
    void reload();
    [[nodiscard]] Outcome save();
    [[nodiscard]] bool isOpen() const { return m_job != nullptr; }
    [[nodiscard]] bool isModified() const { return m_modified; }
    [[nodiscard]] const QString& path() const { return m_path; }
    [[nodiscard]] const QString& library() const { return m_library; }
    [[nodiscard]] io::Files& files() { return *m_files; }
    /// Paths of the texts that the job was read from: itself, its sheets, their tables.
    [[nodiscard]] QStringList filesRead() const;

    // ---- what there is (only when open)
    [[nodiscard]] const job::Job& job() const { return *m_job; }
    [[nodiscard]] const std::vector<SheetGroup>& groups() const { return m_groups; }
    /// Where a name of a member leads: a quantity, a check, a require; nothing if it has none.
    [[nodiscard]] std::optional<CellId> find(std::string_view mark, std::string_view name) const;
    [[nodiscard]] const job::QuantityView& view(CellId cell) const;
    [[nodiscard]] const meaning::Quantity& quantity(CellId cell) const;
    [[nodiscard]] const job::CheckView* check(CellId cell) const;
    /// True when the member's sheet could be read.
    [[nodiscard]] bool hasSheet(std::size_t member) const;

    // ---- what the last edit changed
    [[nodiscard]] bool changed(CellId cell) const;
    /// How the value was shown before the last edit.
    [[nodiscard]] QString oldShown(CellId cell) const;

    // ---- edits
    /// States what somebody typed for a value; an empty text takes the statement back.
    Outcome setValue(CellId cell, const QString& typed);
    /// The same for several at once: all or, when one is refused, none.
    Outcome setValues(const std::vector<std::pair<CellId, QString>>& typed, const QString& label);
    Outcome setJobGiven(const QString& name, const QString& typed);
    Outcome addTick(CellId cell, const QString& by, const QString& on);
    Outcome setText(const QString& file, const QString& text);
    /// What an editor of texts typed: the whole text of one file. Letters typed one behind the other are one step of undo.
    Outcome setTyped(const std::string& file, const std::string& text);
    /// What is asked before the job is saved or edited otherwise: an editor gives what was typed and not yet told.
    void setPending(std::function<void()> give) { m_pending = std::move(give); }
    /// Any edit of the job under a name of its own; what it does to the texts is what undo takes back.
    Outcome edit(const QString& label, const std::function<job::Job::Done(job::Job&)>& what);
    [[nodiscard]] QUndoStack& undoStack() { return m_undo; }
    /// Puts unsaved texts back that were kept from an earlier run, as one edit that can be undone.
    Outcome bringBack(const std::vector<std::pair<std::string, std::string>>& texts);

Q_SIGNALS:
    /// Members, sheets or rows are others than before: forget everything that was remembered of them.
    void reset();
    /// Values that are shown differently than before, or whose mark of a change came or went; rows and members stand.
    void cellsChanged(const std::vector<spanwright::models::CellId>& cells);
    /// Behind reset() and cellsChanged(), and when nothing but verdicts, ticks or diagnostics may have changed.
    void settled();
    void modifiedChanged(bool modified);
    void saved();

private:
    class EditCommand;
    /// What was shown of one row, so that the next edit can tell what it changed.
    struct Shown {
        std::string shown;
        eval::State state = eval::State::Blocked;
        std::optional<job::CheckView::State> check;
        std::optional<double> utilisation;
        std::string statedText;
        std::size_t review = 0; ///< over its tick, how that stands, and its remarks
        std::size_t numbers = 0; ///< over the numbers of all cases
        bool stated = false;
        std::optional<std::string> old; ///< set: the last edit changed it from this
    };
    struct MemberShown {
        std::string mark, sheetName;
        std::shared_ptr<const syntax::Document> document; ///< held, so that its address stays its own
        std::size_t shape = 0;                            ///< over names, kinds, parts and units of the sheet's rows
        std::vector<Shown> rows;
    };

    [[nodiscard]] MemberShown lookAt(std::size_t member) const;
    void takeIn(const std::vector<std::size_t>& members);
    void takeInAll();
    void regroup();
    void applyDeltas(const std::vector<TextDelta>& deltas, bool forward);
    void tellModified();
    Outcome editOf(const QString& label, const std::function<job::Job::Done(job::Job&)>& what, std::optional<std::vector<std::size_t>> members);

    QString m_library, m_path;
    std::unique_ptr<io::Files> m_files;
    std::unique_ptr<job::Job> m_job;
    QUndoStack m_undo;
    std::vector<SheetGroup> m_groups;
    std::vector<MemberShown> m_shown;
    std::vector<CellId> m_marked; ///< cells with `old`
    bool m_modified = false;
    std::function<void()> m_pending;
};

} // namespace spanwright::models

Q_DECLARE_METATYPE(std::vector<spanwright::models::CellId>)
