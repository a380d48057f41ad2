// SPDX-License-Identifier: MIT
// A sketch worked out for one member: coordinates as numbers, texts ready to be written.
#include <algorithm>
#include <cmath>

#include "engine/job/core.h"
#include "engine/meaning/typeset.h"

namespace spanwright::job {

using eval::State;
using eval::Value;
using meaning::Expr;
using meaning::ExprId;
using meaning::ExprKind;
using meaning::SketchDefinition;

namespace {

/// A drawing that holds more tells nothing; a table of a million rows must not make a million marks.
constexpr std::size_t kMostMarks = 1'000;
constexpr double kFarthest = 1e6;
constexpr int kDimensionDigits = 5;

/// Works out the marks of one sketch.
class Sketcher {
public:
    Sketcher(const Core& core, std::uint32_t slot, const SketchDefinition& sketch)
        : m_core(core), m_slot(slot), m_member(core.at(slot)), m_sheet(*m_member.sheet->sheet), m_sketch(sketch) {}

    [[nodiscard]] SketchView draw() {
        m_view.title = m_sketch.title;
        m_view.heights = m_sketch.heights;
        for (const SketchDefinition::Mark& mark : m_sketch.marks) {
            m_mark = &mark;
            if (!mark.fault.empty()) {
                leaveOut(mark.fault);
                continue;
            }
            std::size_t rows = 1;
            if (mark.axis.valid()) {
                if (!m_member.values.at(mark.axis).known()) {
                    leaveOut(unknown(mark.axis));
                    continue;
                }
                rows = m_member.values.axisSize(mark.axis);
            }
            for (std::size_t r = 0; r < rows; ++r) {
                if (m_view.marks.size() >= kMostMarks) {
                    leaveOut("a sketch holds at most 1,000 marks");
                    return std::move(m_view);
                }
                if (!one(r)) break;
            }
        }
        return std::move(m_view);
    }

private:
    /// False when the mark is left out, with the reason told.
    bool one(std::size_t row) {
        m_row = row;
        if (m_mark->onlyIf.valid()) {
            double holds = 0.0;
            if (!number(m_mark->onlyIf, holds)) return false;
            if (holds == 0.0) return true;
        }
        SketchView::Mark out;
        out.shape = m_mark->shape;
        out.other = m_mark->other;
        out.text = m_mark->text;
        for (const SketchDefinition::Point& p : m_mark->points) {
            SketchView::Point point;
            if (!coordinate(p.x, point.x) || !coordinate(p.y, point.y)) return false;
            out.points.push_back(point);
        }
        if (m_mark->offset.valid()) {
            double offset = 0.0;
            if (!coordinate(m_mark->offset, offset)) return false;
            out.offset = offset;
        }
        if (m_mark->shape == SketchDefinition::Shape::Dimension)
            out.text = units::showValue(std::hypot(out.points[1].x - out.points[0].x, out.points[1].y - out.points[0].y), unit(),
                                        units::Show{kDimensionDigits, {}, {}});
        if (m_mark->value.valid() && !says(m_mark->value, out.text)) return false;
        m_view.marks.push_back(std::move(out));
        return true;
    }

    bool coordinate(ExprId id, double& out) {
        if (!number(id, out)) return false;
        if (std::fabs(out) <= kFarthest) return true;
        leaveOut("a coordinate is farther than 1000 km away");
        return false;
    }

    bool number(ExprId id, double& out) {
        const RowNumber n = numberInRow(m_member, id, m_row);
        if (n.value) {
            out = *n.value;
            return true;
        }
        leaveOut(n.unknown.valid() ? unknown(n.unknown) : n.reason);
        return false;
    }

