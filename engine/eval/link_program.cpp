// SPDX-License-Identifier: MIT
// Links between members, compiled.
#include "engine/eval/engine.h"
#include "engine/eval/program.h"

namespace spanwright::eval {

struct LinkProgram::Impl {
    explicit Impl(std::shared_ptr<const meaning::Link> l) : link(std::move(l)), engine(link->exprs, nullptr) {}
    std::shared_ptr<const meaning::Link> link;
    Engine engine;
};

LinkProgram::LinkProgram(std::shared_ptr<const meaning::Link> link) : m_impl(std::make_unique<Impl>(std::move(link))) {}
LinkProgram::~LinkProgram() = default;
LinkProgram::LinkProgram(LinkProgram&&) noexcept = default;
LinkProgram& LinkProgram::operator=(LinkProgram&&) noexcept = default;

Value LinkProgram::evaluate(const std::vector<const Value*>& references) {
    Engine& engine = m_impl->engine;
    const meaning::Link& link = *m_impl->link;
    static const MemberValues kNone;
    engine.begin(&kNone, &references);
    Value v;
    for (std::size_t i = 0; i < references.size() && i < link.references.size(); ++i) {
        if (references[i] == nullptr || !references[i]->known() || references[i]->many.empty()) continue;
        const meaning::Reference& r = link.references[i];
        diag::Diagnostic d;
        d.code = diag::Code::LinkCases;
        for (const meaning::Expr& e : link.exprs.nodes) {
            if (e.kind == meaning::ExprKind::External && e.index == i) {
                d.place = engine.place(e);
                break;
            }
        }
        d.message = r.path + " has " + std::to_string(references[i]->many.size()) + " values, one for each case, and a link takes one number";
        d.mend = "reduce it to one in the other member's sheet, for instance by a row with largest(..., over ...)";
        engine.fail(std::move(d));
        v.state = State::Failed;
        v.problem = engine.failure().problem;
        return v;
    }
    if (engine.number(link.root, v.one)) {
        v.state = State::Known;
        return v;
    }
    v.one = 0.0;
    v.state = engine.failure().blocked ? State::Blocked : State::Failed;
    v.problem = engine.failure().problem;
    if (engine.failure().blocked && engine.failure().external < references.size() && references[engine.failure().external] != nullptr) {
        v.problem = references[engine.failure().external]->problem;
    }
    return v;
}

} // namespace spanwright::eval
