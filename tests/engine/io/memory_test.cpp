// SPDX-License-Identifier: MIT
#include <doctest/doctest.h>

#include "engine/io/files.h"

using namespace spanwright::io;
using What = IoError::What;

TEST_CASE("memory reads, writes, lists and keeps a log") {
    Memory m;
    CHECK(m.read("a").error().what == What::NotFound);
    REQUIRE(m.write("lib/eu/b", "two").ok());
    REQUIRE(m.write("lib/a", "one").ok());
    REQUIRE(m.write("library", "none").ok());
    CHECK(m.read("lib/a").value() == "one");
    CHECK(m.exists("lib/a"));
    CHECK_FALSE(m.exists("lib"));
    CHECK(m.list("lib") == std::vector<std::string>{"a", "eu/b"});
    CHECK(m.log == std::vector<std::string>{"read a", "write lib/eu/b", "write lib/a", "write library", "read lib/a"});
}

TEST_CASE("a full or read-only memory keeps the old file") {
    Memory m;
    REQUIRE(m.write("a", "old").ok());
    m.capacity = 6;
    CHECK(m.write("a", "longer").error().what == What::NoSpace);
    CHECK(m.read("a").value() == "old");
    CHECK(m.write("a", "new").ok()); // beside the old one there is just room
    m.readOnly = true;
    CHECK(m.write("a", "x").error().what == What::NotWritable);
    CHECK(m.read("a").value() == "new");
}

TEST_CASE("64 MiB is the limit") {
    Memory m;
    m.files["big"] = std::string(kMaxFileBytes + 1, 'x');
    CHECK(m.read("big").error().what == What::TooLarge);
    m.files["big"].pop_back();
    CHECK(m.read("big").ok());
    CHECK(m.write("b", std::string(kMaxFileBytes + 1, 'x')).error().what == What::TooLarge);
}
