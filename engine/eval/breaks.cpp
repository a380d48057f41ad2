// SPDX-License-Identifier: MIT
#include "engine/eval/breaks.h"

#include <algorithm>
#include <cmath>
#include <optional>
#include <utility>

namespace spanwright::eval {

using meaning::Builtin;
using meaning::Expr;
using meaning::ExprId;
using meaning::ExprKind;

namespace {

using Bindings = std::vector<std::pair<std::uint32_t, std::optional<Straight>>>; ///< slots that follow x

constexpr int kDeepest = 300;
constexpr std::size_t kMostNodes = 20'000;

class Finder : public BreakPlaces {
public:
    Finder(Engine& engine, double from, double to) : BreakPlaces(from, to), m_engine(engine) {}

    void visit(ExprId root, const Bindings& bindings, int depth) {
        if (depth > kDeepest) return;
        std::vector<ExprId> pending{root};
        while (!pending.empty() && ++m_nodes < kMostNodes) {
            const ExprId id = pending.back();
            pending.pop_back();
            const Expr& e = m_engine.pool().at(id);
            look(e, bindings);
            if (e.kind == ExprKind::UserCall) call(e, bindings, depth);
            pending.insert(pending.end(), e.children.begin(), e.children.end());
        }
    }

private:
    void look(const Expr& e, const Bindings& bindings) {
        switch (e.kind) {
        case ExprKind::Less:
        case ExprKind::LessEqual:
        case ExprKind::Greater:
        case ExprKind::GreaterEqual:
        case ExprKind::Equal:
        case ExprKind::NotEqual: addCrossing(straight(e.children[0], bindings, 0), straight(e.children[1], bindings, 0)); break;
        case ExprKind::Builtin:
            if (e.builtin == Builtin::Abs) addWhere(straight(e.children[0], bindings, 0), 0.0);
            if ((e.builtin == Builtin::Min || e.builtin == Builtin::Max) && e.children.size() <= 8) {
                for (std::size_t i = 0; i < e.children.size(); ++i) {
                    for (std::size_t k = 0; k < i; ++k) addCrossing(straight(e.children[i], bindings, 0), straight(e.children[k], bindings, 0));
                }
            }
            break;
        case ExprKind::TableField: table(e, bindings); break;
        case ExprKind::BeamValue: beam(e, bindings); break;
        default: break;
        }
    }

    void table(const Expr& e, const Bindings& bindings) {
        constexpr std::size_t kMostRows = 500;
        if (e.how == meaning::Lookup::Exact || m_engine.sheet() == nullptr || e.children.empty()) return;
        const std::optional<Straight> key = straight(e.children[0], bindings, 0);
        const auto& t = m_engine.sheet()->tables[e.table.index()];
        if (!key || key->slope == 0.0 || t->keys.empty() || t->rowCount() > kMostRows) return;
        for (const double v : t->cells[t->keys[0]]) addWhere(key, v);
    }

    void beam(const Expr& e, const Bindings& bindings) {
        const Value& v = m_engine.values().at(e.quantity);
        if (!v.known() || !v.solved || e.children.empty()) return;
        const std::optional<Straight> at = straight(e.children[0], bindings, 0);
        for (const double b : v.solved->breaks()) {
            if (at)
                addWhere(at, b);
            else
                add(b);
        }
    }

    void call(const Expr& e, const Bindings& bindings, int depth) {
        if (m_engine.sheet() == nullptr) return;
        const meaning::Function& f = m_engine.sheet()->functions[e.function.index()];
        Bindings inside;
        for (std::size_t i = 0; i < f.parameters.size() && i < e.children.size(); ++i) {
            inside.emplace_back(f.parameters[i].slot, straight(e.children[i], bindings, 0));
        }
        visit(f.body, inside, depth + 1);
    }

