// SPDX-License-Identifier: MIT
// What a stock costs, and how sizes and groups of a cutting plan are called.
#include <cmath>
#include <string>

#include "engine/shop/cut_plan.h"

namespace spanwright::shop {

std::optional<double> priceOfOne(const StockRow& stock, const std::string& currency, const std::vector<meaning::Rate>& rates) {
    if (!stock.price.stated()) return std::nullopt;
    double size = 1.0;
    const units::Dimension length = units::Dimension::of(units::Base::Length);
    if (stock.price.per == length)
        size = stock.length;
    else if (stock.price.per == length.times(length))
        size = stock.nominalBreadth * stock.length;
    else if (!stock.price.per.isNumber())
        size = stock.nominalThickness * stock.nominalBreadth * stock.length;
    return inCurrency(stock.price.amount * size, stock.price.currency, currency, rates);
}

std::string millimetres(double metres) {
    const std::int64_t tenths = std::llround(metres * 1e4);
    std::string out = std::to_string(tenths / 10);
    if (tenths % 10 != 0) out += "." + std::to_string(tenths % 10);
    return out;
}

std::string titleOf(const GroupPlan& g) {
    return g.material + ", " + millimetres(g.thickness) + (g.breadth > 0.0 ? " x " + millimetres(g.breadth) : "") + " mm, " +
           (g.panels          ? "panels"
            : g.breadth > 0.0 ? "boards cut to length"
                              : "boards ripped and cut to length");
}

std::string sizeOf(const StockRow& s) { return millimetres(s.thickness) + " x " + millimetres(s.breadth) + " x " + millimetres(s.length) + " mm"; }

std::string sizeOf(const job::PieceView& v) {
    return millimetres(v.thickness) + " x " + millimetres(v.breadth) + (v.breadthEnd != v.breadth ? "/" + millimetres(v.breadthEnd) : "") + " x " +
           millimetres(v.length) + " mm";
}

} // namespace spanwright::shop
