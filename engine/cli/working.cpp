// SPDX-License-Identifier: MIT
#include <algorithm>
#include <ostream>
#include <set>

#include "engine/cli/commands.h"
#include "engine/cli/common.h"
#include "engine/report/build.h"
#include "engine/report/equation.h"
#include "engine/report/write.h"

namespace spanwright::cli {

namespace {

constexpr std::size_t kMaxSteps = 2000; ///< of --deep: more than anyone reads

/// The value's own status, by the same rule as a job's.
int statusOf(const job::Job& job, const Target& t, const job::Working& w) {
    for (const job::CheckView& c : job.member(t.member).checks) {
        if (c.id != t.id) continue;
        if (c.state == job::CheckView::State::Passes || c.state == job::CheckView::State::NotApplicable) return kAllOk;
        return c.state == job::CheckView::State::NotComputed && w.state == eval::State::Failed ? kNotRead : kNotOk;
    }
    switch (w.state) {
    case eval::State::Known:
    case eval::State::NotApplicable: return kAllOk;
    case eval::State::Failed: return kNotRead;
    case eval::State::NotStated: return kNotOk;
    case eval::State::Blocked: break;
    }
    // Blocked: by what is not stated, or by what could not be computed.
    return job.member(t.member).verdict == job::Verdict::NotComputed ? kNotRead : kNotOk;
}

std::optional<std::size_t> caseOf(const job::Job& job, const Target& t, const std::string& label) {
    const std::vector<std::string> labels = job.caseLabels(t.member, t.id);
    const auto it = std::find(labels.begin(), labels.end(), label);
    if (it == labels.end()) return std::nullopt;
    return static_cast<std::size_t>(it - labels.begin());
}

std::optional<std::size_t> governingCase(const job::Job& job, const Target& t) {
    for (const job::CheckView& c : job.member(t.member).checks) {
        if (c.id == t.id && !c.cases.empty()) return c.governingCase;
    }
    return std::nullopt;
}

/// What it comes from, level by level, each row once.
void addSources(const job::Job& job, unsigned deep, std::vector<report::WorkingStep>& steps) {
    std::set<std::pair<std::string, std::string>> seen;
    for (const report::WorkingStep& s : steps) seen.insert({s.working.member, s.working.name});
    for (std::size_t i = 0; i < steps.size() && steps.size() < kMaxSteps; ++i) {
        if (steps[i].level >= deep) continue;
        const unsigned level = steps[i].level + 1;
        const std::vector<job::Working::Neighbour> from = steps[i].working.comesFrom;
        for (const job::Working::Neighbour& n : from) {
            const std::string mark = n.member.empty() ? steps[i].working.member : n.member;
            const std::optional<std::size_t> member = job.memberByMark(mark);
            if (!member || !seen.insert({mark, n.name}).second) continue;
            const meaning::Sheet& sheet = job.sheet(*member);
            const auto row = std::find_if(sheet.quantities.begin(), sheet.quantities.end(), [&](const meaning::Quantity& q) { return q.name == n.name; });
            if (row == sheet.quantities.end()) continue;
            const auto named = sheet.byName.find(n.name);
            steps.push_back({job.working(*member, named != sheet.byName.end() ? named->second : row->id), level});
        }
    }
}

} // namespace

int perform(const WorkingOptions& o, const Surroundings& around) {
    const std::unique_ptr<job::Job> job = openJob(o.file, around);
    if (!applySets(*job, o.set, around)) return kNotRead;
    if (job->memberCount() == 0) {
        printDiagnostics(*job, "", around);
        return kNotRead;
    }
    const std::optional<Target> target = findTarget(*job, o.name, around);
    if (!target) return kNotRead;
    std::optional<std::size_t> which = governingCase(*job, *target);
    if (!o.caseLabel.empty()) {
        which = caseOf(*job, *target, o.caseLabel);
        if (!which) {
            std::string all;
            for (const std::string& l : job->caseLabels(target->member, target->id)) all += (all.empty() ? "" : "; ") + l;
            printDiagnostic(faultOf(diag::Code::AxisMisuse, o.file, "`" + o.name + "` has no case `" + o.caseLabel + "`",
                                    all.empty() ? "it has one value only" : "cases: " + all),
                            {}, around);
            return kNotRead;
        }
    }
    std::vector<report::WorkingStep> steps{{job->working(target->member, target->id, which), 0}};
    addSources(*job, o.deep, steps);
    around.out << report::writeText(report::workingDocument(steps, job->isSingleSheet()));
    const int status = statusOf(*job, *target, steps.front().working);
    if (status == kNotRead) printDiagnostics(*job, job->member(target->member).mark, around);
    return status;
}

} // namespace spanwright::cli
