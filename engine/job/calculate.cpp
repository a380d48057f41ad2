// SPDX-License-Identifier: MIT
// One graph over all members: what reads what, and working out what must be.
#include <algorithm>
#include <bit>
#include <deque>
#include <map>

#include "engine/base/text.h"
#include "engine/job/core.h"
#include "engine/units/format.h"

namespace spanwright::job {

using diag::Code;
using diag::Diagnostic;
using diag::Severity;
using eval::State;
using eval::Value;

namespace {

void gather(const meaning::Sheet& sheet, meaning::ExprId root, std::vector<char>& functions, std::vector<QuantityId>& out) {
    if (!root.valid()) return;
    std::vector<meaning::ExprId> stack{root};
    while (!stack.empty()) {
        const meaning::Expr& e = sheet.exprs.at(stack.back());
        stack.pop_back();
        if (e.quantity.valid()) out.push_back(e.quantity);
        if (e.factors.row.valid()) out.push_back(e.factors.row);
        if (e.function.valid() && functions[e.function.index()] == 0) {
            functions[e.function.index()] = 1;
            if (sheet.functions[e.function.index()].body.valid()) stack.push_back(sheet.functions[e.function.index()].body);
        }
        for (meaning::ExprId child : e.children) stack.push_back(child);
    }
}

bool sameProblem(const std::shared_ptr<const Diagnostic>& a, const std::shared_ptr<const Diagnostic>& b) {
    if (a == b) return true;
    return a && b && a->code == b->code && a->place == b->place && a->message == b->message && a->member == b->member;
}

Value failed(std::shared_ptr<const Diagnostic> problem) {
    Value v;
    v.state = State::Failed;
    v.problem = std::move(problem);
    return v;
}

} // namespace

std::vector<QuantityId> readsOf(const meaning::Sheet& sheet, std::initializer_list<meaning::ExprId> roots) {
    std::vector<QuantityId> out;
    std::vector<char> functions(sheet.functions.size(), 0);
    for (meaning::ExprId root : roots) gather(sheet, root, functions, out);
    std::sort(out.begin(), out.end());
    out.erase(std::unique(out.begin(), out.end()), out.end());
    return out;
}

std::optional<std::uint32_t> Core::slotOf(std::string_view mark) const {
    const auto it = m_slots.find(std::string(mark));
    if (it == m_slots.end()) return std::nullopt;
    return it->second;
}

std::optional<std::uint32_t> Core::givenNamed(std::string_view name) const {
    for (const JobGiven& g : m_givens)
        if (!g.gone && g.quantity.name == name) return g.quantity.id.value;
    return std::nullopt;
}

graph::NodeId Core::nodeOf(Ref ref) const { return ref.slot == Ref::kJob ? m_givens[ref.quantity].node : at(ref.slot).nodes[ref.quantity]; }
const Value& Core::valueOf(Ref ref) const { return ref.slot == Ref::kJob ? m_givens[ref.quantity].value : at(ref.slot).values.values[ref.quantity]; }

void Core::makeNodes(std::uint32_t slot) {
    Member& m = at(slot);
    if (m.sheet == nullptr || !m.sheet->sheet) return;
    const std::size_t n = m.sheet->sheet->quantities.size();
    m.values.values.assign(n, Value{});
    m.nodes.clear();
    m.nodes.reserve(n);
    while (m.nodes.size() < n && !m_spare.empty()) {
        m.nodes.push_back(m_spare.back());
        m_spare.pop_back();
    }
    if (m.nodes.size() < n) {
        const std::size_t more = n - m.nodes.size();
        const graph::NodeId first = m_graph.addMany(more);
        m_owners.resize(m_graph.size());
        for (std::size_t i = 0; i < more; ++i) m.nodes.emplace_back(first.index() + i);
    }
    for (std::size_t q = 0; q < n; ++q) {
        m_owners[m.nodes[q].index()] = {slot, static_cast<std::uint32_t>(q)};
        m_graph.touch(m.nodes[q]);
        if (!m_groupsKnown.empty()) forgetLetters({slot, static_cast<std::uint32_t>(q)});
    }
    for (std::size_t q = 0; q < n; ++q) wire({slot, static_cast<std::uint32_t>(q)});
    forgetView(m);
}

void Core::releaseNodes(std::uint32_t slot) {
    Member& m = at(slot);
    std::vector<std::uint32_t> stated;
    for (const auto& [id, s] : m.stated) stated.push_back(id);
    for (std::uint32_t id : stated) clearStated(m, slot, id);
    for (graph::NodeId node : m.nodes) {
        // Whoever read it is told to read anew by who releases it; until then it is worked out as nobody's.
        for (graph::NodeId reader : std::vector<graph::NodeId>(m_graph.feeds(node))) {
            std::vector<graph::NodeId> reads = m_graph.reads(reader);
            std::erase(reads, node);
            m_graph.setReads(reader, reads);
        }
        m_graph.setReads(node, {});
        m_owners[node.index()] = {};
    }
    m_spare.insert(m_spare.end(), m.nodes.rbegin(), m.nodes.rend());
    m.nodes.clear();
    m.values.values.clear();
    forgetView(m);
}

void Core::wire(Ref ref) {
    std::vector<graph::NodeId> reads;
    if (ref.slot == Ref::kJob) {
        for (const Ref& r : m_givens[ref.quantity].statement.references) reads.push_back(nodeOf(r));
        m_graph.setReads(m_givens[ref.quantity].node, reads);
        return;
    }
    const Member& m = at(ref.slot);
    const meaning::Sheet& sheet = *m.sheet->sheet;
    const meaning::Quantity& q = sheet.quantities[ref.quantity];
    const auto add = [&](QuantityId id) {
        if (id.valid()) reads.push_back(m.nodes[id.index()]);
    };
    const Statement* s = m.statement(ref.quantity);
    if (q.broken) {
        // Never computed; reads nothing.
    } else if (s == nullptr) {
        for (QuantityId id : q.reads) add(id);
        add(q.condition);
        add(q.list);
    } else {
        add(q.condition);
        if (q.kind == Kind::Choose) add(q.list);
        if (s->sort == Statement::Sort::Value || s->sort == Statement::Sort::Link)
            for (QuantityId id : readsOf(sheet, {q.low, q.high})) add(id);
        for (const Ref& r : s->references) reads.push_back(nodeOf(r));
    }
    m_graph.setReads(m.nodes[ref.quantity], reads);
}

Value Core::workLink(std::uint32_t slot, const std::string& name, const Statement& s, const LinkUse& use) {
    const syntax::Document& document = s.own ? *s.own : m_document;
    std::vector<const Value*> values;
    std::deque<Value> keys; // a chosen row is handed over as the text of its key
    for (const Ref& r : use.references) {
        const Value& v = valueOf(r);
        values.push_back(&v);
        if (v.known() && r.slot != Ref::kJob && at(r.slot).sheet->sheet->quantities[r.quantity].type == meaning::Type::Row && v.table) {
            keys.push_back(v);
            keys.back().one = v.table->rowIds[static_cast<std::size_t>(v.one)];
            values.back() = &keys.back();
        }
        if (v.known()) continue;
        Diagnostic d{
            Code::ConditionalUse, Severity::Error, document.place(use.row, use.span), {}, {}, {}, {}, slot == Ref::kJob ? std::string() : at(slot).mark};
        if (v.state == State::NotApplicable) {
            d.message = quoted(name) + " needs " + nameOf(r) + ", which stands in a part that does not apply";
            d.mend = "link to a row that always applies";
            return failed(std::make_shared<const Diagnostic>(std::move(d)));
        }
        Value blocked;
        blocked.state = State::Blocked;
        if (r.slot == slot) {
            blocked.blockedBy = QuantityId(r.quantity);
        } else {
            d.code = Code::NotStated;
            d.severity = Severity::Note;
            d.message = quoted(name) + " needs " + nameOf(r) + ", which has no value";
            blocked.problem = std::make_shared<const Diagnostic>(std::move(d));
        }
        return blocked;
    }
    Value v = use.program.evaluate(values);
    if (v.problem) {
        Diagnostic d = *v.problem;
        d.place.file = document.file();
        d.place.row = use.row;
        if (d.place.span.empty()) d.place.span = use.span;
        d.member = slot == Ref::kJob ? std::string() : at(slot).mark;
        v.problem = std::make_shared<const Diagnostic>(std::move(d));
    }
    return v;
}

Value Core::workList(std::uint32_t slot, const meaning::Quantity& q, const Statement& s) {
    Value out;
    out.state = State::Known;
    out.table = s.table;
    if (s.cells.empty()) return out;
    auto table = std::make_shared<meaning::Table>(*s.table);
    for (const Statement::Cell& cell : s.cells) {
        const meaning::Table::Column& column = table->columns[cell.column];
        const std::string name = q.name + ", " + table->rowLabel(cell.row) + ": " + column.name;
        const std::span<const Ref> references(s.references.data() + cell.firstReference, cell.link->references.size());
        Value v = workLink(slot, name, s, {*cell.program, references, cell.line, cell.span});
        if (!v.known()) return v;
        table->cells[cell.column][cell.row] = v.one;
        // Shown as any calculated value is; a key is what rows are told apart by.
        const bool key = std::find(table->keys.begin(), table->keys.end(), cell.column) != table->keys.end();
        table->texts[cell.column][cell.row] = key ? base::shortest(units::fromSi(v.one, column.unit)) : units::showNumber(v.one, column.unit);
    }
    // The same numbers as before are the same table, so that nothing behind it is worked out again.
    const Value& before = at(slot).values.at(q.id);
    const auto same = [&](const meaning::Table& a, const meaning::Table& b) {
        return a.texts == b.texts && a.places == b.places && a.columns.size() == b.columns.size() &&
               std::equal(a.cells.begin(), a.cells.end(), b.cells.begin(), b.cells.end(), [](const auto& x, const auto& y) {
                   return std::equal(x.begin(), x.end(), y.begin(), y.end(),
                                     [](double l, double r) { return std::bit_cast<std::uint64_t>(l) == std::bit_cast<std::uint64_t>(r); });
               });
    };
    const bool shape = before.known() && before.table && before.table->keys == table->keys && before.table->comment == table->comment;
    out.table = shape && same(*before.table, *table) ? before.table : std::shared_ptr<const meaning::Table>(std::move(table));
    return out;
}

Value Core::workKey(std::uint32_t slot, const meaning::Quantity& q, const Statement& s, const std::string& key) const {
    const Member& m = at(slot);
    Value v;
    std::shared_ptr<const meaning::Table> table = q.table;
    if (q.list.valid()) {
        const Value& list = m.values.at(q.list);
        if (!list.known()) {
            v.state = State::Blocked;
            v.blockedBy = q.list;
            return v;
        }
        table = list.table;
    }
    const auto row = table ? table->rowByLabel(key) : std::nullopt;
    if (!row) {
        std::vector<std::string> labels;
        for (std::uint32_t r = 0; table && r < table->rowCount(); ++r) labels.push_back(table->rowLabel(r));
        return failed(std::make_shared<const Diagnostic>(Diagnostic{Code::UnknownTableRow,
                                                                    Severity::Error,
                                                                    (s.own ? *s.own : m_document).place(s.row, s.span),
                                                                    "the table " + (table ? table->name : q.name) + " has no row " + quoted(key),
                                                                    {},
                                                                    {},
                                                                    suggestion(key, labels),
                                                                    m.mark}));
    }
    v.state = State::Known;
    v.one = static_cast<double>(*row);
    v.table = std::move(table);
    return v;
}

Value Core::workStated(std::uint32_t slot, const meaning::Quantity& q, const Statement& s) {
    Member& m = at(slot);
    if (q.condition.valid()) {
        const Value& applies = m.values.at(q.condition);
        Value v;
        if (!applies.known()) {
            v.state = State::Blocked;
            v.blockedBy = q.condition;
            return v;
        }
        if ((applies.one != 0.0) == q.otherwise) {
            v.state = State::NotApplicable;
            return v;
        }
    }
    const syntax::Document& document = s.own ? *s.own : m_document;
    Value v;
    switch (s.sort) {
    case Statement::Sort::Unstated: v.state = State::NotStated; return v;
    case Statement::Sort::Wrong: return failed(s.problem);
    case Statement::Sort::Waiting: v.state = State::Blocked; return v;
    case Statement::Sort::List: return workList(slot, q, s);
    case Statement::Sort::Key: return workKey(slot, q, s, s.key);
    case Statement::Sort::Value:
        v.state = State::Known;
        v.one = s.si;
        break;
    case Statement::Sort::Link:
        v = workLink(slot, q.name, s, {*s.program, s.references, s.row, s.span});
        if (!v.known()) return v;
        if (q.kind == Kind::Choose) return workKey(slot, q, s, m_texts.textOf(v.one));
        break;
    }
    Value checked = m.sheet->program->stated(q.id, std::move(v), m.values);
    if (checked.problem && !s.patch) {
        // The mistake is the job's; the sheet's range is only where it comes from.
        Diagnostic d = *checked.problem;
        if (d.place.row != diag::Place::kNoRow && d.place.file == m.sheet->path) d.labels.push_back({d.place, "the range that the sheet allows"});
        d.place = document.place(s.row, s.span);
        d.member = m.mark;
        checked.problem = std::make_shared<const Diagnostic>(std::move(d));
    }
    return checked;
}

Value Core::work(Ref ref) {
    if (ref.slot == Ref::kJob) {
        const JobGiven& g = m_givens[ref.quantity];
        const Statement& s = g.statement;
        Value v;
        switch (s.sort) {
        case Statement::Sort::Value:
            v.state = State::Known;
            v.one = s.si;
            return v;
        case Statement::Sort::Link: return workLink(Ref::kJob, g.quantity.name, s, {*s.program, s.references, s.row, s.span});
        case Statement::Sort::Unstated: v.state = State::NotStated; return v;
        case Statement::Sort::Wrong: return failed(s.problem);
        default: return v;
        }
    }
    Member& m = at(ref.slot);
    const meaning::Sheet& sheet = *m.sheet->sheet;
    const meaning::Quantity& q = sheet.quantities[ref.quantity];
    if (q.broken) {
        if (q.problem) return failed(q.problem);
        const auto cause = std::find_if(m.sheet->diagnostics.begin(), m.sheet->diagnostics.end(), [&](const Diagnostic& d) {
            return d.severity == Severity::Error && d.place.row == q.causeRow && d.place.file == sheet.document->file();
        });
        if (cause != m.sheet->diagnostics.end()) return failed(std::make_shared<const Diagnostic>(*cause));
        return failed(nullptr);
    }
    if (const Statement* s = m.statement(ref.quantity)) return workStated(ref.slot, q, *s);
    Value v = m.sheet->program->evaluate(q.id, m.values);
    if (v.problem && v.state == State::Failed && !m_single) {
        Diagnostic d = *v.problem;
        d.member = m.mark;
        v.problem = std::make_shared<const Diagnostic>(std::move(d));
    }
    return v;
}

std::shared_ptr<const Diagnostic> Core::ringProblem(graph::NodeId node, std::map<std::uint32_t, std::shared_ptr<const Diagnostic>>& told) const {
    std::shared_ptr<const Diagnostic>& known = told[m_graph.tangleHead(node).value];
    if (known) return known;
    const auto standing = [&](graph::NodeId n) {
        const Ref r = m_owners[n.index()];
        return std::pair(r.slot == Ref::kJob ? 0U : at(r.slot).place + 1, r.quantity);
    };
    const std::vector<graph::NodeId> all = m_graph.tangle(node);
    graph::NodeId start = all.front();
    bool oneMember = true;
    for (graph::NodeId n : all) {
        if (standing(n) < standing(start)) start = n;
        oneMember = oneMember && m_owners[n.index()].slot == m_owners[all.front().index()].slot;
    }
    const std::vector<graph::NodeId> path = m_graph.cycleThrough(start);
    const auto placeOf = [&](graph::NodeId n) -> diag::Place {
        const Ref r = m_owners[n.index()];
        if (r.slot == Ref::kJob) return m_document.place(m_givens[r.quantity].row, m_givens[r.quantity].statement.span);
        const Member& m = at(r.slot);
        if (const Statement* s = m.statement(r.quantity)) return (s->own ? *s->own : m_document).place(s->row, s->span);
        const meaning::Quantity& q = m.sheet->sheet->quantities[r.quantity];
        const syntax::Document& document = *m.sheet->sheet->document;
        const syntax::Row& row = document.rows()[q.row];
        return document.place(q.row, row->name.present() ? row->name.span : row->formula.span);
    };
    const auto nameHere = [&](graph::NodeId n) { return oneMember ? nameFor(m_owners[start.index()].slot, m_owners[n.index()]) : nameOf(m_owners[n.index()]); };
    // Where the ring runs through members, it is a link that closes it: that is where to look.
    graph::NodeId where = start;
    for (std::size_t i = 0; !oneMember && i + 1 < path.size(); ++i) {
        const Ref r = m_owners[path[i].index()];
        if (r.slot != Ref::kJob && at(r.slot).statement(r.quantity) != nullptr) {
            where = path[i];
            break;
        }
    }
    Diagnostic d{Code::Cycle,
                 Severity::Error,
                 placeOf(where),
                 "rows need each other in a ring: ",
                 {},
                 {},
                 "take one of them out of the ring: state its value, or work it out from something else",
                 {}};
    constexpr std::size_t kShown = 12;
    for (std::size_t i = 0; i < path.size(); ++i) {
        if (path.size() > 2 * kShown && i == kShown) {
            d.message += " -> ... (" + std::to_string(path.size() - 2 * kShown) + " more)";
            i = path.size() - kShown;
        }
        d.message += (i > 0 ? " -> " : "") + nameHere(path[i]);
    }
    for (std::size_t i = 0; i + 1 < path.size() && d.labels.size() < 4; ++i)
        if (path[i] != where) d.labels.push_back({placeOf(path[i]), nameHere(path[i]) + " needs " + nameHere(path[i + 1])});
    known = std::make_shared<const Diagnostic>(std::move(d));
    return known;
}

std::size_t Core::calculateNow() {
    for (graph::NodeId n : m_skipped) m_graph.touch(n);
    m_skipped.clear();
    m_log.clear();
    std::size_t count = 0;
    std::vector<graph::NodeId> troubled;
    std::map<std::uint32_t, std::shared_ptr<const Diagnostic>> rings;
    const auto store = [&](graph::NodeId node, Ref ref, Value v) {
        Value& old = ref.slot == Ref::kJob ? m_givens[ref.quantity].value : at(ref.slot).values.values[ref.quantity];
        const bool changed = !eval::sameValue(old, v) || !sameProblem(old.problem, v.problem) || old.blockedBy != v.blockedBy;
        if (changed) {
            if (!v.known() || !old.known()) troubled.push_back(node);
            if (ref.slot != Ref::kJob) forgetView(at(ref.slot));
        }
        old = std::move(v);
        return changed;
    };
    const auto enter = [&](graph::NodeId node) -> std::optional<Ref> {
        const Ref ref = m_owners[node.index()];
        if (ref.slot == Ref::kNobody) return std::nullopt;
        if (!m_cancelled && m_options.cancelled && m_options.cancelled()) m_cancelled = true;
        if (m_options.progress && (count & 255U) == 0) m_options.progress({Progress::Stage::Calculating, count, m_graph.size()});
        if (m_cancelled) {
            m_skipped.push_back(node);
            return std::nullopt;
        }
        ++count;
        if (m_keepLog) m_log.push_back(nameOf(ref));
        return ref;
    };
    // The common case, a row of a sheet that had no trouble: worked out in its place, which costs less than
    // making a value and moving it there.
    const auto inPlace = [&](graph::NodeId node, Ref ref) -> std::optional<bool> {
        if (ref.slot == Ref::kJob) return std::nullopt;
        Member& m = at(ref.slot);
        const meaning::Quantity& q = m.sheet->sheet->quantities[ref.quantity];
        Value& value = m.values.values[ref.quantity];
        if (q.broken || value.problem || m.statement(ref.quantity) != nullptr) return std::nullopt;
        const bool wasKnown = value.known();
        const meaning::QuantityId blockedBy = value.blockedBy;
        bool changed = m.sheet->program->update(q.id, m.values);
        if (value.problem && value.state == State::Failed && !m_single) {
            Diagnostic d = *value.problem;
            d.member = m.mark;
            value.problem = std::make_shared<const Diagnostic>(std::move(d));
        }
        changed = changed || value.problem || value.blockedBy != blockedBy;
        if (changed) {
            if (!wasKnown || !value.known()) troubled.push_back(node);
            forgetView(m);
        }
        return changed;
    };
    m_graph.update(
        [&](graph::NodeId node) {
            const auto ref = enter(node);
            if (!ref) return false;
            if (const auto done = inPlace(node, *ref)) return *done;
            return store(node, *ref, work(*ref));
        },
        [&](graph::NodeId node) {
            const auto ref = enter(node);
            return ref && store(node, *ref, failed(ringProblem(node, rings)));
        });
    m_cancelled = false;
    if (count > 0) {
        m_causes.clear();
        m_ticksStale = true;
    }
    // What is blocked names the cause at the end of its chain, which can change without its own value changing.
    const bool anyView = !troubled.empty() && std::any_of(m_members.begin(), m_members.end(), [](const auto& m) { return m->view != nullptr; });
    if (anyView) {
        std::vector<char> seen(m_graph.size(), 0);
        while (!troubled.empty()) {
            const graph::NodeId at_ = troubled.back();
            troubled.pop_back();
            if (seen[at_.index()] != 0) continue;
            seen[at_.index()] = 1;
            spoilView(m_owners[at_.index()].slot);
            for (graph::NodeId f : m_graph.feeds(at_)) troubled.push_back(f);
        }
    }
    return count;
}

} // namespace spanwright::job
