// SPDX-License-Identifier: MIT
#include "engine/shop/panel_columns.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>
#include <set>

#include "engine/shop/covering_lp.h"
#include "engine/shop/panel_kinds.h"
#include "engine/shop/wide.h"

namespace spanwright::shop {

namespace {

constexpr double kFull = 1.0 + 1e-6; ///< what a column must be worth more than to be wanted
constexpr std::size_t kAtOnce = 6;   ///< columns of one pricing and size

/// All panels of one size share a table.
struct Size {
    std::int64_t width = 0;
    std::int64_t height = 0;
    std::vector<std::size_t> bins;
    std::vector<std::size_t> kinds; ///< that fit
    std::unique_ptr<GuillotineTable> table;
    std::set<std::vector<std::int32_t>> known;
};

} // namespace

struct GuillotineRelaxation::Impl {
    std::vector<Bin> bins;
    PanelKinds kinds;
    std::vector<Size> sizes;
    std::vector<std::size_t> onHandRow; ///< by bin; SIZE_MAX: bought
    std::vector<bool> covered;          ///< by row
    std::unique_ptr<CoveringLp> lp;
    double unit = 1.0; ///< cost of the dearest panel that is bought
    std::int64_t step = 0;
    double scale = 1.0; ///< worths are whole multiples of 1/scale
    std::uint64_t workOfOne = 0;
    bool exact = true;
    bool changed = false;
    std::int64_t cost = 0;
    bool solved = false;
    double value = 0.0; ///< of the program, in costs
    std::vector<Column> columns;
    std::size_t dummies = 0; ///< columns of the program before the first of `columns`
    std::vector<double> use, worth;
    std::vector<double> share; ///< by row: area beside the largest panel's

    void makeTables(Sort sort, std::uint64_t work) {
        for (std::size_t b = 0; b < bins.size(); ++b) {
            auto size = std::find_if(sizes.begin(), sizes.end(), [&](const Size& s) { return s.width == bins[b].width && s.height == bins[b].height; });
            if (size == sizes.end()) {
                sizes.push_back({bins[b].width, bins[b].height, {}, {}, {}, {}});
                size = std::prev(sizes.end());
            }
            size->bins.push_back(b);
        }
        covered.assign(kinds.demand.size(), true);
        std::int64_t mostPieces = 1;
        for (Size& size : sizes) {
            std::vector<Rectangle> pieces;
            for (std::size_t k = 0; k < kinds.sizes.size(); ++k) {
                const Rectangle& r = kinds.sizes[k];
                const bool fits = (r.width <= size.width && r.height <= size.height) || (r.mayTurn && r.height <= size.width && r.width <= size.height);
                if (!fits) continue;
                size.kinds.push_back(k);
                pieces.push_back(r);
            }
            if (pieces.empty()) continue;
            size.table = std::make_unique<GuillotineTable>(pieces, size.width, size.height, work / sizes.size(),
                                                           sort == Sort::Bound ? GuillotineTable::Sort::Bound : GuillotineTable::Sort::Patterns);
            exact = exact && size.table->exact();
            workOfOne += size.table->workOfOne();
            mostPieces = std::max(mostPieces, size.table->mostPieces());
            for (std::size_t n = 0; n < pieces.size(); ++n) {
                if (size.table->covers(n)) continue;
                const Taken& kind = kinds.takes[size.kinds[n]];
                covered[kind.row] = false;
                if (kind.mate != SIZE_MAX) covered[kind.mate] = false;
            }
        }
        // A pair counts as two; the sum over a panel stays below 2^31.
        scale = 16777216.0;
        while (scale > 1.0 && scale * 2.0 * static_cast<double>(mostPieces + 1) >= 2147483648.0) scale /= 2.0;
    }

