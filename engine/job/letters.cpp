// SPDX-License-Identifier: MIT
// Letters over a value's whole upstream: each row's own part is digested together with the digests of what
// it reads, so that one pass in dependency order serves every value, and an edit spoils only what is downstream.
#include <algorithm>
#include <tuple>

#include "engine/job/core.h"

namespace spanwright::job {

using meaning::Expr;
using meaning::ExprId;
using meaning::ExprKind;

namespace {

std::string asText(const Digest& d) { return {reinterpret_cast<const char*>(d.data()), sizeof(d)}; }

/// A default that is a plain number: it counts as a stated value, not as a formula.
std::optional<double> literal(const meaning::Sheet& sheet, ExprId id) {
    if (!id.valid()) return std::nullopt;
    const Expr& e = sheet.exprs.at(id);
    if (e.kind == ExprKind::Constant && e.type == meaning::Type::Number) return e.value;
    if (e.kind == ExprKind::Negate)
        if (const auto v = literal(sheet, e.children[0])) return -*v;
    return std::nullopt;
}

struct Used {
    std::vector<char> functions;
    std::vector<std::uint32_t> functionList, tables;
};

void gather(const meaning::Sheet& sheet, ExprId root, Used& used) {
    if (!root.valid()) return;
    std::vector<ExprId> stack{root};
    while (!stack.empty()) {
        const Expr& e = sheet.exprs.at(stack.back());
        stack.pop_back();
        if (e.table.valid() && !e.quantity.valid()) used.tables.push_back(e.table.value);
        if (e.function.valid() && used.functions[e.function.index()] == 0) {
            used.functions[e.function.index()] = 1;
            used.functionList.push_back(e.function.value);
            if (sheet.functions[e.function.index()].body.valid()) stack.push_back(sheet.functions[e.function.index()].body);
        }
        for (ExprId child : e.children) stack.push_back(child);
    }
}

std::vector<ExprId> rootsOf(const meaning::Sheet& sheet, const meaning::Quantity& q) {
    std::vector<ExprId> roots{q.formula, q.right};
    const auto add = [&](const std::vector<ExprId>& more) { roots.insert(roots.end(), more.begin(), more.end()); };
    switch (q.kind) {
    case Kind::Beam: {
        const meaning::BeamDefinition& b = sheet.beams[q.beam];
        add({b.from, b.to, b.stiffnessEI, b.stiffnessGA, b.stiffnessRelief});
        for (const auto& s : b.supports) add({s.at, s.sink, s.onlyIf});
        for (const auto& l : b.loads) add({l.size, l.sizeEnd, l.from, l.to, l.at, l.onlyIf});
        break;
    }
    case Kind::Plot:
        add(sheet.plots[q.plot].points);
        add({sheet.plots[q.plot].body});
        break;
    case Kind::Piece:
        add(sheet.pieces[q.plot].sizes);
        add({sheet.pieces[q.plot].count, sheet.pieces[q.plot].breadthEnd, sheet.pieces[q.plot].at, sheet.pieces[q.plot].density, sheet.pieces[q.plot].deep,
             sheet.pieces[q.plot].onlyIf});
        for (const auto& o : sheet.pieces[q.plot].operations) add({o.amount});
        break;
    case Kind::Schedule: add(sheet.schedules[q.plot].sizes); break;
    case Kind::Sketch:
        for (const auto& m : sheet.sketches[q.plot].marks) {
            for (const auto& p : m.points) add({p.x, p.y});
            add({m.offset, m.value, m.onlyIf});
        }
        break;
    default: break;
    }
    return roots;
}

/// What a row of a sheet brings in by itself, whoever uses the sheet.
RowDigest digestOf(const meaning::Sheet& sheet, const meaning::Quantity& q) {
    RowDigest out;
    const std::vector<syntax::Row>& rows = sheet.document->rows();
    const syntax::Row& row = rows[q.row];
    out.formula = std::string(kindWord(q.kind)) + " " + q.name + " " + q.dimension.text();
    switch (q.kind) {
    case Kind::Ask:
    case Kind::Choose:
    case Kind::List: break;
    case Kind::Given:
        if (!literal(sheet, q.formula)) out.formula += " = " + canonicalText(row, row->formula.span);
        break;
    case Kind::Derive:
    case Kind::Check:
    case Kind::Require: out.formula += " = " + canonicalText(row, row->formula.span); break;
    case Kind::Condition: out.formula += canonicalText(row, row->condition.span); break;
    case Kind::Switch: break;
    case Kind::Beam:
    case Kind::Sketch:
        out.formula += canonicalRow(row);
        for (std::uint32_t i = q.row + 1; i < rows.size() && rows[i].owner == q.row; ++i) out.formula += "\n" + canonicalRow(rows[i]);
        break;
    default: out.formula += canonicalRow(row); break;
    }
    Used used;
    used.functions.assign(sheet.functions.size(), 0);
    if (!q.broken)
        for (ExprId root : rootsOf(sheet, q)) gather(sheet, root, used);
    std::vector<std::string> more;
    for (std::uint32_t f : used.functionList) more.push_back(canonicalRow(rows[sheet.functions[f].row]));
    std::sort(more.begin(), more.end());
    for (const std::string& f : more) out.formula += "\n" + f;

    std::vector<std::string> tables;
    for (std::uint32_t t : used.tables)
        if (sheet.tables[t]) tables.push_back(asText(tableDigest(*sheet.tables[t])));
    if ((q.kind == Kind::Choose || q.kind == Kind::Each) && q.table && !q.list.valid()) tables.push_back(asText(tableDigest(*q.table)));
    std::sort(tables.begin(), tables.end());
    tables.erase(std::unique(tables.begin(), tables.end()), tables.end());
    for (const std::string& t : tables) out.tables += t;
    out.tables += q.source;
    return out;
}

} // namespace

void Core::forgetLetters(Ref ref) const {
    m_fingerprint.reset();
    m_ticksStale = true;
    if (m_groupsKnown.empty()) return;
    m_groupsKnown.resize(m_graph.size(), 0);
    // Known letters mean known letters upstream; so nothing is known behind what is not.
    std::vector<graph::NodeId> stack{nodeOf(ref)};
    for (bool first = true; !stack.empty(); first = false) {
        const graph::NodeId n = stack.back();
        stack.pop_back();
        if (m_groupsKnown[n.index()] == 0 && !first) continue;
        m_groupsKnown[n.index()] = 0;
        for (graph::NodeId f : m_graph.feeds(n)) stack.push_back(f);
    }
}

const Groups* Core::groupsOf(Ref ref) const {
    const graph::NodeId target = nodeOf(ref);
    m_groups.resize(m_graph.size());
    m_groupsKnown.resize(m_graph.size(), 0);
    if (m_groupsKnown[target.index()] != 0) return &m_groups[target.index()];
    std::vector<graph::NodeId> pending = m_graph.upstream(target);
    pending.push_back(target);
    for (graph::NodeId n : pending) {
        if (m_groupsKnown[n.index()] != 0) continue;
        if (m_graph.onCycle(n)) return nullptr;
        const Ref r = m_owners[n.index()];
        if (r.slot == Ref::kNobody) continue;
        Digester formulas, values, tables;
        const Statement* s = nullptr;
        if (r.slot == Ref::kJob) {
            const JobGiven& g = m_givens[r.quantity];
            s = &g.statement;
            formulas.text("given " + g.quantity.name + " " + g.quantity.dimension.text());
            tables.text(g.quantity.source);
        } else {
            const Member& m = at(r.slot);
            const meaning::Sheet& sheet = *m.sheet->sheet;
            const meaning::Quantity& q = sheet.quantities[r.quantity];
            s = m.statement(r.quantity);
            auto& known = m.sheet->rowDigests;
            known.resize(sheet.quantities.size());
            if (!known[r.quantity]) known[r.quantity] = digestOf(sheet, q);
            const RowDigest& own = *known[r.quantity];
            // A given's default formula does not count where the job states its value.
            formulas.text(s != nullptr && q.kind == Kind::Given ? "given " + q.name + " " + q.dimension.text() : own.formula);
            tables.text(own.tables);
            if (s == nullptr) {
                if (q.kind == Kind::Given)
                    if (const auto v = literal(sheet, q.formula)) values.text(q.name).number(*v);
                if (q.kind == Kind::Choose && q.defaultRow && q.table) values.text(q.name).text(q.table->rowLabel(*q.defaultRow));
                if (q.kind == Kind::List && q.table) values.text(q.name).digest(tableDigest(*q.table));
            }
        }
        if (s != nullptr) {
            const std::string name = r.slot == Ref::kJob ? m_givens[r.quantity].quantity.name : at(r.slot).sheet->sheet->quantities[r.quantity].name;
            switch (s->sort) {
            case Statement::Sort::Value: values.text(name).number(s->si); break;
            case Statement::Sort::Key: {
                // As the table writes it, if it has it: quotes and blanks do not count.
                const eval::Value& v = valueOf(r);
                values.text(name).text(v.known() && v.table ? v.table->rowLabel(static_cast<std::uint32_t>(v.one)) : s->key);
                break;
            }
            case Statement::Sort::List:
                values.text(name).digest(tableDigest(*s->table));
                for (const Statement::Cell& c : s->cells) formulas.text(canonicalText(m_document.rows()[c.line], c.span));
                break;
            case Statement::Sort::Link: {
                const syntax::Document& document = s->own ? *s->own : m_document;
                formulas.text(canonicalText(document.rows()[s->row], s->span));
                break;
            }
            default: values.text(name).text(s->text); break;
            }
        }
        std::vector<std::pair<std::string, const Groups*>> reads;
        for (graph::NodeId read : m_graph.reads(n)) {
            const Ref other = m_owners[read.index()];
            if (other.slot == Ref::kNobody) continue;
            std::string name = other.slot == Ref::kJob ? m_givens[other.quantity].quantity.name : at(other.slot).sheet->sheet->quantities[other.quantity].name;
            reads.emplace_back(std::move(name), &m_groups[read.index()]);
        }
        // By name and content: neither the order of rows in a text nor that of members counts.
        std::sort(reads.begin(), reads.end(), [](const auto& a, const auto& b) {
            return std::tie(a.first, a.second->formulas, a.second->values, a.second->tables) <
                   std::tie(b.first, b.second->formulas, b.second->values, b.second->tables);
        });
        for (const auto& [name, groups] : reads) {
            formulas.digest(groups->formulas);
            values.digest(groups->values);
            tables.digest(groups->tables);
        }
        m_groups[n.index()] = {formulas.done(), values.done(), tables.done()};
        m_groupsKnown[n.index()] = 1;
    }
    return &m_groups[target.index()];
}

std::string Core::letters(Ref ref) const {
    if (!valueOf(ref).known()) return {};
    const Groups* g = groupsOf(ref);
    return g == nullptr ? std::string() : nineLetters(*g);
}

const std::vector<TickView>& Core::ticks() const {
    if (!m_ticksStale) return m_ticks;
    m_ticksStale = false;
    for (TickView& tick : m_ticks) {
        tick.state = TickView::State::Unknown;
        tick.changed.clear();
        const auto slot = slotOf(tick.member);
        if (!slot || at(*slot).sheet == nullptr || !at(*slot).sheet->sheet) continue;
        const meaning::Quantity* q = at(*slot).sheet->sheet->find(tick.name);
        if (q == nullptr) continue;
        const std::string now = letters({*slot, q->id.value});
        if (now.empty()) continue;
        tick.state = tick.letters == now ? TickView::State::Current : TickView::State::OutOfDate;
        constexpr const char* kGroups[] = {"formulas", "stated values", "tables and sources"};
        for (std::size_t g = 0; g < 3; ++g)
            if (tick.letters.size() != now.size() || tick.letters.compare(4 * g, 3, now, 4 * g, 3) != 0)
                tick.changed += (tick.changed.empty() ? "" : ", ") + std::string(kGroups[g]);
    }
    return m_ticks;
}

std::string Core::fingerprint() const {
    if (m_fingerprint) return *m_fingerprint;
    Digester formulas, values, tables;
    if (m_unreadable) values.text(m_unreadable->message);
    for (const JobGiven& g : m_givens) {
        if (g.gone) continue;
        formulas.text(g.quantity.name).text(g.quantity.dimension.text());
        if (g.statement.sort == Statement::Sort::Value)
            values.text(g.quantity.name).number(g.statement.si);
        else
            values.text(g.quantity.name).text(g.statement.text);
        tables.text(g.quantity.source);
    }
    std::map<std::string, Groups> sheets; // each sheet's rows are gone through once
    for (std::uint32_t slot : m_order) {
        const Member& m = at(slot);
        values.text(m.mark).number(m.count).text(m.sheetName);
        if (m.sheet == nullptr || !m.sheet->sheet) continue;
        if (m.sheet->ahead) catchUp(*m.sheet);
        const meaning::Sheet& sheet = *m.sheet->sheet;
        auto known = sheets.find(m.sheet->path);
        if (known == sheets.end()) {
            Digester f, t;
            for (const syntax::Row& row : sheet.document->rows()) {
                const std::string text = canonicalRow(row);
                if (!text.empty()) f.text(text);
                if (row->source.present()) t.text(row->source.text);
            }
            for (const std::string& basis : sheet.basis) t.text(basis);
            for (const auto& table : sheet.tables)
                if (table) t.digest(tableDigest(*table));
            known = sheets.emplace(m.sheet->path, Groups{f.done(), {}, t.done()}).first;
        }
        formulas.digest(known->second.formulas);
        tables.digest(known->second.tables);
        for (const auto& [id, s] : m.stated) {
            values.text(sheet.quantities[id].name);
            switch (s.sort) {
            case Statement::Sort::Value: values.number(s.si); break;
            case Statement::Sort::List:
                values.digest(tableDigest(*s.table));
                for (const Statement::Cell& c : s.cells) values.text(canonicalText(m_document.rows()[c.line], c.span));
                break;
            case Statement::Sort::Link: values.text(canonicalText((s.own ? *s.own : m_document).rows()[s.row], s.span)); break;
            default: values.text(s.text); break;
            }
        }
    }
    m_fingerprint = nineLetters({formulas.done(), values.done(), tables.done()});
    return *m_fingerprint;
}

} // namespace spanwright::job
