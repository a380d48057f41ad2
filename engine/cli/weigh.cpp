// SPDX-License-Identifier: MIT
#include "engine/trial/pinned.h"

#include <ostream>

#include "engine/cli/commands.h"
#include "engine/cli/common.h"
#include "engine/report/trial_document.h"
#include "engine/report/write.h"

namespace spanwright::cli {

int perform(const WeighOptions& o, const Surroundings& around) {
    const std::unique_ptr<job::Job> job = openJob(o.file, around);
    if (!applySets(*job, o.set, around)) return kNotRead;
    if (job->memberCount() == 0) {
        printDiagnostics(*job, "", around);
        return kNotRead;
    }
    const std::optional<Target> target = findTarget(*job, o.name, around);
    if (!target) return kNotRead;
    const trial::ValueName name{job->member(target->member).mark, job->sheet(target->member).at(target->id).name};
    const auto made = trial::weigh(*job, name, {});
    if (!made) {
        printDiagnostic(made.error(), job->resolver(), around);
        return kNotRead;
    }
    if (!o.plot.empty() && !writeFile(o.plot, report::writeSvg(report::weightsDrawing(made.value()), "w", true), around)) return kNotRead;
    if (o.json)
        around.out << report::writeWeightsJson(made.value());
    else
        around.out << report::writeText(report::weightsDocument(made.value()));
    if (o.pin && !pinTrial(*job, trial::pinnedWeigh(name), o.set, o.json, around)) return kNotRead;
    return kAllOk;
}

} // namespace spanwright::cli
