// SPDX-License-Identifier: MIT
// Rows that say what is to be cut.
#include <algorithm>

#include "engine/meaning/analysis.h"

namespace spanwright::meaning {

using diag::Code;
using syntax::NodeKind;
using Row = syntax::RowParts;
using Measure = PieceDefinition::Operation::Measure;

/// The choose row of that name that can be reached from here; invalid if there is none.
QuantityId SheetAnalysis::chosenRow(const std::string& name) {
    const Symbol* s = find(name);
    if (s == nullptr || s->kind != Symbol::Kind::Quantity || s->whole.valid()) return {};
    const Quantity& q = m_sheet.at(QuantityId(s->index));
    return q.kind == Kind::Choose ? q.id : QuantityId();
}

void SheetAnalysis::pieceGrain(PieceDefinition& piece, const syntax::Clause& clause) {
    const std::string word = clause.formula.present() && clause.formula.top().kind == NodeKind::Name ? clause.formula.top().text : std::string();
    if (word == "along") {
        piece.grain = PieceDefinition::Grain::Along;
    } else if (word == "across") {
        piece.grain = PieceDefinition::Grain::Across;
    } else if (word == "free") {
        piece.grain = PieceDefinition::Grain::Free;
    } else if (const QuantityId choice = chosenRow(word); choice.valid()) {
        piece.grain = PieceDefinition::Grain::Chosen;
        piece.grainChoice = choice;
        read(choice);
    } else {
        fail(Code::UnknownName, clause.word.span, "how the grain of this piece runs is not said",
             "write `grain along`, `grain across`, `grain free`, or the name of a choose row whose keys are those words");
    }
}

void SheetAnalysis::pieceClause(PieceDefinition& piece, const syntax::Clause& clause, SharedAxes& axes) {
    const std::string& word = clause.word.text;
    if (word == "grain") {
        pieceGrain(piece, clause);
        return;
    }
    if (!clause.formula.present()) {
        if (word == "at" || word == "density" || word == "deep") {
            fail(Code::RowIncomplete, clause.word.span, "`" + word + "` says nothing here", "write a value behind it");
            return;
        }
        piece.operations.push_back({word, {}, Measure::Length});
        return;
    }
    const Typed t = limit(clause.formula, nullptr);
    if (word == "at") {
        if (wantDimension(t, m_length, "m", clause.formula.span, "the place of a piece")) piece.at = t.id;
    } else if (word == "deep") {
        if (wantDimension(t, m_length, "mm", clause.formula.span, "the depth of a groove")) piece.deep = t.id;
    } else if (word == "density") {
        if (wantDimension(t, m_density, "kg/m³", clause.formula.span, "a density")) piece.density = t.id;
    } else if (wantNumber(t, clause.formula.span)) {
        const SharedDimension d = at(t).dimension;
        PieceDefinition::Operation operation{word, t.id, Measure::Count};
        if (!t.wild && !d.isNumber()) {
            if (d == m_length) {
                operation.measure = Measure::Length;
            } else if (d == m_area) {
                operation.measure = Measure::Area;
            } else {
                fail(Code::UnlikeDimensions, clause.formula.span, "what is done to a piece is measured as a length, an area or a count",
                     "write a length for a groove, an area for a glue line, a number for screws");
                return;
            }
        }
        piece.operations.push_back(std::move(operation));
    }
    axes = m_interner.joined(axes, at(t).axes);
}

void SheetAnalysis::typePiece(QuantityId id, const Row& row) {
    PieceDefinition& piece = m_sheet.pieces[quantity(id).plot];
    piece.name = row.name.text;
    if (!row.complaints.empty()) return;
    std::vector<const syntax::Spot*> stock{&row.from};
    for (const syntax::Spot& more : row.keys) stock.push_back(&more);
    for (const syntax::Spot* s : stock) {
        const QuantityId choice = chosenRow(s->text);
        if (choice.valid()) read(choice);
        piece.stock.push_back({choice, s->text});
    }
    SharedAxes axes;
    if (row.count.present()) {
        const Typed t = limit(row.count, nullptr);
        if (wantPureNumber(t, row.count.span, "a count")) piece.count = t.id;
        axes = m_interner.joined(axes, at(t).axes);
    }
    for (const auto& f : row.sizes) piece.sizes.push_back(length(f, axes, "a size of a piece"));
    piece.breadthEnd = length(row.sizeEnd, axes, "a size of a piece");
    for (const syntax::Clause& clause : row.clauses) pieceClause(piece, clause, axes);
    piece.onlyIf = rowCondition(row, axes);
    if (!failed() && axes.size() > 1)
        fail(Code::AxisMisuse, row.keyword.span,
             "this piece goes over more than one each row: " + quoted(m_sheet.at(axes[0]).name) + " and " + quoted(m_sheet.at(axes[1]).name),
             "let it go over one only");
    if (axes.size() == 1) {
        piece.axis = axes[0];
        readAxes(axes);
    }
}

} // namespace spanwright::meaning
