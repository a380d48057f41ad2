// SPDX-License-Identifier: MIT
#include "engine/shop/panel_limited.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <memory>

#include "engine/shop/chance.h"
#include "engine/shop/covering_lp.h"
#include "engine/shop/wide.h"

namespace spanwright::shop {

namespace {

constexpr double kFull = 1.0 + 1e-6;       ///< what a column must be worth more than to be wanted
constexpr std::size_t kMemory = 400'000;   ///< ways to fill parts
constexpr std::size_t kMostColumns = 2000; ///< to begin with
constexpr std::size_t kMostGiven = 20;     ///< columns of one pricing and size
constexpr double kLeastFilled = 0.6;       ///< emptier columns are not taken over
constexpr int kMostNodes = 60;             ///< of a dive
constexpr int kOtherwise = 2;              ///< so often a dive does not take what it likes best
constexpr int kPolish = 40;                ///< pricings beyond what is asked for, where a dive begins
constexpr std::size_t kMostKnown = 10'000;
constexpr std::size_t kManyPanels = 12; ///< where more are left, all that are used wholly are taken at once

} // namespace

/// A state and the program for it.
class LimitedRelaxation::Rest {
public:
    struct Column {
        std::size_t bin = 0;
        SawnPattern pattern;
        double filled = 0.0;
    };

    Rest(LimitedRelaxation& of, const State& state, GuillotineTable::Sort sort)
        : m_of(of), m_state(state), m_sort(sort), m_left(m_state.left), m_onHand(m_state.onHand), m_money(state.money) {}

    [[nodiscard]] const State& state() const { return m_state; }
    [[nodiscard]] const std::vector<Column>& columns() const { return m_columns; }
    /// Of a column that came after the program was last solved, for want of budget: none.
    [[nodiscard]] double use(std::size_t column) const {
        const std::size_t at = m_left.size() + column;
        return m_s.ok && at < m_s.x.size() ? m_s.x[at] : 0.0;
    }

    Answer reach(Budget& budget) {
        begin(budget);
        while (solve(budget)) {
            if (m_s.value * m_of.m_unit <= static_cast<double>(m_money) + 1e-7 * m_of.m_unit) return Answer::OutOfReach;
            const Answer answer = price(false, budget);
            if (answer != Answer::OutOfReach) return answer;
        }
        return Answer::GivenUp;
    }

    /// Columns beyond what was asked for, for better choices.
    void polish(Budget& budget) {
        for (int n = 0; n < kPolish && price(true, budget) == Answer::OutOfReach && solve(budget);) ++n;
    }

    /// Only columns and their use are wanted from here on.
    void forgetTables() {
        m_tables.clear();
        m_lp.reset();
    }

private:
    struct Table {
        std::vector<std::size_t> kinds; ///< of which something is left
        std::unique_ptr<GuillotineTable> table;
        std::unique_ptr<GuillotineLimits> limits;
    };

    void begin(Budget& budget) {
        std::vector<double> rows;
        for (const std::int64_t n : m_left) rows.push_back(static_cast<double>(n));
        m_onHandRow.assign(m_of.m_bins.size(), SIZE_MAX);
        for (std::size_t b = 0; b < m_onHand.size(); ++b) {
            if (!m_of.m_bins[b].onHand) continue;
            m_onHandRow[b] = rows.size();
            rows.push_back(-static_cast<double>(m_onHand[b]));
        }
        m_lp = std::make_unique<CoveringLp>(rows);
        // So that there always is a solution, dearer than any other; and a panel for each piece.
        for (std::size_t i = 0; i < m_left.size(); ++i) m_lp->addColumn(std::vector<CoveringLp::Entry>{{i, 1.0}}, 2.0);
        for (std::size_t k = 0; k < m_of.m_kinds.sizes.size(); ++k) addSingle(k);
        std::vector<Column> start;
        for (const SawnPanel& k : m_of.m_known) {
            if (!m_of.available(m_state, k.bin)) continue;
            Column c{k.bin, m_of.clipped(m_state, k.pattern), 0.0};
            c.filled = m_of.filled(c.bin, c.pattern);
            if (c.filled > 0.0) start.push_back(std::move(c));
        }
        std::stable_sort(start.begin(), start.end(), [](const Column& a, const Column& b) { return a.filled > b.filled; });
        for (std::size_t n = 0; n < start.size() && n < kMostColumns; ++n) {
            if (n >= m_left.size() && start[n].filled < kLeastFilled) break;
            add(std::move(start[n]));
        }
        budget.add(m_of.m_known.size() * (m_left.size() + 20));
    }

