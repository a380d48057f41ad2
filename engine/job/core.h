// SPDX-License-Identifier: MIT
// The inside of a job. Only engine/job/*.cpp include this.
#pragma once

#include <functional>
#include <map>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <unordered_map>
#include <vector>

#include "engine/eval/program.h"
#include "engine/graph/graph.h"
#include "engine/io/files.h"
#include "engine/job/digest.h"
#include "engine/job/job.h"

namespace spanwright::job {

using meaning::Kind;
using meaning::QuantityId;

/// A quantity of a member, or (slot kJob) a given of the job itself. Slots are stable while members come and
/// go; the index that callers see is the place in the order of the text.
struct Ref {
    static constexpr std::uint32_t kJob = 0xfffffffeU;
    static constexpr std::uint32_t kNobody = 0xffffffffU;
    std::uint32_t slot = kNobody;
    std::uint32_t quantity = 0;
    friend bool operator==(Ref, Ref) = default;
    friend auto operator<=>(Ref, Ref) = default;
};

/// What is stated for a quantity, as read from a `with` row, a `list` block, a job's given or `--set`.
struct Statement {
    enum class Sort : std::uint8_t {
        Unstated, ///< `?`
        Value,    ///< `si`
        Key,      ///< `key`: names a row of a choose's table
        Link,     ///< `link`
        List,     ///< `table`
        Waiting,  ///< a link to a member whose sheet could not be read (`waitingFor`)
        Wrong,    ///< `problem` says why
    };
    Sort sort = Sort::Unstated;
    bool overriding = false;                     ///< by `--set`: not in the text
    bool patch = false;                          ///< a single sheet's own default, changed in its text since the sheet was analysed
    std::string text;                            ///< the value as written; of a list: its rows
    std::uint32_t row = 0;                       ///< in the job's document, or in `own`
    base::ByteSpan span;                         ///< of the value within the row
    std::shared_ptr<const syntax::Document> own; ///< the one-row document of an override
    double si = 0.0;
    std::optional<double> tolerance; ///< `58 mm +- 3 mm`: half width
    std::string key;
    std::shared_ptr<const meaning::Link> link;
    std::shared_ptr<eval::LinkProgram> program;
    std::vector<Ref> references;                 ///< as many as link->references; of a list, those of its cells one after another
    std::shared_ptr<const meaning::Table> table; ///< List: NaN where a cell is a link
    /// List: a cell that is a link.
    struct Cell {
        std::uint32_t column = 0, row = 0; ///< in `table`
        std::uint32_t line = 0;            ///< its row of the document
        base::ByteSpan span;               ///< within that row
        std::shared_ptr<const meaning::Link> link;
        std::shared_ptr<eval::LinkProgram> program;
        std::size_t firstReference = 0;
    };
    std::vector<Cell> cells;
    std::string waitingFor;
    std::shared_ptr<const diag::Diagnostic> problem;
    std::vector<diag::Diagnostic> diagnostics; ///< all that is wrong with it, in this job's words and places
};

/// What a sheet beside the job has changed against the ready sheet that it is a copy of.
struct CopyReport {
    std::string of; ///< "eu/floor-joist"; empty: it is no copy
    std::vector<std::string> differs;
    std::vector<std::string> added, changed; ///< the names in it
    std::vector<std::string> lost;           ///< checks that no longer check, in words
};

/// A sheet as the job uses it: analysed once, shared by its members.
struct SheetEntry {
    std::string path;
    std::string name; ///< as members write it
    bool ofLibrary = false;
    bool made = false; ///< by an edit: there is no such file yet
    std::string asRead;
    std::optional<diag::Diagnostic> unreadable;
    std::shared_ptr<const meaning::Sheet> sheet; ///< null: unreadable
    std::unique_ptr<eval::Program> program;
    std::optional<syntax::Document> ahead;     ///< the text where literals were edited since the analysis
    std::vector<std::string> tables;           ///< paths of the CSV files that it read or looked for
    std::vector<diag::Diagnostic> diagnostics; ///< its own and its document's, each once
    bool hasErrors = false;
    std::vector<std::uint32_t> slots; ///< members that use it
    mutable std::optional<CopyReport> copy;
    mutable std::vector<std::optional<RowDigest>> rowDigests; ///< by quantity

