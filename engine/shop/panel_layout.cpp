// SPDX-License-Identifier: MIT
#include "engine/shop/panel_layout.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <optional>
#include <tuple>

namespace spanwright::shop {

namespace {

/// The corners of a piece as it lies unturned with its rectangle's corner at 0, 0.
std::vector<Spot> cornersOf(const PanelPiece& p) {
    switch (p.shape) {
    case PanelPiece::Shape::AlongWidth: return {{0, 0}, {p.width, 0}, {p.shift + p.shortEdge, p.height}, {p.shift, p.height}};
    case PanelPiece::Shape::AlongHeight: return {{0, 0}, {p.width, p.shift}, {p.width, p.shift + p.shortEdge}, {0, p.height}};
    case PanelPiece::Shape::Rectangle: break;
    }
    return {{0, 0}, {p.width, 0}, {p.width, p.height}, {0, p.height}};
}

void move(std::vector<Spot>& corners, std::int64_t dx, std::int64_t dy) {
    for (Spot& c : corners) c = {c.x + dx, c.y + dy};
}

Box around(const std::vector<Spot>& corners) {
    Box b{corners[0].x, corners[0].y, 0, 0};
    std::int64_t right = b.x;
    std::int64_t top = b.y;
    for (const Spot& c : corners) {
        b.x = std::min(b.x, c.x);
        b.y = std::min(b.y, c.y);
        right = std::max(right, c.x);
        top = std::max(top, c.y);
    }
    b.width = right - b.x;
    b.height = top - b.y;
    return b;
}

struct Point {
    double x, y;
};

/// The part of the line through a and b that lies in the box; nothing if it misses it.
std::optional<std::pair<Point, Point>> clipped(Point a, Point b, const Box& box) {
    double from = -1e18;
    double to = 1e18;
    const double dx = b.x - a.x;
    const double dy = b.y - a.y;
    const auto within = [&](double start, double step, double low, double high) {
        if (step == 0.0) return start >= low && start <= high;
        const double s = (low - start) / step;
        const double t = (high - start) / step;
        from = std::max(from, std::min(s, t));
        to = std::min(to, std::max(s, t));
        return true;
    };
    if (!within(a.x, dx, static_cast<double>(box.x), static_cast<double>(box.x + box.width))) return std::nullopt;
    if (!within(a.y, dy, static_cast<double>(box.y), static_cast<double>(box.y + box.height))) return std::nullopt;
    if (from >= to) return std::nullopt;
    return std::pair{Point{a.x + from * dx, a.y + from * dy}, Point{a.x + to * dx, a.y + to * dy}};
}

class Builder {
public:
    Builder(const PanelProblem& problem, const PanelCore& core, const std::vector<Item>& items) : m_p(problem), m_core(core), m_items(items) {}

    CutLayout layout(const Bin& bin, const Slicing& s) {
        m_out = {};
        m_order = 0;
        m_out.stock = bin.stock;
        m_out.onHand = bin.onHand;
        m_out.times = 1;
        const CutStock& stock = m_p.stock[bin.stock];
        const Box usable{stock.trimX, stock.trimY, bin.width - m_p.kerf, bin.height - m_p.kerf};
        m_out.parts.emplace_back();
        build(s, 0, usable, 0);
        for (const CutPart& part : m_out.parts) {
            if (part.kind == CutPart::Kind::Offcut) m_out.offcuts.push_back(part.box);
        }
        std::stable_sort(m_out.offcuts.begin(), m_out.offcuts.end(),
                         [](const Box& a, const Box& b) { return std::tuple(-a.width * a.height, a.x, a.y) < std::tuple(-b.width * b.height, b.x, b.y); });
        return std::move(m_out);
    }

private:
    CutPart& part(std::int32_t n) { return m_out.parts[static_cast<std::size_t>(n)]; }

    /// Children in the order in which they are laid: large before small, what is free last.
    std::vector<std::int32_t> childrenOf(const Slicing& s, std::int32_t n) {
        std::vector<std::int32_t> out;
        for (std::int32_t c = s.at(n).child; c >= 0; c = s.at(c).next) out.push_back(c);
        const bool alongX = s.at(n).alongX;
        std::stable_sort(out.begin(), out.end(), [&](std::int32_t a, std::int32_t b) {
            const auto key = [&](std::int32_t c) {
                return std::tuple(s.at(c).kind == Slicing::Kind::Free, -(alongX ? s.at(c).width : s.at(c).height), lowestItem(s, c));
            };
            return key(a) < key(b);
        });
        return out;
    }

    std::int32_t lowestItem(const Slicing& s, std::int32_t n) const {
        if (s.at(n).kind == Slicing::Kind::Item) return m_items[static_cast<std::size_t>(s.at(n).item)].block;
        std::int32_t lowest = INT32_MAX;
        for (std::int32_t c = s.at(n).child; c >= 0; c = s.at(c).next) lowest = std::min(lowest, lowestItem(s, c));
        return lowest;
    }

