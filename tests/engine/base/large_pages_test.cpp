// SPDX-License-Identifier: MIT
#include "engine/base/large_pages.h"

#include <doctest/doctest.h>

#include <cstdlib>
#include <fstream>
#include <memory>
#include <string>
#include <vector>

#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

using namespace spanwright;

namespace {

/// The system says of a part of the heap that it may come in large pages.
bool heapIsMarked() {
    std::ifstream maps("/proc/self/smaps");
    bool heap = false;
    for (std::string line; std::getline(maps, line);) {
        if (line.find("[heap]") != std::string::npos) heap = true;
        if (line.rfind("VmFlags:", 0) != 0) continue;
        if (heap && line.find(" hg") != std::string::npos) return true;
        heap = false;
    }
    return false;
}

} // namespace

#if !defined(__SANITIZE_ADDRESS__)
// (Before any other test asks for large pages: the child has this program's heap.)
TEST_CASE("where so much address space is not to be had a program has its memory all the same") {
    const pid_t child = fork();
    REQUIRE(child >= 0);
    if (child == 0) {
        constexpr rlim_t kLittle = 300U << 20U; // less than the stretch
        const rlimit limit{kLittle, kLittle};
        bool fine = setrlimit(RLIMIT_AS, &limit) == 0;
        base::useLargePages();
        std::vector<char*> blocks;
        for (int i = 0; i < 3000 && fine; ++i) {
            auto* block = static_cast<char*>(std::malloc(20000));
            fine = block != nullptr;
            if (fine) block[19999] = 1;
            blocks.push_back(block);
        }
        _exit(fine && blocks.size() == 3000 ? 0 : 1);
    }
    int status = -1;
    REQUIRE(waitpid(child, &status, 0) == child);
    CHECK(status == 0);
}
#endif

// What it gains is measured, not tested.
TEST_CASE("a program that asked for large pages has its memory as before") {
    const bool granted = base::useLargePages();
    CHECK(granted == heapIsMarked());
    std::vector<std::unique_ptr<std::vector<unsigned char>>> blocks;
    for (int round = 0; round < 3; ++round) {
        for (const std::size_t size : {std::size_t{24}, std::size_t{4096}, std::size_t{1} << 20U, std::size_t{40} << 20U})
            blocks.push_back(std::make_unique<std::vector<unsigned char>>(size, static_cast<unsigned char>(blocks.size() + 1)));
        if (round == 1) blocks.erase(blocks.begin(), blocks.begin() + 4);
    }
    for (const auto& b : blocks) {
        CHECK(b->front() == b->back());
        CHECK(b->front() != 0);
    }
}
