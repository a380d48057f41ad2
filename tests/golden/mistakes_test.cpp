// SPDX-License-Identifier: MIT
// One folder per mistake: what somebody wrote, and in expected.txt the whole message they get. With
// SPANWRIGHT_UPDATE_GOLDEN=1 the expected texts are written anew; a missing one fails.
#include <doctest/doctest.h>

#include <algorithm>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <map>
#include <regex>
#include <set>
#include <sstream>
#include <string>
#include <vector>

#include "engine/cli/run.h"
#include "engine/diag/codes.h"
#include "engine/diag/diagnostic.h"
#include "engine/io/files.h"
#include "engine/job/job.h"
#include "engine/shop/workshop.h"

namespace fs = std::filesystem;
using namespace spanwright;

namespace {

const fs::path kMistakes = fs::path(SPANWRIGHT_SOURCE_DIR) / "tests/golden/mistakes";

/// Codes that no file can bring about, and why.
const std::map<std::string, std::string>& exempt() {
    static const std::map<std::string, std::string> table = {
        {"F002", "needs a file without read permission; tests/engine/io and tests/engine/cli do it"},
        {"F003", "needs a file past 64 MiB; tests/engine/cli/bad_input_test.cpp makes one"},
        {"F004", "a binary file; tests/engine/cli/bad_input_test.cpp makes one"},
        {"F005", "needs a folder that cannot be written; tests/engine/cli/bad_input_test.cpp makes one"},
        {"L706", "needs more than two million rows; tests/engine/syntax brings it about"},
        {"W819", "a plan that does not stand up to its verifier is a mistake of the program"},
        {"W820", "only `joints` says it; tests/engine/cli/shop_test.cpp asks for joints where there are none"},
        {"L705", "needs a table of more than two million rows; tests/engine/cli/bad_input_test.cpp makes one"},
    };
    return table;
}

std::string readAll(const fs::path& p) {
    std::ifstream in(p, std::ios::binary);
    std::ostringstream out;
    out << in.rdbuf();
    return out.str();
}

/// All messages of a case with the folder's path taken out, then the verdict.
std::string messages(const fs::path& folder, std::set<std::string>& codes) {
    io::Memory files;
    for (const auto& e : fs::recursive_directory_iterator(folder)) {
        if (e.is_regular_file() && e.path().filename() != "expected.txt")
            files.files["work/" + fs::relative(e.path(), folder).generic_string()] = readAll(e.path());
    }
    // A mistake of a command rather than of a file: its words, one a line, stand in command.txt.
    if (const auto command = files.files.find("work/command.txt"); command != files.files.end()) {
        std::istringstream words(command->second);
        std::vector<std::string> line;
        for (std::string word; std::getline(words, word);) line.push_back(word);
        std::ostringstream told, out;
        const int status = cli::run(line, {files, out, told, "library"});
        const std::string text = std::regex_replace(told.str(), std::regex("work/"), "");
        const std::regex code("\\[([A-Z][0-9]{3})\\]");
        for (std::sregex_iterator it(text.begin(), text.end(), code), end; it != end; ++it) codes.insert((*it)[1]);
        return text + "status " + std::to_string(status) + "\n";
    }
    const std::string start = files.files.count("work/job.spanjob") != 0 ? "work/job.spanjob" : "work/trial.spansheet";
    const auto job = job::Job::open(files, start, {.library = "library", .cancelled = {}});
    std::string out;
    const auto resolve = job->resolver();
    std::vector<diag::Diagnostic> all = job->diagnostics();
    std::string bill;
    diag::Resolver inPrices = resolve;
    if (shop::hasWorkshop(*job)) {
        const shop::Workshop w = shop::work(*job);
        all.insert(all.end(), w.problems.begin(), w.problems.end());
        bill =
            "bill: " + (w.bill.currency.empty() ? "no prices" : shop::showMoney(w.bill.total, w.bill.currency)) + (w.bill.proven ? "" : ", NOT PROVEN") + "\n";
        inPrices = [resolve, table = w.rows.priceTable, file = w.rows.priceFile](const diag::Place& p) {
            return table && p.file == file ? table->resolve(p) : resolve(p);
        };
    } else {
        for (std::size_t m = 0; m < job->memberCount(); ++m) {
            for (const diag::Diagnostic& d : job->pieces(m).problems) all.push_back(d);
        }
    }
    for (const diag::Diagnostic& d : all) {
        codes.insert(std::string(diag::codeText(d.code)));
        out += std::string(diag::codeText(d.code)) + " " + diag::renderText(d, inPrices);
    }
    out += bill;
    out += "verdict: " + std::string(job::verdictText(job->verdict())) + ", status " + std::to_string(job->exitStatus()) + "\n";
    return std::regex_replace(out, std::regex("work/"), "");
}

} // namespace

TEST_CASE("every mistake gets its whole message") {
    std::set<std::string> codes;
    const bool update = std::getenv("SPANWRIGHT_UPDATE_GOLDEN") != nullptr;
    std::size_t cases = 0;
    for (const auto& entry : fs::directory_iterator(kMistakes)) {
        const fs::path golden = entry.path() / "expected.txt";
        INFO(entry.path().filename().string());
        const std::string got = messages(entry.path(), codes);
        if (update) std::ofstream(golden, std::ios::binary) << got;
        REQUIRE(fs::exists(golden));
        CHECK(got == readAll(golden));
        CHECK_MESSAGE(got.find("verdict: OK") == std::string::npos, "a mistake passed as OK");
        ++cases;
    }
    CHECK(cases >= 40);
    for (const diag::Code c : diag::allCodes()) {
        const std::string text(diag::codeText(c));
        if (exempt().count(text) != 0) continue;
        CHECK_MESSAGE(codes.count(text) == 1, "no case brings about ", text, " ", diag::codeName(c));
    }
}

TEST_CASE("the same files give the same messages twice") {
    std::set<std::string> codes;
    for (const auto& entry : fs::directory_iterator(kMistakes)) CHECK(messages(entry.path(), codes) == messages(entry.path(), codes));
}
