// SPDX-License-Identifier: MIT
#pragma once

#include <QObject>
#include <QString>
#include <QStringList>
#include <QUndoStack>

#include <chrono>
#include <functional>
#include <map>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "engine/io/files.h"
#include "engine/job/job.h"
#include "gui/models/loading.h"
#include "gui/models/shared_files.h"
#include "gui/models/shown.h"
#include "gui/models/text_delta.h"

namespace spanwright::models {

class Twin;

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
/// An edit that would take longer than a frame is worked out aside, on a thread of its own, in a second copy of the
/// job. Meanwhile job() is whole and as it was before the edit, isPending() is true and outOfDate() says which values
/// no longer hold; then the copies change places. Texts (text(), isModified(), save()) are those of the edit at once.
///
/// Invariants: views (job().member(...)) belong together whenever a signal is sent; unless isPending() they are up to
/// date; a refused edit changes nothing and sends nothing; isModified() says whether a text differs from what was last
/// read or saved.
class JobSession : public QObject {
    Q_OBJECT

public:
    /// `files`: where texts come from and go; the disk if null. `library`: folder of the ready sheets.
    explicit JobSession(QString library, std::unique_ptr<io::Files> files = nullptr, QObject* parent = nullptr);
    ~JobSession() override;

    // ---- files
    /// Opens a job or a sheet; an unreadable file gives a job without members whose diagnostics say why.
    void open(const QString& path);
    /// The same on a thread of its own; adopt() what it gives. What is open stays until then.
    [[nodiscard]] std::unique_ptr<Loading> startLoading(const QString& path);
    void adopt(LoadedJob loaded);
    /// Reads everything anew; unsaved edits and the history of edits are given up.
    void reload();
    [[nodiscard]] Outcome save();
    [[nodiscard]] bool isOpen() const { return m_copy.job != nullptr; }
    [[nodiscard]] bool isModified() const { return m_modified; }
    [[nodiscard]] const QString& path() const { return m_path; }
    [[nodiscard]] const QString& library() const { return m_library; }
    [[nodiscard]] io::Files& files() { return *m_files; }
    /// Paths of the texts that the job was read from: itself, its sheets, their tables.
    [[nodiscard]] QStringList filesRead() const;

    // ---- what there is (only when open)
    [[nodiscard]] const job::Job& job() const { return *m_copy.job; }
    /// A text as edited, also where its values are still being worked out.
    [[nodiscard]] std::optional<std::string> text(const std::string& file) const;
    [[nodiscard]] std::vector<std::string> filesTouched() const;
    [[nodiscard]] const std::vector<SheetGroup>& groups() const { return m_groups; }
    /// Where a name of a member leads: a quantity, a check, a require; nothing if it has none.
    [[nodiscard]] std::optional<CellId> find(std::string_view mark, std::string_view name) const;
    [[nodiscard]] const job::QuantityView& view(CellId cell) const;
    [[nodiscard]] const meaning::Quantity& quantity(CellId cell) const;
    /// Of a piece row: how many of what size, in words and millimetres.
    [[nodiscard]] QString piece(CellId cell) const;
    [[nodiscard]] const job::CheckView* check(CellId cell) const;
    /// True when the member's sheet could be read.
    [[nodiscard]] bool hasSheet(std::size_t member) const;

    // ---- what the last edit changed
    [[nodiscard]] bool changed(CellId cell) const;
    /// How the value was shown before the last edit.
    [[nodiscard]] QString oldShown(CellId cell) const;

    // ---- what is still being worked out
    [[nodiscard]] bool isPending() const { return m_isPending; }
    /// The value shown is of before an edit that is still being worked out.
    [[nodiscard]] bool outOfDate(CellId cell) const;
    [[nodiscard]] bool outOfDate(std::size_t member) const;
    /// What was typed for a value and is still being worked out.
    [[nodiscard]] std::optional<QString> typed(CellId cell) const;
    /// Waits until everything is up to date: for what must not be made of old values, such as a print.
    void finish();
    /// Makes another copy of the job as its texts stand now, on whatever thread calls it; it writes nothing. The session
    /// must live until then.
    [[nodiscard]] std::function<JobCopy(const std::shared_ptr<LoadState>&)> otherCopy() const;
    /// Brings a copy that otherCopy() made, and that rests now, to the texts as they stand now, on whatever thread calls it; it gives how many
    /// quantities were worked out. Nothing where the job has been read anew since: another copy must be made then.
    [[nodiscard]] std::function<std::size_t(JobCopy&)> following(const JobCopy& copy) const;
    /// Forgets the bytes of a file that stands beside the job's texts, such as one of prices: the next copy reads it again.
    void readAgain(const std::string& path);
    /// How long an edit may be waited for before its values are shown as out of date.
    void setPatience(std::chrono::milliseconds patience) { m_patience = patience; }
    /// From now on edits are worked out aside. Comes by itself once working something out took long.
    void workAside();
    /// The other copy is there: the next edit is worked out in it.
    [[nodiscard]] bool isAside() const;

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
    void setPending(std::function<void()> give) { m_give = std::move(give); }
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
    /// Values begin or end to be out of date; cellsChanged() or reset(), and settled(), come with it.
    void pendingChanged(bool pending);

private:
    class EditCommand;
    /// One edit as it is asked for.
    struct Change {
        std::optional<QString> label; ///< nothing: it is undo or redo
        std::function<job::Job::Done(job::Job&)> what;
        std::optional<std::vector<std::size_t>> members; ///< in which alone it can be seen, but for what is worked out from them
        std::vector<std::pair<CellId, QString>> typed;
        bool typing = false; ///< letters in a text: one step of undo with those before them
    };
    void takeIn(const std::vector<std::size_t>& members);
    void takeInAll();
    void regroup();
    void applyDeltas(const std::vector<TextDelta>& deltas, bool forward);
    void tellModified();
    Outcome change(const Change& change);
    void remember(const Change& change, std::vector<TextDelta> deltas);
    [[nodiscard]] std::vector<TextDelta> differences(const job::Job& job, const std::vector<std::pair<std::string, std::string>>& before) const;
    // ---- aside.cpp: edits that are worked out aside
    Outcome changeAside(const Change& change);
    void pend(const Change& change);
    void startTwin();
    void twinRests();
    void arrive();
    void tellTouched(const std::vector<std::string>& marks);

    QString m_library, m_path;
    std::unique_ptr<SharedFiles> m_files;
    JobCopy m_copy; ///< the one that is shown
    std::shared_ptr<BytesRead> m_bytes;
    std::shared_ptr<std::atomic<bool>> m_stop;
    std::unique_ptr<Twin> m_twin;                                 ///< null: edits are worked out at once
    std::vector<std::function<void(JobCopy&)>> m_ahead, m_behind; ///< what the twin has and the shown copy has not; the other way round
    std::chrono::milliseconds m_patience{12};
    bool m_isPending = false, m_allOld = false, m_allTouched = false;
    std::vector<std::vector<char>> m_old; ///< by member and quantity: out of date
    std::vector<CellId> m_oldCells;
    std::vector<std::pair<CellId, QString>> m_typed;
    std::vector<std::string> m_pendingMarks; ///< members that were edited
    std::map<std::string, std::string> m_aheadTexts;
    std::vector<std::string> m_aheadTouched;
    QUndoStack m_undo;
    std::vector<SheetGroup> m_groups;
    std::vector<MemberShown> m_shown;
    std::vector<CellId> m_marked; ///< cells with `old`
    bool m_modified = false;
    std::function<void()> m_give;
};

} // namespace spanwright::models

Q_DECLARE_METATYPE(std::vector<spanwright::models::CellId>)
