// SPDX-License-Identifier: MIT
// Whole jobs: load and full calculation, and one edit, for chain, fan and grid graphs, with the number of
// quantities worked out beside the time; many members of one sheet; many distinct formulas. Results are
// checked before anything is timed.
#include <benchmark/benchmark.h>

#include <cmath>
#include <cstdlib>
#include <iostream>
#include <memory>
#include <string>

#include "engine/io/files.h"
#include "engine/job/job.h"

namespace {

using namespace spanwright;

/// a0 -> a1 -> ... each row reads the one before.
std::string chain(long n) {
    std::string s = "sheet   chain\ngiven   a0 = 1 m\n";
    for (long i = 1; i < n; ++i) s += "derive  a" + std::to_string(i) + " [m] = a" + std::to_string(i - 1) + " + 1 mm\n";
    return s + "check   end_: a" + std::to_string(n - 1) + " <= 1000 km\n";
}

/// Every row reads the same given, and a last given feeds one row only.
std::string fan(long n) {
    std::string s = "sheet   fan\ngiven   a0 = 1 m\ngiven   lone = 1 m\n";
    for (long i = 1; i < n; ++i) s += "derive  a" + std::to_string(i) + " [m] = a0*" + std::to_string(i) + "\n";
    return s + "derive  last [m] = lone + a1\ncheck   end_: last <= 1000 km\n";
}

/// Rows in a square: each reads its upper and left neighbour.
std::string grid(long n) {
    const long side = std::lround(std::sqrt(static_cast<double>(n)));
    std::string s = "sheet   grid\ngiven   g = 1 mm\n";
    const auto name = [](long r, long c) { return "r" + std::to_string(r) + "_" + std::to_string(c); };
    for (long r = 0; r < side; ++r) {
        for (long c = 0; c < side; ++c) {
            s += "derive  " + name(r, c) + " [m] = ";
            s += r == 0 && c == 0 ? "g"
                 : r == 0         ? name(r, c - 1) + " + g"
                 : c == 0         ? name(r - 1, c) + " + g"
                                  : "0.5*(" + name(r - 1, c) + " + " + name(r, c - 1) + ") + g";
            s += "\n";
        }
    }
    return s + "check   end_: " + name(side - 1, side - 1) + " <= 1000 km\n";
}

std::unique_ptr<job::Job> opened(io::Memory& files, const std::string& text) {
    files.files["work/s.spansheet"] = text;
    return job::Job::open(files, "work/s.spansheet", {.library = "library", .cancelled = {}});
}

void mustBe(bool holds, const char* what) {
    if (holds) return;
    std::cerr << "wrong result: " << what << "\n";
    std::abort();
}

void loadAndCalculate(benchmark::State& state, std::string (*make)(long)) {
    const std::string text = make(state.range(0));
    std::size_t worked = 0;
    for (auto unused : state) {
        io::Memory files;
        const auto job = opened(files, text);
        worked = job->calculate();
        state.PauseTiming();
        mustBe(job->exitStatus() == 0, "the sheet is OK");
        state.ResumeTiming();
    }
    state.counters["quantities"] = static_cast<double>(worked);
    state.counters["per_quantity"] =
        benchmark::Counter(static_cast<double>(worked), benchmark::Counter::kIsIterationInvariantRate | benchmark::Counter::kInvert);
}

/// One value changed to and fro; only what lies downstream is worked out.
void oneEdit(benchmark::State& state, std::string (*make)(long), const char* name, const char* first, const char* second) {
    io::Memory files;
    const auto job = opened(files, make(state.range(0)));
    job->calculate();
    const std::string mark = job->member(0).mark;
    bool flip = false;
    std::size_t worked = 0;
    for (auto unused : state) {
        flip = !flip;
        const auto done = job->setValue(mark, name, flip ? first : second);
        benchmark::DoNotOptimize(done.ok());
        worked = job->calculate();
    }
    mustBe(worked > 0, "an edit works something out");
    state.counters["quantities"] = static_cast<double>(worked);
}

/// 400 rows, about a third of them with products and powers, as a worked calculation has.
std::string longSheet(long rows, const std::string& name) {
    std::string s = "sheet   " + name + "\nask     w [kN/m]\ngiven   L = 3.6 m\ngiven   h = 220 mm\ngiven   b = 45 mm\n";
    s += "derive  W0 [mm^3] = b*h^2/6\nderive  M0 [kN*m] = w*L^2/8\n";
    for (long i = 1; i < rows / 2; ++i) {
        const std::string n = std::to_string(i);
        const std::string p = std::to_string(i - 1);
        s += "derive  W" + n + " [mm^3] = W" + p + " + b*h^2/" + n + "00000\n";
        s += "derive  M" + n + " [kN*m] = M" + p + " + w*L^2/(8 + " + n + "*" + n + "0)\n";
    }
    return s + "check   bending: M0/W0 <= 24 (N/mm^2)\n";
}

void manyMembers(benchmark::State& state) {
    std::string job = "job     Many\n";
    for (long m = 0; m < state.range(0); ++m) {
        job += "member  J" + std::to_string(m) + " = long\n        with w = " + std::to_string(1.0 + 0.001 * static_cast<double>(m)) + " kN/m\n";
    }
    const std::string sheet = longSheet(400, "long");
    std::size_t worked = 0;
    for (auto unused : state) {
        io::Memory files;
        files.files["work/many.spanjob"] = job;
        files.files["work/long.spansheet"] = sheet;
        const auto opened = job::Job::open(files, "work/many.spanjob", {.library = "library", .cancelled = {}});
        worked = opened->calculate();
        state.PauseTiming();
        mustBe(opened->memberCount() == static_cast<std::size_t>(state.range(0)), "all members are there");
        mustBe(opened->member(0).verdict == job::Verdict::Ok, "the first member is OK");
        state.ResumeTiming();
    }
    state.counters["quantities"] = static_cast<double>(worked);
}

/// One member's value changed in jobs of different size: the cost must not grow with the job.
void oneEditInJob(benchmark::State& state) {
    std::string text = "job     Many\n";
    for (long m = 0; m < state.range(0); ++m) text += "member  J" + std::to_string(m) + " = long\n        with w = 1.5 kN/m\n";
    io::Memory files;
    files.files["work/many.spanjob"] = text;
    files.files["work/long.spansheet"] = longSheet(400, "long");
    const auto job = job::Job::open(files, "work/many.spanjob", {.library = "library", .cancelled = {}});
    job->calculate();
    bool flip = false;
    std::size_t worked = 0;
    for (auto unused : state) {
        flip = !flip;
        const auto done = job->setValue("J0", "w", flip ? "1.6 kN/m" : "1.5 kN/m");
        mustBe(done.ok(), "the edit is taken");
        worked = job->calculate();
    }
    state.counters["quantities"] = static_cast<double>(worked);
}

void distinctFormulas(benchmark::State& state) {
    loadAndCalculate(state, [](long n) {
        std::string text = longSheet(n, "s");
        const std::string ask = "ask     w [kN/m]";
        return text.replace(text.find(ask), ask.size(), "given   w = 1.5 kN/m");
    });
}

} // namespace

