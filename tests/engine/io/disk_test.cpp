// SPDX-License-Identifier: MIT
#include <csignal>
#include <cstdlib>
#include <filesystem>
#include <fstream>

#include <sys/resource.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include <doctest/doctest.h>

#include "engine/io/files.h"
#include "engine/io/folders.h"

using namespace spanwright::io;
namespace fs = std::filesystem;
using What = IoError::What;

namespace {

/// A folder of its own for one test, gone afterwards.
struct Folder {
    std::string path;
    Folder() {
        std::string pattern = (fs::temp_directory_path() / "spanwright-io-XXXXXX").string();
        REQUIRE(::mkdtemp(pattern.data()) != nullptr);
        path = pattern;
    }
    ~Folder() {
        std::error_code odd;
        fs::permissions(path, fs::perms::owner_all, odd);
        fs::remove_all(path, odd);
    }
    [[nodiscard]] std::string operator/(const char* name) const { return path + "/" + name; }
    [[nodiscard]] std::size_t entries() const { return static_cast<std::size_t>(std::distance(fs::directory_iterator(path), fs::directory_iterator())); }
    void put(const char* name, const std::string& text) const { std::ofstream(*this / name, std::ios::binary) << text; }
};

int modeOf(const std::string& path) {
    struct stat info {};
    REQUIRE(::stat(path.c_str(), &info) == 0);
    return static_cast<int>(info.st_mode & 07777U);
}

/// Runs `act` in a process of its own, as an ordinary user where the tests run as root: permissions bind only those.
/// True if it returned true.
template <class Act> bool inOtherProcess(Act act, bool ordinary) {
    const pid_t child = ::fork();
    REQUIRE(child >= 0);
    if (child == 0) {
        if (ordinary && ::geteuid() == 0 && (::setgid(65534) != 0 || ::setuid(65534) != 0)) ::_exit(2);
        ::_exit(act() ? 0 : 1);
    }
    int status = 0;
    REQUIRE(::waitpid(child, &status, 0) == child);
    REQUIRE(WIFEXITED(status));
    return WEXITSTATUS(status) == 0;
}

} // namespace

TEST_CASE("disk writes and reads any bytes") {
    const Folder dir;
    Disk disk;
    const std::string bytes("a\0b\r\n\xff", 6);
    REQUIRE(disk.write(dir / "a", bytes).ok());
    CHECK(disk.read(dir / "a").value() == bytes);
    CHECK(dir.entries() == 1);
    REQUIRE(disk.write(dir / "a", "").ok());
    CHECK(disk.read(dir / "a").value().empty());
    CHECK(disk.read(dir / "b").error().what == What::NotFound);
    CHECK(disk.read(dir.path).error().what == What::IsFolder);
    CHECK(disk.write(dir.path, "x").error().what == What::IsFolder);
    CHECK(disk.write(dir / "none/a", "x").error().what == What::NotFound);
    CHECK(dir.entries() == 1);
}

TEST_CASE("the mode of the old file is kept, a new one gets the usual") {
    const Folder dir;
    Disk disk;
    dir.put("a", "old");
    fs::permissions(dir / "a", fs::perms(0640));
    REQUIRE(disk.write(dir / "a", "new").ok());
    CHECK(modeOf(dir / "a") == 0640);
    const mode_t mask = ::umask(027);
    REQUIRE(disk.write(dir / "b", "new").ok());
    ::umask(mask);
    CHECK(modeOf(dir / "b") == 0640);
}

TEST_CASE("a symbolic link is written through") {
    const Folder dir;
    Disk disk;
    fs::create_directory(dir / "sub");
    dir.put("sub/real", "old");
    fs::create_symlink("sub/real", dir / "link");
    fs::create_symlink("link", dir / "second");
    REQUIRE(disk.write(dir / "second", "new").ok());
    CHECK(fs::is_symlink(dir / "second"));
    CHECK(fs::is_symlink(dir / "link"));
    CHECK(disk.read(dir / "sub/real").value() == "new");
    fs::create_symlink("sub/later", dir / "dangling");
    REQUIRE(disk.write(dir / "dangling", "made").ok());
    CHECK(disk.read(dir / "sub/later").value() == "made");
    fs::create_symlink("ring", dir / "ring");
    CHECK_FALSE(disk.write(dir / "ring", "x").ok());
    CHECK_FALSE(disk.read(dir / "ring").ok());
}

