// SPDX-License-Identifier: MIT
#include "engine/eval/formula.h"

#include <algorithm>
#include <charconv>
#include <cmath>
#include <unordered_map>
#include <unordered_set>

#include "engine/meaning/words.h"

namespace spanwright::eval {

using meaning::Builtin;
using meaning::Expr;
using meaning::ExprId;
using meaning::ExprKind;

namespace {

constexpr std::size_t kTextAimed = 6'000;
constexpr std::size_t kMostNested = 16;

bool isLeaf(ExprKind k) {
    switch (k) {
    case ExprKind::Quantity:
    case ExprKind::External:
    case ExprKind::Bound:
    case ExprKind::ChoiceField:
    case ExprKind::ChoiceKey:
    case ExprKind::AxisField:
    case ExprKind::AxisKey: return true;
    default: return false;
    }
}

const char* symbolOf(ExprKind k) {
    switch (k) {
    case ExprKind::Add: return "+";
    case ExprKind::Subtract: return "-";
    case ExprKind::Multiply: return "*";
    case ExprKind::Divide: return "/";
    case ExprKind::Less: return "<";
    case ExprKind::LessEqual: return "<=";
    case ExprKind::Greater: return ">";
    case ExprKind::GreaterEqual: return ">=";
    case ExprKind::Equal: return "==";
    case ExprKind::NotEqual: return "!=";
    case ExprKind::And: return "&&";
    case ExprKind::Or: return "||";
    default: return nullptr;
    }
}

/// Which nodes of a tree become call-outs because the text would be too long otherwise.
std::unordered_set<std::uint32_t> cutsOf(const meaning::ExprPool& pool, ExprId root) {
    std::vector<ExprId> pending{root}, nodes;
    while (!pending.empty()) {
        const ExprId id = pending.back();
        pending.pop_back();
        nodes.push_back(id);
        const Expr& e = pool.at(id);
        if (hidesChildren(e)) continue;
        for (const ExprId c : e.children) pending.push_back(c);
    }
    std::unordered_set<std::uint32_t> cuts;
    // A node costs at most about 30 bytes itself: a number with a sign and its exponent.
    if (nodes.size() * 30 < kTextAimed) return cuts;
    std::sort(nodes.begin(), nodes.end());
    std::unordered_map<std::uint32_t, std::size_t> sizes;
    for (const ExprId id : nodes) {
        const Expr& e = pool.at(id);
        std::size_t size = e.kind == ExprKind::Constant ? 30 : 10;
        if (!hidesChildren(e)) {
            std::vector<ExprId> inside = e.children;
            for (const ExprId c : inside) size += sizes[c.value];
            std::sort(inside.begin(), inside.end(),
                      [&](ExprId a, ExprId b) { return sizes[a.value] != sizes[b.value] ? sizes[a.value] > sizes[b.value] : a < b; });
            for (const ExprId c : inside) {
                if (size <= kTextAimed) break;
                if (sizes[c.value] <= 12) continue;
                cuts.insert(c.value);
                size -= sizes[c.value] - 12;
                sizes[c.value] = 12;
            }
        }
        sizes[id.value] = size;
    }
    return cuts;
}

class Writer {
public:
    Writer(const meaning::ExprPool& pool, Formula& out) : m_pool(pool), m_out(out), m_cuts(cutsOf(pool, out.root)) {}

    void write(ExprId id) {
        const Expr& e = m_pool.at(id);
        if (m_cuts.count(id.value) != 0 && id != m_out.root) {
            callOut(id, {}, true);
            return;
        }
        if (isLeaf(e.kind)) {
            leaf(e);
        } else if (e.kind == ExprKind::Constant) {
            number(e.value);
        } else if (e.kind == ExprKind::Negate) {
            m_text += "(-";
            write(e.children[0]);
            m_text += ')';
        } else if (e.kind == ExprKind::Not) {
            m_text += '(';
            write(e.children[0]);
            m_text += "==0)";
        } else if (e.kind == ExprKind::Power) {
            power(e);
        } else if (e.kind == ExprKind::If) {
            m_text += '(';
            write(e.children[0]);
            m_text += '?';
            write(e.children[1]);
            m_text += ':';
            write(e.children[2]);
            m_text += ')';
        } else if (isCallOut(e)) {
            callOut(id, hidesChildren(e) ? std::vector<ExprId>{} : e.children, false);
        } else if (e.kind == ExprKind::Builtin) {
            builtin(e);
        } else {
            m_text += '(';
            write(e.children[0]);
            m_text += symbolOf(e.kind);
            write(e.children[1]);
            m_text += ')';
        }
    }