    /// The unit of the first coordinate that is not a bare 0; millimetres if there is none.
    [[nodiscard]] units::Unit unit() const {
        for (const SketchDefinition::Point& p : m_mark->points) {
            for (const ExprId id : {p.x, p.y}) {
                // The first value inside that is a length: of `b/2 + 3 mm` the unit of b.
                std::vector<ExprId> pending{id};
                while (!pending.empty()) {
                    const ExprId at = pending.back();
                    const Expr& e = m_sheet.exprs.at(at);
                    pending.pop_back();
                    const bool leaf = e.kind == ExprKind::Quantity || e.kind == ExprKind::Constant || e.kind == ExprKind::ChoiceField ||
                                      e.kind == ExprKind::AxisField || e.kind == ExprKind::TableField;
                    if (leaf && e.dimension == m_sheet.exprs.at(id).dimension && !e.dimension.isNumber()) return m_core.unitOf(*m_member.sheet, at);
                    for (std::size_t i = e.children.size(); i > 0; --i) pending.push_back(e.children[i - 1]);
                }
            }
        }
        return units::readUnit("mm").value();
    }

    /// What a label says of a value: "h = 220 mm", "C24".
    bool says(ExprId id, std::string& out) {
        const Expr& e = m_sheet.exprs.at(id);
        if (e.kind == ExprKind::AxisKey || e.kind == ExprKind::ChoiceKey) {
            const Value& v = m_member.values.at(e.quantity);
            if (!v.known() || !v.table) {
                leaveOut(unknown(e.quantity));
                return false;
            }
            out = v.table->rowLabel(e.kind == ExprKind::AxisKey ? static_cast<std::uint32_t>(m_row) : static_cast<std::uint32_t>(v.one));
            return true;
        }
        const bool named = e.kind == ExprKind::Quantity;
        const bool governing = named && !e.axes.empty() && !(e.axes.size() == 1 && e.axes[0] == m_mark->axis);
        std::string value;
        if (governing) {
            const Value& v = m_member.values.at(e.quantity);
            if (!v.known()) {
                leaveOut(unknown(e.quantity));
                return false;
            }
            value = m_core.shownValue(m_slot, m_sheet.at(e.quantity));
        } else {
            double v = 0.0;
            if (!number(id, v)) return false;
            meaning::Quantity shape;
            shape.type = e.type;
            shape.dimension = e.dimension;
            shape.unit = m_core.unitOf(*m_member.sheet, id);
            if (named) shape.show = m_sheet.at(e.quantity).show;
            value = m_core.shownOne(shape, {}, v);
        }
        const bool symbol = named && e.type == meaning::Type::Number;
        out = symbol ? meaning::plain(meaning::typesetName(m_sheet.at(e.quantity).name)) + " = " + value : value;
        return true;
    }

    [[nodiscard]] std::string unknown(QuantityId id) const {
        const meaning::Quantity& q = m_sheet.at(id);
        const std::string name = q.name.empty() ? "the condition of its part" : quoted(q.name);
        const std::string reason = m_core.reasonOf(m_slot, {m_slot, id.value});
        switch (m_member.values.at(id).state) {
        case State::NotStated: return name + " is not stated";
        case State::NotApplicable: return name + " " + reason;
        default: return name + ": " + reason;
        }
    }

    void leaveOut(const std::string& why) {
        const syntax::Document& document = m_member.sheet->document();
        const auto where = document.resolve(document.place(m_mark->row, {}));
        const std::string& word = document.rows()[m_mark->row]->keyword.text;
        m_view.leftOut.push_back((where ? "line " + std::to_string(where->line) + ", " : "") + word + ": " + why);
    }

    const Core& m_core;
    std::uint32_t m_slot;
    const Member& m_member;
    const meaning::Sheet& m_sheet;
    const SketchDefinition& m_sketch;
    SketchView m_view;
    const SketchDefinition::Mark* m_mark = nullptr;
    std::size_t m_row = 0;
};

} // namespace

std::optional<SketchView> Core::sketch(std::uint32_t slot, const meaning::Quantity& q) const {
    const Member& m = at(slot);
    if (q.kind != Kind::Sketch || !m.values.at(q.id).known()) return std::nullopt;
    SketchView view = Sketcher(*this, slot, m.sheet->sheet->sketches[q.plot]).draw();
    view.what = q.what;
    return view;
}

} // namespace spanwright::job
