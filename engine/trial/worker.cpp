// SPDX-License-Identifier: MIT
#include "engine/trial/worker.h"

#include <algorithm>
#include <bit>
#include <cmath>
#include <limits>

#include "engine/base/widest.h"

namespace spanwright::trial {

using eval::kPoints;
using eval::PointRow;
using eval::State;
using job::ExtractRow;
using meaning::Kind;
using meaning::QuantityId;
using CheckState = job::CheckView::State;

namespace {

constexpr double kNone = std::numeric_limits<double>::quiet_NaN();

/// Utilisations of a check at many points, the greatest of its cases, and whether it fails in one of them. False if
/// a capacity is not above zero or a utilisation is no number: then nothing is said.
SPANWRIGHT_WIDEST bool judgeCases(const double* __restrict demand, const double* __restrict capacity, std::size_t cases, std::size_t count,
                                  double* __restrict utilisation, double* __restrict fails) {
    std::uint64_t bad = 0;
    for (std::size_t k = 0; k < cases; ++k) {
        const double *d = demand + k * kPoints, *c = capacity + k * kPoints;
        for (std::size_t i = 0; i < count; ++i) {
            const double u = d[i] / c[i];
            const double failsHere = d[i] <= c[i] * (1.0 + job::kCheckSlack) ? 0.0 : 1.0;
            bad |= c[i] > 0.0 ? 0U : 1U;
            fails[i] = k == 0 ? failsHere : fails[i] + failsHere;
            utilisation[i] = k == 0 || u > utilisation[i] ? u : utilisation[i];
        }
    }
    // The exponents of infinities and of what is no number are all ones.
    constexpr std::uint64_t kOnes = 0x7ff0000000000000U;
    for (std::size_t i = 0; i < count; ++i) bad |= (std::bit_cast<std::uint64_t>(utilisation[i]) & kOnes) == kOnes ? 1U : 0U;
    return bad == 0;
}

/// The greatest utilisation so far at each point, and the check that has it.
SPANWRIGHT_WIDEST void govern(const double* __restrict utilisation, std::size_t count, std::uint32_t check, double* __restrict most,
                              std::uint32_t* __restrict which) {
    for (std::size_t i = 0; i < count; ++i) {
        const double u = utilisation[i];
        const bool more = !(u <= most[i]) && u == u;
        most[i] = more ? u : most[i];
        which[i] = more ? check : which[i];
    }
}

/// The weightier of two ways a check can stand.
int weight(CheckState s) {
    switch (s) {
    case CheckState::NotComputed: return 4;
    case CheckState::Fails: return 3;
    case CheckState::NotProven: return 2;
    case CheckState::Passes: return 1;
    case CheckState::NotApplicable: return 0;
    }
    return 4;
}

bool passes(CheckState s) { return s == CheckState::Passes || s == CheckState::NotApplicable; }

} // namespace

Verdict verdictOf(CheckState s) {
    switch (s) {
    case CheckState::Fails: return Verdict::Fails;
    case CheckState::Passes:
    case CheckState::NotApplicable: return Verdict::Ok;
    default: return Verdict::NotProven;
    }
}

Verdict verdictOf(State s, State cause) {
    switch (s) {
    case State::Known:
    case State::NotApplicable: return Verdict::Ok;
    case State::NotStated: return Verdict::NotProven;
    case State::Failed: return Verdict::NotComputed;
    case State::Blocked: return cause == State::NotStated ? Verdict::NotProven : Verdict::NotComputed;
    }
    return Verdict::NotComputed;
}

PointRow& Worker::rowAt(const job::ExtractRef& at) { return at.member == job::ExtractRef::kJob ? *m_givens[at.id.index()] : m_members[at.member]->row(at.id); }

void Worker::take(const RunPlan& plan) {
    if (m_stamp == plan.stamp) return;
    m_stamp = plan.stamp;
    m_members.clear();
    m_unsettled.resize(plan.extract.members.size());
    for (std::size_t i = 0; i < plan.extract.members.size(); ++i) {
        const job::ExtractMember& m = plan.extract.members[i];
        auto& program = m_programs[{m.sheet.get(), m.values.get()}];
        if (!program) {
            program = std::make_unique<eval::PointProgram>(m.sheet, *m.values);
            m_kept.push_back(m.values);
        }
        program->setVarying(plan.varying[i]);
        m_members.push_back(program.get());
    }
    m_givens.clear();
    for (std::size_t i = 0; i < plan.extract.givens.size(); ++i) m_givens.push_back(std::make_unique<PointRow>());
    m_linkOf.assign(plan.extract.rows.size(), nullptr);
    m_cellsOf.assign(plan.extract.rows.size(), {});
    for (std::size_t i = 0; i < plan.extract.rows.size(); ++i) {
        const ExtractRow& row = plan.extract.rows[i];
        const auto linkOf = [&](const std::shared_ptr<const meaning::Link>& of) {
            auto& link = m_links[of.get()];
            if (!link) {
                link = std::make_unique<eval::PointLink>(of);
                m_kept.push_back(of);
            }
            return link.get();
        };
        if (row.link) m_linkOf[i] = linkOf(row.link);
        for (const ExtractRow::Cell& c : row.cells) m_cellsOf[i].push_back(linkOf(c.link));
    }
    m_filled.assign(plan.extract.varied.size(), std::vector<double>(kPoints));
}

std::vector<eval::PointLink::Reference> Worker::referencesOf(const ExtractRow& row, std::size_t first, std::size_t n) {
    std::vector<eval::PointLink::Reference> references(n);
    for (std::size_t r = 0; r < n; ++r) {
        const ExtractRow::Reference& from = row.references[first + r];
        if (from.varies)
            references[r].row = &rowAt(from.at);
        else
            references[r].fixed = &from.fixed;
        references[r].fixedCause = from.cause;
    }
    return references;
}

void Worker::workList(const ExtractRow& row, std::size_t index, std::size_t count, PointRow& out) {
    // The same rows at every point with other numbers in the cells that are links: a table for each.
    out.setAll(State::Known, count);
    out.setTable(nullptr);
    std::vector<std::shared_ptr<meaning::Table>> tables;
    for (std::size_t i = 0; i < count; ++i) tables.push_back(std::make_shared<meaning::Table>(*row.stated.table));
    for (std::size_t c = 0; c < row.cells.size(); ++c) {
        const ExtractRow::Cell& cell = row.cells[c];
        PointRow values;
        m_cellsOf[index][c]->work(referencesOf(row, cell.firstReference, cell.link->references.size()), count, values);
        if (values.problem && !out.problem) out.problem = values.problem;
        for (std::size_t i = 0; i < count; ++i) {
            tables[i]->cells[cell.column][cell.row] = values.numbers[i];
            if (values.states[i] == State::Known || out.states[i] != State::Known) continue;
            out.states[i] = values.states[i];
            out.causes[i] = values.causes[i];
        }
    }
    for (std::size_t i = 0; i < count; ++i) out.setTable(i, std::move(tables[i]));
}

void Worker::workRow(const RunPlan& plan, const ExtractRow& row, std::size_t index, std::size_t count, bool inLanes) {
    PointRow& out = rowAt(row.at);
    const bool ofJob = row.at.member == job::ExtractRef::kJob;
    const auto settleStated = [&] {
        if (!ofJob) m_members[row.at.member]->stated(row.at.id);
    };
    switch (row.how) {
    case ExtractRow::How::Sheet:
        if (inLanes)
            m_members[row.at.member]->work(row.at.id);
        else
            m_members[row.at.member]->workOneByOne(row.at.id);
        return;
    case ExtractRow::How::Fixed: out.setAll(State::Failed, count); return;
    case ExtractRow::How::Varied: {
        const std::size_t k = static_cast<std::size_t>(std::find(plan.extract.varied.begin(), plan.extract.varied.end(), row.at) - plan.extract.varied.begin());
        out.setAll(State::Known, count);
        out.numbers.resize(kPoints);
        std::copy_n(m_filled[k].begin(), count, out.numbers.begin());
        out.setTable(row.stated.table);
        for (std::size_t i = 0; i < count; ++i) {
            const double v = out.numbers[i];
            const bool fine = std::isfinite(v) && (!out.table || (v >= 0.0 && v < static_cast<double>(out.table->rowCount())));
            if (!fine) out.states[i] = out.causes[i] = State::Failed; // stands outside every table
        }
        settleStated();
        if (ofJob)
            out.allKnown = std::all_of(out.states.begin(), out.states.begin() + static_cast<std::ptrdiff_t>(count), [](State s) { return s == State::Known; });
        return;
    }
    case ExtractRow::How::Stated:
        out.setAll(row.stated.state, count);
        out.numbers.assign(kPoints, row.stated.one);
        out.setTable(row.stated.table);
        if (row.stated.problem) out.problem = row.stated.problem;
        settleStated();
        return;
    case ExtractRow::How::List:
        workList(row, index, count, out);
        settleStated();
        return;
    case ExtractRow::How::Link: {
        const std::vector<eval::PointLink::Reference> references = referencesOf(row, 0, row.references.size());
        m_linkOf[index]->work(references, count, out);
        if (!ofJob && plan.extract.members[row.at.member].sheet->at(row.at.id).kind == Kind::Choose) {
            // A link to a chosen row hands over the text of its key.
            out.setTable(row.stated.table);
            for (std::size_t i = 0; i < count; ++i) {
                if (out.states[i] != State::Known) continue;
                std::size_t found = 0;
                const std::size_t rows = out.table ? out.table->rowIds.size() : 0;
                while (found < rows && out.table->rowIds[found] != out.numbers[i]) ++found;
                if (found == rows)
                    out.states[i] = out.causes[i] = State::Failed;
                else
                    out.numbers[i] = static_cast<double>(found);
            }
        }
        settleStated();
        if (ofJob)
            out.allKnown = std::all_of(out.states.begin(), out.states.begin() + static_cast<std::ptrdiff_t>(count), [](State s) { return s == State::Known; });
        return;
    }
    }
}

void Worker::begin(const RunPlan& plan, std::size_t first, std::size_t count, const Fill& fill) {
    take(plan);
    std::vector<double*> out;
    for (auto& f : m_filled) out.push_back(f.data());
    fill(first, count, out.data());
    for (eval::PointProgram* p : m_members) p->setPoints(count);
}

void Worker::values(const RunPlan& plan, std::size_t first, std::size_t count, const Fill& fill, bool inLanes) {
    begin(plan, first, count, fill);
    for (std::size_t i = 0; i < plan.extract.rows.size(); ++i) workRow(plan, plan.extract.rows[i], i, count, inLanes);
}

/// The common case, every number known and every capacity above zero: the same rule as job::judged(), in loops without
/// branches. False if it is not so.
bool Worker::judgeQuickly(const meaning::Quantity& q, const PointRow& row, std::size_t count, Judged& out) {
    if (q.kind != Kind::Check || !q.right.valid() || !row.allKnown || !row.counts.empty() || row.cases == 0) return false;
    if (q.relation == syntax::Op::Equal || q.relation == syntax::Op::NotEqual || row.right.size() < row.cases * kPoints) return false;
    const bool upward = q.relation == syntax::Op::Greater || q.relation == syntax::Op::GreaterEqual;
    const double* const demand = (upward ? row.right : row.numbers).data();
    const double* const capacity = (upward ? row.numbers : row.right).data();
    if (!judgeCases(demand, capacity, row.cases, count, out.utilisation.data(), out.fails.data())) return false;
    for (std::size_t i = 0; i < count; ++i) out.state[i] = out.fails[i] != 0.0 ? CheckState::Fails : CheckState::Passes;
    out.plain = true;
    return true;
}

void Worker::judge(const RunPlan& plan, std::uint32_t check, std::size_t count, Judged& out) const {
    const CheckName& c = plan.checks[check];
    const eval::PointProgram& program = *m_members[c.member];
    const meaning::Quantity& q = plan.extract.members[c.member].sheet->at(c.id);
    const PointRow& row = program.row(c.id);
    const auto& values = *plan.extract.members[c.member].values;
    out.plain = false;
    if (judgeQuickly(q, row, count, out)) return;
    bool emptyAxis = false;
    for (QuantityId a : q.axes) emptyAxis = emptyAxis || (!program.varies(a) && values.at(a).known() && values.axisSize(a) == 0);
    for (std::size_t i = 0; i < count; ++i) {
        out.utilisation[i] = kNone;
        if (row.states[i] == State::NotApplicable || (row.states[i] == State::Known && (emptyAxis || row.casesAt(i) == 0))) {
            out.state[i] = CheckState::NotApplicable;
            continue;
        }
        if (row.states[i] != State::Known) {
            out.state[i] = CheckState::NotComputed;
            continue;
        }
        CheckState worst = CheckState::NotApplicable;
        for (std::size_t k = 0; k < row.casesAt(i); ++k) {
            const std::size_t at = k * kPoints + i;
            CheckState s = CheckState::NotComputed;
            if (c.isRequire) {
                s = row.numbers[at] != 0.0 ? CheckState::Passes : CheckState::NotProven;
            } else if (q.right.valid() && at < row.right.size()) {
                const job::Judgement j = job::judged(q.relation, row.numbers[at], row.right[at]);
                s = j.state;
                if (j.hasUtilisation && !(out.utilisation[i] >= j.utilisation)) out.utilisation[i] = j.utilisation;
                if (!j.hasUtilisation && s == CheckState::Fails) out.utilisation[i] = std::numeric_limits<double>::infinity();
            }
            if (weight(s) > weight(worst)) worst = s;
        }
        out.state[i] = worst;
    }
}

void Worker::verdicts(const RunPlan& plan, std::size_t count, const std::vector<double*>& byCheck) {
    Verdicts& said = m_said;
    said.members.resize(plan.extract.members.size());
    said.worst.fill(Verdict::Ok);
    said.most.fill(kNone);
    said.which.fill(0);
    Judged judged;
    for (std::uint32_t m = 0; m < plan.extract.members.size(); ++m) {
        const job::ExtractMember& member = plan.extract.members[m];
        std::array<Verdict, kPoints>& verdict = said.members[m];
        verdict.fill(member.floor);
        std::array<bool, kPoints> applies;
        applies.fill(member.applies);
        std::array<bool, kPoints>& unsettled = m_unsettled[m];
        unsettled.fill(false);
        for (QuantityId id : plan.varying[m]) {
            const PointRow& row = m_members[m]->row(id);
            if (row.allKnown) continue;
            for (std::size_t i = 0; i < count; ++i) verdict[i] = std::max(verdict[i], verdictOf(row.states[i], row.causes[i]));
        }
        for (std::uint32_t c : plan.checksOf[m]) {
            const RunPlan::FixedCheck& fixed = plan.fixed[c];
            if (!fixed.varies) {
                judged.utilisation.fill(fixed.hasUtilisation ? fixed.utilisation : kNone);
                govern(judged.utilisation.data(), count, c, said.most.data(), said.which.data());
                if (!byCheck.empty()) std::copy_n(judged.utilisation.begin(), count, byCheck[c]);
                if (!passes(fixed.state)) unsettled.fill(true);
                continue;
            }
            judge(plan, c, count, judged);
            const bool isCheck = !plan.checks[c].isRequire;
            if (isCheck) govern(judged.utilisation.data(), count, c, said.most.data(), said.which.data());
            if (!byCheck.empty()) std::copy_n(judged.utilisation.begin(), count, byCheck[c]);
            if (judged.plain && isCheck) {
                for (std::size_t i = 0; i < count; ++i) {
                    verdict[i] = std::max(verdict[i], judged.fails[i] != 0.0 ? Verdict::Fails : Verdict::Ok);
                    unsettled[i] = unsettled[i] || judged.fails[i] != 0.0;
                }
                applies.fill(true);
                continue;
            }
            for (std::size_t i = 0; i < count; ++i) {
                verdict[i] = std::max(verdict[i], verdictOf(judged.state[i]));
                unsettled[i] = unsettled[i] || !passes(judged.state[i]);
                applies[i] = applies[i] || (isCheck && judged.state[i] != CheckState::NotApplicable);
            }
        }
        for (std::size_t i = 0; i < count; ++i) {
            if (!applies[i]) verdict[i] = std::max(verdict[i], Verdict::NotProven);
            said.worst[i] = std::max(said.worst[i], verdict[i]);
        }
    }
    // The worst of all is the same with or without: a source with such a check is not OK itself.
    for (std::uint32_t m = 0; m < plan.extract.members.size(); ++m)
        for (const std::uint32_t source : plan.extract.members[m].sources)
            for (std::size_t i = 0; i < count; ++i)
                if (m_unsettled[source][i]) said.members[m][i] = std::max(said.members[m][i], Verdict::NotProven);
}

void Worker::block(const RunPlan& plan, std::size_t first, std::size_t count, const Fill& fill, bool inLanes, bool byCheck, Results& out) {
    values(plan, first, count, fill, inLanes);
    std::vector<double*> checks;
    for (std::size_t c = 0; c < plan.checks.size() && byCheck; ++c) checks.push_back(out.byCheck[c].data() + first);
    verdicts(plan, count, checks);
    const auto at = static_cast<std::ptrdiff_t>(first);
    for (std::size_t m = 0; m < plan.extract.members.size(); ++m) std::copy_n(m_said.members[m].begin(), count, out.members[m].begin() + at);
    std::copy_n(m_said.worst.begin(), count, out.verdicts.begin() + at);
    std::copy_n(m_said.most.begin(), count, out.utilisation.begin() + at);
    std::copy_n(m_said.which.begin(), count, out.governing.begin() + at);
    Judged judged;

    for (std::size_t s = 0; s < plan.shown.size(); ++s) {
        const RunPlan::ShownRow& want = plan.shown[s];
        double* to = out.shown[s].data() + first;
        if (want.member == RunPlan::kNoMember) {
            std::fill_n(to, count, want.fixed);
            continue;
        }
        if (want.check != 0xffffffffU && !plan.checks[want.check].isRequire) {
            judge(plan, want.check, count, judged);
            std::copy_n(judged.utilisation.begin(), count, to);
            continue;
        }
        const PointRow& row = want.member == job::ExtractRef::kJob ? *m_givens[want.id.index()] : m_members[want.member]->row(want.id);
        for (std::size_t i = 0; i < count; ++i) {
            to[i] = kNone;
            if (row.states[i] != State::Known) continue;
            for (std::size_t k = 0; k < row.casesAt(i); ++k) {
                const double v = row.numbers[k * kPoints + i];
                if (k == 0 || std::fabs(v) > std::fabs(to[i])) to[i] = v;
            }
        }
    }
}

void Worker::detail(const RunPlan& plan, const std::vector<double>& given, Detail& out) {
    const Fill fill = [&](std::size_t, std::size_t count, double* const* into) {
        for (std::size_t k = 0; k < given.size(); ++k) std::fill_n(into[k], count, given[k]);
    };
    details(plan, 0, 1, fill, &out);
}

void Worker::details(const RunPlan& plan, std::size_t first, std::size_t count, const Fill& fill, Detail* out) {
    begin(plan, first, count, fill);
    // What is told is told of these points, and of no others that were worked out before.
    for (std::size_t m = 0; m < plan.varying.size(); ++m)
        for (QuantityId id : plan.varying[m]) m_members[m]->row(id).problem.reset();
    for (std::size_t i = 0; i < plan.extract.rows.size(); ++i) workRow(plan, plan.extract.rows[i], i, count, true);
    std::vector<Judged> judged(plan.checks.size());
    for (std::uint32_t c = 0; c < plan.checks.size(); ++c)
        if (plan.fixed[c].varies) judge(plan, c, count, judged[c]);
    for (std::size_t i = 0; i < count; ++i) detailOf(plan, judged, i, out[i]);
    for (std::size_t i = 0; i < count && count > 1; ++i) {
        if (out[i].verdict != Verdict::NotComputed) continue;
        // A row keeps the problem of one point only.
        std::vector<double> one(plan.extract.varied.size());
        std::vector<double*> into;
        for (double& v : one) into.push_back(&v);
        fill(first + i, 1, into.data());
        out[i] = {};
        detail(plan, one, out[i]);
    }
}

void Worker::detailOf(const RunPlan& plan, const std::vector<Judged>& judged, std::size_t point, Detail& out) const {
    out.verdict = Verdict::Ok;
    const bool several = plan.extract.members.size() > 1;
    for (std::uint32_t m = 0; m < plan.extract.members.size(); ++m) {
        const job::ExtractMember& member = plan.extract.members[m];
        Verdict verdict = member.floor;
        for (const std::string& r : member.reasons) out.reasons.push_back((several ? member.mark + ": " : "") + r);
        bool applies = member.applies;
        for (QuantityId id : plan.varying[m]) {
            const PointRow& row = m_members[m]->row(id);
            verdict = std::max(verdict, verdictOf(row.states[point], row.causes[point]));
            if (row.states[point] == State::Failed)
                out.reasons.push_back((several ? member.mark + "." : "") + member.sheet->at(id).name + ": " +
                                      (row.problem ? row.problem->message : std::string("could not be computed")));
        }
        for (std::uint32_t c : plan.checksOf[m]) {
            CheckAt at;
            at.check = c;
            if (!plan.fixed[c].varies) {
                at.state = plan.fixed[c].state;
                if (plan.fixed[c].hasUtilisation) at.utilisation = plan.fixed[c].utilisation;
            } else {
                at.state = judged[c].state[point];
                if (!std::isnan(judged[c].utilisation[point])) at.utilisation = judged[c].utilisation[point];
                applies = applies || (!plan.checks[c].isRequire && at.state != CheckState::NotApplicable);
                verdict = std::max(verdict, verdictOf(at.state));
            }
            out.checks.push_back(at);
        }
        if (!applies) {
            verdict = std::max(verdict, Verdict::NotProven);
            out.reasons.push_back((several ? member.mark + ": " : "") + "no check of the sheet applies");
        }
        out.verdict = std::max(out.verdict, verdict);
    }
    std::stable_sort(out.checks.begin(), out.checks.end(), [](const CheckAt& a, const CheckAt& b) {
        const int wa = std::max(weight(a.state), 1), wb = std::max(weight(b.state), 1);
        if (wa != wb) return wa > wb;
        return a.utilisation.value_or(-1.0) > b.utilisation.value_or(-1.0);
    });
}

std::uint64_t Worker::work() const {
    std::uint64_t n = 0;
    for (const auto& [key, p] : m_programs) {
        const eval::Program::Counts c = p->counts();
        n += c.scalar + c.lanes;
    }
    return n;
}

std::uint64_t workOf(const Trial& trial) {
    Worker& worker = trial.workers()->worker(0);
    const auto once = [&] {
        const std::uint64_t before = worker.work();
        const Fill fill = [&](std::size_t, std::size_t count, double* const* into) {
            for (std::size_t k = 0; k < trial.varied().size(); ++k) std::fill_n(into[k], count, trial.varied()[k].now.value_or(0.0));
        };
        static_cast<void>(trial.run(1, fill, {1, {}}));
        return worker.work() - before;
    };
    return std::max<std::uint64_t>(once(), 1);
}

} // namespace spanwright::trial
