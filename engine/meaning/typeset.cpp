// SPDX-License-Identifier: MIT
#include "engine/meaning/typeset.h"
#include "engine/meaning/words.h"

#include <algorithm>

#include "engine/base/text.h"

namespace spanwright::meaning {

using units::Rational;

namespace {

/// How tightly the outermost operation of a box binds; an operand that binds less tightly gets brackets.
enum Tight { kOr, kAnd, kNot, kCompare, kSum, kSign, kProduct, kFraction, kMeasure, kPower, kAtom };

struct Set {
    Box box;
    Tight tight = kAtom;
    bool startsWithSign = false; ///< a minus stands first
    bool endsInUnit = false;     ///< a simple unit stands last: no letter may follow it directly
    bool compoundUnit = false;   ///< a number with a unit such as kN/m
};

Box leaf(Box::Kind kind, std::string text) {
    Box b;
    b.kind = kind;
    b.text = std::move(text);
    return b;
}
Box op(const char* text) { return leaf(Box::Kind::Operator, text); }
Box word(std::string text) { return leaf(Box::Kind::Word, std::move(text)); }
Box group(Box::Kind kind, std::vector<Box> children, std::string text = {}) {
    Box b;
    b.kind = kind;
    b.text = std::move(text);
    b.children = std::move(children);
    return b;
}

void append(Box& row, Box what) {
    if (what.kind == Box::Kind::Row) {
        for (Box& child : what.children) row.children.push_back(std::move(child));
    } else {
        row.children.push_back(std::move(what));
    }
}

class Setter {
public:
    Setter(const ExprPool& pool, ExprId root, const Naming& naming, const PutIn* putIn) : m_pool(pool), m_root(root), m_naming(naming), m_putIn(putIn) {}

    [[nodiscard]] Box whole() { return set(m_root).box; }

private:
    Set set(ExprId id) {
        const Expr& e = m_pool.at(id);
        if (auto value = putIn(id, e)) return number(*value);
        switch (e.kind) {
        case ExprKind::Constant: return constant(e);
        case ExprKind::Quantity:
        case ExprKind::External:
        case ExprKind::ChoiceField:
        case ExprKind::ChoiceKey:
        case ExprKind::AxisField:
        case ExprKind::AxisKey: return {typesetName(m_naming.leaf(e)), kAtom};
        case ExprKind::Bound: return {typesetName(e.writtenText), kAtom};
        case ExprKind::Negate: {
            Set s;
            append(s.box, op("−"));
            append(s.box, operand(set(e.children[0]), kProduct, true));
            s.tight = kSign;
            s.startsWithSign = true;
            return s;
        }
        case ExprKind::Not: {
            Set s;
            append(s.box, word("not"));
            append(s.box, operand(set(e.children[0]), kCompare, false));
            s.tight = kNot;
            return s;
        }
        case ExprKind::Add:
        case ExprKind::Subtract: return sum(id);
        case ExprKind::Multiply: return product(id);
        case ExprKind::Divide: {
            Set above = set(e.children[0]);
            Set below = set(e.children[1]);
            return {group(Box::Kind::Fraction, {std::move(above.box), std::move(below.box)}), kFraction};
        }
        case ExprKind::Power: return power(e);
        case ExprKind::Less: return compare(e, "<");
        case ExprKind::LessEqual: return compare(e, "≤");
        case ExprKind::Greater: return compare(e, ">");
        case ExprKind::GreaterEqual: return compare(e, "≥");
        case ExprKind::Equal: return compare(e, "=");
        case ExprKind::NotEqual: return compare(e, "≠");
        case ExprKind::And: return logic(id, ExprKind::And, "and", kAnd);
        case ExprKind::Or: return logic(id, ExprKind::Or, "or", kOr);
        case ExprKind::If: return cases(id);
        case ExprKind::Builtin: return builtin(e);
        case ExprKind::UserCall: {
            Set s;
            append(s.box, typesetName(m_naming.leaf(e)));
            append(s.box, arguments(e.children.begin(), e.children.end()));
            return s;
        }
        case ExprKind::TableField: return tableField(e);
        case ExprKind::MatrixField: {
            Set s;
            append(s.box, word(m_naming.leaf(e)));
            append(s.box, arguments(e.children.begin(), e.children.end()));
            return s;
        }
        case ExprKind::Reduce: return reduction(e);
        case ExprKind::Span: return range(e);
        case ExprKind::BeamValue: return beamValue(e);
        }
        return {};
    }

