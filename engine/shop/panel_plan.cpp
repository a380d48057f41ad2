// SPDX-License-Identifier: MIT
#include "engine/shop/panel_plan.h"

#include <algorithm>
#include <functional>
#include <memory>
#include <numeric>

#include "engine/shop/panel_bound.h"
#include "engine/shop/panel_columns.h"
#include "engine/shop/panel_core.h"
#include "engine/shop/panel_dive.h"
#include "engine/shop/panel_join.h"
#include "engine/shop/panel_layout.h"
#include "engine/shop/panel_limited.h"
#include "engine/shop/panel_search.h"
#include "engine/shop/panel_sets.h"

namespace spanwright::shop {

namespace {

class Planner {
public:
    Planner(const PanelProblem& problem, const Effort& effort, const std::function<void(const PanelPlan&)>& better)
        : m_p(problem), m_better(better), m_cancelled(effort.cancelled), m_budget(effort.work, effort.cancelled), m_core(coreOf(problem)),
          m_items(itemsOf(m_core)) {
        m_repeated = m_items.size() >= 2 * m_core.blocks.size();
        for (const Bin& b : m_core.bins) {
            if (!b.onHand) m_step = std::gcd(m_step, b.cost);
        }
    }

    PanelPlan run() {
        m_bound = areaBound(m_p, m_core);
        keep(packGreedily(m_core, m_items, m_budget));
        if (m_best.out.empty() && !done()) raiseByDualFeasible(m_core, m_bound, m_budget);
        if (m_best.out.empty()) improve();
        return planOf(m_best);
    }

private:
    static constexpr std::size_t kFewItems = 64;
    static constexpr std::size_t kManyItems = 2000;
    static constexpr std::size_t kMostOfMix = 100; ///< panels
    static constexpr std::size_t kMostMixes = 6;
    static constexpr int kMostPricings = 10'000;
    static constexpr std::uint64_t kMostOfOne = 20'000'000; ///< of a pricing: bounds the tables' memory, too

    static constexpr std::uint64_t kMostOfWays = 1'500'000; ///< of a pricing where parts have several ways to be filled

    [[nodiscard]] bool done() const { return m_best.out.empty() && m_cost <= m_bound.cost; }

    void keep(Packing p) {
        for (std::size_t i = p.bins.size(); i-- > 0;) {
            if (!p.slicings[i].empty()) continue;
            p.bins.erase(p.bins.begin() + static_cast<std::ptrdiff_t>(i));
            p.slicings.erase(p.slicings.begin() + static_cast<std::ptrdiff_t>(i));
        }
        m_best = std::move(p);
        m_cost = costOf(m_core, m_best);
        if (m_better) m_better(planOf(m_best));
    }

    void raise(const Bound& bound) {
        if (bound.cost <= m_bound.cost) return;
        m_bound = bound;
        if (m_better) m_better(planOf(m_best));
    }

