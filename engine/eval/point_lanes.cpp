// SPDX-License-Identifier: MIT
// Formulas whose lanes are trial points.
#include <algorithm>

#include "engine/eval/engine.h"
#include "engine/eval/flags.h"
#include "engine/eval/machine.h"
#include "engine/eval/points.h"

namespace spanwright::eval {

static_assert(kPoints == kLanes);

using meaning::Expr;
using meaning::ExprId;
using meaning::ExprKind;
using meaning::QuantityId;

bool Engine::variesByPoint(ExprId id, PointScope& scope) const {
    signed char& known = scope.varying[id.index()];
    if (known >= 0) return known != 0;
    const Expr& e = m_pool.at(id);
    const auto row = [&](QuantityId q) { return q.valid() && scope.rows[q.index()] != nullptr; };
    bool varies = e.kind == ExprKind::External ? scope.rows[e.index] != nullptr : row(e.quantity) || row(e.factors.row);
    if (!varies && e.function.valid() && m_sheet->functions[e.function.index()].body.valid())
        varies = variesByPoint(m_sheet->functions[e.function.index()].body, scope); // functions do not recurse
    for (std::size_t i = 0; i < e.children.size() && !varies; ++i) varies = variesByPoint(e.children[i], scope);
    scope.varying[id.index()] = varies ? 1 : 0;
    return varies;
}

bool Engine::goesInLanes(ExprId root, PointScope& scope) {
    std::vector<ExprId> pending{root};
    std::vector<char> seen(m_sheet != nullptr ? m_sheet->functions.size() : 0, 0);
    while (!pending.empty()) {
        const Expr& e = m_pool.at(pending.back());
        const ExprId id = pending.back();
        pending.pop_back();
        const bool itself = e.quantity.valid() && e.kind != ExprKind::External && scope.rows[e.quantity.index()] != nullptr;
        switch (e.kind) {
        case ExprKind::AxisField:
        case ExprKind::AxisKey:
        case ExprKind::Reduce:
        case ExprKind::TableField:
            if (itself) return false; // other rows at other points
            break;
        case ExprKind::BeamValue:
            if (e.factors.row.valid() && scope.rows[e.factors.row.index()] != nullptr) return false;
            break;
        case ExprKind::Span:
            if (variesByPoint(id, scope) && !flat(e.children[0], e.index).usable) return false;
            break;
        case ExprKind::Builtin:
            if (isCallOut(e) && variesByPoint(id, scope)) return false;
            break;
        default: break;
        }
        if (e.function.valid() && seen[e.function.index()] == 0) {
            seen[e.function.index()] = 1;
            if (m_sheet->functions[e.function.index()].body.valid()) pending.push_back(m_sheet->functions[e.function.index()].body);
        }
        pending.insert(pending.end(), e.children.begin(), e.children.end());
    }
    return true;
}

bool Engine::stands(const Expr& e, ExprId id) const {
    const auto row = [&](QuantityId q) { return q.valid() && m_points->rows[q.index()] != nullptr; };
    switch (e.kind) {
    case ExprKind::MatrixField: return true;
    case ExprKind::TableField: return !row(e.quantity);
    case ExprKind::BeamValue: return !row(e.quantity) && !row(e.factors.row);
    default: return !variesByPoint(id, *m_points);
    }
}

bool Engine::loadPoints(const Leaf& leaf, const PointRow& row, std::size_t n, Operand& out) {
    const std::uint32_t* list = m_points->list;
    const auto at = [&](std::size_t i) { return list != nullptr ? list[i] : i; };
    switch (leaf.kind) {
    case ExprKind::External:
    case ExprKind::Quantity: {
        const std::size_t index = leaf.kind == ExprKind::External ? 0 : caseIndex(m_sheet->at(leaf.quantity).axes);
        if (index >= row.cases || !row.counts.empty()) return false;
        const double* numbers = row.numbers.data() + index * kPoints;
        if (list == nullptr) {
            out = {numbers, false};
            return true;
        }
        double* lanes = m_arena.take(n);
        for (std::size_t i = 0; i < n; ++i) lanes[i] = numbers[list[i]];
        out = {lanes, false};
        return true;
    }
    case ExprKind::ChoiceField:
    case ExprKind::ChoiceKey: {
        if (!row.table || !row.tables.empty()) return false;
        const meaning::Table& t = *row.table;
        const bool key = leaf.kind == ExprKind::ChoiceKey;
        if (!key && leaf.index >= t.cells.size()) return false;
        double* lanes = m_arena.take(n);
        for (std::size_t i = 0; i < n; ++i) {
            const auto r = static_cast<std::size_t>(row.numbers[at(i)]);
            if (r >= t.rowCount()) return false;
            lanes[i] = key ? rowKey(t, r) : t.cells[leaf.index][r];
        }
        out = {lanes, false};
        return true;
    }
    default: return false;
    }
}

bool Engine::reduceBlock(const Expr& e, std::size_t n, const std::uint8_t* mask, double* out) {
    using meaning::Reduction;
    const QuantityId axis = e.quantity;
    const Value& rows = m_values->at(axis);
    if (m_points->rows[axis.index()] != nullptr || !rows.known()) return false;
    const std::size_t count = m_values->axisSize(axis);
    const bool picks = e.reduce == Reduction::Largest || e.reduce == Reduction::Smallest || e.reduce == Reduction::WhereLargest;
    if (count == 0 && picks) return false;
    const Arena::Mark mark(m_arena);
    double* best = m_arena.take(n);
    double* v = m_arena.take(n);
    std::fill(out, out + n, e.reduce == Reduction::All ? 1.0 : 0.0);
    const std::uint32_t kept = m_axisRow[axis.index()];
    const Formula& f = formula(e.children[0]);
    bool fine = true;
    for (std::size_t r = 0; r < count && fine; ++r) {
        m_axisRow[axis.index()] = static_cast<std::uint32_t>(r);
        fine = block(f, n, mask, v);
        if (!fine) break;
        const double where = e.reduce == Reduction::WhereLargest ? rowKey(*rows.table, r) : 0.0;
        for (std::size_t i = 0; i < n; ++i) {
            switch (e.reduce) {
            case Reduction::Largest: out[i] = r == 0 || out[i] < v[i] ? v[i] : out[i]; break;
            case Reduction::Smallest: out[i] = r == 0 || v[i] < out[i] ? v[i] : out[i]; break;
            case Reduction::WhereLargest:
                if (r == 0 || best[i] < v[i]) {
                    best[i] = v[i];
                    out[i] = where;
                }
                break;
            case Reduction::Sum: out[i] += v[i]; break;
            case Reduction::Count: out[i] += v[i] != 0.0 ? 1.0 : 0.0; break;
            case Reduction::All: out[i] = v[i] != 0.0 ? out[i] : 0.0; break;
            case Reduction::Any: out[i] = v[i] != 0.0 ? 1.0 : out[i]; break;
            }
        }
    }
    m_axisRow[axis.index()] = kept;
    return fine;
}

bool Engine::points(ExprId root, PointScope& scope, std::size_t n, double* out) {
    const Formula& f = formula(root);
    m_points = &scope;
    clearFlags();
    m_outerFlags = 0;
    const std::size_t aloneBefore = scope.alone.size();
    const bool fine = lanes(f, n, nullptr, out);
    m_points = nullptr;
    if (!fine) {
        clearFlags();
        scope.alone.resize(aloneBefore);
    }
    return fine;
}

} // namespace spanwright::eval
