// SPDX-License-Identifier: MIT
#include "engine/shop/panel_join.h"

#include <doctest/doctest.h>

#include <numeric>
#include <random>

using namespace spanwright::shop;

namespace {

/// Pieces sawn out of so many whole panels by chance, each side then up to 3 % smaller: so many panels suffice.
PanelProblem planted(std::uint32_t seed, int panels, std::int64_t smallest) {
    std::mt19937 random(seed);
    PanelProblem p;
    p.kerf = 3;
    p.stock.push_back({.width = 2440, .height = 1220});
    struct Part {
        std::int64_t w, h;
    };
    for (int n = 0; n < panels; ++n) {
        std::vector<Part> open{{2440, 1220}};
        while (!open.empty()) {
            const Part part = open.back();
            open.pop_back();
            const bool canX = part.w >= 2 * smallest + p.kerf;
            const bool canY = part.h >= 2 * smallest + p.kerf;
            if (!canX && !canY) {
                const auto less = [&](std::int64_t side) {
                    return side - static_cast<std::int64_t>(random() % static_cast<std::uint64_t>(side * 3 / 100 + 1));
                };
                p.demands.push_back({.width = less(part.w), .height = less(part.h), .count = 1});
                continue;
            }
            const bool alongX = canX && (!canY || random() % 2 == 0);
            const std::int64_t whole = alongX ? part.w : part.h;
            const std::int64_t at = smallest + static_cast<std::int64_t>(random() % static_cast<std::uint64_t>(whole - p.kerf - 2 * smallest + 1));
            open.push_back(alongX ? Part{at, part.h} : Part{part.w, at});
            open.push_back(alongX ? Part{part.w - at - p.kerf, part.h} : Part{part.w, part.h - at - p.kerf});
        }
    }
    return p;
}

} // namespace

TEST_CASE("pieces sawn out of whole panels are joined to nearly full panels again, each once") {
    const PanelProblem p = planted(1, 4, 250);
    const PanelCore core = coreOf(p);
    const std::vector<Item> items = itemsOf(core);
    std::vector<std::int32_t> pool(items.size());
    std::iota(pool.begin(), pool.end(), 0);
    Budget budget(1'000'000'000, {});
    const std::vector<DensePanel> found = densePanels(core.bins[0], items, pool, 10, 400, 7, budget);
    REQUIRE(found.size() == 10);
    CHECK(found[0].filled > 0.97);
    for (std::size_t i = 1; i < found.size(); ++i) CHECK(found[i].filled <= found[i - 1].filled);
    for (const DensePanel& d : found) {
        double area = 0.0;
        for (const std::int32_t id : d.items)
            area += static_cast<double>(items[static_cast<std::size_t>(id)].width * items[static_cast<std::size_t>(id)].height);
        CHECK(area == doctest::Approx(d.filled * core.bins[0].area()));
    }
    for (const std::size_t panels : {2, 4}) {
        const Packing packing = packDensely(core, items, std::vector<std::size_t>(panels, 0), 400, 5, budget);
        CHECK(packing.bins.size() == panels);
        std::vector<int> seen(items.size(), 0);
        for (const std::int32_t id : packing.out) ++seen[static_cast<std::size_t>(id)];
        for (const Slicing& s : packing.slicings) {
            for (const Slicing::Node& n : s.nodes()) {
                if (n.kind == Slicing::Kind::Item) ++seen[static_cast<std::size_t>(n.item)];
            }
        }
        for (const int n : seen) CHECK(n == 1);
    }
    // Nothing to choose from, nothing that fits.
    CHECK(densePanels(core.bins[0], items, {}, 10, 400, 7, budget).empty());
    CHECK(densePanels({.width = 100, .height = 100}, items, pool, 10, 400, 7, budget).empty());
}

TEST_CASE("planted panels are found again where 97 % must be filled") {
    int solved = 0;
    for (std::uint32_t seed = 1; seed <= 6; ++seed) {
        const int panels = 2 + static_cast<int>(seed % 3);
        const PanelProblem p = planted(seed, panels, 250);
        const PanelPlan plan = planPanels(p, effortOfSeconds(3.0));
        REQUIRE(faultOf(p, plan) == "");
        CHECK(plan.atLeast <= panels);
        CHECK(plan.cost <= panels + 1);
        solved += plan.cost == panels ? 1 : 0;
    }
    MESSAGE(solved, " of 6");
    CHECK(solved >= 4);
}
