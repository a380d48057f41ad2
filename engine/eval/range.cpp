// SPDX-License-Identifier: MIT
#include "engine/eval/range.h"

#include <algorithm>
#include <array>
#include <boost/math/quadrature/gauss.hpp>
#include <boost/math/tools/toms748_solve.hpp>
#include <cmath>
#include <utility>

#include "engine/base/widest.h"

namespace spanwright::eval {

namespace {

constexpr std::size_t kOrder = 15;
constexpr double kAccuracy = 1e-10;
constexpr int kMostHalvings = 60;
constexpr std::size_t kMostOpen = 1 << 14; // panels not settled at once
constexpr std::size_t kSamples = 128;
constexpr std::size_t kGrid = 16, kEven = 7; ///< places of a grid; those of them that lie evenly
constexpr int kMostRounds = 40;
constexpr double kNothing = 1e-13; ///< part of a largest value that is not worth looking for
constexpr double kFarBelow = 16.0; ///< how often a bracket's drop must fit below the largest value elsewhere
constexpr double kClearly = 2e-15; ///< part of it by which one value is lower than another beyond rounding

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

/// Shares of a piece at which it is sampled.
struct Shares {
    std::array<double, kSamples> at{};
    constexpr Shares() {
        for (std::size_t i = 0; i < kSamples; ++i) at[i] = static_cast<double>(i) / kSamples;
    }
};
constexpr Shares kShares;

/// Which values between the first and the last are above the one before and not below the one behind. (Without branches, so that it goes in lanes.)
SPANWRIGHT_WIDEST void marksOf(const double* __restrict f, std::size_t n, std::uint64_t* __restrict marks) {
    for (std::size_t i = 1; i + 1 < n; ++i) {
        const std::uint64_t rises = f[i] > f[i - 1] ? 1U : 0U, topped = f[i] < f[i + 1] ? 0U : 1U;
        marks[i] = rises & topped;
    }
}

} // namespace

// --- integrals -------------------------------------------------------------------------------------

void Integration::begin(const std::vector<double>& points) {
    m_open.clear();
    for (std::size_t i = 1; i < points.size(); ++i) m_open.push_back({points[i - 1], points[i], 0.0, 0.0, 0});
    m_from = points.front();
    m_to = points.back();
    m_first = true;
    m_settled = m_settledSize = m_left = 0.0;
    m_result = {};
    ask(m_open);
}

void Integration::ask(const std::vector<Panel>& panels) {
    const Rule& r = rule();
    m_x.resize(panels.size() * kOrder);
    for (std::size_t p = 0; p < panels.size(); ++p) {
        const double middle = 0.5 * (panels[p].a + panels[p].b), half = 0.5 * (panels[p].b - panels[p].a);
        for (std::size_t i = 0; i < kOrder; ++i) m_x[p * kOrder + i] = middle + half * r.node[i];
    }
}

void Integration::halve() {
    m_halves.clear();
    for (const Panel& p : m_open) {
        const double middle = 0.5 * (p.a + p.b);
        m_halves.push_back({p.a, middle, 0.0, 0.0, p.halvings + 1});
        m_halves.push_back({middle, p.b, 0.0, 0.0, p.halvings + 1});
    }
    ask(m_halves);
}

void Integration::finish(RangeResult::State state, double place) {
    m_x.clear();
    m_result.state = state;
    m_result.place = place;
}

void Integration::take(const double* values) {
    const Rule& r = rule();
    std::vector<Panel>& panels = m_first ? m_open : m_halves;
    for (std::size_t p = 0; p < panels.size(); ++p) {
        const double half = 0.5 * (panels[p].b - panels[p].a);
        double sum = 0.0, size = 0.0;
        for (std::size_t i = 0; i < kOrder; ++i) {
            sum += r.weight[i] * values[p * kOrder + i];
            size += r.weight[i] * std::fabs(values[p * kOrder + i]);
        }
        panels[p].sum = sum * half;
        panels[p].size = size * half;
    }
    if (m_first) {
        m_first = false;
        halve();
        return;
    }
    settle();
}

void Integration::settle() {
    double size = m_settledSize;
    for (const Panel& p : m_halves) size += p.size;
    // A panel may be wrong by its share of the whole, but at least by a thousandth of what is allowed:
    // a kink or a jump inside needs panels far shorter than its share would ever grant.
    const double allowed = kAccuracy * size;
    double sumOfDifferences = 0.0;
    for (std::size_t i = 0; i < m_open.size(); ++i) sumOfDifferences += std::fabs(m_open[i].sum - m_halves[2 * i].sum - m_halves[2 * i + 1].sum);
    const bool allSettled = sumOfDifferences <= 0.5 * allowed;
    std::vector<Panel> next;
    for (std::size_t i = 0; i < m_open.size(); ++i) {
        const Panel &l = m_halves[2 * i], &r = m_halves[2 * i + 1];
        const double difference = std::fabs(m_open[i].sum - l.sum - r.sum);
        if (allSettled || difference <= 1e-3 * allowed) {
            m_settled += l.sum + r.sum;
            m_settledSize += l.size + r.size;
            m_left += difference;
            continue;
        }
        const double middle = l.b;
        if (l.halvings >= kMostHalvings || !(m_open[i].a < middle && middle < m_open[i].b)) {
            finish(RangeResult::State::Unsettled, middle);
            return;
        }
        next.push_back(l);
        next.push_back(r);
    }
    if (next.size() > kMostOpen) {
        finish(RangeResult::State::Unsettled, next.front().b);
        return;
    }
    m_open = std::move(next);
    if (!m_open.empty()) {
        halve();
        return;
    }
    if (!(m_left <= kAccuracy * m_settledSize)) {
        finish(RangeResult::State::Unsettled, 0.5 * (m_from + m_to));
        return;
    }
    m_result.value = m_settled;
    m_x.clear();
}

RangeResult integrate(const Body& body, const std::vector<double>& points) {
    Integration integration;
    integration.begin(points);
    return workThrough(integration, body);
}

// --- largest values --------------------------------------------------------------------------------

void LargestSearch::begin(const std::vector<double>& points, double sign) {
    m_points = points;
    m_sign = sign;
    m_fine = 1e-13 * (points.back() - points.front());
    m_piece = 0;
    m_round = 0;
    m_ends.clear();
    m_brackets.clear();
    samplePiece();
}

/// The next piece that has a length, or the first grids.
void LargestSearch::samplePiece() {
    m_x.clear();
    while (++m_piece < m_points.size()) {
        const double a = m_points[m_piece - 1], b = m_points[m_piece];
        if (!(a < b)) continue;
        const double inside = justAbove(a, b), insideEnd = justBelow(a, b);
        if ((b - a) / kSamples > 1e-12 * std::max(std::fabs(a), std::fabs(b))) { // no two samples are the same number
            m_x.resize(kSamples + 3);
            m_x[0] = a;
            m_x[1] = inside;
            for (std::size_t i = 1; i < kSamples; ++i) m_x[i + 1] = a + (b - a) * kShares.at[i];
            m_x[kSamples + 1] = insideEnd;
            m_x[kSamples + 2] = b;
            return;
        }
        m_x.push_back(a);
        if (inside < b) m_x.push_back(inside);
        for (std::size_t i = 1; i < kSamples; ++i) {
            const double at = a + (b - a) * (static_cast<double>(i) / kSamples);
            if (at > m_x.back() && at < insideEnd) m_x.push_back(at);
        }
        if (insideEnd > m_x.back()) m_x.push_back(insideEnd);
        m_x.push_back(b);
        return;
    }
    refine();
}

void LargestSearch::take(const double* values) {
    if (m_sign < 0.0) {
        m_f.assign(values, values + m_x.size());
        for (double& v : m_f) v *= m_sign;
        values = m_f.data();
    }
    if (m_piece < m_points.size()) {
        takePiece(values);
        samplePiece();
    } else {
        takeGrids(values);
        refine();
    }
}

bool LargestSearch::wantsLike(const LargestSearch& other) const {
    const auto samples = [](const LargestSearch& s) { return s.m_piece < s.m_points.size(); };
    if (samples(*this) && samples(other) && m_piece == other.m_piece && m_points == other.m_points) return true;
    return m_x == other.m_x;
}

void LargestSearch::takePiece(const double* f) {
    const std::vector<double>& x = m_x;
    const std::size_t last = x.size() - 1;
    m_ends.push_back({x[0], f[0]});
    m_ends.push_back({x[last], f[last]});
    m_marks.resize(x.size());
    marksOf(f, x.size(), m_marks.data());
    // Inside a piece only, so that the one-sided ends do not see across a jump.
    for (std::size_t i = 1; i < last; ++i) {
        constexpr std::size_t kRun = 8;
        while (i > 1 && i + kRun <= last && std::all_of(&m_marks[i], &m_marks[i] + kRun, [](std::uint64_t m) { return m == 0; })) i += kRun;
        if (i >= last) break;
        if (i > 1 && m_marks[i] == 0) continue;
        std::size_t next = i + 1;
        while (next < last && f[next] == f[i]) ++next;
        if (next < last && !(f[i] > f[next])) continue;
        Bracket bracket;
        bracket.best = {x[i], f[i]};
        const std::size_t before = i == 1 ? 1 : i - 1, after = i + 1 >= last ? last - 1 : i + 1;
        bracket.a = {x[before], f[before]};
        bracket.b = {x[after], f[after]};
        bracket.smooth = smoothAround(f, i, f[i] - std::min(f[before], f[after]));
        m_brackets.push_back(bracket);
    }
}

/// Third differences, on both sides or from an end inwards, that are small beside the drop: nothing steep stands between the
/// samples there as far as these can tell (of a spike one would see no more than a flank, which is no parabola).
bool LargestSearch::smoothAround(const double* f, std::size_t sample, double drop) const {
    constexpr double kSmall = 0.25;
    const std::size_t last = m_x.size() - 1;
    const auto small = [&](std::size_t at) { // four samples from here on, the one-sided ends of the piece left out
        return at >= 1 && at + 4 <= last && std::fabs(f[at + 3] - 3.0 * f[at + 2] + 3.0 * f[at + 1] - f[at]) <= kSmall * drop;
    };
    if (!(drop > 0.0)) return false;
    if (sample == 1) return small(1);
    if (sample + 1 == last) return last >= 5 && small(last - 4);
    return sample >= 3 && small(sample - 2) && small(sample - 1);
}

/// Where nothing worth mentioning can be gained: between falling slopes a summit lies no higher above its best place than
/// the places beside it lie below. And where even kFarBelow times as much would not reach what was found elsewhere; but
/// what does not look smooth is looked into once all the same.
void LargestSearch::close(Bracket& bracket, double worthIt) const {
    const double drop = bracket.best.value - std::min(bracket.a.value, bracket.b.value);
    const bool farBelow = bracket.best.value + kFarBelow * drop < worthIt;
    if (m_round == 1) {
        bracket.open = !(farBelow && bracket.smooth);
        return;
    }
    bracket.open = bracket.b.x - bracket.a.x > m_fine && drop > kNothing * std::fabs(bracket.best.value) && !farBelow;
}

/// Ever finer grids, all brackets together: sixteen times sixteen places are one block.
void LargestSearch::refine() {
    m_x.clear();
    m_owners.clear();
    if (++m_round > kMostRounds) return;
    double most = m_ends.front().value;
    for (const Best& b : m_ends) most = std::max(most, b.value);
    for (const Bracket& b : m_brackets) most = std::max(most, b.best.value);
    const double worthIt = most - 2.0 * kAlike * std::fabs(most);
    for (std::size_t i = 0; i < m_brackets.size(); ++i) {
        Bracket& bracket = m_brackets[i];
        if (bracket.open) close(bracket, worthIt);
        if (!bracket.open) continue;
        m_owners.push_back(i);
        const double a = bracket.a.x, b = bracket.b.x, width = b - a;
        // The vertex of the parabola through three places; where it has none inside, the best place.
        const double toA = bracket.best.x - a, toB = bracket.best.x - b;
        const double fallA = (bracket.best.value - bracket.a.value) * toB, fallB = (bracket.best.value - bracket.b.value) * toA;
        double vertex = bracket.best.x;
        if (const double under = 2.0 * (fallB - fallA); under != 0.0) {
            const double at = bracket.best.x - (toA * fallB - toB * fallA) / under;
            if (at > a && at < b) vertex = at;
        }
        std::array<double, kEven> even{};
        for (std::size_t k = 0; k < kEven; ++k) even[k] = a + width * (static_cast<double>(k + 1) / (kEven + 1));
        constexpr std::size_t kSide = (kGrid - kEven - 1) / 2;
        std::array<double, 2 * kSide + 1> about{};
        about[kSide] = vertex;
        double away = width / 16;
        for (std::size_t k = 0; k < kSide; ++k, away /= 8) {
            about[k] = std::max(a, vertex - away);
            about[2 * kSide - k] = std::min(b, vertex + away);
        }
        std::array<double, kGrid> grid{};
        std::merge(even.begin(), even.end(), about.begin(), about.end(), grid.begin());
        m_x.insert(m_x.end(), grid.begin(), grid.end());
    }
}

void LargestSearch::takeGrids(const double* f) {
    for (std::size_t o = 0; o < m_owners.size(); ++o) {
        Bracket& bracket = m_brackets[m_owners[o]];
        // Old and new places in order, then the best of all and its neighbours.
        double at[kGrid + 3], value[kGrid + 3];
        std::size_t n = 0;
        const auto put = [&](double x, double v) {
            at[n] = x;
            value[n++] = v;
        };
        put(bracket.a.x, bracket.a.value);
        bool stands = false;
        for (std::size_t k = 0; k < kGrid; ++k) {
            const double x = m_x[o * kGrid + k];
            if (!stands && bracket.best.x <= x) {
                put(bracket.best.x, bracket.best.value);
                stands = true;
            }
            put(x, f[o * kGrid + k]);
        }
        if (!stands) put(bracket.best.x, bracket.best.value);
        put(bracket.b.x, bracket.b.value);
        std::size_t best = 0;
        double top = value[0];
        for (std::size_t k = 1; k < n; ++k) {
            best = value[k] > top ? k : best;
            top = value[k] > top ? value[k] : top;
        }
        // A neighbour that is lower by rounding only says nothing about the slope; but a plateau has an edge.
        const double clearly = top - kClearly * std::fabs(top);
        constexpr std::size_t kFar = 3;
        std::size_t before = best, after = best;
        while (before > 0 && best - before < kFar && !(value[before] < clearly)) --before;
        while (after + 1 < n && after - best < kFar && !(value[after] < clearly)) ++after;
        bracket.a = {at[before], value[before]};
        bracket.b = {at[after], value[after]};
        bracket.best = {at[best], top};
    }
}

RangeResult LargestSearch::result() const {
    RangeResult result;
    const double length = m_points.back() - m_points.front();
    double most = m_ends.front().value;
    for (const Best& b : m_ends) most = std::max(most, b.value);
    for (const Bracket& b : m_brackets) most = std::max(most, b.best.value);
    const auto equals = [&](const Best& b) { return b.value >= most - kAlike * std::fabs(most); };
    double place = m_points.back();
    for (const Best& b : m_ends) {
        if (equals(b)) place = std::min(place, b.x);
    }
    for (const Bracket& b : m_brackets) {
        if (equals(b.best)) place = std::min(place, b.best.x);
    }
    // Just inside an end that has the same value: the end itself.
    for (const Best& b : m_ends) {
        if (equals(b) && std::fabs(b.x - place) <= kAlike * length) place = b.x;
    }
    result.value = m_sign * most;
    result.place = place;
    return result;
}

RangeResult searchLargest(const Body& body, const std::vector<double>& points, double sign) {
    LargestSearch search;
    search.begin(points, sign);
    return workThrough(search, body);
}

// --- roots -----------------------------------------------------------------------------------------

void RootSearch::begin(const std::vector<double>& points) {
    m_x.clear();
    for (std::size_t piece = 1; piece < points.size(); ++piece) {
        const double a = points[piece - 1], b = points[piece];
        if (piece == 1) m_x.push_back(a);
        for (std::size_t i = 1; i < kSamples; ++i) {
            const double at = a + (b - a) * (static_cast<double>(i) / kSamples);
            if (at > m_x.back() && at < b) m_x.push_back(at);
        }
        if (b > m_x.back()) m_x.push_back(b);
    }
    m_samples.clear();
    m_asked.clear();
    m_at = 0;
    m_jumped = false;
    m_result = {};
}

void RootSearch::take(const double* values) {
    if (!m_samples.empty()) {
        m_asked.push_back({m_x.front(), values[0]});
        lookOn();
        return;
    }
    for (std::size_t i = 0; i < m_x.size(); ++i) m_samples.push_back({m_x[i], values[i]});
    m_result.least = *std::min_element(values, values + m_x.size());
    m_result.most = *std::max_element(values, values + m_x.size());
    m_size = std::max(std::fabs(m_result.least), std::fabs(m_result.most));
    lookOn();
}

/// From the sample at hand to the right, until a value is wanted or there is a result.
void RootSearch::lookOn() {
    m_x.clear();
    for (; m_at < m_samples.size(); ++m_at) {
        const Known& here = m_samples[m_at];
        if (here.value == 0.0) {
            m_result.place = m_result.value = here.x;
            return;
        }
        if (m_at == 0 || (m_samples[m_at - 1].value < 0.0) == (here.value < 0.0)) continue;
        if (closeIn()) return;
        m_asked.clear();
    }
    m_result.state = m_jumped ? RangeResult::State::Jump : RangeResult::State::NoRoot;
}

/// Between two samples of different sign. False: the sign changes by a jump there, without a zero.
bool RootSearch::closeIn() {
    const Known &left = m_samples[m_at - 1], &right = m_samples[m_at];
    std::size_t calls = 0;
    const auto one = [&](double at) {
        if (calls < m_asked.size()) return m_asked[calls++].value;
        m_x.assign(1, at);
        return 0.0; // a zero ends the algorithm at once
    };
    std::pair<double, double> ends{left.x, right.x};
    try {
        std::uintmax_t rounds = 200;
        const auto close = [](double lo, double hi) { return hi - lo <= 1e-14 * std::max(std::fabs(lo), std::fabs(hi)); };
        ends = boost::math::tools::toms748_solve(one, left.x, right.x, left.value, right.value, close, rounds);
    } catch (const std::exception&) {
        m_x.clear();
        m_result.state = RangeResult::State::Unsettled;
        m_result.place = left.x;
        return true;
    }
    if (!m_x.empty()) return true;
    const auto at = [&](double x) {
        for (const Known& k : m_asked)
            if (k.x == x) return k.value;
        return x == left.x ? left.value : right.value;
    };
    const double atLow = at(ends.first), atHigh = at(ends.second);
    const bool low = std::fabs(atLow) <= std::fabs(atHigh);
    const double place = low ? ends.first : ends.second;
    // A zero crossed by a continuous function leaves next to nothing over such a short way.
    if (std::fabs(low ? atLow : atHigh) <= 1e-6 * m_size) {
        m_result.place = m_result.value = place;
        return true;
    }
    if (!m_jumped) m_result.place = place;
    m_jumped = true;
    return false;
}

RangeResult findRoot(const Body& body, const std::vector<double>& points) {
    RootSearch search;
    search.begin(points);
    return workThrough(search, body);
}

} // namespace spanwright::eval