    /// Bounds by the guillotine relaxation, again for each better plan.
    void bound() {
        if (done() || m_patterns) return;
        const std::uint64_t workOfOne = std::min<std::uint64_t>(m_budget.limit() / 100 + 100'000, kMostOfOne);
        if (!m_relaxation) m_relaxation = std::make_unique<GuillotineRelaxation>(m_p, m_core, GuillotineRelaxation::Sort::Bound, workOfOne);
        // Distinct pieces gain little from it; what is left to do is done in a later round.
        Budget some(m_repeated ? m_budget.left() / 2 : m_budget.limit() / 20, m_cancelled);
        m_relaxation->raise(m_cost, some);
        m_budget.add(some.done());
        raise({m_relaxation->cost(), "guillotine relaxation"});
        if (done() || !oneSize(m_core) || m_items.size() > kFewItems) return;
        // Listing every set that fits is worth a tenth of the work at most.
        if (m_setsFor == m_cost) return;
        m_setsFor = m_cost;
        Budget tenth(m_budget.left() / 10, m_cancelled);
        const SetsAnswer sets = askSets(m_core, static_cast<std::int64_t>(m_best.bins.size()), tenth);
        m_budget.add(tenth.done());
        raise({costOfPanels(m_core, sets.panels), "linear relaxation over all sets of pieces that fit a panel"});
        if (sets.plan.empty()) return;
        Packing p = packingOf(m_core, m_items, sets.plan);
        if (p.out.empty() && costOf(m_core, p) < m_cost) keep(std::move(p));
    }

    /// By patterns that hold no more of a piece than there are: whether anything cheaper can be had at all, then a plan.
    bool planWithin(std::uint64_t seed, std::uint64_t share) {
        const std::uint64_t workOfOne = std::min<std::uint64_t>(m_budget.limit() / 100 + 100'000, kMostOfOne);
        // Tables of many places have too many ways to fill their parts.
        if (!m_limited && (!m_relaxation || !m_relaxation->givesPatterns() || m_relaxation->workOfPricing() > kMostOfWays)) return false;
        const std::int64_t cost = m_cost - m_step;
        if (!m_limited) {
            m_limited = std::make_unique<LimitedRelaxation>(m_core, kindsOfBlocks(m_core), workOfOne);
            Budget some(std::min(m_budget.left(), m_budget.limit() / 5), m_cancelled);
            m_relaxation->solve(kMostPricings, some);
            m_budget.add(some.done());
            raise({m_relaxation->cost(), "guillotine relaxation"});
            if (done()) return false;
            for (const GuillotineRelaxation::Column& c : m_relaxation->columns()) m_limited->know(c.bin, c.pattern);
        }
        if (m_limitedFor != m_cost) {
            m_limitedFor = m_cost;
            for (std::size_t n = 0; n < m_best.bins.size(); ++n) m_limited->know(m_best.bins[n], patternOf(m_core, m_items, m_best.slicings[n]));
            Budget some(std::min(m_budget.left(), m_budget.limit() / 10), m_cancelled);
            LimitedRelaxation* bound = m_limited.get();
            PanelKinds demands = kindsOfDemands(m_p, m_core);
            std::unique_ptr<LimitedRelaxation> other;
            if (!demands.rowsAreBlocks) {
                other = std::make_unique<LimitedRelaxation>(m_core, std::move(demands), workOfOne);
                bound = other.get();
            }
            const LimitedRelaxation::Answer answer = bound->ask(cost, some);
            m_budget.add(some.done());
            if (answer == LimitedRelaxation::Answer::Proven) raise({m_cost, "guillotine relaxation within the counts of pieces"});
            if (done()) return false;
        }
        Budget some(std::min(m_budget.left(), share), m_cancelled);
        const LimitedRelaxation::Plan plan = m_limited->plan(cost, seed, some);
        m_budget.add(some.done());
        if (plan.panels.empty()) return false;
        Packing p = packingOf(m_core, m_items, plan.panels, cost);
        if (!p.out.empty()) p = squeeze(m_core, m_items, std::move(p), std::min(m_budget.left(), share / 4), seed + 1, m_budget);
        if (!p.out.empty()) return false;
        keep(std::move(p));
        return true;
    }

    /// Patterns of the relaxation, rounded, and the pieces that are left worked in by the search.
    bool dive(std::uint64_t seed, std::uint64_t share) {
        if (!m_patterns) {
            const std::uint64_t workOfOne = std::min<std::uint64_t>(m_budget.limit() / 100 + 100'000, kMostOfOne);
            if (m_relaxation) {
                m_relaxation->solve(kMostPricings, m_budget);
                raise({m_relaxation->cost(), "guillotine relaxation"});
                if (done()) return false;
            }
            if (m_relaxation && m_relaxation->givesPatterns()) {
                m_patterns = std::move(m_relaxation);
            } else {
                m_patterns = std::make_unique<GuillotineRelaxation>(m_p, m_core, GuillotineRelaxation::Sort::Patterns, workOfOne);
            }
        }
        Packing start = diveForPanels(m_core, m_items, *m_patterns, m_cost - m_step, seed, m_budget);
        if (!start.out.empty()) start = squeeze(m_core, m_items, std::move(start), std::min(share, m_budget.left()), seed + 1, m_budget);
        if (!start.out.empty()) return false;
        keep(std::move(start));
        return true;
    }

    /// Panels filled to the brim one after the other, and the pieces that are left worked in by the search.
    bool packFull(const std::vector<std::size_t>& bins, std::uint64_t seed, std::uint64_t share) {
        // What there is to spend on a panel decides how many blocks are kept.
        const std::uint64_t each = m_budget.limit() / 3 / bins.size();
        const std::size_t width = each > 30'000'000 ? 1000 : each > 10'000'000 ? 400 : 150;
        Packing p = packDensely(m_core, m_items, bins, width, seed, m_budget);
        if (!p.out.empty()) p = squeezeLast(std::move(p), std::min({share, m_budget.left(), m_budget.limit() / 30}), seed);
        if (!p.out.empty()) return false;
        keep(std::move(p));
        return true;
    }

    /// First only the panels that are still empty, or the last one, then all.
    Packing squeezeLast(Packing p, std::uint64_t share, std::uint64_t seed) {
        std::size_t from = p.slicings.size() - 1;
        while (from > 0 && p.slicings[from - 1].empty()) --from;
        if (from > 0) {
            Packing last;
            const auto at = static_cast<std::ptrdiff_t>(from);
            last.bins.assign(p.bins.begin() + at, p.bins.end());
            last.slicings.assign(p.slicings.begin() + at, p.slicings.end());
            last.out = p.out;
            last = squeeze(m_core, m_items, std::move(last), share / 2, seed, m_budget);
            std::move(last.slicings.begin(), last.slicings.end(), p.slicings.begin() + at);
            p.out = last.out;
        }
        return p.out.empty() ? p : squeeze(m_core, m_items, std::move(p), share / 2, seed, m_budget);
    }

    /// Where panels of several kinds can be bought: which could be bought for less than the best plan and have room, those
    /// with most room first.
    std::vector<std::vector<std::size_t>> mixes() const {
        std::vector<std::size_t> kinds;
        std::vector<std::size_t> base;
        double need = 0.0;
        double room = 0.0;
        for (const Item& i : m_items) need += static_cast<double>(i.width) * static_cast<double>(i.height);
        for (std::size_t b = 0; b < m_core.bins.size(); ++b) {
            if (!m_core.bins[b].onHand) {
                if (m_core.bins[b].cost > 0) kinds.push_back(b);
                continue;
            }
            for (std::int64_t n = 0; n < m_core.bins[b].limit && base.size() < kMostOfMix; ++n) base.push_back(b);
        }
        for (const std::size_t b : base) room += m_core.bins[b].area();
        std::vector<std::pair<double, std::vector<std::size_t>>> found;
        if (kinds.size() < 2 || kinds.size() > 4) return {};
        std::vector<std::size_t> mix = base;
        std::size_t steps = 0;
        const std::function<void(std::size_t, std::int64_t, double)> add = [&](std::size_t k, std::int64_t cost, double have) {
            if (++steps > 20'000 || mix.size() > kMostOfMix) return;
            if (k == kinds.size()) {
                if (cost >= m_bound.cost && have >= need) found.emplace_back(-have, mix);
                return;
            }
            const Bin& bin = m_core.bins[kinds[k]];
            const std::size_t size = mix.size();
            for (std::int64_t n = 0; cost + n * bin.cost < m_cost; ++n) {
                add(k + 1, cost + n * bin.cost, have + static_cast<double>(n) * bin.area());
                mix.push_back(kinds[k]);
                if (mix.size() > kMostOfMix) break;
            }
            mix.resize(size);
        };
        add(0, 0, room);
        std::sort(found.begin(), found.end());
        std::vector<std::vector<std::size_t>> out;
        for (auto& [have, bins] : found) {
            if (out.size() == kMostMixes) break;
            out.push_back(std::move(bins));
        }
        return out;
    }

    bool tryMix(const std::vector<std::size_t>& bins, std::uint64_t seed, std::uint64_t share) {
        if (packFull(bins, seed, share / 2)) return true;
        Packing p;
        for (const std::size_t b : bins) {
            p.bins.push_back(b);
            p.slicings.push_back(emptyPanel(m_core, b));
        }
        p.out.resize(m_items.size());
        std::iota(p.out.begin(), p.out.end(), 0);
        p = squeeze(m_core, m_items, std::move(p), std::min(share / 2, m_budget.left()), seed, m_budget);
        if (!p.out.empty()) return false;
        keep(std::move(p));
        return true;
    }

    /// Cheaper sets of panels, one step away from the best: one bought panel fewer, or a cheaper kind in its place.
    void improve() {
        std::uint64_t seed = 1;
        std::uint64_t dives = 0;
        std::uint64_t fulls = 0;
        std::uint64_t mixed = 0;
        std::uint64_t withins = 0;
        std::uint64_t share = std::max<std::uint64_t>(m_budget.limit() / 50, 100'000);
        for (int round = 0; !done() && !m_budget.spent(); ++round) {
            bool any = false;
            // What the search finds at once needs no more than that.
            const bool later = seed >= 3 || round >= 2;
            if (later) bound();
            if (done()) return;
            // Where few pieces are alike, filling panels to the brim finds as much and needs its time.
            if (later && planWithin(withins++, std::max(share, m_budget.limit() / (m_repeated ? 2 : 6)))) continue;
            if (done()) return;
            if (later && m_repeated) {
                any = true;
                if (dive(dives++, share)) continue;
            }
            if (done()) return;
            if (later && m_items.size() <= kManyItems) {
                bool found = false;
                for (auto& [start, cost] : cheaper()) {
                    if (m_budget.spent()) return;
                    any = true;
                    found = packFull(start.bins, ++fulls, share);
                    if (found) break;
                }
                if (found) continue;
            }
            if (later) {
                const std::vector<std::vector<std::size_t>> sets = mixes();
                if (!sets.empty()) {
                    any = true;
                    ++mixed;
                    if (tryMix(sets[mixed % sets.size()], mixed, share)) continue;
                }
            }
            for (auto& [start, cost] : cheaper()) {
                if (m_budget.spent()) return;
                any = true;
                Packing p = squeeze(m_core, m_items, std::move(start), std::min(share, m_budget.left()), seed++, m_budget);
                if (!p.out.empty()) continue;
                keep(std::move(p));
                if (seed > 3) bound();
                break;
            }
            if (!any && later) return;
            share = std::min(share + share / 2, m_budget.limit() / 12);
        }
    }

    std::vector<std::pair<Packing, std::int64_t>> cheaper() const {
        std::vector<std::pair<Packing, std::int64_t>> out;
        double need = 0.0;
        for (const Item& i : m_items) need += static_cast<double>(i.width) * static_cast<double>(i.height);
        double room = 0.0;
        for (const std::size_t b : m_best.bins) room += m_core.bins[b].area();
        // The emptiest panel of each kind.
        for (std::size_t k = 0; k < m_core.bins.size(); ++k) {
            if (m_core.bins[k].onHand) continue;
            std::size_t emptiest = m_best.bins.size();
            double least = 0.0;
            for (std::size_t i = 0; i < m_best.bins.size(); ++i) {
                if (m_best.bins[i] != k) continue;
                double used = m_core.bins[k].area();
                for (const Slicing::Spot& f : m_best.slicings[i].frees()) used -= static_cast<double>(f.width) * static_cast<double>(f.height);
                if (emptiest == m_best.bins.size() || used < least) {
                    emptiest = i;
                    least = used;
                }
            }
            if (emptiest == m_best.bins.size()) continue;
            for (std::size_t other = 0; other <= m_core.bins.size(); ++other) {
                const bool none = other == m_core.bins.size();
                const std::int64_t cost = m_cost - m_core.bins[k].cost + (none ? 0 : m_core.bins[other].cost);
                if (!none && (m_core.bins[other].onHand || other == k)) continue;
                if (cost >= m_cost || cost < m_bound.cost) continue;
                if (room - m_core.bins[k].area() + (none ? 0.0 : m_core.bins[other].area()) < need) continue;
                Packing p = m_best;
                std::vector<std::int32_t> items;
                p.slicings[emptiest].remove(0, items);
                p.out = items;
                if (none) {
                    p.slicings.erase(p.slicings.begin() + static_cast<std::ptrdiff_t>(emptiest));
                    p.bins.erase(p.bins.begin() + static_cast<std::ptrdiff_t>(emptiest));
                } else {
                    p.slicings[emptiest] = emptyPanel(m_core, other);
                    p.bins[emptiest] = other;
                }
                out.emplace_back(std::move(p), cost);
            }
        }
        std::stable_sort(out.begin(), out.end(), [](const auto& a, const auto& b) { return a.second > b.second; });
        return out;
    }

    PanelPlan planOf(const Packing& p) const {
        PanelPlan plan;
        plan.uncut = m_core.uncut;
        for (const std::int32_t id : p.out) {
            const Block& b = m_core.blocks[static_cast<std::size_t>(m_items[static_cast<std::size_t>(id)].block)];
            ++plan.uncut[static_cast<std::size_t>(b.demand)];
            if (b.mate >= 0) ++plan.uncut[static_cast<std::size_t>(b.mate)];
        }
        plan.layouts = layoutsOf(m_p, m_core, m_items, p);
        for (const CutLayout& l : plan.layouts) {
            plan.cut += l.times;
            if (l.onHand) continue;
            plan.bought += l.times;
            plan.cost += l.times * m_p.stock[l.stock].cost;
        }
        plan.atLeast = plan.complete() ? m_bound.cost : 0;
        plan.how = plan.complete() ? m_bound.how : "";
        plan.proven = plan.complete() && plan.cost == plan.atLeast;
        plan.work = m_budget.done();
        return plan;
    }

    const PanelProblem& m_p;
    const std::function<void(const PanelPlan&)>& m_better;
    std::function<bool()> m_cancelled;
    Budget m_budget;
    PanelCore m_core;
    std::vector<Item> m_items;
    Bound m_bound;
    std::unique_ptr<GuillotineRelaxation> m_relaxation;
    std::unique_ptr<GuillotineRelaxation> m_patterns;
    std::unique_ptr<LimitedRelaxation> m_limited;
    std::int64_t m_limitedFor = -1; ///< the cost that it was last asked about
    bool m_repeated = false;        ///< pieces of a size come twice and more on average
    std::int64_t m_setsFor = -1;    ///< the cost that sets were last asked about
    std::int64_t m_step = 0;        ///< costs of plans differ by multiples of it
    Packing m_best;
    std::int64_t m_cost = 0;
};

} // namespace

PanelPlan planPanels(const PanelProblem& problem, const Effort& effort, const std::function<void(const PanelPlan&)>& better) {
    PanelPlan plan;
    plan.problem = refusalOf(problem);
    if (!plan.problem.empty()) return plan;
    return Planner(problem, effort, better).run();
}

} // namespace spanwright::shop
