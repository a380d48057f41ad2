// SPDX-License-Identifier: MIT
#include "engine/shop/strip_exchange.h"

#include <algorithm>

namespace spanwright::shop {

namespace {

constexpr std::size_t kMostOut = 7;            ///< stock pieces that are taken out at once
constexpr std::size_t kMostBoards = 20'000;    ///< of plans with more none are: a few make no difference there
constexpr std::uint64_t kPartWork = 2'500'000; ///< to plan what lay on them

} // namespace

StripPlan exchangeStrips(const std::vector<StripBin>& bins, const std::vector<StripPiece>& pieces, const StripPlan& plan, Chance& chance, Budget& budget,
                         const StripSolver& solve) {
    std::vector<std::size_t> boards; // the entry of each stock piece
    std::vector<double> full(plan.bins.size(), 0.0);
    for (std::size_t e = 0; e < plan.bins.size(); ++e) {
        const StrippedBin& b = plan.bins[e];
        double used = 0.0;
        for (const Strip& s : b.strips)
            for (const auto& [i, n] : s.pieces) used += static_cast<double>(n) * static_cast<double>(pieces[i].length) * static_cast<double>(pieces[i].width);
        full[e] = used / (static_cast<double>(bins[b.bin].length) * static_cast<double>(bins[b.bin].height));
        if (boards.size() + static_cast<std::size_t>(b.times) > kMostBoards) return plan;
        boards.insert(boards.end(), static_cast<std::size_t>(b.times), e);
    }
    budget.add(boards.size() + 100);
    if (boards.size() < 2) return plan;
    std::vector<std::int64_t> out(plan.bins.size(), 0);
    const std::size_t wanted = std::min<std::size_t>(boards.size(), 2 + chance.below(static_cast<std::uint32_t>(kMostOut - 1)));
    for (std::size_t n = 0; n < wanted; ++n) {
        std::size_t take = chance.below(static_cast<std::uint32_t>(boards.size()));
        if (n % 2 == 0) { // the worse filled of two
            const std::size_t other = chance.below(static_cast<std::uint32_t>(boards.size()));
            if (full[boards[other]] < full[boards[take]]) take = other;
        }
        ++out[boards[take]];
        boards[take] = boards.back();
        boards.pop_back();
    }
    std::vector<StripBin> partBins = bins;
    std::vector<std::int64_t> counts(pieces.size(), 0);
    StripPlan rest = plan;
    std::int64_t cost = 0;
    for (std::size_t e = 0; e < plan.bins.size(); ++e) {
        const StrippedBin& b = plan.bins[e];
        rest.bins[e].times -= out[e];
        partBins[b.bin].limit -= rest.bins[e].times;
        cost += bins[b.bin].onHand ? 0 : out[e] * bins[b.bin].cost;
        for (const Strip& s : b.strips)
            for (const auto& [i, n] : s.pieces) counts[i] += out[e] * n;
    }
    std::vector<StripPiece> partPieces;
    std::vector<std::size_t> origin;
    for (std::size_t i = 0; i < pieces.size(); ++i) {
        if (counts[i] == 0) continue;
        partPieces.push_back({pieces[i].length, pieces[i].width, counts[i]});
        origin.push_back(i);
    }
    Budget part(std::min(kPartWork, budget.left()), {});
    StripPlan found = solve(partBins, partPieces, part);
    budget.add(part.done());
    if (found.cost >= cost || std::any_of(found.uncut.begin(), found.uncut.end(), [](std::int64_t n) { return n != 0; })) return plan;
    std::erase_if(rest.bins, [](const StrippedBin& b) { return b.times == 0; });
    for (StrippedBin& b : found.bins) {
        for (Strip& s : b.strips)
            for (auto& [i, n] : s.pieces) i = origin[i];
        rest.bins.push_back(std::move(b));
    }
    rest.cost += found.cost - cost;
    return rest;
}

} // namespace spanwright::shop