BENCHMARK_CAPTURE(loadAndCalculate, chain, chain)->Arg(1000)->Arg(10000)->Arg(100000)->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(loadAndCalculate, fan, fan)->Arg(1000)->Arg(10000)->Arg(100000)->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(loadAndCalculate, grid, grid)->Arg(1000)->Arg(10000)->Arg(100000)->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(oneEdit, chain_from_the_top, chain, "a0", "2 m", "3 m")->Arg(1000)->Arg(10000)->Arg(100000)->Unit(benchmark::kMicrosecond);
BENCHMARK_CAPTURE(oneEdit, fan_lone_value, fan, "lone", "2 m", "3 m")->Arg(1000)->Arg(10000)->Arg(100000)->Unit(benchmark::kMicrosecond);
BENCHMARK_CAPTURE(oneEdit, grid_all, grid, "g", "2 mm", "3 mm")->Arg(1000)->Arg(10000)->Arg(100000)->Unit(benchmark::kMicrosecond);
BENCHMARK(manyMembers)->Arg(25)->Arg(250)->Unit(benchmark::kMillisecond);
BENCHMARK(oneEditInJob)->Arg(1)->Arg(25)->Arg(250)->Unit(benchmark::kMicrosecond);
BENCHMARK(distinctFormulas)->Arg(1000)->Arg(10000)->Arg(100000)->Unit(benchmark::kMillisecond);
