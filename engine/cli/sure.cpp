// SPDX-License-Identifier: MIT
#include <algorithm>
#include <ostream>

#include "engine/base/text.h"
#include "engine/cli/commands.h"
#include "engine/cli/common.h"
#include "engine/report/trial_document.h"
#include "engine/report/write.h"
#include "engine/trial/pinned.h"

namespace spanwright::cli {

namespace {

/// Marks and names may hold what a file's name cannot.
std::string fileName(const std::string& mark, const std::string& check) {
    std::string out = mark + "-" + check + ".svg";
    std::replace_if(
        out.begin(), out.end(), [](char c) { return c == '/' || c == '\\' || static_cast<unsigned char>(c) < 0x21U; }, '_');
    return out;
}

} // namespace

int perform(const SureOptions& o, const Surroundings& around) {
    const std::unique_ptr<job::Job> job = openJob(o.file, around);
    if (!applySets(*job, o.set, around)) return kNotRead;
    if (job->memberCount() == 0) {
        printDiagnostics(*job, "", around);
        return kNotRead;
    }
    std::optional<std::size_t> only;
    if (!o.member.empty()) {
        only = job->memberByMark(o.member);
        if (!only) {
            printDiagnostic(faultOf(diag::Code::UnknownMember, o.file, "there is no member `" + o.member + "`"), {}, around);
            return kNotRead;
        }
    }
    trial::ToleranceRequest request;
    request.samples = o.samples;
    request.seed = o.seed;
    request.normal = o.normal;
    request.workOutAll = o.calculated;
    std::vector<trial::Tolerance> list;
    int status = kAllOk;
    for (std::size_t m = 0; m < job->memberCount(); ++m) {
        if (only && m != *only) continue;
        auto made = trial::tolerance(*job, m, request, {});
        if (!made) {
            printDiagnostic(made.error(), job->resolver(), around);
            return kNotRead;
        }
        trial::Tolerance& t = made.value();
        if (t.spreads.empty() && !only) continue;
        for (const trial::CheckTolerance& c : t.checks) {
            if (c.how == trial::CheckTolerance::Worst::Fails) status = worse(status, kNotOk);
            if (c.how == trial::CheckTolerance::Worst::NotComputed) status = worse(status, kNotRead);
            if (!o.plots.empty() && !writeFile(o.plots + "/" + fileName(t.mark, c.name), report::writeSvg(report::toleranceDrawing(t, c), "t", true), around))
                return kNotRead;
        }
        if (!t.spreads.empty() && job->member(m).verdict != job::Verdict::Ok)
            status = worse(status, job->member(m).verdict == job::Verdict::NotComputed ? kNotRead : kNotOk);
        list.push_back(std::move(t));
    }
    if (o.json)
        around.out << report::writeToleranceJson(list);
    else if (list.empty())
        around.out << "no value has a tolerance: write `with b = 58 mm +- 3 mm` under a member\n";
    else
        around.out << report::writeText(report::toleranceDocument(list));
    if (o.pin && !pinTrial(*job, trial::pinnedSure(o.member, request), o.set, o.json, around)) return kNotRead;
    return status;
}

} // namespace spanwright::cli
