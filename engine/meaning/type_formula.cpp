// SPDX-License-Identifier: MIT
#include <cmath>

#include "engine/base/text.h"
#include "engine/meaning/typing.h"

namespace spanwright::meaning {

using diag::Code;
using syntax::Node;
using syntax::NodeId;
using syntax::NodeKind;
using syntax::Op;
using syntax::Tag;

Expr& FormulaTyper::make(ExprKind kind, const Node& n, Typed& made) {
    made.id = ExprId(m_pool.nodes.size());
    Expr& e = m_pool.nodes.emplace_back();
    e.kind = kind;
    e.row = m_row;
    e.span = n.span;
    e.mark = n.mark.empty() ? n.span : n.mark;
    return e;
}

Typed FormulaTyper::wild(const Node& n) {
    Typed t;
    make(ExprKind::Constant, n, t).type = Type::Nothing;
    t.wild = true;
    return t;
}

Typed FormulaTyper::formula(const syntax::Formula& f) {
    m_formula = &f;
    if (f.present()) return type(f.root);
    m_failed = true; // the reader has said that it is missing
    return wild(Node{});
}

Typed FormulaTyper::limit(const syntax::Formula& f, const units::Unit* assumed) {
    m_formula = &f;
    if (!f.present() || assumed == nullptr) return formula(f);
    const Node* top = &f.top();
    const bool minus = top->kind == NodeKind::Negate;
    if (minus) top = &node(top->children[0]);
    if (top->kind != NodeKind::Number && top->kind != NodeKind::Value) return formula(f);
    const auto read = units::readValue((minus ? "-" : "") + top->text, assumed);
    if (!read) return formula(f);
    const auto bare = base::readDouble(top->text);
    Typed t;
    Expr& e = make(ExprKind::Constant, f.top(), t);
    e.value = read.value().si;
    e.dimension = m_interner.dimension(read.value().unit.dimension);
    e.writtenUnit = m_interner.unit(read.value().unit);
    e.writtenText = (minus ? "-" : "") + (bare ? top->text : units::showNumber(e.value, read.value().unit, {15, {}, {}}));
    t.zero = bare && *bare == 0.0;
    return t;
}

Typed FormulaTyper::type(NodeId id) {
    const Node& n = node(id);
    switch (n.kind) {
    case NodeKind::Number: return typeNumber(n);
    case NodeKind::Measure: return typeMeasure(n);
    case NodeKind::Value: return typeValue(n);
    case NodeKind::Text: return typeText(n);
    case NodeKind::Name: return typeName(n);
    case NodeKind::Field: return typeField(n);
    case NodeKind::Call: return typeCall(n);
    case NodeKind::FieldCall: return typeFieldCall(n);
    case NodeKind::Binary: return typeBinary(id);
    case NodeKind::Paren: return type(n.children[0]);
    case NodeKind::Negate: {
        Typed inner = type(n.children[0]);
        if (!wantNumber(inner, n.span)) return wild(n);
        Typed t = inner;
        Expr& e = make(ExprKind::Negate, n, t);
        const Expr& of = at(inner);
        e.dimension = of.dimension;
        e.tag = of.tag;
        e.axes = of.axes;
        e.children.push_back(inner.id);
        return t;
    }
    case NodeKind::Not: {
        Typed inner = type(n.children[0]);
        if (!wantTruth(inner, n.span, "`not`")) return wild(n);
        Typed t;
        Expr& e = make(ExprKind::Not, n, t);
        e.type = Type::Truth;
        e.axes = at(inner).axes;
        e.children.push_back(inner.id);
        t.wild = inner.wild;
        return t;
    }
    case NodeKind::Range:
        fail(Code::RangeMisuse, n.span, "a range stands where it cannot",
             "ranges are the last argument of integral, largest, smallest, where_largest, where_smallest and root");
        return wild(n);
    case NodeKind::Over:
        fail(Code::AxisMisuse, n.span, "`over` stands where it cannot",
             "`over` is the last argument of largest, smallest, sum, count, all, any and where_largest");
        return wild(n);
    case NodeKind::Error: m_failed = true; return wild(n); // told by the reader
    }
    return wild(n);
}

Typed FormulaTyper::typeNumber(const Node& n) {
    const auto value = base::readDouble(n.text);
    if (!value) {
        fail(Code::NumberTooLarge, n.span, "`" + n.text + "` is too large or too small for a number here", "write it with a larger or smaller unit");
        return wild(n);
    }
    Typed t;
    Expr& e = make(ExprKind::Constant, n, t);
    e.value = *value;
    e.writtenText = n.text;
    t.zero = *value == 0.0;
    // 1.35 may be a partial factor; a whole number counts things (two joists, a span over eight)
    t.factor = *value != std::floor(*value);
    return t;
}

Typed FormulaTyper::typeMeasure(const Node& n) {
    const auto plain = base::readDouble(n.text);
    if (n.unitSpan.end == n.span.end && plain.value_or(1.0) != 0.0 && isNameHere(n.unit)) {
        // `2 L` where L is a length here and the litre elsewhere: nobody can say which is meant
        const bool unitToo = m_interner.readUnit(n.unit).ok();
        fail(Code::NameAfterNumber, n.span, quoted(n.unit) + (unitToo ? " is a name here and a unit as well" : " is a name here, and a name never follows a number"),
             "write " + n.text + "*" + n.unit + (unitToo ? " for the name, or " + n.text + " (" + n.unit + ") for the unit" : ""));
        return wild(n);
    }
    const auto unit = unitAt(n.unit, n.unitSpan);
    if (!unit) return wild(n);
    const auto number = base::readDouble(n.text);
    if (!number) return typeNumber(n);
    Typed t;
    Expr& e = make(ExprKind::Constant, n, t);
    // one way to turn a number and a unit into SI, so that 400 mm here equals 400 mm where a value stands
    const auto read = units::readValue(n.text, &*unit);
    e.value = read ? read.value().si : *number * unit->factor;
    e.dimension = m_interner.dimension(unit->dimension);
    e.writtenUnit = m_interner.unit(*unit);
    e.writtenText = n.text;
    return t;
}

Typed FormulaTyper::typeValue(const Node& n) {
    const auto read = units::readValue(n.text);
    if (!read) {
        const units::ReadError& e = read.error();
        // a word that is no unit may be a name: then it is a formula
        if (!n.children.empty() && e.code != Code::ThousandsMark && e.code != Code::AmbiguousUnit && e.code != Code::UnitOffset) return type(n.children[0]);
        const base::ByteSpan where = e.span.empty() ? n.span : base::ByteSpan{n.span.begin + e.span.begin, n.span.begin + e.span.end};
        fail(e.code, where, e.message, e.mend);
        return wild(n);
    }
    Typed t;
    Expr& e = make(ExprKind::Constant, n, t);
    const units::Written& w = read.value();
    e.value = w.si;
    e.dimension = m_interner.dimension(w.unit.dimension);
    e.writtenUnit = m_interner.unit(w.unit);
    // the number alone when the rest is its unit, otherwise (14 ft 6 in, 3,6 m) the whole text
    e.writtenText = n.text;
    std::size_t end = std::min(n.text.find_first_not_of("+-.0123456789eE"), n.text.size());
    while (end > 0 && !base::readDouble(std::string_view(n.text).substr(0, end))) --end;
    const std::string rest(base::trimmed(std::string_view(n.text).substr(end)));
    if (end > 0 && !rest.empty() && m_interner.readUnit(rest).ok()) e.writtenText = n.text.substr(0, end);
    t.zero = w.si == 0.0 && w.unit.ascii.empty();
    return t;
}

Typed FormulaTyper::typeText(const Node& n) {
    Typed t;
    Expr& e = make(ExprKind::Constant, n, t);
    e.type = Type::Text;
    e.value = m_texts.idOf(n.text);
    e.writtenText = n.text;
    return t;
}

Typed FormulaTyper::boundOrNothing(const Node& n) {
    for (auto it = m_bounds.rbegin(); it != m_bounds.rend(); ++it) {
        if (it->name != n.text) continue;
        Typed t;
        Expr& e = make(ExprKind::Bound, n, t);
        e.index = it->slot;
        e.dimension = it->dimension;
        e.writtenText = n.text;
        t.factor = it->dimension.isNumber();
        return t;
    }
    return {};
}

Typed FormulaTyper::constantOrNothing(const Node& n) {
    if (!isConstantName(n.text)) return {};
    Typed t;
    Expr& e = make(ExprKind::Constant, n, t);
    e.writtenText = n.text;
    if (n.text == "pi") {
        e.value = 3.141592653589793238462643383279502884;
    } else if (n.text == "g_n") {
        // standard acceleration of free fall, exact: 3rd CGPM (1901), SI Brochure 9th edition
        const auto& unit = m_interner.readUnit("m/s^2");
        e.value = 9.80665;
        if (unit) {
            e.dimension = m_interner.dimension(unit.value().dimension);
            e.writtenUnit = m_interner.unit(unit.value());
        }
    } else {
        e.type = Type::Truth;
        e.value = n.text == "true" ? 1.0 : 0.0;
    }
    return t;
}

Typed FormulaTyper::typeBinary(NodeId id) {
    // A sum of thousands of terms leans to the left: walked, not recursed into.
    std::vector<NodeId> spine;
    NodeId at = id;
    while (node(at).kind == NodeKind::Binary && node(at).op != Op::Power) {
        spine.push_back(at);
        at = node(at).children[0];
    }
    if (spine.empty()) {
        const Node& n = node(id);
        const Typed base = type(n.children[0]);
        return power(n, base, type(n.children[1]));
    }
    Typed left = type(at);
    for (auto it = spine.rbegin(); it != spine.rend(); ++it) {
        const Node& n = node(*it);
        const Typed right = type(n.children[1]);
        left = combine(n, left, right);
    }
    return left;
}

Typed FormulaTyper::combine(const Node& n, Typed left, Typed right) {
    switch (n.op) {
    case Op::Add:
    case Op::Subtract: return addLike(n, left, right);
    case Op::Multiply:
    case Op::Divide: return multiply(n, left, right);
    case Op::And:
    case Op::Or: return logic(n, left, right);
    case Op::Power: return power(n, left, right);
    default: return compare(n, left, right);
    }
}

Typed FormulaTyper::addLike(const Node& n, Typed left, Typed right) {
    if (!wantNumber(left, n.mark) || !wantNumber(right, n.mark)) return wild(n);
    if (!unify(left, right, n.mark, n, n.op == Op::Add ? "cannot be added" : "cannot be subtracted", false)) return wild(n);
    Typed t;
    const Tag tag = agreedTag(left, right, n);
    Expr& e = make(n.op == Op::Add ? ExprKind::Add : ExprKind::Subtract, n, t);
    const Typed& leads = left.zero || left.wild ? right : left;
    e.dimension = at(leads).dimension;
    e.tag = tag;
    e.axes = m_interner.joined(at(left).axes, at(right).axes);
    e.children = {left.id, right.id};
    t.wild = left.wild || right.wild;
    t.zero = left.zero && right.zero;
    t.factor = left.factor || right.factor;
    return t;
}

Typed FormulaTyper::multiply(const Node& n, Typed left, Typed right) {
    if (!wantNumber(left, n.mark) || !wantNumber(right, n.mark)) return wild(n);
    Typed t;
    const bool divide = n.op == Op::Divide;
    Expr& e = make(divide ? ExprKind::Divide : ExprKind::Multiply, n, t);
    const Expr& a = at(left);
    const Expr& b = at(right);
    e.dimension = divide ? m_interner.over(a.dimension, b.dimension) : m_interner.times(a.dimension, b.dimension);
    e.axes = m_interner.joined(a.axes, b.axes);
    e.children = {left.id, right.id};
    t.wild = left.wild || right.wild;
    t.factor = left.factor || right.factor;
    // A tag travels through lengths and literals. A factor makes something else of the value, and so does a
    // ratio: what is divided by a load is no load.
    if (b.tag == Tag::None) {
        e.tag = right.factor ? Tag::None : a.tag;
    } else if (!divide && a.tag == Tag::None) {
        e.tag = left.factor ? Tag::None : b.tag;
    } else if (!divide && a.tag == b.tag) {
        e.tag = a.tag;
    }
    return t;
}

std::optional<units::Rational> FormulaTyper::exactNumber(NodeId id) const {
    const Node& n = node(id);
    switch (n.kind) {
    case NodeKind::Number: return units::Rational::fromDecimal(n.text);
    case NodeKind::Paren: return exactNumber(n.children[0]);
    case NodeKind::Negate:
        if (const auto of = exactNumber(n.children[0])) return units::Rational{0, 1} - *of;
        return {};
    case NodeKind::Binary: {
        if (n.op != Op::Divide) return {};
        const auto above = exactNumber(n.children[0]);
        const auto below = exactNumber(n.children[1]);
        if (!above || !below || below->isZero()) return {};
        return *above * units::Rational::of(below->den, below->num);
    }
    default: return {};
    }
}

Typed FormulaTyper::power(const Node& n, Typed base, Typed exponent) {
    if (!wantNumber(base, n.mark) || !wantNumber(exponent, n.mark)) return wild(n);
    if (!wantPureNumber(exponent, node(n.children[1]).span, "an exponent")) return wild(n);
    const auto exact = exactNumber(n.children[1]);
    if (!exact && !base.wild && !at(base).dimension.isNumber()) {
        fail(Code::NonNumericPower, node(n.children[1]).span, "a value in " + unitOf(base) + " can only be raised to a fixed number",
             "divide it by a value of the same kind first, as in (h/(150 mm))^k, or write the exponent as a number");
        return wild(n);
    }
    Typed t;
    const units::Rational p = exact.value_or(units::Rational{0, 0});
    SharedDimension dimension;
    if (exact && !at(base).dimension.isNumber()) dimension = m_interner.dimension(at(base).dimension->toThe(p));
    Expr& e = make(ExprKind::Power, n, t);
    e.dimension = dimension;
    e.power = p;
    e.tag = at(base).tag;
    e.axes = m_interner.joined(at(base).axes, at(exponent).axes);
    e.children = {base.id, exponent.id};
    t.wild = base.wild || (exponent.wild && !exact);
    t.factor = base.factor || exponent.factor;
    return t;
}

Typed FormulaTyper::compare(const Node& n, Typed left, Typed right) {
    const bool equality = n.op == Op::Equal || n.op == Op::NotEqual;
    if (!equality && (!wantNumber(left, n.mark) || !wantNumber(right, n.mark))) return wild(n);
    if (!unify(left, right, n.mark, n, "cannot be compared", equality)) return wild(n);
    if (equality) {
        if (at(left).kind == ExprKind::Constant && at(left).type == Type::Text) comparedWithText(right, at(left).writtenText, at(left).span);
        if (at(right).kind == ExprKind::Constant && at(right).type == Type::Text) comparedWithText(left, at(right).writtenText, at(right).span);
        asText(left);
        asText(right);
    }
    if (!left.wild && !right.wild) (void)agreedTag(left, right, n);
    Typed t;
    ExprKind kind = ExprKind::Less;
    switch (n.op) {
    case Op::LessEqual: kind = ExprKind::LessEqual; break;
    case Op::Greater: kind = ExprKind::Greater; break;
    case Op::GreaterEqual: kind = ExprKind::GreaterEqual; break;
    case Op::Equal: kind = ExprKind::Equal; break;
    case Op::NotEqual: kind = ExprKind::NotEqual; break;
    default: break;
    }
    Expr& e = make(kind, n, t);
    e.type = Type::Truth;
    e.axes = m_interner.joined(at(left).axes, at(right).axes);
    e.children = {left.id, right.id};
    return t;
}

Typed FormulaTyper::logic(const Node& n, Typed left, Typed right) {
    const char* whose = n.op == Op::And ? "`and`" : "`or`";
    if (!wantTruth(left, n.mark, whose) || !wantTruth(right, n.mark, whose)) return wild(n);
    Typed t;
    Expr& e = make(n.op == Op::And ? ExprKind::And : ExprKind::Or, n, t);
    e.type = Type::Truth;
    e.axes = m_interner.joined(at(left).axes, at(right).axes);
    e.children = {left.id, right.id};
    return t;
}

} // namespace spanwright::meaning
