// SPDX-License-Identifier: MIT
// Types each row of a sheet once, in the order of what rows read.
#include <algorithm>

#include "engine/base/text.h"
#include "engine/meaning/analysis.h"

namespace spanwright::meaning {

using diag::Code;
using Row = syntax::RowParts;
using syntax::Op;
using syntax::RowKind;
using syntax::Tag;

void SheetAnalysis::standIn(std::uint32_t part, bool otherwise) {
    m_standsIn = part < m_sheet.parts.size() ? m_sheet.parts[part].condition : QuantityId();
    m_otherwise = otherwise;
}

void SheetAnalysis::adopt(QuantityId id, Typed t) {
    Quantity& q = quantity(id);
    Info& i = info(id);
    asText(t);
    const Expr& e = at(t);
    q.type = e.type == Type::Nothing ? Type::Number : e.type;
    i.wild = t.wild;
    i.dimension = t.wild ? SharedDimension() : e.dimension;
    q.dimension = i.dimension;
}

void SheetAnalysis::checkTag(QuantityId id, Typed t, base::ByteSpan where, Tag declared) {
    Quantity& q = quantity(id);
    const Tag got = at(t).tag;
    if (declared == Tag::None) {
        q.tag = got;
        return;
    }
    q.tag = declared;
    if (got == Tag::None || got == declared || m_incomplete) return;
    fail(Code::TagMismatch, where,
         quoted(q.name) + " is declared as " + (declared == Tag::Design ? "design" : "characteristic") + ", but its formula gives " + tagWords(got),
         "declare it `as " + std::string(got == Tag::Design ? "design" : "characteristic") + "`, or use values of the declared sort");
}

void SheetAnalysis::finishRow(QuantityId id) {
    Quantity& q = quantity(id);
    if (q.condition.valid()) read(q.condition);
    for (QuantityId axis : q.axes) {
        if (axis != id) read(axis);
    }
    std::sort(m_reads.begin(), m_reads.end());
    m_reads.erase(std::unique(m_reads.begin(), m_reads.end()), m_reads.end());
    q.reads = m_reads;
    if (failed()) {
        if (!q.broken && m_blamesElsewhere) q.causeRow = m_cause;
        q.broken = true;
    }
    if (q.broken) q.formula = q.right = q.low = q.high = q.tolerance = {};
    info(id).typed = true;
}

void SheetAnalysis::typeLimits(QuantityId id, const Row& row, const units::Unit* fallback) {
    Info& i = info(id);
    const auto one = [&](const syntax::Formula& f, const units::Unit* assumed, const char* whose) -> ExprId {
        const Typed t = limit(f, assumed);
        const std::string text = std::string(whose) + " of " + quoted(quantity(id).name);
        if (i.wild || !wantDimension(t, i.dimension, assumed != nullptr ? assumed->shown : unitText(i.dimension), f.span, text) || !wantNoAxes(t, f.span, text))
            return {};
        return t.id;
    };
    const units::Unit* assumed = i.declared || fallback != nullptr ? (i.declared ? &quantity(id).unit : fallback) : nullptr;
    const units::Unit unit = assumed != nullptr ? *assumed : units::Unit{};
    const ExprId low = row.limits.low.present() ? one(row.limits.low, assumed != nullptr ? &unit : nullptr, "the lower limit") : ExprId();
    const ExprId high = row.limits.high.present() ? one(row.limits.high, assumed != nullptr ? &unit : nullptr, "the upper limit") : ExprId();
    quantity(id).low = low;
    quantity(id).high = high;
    if (!row.limits.tolerance.present()) return;
    const Typed t = limit(row.limits.tolerance, nullptr);
    if (!t.wild && at(t).kind == ExprKind::Constant && at(t).writtenUnit->ascii == "%") {
        // a share of the value itself; reading its own row is no dependency
        const syntax::Node whole = row.limits.tolerance.top();
        Typed self;
        {
            Expr& e = make(ExprKind::Quantity, whole, self);
            e.quantity = id;
            e.dimension = i.dimension;
        }
        Typed size;
        {
            Expr& e = make(ExprKind::Builtin, whole, size);
            e.builtin = Builtin::Abs;
            e.dimension = i.dimension;
            e.children.push_back(self.id);
        }
        Typed product;
        Expr& e = make(ExprKind::Multiply, whole, product);
        e.dimension = i.dimension;
        e.children = {size.id, t.id};
        quantity(id).tolerance = product.id;
        return;
    }
    const std::string text = "the tolerance of " + quoted(quantity(id).name);
    if (i.wild || !wantDimension(t, i.dimension, unit.shown.empty() ? unitText(i.dimension) : unit.shown, row.limits.tolerance.span, text)) return;
    if (wantNoAxes(t, row.limits.tolerance.span, text)) quantity(id).tolerance = t.id;
}

void SheetAnalysis::typeAsk(QuantityId id, const Row& row) {
    Info& i = info(id);
    if (!i.declared && (row.limits.low.present() || row.limits.high.present())) {
        // the unit of its limits is the unit it is asked in
        for (const syntax::Formula* f : {&row.limits.high, &row.limits.low}) {
            if (!f->present() || i.declared) continue;
            const std::size_t before = m_out.size();
            const Typed t = limit(*f, nullptr);
            const bool good = !failed();
            m_out.resize(before); // what is wrong with it is told when it is typed as a limit
            beginRow(m_row);
            if (!good || t.wild || at(t).type != Type::Number || at(t).dimension.isNumber()) continue;
            Quantity& q = quantity(id);
            const Expr& e = at(t);
            q.unit = e.kind == ExprKind::Constant ? e.writtenUnit.get() : shownUnit(e) != nullptr ? *shownUnit(e) : m_interner.habitual(e.dimension);
            q.dimension = e.dimension;
            i.dimension = e.dimension;
            i.declared = true;
        }
    }
    typeLimits(id, row, nullptr);
}

void SheetAnalysis::typeGiven(QuantityId id, const Row& row) {
    Info& i = info(id);
    const Typed t = limit(row.formula, nullptr);
    const std::string whose = quoted(quantity(id).name);
    if (i.declared) {
        if (!i.wild) wantDimension(t, i.dimension, quantity(id).unit.shown, row.formula.span, whose);
    } else {
        adopt(id, t);
        Quantity& q = quantity(id);
        const Expr* e = &at(t);
        if (e->kind == ExprKind::Negate) e = &m_pool.at(e->children[0]);
        if (!t.wild && q.type == Type::Number && !e->writtenUnit->ascii.empty() && e->kind == ExprKind::Constant) {
            q.unit = e->writtenUnit;
            i.declared = true;
        } else if (!t.wild && q.type == Type::Number && !i.dimension.isNumber()) {
            q.unit = m_interner.habitual(i.dimension);
            fail(Code::UnitMissing, row.name.span, whose + " is in " + unitOf(t) + ", and its row does not say so",
                 "write the unit behind the name: " + q.name + " [" + q.unit.ascii + "]");
        }
    }
    wantNoAxes(t, row.formula.span, whose);
    checkTag(id, t, row.formula.span, row.tag);
    quantity(id).formula = t.id;
    if (quantity(id).type == Type::Number) {
        const units::Unit unit = quantity(id).unit;
        typeLimits(id, row, unit.ascii.empty() ? nullptr : &unit);
    }
}

void SheetAnalysis::typeDerive(QuantityId id, const Row& row) {
    Info& i = info(id);
    const Typed t = formula(row.formula);
    const std::string whose = quoted(quantity(id).name);
    if (i.declared) {
        if (!i.wild) wantDimension(t, i.dimension, quantity(id).unit.shown, row.formula.span, whose);
    } else {
        adopt(id, t);
        Quantity& q = quantity(id);
        if (!t.wild && q.type == Type::Number && !i.dimension.isNumber()) {
            q.unit = m_interner.habitual(i.dimension);
            if (!failed())
                fail(Code::UnitMissing, row.name.span, whose + " is in " + q.unit.shown + ", and its row does not say so",
                     "write the unit behind the name: " + q.name + " [" + q.unit.ascii + "]");
        }
    }
    checkTag(id, t, row.formula.span, row.tag);
    Quantity& q = quantity(id);
    i.axes = at(t).axes;
    q.axes = i.axes;
    q.formula = t.id;
}

namespace {

/// The first quantity, left to right, under `root` that has its dimension.
const Expr* firstOfDimension(const ExprPool& pool, ExprId root) {
    std::vector<ExprId> pending{root};
    while (!pending.empty()) {
        const Expr& e = pool.at(pending.back());
        pending.pop_back();
        const bool leaf = e.kind == ExprKind::Quantity || e.kind == ExprKind::ChoiceField || e.kind == ExprKind::AxisField;
        if (leaf && e.dimension == pool.at(root).dimension) return &e;
        for (std::size_t i = e.children.size(); i > 0; --i) pending.push_back(e.children[i - 1]);
    }
    return nullptr;
}

} // namespace

void SheetAnalysis::typeCheck(QuantityId id, const Row& row) {
    m_formula = &row.formula;
    if (!row.formula.present()) {
        setFailed(); // told by the reader
        return;
    }
    const syntax::Node* top = &row.formula.top();
    while (top->kind == syntax::NodeKind::Paren) top = &row.formula.node(top->children[0]);
    const bool compares =
        top->kind == syntax::NodeKind::Binary && (top->op == Op::Less || top->op == Op::LessEqual || top->op == Op::Greater || top->op == Op::GreaterEqual);
    const Typed whole = formula(row.formula);
    if (!compares) {
        if (!failed()) {
            const Expr& e = at(whole);
            if (e.type == Type::Truth || whole.wild)
                fail(Code::TypeMismatch, row.formula.span, "a check compares a demand with a capacity by <=, <, >= or >",
                     "write `require` for a condition that has no two sides");
            else
                fail(Code::TypeMismatch, row.formula.span, "a check needs two sides", "write it like: check " + row.name.text + ": demand <= capacity");
        }
        setFailed();
        return;
    }
    if (whole.wild || at(whole).children.size() != 2) {
        setFailed();
        return;
    }
    Quantity& q = quantity(id);
    Info& i = info(id);
    const ExprId left = at(whole).children[0];
    const ExprId right = at(whole).children[1];
    q.relation = top->op;
    q.formula = left;
    q.right = right;
    const Expr& l = m_pool.at(left);
    const Expr& r = m_pool.at(right);
    i.dimension = l.type == Type::Number && (!l.dimension.isNumber() || r.type != Type::Number) ? l.dimension : r.dimension;
    i.axes = at(whole).axes;
    q.dimension = i.dimension;
    q.axes = i.axes;
    const Expr* named = firstOfDimension(m_pool, left);
    const units::Unit* unit = named != nullptr ? shownUnit(*named) : nullptr;
    if (unit != nullptr && unit->dimension == q.dimension && !unit->ascii.empty())
        q.unit = *unit;
    else if (!i.dimension.isNumber())
        q.unit = m_interner.habitual(i.dimension);
    // what was compared, the sides carry on their own
}

void SheetAnalysis::typeTruthRow(QuantityId id, const syntax::Formula& f, const char* whose) {
    const Typed t = formula(f);
    if (!wantTruth(t, f.span, whose)) return;
    Quantity& q = quantity(id);
    q.formula = t.id;
    info(id).axes = at(t).axes;
    q.axes = info(id).axes;
    if (q.kind == Kind::Condition) wantNoAxes(t, f.span, "the condition of a part");
}

void SheetAnalysis::typeEach(QuantityId id, const Row& row) {
    if (row.condition.present() && quantity(id).table) {
        const Typed t = formula(row.condition);
        if (wantTruth(t, row.condition.span, "what is left of an each")) {
            const SharedAxes axes = at(t).axes;
            const bool own = std::all_of(axes.begin(), axes.end(), [&](QuantityId a) { return a == id; });
            if (!own)
                fail(Code::AxisMisuse, row.condition.span, "whether a row counts cannot depend on the rows of another each",
                     "reduce it first: any(..., over AXIS) or all(..., over AXIS)");
            quantity(id).formula = t.id;
        }
        // its own columns are read from the list, not from what is left of it
        std::erase(m_reads, id);
    }
    if (quantity(id).list.valid()) read(quantity(id).list);
}

void SheetAnalysis::typeSwitch(QuantityId id) {
    Quantity& q = quantity(id);
    const Quantity& a = m_sheet.at(q.whenTrue);
    const Quantity& b = m_sheet.at(q.whenFalse);
    const Info& ia = info(q.whenTrue);
    const Info& ib = info(q.whenFalse);
    Info& i = info(id);
    q.what = a.what;
    q.source = a.source;
    q.type = a.type;
    q.unit = a.unit;
    q.show = a.show;
    q.dimension = a.dimension;
    q.tag = a.tag == b.tag ? a.tag : Tag::None;
    i.dimension = ia.dimension;
    i.wild = ia.wild || ib.wild;
    i.axes = m_interner.joined(ia.axes, ib.axes);
    q.axes = i.axes;
    read(a.condition);
    read(q.whenTrue);
    read(q.whenFalse);
    const bool checks = a.kind == Kind::Check || b.kind == Kind::Check || a.kind == Kind::Require || b.kind == Kind::Require;
    if (checks) {
        q.type = Type::Truth;
        if (a.kind == b.kind) return;
    } else if (i.wild || (a.type == b.type && ia.dimension == ib.dimension)) {
        return;
    }
    const auto words = [&](const Quantity& side, const Info& of) -> std::string {
        if (side.kind == Kind::Check) return "a check";
        if (side.kind == Kind::Require) return "a requirement";
        if (side.type == Type::Truth) return "a condition";
        if (side.type == Type::Text) return "a text";
        return of.dimension.isNumber() ? "a pure number" : "in " + side.unit.shown;
    };
    beginRow(b.row);
    diag::Diagnostic& d =
        fail(Code::OtherwiseUnlike, rowAt(b.row).name.span, quoted(q.name) + " is " + words(a, ia) + " in its part and " + words(b, ib) + " behind `otherwise`",
             "give both the same unit, or different names");
    d.labels.push_back({{m_file, a.row, rowAt(a.row).name.span}, "in the part"});
    q.causeRow = b.row;
    i.wild = true;
}

void SheetAnalysis::typePlot(QuantityId id, const Row& row) {
    PlotDefinition& plot = m_sheet.plots[quantity(id).plot];
    if (!row.formula.present() || !row.range.present() || row.range.top().kind != syntax::NodeKind::Range) {
        setFailed(); // told by the reader
        return;
    }
    const syntax::Node& range = row.range.top();
    Typed along;
    bool good = true;
    std::vector<Typed> points;
    // each end is a formula of its own: the node lies in the same tree
    for (syntax::NodeId p : range.children) {
        m_formula = &row.range;
        const Typed t = type(p);
        good = good && wantNumber(t, row.range.node(p).span) && wantNoAxes(t, row.range.node(p).span, "an end of the range");
        points.push_back(t);
        if (!along.id.valid() || along.zero) along = t;
    }
    if (!good || points.size() < 2) {
        setFailed();
        return;
    }
    for (const Typed& p : points) {
        if (!wantDimension(p, at(along).dimension, unitOf(along), at(p).span, "an end of the range")) return;
    }
    plot.slot = newSlot();
    plot.variable = range.text;
    bind({range.text, plot.slot, at(along).dimension});
    const Typed body = formula(row.formula);
    unbind();
    if (!wantNumber(body, row.formula.span)) return;
    Quantity& q = quantity(id);
    Info& i = info(id);
    if (i.declared) {
        if (!i.wild) wantDimension(body, i.dimension, q.unit.shown, row.formula.span, "what is plotted");
    } else if (!body.wild) {
        i.dimension = at(body).dimension;
        q.dimension = i.dimension;
        if (!i.dimension.isNumber()) q.unit = m_interner.habitual(i.dimension);
    }
    plot.body = body.id;
    for (const Typed& p : points) plot.points.push_back(p.id);
    q.formula = body.id;
    i.axes = at(body).axes;
    q.axes = i.axes;
}

void SheetAnalysis::typeSchedule(QuantityId id, const Row& row) {
    ScheduleDefinition& schedule = m_sheet.schedules[quantity(id).plot];
    schedule.column = row.name.text;
    for (const auto& f : row.sizes) {
        const Typed t = limit(f, nullptr);
        asText(t);
        if (wantNoAxes(t, f.span, "a column of the schedule")) schedule.sizes.push_back(t.id);
    }
}

void SheetAnalysis::typeFunction(std::uint32_t index) {
    Function& f = m_sheet.functions[index];
    FunctionInfo& i = m_functions[index];
    const Row& row = rowAt(f.row);
    beginRow(f.row);
    m_reads.clear();
    m_unknownHere.clear();
    m_incomplete = false;
    m_blamesElsewhere = false;
    m_cause = f.row;
    m_standsIn = i.condition;
    m_otherwise = i.otherwise;
    for (std::size_t k = 0; k < f.parameters.size(); ++k) bind({row.parameters[k].name.text, f.parameters[k].slot, i.parameters[k]});
    const Typed t = formula(row.formula);
    for (std::size_t k = 0; k < f.parameters.size(); ++k) unbind();
    asText(t);
    if (!t.wild && row.unit.present()) {
        if (const auto unit = unitAt(row.unit.text, row.unit.span))
            wantDimension(t, m_interner.dimension(unit->dimension), unit->shown, row.formula.span, quoted(f.name));
    }
    const Expr& e = at(t);
    i.dimension = e.dimension;
    i.axes = e.axes;
    i.tag = e.tag;
    i.type = e.type;
    i.wild = t.wild;
    i.typed = true;
    if (i.condition.valid()) read(i.condition);
    readAxes(i.axes);
    std::sort(m_reads.begin(), m_reads.end());
    m_reads.erase(std::unique(m_reads.begin(), m_reads.end()), m_reads.end());
    i.reads = m_reads;
    if (!f.broken && failed() && m_blamesElsewhere) i.cause = m_cause;
    f.broken = f.broken || failed();
    if (!f.broken) f.body = t.id;
}

void SheetAnalysis::typeQuantity(QuantityId id) {
    const Quantity& q = m_sheet.at(id);
    if (info(id).typed) return;
    const Row& row = rowAt(q.row);
    beginRow(q.row);
    m_reads.clear();
    m_unknownHere.clear();
    m_incomplete = false;
    m_blamesElsewhere = false;
    m_cause = q.row;
    if (q.kind == Kind::Condition || q.kind == Kind::Switch) {
        m_standsIn = {};
        m_otherwise = false;
    } else {
        standIn(q.part, q.otherwise);
    }
    switch (q.kind) {
    case Kind::Ask: typeAsk(id, row); break;
    case Kind::Given: typeGiven(id, row); break;
    case Kind::Derive: typeDerive(id, row); break;
    case Kind::Check: typeCheck(id, row); break;
    case Kind::Require: typeTruthRow(id, row.formula, "a requirement"); break;
    case Kind::Condition: typeTruthRow(id, row.condition, "a part"); break;
    case Kind::Switch: typeSwitch(id); break;
    case Kind::Plot: typePlot(id, row); break;
    case Kind::Piece: typePiece(id, row); break;
    case Kind::Schedule: typeSchedule(id, row); break;
    case Kind::Sketch: typeSketch(id, row); break;
    case Kind::Beam: typeBeam(id, row); break;
    case Kind::Each: typeEach(id, row); break;
    case Kind::Choose:
        if (q.list.valid()) read(q.list);
        break;
    case Kind::List: break;
    }
    finishRow(id);
}

} // namespace spanwright::meaning