    void addSingle(std::size_t kind) {
        const Rectangle& r = m_of.m_kinds.sizes[kind];
        SawnPattern p;
        p.counts.assign(m_of.m_kinds.sizes.size(), 0);
        p.counts[kind] = 1;
        std::size_t cheapest = SIZE_MAX;
        bool upright = true;
        for (std::size_t b = 0; b < m_of.m_bins.size(); ++b) {
            const Bin& bin = m_of.m_bins[b];
            const bool asIs = bin.holds(r.width, r.height);
            if (bin.onHand || !m_of.available(m_state, b) || !(asIs || (r.mayTurn && bin.holds(r.height, r.width)))) continue;
            if (cheapest != SIZE_MAX && m_of.m_bins[cheapest].cost <= bin.cost) continue;
            cheapest = b;
            upright = asIs;
        }
        if (cheapest == SIZE_MAX) return;
        p.parts.push_back({static_cast<std::int32_t>(kind), upright ? r.width : r.height, upright ? r.height : r.width, -1, -1, 0, false});
        p = m_of.clipped(m_state, p);
        const double filled = m_of.filled(cheapest, p);
        if (filled > 0.0) add({cheapest, std::move(p), filled});
    }

    void add(Column c) {
        std::vector<double> counts(m_left.size(), 0.0);
        for (std::size_t k = 0; k < c.pattern.counts.size(); ++k) {
            const Taken& t = m_of.m_kinds.takes[k];
            counts[t.row] += c.pattern.counts[k];
            if (t.mate != SIZE_MAX) counts[t.mate] += c.pattern.counts[k];
        }
        std::vector<CoveringLp::Entry> entries;
        for (std::size_t i = 0; i < counts.size(); ++i) {
            if (counts[i] > 0.0) entries.push_back({i, counts[i]});
        }
        if (m_onHandRow[c.bin] != SIZE_MAX) entries.push_back({m_onHandRow[c.bin], -1.0});
        m_lp->addColumn(entries, static_cast<double>(m_of.m_bins[c.bin].cost) / m_of.m_unit);
        m_columns.push_back(std::move(c));
    }

    bool solve(Budget& budget) {
        if (budget.spent()) return false;
        m_s = m_lp->solve();
        budget.add((m_s.iterations + 4) * (m_left.size() + 8) * 8);
        return m_s.ok;
    }

    void makeTables() {
        m_covered.assign(m_left.size(), true);
        std::int64_t mostPieces = 1;
        for (const Size& size : m_of.m_sizes) {
            Table& t = m_tables.emplace_back();
            std::vector<Rectangle> pieces;
            std::vector<Taken> takes;
            for (std::size_t k = 0; k < m_of.m_kinds.sizes.size(); ++k) {
                Rectangle r = m_of.m_kinds.sizes[k];
                const Taken& taken = m_of.m_kinds.takes[k];
                r.count = m_left[taken.row];
                if (taken.mate != SIZE_MAX) r.count = taken.mate == taken.row ? r.count / 2 : std::min(r.count, m_left[taken.mate]);
                const bool fits = (r.width <= size.width && r.height <= size.height) || (r.mayTurn && r.height <= size.width && r.width <= size.height);
                if (r.count == 0 || !fits) continue;
                t.kinds.push_back(k);
                pieces.push_back(r);
                takes.push_back(taken);
            }
            if (pieces.empty()) continue;
            t.table = std::make_unique<GuillotineTable>(pieces, size.width, size.height, m_of.m_workOfOne / m_of.m_sizes.size(), m_sort);
            t.limits = std::make_unique<GuillotineLimits>(*t.table, std::move(takes), m_left);
            m_exact = m_exact && t.table->exact();
            mostPieces = std::max(mostPieces, t.table->mostPieces());
            for (std::size_t n = 0; n < pieces.size(); ++n) {
                if (t.table->covers(n)) continue;
                const Taken& taken = m_of.m_kinds.takes[t.kinds[n]];
                m_covered[taken.row] = false;
                if (taken.mate != SIZE_MAX) m_covered[taken.mate] = false;
            }
        }
        // A pair counts as two; the sum over a panel stays below 2^31.
        m_scale = 16777216.0;
        while (m_scale > 1.0 && m_scale * 2.0 * static_cast<double>(mostPieces + 1) >= 2147483648.0) m_scale /= 2.0;
    }

