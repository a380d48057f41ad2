// SPDX-License-Identifier: MIT
// How one value came about.
#include <algorithm>
#include <cmath>
#include <map>
#include <set>

#include "engine/base/text.h"
#include "engine/job/core.h"

namespace spanwright::job {

using eval::State;
using eval::Value;
using meaning::Expr;
using meaning::ExprId;
using meaning::ExprKind;

namespace {

/// A number of which only the size matters.
std::string small(double v) { return units::showNumber(v, {}, {2, {}, {}}); }

using Trace = eval::Program::Trace;

const meaning::Function::Parameter* parameterOf(const meaning::Function* f, const Expr& e) {
    if (f == nullptr || e.kind != ExprKind::Bound) return nullptr;
    const auto found = std::find_if(f->parameters.begin(), f->parameters.end(), [&](const auto& p) { return p.slot == e.index; });
    return found == f->parameters.end() ? nullptr : &*found;
}

/// Nodes that have no one value in this case: they vary with a range's variable or with an axis that a
/// reduction goes through.
class Varying {
public:
    /// `given`: a function whose parameters are given values.
    Varying(const meaning::Sheet& sheet, ExprId root, const meaning::Function* given = nullptr)
        : m_sheet(sheet), m_given(given), m_varies(sheet.exprs.nodes.size() ? root.index() + 1 : 0, 0) {
        visit(root);
    }
    [[nodiscard]] bool operator()(ExprId id) const { return id.index() < m_varies.size() && m_varies[id.index()] != 0; }

private:
    bool visit(ExprId id) {
        const Expr& e = m_sheet.exprs.at(id);
        bool varies = e.kind == ExprKind::Bound && parameterOf(m_given, e) == nullptr;
        for (QuantityId axis : e.axes) varies = varies || std::find(m_axes.begin(), m_axes.end(), axis) != m_axes.end();
        const bool scope = e.kind == ExprKind::Reduce || e.kind == ExprKind::Span;
        for (std::size_t i = 0; i < e.children.size(); ++i) {
            const bool inside = scope && i == 0;
            if (inside && e.kind == ExprKind::Reduce) m_axes.push_back(e.quantity);
            const bool child = visit(e.children[i]);
            if (inside && e.kind == ExprKind::Reduce) m_axes.pop_back();
            varies = varies || (child && !inside);
        }
        if (id.index() < m_varies.size()) m_varies[id.index()] = varies ? 1 : 0;
        return varies;
    }
    const meaning::Sheet& m_sheet;
    const meaning::Function* m_given;
    std::vector<char> m_varies;
    std::vector<QuantityId> m_axes;
};

/// What has a value of its own where values are put in. What functions of the sheet come to stands among the asides.
bool isLeaf(ExprKind k) {
    switch (k) {
    case ExprKind::UserCall:
    case ExprKind::Quantity:
    case ExprKind::External:
    case ExprKind::ChoiceField:
    case ExprKind::ChoiceKey:
    case ExprKind::AxisField:
    case ExprKind::AxisKey:
    case ExprKind::TableField:
    case ExprKind::MatrixField:
    case ExprKind::BeamValue: return true;
    default: return false;
    }
}

std::string_view relationSign(syntax::Op op) {
    switch (op) {
    case syntax::Op::Less: return "<";
    case syntax::Op::LessEqual: return "≤";
    case syntax::Op::Greater: return ">";
    case syntax::Op::GreaterEqual: return "≥";
    case syntax::Op::Equal: return "=";
    case syntax::Op::NotEqual: return "≠";
    default: return {};
    }
}

void addOnce(std::vector<std::string>& list, std::string text) {
    if (!text.empty() && std::find(list.begin(), list.end(), text) == list.end()) list.push_back(std::move(text));
}

} // namespace

Working Core::working(std::uint32_t slot, const meaning::Quantity& q, std::optional<std::size_t> caseIndex) const {
    const Member& m = at(slot);
    const meaning::Sheet& sheet = *m.sheet->sheet;
    const Value& v = m.values.at(q.id);
    const Ref ref{slot, q.id.value};
    const Statement* s = m.statement(q.id.value);
    Working out;
    out.member = m.mark;
    out.name = q.name;
    out.what = q.what;
    out.source = q.source;
    out.note = q.note;
    out.kind = std::string(kindWord(q.kind));
    out.state = v.state;
    out.reason = reasonOf(slot, ref);
    out.symbol = meaning::typesetName(q.name);
    out.letters = letters(ref);

    // Which case: the one asked for, else the one that governs.
    const std::size_t cases = q.axes.empty() ? 1 : v.many.size();
    std::size_t index = caseIndex.value_or(0);
    std::optional<CheckView> checked;
    if (q.kind == Kind::Check || q.kind == Kind::Require) checked = check(slot, q);
    if (!caseIndex && checked) index = checked->governingCase;
    if (!caseIndex && !checked && v.known() && q.type == meaning::Type::Number && !v.many.empty())
        index = static_cast<std::size_t>(std::max_element(v.many.begin(), v.many.end(), [](double a, double b) { return std::fabs(a) < std::fabs(b); }) -
                                         v.many.begin());
    if (index >= cases) index = 0;
    const std::vector<std::size_t> rows = axisRows(m.values, q.axes, index);
    if (!q.axes.empty() && cases > 0) out.caseLabel = caseLabel(slot, q.axes, index);

    if (v.known() && cases > 0) {
        if (checked && q.kind == Kind::Check && index < checked->cases.size()) {
            meaning::Quantity shown = q;
            shown.type = meaning::Type::Number;
            const bool leftNamed = q.formula.valid() && (sheet.exprs.at(q.formula).kind == ExprKind::Quantity || !q.right.valid());
            shown.dimension = sheet.exprs.at(q.formula).dimension;
            shown.unit = q.unit.dimension == shown.dimension && !q.unit.shown.empty() ? q.unit : unitOf(*m.sheet, leftNamed ? q.formula : q.right);
            out.shown = shownOne(shown, v, checked->cases[index].left);
            out.rightShown = shownOne(shown, v, checked->cases[index].right);
            out.utilisation = checked->cases[index].utilisation;
            if (out.reason.empty() && checked->cases[index].state != CheckView::State::Passes && index == checked->governingCase) out.reason = checked->reason;
        } else if (q.kind == Kind::Choose || q.kind == Kind::Each || q.kind == Kind::List) {
            out.shown = shownValue(slot, q);
        } else if (q.kind != Kind::Beam && q.kind != Kind::Plot && q.kind != Kind::Piece && q.kind != Kind::Schedule && q.kind != Kind::Sketch) {
            out.shown = shownOne(q, v, v.data()[index]);
        }
    }

    std::set<const meaning::Table*> tables;
    const auto useTable = [&](const std::shared_ptr<const meaning::Table>& t) {
        if (t && tables.insert(t.get()).second) addOnce(out.tableSources, t->comment.empty() ? std::string() : t->name + ": " + t->comment);
    };
    const auto columnUnit = [&](const meaning::Table& t, std::uint32_t column, const units::Dimension& d) {
        if (t.isMatrix && t.matrixUnit.dimension == d) return t.matrixUnit;
        if (column < t.columns.size() && t.columns[column].unit.dimension == d) return t.columns[column].unit;
        return units::habitualUnit(d);
    };
    const auto leafShown = [&](const Expr& e, double number) -> std::string {
        if (e.kind == ExprKind::Quantity) {
            const meaning::Quantity& read = sheet.at(e.quantity);
            return shownOne(read, m.values.at(e.quantity), number);
        }
        if (e.type == meaning::Type::Text || e.type == meaning::Type::Row || e.kind == ExprKind::ChoiceKey || e.kind == ExprKind::AxisKey)
            return m_texts.textOf(number);
        if (e.type == meaning::Type::Truth) return number != 0.0 ? "yes" : "no";
        units::Unit unit = units::habitualUnit(e.dimension);
        if (e.kind == ExprKind::UserCall) unit = unitOf(*m.sheet, sheet.functions[e.function.index()].body);
        if ((e.kind == ExprKind::ChoiceField || e.kind == ExprKind::AxisField) && m.values.at(e.quantity).table)
            unit = columnUnit(*m.values.at(e.quantity).table, e.index, e.dimension);
        if ((e.kind == ExprKind::TableField || e.kind == ExprKind::MatrixField) && e.table.valid())
            unit = columnUnit(*sheet.tables[e.table.index()], e.index, e.dimension);
        return units::showValue(number, unit);
    };
    // A function of the sheet that was called: its formula, and the same with its arguments put in.
    const auto addCall = [&](const Trace::Call& c) {
        const meaning::Function& f = sheet.functions[sheet.exprs.at(c.call).function.index()];
        std::string given;
        meaning::Box parameters;
        for (std::size_t i = 0; i < f.parameters.size() && i < c.arguments.size(); ++i) {
            const meaning::Function::Parameter& parameter = f.parameters[i];
            given += (given.empty() ? "" : ", ") + parameter.name + " = " + units::showValue(c.arguments[i], parameter.unit);
            if (i > 0) parameters.children.push_back({meaning::Box::Kind::Operator, ",", {}});
            parameters.children.push_back(meaning::typesetName(parameter.name));
        }
        Working::Aside a;
        a.name = f.name + "(" + given + ")";
        if (std::any_of(out.asides.begin(), out.asides.end(), [&](const Working::Aside& other) { return other.name == a.name; })) return;
        a.what = f.what;
        a.source = f.source;
        a.symbol.children = {meaning::typesetName(f.name), {meaning::Box::Kind::Fence, "(", {parameters}}};
        const std::map<ExprId, Trace::Step> steps(c.body.begin(), c.body.end());
        const auto step = [&](ExprId id) -> const Trace::Step* {
            const auto at_ = steps.find(id);
            return at_ == steps.end() || !at_->second.visited ? nullptr : &at_->second;
        };
        const Varying varies(sheet, f.body, &f);
        const meaning::PutIn values{[&](ExprId id) -> std::optional<std::string> {
                                        const Expr& e = sheet.exprs.at(id);
                                        if (const auto* parameter = parameterOf(&f, e))
                                            return units::showValue(c.arguments[static_cast<std::size_t>(parameter - f.parameters.data())], parameter->unit);
                                        const Trace::Step* at_ = step(id);
                                        if (at_ == nullptr || !isLeaf(e.kind) || varies(id)) return std::nullopt;
                                        return leafShown(e, at_->value);
                                    },
                                    [&](ExprId id) -> std::optional<int> {
                                        const Trace::Step* at_ = step(id);
                                        if (at_ == nullptr || at_->branch < 0) return std::nullopt;
                                        return at_->branch;
                                    }};
        const meaning::Naming names = meaning::namingOf(sheet);
        a.formula = meaning::typeset(sheet.exprs, f.body, names);
        a.putIn = meaning::typeset(sheet.exprs, f.body, names, &values);
        const Expr& body = sheet.exprs.at(f.body);
        a.shown = body.type == meaning::Type::Number ? units::showValue(c.value, unitOf(*m.sheet, f.body)) : leafShown(body, c.value);
        out.asides.push_back(std::move(a));
    };
    // The formula, with values put in from a walk of its tree in this case.
    const auto setFormula = [&](ExprId root, meaning::Box& formula, meaning::Box& putIn) {
        const meaning::Naming names = meaning::namingOf(sheet);
        formula = meaning::typeset(sheet.exprs, root, names);
        if (m.values.values.empty()) return;
        const Expr& top = sheet.exprs.at(root);
        const Trace trace = m.sheet->program->trace(root, axisRowsFor(top, q.axes, rows), m.values);
        const Varying varies(sheet, root);
        const auto step = [&](ExprId id) -> const Trace::Step* {
            if (id.index() >= trace.steps.size() || !trace.steps[id.index()].visited) return nullptr;
            return &trace.steps[id.index()];
        };
        const meaning::PutIn values{[&](ExprId id) -> std::optional<std::string> {
                                        const Expr& e = sheet.exprs.at(id);
                                        const Trace::Step* at_ = step(id);
                                        // A walk that broke off has not been everywhere; what is known is put in all the same.
                                        if (at_ == nullptr && !v.known() && e.kind == ExprKind::Quantity && e.axes.empty() && m.values.at(e.quantity).known())
                                            return leafShown(e, m.values.at(e.quantity).one);
                                        if (at_ == nullptr || !isLeaf(e.kind) || varies(id)) return std::nullopt;
                                        return leafShown(e, at_->value);
                                    },
                                    [&](ExprId id) -> std::optional<int> {
                                        const Trace::Step* at_ = step(id);
                                        if (at_ == nullptr || at_->branch < 0) return std::nullopt;
                                        return at_->branch;
                                    }};
        putIn = meaning::typeset(sheet.exprs, root, names, &values);
        for (const Trace::Call& c : trace.calls) addCall(c);
        std::vector<ExprId> stack{root};
        while (!stack.empty()) {
            const ExprId id = stack.back();
            stack.pop_back();
            const Expr& e = sheet.exprs.at(id);
            for (std::size_t i = e.children.size(); i-- > 0;) stack.push_back(e.children[i]);
            const Trace::Step* at_ = step(id);
            if (at_ == nullptr || varies(id)) continue;
            switch (e.kind) {
            case ExprKind::If:
                if (at_->branch >= 0 && !e.children.empty()) {
                    const std::string condition = meaning::plain(meaning::typeset(sheet.exprs, e.children[0], names));
                    addOnce(out.details,
                            "branch taken: " + std::string(at_->branch == 0 ? "" : "not ") + (at_->branch == 0 ? condition : "(" + condition + ")"));
                }
                break;
            case ExprKind::Span:
                if (e.range == meaning::RangeOp::Largest || e.range == meaning::RangeOp::Smallest) {
                    const std::string variable = [&] {
                        // The variable's name is written at its uses.
                        for (std::size_t i = 0; i < sheet.exprs.nodes.size() && i <= id.index(); ++i)
                            if (sheet.exprs.nodes[i].kind == ExprKind::Bound && sheet.exprs.nodes[i].index == e.index) return sheet.exprs.nodes[i].writtenText;
                        return std::string("x");
                    }();
                    const units::Unit unit = e.children.size() > 1 ? unitOf(*m.sheet, e.children.back()) : units::Unit{};
                    addOnce(out.details, std::string(e.range == meaning::RangeOp::Largest ? "largest" : "smallest") + " at " + variable + " = " +
                                             units::showValue(at_->place, unit));
                }
                if (at_->sampled)
                    addOnce(out.details, "looked for at 128 places of each piece between kinks, then closer; what is narrower than that may be missed");
                break;
            case ExprKind::TableField:
            case ExprKind::MatrixField: {
                std::shared_ptr<const meaning::Table> t;
                if (e.quantity.valid())
                    t = m.values.at(e.quantity).table;
                else if (e.table.valid())
                    t = sheet.tables[e.table.index()];
                useTable(t);
                if (t && (e.how != meaning::Lookup::Interpolate || e.kind == ExprKind::MatrixField) && at_->place >= 0.0 &&
                    at_->place < static_cast<double>(t->rowCount()))
                    addOnce(out.details, "row " + t->rowLabel(static_cast<std::uint32_t>(at_->place)) + " of " + t->name);
                break;
            }
            case ExprKind::ChoiceField:
            case ExprKind::ChoiceKey: {
                const Value& chosen = m.values.at(e.quantity);
                useTable(chosen.table);
                if (chosen.known() && chosen.table)
                    addOnce(out.details, "row " + chosen.table->rowLabel(static_cast<std::uint32_t>(chosen.one)) + " of " + chosen.table->name);
                break;
            }
            case ExprKind::AxisField:
            case ExprKind::AxisKey: useTable(m.values.at(e.quantity).table); break;
            case ExprKind::BeamValue: {
                const Value& b = m.values.at(e.quantity);
                if (b.solved)
                    addOnce(out.details, "beam " + sheet.at(e.quantity).name + ": equilibrium residual " + small(b.solved->residual()) +
                                             (b.solved->hasDeflection() ? ", accuracy " + small(b.solved->accuracy()) : std::string()));
                break;
            }
            default: break;
            }
        }
    };

    const auto setLink = [&](const meaning::Link& link, const Statement& from, std::size_t first, meaning::Box& formula, meaning::Box& putIn) {
        const meaning::Naming names = meaning::namingOf(link);
        formula = meaning::typeset(link.exprs, link.root, names);
        const meaning::PutIn values{[&](ExprId id) -> std::optional<std::string> {
                                        const Expr& e = link.exprs.at(id);
                                        if (e.kind != ExprKind::External || first + e.index >= from.references.size()) return std::nullopt;
                                        const Ref r = from.references[first + e.index];
                                        const Value& read = valueOf(r);
                                        if (!read.known() || !read.many.empty()) return std::nullopt;
                                        const meaning::Quantity& other =
                                            r.slot == Ref::kJob ? m_givens[r.quantity].quantity : at(r.slot).sheet->sheet->quantities[r.quantity];
                                        return shownOne(other, read, read.one);
                                    },
                                    {}};
        putIn = meaning::typeset(link.exprs, link.root, names, &values);
    };
    if (s != nullptr && !s->patch) {
        if (s->sort == Statement::Sort::Link && s->link) {
            out.hasFormula = true;
            setLink(*s->link, *s, 0, out.formula, out.putIn);
        }
        if (s->sort == Statement::Sort::List) {
            addOnce(out.details, "rows stated by the job");
            for (const Statement::Cell& cell : s->cells) {
                Working::Aside aside;
                const meaning::Table::Column& column = s->table->columns[cell.column];
                aside.name = column.name + " of " + s->table->rowLabel(cell.row);
                aside.symbol = meaning::typesetName(column.name);
                setLink(*cell.link, *s, cell.firstReference, aside.formula, aside.putIn);
                if (v.known() && v.table) aside.shown = units::showValue(v.table->cells[cell.column][cell.row], column.unit);
                out.asides.push_back(std::move(aside));
            }
        }
    } else if (!q.broken && q.formula.valid() && q.kind != Kind::Plot) {
        out.hasFormula = true;
        setFormula(q.formula, out.formula, out.putIn);
        if (q.kind == Kind::Check && q.right.valid()) setFormula(q.right, out.right, out.rightPutIn);
    }
    if (q.kind == Kind::Check) out.relation = std::string(relationSign(q.relation));
    if ((q.kind == Kind::Choose || q.kind == Kind::Each || q.kind == Kind::List) && v.table) {
        useTable(v.table);
        if (q.kind == Kind::Choose && v.known()) addOnce(out.details, "row " + v.table->rowLabel(static_cast<std::uint32_t>(v.one)) + " of " + v.table->name);
    }
    if (q.kind == Kind::Beam && v.solved) {
        addOnce(out.details, "equilibrium residual " + small(v.solved->residual()));
        if (v.solved->hasDeflection()) addOnce(out.details, "accuracy of deflections " + small(v.solved->accuracy()));
        const ExprId end = sheet.beams[q.beam].to;
        const units::Unit along = end.valid() ? unitOf(*m.sheet, end) : units::Unit{};
        std::string supports;
        for (std::size_t i = 0; i < v.solved->supportCount(); ++i) supports += (i > 0 ? ", " : "") + units::showValue(v.solved->supportAt(i), along);
        addOnce(out.details, "supports from left: " + supports);
    }

    const auto neighbour = [&](Ref r) {
        Working::Neighbour n;
        if (r.slot == Ref::kJob) {
            const JobGiven& g = m_givens[r.quantity];
            n = {{}, g.quantity.name, g.quantity.what, g.value.known() ? shownOne(g.quantity, g.value, g.value.one) : std::string()};
        } else {
            const meaning::Quantity& other = at(r.slot).sheet->sheet->quantities[r.quantity];
            // What a view that is there shows is not written out again.
            const auto& view = at(r.slot).view;
            n = {at(r.slot).mark, nameFor(r.slot, r), other.what, view ? view->quantities[r.quantity].shown : shownValue(r.slot, other)};
        }
        return n;
    };
    // What it comes from, and what it feeds, is told for the case told, as the step used it; else it is said that one value stands for many.
    const auto told = [&](Ref r) {
        Working::Neighbour n = neighbour(r);
        if (r.slot == Ref::kJob) return n;
        const meaning::Quantity& other = at(r.slot).sheet->sheet->quantities[r.quantity];
        const Value& read = at(r.slot).values.at(other.id);
        if (!read.known() || other.type != meaning::Type::Number || read.many.size() < 2) return n;
        // A check is told by what governs it.
        if (r.slot == slot && cases > 0 && other.kind != Kind::Check) {
            if (const auto own = caseAt(m.values, other.axes, q.axes, rows)) {
                n.shown = shownOne(other, read, read.many[*own]);
                return n;
            }
        }
        n.shown += ", the largest of " + std::to_string(read.many.size()) + " cases";
        return n;
    };
    const graph::NodeId node = nodeOf(ref);
    for (graph::NodeId read : m_graph.reads(node))
        if (m_owners[read.index()].slot != Ref::kNobody) out.comesFrom.push_back(told(m_owners[read.index()]));
    std::vector<Ref> feeds;
    for (graph::NodeId f : m_graph.feeds(node))
        if (m_owners[f.index()].slot != Ref::kNobody) feeds.push_back(m_owners[f.index()]);
    std::sort(feeds.begin(), feeds.end(), [&](Ref a, Ref b) {
        const auto place = [&](Ref r) { return r.slot == Ref::kJob ? 0U : r.slot == slot ? 1U : at(r.slot).place + 2; };
        return std::pair(place(a), a.quantity) < std::pair(place(b), b.quantity);
    });
    for (Ref f : feeds) out.feeds.push_back(told(f));
    return out;
}

} // namespace spanwright::job
