// SPDX-License-Identifier: MIT
#include "engine/shop/length_layout.h"

#include <algorithm>

namespace spanwright::shop {

CutLayout layoutOf(const LengthPattern& pattern, const LengthProblem& p, const CutStock& stock, std::int64_t keep) {
    CutLayout out;
    out.stock = pattern.bar;
    out.onHand = pattern.onHand;
    out.times = pattern.times;
    Box rest{stock.trimX, 0, stock.width - 2 * stock.trimX, stock.height};
    CutPart root;
    root.box = rest;
    out.parts.push_back(root);
    std::size_t at = 0;
    std::int32_t order = 0;
    for (const auto& [d, count] : pattern.pieces) {
        for (std::int64_t n = 0; n < count; ++n) {
            const std::int64_t length = p.demands[d].length;
            const Box box{rest.x, rest.y, length, rest.height};
            PlacedPiece placed;
            placed.demand = d;
            placed.box = box;
            placed.outline = {{box.x, box.y}, {box.x + box.width, box.y}, {box.x + box.width, box.y + box.height}, {box.x, box.y + box.height}};
            const auto piece = static_cast<std::int32_t>(out.pieces.size());
            out.pieces.push_back(std::move(placed));
            if (length == rest.width) { // nothing is left
                out.parts[at].kind = CutPart::Kind::Piece;
                out.parts[at].piece = piece;
                rest.width = 0;
                continue;
            }
            const std::int64_t left = std::max<std::int64_t>(rest.width - length - p.kerf, 0);
            out.parts[at].kind = CutPart::Kind::Cut;
            out.parts[at].upright = true;
            out.parts[at].at = rest.x + length;
            out.parts[at].order = ++order;
            out.parts[at].first = static_cast<std::int32_t>(out.parts.size());
            CutPart first;
            first.kind = CutPart::Kind::Piece;
            first.box = box;
            first.piece = piece;
            out.parts.push_back(first);
            rest = {rest.x + length + p.kerf, rest.y, left, rest.height};
            if (left == 0) continue;
            out.parts[at].second = static_cast<std::int32_t>(out.parts.size());
            at = out.parts.size();
            CutPart second;
            second.box = rest;
            out.parts.push_back(second);
        }
    }
    if (rest.width > 0 && keep > 0 && rest.width >= keep) {
        out.parts[at].kind = CutPart::Kind::Offcut;
        out.offcuts.push_back(rest);
    }
    return out;
}

} // namespace spanwright::shop