    /// Proven, given up, or columns were added (`OutOfReach`: it goes on). `onward`: nothing is to be proven, any column is wanted that
    /// betters the program.
    Answer price(bool onward, Budget& budget) {
        if (m_tables.empty()) makeTables();
        const auto rows = m_left.size();
        std::vector<std::int32_t> whole(rows, 0);
        Wide sum = 0;
        for (std::size_t i = 0; i < rows; ++i) {
            if (m_left[i] > 0 && m_covered[i]) whole[i] = static_cast<std::int32_t>(std::floor(std::min(m_s.duals[i], 1.0) * m_scale));
            sum += static_cast<Wide>(whole[i]) * m_left[i];
        }
        // If no panel is worth more than its part of one less than all, all are not had for the money.
        std::vector<std::int64_t> most(m_of.m_bins.size(), 0);
        for (std::size_t b = 0; b < most.size(); ++b) {
            if (!m_of.m_bins[b].onHand) continue;
            most[b] = static_cast<std::int64_t>(std::ceil(m_s.duals[m_onHandRow[b]] * m_scale));
            sum -= static_cast<Wide>(most[b]) * m_onHand[b];
        }
        if (sum < 1 && !onward) return Answer::GivenUp;
        for (std::size_t b = 0; b < most.size(); ++b) {
            if (!m_of.m_bins[b].onHand && m_of.available(m_state, b) && m_money > 0)
                most[b] = static_cast<std::int64_t>((sum - 1) * m_of.m_bins[b].cost / m_money);
        }
        bool all = true;
        bool any = false;
        for (std::size_t n = 0; n < m_tables.size(); ++n) {
            Table& t = m_tables[n];
            if (!t.table) continue;
            std::int64_t least = std::numeric_limits<std::int64_t>::max();
            double wanted = std::numeric_limits<double>::max();
            std::size_t cheapest = SIZE_MAX;
            for (const std::size_t b : m_of.m_sizes[n].bins) {
                if (!m_of.available(m_state, b)) continue;
                least = std::min(least, most[b]);
                const double price = m_of.m_bins[b].onHand ? m_s.duals[m_onHandRow[b]] : static_cast<double>(m_of.m_bins[b].cost) / m_of.m_unit;
                if (price >= wanted) continue;
                wanted = price;
                cheapest = b;
            }
            if (cheapest == SIZE_MAX) continue;
            constexpr std::int64_t kMost = std::numeric_limits<std::int32_t>::max();
            const auto enough = static_cast<std::int64_t>(std::ceil(wanted * m_scale * kFull));
            if (onward) least = enough;
            std::vector<std::int32_t> ofKind;
            for (const std::size_t k : t.kinds) {
                const Taken& taken = m_of.m_kinds.takes[k];
                ofKind.push_back(whole[taken.row] + (taken.mate == SIZE_MAX ? 0 : whole[taken.mate]));
            }
            const std::int32_t top = t.table->price(ofKind);
            budget.add(t.table->workOfOne());
            if (top <= least) continue;
            const LimitedAnswer answer =
                t.limits->ask({static_cast<std::int32_t>(std::clamp<std::int64_t>(least, 0, kMost)),
                               static_cast<std::int32_t>(std::clamp<std::int64_t>(std::min(least, enough), 0, kMost)), kMemory, kMostGiven},
                              budget);
            if (answer.none) continue;
            all = false;
            for (const SawnPattern& p : answer.patterns) {
                SawnPattern own = p;
                own.counts.assign(m_of.m_kinds.sizes.size(), 0);
                for (SawnPattern::Part& part : own.parts) {
                    if (part.kind >= 0) part.kind = static_cast<std::int32_t>(t.kinds[static_cast<std::size_t>(part.kind)]);
                }
                for (std::size_t k = 0; k < p.counts.size(); ++k) own.counts[t.kinds[k]] = p.counts[k];
                // A grid's patterns hold for the counts alone: they cannot be sawn.
                if (t.table->exact() || m_sort == GuillotineTable::Sort::Patterns) m_of.know(cheapest, own);
                Column c{cheapest, std::move(own), 0.0};
                c.filled = m_of.filled(cheapest, c.pattern);
                add(std::move(c));
                any = true;
            }
        }
        // Without the means for exact tables of places nothing is proven where these give patterns.
        if (all) return m_exact || m_sort == GuillotineTable::Sort::Bound ? Answer::Proven : Answer::GivenUp;
        return any ? Answer::OutOfReach : Answer::GivenUp;
    }

