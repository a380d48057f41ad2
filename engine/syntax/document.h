// SPDX-License-Identifier: MIT
#pragma once

#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "engine/base/ids.h"
#include "engine/diag/diagnostic.h"
#include "engine/syntax/formula.h"
#include "engine/syntax/token.h"

namespace spanwright::syntax {

enum class FileKind : std::uint8_t { Sheet, Job };

/// The kind of a row: its first word. Rows inside `beam ... end`, `table ... end`, `list ... end`,
/// `sketch ... end` have kinds of their own.
enum class RowKind : std::uint8_t {
    Blank,
    Comment,
    Unknown,
    // sheets
    Sheet,
    Title,
    Basis,
    Caution,
    Use,
    Part,
    Otherwise,
    Ask,
    Given,
    Choose,
    Each,
    Derive,
    Check,
    Require,
    Assume,
    Define,
    Beam,
    Stiffness,
    Support,
    Load,
    End,
    Plot,
    Piece,
    List,
    Table,
    Matrix,
    TableLine,
    Note,
    Schedule,
    Sketch,
    Mark, ///< a row in a sketch: outline, hatch, line, dimension, support, load, force, label
    // jobs
    Job,
    Author,
    Checker,
    Revision,
    Date,
    Place,
    Prices,
    Member,
    Off,
    Instead,
    With,
    Tick,
    Rate,
    Remark,
    Trial,
    // the workshop's rows of a job
    Stock,
    Saw,
    Labour,
    Tool,
    Consumable,
    Overhead,
    Waste,
    Moisture,
    Currency,
    Lift,
};

/// A word of a row with its place.
struct Spot {
    std::string text;
    base::ByteSpan span;
    [[nodiscard]] bool present() const { return !text.empty(); }
    friend bool operator==(const Spot&, const Spot&) = default;
};

enum class Tag : std::uint8_t { None, Characteristic, Design };

/// `+- 3 mm`, `+- 5 %`, `from A to B`: formulas, because a limit may be another quantity.
struct Limits {
    Formula low, high; ///< absent if not stated
    Formula tolerance; ///< half width
    friend bool operator==(const Limits&, const Limits&) = default;
};

/// One load row of a beam.
struct LoadRow {
    enum class Shape : std::uint8_t { Line, Point, Moment, Triangle };
    Spot action; ///< G, Q, S, W ...
    Shape shape = Shape::Line;
    Formula size;          ///< intensity, force; for Triangle the value at `from`
    Formula sizeEnd;       ///< Triangle: `line a to b`: the value at `to`
    Formula from, to;      ///< part-line; absent: the whole beam
    Formula at;            ///< Point, Moment
    bool eachSpan = false; ///< spans loaded in every arrangement
    friend bool operator==(const LoadRow&, const LoadRow&) = default;
};

/// What stands between two commas of a workshop row. piece: an operation or a property by its word with a formula
/// (absent if the word stands alone); the rows of a job: `text` alone, as written, quotes kept. trial: a word and what
/// stands behind it up to the next one; the first word says what sort of trial it is.
struct Clause {
    Spot word;
    Spot text; ///< what stands behind the word; of a job's rows the whole clause
    Formula formula;
    friend bool operator==(const Clause&, const Clause&) = default;
};

/// What was read out of a row. Fields not of the row's kind are empty.
struct RowParts {
    Spot keyword;               ///< as written
    Spot name;                  ///< canonical; table/list/each/beam name; member mark; check's name; use: given or
                                ///< made of the file's stem
    Spot unit;                  ///< inside [ ], e.g. "kN 0.1" split: unit and step
    std::optional<double> step; ///< [kN 0.1]; sketch: `heights 4 times`
    Formula formula;            ///< derive, given's default, check, require, plot, define's body, with's value, label's value
    Formula range;              ///< plot: `x from A to B`, one Range node
    Tag tag = Tag::None;        ///< as characteristic / as design
    Limits limits;
    Spot what;              ///< after the first --
    Spot source;            ///< after the second --
    Spot rest;              ///< title, basis, caution, assume, note, part's and sketch's title, author, date, remark's and label's text
    Spot path;              ///< use, prices; member's sheet
    Spot table;             ///< choose ... from TABLE, each ... in TABLE
    Spot key;               ///< choose's default key, `= C24`; with's whole value: raw text
    std::vector<Spot> keys; ///< table/list/use ... by K1, K2; matrix: row key, column key
    bool matrix = false;    ///< matrix block; use PATH as matrix NAME by A and B
    struct Parameter {
        Spot name;
        Spot unit;
        friend bool operator==(const Parameter&, const Parameter&) = default;
    };
    std::vector<Parameter> parameters; ///< define
    Formula condition;                 ///< part ... only if; also behind a support, load or stiffness row or a mark
    std::vector<Formula> supports;     ///< support positions; beam: [from, to]
    std::vector<bool> fixed;           ///< per support: `fixed`
    std::vector<Formula> settlements;  ///< per support: `sinks D`, absent if none
    std::vector<Formula> stiffness;    ///< EI, GA (second may be left out: one element)
    LoadRow load;
    Spot member;                       ///< tick, remark: mark; the quantity is `name`
    Spot by, on, letters;              ///< tick, remark
    Formula count;                     ///< off; piece; dimension: offset
    std::vector<Formula> sizes;        ///< piece: t by b by l; schedule: `section = b by h`; rate: left and right side; marks: x, y, x, y ...
    Formula sizeEnd;                   ///< piece: its breadth at the other end, `B1 to B2`
    std::vector<Clause> clauses;       ///< piece; trial; stock, saw, labour, tool, consumable, overhead, waste, moisture, currency, lift
    Spot from;                         ///< piece: what it is cut from, further names in `keys`; hatch: `panel`; line: `dashed`
    std::vector<Complaint> complaints; ///< what is wrong with this row alone
    /// Compound units written bare (`1.5 kN/m^2` in a formula). Each stands among the complaints as well,
    /// unless the document itself defines a name that is in it.
    std::vector<Complaint> doubts;
    /// with: what is wrong with `formula`. It counts only where the value stated is a number: a key such as
    /// `Douglas fir-larch, #2` is no formula and need not be one. Not part of Document::diagnostics().
    std::vector<Complaint> valueComplaints;
    friend bool operator==(const RowParts&, const RowParts&) = default;
};

/// One logical row (an open bracket continues it over several lines). The row owns its text, line end
/// included, so that rows above can change without touching it. What was read out of it is reached by
/// `row->name`, `row->formula` ...; rows that say nothing (blank, comment, lines of tables) hold no parts, so
/// that a table of a million lines stays small. Copies share their parts.
struct Row {
    std::string text;
    std::uint32_t lines = 1; ///< physical lines in it
    /// Row index of what this row stands in: the block (beam, table, list, matrix, sketch) for its lines and its
    /// `end`; the member for its off, with, list and note rows; the `part` for its rows, the `otherwise` for
    /// the rows behind it (whose own owner is the part).
    std::uint32_t owner = kNoOwner;
    RowKind kind = RowKind::Blank;
    bool open = false; ///< a bracket stands open at its end
    std::shared_ptr<const RowParts> parts;

