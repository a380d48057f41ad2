// SPDX-License-Identifier: MIT
#include "engine/shop/joint_places.h"

#include <algorithm>
#include <cmath>

#include "engine/shop/parts.h"

namespace spanwright::shop {

namespace {

constexpr std::size_t kMostFound = 60'000;      // chains of one number of joints
constexpr std::size_t kBest = 60, kOthers = 40; // that are kept of them
constexpr int kMoreJoints = 3;                  // than the fewest, where those fit nowhere

class Chains {
public:
    Chains(double low, double high, const PieceLimits& limits, const Places& allowed) : m_low(low), m_high(high), m_limits(limits), m_allowed(allowed) {}

    [[nodiscard]] std::vector<Places> with(std::size_t joints) {
        m_found.clear();
        Places sofar;
        // Of more places than can all be tried together every n-th is taken.
        double ways = 1.0;
        for (std::size_t j = 0; j < joints; ++j) ways *= static_cast<double>(m_allowed.size() - std::min(j, m_allowed.size())) / static_cast<double>(j + 1);
        const double part = joints == 0 ? 1.0 : std::pow(std::max(1.0, ways / static_cast<double>(kMostFound)), 1.0 / static_cast<double>(joints));
        m_all = part <= 1.0;
        m_places.clear();
        for (double at = 0.0; at < static_cast<double>(m_allowed.size()); at += part) m_places.push_back(m_allowed[static_cast<std::size_t>(at)]);
        go(sofar, joints);
        m_all = m_all && m_found.size() < 2 * kMostFound;
        return std::move(m_found);
    }
    /// True if the last were all that there are.
    [[nodiscard]] bool all() const { return m_all; }

private:
    void go(Places& sofar, std::size_t left) {
        if (m_found.size() >= 2 * kMostFound) return;
        const double from = sofar.empty() ? m_low : sofar.back();
        if (left == 0) {
            const double rest = m_high - from;
            if (sofar.empty() ? rest <= m_limits.whole + 1e-9 : rest >= kShortestPiece - 1e-9 && rest <= m_limits.end + 1e-9) m_found.push_back(sofar);
            return;
        }
        const double most = sofar.empty() ? m_limits.end : m_limits.inner;
        if (m_high - from > most + m_limits.inner * static_cast<double>(left - 1) + m_limits.end + 1e-9) return;
        for (auto at = std::lower_bound(m_places.begin(), m_places.end(), from + kShortestPiece - 1e-9); at != m_places.end() && *at - from <= most + 1e-9;
             ++at) {
            sofar.push_back(*at);
            go(sofar, left - 1);
            sofar.pop_back();
        }
    }

    double m_low, m_high;
    PieceLimits m_limits;
    const Places& m_allowed;
    Places m_places;
    std::vector<Places> m_found;
    bool m_all = true;
};

/// What covers a length at the least volume, in whole boards: branches from the one of the least volume by length.
class Cover {
public:
    explicit Cover(std::vector<JointStock::Board> boards) : m_boards(std::move(boards)) {
        std::sort(m_boards.begin(), m_boards.end(), [](const auto& x, const auto& y) { return rate(x) < rate(y); });
    }

    [[nodiscard]] double least(double length) {
        m_best = -1.0;
        go(0, length, 0.0);
        // Stopped early: no board gives its length for less than the first.
        return m_steps < kMostSteps ? std::max(m_best, 0.0) : length * rate(m_boards.front());
    }

private:
    static constexpr int kMostSteps = 100'000;
    static double rate(const JointStock::Board& b) { return b.volume / static_cast<double>(b.most); }

    void go(std::size_t k, double length, double sofar) {
        if (++m_steps >= kMostSteps) return;
        if (length <= 0.0) {
            if (m_best < 0.0 || sofar < m_best) m_best = sofar;
            return;
        }
        if (k == m_boards.size() || (m_best >= 0.0 && sofar + length * rate(m_boards[k]) >= m_best)) return;
        const auto most = static_cast<double>(m_boards[k].most);
        for (double n = std::ceil(length / most); n >= 0.0; n -= 1.0) go(k + 1, length - n * most, sofar + n * m_boards[k].volume);
    }

