// SPDX-License-Identifier: MIT
#include <doctest/doctest.h>
#include <sys/wait.h>
#include <unistd.h>

#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <sstream>

#include "tests/engine/cli/bench.h"

namespace {

namespace fs = std::filesystem;

/// A folder of its own for each test, gone afterwards.
class Folder {
public:
    Folder() : m_path(fs::temp_directory_path() / ("spanwright-cli-" + std::to_string(::getpid()))) {
        fs::remove_all(m_path);
        fs::create_directories(m_path);
        write("joist.spansheet", spanwright::cli::sample::kSheet);
        write("shed.spanjob", spanwright::cli::sample::kJob);
    }
    ~Folder() {
        std::error_code ignored;
        fs::remove_all(m_path, ignored);
    }
    Folder(const Folder&) = delete;
    Folder& operator=(const Folder&) = delete;

    void write(const std::string& name, const std::string& bytes) const { std::ofstream(m_path / name, std::ios::binary) << bytes; }
    [[nodiscard]] std::string read(const std::string& name) const {
        std::ifstream in(m_path / name, std::ios::binary);
        std::ostringstream out;
        out << in.rdbuf();
        return out.str();
    }
    [[nodiscard]] std::string path() const { return m_path.string(); }

    struct Ran {
        int status = -1;
        std::string out;
    };
    /// Runs the built command in this folder; standard error goes to err.txt here.
    [[nodiscard]] Ran run(const std::string& arguments, const std::string& environment = "") const {
        const std::string line = "cd '" + path() + "' && env " + environment + " '" + SPANWRIGHT_COMMAND + "' " + arguments + " 2>err.txt";
        Ran r;
        FILE* pipe = ::popen(line.c_str(), "r");
        REQUIRE(pipe != nullptr);
        char buffer[4096];
        for (std::size_t n = 0; (n = std::fread(buffer, 1, sizeof buffer, pipe)) > 0;) r.out.append(buffer, n);
        const int ended = ::pclose(pipe);
        if (WIFEXITED(ended)) r.status = WEXITSTATUS(ended);
        return r;
    }

private:
    fs::path m_path;
};

} // namespace

TEST_CASE("the command's exit statuses") {
    const Folder f;
    CHECK(f.run("--version").status == 0);
    CHECK(f.run("check shed.spanjob --set B1.L='3 m'").status == 0);
    CHECK(f.run("check shed.spanjob").status == 3);
    CHECK(f.run("check nowhere.spanjob").status == 1);
    CHECK(f.run("check").status == 2);
    CHECK(f.run("").status == 2);
    CHECK(f.read("err.txt").find("which command?") != std::string::npos);
    f.write("bad.spanjob", "job x\nmember J1 = joist\n with L = 3.6 kg\n");
    CHECK(f.run("check bad.spanjob").status == 1);
    // A real place in a real file, with the place marked.
    CHECK(f.read("err.txt").find("bad.spanjob:3:") != std::string::npos);
    CHECK(f.read("err.txt").find('^') != std::string::npos);
}

TEST_CASE("results that cannot be written are not taken for written") {
    if (!fs::exists("/dev/full")) return;
    const Folder f;
    CHECK(f.run("check shed.spanjob >/dev/full").status == 1);
    CHECK(f.read("err.txt").find("could not be written") != std::string::npos);
}

TEST_CASE("files on disk: set, report, tick, start") {
    const Folder f;
    CHECK(f.run("set shed.spanjob J1.L '4.1 m'").status == 0);
    std::string expected = spanwright::cli::sample::kJob;
    expected.replace(expected.find("3.6 m"), 5, "4.1 m");
    CHECK(f.read("shed.spanjob") == expected);
    CHECK(f.run("report shed.spanjob").status == 3);
    CHECK(f.read("shed.html").find("<!DOCTYPE html>") == 0);
    CHECK(f.run("tick shed.spanjob J1.M --by AB --on 2026-05-04").status == 0);
    CHECK(f.run("tidy shed.spanjob").status == 0);
    // Nothing else is left lying about.
    std::size_t files = 0;
    for ([[maybe_unused]] const auto& entry : fs::directory_iterator(f.path())) ++files;
    CHECK(files == 4); // sheet, job, page, err.txt
}

TEST_CASE("the same bytes in any language and at any terminal width") {
    const Folder f;
    const std::string plain = f.run("check shed.spanjob", "LC_ALL=C COLUMNS=80").out;
    CHECK(plain.size() > 200);
    CHECK(f.run("check shed.spanjob", "LC_ALL=de_DE.UTF-8 LANG=de_DE.UTF-8 LC_NUMERIC=de_DE.UTF-8 COLUMNS=200 TZ=Asia/Tokyo").out == plain);
}

TEST_CASE("the folder of the ready sheets can be named") {
    const Folder f;
    fs::create_directories(fs::path(f.path()) / "mine/eu");
    f.write("mine/eu/joist.spansheet", spanwright::cli::sample::kSheet);
    CHECK(f.run("sheets", "SPANWRIGHT_SHEETS=mine").out.find("eu/joist") != std::string::npos);
    CHECK(f.run("sheets --sheets mine", "SPANWRIGHT_SHEETS=nowhere").out.find("eu/joist") != std::string::npos);
    CHECK(f.run("sheets", "SPANWRIGHT_SHEETS=nowhere").status == 1);
}

TEST_CASE("where the ready sheets are looked for") {
    const Folder f;
    using spanwright::cli::findLibrary;
    CHECK(findLibrary("named", f.path() + "/bin/spanwright") == "named");
    fs::create_directories(fs::path(f.path()) / "share/spanwright/sheets");
    CHECK(fs::equivalent(findLibrary("", f.path() + "/bin/spanwright"), fs::path(f.path()) / "share/spanwright/sheets"));
    CHECK(fs::equivalent(findLibrary("", f.path() + "/other/bin/spanwright"), std::string(SPANWRIGHT_SOURCE_DIR) + "/sheets"));
}
