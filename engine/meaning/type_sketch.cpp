// SPDX-License-Identifier: MIT
// Sketch blocks. What is wrong in a mark is a warning: it is left out of the drawing, and nothing is proven by that.
#include <algorithm>

#include "engine/meaning/analysis.h"

namespace spanwright::meaning {

using diag::Code;
using Row = syntax::RowParts;
using Shape = SketchDefinition::Shape;

namespace {

struct Word {
    std::string_view word;
    Shape shape;
};
constexpr Word kShapes[] = {{"outline", Shape::Outline}, {"hatch", Shape::Hatch}, {"line", Shape::Line},   {"dimension", Shape::Dimension},
                            {"support", Shape::Support}, {"load", Shape::Load},   {"force", Shape::Force}, {"label", Shape::Label}};

} // namespace

void SheetAnalysis::typeMark(SketchDefinition::Mark& mark, std::uint32_t r) {
    const Row& row = rowAt(r);
    const auto* shape = std::find_if(std::begin(kShapes), std::end(kShapes), [&](const Word& w) { return w.word == row.keyword.text; });
    mark.row = r;
    mark.shape = shape == std::end(kShapes) ? Shape::Line : shape->shape;
    mark.other = row.from.present();
    mark.text = row.rest.text;
    if (!row.complaints.empty()) {
        mark.fault = row.complaints.front().message;
        return;
    }
    SharedAxes axes;
    for (std::size_t i = 0; i + 1 < row.sizes.size(); i += 2) {
        const ExprId x = length(row.sizes[i], axes, "a coordinate");
        const ExprId y = length(row.sizes[i + 1], axes, "a coordinate");
        mark.points.push_back({x, y});
    }
    mark.offset = length(row.count, axes, "the offset of a dimension");
    mark.onlyIf = rowCondition(row, axes);
    if (row.formula.present()) {
        const Typed t = formula(row.formula);
        asText(t);
        const Expr& e = at(t);
        if (!failed() && !t.wild && e.type == Type::Nothing)
            fail(Code::TypeMismatch, row.formula.span, "a label cannot say this: it has no value of its own",
                 "write a text in double quotes, or the name of a value");
        // A row with cases is said by its governing one, unless the mark stands for the same rows.
        if (e.kind != ExprKind::Quantity) axes = m_interner.joined(axes, e.axes);
        mark.value = t.id;
    }
    if (!failed() && axes.size() > 1)
        fail(Code::AxisMisuse, row.keyword.span,
             "this mark goes over more than one each row: " + quoted(m_sheet.at(axes[0]).name) + " and " + quoted(m_sheet.at(axes[1]).name),
             "let it go over one only");
    if (axes.size() == 1) mark.axis = axes[0];
}

void SheetAnalysis::typeSketch(QuantityId id, const Row&) {
    const std::uint32_t sketchRow = m_sheet.at(id).row;
    SketchDefinition& sketch = m_sheet.sketches[m_sheet.at(id).plot];
    const auto block = m_beamRows.find(sketchRow);
    if (block != m_beamRows.end()) {
        for (const std::uint32_t r : block->second) {
            beginRow(r);
            m_unknownHere.clear();
            const std::size_t before = m_out.size();
            SketchDefinition::Mark mark;
            typeMark(mark, r);
            for (std::size_t i = before; i < m_out.size(); ++i) m_out[i].severity = diag::Severity::Warning;
            if (failed() && mark.fault.empty()) mark.fault = before < m_out.size() ? m_out[before].message : "it reads a row that could not be understood";
            if (!mark.fault.empty()) {
                mark.points.clear();
                mark.offset = mark.value = mark.onlyIf = {};
                mark.axis = {};
            }
            if (mark.axis.valid()) read(mark.axis);
            sketch.marks.push_back(std::move(mark));
        }
    }
    beginRow(sketchRow);
    quantity(id).broken = false; // what is wrong with its title is told, and hides nothing
}

} // namespace spanwright::meaning
