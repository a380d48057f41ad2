// SPDX-License-Identifier: MIT
#include "engine/eval/engine.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <utility>

#include "engine/eval/flags.h"
#include "engine/eval/flat_run.h"
#include "engine/eval/machine.h"
#include "engine/eval/per_lane.h"
#include "engine/eval/walker.h"
#include "engine/units/format.h"

namespace spanwright::eval {

using meaning::Expr;
using meaning::ExprId;
using meaning::ExprKind;
using meaning::QuantityId;

namespace {
/// Fewer lanes than this are quicker one by one.
constexpr std::size_t kFewLanes = 4;
} // namespace

class Engine::FormulaHost final : public Host {
public:
    FormulaHost(Engine& engine, const Formula& formula) : Host(&engine.m_failed), m_engine(engine), m_formula(formula) {}
    double callOut(std::uint32_t index, const double* arguments, std::uint32_t count) override {
        const Formula::CallOut& c = m_formula.callOuts[index];
        return c.part ? m_engine.run(c.node) : m_engine.callOutNode(c.node, arguments, count);
    }
    bool callOutBlock(std::uint32_t index, const Operand* arguments, std::uint32_t count, std::size_t n, const std::uint8_t* mask, double* out) override {
        return m_engine.callOutBlock(m_formula, index, arguments, count, n, mask, out);
    }

private:
    Engine& m_engine;
    const Formula& m_formula;
};

Engine::Engine(const meaning::ExprPool& pool, const meaning::Sheet* sheet) : m_pool(pool), m_sheet(sheet) {
    m_formulas.resize(pool.nodes.size());
    if (sheet == nullptr) return;
    m_axisRow.resize(sheet->quantities.size(), 0);
    m_laneAxis.resize(sheet->quantities.size(), nullptr);
    std::uint32_t slots = sheet->slotCount;
    for (const Expr& e : pool.nodes) {
        if (e.kind == ExprKind::Bound || e.kind == ExprKind::Span) slots = std::max(slots, e.index + 1);
    }
    m_slots.resize(slots, 0.0);
    m_laneSlot.resize(slots, nullptr);
}

void Engine::begin(const MemberValues* values, const std::vector<const Value*>* externals) {
    m_values = values;
    m_externals = externals;
    if (m_failed) m_failure = {};
    m_failed = false;
    m_work = 0;
    m_outerFlags = 0;
}

const Formula& Engine::formula(ExprId root) {
    std::unique_ptr<Formula>& slot = m_formulas[root.index()];
    if (!slot) {
        slot = std::make_unique<Formula>();
        const std::string text = writeText(m_pool, root, *slot);
        const auto leaves = static_cast<std::uint32_t>(slot->leaves.size());
        slot->fault = Compiler::ofThisThread().compile(text, leaves, static_cast<std::uint32_t>(slot->callOuts.size()), slot->code);
        slot->leaves.shrink_to_fit();
        slot->plain = slot->fault.empty() && slot->callOuts.empty() && slot->leaves.size() <= kFewLeaves;
        for (const Leaf& l : slot->leaves) slot->plain = slot->plain && l.kind == ExprKind::Quantity;
        ++m_counts.compiled;
    }
    return *slot;
}

const std::string& Engine::text(ExprId root, std::string& storage) {
    Formula scratch;
    storage = writeText(m_pool, root, scratch);
    return storage;
}

// --- leaves --------------------------------------------------------------------------------------

std::size_t Engine::caseIndex(const std::vector<QuantityId>& axes) const {
    std::size_t index = 0;
    for (const QuantityId a : axes) index = index * m_values->axisSize(a) + m_axisRow[a.index()];
    return index;
}

double Engine::rowKey(const meaning::Table& t, std::size_t row) const {
    if (row < t.rowIds.size()) return t.rowIds[row];
    if (!t.keys.empty()) return t.cells[t.keys.front()][row];
    return static_cast<double>(row);
}

bool Engine::load(const Leaf& leaf, double& out) const {
    switch (leaf.kind) {
    case ExprKind::Bound: out = m_slots[leaf.index]; return true;
    case ExprKind::Quantity: {
        const Value& v = m_values->at(leaf.quantity);
        if (!v.known()) return false;
        if (v.many.empty()) {
            out = v.one;
            return true;
        }
        const std::size_t index = caseIndex(m_sheet->at(leaf.quantity).axes);
        if (index >= v.many.size()) return false;
        out = v.many[index];
        return true;
    }
    case ExprKind::ChoiceField:
    case ExprKind::ChoiceKey:
    case ExprKind::AxisField:
    case ExprKind::AxisKey: {
        const Value& v = m_values->at(leaf.quantity);
        if (!v.known() || !v.table) return false;
        const bool choice = leaf.kind == ExprKind::ChoiceField || leaf.kind == ExprKind::ChoiceKey;
        const std::size_t row = choice ? static_cast<std::size_t>(v.one) : m_axisRow[leaf.quantity.index()];
        if (row >= v.table->rowCount()) return false;
        if (leaf.kind == ExprKind::ChoiceKey || leaf.kind == ExprKind::AxisKey) {
            out = rowKey(*v.table, row);
            return true;
        }
        if (leaf.index >= v.table->cells.size()) return false;
        out = v.table->cells[leaf.index][row];
        return true;
    }
    case ExprKind::External: {
        const Value* v = m_externals != nullptr && leaf.index < m_externals->size() ? (*m_externals)[leaf.index] : nullptr;
        if (v == nullptr || !v->known()) return false;
        out = v->one;
        return true;
    }
    default: return false;
    }
}

bool Engine::loadLanes(const Leaf& leaf, std::size_t n, Operand& out) {
    if (leaf.kind == ExprKind::Bound) {
        const double* lanes = m_laneSlot[leaf.index];
        out = lanes != nullptr ? Operand{lanes, false} : Operand{&m_slots[leaf.index], true};
        return true;
    }
    bool laned = false;
    if (m_points != nullptr) {
        const std::size_t at = leaf.kind == ExprKind::External ? leaf.index : leaf.quantity.index();
        if (const PointRow* row = m_points->rows[at]) return loadPoints(leaf, *row, n, out);
    }
    if (!m_lanedAxes.empty()) {
        if (leaf.kind == ExprKind::AxisField || leaf.kind == ExprKind::AxisKey) {
            laned = m_laneAxis[leaf.quantity.index()] != nullptr;
        } else if (leaf.kind == ExprKind::Quantity) {
            for (const QuantityId a : m_sheet->at(leaf.quantity).axes) laned = laned || m_laneAxis[a.index()] != nullptr;
        }
    }
    if (!laned) {
        double* one = m_arena.take(1);
        out = {one, true};
        if (load(leaf, *one)) return true;
        if (m_points == nullptr) return false;
        // Whatever reaches it raises a flag; a branch that no lane takes does not.
        *one = std::numeric_limits<double>::signaling_NaN();
        return true;
    }
    const Value& v = m_values->at(leaf.quantity);
    if (!v.known()) return false;
    if (leaf.kind == ExprKind::Quantity) {
        const std::vector<QuantityId>& axes = m_sheet->at(leaf.quantity).axes;
        if (m_caseAxes != nullptr && *m_caseAxes == axes && m_caseFirst + n <= v.many.size()) {
            out = {v.many.data() + m_caseFirst, false};
            return true;
        }
        double* lanes = m_arena.take(n);
        for (std::size_t i = 0; i < n; ++i) {
            std::size_t index = 0;
            for (const QuantityId a : axes) {
                const std::uint32_t* rows = m_laneAxis[a.index()];
                index = index * m_values->axisSize(a) + (rows != nullptr ? rows[i] : m_axisRow[a.index()]);
            }
            if (index >= v.many.size()) return false;
            lanes[i] = v.many[index];
        }
        out = {lanes, false};
        return true;
    }
    if (!v.table) return false;
    const std::uint32_t* rows = m_laneAxis[leaf.quantity.index()];
    double* lanes = m_arena.take(n);
    const bool key = leaf.kind == ExprKind::AxisKey;
    if (!key && leaf.index >= v.table->cells.size()) return false;
    for (std::size_t i = 0; i < n; ++i) lanes[i] = key ? rowKey(*v.table, rows[i]) : v.table->cells[leaf.index][rows[i]];
    out = {lanes, false};
    return true;
}

void Engine::blockOn(const Leaf& leaf) {
    if (m_failed) return;
    m_failed = true;
    m_failure.blocked = true;
    m_failure.blockedBy = leaf.quantity;
    m_failure.external = leaf.index;
}

// --- running -------------------------------------------------------------------------------------

double Engine::run(const Formula& f) {
    if (!f.fault.empty()) {
        diag::Diagnostic d;
        d.code = diag::Code::InvalidOperation;
        d.place = place(m_pool.at(f.root));
        d.message = "the formula could not be compiled: " + f.fault;
        d.mend = "this is a fault of the program; write the formula in smaller steps";
        fail(std::move(d));
        return 0.0;
    }
    double smallFrame[kFewLeaves];
    std::uint8_t smallMissing[kFewLeaves];
    std::vector<double> largeFrame;
    std::vector<std::uint8_t> largeMissing;
    double* frame = smallFrame;
    std::uint8_t* missing = smallMissing;
    const std::size_t n = f.leaves.size();
    if (n > kFewLeaves) {
        largeFrame.resize(n);
        largeMissing.resize(n);
        frame = largeFrame.data();
        missing = largeMissing.data();
    }
    bool any = false;
    for (std::size_t i = 0; i < n; ++i) {
        const bool there = load(f.leaves[i], frame[i]);
        missing[i] = there ? 0 : 1;
        any = any || !there;
    }
    FormulaHost host(*this, f);
    std::int64_t reached = -1;
    const double result = runOnce(f.code, frame, any ? missing : nullptr, host, reached);
    ++m_counts.scalar;
    if (reached >= 0) blockOn(f.leaves[static_cast<std::size_t>(reached)]);
    return result;
}

bool Engine::block(const Formula& f, std::size_t n, const std::uint8_t* mask, double* out) {
    m_outerFlags |= raisedFlags();
    clearFlags();
    if (m_points != nullptr) return lanes(f, n, mask, out); // a point that fails is worked out by itself, later
    if (m_blocks && n >= kFewLanes && lanes(f, n, mask, out)) return true;
    return oneByOne(f, n, mask, out);
}

/// False: something failed or raised a flag, perhaps in a lane that does not count.
bool Engine::lanes(const Formula& f, std::size_t n, const std::uint8_t* mask, double* out) {
    if (!f.fault.empty()) return false;
    const Arena::Mark mark(m_arena);
    Operand smallFrame[kFewLeaves];
    std::vector<Operand> largeFrame;
    Operand* frame = smallFrame;
    if (f.leaves.size() > kFewLeaves) {
        largeFrame.resize(f.leaves.size());
        frame = largeFrame.data();
    }
    for (std::size_t i = 0; i < f.leaves.size(); ++i) {
        if (!loadLanes(f.leaves[i], n, frame[i])) return false;
    }
    FormulaHost host(*this, f);
    // An inner block clears the flags for itself and leaves what was raised before in m_outerFlags.
    const unsigned outer = std::exchange(m_outerFlags, 0U);
    const bool fine = runBlock(f.code, frame, n, mask, host, m_arena, out);
    m_counts.lanes += n;
    const unsigned raised = raisedFlags() | m_outerFlags;
    m_outerFlags = outer;
    bool finite = fine && raised == 0 && (mask != nullptr || allFinite(out, n));
    for (std::size_t i = 0; i < n && finite && mask != nullptr; ++i) finite = std::isfinite(out[i]) || mask[i] == 0;
    if (finite) return true;
    m_failed = false;
    m_failure = {};
    return false;
}

bool Engine::oneByOne(const Formula& f, std::size_t n, const std::uint8_t* mask, double* out) {
    clearFlags();
    PerLane lanes(*this);
    for (std::size_t i = 0; i < n; ++i) {
        if (mask != nullptr && mask[i] == 0) {
            out[i] = 0.0;
            continue;
        }
        lanes.at(i);
        const unsigned outer = std::exchange(m_outerFlags, 0U);
        out[i] = run(f);
        const bool raised = (raisedFlags() | m_outerFlags) != 0;
        m_outerFlags = outer;
        if (m_failed) return false;
        if (raised || !std::isfinite(out[i])) {
            explain(f.root);
            clearFlags();
            return false;
        }
    }
    return true;
}

bool Engine::number(ExprId root, double& out) {
    const Formula& f = formula(root);
    // Flags stick: when none stands at the end none was raised, whatever stood before is no matter. Only when
    // one does is it worth asking whose it is: reading the flags costs as much as a small formula.
    m_outerFlags = 0;
    const std::uint64_t work = m_work;
    out = run(f);
    if (!m_failed && (raisedFlags() | m_outerFlags) == 0 && std::isfinite(out)) return true;
    if (m_failed) return false;
    clearFlags();
    m_outerFlags = 0;
    m_work = work;
    out = run(f);
    if (m_failed) return false;
    if ((raisedFlags() | m_outerFlags) == 0 && std::isfinite(out)) return true;
    explain(root);
    return false;
}

namespace {

/// For formulas without call-outs.
class NobodyHost final : public Host {
public:
    NobodyHost() : Host(&kNever) {}
    double callOut(std::uint32_t, const double*, std::uint32_t) override { return 0.0; }
    bool callOutBlock(std::uint32_t, const Operand*, std::uint32_t, std::size_t, const std::uint8_t*, double*) override { return false; }

private:
    static constexpr bool kNever = false;
};

/// Rows of one axis in consecutive cases: each row `run` cases long, beginning anew after the last.
void fillRows(std::uint32_t* rows, std::size_t n, std::size_t first, std::size_t run, std::size_t size) {
    std::size_t row = first / run % size, left = run - first % run;
    for (std::size_t i = 0; i < n;) {
        const std::size_t until = std::min(n, i + left);
        for (; i < until; ++i) rows[i] = static_cast<std::uint32_t>(row);
        left = run;
        row = row + 1 == size ? 0 : row + 1;
    }
}

/// The same for the last axis, which runs fastest.
void countRows(std::uint32_t* rows, std::size_t n, std::size_t first, std::size_t size) {
    for (std::size_t i = 0, row = first % size; i < n; row = 0) {
        const std::size_t until = std::min(n, i + size - row);
        for (; i < until; ++i, ++row) rows[i] = static_cast<std::uint32_t>(row);
    }
}

} // namespace

bool Engine::plainNumber(const Formula& f, const MemberValues& values, double& out) {
    double frame[kFewLeaves];
    const Value* const all = values.values.data();
    double* into = frame;
    for (const Leaf& leaf : f.leaves) {
        const Value& v = all[leaf.quantity.index()];
        if (v.state != State::Known || !v.many.empty()) return false;
        *into++ = v.one;
    }
    static NobodyHost nobody;
    std::int64_t reached = -1;
    out = runOnce(f.code, frame, nullptr, nobody, reached);
    ++m_counts.scalar;
    // Flags stick: none at the end means that none was raised on the way. Reading them takes as long as the
    // formula, so it is left out where the result tells as much.
    if (!std::isfinite(out)) return false;
    if (f.code.carries) return true;
    return raisedFlags() == 0;
}

bool Engine::cases(ExprId root, const std::vector<QuantityId>& axes, std::size_t count, std::vector<double>& out) {
    const Formula& f = formula(root);
    out.resize(count);
    const std::size_t n = axes.size();
    m_caseRows.resize(std::max(m_caseRows.size(), n * kLanes));
    std::uint32_t* const rows = m_caseRows.data();
    CaseRows wanted;
    for (const QuantityId a : axes) wanted.axes.emplace_back(a, m_values->axisSize(a));
    for (std::size_t a = 0; a < n; ++a) {
        m_noteAxes.push_back(axes[a]);
        m_lanedAxes.push_back(axes[a]);
        m_laneAxis[axes[a].index()] = &rows[a * kLanes];
    }
    m_caseAxes = &axes;
    bool fine = true;
    for (std::size_t first = 0; fine && first < count; first += kLanes) {
        const std::size_t lanes = std::min(kLanes, count - first);
        // The next row often has the same cases.
        wanted.first = first;
        wanted.lanes = lanes;
        const bool held = wanted == m_caseRowsHeld;
        std::size_t run = 1;
        for (std::size_t a = n; a-- > 0 && !held;) {
            const std::size_t size = m_values->axisSize(axes[a]);
            if (run == 1)
                countRows(rows + a * kLanes, lanes, first, size);
            else
                fillRows(rows + a * kLanes, lanes, first, run, size);
            run *= size;
        }
        if (!held) m_caseRowsHeld = wanted;
        m_caseFirst = first;
        clearFlags();
        m_outerFlags = 0;
        fine = block(f, lanes, nullptr, out.data() + first);
    }
    m_caseAxes = nullptr;
    for (const QuantityId a : axes) m_laneAxis[a.index()] = nullptr;
    m_lanedAxes.clear();
    m_noteAxes.resize(m_noteAxes.size() - n);
    return fine;
}

bool Engine::along(ExprId body, std::uint32_t slot, const double* x, std::size_t n, double* out, FlatRun* run) {
    const Formula& f = formula(body);
    bool fine = true;
    for (std::size_t first = 0; fine && first < n; first += kLanes) {
        const std::size_t count = std::min(kLanes, n - first);
        m_work += count;
        if (m_work > kMostWork) {
            diag::Diagnostic d;
            d.code = diag::Code::TooMuchWork;
            d.place = place(m_pool.at(body));
            d.message = "the row needs more than 50,000,000 evaluations of a formula along its ranges";
            d.mend = "nest fewer ranges, or work the inner one out in a row of its own";
            fail(std::move(d));
            return false;
        }
        if (run != nullptr && m_blocks && count >= kFewLanes && run->block(x + first, count, out + first)) continue;
        m_laneSlot[slot] = x + first;
        m_lanedSlots.push_back(slot);
        fine = block(f, count, nullptr, out + first);
        m_laneSlot[slot] = nullptr;
        m_lanedSlots.pop_back();
    }
    return fine;
}

std::optional<double> Engine::quietly(ExprId root) {
    const Quiet quiet(*this);
    const double v = run(formula(root));
    if (m_failed || (raisedFlags() | m_outerFlags) != 0 || !std::isfinite(v)) return std::nullopt;
    return v;
}

Quiet::Quiet(Engine& engine)
    : m_engine(engine), m_failed(engine.m_failed), m_failure(engine.m_failure), m_flags(raisedFlags()), m_outerFlags(engine.m_outerFlags) {
    engine.m_failed = false;
    engine.m_outerFlags = 0;
    clearFlags();
}

Quiet::~Quiet() {
    m_engine.m_failed = m_failed;
    m_engine.m_failure = m_failure;
    m_engine.m_outerFlags = m_outerFlags | m_flags;
    clearFlags();
}

} // namespace spanwright::eval
