// SPDX-License-Identifier: MIT
// Byte code written out in one piece, every different operation once.
#include <algorithm>
#include <bit>
#include <map>
#include <tuple>
#include <unordered_map>

#include "engine/eval/beam_outputs.h"
#include "engine/eval/engine.h"
#include "engine/eval/sag_finder.h"

namespace spanwright::eval {

using meaning::Expr;
using meaning::ExprId;
using meaning::ExprKind;

namespace {

constexpr std::size_t kMostNodes = 3'000;
constexpr int kDeepest = 60;

using Kind = Flat::Node::Kind;
using Bindings = std::vector<std::pair<std::uint32_t, std::uint32_t>>; ///< a parameter's slot, its node

class Flattener {
public:
    Flattener(Engine& engine, std::uint32_t slot, Flat& out) : m_engine(engine), m_slot(slot), m_out(out) {}

    bool write(ExprId root) {
        m_out.root = body(root, {}, 0);
        if (m_refused) return false;
        findCurve();
        if (m_out.curve == Flat::kNone) m_out.sags = SagFinder(m_engine, m_out, [this](const Flat::Node& n) { return node(n); }).find();
        if (m_refused) m_out.sags.clear(); // no room for the nodes they would need
        m_out.sagsByCase = std::any_of(m_out.breaking.begin(), m_out.breaking.end(), [&](std::uint32_t id) { return m_out.nodes[id].kind != Kind::Along; });
        return true;
    }
    /// One more formula for the same places, whose variable is in another slot.
    bool add(ExprId root, std::uint32_t slot, FlatGroup::Body& out) {
        m_slot = slot;
        out.root = body(root, {}, 0);
        if (m_refused) return false;
        std::vector<std::uint8_t> read(m_out.nodes.size(), 0);
        read[out.root] = 1;
        for (std::size_t id = out.root + 1; id-- > 0;) {
            if (read[id] == 0) continue;
            const Flat::Node& n = m_out.nodes[id];
            switch (n.kind) {
            case Kind::Leaf:
            case Kind::Place:
            case Kind::Constant: break;
            case Kind::CallOut:
                for (const std::uint32_t a : m_out.callOuts[n.index].arguments) read[a] = 1;
                break;
            case Kind::Choose: read[n.c] = 1; [[fallthrough]];
            case Kind::Two:
            case Kind::Call2: read[n.b] = 1; [[fallthrough]];
            case Kind::One:
            case Kind::Call1:
            case Kind::Along:
            case Kind::Pick: read[n.a] = 1; break;
            }
        }
        for (const std::uint32_t id : m_out.breaking)
            if (id < read.size() && read[id] != 0) out.breaking.push_back(id);
        return true;
    }

private:
    using Key = std::tuple<Kind, Do, std::uint32_t, std::uint32_t, std::uint32_t, std::uint32_t, std::uint64_t>;

    std::uint32_t refuse() {
        m_refused = true;
        return 0;
    }

    std::uint32_t node(const Flat::Node& n) {
        if (m_refused || m_out.nodes.size() >= kMostNodes) return refuse();
        std::uint64_t bits = 0;
        if (n.kind == Kind::Call1)
            bits = reinterpret_cast<std::uintptr_t>(n.call1);
        else if (n.kind == Kind::Call2)
            bits = reinterpret_cast<std::uintptr_t>(n.call2);
        else
            bits = std::bit_cast<std::uint64_t>(n.value);
        const auto [it, isNew] = m_known.try_emplace(Key{n.kind, n.what, n.a, n.b, n.c, n.index, bits}, static_cast<std::uint32_t>(m_out.nodes.size()));
        if (isNew) {
            m_out.nodes.push_back(n);
            markPlaced(m_out.nodes.back());
            if (m_out.nodes.back().placed && mayBreak(n)) m_out.breaking.push_back(it->second);
        }
        return it->second;
    }

    void findCurve() {
        const auto at = [&](std::uint32_t id) -> const Flat::Node& { return m_out.nodes[id]; };
        std::uint32_t id = m_out.root;
        if (at(id).kind == Kind::One && at(id).what == Do::Abs) {
            m_out.curveSize = true;
            id = at(id).a;
        }
        while (at(id).kind != Kind::Pick) {
            const Flat::Node& n = at(id);
            const bool negated = n.kind == Kind::One && n.what == Do::Negate;
            const bool leftOnly = n.kind == Kind::Two && n.what >= Do::Add && n.what <= Do::Divide && !at(n.b).placed;
            const bool rightOnly = n.kind == Kind::Two && n.what >= Do::Add && n.what <= Do::Multiply && !at(n.a).placed;
            if (negated || leftOnly)
                id = n.a;
            else if (rightOnly)
                id = n.b;
            else
                return;
        }
        const Flat::Node& along = at(at(id).a);
        const meaning::BeamOutput output = m_engine.pool().at(m_out.beams[at(id).index]).beamValue;
        if (at(along.a).kind != Kind::Place || curveOf(output) > BeamCurve::Shear) return;
        m_out.curve = at(id).a;
        m_out.curveGreatest = !wantsMost(output) && !wantsLeast(output);
    }

