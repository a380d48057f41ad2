// SPDX-License-Identifier: MIT
#include "engine/trial/pinned.h"

#include <ostream>

#include "engine/cli/commands.h"
#include "engine/cli/common.h"
#include "engine/report/trial_document.h"
#include "engine/report/write.h"

namespace spanwright::cli {

int perform(const VaryOptions& o, const Surroundings& around) {
    const std::unique_ptr<job::Job> job = openJob(o.file, around);
    if (!applySets(*job, o.set, around)) return kNotRead;
    if (job->memberCount() == 0) {
        printDiagnostics(*job, "", around);
        return kNotRead;
    }
    trial::VaryRequest request;
    request.over = o.over;
    request.show = o.show;
    if (!o.largest.empty()) {
        request.aim = trial::Aim::Largest;
        request.reach = o.largest;
    } else if (!o.smallest.empty()) {
        request.aim = trial::Aim::Smallest;
        request.reach = o.smallest;
    }
    const auto made = trial::vary(*job, request, {});
    if (!made) {
        printDiagnostic(made.error(), job->resolver(), around);
        return kNotRead;
    }
    const trial::VaryTable& table = made.value();
    if (!o.plot.empty() && !writeFile(o.plot, report::writeSvg(report::varyDrawing(table), "v", true), around)) return kNotRead;
    if (o.json)
        around.out << report::writeVaryJson(table);
    else if (o.csv)
        around.out << report::writeVaryCsv(table);
    else
        around.out << report::writeText(report::varyDocument(table));
    if (o.pin && !pinTrial(*job, trial::pinnedText(request), o.set, o.json || o.csv, around)) return kNotRead;
    return kAllOk;
}

} // namespace spanwright::cli
