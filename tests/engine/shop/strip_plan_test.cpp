// SPDX-License-Identifier: MIT
// Boards and bars of several sizes: what is said to be the least is held against trying everything.
#include <doctest/doctest.h>

#include <algorithm>
#include <functional>
#include <map>
#include <random>

#include "engine/shop/length_plan.h"
#include "engine/shop/strip_compose.h"
#include "engine/shop/strip_exchange.h"

using namespace spanwright::shop;

namespace {

/// The least cost by trying everything: pieces one by one, every set of them on every board. Up to ten pieces, stock on hand of one sort.
class Trying {
public:
    Trying(const std::vector<StripBin>& bins, const std::vector<StripPiece>& pieces) : m_bins(bins) {
        for (const StripPiece& p : pieces)
            for (std::int64_t n = 0; n < p.count; ++n) m_pieces.push_back(p);
        m_fits.assign(bins.size(), std::vector<char>(std::size_t{1} << m_pieces.size(), 0));
        for (std::size_t k = 0; k < bins.size(); ++k)
            for (std::size_t set = 1; set < m_fits[k].size(); ++set) m_fits[k][set] = fits(bins[k], set) ? 1 : 0;
    }
    /// -1: not all can be cut.
    std::int64_t least() {
        std::vector<std::int64_t> left;
        for (const StripBin& b : m_bins) left.push_back(b.limit);
        return least((std::size_t{1} << m_pieces.size()) - 1, left);
    }

private:
    bool fits(const StripBin& bin, std::size_t set) const {
        std::map<std::int64_t, std::vector<std::int64_t>> byWidth;
        for (std::size_t i = 0; i < m_pieces.size(); ++i)
            if ((set >> i & 1) != 0) byWidth[m_pieces[i].width].push_back(m_pieces[i].length);
        std::int64_t height = 0;
        for (auto& [width, lengths] : byWidth) {
            std::sort(lengths.rbegin(), lengths.rend());
            std::size_t strips = lengths.size() + 1;
            std::vector<std::int64_t> room;
            const std::function<void(std::size_t)> place = [&](std::size_t i) {
                if (room.size() >= strips) return;
                if (i == lengths.size()) {
                    strips = room.size();
                    return;
                }
                for (std::size_t r = 0; r < room.size(); ++r) { // it grows and shrinks below
                    if (room[r] < lengths[i]) continue;
                    room[r] -= lengths[i];
                    place(i + 1);
                    room[r] += lengths[i];
                }
                if (lengths[i] > bin.length) return;
                room.push_back(bin.length - lengths[i]);
                place(i + 1);
                room.pop_back();
            };
            place(0);
            if (strips > lengths.size()) return false;
            height += static_cast<std::int64_t>(strips) * width;
        }
        return height <= bin.height;
    }
    std::int64_t least(std::size_t set, std::vector<std::int64_t> left) {
        if (set == 0) return 0;
        const auto known = m_known.find({set, left});
        if (known != m_known.end()) return known->second;
        const std::size_t first = set & (~set + 1);
        std::int64_t best = -1;
        for (std::size_t k = 0; k < m_bins.size(); ++k) {
            if (left[k] == 0) continue;
            for (std::size_t part = set; part > 0; part = (part - 1) & set) {
                if ((part & first) == 0 || m_fits[k][part] == 0) continue;
                std::vector<std::int64_t> after = left;
                --after[k];
                const std::int64_t rest = least(set & ~part, after);
                if (rest < 0) continue;
                const std::int64_t cost = rest + (m_bins[k].onHand ? 0 : m_bins[k].cost);
                if (best < 0 || cost < best) best = cost;
            }
        }
        m_known[{set, std::move(left)}] = best;
        return best;
    }

    const std::vector<StripBin>& m_bins;
    std::vector<StripPiece> m_pieces;
    std::vector<std::vector<char>> m_fits;
    std::map<std::pair<std::size_t, std::vector<std::int64_t>>, std::int64_t> m_known;
};

/// Empty if every piece is cut once, every strip and board is long and high enough, and no more is used than there is.
std::string wrongWith(const std::vector<StripBin>& bins, const std::vector<StripPiece>& pieces, const StripPlan& plan) {
    std::vector<std::int64_t> cut(pieces.size(), 0), used(bins.size(), 0);
    std::int64_t cost = 0;
    for (const StrippedBin& b : plan.bins) {
        std::int64_t height = 0;
        for (const Strip& s : b.strips) {
            std::int64_t length = 0;
            for (const auto& [i, n] : s.pieces) {
                if (pieces[i].width != s.width) return "a piece lies in a strip of another width";
                length += n * pieces[i].length;
                cut[i] += n * b.times;
            }
            if (length > bins[b.bin].length) return "a strip is too short";
            height += s.width;
        }
        if (height > bins[b.bin].height) return "a board is too narrow";
        used[b.bin] += b.times;
        cost += bins[b.bin].onHand ? 0 : b.times * bins[b.bin].cost;
    }
    for (std::size_t i = 0; i < pieces.size(); ++i)
        if (cut[i] + plan.uncut[i] != pieces[i].count) return "not every piece once";
    for (std::size_t k = 0; k < bins.size(); ++k)
        if (used[k] > bins[k].limit) return "more is used than there is";
    return cost == plan.cost ? "" : "the cost is not what boards cost";
}

} // namespace