    [[nodiscard]] const syntax::Document& document() const { return ahead ? *ahead : *sheet->document; }
    /// Made by an edit that was undone: as if it were not there.
    [[nodiscard]] bool gone() const { return made && document().rows().empty(); }
};

struct TableFile {
    std::string asRead;
    std::string now;
    std::optional<diag::Diagnostic> unreadable;
};

struct Member {
    std::string mark, purpose, sheetName;
    std::uint32_t row = 0;
    std::uint32_t lastRow = 0; ///< last off or with row, or `row`: a new with row goes behind it
    double count = 1.0;
    std::string insteadOf;            ///< mark of the member in whose place it may be built; empty: it is built
    SheetEntry* sheet = nullptr;      ///< null: none could be read
    std::vector<graph::NodeId> nodes; ///< by quantity
    eval::MemberValues values;
    std::map<std::uint32_t, Statement> stated;         ///< by quantity; an override hides the row's
    std::vector<diag::Diagnostic> problems;            ///< of its rows, but for those of statements
    std::vector<std::string> textErrors;               ///< what its rows' text is wrong in, as the document tells
    std::map<std::uint32_t, int> readsFrom, feedsTo;   ///< slots, with the number of links
    int readsGivens = 0;                               ///< references to the job's givens
    std::uint32_t place = 0;                           ///< index in the order of the text
    mutable std::unique_ptr<MemberView> view;          ///< null: to be built anew
    mutable std::uint64_t viewStamp = 0;               ///< of the last look at those it takes values from
    mutable Verdict ownVerdict = Verdict::NotComputed; ///< by its own rows alone ...
    mutable std::size_t ownReasons = 0;                ///< ... and how many of the view's reasons are for that
    /// Quantities that failed or are not stated; nothing: to be looked for. Goes with the view.
    mutable std::optional<std::vector<std::uint32_t>> troubled;
    bool gone = false;

    [[nodiscard]] const Statement* statement(std::uint32_t quantity) const {
        const auto it = stated.find(quantity);
        return it == stated.end() ? nullptr : &it->second;
    }
};

/// A given of the job itself.
struct JobGiven {
    meaning::Quantity quantity; ///< name, unit, dimension, tag
    std::uint32_t row = 0;
    bool declared = false; ///< its unit is declared
    Statement statement;
    graph::NodeId node;
    eval::Value value;
    bool gone = false;
};

/// Why a quantity has no value: the first quantity upstream that is not merely blocked.
struct Cause {
    Ref ref;
    eval::State state = eval::State::Blocked;
    std::string member; ///< a member without a sheet, if that is the cause
};

class Core {
public:
    Core(io::Files& files, std::string path, Options options);

    // ---- open.cpp: reading in
    void open();
    /// Reads the job's document anew into members, givens and ticks; what is stated as before is kept. With
    /// `relink`, links are analysed anew even so: something that they may refer to has changed.
    void readJob(bool relink);

    // ---- sheets.cpp
    [[nodiscard]] SheetEntry* sheetNamed(const std::string& name, const diag::Place& where, std::string_view mark, std::vector<diag::Diagnostic>& out);
    void loadSheet(SheetEntry& entry, std::string bytes);
    void analyse(SheetEntry& entry, std::shared_ptr<const syntax::Document> document);
    /// Analyses anew where only literals had been edited, so that the sheet is the text again. Values stand.
    void catchUp(SheetEntry& entry) const;
    void rebuildMembersOf(SheetEntry& entry);
    [[nodiscard]] const syntax::Document& jobDocument() const { return m_document; }

