// SPDX-License-Identifier: MIT
// Links between members at many trial points.
#include <algorithm>

#include "engine/eval/engine.h"
#include "engine/eval/points.h"

namespace spanwright::eval {

struct PointLink::Impl {
    explicit Impl(std::shared_ptr<const meaning::Link> l) : link(std::move(l)), engine(link->exprs, nullptr), program(link) {}
    std::shared_ptr<const meaning::Link> link;
    Engine engine;
    LinkProgram program;
    PointScope scope;
    std::vector<Value> values;
    std::vector<const Value*> pointers;
};

PointLink::PointLink(std::shared_ptr<const meaning::Link> link) : m_impl(std::make_unique<Impl>(std::move(link))) {}
PointLink::~PointLink() = default;

void PointLink::work(const std::vector<Reference>& references, std::size_t points, PointRow& out) {
    Impl& m = *m_impl;
    m.values.assign(references.size(), Value{});
    m.pointers.resize(references.size());
    out.cases = 1;
    out.numbers.resize(kPoints);
    bool lanes = true;
    m.scope.rows.assign(references.size(), nullptr);
    const auto isRow = [&](std::size_t r) { return m.link->references[r].type == meaning::Type::Row; };
    for (std::size_t r = 0; r < references.size(); ++r) {
        const Reference& from = references[r];
        m.pointers[r] = from.fixed != nullptr ? from.fixed : &m.values[r];
        if (from.row != nullptr) {
            m.scope.rows[r] = from.row;
            lanes = lanes && from.row->allKnown && from.row->cases == 1 && !isRow(r);
        } else {
            lanes = lanes && from.fixed->known() && from.fixed->many.empty() && !isRow(r);
        }
    }
    if (lanes) {
        static const MemberValues kNone;
        m.engine.begin(&kNone, &m.pointers);
        m.scope.list = nullptr;
        m.scope.varying.assign(m.link->exprs.nodes.size(), -1);
        m.scope.alone.clear();
        if (m.engine.points(m.link->root, m.scope, points, out.numbers.data()) && m.scope.alone.empty()) {
            out.setAll(State::Known, points);
            return;
        }
    }
    for (std::size_t i = 0; i < points; ++i) {
        State state = State::Known, cause = State::Known;
        for (std::size_t r = 0; r < references.size(); ++r) {
            const Reference& from = references[r];
            Value& v = m.values[r];
            if (from.row != nullptr) {
                v.state = from.row->states[i];
                v.table = from.row->tableAt(i);
                v.many.clear();
                v.one = from.row->numbers.empty() ? 0.0 : from.row->numbers[i];
                if (from.row->casesAt(i) > 1) v.many.assign(from.row->casesAt(i), 0.0); // refused below: a link takes one number
            } else {
                v = *from.fixed;
            }
            if (v.known() && isRow(r) && v.table) v.one = v.table->rowIds[static_cast<std::size_t>(v.one)];
            m.pointers[r] = &v;
            if (v.known() || state != State::Known) continue;
            state = v.state == State::NotApplicable ? State::Failed : State::Blocked;
            cause = v.state != State::Blocked ? v.state : from.row != nullptr ? from.row->causes[i] : from.fixedCause;
        }
        if (state == State::Known) {
            const Value v = m.program.evaluate(m.pointers);
            state = cause = v.state;
            out.numbers[i] = v.one;
            if (v.problem && !out.problem) out.problem = v.problem;
        }
        out.states[i] = state;
        out.causes[i] = state == State::Failed ? State::Failed : cause;
    }
    out.allKnown = std::all_of(out.states.begin(), out.states.begin() + static_cast<std::ptrdiff_t>(points), [](State s) { return s == State::Known; });
}

} // namespace spanwright::eval
