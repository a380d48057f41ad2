// SPDX-License-Identifier: MIT
#pragma once

#include <functional>
#include <map>
#include <memory>
#include <string>
#include <unordered_map>
#include <vector>

#include "engine/base/result.h"
#include "engine/diag/diagnostic.h"
#include "engine/meaning/expr.h"
#include "engine/meaning/table.h"
#include "engine/syntax/document.h"
#include "engine/units/format.h"

namespace spanwright::meaning {

/// Kinds of quantities. All but Note-like rows of a sheet become one.
enum class Kind : std::uint8_t {
    Ask,
    Given,
    Choose,
    Each,
    List,
    Derive,
    Check,
    Require,
    Beam,
    Condition, ///< of a part (`only if`), unnamed
    Switch,    ///< a name that is defined in a part and again in its `otherwise`
    Plot,
    Piece,
    Schedule,
    Sketch,
};

/// Row of a sheet that has a value.
struct Quantity {
    QuantityId id;
    Kind kind = Kind::Derive;
    std::string name; ///< canonical; "" for conditions; a check's or require's name
    std::string what, source;
    std::string note;       ///< `note` rows under it, joined by line feeds
    std::uint32_t row = 0;  ///< document row
    std::uint32_t part = 0; ///< index into Sheet::parts
    Type type = Type::Number;
    units::Dimension dimension;
    units::Unit unit; ///< to show; a pure number if none
    units::Show show;
    syntax::Tag tag = syntax::Tag::None;
    std::vector<QuantityId> axes;            ///< each rows, ascending; a value has one number per combination of rows
    ExprId formula;                          ///< derive, given's default, check's left side, require, condition, plot; each: which rows count
    syntax::Op relation = syntax::Op::None;  ///< check: <=, >=, <, >
    ExprId right;                            ///< check: right side
    ExprId low, high, tolerance;             ///< limits; tolerance in the value's dimension (a % is turned into value*%)
    std::shared_ptr<const Table> table;      ///< choose, each, list: as the sheet has it
    std::optional<std::uint32_t> defaultRow; ///< choose
    QuantityId list;                         ///< each, choose: the list row if the table is a list a member may state
    QuantityId condition;                    ///< of the part it stands in; invalid: always
    bool otherwise = false;                  ///< stands behind `otherwise`: applies when the condition is false
    QuantityId whenTrue, whenFalse;          ///< Switch
    std::uint32_t beam = 0;                  ///< Beam: index into Sheet::beams
    std::uint32_t plot = 0;                  ///< Plot, Piece, Schedule, Sketch: index into Sheet::plots, pieces, schedules, sketches
    std::vector<QuantityId> reads;           ///< everything its value needs, ascending, without doubles
    bool broken = false;                     ///< a static error: never computed; formula, right, low, high, tolerance are then invalid
    std::uint32_t causeRow = 0;              ///< broken: the document row whose diagnostic says why (its own, or that of a
                                             ///< function that it calls or of the `use` or table that it takes rows from)
    /// broken: the diagnostic that says why, wherever it stands (also in a table's file).
    std::shared_ptr<const diag::Diagnostic> problem;
};

struct Function {
    std::string name, what, source;
    std::uint32_t row = 0;
    struct Parameter {
        std::string name;
        units::Unit unit;
        std::uint32_t slot = 0;
    };
    std::vector<Parameter> parameters;
    ExprId body;
    bool broken = false;
};

struct BeamDefinition {
    std::string name;
    std::uint32_t slot = 0;                    ///< of x in stiffness
    ExprId from, to, stiffnessEI, stiffnessGA; ///< EI, GA may be invalid: statics only / no shear flexibility
    ExprId stiffnessRelief;                    ///< 1/m: shear that inclined flanges take, for a unit of moment; may be invalid
    bool constantStiffness = false;            ///< none of them depends on x
    struct Support {
        ExprId at;
        bool fixed = false;
        ExprId sink;
        ExprId onlyIf;   ///< valid: there only when true
        QuantityId axis; ///< valid: one support for every row of this each
        std::uint32_t row = 0;
    };
    std::vector<Support> supports;    ///< `support 0 m, a, L`
    std::vector<std::string> actions; ///< in order of first use
    struct Load {
        std::uint32_t action = 0;
        syntax::LoadRow::Shape shape{};
        ExprId size, sizeEnd, from, to, at;
        bool eachSpan = false;
        ExprId onlyIf;   ///< valid: there only when true
        QuantityId axis; ///< valid: one such load for every row of this each
        std::uint32_t row = 0;
    };
    std::vector<Load> loads;
};

struct PlotDefinition {
    std::uint32_t slot = 0;
    std::vector<ExprId> points;
    std::string variable;
    ExprId body;
};
/// A part to cut: `piece NAME = N off, T by B [to B2] by L from STOCK, CLAUSE ...`.
struct PieceDefinition {
    enum class Grain : std::uint8_t { Along, Across, Free, Chosen /* as a choose row says */ };
    struct Operation {
        enum class Measure : std::uint8_t { Length, Area, Count };
        std::string name;
        ExprId amount; ///< of one piece; invalid: once along the piece
        Measure measure = Measure::Length;
    };
    std::string name;
    /// What it is cut from: the labels of these chosen rows, joined by a blank; a word that is no choose row stands for itself.
    struct Stock {
        QuantityId choice; ///< invalid: `word`
        std::string word;
    };
    std::vector<Stock> stock;
    ExprId count;
    std::vector<ExprId> sizes;  ///< thickness, breadth, length
    ExprId breadthEnd;          ///< breadth at the other end; invalid: the same
    ExprId at;                  ///< place of its middle along the member; may be invalid
    ExprId deep;                ///< how deep its grooves are; may be invalid
    ExprId density;             ///< kg/m³; invalid: column rho_mean of the chosen row, if it has one
    ExprId onlyIf;              ///< valid: there only when true
    Grain grain = Grain::Along; ///< its length runs along, across the grain of the stock, or as it comes
    QuantityId grainChoice;
    std::vector<Operation> operations;
    QuantityId axis; ///< valid: one such piece for every row of this each
};
/// `schedule section = b by h`: what the job's schedule shows in that column.
struct ScheduleDefinition {
    std::string column;
    std::vector<ExprId> sizes;
};

/// `sketch TITLE ... end`: a drawing to scale whose coordinates (x to the right, y upwards) are formulas. It
/// proves nothing: a mark that is wrong is left out of it, and the sheet stands.
struct SketchDefinition {
    enum class Shape : std::uint8_t { Outline, Hatch, Line, Dimension, Support, Load, Force, Label };
    struct Point {
        ExprId x, y;
    };
    struct Mark {
        Shape shape = Shape::Outline;
        bool other = false; ///< Hatch: of a panel; Line: dashed
        std::vector<Point> points;
        ExprId offset;    ///< Dimension: how far to the left of its direction; may be invalid
        ExprId value;     ///< Label: what it says, unless `text`
        ExprId onlyIf;    ///< valid: there only when true
        QuantityId axis;  ///< valid: drawn once for every row of this each
        std::string text; ///< Label
        std::uint32_t row = 0;
        std::string fault; ///< why it can never be drawn; its formulas are then invalid
    };
    std::string title;
    double heights = 1.0; ///< heights are drawn so many times larger than lengths
    std::vector<Mark> marks;
};

struct Part {
    std::string title;
    std::uint32_t row = 0;
    QuantityId condition;
    bool hasOtherwise = false;
};

/// A sheet with every formula typed and every dimension checked; made once and shared by all members
/// that use it. Rows with errors are `broken`, the rest stands.
struct Sheet {
    std::shared_ptr<const syntax::Document> document;
    std::string name, title, purpose;
    std::vector<std::string> basis, cautions, assumptions;
    std::vector<Part> parts;          ///< [0] is the part before the first `part` row
    std::vector<Quantity> quantities; ///< in document order; then switches
    ExprPool exprs;
    std::vector<Function> functions;
    std::vector<BeamDefinition> beams;
    std::vector<PlotDefinition> plots;
    std::vector<PieceDefinition> pieces;
    std::vector<ScheduleDefinition> schedules;
    std::vector<SketchDefinition> sketches;
    std::vector<std::shared_ptr<const Table>> tables;
    std::uint32_t slotCount = 0;
    std::vector<diag::Diagnostic> diagnostics;
    std::unordered_map<std::string, QuantityId> byName; ///< a switched name gives the Switch
    std::vector<syntax::CsvTable> files;                ///< CSV files read, to resolve places in them

