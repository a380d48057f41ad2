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

    void prepare();
};

/// One thread's programs; compiled formulas live on from run to run.
class Worker {
public:
    /// Works out points [first, first + count) into `out`.
    void block(const RunPlan& plan, std::size_t first, std::size_t count, const Fill& fill, bool inLanes, bool byCheck, Results& out);
    void detail(const RunPlan& plan, const std::vector<double>& values, Detail& out);
    [[nodiscard]] std::uint64_t work() const; ///< formulas evaluated so far

private:
    struct Judged {
        std::array<job::CheckView::State, eval::kPoints> state;
        std::array<double, eval::kPoints> utilisation; ///< NaN: none; infinite: beyond every number
        std::array<double, eval::kPoints> fails;       ///< where `plain`: not 0 where it fails
        bool plain = false;                            ///< a check that passes or fails at every point
    };
    void take(const RunPlan& plan);
    void values(const RunPlan& plan, std::size_t first, std::size_t count, const Fill& fill, bool inLanes);
    void workRow(const RunPlan& plan, const job::ExtractRow& row, std::size_t index, std::size_t count, bool inLanes);
    void workList(const job::ExtractRow& row, std::size_t index, std::size_t count, eval::PointRow& out);
    [[nodiscard]] std::vector<eval::PointLink::Reference> referencesOf(const job::ExtractRow& row, std::size_t first, std::size_t n);
    [[nodiscard]] static bool judgeQuickly(const meaning::Quantity& q, const eval::PointRow& row, std::size_t count, Judged& out);
    void judge(const RunPlan& plan, std::uint32_t check, std::size_t count, Judged& out) const;
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
