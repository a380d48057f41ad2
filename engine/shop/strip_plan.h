// SPDX-License-Identifier: MIT
#pragma once

#include <cstdint>
#include <functional>
#include <string>
#include <vector>

#include "engine/shop/budget.h"

namespace spanwright::shop {

/// Stock pieces of several sizes ripped into strips, strips cut to lengths: the core of boards and bars, kerfs put into
/// pieces and stock.
struct StripBin {
    std::int64_t length = 0;
    std::int64_t height = 0;
    std::int64_t cost = 0;
    std::int64_t limit = 0; ///< how many there are
    bool onHand = false;
};

struct StripPiece {
    std::int64_t length = 0;
    std::int64_t width = 0;
    std::int64_t count = 0;
};

/// One strip: of which width, and how many of each piece.
struct Strip {
    std::int64_t width = 0;
    std::vector<std::pair<std::size_t, std::int64_t>> pieces;
};

struct StrippedBin {
    std::size_t bin = 0;
    std::int64_t times = 0;
    std::vector<Strip> strips;
};

struct StripPlan {
    std::vector<StrippedBin> bins;
    std::vector<std::int64_t> uncut; ///< by piece
    std::int64_t cost = 0;
    std::int64_t atLeast = 0;
    std::string how;
};

/// Plans by sequential value correction (after Mukhacheva, Belov, Kartak and Mukhacheva, "Linear one-dimensional cutting-packing
/// problems: numerical experiments with the sequential value correction method", Pesquisa Operacional 20, 2000) and bounds by
/// the linear relaxation over strips and boards (Gilmore and Gomory, "Multistage cutting stock problems of two and more
/// dimensions", Operations Research 13, 1965), split by how many of each stock are used, re-checked in whole numbers. `better` is called with
/// each better plan and each higher bound.
[[nodiscard]] StripPlan planStrips(const std::vector<StripBin>& bins, const std::vector<StripPiece>& pieces, Budget& budget,
                                   const std::function<void(const StripPlan&)>& better = {});

} // namespace spanwright::shop
