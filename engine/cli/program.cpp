// SPDX-License-Identifier: MIT
#include <cstdlib>
#include <filesystem>
#include <iostream>

#include "engine/cli/run.h"

namespace spanwright::cli {

namespace {

std::string executableOf(const char* named) {
    std::error_code failed;
    const std::filesystem::path link = std::filesystem::read_symlink("/proc/self/exe", failed);
    return failed ? std::string(named == nullptr ? "" : named) : link.string();
}

} // namespace

std::string findLibrary(const std::string& named, const std::string& executable) {
    if (!named.empty()) return named;
    std::error_code failed;
    if (!executable.empty()) {
        const std::filesystem::path installed = std::filesystem::path(executable).parent_path().parent_path() / "share/spanwright/sheets";
        if (std::filesystem::is_directory(installed, failed)) return installed.string();
    }
#ifdef SPANWRIGHT_SHEETS_FOLDER
    if (std::filesystem::is_directory(SPANWRIGHT_SHEETS_FOLDER, failed)) return SPANWRIGHT_SHEETS_FOLDER;
#endif
    return {};
}

int runProgram(int argc, char** argv, const report::PaperWriter* paper) {
    std::ios::sync_with_stdio(false);
    const char* named = std::getenv("SPANWRIGHT_SHEETS");
    io::Disk disk;
    const Surroundings around{disk, std::cout, std::cerr, findLibrary(named == nullptr ? "" : named, executableOf(argc > 0 ? argv[0] : nullptr)), paper};
    int status = run(std::vector<std::string>(argv + (argc > 0 ? 1 : 0), argv + argc), around);
    std::cout.flush();
    if (!std::cout) {
        std::cerr << "spanwright: the results could not be written to standard output\n";
        status = kNotRead;
    }
    return status;
}

} // namespace spanwright::cli
