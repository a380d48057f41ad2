// SPDX-License-Identifier: MIT
// Bad input gets a clear error, an exit status of its own and loses nothing. These run the built command
// on real files, as a person would meet them; every limit of sheets/README.md has its case here.
#include <doctest/doctest.h>

#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include <cstdio>
#include <filesystem>
#include <fstream>
#include <sstream>
#include <string>

namespace fs = std::filesystem;

namespace {

const std::string kCommand = std::string(SPANWRIGHT_BINARY_DIR) + "/engine/cli/spanwright";

struct Outcome {
    int status = -1;
    std::string text; ///< stdout and stderr together
};

Outcome shell(const std::string& line) {
    Outcome o;
    FILE* pipe = popen(("{ " + line + " ; } 2>&1").c_str(), "r");
    REQUIRE(pipe != nullptr);
    char buffer[4096];
    for (std::size_t n = 0; (n = fread(buffer, 1, sizeof buffer, pipe)) > 0;) o.text.append(buffer, n);
    const int raw = pclose(pipe);
    o.status = WIFEXITED(raw) ? WEXITSTATUS(raw) : 128 + (WIFSIGNALED(raw) ? WTERMSIG(raw) : 0);
    return o;
}

/// A folder of its own for each test, gone afterwards.
class Folder {
public:
    Folder() {
        std::string name = (fs::temp_directory_path() / "spanwright-test-XXXXXX").string();
        REQUIRE(mkdtemp(name.data()) != nullptr);
        m_path = name;
        fs::permissions(m_path, fs::perms::all);
    }
    ~Folder() {
        std::error_code ignored;
        fs::permissions(m_path, fs::perms::all, ignored);
        fs::remove_all(m_path, ignored);
    }
    Folder(const Folder&) = delete;
    Folder& operator=(const Folder&) = delete;

    std::string put(const std::string& name, const std::string& bytes) const {
        const fs::path p = m_path / name;
        fs::create_directories(p.parent_path());
        std::ofstream(p, std::ios::binary) << bytes;
        return p.string();
    }
    std::string get(const std::string& name) const {
        std::ifstream in(m_path / name, std::ios::binary);
        std::ostringstream out;
        out << in.rdbuf();
        return out.str();
    }
    const fs::path& path() const { return m_path; }

private:
    fs::path m_path;
};

const std::string kSheet = "sheet   trial\n"
                           "given   w = 2 kN/m\n"
                           "given   L = 3.6 m             -- span\n"
                           "derive  M [kN*m] = w*L^2/8\n"
                           "check   bending: M <= 4 (kN*m)\n";

bool has(const Outcome& o, const std::string& part) { return o.text.find(part) != std::string::npos; }

/// Runs the command as somebody who is not root, so that permissions count.
std::string asNobody(const std::string& line) { return geteuid() == 0 ? "setpriv --reuid=65534 --regid=65534 --clear-groups " + line : line; }

} // namespace

TEST_CASE("a good sheet is OK, so that the cases below can fail") {
    const Folder f;
    const Outcome o = shell(kCommand + " check " + f.put("a.spansheet", kSheet));
    INFO(o.text);
    CHECK(o.status == 0);
    CHECK(has(o, "OK"));
}

TEST_CASE("no such file, a folder, an empty file, a file without permission") {
    const Folder f;
    Outcome o = shell(kCommand + " check " + (f.path() / "none.spansheet").string());
    INFO(o.text);
    CHECK(o.status == 1);
    CHECK(has(o, "none.spansheet"));
    fs::create_directory(f.path() / "d.spansheet");
    CHECK(shell(kCommand + " check " + (f.path() / "d.spansheet").string()).status == 1);
    const Outcome empty = shell(kCommand + " check " + f.put("e.spansheet", ""));
    CHECK(empty.status != 0);
    CHECK_FALSE(has(empty, "[ OK ]"));
    const std::string locked = f.put("l.spansheet", kSheet);
    fs::permissions(locked, fs::perms::none);
    o = shell(asNobody(kCommand + " check " + locked));
    INFO(o.text);
    CHECK(o.status == 1);
    CHECK(has(o, "error"));
}