    [[nodiscard]] const RowParts* operator->() const { return parts ? parts.get() : &noParts(); }

    static constexpr std::uint32_t kNoOwner = 0xffffffffU;
    static const RowParts& noParts();
};

/// A replacement of one row's bytes; applying it re-reads that row (and its block) only.
struct RowEdit {
    std::uint32_t row = 0;
    base::ByteSpan span; ///< within the row
    std::string text;
};

/// A sheet or a job as text that never loses a byte. Reading never fails: bad rows become Unknown or
/// carry complaints and the rest stands.
/// Law: text() == the bytes it was read from, for any bytes whatever; also after tidy() of a tidy text.
class Document {
public:
    Document() = default;
    /// `file` is only a name for places. A UTF-8 byte order mark and CRLF are kept as they stand.
    [[nodiscard]] static Document read(std::string file, FileKind kind, std::string bytes);

    [[nodiscard]] const std::string& file() const { return m_file; }
    [[nodiscard]] FileKind kind() const { return m_kind; }
    [[nodiscard]] const std::vector<Row>& rows() const { return m_rows; }
    [[nodiscard]] std::string text() const;

    /// All complaints as diagnostics, in order.
    [[nodiscard]] std::vector<diag::Diagnostic> diagnostics() const;
    [[nodiscard]] diag::Place place(std::uint32_t row, base::ByteSpan span) const;
    [[nodiscard]] std::optional<diag::Resolved> resolve(const diag::Place& p) const;
    /// Byte offset in text() of a row's first byte.
    [[nodiscard]] std::size_t offsetOf(std::uint32_t row) const;

    /// Applies edits (rows ascending, spans not overlapping); every other byte stays. Reads the touched rows
    /// anew, and more only where an edit opens or closes a bracket or a block.
    void apply(const std::vector<RowEdit>& edits);
    /// Puts whole rows (text with line ends, may be several) before row `before` (rows().size(): at the end).
    void insert(std::uint32_t before, std::string text);
    void erase(std::uint32_t first, std::uint32_t count);
    /// Rows read since construction: 1,000 after reading 1,000 rows, 1,001 after an edit in one of them.
    [[nodiscard]] std::uint64_t rowsRead() const { return m_rowsRead; }

    /// What is wrong with how rows stand to one another: an `end` that closes nothing, a load outside a beam.
    struct Misfit {
        std::uint32_t row = 0;
        Complaint complaint;
        friend bool operator==(const Misfit&, const Misfit&) = default;
    };
    [[nodiscard]] const std::vector<Misfit>& misfits() const { return m_misfits; }

private:
    void readAll(std::string body);
    [[nodiscard]] bool splice(std::uint32_t first, std::uint32_t count, const std::string& text);
    void finish(bool local);
    void settle(bool everything);
    std::string m_file;
    FileKind m_kind = FileKind::Sheet;
    std::vector<Row> m_rows;
    std::vector<Misfit> m_misfits;
    std::string m_bom;
    std::uint64_t m_rowsRead = 0;
    bool m_unsettled = false;            ///< owners and misfits are to be worked out again
    bool m_truncated = false;            ///< the text runs past the limits: edits read everything anew
    std::vector<std::string> m_ownUnits; ///< names that the document defines although everybody knows them as units
};

/// Rows past these are kept as one Unknown row with a complaint. A statement is a row that is neither
/// blank, nor a comment, nor a line of a table.
inline constexpr std::size_t kMaxRows = 2'200'000;
inline constexpr std::size_t kMaxStatements = 250'000;

/// The edit that gives an ask/given/choose/with row a new value text, keeping blanks, unit bracket, limits,
/// what and source. `value` is written as given. An ask of a sheet becomes a given: a sheet that states its
/// own value no longer asks for it. An edit that changes nothing if the row cannot hold a value.
[[nodiscard]] RowEdit valueEdit(const Document& d, std::uint32_t row, std::string_view value);

/// Aligns names, `=` and `--` of neighbouring rows; changes nothing but blanks. Idempotent.
[[nodiscard]] std::string tidy(const Document& d);

/// A dump of rows, what was read out of them and their trees for golden tests and bug reports.
[[nodiscard]] std::string dump(const Document& d);

} // namespace spanwright::syntax