TEST_CASE("a read-only folder or file keeps what is there") {
    const Folder dir;
    dir.put("a", "old");
    dir.put("b", "old");
    fs::permissions(dir / "a", fs::perms(0666));
    fs::permissions(dir / "b", fs::perms(0444));
    fs::permissions(dir.path, fs::perms(0777));
    CHECK(inOtherProcess([&] { return Disk().write(dir / "a", "new").ok(); }, true));
    CHECK(inOtherProcess([&] { return Disk().write(dir / "b", "new").error().what == What::NotWritable; }, true));
    fs::permissions(dir.path, fs::perms(0555));
    CHECK(inOtherProcess(
        [&] {
            const auto r = Disk().write(dir / "a", "newer");
            return !r.ok() && r.error().what == What::NotWritable && r.error().message == "the folder is read-only";
        },
        true));
    CHECK(Disk().read(dir / "a").value() == "new");
    CHECK(Disk().read(dir / "b").value() == "old");
    CHECK(dir.entries() == 2);
}

TEST_CASE("a file without permission to read says so") {
    const Folder dir;
    dir.put("a", "secret");
    fs::permissions(dir / "a", fs::perms(0000));
    fs::permissions(dir.path, fs::perms(0777));
    CHECK(inOtherProcess([&] { return Disk().read(dir / "a").error().what == What::NotReadable; }, true));
}

TEST_CASE("a disk that fills up while writing keeps the old file and leaves nothing beside it") {
    const Folder dir;
    dir.put("a", "old");
    // A limit on file size stops the write midway, as a full disk does.
    const bool right = inOtherProcess(
        [&] {
            std::signal(SIGXFSZ, SIG_IGN);
            const rlimit limit{1000, 1000};
            if (::setrlimit(RLIMIT_FSIZE, &limit) != 0) return false;
            const auto r = Disk().write(dir / "a", std::string(5000, 'x'));
            return !r.ok() && r.error().what == What::NoSpace;
        },
        false);
    CHECK(right);
    CHECK(Disk().read(dir / "a").value() == "old");
    CHECK(dir.entries() == 1);
}

TEST_CASE("pipes and devices are refused without waiting") {
    const Folder dir;
    Disk disk;
    REQUIRE(::mkfifo((dir / "pipe").c_str(), 0666) == 0);
    CHECK(disk.read(dir / "pipe").error().what == What::NotReadable);
    CHECK(disk.write(dir / "pipe", "x").error().what == What::NotWritable);
    CHECK(disk.read("/dev/zero").error().what == What::NotReadable);
    CHECK(disk.write("/dev/full", "x").error().what == What::NotWritable);
}

TEST_CASE("a file beyond 64 MiB is refused unread") {
    const Folder dir;
    dir.put("big", "");
    fs::resize_file(dir / "big", kMaxFileBytes + 1); // sparse
    CHECK(Disk().read(dir / "big").error().what == What::TooLarge);
    fs::resize_file(dir / "big", kMaxFileBytes);
    CHECK(Disk().read(dir / "big").value().size() == kMaxFileBytes);
    CHECK(Disk().write(dir / "other", std::string(kMaxFileBytes + 1, 'x')).error().what == What::TooLarge);
    CHECK(dir.entries() == 1);
}

TEST_CASE("links out of a folder are seen through") {
    const Folder dir;
    const Folder other;
    other.put("secret", "s");
    fs::create_directory(dir / "lib");
    dir.put("lib/a", "a");
    fs::create_symlink(other / "secret", dir / "lib/out");
    fs::create_directory_symlink(other.path, dir / "lib/folder");
    fs::create_symlink("a", dir / "lib/in");
    CHECK(isBelow(dir / "lib", dir / "lib/a"));
    CHECK(isBelow(dir / "lib/", dir / "lib/in"));
    CHECK(isBelow(dir / "lib", dir / "lib/not-there-yet"));
    CHECK_FALSE(isBelow(dir / "lib", dir / "lib/out"));
    CHECK_FALSE(isBelow(dir / "lib", dir / "lib/folder/secret"));
    CHECK_FALSE(isBelow(dir / "lib", dir / "lib/../b"));
    CHECK_FALSE(isBelow(dir / "lib", dir / "library/a"));
    CHECK_FALSE(isBelow(dir / "lib", dir / "lib"));
    CHECK(Disk().list(dir / "lib") == std::vector<std::string>{"a", "in"});
    CHECK(Disk().list(dir.path) == std::vector<std::string>{"lib/a", "lib/in"});
    CHECK(Disk().list(dir / "none").empty());
    CHECK(Disk().exists(dir / "lib/out"));
    CHECK_FALSE(Disk().exists(dir / "lib/none"));
}

TEST_CASE("a folder is made with those above it, and nothing is made in the place of a file") {
    const Folder f;
    CHECK(makeFolder(f / "a/b").ok());
    CHECK(fs::is_directory(f / "a/b"));
    CHECK(makeFolder(f / "a/b").ok());
    f.put("file", "text");
    CHECK_FALSE(makeFolder(f / "file").ok());
    CHECK_FALSE(makeFolder(f / "file/below").ok());
    CHECK(fs::is_regular_file(f / "file"));
}
