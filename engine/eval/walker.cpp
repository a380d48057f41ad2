// SPDX-License-Identifier: MIT
#include "engine/eval/walker.h"

#include <algorithm>
#include <cmath>
#include <utility>

#include "engine/eval/flags.h"
#include "engine/eval/machine.h"

namespace spanwright::eval {

using meaning::Builtin;
using meaning::Expr;
using meaning::ExprId;
using meaning::ExprKind;

namespace {

bool isBinary(ExprKind k) {
    switch (k) {
    case ExprKind::Add:
    case ExprKind::Subtract:
    case ExprKind::Multiply:
    case ExprKind::Divide:
    case ExprKind::Less:
    case ExprKind::LessEqual:
    case ExprKind::Greater:
    case ExprKind::GreaterEqual:
    case ExprKind::Equal:
    case ExprKind::NotEqual:
    case ExprKind::And:
    case ExprKind::Or: return true;
    default: return false;
    }
}

} // namespace

double Walker::walk(ExprId id) {
    if (m_engine.failed()) return 0.0;
    // A long sum leans to the left as deep as it is long: go down its spine without recursion.
    std::vector<ExprId> spine;
    ExprId at = id;
    while (isBinary(m_engine.pool().at(at).kind)) {
        spine.push_back(at);
        at = m_engine.pool().at(at).children[0];
    }
    double v = node(at);
    while (!spine.empty() && !m_engine.failed()) {
        const ExprId up = spine.back();
        spine.pop_back();
        const double right = walk(m_engine.pool().at(up).children[1]);
        if (m_engine.failed()) return 0.0;
        v = binary(up, v, right);
    }
    return v;
}

double Walker::checked(ExprId id, double v) {
    if (m_engine.failed()) return 0.0;
    const unsigned flags = raisedFlags();
    if (flags != 0 || !std::isfinite(v)) {
        const Expr& e = m_engine.pool().at(id);
        diag::Diagnostic d;
        d.place = m_engine.place(e);
        const std::string text = m_engine.written(e);
        if ((flags & kInvalid) == 0 && (flags & kOverflow) != 0) {
            d.code = diag::Code::Overflow;
            d.message = text + " is too large for a number";
            d.mend = "look for a wrong unit or power in the values it reads";
        } else if ((flags & kDivisionByZero) != 0) {
            d.code = diag::Code::DivisionByZero;
            d.message = text + " divides by zero";
            d.mend = "keep its values away from there, or write if(...) around it";
        } else {
            d.code = diag::Code::InvalidOperation;
            d.message = text + " has no value as a number";
            d.mend = "look at the values it reads";
        }
        clearFlags();
        m_engine.fail(std::move(d));
        return 0.0;
    }
    if (m_steps != nullptr) {
        WalkStep& s = (*m_steps)[id.index()];
        s.visited = true;
        s.value = v;
    }
    return v;
}

void Walker::invalid(ExprId id, std::string message, std::string mend) {
    diag::Diagnostic d;
    d.code = diag::Code::InvalidOperation;
    d.place = m_engine.place(m_engine.pool().at(id));
    d.message = std::move(message);
    d.mend = std::move(mend);
    clearFlags();
    m_engine.fail(std::move(d));
}

void Walker::divisionByZero(ExprId id, std::string message, std::string mend) {
    diag::Diagnostic d;
    d.code = diag::Code::DivisionByZero;
    d.place = m_engine.place(m_engine.pool().at(id));
    d.message = std::move(message);
    d.mend = std::move(mend);
    clearFlags();
    m_engine.fail(std::move(d));
}

std::string Walker::named(ExprId id, double v) const { return m_engine.written(m_engine.pool().at(id)) + " is " + m_engine.shown(id, v); }

double Walker::leaf(ExprId id, const Expr& e) {
    Leaf l;
    l.kind = e.kind;
    l.index = e.index;
    l.quantity = e.quantity;
    double v = 0.0;
    if (!m_engine.load(l, v)) {
        m_engine.blockOn(l);
        return 0.0;
    }
    if (!std::isfinite(v)) {
        invalid(id, m_engine.written(e) + " is not a number", "look at the value or the cell it stands for");
        return 0.0;
    }
    return checked(id, v);
}

double Walker::binary(ExprId id, double a, double b) {
    const Expr& e = m_engine.pool().at(id);
    clearFlags();
    switch (e.kind) {
    case ExprKind::Add: return checked(id, a + b);
    case ExprKind::Subtract: return checked(id, a - b);
    case ExprKind::Multiply: return checked(id, a * b);
    case ExprKind::Divide:
        if (b == 0.0) {
            divisionByZero(id, "division by zero: " + named(e.children[1], b),
                           "keep the divisor away from zero by limits (from ... to ...), or write if(...) around the division");
            return 0.0;
        }
        return checked(id, a / b);
    case ExprKind::Less: return checked(id, a < b ? 1.0 : 0.0);
    case ExprKind::LessEqual: return checked(id, a <= b ? 1.0 : 0.0);
    case ExprKind::Greater: return checked(id, a > b ? 1.0 : 0.0);
    case ExprKind::GreaterEqual: return checked(id, a >= b ? 1.0 : 0.0);
    case ExprKind::Equal: return checked(id, a == b ? 1.0 : 0.0);
    case ExprKind::NotEqual: return checked(id, a != b ? 1.0 : 0.0);
    case ExprKind::And: return checked(id, a != 0.0 && b != 0.0 ? 1.0 : 0.0);
    default: return checked(id, a != 0.0 || b != 0.0 ? 1.0 : 0.0);
    }
}

double Walker::power(ExprId id, double base, double exponent) {
    const Expr& e = m_engine.pool().at(id);
    if (base == 0.0 && exponent == 0.0) {
        invalid(id, "zero to the power of zero has no value: " + named(e.children[0], base), "write if(...) around it for the case of zero");
        return 0.0;
    }
    if (base == 0.0 && exponent < 0.0) {
        divisionByZero(id, "division by zero: " + named(e.children[0], base) + " and has a negative power",
                       "keep the base away from zero by limits (from ... to ...), or write if(...) around the power");
        return 0.0;
    }
    if (base < 0.0 && exponent != std::floor(exponent)) {
        invalid(id, "a negative number has no power that is a fraction: " + named(e.children[0], base),
                "keep the base at zero or above, or write if(...) around the power");
        return 0.0;
    }
    clearFlags();
    const int whole = smallWholePower(e);
    if (whole == 0) return checked(id, calls::power(base, exponent));
    double product = base;
    for (int i = 1; i < std::abs(whole); ++i) product *= base;
    return checked(id, whole < 0 ? 1.0 / product : product);
}

double Walker::builtin(ExprId id, const Expr& e) {
    std::vector<double> a;
    for (const ExprId c : e.children) {
        a.push_back(walk(c));
        if (m_engine.failed()) return 0.0;
    }
    clearFlags();
    const double x = a.empty() ? 0.0 : a[0];
    const auto domain = [&](const char* rule) {
        invalid(id, rule + named(e.children[0], x), "keep it inside by limits (from ... to ...), or write if(...) around it");
    };
    switch (e.builtin) {
    case Builtin::Min:
    case Builtin::Max: {
        double v = x;
        for (const double n : a) v = e.builtin == Builtin::Min ? (n < v ? n : v) : (v < n ? n : v);
        return checked(id, v);
    }
    case Builtin::Abs: return checked(id, std::fabs(x));
    case Builtin::Sqrt:
        if (x < 0.0) return domain("a negative number has no square root: "), 0.0;
        return checked(id, std::sqrt(x));
    case Builtin::Cbrt: return checked(id, std::cbrt(x));
    case Builtin::Exp: return checked(id, std::exp(x));
    case Builtin::Ln:
    case Builtin::Log10:
        if (x <= 0.0) return domain("only a number above zero has a logarithm: "), 0.0;
        return checked(id, e.builtin == Builtin::Ln ? std::log(x) : std::log10(x));
    case Builtin::Sin: return checked(id, std::sin(x));
    case Builtin::Cos: return checked(id, std::cos(x));
    case Builtin::Tan: return checked(id, std::tan(x));
    case Builtin::Asin:
    case Builtin::Acos:
        if (std::fabs(x) > 1.0) return domain("only a number from -1 to 1 has an arc sine or cosine: "), 0.0;
        return checked(id, e.builtin == Builtin::Asin ? std::asin(x) : std::acos(x));
    case Builtin::Atan: return checked(id, std::atan(x));
    case Builtin::Atan2: return checked(id, std::atan2(x, a.size() > 1 ? a[1] : 0.0));
    case Builtin::Floor: return checked(id, calls::down(x));
    case Builtin::Ceil: return checked(id, calls::up(x));
    case Builtin::Round: return checked(id, calls::roundHalfAway(x));
    case Builtin::RoundUp: return checked(id, calls::roundUp(x));
    }
    return 0.0;
}

double Walker::reduce(ExprId id, const Expr& e) {
    // Every row is walked, so that an operation that fails in one of them is named with its row.
    const std::size_t kept = m_engine.axisRow(e.quantity);
    const std::size_t rows = m_engine.values().axisSize(e.quantity);
    std::vector<WalkStep>* steps = m_steps;
    m_steps = nullptr;
    constexpr std::size_t kMostWalked = 10'000;
    for (std::size_t r = 0; r < rows && r < kMostWalked && !m_engine.failed(); ++r) {
        m_engine.setAxisRow(e.quantity, r);
        walk(e.children[0]);
    }
    m_engine.setAxisRow(e.quantity, kept);
    m_steps = steps;
    if (m_engine.failed()) return 0.0;
    clearFlags();
    const double v = m_engine.callOutNode(id, nullptr, 0);
    using meaning::Reduction;
    const bool governed = e.reduce == Reduction::Largest || e.reduce == Reduction::Smallest || e.reduce == Reduction::WhereLargest;
    if (governed && m_steps != nullptr && !m_engine.failed()) {
        // The working shows the row that governs.
        const double place = m_engine.lastPlace;
        m_engine.setAxisRow(e.quantity, static_cast<std::size_t>(place));
        walk(e.children[0]);
        m_engine.setAxisRow(e.quantity, kept);
        (*m_steps)[id.index()].place = place;
    }
    return checked(id, v);
}

double Walker::userCall(ExprId id, const Expr& e, std::vector<double> arguments) {
    const meaning::Function& f = m_engine.sheet()->functions[e.function.index()];
    std::size_t at = kMostCallsKept;
    if (m_steps != nullptr && m_calls != nullptr && m_calls->size() < kMostCallsKept) {
        const bool known = std::any_of(m_calls->begin(), m_calls->end(),
                                       [&](const WalkCall& c) { return m_engine.pool().at(c.call).function == e.function && c.arguments == arguments; });
        if (!known) {
            at = m_calls->size();
            m_calls->push_back({id, arguments, 0.0, false, {}});
        }
    }
    std::vector<double> kept;
    for (std::size_t i = 0; i < f.parameters.size(); ++i) {
        kept.push_back(m_engine.slot(f.parameters[i].slot));
        m_engine.setSlot(f.parameters[i].slot, arguments[i]);
    }
    std::vector<ExprId> body;
    if (at < kMostCallsKept) {
        // what an earlier call left in the nodes of the same body is not this one's
        body.push_back(f.body);
        for (std::size_t i = 0; i < body.size(); ++i) {
            (*m_steps)[body[i].index()] = {};
            const auto& children = m_engine.pool().at(body[i]).children;
            body.insert(body.end(), children.begin(), children.end());
        }
    }
    const double v = walk(f.body);
    if (at < kMostCallsKept) {
        WalkCall& c = (*m_calls)[at];
        c.value = v;
        c.done = !m_engine.failed();
        for (const ExprId node : body) c.body.emplace_back(node, (*m_steps)[node.index()]);
    }
    for (std::size_t i = 0; i < f.parameters.size(); ++i) m_engine.setSlot(f.parameters[i].slot, kept[i]);
    return checked(id, v);
}

double Walker::call(ExprId id, const Expr& e) {
    std::vector<double> a;
    if (!hidesChildren(e)) {
        for (const ExprId c : e.children) {
            a.push_back(walk(c));
            if (m_engine.failed()) return 0.0;
        }
    }
    clearFlags();
    if (e.kind == ExprKind::UserCall && m_engine.sheet() != nullptr) return userCall(id, e, std::move(a));
    m_engine.lastPlace = 0.0;
    const double v = m_engine.callOutNode(id, a.data(), static_cast<std::uint32_t>(a.size()));
    if (m_engine.failed()) return 0.0;
    clearFlags();
    if (m_steps != nullptr) {
        const double place = m_engine.lastPlace;
        (*m_steps)[id.index()].place = place;
        (*m_steps)[id.index()].sampled = e.kind == ExprKind::Span && m_engine.lastSampled;
        if (e.kind == ExprKind::Span && e.range != meaning::RangeOp::Integral) {
            // The working shows the place that governs, and what its ends are.
            for (std::size_t i = 1; i < e.children.size(); ++i) walk(e.children[i]);
            const double kept = m_engine.slot(e.index);
            m_engine.setSlot(e.index, place);
            walk(e.children[0]);
            m_engine.setSlot(e.index, kept);
        }
    }
    return checked(id, v);
}

double Walker::node(ExprId id) {
    if (m_engine.failed()) return 0.0;
    const Expr& e = m_engine.pool().at(id);
    clearFlags();
    switch (e.kind) {
    case ExprKind::Constant: return checked(id, e.value);
    case ExprKind::Quantity:
    case ExprKind::External:
    case ExprKind::Bound:
    case ExprKind::ChoiceField:
    case ExprKind::ChoiceKey:
    case ExprKind::AxisField:
    case ExprKind::AxisKey: return leaf(id, e);
    case ExprKind::Negate: {
        const double v = walk(e.children[0]);
        return checked(id, -v);
    }
    case ExprKind::Not: {
        const double v = walk(e.children[0]);
        return checked(id, v == 0.0 ? 1.0 : 0.0);
    }
    case ExprKind::Power: {
        const double base = walk(e.children[0]);
        const double exponent = walk(e.children[1]);
        return m_engine.failed() ? 0.0 : power(id, base, exponent);
    }
    case ExprKind::If: {
        const bool taken = walk(e.children[0]) != 0.0;
        if (m_engine.failed()) return 0.0;
        const double v = walk(e.children[taken ? 1 : 2]);
        if (m_steps != nullptr) (*m_steps)[id.index()].branch = taken ? 0 : 1;
        return checked(id, v);
    }
    case ExprKind::Reduce: return reduce(id, e);
    case ExprKind::Builtin: return builtin(id, e);
    case ExprKind::UserCall:
    case ExprKind::TableField:
    case ExprKind::MatrixField:
    case ExprKind::Span:
    case ExprKind::BeamValue: return call(id, e);
    default: return walk(id);
    }
}

} // namespace spanwright::eval