    // ---- statement.cpp: what is stated
    [[nodiscard]] Statement readStatement(std::uint32_t slot, const meaning::Quantity& target, const syntax::Document& document, std::uint32_t row,
                                          base::ByteSpan span);
    [[nodiscard]] Statement readOverride(std::uint32_t slot, const meaning::Quantity& target, std::string_view text);
    /// Reads a formula over other members and the job's givens for `target`: what is wrong goes to `out`, a member without
    /// a sheet to `waitingFor`. References are added to those that `s` has. Nothing if it cannot be worked out.
    [[nodiscard]] std::shared_ptr<const meaning::Link> readLink(std::uint32_t slot, const meaning::Quantity& target, const meaning::Quantity* typed,
                                                                const syntax::Formula& formula, const syntax::Document& document, std::uint32_t row,
                                                                Statement& s);
    [[nodiscard]] Statement readList(std::uint32_t slot, const meaning::Quantity& target, std::uint32_t row);
    [[nodiscard]] std::string blockText(std::uint32_t row) const;
    /// What is wrong with stating `name` of a member at all; nothing if it can be stated.
    [[nodiscard]] std::optional<diag::Diagnostic> notSettable(const SheetEntry& sheet, std::string_view name, const diag::Place& where) const;
    /// The rows that stating `name` states: itself; of a name that stands in a part and again behind its `otherwise`, both
    /// where they can be stated. None if it cannot be stated.
    [[nodiscard]] std::vector<const meaning::Quantity*> statedRows(const meaning::Sheet& sheet, std::string_view name) const;
    /// True when its dimension, type or tag is another now, or what was wrong with it is not.
    bool readGiven(JobGiven& given);
    void put(std::uint32_t slot, std::uint32_t quantity, Statement statement);
    void takeAway(std::uint32_t slot, std::uint32_t quantity);

    /// Reads a `rate` row; what is wrong with it is told.
    void readRate(std::uint32_t row);

    // ---- calculate.cpp
    void makeNodes(std::uint32_t slot);
    void releaseNodes(std::uint32_t slot);
    /// Tells the graph what a quantity reads.
    void wire(Ref ref);
    /// Brings everything up to date, unless that is held back.
    std::size_t calculate() { return m_held ? 0 : calculateNow(); }
    std::size_t calculateNow();
    [[nodiscard]] const eval::Value& valueOf(Ref ref) const;
    [[nodiscard]] graph::NodeId nodeOf(Ref ref) const;
    /// Works out a quantity from what it reads as that stands.
    [[nodiscard]] eval::Value work(Ref ref);
    [[nodiscard]] eval::Value workStated(std::uint32_t slot, const meaning::Quantity& q, const Statement& s);
    [[nodiscard]] eval::Value workKey(std::uint32_t slot, const meaning::Quantity& q, const Statement& s, const std::string& key) const;
    /// A link, or a cell of a list that is one.
    struct LinkUse {
        eval::LinkProgram& program;
        std::span<const Ref> references;
        std::uint32_t row = 0;
        base::ByteSpan span;
    };
    [[nodiscard]] eval::Value workLink(std::uint32_t slot, const std::string& name, const Statement& s, const LinkUse& use);
    [[nodiscard]] eval::Value workList(std::uint32_t slot, const meaning::Quantity& q, const Statement& s);

    // ---- words.cpp
    [[nodiscard]] std::string nameOf(Ref ref) const;                      ///< "J1.M_d", "snow"
    [[nodiscard]] std::string nameFor(std::uint32_t slot, Ref ref) const; ///< without the mark within the same member
    [[nodiscard]] Cause causeOf(Ref ref) const;
    [[nodiscard]] std::string reasonOf(std::uint32_t slot, Ref ref) const;
    [[nodiscard]] std::string shownOne(const meaning::Quantity& q, const eval::Value& v, double number) const;
    [[nodiscard]] std::string shownValue(std::uint32_t slot, const meaning::Quantity& q) const;
    [[nodiscard]] std::vector<std::string> caseLabels(std::uint32_t slot, const std::vector<QuantityId>& axes) const;
    [[nodiscard]] std::string caseLabel(std::uint32_t slot, const std::vector<QuantityId>& axes, std::size_t index) const;
    [[nodiscard]] std::size_t caseCount(std::uint32_t slot, const std::vector<QuantityId>& axes) const;
    [[nodiscard]] units::Unit unitOf(const SheetEntry& sheet, meaning::ExprId id) const;

