// SPDX-License-Identifier: MIT
#include "engine/shop/panel_search.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numeric>

#include "engine/shop/chance.h"

namespace spanwright::shop {

namespace {

/// Where an item could go.
struct Choice {
    std::int32_t bin = -1;
    std::int32_t free = -1;
    bool turned = false;
    bool alongX = false;
    double score = 0.0;
};

/// What free places are worth: large ones more than the same area in bits, slivers nothing.
class Worthiness {
public:
    explicit Worthiness(const PanelCore& core) : m_narrowest(core.narrowest()), m_lowest(core.lowest()) {
        for (const Bin& b : core.bins) m_unit = std::max(m_unit, b.area());
        m_unit = 1.0 / m_unit;
    }
    [[nodiscard]] double of(std::int64_t width, std::int64_t height) const {
        if (width < m_narrowest || height < m_lowest) return 0.0;
        const double a = static_cast<double>(width) * static_cast<double>(height) * m_unit;
        return a * std::sqrt(a);
    }
    [[nodiscard]] double share(const Item& i) const { return static_cast<double>(i.width) * static_cast<double>(i.height) * m_unit; }

private:
    double m_unit = 1.0;
    std::int64_t m_narrowest;
    std::int64_t m_lowest;
};

/// The best free place of one panel for an item; `skip` decides by chance that a place is overlooked.
template <typename Skip>
void lookInto(const Slicing& s, std::int32_t bin, const Item& item, const Worthiness& worth, Choice& best, std::uint64_t& work, Skip&& skip) {
    work += 2;
    for (int turn = 0; turn < (item.mayTurn ? 2 : 1); ++turn) {
        const std::int64_t w = turn != 0 ? item.height : item.width;
        const std::int64_t h = turn != 0 ? item.width : item.height;
        if (w > s.widestFree() || h > s.highestFree()) continue;
        for (const Slicing::Spot& n : s.frees()) {
            ++work;
            if (w > n.width || h > n.height || skip()) continue;
            work += 2;
            const double whole = worth.of(n.width, n.height);
            const double upright = worth.of(n.width - w, n.height) + worth.of(w, n.height - h) - whole;
            const double lying = worth.of(n.width, n.height - h) + worth.of(n.width - w, h) - whole;
            const double score = std::max(upright, lying);
            if (best.bin < 0 || score > best.score) best = {bin, n.node, turn != 0, upright >= lying, score};
        }
    }
}

void put(Slicing& s, const Choice& c, std::int32_t id, const Item& item) {
    s.place(c.free, id, c.turned ? item.height : item.width, c.turned ? item.width : item.height, c.alongX);
}

double side(const Item& i, int order) {
    const auto w = static_cast<double>(i.width);
    const auto h = static_cast<double>(i.height);
    switch (order) {
    case 0: return w * h;
    case 1: return std::max(w, h) + 1e-9 * w * h;
    case 2: return w + 1e-9 * h;
    case 3: return h + 1e-9 * w;
    case 4: return w + h;
    default: return std::min(w, h) + 1e-9 * w * h;
    }
}

constexpr int kOrders = 6;

} // namespace

Slicing emptyPanel(const PanelCore& core, std::size_t kind) { return {core.bins[kind].width, core.bins[kind].height, core.narrowest(), core.lowest()}; }

std::vector<Item> itemsOf(const PanelCore& core) {
    std::vector<Item> items;
    for (std::size_t b = 0; b < core.blocks.size(); ++b) {
        const Block& block = core.blocks[b];
        for (std::int64_t n = 0; n < block.count; ++n) items.push_back({block.width, block.height, block.mayTurn, static_cast<std::int32_t>(b)});
    }
    return items;
}

std::int64_t costOf(const PanelCore& core, const Packing& packing) {
    std::int64_t cost = 0;
    for (std::size_t i = 0; i < packing.bins.size(); ++i) cost += packing.slicings[i].empty() ? 0 : core.bins[packing.bins[i]].cost;
    return cost;
}

Packing packGreedily(const PanelCore& core, const std::vector<Item>& items, Budget& budget) {
    const Worthiness worth(core);
    Packing best;
    std::int64_t bestCost = 0;
    std::size_t bestCount = 0;
    for (int order = 0; order < kOrders; ++order) {
        if (order > 0 && budget.spent()) break;
        std::vector<std::int32_t> ids(items.size());
        std::iota(ids.begin(), ids.end(), 0);
        std::stable_sort(ids.begin(), ids.end(), [&](std::int32_t a, std::int32_t b) {
            return side(items[static_cast<std::size_t>(a)], order) > side(items[static_cast<std::size_t>(b)], order);
        });
        Packing p;
        std::vector<std::int64_t> used(core.bins.size(), 0);
        std::int32_t lastBlock = -1;
        std::size_t from = 0; // alike items never fit further left than the one before
        for (const std::int32_t id : ids) {
            const Item& item = items[static_cast<std::size_t>(id)];
            if (item.block != lastBlock) from = 0;
            lastBlock = item.block;
            Choice c;
            std::uint64_t work = 0;
            for (std::size_t b = from; b < p.slicings.size(); ++b) {
                lookInto(p.slicings[b], static_cast<std::int32_t>(b), item, worth, c, work, [] { return false; });
                if (c.bin < 0) from = b + 1;
            }
            budget.add(work);
            if (c.bin < 0) {
                // A new panel: on hand the smallest that holds it, else what costs least for its area.
                std::size_t kind = core.bins.size();
                const auto rank = [&](const Bin& b) { return b.onHand ? b.area() * 1e-20 : static_cast<double>(b.cost) / b.area(); };
                for (std::size_t k = 0; k < core.bins.size(); ++k) {
                    const Bin& b = core.bins[k];
                    if (used[k] >= b.limit || !(b.holds(item.width, item.height) || (item.mayTurn && b.holds(item.height, item.width)))) continue;
                    const bool sooner = kind == core.bins.size() || (b.onHand && !core.bins[kind].onHand) ||
                                        (b.onHand == core.bins[kind].onHand && rank(b) < rank(core.bins[kind]));
                    if (sooner) kind = k;
                }
                if (kind == core.bins.size()) {
                    p.out.push_back(id);
                    continue;
                }
                ++used[kind];
                p.bins.push_back(kind);
                p.slicings.push_back(emptyPanel(core, kind));
                lookInto(p.slicings.back(), static_cast<std::int32_t>(p.slicings.size() - 1), item, worth, c, work, [] { return false; });
            }
            put(p.slicings[static_cast<std::size_t>(c.bin)], c, id, item);
        }
        const std::int64_t cost = costOf(core, p);
        if (order == 0 || p.out.size() < best.out.size() ||
            (p.out.size() == best.out.size() && (cost < bestCost || (cost == bestCost && p.bins.size() < bestCount)))) {
            bestCost = cost;
            bestCount = p.bins.size();
            best = std::move(p);
        }
    }
    return best;
}

Packing squeeze(const PanelCore& core, const std::vector<Item>& items, Packing start, std::uint64_t workLimit, std::uint64_t seed, Budget& budget) {
    const Worthiness worth(core);
    Chance chance(seed);
    std::array<std::vector<std::int32_t>, kOrders> rankBy;
    for (int o = 0; o < kOrders; ++o) {
        std::vector<std::int32_t> ids(items.size());
        std::iota(ids.begin(), ids.end(), 0);
        std::stable_sort(ids.begin(), ids.end(), [&](std::int32_t a, std::int32_t b) {
            return side(items[static_cast<std::size_t>(a)], o) > side(items[static_cast<std::size_t>(b)], o);
        });
        rankBy[static_cast<std::size_t>(o)].resize(ids.size());
        for (std::size_t k = 0; k < ids.size(); ++k) rankBy[static_cast<std::size_t>(o)][static_cast<std::size_t>(ids[k])] = static_cast<std::int32_t>(k);
    }

    // How bad: the area left out, and a little for free places being scattered.
    constexpr double kScatter = 0.2;
    const auto worthOf = [&](const Slicing& s) {
        double v = 0.0;
        for (const Slicing::Spot& f : s.frees()) v += worth.of(f.width, f.height);
        return v;
    };
    Packing now = std::move(start);
    std::vector<double> freeWorth;
    for (const Slicing& s : now.slicings) freeWorth.push_back(worthOf(s));
    const auto badness = [&] {
        double v = 0.0;
        for (const std::int32_t id : now.out) v += worth.share(items[static_cast<std::size_t>(id)]);
        for (const double w : freeWorth) v -= kScatter * w;
        return v;
    };
    double bad = badness();
    Packing best = now;
    double bestBad = bad;
    const std::uint64_t from = budget.done();
    std::vector<std::pair<std::size_t, Slicing>> saved; // touched panels as they were
    std::vector<double> savedWorth;
    std::vector<std::int32_t> savedOut;
    std::vector<char> touched(now.slicings.size(), 0);
    std::vector<std::int32_t> loose;
    if (now.slicings.empty()) return best;

    const auto touch = [&](std::size_t b) {
        if (touched[b] != 0) return;
        touched[b] = 1;
        saved.emplace_back(b, now.slicings[b]);
        savedWorth.push_back(freeWorth[b]);
        budget.add(now.slicings[b].nodes().size());
    };
    const auto bins = static_cast<std::uint32_t>(now.slicings.size());
    while (!now.out.empty() && budget.done() - from < workLimit && !budget.spent()) {
        std::uint64_t work = 10;
        saved.clear();
        savedWorth.clear();
        savedOut = now.out;
        // Take out.
        loose = now.out;
        now.out.clear();
        const std::uint32_t fewBins = 1 + chance.below(std::min<std::uint32_t>(bins, 3));
        std::size_t wanted = loose.size() + 1 + chance.below(8);
        for (std::uint32_t k = 0; k < fewBins; ++k) {
            const std::size_t b = chance.below(bins);
            if (now.slicings[b].empty()) continue;
            touch(b);
            Slicing& s = now.slicings[b];
            const std::size_t share = loose.size() + std::max<std::size_t>(1, (wanted - std::min(wanted, loose.size())) / (fewBins - k));
            for (int tries = 0; tries < 40 && loose.size() < share && !s.empty(); ++tries) {
                const auto n = static_cast<std::int32_t>(chance.below(static_cast<std::uint32_t>(s.nodes().size())));
                const Slicing::Node& node = s.at(n);
                if (node.kind == Slicing::Kind::Unused || node.kind == Slicing::Kind::Free || (node.parent < 0 && chance.below(8) != 0)) continue;
                s.remove(n, loose);
                work += 4;
            }
        }
        // Put back, in an order by some side, a little disturbed.
        const std::uint32_t pick = chance.below(16);
        const int order = pick < 5 ? 0 : pick < 9 ? 1 : pick < 11 ? 2 : pick < 13 ? 3 : pick < 14 ? 4 : pick < 15 ? 5 : -1;
        if (order >= 0) {
            const auto& rank = rankBy[static_cast<std::size_t>(order)];
            std::sort(loose.begin(), loose.end(),
                      [&](std::int32_t a, std::int32_t b) { return rank[static_cast<std::size_t>(a)] < rank[static_cast<std::size_t>(b)]; });
        } else {
            std::sort(loose.begin(), loose.end());
            for (std::size_t k = loose.size(); k > 1; --k) std::swap(loose[k - 1], loose[chance.below(static_cast<std::uint32_t>(k))]);
        }
        const auto skip = [&] { return (chance.next() >> 58) == 0; };
        for (const std::int32_t id : loose) {
            const Item& item = items[static_cast<std::size_t>(id)];
            Choice c;
            for (std::size_t b = 0; b < now.slicings.size(); ++b) lookInto(now.slicings[b], static_cast<std::int32_t>(b), item, worth, c, work, skip);
            if (c.bin < 0) {
                now.out.push_back(id);
                continue;
            }
            touch(static_cast<std::size_t>(c.bin));
            put(now.slicings[static_cast<std::size_t>(c.bin)], c, id, item);
        }
        work += loose.size() * 8;
        for (const auto& [b, s] : saved) {
            freeWorth[b] = worthOf(now.slicings[b]);
            touched[b] = 0;
        }
        budget.add(work);
        const double after = badness();
        // Allow being a little worse, less and less as the work goes on.
        const double progress = static_cast<double>(budget.done() - from) / static_cast<double>(workLimit);
        const double heat = 0.08 * (1.0 - progress) * (1.0 - progress) + 0.001;
        if (after < bad + heat * chance.part()) {
            bad = after;
            if (after < bestBad - 1e-12) {
                bestBad = after;
                best = now;
            }
        } else {
            for (std::size_t k = 0; k < saved.size(); ++k) {
                now.slicings[saved[k].first] = std::move(saved[k].second);
                freeWorth[saved[k].first] = savedWorth[k];
            }
            now.out = savedOut;
        }
    }
    if (now.out.empty()) return now;
    return best;
}

} // namespace spanwright::shop
