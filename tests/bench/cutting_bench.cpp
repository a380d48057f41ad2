// SPDX-License-Identifier: MIT
// How good cutting plans are: known sets and random jobs, limits in work sized for seconds. Every plan is looked at by the
// verifier, every bound is held against what is known. Usage: bench_cutting [part of a set's name]. Known sets are read from
// the folder that the environment variable SPANWRIGHT_CUTTING_SETS names; without it only the generated ones are run.
#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <functional>
#include <iostream>
#include <random>

#include "engine/shop/board_plan.h"
#include "engine/shop/length_plan.h"
#include "engine/shop/panel_plan.h"
#include "tests/bench/cutting_sets.h"

namespace {

using namespace spanwright::shop;
namespace fs = std::filesystem;

double now() { return std::chrono::duration<double>(std::chrono::steady_clock::now().time_since_epoch()).count(); }

struct Tally {
    std::string name;
    int instances = 0, proven = 0, known = 0, atKnown = 0;
    std::int64_t sum = 0, sumOfBounds = 0;
    double seconds = 0.0, longest = 0.0;
    std::uint64_t work = 0;

    ~Tally() {
        if (instances == 0) return;
        std::printf("%-34s %3d problems: sum %lld, bounds %lld, proven %d, at the known optimum %d of %d; %.2f s each, %.2f at most, %.0f M work/s\n",
                    name.c_str(), instances, static_cast<long long>(sum), static_cast<long long>(sumOfBounds), proven, atKnown, known, seconds / instances,
                    longest, static_cast<double>(work) / 1e6 / seconds);
        std::fflush(stdout);
    }
    /// `optimum` < 0: not known.
    template <typename Problem, typename Plan> void count(const std::string& instance, const Problem& p, const Plan& plan, std::int64_t optimum, double took) {
        if (const std::string fault = faultOf(p, plan); !fault.empty() || !plan.problem.empty()) {
            std::cerr << name << " " << instance << ": " << fault << plan.problem << "\n";
            std::abort();
        }
        if (optimum >= 0 && plan.atLeast > optimum) {
            std::cerr << name << " " << instance << ": bound " << plan.atLeast << " above " << optimum << "\n";
            std::abort();
        }
        ++instances;
        proven += plan.proven ? 1 : 0;
        known += optimum >= 0 ? 1 : 0;
        atKnown += optimum >= 0 && plan.cost <= optimum ? 1 : 0;
        sum += plan.cost;
        sumOfBounds += plan.atLeast;
        seconds += took;
        longest = std::max(longest, took);
        work += plan.work;
        if (!plan.proven)
            std::printf("    %s: %lld, at least %lld (%s), known %lld\n", instance.c_str(), static_cast<long long>(plan.cost),
                        static_cast<long long>(plan.atLeast), plan.how.c_str(), static_cast<long long>(optimum));
    }
};

LengthProblem lengthsOf(const cutting::Lengths& l) {
    LengthProblem p;
    p.bars.push_back({.length = l.bar});
    for (const auto& [size, count] : l.pieces) p.demands.push_back({size, count});
    return p;
}

PanelProblem panelsOf(const cutting::Rectangles& r, std::int64_t kerf, bool mayTurn) {
    PanelProblem p;
    p.kerf = kerf;
    p.stock.push_back({.width = r.width, .height = r.height});
    for (const auto& d : r.pieces) p.demands.push_back({.width = d.w, .height = d.h, .count = d.n, .mayTurn = mayTurn});
    return p;
}

void run(Tally& t, const std::string& instance, const LengthProblem& p, double seconds, std::int64_t optimum) {
    const double from = now();
    const LengthPlan plan = planLengths(p, effortOfSeconds(seconds));
    t.count(instance, p, plan, optimum, now() - from);
}

void run(Tally& t, const std::string& instance, const BoardProblem& p, double seconds, std::int64_t optimum) {
    const double from = now();
    const BoardPlan plan = planBoards(p, effortOfSeconds(seconds));
    t.count(instance, p, plan, optimum, now() - from);
}

void run(Tally& t, const std::string& instance, const PanelProblem& p, double seconds, std::int64_t optimum) {
    const double from = now();
    const PanelPlan plan = planPanels(p, effortOfSeconds(seconds));
    t.count(instance, p, plan, optimum, now() - from);
}

void knownLengths(const fs::path& sets, const std::string& only) {
    std::map<std::string, std::pair<std::int64_t, std::string>> optima;
    for (const auto& row : cutting::readTable(sets / "1d/bpplib-optima.csv")) optima[row[0]] = {std::stoll(row[3]), row[1]};
    std::vector<fs::path> files;
    for (const auto& entry : fs::directory_iterator(sets / "1d/bpplib-cc-by-nc-nd")) {
        if (entry.path().extension() == ".txt") files.push_back(entry.path());
    }
    std::sort(files.begin(), files.end());
    std::map<std::string, std::vector<fs::path>> bySet;
    for (const auto& f : files) bySet[optima.at(f.stem().string()).second].push_back(f);
    for (const auto& [set, members] : bySet) {
        if (("lengths " + set).find(only) == std::string::npos) continue;
        Tally t{"lengths " + set};
        const double seconds = set == "Hard28" || set == "Scholl_3" || set == "AI" || set == "ANI" ? 10.0 : 2.0;
        for (const auto& f : members) run(t, f.stem().string(), lengthsOf(cutting::readTyped(f)), seconds, optima.at(f.stem().string()).first);
    }
    std::map<std::string, std::int64_t> listed;
    for (const auto& row : cutting::readTable(sets / "1d/orlib-optima.csv")) listed[row[0]] = std::stoll(row[1]);
    for (const auto* file : {"binpack1.txt", "binpack3.txt"}) {
        Tally t{"lengths " + std::string(file)};
        if (t.name.find(only) == std::string::npos) continue;
        for (const auto& l : cutting::readListed(sets / "1d/orlib" / file)) run(t, l.name, lengthsOf(l), 2.0, listed.at(l.name));
    }
}

void knownPanels(const fs::path& sets, const std::string& only) {
    const auto table = cutting::readTable(sets / "2d/certified-sheets.csv");
    const auto instances = [&](const std::string& set, const std::vector<cutting::Rectangles>& all, bool mayTurn, std::int64_t kerf) {
        Tally t{set};
        if (set.find(only) == std::string::npos) return;
        std::map<std::string, std::int64_t> known;
        for (const auto& row : table) {
            if ((row[1] == "1") == mayTurn) known[row[0]] = row[3] == row[4] ? std::stoll(row[4]) : -1;
        }
        for (const auto& r : all) {
            if (known.contains(r.name)) run(t, r.name, panelsOf(r, kerf, mayTurn), 10.0, known.at(r.name));
        }
    };
    std::vector<cutting::Rectangles> classes;
    for (int c = 1; c <= 10; ++c) {
        const auto block = cutting::readBlocks(sets / ("2d/class/class" + std::string(c < 10 ? "0" : "") + std::to_string(c) + ".txt"));
        classes.insert(classes.end(), block.begin(), block.end());
    }
    instances("panels class, grain locked", classes, false, 0);
    instances("panels class, free to turn", classes, true, 0);
    instances("panels planted, slack", cutting::readBlocks(sets / "2d/planted/planted-slack.txt"), false, 3);
    for (const auto* folder : {"hopper-not-guillotine", "orlib"}) {
        std::vector<fs::path> files;
        for (const auto& entry : fs::directory_iterator(sets / "2d" / folder)) files.push_back(entry.path());
        std::sort(files.begin(), files.end());
        std::vector<cutting::Rectangles> all;
        for (const auto& f : files) all.push_back(cutting::readSingle(f));
        instances("panels " + std::string(folder), all, false, 0);
    }
}

/// 10 to 60 lengths as a house has them, up to 600 pieces, kerf 3 mm.
void realLengths(const std::string& only) {
    Tally t{"lengths of real jobs"};
    if (t.name.find(only) == std::string::npos) return;
    std::mt19937 random(2026);
    for (int job = 0; job < 40; ++job) {
        LengthProblem p;
        p.kerf = 30;
        const std::int64_t bars[] = {42000, 48000, 54000, 60000};
        p.bars.push_back({.length = bars[random() % 4]});
        const std::size_t kinds = 10 + random() % 51;
        std::int64_t left = 600;
        for (std::size_t k = 0; k < kinds; ++k) {
            const std::int64_t step = random() % 2 == 0 ? 10 : 250;
            const std::int64_t length = 3000 + static_cast<std::int64_t>(random() % static_cast<std::uint64_t>((p.bars[0].length - 5000) / step)) * step;
            const std::int64_t count = std::min<std::int64_t>(left, 1 + static_cast<std::int64_t>(random() % 19));
            left -= count;
            p.demands.push_back({length, count});
        }
        run(t, "job " + std::to_string(job + 1), p, 1.0, -1);
    }
}

/// Repeated parts as furniture, floors and webs have them, kerf 3.2 mm.
void realPanels(const std::string& only, const std::string& name, int jobs, std::int64_t fewest, std::int64_t most, double seconds, std::uint32_t seed,
                const std::function<void(PanelProblem&)>& change = {}) {
    Tally t{name};
    if (t.name.find(only) == std::string::npos) return;
    std::mt19937 random(seed);
    for (int job = 0; job < jobs; ++job) {
        PanelProblem p;
        p.kerf = 32;
        const bool large = random() % 2 == 0;
        p.stock.push_back({.width = large ? 25000 : 24400, .height = large ? 12500 : 12200});
        const std::int64_t pieces = fewest + static_cast<std::int64_t>(random() % static_cast<std::uint64_t>(most - fewest + 1));
        const std::size_t kinds = 4 + random() % 14;
        std::int64_t left = pieces;
        for (std::size_t k = 0; k < kinds && left > 0; ++k) {
            const std::int64_t count =
                k + 1 == kinds ? left
                               : std::min<std::int64_t>(left, 1 + static_cast<std::int64_t>(random() % (2 * static_cast<std::uint64_t>(pieces) / kinds)));
            left -= count;
            p.demands.push_back({.width = 1500 + 10 * static_cast<std::int64_t>(random() % 900),
                                 .height = 1000 + 10 * static_cast<std::int64_t>(random() % 500),
                                 .count = count,
                                 .mayTurn = random() % 2 == 0});
        }
        if (change) change(p);
        run(t, "job " + std::to_string(job + 1), p, seconds, -1);
    }
}

/// Boards as the example has them: one to four sizes priced by the metre, every third job with some left over, pieces that may be ripped, kerf
/// 3.2 mm, 10 mm trimmed off the ends.
void realBoards(const std::string& only) {
    Tally t{"boards of real jobs"};
    if (t.name.find(only) == std::string::npos) return;
    std::mt19937 random(77);
    const std::int64_t widths[] = {1450, 1700, 1950, 2200};
    const std::int64_t lengths[] = {30000, 36000, 42000, 48000, 54000, 60000, 72000};
    const std::int64_t broad[] = {480, 720, 960, 1450, 1950, 2200};
    for (int job = 0; job < 40; ++job) {
        BoardProblem p;
        p.ripKerf = p.crossKerf = 32;
        const int sizes = 1 + job % 4;
        for (int k = 0; k < sizes; ++k) {
            CutStock s{.width = lengths[random() % 7], .height = k == 0 ? 2200 : widths[random() % 4], .trimX = 100};
            if (k == 0) s.width = std::max<std::int64_t>(s.width, 48000);
            s.cost = sizes == 1 ? 1 : s.width / 100 * s.height / 1000 * static_cast<std::int64_t>(95 + random() % 20) / 100;
            p.stock.push_back(s);
        }
        if (job % 3 == 0)
            p.stock.push_back({.width = 30000, .height = 1500, .trimX = 100, .onHand = 1 + static_cast<std::int64_t>(random() % 3), .bought = false});
        const auto kinds = 4 + random() % 12;
        for (std::size_t k = 0; k < kinds; ++k) {
            const std::int64_t length = 3000 + 10 * static_cast<std::int64_t>(random() % 4400), width = broad[random() % 6];
            p.demands.push_back({length, width, 1 + static_cast<std::int64_t>(random() % 16)});
        }
        run(t, "job " + std::to_string(job + 1), p, 2.0, -1);
    }
}

/// Bars of two to four lengths priced by the metre, some on hand, kerf 3.2 mm.
void severalLengths(const std::string& only) {
    Tally t{"lengths from bars of several lengths"};
    if (t.name.find(only) == std::string::npos) return;
    std::mt19937 random(78);
    const std::int64_t lengths[] = {30000, 36000, 42000, 48000, 54000, 60000, 72000};
    for (int job = 0; job < 40; ++job) {
        LengthProblem p;
        p.kerf = 32;
        for (int k = 0; k < 2 + job % 3; ++k) {
            const std::int64_t length = k == 0 ? 60000 : lengths[random() % 7];
            p.bars.push_back({length - 200, length / 100 * static_cast<std::int64_t>(95 + random() % 15) / 100, job % 3 == 1 && k == 1 ? 2 : 0, true});
        }
        const auto kinds = 5 + random() % 20;
        for (std::size_t k = 0; k < kinds; ++k) {
            const std::int64_t length = 3000 + 10 * static_cast<std::int64_t>(random() % 5500);
            p.demands.push_back({length, 1 + static_cast<std::int64_t>(random() % 16)});
        }
        run(t, "job " + std::to_string(job + 1), p, 2.0, -1);
    }
}

/// 40 to 300 lengths, hardly two alike, from bars of two to five lengths whose price by the metre differs by up to 20 %, kerf 3.2 mm.
void unlikeLengths(const std::string& only) {
    Tally t{"lengths, many unlike from several lengths"};
    if (t.name.find(only) == std::string::npos) return;
    std::mt19937 random(79);
    const std::int64_t lengths[] = {30000, 36000, 42000, 48000, 54000, 60000, 72000};
    for (int job = 0; job < 24; ++job) {
        LengthProblem p;
        p.kerf = 32;
        for (int k = 0; k < 2 + job % 4; ++k) {
            const std::int64_t length = k == 0 ? 60000 : lengths[random() % 7];
            p.bars.push_back({length - 200, length / 100 * static_cast<std::int64_t>(90 + random() % 21) / 100, job % 5 == 4 && k == 1 ? 3 : 0, true});
        }
        const int kinds[] = {40, 120, 300};
        for (int k = 0; k < kinds[job % 3]; ++k) {
            const std::int64_t length = 2000 + static_cast<std::int64_t>(random() % (job % 4 < 2 ? 50000 : 28000));
            p.demands.push_back({length, job % 2 == 1 ? 1 + static_cast<std::int64_t>(random() % 3) : 1});
        }
        run(t, "job " + std::to_string(job + 1), p, 1.0, -1);
    }
}

/// Ten thousand lengths, no two alike: bounded memory is looked at from outside.
void manyLengths(const std::string& only) {
    Tally t{"lengths, ten thousand unlike"};
    if (t.name.find(only) == std::string::npos) return;
    LengthProblem p;
    p.kerf = 30;
    p.bars.push_back({.length = 60000});
    for (std::int64_t i = 0; i < 10000; ++i) p.demands.push_back({1000 + i * 5, 1});
    run(t, "all", p, 2.0, -1);
}

/// A second size can be bought, dearer for its area by a little.
void twoSizes(PanelProblem& p) {
    p.stock[0].cost = p.stock[0].width == 25000 ? 34 : 32;
    p.stock.push_back({.width = 30000, .height = 15000, .cost = 48});
}

/// Every third piece is a trapezoid.
void trapezoids(PanelProblem& p) {
    for (std::size_t k = 0; k < p.demands.size(); k += 3) {
        PanelPiece& d = p.demands[k];
        d.shape = PanelPiece::Shape::AlongHeight;
        d.shortEdge = d.height * 2 / 3;
        d.mayTurn = false;
    }
}

} // namespace

int main(int argc, char** argv) {
    const std::string only = argc > 1 ? argv[1] : "";
    realLengths(only);
    severalLengths(only);
    unlikeLengths(only);
    manyLengths(only);
    realBoards(only);
    realPanels(only, "panels of real jobs, up to 100", 40, 10, 100, 2.0, 11);
    realPanels(only, "panels of real jobs, 200 to 600", 16, 200, 600, 10.0, 12);
    realPanels(only, "panels of real jobs, two sizes", 24, 10, 100, 2.0, 11, twoSizes);
    realPanels(only, "panels of real jobs, trapezoids", 24, 10, 100, 2.0, 13, trapezoids);
    const char* sets = std::getenv("SPANWRIGHT_CUTTING_SETS");
    if (sets == nullptr) {
        std::cout << "SPANWRIGHT_CUTTING_SETS is not set: the known sets are left out\n";
        return 0;
    }
    knownLengths(sets, only);
    knownPanels(sets, only);
    return 0;
}
