// SPDX-License-Identifier: MIT
// What the names in a sheet's formulas stand for.
#include <algorithm>

#include "engine/base/text.h"
#include "engine/meaning/analysis.h"

namespace spanwright::meaning {

using diag::Code;
using syntax::Node;
using syntax::NodeKind;

namespace {

/// Looking for the nearest of many names costs; a sheet with hundreds of unknown names has another trouble.
constexpr int kMostSuggestions = 50;

} // namespace

std::string SheetAnalysis::suggestion(std::string_view word, const std::vector<std::string>& candidates) {
    if (m_suggestions >= kMostSuggestions) return {};
    ++m_suggestions;
    const auto near = base::nearest(word, candidates);
    return near ? "did you mean " + quoted(*near) + "?" : std::string();
}

std::vector<std::string> SheetAnalysis::allNames() const {
    if (m_suggestions >= kMostSuggestions) return {};
    std::vector<std::string> names;
    names.reserve(m_symbols.size() + m_bounds.size() + 4);
    for (const auto& b : m_bounds) names.emplace_back(b.name);
    for (const Quantity& q : m_sheet.quantities) {
        if (!q.name.empty() && q.kind != Kind::Switch && q.kind != Kind::Check && q.kind != Kind::Require && q.kind != Kind::Piece && q.kind != Kind::Schedule)
            names.push_back(q.name);
    }
    for (const char* constant : {"pi", "g_n", "true", "false"}) names.emplace_back(constant);
    return names;
}

SheetAnalysis::Symbol* SheetAnalysis::find(std::string_view name) {
    const auto found = m_symbols.find(name);
    return found == m_symbols.end() ? nullptr : &found->second;
}

bool SheetAnalysis::isNameHere(std::string_view name) const {
    const auto found = m_symbols.find(name);
    const bool row = found != m_symbols.end() && found->second.kind == Symbol::Kind::Quantity;
    return row || std::any_of(m_bounds.begin(), m_bounds.end(), [&](const Bound& b) { return b.name == name; });
}

std::string SheetAnalysis::nameOfQuantity(QuantityId id) const { return m_sheet.at(id).name; }

const units::Unit* SheetAnalysis::shownUnit(const Expr& e) const {
    switch (e.kind) {
    case ExprKind::Quantity: return &m_sheet.at(e.quantity).unit;
    case ExprKind::ChoiceField:
    case ExprKind::AxisField:
        if (const auto& table = m_sheet.at(e.quantity).table; table && e.index < table->columns.size()) return &table->columns[e.index].unit;
        return nullptr;
    case ExprKind::TableField: return &m_sheet.tables[e.table.index()]->columns[e.index].unit;
    case ExprKind::MatrixField: return &m_sheet.tables[e.table.index()]->matrixUnit;
    default: return nullptr;
    }
}

void SheetAnalysis::functionNames(std::vector<std::string>& into) const {
    for (const Function& f : m_sheet.functions) into.push_back(f.name);
    for (const auto& [name, r] : m_tableNames) into.emplace_back(name);
    std::sort(into.begin(), into.end()); // maps have no order; suggestions must
}

bool SheetAnalysis::sameCondition(QuantityId a, QuantityId b) const {
    if (a == b) return true;
    if (!a.valid() || !b.valid()) return false;
    const auto ta = m_conditions.find(a.value);
    const auto tb = m_conditions.find(b.value);
    return ta != m_conditions.end() && tb != m_conditions.end() && !ta->second.empty() && ta->second == tb->second;
}

bool SheetAnalysis::reachable(QuantityId condition, bool otherwise) const {
    return !condition.valid() || (m_standsIn.valid() && m_otherwise == otherwise && sameCondition(m_standsIn, condition));
}

void SheetAnalysis::failConditional(const std::string& name, std::uint32_t row, const base::ByteSpan& span, QuantityId condition, const Node& n) {
    const Part& part = m_sheet.parts[m_sheet.at(condition).part];
    const bool other = part.hasOtherwise;
    diag::Diagnostic& d = fail(Code::ConditionalUse, n.span, quoted(name) + " stands in the part " + quoted(part.title) + ", which may be switched off",
                               other ? "define " + quoted(name) + " on both sides of that part's `otherwise`"
                                     : "define " + quoted(name) + " behind an `otherwise` in that part too, or use it only inside the part");
    d.labels.push_back({{m_file, row, span}, "defined here"});
}

QuantityId SheetAnalysis::reach(const Symbol& s, const Node& n) {
    const QuantityId first(s.index);
    const Quantity& q = m_sheet.at(first);
    if (s.whole.valid()) {
        if (reachable(q.condition, false)) return first;
        if (reachable(q.condition, true)) return s.other;
        return s.whole;
    }
    if (reachable(q.condition, q.otherwise)) return first;
    failConditional(q.name, s.row, s.span, q.condition, n);
    return {};
}

Typed SheetAnalysis::unknownName(const Node& n) {
    setFailed();
    // one cause, one diagnostic: the same unknown name again in this row says nothing new
    if (std::find(m_unknownHere.begin(), m_unknownHere.end(), n.text) != m_unknownHere.end()) return wild(n);
    m_unknownHere.push_back(n.text);
    // `3 kN*m`: the reader has said that a compound unit stands in brackets
    const auto& complaints = rowAt(m_row).complaints;
    const bool unit = units::findUnit(n.text).has_value();
    if (unit && std::any_of(complaints.begin(), complaints.end(), [](const auto& c) { return c.code == Code::CompoundUnitBare; })) return wild(n);
    std::string mend;
    if (unit) {
        mend = quoted(n.text) + " is a unit: units stand behind a number, as in 1 " + n.text;
    } else {
        mend = suggestion(n.text, allNames());
        if (mend.empty()) mend = "define it in a row of its own, such as: given " + n.text + " = ...";
    }
    fail(Code::UnknownName, n.mark.empty() ? n.span : n.mark, quoted(n.text) + " is defined nowhere", mend);
    return wild(n);
}

Typed SheetAnalysis::typeName(const Node& n) {
    if (const Typed bound = boundOrNothing(n); bound.id.valid()) return bound;
    const Symbol* s = find(n.text);
    if (s == nullptr) {
        if (const Typed constant = constantOrNothing(n); constant.id.valid()) return constant;
        return unknownName(n);
    }
    switch (s->kind) {
    case Symbol::Kind::Function: fail(Code::TypeMismatch, n.span, quoted(n.text) + " is a function", "call it: " + n.text + "(...)"); return wild(n);
    case Symbol::Kind::Table:
        fail(Code::TypeMismatch, n.span, quoted(n.text) + " is a table; a value is wanted here", "name a row and a column: " + n.text + "(key).COLUMN");
        return wild(n);
    case Symbol::Kind::Quantity: break;
    }
    const QuantityId id = reach(*s, n);
    if (!id.valid()) return wild(n);
    return useQuantity(id, n);
}

Typed SheetAnalysis::useQuantity(QuantityId id, const Node& n) {
    const Quantity& q = m_sheet.at(id);
    const Info& i = info(id);
    switch (q.kind) {
    case Kind::List:
        fail(Code::TypeMismatch, n.span, quoted(q.name) + " is a list; a value is wanted here", "go over its rows: each r in " + q.name + ", then r.COLUMN");
        return wild(n);
    case Kind::Beam:
        fail(Code::TypeMismatch, n.span, quoted(q.name) + " is a beam; a value is wanted here",
             "ask for what it gives: " + q.name + ".M(x), " + q.name + ".V(x), " + q.name + ".w(x) or " + q.name + ".R(1)");
        return wild(n);
    case Kind::Check:
    case Kind::Require:
        fail(Code::TypeMismatch, n.span,
             quoted(q.name) + (q.kind == Kind::Check ? " is a check" : " is a requirement") + ": its outcome is no value for a formula",
             "use the values that it compares");
        return wild(n);
    default: break;
    }
    read(id);
    if (!i.typed) m_incomplete = true;
    Typed t;
    const bool choice = q.kind == Kind::Choose;
    const bool axis = q.kind == Kind::Each;
    Expr& e = make(choice ? ExprKind::ChoiceKey : axis ? ExprKind::AxisKey : ExprKind::Quantity, n, t);
    e.quantity = id;
    e.type = q.type;
    e.dimension = i.dimension;
    e.axes = i.axes;
    e.tag = q.tag;
    t.wild = i.wild && !choice && !axis;
    t.factor = q.type == Type::Number && i.dimension.isNumber();
    return t;
}

Typed SheetAnalysis::typeField(const Node& n) {
    const Node& of = node(n.children[0]);
    if (of.kind == NodeKind::Call) {
        if (TableRow* t = tableNamed(of.text)) return lookupExact(*t, of, n);
        const Typed inner = type(n.children[0]);
        if (!inner.wild) fail(Code::TypeMismatch, n.mark, quoted(of.text) + " is no table and has no columns");
        return wild(n);
    }
    if (of.kind != NodeKind::Name) {
        const Typed inner = type(n.children[0]);
        if (!inner.wild) fail(Code::TypeMismatch, n.mark, "only a row of a table has columns", "write NAME.COLUMN");
        return wild(n);
    }
    const Symbol* s = find(of.text);
    if (s == nullptr) {
        if (const Typed bound = boundOrNothing(of); bound.id.valid()) {
            fail(Code::TypeMismatch, n.mark, quoted(of.text) + " is a number and has no columns");
            return wild(n);
        }
        return unknownName(of);
    }
    if (s->kind == Symbol::Kind::Table) {
        fail(Code::TypeMismatch, n.span, "a column is no value without its row", "name the row: " + of.text + "(key)." + n.text);
        return wild(n);
    }
    if (s->kind == Symbol::Kind::Function) {
        fail(Code::TypeMismatch, n.mark, quoted(of.text) + " is a function and has no columns");
        return wild(n);
    }
    const QuantityId id = reach(*s, of);
    if (!id.valid()) return wild(n);
    const Quantity& q = m_sheet.at(id);
    switch (q.kind) {
    case Kind::Choose:
    case Kind::Each: return rowField(id, n);
    case Kind::Beam: return beamValue(id, n, {});
    case Kind::List:
        fail(Code::TypeMismatch, n.span, quoted(q.name) + " is a list: its column has one value a row",
             "go over its rows: each r in " + q.name + ", then r." + n.text);
        return wild(n);
    default: break;
    }
    read(id);
    if (!info(id).wild) fail(Code::TypeMismatch, n.mark, quoted(q.name) + " is one value and has no columns");
    setFailed();
    return wild(n);
}

Typed SheetAnalysis::typeFieldCall(const Node& n) {
    const Node& of = node(n.children[0]);
    if (of.kind == NodeKind::Name) {
        const Symbol* s = find(of.text);
        if (s == nullptr) return unknownName(of);
        if (s->kind == Symbol::Kind::Quantity && m_sheet.quantities[s->index].kind == Kind::Beam) {
            const QuantityId id = reach(*s, of);
            if (!id.valid()) return wild(n);
            return beamValue(id, n, {n.children.begin() + 1, n.children.end()});
        }
    }
    fail(Code::UnknownFunction, n.mark, "only a beam answers to " + quoted("." + n.text + "(...)"),
         of.kind == NodeKind::Name ? "for a product write " + of.text + "." + n.text + "*(...)" : "");
    return wild(n);
}

Typed SheetAnalysis::typeOtherCall(const Node& n) {
    const Symbol* s = find(n.text);
    if (s != nullptr && s->kind == Symbol::Kind::Function) return callFunction(*s, n);
    if (TableRow* t = tableNamed(n.text)) {
        if (!t->table) {
            m_cause = t->row;
            m_blamesElsewhere = true;
            setFailed();
            return wild(n);
        }
        if (t->table->isMatrix) return lookupMatrix(*t, n);
        fail(Code::TypeMismatch, n.span, "a row of the table " + quoted(n.text) + " is no value without its column",
             "name the column: " + n.text + "(...).COLUMN");
        return wild(n);
    }
    if (s != nullptr || boundOrNothing(n).id.valid()) {
        fail(Code::UnknownFunction, n.mark, quoted(n.text) + " is a value, no function", "write the multiplication: " + n.text + "*(...)");
        return wild(n);
    }
    std::vector<std::string> names = languageFunctions();
    functionNames(names);
    std::string mend = suggestion(n.text, names);
    if (mend.empty()) mend = "write it as `define " + n.text + "(...) = ...`, or take a function of the language";
    fail(Code::UnknownFunction, n.mark, "there is no function " + quoted(n.text), mend);
    for (syntax::NodeId child : n.children) {
        if (node(child).kind != NodeKind::Range && node(child).kind != NodeKind::Over) (void)type(child);
    }
    return wild(n);
}

Typed SheetAnalysis::callFunction(const Symbol& s, const Node& n) {
    const Function& f = m_sheet.functions[s.index];
    const FunctionInfo& i = m_functions[s.index];
    std::vector<Typed> args;
    args.reserve(n.children.size());
    for (syntax::NodeId child : n.children) args.push_back(type(child));
    if (!reachable(i.condition, i.otherwise)) {
        failConditional(f.name, f.row, s.span, i.condition, n);
        return wild(n);
    }
    if (args.size() != f.parameters.size()) {
        const auto words = [](std::size_t k) { return std::to_string(k) + (k == 1 ? " argument" : " arguments"); };
        diag::Diagnostic& d =
            fail(Code::ArgumentCount, n.mark,
                 quoted(f.name) + " takes " + words(f.parameters.size()) + ", and here " + (args.size() == 1 ? "is 1" : "are " + std::to_string(args.size())));
        d.labels.push_back({{m_file, f.row, s.span}, "defined here"});
        return wild(n);
    }
    SharedAxes axes = i.axes;
    for (std::size_t k = 0; k < args.size(); ++k) {
        const std::string whose = quoted(f.parameters[k].name) + " of " + quoted(f.name);
        if (!wantDimension(args[k], i.parameters[k], f.parameters[k].unit.shown, node(n.children[k]).span, whose)) return wild(n);
        axes = m_interner.joined(axes, at(args[k]).axes);
    }
    m_reads.insert(m_reads.end(), i.reads.begin(), i.reads.end());
    if (f.broken) {
        setFailed(); // told at the function
        m_cause = i.cause;
        m_blamesElsewhere = true;
        return wild(n);
    }
    if (!i.typed) m_incomplete = true;
    Typed t;
    Expr& e = make(ExprKind::UserCall, n, t);
    e.function = FunctionId(s.index);
    e.type = i.type;
    e.dimension = i.dimension;
    e.axes = axes;
    e.tag = i.tag;
    for (const Typed& a : args) e.children.push_back(a.id);
    t.wild = i.wild;
    t.factor = i.type == Type::Number && i.dimension.isNumber();
    return t;
}

QuantityId SheetAnalysis::axisNamed(const Node& over) {
    const Symbol* s = find(over.text);
    if (s != nullptr && s->kind == Symbol::Kind::Quantity && m_sheet.quantities[s->index].kind == Kind::Each) {
        const QuantityId id = reach(*s, over);
        if (id.valid()) read(id);
        return id;
    }
    std::vector<std::string> names;
    for (const Quantity& q : m_sheet.quantities) {
        if (q.kind == Kind::Each) names.push_back(q.name);
    }
    std::string mend = s == nullptr ? suggestion(over.text, names) : std::string();
    if (mend.empty())
        mend = names.empty() ? "declare the rows to go over: each " + over.text + " in TABLE"
                             : "each rows here: " + names.front() + (names.size() > 1 ? ", ..." : "");
    fail(Code::AxisMisuse, over.mark.empty() ? over.span : over.mark, quoted(over.text) + " is no each row", mend);
    return {};
}

} // namespace spanwright::meaning
