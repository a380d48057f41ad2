// SPDX-License-Identifier: MIT
#include "engine/trial/whole.h"

#include <algorithm>
#include <vector>

namespace spanwright::trial {

using meaning::Builtin;
using meaning::Expr;
using meaning::ExprId;
using meaning::ExprKind;
using meaning::Kind;
using meaning::Quantity;

namespace {

bool isValue(const meaning::Sheet& sheet, ExprId id, const Quantity& value) {
    const Expr& e = sheet.exprs.at(id);
    return e.kind == ExprKind::Quantity && e.quantity == value.id;
}

bool isRounded(const meaning::Sheet& sheet, ExprId id, const Quantity& value) {
    const Expr& e = sheet.exprs.at(id);
    const bool rounds = e.builtin == Builtin::Floor || e.builtin == Builtin::Ceil || e.builtin == Builtin::Round || e.builtin == Builtin::RoundUp;
    return e.kind == ExprKind::Builtin && rounds && e.children.size() == 1 && isValue(sheet, e.children[0], value);
}

/// Whether a condition cannot hold unless the value is whole.
bool saysWhole(const meaning::Sheet& sheet, ExprId condition, const Quantity& value) {
    std::vector<ExprId> pending{condition};
    while (!pending.empty()) {
        const Expr& e = sheet.exprs.at(pending.back());
        pending.pop_back();
        if (e.kind == ExprKind::And) pending.insert(pending.end(), e.children.begin(), e.children.end());
        if (e.kind != ExprKind::Equal || e.children.size() != 2) continue;
        const ExprId a = e.children[0], b = e.children[1];
        if ((isValue(sheet, a, value) && isRounded(sheet, b, value)) || (isValue(sheet, b, value) && isRounded(sheet, a, value))) return true;
    }
    return false;
}

} // namespace

bool isWhole(const meaning::Sheet& sheet, const Quantity& value) {
    if (value.type != meaning::Type::Number || !value.dimension.isNumber()) return false;
    for (const Quantity& q : sheet.quantities) {
        if (q.broken || (q.condition.valid() && (q.condition != value.condition || q.otherwise != value.otherwise))) continue;
        if (q.kind == Kind::Require && q.formula.valid() && saysWhole(sheet, q.formula, value)) return true;
        if (q.kind != Kind::Piece) continue;
        const ExprId count = sheet.pieces[q.plot].count;
        if (count.valid() && isValue(sheet, count, value)) return true;
    }
    return false;
}

bool isWhole(const job::Extract& extract, std::size_t varied) {
    using job::ExtractRef;
    using job::ExtractRow;
    const ExtractRef& first = extract.varied[varied];
    if (first.member != ExtractRef::kJob && isWhole(*extract.members[first.member].sheet, extract.members[first.member].sheet->at(first.id))) return true;
    std::vector<ExtractRef> same{first}; // rows stand behind those that they take from
    for (const ExtractRow& row : extract.rows) {
        if (row.how != ExtractRow::How::Link || !row.link) continue;
        const Expr& e = row.link->exprs.at(row.link->root);
        if (e.kind != ExprKind::External || e.index >= row.references.size()) continue;
        const ExtractRow::Reference& from = row.references[e.index];
        if (!from.varies || std::find(same.begin(), same.end(), from.at) == same.end()) continue;
        same.push_back(row.at);
        if (row.at.member == ExtractRef::kJob) continue;
        const meaning::Sheet& sheet = *extract.members[row.at.member].sheet;
        const Quantity& q = sheet.at(row.at.id);
        if (!q.condition.valid() && isWhole(sheet, q)) return true;
    }
    return false;
}

} // namespace spanwright::trial
