// SPDX-License-Identifier: MIT
#pragma once

#include <cstdint>
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
    Blank, Comment, Unknown,
    // sheets
    Sheet, Title, Basis, Caution, Use, Part, Otherwise, Ask, Given, Choose, Each, Derive, Check, Require,
    Assume, Define, Beam, Stiffness, Support, Load, End, Plot, Piece, List, Table, Matrix, TableLine, Note, Schedule,
    // jobs
    Job, Author, Checker, Revision, Date, Place, Prices, Member, Off, With, Tick, Rate, Remark,
    // read and kept for what follows: sketch stock saw labour tool consumable schedule, lines in a sketch
    Reserved,
};

/// A word of a row with its place.
struct Spot {
    std::string text;
    base::ByteSpan span;
    [[nodiscard]] bool present() const { return !text.empty(); }
};

enum class Tag : std::uint8_t { None, Characteristic, Design };

/// `+- 3 mm`, `+- 5 %`, `from A to B`: formulas, because a limit may be another quantity.
struct Limits {
    Formula low, high;      ///< absent if not stated
    Formula tolerance;      ///< half width
};

/// One load row of a beam.
struct LoadRow {
    enum class Shape : std::uint8_t { Line, Point, Moment, Triangle };
    Spot action;            ///< G, Q, S, W ...
    Shape shape = Shape::Line;
    Formula size;           ///< intensity, force; for Triangle the value at `from`
    Formula sizeEnd;        ///< Triangle: `line a to b`: the value at `to`
    Formula from, to;       ///< part-line; absent: the whole beam
    Formula at;             ///< Point, Moment
    bool eachSpan = false;  ///< spans loaded in every arrangement
};

/// One logical row (an open bracket continues it over several lines). The row owns its text, line end
/// included, so that rows above can change without touching it. Fields not of its kind are empty.
struct Row {
    std::string text;
    std::uint32_t lines = 1;            ///< physical lines in it
    RowKind kind = RowKind::Blank;
    Spot keyword;                       ///< as written
    Spot name;                          ///< canonical; table/list/each/beam name; member mark; check's name
    Spot unit;                          ///< inside [ ], e.g. "kN 0.1" split: unit and step
    std::optional<double> step;         ///< [kN 0.1]
    Formula formula;                    ///< derive, given's default, require, plot, define's body, with's value
    Tag tag = Tag::None;                ///< as characteristic / as design
    Limits limits;
    Spot what;                          ///< after the first --
    Spot source;                        ///< after the second --
    Spot rest;                          ///< title, basis, caution, assume, note, author, date ... : free text
    Spot path;                          ///< use, prices; member's sheet
    Spot table;                         ///< choose ... from TABLE, each ... in TABLE
    Spot key;                           ///< choose's default key, `= C24`; raw text
    std::vector<Spot> keys;             ///< table/list/use ... by K1, K2; matrix: row key, column key
    bool matrix = false;                ///< use PATH as matrix NAME by A and B
    struct Parameter { Spot name; Spot unit; };
    std::vector<Parameter> parameters;  ///< define
    Formula condition;                  ///< part ... only if; also behind a support, load or stiffness row
    std::vector<Formula> supports;      ///< support positions; beam: [from, to]
    std::vector<bool> fixed;            ///< per support: `fixed`
    std::vector<Formula> settlements;   ///< per support: `sinks D`, absent if none
    std::vector<Formula> stiffness;     ///< EI, GA (second may be absent)
    LoadRow load;
    Spot member;                        ///< tick: mark;  tick's quantity is `name`
    Spot by, on, letters;               ///< tick, remark
    Formula count;                      ///< off; piece
    std::vector<Formula> sizes;         ///< piece: t by b by l; schedule: `section = b by h`
    Spot from;                          ///< piece: stock
    std::vector<Spot> cells;            ///< TableLine: fields, quotes removed, trimmed
    std::uint32_t owner = kNoOwner;     ///< row index of the part/beam/table/member this row stands in
    std::vector<Complaint> complaints;  ///< what is wrong with this row alone

    static constexpr std::uint32_t kNoOwner = 0xffffffffU;
};

/// A replacement of one row's bytes; applying it re-reads that row (and its block) only.
struct RowEdit {
    std::uint32_t row = 0;
    base::ByteSpan span;        ///< within the row
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

    /// Applies edits (rows ascending, spans not overlapping); every other byte stays.
    void apply(const std::vector<RowEdit>& edits);
    /// Puts whole rows (text with line ends, may be several) before row `before` (rows().size(): at the end).
    void insert(std::uint32_t before, std::string text);
    void erase(std::uint32_t first, std::uint32_t count);

private:
    void reread();
    std::string m_file;
    FileKind m_kind = FileKind::Sheet;
    std::vector<Row> m_rows;
    std::string m_bom;
};

/// The edit that gives an ask/given/choose/with row a new value text, keeping blanks, unit bracket, limits,
/// what and source. `value` is written as given.
[[nodiscard]] RowEdit valueEdit(const Document& d, std::uint32_t row, std::string_view value);

/// Aligns names, `=` and `--` of neighbouring rows; changes nothing but blanks. Idempotent.
[[nodiscard]] std::string tidy(const Document& d);

/// A dump of rows, tokens and trees for golden tests and bug reports.
[[nodiscard]] std::string dump(const Document& d);

} // namespace spanwright::syntax
