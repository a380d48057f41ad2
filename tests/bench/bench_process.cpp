// SPDX-License-Identifier: MIT
// The command as a whole process, beside the time of `true`: what a person waits for.
#include <benchmark/benchmark.h>

#include <cstdlib>
#include <iostream>
#include <spawn.h>
#include <string>
#include <sys/wait.h>
#include <vector>

extern char** environ;

namespace {

int ran(const std::vector<std::string>& words) {
    std::vector<char*> args;
    for (const std::string& w : words) args.push_back(const_cast<char*>(w.c_str()));
    args.push_back(nullptr);
    posix_spawn_file_actions_t quiet;
    posix_spawn_file_actions_init(&quiet);
    posix_spawn_file_actions_addopen(&quiet, 1, "/dev/null", 1 /* O_WRONLY */, 0);
    posix_spawn_file_actions_addopen(&quiet, 2, "/dev/null", 1, 0);
    pid_t pid = 0;
    if (posix_spawnp(&pid, args[0], &quiet, nullptr, args.data(), environ) != 0) std::abort();
    posix_spawn_file_actions_destroy(&quiet);
    int status = 0;
    waitpid(pid, &status, 0);
    return WIFEXITED(status) ? WEXITSTATUS(status) : 255;
}

void process(benchmark::State& state, const std::vector<std::string>& words, int expected) {
    if (ran(words) != expected) {
        std::cerr << "wrong exit status of " << words[0] << "\n";
        std::abort();
    }
    for (auto unused : state) benchmark::DoNotOptimize(ran(words));
}

const std::string kCommand = std::string(SPANWRIGHT_BINARY_DIR) + "/engine/cli/spanwright";
const std::string kRoot = SPANWRIGHT_SOURCE_DIR;

} // namespace

BENCHMARK_CAPTURE(process, nothing_but_true, {"true"}, 0)->Unit(benchmark::kMillisecond)->UseRealTime();
BENCHMARK_CAPTURE(process, check_one_sheet, {kCommand, "check", kRoot + "/sheets/us/floor-joist.spansheet"}, 3)->Unit(benchmark::kMillisecond)->UseRealTime();
BENCHMARK_CAPTURE(process, check_the_example, {kCommand, "check", kRoot + "/examples/packing-shed/packing-shed.spanjob"}, 3)
    ->Unit(benchmark::kMillisecond)
    ->UseRealTime();