    [[nodiscard]] const Quantity& at(QuantityId id) const { return quantities[id.index()]; }
    [[nodiscard]] const Quantity* find(std::string_view name) const;
};

/// Bytes of a file that a sheet names, or why not. The path is as written; who provides this keeps it
/// below the sheet's folder or the library.
using Fetch = std::function<base::Result<std::string, diag::Diagnostic>(const std::string& path)>;

/// Types a sheet. Never fails: what is wrong is in Sheet::diagnostics.
[[nodiscard]] std::shared_ptr<const Sheet> analyse(std::shared_ptr<const syntax::Document> document, const Fetch& fetch, TextPool& texts);

/// Is offered a cell of a column of numbers (not a key) that is no value: true takes it, and the table holds NaN there.
using TakeCell = std::function<bool(std::uint32_t column, std::uint32_t row, const syntax::CsvTable::Line& line)>;

/// Turns a block or file into a typed table; wrong cells are diagnostics. `like`: a list as its sheet has it; what the
/// head leaves out (a unit, `[text]`, a tag) is taken from the column of the same name there.
[[nodiscard]] std::shared_ptr<const Table> makeTable(const syntax::CsvTable& csv, std::string name, const std::vector<std::string>& keys, bool isMatrix,
                                                     const units::Unit& matrixUnit, TextPool& texts, std::vector<diag::Diagnostic>& out,
                                                     const Table* like = nullptr, const TakeCell& take = {});

/// A formula over other members' rows and a job's givens (`with w_G = J1.R_G/J1.s`).
struct Reference {
    std::string member; ///< mark; empty: the job's own given
    QuantityId quantity;
    units::Dimension dimension;
    syntax::Tag tag = syntax::Tag::None;
    Type type = Type::Number;
    units::Unit unit;
    units::Show show;
    std::string path; ///< as written: "J1.R_G"
};
struct Link {
    ExprPool exprs;
    ExprId root;
    std::vector<Reference> references;
};
/// Finds a name in the job; `member` empty for a bare name. Gives nothing if there is none, with the
/// names there are (for a suggestion) in `near`.
using FindReference = std::function<std::optional<Reference>(std::string_view member, std::string_view name, std::vector<std::string>& near)>;

/// `rate 1 EUR = 1.08 USD` of a job: one of `from` is `perOne` of `to`.
struct Rate {
    units::Dimension from, to;
    double perOne = 1.0;
    std::string text; ///< as written, without the word rate
};

/// Types a link for `target` (its dimension and tag must match). `row` places its diagnostics in `document`. An
/// amount in another currency than the target's is multiplied by the stated rate, if there is one.
[[nodiscard]] std::optional<Link> analyseLink(const syntax::Formula& formula, const syntax::Document& document, std::uint32_t row, const Quantity* target,
                                              const FindReference& find, TextPool& texts, std::vector<diag::Diagnostic>& out,
                                              const std::vector<Rate>& rates = {});

} // namespace spanwright::meaning
