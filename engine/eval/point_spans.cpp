// SPDX-License-Identifier: MIT
// Ranges where they vary from point to point: their searches run side by side, a lane for a point and a place.
#include <algorithm>
#include <cmath>
#include <optional>

#include "engine/eval/flags.h"
#include "engine/eval/flat_run.h"
#include "engine/eval/machine.h"
#include "engine/eval/points.h"
#include "engine/eval/range.h"
#include "engine/eval/spans.h"

namespace spanwright::eval {

using meaning::Expr;
using meaning::RangeOp;

namespace {

/// Points whose searches run side by side: their last grids are one block, their first samples fit the cache.
constexpr std::size_t kTogether = 16;

/// Searches of the points from `first` on, worked through side by side. `work`: no less than what any of them asked.
template <class Search, class Evaluate> bool sideBySide(std::vector<Search>& searches, std::uint64_t& work, const Evaluate& evaluate) {
    std::vector<double> x, f;
    std::vector<std::uint32_t> owner;
    while (true) {
        x.clear();
        owner.clear();
        std::size_t most = 0;
        for (std::size_t s = 0; s < searches.size(); ++s) {
            const std::vector<double>& wanted = searches[s].wanted();
            x.insert(x.end(), wanted.begin(), wanted.end());
            owner.insert(owner.end(), wanted.size(), static_cast<std::uint32_t>(s));
            most = std::max(most, wanted.size());
        }
        if (x.empty()) return true;
        work += most;
        f.resize(x.size());
        if (work > kMostWork || !evaluate(x, owner, f)) return false;
        std::size_t at = 0;
        for (Search& s : searches) {
            const std::size_t n = s.wanted().size();
            if (n != 0) s.take(f.data() + at);
            at += n;
        }
    }
}

} // namespace

bool Engine::spanPoints(const Expr& e, std::size_t n, const std::uint8_t* mask, double* out) {
    const Flat& written = flat(e.children[0], e.index);
    if (!written.usable || e.range == RangeOp::Root || m_laneSlot[e.index] != nullptr) return false;
    const Arena::Mark mark(m_arena);
    std::vector<const double*> ends;
    for (std::size_t i = 1; i < e.children.size(); ++i) {
        double* lanes = m_arena.take(n);
        if (!block(formula(e.children[i]), n, mask, lanes)) return false;
        ends.push_back(lanes);
    }
    const auto counts = [&](std::size_t i) { return mask == nullptr || mask[i] != 0; };
    for (std::size_t i = 0; i < n; ++i) {
        // What the row would complain about, and a range without length: each point by itself.
        for (std::size_t k = 0; k < ends.size() && counts(i); ++k)
            if (!std::isfinite(ends[k][i]) || (k > 0 && ends[k][i] < ends[k - 1][i])) return false;
        if (counts(i) && !(ends.front()[i] < ends.back()[i])) return false;
    }
    m_outerFlags |= raisedFlags();
    FlatRun run(*this, written, n);
    const bool places = e.range == RangeOp::WhereLargest || e.range == RangeOp::WhereSmallest;
    const double sign = e.range == RangeOp::Smallest || e.range == RangeOp::WhereSmallest ? -1.0 : 1.0;
    std::vector<LargestSearch> searches;
    std::vector<Integration> integrals;
    std::vector<std::uint32_t> points, owners;
    std::vector<double> named;
    const auto evaluate = [&](const std::vector<double>& x, const std::vector<std::uint32_t>& owner, std::vector<double>& f) {
        owners.resize(owner.size());
        for (std::size_t i = 0; i < owner.size(); ++i) owners[i] = points[owner[i]];
        for (std::size_t first = 0; first < x.size(); first += kLanes)
            if (!run.block(x.data() + first, std::min(kLanes, x.size() - first), f.data() + first, owners.data() + first)) return false;
        return true;
    };
    std::fill(out, out + n, 0.0);
    const std::uint64_t workBefore = m_work;
    std::uint64_t most = workBefore;
    for (std::size_t first = 0; first < n;) {
        points.clear();
        for (; first < n && points.size() < kTogether; ++first)
            if (counts(first)) points.push_back(static_cast<std::uint32_t>(first));
        if (e.range == RangeOp::Integral)
            integrals.resize(points.size());
        else
            searches.resize(points.size());
        for (std::size_t p = 0; p < points.size(); ++p) {
            named.clear();
            for (const double* end : ends) named.push_back(end[points[p]]);
            const std::vector<double> all = spans::merged(named, run.breaks(named.front(), named.back(), points[p]));
            if (e.range == RangeOp::Integral)
                integrals[p].begin(all);
            else if (auto turns = run.turns(all.front(), all.back(), sign > 0.0, points[p]))
                searches[p].begin(all, std::move(*turns), sign);
            else
                searches[p].begin(all, sign);
        }
        std::uint64_t work = workBefore;
        if (run.bad() || !(e.range == RangeOp::Integral ? sideBySide(integrals, work, evaluate) : sideBySide(searches, work, evaluate))) return false;
        most = std::max(most, work);
        for (std::size_t p = 0; p < points.size(); ++p) {
            const RangeResult result = e.range == RangeOp::Integral ? integrals[p].result() : searches[p].result();
            if (result.state != RangeResult::State::Ok) return false;
            out[points[p]] = places ? result.place : result.value;
        }
    }
    m_work = most;
    clearFlags();
    return true;
}

} // namespace spanwright::eval