    void makeProgram() {
        std::vector<double> rows;
        for (std::size_t i = 0; i < kinds.demand.size(); ++i) rows.push_back(covered[i] ? static_cast<double>(kinds.demand[i]) : 0.0);
        onHandRow.assign(bins.size(), SIZE_MAX);
        unit = 0.0;
        for (std::size_t b = 0; b < bins.size(); ++b) {
            if (bins[b].onHand) {
                onHandRow[b] = rows.size();
                rows.push_back(-static_cast<double>(bins[b].limit));
            } else {
                unit = std::max(unit, static_cast<double>(bins[b].cost));
                step = std::gcd(step, bins[b].cost);
            }
        }
        if (unit == 0.0) unit = 1.0;
        double largest = 1.0;
        for (const Bin& b : bins) largest = std::max(largest, b.area());
        share.assign(kinds.demand.size(), 1.0);
        for (std::size_t k = 0; k < kinds.sizes.size(); ++k) {
            const double area = static_cast<double>(kinds.sizes[k].width) * static_cast<double>(kinds.sizes[k].height) / largest;
            const Taken& t = kinds.takes[k];
            share[t.row] = std::min(share[t.row], t.mate == SIZE_MAX ? area : area / 2.0);
        }
        lp = std::make_unique<CoveringLp>(rows);
        // To begin with, and so that there always is a solution: a panel for each piece.
        for (std::size_t i = 0; i < kinds.demand.size(); ++i) lp->addColumn(std::vector<CoveringLp::Entry>{{i, 1.0}}, 1.0);
        dummies = kinds.demand.size();
    }

    void addColumn(Size& size, std::size_t bin, const SawnPattern& pattern) {
        std::vector<double> counts(kinds.demand.size(), 0.0);
        SawnPattern own;
        own.counts.assign(kinds.demand.size(), 0);
        for (std::size_t n = 0; n < size.kinds.size(); ++n) {
            const Taken& kind = kinds.takes[size.kinds[n]];
            counts[kind.row] += pattern.counts[n];
            if (kind.mate != SIZE_MAX) counts[kind.mate] += pattern.counts[n];
            if (kinds.rowsAreBlocks) own.counts[kind.row] += pattern.counts[n];
        }
        std::vector<CoveringLp::Entry> entries;
        for (std::size_t i = 0; i < counts.size(); ++i) {
            if (counts[i] > 0.0) entries.push_back({i, counts[i]});
        }
        if (onHandRow[bin] != SIZE_MAX) entries.push_back({onHandRow[bin], -1.0});
        lp->addColumn(entries, static_cast<double>(bins[bin].cost) / unit);
        if (kinds.rowsAreBlocks) {
            own.parts = pattern.parts;
            for (SawnPattern::Part& part : own.parts) {
                if (part.kind >= 0) part.kind = static_cast<std::int32_t>(kinds.takes[size.kinds[static_cast<std::size_t>(part.kind)]].row);
            }
        }
        columns.push_back({bin, std::move(own)});
    }

    CoveringLp::Solution useKnown(Budget& budget) {
        CoveringLp::Solution s = lp->solve();
        budget.add((s.iterations + 4) * (kinds.demand.size() + 8) * 8);
        if (!s.ok) return s;
        value = s.value * unit;
        use.assign(s.x.begin() + static_cast<std::ptrdiff_t>(dummies), s.x.end());
        worth.assign(s.duals.begin(), s.duals.begin() + static_cast<std::ptrdiff_t>(kinds.demand.size()));
        return s;
    }