    // ---- values put in

    [[nodiscard]] bool free(ExprId id) const {
        // inside a reduction or a range a value differs from row to row or place to place: the name stays
        if (m_freeAxes.empty() && m_freeSlots.empty()) return true;
        const Expr& e = m_pool.at(id);
        for (QuantityId axis : m_freeAxes) {
            if (e.quantity == axis || std::find(e.axes.begin(), e.axes.end(), axis) != e.axes.end()) return false;
        }
        if (e.kind == ExprKind::Bound && std::find(m_freeSlots.begin(), m_freeSlots.end(), e.index) != m_freeSlots.end()) return false;
        return std::all_of(e.children.begin(), e.children.end(), [this](ExprId c) { return free(c); });
    }

    [[nodiscard]] std::optional<std::string> putIn(ExprId id, const Expr& e) const {
        if (m_putIn == nullptr || !m_putIn->value || m_gray > 0) return {};
        switch (e.kind) {
        case ExprKind::Quantity:
        case ExprKind::External:
        case ExprKind::Bound:
        case ExprKind::ChoiceField:
        case ExprKind::ChoiceKey:
        case ExprKind::AxisField:
        case ExprKind::AxisKey:
        case ExprKind::TableField:
        case ExprKind::MatrixField: break;
        case ExprKind::UserCall:
        case ExprKind::BeamValue:
            // What is the whole formula stays a call, with its arguments: what it comes to follows.
            if (id == m_root) return {};
            break;
        default: return {};
        }
        if (!free(id)) return {};
        return m_putIn->value(id);
    }

    // ---- leaves

    static void unitBehind(Set& s, const std::string& unit) {
        s.box.kind = Box::Kind::Row;
        append(s.box, leaf(Box::Kind::Unit, unit));
        s.tight = kMeasure;
        s.endsInUnit = unit != "%";
        s.compoundUnit = unit.find_first_of("/*") != std::string::npos || unit.find("·") != std::string::npos;
    }

    /// A value as text: "3.60 m", "-2", "C24".
    static Set number(const std::string& text) {
        Set s;
        const std::size_t blank = text.find(' ');
        std::string_view figures = std::string_view(text).substr(0, blank);
        if (!base::readDouble(figures)) {
            s.box = word(text);
            return s;
        }
        const bool minus = figures.front() == '-';
        if (minus) {
            append(s.box, op("−"));
            figures.remove_prefix(1);
        }
        append(s.box, leaf(Box::Kind::Number, std::string(figures)));
        if (!minus) s.box = Box(s.box.children.front());
        // "2e7" is printed as a product: a power of it wants brackets.
        s.tight = minus ? kSign : figures.find('e') != std::string_view::npos ? kMeasure : kAtom;
        s.startsWithSign = minus;
        if (blank != std::string::npos && blank + 1 < text.size()) {
            Set whole;
            append(whole.box, std::move(s.box));
            unitBehind(whole, text.substr(blank + 1));
            whole.startsWithSign = minus;
            if (minus) whole.tight = kSign;
            return whole;
        }
        return s;
    }

