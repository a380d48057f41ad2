// SPDX-License-Identifier: MIT
// Replays all kept inputs, the ready sheets, the examples and the golden mistakes through every reader, with a
// few thousand mutations of each kind from a fixed seed; so the laws are tested without a fuzzer at hand.
#include <doctest/doctest.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <random>
#include <sstream>
#include <string>
#include <vector>

#include "tests/fuzz/targets.h"

namespace fs = std::filesystem;
using namespace spanwright;

namespace {

std::vector<std::string> inputs() {
    std::vector<std::string> all;
    for (const char* folder : {"tests/fuzz/corpus", "sheets", "examples", "tests/golden/mistakes"}) {
        std::vector<fs::path> paths;
        for (const auto& e : fs::recursive_directory_iterator(fs::path(SPANWRIGHT_SOURCE_DIR) / folder)) {
            const std::string ext = e.path().extension().string();
            if (e.is_regular_file() && (ext == ".spansheet" || ext == ".spanjob" || ext == ".input")) paths.push_back(e.path());
        }
        std::sort(paths.begin(), paths.end());
        for (const fs::path& p : paths) {
            std::ifstream in(p, std::ios::binary);
            std::ostringstream text;
            text << in.rdbuf();
            all.push_back(text.str());
        }
    }
    return all;
}

void everyReader(const std::string& bytes, bool trials = true) {
    fuzz::readsRows(bytes);
    fuzz::readsUnits(bytes.substr(0, 200));
    fuzz::calculatesSheet(bytes);
    fuzz::calculatesJob(bytes);
    if (!trials) return;
    fuzz::triesSheet(bytes);
    fuzz::triesJob(bytes);
}

std::string mutated(std::string s, const std::string& other, std::mt19937& random) {
    const auto pick = [&](std::size_t n) { return n == 0 ? 0 : static_cast<std::size_t>(random() % n); };
    for (std::size_t k = 0, n = 1 + pick(3); k < n; ++k) {
        const std::size_t at = pick(s.size());
        switch (pick(5)) {
        case 0: s.erase(at, 1 + pick(20)); break;
        case 1: s.insert(at, 1, static_cast<char>(random() % 256)); break;
        case 2: s.insert(at, other.substr(pick(other.size()), pick(40))); break;
        case 3:
            if (!s.empty()) s[at] = "()[]{}+-*/^,.:=<>\"#\n "[pick(22)];
            break;
        default: s.insert(at, s.substr(pick(s.size()), pick(60))); break;
        }
    }
    return s;
}

} // namespace

TEST_CASE("all kept inputs pass every reader") {
    const auto all = inputs();
    REQUIRE(all.size() > 50);
    for (const std::string& bytes : all) everyReader(bytes);
}

TEST_CASE("mutations of them pass too") {
    const auto all = inputs();
    std::mt19937 random(20260504);
    for (int round = 0; round < 1500; ++round) {
        const std::string& base = all[random() % all.size()];
        if (base.size() > 6000) continue;
        everyReader(mutated(base, all[random() % all.size()], random), round % 3 == 0);
    }
    CHECK(true);
}
