// SPDX-License-Identifier: MIT
#include <ostream>

#include "engine/cli/commands.h"
#include "engine/cli/common.h"

namespace spanwright::cli {

int perform(const TickOptions& o, const Surroundings& around) {
    const std::unique_ptr<job::Job> job = openJob(o.job, around);
    const std::optional<Target> target = findTarget(*job, o.name, around);
    if (!target) {
        if (job->memberCount() == 0) printDiagnostics(*job, "", around);
        return kNotRead;
    }
    const std::string mark = job->member(target->member).mark;
    const std::string name = job->sheet(target->member).at(target->id).name;
    const job::Job::Done done = job->addTick(mark, name, o.by, o.on);
    if (!done) {
        printDiagnostic(done.error(), job->resolver(), around);
        return kNotRead;
    }
    if (!saveJob(*job, around)) return kNotRead;
    around.out << mark << "." << name << " ticked by " << o.by << " on " << o.on << ", letters " << job->letters(target->member, target->id) << "\n";
    return kAllOk;
}

} // namespace spanwright::cli
