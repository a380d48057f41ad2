// SPDX-License-Identifier: MIT
#include "engine/shop/layout_fault.h"

#include <algorithm>
#include <set>

namespace spanwright::shop {

namespace {

bool inside(const Box& inner, const Box& outer) {
    return inner.x >= outer.x && inner.y >= outer.y && inner.x + inner.width <= outer.x + outer.width && inner.y + inner.height <= outer.y + outer.height;
}

} // namespace

std::string faultOfTree(const CutStock& stock, const CutLayout& layout, std::int64_t uprightKerf, std::int64_t lyingKerf, std::int64_t smallestOffcutX,
                        std::int64_t smallestOffcutY) {
    if (layout.times <= 0) return "a layout is cut no times";
    if (layout.parts.empty()) return "a layout has no parts";
    const Box usable{stock.trimX, stock.trimY, stock.width - 2 * stock.trimX, stock.height - 2 * stock.trimY};
    if (layout.parts[0].box != usable) return "a layout does not begin with the usable rectangle";
    std::vector<int> reached(layout.parts.size(), 0);
    std::vector<int> placed(layout.pieces.size(), 0);
    std::vector<Box> offcuts;
    std::set<std::int32_t> orders;
    struct Visit {
        std::int32_t part;
        std::int32_t after; ///< order of the cut that made it
    };
    std::vector<Visit> open{{0, 0}};
    std::size_t cuts = 0;
    while (!open.empty()) {
        const Visit v = open.back();
        open.pop_back();
        const auto n = static_cast<std::size_t>(v.part);
        if (v.part < 0 || n >= layout.parts.size()) return "a cut names a part that is not there";
        if (++reached[n] > 1) return "a part comes from two cuts";
        const CutPart& p = layout.parts[n];
        if (p.box.width <= 0 || p.box.height <= 0) return "a part has no size";
        if (p.kind == CutPart::Kind::Offcut) {
            offcuts.push_back(p.box);
            if (smallestOffcutX <= 0 && smallestOffcutY <= 0) return "an offcut though none is wanted";
            if (p.box.width < smallestOffcutX || p.box.height < smallestOffcutY) return "an offcut is too small to be used";
            continue;
        }
        if (p.kind == CutPart::Kind::Waste) {
            if ((smallestOffcutX > 0 || smallestOffcutY > 0) && p.box.width >= smallestOffcutX && p.box.height >= smallestOffcutY)
                return "a usable offcut is called waste";
            continue;
        }
        if (p.kind != CutPart::Kind::Cut) {
            for (const std::int32_t piece : {p.piece, p.mate}) {
                if (piece == p.mate && p.kind == CutPart::Kind::Piece) {
                    if (p.mate >= 0) return "a single piece has a mate";
                    continue;
                }
                if (piece < 0 || static_cast<std::size_t>(piece) >= layout.pieces.size()) return "a part names a piece that is not there";
                ++placed[static_cast<std::size_t>(piece)];
                const Box& box = layout.pieces[static_cast<std::size_t>(piece)].box;
                if (!inside(box, p.box)) return "a piece lies outside of its part";
                if (p.kind == CutPart::Kind::Piece && box != p.box) return "a part is not cut to the size of its piece";
            }
            continue;
        }
        ++cuts;
        const std::int64_t kerf = p.upright ? uprightKerf : lyingKerf;
        const std::int64_t low = p.upright ? p.box.x : p.box.y;
        const std::int64_t high = low + (p.upright ? p.box.width : p.box.height);
        if (p.at <= low || p.at > high || (p.at == high && kerf >= 0)) return "a cut runs outside of its part";
        if (p.order <= v.after) return "a cut comes before the one that makes its part";
        if (!orders.insert(p.order).second) return "two cuts have one number";
        if (p.first < 0) return "a cut has nothing before it";
        const auto expect = [&](std::int32_t child, std::int64_t from, std::int64_t to) -> std::string {
            if (static_cast<std::size_t>(child) >= layout.parts.size()) return "a cut names a part that is not there";
            Box want = p.box;
            (p.upright ? want.x : want.y) = from;
            (p.upright ? want.width : want.height) = to - from;
            return layout.parts[static_cast<std::size_t>(child)].box == want ? "" : "a part is not what its cut leaves";
        };
        if (std::string fault = expect(p.first, low, p.at); !fault.empty()) return fault;
        open.push_back({p.first, p.order});
        if (p.at + kerf >= high) {
            if (p.second >= 0) return "a part is made of what the kerf took";
        } else {
            if (p.second < 0) return "what lies behind a cut is lost";
            if (std::string fault = expect(p.second, p.at + kerf, high); !fault.empty()) return fault;
            open.push_back({p.second, p.order});
        }
    }
    for (const int r : reached) {
        if (r != 1) return "a part comes from no cut";
    }
    for (const int n : placed) {
        if (n != 1) return "a piece is not in exactly one part";
    }
    for (const SlantedCut& s : layout.slants) {
        if (s.order <= 0 || !orders.insert(s.order).second) return "two cuts have one number";
    }
    if (!orders.empty() && (*orders.begin() != 1 || *orders.rbegin() != static_cast<std::int32_t>(orders.size()))) return "the cuts are not numbered in a row";
    if (offcuts.size() != layout.offcuts.size()) return "the list of offcuts is not what the tree says";
    for (const Box& b : layout.offcuts) {
        const auto it = std::find(offcuts.begin(), offcuts.end(), b);
        if (it == offcuts.end()) return "the list of offcuts is not what the tree says";
        offcuts.erase(it);
    }
    // What the tree should imply is looked at by itself: no two pieces overlap unless they share a pair's part.
    for (std::size_t i = 0; i < layout.pieces.size(); ++i) {
        if (!inside(layout.pieces[i].box, usable)) return "a piece lies outside of the stock";
    }
    return {};
}

} // namespace spanwright::shop
