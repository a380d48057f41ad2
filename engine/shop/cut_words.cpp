// SPDX-License-Identifier: MIT
// What a stock costs, and how sizes and groups of a cutting plan are called.
#include <cmath>
#include <string>

#include "engine/shop/cut_plan.h"
#include "engine/units/format.h"

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

namespace {

std::string boardsOf(const GroupPlan& g) {
    return std::to_string(g.cut) + (g.panels ? (g.cut == 1 ? " panel" : " panels") : (g.cut == 1 ? " board" : " boards"));
}

std::string handOf(const GroupPlan& g) { return g.cut > g.bought ? ", " + std::to_string(g.cut - g.bought) + " of them on hand" : std::string(); }

/// What is proven of it, as far as it is.
std::string boundOf(const GroupPlan& g, const std::string& currency) {
    if (g.counted) return "at least " + std::to_string(g.atLeast) + (g.cut > g.bought ? " must be bought" : g.atLeast == 1 ? " is needed" : " are needed");
    if (g.money) return "no plan costs less than " + showMoney(g.atLeast, currency);
    const double share = g.cost > 0 ? static_cast<double>(g.atLeast) / static_cast<double>(g.cost) : 1.0;
    return "no plan needs less than " + units::showNumber(100.0 * share, {}, {3, {}, {}}) + " % of this area";
}

} // namespace

std::string wordsOf(const GroupPlan& g, const std::string& currency) {
    const std::string what = boardsOf(g) + handOf(g) + (g.money ? " for " + showMoney(g.cost, currency) : "") + "; ";
    if (g.unread)
        return what + "some of its stock or of its prices could not be read, so whether this is the least is not known" +
               (g.short_.empty() ? "" : "; not all pieces find stock");
    return what + boundOf(g, currency) + (g.proven ? ", so this is the least" : "; whether fewer would do is not proven") +
           (g.short_.empty() ? "" : "; not all pieces find stock");
}

std::string wordsSoFar(const GroupPlan& g, const std::string& currency) {
    return boardsOf(g) + " so far" + handOf(g) + (g.money ? " for " + showMoney(g.cost, currency) : "") +
           (g.unread ? std::string() : "; " + boundOf(g, currency));
}

} // namespace spanwright::shop
