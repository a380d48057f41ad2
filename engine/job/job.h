// SPDX-License-Identifier: MIT
#pragma once

#include <cstdint>
#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "engine/base/result.h"
#include "engine/diag/diagnostic.h"
#include "engine/eval/program.h"
#include "engine/eval/value.h"
#include "engine/io/files.h"
#include "engine/job/extract.h"
#include "engine/job/verdict.h"
#include "engine/meaning/sheet.h"
#include "engine/meaning/typeset.h"
#include "engine/syntax/document.h"

namespace spanwright::job {

/// How far loading or calculating has come.
struct Progress {
    enum class Stage : std::uint8_t { Reading /* members */, Calculating /* rows */ } stage = Stage::Reading;
    std::size_t done = 0, all = 0; ///< `all` of Calculating is the most that it can be
};

struct Options {
    std::string library; ///< folder of the ready sheets; sheets are looked for beside the job first
    /// Asked before every member that is read and every row that is worked out; true gives up: what is left is
    /// not worked out (Blocked, or as it was) until the next calculate(). Called by the thread that loads or calculates.
    std::function<bool()> cancelled;
    std::function<void(const Progress&)> progress = {}; ///< told now and then, by the same thread
};

/// Cover data, as the job states them; nothing is filled in from a clock.
struct Cover {
    std::string title, author, checker, revision, date, place;
    std::vector<std::string> notes;
};

/// A reviewer's mark and how it stands.
struct TickView {
    std::uint32_t row = 0; ///< in the job document
    std::string member, name, by, on, letters;
    enum class State : std::uint8_t { Current, OutOfDate, Unknown /* no such value, or not computed */ } state = State::Unknown;
    std::string changed; ///< "formulas", "stated values", "tables and sources", joined by ", "
};

/// What somebody remarks on a value, or answers to the remark before it.
struct RemarkView {
    std::uint32_t row = 0; ///< in the job document
    std::string member, name, by, on, text;
    bool answer = false;
    bool open = false; ///< a remark that no answer stands behind
};

/// The rows of a list as they are written, the member's own or the sheet's.
struct ListView {
    struct Column {
        std::string name, unit; ///< unit: as the head states it, "" for pure numbers and texts
        bool text = false, key = false;
    };
    std::vector<Column> columns;
    std::vector<std::vector<std::string>> rows; ///< fields, one a column
    bool stated = false;                        ///< by the member
};

/// What a row of a sheet would bring about if it stood there.
struct RowTrial {
    std::vector<diag::Diagnostic> inRow;     ///< places: row 0 is the row tried
    std::vector<diag::Diagnostic> elsewhere; ///< what would be wrong in other rows and is not now
};

/// A job (or one sheet standing alone) opened, edited and calculated. One graph over all members; after
/// an edit only what lies downstream is worked out again. The text files are the truth: every lasting
/// edit is an edit of the text, and every other byte stays.
///
/// Threads: one thread at a time. Views point into the job and live until the next edit.
class Job {
public:
    /// Never fails: an unreadable file gives a job without members and a diagnostic. A *.spansheet is
    /// opened as a job of one member whose mark is the sheet's file name without its ending.
    [[nodiscard]] static std::unique_ptr<Job> open(io::Files& files, const std::string& path, const Options& options);
    ~Job();

    // ---- what there is
    [[nodiscard]] bool isSingleSheet() const;
    [[nodiscard]] const std::string& path() const;
    [[nodiscard]] const Cover& cover() const;
    [[nodiscard]] std::size_t memberCount() const;
    [[nodiscard]] std::optional<std::size_t> memberByMark(std::string_view mark) const;
    [[nodiscard]] const MemberView& member(std::size_t index) const; ///< calculates first if needed
    [[nodiscard]] const std::vector<TickView>& ticks() const;
    /// In the order of the text; answers stand behind what they answer.
    [[nodiscard]] const std::vector<RemarkView>& remarks() const;
    [[nodiscard]] Verdict verdict() const; ///< worst of all members; NotProven without members
    /// All that is wrong with files, rows and values, each cause once, sorted. Calculates first if needed.
    [[nodiscard]] std::vector<diag::Diagnostic> diagnostics() const;
    [[nodiscard]] diag::Resolver resolver() const;
    /// Letters over everything the job's results depend on: same inputs, same letters.
    [[nodiscard]] std::string fingerprint() const;
    /// Exit status by design: 0 all OK, 1 something could not be read or computed, 3 FAILS or NOT PROVEN.
    [[nodiscard]] int exitStatus() const;

