// SPDX-License-Identifier: MIT
#include "engine/eval/points.h"

#include <algorithm>
#include <cmath>
#include <optional>

#include "engine/eval/beam_row.h"
#include "engine/eval/engine.h"
#include "engine/eval/flags.h"
#include "engine/eval/search_groups.h"

namespace spanwright::eval {

using meaning::ExprId;
using meaning::Kind;
using meaning::Quantity;
using meaning::QuantityId;

namespace {

/// Fewer lanes than this are not worth another try in lanes.
constexpr std::size_t kFew = 4;

void gather(const meaning::Sheet& sheet, ExprId root, std::vector<QuantityId>& out) {
    if (!root.valid()) return;
    std::vector<ExprId> pending{root};
    std::vector<char> seen(sheet.functions.size(), 0);
    while (!pending.empty()) {
        const meaning::Expr& e = sheet.exprs.at(pending.back());
        pending.pop_back();
        if (e.quantity.valid()) out.push_back(e.quantity);
        if (e.factors.row.valid()) out.push_back(e.factors.row);
        if (e.function.valid() && seen[e.function.index()] == 0) {
            seen[e.function.index()] = 1;
            if (sheet.functions[e.function.index()].body.valid()) pending.push_back(sheet.functions[e.function.index()].body);
        }
        pending.insert(pending.end(), e.children.begin(), e.children.end());
    }
}

} // namespace

struct PointProgram::Impl {
    Impl(std::shared_ptr<const meaning::Sheet> s, const MemberValues& b)
        : sheet(std::move(s)), base(b), engine(sheet->exprs, sheet.get()), program(sheet), scratch(b), rows(sheet->quantities.size()),
          plans(sheet->quantities.size()), blockCauses(sheet->quantities.size(), State::Blocked), searches(engine, *sheet, base, rows) {
        scope.rows.resize(sheet->quantities.size(), nullptr);
    }

    /// How a row is gone about, found out when it is first worked out.
    struct Plan {
        std::vector<QuantityId> needs; ///< rows that it reads and that vary
        bool lanes = false;
        bool check = false;
        std::size_t cases = 1;
        enum class Applies : std::uint8_t { Always, Never, Asked } applies = Applies::Always; ///< Asked: its condition varies
        bool limitsStand = false;                                                             ///< the limits do not vary, and are numbers
        std::optional<double> low, high;
        bool limitsKnown = false;
        /// Whether a number is well inside the limits; what is as near to one as rounding is left to the program.
        [[nodiscard]] bool inside(double v) const {
            constexpr double kNear = 1e-12;
            return (!low || v >= *low + kNear * std::fabs(v)) && (!high || v <= *high - kNear * std::fabs(v));
        }
    };

    std::shared_ptr<const meaning::Sheet> sheet;
    const MemberValues& base;
    Engine engine;
    Program program;
    MemberValues scratch; ///< the base, but for rows that vary: those of one point at a time
    std::vector<std::unique_ptr<PointRow>> rows;
    std::vector<std::unique_ptr<Plan>> plans;
    std::vector<State> blockCauses;
    SearchGroups searches;
    std::vector<QuantityId> varying;
    PointScope scope;
    std::size_t count = 0;
    std::vector<std::uint32_t> good, bad;
    std::vector<double> spare;
    Program::Counts doneByLanes;

