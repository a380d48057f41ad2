// SPDX-License-Identifier: MIT
#include "engine/base/text.h"
#include "engine/report/clean.h"
#include "engine/report/words.h"
#include "engine/report/write.h"

namespace spanwright::report {

std::string writeScheduleCsv(const JobFacts& f) {
    std::string out = "mark,count,section,span,governing check,utilisation,verdict,purpose,sheet\n";
    for (const MemberFacts& member : f.members) {
        const job::MemberView& m = member.view;
        const job::CheckView* governing = m.governing ? &m.checks[*m.governing] : nullptr;
        const std::string utilisation = governing && governing->utilisation ? base::shortest(*governing->utilisation) : "";
        const std::string fields[] = {m.mark,
                                      countText(m.count),
                                      m.sectionShown,
                                      m.spanShown,
                                      governing ? governing->name : "",
                                      utilisation,
                                      std::string(stampText(stampOf(m.verdict))),
                                      m.purpose,
                                      m.sheetName};
        bool first = true;
        for (const std::string& field : fields) {
            if (!first) out += ',';
            first = false;
            out += csvField(field);
        }
        out += '\n';
    }
    return out;
}

} // namespace spanwright::report