    // ---- one value
    [[nodiscard]] const eval::Value& value(std::size_t member, meaning::QuantityId id) const;
    [[nodiscard]] const meaning::Sheet& sheet(std::size_t member) const;
    [[nodiscard]] Working working(std::size_t member, meaning::QuantityId id, std::optional<std::size_t> caseIndex = {}) const;
    /// Letters of a tick over the value's whole upstream: three groups, formulas - stated values - tables and sources.
    [[nodiscard]] std::string letters(std::size_t member, meaning::QuantityId id) const;
    /// Labels of the cases of a quantity in this member, in the order of its numbers: "uls 1", "C1, left".
    [[nodiscard]] std::vector<std::string> caseLabels(std::size_t member, meaning::QuantityId id) const;
    /// Samples a plot row: x and one curve per case.
    [[nodiscard]] std::optional<PlotView> plot(std::size_t member, meaning::QuantityId plotRow, int points = 161) const;

    /// The curves behind one value: along which an integral was taken or something was looked for, with the place
    /// where it was found; of a beam its moment, shear and deflection by action. Without a case the governing one.
    [[nodiscard]] std::vector<PlotView> curves(std::size_t member, meaning::QuantityId id, std::optional<std::size_t> caseIndex = {}) const;

    /// Works out the marks of a sketch row; nothing if its part does not apply or that is not known.
    [[nodiscard]] std::optional<SketchView> sketch(std::size_t member, meaning::QuantityId sketchRow) const;

    /// What the member is cut from, one of it: every piece row that applies, each row of a list apart.
    [[nodiscard]] PieceList pieces(std::size_t member) const;
    /// The job's text as rows, for what stands in it beside members (`stock`, `saw`, `rate` ...).
    [[nodiscard]] const syntax::Document& document() const;
    [[nodiscard]] const std::vector<meaning::Rate>& rates() const;
    /// Bytes of a file that the job names, such as `prices`, below the job's folder; or why not.
    [[nodiscard]] base::Result<std::string, diag::Diagnostic> readBeside(const std::string& path, const diag::Place& where) const;
    /// The rows of a list; nothing if the quantity is none.
    [[nodiscard]] std::optional<ListView> list(std::size_t member, meaning::QuantityId id) const;

