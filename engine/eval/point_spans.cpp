// SPDX-License-Identifier: MIT
// Ranges where they vary from point to point: their searches run side by side, a lane for a point and a place.
#include <algorithm>
#include <cmath>
#include <optional>
#include <span>

#include "engine/eval/breaks.h"
#include "engine/eval/flags.h"
#include "engine/eval/flat_run.h"
#include "engine/eval/machine.h"
#include "engine/eval/points.h"
#include "engine/eval/range.h"
#include "engine/eval/spans.h"
#include "engine/eval/turning.h"

namespace spanwright::eval {

using meaning::Expr;
using meaning::ExprId;
using meaning::QuantityId;
using meaning::RangeOp;

namespace {

/// Points whose searches run side by side: their last grids are one block, their first samples fit the cache.
constexpr std::size_t kTogether = 16;
/// Roots ask for one place at a time once they have their samples.
constexpr std::size_t kRootsTogether = 64;

/// Searches of the points from `first` on, worked through side by side. `work`: no less than what any of them asked.
template <class Search, class Evaluate> bool sideBySide(std::span<Search> searches, std::uint64_t& work, const Evaluate& evaluate) {
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
    if (!written.usable || m_laneSlot[e.index] != nullptr) return false;
    const Arena::Mark mark(m_arena);
    std::vector<const double*> ends;
    for (std::size_t i = 1; i < e.children.size(); ++i) {
        double* lanes = m_arena.take(n);
        if (!block(formula(e.children[i]), n, mask, lanes)) return false;
        ends.push_back(lanes);
    }
    // What the row would complain about, and a range without length: each point by itself.
    std::vector<std::uint8_t> counts(n, 1);
    bool plain = mask == nullptr && ends.size() == 2;
    if (plain) {
        const double *a = ends[0], *b = ends[1];
        std::size_t ordered = 0;
        for (std::size_t i = 0; i < n; ++i) ordered += a[i] < b[i] ? 1U : 0U;
        plain = ordered == n && allFinite(a, n) && allFinite(b, n);
    }
    for (std::size_t i = 0; i < n && !plain; ++i) {
        if (mask != nullptr && mask[i] == 0) {
            counts[i] = 0;
            continue;
        }
        bool fine = ends.front()[i] < ends.back()[i];
        for (std::size_t k = 0; k < ends.size(); ++k) fine = fine && std::isfinite(ends[k][i]) && (k == 0 || ends[k - 1][i] <= ends[k][i]);
        if (fine) continue;
        counts[i] = 0;
        m_points->alone.push_back(static_cast<std::uint32_t>(i));
    }
    m_outerFlags |= raisedFlags();
    FlatRun run(*this, written, n);
    const bool places = e.range == RangeOp::WhereLargest || e.range == RangeOp::WhereSmallest;
    const double sign = e.range == RangeOp::Smallest || e.range == RangeOp::WhereSmallest ? -1.0 : 1.0;
    std::vector<LargestSearch> searches;
    std::vector<Integration> integrals;
    std::vector<RootSearch> roots;
    std::vector<std::uint32_t> points, owners;
    std::vector<double> named;
    const auto evaluate = [&](const std::vector<double>& x, const std::vector<std::uint32_t>& owner, std::vector<double>& f) {
        clearFlags(); // what a search raises on its way is not the row's
        owners.resize(owner.size());
        for (std::size_t i = 0; i < owner.size(); ++i) owners[i] = points[owner[i]];
        for (std::size_t first = 0; first < x.size(); first += kLanes)
            if (!run.block(x.data() + first, std::min(kLanes, x.size() - first), f.data() + first, owners.data() + first)) return false;
        return true;
    };
    // A lane that does not count, or is left to itself, gets a number that may be worked with.
    for (std::size_t i = 0; i < n; ++i) out[i] = !plain && counts[i] == 0 && std::isfinite(ends.front()[i]) ? ends.front()[i] : 0.0;
    if (e.range != RangeOp::Integral && e.range != RangeOp::Root) {
        if (!turningPoints(run, ends, counts, sign, places, out) || run.bad() || m_work > kMostWork) return false;
        if (std::all_of(counts.begin(), counts.end(), [](std::uint8_t c) { return c == 0; })) {
            clearFlags();
            return true;
        }
    }
    const std::uint64_t workBefore = m_work;
    std::uint64_t most = workBefore;
    for (std::size_t first = 0; first < n;) {
        points.clear();
        for (; first < n && points.size() < (e.range == RangeOp::Root ? kRootsTogether : kTogether); ++first)
            if (counts[first] != 0) points.push_back(static_cast<std::uint32_t>(first));
        std::uint64_t work = workBefore;
        const auto workThem = [&](auto& each, const auto& begin) {
            each.resize(points.size());
            for (std::size_t p = 0; p < points.size(); ++p) {
                named.clear();
                for (const double* end : ends) named.push_back(end[points[p]]);
                begin(each[p], spans::merged(named, run.breaks(named.front(), named.back(), points[p])), points[p]);
            }
            if (run.bad() || !sideBySide(std::span(each), work, evaluate)) return false;
            for (std::size_t p = 0; p < points.size(); ++p) {
                const RangeResult result = each[p].result();
                const bool fine = result.state == RangeResult::State::Ok;
                if (!fine) m_points->alone.push_back(points[p]);
                out[points[p]] = !fine ? ends.front()[points[p]] : places ? result.place : result.value;
            }
            return true;
        };
        bool fine = false;
        if (e.range == RangeOp::Integral) {
            fine = workThem(integrals, [](Integration& i, const std::vector<double>& all, std::uint32_t) { i.begin(all); });
        } else if (e.range == RangeOp::Root) {
            fine = workThem(roots, [](RootSearch& r, const std::vector<double>& all, std::uint32_t) { r.begin(all); });
        } else {
            fine = workThem(searches, [&](LargestSearch& s, const std::vector<double>& all, std::uint32_t) { s.begin(all, sign); });
        }
        if (!fine) return false;
        most = std::max(most, work);
    }
    m_work = most;
    clearFlags();
    return true;
}

std::optional<bool> Engine::middles(FlatRun& run, const std::vector<const double*>& ends, std::vector<std::uint8_t>& counts, double sign, bool places,
                                    double* out) {
    const std::size_t n = counts.size();
    if (ends.size() != 2 || n > kLanes || std::find(counts.begin(), counts.end(), 0) != counts.end()) return std::nullopt;
    const beam::EvenLines* lines = run.evenLines(sign > 0.0);
    if (lines == nullptr) return std::nullopt;
    for (std::size_t i = 0; i < n; ++i)
        if (ends[0][i] != lines->from(i) || ends[1][i] != lines->to(i)) return std::nullopt;
    if (!run.unbroken(ends[0], ends[1])) return run.bad() ? std::optional(false) : std::nullopt;
    // Both ends, just inside of them, beside what changes by steps there, and the middle: a lane for each point, one place after the other.
    constexpr std::size_t kMost = 7;
    const std::size_t each = run.stepsAlong() ? kMost : kMost - 2;
    const Arena::Mark mark(m_arena);
    double *x = m_arena.take(kMost * n), *f = m_arena.take(each * n);
    const auto placesOf = [](double a, double b, double* to, std::size_t step) {
        const double beside = FlatRun::kBeside * (b - a);
        const double all[kMost] = {a, justAbove(a, b), FlatRun::middleOf(a, b), justBelow(a, b), b, a + beside, b - beside};
        for (std::size_t k = 0; k < kMost; ++k) to[k * step] = all[k];
    };
    const auto alike = [n](const double* end) { return std::all_of(end + 1, end + n, [&](double e) { return e == *end; }); };
    if (alike(ends[0]) && alike(ends[1])) {
        double all[kMost];
        placesOf(*ends[0], *ends[1], all, 1);
        for (std::size_t k = 0; k < each; ++k) std::fill(x + k * n, x + (k + 1) * n, all[k]);
    } else {
        for (std::size_t i = 0; i < n; ++i) placesOf(ends[0][i], ends[1][i], x + i, n);
    }
    clearFlags();
    for (std::size_t k = 0; k < each; ++k)
        if (!run.block(x + k * n, n, f + k * n, FlatRun::kEachOnce.data())) return false;
    if (!places) {
        for (std::size_t i = 0; i < n; ++i) out[i] = sign * f[i];
        for (std::size_t k = 1; k < each; ++k)
            for (std::size_t i = 0; i < n; ++i) out[i] = std::max(out[i], sign * f[k * n + i]);
        for (std::size_t i = 0; i < n; ++i) out[i] = sign * out[i];
    }
    for (std::size_t i = 0; i < n && places; ++i) {
        double at[kMost], values[kMost];
        for (std::size_t k = 0; k < each; ++k) {
            at[k] = x[k * n + i];
            values[k] = f[k * n + i];
        }
        const double points[] = {ends[0][i], ends[1][i]};
        const RangeResult result = largestOfTurning(points, at, values, each, sign);
        out[i] = result.place;
    }
    std::fill(counts.begin(), counts.end(), 0);
    m_work += each;
    return true;
}

bool Engine::turningPoints(FlatRun& run, const std::vector<const double*>& ends, std::vector<std::uint8_t>& counts, double sign, bool places, double* out) {
    struct Mine {
        std::uint32_t point = 0;
        std::size_t firstBreak = 0, firstPiece = 0, firstPlace = 0;
    };
    constexpr std::size_t kSide = 64; // points whose places are held at once
    if (!run.mayTurn(sign > 0.0)) return true;
    if (const std::optional<bool> done = middles(run, ends, counts, sign, places, out)) return *done;
    std::vector<Mine> mine;
    std::vector<double> named, all, middles, times, x, f, turns;
    std::vector<std::uint32_t> owners;
    std::vector<beam::SagTerm> terms;
    const Quiet quiet(*this);
    std::uint64_t most = 0;
    for (std::size_t first = 0; first < counts.size();) {
        mine.clear();
        all.clear();
        middles.clear();
        x.clear();
        owners.clear();
        for (; first < counts.size() && mine.size() < kSide; ++first) {
            if (counts[first] == 0) continue;
            const beam::Solved* solved = run.turningBeam(sign > 0.0, first);
            const bool sags = solved == nullptr && run.sagsAt(first, terms);
            if (solved == nullptr && !sags) continue;
            named.clear();
            for (const double* end : ends) named.push_back(end[first]);
            const auto breaksInside = [&](const beam::Solved& s) { // mostly none: only the ends
                return std::any_of(s.breaks().begin(), s.breaks().end(), [&](double b) { return b > named.front() && b < named.back(); });
            };
            if (sags && (run.stepsAlong() || std::any_of(terms.begin(), terms.end(), [&](const beam::SagTerm& t) { return breaksInside(*t.beam); }))) {
                named = spans::merged(named, run.breaks(named.front(), named.back(), first));
                if (run.vague()) continue;
            } else if (named.size() > 2 || (!sags && breaksInside(*solved))) {
                BreakPlaces breaks(named.front(), named.back());
                if (!sags)
                    for (const double b : solved->breaks()) breaks.add(b);
                named = spans::merged(named, breaks.keptApart());
            }
            mine.push_back({static_cast<std::uint32_t>(first), all.size(), middles.size(), 0});
            all.insert(all.end(), named.begin(), named.end());
            if (!sags) continue;
            for (std::size_t piece = 1; piece < named.size(); ++piece) middles.push_back(FlatRun::middleOf(named[piece - 1], named[piece]));
            owners.resize(middles.size(), static_cast<std::uint32_t>(first));
        }
        clearFlags();
        if (!middles.empty() && !run.timesAt(middles.data(), middles.size(), owners.data(), times)) return false;
        owners.clear();
        const auto breaksOf = [&](std::size_t m) {
            const std::size_t begin = mine[m].firstBreak, end = m + 1 == mine.size() ? all.size() : mine[m + 1].firstBreak;
            return std::span(all).subspan(begin, end - begin);
        };
        for (std::size_t m = 0; m < mine.size(); ++m) {
            const std::span<const double> points = breaksOf(m);
            mine[m].firstPlace = x.size();
            turns.clear();
            if (const beam::Solved* solved = run.turningBeam(sign > 0.0, mine[m].point))
                turns = run.turnsOf(*solved, points.front(), points.back());
            else if (!run.sagsAt(mine[m].point, terms) || !run.addTurnsOfSags(points, terms, times.data() + mine[m].firstPiece, middles.size(), turns))
                continue;
            counts[mine[m].point] = 0;
            addTurningPlaces(points, turns, x);
            owners.resize(x.size(), mine[m].point);
            most = std::max<std::uint64_t>(most, x.size() - mine[m].firstPlace);
        }
        f.resize(x.size());
        clearFlags();
        for (std::size_t at = 0; at < x.size(); at += kLanes)
            if (!run.block(x.data() + at, std::min(kLanes, x.size() - at), f.data() + at, owners.data() + at)) return false;
        for (std::size_t m = 0; m < mine.size(); ++m) {
            const std::size_t p = mine[m].firstPlace, end = m + 1 == mine.size() ? x.size() : mine[m + 1].firstPlace;
            if (p == end) continue;
            const RangeResult result = largestOfTurning(breaksOf(m), x.data() + p, f.data() + p, end - p, sign);
            out[mine[m].point] = places ? result.place : result.value;
        }
    }
    m_work += most;
    return true;
}

bool Engine::searchTogether(const FlatGroup& group, const std::vector<ExprId>& spans, const std::vector<QuantityId>& axes, PointScope& scope, std::size_t n,
                            const std::vector<double*>& out) {
    m_points = &scope;
    clearFlags();
    m_outerFlags = 0;
    const bool fine = together(group, spans, axes, n, out);
    m_points = nullptr;
    clearFlags();
    return fine;
}

bool Engine::together(const FlatGroup& group, const std::vector<ExprId>& spans, const std::vector<QuantityId>& axes, std::size_t n,
                      const std::vector<double*>& out) {
    const Arena::Mark mark(m_arena);
    const Expr& first = m_pool.at(spans.front());
    std::vector<const double*> ends;
    for (std::size_t i = 1; i < first.children.size(); ++i) {
        double* lanes = m_arena.take(n);
        if (!block(formula(first.children[i]), n, nullptr, lanes)) return false;
        ends.push_back(lanes);
        for (std::size_t p = 0; p < n; ++p)
            if (!std::isfinite(lanes[p]) || (i > 1 && lanes[p] < ends[i - 2][p])) return false;
    }
    for (std::size_t p = 0; p < n; ++p)
        if (!(ends.front()[p] < ends.back()[p])) return false;
    FlatRun run(*this, group.flat, n, axes);
    const std::size_t bodies = spans.size(), each = run.cases() * bodies;
    std::vector<LargestSearch> searches(each * kTogether);
    std::vector<std::uint64_t> works(each, 0), most(each, 0);
    std::vector<std::uint32_t> owners, blockOwners;
    std::vector<double> named, x, values;
    std::vector<double*> into(each);
    for (std::size_t begin = 0; begin < n; begin += kTogether) {
        const std::size_t count = std::min(kTogether, n - begin);
        const auto search = [&](std::size_t which, std::size_t p) -> LargestSearch& { return searches[which * kTogether + p]; };
        std::fill(works.begin(), works.end(), 0);
        for (std::size_t which = 0; which < each; ++which) {
            if (which % bodies == 0) run.setCase(which / bodies);
            const RangeOp op = m_pool.at(spans[which % bodies]).range;
            const double sign = op == RangeOp::Smallest || op == RangeOp::WhereSmallest ? -1.0 : 1.0;
            for (std::size_t p = 0; p < count; ++p) {
                named.clear();
                for (const double* end : ends) named.push_back(end[begin + p]);
                const auto& breaking = group.bodies[which % bodies].breaking;
                search(which, p).begin(spans::merged(named, run.breaks(breaking, named.front(), named.back(), begin + p)), sign);
            }
        }
        if (run.bad()) return false;
        // As long as all want the same places.
        const auto alike = [&] {
            for (std::size_t which = 1; which < each; ++which)
                for (std::size_t p = 0; p < count; ++p)
                    if (!search(which, p).wantsLike(search(0, p))) return false;
            return true;
        };
        while (alike()) {
            x.clear();
            owners.clear();
            std::size_t longest = 0;
            for (std::size_t p = 0; p < count; ++p) {
                const std::vector<double>& wanted = search(0, p).wanted();
                x.insert(x.end(), wanted.begin(), wanted.end());
                owners.insert(owners.end(), wanted.size(), static_cast<std::uint32_t>(begin + p));
                longest = std::max(longest, wanted.size());
            }
            if (x.empty()) break;
            values.resize(x.size() * each);
            for (std::size_t from = 0; from < x.size(); from += kLanes) {
                for (std::size_t which = 0; which < each; ++which) into[which] = values.data() + which * x.size() + from;
                if (!run.blockOfAll(group.bodies, x.data() + from, std::min(kLanes, x.size() - from), into, owners.data() + from)) return false;
            }
            for (std::size_t which = 0; which < each; ++which) {
                works[which] += longest;
                std::size_t at = which * x.size();
                for (std::size_t p = 0; p < count; ++p) {
                    const std::size_t took = search(which, p).wanted().size();
                    if (took != 0) search(which, p).take(values.data() + at);
                    at += took;
                }
            }
        }
        // Then each near its own summits.
        for (std::size_t which = 0; which < each; ++which) {
            if (which % bodies == 0) run.setCase(which / bodies);
            const std::uint32_t root = group.bodies[which % bodies].root;
            const auto evaluate = [&](const std::vector<double>& places, const std::vector<std::uint32_t>& owner, std::vector<double>& f) {
                clearFlags(); // what a search raises on its way is not the row's
                blockOwners.resize(owner.size());
                for (std::size_t i = 0; i < owner.size(); ++i) blockOwners[i] = static_cast<std::uint32_t>(begin) + owner[i];
                for (std::size_t from = 0; from < places.size(); from += kLanes)
                    if (!run.blockOf(root, places.data() + from, std::min(kLanes, places.size() - from), f.data() + from, blockOwners.data() + from))
                        return false;
                return true;
            };
            if (!sideBySide(std::span(searches).subspan(which * kTogether, count), works[which], evaluate)) return false;
            most[which] = std::max(most[which], works[which]);
            const RangeOp op = m_pool.at(spans[which % bodies]).range;
            const bool places = op == RangeOp::WhereLargest || op == RangeOp::WhereSmallest;
            for (std::size_t p = 0; p < count; ++p) {
                const RangeResult result = search(which, p).result();
                out[which][begin + p] = places ? result.place : result.value;
            }
        }
    }
    // No more than a row may take by itself.
    for (std::size_t b = 0; b < bodies; ++b) {
        std::uint64_t ofRow = 0;
        for (std::size_t which = b; which < each; which += bodies) ofRow += most[which];
        if (ofRow > kMostWork) return false;
    }
    return true;
}

} // namespace spanwright::eval
