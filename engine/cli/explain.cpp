// SPDX-License-Identifier: MIT
#include <algorithm>
#include <ostream>

#include "engine/cli/commands.h"
#include "engine/cli/common.h"
#include "engine/report/write.h"

namespace spanwright::cli {

namespace {

std::string upper(std::string s) {
    std::transform(s.begin(), s.end(), s.begin(), [](char c) { return c >= 'a' && c <= 'z' ? static_cast<char>(c - 'a' + 'A') : c; });
    return s;
}

} // namespace

int perform(const ExplainOptions& o, const Surroundings& around) {
    report::Table t;
    t.columns = {{"code", report::Table::Align::Left, false}, {"what it means", report::Table::Align::Left, true}};
    const std::string wanted = upper(o.code);
    for (const diag::Code c : diag::allCodes()) {
        if (!wanted.empty() && wanted != diag::codeText(c) && wanted != upper(std::string(diag::codeName(c)))) continue;
        t.rows.push_back({{report::codeText(std::string(diag::codeText(c)))}, {report::plainText(std::string(diag::codeExplanation(c)))}});
    }
    if (t.rows.empty()) {
        around.err << "spanwright: there is no code `" << o.code << "`; `spanwright explain` lists all\n";
        return kUsage;
    }
    t.ruled = wanted.empty();
    report::Document d;
    d.sections.emplace_back();
    d.sections.back().blocks.push_back({std::move(t)});
    around.out << report::writeText(d);
    return kAllOk;
}

} // namespace spanwright::cli