    // ---- edits (each: done in the text and in the graph, or refused with the reason and nothing changed)
    using Done = base::Result<bool, diag::Diagnostic>;
    /// States an ask, given, choose of a member: a value, a key or a link formula, as text.
    Done setValue(std::string_view mark, std::string_view name, std::string_view valueText);
    /// The same, but only here and now, not in the text (`--set`).
    Done override(std::string_view mark, std::string_view name, std::string_view valueText);
    /// States a list of a member: the lines of its CSV with the head, without `end`. Rewrites the block if there is one.
    Done setList(std::string_view mark, std::string_view name, std::string_view lines);
    /// A job's own given.
    Done setJobGiven(std::string_view name, std::string_view valueText);
    /// Says where a stated value comes from, in words behind its row: `with s_k = 1.8 kN/m^2 -- snow map, zone 2`.
    /// Empty words take away what stands there. Refused where nothing is stated.
    Done setSource(std::string_view mark, std::string_view name, std::string_view words);
    Done addTick(std::string_view mark, std::string_view name, std::string_view by, std::string_view on);
    Done removeTick(std::string_view mark, std::string_view name);
    /// Remarks and answers (remarks.cpp); `index` counts in remarks(). An answer goes behind what is there already.
    /// Removing a remark takes its answers along.
    Done addRemark(std::string_view mark, std::string_view name, std::string_view by, std::string_view on, std::string_view words);
    Done answerRemark(std::size_t index, std::string_view by, std::string_view on, std::string_view words);
    Done removeRemark(std::size_t index);
    /// States a member's own rows for a list, each a field a column of list(); a row that is not to be read, or a
    /// field that does not fit, is refused.
    Done setListRows(std::string_view mark, std::string_view name, const std::vector<std::vector<std::string>>& rows);
    /// Takes back what the job states for a value or a list: an ask is not stated again, a given has its default. True
    /// also when nothing was stated.
    Done takeBack(std::string_view mark, std::string_view name);
    /// Members as wholes (edit_members.cpp). A new member states nothing yet; a copy states what its model states
    /// and stands behind it; a removed one takes its ticks and remarks along, and links to it are then errors; a
    /// new mark is followed by every link, tick and remark; `place` counts members from 0.
    Done addMember(std::string_view sheetName, std::string_view mark, std::string_view purpose);
    Done duplicateMember(std::string_view mark, std::string_view newMark);
    Done removeMember(std::string_view mark);
    Done renameMember(std::string_view mark, std::string_view newMark);
    Done moveMember(std::string_view mark, std::size_t place);
    Done setCount(std::string_view mark, std::string_view countText);
    Done setPurpose(std::string_view mark, std::string_view purpose);
    /// Replaces the whole text of one of the job's files (an editor's buffer). A sheet below the job's folder that is
    /// not there yet is made, and written when the job is saved; without a byte it is not there again.
    Done setText(const std::string& file, std::string text);
    /// Sheets of the job itself (edit_sheets.cpp). A copy of the sheet that `marks` use (none: all that use it), kept
    /// beside the job under a name of its own, is what they use from then on.
    Done copySheet(std::string_view sheetName, std::string_view newName, const std::vector<std::string>& marks);
    /// True for a file of the library: it is not the job's to change.
    [[nodiscard]] bool isReady(const std::string& file) const;
    /// Rows of a sheet, counted in its document: put in before one, written anew, taken out or moved past their
    /// neighbours, each with the lines and notes that belong to it. Refused for ready sheets; what is wrong with a row
    /// is no reason to refuse it.
    Done insertRow(const std::string& file, std::uint32_t before, std::string_view row);
    Done writeRow(const std::string& file, std::uint32_t row, std::string_view text);
    Done removeRow(const std::string& file, std::uint32_t row);
    Done moveRow(const std::string& file, std::uint32_t row, int by);
    /// Tries a row before `before`, in place of `replaced` if there is one; changes nothing.
    [[nodiscard]] RowTrial tryRow(const std::string& file, std::uint32_t before, std::string_view row, std::optional<std::uint32_t> replaced = {}) const;
    [[nodiscard]] std::vector<std::string> filesTouched() const; ///< texts that differ from what was read
    [[nodiscard]] std::optional<std::string> text(const std::string& file) const;
    base::Result<bool, io::IoError> save(); ///< writes the touched files, each all or nothing

    // ---- trials
    /// Names of the job's own givens, as they stand.
    [[nodiscard]] std::vector<std::string> givenNames() const;
    /// A copy of what lies downstream of some stated values (of a member, or with an empty mark the job's own),
    /// apart from the job from then on; `kept` saves copying the same again. An error when one of them is no
    /// value that can be stated.
    [[nodiscard]] base::Result<Extract, diag::Diagnostic> extract(const std::vector<ValueName>& varied, ExtractCache& kept) const;

    // ---- calculating
    /// Brings everything up to date; gives how many quantities were worked out.
    std::size_t calculate() const;
    /// While held, asking for results and editing work nothing out: values stand as they were, so that an edit
    /// costs no more than reading it in. calculate() works all the same. For who calculates on another thread.
    void hold(bool on);
    /// All values that are worked out from this one, in any member.
    [[nodiscard]] std::vector<std::pair<std::size_t, meaning::QuantityId>> downstream(std::size_t member, meaning::QuantityId id) const;
    /// Members that take values from this one, directly or through others or the job's givens: their verdicts may change with its own.
    [[nodiscard]] std::vector<std::size_t> takers(std::size_t member) const;
    /// For tests and for the curious: "J1.M_d" for every quantity worked out by the last calculate().
    void keepLog(bool on);
    [[nodiscard]] const std::vector<std::string>& log() const;

private:
    Job();
    struct Impl;
    std::unique_ptr<Impl> m_impl;
};

/// A ready sheet of the library.
struct ReadySheet {
    std::string name; ///< "eu/floor-joist"
    std::string title;
    std::vector<std::string> basis;
};
[[nodiscard]] std::vector<ReadySheet> readySheets(const io::Files& files, const std::string& library);

/// A job text with one member of a sheet, every ask written out to be filled in.
[[nodiscard]] base::Result<std::string, diag::Diagnostic> startJob(io::Files& files, const std::string& sheetName, const Options& options);

} // namespace spanwright::job
