// SPDX-License-Identifier: MIT
// The functions of the language.
#include <algorithm>

#include "engine/base/text.h"
#include "engine/meaning/typing.h"

namespace spanwright::meaning {

using diag::Code;
using syntax::Node;
using syntax::NodeKind;
using syntax::Tag;

namespace {

struct Known {
    std::string_view name;
    Builtin builtin;
    std::uint8_t least, most; ///< arguments
};

constexpr std::size_t kAny = 255;

constexpr Known kBuiltins[] = {
    {"min", Builtin::Min, 2, kAny},  {"max", Builtin::Max, 2, kAny},       {"abs", Builtin::Abs, 1, 1},     {"sqrt", Builtin::Sqrt, 1, 1},
    {"cbrt", Builtin::Cbrt, 1, 1},   {"exp", Builtin::Exp, 1, 1},          {"ln", Builtin::Ln, 1, 1},       {"log10", Builtin::Log10, 1, 1},
    {"sin", Builtin::Sin, 1, 1},     {"cos", Builtin::Cos, 1, 1},          {"tan", Builtin::Tan, 1, 1},     {"asin", Builtin::Asin, 1, 1},
    {"acos", Builtin::Acos, 1, 1},   {"atan", Builtin::Atan, 1, 1},        {"floor", Builtin::Floor, 1, 1}, {"ceil", Builtin::Ceil, 1, 1},
    {"round", Builtin::Round, 1, 2}, {"round_up", Builtin::RoundUp, 1, 2},
};

const Known* findBuiltin(std::string_view name) {
    for (const Known& k : kBuiltins) {
        if (k.name == name) return &k;
    }
    return nullptr;
}

} // namespace

const std::vector<std::string>& languageFunctions() {
    static const std::vector<std::string> names = {
        "if",  "min",  "max",     "abs",      "sqrt",          "cbrt",           "exp",      "ln",       "log10",       "sin",        "cos",
        "tan", "asin", "acos",    "atan",     "floor",         "ceil",           "round",    "round_up", "number",      "sum",        "count",
        "all", "any",  "largest", "smallest", "where_largest", "where_smallest", "integral", "root",     "interpolate", "at_or_below"};
    return names;
}

bool isLanguageFunction(std::string_view name) {
    const auto& names = languageFunctions();
    return std::find(names.begin(), names.end(), name) != names.end();
}

bool isConstantName(std::string_view name) { return name == "pi" || name == "g_n" || name == "true" || name == "false"; }

bool FormulaTyper::countArguments(const Node& n, std::size_t least, std::size_t most) {
    const std::size_t given = n.children.size();
    if (given >= least && (given <= most || most == kAny)) return true;
    const auto words = [](std::size_t k) { return std::to_string(k) + (k == 1 ? " argument" : " arguments"); };
    std::string takes = least == most ? words(least) : most == kAny ? words(least) + " or more" : std::to_string(least) + " or " + words(most);
    fail(Code::ArgumentCount, n.mark, quoted(n.text) + " takes " + takes + ", and here " + (given == 1 ? "is 1" : "are " + std::to_string(given)),
         "write it like " + (n.text == "if" ? std::string("if(condition, a, b)") : n.text + (least <= 1 ? "(a)" : "(a, b)")));
    return false;
}

Typed FormulaTyper::typeCall(const Node& n) {
    const std::string& name = n.text;
    if (const Known* known = findBuiltin(name)) return callBuiltin(n, known->builtin, known->least, known->most);
    if (name == "if") return callIf(n);
    if (name == "number") return callNumber(n);
    if (name == "interpolate") return typeLookup(n, Lookup::Interpolate);
    if (name == "at_or_below") return typeLookup(n, Lookup::AtOrBelow);
    if (isLanguageFunction(name)) return callReduction(n, name);
    return typeOtherCall(n);
}

Typed FormulaTyper::callBuiltin(const Node& n, Builtin b, std::size_t least, std::size_t most) {
    std::vector<Typed> args;
    args.reserve(n.children.size());
    const bool counts = countArguments(n, least, most);
    for (syntax::NodeId child : n.children) args.push_back(type(child));
    if (!counts) return wild(n);
    for (std::size_t i = 0; i < args.size(); ++i) {
        if (!wantNumber(args[i], node(n.children[i]).span)) return wild(n);
    }

    SharedDimension dimension = at(args[0]).dimension;
    Tag tag = Tag::None;
    bool isWild = args[0].wild;
    bool isZero = args[0].zero;
    switch (b) {
    case Builtin::Min:
    case Builtin::Max: {
        tag = at(args[0]).tag;
        Typed leads = args[0];
        for (std::size_t i = 1; i < args.size(); ++i) {
            if (!unify(leads, args[i], n.mark, n, "have no larger and smaller", false)) return wild(n);
            // tags must agree among all of them
            if (at(args[i]).tag != Tag::None) {
                if (tag != Tag::None && tag != at(args[i]).tag)
                    tag = agreedTag(leads, args[i], n);
                else
                    tag = at(args[i]).tag;
            }
            if (leads.zero || leads.wild || (at(leads).tag == Tag::None && at(args[i]).tag != Tag::None && !args[i].zero && !args[i].wild)) leads = args[i];
            isZero = isZero && args[i].zero;
        }
        dimension = at(leads).dimension;
        isWild = std::any_of(args.begin(), args.end(), [](const Typed& a) { return a.wild; });
        break;
    }
    case Builtin::Abs: tag = at(args[0]).tag; break;
    case Builtin::Sqrt:
        if (!dimension.isNumber()) dimension = m_interner.dimension(dimension->toThe({1, 2}));
        isZero = false;
        break;
    case Builtin::Cbrt:
        if (!dimension.isNumber()) dimension = m_interner.dimension(dimension->toThe({1, 3}));
        isZero = false;
        break;
    case Builtin::Round:
    case Builtin::RoundUp:
        tag = at(args[0]).tag;
        if (args.size() == 2) {
            if (!unify(args[0], args[1], n.mark, n, "are no value and step", false)) return wild(n);
            return roundToStep(n, b, args[0], args[1]);
        }
        [[fallthrough]];
    case Builtin::Floor:
    case Builtin::Ceil:
        if (!isWild && !dimension.isNumber()) {
            const std::string unit = unitOf(args[0]);
            fail(Code::NumberWanted, node(n.children[0]).span, quoted(n.text) + " needs a pure number, and this is in " + unit,
                 b == Builtin::Round || b == Builtin::RoundUp
                     ? "state the step to round to: " + n.text + "(..., 1 " + m_interner.habitual(dimension).ascii + ")"
                     : "divide it by the step first, and multiply by it after");
            return wild(n);
        }
        break;
    default: // exp, logarithms, angles
        if (!wantPureNumber(args[0], node(n.children[0]).span, quoted(n.text) + ": its argument")) return wild(n);
        dimension = {};
        isWild = false;
        isZero = false;
        break;
    }

    Typed t;
    SharedAxes axes;
    for (const Typed& a : args) {
        axes = m_interner.joined(axes, at(a).axes);
        t.factor = t.factor || a.factor;
    }
    Expr& e = make(ExprKind::Builtin, n, t);
    e.builtin = b;
    e.dimension = dimension;
    e.tag = tag;
    e.axes = axes;
    for (const Typed& a : args) e.children.push_back(a.id);
    t.wild = isWild;
    t.zero = isZero;
    return t;
}

/// round(x, step) is round(x/step)*step.
Typed FormulaTyper::roundToStep(const Node& n, Builtin b, Typed value, Typed step) {
    const SharedDimension dimension = value.zero ? at(step).dimension : at(value).dimension;
    const Tag tag = at(value).tag;
    const SharedAxes axes = m_interner.joined(at(value).axes, at(step).axes);
    Typed ratio;
    {
        Expr& e = make(ExprKind::Divide, n, ratio);
        e.axes = axes;
        e.children = {value.id, step.id};
    }
    Typed whole;
    {
        Expr& e = make(ExprKind::Builtin, n, whole);
        e.builtin = b;
        e.axes = axes;
        e.children = {ratio.id};
    }
    Typed t;
    Expr& e = make(ExprKind::Multiply, n, t);
    e.dimension = dimension;
    e.tag = tag;
    e.axes = axes;
    e.children = {whole.id, step.id};
    t.wild = value.wild || step.wild;
    t.factor = value.factor;
    return t;
}

Typed FormulaTyper::callIf(const Node& n) {
    if (!countArguments(n, 3, 3)) {
        for (syntax::NodeId child : n.children) (void)type(child);
        return wild(n);
    }
    const Typed condition = type(n.children[0]);
    const Typed yes = type(n.children[1]);
    const Typed no = type(n.children[2]);
    if (!wantTruth(condition, node(n.children[0]).span, "`if`")) return wild(n);
    if (!unify(yes, no, n.mark, n, "cannot be the two outcomes of one `if`", true)) return wild(n);
    asText(yes);
    asText(no);
    const Tag tag = yes.wild || no.wild ? Tag::None : agreedTag(yes, no, n);
    const Typed leads = yes.wild || yes.zero ? (no.wild ? yes : no) : yes;
    Typed t;
    Expr& e = make(ExprKind::If, n, t);
    e.type = at(leads).type;
    e.dimension = at(leads).dimension;
    e.tag = tag;
    e.axes = m_interner.joined(at(condition).axes, m_interner.joined(at(yes).axes, at(no).axes));
    e.children = {condition.id, yes.id, no.id};
    t.wild = yes.wild || no.wild;
    t.zero = yes.zero && no.zero;
    t.factor = yes.factor || no.factor;
    return t;
}

Typed FormulaTyper::callNumber(const Node& n) {
    if (!countArguments(n, 2, 2)) return wild(n);
    const Typed value = type(n.children[0]);
    const Node& spelled = node(n.children[1]);
    const std::string text = unitSpelled(n.children[1]);
    if (text.empty()) {
        fail(Code::UnitMalformed, spelled.span, "the second argument of `number` must be a unit", "write it like number(f, Hz)");
        return wild(n);
    }
    const auto& read = m_interner.readUnit(text);
    if (!read) {
        fail(read.error().code, spelled.span, read.error().message, read.error().mend);
        return wild(n);
    }
    const units::Unit& unit = read.value();
    const SharedDimension dimension = m_interner.dimension(unit.dimension);
    if (!wantDimension(value, dimension, unit.shown, node(n.children[0]).span, "the first argument of `number`")) return wild(n);
    Typed one;
    {
        Expr& e = make(ExprKind::Constant, spelled, one);
        e.value = unit.factor;
        e.dimension = dimension;
        e.writtenUnit = m_interner.unit(unit);
        e.writtenText = "1";
    }
    Typed t;
    Expr& e = make(ExprKind::Divide, n, t);
    e.axes = at(value).axes;
    e.children = {value.id, one.id};
    t.factor = value.factor;
    return t;
}

Typed FormulaTyper::callReduction(const Node& n, std::string_view name) {
    const bool ranged = name == "integral" || name == "root" || name == "where_smallest";
    const bool overOnly = name == "sum" || name == "count" || name == "all" || name == "any";
    const Node* last = n.children.empty() ? nullptr : &node(n.children.back());
    const bool hasRange = last != nullptr && last->kind == NodeKind::Range;
    const bool hasOver = last != nullptr && last->kind == NodeKind::Over;

    if (n.children.size() != 2 || (!hasRange && !hasOver)) {
        const std::string how = ranged     ? std::string(name) + "(f, x from a to b)"
                                : overOnly ? std::string(name) + "(f, over ROWS)"
                                           : std::string(name) + "(f, x from a to b) or " + std::string(name) + "(f, over ROWS)";
        std::string mend = "write it like " + how;
        if (!hasRange && !hasOver && n.children.size() >= 2 && (name == "largest" || name == "smallest"))
            mend += "; the " + std::string(name) + " of several values is " + (name == "largest" ? "max" : "min") + "(a, b)";
        fail(Code::ArgumentCount, n.mark,
             quoted(name) + " takes a formula and " +
                 (ranged     ? "a range"
                  : overOnly ? "the rows to go over"
                             : "a range, or the rows to go over"),
             mend);
        return wild(n);
    }
    if (hasRange && overOnly) {
        fail(Code::RangeMisuse, last->span, quoted(name) + " goes over the rows of a table, not along a range",
             "write it like " + std::string(name) + "(f, over ROWS)" + (name == "sum" ? "; along a range there is integral(f, x from a to b)" : ""));
        return wild(n);
    }
    if (hasOver && ranged) {
        fail(Code::RangeMisuse, last->span, quoted(name) + " goes along a range, not over the rows of a table",
             "write it like " + std::string(name) + "(f, x from a to b)");
        return wild(n);
    }
    if (hasRange) {
        RangeOp op = RangeOp::Integral;
        if (name == "largest") op = RangeOp::Largest;
        if (name == "smallest") op = RangeOp::Smallest;
        if (name == "where_largest") op = RangeOp::WhereLargest;
        if (name == "where_smallest") op = RangeOp::WhereSmallest;
        if (name == "root") op = RangeOp::Root;
        return callRange(n, op, *last);
    }

    const Typed body = type(n.children[0]);
    const QuantityId axis = axisNamed(*last);
    if (!axis.valid()) return wild(n);
    Reduction reduce = Reduction::Largest;
    Type result = Type::Number;
    if (name == "smallest") reduce = Reduction::Smallest;
    if (name == "sum") reduce = Reduction::Sum;
    if (name == "where_largest") {
        reduce = Reduction::WhereLargest;
        result = Type::Text;
    }
    if (name == "count") reduce = Reduction::Count;
    if (name == "all") reduce = Reduction::All;
    if (name == "any") reduce = Reduction::Any;
    const bool truths = name == "count" || name == "all" || name == "any";
    if (truths) {
        if (!wantTruth(body, node(n.children[0]).span, quoted(name))) return wild(n);
        result = name == "count" ? Type::Number : Type::Truth;
    } else if (!wantNumber(body, node(n.children[0]).span)) {
        return wild(n);
    }
    const bool varies = std::find(at(body).axes.begin(), at(body).axes.end(), axis) != at(body).axes.end();
    if (!varies && !body.wild && !axesIncomplete() && !failed() && name != "sum" && name != "count") {
        fail(Code::AxisMisuse, node(n.children[0]).span, sourceText(n.children[0]) + " is the same for every row of " + quoted(nameOfQuantity(axis)),
             "leave " + std::string(name) + "(..., over " + nameOfQuantity(axis) + ") out, or use a value that varies with it");
        return wild(n);
    }
    Typed t;
    const SharedAxes axes = m_interner.without(at(body).axes, axis);
    Expr& e = make(ExprKind::Reduce, n, t);
    e.type = result;
    e.reduce = reduce;
    e.quantity = axis;
    e.axes = axes;
    if (!truths && result == Type::Number) {
        e.dimension = at(body).dimension;
        e.tag = at(body).tag;
        t.wild = body.wild;
    }
    e.children.push_back(body.id);
    t.factor = body.factor;
    return t;
}

Typed FormulaTyper::callRange(const Node& n, RangeOp op, const Node& range) {
    std::vector<Typed> points;
    bool good = true;
    for (syntax::NodeId p : range.children) {
        points.push_back(type(p));
        good = wantNumber(points.back(), node(p).span) && good;
    }
    if (points.size() < 2) {
        if (good) fail(Code::RangeMisuse, range.span, "a range needs two ends", "write it like x from 0 m to L");
        good = false;
    }
    Typed leads;
    for (std::size_t i = 0; i < points.size() && good; ++i) {
        if (!leads.id.valid() || ((leads.zero || leads.wild) && !points[i].zero)) {
            leads = points[i];
        } else if (!unify(leads, points[i], range.mark.empty() ? range.span : range.mark, range, "cannot be ends of one range", false)) {
            good = false;
        }
    }
    if (!good) return wild(n);

    const std::uint32_t slot = newSlot();
    bind({range.text, slot, at(leads).dimension});
    const Typed body = type(n.children[0]);
    unbind();
    if (!wantNumber(body, node(n.children[0]).span)) return wild(n);

    SharedAxes axes = at(body).axes;
    for (const Typed& p : points) axes = m_interner.joined(axes, at(p).axes);
    const SharedDimension along = at(leads).dimension;
    SharedDimension dimension = at(body).dimension;
    Tag tag = at(body).tag;
    Typed t;
    t.wild = body.wild;
    t.factor = body.factor;
    if (op == RangeOp::Integral) {
        dimension = m_interner.times(dimension, along);
        t.wild = body.wild || leads.wild;
    } else if (op == RangeOp::WhereLargest || op == RangeOp::WhereSmallest || op == RangeOp::Root) {
        dimension = along;
        tag = Tag::None;
        t.wild = leads.wild;
        t.factor = false;
    }
    const bool wasWild = t.wild;
    const bool wasFactor = t.factor;
    Expr& e = make(ExprKind::Span, n, t);
    e.range = op;
    e.index = slot;
    e.dimension = dimension;
    e.tag = tag;
    e.axes = axes;
    e.writtenText = range.text;
    e.children.push_back(body.id);
    for (const Typed& p : points) e.children.push_back(p.id);
    t.wild = wasWild;
    t.factor = wasFactor;
    return t;
}

} // namespace spanwright::meaning
