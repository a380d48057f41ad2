// SPDX-License-Identifier: MIT
#pragma once

#include <cstddef>
#include <cstdint>
#include <string>
#include <variant>
#include <vector>

namespace spanwright::cli {

/// One struct a command: what its command line said, read but not yet believed.
struct CheckOptions {
    std::string file, member;
    std::vector<std::string> set; ///< NAME=VALUE
    bool json = false, csv = false, explain = false;
};
struct WorkingOptions {
    std::string file, name, caseLabel;
    std::vector<std::string> set;
    unsigned deep = 0;
};
struct SetOptions {
    std::string file, name, value;
};
struct ReportOptions {
    std::string file, out, as, plots;
    std::vector<std::string> members; ///< marks; empty: all
    bool brief = false;
    std::string size; ///< of the paper: a4, letter
    std::vector<std::string> set;
};
/// What the commands of the workshop have in common.
struct ShopOptions {
    std::string file, prices;
    std::vector<std::string> set;
    double seconds = 2.0; ///< of work on each material, on the machine of the benchmarks
};
struct CutOptions : ShopOptions {
    bool json = false, csv = false, progress = false;
    std::string drawings;
};
struct PriceOptions : ShopOptions {
    bool json = false, csv = false, workings = false;
};
struct CompareOptions : ShopOptions {
    std::vector<std::string> marks;
    bool json = false;
};
struct BenchOptions : ShopOptions {
    std::string out;
    bool inches = false;
};
struct JointsOptions {
    std::string file, mark;
    bool write = false;
};
struct SheetsOptions {};
struct StartOptions {
    std::string job, sheet;
};
struct TidyOptions {
    std::string file;
};
struct TickOptions {
    std::string job, name, by, on;
};
struct VaryOptions {
    std::string file, largest, smallest, plot;
    std::vector<std::string> over, show, set;
    bool json = false, csv = false, pin = false;
};
struct WeighOptions {
    std::string file, name, plot;
    std::vector<std::string> set;
    bool json = false, pin = false;
};
struct SureOptions {
    std::string file, member, plots;
    std::vector<std::string> set;
    std::size_t samples = 0; ///< 0: as many as are usual
    std::uint64_t seed = 1;
    bool normal = false, calculated = false, json = false, pin = false;
};
struct ReachOptions {
    std::string file, largest, smallest, with, until, within, by;
    std::vector<std::string> set;
    bool apply = false, json = false, pin = false;
};
struct ExplainOptions {
    std::string code;
};
using Command = std::variant<CheckOptions, WorkingOptions, SetOptions, ReportOptions, SheetsOptions, StartOptions, TidyOptions, TickOptions, ExplainOptions,
                             CutOptions, PriceOptions, CompareOptions, BenchOptions, JointsOptions, VaryOptions, ReachOptions, WeighOptions, SureOptions>;

/// A command line that can be run, or what to say instead.
struct Request {
    Command command;
    std::string sheets; ///< --sheets, empty if not given
    bool stop = false;  ///< nothing to run: print `text` and end with `status`
    int status = 0;
    std::string text;
    std::string problem; ///< wrong usage: to stderr
};
[[nodiscard]] Request readOptions(const std::vector<std::string>& arguments);

/// The help page of a command, or of the whole for "". All teach by example and fit 80 columns.
[[nodiscard]] std::string helpText(const std::string& command);

} // namespace spanwright::cli
