// SPDX-License-Identifier: MIT
#include "engine/eval/range.h"

#include <algorithm>
#include <array>
#include <boost/math/quadrature/gauss.hpp>
#include <boost/math/tools/toms748_solve.hpp>
#include <cmath>
#include <utility>

namespace spanwright::eval {

namespace {

constexpr std::size_t kOrder = 15;
constexpr double kAccuracy = 1e-10;
constexpr int kMostHalvings = 60;
constexpr std::size_t kPanelsAtOnce = 16;  // 240 places: one block
constexpr std::size_t kMostOpen = 1 << 14; // panels not settled at once
constexpr std::size_t kSamples = 128;
constexpr std::size_t kGrid = 16;
constexpr double kAlike = 1e-12;

/// Nodes on [-1, 1] ascending, with weights.
struct Rule {
    std::array<double, kOrder> node{}, weight{};
    Rule() {
        using Gauss = boost::math::quadrature::gauss<double, kOrder>;
        const auto& a = Gauss::abscissa(); // 0 and the positive ones
        const auto& w = Gauss::weights();
        constexpr std::size_t middle = kOrder / 2;
        for (std::size_t i = 0; i < a.size(); ++i) {
            node[middle + i] = a[i];
            node[middle - i] = -a[i];
            weight[middle + i] = weight[middle - i] = w[i];
        }
    }
};
const Rule& rule() {
    static const Rule r;
    return r;
}

struct Panel {
    double a = 0.0, b = 0.0;
    double sum = 0.0;  ///< this panel's own estimate
    double size = 0.0; ///< estimate of the integral of |f|
    int halvings = 0;
};

/// Estimates for many panels, blocks of places at a time.
bool estimate(const Body& body, std::vector<Panel>& panels) {
    const Rule& r = rule();
    std::array<double, kOrder * kPanelsAtOnce> x{}, f{};
    for (std::size_t first = 0; first < panels.size(); first += kPanelsAtOnce) {
        const std::size_t count = std::min(kPanelsAtOnce, panels.size() - first);
        for (std::size_t p = 0; p < count; ++p) {
            const Panel& panel = panels[first + p];
            const double middle = 0.5 * (panel.a + panel.b), half = 0.5 * (panel.b - panel.a);
            for (std::size_t i = 0; i < kOrder; ++i) x[p * kOrder + i] = middle + half * r.node[i];
        }
        if (!body(x.data(), count * kOrder, f.data())) return false;
        for (std::size_t p = 0; p < count; ++p) {
            Panel& panel = panels[first + p];
            const double half = 0.5 * (panel.b - panel.a);
            double sum = 0.0, size = 0.0;
            for (std::size_t i = 0; i < kOrder; ++i) {
                sum += r.weight[i] * f[p * kOrder + i];
                size += r.weight[i] * std::fabs(f[p * kOrder + i]);
            }
            panel.sum = sum * half;
            panel.size = size * half;
        }
    }
    return true;
}

} // namespace

RangeResult integrate(const Body& body, const std::vector<double>& points) {
    RangeResult result;
    std::vector<Panel> open;
    for (std::size_t i = 1; i < points.size(); ++i) open.push_back({points[i - 1], points[i], 0.0, 0.0, 0});
    if (!estimate(body, open)) {
        result.state = RangeResult::State::BodyFailed;
        return result;
    }
    double settled = 0.0, settledSize = 0.0, left = 0.0;
    while (!open.empty()) {
        std::vector<Panel> halves;
        halves.reserve(open.size() * 2);
        for (const Panel& p : open) {
            const double middle = 0.5 * (p.a + p.b);
            halves.push_back({p.a, middle, 0.0, 0.0, p.halvings + 1});
            halves.push_back({middle, p.b, 0.0, 0.0, p.halvings + 1});
        }
        if (!estimate(body, halves)) {
            result.state = RangeResult::State::BodyFailed;
            return result;
        }
        double size = settledSize;
        for (const Panel& p : halves) size += p.size;
        // A panel may be wrong by its share of the whole, but at least by a thousandth of what is allowed:
        // a kink or a jump inside needs panels far shorter than its share would ever grant.
        const double allowed = kAccuracy * size;
        double sumOfDifferences = 0.0;
        for (std::size_t i = 0; i < open.size(); ++i) sumOfDifferences += std::fabs(open[i].sum - halves[2 * i].sum - halves[2 * i + 1].sum);
        const bool allSettled = sumOfDifferences <= 0.5 * allowed;
        std::vector<Panel> next;
        for (std::size_t i = 0; i < open.size(); ++i) {
            const Panel &l = halves[2 * i], &r = halves[2 * i + 1];
            const double difference = std::fabs(open[i].sum - l.sum - r.sum);
            if (allSettled || difference <= 1e-3 * allowed) {
                settled += l.sum + r.sum;
                settledSize += l.size + r.size;
                left += difference;
                continue;
            }
            const double middle = l.b;
            if (l.halvings >= kMostHalvings || !(open[i].a < middle && middle < open[i].b)) {
                result.state = RangeResult::State::Unsettled;
                result.place = middle;
                return result;
            }
            next.push_back(l);
            next.push_back(r);
        }
        if (next.size() > kMostOpen) {
            result.state = RangeResult::State::Unsettled;
            result.place = next.front().b;
            return result;
        }
        open = std::move(next);
    }
    if (!(left <= kAccuracy * settledSize)) {
        result.state = RangeResult::State::Unsettled;
        result.place = 0.5 * (points.front() + points.back());
        return result;
    }
    result.value = settled;
    return result;
}

RangeResult searchLargest(const Body& body, const std::vector<double>& points, double sign) {
    RangeResult result;
    const double length = points.back() - points.front();
    struct Best {
        double x = 0.0, value = 0.0;
    };
    std::vector<Best> ends;
    struct Bracket {
        double a = 0.0, b = 0.0;
        Best best;
        bool open = true;
    };
    std::vector<Bracket> brackets;
    std::vector<double> x, f;
    for (std::size_t piece = 1; piece < points.size(); ++piece) {
        const double a = points[piece - 1], b = points[piece];
        if (!(a < b)) continue;
        x.clear();
        x.push_back(a);
        const double inside = std::nextafter(a, b), insideEnd = std::nextafter(b, a);
        if (inside < b) x.push_back(inside);
        for (std::size_t i = 1; i < kSamples; ++i) {
            const double at = a + (b - a) * (static_cast<double>(i) / kSamples);
            if (at > x.back() && at < insideEnd) x.push_back(at);
        }
        if (insideEnd > x.back()) x.push_back(insideEnd);
        x.push_back(b);
        f.resize(x.size());
        if (!body(x.data(), x.size(), f.data())) {
            result.state = RangeResult::State::BodyFailed;
            return result;
        }
        for (double& v : f) v *= sign;
        const std::size_t last = x.size() - 1;
        ends.push_back({x[0], f[0]});
        ends.push_back({x[last], f[last]});
        // Inside a piece only, so that the one-sided ends do not see across a jump.
        for (std::size_t i = 1; i < last; ++i) {
            const bool rises = i == 1 || f[i] > f[i - 1];
            std::size_t next = i + 1;
            while (next < last && f[next] == f[i]) ++next;
            const bool falls = next == last || f[i] > f[next];
            if (!(rises && falls)) continue;
            Bracket bracket;
            bracket.best = {x[i], f[i]};
            bracket.a = i == 1 ? x[1] : x[i - 1];
            bracket.b = i + 1 >= last ? x[last - 1] : x[i + 1];
            brackets.push_back(bracket);
        }
    }
    // Ever finer grids, all brackets together: sixteen times sixteen places are one block.
    const double fine = 1e-13 * length;
    for (int round = 0; round < 24; ++round) {
        x.clear();
        std::vector<std::size_t> owners;
        for (std::size_t i = 0; i < brackets.size(); ++i) {
            Bracket& b = brackets[i];
            if (b.open && !(b.b - b.a > fine)) b.open = false;
            if (!b.open) continue;
            owners.push_back(i);
            for (std::size_t k = 0; k < kGrid; ++k) x.push_back(b.a + (b.b - b.a) * (static_cast<double>(k) / (kGrid - 1)));
        }
        if (owners.empty()) break;
        f.resize(x.size());
        if (!body(x.data(), x.size(), f.data())) {
            result.state = RangeResult::State::BodyFailed;
            return result;
        }
        for (std::size_t o = 0; o < owners.size(); ++o) {
            Bracket& b = brackets[owners[o]];
            const double step = (b.b - b.a) / (kGrid - 1);
            Best best = b.best;
            bool level = true;
            for (std::size_t k = 0; k < kGrid; ++k) {
                const Best here{x[o * kGrid + k], sign * f[o * kGrid + k]};
                if (here.value != b.best.value) level = false;
                if (here.value > best.value || (here.value == best.value && here.x < best.x)) best = here;
            }
            const double from = b.a, to = b.b;
            b.best = best;
            b.a = std::max(from, best.x - step);
            b.b = std::min(to, best.x + step);
            // Nothing moves any more: flat to the last bit.
            if (level) b.open = false;
        }
    }
    double most = ends.front().value;
    for (const Best& b : ends) most = std::max(most, b.value);
    for (const Bracket& b : brackets) most = std::max(most, b.best.value);
    const auto equals = [&](const Best& b) { return b.value >= most - kAlike * std::fabs(most); };
    double place = points.back();
    for (const Best& b : ends) {
        if (equals(b)) place = std::min(place, b.x);
    }
    for (const Bracket& b : brackets) {
        if (equals(b.best)) place = std::min(place, b.best.x);
    }
    // Just inside an end that has the same value: the end itself.
    for (const Best& b : ends) {
        if (equals(b) && std::fabs(b.x - place) <= kAlike * length) place = b.x;
    }
    result.value = sign * most;
    result.place = place;
    return result;
}

RangeResult findRoot(const Body& body, const std::vector<double>& points) {
    RangeResult result;
    std::vector<double> x, f;
    for (std::size_t piece = 1; piece < points.size(); ++piece) {
        const double a = points[piece - 1], b = points[piece];
        if (piece == 1) x.push_back(a);
        for (std::size_t i = 1; i < kSamples; ++i) {
            const double at = a + (b - a) * (static_cast<double>(i) / kSamples);
            if (at > x.back() && at < b) x.push_back(at);
        }
        if (b > x.back()) x.push_back(b);
    }
    f.resize(x.size());
    if (!body(x.data(), x.size(), f.data())) {
        result.state = RangeResult::State::BodyFailed;
        return result;
    }
    result.least = *std::min_element(f.begin(), f.end());
    result.most = *std::max_element(f.begin(), f.end());
    const double size = std::max(std::fabs(result.least), std::fabs(result.most));
    bool jumped = false;
    for (std::size_t i = 0; i < x.size(); ++i) {
        if (f[i] == 0.0) {
            result.place = result.value = x[i];
            return result;
        }
        if (i == 0 || (f[i - 1] < 0.0) == (f[i] < 0.0)) continue;
        struct Stop {};
        bool failed = false;
        const auto one = [&](double at) {
            double v = 0.0;
            if (!body(&at, 1, &v)) {
                failed = true;
                throw Stop{};
            }
            return v;
        };
        std::pair<double, double> ends{x[i - 1], x[i]};
        try {
            std::uintmax_t rounds = 200;
            const auto close = [](double lo, double hi) { return hi - lo <= 1e-14 * std::max(std::fabs(lo), std::fabs(hi)); };
            ends = boost::math::tools::toms748_solve(one, x[i - 1], x[i], f[i - 1], f[i], close, rounds);
            const double atLow = one(ends.first), atHigh = one(ends.second);
            const bool low = std::fabs(atLow) <= std::fabs(atHigh);
            const double at = low ? ends.first : ends.second;
            // A zero crossed by a continuous function leaves next to nothing over such a short way.
            if (std::fabs(low ? atLow : atHigh) <= 1e-6 * size) {
                result.place = result.value = at;
                return result;
            }
            if (!jumped) result.place = at;
            jumped = true;
        } catch (const Stop&) {
            result.state = RangeResult::State::BodyFailed;
            return result;
        } catch (const std::exception&) {
            result.state = failed ? RangeResult::State::BodyFailed : RangeResult::State::Unsettled;
            result.place = x[i - 1];
            return result;
        }
    }
    result.state = jumped ? RangeResult::State::Jump : RangeResult::State::NoRoot;
    return result;
}

} // namespace spanwright::eval