    [[nodiscard]] Set constant(const Expr& e) const {
        if (e.type == Type::Text) return {word("\"" + e.writtenText + "\""), kAtom};
        if (e.type == Type::Truth) return {word(e.writtenText), kAtom};
        if (e.writtenText == "pi" || e.writtenText == "g_n") return {typesetName(e.writtenText), kAtom};
        if (!base::readDouble(e.writtenText))
            return {leaf(Box::Kind::Number, e.writtenText.empty() ? base::shortest(e.value) : e.writtenText), kMeasure, false, true, false};
        return number(e.writtenUnit->shown.empty() ? e.writtenText : e.writtenText + " " + e.writtenUnit->shown);
    }

    // ---- operators

    static Box fenced(Box box) { return group(Box::Kind::Fence, {std::move(box)}, "("); }

    /// `s` as an operand of something that binds as tightly as `least`.
    static Box operand(Set s, Tight least, bool fenceSign) {
        if (s.tight < least || (fenceSign && s.startsWithSign)) return fenced(std::move(s.box));
        return std::move(s.box);
    }

    Set sum(ExprId id) {
        // a chain leans to the left: walked, so that thousands of terms do not nest
        std::vector<ExprId> chain;
        ExprId at = id;
        while ((m_pool.at(at).kind == ExprKind::Add || m_pool.at(at).kind == ExprKind::Subtract)) {
            chain.push_back(at);
            at = m_pool.at(at).children[0];
        }
        Set s;
        Set first = set(at);
        s.startsWithSign = first.startsWithSign;
        append(s.box, operand(std::move(first), kSum, false));
        for (auto it = chain.rbegin(); it != chain.rend(); ++it) {
            const Expr& e = m_pool.at(*it);
            append(s.box, op(e.kind == ExprKind::Add ? "+" : "−"));
            append(s.box, operand(set(e.children[1]), kSign, true));
        }
        s.tight = kSum;
        return s;
    }

    /// True if what stands first in a box is a figure or a bracket: then it cannot be taken for a unit.
    static bool startsPlain(const Box& b) {
        switch (b.kind) {
        case Box::Kind::Number:
        case Box::Kind::Fence:
        case Box::Kind::Fraction:
        case Box::Kind::Root: return true;
        case Box::Kind::Row:
        case Box::Kind::Super:
        case Box::Kind::Sub: return !b.children.empty() && startsPlain(b.children.front());
        default: return false;
        }
    }

    Set product(ExprId id) {
        std::vector<ExprId> chain;
        ExprId at = id;
        while (m_pool.at(at).kind == ExprKind::Multiply) {
            chain.push_back(at);
            at = m_pool.at(at).children[0];
        }
        std::vector<Set> factors;
        factors.push_back(set(at));
        for (auto it = chain.rbegin(); it != chain.rend(); ++it) factors.push_back(set(m_pool.at(*it).children[1]));
        Set s;
        for (std::size_t i = factors.size(); i > 1; --i) { // a unit may not run into the letter behind it
            Set& left = factors[i - 2];
            const bool fence = left.compoundUnit || (left.endsInUnit && !startsPlain(factors[i - 1].box));
            if (fence && left.tight >= kMeasure) {
                left.box = fenced(std::move(left.box));
                left.tight = kAtom;
                left.endsInUnit = left.compoundUnit = false;
            }
        }
        for (std::size_t i = 0; i < factors.size(); ++i) {
            Set& f = factors[i];
            if (i + 1 == factors.size() && f.compoundUnit && f.tight == kMeasure) {
                f.box = fenced(std::move(f.box));
                f.tight = kAtom;
                f.endsInUnit = false;
            }
            if (i == 0) s.startsWithSign = f.startsWithSign && f.tight >= kSign;
            if (i > 0) append(s.box, op("·"));
            // a(b·c): a product behind a sign of multiplication keeps its brackets, since rounding follows them
            const Tight least = i == 0 ? kSign : kFraction;
            append(s.box, operand(std::move(f), least, i > 0));
        }
        s.tight = kProduct;
        s.endsInUnit = factors.back().endsInUnit;
        return s;
    }

