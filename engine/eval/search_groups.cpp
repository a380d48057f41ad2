// SPDX-License-Identifier: MIT
#include "engine/eval/search_groups.h"

#include <algorithm>
#include <cstring>

namespace spanwright::eval {

using meaning::Expr;
using meaning::ExprId;
using meaning::ExprKind;
using meaning::Quantity;
using meaning::QuantityId;
using meaning::RangeOp;

namespace {

/// Searches of one group, cases counted; their samples are held at once.
constexpr std::size_t kMostSearches = 64;
/// What asking a beam at a place costs beside another operation.
constexpr std::uint64_t kAlong = 30;

bool sameBits(const double* a, const double* b, std::size_t n) { return std::memcmp(a, b, n * sizeof(double)) == 0; }

} // namespace

SearchGroups::SearchGroups(Engine& engine, const meaning::Sheet& sheet, const MemberValues& base, const std::vector<std::unique_ptr<PointRow>>& rows)
    : m_engine(engine), m_sheet(sheet), m_base(base), m_rows(rows), m_done(sheet.quantities.size(), 0) {}

bool SearchGroups::takes(const Quantity& q, PointScope& scope) const {
    if (q.kind != meaning::Kind::Derive || q.right.valid() || !q.formula.valid()) return false;
    const Expr& e = m_engine.pool().at(q.formula);
    if (e.kind != ExprKind::Span || e.range == RangeOp::Integral || e.range == RangeOp::Root || !m_engine.variesByPoint(q.formula, scope)) return false;
    for (std::size_t i = 1; i < e.children.size(); ++i) {
        const Formula& end = m_engine.formula(e.children[i]);
        if (!end.fault.empty() || !end.callOuts.empty()) return false;
        for (const Leaf& l : end.leaves) {
            if (l.kind == ExprKind::Bound || l.kind == ExprKind::AxisField || l.kind == ExprKind::AxisKey) return false;
            if (l.quantity.valid() && !m_sheet.at(l.quantity).axes.empty()) return false;
        }
    }
    const Flat& flat = m_engine.flat(e.children[0], e.index);
    return flat.usable && flat.curve == Flat::kNone && flat.sags.empty(); // where beams say where it turns there is little to search
}

void SearchGroups::setRows(std::vector<Row> rows) {
    m_members = std::move(rows);
    m_known = true;
    m_groups.clear();
    forget();
}

void SearchGroups::forget() {
    m_found.clear();
    m_inputs.clear();
}

void SearchGroups::beginPoints() {
    forget();
    m_amiss = false;
    ++m_block;
}

void SearchGroups::done(QuantityId id) { m_done[id.index()] = m_block; }

const SearchGroups::Row* SearchGroups::rowOf(QuantityId id) const {
    for (const Row& r : m_members)
        if (r.id == id) return &r;
    return nullptr;
}

/// Everything that the row reads is known, and was worked out for these points.
bool SearchGroups::ready(const Row& row) const {
    return std::all_of(row.needs.begin(), row.needs.end(), [&](QuantityId id) { return m_rows[id.index()]->allKnown && m_done[id.index()] == m_block; });
}

bool SearchGroups::sameRange(ExprId a, ExprId b) {
    const Expr &one = m_engine.pool().at(a), &other = m_engine.pool().at(b);
    if (one.children.size() != other.children.size()) return false;
    std::string storeOne, storeOther;
    for (std::size_t i = 1; i < one.children.size(); ++i) {
        if (m_engine.formula(one.children[i]).leaves != m_engine.formula(other.children[i]).leaves) return false;
        if (m_engine.text(one.children[i], storeOne) != m_engine.text(other.children[i], storeOther)) return false;
    }
    return true;
}

bool SearchGroups::copy(QuantityId id, std::size_t n, Copy& out) const {
    const PointRow& row = *m_rows[id.index()];
    if (!row.allKnown || !row.counts.empty() || row.lines) return false;
    out.id = id;
    out.cases = row.numbers.empty() ? 0 : row.cases;
    if (row.numbers.size() < out.cases * kPoints) return false;
    out.numbers.resize(out.cases * n);
    for (std::size_t c = 0; c < out.cases; ++c) std::copy_n(row.numbers.data() + c * kPoints, n, out.numbers.data() + c * n);
    out.table = row.table;
    out.tables = row.tables;
    out.solved = row.solved;
    return true;
}

bool SearchGroups::unchanged(const Copy& copy, std::size_t n) const {
    const PointRow& row = *m_rows[copy.id.index()];
    if (!row.allKnown || !row.counts.empty() || row.lines || (row.numbers.empty() ? 0 : row.cases) != copy.cases) return false;
    if (row.numbers.size() < copy.cases * kPoints || row.table != copy.table || row.tables != copy.tables || row.solved != copy.solved) return false;
    for (std::size_t c = 0; c < copy.cases; ++c)
        if (!sameBits(row.numbers.data() + c * kPoints, copy.numbers.data() + c * n, n)) return false;
    return true;
}

SearchGroups::Group& SearchGroups::groupOf(const std::vector<const Row*>& members) {
    std::vector<std::uint32_t> key;
    for (const Row* r : members) key.push_back(static_cast<std::uint32_t>(r->id.index()));
    std::unique_ptr<Group>& held = m_groups[key];
    if (held) return *held;
    held = std::make_unique<Group>();
    for (const Row* r : members) held->spans.push_back(m_sheet.at(r->id).formula);
    held->axes = held->order = m_sheet.at(members.front()->id).axes;
    held->usable = m_engine.flatGroup(held->spans, held->flat);
    // Slowest goes the axis on which most depends.
    const auto weight = [&](QuantityId axis) {
        std::uint64_t sum = 0;
        for (const Flat::Node& n : held->flat.flat.nodes) {
            if (n.kind == Flat::Node::Kind::Along) {
                const Expr& e = m_engine.pool().at(held->flat.flat.beams[n.index]);
                if (e.factors.row == axis) sum += kAlong;
            } else if (n.kind == Flat::Node::Kind::Leaf) {
                const Leaf& l = held->flat.flat.leaves[n.index];
                if (!l.quantity.valid()) continue;
                const auto& axes = m_sheet.at(l.quantity).axes;
                if (l.quantity == axis || std::find(axes.begin(), axes.end(), axis) != axes.end()) ++sum;
            }
        }
        return sum;
    };
    std::stable_sort(held->order.begin(), held->order.end(), [&](QuantityId a, QuantityId b) { return weight(a) > weight(b); });
    return *held;
}

bool SearchGroups::find(const Row& leader, PointScope& scope, std::size_t n) {
    const Quantity& q = m_sheet.at(leader.id);
    std::size_t cases = 1;
    for (const QuantityId a : q.axes) cases *= m_base.axisSize(a);
    if (m_points != n) forget();
    std::vector<const Row*> members;
    for (const Row& r : m_members) {
        if ((members.size() + 1) * cases > kMostSearches) break;
        const bool leads = r.id == leader.id;
        if (!leads && (m_found.contains(static_cast<std::uint32_t>(r.id.index())) || m_sheet.at(r.id).axes != q.axes || !ready(r) ||
                       !sameRange(q.formula, m_sheet.at(r.id).formula)))
            continue;
        members.push_back(&r);
    }
    if (std::find(members.begin(), members.end(), &leader) == members.end() || members.size() * cases < 2) return false;
    Group& group = groupOf(members);
    if (!group.usable) return false;
    std::vector<std::size_t> place(m_rows.size(), m_rows.size()); // of each row that is read, in m_inputs
    for (const Row* r : members) {
        Found& found = m_found[static_cast<std::uint32_t>(r->id.index())];
        found.numbers.resize(cases * n);
        found.inputs.clear();
        for (const QuantityId id : r->needs) {
            if (place[id.index()] == m_rows.size()) {
                place[id.index()] = m_inputs.size();
                if (!copy(id, n, m_inputs.emplace_back())) {
                    forget();
                    return false;
                }
            }
            found.inputs.push_back(place[id.index()]);
        }
    }
    // Cases as they are gone through, and as the rows count them.
    std::vector<double*> out(cases * members.size());
    for (std::size_t c = 0; c < cases; ++c) {
        std::vector<std::size_t> row(group.axes.size());
        std::size_t rest = c, index = 0;
        for (std::size_t a = group.order.size(); a-- > 0;) {
            const std::size_t at = static_cast<std::size_t>(std::find(group.axes.begin(), group.axes.end(), group.order[a]) - group.axes.begin());
            row[at] = rest % m_base.axisSize(group.order[a]);
            rest /= m_base.axisSize(group.order[a]);
        }
        for (std::size_t a = 0; a < group.axes.size(); ++a) index = index * m_base.axisSize(group.axes[a]) + row[a];
        for (std::size_t m = 0; m < members.size(); ++m)
            out[c * members.size() + m] = m_found[static_cast<std::uint32_t>(members[m]->id.index())].numbers.data() + index * n;
    }
    m_points = n;
    if (m_engine.searchTogether(group.flat, group.spans, group.order, scope, n, out)) return true;
    forget();
    m_amiss = true;
    return false;
}

bool SearchGroups::work(QuantityId id, PointScope& scope, std::size_t n, std::vector<double>& numbers) {
    const Row* row = rowOf(id);
    if (row == nullptr || m_amiss || n == 0) return false;
    const auto give = [&] {
        const auto it = m_found.find(static_cast<std::uint32_t>(id.index()));
        if (it == m_found.end() || m_points != n) return false;
        const Found& found = it->second;
        if (!std::all_of(found.inputs.begin(), found.inputs.end(), [&](std::size_t i) { return unchanged(m_inputs[i], n); })) return false;
        for (std::size_t c = 0; c * n < found.numbers.size(); ++c) std::copy_n(found.numbers.data() + c * n, n, numbers.data() + c * kPoints);
        return true;
    };
    if (give()) return true;
    return find(*row, scope, n) && give();
}

} // namespace spanwright::eval
