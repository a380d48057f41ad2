// SPDX-License-Identifier: MIT
// What lies downstream of some stated values, copied for trials.
#include <algorithm>

#include "engine/base/text.h"
#include "engine/job/core.h"

namespace spanwright::job {

using diag::Code;
using diag::Diagnostic;
using diag::Severity;
using eval::State;
using eval::Value;

base::Result<Ref, Diagnostic> Core::statable(const ValueName& name) const {
    Diagnostic d{Code::UnknownName, Severity::Error, {m_path, diag::Place::kNoRow, {}}, {}, {}, {}, {}, {}};
    if (name.mark.empty()) {
        if (const auto given = givenNamed(name.name)) return Ref{Ref::kJob, *given};
        std::vector<std::string> names;
        for (const JobGiven& g : m_givens)
            if (!g.gone) names.push_back(g.quantity.name);
        d.message = "the job has no given " + quoted(name.name);
        d.mend = suggestion(name.name, names);
        if (d.mend.empty()) d.mend = "name a value of a member with its mark, as in `" + (m_order.empty() ? "J1" : at(m_order.front()).mark) + ".h`";
        return base::Failure<Diagnostic>{d};
    }
    const auto slot = slotOf(name.mark);
    if (!slot) {
        std::vector<std::string> marks;
        for (std::uint32_t s : m_order) marks.push_back(at(s).mark);
        d.code = Code::UnknownMember;
        d.message = "there is no member " + quoted(name.mark);
        d.mend = suggestion(name.mark, marks);
        return base::Failure<Diagnostic>{d};
    }
    const Member& m = at(*slot);
    if (m.sheet == nullptr || !m.sheet->sheet) {
        d.code = Code::UnknownSheet;
        d.message = "the sheet of " + name.mark + " could not be read";
        return base::Failure<Diagnostic>{d};
    }
    if (auto wrong = notSettable(*m.sheet, name.name, d.place)) return base::Failure<Diagnostic>{*wrong};
    const meaning::Quantity& q = *m.sheet->sheet->find(name.name);
    if (q.kind == Kind::List || q.broken) {
        d.code = Code::NotSettable;
        d.message = quoted(name.name) + (q.broken ? " has an error in its row" : " is a list of rows, and a trial varies single values");
        d.mend = q.broken ? "mend the row first" : "vary a given, an ask or a choice";
        return base::Failure<Diagnostic>{d};
    }
    return Ref{*slot, q.id.value};
}

ExtractMember Core::extractMember(std::uint32_t slot, const std::vector<char>& downstream, ExtractCache& kept) {
    Member& m = at(slot);
    catchUp(*m.sheet);
    ExtractMember out;
    out.mark = m.mark;
    out.index = m.place;
    out.sheet = m.sheet->sheet;
    auto& values = kept.values[m.mark];
    if (!values) values = std::make_shared<const eval::MemberValues>(m.values);
    out.values = values;
    out.verdict = view(slot).verdict;

    const auto worse = [&](Verdict v, std::string why) {
        out.floor = std::max(out.floor, v);
        out.reasons.push_back(std::move(why));
    };
    if (errorsIn(m.problems) > 0 || !m.textErrors.empty()) worse(Verdict::NotComputed, "the text of " + m.mark + " has errors");
    if (errorsIn(m.sheet->diagnostics) > 0) worse(Verdict::NotComputed, "the sheet " + m.sheetName + " has errors");
    const CopyReport& copy = copyReport(*m.sheet);
    for (const std::string& lost : copy.lost) worse(Verdict::NotProven, lost);
    std::size_t checks = 0;
    for (const meaning::Quantity& q : out.sheet->quantities) {
        const bool isCheck = q.kind == Kind::Check;
        if (isCheck) ++checks;
        if (downstream[m.nodes[q.id.index()].index()] != 0) continue;
        const Ref ref{slot, q.id.value};
        const Value& v = m.values.at(q.id);
        switch (v.state) {
        case State::NotStated: worse(Verdict::NotProven, quoted(q.name) + " is not stated"); break;
        case State::Failed: worse(Verdict::NotComputed, quoted(q.name) + " could not be computed"); break;
        case State::Blocked: {
            const Cause cause = causeOf(ref);
            if (cause.member.empty() && cause.state == State::NotStated)
                worse(Verdict::NotProven, quoted(q.name) + " needs " + nameFor(slot, cause.ref) + ", which is not stated");
            else
                worse(Verdict::NotComputed, quoted(q.name) + " is " + reasonOf(slot, ref));
            break;
        }
        default: break;
        }
        if (!isCheck && q.kind != Kind::Require) continue;
        const CheckView c = check(slot, q);
        if (isCheck && c.state != CheckView::State::NotApplicable) out.applies = true;
        if (c.state == CheckView::State::Fails) worse(Verdict::Fails, quoted(q.name) + " fails: " + c.reason);
        if (c.state == CheckView::State::NotProven) worse(Verdict::NotProven, c.isRequire ? c.reason : quoted(q.name) + " is not proven: " + c.reason);
        if (c.state == CheckView::State::NotComputed && v.known()) worse(Verdict::NotProven, quoted(q.name) + " could not be computed");
    }
    if (checks == 0) worse(Verdict::NotProven, "the sheet has no check");
    return out;
}

base::Result<Extract, Diagnostic> Core::extract(const std::vector<ValueName>& varied, ExtractCache& kept) {
    Extract out;
    std::vector<Ref> refs;
    for (const ValueName& name : varied) {
        auto ref = statable(name);
        if (!ref) return base::Failure<Diagnostic>{ref.error()};
        if (std::find(refs.begin(), refs.end(), ref.value()) != refs.end())
            return base::Failure<Diagnostic>{Diagnostic{Code::ValueTwice,
                                                        Severity::Error,
                                                        {m_path, diag::Place::kNoRow, {}},
                                                        quoted(name.name) + " is varied twice",
                                                        {},
                                                        {},
                                                        "vary it once; a list can hold several values",
                                                        name.mark}};
        refs.push_back(ref.value());
    }
    std::vector<char> downstream(m_graph.size(), 0);
    for (const Ref& r : refs) {
        downstream[nodeOf(r).index()] = 1;
        for (graph::NodeId n : m_graph.downstream(nodeOf(r))) downstream[n.index()] = 1;
    }
    std::vector<graph::NodeId> order;
    if (refs.size() == 1) {
        order = m_graph.downstream(nodeOf(refs.front()));
        order.insert(order.begin(), nodeOf(refs.front()));
    } else {
        for (graph::NodeId n : m_graph.order())
            if (downstream[n.index()] != 0) order.push_back(n);
    }
    std::map<std::uint32_t, std::uint32_t> memberOf, givenOf;
    const auto refOf = [&](Ref r) -> ExtractRef {
        if (r.slot == Ref::kJob) {
            const auto [it, fresh] = givenOf.emplace(r.quantity, static_cast<std::uint32_t>(out.givens.size()));
            if (fresh) out.givens.push_back(m_givens[r.quantity].quantity);
            return {ExtractRef::kJob, QuantityId(it->second)};
        }
        const auto [it, fresh] = memberOf.emplace(r.slot, static_cast<std::uint32_t>(out.members.size()));
        if (fresh) out.members.push_back(extractMember(r.slot, downstream, kept));
        return {it->second, QuantityId(r.quantity)};
    };
    std::map<std::uint32_t, std::uint32_t> rowOf; // by node
    for (graph::NodeId node : order)
        if (m_owners[node.index()].slot != Ref::kNobody) rowOf.emplace(node.value, static_cast<std::uint32_t>(rowOf.size()));
    for (graph::NodeId node : order) {
        const Ref ref = m_owners[node.index()];
        if (ref.slot == Ref::kNobody) continue;
        ExtractRow row;
        row.at = refOf(ref);
        for (const graph::NodeId read : m_graph.reads(node))
            if (const auto found = rowOf.find(read.value); found != rowOf.end()) row.reads.push_back(found->second);
        const Statement* s = ref.slot == Ref::kJob ? &m_givens[ref.quantity].statement : at(ref.slot).statement(ref.quantity);
        const meaning::Quantity& q = ref.slot == Ref::kJob ? m_givens[ref.quantity].quantity : at(ref.slot).sheet->sheet->quantities[ref.quantity];
        if (m_graph.onCycle(node)) {
            row.how = ExtractRow::How::Fixed;
        } else if (std::find(refs.begin(), refs.end(), ref) != refs.end()) {
            row.how = ExtractRow::How::Varied;
        } else if (s != nullptr && !q.broken) {
            row.how = s->sort == Statement::Sort::Link                        ? ExtractRow::How::Link
                      : s->sort == Statement::Sort::List && !s->cells.empty() ? ExtractRow::How::List
                                                                              : ExtractRow::How::Stated;
            row.stated.state = State::Known;
            switch (s->sort) {
            case Statement::Sort::Unstated: row.stated.state = State::NotStated; break;
            case Statement::Sort::Wrong:
                row.stated.state = State::Failed;
                row.stated.problem = s->problem;
                break;
            case Statement::Sort::Waiting: row.stated.state = State::Blocked; break;
            case Statement::Sort::List:
                row.stated.table = s->table;
                for (const Statement::Cell& c : s->cells) row.cells.push_back({c.column, c.row, c.link, c.firstReference});
                break;
            case Statement::Sort::Key: row.stated = workKey(ref.slot, q, *s, s->key); break;
            case Statement::Sort::Value: row.stated.one = s->si; break;
            case Statement::Sort::Link:
                row.link = s->link;
                row.stated.table = q.table;
                if (q.list.valid() && at(ref.slot).values.at(q.list).known()) row.stated.table = at(ref.slot).values.at(q.list).table;
                break;
            }
            for (const Ref& r : s->references) {
                ExtractRow::Reference from;
                from.varies = downstream[nodeOf(r).index()] != 0;
                if (from.varies) {
                    from.at = refOf(r);
                } else {
                    from.fixed = valueOf(r);
                    from.cause = from.fixed.state == State::Blocked ? causeOf(r).state : from.fixed.state;
                }
                row.references.push_back(std::move(from));
            }
        }
        out.rows.push_back(std::move(row));
    }
    for (const auto& [slot, index] : memberOf)
        for (const std::uint32_t source : sourcesOf(slot)) {
            ExtractMember& member = out.members[index];
            if (const auto inside = memberOf.find(source); inside != memberOf.end()) {
                member.sources.push_back(inside->second);
            } else if (const std::string why = unsettled(source); !why.empty()) {
                member.floor = std::max(member.floor, Verdict::NotProven);
                member.reasons.push_back("it takes values from " + at(source).mark + ", where " + why);
            }
        }
    for (const Ref& r : refs) {
        out.varied.push_back(refOf(r));
        out.now.push_back(valueOf(r));
        const Statement* s = r.slot == Ref::kJob ? &m_givens[r.quantity].statement : at(r.slot).statement(r.quantity);
        out.stated.push_back(s != nullptr && !s->patch && s->sort != Statement::Sort::Unstated);
        out.linked.push_back(s != nullptr && s->sort == Statement::Sort::Link);
        const meaning::Quantity& q = r.slot == Ref::kJob ? m_givens[r.quantity].quantity : at(r.slot).sheet->sheet->quantities[r.quantity];
        std::optional<double> tolerance;
        if (s != nullptr && s->tolerance)
            tolerance = s->tolerance;
        else if (r.slot != Ref::kJob && q.tolerance.valid() && (s == nullptr || s->sort == Statement::Sort::Value))
            tolerance = at(r.slot).sheet->program->scalar(q.tolerance, {}, at(r.slot).values);
        out.tolerance.push_back(tolerance);
        out.nowShown.push_back(valueOf(r).known() ? shownOne(q, valueOf(r), valueOf(r).one) : std::string());
    }
    return out;
}

} // namespace spanwright::job
