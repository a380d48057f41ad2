// SPDX-License-Identifier: MIT
// The inside of a run. Only engine/trial/*.cpp include this.
#pragma once

#include <array>
#include <map>
#include <memory>
#include <vector>

#include "engine/eval/points.h"
#include "engine/job/extract.h"
#include "engine/job/judge.h"
#include "engine/trial/trial.h"

namespace spanwright::trial {

/// What a run needs to know, the same for all threads.
struct RunPlan {
    job::Extract extract;
    std::vector<CheckName> checks;
    /// By check: how it stands where it does not vary.
    struct FixedCheck {
        bool varies = true;
        job::CheckView::State state = job::CheckView::State::NotComputed;
        bool hasUtilisation = false;
        double utilisation = 0.0;
    };
    std::vector<FixedCheck> fixed;
    std::vector<std::vector<meaning::QuantityId>> varying; ///< by member: rows that vary
    std::vector<std::vector<std::uint32_t>> checksOf;      ///< by member: its checks
    struct ShownRow {
        std::uint32_t member = 0; ///< kNoMember: not downstream, `fixed` at every point
        meaning::QuantityId id;
        double fixed = 0.0;
        std::uint32_t check = 0xffffffffU; ///< of a check: index into checks
    };
    static constexpr std::uint32_t kNoMember = 0xffffffffU;
    std::vector<ShownRow> shown;
    std::uint64_t stamp = 0; ///< tells one plan from another
    /// Checks in the order of what it takes to come to each, in groups; with what has to be worked out for a group and was not for
    /// one before. The last has the rows that no check needs.
    struct Stage {
        std::vector<std::uint32_t> rows; ///< indices into extract.rows, in order
        std::vector<std::uint32_t> checks;
    };
    std::vector<Stage> stages;

    void prepare();

private:
    void planStages();
};

/// How a check stands, towards the verdict of its member.
[[nodiscard]] Verdict verdictOf(job::CheckView::State s);
/// A row that is not known at a point, likewise.
[[nodiscard]] Verdict verdictOf(eval::State s, eval::State cause);

/// One thread's programs; compiled formulas live on from run to run.
class Worker {
public:
    /// Works out points [first, first + count) into `out`.
    void block(const RunPlan& plan, std::size_t first, std::size_t count, const Fill& fill, bool inLanes, bool byCheck, Results& out);
    /// Whether points [first, first + count) pass, all members being no worse than `worst`; see Trial::passing().
    void passing(const RunPlan& plan, const std::vector<Verdict>& worst, std::size_t first, std::size_t count, const Fill& fill, char* passes, double* most);
    void detail(const RunPlan& plan, const std::vector<double>& values, Detail& out);
    /// The same for points [first, first + count).
    void details(const RunPlan& plan, std::size_t first, std::size_t count, const Fill& fill, Detail* out);
    [[nodiscard]] std::uint64_t work() const; ///< formulas evaluated so far

private:
    struct Judged {
        std::array<job::CheckView::State, eval::kPoints> state;
        std::array<double, eval::kPoints> utilisation; ///< NaN: none; infinite: beyond every number
        std::array<double, eval::kPoints> fails;       ///< where `plain`: not 0 where it fails
        bool plain = false;                            ///< a check that passes or fails at every point
    };
    /// What a block of points comes to.
    struct Verdicts {
        std::vector<std::array<Verdict, eval::kPoints>> members;
        std::array<Verdict, eval::kPoints> worst;
        std::array<double, eval::kPoints> most; ///< the greatest utilisation; NaN: none
        std::array<std::uint32_t, eval::kPoints> which;
    };
    void take(const RunPlan& plan);
    void begin(const RunPlan& plan, std::size_t first, std::size_t count, const Fill& fill);
    void values(const RunPlan& plan, std::size_t first, std::size_t count, const Fill& fill, bool inLanes);
    void workRow(const RunPlan& plan, const job::ExtractRow& row, std::size_t index, std::size_t count, bool inLanes);
    void workList(const job::ExtractRow& row, std::size_t index, std::size_t count, eval::PointRow& out);
    [[nodiscard]] std::vector<eval::PointLink::Reference> referencesOf(const job::ExtractRow& row, std::size_t first, std::size_t n);
    [[nodiscard]] static bool judgeQuickly(const meaning::Quantity& q, const eval::PointRow& row, std::size_t count, Judged& out);
    void judge(const RunPlan& plan, std::uint32_t check, std::size_t count, Judged& out) const;
    /// The verdicts of the points whose rows have been worked out; `byCheck`: where utilisations of each check go, or null.
    void verdicts(const RunPlan& plan, std::size_t count, const std::vector<double*>& byCheck);
    void detailOf(const RunPlan& plan, const std::vector<Judged>& judged, std::size_t point, Detail& out) const;
    /// Goes on with some of the points only.
    void keep(const std::vector<std::uint32_t>& points);
    [[nodiscard]] eval::PointRow& rowAt(const job::ExtractRef& at);

    std::uint64_t m_stamp = 0;
    std::map<std::pair<const meaning::Sheet*, const eval::MemberValues*>, std::unique_ptr<eval::PointProgram>> m_programs;
    std::map<const meaning::Link*, std::unique_ptr<eval::PointLink>> m_links;
    std::vector<eval::PointProgram*> m_members;               ///< by member of the plan
    std::vector<std::array<bool, eval::kPoints>> m_unsettled; ///< by member and point: a check of its own does not pass
    std::vector<std::unique_ptr<eval::PointRow>> m_givens;
    std::vector<eval::PointLink*> m_linkOf;               ///< by row of the plan
    std::vector<std::vector<eval::PointLink*>> m_cellsOf; ///< by row of the plan: of its cells
    std::vector<std::shared_ptr<const void>> m_kept;      ///< what the maps' addresses belong to
    std::vector<std::vector<double>> m_filled;
    Verdicts m_said;
};

/// Formulas evaluated at one point, all that varies being as it is now: the same on every machine, as a clock is not.
[[nodiscard]] std::uint64_t workOf(const Trial& trial);

class Workers {
public:
    [[nodiscard]] Worker& worker(std::size_t i) {
        while (m_workers.size() <= i) m_workers.push_back(std::make_unique<Worker>());
        return *m_workers[i];
    }
    job::ExtractCache cache;

private:
    std::vector<std::unique_ptr<Worker>> m_workers;
};

} // namespace spanwright::trial
