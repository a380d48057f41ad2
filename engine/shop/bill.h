// SPDX-License-Identifier: MIT
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "engine/shop/cut_plan.h"
#include "engine/shop/working.h"

namespace spanwright::shop {

/// One line of the bill. `shares` has one amount for each built member; they add up to `cents`. `low` and `high` are the line with all prices at
/// that end of their ranges, with shares of their own that add up to them; without ranges all three are the same.
struct BillLine {
    enum class Sort : std::uint8_t { Material, Consumable, Tool, Labour, Overhead } sort = Sort::Material;
    std::string item, what;
    Cents cents = 0, low = 0, high = 0;
    std::vector<Cents> shares, lowShares, highShares;
    Working working;
    Cents rest = 0;       ///< Material: the part of `cents` that is offcuts and waste
    double hours = 0.0;   ///< Labour
    std::string sharedBy; ///< "area used, kerf counted"
};
[[nodiscard]] std::string_view sortText(BillLine::Sort s);

struct MemberCost {
    std::size_t index = 0;
    std::string mark;
    std::int64_t count = 1;
    double length = 0.0;     ///< m of one; 0: not known
    Cents cents = 0;         ///< all of them
    Cents low = 0, high = 0; ///< with all prices at that end of their ranges
    Cents material = 0, consumables = 0, tools = 0, labour = 0, overhead = 0;
    Cents rest = 0;                 ///< of the material: offcuts and waste
    std::optional<double> perMetre; ///< money by the metre of member
    double hours = 0.0;
    Working working, eachWorking, perMetreWorking; ///< of `each` only where there are several
};

/// What the job costs. Every amount is rounded once where it comes about, half a cent away from zero; shares go by the
/// largest remainder, so members add up to lines and lines to the total, to the last cent.
struct Bill {
    std::string currency;
    std::vector<BillLine> lines;
    std::vector<MemberCost> members;
    Cents total = 0, low = 0, high = 0;
    bool ranged = false; ///< a price that is paid states a range
    Cents rest = 0;      ///< of the total: material that is offcuts and waste
    double hours = 0.0;
    double wasteShare = 0.0; ///< of the area bought: offcuts, kerf of trims, spares
    bool proven = true;
    std::vector<std::string> reasons;    ///< why not
    std::vector<std::string> notCounted; ///< "labour of glue: no row states it"
    Working working, wasteWorking;
    std::vector<diag::Diagnostic> problems;
    [[nodiscard]] static const char* roundingRule();
    [[nodiscard]] static const char* rangeRule(); ///< what `low` and `high` mean
};

[[nodiscard]] Bill makeBill(const Parts& parts, const CutPlan& plan, const ShopRows& rows, const job::Job& job);

} // namespace spanwright::shop
