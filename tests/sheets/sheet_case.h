// SPDX-License-Identifier: MIT
#pragma once

#include <map>
#include <memory>
#include <string>
#include <utility>
#include <vector>

#include "engine/io/files.h"
#include "engine/job/job.h"

namespace spanwright::sheets_test {

/// One member `M` of a ready sheet, in memory, with the library as it stands in the tree. Tables may be
/// replaced, as a national annex or another product would.
class SheetCase {
public:
    /// Name and value as a job states them; the name `list NAME` takes the list's CSV, head first.
    using Values = std::vector<std::pair<std::string, std::string>>;
    using Replaced = std::map<std::string, std::string>; ///< "tables/en338.csv" -> text

    SheetCase(const std::string& sheet, const Values& values, const Replaced& replaced = {});

    void set(const std::string& name, const std::string& value);
    /// In `unit`, for a case named by its label ("permanent", "variable, old"); no label: the only case.
    [[nodiscard]] double in(const std::string& unit, const std::string& name, const std::string& label = {});
    [[nodiscard]] double number(const std::string& name, const std::string& label = {});
    [[nodiscard]] const job::CheckView& check(const std::string& name);
    [[nodiscard]] double utilisation(const std::string& name);
    [[nodiscard]] job::Verdict verdict();
    [[nodiscard]] bool hasErrors();
    /// Every error of the job, for a failing test's message.
    [[nodiscard]] std::string errors();
    [[nodiscard]] const job::MemberView& member();

private:
    io::Memory m_files;
    std::unique_ptr<job::Job> m_job;
};

/// `values` with some stated otherwise, or more of them.
[[nodiscard]] SheetCase::Values changed(SheetCase::Values values, const SheetCase::Values& changes);

/// Rows of a CSV of tests/reference or sheets/tables by the names in its head (comment lines skipped).
[[nodiscard]] std::vector<std::map<std::string, std::string>> readRows(const std::string& pathBelowRoot);
/// The library of ready sheets, as files in memory under "library/".
[[nodiscard]] io::Memory libraryInMemory();
[[nodiscard]] std::string readText(const std::string& pathBelowRoot);

/// True if `got` lies within half a unit of the last digit of a figure printed as `printed` (with `slack`
/// units of that digit instead of a half where the source rounded on the way).
[[nodiscard]] bool printsAs(double got, const std::string& printed, double slack = 0.5);

} // namespace spanwright::sheets_test
