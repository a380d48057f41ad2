// SPDX-License-Identifier: MIT
#pragma once

#include <string>
#include <string_view>
#include <unordered_map>
#include <unordered_set>
#include <vector>

#include "engine/meaning/typing.h"

namespace spanwright::meaning {

/// Makes a Sheet of a document, in this order: read its tables; declare every name, so that the order of
/// rows is for the reader; put rows in the order of what they read, without recursing (a chain may have
/// 60,000 rows); type each row once. Rows on a ring are typed from the units they declare, so that typing
/// ends; that they are a ring is told by who keeps the graph.
class SheetAnalysis final : public FormulaTyper {
public:
    SheetAnalysis(Sheet& sheet, Interner& interner, TextPool& texts, const Fetch& fetch);
    void run();

protected:
    Typed typeName(const syntax::Node& n) override;
    Typed typeField(const syntax::Node& n) override;
    Typed typeOtherCall(const syntax::Node& n) override;
    Typed typeFieldCall(const syntax::Node& n) override;
    Typed typeLookup(const syntax::Node& n, Lookup how) override;
    QuantityId axisNamed(const syntax::Node& over) override;
    const units::Unit* shownUnit(const Expr& e) const override;
    std::string nameOfQuantity(QuantityId id) const override;
    void functionNames(std::vector<std::string>& into) const override;
    void comparedWithText(Typed row, const std::string& text, base::ByteSpan where) override;
    bool isNameHere(std::string_view name) const override;
    bool axesIncomplete() const override { return m_incomplete; }

private:
    /// What a name stands for.
    struct Symbol {
        enum class Kind : std::uint8_t { Quantity, Function, Table } kind = Kind::Quantity;
        std::uint32_t index = 0; ///< quantity or function; Table: document row of its `use` or block
        std::uint32_t row = 0;   ///< where it is defined
        base::ByteSpan span;
        QuantityId other; ///< defined again behind `otherwise`
        QuantityId whole; ///< then: the Switch
    };
    /// A table by the row that brings it in.
    struct TableRow {
        std::shared_ptr<const Table> table; ///< nothing: could not be read, and that has been told
        TableId id;
        std::uint32_t row = 0;
        QuantityId list;                                 ///< a list that a member may state
        bool damaged = false;                            ///< has lines that could not be read: rows over all of it are not computed
        std::shared_ptr<const diag::Diagnostic> problem; ///< the first thing wrong with it
        std::uint8_t ascending = 0;                      ///< of the key column: 0 not looked at, 1 yes, 2 no (told)
    };
    struct Info {
        SharedDimension dimension;
        SharedAxes axes;
        bool wild = false; ///< its dimension is not known, because something is wrong and told
        bool typed = false;
        bool declared = false; ///< states a unit
    };
    struct FunctionInfo {
        std::vector<SharedDimension> parameters;
        SharedDimension dimension;
        SharedAxes axes;
        syntax::Tag tag = syntax::Tag::None;
        Type type = Type::Number;
        bool wild = true;
        bool typed = false;
        std::vector<QuantityId> reads;
        QuantityId condition;
        bool otherwise = false;
        std::uint32_t cause = 0; ///< broken: the row whose diagnostic says why
    };
    struct BeamInfo {
        std::vector<syntax::Tag> tags; ///< per action: what its loads agree on
        std::vector<bool> mixed;
    };

    [[nodiscard]] const syntax::RowParts& rowAt(std::uint32_t r) const { return *m_sheet.document->rows()[r].operator->(); }
    [[nodiscard]] syntax::RowKind kindAt(std::uint32_t r) const { return m_sheet.document->rows()[r].kind; }
    [[nodiscard]] Quantity& quantity(QuantityId id) { return m_sheet.quantities[id.index()]; }
    [[nodiscard]] Info& info(QuantityId id) { return m_info[id.index()]; }