    // ---- checks.cpp, view.cpp
    [[nodiscard]] CheckView check(std::uint32_t slot, const meaning::Quantity& q) const;
    [[nodiscard]] const MemberView& view(std::uint32_t slot) const;
    /// By its own rows alone, whatever the members are worth that it takes values from.
    [[nodiscard]] MemberView& ownView(std::uint32_t slot) const;
    /// Members that it takes values from, directly and through others, in the order of the text; never itself.
    [[nodiscard]] std::vector<std::uint32_t> sourcesOf(std::uint32_t slot) const;
    /// A check or requirement of the member that does not pass, in words: "`bending` fails: utilisation 1.20"; empty when all that apply do.
    [[nodiscard]] std::string unsettled(std::uint32_t slot) const;
    /// Quantities of the member that failed or are not stated.
    [[nodiscard]] const std::vector<std::uint32_t>& troubledIn(const Member& m) const;
    [[nodiscard]] Verdict verdict() const;
    [[nodiscard]] std::vector<diag::Diagnostic> diagnostics() const;
    /// Every one, some perhaps twice, in no order to show.
    void tellDiagnostics(const std::function<void(const diag::Diagnostic&)>& take) const;
    [[nodiscard]] diag::Diagnostic notStated(std::uint32_t slot, const meaning::Quantity& q) const;
    [[nodiscard]] std::optional<diag::Resolved> resolve(const diag::Place& place) const;

    // ---- extract.cpp
    [[nodiscard]] base::Result<Extract, diag::Diagnostic> extract(const std::vector<ValueName>& varied, ExtractCache& kept);
    [[nodiscard]] base::Result<Ref, diag::Diagnostic> statable(const ValueName& name) const;
    [[nodiscard]] ExtractMember extractMember(std::uint32_t slot, const std::vector<char>& downstream, ExtractCache& kept);

    // ---- copies.cpp
    [[nodiscard]] const CopyReport& copyReport(const SheetEntry& sheet) const;

    // ---- working.cpp, plot.cpp
    [[nodiscard]] Working working(std::uint32_t slot, const meaning::Quantity& q, std::optional<std::size_t> caseIndex) const;
    [[nodiscard]] std::optional<PlotView> plot(std::uint32_t slot, const meaning::Quantity& q, int points) const;

    // ---- curves.cpp
    [[nodiscard]] std::vector<PlotView> curves(std::uint32_t slot, const meaning::Quantity& q, std::optional<std::size_t> caseIndex) const;
    [[nodiscard]] std::vector<PlotView> beamCurves(std::uint32_t slot, const meaning::Quantity& q) const;

    // ---- sketch.cpp
    [[nodiscard]] std::optional<SketchView> sketch(std::uint32_t slot, const meaning::Quantity& q) const;

    // ---- pieces.cpp
    [[nodiscard]] PieceList pieces(std::uint32_t slot) const;
    [[nodiscard]] base::Result<std::string, diag::Diagnostic> readBeside(const std::string& path, const diag::Place& where) const;

    // ---- letters.cpp
    [[nodiscard]] std::string letters(Ref ref) const;
    [[nodiscard]] const Groups* groupsOf(Ref ref) const;
    void forgetLetters(Ref ref) const;
    [[nodiscard]] std::string fingerprint() const;
    [[nodiscard]] const std::vector<TickView>& ticks() const;

