// SPDX-License-Identifier: MIT
#pragma once

#include <iosfwd>
#include <optional>
#include <string>
#include <vector>

#include "engine/io/files.h"
#include "engine/report/document.h"

namespace spanwright::cli {

/// All that the command touches. Tests hand in memory; a program that can write PDF hands in its writer.
struct Surroundings {
    io::Files& files;
    std::ostream& out;
    std::ostream& err;
    std::string library; ///< folder of the ready sheets, unless --sheets names another; may be empty
    const report::PaperWriter* paper = nullptr;
};

/// Exit statuses; a worse one outranks a better.
inline constexpr int kAllOk = 0;
inline constexpr int kNotRead = 1; ///< something could not be read or computed
inline constexpr int kUsage = 2;   ///< the command line itself is wrong
inline constexpr int kNotOk = 3;   ///< computed, and something FAILS or is NOT PROVEN

/// Runs one command line (without the program's own name) and gives its exit status. Results go to
/// `out`, what is wrong goes to `err`. Never throws.
[[nodiscard]] int run(const std::vector<std::string>& arguments, const Surroundings& around);

/// Where the ready sheets are: `named` (the environment's SPANWRIGHT_SHEETS) if not empty, else
/// ../share/spanwright/sheets beside the program's folder, else the source tree it was built from, else nothing.
[[nodiscard]] std::string findLibrary(const std::string& named, const std::string& executable);

/// The whole of a main(): real files, standard streams, the environment.
[[nodiscard]] int runProgram(int argc, char** argv, const report::PaperWriter* paper);

} // namespace spanwright::cli
