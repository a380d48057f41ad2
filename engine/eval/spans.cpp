// SPDX-License-Identifier: MIT
// integral, largest, smallest, where_largest, where_smallest and root along a range.
#include <algorithm>
#include <cmath>
#include <optional>

#include "engine/eval/breaks.h"
#include "engine/eval/engine.h"
#include "engine/eval/flags.h"
#include "engine/eval/flat_run.h"
#include "engine/eval/range.h"
#include "engine/eval/spans.h"
#include "engine/eval/turning.h"

namespace spanwright::eval {

using meaning::Expr;
using meaning::ExprId;
using meaning::RangeOp;

namespace spans {

/// Named points and found breaks in one ascending list; a named one stays where both nearly agree.
std::vector<double> merged(const std::vector<double>& named, const std::vector<double>& found) {
    const double least = 1e-12 * (named.back() - named.front());
    std::vector<double> all;
    all.reserve(named.size() + found.size());
    all = named;
    for (const double x : found) {
        const auto at = std::lower_bound(named.begin(), named.end(), x);
        const bool near = (at != named.end() && *at - x <= least) || (at != named.begin() && x - *(at - 1) <= least);
        if (!near) all.push_back(x);
    }
    std::sort(all.begin(), all.end());
    all.erase(std::unique(all.begin(), all.end()), all.end());
    return all;
}

} // namespace spans

namespace {

using spans::merged;

const char* whatOf(RangeOp op) {
    switch (op) {
    case RangeOp::Integral: return "the integral";
    case RangeOp::Root: return "the root";
    case RangeOp::Largest:
    case RangeOp::WhereLargest: return "the largest value";
    default: return "the smallest value";
    }
}

} // namespace

double Engine::span(const Expr& e) {
    const ExprId body = e.children[0];
    std::vector<double> points;
    for (std::size_t i = 1; i < e.children.size(); ++i) {
        const double p = run(e.children[i]);
        if (m_failed) return 0.0;
        if (!std::isfinite(p)) {
            explain(e.children[i]);
            return 0.0;
        }
        if (!points.empty() && p < points.back()) {
            diag::Diagnostic d;
            d.code = diag::Code::EmptyRange;
            d.place = place(m_pool.at(e.children[i]));
            d.message = "the range runs backwards: from " + written(m_pool.at(e.children[i - 1])) + " = " + shown(e.children[i - 1], points.back()) + " to " +
                        written(m_pool.at(e.children[i])) + " = " + shown(e.children[i], p);
            d.mend = "write the ends and kinks of a range in ascending order";
            fail(std::move(d));
            return 0.0;
        }
        points.push_back(p);
    }
    const std::uint32_t slot = e.index;
    const double kept = m_slots[slot];
    m_ranges.push_back({slot, e.writtenText.empty() ? "x" : e.writtenText, e.children[1]});
    // The variable's own name stands at its uses.
    std::vector<ExprId> pending{body};
    for (std::size_t n = 0; !pending.empty() && n < 1'000; ++n) {
        const Expr& inside = m_pool.at(pending.back());
        pending.pop_back();
        if (inside.kind == meaning::ExprKind::Bound && inside.index == slot && !inside.writtenText.empty()) {
            m_ranges.back().name = inside.writtenText;
            break;
        }
        pending.insert(pending.end(), inside.children.begin(), inside.children.end());
    }

    // What the search itself raises on its way (a secant that is level, say) is not the row's: only what the
    // body raises counts, and along() sees to that.
    m_outerFlags |= raisedFlags();
    std::optional<FlatRun> flatRun;
    if (m_points == nullptr && points.back() > points.front()) {
        if (const Flat& written = flat(body, slot); written.usable) flatRun.emplace(*this, written);
    }
    const Body evaluate = [&](const double* x, std::size_t n, double* out) {
        clearFlags();
        return along(body, slot, x, n, out, flatRun ? &*flatRun : nullptr);
    };
    RangeResult result;
    bool sampled = e.range == RangeOp::Root && points.back() > points.front();
    if (points.back() == points.front()) {
        const double x = points.front();
        double v = 0.0;
        if (e.range == RangeOp::Integral) {
            result.value = 0.0;
        } else if (!evaluate(&x, 1, &v)) {
            result.state = RangeResult::State::BodyFailed;
        } else {
            result.value = v;
            result.place = x;
            result.least = result.most = v;
            if (e.range == RangeOp::Root && v != 0.0) result.state = RangeResult::State::NoRoot;
        }
    } else {
        points = merged(points, flatRun ? flatRun->breaks(points.front(), points.back()) : breaksOf(*this, body, slot, points.front(), points.back()));
        if (e.range == RangeOp::Integral)
            result = integrate(evaluate, points);
        else if (e.range == RangeOp::Root)
            result = findRoot(evaluate, points);
        else {
            const bool larger = e.range == RangeOp::Largest || e.range == RangeOp::WhereLargest;
            std::optional<std::vector<double>> turns;
            if (flatRun) turns = flatRun->turns(points, larger);
            if (turns) {
                std::vector<double> x;
                addTurningPlaces(points, *turns, x);
                std::vector<double> f(x.size());
                if (evaluate(x.data(), x.size(), f.data()))
                    result = largestOfTurning(points, x.data(), f.data(), x.size(), larger ? 1.0 : -1.0);
                else
                    result.state = RangeResult::State::BodyFailed;
            } else {
                sampled = true;
                result = searchLargest(evaluate, points, larger ? 1.0 : -1.0);
            }
        }
    }
    clearFlags();
    const std::string variable = m_ranges.back().name;
    const ExprId unitOf = m_ranges.back().unitOf;
    m_ranges.pop_back();
    m_slots[slot] = kept;
    lastPlace = result.place;
    lastSampled = sampled;
    if (m_failed) return 0.0;

    diag::Diagnostic d;
    d.place = place(e);
    switch (result.state) {
    case RangeResult::State::Ok:
        if (e.range == RangeOp::WhereLargest || e.range == RangeOp::WhereSmallest || e.range == RangeOp::Root) return result.place;
        return result.value;
    case RangeResult::State::BodyFailed:
        d.code = diag::Code::InvalidOperation;
        d.message = written(m_pool.at(body)) + " has no value as a number somewhere along its range";
        d.mend = "look at the values it reads";
        break;
    case RangeResult::State::Unsettled:
        d.code = diag::Code::NoConvergence;
        d.message = std::string(whatOf(e.range)) + " of " + written(m_pool.at(body)) + " did not settle near " + variable + " = " + shown(unitOf, result.place);
        d.mend = "name the places where the formula has a kink or a jump (" + variable + " from A to KINK to B), and keep it finite in between";
        break;
    case RangeResult::State::NoRoot:
        d.code = diag::Code::NoRoot;
        d.message = written(m_pool.at(body)) + " does not change sign between " + variable + " = " + shown(unitOf, points.front()) + " and " +
                    shown(unitOf, points.back()) + ": it lies between " + shown(body, result.least) + " and " + shown(body, result.most);
        d.mend = "look for the root in a range where the sign changes";
        break;
    case RangeResult::State::Jump:
        d.code = diag::Code::NoRoot;
        d.message = written(m_pool.at(body)) + " changes sign by a jump at " + variable + " = " + shown(unitOf, result.place) + " without being zero";
        d.mend = "look for the root in a range without the jump";
        break;
    }
    fail(std::move(d));
    return 0.0;
}

} // namespace spanwright::eval
