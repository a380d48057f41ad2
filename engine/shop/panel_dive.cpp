// SPDX-License-Identifier: MIT
#include "engine/shop/panel_dive.h"

#include <algorithm>
#include <cmath>

#include "engine/shop/chance.h"

namespace spanwright::shop {

namespace {

/// Hands out the items of each block, one by one.
class Pool {
public:
    Pool(const PanelCore& core, const std::vector<Item>& items) : m_ids(core.blocks.size()) {
        for (std::size_t i = items.size(); i-- > 0;) m_ids[static_cast<std::size_t>(items[i].block)].push_back(static_cast<std::int32_t>(i));
    }
    [[nodiscard]] std::int64_t left(std::size_t block) const { return static_cast<std::int64_t>(m_ids[block].size()); }
    std::int32_t take(std::size_t block) {
        if (m_ids[block].empty()) return kNoItem;
        const std::int32_t id = m_ids[block].back();
        m_ids[block].pop_back();
        return id;
    }
    [[nodiscard]] std::vector<std::int32_t> rest() const {
        std::vector<std::int32_t> out;
        for (const auto& ids : m_ids) out.insert(out.end(), ids.begin(), ids.end());
        std::sort(out.begin(), out.end());
        return out;
    }

private:
    std::vector<std::vector<std::int32_t>> m_ids;
};

/// Empty panels for what money is left, and those on hand if they are of use.
void addEmpty(const PanelCore& core, Packing& p, std::int64_t cost, std::vector<std::int64_t> onHand, bool useOnHand) {
    for (std::size_t b = 0; b < core.bins.size(); ++b) {
        const Bin& bin = core.bins[b];
        while (bin.onHand ? useOnHand && onHand[b] > 0 : bin.cost > 0 && bin.cost <= cost) {
            bin.onHand ? --onHand[b] : cost -= bin.cost;
            p.bins.push_back(b);
            p.slicings.push_back(emptyPanel(core, b));
        }
    }
}

} // namespace

Slicing sawn(const PanelCore& core, std::size_t bin, const SawnPattern& pattern, const std::function<std::int32_t(std::int32_t)>& itemOf) {
    Slicing s = emptyPanel(core, bin);
    std::vector<std::pair<std::int32_t, std::int32_t>> open{{0, 0}}; // part, free leaf
    while (!open.empty()) {
        const auto [n, leaf] = open.back();
        open.pop_back();
        const SawnPattern::Part& part = pattern.parts[static_cast<std::size_t>(n)];
        if (part.kind >= 0) {
            s.place(leaf, itemOf(part.kind), part.width, part.height, part.width * s.at(leaf).height < part.height * s.at(leaf).width);
        } else if (part.first >= 0) {
            if (part.at == (part.alongX ? s.at(leaf).width : s.at(leaf).height)) {
                open.emplace_back(part.first, leaf);
                continue;
            }
            const auto [first, second] = s.cut(leaf, part.at, part.alongX);
            open.emplace_back(part.second, second);
            open.emplace_back(part.first, first);
        }
    }
    std::vector<std::int32_t> gone;
    for (std::int32_t n = 0; n < static_cast<std::int32_t>(s.nodes().size()); ++n) {
        if (s.at(n).kind == Slicing::Kind::Item && s.at(n).item == kNoItem) s.remove(n, gone);
    }
    return s;
}

Packing packingOf(const PanelCore& core, const std::vector<Item>& items, const std::vector<SawnPattern>& patterns) {
    Pool pool(core, items);
    Packing p;
    std::vector<std::int64_t> left;
    for (const Bin& b : core.bins) left.push_back(b.limit);
    for (const SawnPattern& pattern : patterns) {
        std::size_t bin = core.bins.size();
        for (std::size_t b = 0; b < core.bins.size(); ++b) {
            if (left[b] > 0 && (bin == core.bins.size() || core.bins[b].cost < core.bins[bin].cost)) bin = b;
        }
        if (bin == core.bins.size()) break;
        --left[bin];
        p.bins.push_back(bin);
        p.slicings.push_back(sawn(core, bin, pattern, [&](std::int32_t block) { return pool.take(static_cast<std::size_t>(block)); }));
    }
    p.out = pool.rest();
    return p;
}

Packing packingOf(const PanelCore& core, const std::vector<Item>& items, const std::vector<SawnPanel>& panels, std::int64_t cost) {
    Pool pool(core, items);
    Packing p;
    std::vector<std::int64_t> onHand;
    for (const Bin& b : core.bins) onHand.push_back(b.onHand ? b.limit : 0);
    for (const SawnPanel& panel : panels) {
        p.bins.push_back(panel.bin);
        p.slicings.push_back(sawn(core, panel.bin, panel.pattern, [&](std::int32_t block) { return pool.take(static_cast<std::size_t>(block)); }));
        core.bins[panel.bin].onHand ? --onHand[panel.bin] : cost -= core.bins[panel.bin].cost;
    }
    p.out = pool.rest();
    if (!p.out.empty()) addEmpty(core, p, cost, onHand, true);
    return p;
}

SawnPattern patternOf(const PanelCore& core, const std::vector<Item>& items, const Slicing& slicing) {
    SawnPattern out;
    out.counts.assign(core.blocks.size(), 0);
    out.parts.emplace_back();
    std::vector<std::pair<std::int32_t, std::size_t>> open{{0, 0}}; // node, part
    while (!open.empty()) {
        auto [n, part] = open.back();
        open.pop_back();
        const Slicing::Node& node = slicing.at(n);
        if (node.kind == Slicing::Kind::Item) {
            const std::int32_t block = items[static_cast<std::size_t>(node.item)].block;
            out.parts[part].kind = block;
            out.parts[part].width = node.width;
            out.parts[part].height = node.height;
            ++out.counts[static_cast<std::size_t>(block)];
        }
        if (node.kind != Slicing::Kind::SideBySide) continue;
        // One child after the other is sawn off; the last part stays free, or has no size.
        for (std::int32_t c = node.child; c >= 0; c = slicing.at(c).next) {
            const std::size_t first = out.parts.size();
            out.parts.resize(first + 2);
            out.parts[part].alongX = node.alongX;
            out.parts[part].at = node.alongX ? slicing.at(c).width : slicing.at(c).height;
            out.parts[part].first = static_cast<std::int32_t>(first);
            out.parts[part].second = static_cast<std::int32_t>(first + 1);
            open.emplace_back(c, first);
            part = first + 1;
        }
    }
    return out;
}

Packing diveForPanels(const PanelCore& core, const std::vector<Item>& items, GuillotineRelaxation& patterns, std::int64_t cost, std::uint64_t seed,
                      Budget& budget) {
    constexpr int kFirstPricings = 1000;
    // For the rest of a dive a few percent of all work are spent on pricing.
    const std::uint64_t steps = static_cast<std::uint64_t>(items.size()) / 8 + 1;
    const int nextPricings = static_cast<int>(std::min<std::uint64_t>(4, budget.limit() / 25 / steps / (patterns.workOfPricing() + 1)));
    Chance chance(seed);
    Pool pool(core, items);
    Packing p;
    std::vector<std::int64_t> onHand;
    for (std::size_t b = 0; b < core.bins.size(); ++b) {
        onHand.push_back(core.bins[b].onHand ? core.bins[b].limit : 0);
        patterns.setOnHand(b, onHand[b]);
    }
    const auto setAll = [&] {
        for (std::size_t b = 0; b < core.blocks.size(); ++b) patterns.setLeft(b, pool.left(b));
    };
    const auto affordable = [&](std::size_t bin) { return core.bins[bin].onHand ? onHand[bin] > 0 : core.bins[bin].cost <= cost; };
    const auto take = [&](const GuillotineRelaxation::Column& c) {
        p.bins.push_back(c.bin);
        p.slicings.push_back(sawn(core, c.bin, c.pattern, [&](std::int32_t block) { return pool.take(static_cast<std::size_t>(block)); }));
        budget.add(c.pattern.parts.size() * 4);
        core.bins[c.bin].onHand ? --onHand[c.bin] : cost -= core.bins[c.bin].cost;
        if (core.bins[c.bin].onHand) patterns.setOnHand(c.bin, onHand[c.bin]);
    };
    setAll();
    patterns.solve(kFirstPricings, budget);
    while (!budget.spent() && !pool.rest().empty()) {
        // Columns are added while others are taken: what is taken is chosen first.
        std::vector<std::size_t> chosen;
        double most = -1.0;
        std::size_t best = SIZE_MAX;
        for (std::size_t c = 0; c < patterns.columns().size(); ++c) {
            const double x = patterns.use()[c];
            const GuillotineRelaxation::Column& column = patterns.columns()[c];
            if (x < 1e-6 || !affordable(column.bin)) continue;
            // A pattern that holds more of a piece than there are counts for what it really holds.
            double used = 0.0;
            for (std::size_t b = 0; b < core.blocks.size(); ++b) {
                used += core.blocks[b].area() * static_cast<double>(std::min<std::int64_t>(column.pattern.counts[b], pool.left(b)));
            }
            used /= core.bins[column.bin].area();
            for (double whole = 1.0; whole <= x + 1e-6; whole += 1.0) chosen.push_back(c);
            const double rank = (x - std::floor(x + 1e-6)) + 2.0 * used + (seed == 0 ? 0.0 : 0.5 * chance.part());
            if (rank > most) {
                most = rank;
                best = c;
            }
        }
        if (best == SIZE_MAX && chosen.empty()) break;
        if (chosen.empty()) chosen.push_back(best);
        for (const std::size_t c : chosen) {
            if (affordable(patterns.columns()[c].bin)) take(patterns.columns()[c]);
        }
        setAll();
        patterns.solve(nextPricings, budget);
    }
    addEmpty(core, p, cost, onHand, !pool.rest().empty());
    p.out = pool.rest();
    return p;
}

} // namespace spanwright::shop