TEST_CASE("the least cost of small jobs is what trying everything finds, and no bound lies above it") {
    std::mt19937 random(41);
    int proven = 0, all = 0;
    for (int round = 0; round < 160; ++round) {
        CAPTURE(round);
        const bool bars = round % 2 == 0;
        std::vector<StripBin> bins;
        const auto between = [&](std::uint32_t low, std::uint32_t high) { return static_cast<std::int64_t>(low + random() % (high - low + 1)); };
        if (round % 3 == 0) bins.push_back({between(18, 30), bars ? 1 : between(5, 8), 7, between(1, 2), true});
        bins.push_back({40, bars ? 1 : 9, between(35, 45), 100, false});
        bins.push_back({between(20, 35), bars ? 1 : between(6, 9), between(15, 40), 100, false});
        if (round % 4 == 0) bins.push_back({between(20, 39), bars ? 1 : between(4, 9), between(15, 40), 100, false});
        std::vector<StripPiece> pieces;
        std::int64_t left = 8;
        while (left > 0) {
            const std::int64_t n = std::min<std::int64_t>(left, between(1, 3));
            pieces.push_back({between(5, 28), bars ? 1 : between(2, 4), n});
            left -= n;
        }
        Budget budget(40'000'000, {});
        std::int64_t before = 0;
        const StripPlan plan = planStrips(bins, pieces, budget, [&](const StripPlan& now) {
            CHECK(wrongWith(bins, pieces, now) == "");
            CHECK(now.atLeast >= before);
            before = now.atLeast;
        });
        REQUIRE(wrongWith(bins, pieces, plan) == "");
        const std::int64_t least = Trying(bins, pieces).least();
        CHECK(plan.atLeast <= least);
        CHECK(plan.cost >= least);
        ++all;
        if (plan.cost == plan.atLeast) {
            ++proven;
            CHECK(plan.cost == least);
        }
    }
    CHECK(proven >= all * 9 / 10);
}

TEST_CASE("a relaxation bounds what is asked of it: so many boards and strips, and no fewer") {
    const std::vector<StripBin> bins{{100, 10, 30, 1000, false}, {60, 10, 20, 1000, false}};
    const std::vector<StripPiece> pieces{{50, 5, 6}, {30, 3, 4}};
    Budget budget(100'000'000, {});
    StripRelaxation relaxation(bins, pieces, budget);
    StripRelaxation::Counts counts = relaxation.free();
    REQUIRE(relaxation.rows().size() == 4);
    const std::int64_t free = relaxation.solve(counts, INT64_MAX).atLeast;
    CHECK(free > 0);
    // Two of the first, by hand: no plan with at least three of them costs less than 90.
    counts.least[0] = 3;
    CHECK(relaxation.solve(counts, INT64_MAX).atLeast >= 90);
    // None of the first and two of the second hold 120 x 10 of 6 x 250 + 4 x 90: that cannot be, and the bound says so.
    counts = relaxation.free();
    counts.most = {0, 2};
    CHECK(relaxation.solve(counts, INT64_MAX).atLeast > 1000);
    // More strips cost more boards: twelve of 5 need six boards of either.
    counts = relaxation.free();
    for (std::size_t r = 0; r < relaxation.rows().size(); ++r)
        if (relaxation.rows()[r].width == 5 && relaxation.rows()[r].length == 60) counts.leastStrips[r] = 6;
    CHECK(relaxation.solve(counts, INT64_MAX).atLeast >= 60);
    // The first question again gives the first answer: columns that were made since prove no less.
    CHECK(relaxation.solve(relaxation.free(), INT64_MAX).atLeast == free);
}