    void build(const Slicing& s, std::int32_t node, const Box& box, std::int32_t at) {
        const Slicing::Node& n = s.at(node);
        part(at).box = box;
        if (n.kind == Slicing::Kind::Free) {
            const bool usable =
                (m_p.smallestOffcutWidth > 0 || m_p.smallestOffcutHeight > 0) && box.width >= m_p.smallestOffcutWidth && box.height >= m_p.smallestOffcutHeight;
            part(at).kind = usable ? CutPart::Kind::Offcut : CutPart::Kind::Waste;
            return;
        }
        if (n.kind == Slicing::Kind::Item) {
            pieces(m_items[static_cast<std::size_t>(n.item)], n, box, at);
            return;
        }
        // The cuts of a row come one after the other, then each of its parts.
        std::vector<std::pair<std::int32_t, std::int32_t>> pending; // slicing node, part
        Box rest = box;
        const std::vector<std::int32_t> children = childrenOf(s, node);
        for (std::size_t k = 0; k < children.size(); ++k) {
            const Slicing::Node& c = s.at(children[k]);
            if (k + 1 == children.size()) {
                part(at).box = rest;
                pending.emplace_back(children[k], at);
                break;
            }
            const std::int64_t size = (n.alongX ? c.width : c.height) - m_p.kerf;
            Box first = rest;
            (n.alongX ? first.width : first.height) = size;
            const auto firstPart = static_cast<std::int32_t>(m_out.parts.size());
            m_out.parts.emplace_back();
            part(firstPart).box = first;
            CutPart& cut = part(at);
            cut.kind = CutPart::Kind::Cut;
            cut.box = rest;
            cut.upright = n.alongX;
            cut.at = n.alongX ? rest.x + size : rest.y + size;
            cut.order = ++m_order;
            cut.first = firstPart;
            pending.emplace_back(children[k], firstPart);
            const std::int64_t left = (n.alongX ? rest.width : rest.height) - size - m_p.kerf;
            if (left <= 0) break; // the kerf takes what is free behind it
            (n.alongX ? rest.x : rest.y) = cut.at + m_p.kerf;
            (n.alongX ? rest.width : rest.height) = left;
            const auto second = static_cast<std::int32_t>(m_out.parts.size());
            cut.second = second;
            m_out.parts.emplace_back();
            at = second;
        }
        for (const auto& [child, p] : pending) build(s, child, Box(part(p).box), p);
    }

    void pieces(const Item& item, const Slicing::Node& n, const Box& box, std::int32_t at) {
        const Block& block = m_core.blocks[static_cast<std::size_t>(item.block)];
        const bool turned = n.width != block.width || n.height != block.height;
        const PanelPiece& first = m_p.demands[static_cast<std::size_t>(block.demand)];
        std::vector<std::vector<Spot>> outlines{cornersOf(first)};
        Box unturned = around(outlines[0]);
        if (block.mate >= 0) {
            const PanelPiece& second = m_p.demands[static_cast<std::size_t>(block.mate)];
            const PairShape shape = pairShapeOf(first, second, m_p.kerf);
            outlines.push_back(cornersOf(second));
            headToTail(first, shape, outlines);
            unturned = {0, 0, shape.width, shape.height};
        }
        if (turned) {
            // A quarter turn: x, y becomes height - y, x.
            for (auto& o : outlines) {
                for (Spot& c : o) c = {unturned.height - c.y, c.x};
            }
        }
        for (auto& o : outlines) move(o, box.x, box.y);
        part(at).kind = block.mate >= 0 ? CutPart::Kind::Pair : CutPart::Kind::Piece;
        part(at).piece = static_cast<std::int32_t>(m_out.pieces.size());
        m_out.pieces.push_back({static_cast<std::size_t>(block.demand), around(outlines[0]), turned, outlines[0]});
        if (block.mate >= 0) {
            part(at).mate = static_cast<std::int32_t>(m_out.pieces.size());
            m_out.pieces.push_back({static_cast<std::size_t>(block.mate), around(outlines[1]), turned, outlines[1]});
        }
        bool joined = false;
        for (std::size_t o = 0; o < outlines.size(); ++o) {
            const std::vector<Spot>& corners = outlines[o];
            for (std::size_t k = 0; k < corners.size(); ++k) {
                const Spot& a = corners[k];
                const Spot& b = corners[(k + 1) % corners.size()];
                if (a.x == b.x || a.y == b.y) continue;
                // How far the other piece of a pair lies outside of this leg: all of it, if they are joined here.
                double away = -1.0;
                if (outlines.size() == 2) {
                    away = 1e18;
                    for (const Spot& c : outlines[1 - o]) away = std::min(away, outside(a, b, corners, c));
                }
                if (away >= 0.0) {
                    if (!joined) saw(a, b, corners, away / 2.0, box);
                    joined = true;
                } else {
                    saw(a, b, corners, static_cast<double>(m_p.kerf) / 2.0, box);
                }
            }
        }
    }