    bool follows(ExprId root, const Bindings& bindings) const {
        std::vector<ExprId> pending{root};
        for (std::size_t n = 0; !pending.empty(); ++n) {
            if (n > 2'000) return true;
            const Expr& e = m_engine.pool().at(pending.back());
            pending.pop_back();
            if (e.kind == ExprKind::Bound) return true;
            if (e.kind == ExprKind::Span || e.kind == ExprKind::Reduce) return true; // not worth the work
            pending.insert(pending.end(), e.children.begin(), e.children.end());
        }
        static_cast<void>(bindings);
        return false;
    }

    /// The expression as a straight line in x, if it is one by its form.
    std::optional<Straight> straight(ExprId id, const Bindings& bindings, int depth) {
        if (depth > kDeepest) return std::nullopt;
        const Expr& e = m_engine.pool().at(id);
        const auto child = [&](std::size_t i) { return straight(e.children[i], bindings, depth + 1); };
        switch (e.kind) {
        case ExprKind::Constant: return Straight{e.value, 0.0};
        case ExprKind::Bound:
            for (const auto& [slot, line] : bindings) {
                if (slot == e.index) return line;
            }
            return Straight{m_engine.slot(e.index), 0.0};
        case ExprKind::Quantity:
        case ExprKind::External:
        case ExprKind::ChoiceField:
        case ExprKind::AxisField: {
            Leaf leaf;
            leaf.kind = e.kind;
            leaf.index = e.index;
            leaf.quantity = e.quantity;
            double v = 0.0;
            if (!m_engine.load(leaf, v)) return std::nullopt;
            return Straight{v, 0.0};
        }
        case ExprKind::Negate: {
            const auto a = child(0);
            if (!a) return std::nullopt;
            return Straight{-a->at, -a->slope};
        }
        case ExprKind::Add:
        case ExprKind::Subtract: {
            const auto a = child(0), b = child(1);
            if (!a || !b) return std::nullopt;
            const double sign = e.kind == ExprKind::Add ? 1.0 : -1.0;
            return Straight{a->at + sign * b->at, a->slope + sign * b->slope};
        }
        case ExprKind::Multiply: {
            const auto a = child(0), b = child(1);
            if (!a || !b || (a->slope != 0.0 && b->slope != 0.0)) return std::nullopt;
            return Straight{a->at * b->at, a->slope * b->at + b->slope * a->at};
        }
        case ExprKind::Divide: {
            const auto a = child(0), b = child(1);
            if (!a || !b || b->slope != 0.0 || b->at == 0.0) return std::nullopt;
            return Straight{a->at / b->at, a->slope / b->at};
        }
        case ExprKind::UserCall: {
            if (m_engine.sheet() == nullptr) return std::nullopt;
            const meaning::Function& f = m_engine.sheet()->functions[e.function.index()];
            Bindings inside;
            for (std::size_t i = 0; i < f.parameters.size() && i < e.children.size(); ++i) inside.emplace_back(f.parameters[i].slot, child(i));
            return straight(f.body, inside, depth + 1);
        }
        default: {
            if (follows(id, bindings)) return std::nullopt;
            const std::optional<double> v = m_engine.quietly(id);
            if (!v) return std::nullopt;
            return Straight{*v, 0.0};
        }
        }
    }

    Engine& m_engine;
    std::size_t m_nodes = 0;
};

} // namespace

std::vector<double> breaksOf(Engine& engine, ExprId body, std::uint32_t slot, double from, double to) {
    const Quiet quiet(engine);
    Finder finder(engine, from, to);
    finder.visit(body, {{slot, Straight{0.0, 1.0}}}, 0);
    return finder.keptApart();
}

std::vector<double> BreakPlaces::keptApart() {
    std::sort(m_found.begin(), m_found.end());
    std::vector<double> apart;
    const double least = 1e-12 * (m_to - m_from);
    for (const double x : m_found) {
        if (x - m_from <= least || m_to - x <= least) continue;
        if (apart.empty() || x - apart.back() > least) apart.push_back(x);
    }
    return apart;
}

} // namespace spanwright::eval
