// SPDX-License-Identifier: MIT
#include <ostream>

#include "engine/cli/commands.h"
#include "engine/cli/common.h"
#include "engine/report/build.h"
#include "engine/report/write.h"

namespace spanwright::cli {

int perform(const CheckOptions& o, const Surroundings& around) {
    const std::unique_ptr<job::Job> job = openJob(o.file, around);
    if (!applySets(*job, o.set, around)) return kNotRead;
    report::Want want;
    want.mends = true;
    want.rows = o.json;
    if (!o.member.empty()) {
        want.member = findMember(*job, o.member, around);
        if (!want.member) return kNotRead;
    }
    report::JobFacts facts = report::gather(*job, want);
    facts.overrides = o.set;
    printDiagnostics(*job, o.member, around);
    if (o.json)
        around.out << report::writeJson(facts);
    else if (o.csv)
        around.out << report::writeScheduleCsv(facts);
    else
        around.out << report::writeText(report::checkDocument(facts, {o.explain}));
    return facts.exitStatus;
}

} // namespace spanwright::cli