    static bool mayBreak(const Flat::Node& n) {
        const bool compares = n.what >= Do::Less && n.what <= Do::NotEqual;
        return (n.kind == Kind::Two && (compares || n.what == Do::Min || n.what == Do::Max)) || (n.kind == Kind::One && n.what == Do::Abs) ||
               n.kind == Kind::Along || n.kind == Kind::CallOut;
    }

    void markPlaced(Flat::Node& n) const {
        const auto placed = [&](std::uint32_t id) { return m_out.nodes[id].placed; };
        switch (n.kind) {
        case Kind::Place: n.placed = true; break;
        case Kind::Leaf:
        case Kind::Constant: break;
        case Kind::One:
        case Kind::Call1:
        case Kind::Along:
        case Kind::Pick: n.placed = placed(n.a); break;
        case Kind::Two:
        case Kind::Call2: n.placed = placed(n.a) || placed(n.b); break;
        case Kind::Choose: n.placed = placed(n.a) || placed(n.b) || placed(n.c); break;
        case Kind::CallOut:
            for (const std::uint32_t a : m_out.callOuts[n.index].arguments) n.placed = n.placed || placed(a);
            break;
        }
    }

    std::uint32_t constant(double v) {
        Flat::Node n;
        n.kind = Kind::Constant;
        n.value = v;
        return node(n);
    }

    std::uint32_t two(Do what, std::uint32_t a, std::uint32_t b) {
        Flat::Node n;
        n.kind = Kind::Two;
        n.what = what;
        n.a = a;
        n.b = b;
        return node(n);
    }

    std::uint32_t leaf(const Leaf& l, const Bindings& bindings) {
        Flat::Node n;
        if (l.kind == ExprKind::Bound) {
            for (const auto& [slot, bound] : bindings)
                if (slot == l.index) return bound;
            if (l.index == m_slot) {
                n.kind = Kind::Place;
                return node(n);
            }
        }
        n.kind = Kind::Leaf;
        const auto at = std::find(m_out.leaves.begin(), m_out.leaves.end(), l);
        n.index = static_cast<std::uint32_t>(at - m_out.leaves.begin());
        if (at == m_out.leaves.end()) m_out.leaves.push_back(l);
        return node(n);
    }

    std::uint32_t body(ExprId root, const Bindings& bindings, int depth) {
        if (m_refused || depth > kDeepest) return refuse();
        const Formula& f = m_engine.formula(root);
        if (!f.fault.empty()) return refuse();
        std::vector<std::uint32_t> stack;
        steps(f, 0, f.code.steps.size(), stack, bindings, depth);
        return m_refused || stack.size() != 1 ? refuse() : stack.back();
    }

    void steps(const Formula& f, std::size_t from, std::size_t to, std::vector<std::uint32_t>& stack, const Bindings& bindings, int depth) {
        const auto pop = [&]() -> std::uint32_t {
            if (stack.empty()) return refuse();
            const std::uint32_t top = stack.back();
            stack.pop_back();
            return top;
        };
        for (std::size_t at = from; at < to && !m_refused; ++at) {
            const Step& s = f.code.steps[at];
            Flat::Node n;
            n.what = s.what;
            switch (s.what) {
            case Do::Leaf: stack.push_back(leaf(f.leaves[s.index], bindings)); break;
            case Do::Constant: stack.push_back(constant(s.value)); break;
            case Do::Else: at = s.index - 1; break;
            case Do::EndIf: break;
            case Do::If: {
                n.kind = Kind::Choose;
                n.a = pop();
                const std::size_t elseStep = s.index - 1, end = f.code.steps[elseStep].index;
                std::vector<std::uint32_t> branch;
                steps(f, at + 1, elseStep, branch, bindings, depth);
                if (branch.size() != 1) {
                    refuse();
                    return;
                }
                n.b = branch.back();
                branch.clear();
                steps(f, elseStep + 1, end, branch, bindings, depth);
                if (branch.size() != 1) {
                    refuse();
                    return;
                }
                n.c = branch.back();
                n.what = Do::If;
                stack.push_back(node(n));
                at = end;
                break;
            }
            case Do::Square:
            case Do::Cube:
            case Do::Fourth:
            case Do::Fifth: {
                // The same products that the operation stands for, so that powers of one number share them.
                const std::uint32_t base = pop();
                std::uint32_t product = base;
                for (int k = static_cast<int>(s.what) - static_cast<int>(Do::Square); k >= 0; --k) product = two(Do::Multiply, product, base);
                stack.push_back(product);
                break;
            }
            case Do::Negate:
            case Do::Abs:
            case Do::Sqrt:
                n.kind = Kind::One;
                n.a = pop();
                stack.push_back(node(n));
                break;
            case Do::Call1:
                n.kind = Kind::Call1;
                n.call1 = s.call1;
                n.a = pop();
                stack.push_back(node(n));
                break;
            case Do::Call2:
                n.kind = Kind::Call2;
                n.call2 = s.call2;
                n.b = pop();
                n.a = pop();
                stack.push_back(node(n));
                break;
            case Do::CallOut: {
                if (stack.size() < s.count) {
                    refuse();
                    return;
                }
                const std::vector<std::uint32_t> arguments(stack.end() - s.count, stack.end());
                stack.resize(stack.size() - s.count);
                stack.push_back(callOut(f.callOuts[s.index], arguments, bindings, depth));
                break;
            }
            default: {
                std::uint32_t right = 0;
                Do what = s.what;
                if (what >= Do::AddLeaf && what <= Do::DivideLeaf) {
                    right = leaf(f.leaves[s.index], bindings);
                    what = arithmetic(what, Do::AddLeaf);
                } else if (what >= Do::AddConstant && what <= Do::DivideConstant) {
                    right = constant(s.value);
                    what = arithmetic(what, Do::AddConstant);
                } else {
                    right = pop();
                }
                const std::uint32_t left = pop();
                stack.push_back(two(what, left, right));
                break;
            }
            }
        }
    }

