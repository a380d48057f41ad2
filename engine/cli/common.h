// SPDX-License-Identifier: MIT
#pragma once

#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "engine/cli/run.h"
#include "engine/job/job.h"
#include "engine/shop/shop_rows.h"

/// What several commands do alike.
namespace spanwright::cli {

/// "J1.M_d" taken apart at its last dot; a sheet on its own has no marks.
struct Path {
    std::string mark, name;
};
[[nodiscard]] Path splitPath(const job::Job& job, const std::string& text);

/// "NAME=VALUE" at its first '='; nothing if there is none or the name is empty.
struct Assignment {
    std::string name, value;
};
[[nodiscard]] std::optional<Assignment> splitAssignment(const std::string& text);

/// Opens FILE, or gives nothing after saying why on `err`: a file that cannot be read at all.
[[nodiscard]] std::unique_ptr<job::Job> openJob(const std::string& file, const Surroundings& around);
/// Applies `--set` values, here and now only. False after saying what was refused.
[[nodiscard]] bool applySets(job::Job& job, const std::vector<std::string>& sets, const Surroundings& around);

/// A row of a member, found by path.
struct Target {
    std::size_t member = 0;
    meaning::QuantityId id;
};
/// Nothing after saying on `err` what there is instead.
[[nodiscard]] std::optional<Target> findTarget(const job::Job& job, const std::string& path, const Surroundings& around);

/// A member by its mark; nothing after saying on `err` that there is none.
[[nodiscard]] std::optional<std::size_t> findMember(const job::Job& job, const std::string& mark, const Surroundings& around);

/// Places in the job's files, and in the file of prices.
[[nodiscard]] diag::Resolver shopResolver(const job::Job& job, const shop::ShopRows& rows);
void printDiagnostic(const diag::Diagnostic& d, const diag::Resolver& resolve, const Surroundings& around);
/// Of one member (and of the files as a whole) where a mark is given.
void printDiagnostics(const job::Job& job, const std::string& mark, const Surroundings& around);
/// A fault that has no place in a file.
[[nodiscard]] diag::Diagnostic faultOf(diag::Code code, const std::string& file, std::string message, std::string mend = {});
[[nodiscard]] diag::Diagnostic faultOf(const io::IoError& e);
/// Saves the touched files; false after saying why not.
[[nodiscard]] bool saveJob(job::Job& job, const Surroundings& around);
/// Puts a trial into the job's file, so that its report works it out anew each time. False after saying why not: `sets` are of this
/// time only, and a trial found with them would come to something else.
[[nodiscard]] bool pinTrial(job::Job& job, const std::string& trial, const std::vector<std::string>& sets, bool quiet, const Surroundings& around);
/// Writes one file, "-" being standard output; false after saying why not.
[[nodiscard]] bool writeFile(const std::string& path, const std::string& bytes, const Surroundings& around);
/// Writes one file into a folder, which is made if it is not there; false after saying why not.
[[nodiscard]] bool writeInto(const std::string& folder, const std::string& name, const std::string& bytes, const Surroundings& around);

/// A worse status outranks: 1 before 3 before 0.
[[nodiscard]] int worse(int a, int b);

} // namespace spanwright::cli
