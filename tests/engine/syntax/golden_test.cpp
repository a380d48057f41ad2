// SPDX-License-Identifier: MIT
// Sheets and jobs beside what is read out of them. SPANWRIGHT_UPDATE_GOLDEN=1 writes the golden files anew;
// a missing one fails.
#include <doctest/doctest.h>

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <sstream>

#include "engine/syntax/csv.h"

namespace fs = std::filesystem;
using namespace spanwright;
using namespace spanwright::syntax;

namespace {

std::string readAll(const fs::path& path) {
    std::ifstream in(path, std::ios::binary);
    std::stringstream s;
    s << in.rdbuf();
    return s.str();
}

std::vector<diag::Diagnostic> everythingWrong(const Document& d) {
    auto list = d.diagnostics();
    for (std::uint32_t i = 0; i < d.rows().size(); ++i) {
        const RowKind kind = d.rows()[i].kind;
        if (kind != RowKind::Table && kind != RowKind::List && kind != RowKind::Matrix) continue;
        const auto table = blockTable(d, i).diagnostics;
        list.insert(list.end(), table.begin(), table.end());
    }
    return list;
}

void compareFolder(const std::string& folder, bool wantsComplaints) {
    const fs::path root = fs::path(SPANWRIGHT_SOURCE_DIR) / "tests/golden/syntax" / folder;
    const bool update = std::getenv("SPANWRIGHT_UPDATE_GOLDEN") != nullptr;
    int seen = 0;
    for (const auto& entry : fs::directory_iterator(root)) {
        const std::string ending = entry.path().extension().string();
        if (ending != ".spansheet" && ending != ".spanjob") continue;
        ++seen;
        const std::string bytes = readAll(entry.path());
        const std::string name = entry.path().filename().string();
        CAPTURE(name);
        const Document d = Document::read(name, ending == ".spanjob" ? FileKind::Job : FileKind::Sheet, bytes);
        CHECK(d.text() == bytes);
        const auto wrong = everythingWrong(d);
        CHECK(wrong.empty() == !wantsComplaints);
        std::string got = dump(d);
        for (const auto& w : wrong) got += "\n" + renderText(w, [&](const diag::Place& p) { return d.resolve(p); });
        const fs::path golden = entry.path().string() + ".dump";
        if (update) std::ofstream(golden, std::ios::binary) << got;
        REQUIRE(fs::exists(golden));
        CHECK(got == readAll(golden));
    }
    CHECK(seen > 4);
}

} // namespace

TEST_CASE("well-formed sheets and jobs read as their golden files say") { compareFolder("ok", false); }

TEST_CASE("faulty sheets and jobs read as their golden files say, each fault with its whole message") { compareFolder("err", true); }