    Set power(const Expr& e) {
        const Rational p = e.power;
        if (p.den == 2 && p.num == 1) return {group(Box::Kind::Root, {set(e.children[0]).box}), kAtom};
        Set base = set(e.children[0]);
        Box exponent = p.den == 0 ? set(e.children[1]).box : set(e.children[1]).box;
        return {group(Box::Kind::Super, {operand(std::move(base), kAtom, true), std::move(exponent)}), kPower};
    }

    Set compare(const Expr& e, const char* sign) {
        Set s;
        append(s.box, operand(set(e.children[0]), kSum, false));
        append(s.box, op(sign));
        append(s.box, operand(set(e.children[1]), kSum, false));
        s.tight = kCompare;
        return s;
    }

    Set logic(ExprId id, ExprKind kind, const char* text, Tight tight) {
        std::vector<ExprId> chain;
        ExprId at = id;
        while (m_pool.at(at).kind == kind) {
            chain.push_back(at);
            at = m_pool.at(at).children[0];
        }
        Set s;
        append(s.box, operand(set(at), tight, false));
        for (auto it = chain.rbegin(); it != chain.rend(); ++it) {
            append(s.box, word(text));
            append(s.box, operand(set(m_pool.at(*it).children[1]), static_cast<Tight>(tight + 1), false));
        }
        s.tight = tight;
        return s;
    }

    Box branch(ExprId id, bool taken) {
        if (taken) return set(id).box;
        ++m_gray;
        Box gray = group(Box::Kind::Gray, {set(id).box});
        --m_gray;
        return gray;
    }

    Set cases(ExprId id) {
        Set s;
        s.box.kind = Box::Kind::Cases;
        bool dead = false; // behind a branch that was taken nothing is looked at
        while (true) {
            const Expr& e = m_pool.at(id);
            std::optional<int> taken;
            if (m_putIn != nullptr && m_putIn->branch && m_gray == 0 && !dead) taken = m_putIn->branch(id);
            const bool first = !dead && (!taken || *taken == 0);
            const bool second = !dead && (!taken || *taken == 1);
            s.box.children.push_back(branch(e.children[1], first));
            if (dead) ++m_gray;
            s.box.children.push_back(set(e.children[0]).box);
            if (dead) --m_gray;
            dead = !second;
            id = e.children[2];
            if (m_pool.at(id).kind == ExprKind::If) continue;
            s.box.children.push_back(branch(id, second));
            s.box.children.push_back(word("otherwise"));
            return s;
        }
    }

    // ---- calls

    Box arguments(const ExprId* from, const ExprId* to) {
        Box row;
        for (const ExprId* at = from; at != to; ++at) {
            if (at != from) append(row, op(","));
            append(row, set(*at).box);
        }
        return group(Box::Kind::Fence, {std::move(row)}, "(");
    }

    Set builtin(const Expr& e) {
        if (e.builtin == Builtin::Abs) return {group(Box::Kind::Fence, {set(e.children[0]).box}, "|"), kAtom};
        if (e.builtin == Builtin::Sqrt) return {group(Box::Kind::Root, {set(e.children[0]).box}), kAtom};
        if (e.builtin == Builtin::Cbrt) return {group(Box::Kind::Root, {set(e.children[0]).box, leaf(Box::Kind::Number, "3")}), kAtom};
        Set s;
        append(s.box, word(wordOf(e.builtin)));
        append(s.box, arguments(e.children.begin(), e.children.end()));
        return s;
    }

