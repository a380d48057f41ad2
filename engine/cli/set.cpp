// SPDX-License-Identifier: MIT
#include <ostream>

#include "engine/cli/commands.h"
#include "engine/cli/common.h"

namespace spanwright::cli {

int perform(const SetOptions& o, const Surroundings& around) {
    const std::unique_ptr<job::Job> job = openJob(o.file, around);
    const Path path = splitPath(*job, o.name);
    job::Job::Done done = path.mark.empty() ? job->setJobGiven(path.name, o.value) : job->setValue(path.mark, path.name, o.value);
    if (!done) {
        printDiagnostic(done.error(), job->resolver(), around);
        return kNotRead;
    }
    if (!saveJob(*job, around)) return kNotRead;
    around.out << o.name << " = " << o.value << "\n";
    return kAllOk;
}

} // namespace spanwright::cli