    LimitedRelaxation& m_of;
    const State m_state;
    GuillotineTable::Sort m_sort;
    const std::vector<std::int64_t>& m_left;
    const std::vector<std::int64_t>& m_onHand;
    std::int64_t m_money;
    std::vector<Column> m_columns;
    std::unique_ptr<CoveringLp> m_lp;
    std::vector<std::size_t> m_onHandRow;
    CoveringLp::Solution m_s;
    std::vector<Table> m_tables; ///< by size
    std::vector<bool> m_covered; ///< rows that all tables count
    bool m_exact = true;
    double m_scale = 1.0;
};

/// Panels taken one after the other, now and then not the one that is liked best.
class LimitedRelaxation::Dive {
public:
    Dive(LimitedRelaxation& of, std::uint64_t seed, Budget& budget) : m_of(of), m_chance(seed), m_budget(budget) {}

    bool go(const State& state, int otherwise) {
        if (std::all_of(state.left.begin(), state.left.end(), [](std::int64_t n) { return n == 0; })) return true;
        if (++m_nodes > kMostNodes || m_budget.spent()) return false;
        Rest rest(m_of, state, GuillotineTable::Sort::Patterns);
        const Answer answer = rest.reach(m_budget);
        if (answer == Answer::OutOfReach && m_taken.empty()) rest.polish(m_budget);
        rest.forgetTables();
        std::vector<std::pair<double, std::size_t>> liked;
        std::vector<std::size_t> wholes;
        for (std::size_t c = 0; c < rest.columns().size(); ++c) {
            const double x = rest.use(c);
            if (x < 1e-6) continue;
            for (double n = 1.0; n <= x + 1e-6; n += 1.0) wholes.push_back(c);
            liked.emplace_back(-(std::min(x, 1.0) + 2.0 * rest.columns()[c].filled + 0.3 * m_chance.part()), c);
        }
        std::sort(liked.begin(), liked.end());
        if (answer != Answer::OutOfReach) {
            finish(rest);
            return false;
        }
        if (wholes.size() > kManyPanels) return take(rest, wholes, otherwise);
        for (int n = 0; n <= otherwise && n < static_cast<int>(liked.size()); ++n) {
            if (take(rest, {liked[static_cast<std::size_t>(n)].second}, otherwise - n)) return true;
            if (m_budget.spent()) return false;
        }
        return false;
    }

    [[nodiscard]] std::vector<SawnPanel>& taken() { return m_taken; }
    [[nodiscard]] std::vector<SawnPanel>& nearest() { return m_nearest; }

private:
    bool take(const Rest& rest, const std::vector<std::size_t>& columns, int otherwise) {
        const std::size_t before = m_taken.size();
        State next = rest.state();
        for (const std::size_t n : columns) {
            const Rest::Column& c = rest.columns()[n];
            if (!m_of.available(next, c.bin)) continue;
            SawnPattern p = m_of.clipped(next, c.pattern);
            m_of.take(next, c.bin, p);
            m_taken.push_back({c.bin, std::move(p)});
        }
        if (go(next, otherwise)) return true;
        m_taken.resize(before);
        return false;
    }

    /// It does not work from here: what of the columns holds most, for what money there is.
    void finish(const Rest& rest) {
        State state = rest.state();
        std::vector<SawnPanel> panels = m_taken;
        while (true) {
            double most = 0.0;
            SawnPanel best;
            for (std::size_t c = 0; c < rest.columns().size(); ++c) {
                const Rest::Column& column = rest.columns()[c];
                if (column.filled <= most || !m_of.available(state, column.bin)) continue;
                SawnPattern p = m_of.clipped(state, column.pattern);
                const double filled = m_of.filled(column.bin, p);
                if (filled <= most) continue;
                most = filled;
                best = {column.bin, std::move(p)};
            }
            if (most <= 0.0) break;
            m_of.take(state, best.bin, best.pattern);
            panels.push_back(std::move(best));
        }
        double left = 0.0;
        for (std::size_t k = 0; k < m_of.m_kinds.sizes.size(); ++k) left += static_cast<double>(state.left[m_of.m_kinds.takes[k].row]) * m_of.areaOf(k);
        if (left >= m_least) return;
        m_least = left;
        m_nearest = std::move(panels);
    }