    /// One round: solves the program, prices every size, adds what is wanted. False if nothing is.
    bool round(Budget& budget) {
        const CoveringLp::Solution s = useKnown(budget);
        if (!s.ok) return false;
        std::vector<std::int32_t> whole(kinds.demand.size(), 0);
        Wide sum = 0;
        for (std::size_t i = 0; i < kinds.demand.size(); ++i) {
            // Without a column yet, what a piece takes of a panel is a better guess than a whole one.
            const double price = columns.empty() ? share[i] : std::min(s.duals[i], 1.0);
            if (covered[i]) whole[i] = static_cast<std::int32_t>(std::floor(price * scale));
            sum += static_cast<Wide>(whole[i]) * kinds.demand[i];
        }
        std::vector<PanelWorth> bought;
        bool any = false;
        const bool guessed = columns.empty();
        for (Size& size : sizes) {
            if (!size.table) continue;
            std::vector<std::int32_t> ofKind;
            for (const std::size_t k : size.kinds) {
                const Taken& t = kinds.takes[k];
                ofKind.push_back(whole[t.row] + (t.mate == SIZE_MAX ? 0 : whole[t.mate]));
            }
            const std::int32_t top = size.table->price(ofKind);
            budget.add(size.table->workOfOne());
            // No panel of this size is worth more than `top`, whatever the solver did: that is the proof.
            std::int64_t least = std::numeric_limits<std::int64_t>::max();
            std::size_t cheapest = 0;
            for (const std::size_t b : size.bins) {
                double limit = static_cast<double>(bins[b].cost) / unit;
                if (bins[b].onHand) {
                    sum -= static_cast<Wide>(top) * bins[b].limit;
                    limit += s.duals[onHandRow[b]];
                } else {
                    bought.push_back({bins[b].cost, top});
                }
                const auto wanted = static_cast<std::int64_t>(std::ceil(limit * scale * kFull));
                if (wanted < least) {
                    least = wanted;
                    cheapest = b;
                }
            }
            if (guessed) least = 0;
            if (top <= least) continue;
            std::vector<SawnPattern> patterns;
            if (size.table->exact() || !boundOnly) {
                patterns = size.table->patterns(static_cast<std::int32_t>(least), kAtOnce);
            } else {
                patterns.emplace_back();
                patterns.back().counts = size.table->counts();
            }
            for (const SawnPattern& p : patterns) {
                std::vector<std::int32_t> key = p.counts;
                key.push_back(static_cast<std::int32_t>(cheapest));
                if (!size.known.insert(key).second) continue;
                any = true;
                addColumn(size, cheapest, p);
            }
        }
        if (!changed) {
            constexpr Wide kMost = std::numeric_limits<std::int64_t>::max();
            cost = std::max(cost, costOfWorth(std::move(bought), static_cast<std::int64_t>(std::clamp<Wide>(sum, 0, kMost))));
        }
        use.resize(columns.size(), 0.0);
        return any;
    }

    bool boundOnly = true;
};

GuillotineRelaxation::GuillotineRelaxation(const PanelProblem& problem, const PanelCore& core, Sort sort, std::uint64_t workOfOne)
    : m_impl(std::make_unique<Impl>()) {
    m_impl->bins = core.bins;
    m_impl->boundOnly = sort == Sort::Bound;
    m_impl->kinds = sort == Sort::Patterns ? kindsOfBlocks(core) : kindsOfDemands(problem, core);
    m_impl->makeTables(sort, workOfOne);
    m_impl->makeProgram();
    // What patterns leave out is not a bound.
    if (sort == Sort::Patterns) m_impl->changed = true;
}

GuillotineRelaxation::~GuillotineRelaxation() = default;
std::int64_t GuillotineRelaxation::cost() const { return m_impl->cost; }
bool GuillotineRelaxation::solved() const { return m_impl->solved; }
bool GuillotineRelaxation::givesPatterns() const { return m_impl->kinds.rowsAreBlocks && (m_impl->exact || !m_impl->boundOnly); }
std::uint64_t GuillotineRelaxation::workOfPricing() const { return m_impl->workOfOne; }
const std::vector<GuillotineRelaxation::Column>& GuillotineRelaxation::columns() const { return m_impl->columns; }
const std::vector<double>& GuillotineRelaxation::use() const { return m_impl->use; }
const std::vector<double>& GuillotineRelaxation::worth() const { return m_impl->worth; }

void GuillotineRelaxation::raise(std::int64_t goal, Budget& budget) {
    Impl& d = *m_impl;
    while (!d.solved && d.cost < goal && !budget.spent()) {
        d.solved = !d.round(budget);
        // The program's value can only fall: once it lies a step below, this goal is out of reach.
        if (d.value <= static_cast<double>(goal - d.step) * (1.0 + 1e-9) && d.bins.size() == 1) return;
    }
}

void GuillotineRelaxation::solve(int pricings, Budget& budget) {
    Impl& d = *m_impl;
    if (pricings == 0) static_cast<void>(d.useKnown(budget));
    for (int n = 0; n < pricings && !d.solved && !budget.spent(); ++n) d.solved = !d.round(budget);
}

void GuillotineRelaxation::setLeft(std::size_t block, std::int64_t count) {
    Impl& d = *m_impl;
    d.changed = true;
    d.solved = false;
    d.lp->setDemand(block, static_cast<double>(count));
}

void GuillotineRelaxation::setOnHand(std::size_t bin, std::int64_t count) {
    Impl& d = *m_impl;
    d.changed = true;
    d.solved = false;
    if (d.onHandRow[bin] != SIZE_MAX) d.lp->setDemand(d.onHandRow[bin], -static_cast<double>(count));
}

} // namespace spanwright::shop
