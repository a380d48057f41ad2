// SPDX-License-Identifier: MIT
#include <doctest/doctest.h>

#include "engine/io/files.h"

using namespace spanwright::io;

namespace {
std::string below(const std::string& folder, std::string_view relative) {
    const auto r = pathBelow(folder, relative);
    if (r.ok()) return r.value();
    CHECK(r.error().what == IoError::What::Outside);
    return "refused: " + r.error().message;
}
} // namespace

TEST_CASE("paths are joined and normalised") {
    CHECK(below("lib", "eu/floor-joist.spansheet") == "lib/eu/floor-joist.spansheet");
    CHECK(below("lib/", "./eu//a.csv") == "lib/eu/a.csv");
    CHECK(below("lib", "eu/../us/a.csv") == "lib/us/a.csv");
    CHECK(below("", "a.csv") == "a.csv");
    CHECK(below("/", "a.csv") == "/a.csv");
    CHECK(below("lib", "...") == "lib/...");
}

TEST_CASE("paths that leave their folder are refused") {
    CHECK(below("lib", "../a.csv") == "refused: the path leads out of its folder");
    CHECK(below("lib", "eu/../../a.csv") == "refused: the path leads out of its folder");
    CHECK(below("lib", "/etc/passwd") == "refused: the path is absolute; files are named from their folder");
    CHECK(below("lib", "") == "refused: the path is empty");
    CHECK(below("lib", "eu/..") == "refused: the path names a folder");
    CHECK(below("lib", std::string_view("a\0b", 3)) == "refused: the path holds a zero byte");
}

TEST_CASE("folder and file name of a path") {
    CHECK(folderOf("a/b/c.txt") == "a/b");
    CHECK(folderOf("c.txt").empty());
    CHECK(folderOf("/c.txt") == "/");
    CHECK(fileNameOf("a/b/c.txt") == "c.txt");
    CHECK(fileNameOf("c.txt") == "c.txt");
}

TEST_CASE("a path that is nowhere on disk lies where its text says") {
    CHECK(isBelow("", "trial.spansheet"));
    CHECK(isBelow(".", "a/b"));
    CHECK(isBelow("no-such-folder", "no-such-folder/a"));
    CHECK(isBelow("/no-such-folder/a", "/no-such-folder/a/b/c"));
    CHECK_FALSE(isBelow("no-such-folder", "no-such-folder/../a"));
    CHECK_FALSE(isBelow("no-such-folder", "no-such-folder"));
    CHECK_FALSE(isBelow("", "../a"));
}
