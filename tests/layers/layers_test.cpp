// SPDX-License-Identifier: MIT
// Reads the #include lines of the whole tree: no arrow may point up, only one file may know muParser,
// nothing in engine/ may know Qt, and the visible top level stays as agreed.
#include <doctest/doctest.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <map>
#include <set>
#include <string>
#include <vector>

namespace fs = std::filesystem;

namespace {

const std::map<std::string, std::vector<std::string>>& allowed() {
    static const std::map<std::string, std::vector<std::string>> table = {
        {"engine/base", {}},
        {"engine/diag", {"engine/base"}},
        {"engine/units", {"engine/diag"}},
        {"engine/syntax", {"engine/diag"}},
        {"engine/meaning", {"engine/syntax", "engine/units"}},
        {"engine/graph", {"engine/base"}},
        {"engine/beam", {"engine/base"}},
        {"engine/eval", {"engine/meaning", "engine/graph", "engine/beam"}},
        {"engine/io", {"engine/base"}},
        {"engine/job", {"engine/eval", "engine/io"}},
        {"engine/trial", {"engine/job"}},
        {"engine/shop", {"engine/job"}},
        {"engine/report", {"engine/job", "engine/trial", "engine/shop"}},
        {"engine/cli", {"engine/report"}},
        {"gui/models", {"engine/job", "engine/trial", "engine/shop", "engine/report"}},
        {"gui/ink", {"engine/report"}},
        {"gui/editor", {"gui/models", "gui/ink"}},
        {"gui/views", {"gui/models", "gui/editor", "gui/ink"}},
        {"gui/paper", {"gui/ink", "engine/cli"}},
        {"gui/app", {"gui/views", "gui/paper", "engine/cli"}},
    };
    return table;
}

/// Everything that `folder` may include, itself included.
std::set<std::string> reachable(const std::string& folder) {
    std::set<std::string> seen{folder};
    std::vector<std::string> open{folder};
    while (!open.empty()) {
        const std::string at = open.back();
        open.pop_back();
        const auto found = allowed().find(at);
        REQUIRE_MESSAGE(found != allowed().end(), "a folder that no layer names: ", at);
        for (const std::string& next : found->second) {
            if (seen.insert(next).second) open.push_back(next);
        }
    }
    return seen;
}

struct Include {
    std::string file;   ///< relative to the root
    std::string folder; ///< "engine/units"
    std::string target; ///< as written between the quotes or brackets
    bool quoted = false;
};

std::string folderOf(const std::string& path) {
    const std::size_t first = path.find('/');
    const std::size_t second = path.find('/', first + 1);
    return second == std::string::npos ? path.substr(0, first) : path.substr(0, second);
}

std::vector<Include> includesBelow(const fs::path& root, const std::string& top) {
    std::vector<Include> found;
    if (!fs::exists(root / top)) return found;
    for (const auto& entry : fs::recursive_directory_iterator(root / top)) {
        const std::string ext = entry.path().extension().string();
        if (!entry.is_regular_file() || (ext != ".h" && ext != ".cpp" && ext != ".def")) continue;
        const std::string file = fs::relative(entry.path(), root).generic_string();
        std::ifstream in(entry.path());
        for (std::string line; std::getline(in, line);) {
            const std::size_t hash = line.find_first_not_of(" \t");
            if (hash == std::string::npos || line.compare(hash, 8, "#include") != 0) continue;
            const std::size_t open = line.find_first_of("<\"", hash + 8);
            if (open == std::string::npos) continue;
            const std::size_t close = line.find_first_of(">\"", open + 1);
            found.push_back({file, folderOf(file), line.substr(open + 1, close - open - 1), line[open] == '"'});
        }
    }
    return found;
}

const fs::path kRoot = SPANWRIGHT_SOURCE_DIR;

} // namespace

TEST_CASE("no include points up") {
    std::size_t checked = 0;
    for (const std::string top : {"engine", "gui"}) {
        for (const Include& inc : includesBelow(kRoot, top)) {
            if (!inc.quoted) continue;
            INFO(inc.file, " includes ", inc.target);
            const bool ours = inc.target.starts_with("engine/") || inc.target.starts_with("gui/");
            // gui code may write generated names such as "main.moc"; every other quoted include is from the root.
            if (!ours) {
                CHECK((inc.target.ends_with(".moc") || inc.target.starts_with("ui_")));
                continue;
            }
            CHECK(reachable(inc.folder).count(folderOf(inc.target)) == 1);
            CHECK_MESSAGE(fs::exists(kRoot / inc.target), "no such header");
            ++checked;
        }
    }
    CHECK(checked > 50);
}

TEST_CASE("only one source file knows muParser, and engine knows no Qt") {
    std::set<std::string> muParser;
    for (const Include& inc : includesBelow(kRoot, "engine")) {
        if (inc.target.starts_with("muParser")) muParser.insert(inc.file);
        INFO(inc.file, " includes ", inc.target);
        CHECK_FALSE((inc.target.size() > 1 && inc.target[0] == 'Q' && std::isupper(static_cast<unsigned char>(inc.target[1])) != 0));
        CHECK_FALSE(inc.target.starts_with("Qt"));
    }
    CHECK(muParser.size() == 1);
}

TEST_CASE("every layer has a page of its own and every source file a licence line") {
    for (const auto& [folder, unused] : allowed()) {
        if (!fs::exists(kRoot / folder / "CMakeLists.txt")) continue;
        bool sources = false;
        for (const auto& e : fs::directory_iterator(kRoot / folder)) sources = sources || e.path().extension() == ".cpp";
        if (sources) CHECK_MESSAGE(fs::exists(kRoot / folder / "README.md"), folder, " has no README.md");
    }
    for (const std::string top : {"engine", "gui", "tests"}) {
        if (!fs::exists(kRoot / top)) continue;
        for (const auto& entry : fs::recursive_directory_iterator(kRoot / top)) {
            const std::string ext = entry.path().extension().string();
            if (ext != ".h" && ext != ".cpp" && ext != ".def") continue;
            std::ifstream in(entry.path());
            std::string first;
            std::getline(in, first);
            CHECK_MESSAGE(first.find("SPDX-License-Identifier: MIT") != std::string::npos, entry.path().string());
        }
    }
}

TEST_CASE("the visible top level is as agreed") {
    const std::set<std::string> agreed = {"CMakeLists.txt", "README.md", "DEVELOPERS.md", "engine", "gui", "sheets", "tests", "examples"};
    for (const auto& entry : fs::directory_iterator(kRoot)) {
        const std::string name = entry.path().filename().string();
        if (name.starts_with(".") || name.starts_with("build")) continue;
        CHECK_MESSAGE(agreed.count(name) == 1, name);
    }
}

TEST_CASE("the test of arrows can fail") {
    CHECK(reachable("engine/units").count("engine/base") == 1);
    CHECK(reachable("engine/units").count("engine/syntax") == 0);
    CHECK(reachable("engine/graph").count("engine/units") == 0);
    CHECK(reachable("engine/beam").count("engine/diag") == 0);
    CHECK(folderOf("engine/units/unit.h") == "engine/units");
}
