// SPDX-License-Identifier: MIT
#include "engine/eval/program.h"

#include <algorithm>
#include <bit>
#include <cmath>
#include <optional>
#include <utility>

#include "engine/eval/beam_row.h"
#include "engine/eval/engine.h"
#include "engine/eval/flags.h"
#include "engine/eval/flat_run.h"
#include "engine/eval/machine.h"
#include "engine/eval/walker.h"
#include "engine/units/format.h"

namespace spanwright::eval {

using meaning::ExprId;
using meaning::Kind;
using meaning::Quantity;
using meaning::QuantityId;

struct Program::Impl {
    explicit Impl(std::shared_ptr<const meaning::Sheet> s) : sheet(std::move(s)), engine(sheet->exprs, sheet.get()), plain(sheet->quantities.size(), nullptr) {}

    std::shared_ptr<const meaning::Sheet> sheet;
    Engine engine;
    /// By row: the formula of a row that always applies, has one number and reads rows only; found out when
    /// the row is first worked out. Most rows of a sheet are such.
    std::vector<const Formula*> plain;
    std::vector<double> spare; ///< for the next row with cases, so that its memory is used again
    const Formula* plainFormula(const Quantity& q);

    Value evaluate(const Quantity& q, const MemberValues& values);
    /// False: `v` says why the row does not apply or cannot.
    bool applies(const Quantity& q, const MemberValues& values, Value& v);
    /// Number of cases; false when an axis is not known or there are too many.
    bool countCases(const Quantity& q, const MemberValues& values, std::size_t& count, Value& v);
    void work(const Quantity& q, const MemberValues& values, Value& v);
    void withLimits(const Quantity& q, Value& v);
    void choose(const Quantity& q, const MemberValues& values, Value& v);
    void pickSide(const Quantity& q, const MemberValues& values, Value& v);
    /// The rows of an each for which its condition holds.
    void leaveOut(const Quantity& q, const MemberValues& values, Value& v);
    /// Turns the engine's failure into the state of a row.
    void failed(Value& v) const;
    void brokenRow(const Quantity& q, Value& v) const;
};

namespace {

void block(Value& v, QuantityId by) {
    v.state = State::Blocked;
    v.blockedBy = by;
}

} // namespace

void Program::Impl::failed(Value& v) const {
    const Engine::Failure& f = engine.failure();
    v.one = 0.0;
    v.many.clear();
    v.right.clear();
    v.solved.reset();
    if (f.blocked) {
        block(v, f.blockedBy);
        return;
    }
    v.state = State::Failed;
    v.problem = f.problem;
}

void Program::Impl::brokenRow(const Quantity& q, Value& v) const {
    v.state = State::Failed;
    v.problem = q.problem;
    if (v.problem) return;
    for (const diag::Diagnostic& d : sheet->diagnostics) {
        if (d.severity != diag::Severity::Error || (d.place.row != q.row && d.place.row != q.causeRow)) continue;
        v.problem = std::make_shared<const diag::Diagnostic>(d);
        return;
    }
}

bool Program::Impl::applies(const Quantity& q, const MemberValues& values, Value& v) {
    if (!q.condition.valid()) return true;
    const Value& condition = values.at(q.condition);
    if (condition.state == State::NotApplicable) {
        v.state = State::NotApplicable;
        return false;
    }
    if (!condition.known()) {
        block(v, q.condition);
        return false;
    }
    const bool holds = condition.data()[0] != 0.0;
    if (holds == q.otherwise) v.state = State::NotApplicable;
    return holds != q.otherwise;
}

bool Program::Impl::countCases(const Quantity& q, const MemberValues& values, std::size_t& count, Value& v) {
    count = 1;
    bool none = false, tooMany = false;
    for (const QuantityId a : q.axes) {
        if (!values.at(a).known()) {
            block(v, a);
            return false;
        }
        const std::size_t rows = values.axisSize(a);
        none = none || rows == 0;
        tooMany = tooMany || (rows != 0 && count > kMostCases / rows);
        if (!tooMany) count *= rows;
    }
    if (none) count = 0;
    if (none || !tooMany) return true;
    std::string sizes;
    for (const QuantityId a : q.axes) sizes += (sizes.empty() ? "" : " by ") + std::to_string(values.axisSize(a)) + " " + sheet->at(a).name;
    diag::Diagnostic d;
    d.code = diag::Code::TooManyCases;
    d.place = engine.rowPlace(q);
    d.message = "the row has too many cases: " + sizes + ", and at most 100,000 are worked out";
    d.mend = "take an axis away by a row of its own, for instance largest(..., over " + sheet->at(q.axes.back()).name + ")";
    engine.fail(std::move(d));
    failed(v);
    return false;
}

void Program::Impl::work(const Quantity& q, const MemberValues& values, Value& v) {
    if (!q.formula.valid()) {
        brokenRow(q, v);
        return;
    }
    const bool check = q.kind == Kind::Check && q.right.valid();
    if (q.axes.empty()) {
        double right = 0.0;
        if (!engine.number(q.formula, v.one) || (check && !engine.number(q.right, right))) {
            failed(v);
            return;
        }
        if (check) v.right.push_back(right);
        v.state = State::Known;
        return;
    }
    std::size_t count = 0;
    if (!countCases(q, values, count, v)) return;
    if (count == 0) {
        // Nothing to check is not a check that holds.
        v.state = q.kind == Kind::Check || q.kind == Kind::Require ? State::NotApplicable : State::Known;
        return;
    }
    v.many = std::move(spare);
    if (!engine.cases(q.formula, q.axes, count, v.many) || (check && !engine.cases(q.right, q.axes, count, v.right))) {
        failed(v);
        return;
    }
    v.state = State::Known;
}

void Program::Impl::withLimits(const Quantity& q, Value& v) {
    if (v.state != State::Known || (!q.low.valid() && !q.high.valid())) return;
    double low = -HUGE_VAL, high = HUGE_VAL;
    if ((q.low.valid() && !engine.number(q.low, low)) || (q.high.valid() && !engine.number(q.high, high))) {
        failed(v);
        return;
    }
    constexpr double kSlack = 1e-9;
    const bool below = q.low.valid() && v.one < low - kSlack * std::fabs(low);
    const bool above = q.high.valid() && v.one > high + kSlack * std::fabs(high);
    if (!below && !above) return;
    const auto text = [&](double si) { return units::showValue(si, q.unit, q.show); };
    const double limit = below ? low : high;
    // A value that differs in digits that are not shown is written out.
    const std::string value = text(v.one) == text(limit) ? units::writeValue(v.one, q.unit) : text(v.one);
    const std::string range = q.low.valid() && q.high.valid() ? "from " + text(low) + " to " + text(high)
                              : q.low.valid()                 ? text(low) + " or more"
                                                              : text(high) + " or less";
    diag::Diagnostic d;
    d.code = diag::Code::OutOfRange;
    d.place = engine.rowPlace(q);
    d.message = q.name + " = " + value + " is outside its range, " + range;
    d.mend = "state a value " + range + "; the limits stand in the row of the sheet";
    engine.fail(std::move(d));
    failed(v);
}

void Program::Impl::choose(const Quantity& q, const MemberValues& values, Value& v) {
    v.table = q.table;
    std::optional<std::uint32_t> row = q.defaultRow;
    if (q.list.valid()) {
        const Value& list = values.at(q.list);
        if (!list.known()) {
            v.table.reset();
            block(v, q.list);
            return;
        }
        // The member's own rows: the default is looked for among them by its key.
        if (row && list.table && list.table != q.table && q.table) row = list.table->rowByLabel(q.table->rowLabel(*row));
        v.table = list.table;
    }
    if (!v.table || !row) {
        v.state = State::NotStated;
        return;
    }
    v.one = static_cast<double>(*row);
    v.state = State::Known;
}

void Program::Impl::pickSide(const Quantity& q, const MemberValues& values, Value& v) {
    const QuantityId condition = sheet->at(q.whenTrue).condition;
    bool holds = true;
    if (condition.valid()) {
        const Value& c = values.at(condition);
        if (!c.known()) {
            block(v, condition);
            return;
        }
        holds = (c.data()[0] != 0.0) != sheet->at(q.whenTrue).otherwise;
    }
    const QuantityId side = holds ? q.whenTrue : q.whenFalse;
    const Value& from = values.at(side);
    if (!from.known()) {
        block(v, side);
        return;
    }
    const std::vector<QuantityId>& axes = sheet->at(side).axes;
    if (axes == q.axes) {
        v = from;
        return;
    }
    // The other side varies with more rows: this one is the same in those.
    std::size_t count = 0;
    if (!countCases(q, values, count, v)) return;
    v.table = from.table;
    v.one = from.one;
    v.many.resize(count);
    std::vector<std::size_t> at(q.axes.size(), 0);
    for (std::size_t c = 0; c < count; ++c) {
        std::size_t rest = c;
        for (std::size_t a = q.axes.size(); a-- > 0;) {
            const std::size_t rows = values.axisSize(q.axes[a]);
            at[a] = rest % rows;
            rest /= rows;
        }
        std::size_t index = 0;
        for (const QuantityId axis : axes) {
            for (std::size_t a = 0; a < q.axes.size(); ++a) {
                if (q.axes[a] == axis) index = index * values.axisSize(axis) + at[a];
            }
        }
        v.many[c] = from.data()[index];
    }
    v.state = State::Known;
}

void Program::Impl::leaveOut(const Quantity& q, const MemberValues& values, Value& v) {
    // The condition sees every row of the table: only what it reads is needed beside them.
    MemberValues all;
    all.values.resize(values.values.size());
    for (const QuantityId r : q.reads) all.values[r.index()] = values.at(r);
    all.values[q.id.index()] = v;
    const std::size_t rows = v.table->rowCount();
    std::vector<double> holds;
    engine.begin(&all, nullptr);
    const std::vector<QuantityId> own{q.id};
    if (rows > 0 && !engine.cases(q.formula, own, rows, holds)) {
        v.table.reset();
        failed(v);
        return;
    }
    engine.begin(&values, nullptr);
    std::vector<char> keep(rows, 0);
    for (std::size_t r = 0; r < rows; ++r) keep[r] = holds[r] != 0.0 ? 1 : 0;
    if (std::find(keep.begin(), keep.end(), 0) != keep.end()) v.table = meaning::rowsKept(*v.table, keep);
}

Value Program::Impl::evaluate(const Quantity& q, const MemberValues& values) {
    Value v;
    engine.begin(&values, nullptr);
    if (q.broken) {
        brokenRow(q, v);
        return v;
    }
    if (!applies(q, values, v)) return v;
    switch (q.kind) {
    case Kind::Ask: v.state = State::NotStated; break;
    case Kind::Given:
        if (!q.formula.valid()) {
            v.state = State::NotStated;
            break;
        }
        work(q, values, v);
        withLimits(q, v);
        break;
    case Kind::Choose: choose(q, values, v); break;
    case Kind::Each:
        v.table = q.table;
        v.state = State::Known;
        if (q.list.valid()) {
            const Value& list = values.at(q.list);
            v.table = list.table;
            if (!list.known()) block(v, q.list);
        }
        if (v.state == State::Known && !v.table) brokenRow(q, v);
        if (v.state == State::Known && q.formula.valid()) leaveOut(q, values, v);
        break;
    case Kind::List:
        v.table = q.table;
        if (v.table)
            v.state = State::Known;
        else
            brokenRow(q, v);
        break;
    case Kind::Derive:
    case Kind::Check:
    case Kind::Require:
    case Kind::Condition: work(q, values, v); break;
    case Kind::Switch: pickSide(q, values, v); break;
    case Kind::Beam:
        v.solved = solveBeamRow(engine, q);
        if (v.solved)
            v.state = State::Known;
        else
            failed(v);
        break;
    case Kind::Sketch: // its marks stand or fall one by one
    case Kind::Piece:  // what it lacks is told by who cuts it
        v.state = State::Known;
        break;
    case Kind::Plot:
    case Kind::Schedule:
        v.state = State::Known;
        for (const QuantityId r : q.reads) {
            if (values.at(r).known()) continue;
            block(v, r);
            break;
        }
        break;
    }
    return v;
}

Program::Program(std::shared_ptr<const meaning::Sheet> sheet) : m_impl(std::make_unique<Impl>(std::move(sheet))) {}
Program::~Program() = default;
Program::Program(Program&&) noexcept = default;
Program& Program::operator=(Program&&) noexcept = default;

const Formula* Program::Impl::plainFormula(const Quantity& q) {
    const bool one = q.kind == Kind::Derive || q.kind == Kind::Require || q.kind == Kind::Condition;
    if (!one || q.broken || q.condition.valid() || !q.axes.empty() || !q.formula.valid()) return nullptr;
    const Formula& f = engine.formula(q.formula);
    return f.plain ? &f : nullptr;
}

Value Program::evaluate(QuantityId row, const MemberValues& values) {
    Impl& m = *m_impl;
    if (const Formula* f = m.plain[row.index()]) {
        Value v;
        if (m.engine.plainNumber(*f, values, v.one)) {
            v.state = State::Known;
            return v;
        }
    }
    const Quantity& q = m.sheet->at(row);
    Value v = m.evaluate(q, values);
    if (m.plain[row.index()] == nullptr && v.known()) m.plain[row.index()] = m.plainFormula(q);
    return v;
}

bool Program::update(QuantityId row, MemberValues& values) {
    Value& slot = values.values[row.index()];
    const Formula* f = m_impl->plain[row.index()];
    double v = 0.0;
    // A plain row that was Known has nothing else in its value: it has always been worked out here.
    if (f != nullptr && slot.state == State::Known && m_impl->engine.plainNumber(*f, values, v)) {
        if (std::bit_cast<std::uint64_t>(v) == std::bit_cast<std::uint64_t>(slot.one)) return false;
        slot.one = v;
        return true;
    }
    Value fresh = evaluate(row, values);
    const bool changed = !sameValue(slot, fresh);
    if (changed) std::swap(slot, fresh);
    m_impl->spare = std::move(fresh.many);
    return changed;
}

Value Program::stated(QuantityId row, Value value, const MemberValues& values) {
    const Quantity& q = m_impl->sheet->at(row);
    m_impl->engine.begin(&values, nullptr);
    Value v;
    if (q.broken) {
        m_impl->brokenRow(q, v);
        return v;
    }
    if (!m_impl->applies(q, values, v)) return v;
    if (value.known() && (q.kind == Kind::Ask || q.kind == Kind::Given)) m_impl->withLimits(q, value);
    return value;
}

bool Program::sample(ExprId body, std::uint32_t slot, const std::vector<double>& x, const std::vector<std::size_t>& axisRows, const MemberValues& values,
                     std::vector<double>& out) {
    Engine& engine = m_impl->engine;
    engine.begin(&values, nullptr);
    const auto& axes = engine.pool().at(body).axes;
    std::size_t cases = 1;
    if (axisRows.size() < axes.size()) {
        for (const QuantityId a : axes) {
            const std::size_t rows = values.axisSize(a);
            cases = cases > kMostCases || rows == 0 ? 0 : cases * rows;
        }
        if (cases == 0 || cases > kMostCases || cases * x.size() > kMostWork) return false;
    }
    out.resize(cases * x.size());
    const Flat& flat = engine.flat(body, slot);
    for (std::size_t c = 0; c < cases; ++c) {
        std::size_t rest = c;
        for (std::size_t a = axes.size(); a-- > 0;) {
            if (axisRows.size() >= axes.size()) {
                engine.setAxisRow(axes[a], axisRows[a]);
                continue;
            }
            engine.setAxisRow(axes[a], rest % values.axisSize(axes[a]));
            rest /= values.axisSize(axes[a]);
        }
        std::optional<Engine::FlatRun> run;
        if (flat.usable) run.emplace(engine, flat);
        if (engine.along(body, slot, x.data(), x.size(), out.data() + c * x.size(), run ? &*run : nullptr)) continue;
        out.clear();
        return false;
    }
    return true;
}

std::optional<double> Program::scalar(ExprId expr, const std::vector<std::size_t>& axisRows, const MemberValues& values) {
    Engine& engine = m_impl->engine;
    engine.begin(&values, nullptr);
    const auto& axes = engine.pool().at(expr).axes;
    if (axisRows.size() < axes.size()) return std::nullopt;
    for (std::size_t a = 0; a < axes.size(); ++a) engine.setAxisRow(axes[a], axisRows[a]);
    double v = 0.0;
    if (!engine.number(expr, v)) return std::nullopt;
    return v;
}

Program::Trace Program::trace(ExprId root, const std::vector<std::size_t>& axisRows, const MemberValues& values) {
    Engine& engine = m_impl->engine;
    engine.begin(&values, nullptr);
    Trace trace;
    trace.steps.resize(engine.pool().nodes.size());
    const auto& axes = engine.pool().at(root).axes;
    for (std::size_t a = 0; a < axes.size() && a < axisRows.size(); ++a) engine.setAxisRow(axes[a], axisRows[a]);
    std::vector<WalkStep> steps(trace.steps.size());
    std::vector<WalkCall> calls;
    Walker walker(engine, &steps, &calls);
    clearFlags();
    static_cast<void>(walker.walk(root));
    clearFlags();
    const auto step = [](const WalkStep& s) { return Trace::Step{s.visited, s.value, s.branch, s.place, s.sampled}; };
    for (std::size_t i = 0; i < steps.size(); ++i) trace.steps[i] = step(steps[i]);
    for (WalkCall& c : calls) {
        if (!c.done) continue;
        Trace::Call& call = trace.calls.emplace_back(Trace::Call{c.call, std::move(c.arguments), c.value, {}});
        for (const auto& [node, s] : c.body) call.body.emplace_back(node, step(s));
    }
    if (engine.failed()) trace.problem = engine.failure().problem;
    return trace;
}

std::string Program::compiledText(ExprId expr) {
    std::string text;
    return m_impl->engine.text(expr, text);
}

void Program::useBlocks(bool on) { m_impl->engine.useBlocks(on); }

Program::Counts Program::counts() const {
    const Engine::Counts& c = m_impl->engine.counts();
    return {c.scalar, c.lanes, c.compiled};
}

} // namespace spanwright::eval
