// SPDX-License-Identifier: MIT
// Walks typed trees with numbers that know more than their value: slopes, bands. Only engine/eval/*.cpp include this.
#pragma once

#include <algorithm>
#include <cmath>
#include <optional>
#include <vector>

#include "engine/eval/engine.h"
#include "engine/eval/flags.h"
#include "engine/eval/formula.h"

namespace spanwright::eval {

/// `N` is a number with operations: see slopes.cpp and bands.cpp. Every operation may say that it cannot (m_fine).
/// A node that reads nothing that varies is worked out by the engine as ever.
template <class N, class Arithmetic> class TreeWalk {
public:
    /// `rows[q][case]`: numbers of rows that vary; null: does not. Of a link: by reference, one case.
    TreeWalk(Engine& engine, const std::vector<const std::vector<N>*>& rows) : m_engine(engine), m_rows(rows), m_slots(64), m_slotSet(64, 0) {
        m_varies.assign(engine.pool().nodes.size(), -1);
    }

    /// In the engine's present rows of axes; nothing if it cannot be done.
    std::optional<N> number(meaning::ExprId root) {
        m_fine = true;
        const N n = walk(root);
        if (!m_fine || m_engine.failed()) return std::nullopt;
        return n;
    }

    /// Of a row in each of its cases; nothing if one cannot be done, or is not `usable`.
    template <class Usable>
    std::optional<std::vector<N>> cases(const meaning::Quantity& row, meaning::ExprId root, const MemberValues& values, const Usable& usable) {
        std::size_t count = 1;
        for (const meaning::QuantityId a : row.axes) {
            if (m_rows[a.index()] != nullptr || !values.at(a).known()) return std::nullopt;
            count *= values.axisSize(a);
        }
        std::vector<N> out;
        for (std::size_t c = 0; c < count; ++c) {
            std::size_t rest = c;
            for (std::size_t a = row.axes.size(); a-- > 0;) {
                m_engine.setAxisRow(row.axes[a], rest % values.axisSize(row.axes[a]));
                rest /= values.axisSize(row.axes[a]);
            }
            const std::optional<N> n = number(root);
            clearFlags();
            if (!n || !usable(*n)) return std::nullopt;
            out.push_back(*n);
        }
        return out;
    }

private:
    using Expr = meaning::Expr;
    using ExprId = meaning::ExprId;
    using ExprKind = meaning::ExprKind;

    N cannot() {
        m_fine = false;
        return N{};
    }

    /// What a node reads varies, or a parameter that does.
    bool varies(ExprId id) {
        signed char& known = m_varies[id.index()];
        if (known >= 0) return known != 0;
        const Expr& e = m_engine.pool().at(id);
        const auto row = [&](meaning::QuantityId q) { return q.valid() && m_rows[q.index()] != nullptr; };
        bool v = e.kind == ExprKind::Bound || (e.kind == ExprKind::External ? m_rows[e.index] != nullptr : row(e.quantity) || row(e.factors.row));
        if (!v && e.function.valid()) v = varies(m_engine.sheet()->functions[e.function.index()].body);
        for (std::size_t i = 0; i < e.children.size() && !v; ++i) v = varies(e.children[i]);
        known = v ? 1 : 0;
        return v;
    }

    N plain(ExprId id) {
        const std::optional<double> v = m_engine.quietly(id);
        return v ? Arithmetic::of(*v) : cannot();
    }

    void setSlot(std::uint32_t s, N n, double value) {
        if (s >= m_slots.size()) {
            m_slots.resize(s + 1);
            m_slotSet.resize(s + 1, 0);
        }
        m_slots[s] = n;
        m_slotSet[s] = 1;
        m_engine.setSlot(s, value);
    }

    N walk(ExprId id) {
        if (!m_fine) return N{};
        if (!varies(id)) return plain(id);
        const Expr& e = m_engine.pool().at(id);
        const auto child = [&](std::size_t i) { return walk(e.children[i]); };
        switch (e.kind) {
        case ExprKind::Bound: return e.index < m_slots.size() && m_slotSet[e.index] != 0 ? m_slots[e.index] : cannot();
        case ExprKind::External: return m_rows[e.index]->front();
        case ExprKind::Quantity: {
            const std::vector<N>& all = *m_rows[e.quantity.index()];
            std::size_t index = 0;
            for (const meaning::QuantityId a : m_engine.sheet()->at(e.quantity).axes) index = index * m_engine.values().axisSize(a) + m_engine.axisRow(a);
            return index < all.size() ? all[index] : cannot();
        }
        case ExprKind::Negate: return Arithmetic::negate(child(0));
        case ExprKind::Not: return Arithmetic::invert(child(0), m_fine);
        case ExprKind::Add:
        case ExprKind::Subtract:
        case ExprKind::Multiply:
        case ExprKind::Divide: {
            // The same twice is not two things that vary apart.
            const N a = child(0);
            const N b = child(1);
            if (!m_fine) return N{};
            return Arithmetic::binary(e.kind, a, b, m_fine);
        }
        case ExprKind::Power: {
            const N base = child(0);
            if (!m_fine) return N{};
            if (const int whole = smallWholePower(e); whole != 0) return Arithmetic::whole(base, whole, m_fine);
            const N exponent = child(1);
            return m_fine ? Arithmetic::power(base, exponent, m_fine) : N{};
        }
        case ExprKind::Less:
        case ExprKind::LessEqual:
        case ExprKind::Greater:
        case ExprKind::GreaterEqual:
        case ExprKind::Equal:
        case ExprKind::NotEqual:
        case ExprKind::And:
        case ExprKind::Or: {
            const N a = child(0);
            const N b = child(1);
            return m_fine ? Arithmetic::condition(e.kind, a, b, m_fine) : N{};
        }
        case ExprKind::If: {
            const N c = child(0);
            if (!m_fine) return N{};
            const int truth = Arithmetic::truth(c);
            if (truth >= 0) return child(truth != 0 ? 1 : 2);
            const N yes = child(1);
            const N no = child(2);
            return m_fine ? Arithmetic::either(yes, no, m_fine) : N{};
        }
        case ExprKind::Builtin: {
            std::vector<N> arguments;
            for (std::size_t i = 0; i < e.children.size() && m_fine; ++i) arguments.push_back(child(i));
            return m_fine ? Arithmetic::builtin(e.builtin, arguments, m_fine) : N{};
        }
        case ExprKind::UserCall: return call(e);
        case ExprKind::TableField: return field(id, e);
        case ExprKind::Reduce: return reduce(e);
        case ExprKind::Span: return span(id, e);
        default: return cannot(); // matrices by keys that vary, beams that vary
        }
    }

    N call(const Expr& e) {
        const meaning::Function& f = m_engine.sheet()->functions[e.function.index()];
        std::vector<N> arguments;
        for (std::size_t i = 0; i < e.children.size() && m_fine; ++i) arguments.push_back(walk(e.children[i]));
        if (!m_fine) return N{};
        struct Kept {
            N n{};
            char set = 0;
            double value = 0.0;
        };
        std::vector<Kept> kept;
        for (std::size_t i = 0; i < arguments.size() && i < f.parameters.size(); ++i) {
            const std::uint32_t s = f.parameters[i].slot;
            kept.push_back({s < m_slots.size() ? m_slots[s] : N{}, s < m_slotSet.size() ? m_slotSet[s] : static_cast<char>(0), m_engine.slot(s)});
        }
        for (std::size_t i = 0; i < kept.size(); ++i) setSlot(f.parameters[i].slot, arguments[i], Arithmetic::middle(arguments[i]));
        const N v = walk(f.body);
        for (std::size_t i = 0; i < kept.size(); ++i) {
            const std::uint32_t s = f.parameters[i].slot;
            m_slots[s] = kept[i].n;
            m_slotSet[s] = kept[i].set;
            m_engine.setSlot(s, kept[i].value);
        }
        return v;
    }

    N field(ExprId id, const Expr& e) {
        if (e.quantity.valid() && m_rows[e.quantity.index()] != nullptr) return cannot();
        std::vector<N> keys;
        std::vector<double> middles;
        bool still = true;
        for (std::size_t i = 0; i < e.children.size() && m_fine; ++i) {
            keys.push_back(walk(e.children[i]));
            middles.push_back(Arithmetic::middle(keys.back()));
            still = still && Arithmetic::still(keys.back());
        }
        if (!m_fine) return N{};
        if (still) {
            const double v = m_engine.callOutNode(id, middles.data(), static_cast<std::uint32_t>(middles.size()));
            return m_engine.failed() ? cannot() : Arithmetic::of(v);
        }
        if (e.how == meaning::Lookup::Exact || keys.size() != 1) return cannot();
        const meaning::Table* table = m_engine.sheet()->tables[e.table.index()].get();
        if (e.quantity.valid() && m_engine.values().at(e.quantity).table) table = m_engine.values().at(e.quantity).table.get();
        if (table->keys.empty() || e.index >= table->cells.size()) return cannot();
        return Arithmetic::lookUp(table->cells[table->keys.front()], table->cells[e.index], e.how == meaning::Lookup::Interpolate, keys.front(), m_fine);
    }

    N reduce(const Expr& e) {
        using meaning::Reduction;
        if (m_rows[e.quantity.index()] != nullptr || !m_engine.values().at(e.quantity).known()) return cannot();
        const std::size_t count = m_engine.values().axisSize(e.quantity);
        if (e.reduce != Reduction::Largest && e.reduce != Reduction::Smallest && e.reduce != Reduction::Sum) return cannot();
        if (count == 0) return e.reduce == Reduction::Sum ? Arithmetic::of(0.0) : cannot();
        const std::size_t kept = m_engine.axisRow(e.quantity);
        N out{};
        for (std::size_t r = 0; r < count && m_fine; ++r) {
            m_engine.setAxisRow(e.quantity, r);
            const N v = walk(e.children[0]);
            if (!m_fine) break;
            if (r == 0)
                out = e.reduce == Reduction::Sum ? Arithmetic::binary(ExprKind::Add, Arithmetic::of(0.0), v, m_fine) : v;
            else if (e.reduce == Reduction::Sum)
                out = Arithmetic::binary(ExprKind::Add, out, v, m_fine);
            else
                out = Arithmetic::builtin(e.reduce == Reduction::Largest ? meaning::Builtin::Max : meaning::Builtin::Min, {out, v}, m_fine);
        }
        m_engine.setAxisRow(e.quantity, kept);
        return out;
    }

    /// A range with slopes: the largest moves with the place where it is held, a root by what moves it there.
    N span(ExprId id, const Expr& e) {
        using meaning::RangeOp;
        if constexpr (!Arithmetic::kRanges) {
            static_cast<void>(id);
            static_cast<void>(e);
            return cannot();
        } else {
            if (e.range == RangeOp::Integral || e.range == RangeOp::WhereLargest || e.range == RangeOp::WhereSmallest) return cannot();
            std::vector<N> points;
            for (std::size_t i = 1; i < e.children.size() && m_fine; ++i) points.push_back(walk(e.children[i]));
            if (!m_fine) return N{};
            const double v = m_engine.callOutNode(id, nullptr, 0);
            if (m_engine.failed() || !std::isfinite(v)) return cannot();
            const double place = m_engine.lastPlace;
            // At an end or a kink of the range that itself moves, the place moves along.
            N at = Arithmetic::of(place);
            for (const N& p : points)
                if (Arithmetic::middle(p) == place) at = p;
            const N body = at_(e, at, place);
            if (!m_fine) return N{};
            if (e.range == RangeOp::Root) {
                const N along = at_(e, Arithmetic::moving(place), place);
                const N still = at_(e, Arithmetic::of(place), place);
                return m_fine ? Arithmetic::root(place, still, along, m_fine) : N{};
            }
            return Arithmetic::withValue(body, v);
        }
    }

    N at_(const Expr& e, N at, double place) {
        const std::uint32_t s = e.index;
        const N keptN = s < m_slots.size() ? m_slots[s] : N{};
        const char keptSet = s < m_slotSet.size() ? m_slotSet[s] : static_cast<char>(0);
        const double keptValue = m_engine.slot(s);
        setSlot(s, at, place);
        const N v = walk(e.children[0]);
        m_slots[s] = keptN;
        m_slotSet[s] = keptSet;
        m_engine.setSlot(s, keptValue);
        return v;
    }

    Engine& m_engine;
    const std::vector<const std::vector<N>*>& m_rows;
    std::vector<N> m_slots;
    std::vector<char> m_slotSet;
    std::vector<signed char> m_varies;
    bool m_fine = true;
};

} // namespace spanwright::eval
