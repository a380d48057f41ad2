// SPDX-License-Identifier: MIT
#include "engine/shop/guillotine_table.h"

#include <doctest/doctest.h>

#include <functional>
#include <random>

using namespace spanwright::shop;

namespace {

/// The most that a panel is worth, by trying every cut at every whole number.
std::int32_t byEveryCut(const std::vector<Rectangle>& pieces, const std::vector<std::int32_t>& worth, std::int64_t width, std::int64_t height) {
    std::vector<std::vector<std::int32_t>> best(static_cast<std::size_t>(width) + 1, std::vector<std::int32_t>(static_cast<std::size_t>(height) + 1, 0));
    for (std::size_t w = 1; w < best.size(); ++w) {
        for (std::size_t h = 1; h < best[w].size(); ++h) {
            for (std::size_t k = 0; k < pieces.size(); ++k) {
                const auto fits = [&](std::int64_t a, std::int64_t b) { return a <= static_cast<std::int64_t>(w) && b <= static_cast<std::int64_t>(h); };
                if (fits(pieces[k].width, pieces[k].height) || (pieces[k].mayTurn && fits(pieces[k].height, pieces[k].width)))
                    best[w][h] = std::max(best[w][h], worth[k]);
            }
            for (std::size_t c = 1; c < w; ++c) best[w][h] = std::max(best[w][h], best[c][h] + best[w - c][h]);
            for (std::size_t c = 1; c < h; ++c) best[w][h] = std::max(best[w][h], best[w][c] + best[w][h - c]);
        }
    }
    return best[static_cast<std::size_t>(width)][static_cast<std::size_t>(height)];
}

/// Saws the pattern and gives what it is worth; every piece must lie in its part.
std::int32_t sawn(const SawnPattern& p, const std::vector<Rectangle>& pieces, const std::vector<std::int32_t>& worth, std::int64_t width, std::int64_t height) {
    std::vector<std::int32_t> counts(pieces.size(), 0);
    const std::function<std::int32_t(std::int32_t, std::int64_t, std::int64_t)> go = [&](std::int32_t n, std::int64_t w, std::int64_t h) -> std::int32_t {
        const SawnPattern::Part& part = p.parts[static_cast<std::size_t>(n)];
        REQUIRE(w >= 0);
        REQUIRE(h >= 0);
        if (part.kind >= 0) {
            const auto k = static_cast<std::size_t>(part.kind);
            CHECK(part.width <= w);
            CHECK(part.height <= h);
            const bool upright = part.width == pieces[k].width && part.height == pieces[k].height;
            CHECK((upright || (pieces[k].mayTurn && part.width == pieces[k].height && part.height == pieces[k].width)));
            ++counts[k];
            return worth[k];
        }
        if (part.first < 0) return 0;
        return part.alongX ? go(part.first, part.at, h) + go(part.second, w - part.at, h) : go(part.first, w, part.at) + go(part.second, w, h - part.at);
    };
    const std::int32_t sum = go(0, width, height);
    CHECK(counts == p.counts);
    return sum;
}

} // namespace

TEST_CASE("the dearest panel equals the one found by trying every cut, and can be sawn") {
    std::mt19937 random(8);
    const auto upTo = [&](std::int64_t n) { return 1 + static_cast<std::int64_t>(random() % static_cast<std::uint64_t>(n)); };
    int fewer = 0;
    for (int round = 0; round < 120; ++round) {
        const std::int64_t width = 20 + upTo(50);
        const std::int64_t height = 20 + upTo(40);
        std::vector<Rectangle> pieces;
        std::vector<std::int32_t> worth;
        const std::int64_t kinds = upTo(6);
        for (std::int64_t k = 0; k < kinds; ++k) {
            // As many as can ever fit, so that counts do not matter here.
            pieces.push_back({4 + upTo(width - 4), 4 + upTo(height - 4), 200, random() % 2 == 0});
            worth.push_back(static_cast<std::int32_t>(pieces.back().width * pieces.back().height * 10 + upTo(100)));
        }
        const std::int32_t right = byEveryCut(pieces, worth, width, height);
        GuillotineTable exact(pieces, width, height, 1'000'000'000, GuillotineTable::Sort::Bound);
        REQUIRE(exact.exact());
        CHECK(exact.price(worth) == right);
        const auto patterns = exact.patterns(0, 5);
        CHECK(sawn(patterns[0], pieces, worth, width, height) == right);
        for (const SawnPattern& p : patterns) CHECK(sawn(p, pieces, worth, width, height) <= right);
        // Without the means for that: a bound never below, patterns never above.
        GuillotineTable bound(pieces, width, height, 1, GuillotineTable::Sort::Bound);
        if (!bound.exact()) {
            std::int32_t lost = 0; // what vanished in the grid counts nothing there
            std::vector<std::int32_t> counted = worth;
            for (std::size_t k = 0; k < pieces.size(); ++k) {
                if (bound.covers(k)) continue;
                counted[k] = 0;
                ++lost;
            }
            CHECK(bound.price(worth) >= (lost == 0 ? right : byEveryCut(pieces, counted, width, height)));
        }
        GuillotineTable few(pieces, width, height, 1, GuillotineTable::Sort::Patterns);
        const std::int32_t some = few.price(worth);
        CHECK(some <= right);
        CHECK(sawn(few.patterns(0, 1)[0], pieces, worth, width, height) == some);
        fewer += some < right ? 1 : 0;
    }
    CHECK(fewer < 60);
}

TEST_CASE("pieces of real sizes are priced exactly at a cost that can be paid") {
    // Ten sizes that may turn have thousands of sums along a panel; the sizes that cuts leave are far fewer.
    std::mt19937 random(4);
    std::vector<Rectangle> pieces;
    for (int k = 0; k < 10; ++k)
        pieces.push_back({1532 + 10 * static_cast<std::int64_t>(random() % 900), 1032 + 10 * static_cast<std::int64_t>(random() % 500), 40, k % 2 == 0});
    const GuillotineTable table(pieces, 24432, 12232, 30'000'000, GuillotineTable::Sort::Bound);
    CHECK(table.exact());
}