    Set tableField(const Expr& e) {
        const std::string name = m_naming.leaf(e); // TABLE.column
        const std::size_t dot = name.find('.');
        Set s;
        if (e.how == Lookup::Exact) {
            append(s.box, word(name.substr(0, dot)));
            append(s.box, arguments(e.children.begin(), e.children.end()));
            append(s.box, op("."));
            append(s.box, typesetName(dot == std::string::npos ? "" : name.substr(dot + 1)));
            return s;
        }
        append(s.box, word(e.how == Lookup::Interpolate ? "interpolate" : "at_or_below"));
        Box inside;
        append(inside, word(name.substr(0, dot)));
        append(inside, op("."));
        append(inside, typesetName(dot == std::string::npos ? "" : name.substr(dot + 1)));
        append(inside, op(","));
        append(inside, set(e.children[0]).box);
        append(s.box, group(Box::Kind::Fence, {std::move(inside)}, "("));
        return s;
    }

    Set reduction(const Expr& e) {
        const char* text = "";
        switch (e.reduce) {
        case Reduction::Largest: text = "max"; break;
        case Reduction::Smallest: text = "min"; break;
        case Reduction::Sum: text = "Σ"; break;
        case Reduction::Count: text = "count"; break;
        case Reduction::All: text = "all"; break;
        case Reduction::Any: text = "any"; break;
        case Reduction::WhereLargest: text = "arg max"; break;
        }
        Box below;
        append(below, word("over"));
        append(below, typesetName(m_naming.leaf(e)));
        m_freeAxes.push_back(e.quantity);
        Box body = set(e.children[0]).box;
        m_freeAxes.pop_back();
        return {group(Box::Kind::Big, {std::move(below), Box{}, std::move(body)}, text), kAtom};
    }

    Set range(const Expr& e) {
        const char* text = "";
        switch (e.range) {
        case RangeOp::Integral: text = "∫"; break;
        case RangeOp::Largest: text = "max"; break;
        case RangeOp::Smallest: text = "min"; break;
        case RangeOp::WhereLargest: text = "arg max"; break;
        case RangeOp::WhereSmallest: text = "arg min"; break;
        case RangeOp::Root: text = "root"; break;
        }
        const Box variable = typesetName(e.writtenText);
        Box below;
        Box above;
        append(below, variable);
        const bool plainIntegral = e.range == RangeOp::Integral && e.children.size() == 3;
        append(below, plainIntegral ? op("=") : word("from"));
        append(below, set(e.children[1]).box);
        for (std::size_t i = 2; i < e.children.size() && !plainIntegral; ++i) {
            append(below, word("to"));
            append(below, set(e.children[i]).box);
        }
        if (plainIntegral) append(above, set(e.children[2]).box);
        m_freeSlots.push_back(e.index);
        Set inside = set(e.children[0]);
        m_freeSlots.pop_back();
        Box body;
        append(body, e.range == RangeOp::Integral ? operand(std::move(inside), kProduct, false) : std::move(inside.box));
        if (e.range == RangeOp::Integral) {
            append(body, word("d"));
            append(body, variable);
        }
        return {group(Box::Kind::Big, {std::move(below), std::move(above), std::move(body)}, text), kAtom};
    }

    Set beamValue(const Expr& e) {
        const std::string name = m_naming.leaf(e); // B.M; factors behind a comma: "B.M,uls"
        const std::size_t comma = name.find(',');
        Set s;
        append(s.box, typesetName(std::string_view(name).substr(0, comma)));
        if (e.children.empty()) return s;
        Box inside;
        append(inside, set(e.children[0]).box);
        if (comma != std::string::npos) {
            append(inside, op(","));
            append(inside, typesetName(name.substr(comma + 1)));
        }
        append(s.box, group(Box::Kind::Fence, {std::move(inside)}, "("));
        return s;
    }

    const ExprPool& m_pool;
    ExprId m_root;
    const Naming& m_naming;
    const PutIn* m_putIn;
    int m_gray = 0;
    std::vector<QuantityId> m_freeAxes;
    std::vector<std::uint32_t> m_freeSlots;
};

} // namespace

Box typeset(const ExprPool& pool, ExprId root, const Naming& naming, const PutIn* putIn) {
    if (!root.valid()) return {};
    return Setter(pool, root, naming, putIn).whole();
}

} // namespace spanwright::meaning
