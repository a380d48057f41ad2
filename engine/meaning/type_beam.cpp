// SPDX-License-Identifier: MIT
// Beam blocks, and what formulas ask of a beam.
#include <algorithm>

#include "engine/base/text.h"
#include "engine/meaning/analysis.h"
#include "engine/meaning/words.h"

namespace spanwright::meaning {

using diag::Code;
using Row = syntax::RowParts;
using syntax::LoadRow;
using syntax::Node;
using syntax::NodeKind;
using syntax::RowKind;
using syntax::Tag;

ExprId SheetAnalysis::length(const syntax::Formula& f, SharedAxes& axes, const std::string& whose) {
    if (!f.present()) return {};
    const Typed t = limit(f, nullptr);
    if (!wantDimension(t, m_length, "m", f.span, whose)) return {};
    axes = m_interner.joined(axes, at(t).axes);
    return t.id;
}

ExprId SheetAnalysis::rowCondition(const Row& row, SharedAxes& axes) {
    if (!row.condition.present()) return {};
    const Typed t = formula(row.condition);
    if (!wantTruth(t, row.condition.span, "`only if`")) return {};
    axes = m_interner.joined(axes, at(t).axes);
    return t.id;
}

/// The each row that makes one support or load into many. It must be named in the row itself: a value that
/// merely varies with combinations would otherwise add all combinations up.
QuantityId SheetAnalysis::rowAxis(const SharedAxes& axes, std::uint32_t r, const char* whose) {
    if (axes.empty()) return {};
    std::vector<const syntax::Formula*> formulas;
    formulasOf(r, formulas);
    const Row& row = rowAt(r);
    for (QuantityId axis : axes) {
        bool named = false;
        for (const syntax::Formula* f : formulas) {
            for (const auto& n : f->nodes) named = named || (n.kind == NodeKind::Name && n.text == m_sheet.at(axis).name);
        }
        if (named && axes.size() == 1) return axis;
        if (named) continue;
        const std::string& name = m_sheet.at(axis).name;
        fail(Code::AxisMisuse, row.keyword.span, std::string(whose) + " uses a value that has one number for every row of " + quoted(name),
             "put in the loads of one action without factors and give the rows when asking: B.M(x, " + name + "); or reduce the value: largest(..., over " +
                 name + ")");
        return {};
    }
    fail(Code::AxisMisuse, row.keyword.span,
         std::string(whose) + " goes over more than one each row: " + quoted(m_sheet.at(axes[0]).name) + " and " + quoted(m_sheet.at(axes[1]).name),
         "let it go over one only");
    return {};
}

bool SheetAnalysis::readsSlot(ExprId root, std::uint32_t slot) const {
    std::vector<ExprId> pending{root};
    while (!pending.empty()) {
        const Expr& e = m_pool.at(pending.back());
        pending.pop_back();
        if (e.kind == ExprKind::Bound && e.index == slot) return true;
        for (ExprId c : e.children) pending.push_back(c);
    }
    return false;
}

void SheetAnalysis::typeStiffness(BeamDefinition& beam, const std::vector<std::uint32_t>& rows) {
    beam.slot = newSlot();
    if (rows.empty()) return;
    struct Choice {
        ExprId condition, ei, ga, relief;
        std::uint32_t row;
    };
    std::vector<Choice> choices;
    SharedAxes axes;
    bool always = false;
    for (std::uint32_t r : rows) {
        const Row& row = rowAt(r);
        const bool failedBefore = failed();
        beginRow(r);
        if (always) {
            fail(Code::RowTwice, row.keyword.span, "this beam already has a stiffness that always applies", "write `only if` behind all but the last");
            continue;
        }
        Choice c{rowCondition(row, axes), {}, {}, {}, r};
        always = !row.condition.present();
        bind({"x", beam.slot, m_length});
        if (!row.stiffness.empty()) {
            const Typed ei = formula(row.stiffness[0]);
            if (wantDimension(ei, m_bendingStiffness, "N·m²", row.stiffness[0].span, "a bending stiffness E*I")) c.ei = ei.id;
            axes = m_interner.joined(axes, at(ei).axes);
        }
        if (row.stiffness.size() > 1 && row.stiffness[1].present()) {
            const Typed ga = formula(row.stiffness[1]);
            if (wantDimension(ga, m_force, "N", row.stiffness[1].span, "a shear stiffness G*A")) c.ga = ga.id;
            axes = m_interner.joined(axes, at(ga).axes);
        }
        if (row.stiffness.size() > 2 && row.stiffness[2].present()) {
            const Typed relief = formula(row.stiffness[2]);
            if (wantDimension(relief, m_perLength, "1/m", row.stiffness[2].span, "the shear that inclined flanges take, for a moment of one,"))
                c.relief = relief.id;
            axes = m_interner.joined(axes, at(relief).axes);
        }
        unbind();
        if (!axes.empty()) {
            const std::string name = nameOfQuantity(axes[0]);
            fail(Code::AxisMisuse, row.keyword.span, "a stiffness must be one value, and this has one for every row of " + quoted(name),
                 "reduce it: smallest(..., over " + name + ")");
        }
        choices.push_back(c);
        if (failedBefore) setFailed();
    }
    if (failed() || choices.empty()) return;
    // several rows with conditions: the first that applies; without any that applies there is no stiffness
    const auto chain = [&](ExprId Choice::*part, SharedDimension dimension) -> ExprId {
        ExprId result;
        for (std::size_t i = choices.size(); i > 0; --i) {
            const Choice& c = choices[i - 1];
            ExprId value = c.*part;
            if (!value.valid() && !result.valid()) continue;
            if (!c.condition.valid()) {
                result = value;
                continue;
            }
            Node n;
            n.span = rowAt(c.row).keyword.span;
            m_row = c.row;
            const auto zero = [&] {
                Typed t;
                Expr& e = make(ExprKind::Constant, n, t);
                e.dimension = dimension;
                e.writtenText = "0";
                return t.id;
            };
            if (!value.valid()) value = zero();
            const ExprId other = result.valid() ? result : zero();
            Typed t;
            Expr& e = make(ExprKind::If, n, t);
            e.dimension = dimension;
            e.children = {c.condition, value, other};
            result = t.id;
        }
        return result;
    };
    beam.stiffnessEI = chain(&Choice::ei, m_bendingStiffness);
    beam.stiffnessGA = chain(&Choice::ga, m_force);
    beam.stiffnessRelief = chain(&Choice::relief, m_perLength);
    beam.constantStiffness = true;
    for (const ExprId e : {beam.stiffnessEI, beam.stiffnessGA, beam.stiffnessRelief}) {
        if (e.valid() && readsSlot(e, beam.slot)) beam.constantStiffness = false;
    }
}

void SheetAnalysis::typeSupport(BeamDefinition& beam, std::uint32_t r) {
    const Row& row = rowAt(r);
    for (std::size_t k = 0; k < row.supports.size(); ++k) {
        SharedAxes axes;
        BeamDefinition::Support s;
        s.row = r;
        s.at = length(row.supports[k], axes, "the place of a support");
        s.fixed = k < row.fixed.size() && row.fixed[k];
        if (k < row.settlements.size()) s.sink = length(row.settlements[k], axes, "a settlement");
        s.onlyIf = rowCondition(row, axes);
        if (failed()) return;
        s.axis = rowAxis(axes, r, "this support");
        beam.supports.push_back(s);
    }
}

void SheetAnalysis::typeLoad(BeamDefinition& beam, BeamInfo& tags, std::uint32_t r) {
    const Row& row = rowAt(r);
    const LoadRow& l = row.load;
    if (!l.action.present()) {
        setFailed(); // told by the reader
        return;
    }
    const auto found = std::find(beam.actions.begin(), beam.actions.end(), l.action.text);
    BeamDefinition::Load load;
    load.row = r;
    load.action = static_cast<std::uint32_t>(found - beam.actions.begin());
    load.shape = l.shape;
    load.eachSpan = l.eachSpan;
    SharedAxes axes;
    SharedDimension wanted = m_lineLoad;
    const char* unit = "kN/m";
    const char* whose = "a line load";
    if (l.shape == LoadRow::Shape::Point) {
        wanted = m_force;
        unit = "kN";
        whose = "a point load";
    } else if (l.shape == LoadRow::Shape::Moment) {
        wanted = m_moment;
        unit = "kN·m";
        whose = "a moment";
    }
    const auto size = [&](const syntax::Formula& f, Tag& tag) -> ExprId {
        if (!f.present()) return {};
        const Typed t = limit(f, nullptr);
        if (!wantDimension(t, wanted, unit, f.span, whose)) return {};
        axes = m_interner.joined(axes, at(t).axes);
        tag = at(t).tag;
        return t.id;
    };
    Tag tag = Tag::None;
    Tag tagEnd = Tag::None;
    load.size = size(l.size, tag);
    load.sizeEnd = size(l.sizeEnd, tagEnd);
    load.from = length(l.from, axes, "where a load begins");
    load.to = length(l.to, axes, "where a load ends");
    load.at = length(l.at, axes, "the place of a load");
    load.onlyIf = rowCondition(row, axes);
    if (!load.size.valid()) setFailed();
    if (found == beam.actions.end()) {
        beam.actions.push_back(l.action.text);
        tags.tags.push_back(tag);
        tags.mixed.push_back(false);
    } else if (tags.tags[load.action] != tag) {
        tags.mixed[load.action] = true;
    }
    if (l.sizeEnd.present() && tagEnd != tag) tags.mixed[load.action] = true;
    if (failed()) return;
    load.axis = rowAxis(axes, r, "this load");
    beam.loads.push_back(load);
}

void SheetAnalysis::typeBeam(QuantityId id, const Row& row) {
    const std::uint32_t beamRow = m_sheet.at(id).row;
    const std::uint32_t index = m_sheet.at(id).beam;
    BeamDefinition beam;
    beam.name = m_sheet.at(id).name;
    BeamInfo tags;
    bool anyFailed = false;
    bool damaged = false; // a row of the block that the reader has told about
    SharedAxes axes;
    if (row.supports.size() > 0) beam.from = length(row.supports[0], axes, "where the beam begins");
    if (row.supports.size() > 1) beam.to = length(row.supports[1], axes, "where the beam ends");
    if (!axes.empty()) {
        const std::string name = nameOfQuantity(axes[0]);
        fail(Code::AxisMisuse, row.keyword.span, "the ends of a beam must be one value each, and these have one for every row of " + quoted(name),
             "reduce it: largest(..., over " + name + ")");
    }
    if (!beam.from.valid() || !beam.to.valid()) anyFailed = true;
    anyFailed = anyFailed || failed();

    std::vector<std::uint32_t> stiffness;
    const auto block = m_beamRows.find(beamRow);
    if (block != m_beamRows.end()) {
        for (std::uint32_t r : block->second) {
            beginRow(r);
            m_unknownHere.clear();
            damaged = damaged || !rowAt(r).complaints.empty();
            switch (kindAt(r)) {
            case RowKind::Stiffness: stiffness.push_back(r); break;
            case RowKind::Support: typeSupport(beam, r); break;
            case RowKind::Load: typeLoad(beam, tags, r); break;
            default: break;
            }
            anyFailed = anyFailed || failed();
        }
    }
    beginRow(beamRow);
    m_unknownHere.clear();
    typeStiffness(beam, stiffness);
    anyFailed = anyFailed || failed() || damaged;
    beginRow(beamRow);
    if (!anyFailed && (beam.supports.empty() || beam.loads.empty())) {
        const char* lacks = beam.supports.empty() ? (beam.loads.empty() ? " has neither supports nor loads" : " has no supports") : " has no loads";
        fail(Code::BeamIncomplete, row.name.span, "beam " + quoted(beam.name) + lacks,
             beam.supports.empty() ? "write where it rests: support 0 m, L" : "write what it carries: load G line ...");
        anyFailed = true;
    }
    if (anyFailed) setFailed();
    for (const auto& s : beam.supports) {
        if (s.axis.valid()) read(s.axis);
    }
    for (const auto& l : beam.loads) {
        if (l.axis.valid()) read(l.axis);
    }
    m_sheet.beams[index] = std::move(beam);
    m_beams[index] = std::move(tags);
}

namespace {

/// All that a beam gives, as it is written.
constexpr BeamOutput kOutputs[] = {
    BeamOutput::M,       BeamOutput::MMost,    BeamOutput::MLeast,    BeamOutput::V,       BeamOutput::VMost,       BeamOutput::VLeast,
    BeamOutput::VWeb,    BeamOutput::VWebMost, BeamOutput::VWebLeast, BeamOutput::W,       BeamOutput::WMost,       BeamOutput::WLeast,
    BeamOutput::R,       BeamOutput::RMost,    BeamOutput::RLeast,    BeamOutput::Holding, BeamOutput::HoldingMost, BeamOutput::HoldingLeast,
    BeamOutput::Residual};

} // namespace

bool SheetAnalysis::beamFactors(QuantityId beamId, const Node& argument, Factors& into, SharedAxes& axes, bool& waits) {
    const BeamDefinition& beam = m_sheet.beams[m_sheet.at(beamId).beam];
    const bool complete = info(beamId).typed && !m_sheet.at(beamId).broken;
    const auto rowsHere = [&] {
        std::vector<std::string> names = beam.actions;
        for (const Quantity& q : m_sheet.quantities) {
            if (q.kind == Kind::Each || q.kind == Kind::Choose) names.push_back(q.name);
        }
        return names;
    };
    if (argument.kind != NodeKind::Name) {
        fail(Code::UnknownAction, argument.span, "the last argument must be an action of the beam, or a row that has a factor for each",
             "the actions of " + quoted(beam.name) + " are the words behind its loads");
        return false;
    }
    const auto action = std::find(beam.actions.begin(), beam.actions.end(), argument.text);
    if (action != beam.actions.end()) {
        into.from = Factors::From::OneAction;
        into.action = static_cast<std::uint32_t>(action - beam.actions.begin());
        return true;
    }
    const Symbol* s = find(argument.text);
    const bool rows = s != nullptr && s->kind == Symbol::Kind::Quantity &&
                      (m_sheet.quantities[s->index].kind == Kind::Each || m_sheet.quantities[s->index].kind == Kind::Choose);
    if (!rows) {
        if (!complete) {
            waits = true;
            return false;
        }
        std::string mend = suggestion(argument.text, rowsHere());
        if (mend.empty()) {
            mend = "its actions are ";
            for (std::size_t i = 0; i < beam.actions.size(); ++i) mend += (i == 0 ? "" : ", ") + beam.actions[i];
            mend += "; or name an each row or a chosen row with one column per action";
        }
        fail(Code::UnknownAction, argument.span, "beam " + quoted(beam.name) + " has no load of the action " + quoted(argument.text), mend);
        return false;
    }
    const QuantityId id = reach(*s, argument);
    if (!id.valid()) return false;
    read(id);
    const Quantity& q = m_sheet.at(id);
    into.from = q.kind == Kind::Each ? Factors::From::Axis : Factors::From::Choice;
    into.row = id;
    if (q.kind == Kind::Each) axes = m_interner.joined(axes, info(id).axes);
    if (!q.table) return true; // that row is broken and told
    for (const std::string& name : beam.actions) {
        const auto column = q.table->column(name);
        if (!column) {
            std::vector<std::string> names;
            for (const auto& c : q.table->columns) names.push_back(c.name);
            fail(Code::UnknownAction, argument.span,
                 "table " + quoted(q.table->name) + " has no factor for the action " + quoted(name) + " of beam " + quoted(beam.name),
                 "give it a column " + quoted(name) + "; 0 where the action does not act");
            return false;
        }
        const Table::Column& c = q.table->columns[*column];
        if (c.text || !c.unit.dimension.isNumber()) {
            fail(Code::NumberWanted, argument.span, "column " + quoted(name) + " of table " + quoted(q.table->name) + " must hold pure numbers to be factors",
                 "leave its unit out");
            return false;
        }
        into.columns.push_back(*column);
    }
    return true;
}

Typed SheetAnalysis::beamValue(QuantityId id, const Node& n, const std::vector<syntax::NodeId>& arguments) {
    const Quantity& q = m_sheet.at(id);
    read(id);
    if (!info(id).typed) m_incomplete = true;
    std::optional<BeamOutput> output;
    for (BeamOutput o : kOutputs) {
        if (n.text == wordOf(o)) output = o;
    }
    if (!output) {
        std::vector<std::string> names;
        for (BeamOutput o : kOutputs) names.emplace_back(wordOf(o));
        std::string mend = suggestion(n.text, names);
        if (mend.empty()) mend = "a beam gives M, V, V_web, w, R, M_R, each also with _most and _least, and residual";
        fail(Code::UnknownFunction, n.mark, "a beam does not give " + quoted(n.text), mend);
        return wild(n);
    }
    const bool residual = *output == BeamOutput::Residual;
    const bool reaction = *output >= BeamOutput::R && *output <= BeamOutput::HoldingLeast;
    const std::size_t least = residual ? 0 : 1;
    const std::size_t most = residual ? 0 : 2;
    if (arguments.size() < least || arguments.size() > most) {
        const std::string how = q.name + "." + n.text +
                                (residual   ? ""
                                 : reaction ? "(1) or " + q.name + "." + n.text + "(1, action)"
                                            : "(x) or " + q.name + "." + n.text + "(x, action)");
        fail(Code::ArgumentCount, n.mark,
             quoted(q.name + "." + n.text) + (residual   ? " takes no arguments"
                                              : reaction ? " takes the number of a support and what acts"
                                                         : " takes a place and what acts"),
             "write " + how);
        return wild(n);
    }
    SharedAxes axes;
    ExprId first;
    if (!residual) {
        const Typed x = type(arguments[0]);
        const base::ByteSpan where = node(arguments[0]).span;
        const bool good = reaction ? wantPureNumber(x, where, "the number of a support") : wantDimension(x, m_length, "m", where, "a place on the beam");
        if (!good) return wild(n);
        first = x.id;
        axes = at(x).axes;
    }
    Factors factors;
    bool waits = false;
    if (arguments.size() > 1 && !beamFactors(id, node(arguments[1]), factors, axes, waits)) return waits ? waitFor(id, n) : wild(n);

    // unfactored loads hand their tag on; factored ones are something else
    Tag tag = Tag::None;
    const BeamInfo& info = m_beams[q.beam];
    if (!residual && factors.from == Factors::From::OneAction) {
        tag = info.mixed[factors.action] ? Tag::None : info.tags[factors.action];
    } else if (!residual && factors.from == Factors::From::All && !info.tags.empty()) {
        tag = info.tags.front();
        for (std::size_t i = 0; i < info.tags.size(); ++i) {
            if (info.mixed[i] || info.tags[i] != tag) tag = Tag::None;
        }
    }
    Typed t;
    Expr& e = make(ExprKind::BeamValue, n, t);
    e.quantity = id;
    e.beamValue = *output;
    e.axes = axes;
    e.tag = tag;
    switch (*output) {
    case BeamOutput::M:
    case BeamOutput::MMost:
    case BeamOutput::MLeast:
    case BeamOutput::Holding:
    case BeamOutput::HoldingMost:
    case BeamOutput::HoldingLeast: e.dimension = m_moment; break;
    case BeamOutput::W:
    case BeamOutput::WMost:
    case BeamOutput::WLeast: e.dimension = m_length; break;
    case BeamOutput::Residual: break;
    default: e.dimension = m_force; break;
    }
    if (first.valid()) e.children.push_back(first);
    e.factors = std::move(factors);
    return t;
}

} // namespace spanwright::meaning