    Plan& plan(const Quantity& q);
    void findLimits(const Quantity& q, Plan& p);
    void putPoint(const Plan& p, std::size_t point);
    void take(QuantityId id, std::size_t point, Value v);
    void one(const Quantity& q, const Plan& p, std::size_t point) {
        putPoint(p, point);
        take(q.id, point, program.evaluate(q.id, scratch));
    }
    /// Lanes `list` (null: the first n points in order) of a row; those that fail one by one.
    void lanes(const Quantity& q, const Plan& p, const std::uint32_t* list, std::size_t n);
    /// False: a lane failed, or all; nothing is said about any of them. Else each has its state.
    bool tryLanes(const Quantity& q, const Plan& p, const std::uint32_t* list, std::size_t n);
    /// Numbers that lanes gave to a row with limits: those not well inside them by themselves.
    void limit(const Quantity& q, const Plan& p, const std::uint32_t* list, std::size_t n) {
        if (!p.low && !p.high) return;
        const PointRow& row = *rows[q.id.index()];
        for (std::size_t i = 0; i < n; ++i) {
            const std::size_t point = list != nullptr ? list[i] : i;
            if (row.states[point] == State::Known && !p.inside(row.numbers[point])) one(q, p, point);
        }
    }
    void settle(PointRow& row) const {
        row.allKnown = std::all_of(row.states.begin(), row.states.begin() + static_cast<std::ptrdiff_t>(count), [](State s) { return s == State::Known; });
    }
    void findSearches();
    bool atOnce(const Quantity& q, const Plan& p);
    bool beamsAtOnce(const Quantity& q, const Plan& p);
    void work(const Quantity& q, bool inLanes);
};

PointProgram::Impl::Plan& PointProgram::Impl::plan(const Quantity& q) {
    std::unique_ptr<Plan>& slot = plans[q.id.index()];
    if (slot) return *slot;
    slot = std::make_unique<Plan>();
    Plan& p = *slot;
    std::vector<QuantityId> reads = q.reads;
    reads.insert(reads.end(), q.axes.begin(), q.axes.end());
    for (const QuantityId id : {q.condition, q.list, q.whenTrue, q.whenFalse})
        if (id.valid()) reads.push_back(id);
    for (const ExprId e : {q.low, q.high}) gather(*sheet, e, reads);
    std::sort(reads.begin(), reads.end());
    reads.erase(std::unique(reads.begin(), reads.end()), reads.end());
    for (const QuantityId id : reads)
        if (rows[id.index()] && id != q.id) p.needs.push_back(id);
    if (q.condition.valid()) {
        if (rows[q.condition.index()]) {
            p.applies = Plan::Applies::Asked;
        } else {
            const Value& c = base.at(q.condition);
            p.applies = c.known() && (c.data()[0] != 0.0) != q.otherwise ? Plan::Applies::Always : Plan::Applies::Never;
        }
    }
    const bool formulaRow = q.kind == Kind::Derive || q.kind == Kind::Check || q.kind == Kind::Require || q.kind == Kind::Condition || q.kind == Kind::Given;
    p.lanes = formulaRow && !q.broken && q.formula.valid() && p.applies != Plan::Applies::Never;
    p.check = q.kind == Kind::Check && q.right.valid();
    for (const QuantityId a : q.axes) {
        p.lanes = p.lanes && !rows[a.index()] && base.at(a).known();
        p.cases *= base.axisSize(a);
        if (p.cases > kMostCases) p.lanes = false;
        if (!p.lanes) break;
    }
    if (p.lanes && q.kind == Kind::Given) {
        findLimits(q, p);
        p.lanes = p.limitsStand;
    }
    p.lanes = p.lanes && p.cases > 0 && engine.goesInLanes(q.formula, scope) && (!p.check || engine.goesInLanes(q.right, scope));
    return p;
}

void PointProgram::Impl::putPoint(const Plan& p, std::size_t point) {
    for (const QuantityId id : p.needs) {
        const PointRow& from = *rows[id.index()];
        Value& to = scratch.values[id.index()];
        to.state = from.states[point];
        to.table = from.tableAt(point);
        to.problem.reset();
        to.blockedBy = {};
        if (from.hasBeams())
            to.solved = from.beamAt(point);
        else
            to.solved.reset();
        to.many.clear();
        if (to.state != State::Known || from.numbers.empty()) continue;
        if (sheet->at(id).axes.empty()) {
            to.one = from.numbers[point];
            continue;
        }
        to.many.resize(from.casesAt(point));
        for (std::size_t c = 0; c < to.many.size(); ++c) to.many[c] = from.numbers[c * kPoints + point];
    }
}

void PointProgram::Impl::take(QuantityId id, std::size_t point, Value v) {
    PointRow& row = *rows[id.index()];
    row.states[point] = v.state;
    row.causes[point] = v.state;
    if (v.state == State::Blocked) {
        State cause = State::Blocked;
        if (v.blockedBy.valid()) cause = rows[v.blockedBy.index()] ? rows[v.blockedBy.index()]->causes[point] : base.at(v.blockedBy).state;
        if (cause == State::Blocked && v.blockedBy.valid() && !rows[v.blockedBy.index()]) cause = blockCauses[v.blockedBy.index()];
        row.causes[point] = cause;
    }
    if (v.problem && !row.problem) row.problem = v.problem;
    if (v.state != State::Known) return;
    if (v.table) row.setTable(point, std::move(v.table));
    if (v.solved) row.setBeam(point, std::move(v.solved));
    const std::size_t cases = sheet->at(id).axes.empty() ? 1 : v.many.size();
    if (!row.counted) row.cases = cases;
    row.counted = true;
    if (row.counts.empty() && cases != row.cases) {
        // Until now `cases` was said of all; rows of an each that vary leave as many as they leave.
        row.counts.assign(kPoints, static_cast<std::uint32_t>(row.cases));
        row.cases = std::max(row.cases, cases);
    }
    if (!row.counts.empty()) {
        row.counts[point] = static_cast<std::uint32_t>(cases);
        row.cases = std::max(row.cases, cases);
    }
    const std::size_t room = std::max<std::size_t>(cases, 1) * kPoints;
    if (row.numbers.size() < room) row.numbers.resize(room);
    for (std::size_t c = 0; c < cases; ++c) row.numbers[c * kPoints + point] = v.data()[c];
    if (v.right.empty()) return;
    if (row.right.size() < room) row.right.resize(room);
    for (std::size_t c = 0; c < v.right.size() && c < cases; ++c) row.right[c * kPoints + point] = v.right[c];
}

bool PointProgram::Impl::tryLanes(const Quantity& q, const Plan& p, const std::uint32_t* list, std::size_t n) {
    PointRow& row = *rows[q.id.index()];
    engine.begin(&base, nullptr);
    scope.list = list;
    scope.alone.clear();
    const auto side = [&](ExprId e, std::vector<double>& into) {
        for (std::size_t c = 0; c < p.cases; ++c) {
            std::size_t rest = c;
            for (std::size_t a = q.axes.size(); a-- > 0;) {
                const std::size_t size = base.axisSize(q.axes[a]);
                engine.setAxisRow(q.axes[a], rest % size);
                rest /= size;
            }
            double* out = into.data() + c * kPoints;
            if (list == nullptr) {
                if (!engine.points(e, scope, n, out)) return false;
                continue;
            }
            spare.resize(kPoints);
            if (!engine.points(e, scope, n, spare.data())) return false;
            for (std::size_t i = 0; i < n; ++i) out[list[i]] = spare[i];
        }
        return true;
    };
    if (list == nullptr && n == count && !searches.known()) findSearches();
    const bool searched = list == nullptr && n == count && searches.work(q.id, scope, n, row.numbers);
    if ((!searched && !side(q.formula, row.numbers)) || (p.check && !side(q.right, row.right))) return false;
    if (list == nullptr && n == count) {
        if (!row.allKnown) row.setAll(State::Known, count);
    } else {
        for (std::size_t i = 0; i < n; ++i) row.states[list != nullptr ? list[i] : i] = row.causes[list != nullptr ? list[i] : i] = State::Known;
    }
    std::sort(scope.alone.begin(), scope.alone.end());
    scope.alone.erase(std::unique(scope.alone.begin(), scope.alone.end()), scope.alone.end());
    for (const std::uint32_t lane : scope.alone) one(q, p, list != nullptr ? list[lane] : lane);
    limit(q, p, list, n);
    if (!scope.alone.empty() || p.low || p.high) settle(row);
    return true;
}

void PointProgram::Impl::lanes(const Quantity& q, const Plan& p, const std::uint32_t* list, std::size_t n) {
    if (tryLanes(q, p, list, n)) return;
    std::vector<std::uint32_t> all(n);
    for (std::size_t i = 0; i < n; ++i) all[i] = list != nullptr ? list[i] : static_cast<std::uint32_t>(i);
    if (n <= kFew) {
        for (const std::uint32_t point : all) one(q, p, point);
        return;
    }
    lanes(q, p, all.data(), n / 2);
    lanes(q, p, all.data() + n / 2, n - n / 2);
}

void PointProgram::Impl::findSearches() {
    std::vector<SearchGroups::Row> found;
    for (const QuantityId id : varying) {
        const Quantity& q = sheet->at(id);
        if (q.kind != Kind::Derive || !q.formula.valid() || sheet->exprs.at(q.formula).kind != meaning::ExprKind::Span) continue;
        const Plan& p = plan(q);
        if (p.lanes && p.applies == Plan::Applies::Always && searches.takes(q, scope)) found.push_back({id, p.needs});
    }
    searches.setRows(std::move(found));
}

/// Rows that come to the same at every point, or that only say whether what they read is known.
bool PointProgram::Impl::atOnce(const Quantity& q, const Plan& p) {
    PointRow& row = *rows[q.id.index()];
    const auto sameEverywhere = [&] {
        one(q, p, 0);
        const State state = row.states[0], cause = row.causes[0];
        row.setAll(state, count);
        std::fill_n(row.causes.begin(), count, cause);
        return true;
    };
    if (p.applies == Plan::Applies::Never) return sameEverywhere();
    if (p.applies == Plan::Applies::Asked || q.broken) return q.broken && sameEverywhere();
    bool known = true;
    for (const QuantityId id : q.reads) known = known && (rows[id.index()] ? rows[id.index()]->allKnown : base.at(id).known());
    switch (q.kind) {
    case Kind::Sketch:
    case Kind::Piece: return sameEverywhere(); // known, whatever they read
    case Kind::Plot:
    case Kind::Schedule: return known && sameEverywhere();
    case Kind::Switch: {
        const QuantityId condition = sheet->at(q.whenTrue).condition;
        if (condition.valid() && (rows[condition.index()] || !base.at(condition).known())) return false;
        const bool holds = !condition.valid() || (base.at(condition).data()[0] != 0.0) != sheet->at(q.whenTrue).otherwise;
        const QuantityId side = holds ? q.whenTrue : q.whenFalse;
        const PointRow* from = rows[side.index()].get();
        if (from == nullptr || !from->allKnown || !from->tables.empty() || !from->counts.empty() || sheet->at(side).axes != q.axes) return false;
        row.setAll(State::Known, count);
        row.cases = from->cases;
        row.counted = true;
        row.counts.clear();
        row.setTable(from->table);
        row.numbers = from->numbers;
        return true;
    }
    default: return false;
    }
}

/// A beam of the commonest kind at every point.
bool PointProgram::Impl::beamsAtOnce(const Quantity& q, const Plan& p) {
    if (q.kind != Kind::Beam || q.broken || p.applies != Plan::Applies::Always) return false;
    for (const QuantityId id : p.needs)
        if (!rows[id.index()]->allKnown) return false;
    engine.begin(&base, nullptr);
    scope.list = nullptr;
    std::shared_ptr<beam::EvenLines> lines = evenLinesOf(engine, q, scope, count);
    if (!lines) return false;
    PointRow& row = *rows[q.id.index()];
    row.setLines(std::move(lines));
    row.setAll(State::Known, count);
    row.cases = 1;
    row.counted = true;
    row.counts.clear();
    row.numbers.assign(kPoints, 0.0);
    return true;
}

void PointProgram::Impl::work(const Quantity& q, bool inLanes) {
    PointRow& row = *rows[q.id.index()];
    if (row.lines) row.setLines(nullptr);
    const Plan& p = plan(q);
    if (inLanes && !p.lanes && count > 0 && (atOnce(q, p) || beamsAtOnce(q, p))) return;
    if (!inLanes || !p.lanes) {
        for (std::size_t i = 0; i < count; ++i) one(q, p, i);
        settle(row);
        return;
    }
    row.cases = p.cases;
    row.counted = true;
    row.counts.clear();
    row.numbers.resize(p.cases * kPoints);
    if (p.check) row.right.resize(p.cases * kPoints);
    bool all = true;
    for (const QuantityId id : p.needs) all = all && rows[id.index()]->allKnown;
    if (all && p.applies == Plan::Applies::Always) {
        if (tryLanes(q, p, nullptr, count)) return;
        if (count > kFew) {
            lanes(q, p, nullptr, count);
        } else {
            for (std::size_t i = 0; i < count; ++i) one(q, p, i);
        }
        settle(row);
        return;
    }
    good.clear();
    bad.clear();
    for (std::uint32_t i = 0; i < count; ++i) {
        bool fine = true;
        for (const QuantityId id : p.needs) fine = fine && rows[id.index()]->states[i] == State::Known;
        if (fine && p.applies == Plan::Applies::Asked) fine = (rows[q.condition.index()]->numbers[i] != 0.0) != q.otherwise;
        (fine ? good : bad).push_back(i);
    }
    const std::vector<std::uint32_t> goodNow = good, badNow = bad;
    if (!goodNow.empty()) lanes(q, p, goodNow.data(), goodNow.size());
    for (const std::uint32_t i : badNow) one(q, p, i);
    settle(row);
}

PointProgram::PointProgram(std::shared_ptr<const meaning::Sheet> sheet, const MemberValues& base) : m_impl(std::make_unique<Impl>(std::move(sheet), base)) {}
PointProgram::~PointProgram() = default;

void PointProgram::setVarying(const std::vector<QuantityId>& ids) {
    Impl& m = *m_impl;
    for (const QuantityId id : m.varying) m.scratch.values[id.index()] = m.base.values[id.index()];
    std::fill(m.scope.rows.begin(), m.scope.rows.end(), nullptr);
    m.scope.varying.assign(m.sheet->exprs.nodes.size(), -1);
    for (auto& p : m.plans) p.reset();
    m.searches.forgetRows();
    for (auto& r : m.rows) r.reset();
    m.varying = ids;
    for (const QuantityId id : ids) {
        m.rows[id.index()] = std::make_unique<PointRow>();
        m.rows[id.index()]->setAll(State::Blocked, kPoints); // nothing is known of it yet
        m.scope.rows[id.index()] = m.rows[id.index()].get();
    }
    // What is blocked in the base waits for the end of a chain in the base.
    for (const Quantity& q : m.sheet->quantities) {
        QuantityId now = q.id;
        State cause = m.base.at(now).state;
        for (std::size_t steps = 0; cause == State::Blocked && steps < m.sheet->quantities.size(); ++steps) {
            now = m.base.at(now).blockedBy;
            if (!now.valid()) break;
            cause = m.base.at(now).state;
        }
        m.blockCauses[q.id.index()] = cause;
    }
}

void PointProgram::setPoints(std::size_t n) {
    Impl& m = *m_impl;
    for (const QuantityId id : m.varying) {
        PointRow& row = *m.rows[id.index()];
        if (n != m.count) row.allKnown = false;
        if (row.lines) row.setLines(nullptr); // those of other points
    }
    m.count = n;
    m.searches.beginPoints();
}
void PointProgram::keep(const std::vector<std::uint32_t>& points) {
    for (const QuantityId id : m_impl->varying) m_impl->rows[id.index()]->keep(points);
    m_impl->count = points.size();
}
std::size_t PointProgram::points() const { return m_impl->count; }
PointRow& PointProgram::row(QuantityId id) { return *m_impl->rows[id.index()]; }
const PointRow& PointProgram::row(QuantityId id) const { return *m_impl->rows[id.index()]; }
bool PointProgram::varies(QuantityId id) const { return m_impl->rows[id.index()] != nullptr; }
void PointProgram::work(QuantityId id) {
    m_impl->work(m_impl->sheet->at(id), true);
    m_impl->searches.done(id);
}
void PointProgram::workOneByOne(QuantityId id) {
    m_impl->work(m_impl->sheet->at(id), false);
    m_impl->searches.done(id);
}

void PointProgram::Impl::findLimits(const Quantity& q, Plan& p) {
    p.limitsKnown = true;
    p.limitsStand = !q.broken;
    for (const ExprId e : {q.low, q.high}) {
        if (!e.valid()) continue;
        p.limitsStand = p.limitsStand && !engine.variesByPoint(e, scope);
        if (!p.limitsStand) return;
        const std::optional<double> v = program.scalar(e, {}, base);
        p.limitsStand = v.has_value();
        (e == q.low ? p.low : p.high) = v;
    }
}

void PointProgram::stated(QuantityId id) {
    Impl& m = *m_impl;
    const Quantity& q = m.sheet->at(id);
    Impl::Plan& p = m.plan(q);
    if (!p.limitsKnown) m.findLimits(q, p);
    PointRow& row = *m.rows[id.index()];
    const bool limited = q.kind == Kind::Ask || q.kind == Kind::Given;
    for (std::size_t i = 0; i < m.count; ++i) {
        const double v = row.numbers.empty() ? 0.0 : row.numbers[i];
        if (p.limitsStand && p.applies == Impl::Plan::Applies::Always && row.states[i] == State::Known) {
            if (!limited || p.inside(v)) {
                row.causes[i] = State::Known;
                continue;
            }
        }
        m.putPoint(p, i);
        Value value;
        value.state = row.states[i];
        value.one = v;
        value.table = row.tableAt(i);
        const State cause = row.causes[i];
        m.take(id, i, m.program.stated(id, std::move(value), m.scratch));
        if (row.states[i] == State::Blocked && cause != State::Known && row.causes[i] == State::Blocked) row.causes[i] = cause;
    }
    m.settle(row);
    m.searches.done(id);
}

Program::Counts PointProgram::counts() const {
    const Program::Counts one = m_impl->program.counts();
    const Engine::Counts& lanes = m_impl->engine.counts();
    return {one.scalar + lanes.scalar, one.lanes + lanes.lanes, one.compiled + lanes.compiled};
}

} // namespace spanwright::eval
