// SPDX-License-Identifier: MIT
#include "engine/trial/trial.h"

#include <algorithm>
#include <atomic>
#include <cmath>
#include <limits>
#include <thread>

#include "engine/base/text.h"
#include "engine/trial/range.h"
#include "engine/trial/whole.h"
#include "engine/trial/worker.h"

namespace spanwright::trial {

using diag::Code;
using diag::Diagnostic;
using diag::Severity;
using job::ExtractRef;
using meaning::Kind;
using meaning::Quantity;
using meaning::QuantityId;

struct Trial::Impl {
    RunPlan plan;
    std::vector<Varied> varied;
    std::vector<Shown> shown;
    std::shared_ptr<Workers> workers;

    /// Room for the results of so many points, not touched yet.
    [[nodiscard]] Results columns(std::size_t points, bool byCheck) const;
    /// Marks points that were not reached as not computed.
    static void leaveOut(Results& r, std::size_t first, std::size_t count);
    /// Deals blocks of points out to threads; what was not reached goes to `leaveOut`, and false is given then.
    [[nodiscard]] bool inBlocks(std::size_t points, const Control& control, const std::function<void(Worker&, std::size_t, std::size_t)>& block,
                                const std::function<void(std::size_t, std::size_t)>& leaveOut) const;
};

std::string pathText(const ValueName& name) { return name.mark.empty() ? name.name : name.mark + "." + name.name; }

void RunPlan::prepare() {
    static std::atomic<std::uint64_t> next{1};
    stamp = next++;
    varying.resize(extract.members.size());
    for (job::ExtractRow& row : extract.rows) {
        if (row.at.member == ExtractRef::kJob) continue;
        varying[row.at.member].push_back(row.at.id);
        if (row.how != job::ExtractRow::How::Varied) continue;
        const job::ExtractMember& m = extract.members[row.at.member];
        const Quantity& q = m.sheet->at(row.at.id);
        if (q.kind != Kind::Choose) continue;
        row.stated.table = q.table;
        if (q.list.valid() && m.values->at(q.list).table) row.stated.table = m.values->at(q.list).table;
    }
    checksOf.resize(extract.members.size());
    for (std::uint32_t m = 0; m < extract.members.size(); ++m) {
        const job::ExtractMember& member = extract.members[m];
        std::vector<char> varies(member.sheet->quantities.size(), 0);
        for (QuantityId id : varying[m]) varies[id.index()] = 1;
        for (const Quantity& q : member.sheet->quantities) {
            if (q.kind != Kind::Check && q.kind != Kind::Require) continue;
            checksOf[m].push_back(static_cast<std::uint32_t>(checks.size()));
            checks.push_back({member.mark, q.name, q.what, m, q.id, q.kind == Kind::Require});
            FixedCheck f;
            f.varies = varies[q.id.index()] != 0;
            fixed.push_back(f);
        }
    }
    planStages();
}

namespace {

void takeFixedChecks(const job::Job& job, RunPlan& plan) {
    for (std::size_t c = 0; c < plan.checks.size(); ++c) {
        if (plan.fixed[c].varies) continue;
        const job::MemberView& view = job.member(plan.extract.members[plan.checks[c].member].index);
        for (const job::CheckView& v : view.checks) {
            if (v.id != plan.checks[c].id) continue;
            plan.fixed[c].state = v.state;
            plan.fixed[c].hasUtilisation = v.utilisation.has_value() && !v.isRequire;
            plan.fixed[c].utilisation = v.utilisation.value_or(0.0);
        }
    }
}

Diagnostic wrongName(const job::Job& job, const std::string& message, const std::string& mend) {
    return {Code::UnknownName, Severity::Error, {job.path(), diag::Place::kNoRow, {}}, message, {}, {}, mend, {}};
}

base::Result<bool, Diagnostic> findShown(const job::Job& job, const ValueName& name, RunPlan& plan, std::vector<Shown>& out) {
    RunPlan::ShownRow row;
    row.member = RunPlan::kNoMember;
    Shown s;
    s.name = name;
    if (name.mark.empty()) return base::Failure<Diagnostic>{bareName(job, name.name)};
    const auto index = job.memberByMark(name.mark);
    if (!index)
        return base::Failure<Diagnostic>{
            wrongName(job, "there is no member `" + name.mark + "` to show `" + name.name + "` of", "name a row with its member's mark, as in `J1.M_d`")};
    const meaning::Sheet& sheet = job.sheet(*index);
    const Quantity* q = sheet.find(name.name);
    if (q == nullptr) {
        std::vector<std::string> names;
        for (const Quantity& other : sheet.quantities)
            if (!other.name.empty()) names.push_back(other.name);
        const auto near = base::nearest(name.name, names);
        return base::Failure<Diagnostic>{wrongName(job, "there is no row `" + pathText(name) + "`", near ? "did you mean `" + *near + "`?" : "")};
    }
    const bool number = q->kind == Kind::Check || q->kind == Kind::Require || q->type == meaning::Type::Number || q->type == meaning::Type::Truth;
    const bool noValue = q->kind == Kind::Beam || q->kind == Kind::Plot || q->kind == Kind::Piece || q->kind == Kind::Schedule || q->kind == Kind::Sketch ||
                         q->kind == Kind::Each || q->kind == Kind::List;
    if (!number || noValue) {
        return base::Failure<Diagnostic>{wrongName(job, "`" + pathText(name) + "` has no number to show", "show a given, a derived value or a check")};
    }
    s.what = q->what;
    s.kind = q->kind;
    s.truth = q->kind == Kind::Require || (q->kind != Kind::Check && q->type == meaning::Type::Truth);
    if (q->kind != Kind::Check && q->kind != Kind::Require) {
        s.unit = q->unit.dimension == q->dimension ? q->unit : units::habitualUnit(q->dimension);
        s.show = q->show;
        s.dimension = q->dimension;
    }
    for (std::uint32_t c = 0; c < plan.checks.size(); ++c) {
        if (plan.extract.members[plan.checks[c].member].index == *index && plan.checks[c].id == q->id) row.check = c;
    }
    for (std::uint32_t m = 0; m < plan.extract.members.size(); ++m) {
        if (plan.extract.members[m].index != *index) continue;
        const auto& varying = plan.varying[m];
        if (std::find(varying.begin(), varying.end(), q->id) == varying.end()) continue;
        row.member = m;
        row.id = q->id;
    }
    if (row.member == RunPlan::kNoMember) {
        row.fixed = std::numeric_limits<double>::quiet_NaN();
        if (q->kind == Kind::Check) {
            for (const job::CheckView& c : job.member(*index).checks)
                if (c.id == q->id && c.utilisation) row.fixed = *c.utilisation;
        } else if (const eval::Value& v = job.value(*index, q->id); v.known()) {
            const std::size_t n = q->axes.empty() ? 1 : v.many.size();
            for (std::size_t i = 0; i < n; ++i)
                if (i == 0 || std::fabs(v.data()[i]) > std::fabs(row.fixed)) row.fixed = v.data()[i];
        }
    }
    plan.shown.push_back(row);
    out.push_back(std::move(s));
    return true;
}

} // namespace

Trial::Trial(std::unique_ptr<Impl> impl) : m_impl(std::move(impl)) {}
Trial::Trial(Trial&&) noexcept = default;
Trial& Trial::operator=(Trial&&) noexcept = default;
Trial::~Trial() = default;

base::Result<Trial, Diagnostic> Trial::of(const job::Job& job, const std::vector<ValueName>& varied, const std::vector<ValueName>& shown,
                                          std::shared_ptr<Workers> workers) {
    auto impl = std::make_unique<Impl>();
    impl->workers = workers ? std::move(workers) : std::make_shared<Workers>();
    const std::vector<std::string> own = job.givenNames();
    for (const ValueName& name : varied)
        if (name.mark.empty() && std::find(own.begin(), own.end(), name.name) == own.end()) return base::Failure<Diagnostic>{bareName(job, name.name)};
    auto extract = job.extract(varied, impl->workers->cache);
    if (!extract) return base::Failure<Diagnostic>{extract.error()};
    impl->plan.extract = std::move(extract).value();
    RunPlan& plan = impl->plan;
    plan.prepare();
    takeFixedChecks(job, plan);
    for (std::size_t k = 0; k < varied.size(); ++k) {
        const ExtractRef at = plan.extract.varied[k];
        const bool ofJob = at.member == ExtractRef::kJob;
        const Quantity& q = ofJob ? plan.extract.givens[at.id.index()] : plan.extract.members[at.member].sheet->at(at.id);
        Varied v;
        v.name = varied[k];
        v.kind = q.kind;
        v.what = q.what;
        v.dimension = q.dimension;
        v.unit = q.unit.dimension == q.dimension ? q.unit : units::habitualUnit(q.dimension);
        v.show = q.show;
        for (const job::ExtractRow& row : plan.extract.rows)
            if (row.at == at) v.table = row.stated.table;
        const eval::Value& now = plan.extract.now[k];
        if (now.known()) v.now = now.one;
        v.tolerance = plan.extract.tolerance[k];
        v.nowShown = plan.extract.nowShown[k];
        v.stated = plan.extract.stated[k];
        v.linked = plan.extract.linked[k];
        v.whole = isWhole(plan.extract, k);
        if (!ofJob && v.kind != Kind::Choose) {
            eval::Program program(plan.extract.members[at.member].sheet);
            if (q.low.valid()) v.low = program.scalar(q.low, {}, *plan.extract.members[at.member].values);
            if (q.high.valid()) v.high = program.scalar(q.high, {}, *plan.extract.members[at.member].values);
        }
        impl->varied.push_back(std::move(v));
    }
    for (const ValueName& name : shown) {
        if (auto found = findShown(job, name, plan, impl->shown); !found) return base::Failure<Diagnostic>{found.error()};
    }
    return Trial(std::move(impl));
}

const std::vector<Varied>& Trial::varied() const { return m_impl->varied; }
const std::vector<Shown>& Trial::shown() const { return m_impl->shown; }
const std::vector<job::ExtractMember>& Trial::members() const { return m_impl->plan.extract.members; }
const std::vector<CheckName>& Trial::checks() const { return m_impl->plan.checks; }
const std::shared_ptr<Workers>& Trial::workers() const { return m_impl->workers; }
std::size_t Trial::rowsDownstream() const { return m_impl->plan.extract.rows.size(); }
const job::Extract& Trial::extract() const { return m_impl->plan.extract; }

Results Trial::Impl::columns(std::size_t points, bool byCheck) const {
    Results r;
    r.points = points;
    r.shown.resize(plan.shown.size());
    r.members.resize(plan.extract.members.size());
    if (byCheck) r.byCheck.resize(plan.checks.size());
    for (auto* several : {&r.shown, &r.byCheck})
        for (Column<double>& c : *several) c.resize(points);
    for (Column<Verdict>& m : r.members) m.resize(points);
    r.verdicts.resize(points);
    r.utilisation.resize(points);
    r.governing.resize(points);
    return r;
}

void Trial::Impl::leaveOut(Results& r, std::size_t first, std::size_t count) {
    constexpr double kNone = std::numeric_limits<double>::quiet_NaN();
    const auto put = [&](auto& column, auto v) { std::fill_n(column.begin() + static_cast<std::ptrdiff_t>(first), count, v); };
    for (auto* several : {&r.shown, &r.byCheck})
        for (Column<double>& c : *several) put(c, kNone);
    for (Column<Verdict>& m : r.members) put(m, Verdict::NotComputed);
    put(r.verdicts, Verdict::NotComputed);
    put(r.utilisation, kNone);
    put(r.governing, std::uint32_t{0});
}

bool Trial::Impl::inBlocks(std::size_t points, const Control& control, const std::function<void(Worker&, std::size_t, std::size_t)>& block,
                           const std::function<void(std::size_t, std::size_t)>& leaveOut) const {
    const std::size_t wanted = control.threads != 0 ? control.threads : std::max(1U, std::thread::hardware_concurrency());
    // Blocks small enough that every thread has some, large enough to be worth it.
    constexpr std::size_t kLeast = 16;
    const std::size_t size = std::clamp(points / (wanted * 4) + 1, kLeast, eval::kPoints);
    const std::size_t blocks = (points + size - 1) / size;
    const std::size_t threads = std::min(wanted, blocks);
    // Neighbours go to one thread where there are many, so that two do not touch a page of results first at the same time.
    const std::size_t run = std::clamp<std::size_t>(blocks / (wanted * 32), 1, 16);
    std::vector<char> worked(blocks, 0);
    std::atomic<std::size_t> next{0}, done{0};
    std::atomic<bool> stop{false};
    const auto loop = [&](std::size_t thread) {
        Worker& worker = workers->worker(thread);
        for (std::size_t from = next.fetch_add(run); from < blocks; from = next.fetch_add(run)) {
            for (std::size_t b = from; b < std::min(from + run, blocks); ++b) {
                if (stop) return;
                const std::size_t first = b * size, count = std::min(size, points - first);
                block(worker, first, count);
                worked[b] = 1;
                done += count;
                if (thread == 0 && control.progress && !control.progress(done, points)) stop = true;
            }
        }
    };
    for (std::size_t t = 0; t < threads; ++t) static_cast<void>(workers->worker(t)); // made before there are threads
    std::vector<std::thread> others;
    for (std::size_t t = 1; t < threads; ++t) others.emplace_back(loop, t);
    loop(0);
    for (std::thread& t : others) t.join();
    for (std::size_t b = 0; b < blocks; ++b)
        if (worked[b] == 0) leaveOut(b * size, std::min(size, points - b * size));
    const bool all = done == points;
    if (all && control.progress) static_cast<void>(control.progress(points, points));
    return all;
}

Results Trial::run(std::size_t points, const Fill& fill, const Control& control, bool byCheck) const {
    points = std::min(points, kMostPoints);
    Results out = m_impl->columns(points, byCheck);
    if (points == 0) return out;
    out.cancelled = !m_impl->inBlocks(
        points, control, [&](Worker& worker, std::size_t first, std::size_t count) { worker.block(m_impl->plan, first, count, fill, true, byCheck, out); },
        [&](std::size_t first, std::size_t count) { Impl::leaveOut(out, first, count); });
    return out;
}

Passed Trial::passing(std::size_t points, const Fill& fill, const Control& control, const std::vector<Verdict>& worst) const {
    points = std::min(points, kMostPoints);
    Passed out;
    out.passes.assign(points, 0);
    out.most.resize(points);
    if (points == 0) return out;
    const std::vector<Verdict> all(members().size(), Verdict::Ok);
    out.cancelled = !m_impl->inBlocks(
        points, control,
        [&](Worker& worker, std::size_t first, std::size_t count) {
            worker.passing(m_impl->plan, worst.empty() ? all : worst, first, count, fill, out.passes.data() + first, out.most.data() + first);
        },
        [&](std::size_t first, std::size_t count) {
            std::fill_n(out.most.begin() + static_cast<std::ptrdiff_t>(first), count, std::numeric_limits<double>::quiet_NaN());
        });
    return out;
}

Results Trial::runOneByOne(std::size_t points, const Fill& fill) const {
    Results out = m_impl->columns(points, false);
    Worker worker;
    for (std::size_t first = 0; first < points; first += eval::kPoints)
        worker.block(m_impl->plan, first, std::min(eval::kPoints, points - first), fill, false, false, out);
    return out;
}

Detail Trial::detail(const std::vector<double>& values) const {
    Detail d;
    m_impl->workers->worker(0).detail(m_impl->plan, values, d);
    return d;
}

std::vector<Detail> Trial::details(std::size_t points, const Fill& fill, const Control& control) const {
    std::vector<Detail> out(points); // not computed, until told otherwise
    static_cast<void>(m_impl->inBlocks(
        points, control, [&](Worker& worker, std::size_t first, std::size_t count) { worker.details(m_impl->plan, first, count, fill, out.data() + first); },
        [](std::size_t, std::size_t) {}));
    return out;
}

std::string Trial::valueShown(std::size_t varied, double v) const {
    const Varied& q = m_impl->varied[varied];
    if (q.table) return v >= 0.0 && v < static_cast<double>(q.table->rowCount()) ? q.table->rowLabel(static_cast<std::uint32_t>(v)) : "no row";
    return units::showValue(v, q.unit, q.show);
}

std::string Trial::valueWritten(std::size_t varied, double v) const {
    const Varied& q = m_impl->varied[varied];
    return q.table ? valueShown(varied, v) : units::writeValue(v, q.unit);
}

} // namespace spanwright::trial