    std::string m_text;

private:
    void number(double v) {
        char buffer[40];
        const bool negative = std::signbit(v);
        const std::to_chars_result r = std::to_chars(buffer, buffer + sizeof buffer, negative ? -v : v);
        if (negative) m_text += "(-";
        m_text.append(buffer, r.ptr);
        if (negative) m_text += ')';
    }

    void numbered(char letter, std::size_t n) {
        char buffer[16];
        buffer[0] = letter;
        const std::to_chars_result r = std::to_chars(buffer + 1, buffer + sizeof buffer, n);
        m_text.append(buffer, r.ptr);
    }

    void leaf(const Expr& e) {
        Leaf l;
        l.kind = e.kind;
        l.quantity = e.quantity;
        if (e.kind != ExprKind::Quantity) l.index = e.index;
        if (e.kind == ExprKind::External || e.kind == ExprKind::Bound) l.quantity = {};
        if (e.kind == ExprKind::ChoiceKey || e.kind == ExprKind::AxisKey) l.index = 0;
        const auto at = std::find(m_out.leaves.begin(), m_out.leaves.end(), l);
        const std::size_t n = static_cast<std::size_t>(at - m_out.leaves.begin());
        if (at == m_out.leaves.end()) m_out.leaves.push_back(l);
        numbered('v', n);
    }

    void callOut(ExprId id, const std::vector<ExprId>& arguments, bool part) {
        numbered('o', m_out.callOuts.size());
        m_out.callOuts.push_back({id, part});
        m_text += '(';
        // muParser's functions of any number of arguments take at least one.
        if (arguments.empty()) m_text += '0';
        for (std::size_t i = 0; i < arguments.size(); ++i) {
            if (i > 0) m_text += ',';
            write(arguments[i]);
        }
        m_text += ')';
    }

    void power(const Expr& e) {
        const int whole = smallWholePower(e);
        if (whole == 0) {
            m_text += "pw(";
            write(e.children[0]);
            m_text += ',';
            write(e.children[1]);
            m_text += ')';
            return;
        }
        const bool inverse = whole < 0;
        if (inverse) m_text += "(1/";
        const int n = inverse ? -whole : whole;
        const ExprId base = e.children[0];
        if (n == 1) {
            write(base);
        } else if (isLeaf(m_pool.at(base).kind) && m_cuts.count(base.value) == 0) {
            m_text += '(';
            for (int i = 0; i < n; ++i) {
                if (i > 0) m_text += '*';
                write(base);
            }
            m_text += ')';
        } else {
            m_text += n == 2 ? "p2(" : n == 3 ? "p3(" : n == 4 ? "p4(" : "p5(";
            write(base);
            m_text += ')';
        }
        if (inverse) m_text += ')';
    }

    void builtin(const Expr& e) {
        const char* name = meaning::wordOf(e.builtin);
        const bool nests = e.builtin == Builtin::Min || e.builtin == Builtin::Max;
        if (nests) {
            // min(a, b, c) is min(min(a, b), c): two numbers at a time, from the left.
            for (std::size_t i = 1; i < e.children.size(); ++i) {
                m_text += name;
                m_text += '(';
            }
            write(e.children[0]);
            for (std::size_t i = 1; i < e.children.size(); ++i) {
                m_text += ',';
                write(e.children[i]);
                m_text += ')';
            }
            return;
        }
        m_text += name;
        m_text += '(';
        for (std::size_t i = 0; i < e.children.size(); ++i) {
            if (i > 0) m_text += ',';
            write(e.children[i]);
        }
        m_text += ')';
    }

    const meaning::ExprPool& m_pool;
    Formula& m_out;
    std::unordered_set<std::uint32_t> m_cuts;
};

} // namespace

bool hidesChildren(const Expr& e) {
    if (e.kind == ExprKind::Reduce || e.kind == ExprKind::Span) return true;
    return e.kind == ExprKind::Builtin && (e.builtin == Builtin::Min || e.builtin == Builtin::Max) && e.children.size() > kMostNested;
}

bool isCallOut(const Expr& e) {
    switch (e.kind) {
    case ExprKind::UserCall:
    case ExprKind::TableField:
    case ExprKind::MatrixField:
    case ExprKind::Reduce:
    case ExprKind::Span:
    case ExprKind::BeamValue: return true;
    case ExprKind::Builtin: return hidesChildren(e);
    default: return false;
    }
}

int smallWholePower(const Expr& power) {
    const units::Rational p = power.power;
    if (p.den != 1 || p.num == 0 || p.num > 5 || p.num < -5) return 0;
    return p.num;
}

std::string writeText(const meaning::ExprPool& pool, ExprId root, Formula& out) {
    out.root = root;
    out.leaves.clear();
    out.callOuts.clear();
    Writer writer(pool, out);
    writer.write(root);
    return std::move(writer.m_text);
}

} // namespace spanwright::eval
