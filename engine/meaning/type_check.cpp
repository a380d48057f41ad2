// SPDX-License-Identifier: MIT
// What a formula must be: the checks that every place in a sheet or a link shares, and their wording.
#include "engine/base/text.h"
#include "engine/meaning/typing.h"

namespace spanwright::meaning {

using diag::Code;
using syntax::Node;
using syntax::NodeId;
using syntax::NodeKind;
using syntax::Op;
using syntax::Tag;

std::string tagWords(Tag tag) {
    switch (tag) {
    case Tag::Characteristic: return "a characteristic value";
    case Tag::Design: return "a design value";
    case Tag::None: break;
    }
    return "a value without a tag";
}

diag::Diagnostic& FormulaTyper::fail(Code code, base::ByteSpan span, std::string message, std::string mend) {
    m_failed = true;
    diag::Diagnostic& d = m_out.emplace_back();
    d.code = code;
    d.place = place(span);
    d.message = std::move(message);
    d.mend = std::move(mend);
    return d;
}

std::optional<units::Unit> FormulaTyper::unitAt(const std::string& text, base::ByteSpan span) {
    const auto& read = m_interner.readUnit(text);
    if (read) return read.value();
    const units::ReadError& e = read.error();
    const bool inside = !e.span.empty() && e.span.end <= text.size() && span.size() == text.size();
    fail(e.code, inside ? base::ByteSpan{span.begin + e.span.begin, span.begin + e.span.end} : span, e.message, e.mend);
    return {};
}

std::string FormulaTyper::unitText(SharedDimension d) const {
    if (d.isNumber()) return "a pure number";
    return m_interner.habitual(d).shown;
}

std::string FormulaTyper::unitOf(Typed t) const {
    const Expr& e = at(t);
    if (e.dimension.isNumber()) return "a pure number";
    if (e.kind == ExprKind::Constant && !e.writtenUnit->shown.empty()) return e.writtenUnit->shown;
    if (const units::Unit* unit = shownUnit(e); unit != nullptr && !unit->shown.empty()) return unit->shown;
    return unitText(e.dimension);
}

namespace {

/// Two amounts of money in different currencies that agree in everything else.
bool differsInCurrencyOnly(const units::Dimension& a, const units::Dimension& b) {
    if (a.currencies().empty() || b.currencies().empty()) return false;
    for (int i = 0; i < units::kBaseCount; ++i) {
        const auto base = static_cast<units::Base>(i);
        if (!(a.power(base) == b.power(base))) return false;
    }
    return !(a.currencies() == b.currencies());
}

constexpr const char* kMassMend = "write kgf for kg, or multiply by g_n";
constexpr const char* kMoneyMend = "bring them into one currency first: multiply one by a rate, such as 1.08 (USD/EUR)";

} // namespace

std::string FormulaTyper::differenceOf(SharedDimension a, SharedDimension b) const {
    // The commonest slip is a length too many or too few; anything else is not guessed at.
    const units::Rational p = a->power(units::Base::Length) - b->power(units::Base::Length);
    if (p.isZero() || !p.isWhole() || !(units::Dimension::of(units::Base::Length, p).times(*b) == *a)) return {};
    const int power = p.num < 0 ? -p.num : p.num;
    return "a factor in m" + std::string(power == 1 ? "" : power == 2 ? "²" : power == 3 ? "³" : "^" + std::to_string(power)) + " is missing, or one too many";
}

void FormulaTyper::failUnlike(Typed a, Typed b, base::ByteSpan mark, const Node& n, const char* what) {
    const SharedDimension da = at(a).dimension;
    const SharedDimension db = at(b).dimension;
    const std::string ua = unitOf(a);
    const std::string ub = unitOf(b);
    Code code = Code::UnlikeDimensions;
    std::string mend;
    if (units::isMassForForce(da, db) || units::isMassForForce(db, da)) {
        code = Code::MassForForce;
        mend = kMassMend;
    } else if (differsInCurrencyOnly(da, db)) {
        code = Code::CurrencyMix;
        mend = kMoneyMend;
    } else if (da.isNumber() != db.isNumber()) {
        const Typed& plain = da.isNumber() ? a : b;
        if (at(plain).kind == ExprKind::Constant && !at(plain).writtenText.empty())
            mend = "write the unit behind the number: " + at(plain).writtenText + " " + (da.isNumber() ? ub : ua);
    }
    if (mend.empty()) mend = differenceOf(da, db);
    const base::ByteSpan left = at(a).span;
    const base::ByteSpan right = at(b).span;
    diag::Diagnostic& d = fail(code, mark, sourceText(n) + ": " + ua + " and " + ub + " " + what, mend);
    d.labels.push_back({place(left), ua});
    d.labels.push_back({place(right), ub});
}

bool FormulaTyper::wantNumber(Typed t, base::ByteSpan where) {
    const Expr& e = at(t);
    if (t.wild || e.type == Type::Number) return true;
    const base::ByteSpan span = e.span.empty() ? where : e.span;
    switch (e.type) {
    case Type::Row:
        fail(Code::TypeMismatch, span, quoted(nameOfQuantity(e.quantity)) + " is a row of a table; a number is wanted here",
             "name one of its columns: " + nameOfQuantity(e.quantity) + ".COLUMN");
        break;
    case Type::Text: fail(Code::TypeMismatch, span, "a text stands where a number is wanted", "texts can only be compared, with == or !="); break;
    default: fail(Code::TypeMismatch, span, "a condition stands where a number is wanted", "make a number of it: if(condition, a, b)"); break;
    }
    return false;
}

bool FormulaTyper::wantPureNumber(Typed t, base::ByteSpan where, const std::string& whose) {
    if (!wantNumber(t, where)) return false;
    if (t.wild || at(t).dimension.isNumber()) return true;
    const std::string unit = unitOf(t);
    fail(Code::NumberWanted, where, whose + " must be a pure number, and this is in " + unit,
         "divide it by a value of the same kind, or write number(..., " + m_interner.habitual(at(t).dimension).ascii + ")");
    return false;
}

bool FormulaTyper::wantTruth(Typed t, base::ByteSpan where, const std::string& whose) {
    const Expr& e = at(t);
    if (t.wild || e.type == Type::Truth) return true;
    const base::ByteSpan span = e.span.empty() ? where : e.span;
    const char* is = e.type == Type::Number ? "a number" : "a text";
    fail(Code::TypeMismatch, span, whose + " wants a condition, and this is " + is, "compare it with something, as in a <= b or kind == \"text\"");
    return false;
}

bool FormulaTyper::wantNoAxes(Typed t, base::ByteSpan where, const std::string& whose) {
    if (t.wild || at(t).axes.empty()) return true;
    const std::string axis = nameOfQuantity(at(t).axes[0]);
    fail(Code::AxisMisuse, where, whose + " must be one value, and this has one for every row of " + quoted(axis),
         "reduce it: largest(..., over " + axis + ")");
    return false;
}

bool FormulaTyper::wantDimension(Typed t, SharedDimension wanted, const std::string& wantedUnit, base::ByteSpan where, const std::string& whose) {
    if (!wantNumber(t, where)) return false;
    if (t.wild || t.zero || at(t).dimension == wanted) return true;
    const SharedDimension got = at(t).dimension;
    const std::string is = got.isNumber() ? "a pure number" : "in " + unitOf(t);
    const std::string want = wanted.isNumber() ? "a pure number" : "in " + wantedUnit;
    if (units::isMassForForce(got, wanted)) {
        fail(Code::MassForForce, where, whose + " must be " + want + ", and this is " + is + ": a mass is no force", kMassMend);
    } else if (differsInCurrencyOnly(got, wanted)) {
        fail(Code::CurrencyMix, where, whose + " must be " + want + ", and this is " + is, kMoneyMend);
    } else {
        std::string mend;
        if (got.isNumber() && at(t).kind == ExprKind::Constant && !at(t).writtenText.empty())
            mend = "write the unit behind the number: " + at(t).writtenText + " " + wantedUnit;
        else if (at(t).kind == ExprKind::Constant && wanted.isNumber())
            mend = "write a number without a unit";
        else if (at(t).kind == ExprKind::Constant)
            mend = "write a value in " + wantedUnit + ", or in another unit of that kind";
        else
            mend = differenceOf(got, wanted);
        if (mend.empty()) mend = wanted.isNumber() ? "its units must cancel out" : "its units must come out as " + wantedUnit;
        fail(Code::UnlikeDimensions, where, whose + " must be " + want + ", and this is " + is, mend);
    }
    return false;
}

void FormulaTyper::asText(Typed t) {
    Expr& e = edit(t);
    if (e.type == Type::Row) e.type = Type::Text;
}

bool FormulaTyper::unify(Typed a, Typed b, base::ByteSpan mark, const Node& n, const char* what, bool truthsToo) {
    if (a.wild || b.wild) return true;
    const auto kindOf = [&](Typed t) { return at(t).type == Type::Row ? Type::Text : at(t).type; };
    const Type ta = kindOf(a);
    const Type tb = kindOf(b);
    if (ta == Type::Number && tb == Type::Number) {
        if (a.zero || b.zero || at(a).dimension == at(b).dimension) return true;
        failUnlike(a, b, mark, n, what);
        return false;
    }
    if (ta == tb && truthsToo) return true;
    const auto words = [&](Typed t) -> std::string {
        switch (at(t).type) {
        case Type::Number: return "a number";
        case Type::Text: return "a text";
        case Type::Truth: return "a condition";
        case Type::Row: return "the row `" + nameOfQuantity(at(t).quantity) + "`";
        case Type::Nothing: break;
        }
        return "nothing";
    };
    std::string mend;
    if ((at(a).type == Type::Row && tb == Type::Number) || (at(b).type == Type::Row && ta == Type::Number)) {
        const std::string row = nameOfQuantity(at(at(a).type == Type::Row ? a : b).quantity);
        mend = "a row compares by its key, a text: " + row + " == \"...\"; for a number name a column: " + row + ".COLUMN";
    }
    const std::string first = words(a);
    const std::string second = words(b);
    fail(Code::TypeMismatch, mark, sourceText(n) + ": " + first + " and " + second + " " + what, mend);
    return false;
}

Tag FormulaTyper::agreedTag(Typed a, Typed b, const Node& n) {
    const Tag ta = at(a).tag;
    const Tag tb = at(b).tag;
    if (ta == tb || tb == Tag::None) return ta;
    if (ta == Tag::None) return tb;
    if (axesIncomplete()) return Tag::None;
    const base::ByteSpan left = at(a).span;
    const base::ByteSpan right = at(b).span;
    diag::Diagnostic& d = fail(Code::TagMismatch, n.mark, sourceText(n) + ": a characteristic value meets a design value",
                               "factor the characteristic one first, or take both of one sort");
    d.labels.push_back({place(left), tagWords(ta)});
    d.labels.push_back({place(right), tagWords(tb)});
    return Tag::None;
}

namespace {

const char* opText(Op op) {
    switch (op) {
    case Op::Add: return " + ";
    case Op::Subtract: return " - ";
    case Op::Multiply: return "*";
    case Op::Divide: return "/";
    case Op::Power: return "^";
    case Op::Less: return " < ";
    case Op::LessEqual: return " <= ";
    case Op::Greater: return " > ";
    case Op::GreaterEqual: return " >= ";
    case Op::Equal: return " == ";
    case Op::NotEqual: return " != ";
    case Op::And: return " and ";
    case Op::Or: return " or ";
    case Op::None: break;
    }
    return " ";
}

constexpr std::size_t kLongest = 60; ///< of a formula repeated in a message

void spell(const syntax::Formula& f, NodeId id, std::string& out, int depth) {
    if (out.size() > kLongest || depth > 40) {
        out += "...";
        return;
    }
    const Node& n = f.node(id);
    const auto arguments = [&](std::size_t from) {
        out += '(';
        for (std::size_t i = from; i < n.children.size(); ++i) {
            if (i > from) out += ", ";
            spell(f, n.children[i], out, depth + 1);
        }
        out += ')';
    };
    switch (n.kind) {
    case NodeKind::Number:
    case NodeKind::Value:
    case NodeKind::Name: out += n.text; break;
    case NodeKind::Measure: out += n.text + " " + (n.unit.find_first_of("*/ ") == std::string::npos ? n.unit : "(" + n.unit + ")"); break;
    case NodeKind::Text: out += '"' + n.text + '"'; break;
    case NodeKind::Field:
        spell(f, n.children[0], out, depth + 1);
        out += '.' + n.text;
        break;
    case NodeKind::Negate:
        out += '-';
        spell(f, n.children[0], out, depth + 1);
        break;
    case NodeKind::Not:
        out += "not ";
        spell(f, n.children[0], out, depth + 1);
        break;
    case NodeKind::Binary:
        spell(f, n.children[0], out, depth + 1);
        out += opText(n.op);
        spell(f, n.children[1], out, depth + 1);
        break;
    case NodeKind::Call:
        out += n.text;
        arguments(0);
        break;
    case NodeKind::FieldCall:
        spell(f, n.children[0], out, depth + 1);
        out += '.' + n.text;
        arguments(1);
        break;
    case NodeKind::Range:
        out += n.text;
        for (std::size_t i = 0; i < n.children.size(); ++i) {
            out += i == 0 ? " from " : " to ";
            spell(f, n.children[i], out, depth + 1);
        }
        break;
    case NodeKind::Over: out += "over " + n.text; break;
    case NodeKind::Paren:
        out += '(';
        spell(f, n.children[0], out, depth + 1);
        out += ')';
        break;
    case NodeKind::Error: out += "?"; break;
    }
}

std::string cut(std::string text) {
    if (text.size() <= kLongest) return text;
    std::size_t at = 0;
    while (at < kLongest - 3) at += base::utf8Length(text, at);
    return text.substr(0, at) + "...";
}

} // namespace

std::string FormulaTyper::sourceText(NodeId id) const {
    std::string out;
    spell(*m_formula, id, out, 0);
    return cut(std::move(out));
}

std::string FormulaTyper::sourceText(const Node& n) const {
    // nodes lie in one array: the id is the place in it
    return sourceText(NodeId(static_cast<std::size_t>(&n - m_formula->nodes.data())));
}

std::string FormulaTyper::unitSpelled(NodeId id) const {
    const Node& n = node(id);
    switch (n.kind) {
    case NodeKind::Name: return n.text;
    case NodeKind::Number: return n.text;
    case NodeKind::Paren: {
        const std::string inner = unitSpelled(n.children[0]);
        return inner.empty() ? inner : "(" + inner + ")";
    }
    case NodeKind::Measure: return n.text == "1" ? n.unit : "";
    case NodeKind::Negate: {
        const std::string inner = unitSpelled(n.children[0]);
        return inner.empty() ? inner : "-" + inner;
    }
    case NodeKind::Binary: {
        if (n.op != Op::Multiply && n.op != Op::Divide && n.op != Op::Power) return {};
        const std::string a = unitSpelled(n.children[0]);
        const std::string b = unitSpelled(n.children[1]);
        if (a.empty() || b.empty()) return {};
        return a + (n.op == Op::Multiply ? "*" : n.op == Op::Divide ? "/" : "^") + b;
    }
    default: return {};
    }
}

} // namespace spanwright::meaning
