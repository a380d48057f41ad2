// SPDX-License-Identifier: MIT
#include "engine/shop/strip_compose.h"

#include <algorithm>
#include <map>
#include <numeric>

#include "engine/shop/length_search.h"
#include "engine/shop/strip_build.h"

namespace spanwright::shop {

namespace {

constexpr int kRounds = 40;
constexpr std::uint64_t kWorkOfOne = 3'000'000; ///< for bars of one length

struct Supply {
    std::int64_t length = 0;
    std::int64_t count = 0;
};

/// What is cut from one bar: of which supply, how many of each piece, and how many bars are cut so.
struct Cut {
    std::size_t supply = 0;
    std::vector<std::pair<std::size_t, std::int64_t>> pieces;
    std::int64_t times = 0;
};

using Cuts = std::optional<std::vector<Cut>>;

Cuts cutOneLength(const Supply& supply, const std::vector<Supply>& pieces, Budget& budget) {
    std::map<std::int64_t, std::vector<std::size_t>, std::greater<>> byLength;
    for (std::size_t i = 0; i < pieces.size(); ++i) byLength[pieces[i].length].push_back(i);
    Sizes sizes;
    std::vector<std::vector<std::size_t>> origin;
    std::int64_t common = 0;
    for (const auto& [length, from] : byLength) common = std::gcd(common, length);
    for (const auto& [length, from] : byLength) {
        sizes.length.push_back(length / common);
        sizes.count.push_back(0);
        for (const std::size_t i : from) sizes.count.back() += pieces[i].count;
        origin.push_back(from);
    }
    sizes.bar = supply.length / common;
    if (sizes.length.empty() || sizes.length.front() > sizes.bar) return std::nullopt;
    Budget some(std::min(kWorkOfOne, budget.left()), [&] { return budget.spent(); });
    const LengthFound found = searchLengths(sizes, some, {});
    budget.add(some.done());
    if (barsOf(found.plan) > supply.count) return std::nullopt;
    // Equal lengths go back to where they came from, bar by bar.
    std::vector<std::int64_t> left;
    for (const Supply& p : pieces) left.push_back(p.count);
    std::vector<Cut> out;
    for (const auto& [pattern, times] : found.plan) {
        for (std::int64_t n = 0; n < times; ++n) {
            Cut cut{0, {}, 1};
            for (const auto& [kind, count] : pattern) {
                std::int64_t open = count;
                for (const std::size_t i : origin[kind]) {
                    const std::int64_t take = std::min(open, left[i]);
                    if (take == 0) continue;
                    cut.pieces.emplace_back(i, take);
                    left[i] -= take;
                    open -= take;
                }
            }
            if (!out.empty() && out.back().pieces == cut.pieces)
                ++out.back().times;
            else
                out.push_back(std::move(cut));
        }
    }
    return out;
}

Cuts cutLengths(const std::vector<Supply>& supplies, const std::vector<Supply>& pieces, Budget& budget) {
    if (supplies.empty()) return std::nullopt;
    if (supplies.size() == 1) return cutOneLength(supplies.front(), pieces, budget);
    std::vector<StripBin> bins;
    for (const Supply& s : supplies) bins.push_back({s.length, 1, 0, s.count, true});
    std::vector<StripPiece> wanted;
    std::vector<double> prices;
    std::vector<std::int64_t> limits;
    for (const Supply& s : supplies) limits.push_back(s.count);
    for (const Supply& p : pieces) {
        wanted.push_back({p.length, 1, p.count});
        prices.push_back(static_cast<double>(p.length));
    }
    StripBuilder builder(bins, wanted, budget);
    for (int round = 0; round < kRounds && !budget.spent(); ++round) {
        const StripPlan plan = builder.build(prices, limits, true);
        if (std::any_of(plan.uncut.begin(), plan.uncut.end(), [](std::int64_t n) { return n != 0; })) continue;
        std::vector<Cut> out;
        for (const StrippedBin& b : plan.bins) {
            for (const Strip& s : b.strips) out.push_back({b.bin, s.pieces, b.times});
        }
        return out;
    }
    return std::nullopt;
}

/// What the relaxation cuts in whole numbers, as far as it is wanted, and the rest as it comes; else all as it comes.
Cuts cutFrom(const std::vector<Cut>& begun, const std::vector<Supply>& supplies, const std::vector<Supply>& pieces, Budget& budget) {
    std::vector<Cut> out;
    std::vector<Supply> rest = supplies, wanted = pieces;
    for (const Cut& c : begun) {
        std::int64_t times = std::min(c.times, rest[c.supply].count);
        for (const auto& [i, n] : c.pieces) times = std::min(times, wanted[i].count / n);
        if (times <= 0) continue;
        rest[c.supply].count -= times;
        for (const auto& [i, n] : c.pieces) wanted[i].count -= n * times;
        out.push_back({c.supply, c.pieces, times});
    }
    if (!out.empty()) {
        std::vector<Supply> left, open;
        std::vector<std::size_t> supplyOf, pieceOf;
        for (std::size_t s = 0; s < rest.size(); ++s) {
            if (rest[s].count == 0) continue;
            left.push_back(rest[s]);
            supplyOf.push_back(s);
        }
        for (std::size_t i = 0; i < wanted.size(); ++i) {
            if (wanted[i].count == 0) continue;
            open.push_back(wanted[i]);
            pieceOf.push_back(i);
        }
        if (open.empty()) return out;
        if (const Cuts more = cutLengths(left, open, budget)) {
            for (const Cut& c : *more) {
                Cut cut{supplyOf[c.supply], {}, c.times};
                for (const auto& [i, n] : c.pieces) cut.pieces.emplace_back(pieceOf[i], n);
                out.push_back(std::move(cut));
            }
            return out;
        }
    }
    return cutLengths(supplies, pieces, budget);
}

} // namespace

std::optional<StripPlan> composePlan(const std::vector<StripBin>& bins, const std::vector<StripPiece>& pieces, const std::vector<StripRelaxation::Row>& rows,
                                     const std::vector<std::int64_t>& boards, const std::vector<std::int64_t>& strips,
                                     const std::vector<StripRelaxation::Answer::Cut>& whole, Budget& budget) {
    std::map<std::int64_t, std::vector<std::size_t>> classes;
    for (std::size_t i = 0; i < pieces.size(); ++i) {
        if (pieces[i].count > 0) classes[pieces[i].width].push_back(i);
    }
    std::map<std::int64_t, std::vector<Strip>> byLength; // every strip by itself
    for (const auto& [width, members] : classes) {
        std::vector<Supply> supplies, wanted;
        for (std::size_t r = 0; r < rows.size(); ++r) {
            if (rows[r].width == width && strips[r] > 0) supplies.push_back({rows[r].length, strips[r]});
        }
        for (const std::size_t i : members) wanted.push_back({pieces[i].length, pieces[i].count});
        const auto rowOf = [&](std::size_t r) {
            return static_cast<std::size_t>(std::find_if(supplies.begin(), supplies.end(), [&](const Supply& s) { return s.length == rows[r].length; }) -
                                            supplies.begin());
        };
        std::vector<Cut> begun;
        for (const StripRelaxation::Answer::Cut& c : whole) {
            if (rows[c.row].width != width || rowOf(c.row) == supplies.size()) continue;
            Cut cut{rowOf(c.row), {}, c.times};
            for (const auto& [i, n] : c.pieces)
                cut.pieces.emplace_back(static_cast<std::size_t>(std::find(members.begin(), members.end(), i) - members.begin()), n);
            begun.push_back(std::move(cut));
        }
        const Cuts cuts = cutFrom(begun, supplies, wanted, budget);
        if (!cuts) return std::nullopt;
        for (const Cut& c : *cuts) {
            Strip s{width, {}};
            for (const auto& [k, n] : c.pieces) s.pieces.emplace_back(members[k], n);
            for (std::int64_t n = 0; n < c.times; ++n) byLength[supplies[c.supply].length].push_back(s);
        }
    }
    StripPlan plan;
    plan.uncut.assign(pieces.size(), 0);
    for (auto& [length, list] : byLength) {
        std::stable_sort(list.begin(), list.end(), [](const Strip& a, const Strip& b) { return a.width > b.width; });
        std::vector<Supply> supplies, wanted;
        std::vector<std::size_t> kinds, first;
        for (std::size_t k = 0; k < bins.size(); ++k) {
            if (bins[k].length != length || boards[k] == 0) continue;
            supplies.push_back({bins[k].height, boards[k]});
            kinds.push_back(k);
        }
        for (std::size_t s = 0; s < list.size(); ++s) {
            if (wanted.empty() || wanted.back().length != list[s].width) {
                wanted.push_back({list[s].width, 0});
                first.push_back(s);
            }
            ++wanted.back().count;
        }
        const Cuts cuts = cutLengths(supplies, wanted, budget);
        if (!cuts) return std::nullopt;
        for (const Cut& c : *cuts) {
            for (std::int64_t n = 0; n < c.times; ++n) {
                StrippedBin b{kinds[c.supply], 1, {}};
                for (const auto& [w, count] : c.pieces) {
                    for (std::int64_t m = 0; m < count; ++m) b.strips.push_back(list[first[w]++]);
                }
                plan.cost += bins[b.bin].onHand ? 0 : bins[b.bin].cost;
                plan.bins.push_back(std::move(b));
            }
        }
    }
    return plan;
}

} // namespace spanwright::shop
