// SPDX-License-Identifier: MIT
// What is said of a row that cannot be computed: where, in which case, with which values.
#include <utility>

#include "engine/eval/engine.h"
#include "engine/eval/flags.h"
#include "engine/eval/walker.h"
#include "engine/units/format.h"

namespace spanwright::eval {

using meaning::Expr;
using meaning::ExprId;
using meaning::ExprKind;
using meaning::QuantityId;

diag::Place Engine::placeOf(std::uint32_t row, base::ByteSpan span) const {
    if (m_sheet != nullptr && m_sheet->document) return m_sheet->document->place(row, span);
    return {{}, row, span};
}

diag::Place Engine::place(const Expr& e) const { return placeOf(e.row, e.span); }

diag::Place Engine::rowPlace(const meaning::Quantity& q) const {
    base::ByteSpan span;
    if (m_sheet->document && q.row < m_sheet->document->rows().size()) {
        const syntax::Row& row = m_sheet->document->rows()[q.row];
        span = row->name.present() ? row->name.span : row->keyword.span;
    }
    return placeOf(q.row, span);
}

std::string Engine::written(const Expr& e) const {
    std::string text;
    if (m_sheet != nullptr && m_sheet->document && e.row < m_sheet->document->rows().size()) {
        text = std::string(e.span.of(m_sheet->document->rows()[e.row].text));
    }
    if (text.empty()) {
        if (!e.writtenText.empty()) return e.writtenText;
        if (m_sheet != nullptr && e.kind == ExprKind::Quantity) return m_sheet->at(e.quantity).name;
        return "the operand";
    }
    // A row may go on over several lines: one line is shown.
    std::string line;
    for (const char c : text) {
        const bool blank = c == ' ' || c == '\t' || c == '\n' || c == '\r';
        if (blank && (line.empty() || line.back() == ' ')) continue;
        line += blank ? ' ' : c;
    }
    while (!line.empty() && line.back() == ' ') line.pop_back();
    return line;
}

std::string Engine::shown(ExprId id, double v) const {
    const Expr& wanted = m_pool.at(id);
    if (wanted.dimension.isNumber() && wanted.kind != ExprKind::Quantity) return units::showNumber(v, units::Unit{});
    // The unit of the first row or literal inside that has this dimension.
    std::vector<ExprId> pending{id};
    for (std::size_t visits = 0; !pending.empty() && visits < 200; ++visits) {
        const Expr& e = m_pool.at(pending.back());
        pending.pop_back();
        if (e.dimension == wanted.dimension) {
            if (e.kind == ExprKind::Quantity && m_sheet != nullptr) {
                const meaning::Quantity& q = m_sheet->at(e.quantity);
                if (q.unit.dimension == wanted.dimension) return units::showValue(v, q.unit, q.show);
            }
            if ((e.kind == ExprKind::ChoiceField || e.kind == ExprKind::AxisField) && m_sheet != nullptr) {
                const auto& table = m_sheet->at(e.quantity).table;
                if (table && e.index < table->columns.size() && !table->columns[e.index].text) return units::showValue(v, table->columns[e.index].unit);
            }
            if (e.kind == ExprKind::Constant && e.writtenUnit->dimension == wanted.dimension) return units::showValue(v, e.writtenUnit);
        }
        for (std::size_t i = e.children.size(); i-- > 0;) pending.push_back(e.children[i]);
    }
    return units::showValue(v, units::habitualUnit(wanted.dimension));
}

void Engine::fail(diag::Diagnostic d) {
    if (m_failed) return;
    d.severity = diag::Severity::Error;
    const bool ofOnePlace = d.code != diag::Code::TooMuchWork; // else it is no place's or case's own fault
    for (std::size_t i = m_ranges.size(); ofOnePlace && i-- > 0;) {
        const RangeScope& r = m_ranges[i];
        if (m_laneSlot[r.slot] != nullptr) continue; // many places at once
        d.notes.push_back("at " + r.name + " = " + shown(r.unitOf, m_slots[r.slot]));
    }
    for (const QuantityId a : m_noteAxes) {
        const Value& v = m_values->at(a);
        if (!ofOnePlace || m_laneAxis[a.index()] != nullptr || !v.table || m_axisRow[a.index()] >= v.table->rowCount()) continue;
        d.notes.push_back("in the case " + m_sheet->at(a).name + " = " + v.table->rowLabel(m_axisRow[a.index()]));
    }
    m_failed = true;
    m_failure.problem = std::make_shared<const diag::Diagnostic>(std::move(d));
}

void Engine::explain(ExprId root) {
    if (m_failed) return;
    Walker walker(*this);
    walker.walk(root);
    if (m_failed) return;
    diag::Diagnostic d;
    d.code = diag::Code::InvalidOperation;
    d.place = place(m_pool.at(root));
    d.message = written(m_pool.at(root)) + " has no value as a number";
    d.mend = "look at the values it reads";
    fail(std::move(d));
}

} // namespace spanwright::eval