    // ---- edits.cpp
    Job::Done setValue(std::string_view mark, std::string_view name, std::string_view text);
    Job::Done override(std::string_view mark, std::string_view name, std::string_view text);
    Job::Done setJobGiven(std::string_view name, std::string_view text, bool lasting);
    Job::Done setSource(std::string_view mark, std::string_view name, std::string_view words);
    Job::Done addTick(std::string_view mark, std::string_view name, std::string_view by, std::string_view on);
    Job::Done setText(const std::string& file, std::string text);
    /// The entry of a sheet below the job's folder that is not there yet; null where none may be made.
    [[nodiscard]] SheetEntry* makeSheet(const std::string& path);
    [[nodiscard]] SheetEntry* sheetAt(const std::string& path);
    [[nodiscard]] std::optional<ListView> list(std::uint32_t slot, const meaning::Quantity& q) const;
    [[nodiscard]] RowTrial tryRow(const std::string& file, std::uint32_t before, std::string_view row, std::optional<std::uint32_t> replaced);
    [[nodiscard]] std::vector<std::string> filesTouched() const;
    [[nodiscard]] std::optional<std::string> text(const std::string& file) const;
    base::Result<bool, io::IoError> save();

    // ---- small things
    [[nodiscard]] Member& at(std::uint32_t slot) { return *m_members[slot]; }
    [[nodiscard]] const Member& at(std::uint32_t slot) const { return *m_members[slot]; }
    [[nodiscard]] std::optional<std::uint32_t> slotOf(std::string_view mark) const;
    [[nodiscard]] std::optional<std::uint32_t> givenNamed(std::string_view name) const;
    void spoilView(std::uint32_t slot) {
        if (slot < m_members.size()) forgetView(*m_members[slot]);
    }
    /// The view is built anew when it is asked for, and whoever takes values from the member looks again.
    void forgetView(Member& m) {
        m.view.reset();
        m.troubled.reset();
        ++m_viewStamp;
    }

    io::Files& m_files;
    std::string m_path, m_folder;
    Options m_options;
    bool m_single = false;
    bool m_cancelled = false;
    bool m_held = false;       ///< see Job::hold()
    bool m_rowsMoved = false;  ///< what is stated as before stands in another row now
    std::string m_asRead;
    std::optional<diag::Diagnostic> m_unreadable;
    syntax::Document m_document; ///< of the job; empty for a single sheet
    Cover m_cover;
    meaning::TextPool m_texts;
    std::map<std::string, std::unique_ptr<SheetEntry>> m_sheets; ///< by path
    std::map<std::string, TableFile> m_tables;                   ///< by path
    std::vector<std::unique_ptr<Member>> m_members;              ///< by slot
    std::unordered_map<std::string, std::uint32_t> m_slots;      ///< by mark
    std::vector<std::uint32_t> m_order;                          ///< slots as they stand in the text
    std::vector<JobGiven> m_givens;
    std::vector<diag::Diagnostic> m_problems;                               ///< of the job's rows that belong to no member
    std::map<std::pair<std::string, std::string>, std::string> m_overrides; ///< (mark, name) -> text
    mutable std::vector<TickView> m_ticks;
    std::vector<RemarkView> m_remarks;
    std::vector<meaning::Rate> m_rates; ///< between two currencies each, every pair once
    mutable bool m_ticksStale = true;
    std::uint64_t m_viewStamp = 1; ///< moves on when any view is to be built anew

    graph::Graph m_graph;
    std::vector<Ref> m_owners;            ///< by node
    std::vector<graph::NodeId> m_spare;   ///< nodes without an owner
    std::vector<graph::NodeId> m_skipped; ///< left out when loading was cancelled
    mutable std::unordered_map<std::uint64_t, Cause> m_causes;
    bool m_keepLog = false;
    std::vector<std::string> m_log;

