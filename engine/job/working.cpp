// SPDX-License-Identifier: MIT
// How one value came about.
#include <algorithm>
#include <cmath>
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

using Trace = eval::Program::Trace;

/// Nodes that have no one value in this case: they vary with a range's variable or with an axis that a
/// reduction goes through.
class Varying {
public:
    Varying(const meaning::Sheet& sheet, ExprId root) : m_sheet(sheet), m_varies(sheet.exprs.nodes.size() ? root.index() + 1 : 0, 0) { visit(root); }
    [[nodiscard]] bool operator()(ExprId id) const { return id.index() < m_varies.size() && m_varies[id.index()] != 0; }

private:
    bool visit(ExprId id) {
        const Expr& e = m_sheet.exprs.at(id);
        bool varies = e.kind == ExprKind::Bound;
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
    std::vector<char> m_varies;
    std::vector<QuantityId> m_axes;
};

bool isLeaf(ExprKind k) {
    switch (k) {
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
        } else if (q.kind != Kind::Beam && q.kind != Kind::Plot && q.kind != Kind::Piece && q.kind != Kind::Schedule &&
                   q.kind != Kind::Sketch) {
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
        if ((e.kind == ExprKind::ChoiceField || e.kind == ExprKind::AxisField) && m.values.at(e.quantity).table)
            unit = columnUnit(*m.values.at(e.quantity).table, e.index, e.dimension);
        if ((e.kind == ExprKind::TableField || e.kind == ExprKind::MatrixField) && e.table.valid())
            unit = columnUnit(*sheet.tables[e.table.index()], e.index, e.dimension);
        return units::showValue(number, unit);
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
                    addOnce(out.details, "beam " + sheet.at(e.quantity).name + ": equilibrium residual " + base::shortest(b.solved->residual()) +
                                             (b.solved->hasDeflection() ? ", accuracy " + base::shortest(b.solved->accuracy()) : std::string()));
                break;
            }
            default: break;
            }
        }
    };

    if (s != nullptr && !s->patch) {
        if (s->sort == Statement::Sort::Link && s->link) {
            out.hasFormula = true;
            const meaning::Naming names = meaning::namingOf(*s->link);
            out.formula = meaning::typeset(s->link->exprs, s->link->root, names);
            const meaning::PutIn values{[&](ExprId id) -> std::optional<std::string> {
                                            const Expr& e = s->link->exprs.at(id);
                                            if (e.kind != ExprKind::External || e.index >= s->references.size()) return std::nullopt;
                                            const Ref r = s->references[e.index];
                                            const Value& read = valueOf(r);
                                            if (!read.known() || !read.many.empty()) return std::nullopt;
                                            const meaning::Quantity& from =
                                                r.slot == Ref::kJob ? m_givens[r.quantity].quantity : at(r.slot).sheet->sheet->quantities[r.quantity];
                                            return shownOne(from, read, read.one);
                                        },
                                        {}};
            out.putIn = meaning::typeset(s->link->exprs, s->link->root, names, &values);
        }
        if (s->sort == Statement::Sort::List) addOnce(out.details, "rows stated by the job");
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
        addOnce(out.details, "equilibrium residual " + base::shortest(v.solved->residual()));
        if (v.solved->hasDeflection()) addOnce(out.details, "accuracy of deflections " + base::shortest(v.solved->accuracy()));
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
            n = {at(r.slot).mark, nameFor(r.slot, r), other.what, shownValue(r.slot, other)};
        }
        return n;
    };
    const graph::NodeId node = nodeOf(ref);
    for (graph::NodeId read : m_graph.reads(node))
        if (m_owners[read.index()].slot != Ref::kNobody) out.comesFrom.push_back(neighbour(m_owners[read.index()]));
    std::vector<Ref> feeds;
    for (graph::NodeId f : m_graph.feeds(node))
        if (m_owners[f.index()].slot != Ref::kNobody) feeds.push_back(m_owners[f.index()]);
    std::sort(feeds.begin(), feeds.end(), [&](Ref a, Ref b) {
        const auto place = [&](Ref r) { return r.slot == Ref::kJob ? 0U : r.slot == slot ? 1U : at(r.slot).place + 2; };
        return std::pair(place(a), a.quantity) < std::pair(place(b), b.quantity);
    });
    for (Ref f : feeds) out.feeds.push_back(neighbour(f));
    return out;
}

std::optional<PlotView> Core::plot(std::uint32_t slot, const meaning::Quantity& q, int points) const {
    const Member& m = at(slot);
    if (q.kind != Kind::Plot || q.broken || !m.values.at(q.id).known()) return std::nullopt;
    const meaning::Sheet& sheet = *m.sheet->sheet;
    const meaning::PlotDefinition& plot = sheet.plots[q.plot];
    if (plot.points.size() < 2) return std::nullopt;
    eval::Program& program = *m.sheet->program;
    std::vector<double> ends;
    for (ExprId point : plot.points) {
        const auto x = program.scalar(point, {}, m.values);
        if (!x || !std::isfinite(*x)) return std::nullopt;
        ends.push_back(*x);
    }
    const double from = ends.front();
    const double to = ends.back();
    if (!(to > from)) return std::nullopt;
    std::vector<double> x;
    const int n = std::clamp(points, 2, 10001);
    for (int i = 0; i < n; ++i) x.push_back(i + 1 == n ? to : from + (to - from) * i / (n - 1));
    // Both sides of every named kink and of the breaks of the lines that are drawn, so that a jump is upright.
    const double sideways = (to - from) * 1e-9;
    const auto kink = [&](double at_) {
        for (double d : {-sideways, 0.0, sideways})
            if (at_ + d >= from && at_ + d <= to) x.push_back(at_ + d);
    };
    for (double e : ends) kink(e);
    for (QuantityId read : readsOf(sheet, {plot.body}))
        if (sheet.at(read).kind == Kind::Beam && m.values.at(read).solved)
            for (double b : m.values.at(read).solved->breaks()) kink(b);
    std::sort(x.begin(), x.end());
    x.erase(std::unique(x.begin(), x.end()), x.end());

    PlotView out;
    out.name = q.name;
    out.what = q.what;
    out.xName = plot.variable;
    const units::Unit xUnit = unitOf(*m.sheet, plot.points.back());
    const units::Unit yUnit = q.unit.dimension == q.dimension ? q.unit : units::habitualUnit(q.dimension);
    out.xUnit = xUnit.shown;
    out.yUnit = yUnit.shown;
    for (double v : x) out.x.push_back(units::fromSi(v, xUnit));
    const Expr& body = sheet.exprs.at(plot.body);
    const std::vector<QuantityId> axes(body.axes.begin(), body.axes.end());
    const std::size_t cases = caseCount(slot, axes);
    for (std::size_t c = 0; c < cases; ++c) {
        PlotView::Curve curve;
        curve.label = axes.empty() ? std::string() : caseLabel(slot, axes, c);
        std::vector<double> y;
        if (program.sample(plot.body, plot.slot, x, axisRows(m.values, axes, c), m.values, y) && y.size() == x.size())
            for (double v : y) curve.y.push_back(units::fromSi(v, yUnit));
        else
            curve.y.assign(x.size(), std::nan(""));
        out.curves.push_back(std::move(curve));
    }
    return out;
}

} // namespace spanwright::job
