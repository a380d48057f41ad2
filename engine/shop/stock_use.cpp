// SPDX-License-Identifier: MIT
#include "engine/shop/stock_use.h"

#include <algorithm>

#include "engine/units/format.h"

namespace spanwright::shop {

namespace {

int powerOf(const StockRow& s) { return s.price.per.power(units::Base::Length).num; }

/// Adds each member's part of the boards' used area; pieces by their own area.
void addUse(const CutBoard& b, const Parts& parts, const ShopRows& rows, const std::map<std::size_t, std::size_t>& place, std::vector<double>& into) {
    double sum = 0.0;
    std::vector<double> area(b.pieces.size());
    for (std::size_t i = 0; i < b.pieces.size(); ++i) {
        const Part& p = parts.parts[b.pieces[i].part];
        const double k =
            p.breadth == p.breadthEnd ? 1.0 : static_cast<double>(p.breadth + p.breadthEnd) / (2.0 * static_cast<double>(std::max(p.breadth, p.breadthEnd)));
        const bool board = !rows.stock[b.stock].panel;
        const double kerf = static_cast<double>(unitsAtLeast(board ? rows.saw.crossKerf : rows.saw.kerf));
        const double ripKerf = board && b.pieces[i].box.height >= b.size.height ? 0.0 : static_cast<double>(unitsAtLeast(rows.saw.kerf));
        area[i] = (static_cast<double>(b.pieces[i].box.width) + kerf) * (static_cast<double>(b.pieces[i].box.height) + ripKerf) * k;
        sum += area[i];
    }
    if (sum <= 0.0) return;
    const double scale = static_cast<double>(b.usedArea) * static_cast<double>(b.times) / sum;
    for (std::size_t i = 0; i < b.pieces.size(); ++i) into[place.at(parts.parts[b.pieces[i].part].member)] += area[i] * scale;
}

} // namespace

StockBought boughtOf(std::size_t stock, const Parts& parts, const CutPlan& plan, const ShopRows& rows, const std::map<std::size_t, std::size_t>& place) {
    StockBought out;
    out.used.assign(parts.members.size(), 0.0);
    double planned = 0.0;
    for (const GroupPlan& g : plan.groups) {
        for (const StockUse& u : g.use)
            if (u.stock == stock) {
                out.planned += u.planned;
                out.spare += u.spare;
            }
        for (const CutBoard& b : g.boards) {
            if (b.stock != stock || b.onHand) continue;
            addUse(b, parts, rows, place, out.used);
            out.usedArea += static_cast<double>(b.times) * static_cast<double>(b.usedArea);
            planned += static_cast<double>(b.times) * static_cast<double>(b.size.width) * static_cast<double>(b.size.height);
        }
    }
    if (out.planned > 0) out.area = planned * static_cast<double>(out.planned + out.spare) / static_cast<double>(out.planned);
    return out;
}

double priceFactor(const StockRow& stock) {
    StockRow s = stock;
    s.price.text = "1";
    s.price.amount = 1.0;
    return priceOfOne(s, s.price.currency, {}).value_or(1.0);
}

std::string priceFactorFormula(const StockRow& s) {
    switch (powerOf(s)) {
    case 1: return "price by the metre x length x ";
    case 2: return "price by the m² x breadth x length x ";
    case 3: return "price by the volume x thickness x breadth x length x ";
    default: return "price of one x ";
    }
}

std::string priceFactorPutIn(const StockRow& s) {
    std::string out;
    if (powerOf(s) == 3) out += " x " + millimetres(s.nominalThickness) + " mm";
    if (powerOf(s) >= 2) out += " x " + millimetres(s.nominalBreadth) + " mm";
    if (powerOf(s) >= 1) out += " x " + units::showNumber(s.length, {}, {6, {}, {}}) + " m";
    return out;
}

} // namespace spanwright::shop