    std::vector<JointStock::Board> m_boards;
    double m_best = -1.0;
    int m_steps = 0;
};

} // namespace

double stockFor(const JointStock& stock, double low, double high, const std::vector<const Places*>& chains) {
    std::vector<std::int64_t> pieces;
    for (const Places* chain : chains) {
        for (std::size_t i = 0; i <= chain->size(); ++i) {
            const double from = i == 0 ? low : (*chain)[i - 1], to = i == chain->size() ? high : (*chain)[i];
            const double lap = stock.lap / 2.0 * ((i == 0 ? 0.0 : 1.0) + (i == chain->size() ? 0.0 : 1.0));
            pieces.push_back(unitsAtLeast(to - from + lap));
        }
    }
    std::sort(pieces.rbegin(), pieces.rend());
    double least = -1.0;
    for (const JointStock::Board& board : stock.boards) {
        // Strips of this length; what is too long for it comes from the smallest that holds it.
        std::vector<std::int64_t> room, strips(stock.boards.size(), 0);
        bool whole = true;
        for (const std::int64_t piece : pieces) {
            const JointStock::Board* own = piece <= board.length ? &board : nullptr;
            if (own == nullptr)
                for (const JointStock::Board& b : stock.boards)
                    if (b.length >= piece && (own == nullptr || b.area * static_cast<double>(own->strips) < own->area * static_cast<double>(b.strips)))
                        own = &b;
            whole = whole && own != nullptr;
            if (own == nullptr) break;
            for (std::int64_t n = 0; n < stock.times; ++n) {
                const auto fits = std::find_if(room.begin(), room.end(), [&](std::int64_t r) { return r >= piece; });
                if (fits != room.end()) {
                    *fits -= piece + stock.kerf;
                    continue;
                }
                room.push_back(own->length - piece - stock.kerf);
                ++strips[static_cast<std::size_t>(own - stock.boards.data())];
            }
        }
        double area = 0.0;
        for (std::size_t k = 0; k < strips.size(); ++k)
            area += static_cast<double>((strips[k] + stock.boards[k].strips - 1) / stock.boards[k].strips) * stock.boards[k].area;
        if (whole && (least < 0.0 || area < least)) least = area;
    }
    return std::max(least, 0.0);
}

Places placesToTry(const JointStock& stock, double low, double high) {
    Places out;
    for (double x = std::ceil((low + kShortestPiece) / kJointStep - 1e-9) * kJointStep; x <= high - kShortestPiece + 1e-9; x += kJointStep)
        out.push_back(std::round(x * 1e6) / 1e6);
    for (const JointStock::Board& board : stock.boards) {
        const double length = std::floor(metresOf(board.length) * 1e3 + 1e-6) / 1e3 - stock.lap;
        for (double reach = length + stock.lap / 2.0; length > kShortestPiece && reach <= high - low - kShortestPiece; reach += length) {
            for (const double x : {std::floor((low + reach) * 1e3 + 1e-6) / 1e3, std::ceil((high - reach) * 1e3 - 1e-6) / 1e3})
                if (x >= low + kShortestPiece - 1e-9 && x <= high - kShortestPiece + 1e-9) out.push_back(std::round(x * 1e6) / 1e6);
        }
    }
    std::sort(out.begin(), out.end());
    out.erase(std::unique(out.begin(), out.end()), out.end());
    return out;
}

double leastStock(const JointStock& stock, double low, double high, std::int64_t chains) {
    // Pieces of a chain add up to its length, more where they overlap.
    double length = std::min((high - low) * kUnitsPerMetre * static_cast<double>(chains * stock.fewest), static_cast<double>(stock.sum));
    std::vector<JointStock::Board> boards;
    for (const JointStock::Board& b : stock.boards) {
        length -= static_cast<double>(b.onHand * b.most);
        if (b.most > 0) boards.push_back(b);
    }
    if (!(length > 0.0) || boards.empty()) return 0.0;
    return Cover(std::move(boards)).least(length - 1e-3); // m and 0.1 mm may differ in the last bit
}

JointChains jointChains(const JointStock& stock, double low, double high, const PieceLimits& limits, const Places& allowed) {
    JointChains out;
    if (!(limits.inner > 0.0) || !(limits.end > 0.0)) return out;
    const double length = high - low;
    const std::size_t least =
        length <= limits.whole + 1e-9 ? 0 : 1 + static_cast<std::size_t>(std::max(0.0, std::ceil((length - 2.0 * limits.end) / limits.inner - 1e-9)));
    Chains chains(low, high, limits, allowed);
    int found = 0;
    for (std::size_t joints = least; joints <= least + kMoreJoints && found < 2; ++joints) {
        std::vector<Places> list = chains.with(joints);
        if (!list.empty()) ++found;
        out.all = out.all && chains.all() && list.size() <= kBest + kOthers;
        if (list.size() > kBest + kOthers) {
            std::vector<std::pair<double, std::size_t>> order;
            for (std::size_t i = 0; i < list.size(); ++i) order.emplace_back(stockFor(stock, low, high, {&list[i]}), i);
            std::sort(order.begin(), order.end());
            std::vector<Places> kept;
            // Of as good ones some from everywhere: what is near to one that fails mostly fails, too.
            std::size_t alike = 0;
            while (alike < order.size() && order[alike].first <= order[kBest].first * (1.0 + 1e-9)) ++alike;
            for (std::size_t i = 0; i < kBest; ++i) kept.push_back(list[order[i * alike / kBest].second]);
            for (std::size_t i = 0; i < kOthers && alike < order.size(); ++i) kept.push_back(list[order[alike + i * (order.size() - alike) / kOthers].second]);
            list = std::move(kept);
        }
        for (Places& p : list) out.chains.push_back(std::move(p));
        if (joints == 0 && found == 1) break; // no joint is better than any
    }
    return out;
}

} // namespace spanwright::shop