    std::uint32_t callOut(const Formula::CallOut& c, const std::vector<std::uint32_t>& arguments, const Bindings& bindings, int depth) {
        if (c.part) return body(c.node, bindings, depth + 1);
        const Expr& e = m_engine.pool().at(c.node);
        if (e.kind == ExprKind::UserCall) {
            const meaning::Function& f = m_engine.sheet()->functions[e.function.index()];
            if (!f.body.valid() || arguments.size() < f.parameters.size()) return refuse();
            Bindings inside;
            for (std::size_t i = 0; i < f.parameters.size(); ++i) inside.emplace_back(f.parameters[i].slot, arguments[i]);
            return body(f.body, inside, depth + 1);
        }
        if (e.kind == ExprKind::BeamValue && hasPlace(e.beamValue)) {
            if (arguments.size() != 1) return refuse();
            Flat::Node along;
            along.kind = Kind::Along;
            along.a = arguments[0];
            along.index = beam(c.node, true);
            Flat::Node pick;
            pick.kind = Kind::Pick;
            pick.a = node(along);
            pick.index = beam(c.node, false);
            return node(pick);
        }
        // Whatever hides its children works in the engine's scope, where our parameters are not.
        if (hidesChildren(e) || (e.kind != ExprKind::TableField && e.kind != ExprKind::MatrixField && e.kind != ExprKind::BeamValue)) return refuse();
        Flat::Node n;
        n.kind = Kind::CallOut;
        n.index = static_cast<std::uint32_t>(m_out.callOuts.size());
        for (std::size_t i = 0; i < m_out.callOuts.size(); ++i)
            if (m_out.callOuts[i].node == c.node && m_out.callOuts[i].arguments == arguments) n.index = static_cast<std::uint32_t>(i);
        if (n.index == m_out.callOuts.size()) m_out.callOuts.push_back({c.node, arguments});
        return node(n);
    }

    /// `pair`: any value that has the same least and most will do; else the very same output.
    std::uint32_t beam(ExprId id, bool pair) {
        const Expr& e = m_engine.pool().at(id);
        for (std::size_t i = 0; i < m_out.beams.size(); ++i) {
            const Expr& o = m_engine.pool().at(m_out.beams[i]);
            const bool factors = o.factors.from == e.factors.from && o.factors.action == e.factors.action && o.factors.row == e.factors.row &&
                                 o.factors.columns == e.factors.columns;
            if (o.quantity != e.quantity || !factors) continue;
            if (o.beamValue == e.beamValue || (pair && curveOf(o.beamValue) == curveOf(e.beamValue))) return static_cast<std::uint32_t>(i);
        }
        m_out.beams.push_back(id);
        return static_cast<std::uint32_t>(m_out.beams.size() - 1);
    }

    Engine& m_engine;
    std::uint32_t m_slot;
    Flat& m_out;
    std::map<Key, std::uint32_t> m_known;
    bool m_refused = false;
};

} // namespace

bool Engine::flatGroup(const std::vector<ExprId>& spans, FlatGroup& out) {
    if (m_sheet == nullptr) return false;
    Flattener flattener(*this, 0, out.flat);
    for (const ExprId id : spans) {
        const Expr& e = m_pool.at(id);
        if (!flattener.add(e.children[0], e.index, out.bodies.emplace_back())) return false;
    }
    out.flat.usable = true;
    return true;
}

const Flat& Engine::flat(ExprId body, std::uint32_t slot) {
    std::unique_ptr<Flat>& held = m_flats[(static_cast<std::uint64_t>(body.value) << 32U) | slot];
    if (!held) {
        held = std::make_unique<Flat>();
        if (m_sheet != nullptr) held->usable = Flattener(*this, slot, *held).write(body);
        if (!held->usable) *held = Flat{};
    }
    return *held;
}

} // namespace spanwright::eval