TEST_CASE("a binary file and a file in another encoding are refused in words") {
    const Folder f;
    std::string binary("\x7f"
                       "ELF\0\1\2\3",
                       8);
    for (int i = 0; i < 5000; ++i) binary.push_back(static_cast<char>(i * 7919 % 256));
    for (const std::string& bytes : {binary, std::string("sheet trial\ngiven b = 3 m -- Tr\xe4ger\n")}) {
        const Outcome o = shell(kCommand + " check " + f.put("b.spansheet", bytes));
        INFO(o.text.substr(0, 400));
        CHECK(o.status == 1);
        CHECK(has(o, "error"));
        CHECK(o.text.size() < 100000);
    }
}

TEST_CASE("a file of 100 MB is refused at once") {
    const Folder f;
    const std::string name = f.put("big.spansheet", "");
    fs::resize_file(name, 100U << 20U);
    const Outcome o = shell(kCommand + " check " + name);
    INFO(o.text);
    CHECK(o.status == 1);
    CHECK(has(o, "64 MiB"));
}

TEST_CASE("20,000 brackets are an error, not a crash") {
    const Folder f;
    const std::string sheet = kSheet + "derive  a [m] = " + std::string(20000, '(') + "L" + std::string(20000, ')') + "\n";
    Outcome o = shell(kCommand + " check " + f.put("deep.spansheet", sheet));
    INFO(o.text.substr(0, 400));
    CHECK(o.status == 1);
    CHECK(has(o, "error"));
    o = shell(kCommand + " check " + f.put("minus.spansheet", kSheet + "derive  a [m] = " + std::string(20000, '-') + "L\n"));
    CHECK(o.status == 1);
    o = shell(kCommand + " check " +
              f.put(
                  "power.spansheet", kSheet + "derive  a = 1" + [] {
                      std::string s;
                      for (int i = 0; i < 9000; ++i) s += "^1";
                      return s;
                  }() + "\n"));
    CHECK((o.status == 1 || o.status == 0)); // never a signal
}

TEST_CASE("a ring of 5,000 rows is one error with its path") {
    const Folder f;
    std::string sheet = kSheet;
    for (int i = 0; i < 5000; ++i) sheet += "derive  a" + std::to_string(i) + " [m] = a" + std::to_string((i + 1) % 5000) + " + L\n";
    const Outcome o = shell(kCommand + " check " + f.put("ring.spansheet", sheet));
    CHECK(o.status == 1);
    CHECK(has(o, "a0"));
    CHECK(o.text.size() < 3000000);
    std::size_t errors = 0;
    for (std::size_t at = o.text.find(": error:"); at != std::string::npos; at = o.text.find(": error:", at + 1)) ++errors;
    CHECK(errors == 1);
}

TEST_CASE("a chain of 60,000 rows is fine") {
    const Folder f;
    std::string sheet = "sheet   chain\ngiven   a0 = 1 m\n";
    for (int i = 1; i <= 60000; ++i) sheet += "derive  a" + std::to_string(i) + " [m] = a" + std::to_string(i - 1) + " + 1 mm\n";
    sheet += "check   length: a60000 <= 61.001 m\n";
    const Outcome o = shell(kCommand + " check " + f.put("chain.spansheet", sheet));
    INFO(o.text.substr(0, 2000));
    CHECK(o.status == 0);
}

TEST_CASE("a half-written sheet shows what is there and is not OK") {
    const Folder f;
    for (std::size_t cut = 0; cut + 1 < kSheet.size(); cut += 3) {
        const Outcome o = shell(kCommand + " check " + f.put("half.spansheet", kSheet.substr(0, cut)));
        INFO(kSheet.substr(0, cut));
        INFO(o.text);
        CHECK((o.status == 1 || o.status == 3));
    }
}

TEST_CASE("CRLF, a byte order mark and names that look like units are fine") {
    const Folder f;
    std::string crlf = "\xEF\xBB\xBF";
    for (const char c : kSheet) crlf += c == '\n' ? std::string("\r\n") : std::string(1, c);
    const std::string name = f.put("crlf.spansheet", crlf);
    CHECK(shell(kCommand + " check " + name).status == 0);
    const Outcome set = shell(kCommand + " set " + name + " L '3.5 m'");
    INFO(set.text);
    CHECK(set.status == 0);
    std::string expected = crlf;
    expected.replace(expected.find("3.6 m"), 5, "3.5 m");
    CHECK(f.get("crlf.spansheet") == expected);

    const Outcome units = shell(kCommand + " check " +
                                f.put("units.spansheet", "sheet   units\n"
                                                         "given   m = 2 m\n"
                                                         "given   kN = 3 kN\n"
                                                         "given   s = 4 s\n"
                                                         "derive  a [kN*m] = kN*m*2\n"
                                                         "derive  b [1/s] = 1/s\n"
                                                         "check   c: a <= 12 (kN*m)\n"));
    INFO(units.text);
    CHECK(units.status == 0);
}