    mutable std::vector<Groups> m_groups; ///< by node; what stands there counts where m_groupsKnown says so
    mutable std::vector<char> m_groupsKnown;
    mutable std::optional<std::string> m_fingerprint;

private:
    struct MemberText;
    void readRows(std::vector<MemberText>& members, std::vector<std::uint32_t>& givens);
    [[nodiscard]] std::vector<std::string> reviewedNames() const;
    bool placeMembers(const std::vector<MemberText>& texts);
    void readStatements(std::uint32_t slot, const MemberText& text, bool relink);
    bool readGivens(const std::vector<std::uint32_t>& rows, bool relink);
    void openSingle(std::string bytes);
    [[nodiscard]] base::Result<std::string, diag::Diagnostic> fetch(SheetEntry& entry, const std::string& path);
    [[nodiscard]] bool setLiteral(std::uint32_t slot, const meaning::Quantity& q, std::string_view text);
    Job::Done setInSheet(std::string_view name, std::string_view text);
    [[nodiscard]] std::optional<diag::Diagnostic> refusal(std::uint32_t slot, const meaning::Quantity& q, const Statement& s);
    void clearStated(Member& m, std::uint32_t slot, std::uint32_t quantity);
    [[nodiscard]] std::shared_ptr<const diag::Diagnostic> ringProblem(graph::NodeId node,
                                                                      std::map<std::uint32_t, std::shared_ptr<const diag::Diagnostic>>& told) const;
};

struct Job::Impl {
    Core core;
    Impl(io::Files& files, const std::string& path, const Options& options) : core(files, path, options) {}
    /// Results are asked for: bring them up to date.
    Core& current() {
        core.calculate();
        return core;
    }
};

/// The numbers' row indices for one case: from the place of a number in a value to the row of each axis.
[[nodiscard]] std::vector<std::size_t> axisRows(const eval::MemberValues& values, const std::vector<QuantityId>& axes, std::size_t index);
/// The other way: which number of a value over `axes` belongs to the case told by `rows` of the axes `told`; none where it varies with an axis that is not
/// told.
[[nodiscard]] std::optional<std::size_t> caseAt(const eval::MemberValues& values, const std::vector<QuantityId>& axes, const std::vector<QuantityId>& told,
                                                const std::vector<std::size_t>& rows);
/// The rows of just the axes that an expression varies with.
[[nodiscard]] std::vector<std::size_t> axisRowsFor(const meaning::Expr& e, const std::vector<QuantityId>& axes, const std::vector<std::size_t>& rows);

/// Quantities that an expression reads, directly or through functions; ascending, each once.
[[nodiscard]] std::vector<QuantityId> readsOf(const meaning::Sheet& sheet, std::initializer_list<meaning::ExprId> roots);

/// Puts a member's mark to what was told of a statement, and makes it wrong if an error is among that.
void settle(Statement& s, std::string_view mark);
/// Where a stated value comes from, as the words behind it in its row say.
[[nodiscard]] std::string saidFrom(const syntax::Row& row);
[[nodiscard]] std::size_t errorsIn(const std::vector<diag::Diagnostic>& list);

/// A number of a piece or a mark of a drawing, for one row of the axis that it goes over.
struct RowNumber {
    std::optional<double> value;
    QuantityId unknown; ///< without a value: what it reads and is not known, if that is the cause ...
    std::string reason; ///< ... else why
};
[[nodiscard]] RowNumber numberInRow(const Member& member, meaning::ExprId id, std::size_t row);

/// "`M_d`"
[[nodiscard]] std::string quoted(std::string_view name);
[[nodiscard]] std::string_view kindWord(Kind kind);
/// "did you mean `q_k`?", or an empty text when nothing is near.
[[nodiscard]] std::string suggestion(std::string_view word, const std::vector<std::string>& candidates);
[[nodiscard]] diag::Diagnostic fileProblem(const io::IoError& e, const std::string& file);
/// The mark of a file's name without its ending: "a/trial.spansheet" -> "trial".
[[nodiscard]] std::string stemOf(std::string_view path);

} // namespace spanwright::job