    /// How far c lies from the line through a and b, away from the piece with these corners.
    static double outside(const Spot& a, const Spot& b, const std::vector<Spot>& corners, const Spot& c) {
        const auto dx = static_cast<double>(b.x - a.x);
        const auto dy = static_cast<double>(b.y - a.y);
        const auto side = [&](const Spot& p) { return dx * static_cast<double>(p.y - a.y) - dy * static_cast<double>(p.x - a.x); };
        double inner = 0.0;
        for (const Spot& p : corners) inner += side(p);
        return (inner > 0.0 ? -side(c) : side(c)) / std::sqrt(dx * dx + dy * dy);
    }

    /// Adds the slanted cut that runs `away` outside of a leg; the kerf may lie half beyond the box at a sliver.
    void saw(const Spot& a, const Spot& b, const std::vector<Spot>& corners, double away, const Box& box) {
        const Point from{static_cast<double>(a.x), static_cast<double>(a.y)};
        const Point to{static_cast<double>(b.x), static_cast<double>(b.y)};
        const double length = std::hypot(to.x - from.x, to.y - from.y);
        double nx = (to.y - from.y) / length;
        double ny = -(to.x - from.x) / length;
        const Spot probe{a.x + static_cast<std::int64_t>(std::llround(nx * length)), a.y + static_cast<std::int64_t>(std::llround(ny * length))};
        if (outside(a, b, corners, probe) < 0.0) {
            nx = -nx;
            ny = -ny;
        }
        auto line = clipped({from.x + nx * away, from.y + ny * away}, {to.x + nx * away, to.y + ny * away}, box);
        if (!line) line = std::pair{from, to};
        const auto spot = [](const Point& p) { return Spot{std::llround(p.x), std::llround(p.y)}; };
        m_out.slants.push_back({spot(line->first), spot(line->second), ++m_order});
    }

    /// Lays the second of a pair turned by half a turn beside the first.
    void headToTail(const PanelPiece& piece, const PairShape& shape, std::vector<std::vector<Spot>>& o) const {
        const bool transposed = piece.shape == PanelPiece::Shape::AlongHeight;
        const auto swapAll = [&] {
            if (!transposed) return;
            for (auto& outline : o) {
                for (Spot& c : outline) std::swap(c.x, c.y);
            }
        };
        swapAll(); // parallel edges along x from here on
        const std::int64_t height = transposed ? shape.width : shape.height;
        const Box second = around(o[1]);
        for (Spot& c : o[1]) c = {second.width - c.x, height - c.y};
        // With the long edge of the first below, the short one of the second is below: leg to leg with a gap.
        std::int64_t firstBelow = 0;
        std::int64_t secondBelow = INT64_MAX;
        std::int64_t secondEnd = 0;
        for (const Spot& c : o[0]) firstBelow = std::max(firstBelow, c.y == 0 ? c.x : 0);
        for (const Spot& c : o[1]) {
            if (c.y != 0) continue;
            secondBelow = std::min(secondBelow, c.x);
            secondEnd = std::max(secondEnd, c.x);
        }
        if (shape.atShift) {
            move(o[1], -shape.gap - secondEnd, 0);
        } else {
            move(o[1], firstBelow + shape.gap - secondBelow, 0);
        }
        const std::int64_t left = std::min(around(o[0]).x, around(o[1]).x);
        move(o[0], -left, 0);
        move(o[1], -left, 0);
        swapAll();
    }

    const PanelProblem& m_p;
    const PanelCore& m_core;
    const std::vector<Item>& m_items;
    CutLayout m_out;
    std::int32_t m_order = 0;
};

/// What makes two layouts the same for the bench.
std::vector<std::int64_t> signOf(const CutLayout& l) {
    std::vector<std::int64_t> v{static_cast<std::int64_t>(l.stock), l.onHand ? 1 : 0};
    for (const CutPart& p : l.parts)
        v.insert(v.end(), {static_cast<std::int64_t>(p.kind), p.box.x, p.box.y, p.box.width, p.box.height, p.upright ? 1 : 0, p.at});
    for (const PlacedPiece& p : l.pieces) {
        v.push_back(static_cast<std::int64_t>(p.demand));
        for (const Spot& c : p.outline) v.insert(v.end(), {c.x, c.y});
    }
    return v;
}

} // namespace

std::vector<CutLayout> layoutsOf(const PanelProblem& problem, const PanelCore& core, const std::vector<Item>& items, const Packing& packing) {
    Builder builder(problem, core, items);
    std::vector<CutLayout> out;
    std::map<std::vector<std::int64_t>, std::size_t> known;
    for (std::size_t i = 0; i < packing.bins.size(); ++i) {
        if (packing.slicings[i].empty()) continue;
        CutLayout layout = builder.layout(core.bins[packing.bins[i]], packing.slicings[i]);
        const auto [at, isNew] = known.try_emplace(signOf(layout), out.size());
        if (isNew) {
            out.push_back(std::move(layout));
        } else {
            ++out[at->second].times;
        }
    }
    std::stable_sort(out.begin(), out.end(), [](const CutLayout& a, const CutLayout& b) {
        return std::tuple(!a.onHand, a.stock, -static_cast<std::int64_t>(a.pieces.size())) <
               std::tuple(!b.onHand, b.stock, -static_cast<std::int64_t>(b.pieces.size()));
    });
    return out;
}

} // namespace spanwright::shop