    // ---- analyse_tables.cpp
    void readTables();
    void useTable(std::uint32_t row);
    void blockTable(std::uint32_t row);
    void keepTable(std::uint32_t row, std::string name, const syntax::CsvTable& csv, bool isList, bool isMatrix);
    [[nodiscard]] TableRow* tableNamed(std::string_view name);
    /// The table a choose or each row names; tells what is wrong.
    [[nodiscard]] TableRow* tableFor(const syntax::RowParts& row);

    // ---- analyse_declare.cpp
    void declareAll();
    void declareRow(std::uint32_t r);
    QuantityId addQuantity(Kind kind, std::uint32_t row, std::string_view name);
    bool declareName(const syntax::Spot& name, std::uint32_t row, Symbol symbol);
    bool declareSwitch(Symbol& first, QuantityId second, const syntax::Spot& name);
    void declareUnit(QuantityId id, const syntax::RowParts& row);
    /// What choose and each have in common: a row of the table that they name. Null, and the quantity broken, where there is none.
    [[nodiscard]] const TableRow* declareRowOf(Quantity& q, const syntax::RowParts& row);
    void declareChoose(QuantityId id, const syntax::RowParts& row);
    void declareEach(QuantityId id, const syntax::RowParts& row);
    void declareFunction(std::uint32_t r);
    void declareDamaged();

    // ---- analyse_order.cpp
    [[nodiscard]] std::vector<std::uint32_t> order();
    void formulasOf(std::uint32_t row, std::vector<const syntax::Formula*>& into) const;
    void reportRecursion();

    // ---- analyse_rows.cpp
    void typeQuantity(QuantityId id);
    void typeAsk(QuantityId id, const syntax::RowParts& row);
    void typeGiven(QuantityId id, const syntax::RowParts& row);
    void typeDerive(QuantityId id, const syntax::RowParts& row);
    void typeCheck(QuantityId id, const syntax::RowParts& row);
    void typeTruthRow(QuantityId id, const syntax::Formula& formula, const char* whose);
    void typeEach(QuantityId id, const syntax::RowParts& row);
    void typeSwitch(QuantityId id);
    void typePlot(QuantityId id, const syntax::RowParts& row);
    void typeSchedule(QuantityId id, const syntax::RowParts& row);
    // ---- type_piece.cpp
    void typePiece(QuantityId id, const syntax::RowParts& row);
    void pieceClause(PieceDefinition& piece, const syntax::Clause& clause, SharedAxes& axes);
    void pieceGrain(PieceDefinition& piece, const syntax::Clause& clause);
    [[nodiscard]] QuantityId chosenRow(const std::string& name);
    // ---- type_sketch.cpp
    void typeSketch(QuantityId id, const syntax::RowParts& row);
    void typeMark(SketchDefinition::Mark& mark, std::uint32_t r);
    // ---- analyse_rows.cpp
    void typeLimits(QuantityId id, const syntax::RowParts& row, const units::Unit* fallback);
    void typeFunction(std::uint32_t index);
    /// Gives each broken row the diagnostic that says why.
    void giveProblems();
    void finishRow(QuantityId id);
    void standIn(std::uint32_t part, bool otherwise);
    /// Takes type, dimension and axes of a formula for a row without a declared unit.
    void adopt(QuantityId id, Typed t);
    void checkTag(QuantityId id, Typed t, base::ByteSpan where, syntax::Tag declared);

    // ---- type_names.cpp
    [[nodiscard]] Symbol* find(std::string_view name);
    [[nodiscard]] QuantityId reach(const Symbol& s, const syntax::Node& n);
    [[nodiscard]] bool sameCondition(QuantityId a, QuantityId b) const;
    [[nodiscard]] bool reachable(QuantityId condition, bool otherwise) const;
    void failConditional(const std::string& name, std::uint32_t row, const base::ByteSpan& span, QuantityId condition, const syntax::Node& n);
    [[nodiscard]] Typed useQuantity(QuantityId id, const syntax::Node& n);
    [[nodiscard]] Typed unknownName(const syntax::Node& n);
    [[nodiscard]] Typed callFunction(const Symbol& s, const syntax::Node& n);
    [[nodiscard]] std::string suggestion(std::string_view word, const std::vector<std::string>& candidates);
    [[nodiscard]] std::vector<std::string> allNames() const;
    void read(QuantityId id) { m_reads.push_back(id); }
    void readAxes(SharedAxes axes) { m_reads.insert(m_reads.end(), axes.begin(), axes.end()); }