TEST_CASE("a table of a million rows is read; one past the limit is refused") {
    const Folder f;
    std::string csv = "# invented\nkey,value [mm]\n";
    for (int i = 0; i < 1000000; ++i) csv += "k" + std::to_string(i) + "," + std::to_string(i) + "\n";
    f.put("big.csv", csv);
    const std::string sheet = f.put("t.spansheet", "sheet   t\nuse     big.csv\nchoose  pick = k999999 from big\ncheck   ok: pick.value <= 1 km\n");
    const Outcome o = shell(kCommand + " check " + sheet);
    INFO(o.text.substr(0, 2000));
    CHECK(o.status == 0);

    std::string more = "# invented\nk\n";
    for (int i = 0; i < 2000001; ++i) more += std::to_string(i) + "\n";
    f.put("big.csv", more);
    const Outcome refused = shell(kCommand + " check " + sheet);
    INFO(refused.text.substr(0, 2000));
    CHECK(refused.status == 1);
    CHECK(has(refused, "2000000"));
}

TEST_CASE("a table outside the sheet's folder is not read, not even through a link") {
    const Folder f;
    f.put("secret.csv", "key,v\na,1\n");
    fs::create_directory(f.path() / "in");
    const std::string sheet = "sheet   t\nuse     PATH as s\nchoose  p = a from s\ncheck   ok: p.v <= 2\n";
    const auto with = [&](const std::string& path) {
        std::string text = sheet;
        return text.replace(text.find("PATH"), 4, path);
    };
    for (const std::string& path :
         {std::string("../secret.csv"), (f.path() / "secret.csv").string(), std::string("x/../../secret.csv"), std::string("link.csv")}) {
        fs::remove(f.path() / "in/link.csv");
        fs::create_symlink(f.path() / "secret.csv", f.path() / "in/link.csv");
        const Outcome o = shell(kCommand + " check " + f.put("in/t.spansheet", with(path)));
        INFO(path);
        INFO(o.text);
        CHECK(o.status == 1);
        CHECK_FALSE(has(o, "[ OK ]"));
    }
}

TEST_CASE("saving in a read-only folder, past a size limit or to a full disk leaves the old file and nothing else") {
    const Folder f;
    const std::string name = f.put("a.spansheet", kSheet);
    fs::permissions(name, fs::perms::all);
    fs::permissions(f.path(), fs::perms::owner_read | fs::perms::owner_exec | fs::perms::others_read | fs::perms::others_exec);
    Outcome o = shell(asNobody(kCommand + " set " + name + " L '3.5 m'"));
    INFO(o.text);
    CHECK(o.status == 1);
    CHECK(f.get("a.spansheet") == kSheet);
    fs::permissions(f.path(), fs::perms::all);

    // A file may not grow past 0 blocks: what a full disk looks like to a program.
    const Outcome full = shell("( ulimit -f 0; trap '' XFSZ; " + kCommand + " set " + name + " L '3.5 m' )");
    INFO(full.text);
    CHECK(full.status == 1);
    CHECK(f.get("a.spansheet") == kSheet);
    std::size_t files = 0;
    for ([[maybe_unused]] const auto& e : fs::directory_iterator(f.path())) ++files;
    CHECK(files == 1);

    const Outcome report = shell(kCommand + " report " + name + " -o " + (f.path() / "no/such/folder/out.html").string());
    CHECK(report.status == 1);
}

TEST_CASE("a value that does not fit is refused and the file keeps every byte") {
    const Folder f;
    const std::string name = f.put("a.spansheet", kSheet);
    for (const std::string value : {"3.6 kN", "1,200 m", "wide", "", "3 mm mm", "1e999 m", "(((("}) {
        const Outcome o = shell(kCommand + " set " + name + " L '" + value + "'");
        INFO(value);
        INFO(o.text);
        CHECK((o.status == 1 || o.status == 2));
        CHECK(f.get("a.spansheet") == kSheet);
    }
    CHECK(shell(kCommand + " set " + name + " LL '3 m'").status == 1);
    CHECK(f.get("a.spansheet") == kSheet);
}
