// SPDX-License-Identifier: MIT
#include <ostream>

#include "engine/cli/commands.h"
#include "engine/cli/common.h"
#include "engine/report/write.h"

namespace spanwright::cli {

int perform(const SheetsOptions&, const Surroundings& around) {
    const std::vector<job::ReadySheet> list = around.library.empty() ? std::vector<job::ReadySheet>{} : job::readySheets(around.files, around.library);
    if (list.empty()) {
        printDiagnostic(faultOf(diag::Code::FileNotFound, around.library.empty() ? "spanwright" : around.library, "no ready sheets are found here",
                                "name their folder: --sheets FOLDER, or the environment variable SPANWRIGHT_SHEETS"),
                        {}, around);
        return kNotRead;
    }
    report::Table t;
    t.columns = {{"sheet", report::Table::Align::Left, false}, {"purpose", report::Table::Align::Left, true}, {"basis", report::Table::Align::Left, true}};
    for (const job::ReadySheet& s : list) {
        std::string basis;
        for (const std::string& b : s.basis) basis += (basis.empty() ? "" : "; ") + b;
        t.rows.push_back({{report::codeText(s.name)}, {report::plainText(s.title)}, {report::plainText(basis)}});
    }
    report::Document d;
    d.sections.emplace_back();
    d.sections.back().blocks.push_back({std::move(t)});
    d.sections.back().blocks.push_back({report::Paragraph{{report::plainText(
        "There is no US sheet for I-beams and box beams made on site: the method for them is that of the panel association's documents (its supplement on "
        "glued panel and lumber beams), which ask for engineered design and are not held here.")}}});
    around.out << report::writeText(d);
    return kAllOk;
}

} // namespace spanwright::cli
