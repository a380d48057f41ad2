// SPDX-License-Identifier: MIT
// What muParser cannot do: look-ups, functions of the sheet, reductions; for beams see beam_callouts.cpp.
#include <algorithm>
#include <bit>
#include <cmath>

#include "engine/eval/beam_outputs.h"
#include "engine/eval/engine.h"
#include "engine/eval/machine.h"
#include "engine/eval/per_lane.h"
#include "engine/eval/points.h"

namespace spanwright::eval {

using meaning::Expr;
using meaning::ExprId;
using meaning::ExprKind;
using meaning::QuantityId;

double Engine::callOutNode(ExprId id, const double* arguments, std::uint32_t count) {
    const Expr& e = m_pool.at(id);
    switch (e.kind) {
    case ExprKind::UserCall: return userCall(e, arguments);
    case ExprKind::TableField: return tableField(e, arguments);
    case ExprKind::MatrixField: return matrixField(e, arguments);
    case ExprKind::Reduce: return reduce(e);
    case ExprKind::Span: return span(e);
    case ExprKind::BeamValue: return beamValue(e, arguments);
    case ExprKind::Builtin: {
        // min or max of more numbers than one text takes: they are worked out here one by one.
        static_cast<void>(count);
        double v = 0.0;
        for (std::size_t i = 0; i < e.children.size() && !m_failed; ++i) {
            const double n = run(e.children[i]);
            if (i == 0)
                v = n;
            else
                v = e.builtin == meaning::Builtin::Min ? (n < v ? n : v) : (v < n ? n : v);
        }
        return v;
    }
    default: return run(id);
    }
}

bool Engine::callOutBlock(const Formula& f, std::uint32_t index, const Operand* arguments, std::uint32_t count, std::size_t n, const std::uint8_t* mask,
                          double* out) {
    const Formula::CallOut& c = f.callOuts[index];
    if (c.part) return block(formula(c.node), n, mask, out);
    const Expr& e = m_pool.at(c.node);
    if (e.kind == ExprKind::UserCall) return userCallBlock(e, arguments, n, mask, out);
    if (m_points != nullptr) {
        if (e.kind == ExprKind::BeamValue && !stands(e, c.node)) return beamPoints(e, arguments, n, mask, out);
        if (e.kind == ExprKind::Span && variesByPoint(c.node, *m_points)) return spanPoints(e, n, mask, out);
        if (e.kind == ExprKind::Reduce && variesByPoint(c.node, *m_points)) return reduceBlock(e, n, mask, out);
        if (!stands(e, c.node)) return false; // by itself, later
    }
    if (e.kind == ExprKind::BeamValue && !arguments[0].one) {
        bool laned = false;
        for (const QuantityId a : m_lanedAxes) laned = laned || a == e.factors.row;
        if (!laned && hasPlace(e.beamValue)) return beamBlock(e, arguments[0], n, mask, out);
    }
    const PointsAside aside(m_points);
    const std::uint32_t taken = hidesChildren(e) ? 0 : count;
    std::vector<double> one(std::max<std::uint32_t>(taken, 1U));
    if (!variesByLane(c.node, arguments, taken)) {
        for (std::uint32_t a = 0; a < taken; ++a) one[a] = arguments[a].at(0);
        const double v = callOutNode(c.node, one.data(), taken);
        std::fill(out, out + n, v);
        return !m_failed;
    }
    PerLane lanes(*this);
    // A cell of a table depends on its keys alone, and neighbouring lanes mostly have the same.
    const bool byKeys = taken > 0 && (e.kind == ExprKind::TableField || e.kind == ExprKind::MatrixField);
    std::size_t before = n;
    for (std::size_t i = 0; i < n; ++i) {
        out[i] = 0.0;
        if (mask != nullptr && mask[i] == 0) continue;
        bool again = byKeys && before != n;
        for (std::uint32_t a = 0; a < taken; ++a) {
            const double argument = arguments[a].at(i);
            again = again && std::bit_cast<std::uint64_t>(argument) == std::bit_cast<std::uint64_t>(one[a]);
            one[a] = argument;
        }
        if (again) {
            out[i] = out[before];
            continue;
        }
        before = i;
        lanes.at(i);
        out[i] = callOutNode(c.node, one.data(), taken);
        if (m_failed) return false;
    }
    return true;
}

/// False when the scope and the arguments make a call-out the same in all lanes: it is worked out once.
bool Engine::variesByLane(ExprId id, const Operand* arguments, std::uint32_t count) {
    for (std::uint32_t a = 0; a < count; ++a) {
        if (!arguments[a].one) return true;
    }
    const Expr& e = m_pool.at(id);
    for (const QuantityId a : m_lanedAxes) {
        if (std::find(e.axes.begin(), e.axes.end(), a) != e.axes.end() || e.factors.row == a) return true;
    }
    if (m_lanedSlots.empty() || !hidesChildren(e)) return false;
    std::vector<std::uint32_t>& slots = m_freeSlots[id.value];
    if (slots.empty()) {
        slots.push_back(kNoSlot); // so that an empty list is not gathered again
        std::vector<ExprId> pending{id};
        while (!pending.empty()) {
            const Expr& n = m_pool.at(pending.back());
            pending.pop_back();
            if (n.kind == ExprKind::Bound && std::find(slots.begin(), slots.end(), n.index) == slots.end()) slots.push_back(n.index);
            pending.insert(pending.end(), n.children.begin(), n.children.end());
        }
    }
    for (const std::uint32_t s : m_lanedSlots) {
        if (std::find(slots.begin(), slots.end(), s) != slots.end()) return true;
    }
    return false;
}

// --- functions of the sheet ----------------------------------------------------------------------

double Engine::userCall(const Expr& e, const double* arguments) {
    const meaning::Function& f = m_sheet->functions[e.function.index()];
    double kept[16];
    const std::size_t n = f.parameters.size();
    std::vector<double> more;
    double* old = kept;
    if (n > 16) {
        more.resize(n);
        old = more.data();
    }
    for (std::size_t i = 0; i < n; ++i) {
        old[i] = m_slots[f.parameters[i].slot];
        m_slots[f.parameters[i].slot] = arguments[i];
    }
    const double v = run(f.body);
    for (std::size_t i = 0; i < n; ++i) m_slots[f.parameters[i].slot] = old[i];
    return v;
}

bool Engine::userCallBlock(const Expr& e, const Operand* arguments, std::size_t n, const std::uint8_t* mask, double* out) {
    const meaning::Function& f = m_sheet->functions[e.function.index()];
    std::vector<double> kept(f.parameters.size());
    const std::size_t lanedBefore = m_lanedSlots.size();
    for (std::size_t i = 0; i < f.parameters.size(); ++i) {
        const std::uint32_t s = f.parameters[i].slot;
        kept[i] = m_slots[s];
        if (arguments[i].one) {
            m_slots[s] = *arguments[i].data;
        } else {
            m_laneSlot[s] = arguments[i].data;
            m_lanedSlots.push_back(s);
        }
    }
    const bool fine = block(formula(f.body), n, mask, out);
    for (std::size_t i = 0; i < f.parameters.size(); ++i) {
        m_slots[f.parameters[i].slot] = kept[i];
        m_laneSlot[f.parameters[i].slot] = nullptr;
    }
    m_lanedSlots.resize(lanedBefore);
    return fine;
}

// --- tables --------------------------------------------------------------------------------------

namespace {

std::string keyShown(const Engine& engine, ExprId id, double v, const meaning::Table& t) {
    const Expr& e = engine.pool().at(id);
    const std::string text = engine.written(e);
    if (e.type == meaning::Type::Number) return text + " is " + engine.shown(id, v);
    // Texts: what the id stands for is known where a table or row holds it.
    if ((e.kind == ExprKind::ChoiceKey || e.kind == ExprKind::AxisKey) && engine.sheet() != nullptr) {
        const Value& row = engine.values().at(e.quantity);
        const std::size_t at = e.kind == ExprKind::ChoiceKey ? static_cast<std::size_t>(row.one) : engine.axisRow(e.quantity);
        if (row.table && at < row.table->rowCount()) return text + " is " + row.table->rowLabel(static_cast<std::uint32_t>(at));
    }
    if ((e.kind == ExprKind::ChoiceField || e.kind == ExprKind::AxisField) && engine.sheet() != nullptr) {
        const Value& row = engine.values().at(e.quantity);
        const std::size_t at = e.kind == ExprKind::ChoiceField ? static_cast<std::size_t>(row.one) : engine.axisRow(e.quantity);
        if (row.table && e.index < row.table->texts.size() && at < row.table->texts[e.index].size()) return text + " is " + row.table->texts[e.index][at];
    }
    static_cast<void>(t);
    return text;
}

std::string rowsShown(const meaning::Table& t) {
    std::string text;
    constexpr std::size_t kMost = 12;
    for (std::uint32_t r = 0; r < t.rowCount() && r < kMost; ++r) text += (r > 0 ? "; " : "") + t.rowLabel(r);
    if (t.rowCount() > kMost) text += "; and " + std::to_string(t.rowCount() - kMost) + " more";
    return text;
}

} // namespace

void Engine::failCell(const Expr& e, const meaning::Table& t, std::uint32_t row) {
    diag::Diagnostic d;
    d.code = diag::Code::TableCell;
    d.place = place(e);
    d.message = "the cell that " + written(e) + " asks for holds no number: row " + t.rowLabel(row) + " of " + t.name;
    d.mend = "put a number into that cell";
    fail(std::move(d));
}

double Engine::tableField(const Expr& e, const double* arguments) {
    std::shared_ptr<const meaning::Table> table = m_sheet->tables[e.table.index()];
    // A list that a member may state: its own rows count.
    if (e.quantity.valid() && m_values->at(e.quantity).table) table = m_values->at(e.quantity).table;
    Found found;
    if (e.how == meaning::Lookup::Exact) {
        std::vector<Key> keys;
        for (std::size_t i = 0; i < e.children.size(); ++i) keys.push_back({arguments[i], m_pool.at(e.children[i]).type != meaning::Type::Number});
        found = m_lookups.exact(table, keys);
        if (found.state == Found::State::Ok) found.value = table->cells[e.index][found.row];
    } else if (e.how == meaning::Lookup::Interpolate) {
        found = m_lookups.interpolate(*table, e.index, arguments[0]);
    } else {
        found = m_lookups.atOrBelow(*table, e.index, arguments[0]);
    }
    lastPlace = found.row;
    if (found.state == Found::State::Ok && std::isfinite(found.value)) return found.value;
    diag::Diagnostic d;
    d.place = place(e);
    d.code = diag::Code::LookupOutside;
    if (found.state == Found::State::Ok) {
        failCell(e, *table, found.row);
        return 0.0;
    }
    std::string keys;
    for (std::size_t i = 0; i < e.children.size(); ++i) keys += (i > 0 ? ", " : "") + keyShown(*this, e.children[i], arguments[i], *table);
    if (found.state == Found::State::NoRow) {
        d.message = table->name + " has no row for this: " + keys;
        d.notes.push_back("rows: " + rowsShown(*table));
        d.mend = "add a row to the table, or use a value that has one";
    } else {
        const bool below = found.state == Found::State::Below;
        const std::uint32_t edge = below ? 0U : static_cast<std::uint32_t>(table->rowCount() - 1);
        d.message = keys + ", which is " + (below ? "below the first row of " : "above the last row of ") + table->name + ", " + table->rowLabel(edge);
        d.mend = "add rows to the table, or keep the value inside it; nothing is extrapolated";
    }
    fail(std::move(d));
    return 0.0;
}

double Engine::matrixField(const Expr& e, const double* arguments) {
    const std::shared_ptr<const meaning::Table>& table = m_sheet->tables[e.table.index()];
    const auto key = [&](std::size_t i) { return Key{arguments[i], m_pool.at(e.children[i]).type != meaning::Type::Number}; };
    const Found found = m_lookups.matrix(table, key(0), key(1));
    lastPlace = found.row;
    if (found.state == Found::State::Ok && std::isfinite(found.value)) return found.value;
    if (found.state == Found::State::Ok) {
        failCell(e, *table, found.row);
        return 0.0;
    }
    diag::Diagnostic d;
    d.place = place(e);
    d.code = diag::Code::LookupOutside;
    const bool column = found.state == Found::State::Above;
    d.message = table->name + (column ? " has no column for this: " : " has no row for this: ") +
                keyShown(*this, e.children[column ? 1 : 0], arguments[column ? 1 : 0], *table);
    if (column) {
        std::string heads;
        for (std::size_t i = 0; i < table->columnKeys.size(); ++i) heads += (i > 0 ? "; " : "") + table->columnKeys[i];
        d.notes.push_back("columns: " + heads);
    } else {
        d.notes.push_back("rows: " + rowsShown(*table));
    }
    d.mend = std::string("add a ") + (column ? "column" : "row") + " to the matrix, or use a value that has one";
    fail(std::move(d));
    return 0.0;
}

// --- reductions ----------------------------------------------------------------------------------

double Engine::reduce(const Expr& e) {
    using meaning::Reduction;
    const QuantityId axis = e.quantity;
    const Value& rows = m_values->at(axis);
    if (!rows.known()) {
        Leaf leaf;
        leaf.kind = ExprKind::AxisKey;
        leaf.quantity = axis;
        blockOn(leaf);
        return 0.0;
    }
    const std::size_t count = m_values->axisSize(axis);
    const bool needsRows = e.reduce == Reduction::Largest || e.reduce == Reduction::Smallest || e.reduce == Reduction::WhereLargest;
    if (count == 0 && needsRows) {
        diag::Diagnostic d;
        d.code = diag::Code::EmptyAxis;
        d.place = place(e);
        d.message = "there is no largest or smallest over " + m_sheet->at(axis).name + ": its table has no rows";
        d.mend = "state at least one row, or write if(count(true, over " + m_sheet->at(axis).name + ") > 0, ..., ...) around it";
        fail(std::move(d));
        return 0.0;
    }
    const std::uint32_t kept = m_axisRow[axis.index()];
    const Arena::Mark mark(m_arena);
    double* v = m_arena.take(std::max<std::size_t>(count, 1));
    const Formula& f = formula(e.children[0]);
    std::vector<std::uint32_t> lanes(std::min(count, kLanes));
    m_noteAxes.push_back(axis);
    for (std::size_t first = 0; first < count && !m_failed; first += kLanes) {
        const std::size_t n = std::min(kLanes, count - first);
        m_work += n;
        for (std::size_t i = 0; i < n; ++i) lanes[i] = static_cast<std::uint32_t>(first + i);
        m_laneAxis[axis.index()] = lanes.data();
        m_lanedAxes.push_back(axis);
        static_cast<void>(block(f, n, nullptr, v + first));
        m_laneAxis[axis.index()] = nullptr;
        m_lanedAxes.pop_back();
    }
    m_noteAxes.pop_back();
    m_axisRow[axis.index()] = kept;
    if (m_failed) return 0.0;
    switch (e.reduce) {
    case Reduction::Largest:
    case Reduction::WhereLargest: {
        const auto at = std::max_element(v, v + count); // the first of equals
        lastPlace = static_cast<double>(at - v);
        return e.reduce == Reduction::Largest ? *at : rowKey(*rows.table, static_cast<std::size_t>(at - v));
    }
    case Reduction::Smallest: {
        const auto at = std::min_element(v, v + count);
        lastPlace = static_cast<double>(at - v);
        return *at;
    }
    case Reduction::Sum: {
        double sum = 0.0;
        for (std::size_t i = 0; i < count; ++i) sum += v[i];
        return sum;
    }
    case Reduction::Count: return static_cast<double>(std::count_if(v, v + count, [](double x) { return x != 0.0; }));
    case Reduction::All: return std::all_of(v, v + count, [](double x) { return x != 0.0; }) ? 1.0 : 0.0;
    case Reduction::Any: return std::any_of(v, v + count, [](double x) { return x != 0.0; }) ? 1.0 : 0.0;
    }
    return 0.0;
}

} // namespace spanwright::eval