TEST_CASE("boards of a plan are exchanged for cheaper ones, never for dearer, and nothing is lost") {
    // Four boards with one piece each where two hold all: 3 + 3 + 4 on one of 10, 6 and so on.
    const std::vector<StripBin> bins{{.length = 100, .height = 1, .cost = 10, .limit = 1000, .onHand = false}};
    const std::vector<StripPiece> pieces{{30, 1, 2}, {40, 1, 1}, {60, 1, 1}};
    StripPlan plan;
    for (std::size_t i = 0; i < 3; ++i) plan.bins.push_back({0, pieces[i].count, {Strip{1, {{i, 1}}}}});
    plan.cost = 40;
    plan.uncut.assign(3, 0);
    Budget budget(50'000'000, {});
    Chance chance(1);
    const StripSolver solve = [](const std::vector<StripBin>& b, const std::vector<StripPiece>& p, Budget& part) { return planStrips(b, p, part); };
    for (int n = 0; n < 60; ++n) {
        const StripPlan next = exchangeStrips(bins, pieces, plan, chance, budget, solve);
        CHECK(next.cost <= plan.cost);
        plan = next;
        std::vector<std::int64_t> got(3, 0);
        std::int64_t cost = 0;
        for (const StrippedBin& b : plan.bins) {
            CHECK(b.times > 0);
            cost += b.times * bins[b.bin].cost;
            std::int64_t length = 0;
            for (const Strip& s : b.strips)
                for (const auto& [i, k] : s.pieces) {
                    got[i] += k * b.times;
                    length += k * pieces[i].length;
                }
            CHECK(length <= 100);
        }
        CHECK(cost == plan.cost);
        CHECK(got == std::vector<std::int64_t>{2, 1, 1});
    }
    CHECK(plan.cost == 20);
}

TEST_CASE("many unlike lengths from several stock lengths: near the bound, and the same plan each time") {
    LengthProblem p;
    p.kerf = 32;
    p.bars = {{59800, 600, 0, true}, {47800, 470, 0, true}, {35800, 380, 2, true}};
    std::uint64_t state = 7;
    for (int k = 0; k < 90; ++k) {
        state = state * 6364136223846793005ULL + 1442695040888963407ULL;
        p.demands.push_back({2000 + static_cast<std::int64_t>((state >> 33) % 28000), 1});
    }
    const LengthPlan plan = planLengths(p, effortOfSeconds(0.5)), again = planLengths(p, effortOfSeconds(0.5));
    CHECK(faultOf(p, plan).empty());
    CHECK(plan.complete());
    CHECK(plan.atLeast <= plan.cost);
    CHECK(static_cast<double>(plan.cost) <= 1.02 * static_cast<double>(plan.atLeast));
    CHECK(again.cost == plan.cost);
    CHECK(again.atLeast == plan.atLeast);
    REQUIRE(again.patterns.size() == plan.patterns.size());
    for (std::size_t i = 0; i < plan.patterns.size(); ++i) CHECK(again.patterns[i].pieces == plan.patterns[i].pieces);
}

TEST_CASE("plans are composed from whole counts or not at all") {
    const std::vector<StripBin> bins{{100, 10, 30, 1000, false}, {60, 10, 20, 1000, false}};
    const std::vector<StripPiece> pieces{{50, 5, 6}, {30, 3, 4}};
    Budget budget(100'000'000, {});
    const StripRelaxation relaxation(bins, pieces, budget);
    const auto strips = [&](std::map<std::pair<std::int64_t, std::int64_t>, std::int64_t> wanted) {
        std::vector<std::int64_t> out;
        for (const StripRelaxation::Row& r : relaxation.rows()) out.push_back(wanted[{r.width, r.length}]);
        return out;
    };
    // Three strips of 5 by 100 hold six of 50, two of 3 by 100 hold three of 30 each: 3 x 5 + 2 x 3 = 21 of 2 x 10 is too much, of 3 x 10 is not.
    CHECK_FALSE(composePlan(bins, pieces, relaxation.rows(), {2, 0}, strips({{{5, 100}, 3}, {{3, 100}, 2}}), {}, budget));
    const auto plan = composePlan(bins, pieces, relaxation.rows(), {3, 0}, strips({{{5, 100}, 3}, {{3, 100}, 2}}), {}, budget);
    REQUIRE(plan);
    CHECK(wrongWith(bins, pieces, *plan) == "");
    CHECK_FALSE(composePlan(bins, pieces, relaxation.rows(), {3, 0}, strips({{{5, 100}, 2}, {{3, 100}, 2}}), {}, budget));
    // Of both lengths: the supply of each is kept.
    const auto mixed = composePlan(bins, pieces, relaxation.rows(), {1, 3}, strips({{{5, 100}, 1}, {{5, 60}, 4}, {{3, 60}, 2}}), {}, budget);
    REQUIRE(mixed);
    CHECK(wrongWith(bins, pieces, *mixed) == "");
}
