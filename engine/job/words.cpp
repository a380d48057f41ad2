// SPDX-License-Identifier: MIT
// Names, reasons and values in words.
#include <algorithm>
#include <cmath>

#include "engine/base/text.h"
#include "engine/job/core.h"

namespace spanwright::job {

using eval::State;
using eval::Value;

std::string quoted(std::string_view name) { return "`" + std::string(name) + "`"; }

std::string_view kindWord(Kind kind) {
    switch (kind) {
    case Kind::Ask: return "ask";
    case Kind::Given: return "given";
    case Kind::Choose: return "choose";
    case Kind::Each: return "each";
    case Kind::List: return "list";
    case Kind::Derive: return "derive";
    case Kind::Check: return "check";
    case Kind::Require: return "require";
    case Kind::Beam: return "beam";
    case Kind::Condition: return "condition";
    case Kind::Switch: return "switch";
    case Kind::Plot: return "plot";
    case Kind::Piece: return "piece";
    case Kind::Schedule: return "schedule";
    case Kind::Sketch: return "sketch";
    }
    return "row";
}

std::string_view verdictText(Verdict v) {
    switch (v) {
    case Verdict::Ok: return "OK";
    case Verdict::NotProven: return "NOT PROVEN";
    case Verdict::Fails: return "FAILS";
    case Verdict::NotComputed: return "NOT COMPUTED";
    }
    return "NOT COMPUTED";
}

std::string suggestion(std::string_view word, const std::vector<std::string>& candidates) {
    const auto near = base::nearest(word, candidates);
    return near ? "did you mean " + quoted(*near) + "?" : std::string();
}

std::string Core::nameOf(Ref ref) const {
    if (ref.slot == Ref::kJob) return m_givens[ref.quantity].quantity.name;
    return nameFor(m_single ? ref.slot : Ref::kNobody, ref);
}

std::string Core::nameFor(std::uint32_t slot, Ref ref) const {
    if (ref.slot == Ref::kJob) return m_givens[ref.quantity].quantity.name;
    const Member& m = at(ref.slot);
    const meaning::Sheet& sheet = *m.sheet->sheet;
    const meaning::Quantity& q = sheet.quantities[ref.quantity];
    std::string name = q.name;
    if (name.empty() && q.kind == Kind::Condition) {
        // A condition goes by the part that it switches.
        const auto part = std::find_if(sheet.parts.begin(), sheet.parts.end(), [&](const meaning::Part& p) { return p.condition == q.id; });
        name = part != sheet.parts.end() ? "part " + quoted(part->title) : "a condition";
    }
    if (name.empty()) name = std::string(kindWord(q.kind));
    return slot == ref.slot ? name : m.mark + "." + name;
}

Cause Core::causeOf(Ref ref) const {
    const auto key = [](Ref r) { return (static_cast<std::uint64_t>(r.slot) << 32U) | r.quantity; };
    std::vector<Ref> chain;
    Cause cause;
    for (Ref now = ref;;) {
        if (const auto known = m_causes.find(key(now)); known != m_causes.end()) {
            cause = known->second;
            break;
        }
        const Value& v = valueOf(now);
        if (v.state != State::Blocked) {
            cause = {now, v.state, {}};
            break;
        }
        chain.push_back(now);
        if (v.blockedBy.valid() && now.slot != Ref::kJob) {
            now = {now.slot, v.blockedBy.value};
            continue;
        }
        const Statement* s = now.slot == Ref::kJob ? &m_givens[now.quantity].statement : at(now.slot).statement(now.quantity);
        if (s != nullptr && s->sort == Statement::Sort::Waiting) {
            cause = {now, State::Failed, s->waitingFor};
            break;
        }
        const Ref* next = nullptr;
        if (s != nullptr)
            for (const Ref& r : s->references)
                if (next == nullptr && !valueOf(r).known()) next = &r;
        if (next == nullptr || chain.size() > m_owners.size()) { // never worked out
            cause = {now, State::Blocked, {}};
            break;
        }
        now = *next;
    }
    for (const Ref& r : chain) m_causes[key(r)] = cause;
    return cause;
}

std::string Core::reasonOf(std::uint32_t slot, Ref ref) const {
    const Value& v = valueOf(ref);
    switch (v.state) {
    case State::Known: return {};
    case State::NotStated: return "not stated";
    case State::NotApplicable: return "stands in a part that does not apply";
    case State::Failed: return v.problem ? v.problem->message : "could not be computed";
    case State::Blocked: break;
    }
    const Cause cause = causeOf(ref);
    if (!cause.member.empty()) return "not computed, because of " + cause.member + ", whose sheet could not be read";
    const std::string name = nameFor(slot, cause.ref);
    switch (cause.state) {
    case State::NotStated: return "not computed, because of " + name + ", which is not stated";
    case State::NotApplicable: return "not computed, because of " + name + ", which stands in a part that does not apply";
    case State::Failed: return "not computed, because of " + name + ", which could not be computed";
    default: return "not computed yet";
    }
}

std::string Core::shownOne(const meaning::Quantity& q, const Value& v, double number) const {
    switch (q.type) {
    case meaning::Type::Number: {
        const bool fits = q.unit.dimension == q.dimension;
        return units::showValue(number, fits ? q.unit : units::habitualUnit(q.dimension), q.show);
    }
    case meaning::Type::Truth: return number != 0.0 ? "yes" : "no";
    case meaning::Type::Text: return m_texts.textOf(number);
    case meaning::Type::Row:
        if (v.table && number >= 0.0 && number < static_cast<double>(v.table->rowCount())) return v.table->rowLabel(static_cast<std::uint32_t>(number));
        return {};
    case meaning::Type::Nothing: return {};
    }
    return {};
}

std::string Core::shownValue(std::uint32_t slot, const meaning::Quantity& q) const {
    const Value& v = at(slot).values.at(q.id);
    if (!v.known()) return {};
    switch (q.kind) {
    case Kind::Each:
    case Kind::List: {
        const std::size_t n = v.table ? v.table->rowCount() : 0;
        return std::to_string(n) + (n == 1 ? " row" : " rows");
    }
    case Kind::Beam:
    case Kind::Plot:
    case Kind::Piece:
    case Kind::Schedule:
    case Kind::Sketch: return {};
    case Kind::Check: {
        const auto u = check(slot, q).utilisation;
        return u ? units::showUtilisation(*u) : std::string();
    }
    default: break;
    }
    if (q.kind == Kind::Choose && v.table) return v.table->rowLabel(static_cast<std::uint32_t>(v.one));
    if (q.axes.empty()) return shownOne(q, v, v.one);
    if (v.many.empty()) return "no rows";
    if (q.type == meaning::Type::Truth) return shownOne(q, v, *std::min_element(v.many.begin(), v.many.end()));
    if (q.type != meaning::Type::Number) return shownOne(q, v, v.many.front());
    const auto largest = std::max_element(v.many.begin(), v.many.end(), [](double a, double b) { return std::fabs(a) < std::fabs(b); });
    return shownOne(q, v, *largest);
}

std::size_t Core::caseCount(std::uint32_t slot, const std::vector<QuantityId>& axes) const {
    std::size_t n = 1;
    for (QuantityId axis : axes) n *= at(slot).values.axisSize(axis);
    return n;
}

std::string Core::caseLabel(std::uint32_t slot, const std::vector<QuantityId>& axes, std::size_t index) const {
    const eval::MemberValues& values = at(slot).values;
    const std::vector<std::size_t> rows = axisRows(values, axes, index);
    std::string out;
    for (std::size_t i = 0; i < axes.size(); ++i) {
        const auto& table = values.at(axes[i]).table;
        if (!table) continue;
        std::string label = table->rowLabel(static_cast<std::uint32_t>(rows[i]));
        // A bare number as a key says little without the name of its axis.
        if (label.empty() || base::readDouble(label))
            label = at(slot).sheet->sheet->at(axes[i]).name + " " + (label.empty() ? std::to_string(rows[i] + 1) : label);
        out += (out.empty() ? "" : ", ") + label;
    }
    return out;
}

std::vector<std::string> Core::caseLabels(std::uint32_t slot, const std::vector<QuantityId>& axes) const {
    std::vector<std::string> out;
    if (axes.empty()) return out;
    const std::size_t n = caseCount(slot, axes);
    out.reserve(n);
    for (std::size_t i = 0; i < n; ++i) out.push_back(caseLabel(slot, axes, i));
    return out;
}

units::Unit Core::unitOf(const SheetEntry& entry, meaning::ExprId id) const {
    const meaning::Expr& e = entry.sheet->exprs.at(id);
    const units::Dimension& d = e.dimension;
    if (e.quantity.valid() && e.kind == meaning::ExprKind::Quantity) {
        const units::Unit& unit = entry.sheet->at(e.quantity).unit;
        if (unit.dimension == d) return unit;
    }
    if (e.kind == meaning::ExprKind::Constant) {
        const units::Unit& unit = e.writtenUnit;
        if (unit.dimension == d) return unit;
    }
    if ((e.kind == meaning::ExprKind::ChoiceField || e.kind == meaning::ExprKind::AxisField) && entry.sheet->at(e.quantity).table) {
        const auto& columns = entry.sheet->at(e.quantity).table->columns;
        if (e.index < columns.size() && columns[e.index].unit.dimension == d) return columns[e.index].unit;
    }
    if (e.kind == meaning::ExprKind::TableField && e.table.valid()) {
        const auto& columns = entry.sheet->tables[e.table.index()]->columns;
        if (e.index < columns.size() && columns[e.index].unit.dimension == d) return columns[e.index].unit;
    }
    return units::habitualUnit(d);
}

std::vector<std::size_t> axisRows(const eval::MemberValues& values, const std::vector<QuantityId>& axes, std::size_t index) {
    std::vector<std::size_t> rows(axes.size(), 0);
    for (std::size_t i = axes.size(); i-- > 0;) {
        const std::size_t n = values.axisSize(axes[i]);
        if (n == 0) continue;
        rows[i] = index % n;
        index /= n;
    }
    return rows;
}

std::optional<std::size_t> caseAt(const eval::MemberValues& values, const std::vector<QuantityId>& axes, const std::vector<QuantityId>& told,
                                  const std::vector<std::size_t>& rows) {
    std::size_t index = 0;
    for (const QuantityId axis : axes) {
        const auto it = std::find(told.begin(), told.end(), axis);
        if (it == told.end()) return std::nullopt;
        index = index * values.axisSize(axis) + rows[static_cast<std::size_t>(it - told.begin())];
    }
    return index;
}

std::vector<std::size_t> axisRowsFor(const meaning::Expr& e, const std::vector<QuantityId>& axes, const std::vector<std::size_t>& rows) {
    std::vector<std::size_t> out;
    for (QuantityId axis : e.axes) {
        const auto it = std::find(axes.begin(), axes.end(), axis);
        out.push_back(it == axes.end() ? 0 : rows[static_cast<std::size_t>(it - axes.begin())]);
    }
    return out;
}

std::size_t errorsIn(const std::vector<diag::Diagnostic>& list) {
    return static_cast<std::size_t>(std::count_if(list.begin(), list.end(), [](const diag::Diagnostic& d) { return d.severity == diag::Severity::Error; }));
}

RowNumber numberInRow(const Member& member, meaning::ExprId id, std::size_t row) {
    const meaning::Sheet& sheet = *member.sheet->sheet;
    const std::vector<std::size_t> rows(sheet.exprs.at(id).axes.size(), row);
    RowNumber out;
    out.value = member.sheet->program->scalar(id, rows, member.values);
    if (out.value) return out;
    for (const QuantityId read : readsOf(sheet, {id})) {
        const eval::Value& v = member.values.at(read);
        if (v.known() || v.state == eval::State::NotApplicable) continue;
        out.unknown = read;
        return out;
    }
    const auto trace = member.sheet->program->trace(id, rows, member.values);
    out.reason = trace.problem ? trace.problem->message : "a value that it reads does not apply";
    return out;
}

} // namespace spanwright::job
