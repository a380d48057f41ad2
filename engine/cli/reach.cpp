// SPDX-License-Identifier: MIT
#include "engine/trial/pinned.h"

#include <ostream>

#include "engine/cli/commands.h"
#include "engine/cli/common.h"
#include "engine/report/trial_document.h"
#include "engine/report/write.h"

namespace spanwright::cli {

int perform(const ReachOptions& o, const Surroundings& around) {
    const std::unique_ptr<job::Job> job = openJob(o.file, around);
    if (!applySets(*job, o.set, around)) return kNotRead;
    if (job->memberCount() == 0) {
        printDiagnostics(*job, "", around);
        return kNotRead;
    }
    trial::ReachRequest request;
    request.aim = !o.largest.empty() ? trial::Aim::Largest : !o.smallest.empty() ? trial::Aim::Smallest : trial::Aim::Until;
    request.over = !o.largest.empty() ? o.largest : !o.smallest.empty() ? o.smallest : o.with;
    request.until = o.until;
    request.within = o.within;
    request.by = o.by;
    const auto made = trial::reach(*job, request, {});
    if (!made) {
        printDiagnostic(made.error(), job->resolver(), around);
        return kNotRead;
    }
    const trial::Reach& answer = made.value();
    if (o.json)
        around.out << report::writeReachJson(answer);
    else
        around.out << report::writeText(report::reachDocument(answer));
    if (o.pin && !pinTrial(*job, trial::pinnedText(request), o.set, o.json, around)) return kNotRead;
    if (!answer.answer) {
        printDiagnostic(faultOf(diag::Code::TrialNoAnswer, o.file,
                                answer.aim == trial::Aim::Until ? "`" + o.until + "` is reached nowhere in the range looked at"
                                                                : "no value looked at makes every check pass",
                                "look at what stands in the way, or look in another range: `NAME from A to B`"),
                        {}, around);
        return kNotOk;
    }
    if (!o.apply) return kAllOk;
    // `--set` values are of this time only: what is applied was found with them, and the file does not have them.
    if (!o.set.empty()) {
        printDiagnostic(faultOf(diag::Code::NotSettable, o.file, "the answer holds only with the `--set` values, which are not in the file",
                                "set them in the file first, then reach again"),
                        {}, around);
        return kNotRead;
    }
    const trial::ValueName& name = answer.what.name;
    job::Job::Done done = name.mark.empty() ? job->setJobGiven(name.name, answer.answerWritten) : job->setValue(name.mark, name.name, answer.answerWritten);
    if (!done) {
        printDiagnostic(done.error(), job->resolver(), around);
        return kNotRead;
    }
    if (!saveJob(*job, around)) return kNotRead;
    around.out << trial::pathText(name) << " = " << answer.answerWritten << " is now in " << o.file << "\n";
    return kAllOk;
}

} // namespace spanwright::cli