    // ---- type_lookup.cpp
    [[nodiscard]] Typed waitFor(QuantityId id, const syntax::Node& n);
    [[nodiscard]] Typed rowField(QuantityId id, const syntax::Node& n);
    [[nodiscard]] Typed lookupExact(TableRow& t, const syntax::Node& call, const syntax::Node& field);
    [[nodiscard]] Typed lookupMatrix(TableRow& t, const syntax::Node& call);
    [[nodiscard]] std::optional<std::uint32_t> columnNamed(const Table& table, const syntax::Node& field);
    /// A key argument made fit for comparing with a column; false and told if it cannot be.
    bool fitKey(Typed key, base::ByteSpan where, const Table& table, std::uint32_t column);
    Typed tableNode(ExprKind kind, const syntax::Node& n, TableRow& t, const Table::Column& column, const std::vector<Typed>& keys);

    // ---- type_beam.cpp
    void typeBeam(QuantityId id, const syntax::RowParts& row);
    void typeStiffness(BeamDefinition& beam, const std::vector<std::uint32_t>& rows);
    void typeSupport(BeamDefinition& beam, std::uint32_t r);
    void typeLoad(BeamDefinition& beam, BeamInfo& tags, std::uint32_t r);
    [[nodiscard]] ExprId length(const syntax::Formula& f, SharedAxes& axes, const std::string& whose);
    [[nodiscard]] ExprId rowCondition(const syntax::RowParts& row, SharedAxes& axes);
    [[nodiscard]] QuantityId rowAxis(const SharedAxes& axes, std::uint32_t r, const char* whose);
    [[nodiscard]] bool readsSlot(ExprId root, std::uint32_t slot) const;
    [[nodiscard]] Typed beamValue(QuantityId id, const syntax::Node& n, const std::vector<syntax::NodeId>& arguments);
    /// Factors, or nothing and told; `waits`: the beam's loads are not all known, so nothing can be said.
    [[nodiscard]] bool beamFactors(QuantityId beam, const syntax::Node& argument, Factors& into, SharedAxes& axes, bool& waits);

    Sheet& m_sheet;
    const Fetch& m_fetch;
    std::unordered_map<std::string_view, Symbol> m_symbols; ///< views into the document
    std::deque<std::string> m_names;                        ///< names that no row holds (of rows that cannot be read)
    std::vector<Info> m_info;
    std::vector<FunctionInfo> m_functions;
    std::vector<BeamInfo> m_beams;
    std::unordered_map<std::uint32_t, TableRow> m_tables;                     ///< by row
    std::unordered_map<std::string_view, std::uint32_t> m_tableNames;         ///< name -> row
    std::unordered_map<std::uint32_t, std::string> m_conditions;              ///< quantity -> its formula's text, blanks left out
    std::unordered_map<std::uint32_t, std::vector<std::uint32_t>> m_beamRows; ///< beam or sketch row -> rows of its block
    std::unordered_set<std::string_view> m_pieceNames, m_scheduleNames;
    // of the row being declared or typed
    std::uint32_t m_part = 0;
    bool m_otherwise = false;
    QuantityId m_standsIn; ///< condition of the part it stands in
    std::vector<QuantityId> m_reads;
    std::vector<std::string> m_unknownHere; ///< unknown names already told in this row
    bool m_incomplete = false;
    std::uint32_t m_cause = 0;
    bool m_blamesElsewhere = false;
    QuantityId m_last; ///< the row a note belongs to
    int m_suggestions = 0;
    SharedDimension m_length, m_area, m_density, m_force, m_moment, m_lineLoad, m_bendingStiffness, m_perLength;
};

} // namespace spanwright::meaning