    LimitedRelaxation& m_of;
    Chance m_chance;
    Budget& m_budget;
    std::vector<SawnPanel> m_taken;
    std::vector<SawnPanel> m_nearest;
    double m_least = std::numeric_limits<double>::max();
    int m_nodes = 0;
};

LimitedRelaxation::LimitedRelaxation(const PanelCore& core, PanelKinds kinds, std::uint64_t workOfOne)
    : m_bins(core.bins), m_kinds(std::move(kinds)), m_workOfOne(workOfOne) {
    double dearest = 0.0;
    for (std::size_t b = 0; b < m_bins.size(); ++b) {
        if (!m_bins[b].onHand) dearest = std::max(dearest, static_cast<double>(m_bins[b].cost));
        auto size = std::find_if(m_sizes.begin(), m_sizes.end(), [&](const Size& s) { return s.width == m_bins[b].width && s.height == m_bins[b].height; });
        if (size == m_sizes.end()) size = m_sizes.insert(size, {m_bins[b].width, m_bins[b].height, {}});
        size->bins.push_back(b);
    }
    if (dearest > 0.0) m_unit = dearest;
}

void LimitedRelaxation::know(std::size_t bin, const SawnPattern& pattern) {
    if (m_known.size() < kMostKnown) m_known.push_back({bin, pattern});
}

LimitedRelaxation::State LimitedRelaxation::all(std::int64_t cost) const {
    State s;
    s.left = m_kinds.demand;
    for (const Bin& b : m_bins) s.onHand.push_back(b.onHand ? b.limit : 0);
    s.money = cost;
    return s;
}

bool LimitedRelaxation::available(const State& state, std::size_t bin) const {
    const Bin& b = m_bins[bin];
    return b.onHand ? state.onHand[bin] > 0 : b.cost <= state.money;
}

double LimitedRelaxation::areaOf(std::size_t kind) const {
    return static_cast<double>(m_kinds.sizes[kind].width) * static_cast<double>(m_kinds.sizes[kind].height);
}

SawnPattern LimitedRelaxation::clipped(const State& state, const SawnPattern& pattern) const {
    SawnPattern out = pattern;
    std::vector<std::int64_t> left = state.left;
    for (SawnPattern::Part& part : out.parts) {
        if (part.kind < 0) continue;
        const Taken& t = m_kinds.takes[static_cast<std::size_t>(part.kind)];
        --left[t.row];
        if (t.mate != SIZE_MAX) --left[t.mate];
        if (left[t.row] >= 0 && (t.mate == SIZE_MAX || left[t.mate] >= 0)) continue;
        ++left[t.row];
        if (t.mate != SIZE_MAX) ++left[t.mate];
        --out.counts[static_cast<std::size_t>(part.kind)];
        part.kind = -1;
    }
    return out;
}

double LimitedRelaxation::filled(std::size_t bin, const SawnPattern& pattern) const {
    double area = 0.0;
    for (std::size_t k = 0; k < pattern.counts.size(); ++k) area += pattern.counts[k] * areaOf(k);
    return area / m_bins[bin].area();
}

void LimitedRelaxation::take(State& state, std::size_t bin, const SawnPattern& pattern) const {
    for (std::size_t k = 0; k < pattern.counts.size(); ++k) {
        state.left[m_kinds.takes[k].row] -= pattern.counts[k];
        if (m_kinds.takes[k].mate != SIZE_MAX) state.left[m_kinds.takes[k].mate] -= pattern.counts[k];
    }
    m_bins[bin].onHand ? --state.onHand[bin] : state.money -= m_bins[bin].cost;
}

LimitedRelaxation::Answer LimitedRelaxation::ask(std::int64_t cost, Budget& budget) {
    return Rest(*this, all(cost), GuillotineTable::Sort::Bound).reach(budget);
}

LimitedRelaxation::Plan LimitedRelaxation::plan(std::int64_t cost, std::uint64_t seed, Budget& budget) {
    Dive dive(*this, seed, budget);
    const bool whole = dive.go(all(cost), kOtherwise);
    return {whole, std::move(whole ? dive.taken() : dive.nearest())};
}

} // namespace spanwright::shop
