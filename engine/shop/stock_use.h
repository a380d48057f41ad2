// SPDX-License-Identifier: MIT
#pragma once

#include <map>
#include <string>
#include <vector>

#include "engine/shop/cut_plan.h"
#include "engine/shop/parts.h"

namespace spanwright::shop {

/// What is bought of a stock, and whose pieces lie on it. Areas in square units.
struct StockBought {
    std::int64_t planned = 0, spare = 0;
    std::vector<double> used; ///< by built member: pieces with the kerf beside them, on what is bought
    double usedArea = 0.0;    ///< all of that
    double area = 0.0;        ///< of what is bought, spares too
};
/// `place`: from the job's member to the built one.
[[nodiscard]] StockBought boughtOf(std::size_t stock, const Parts& parts, const CutPlan& plan, const ShopRows& rows,
                                   const std::map<std::size_t, std::size_t>& place);

/// What the price of a stock is multiplied by to be that of one of it, and how that is written: "price by the metre x length x ", " x 4.8 m".
[[nodiscard]] double priceFactor(const StockRow& stock);
[[nodiscard]] std::string priceFactorFormula(const StockRow& stock);
[[nodiscard]] std::string priceFactorPutIn(const StockRow& stock);

} // namespace spanwright::shop
