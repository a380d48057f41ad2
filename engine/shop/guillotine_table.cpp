// SPDX-License-Identifier: MIT
#include "engine/shop/guillotine_table.h"

#include <algorithm>
#include <iterator>

#include "engine/shop/wide.h"

namespace spanwright::shop {

namespace {

constexpr std::size_t kMostPlaces = 4000;

/// One side of the panel: as it is (k = 0), or mapped to k parts.
struct Axis {
    std::int64_t whole = 0;
    std::int64_t k = 0;
    [[nodiscard]] std::int64_t mapped(std::int64_t x) const {
        if (k == 0) return x;
        return x > whole ? k + 1 : static_cast<std::int64_t>((static_cast<Wide>(k + 1) * x + whole - 1) / whole - 1);
    }
};

/// The number of parts, up to `most`, that makes the pieces largest beside the panel.
Axis coarse(const std::vector<Rectangle>& pieces, bool alongWidth, std::int64_t whole, std::int64_t most) {
    Axis best{whole, most};
    double bestArea = -1.0;
    for (std::int64_t k = std::max<std::int64_t>(2, most / 3); k <= most; ++k) {
        const Axis axis{whole, k};
        double area = 0.0;
        for (const Rectangle& r : pieces) {
            const std::int64_t side = alongWidth ? r.width : r.height;
            const std::int64_t other = alongWidth ? r.height : r.width;
            double a = static_cast<double>(axis.mapped(side)) * static_cast<double>(other);
            if (r.mayTurn && other <= whole) a = std::min(a, static_cast<double>(axis.mapped(other)) * static_cast<double>(side));
            area += a * static_cast<double>(r.count);
        }
        area /= static_cast<double>(k);
        if (area > bestArea) {
            bestArea = area;
            best = axis;
        }
    }
    return best;
}

/// Sums of sides up to `whole`, each piece as often as it is wanted; empty if they are too many.
std::vector<std::int64_t> placesOf(const std::vector<Rectangle>& pieces, bool alongWidth, const Axis& axis) {
    const std::int64_t whole = axis.mapped(axis.whole);
    std::vector<std::int64_t> sums{0};
    for (const Rectangle& r : pieces) {
        std::vector<std::int64_t> sides{axis.mapped(alongWidth ? r.width : r.height)};
        if (r.mayTurn && r.width != r.height) sides.push_back(axis.mapped(alongWidth ? r.height : r.width));
        // A piece adds one of its sides each time.
        std::vector<std::int64_t> fresh = sums;
        for (std::int64_t n = 0; n < r.count && !fresh.empty(); ++n) {
            std::vector<std::int64_t> next;
            for (const std::int64_t s : fresh) {
                for (const std::int64_t side : sides) {
                    if (side > 0 && s + side <= whole) next.push_back(s + side);
                }
            }
            std::sort(next.begin(), next.end());
            next.erase(std::unique(next.begin(), next.end()), next.end());
            std::vector<std::int64_t> unknown;
            std::set_difference(next.begin(), next.end(), sums.begin(), sums.end(), std::back_inserter(unknown));
            const auto middle = static_cast<std::ptrdiff_t>(sums.size());
            sums.insert(sums.end(), unknown.begin(), unknown.end());
            std::inplace_merge(sums.begin(), sums.begin() + middle, sums.end());
            if (sums.size() > kMostPlaces) return {};
            // With turning, sums known already may still lead on by the other side.
            fresh = sides.size() > 1 ? std::move(next) : std::move(unknown);
        }
    }
    return sums;
}

std::vector<std::vector<std::int32_t>> restsOf(const std::vector<std::int64_t>& places) {
    std::vector<std::vector<std::int32_t>> rest(places.size());
    for (std::size_t i = 0; i < places.size(); ++i) {
        auto down = static_cast<std::int32_t>(i);
        for (std::size_t c = 1; c < i && 2 * places[c] <= places[i]; ++c) {
            while (places[static_cast<std::size_t>(down)] > places[i] - places[c]) --down;
            rest[i].push_back(down);
        }
    }
    return rest;
}

std::uint64_t cutsOf(const std::vector<std::vector<std::int32_t>>& rest) {
    std::uint64_t n = 0;
    for (const auto& r : rest) n += r.size();
    return n;
}

} // namespace

GuillotineTable::GuillotineTable(const std::vector<Rectangle>& pieces, std::int64_t width, std::int64_t height, std::uint64_t work) : m_kinds(pieces.size()) {
    Axis x{width, 0};
    Axis y{height, 0};
    const auto tryIt = [&] {
        m_xs = placesOf(pieces, true, x);
        m_ys = placesOf(pieces, false, y);
        if (m_xs.empty() || m_ys.empty()) return false;
        m_restX = restsOf(m_xs);
        m_restY = restsOf(m_ys);
        m_work = (cutsOf(m_restX) * m_ys.size() + cutsOf(m_restY) * m_xs.size() + m_xs.size() * m_ys.size() * 2) / 4;
        return m_work <= work;
    };
    m_exact = tryIt();
    // Fewer and fewer parts, in the panel's proportions, but not so few that pieces vanish, if it can be helped.
    std::int64_t narrowest = width;
    std::int64_t lowest = height;
    for (const Rectangle& r : pieces) {
        narrowest = std::min(narrowest, r.mayTurn ? std::min(r.width, r.height) : r.width);
        lowest = std::min(lowest, r.mayTurn ? std::min(r.width, r.height) : r.height);
    }
    const std::int64_t fewestX = std::min<std::int64_t>({width, 3 * (width / narrowest + 1), 120});
    const std::int64_t fewestY = std::min<std::int64_t>({height, 3 * (height / lowest + 1), 120});
    const double ratio = static_cast<double>(height) / static_cast<double>(width);
    for (std::int64_t parts = 400; !m_exact; parts = parts * 4 / 5) {
        const std::int64_t partsX = std::max(std::min(parts, width), fewestX);
        const std::int64_t partsY = std::max(std::min(static_cast<std::int64_t>(static_cast<double>(parts) * ratio), height), fewestY);
        x = coarse(pieces, true, width, partsX);
        y = coarse(pieces, false, height, partsY);
        if (tryIt() || (partsX == fewestX && partsY == fewestY)) break;
    }
    const auto indexOf = [](const std::vector<std::int64_t>& places, std::int64_t at) {
        return static_cast<std::int32_t>(std::lower_bound(places.begin(), places.end(), at) - places.begin());
    };
    m_covers.assign(pieces.size(), true);
    for (std::size_t k = 0; k < pieces.size(); ++k) {
        const Rectangle& r = pieces[k];
        const auto add = [&](std::int64_t w, std::int64_t h) {
            if (w > width || h > height) return;
            if (x.mapped(w) == 0 || y.mapped(h) == 0) m_covers[k] = false;
            m_fits.push_back({static_cast<std::int32_t>(k), indexOf(m_xs, x.mapped(w)), indexOf(m_ys, y.mapped(h))});
        };
        add(r.width, r.height);
        if (r.mayTurn && r.width != r.height) add(r.height, r.width);
    }
    m_value.resize(m_xs.size() * m_ys.size());
    m_how.resize(m_value.size());
}

std::int64_t GuillotineTable::price(const std::vector<std::int64_t>& worth) {
    // Cuts are coded below -1: first along x by place, then along y.
    const auto cutX = [](std::size_t c) { return -2 - 2 * static_cast<std::int32_t>(c); };
    const auto cutY = [](std::size_t c) { return -3 - 2 * static_cast<std::int32_t>(c); };
    std::fill(m_value.begin(), m_value.end(), 0);
    std::fill(m_how.begin(), m_how.end(), -1);
    for (const Fit& f : m_fits) {
        if (!m_covers[static_cast<std::size_t>(f.kind)]) continue;
        const std::size_t at = cell(static_cast<std::size_t>(f.x), static_cast<std::size_t>(f.y));
        if (worth[static_cast<std::size_t>(f.kind)] > m_value[at]) {
            m_value[at] = worth[static_cast<std::size_t>(f.kind)];
            m_how[at] = f.kind;
        }
    }
    const std::size_t ys = m_ys.size();
    for (std::size_t i = 1; i < m_xs.size(); ++i) {
        // Upright cuts for the whole column of heights at once, then lying cuts from low to high.
        std::int64_t* here = &m_value[cell(i, 0)];
        std::int32_t* how = &m_how[cell(i, 0)];
        const auto& restX = m_restX[i];
        {
            const std::int64_t* less = &m_value[cell(i - 1, 0)];
            for (std::size_t j = 1; j < ys; ++j) {
                if (less[j] > here[j]) {
                    here[j] = less[j];
                    how[j] = cutX(0);
                }
            }
        }
        for (std::size_t c = 0; c < restX.size(); ++c) {
            const std::int64_t* a = &m_value[cell(c + 1, 0)];
            const std::int64_t* b = &m_value[cell(static_cast<std::size_t>(restX[c]), 0)];
            for (std::size_t j = 1; j < ys; ++j) {
                if (a[j] + b[j] > here[j]) {
                    here[j] = a[j] + b[j];
                    how[j] = cutX(c + 1);
                }
            }
        }
        for (std::size_t j = 1; j < ys; ++j) {
            std::int64_t best = here[j];
            std::int32_t bestHow = how[j];
            if (here[j - 1] > best) {
                best = here[j - 1];
                bestHow = cutY(0);
            }
            const auto& restY = m_restY[j];
            for (std::size_t c = 0; c < restY.size(); ++c) {
                const std::int64_t v = here[c + 1] + here[restY[c]];
                if (v > best) {
                    best = v;
                    bestHow = cutY(c + 1);
                }
            }
            here[j] = best;
            how[j] = bestHow;
        }
    }
    return m_value.back();
}

std::vector<std::int32_t> GuillotineTable::counts() const {
    std::vector<std::int32_t> out(m_kinds, 0);
    std::vector<std::pair<std::size_t, std::size_t>> open{{m_xs.size() - 1, m_ys.size() - 1}};
    while (!open.empty()) {
        const auto [i, j] = open.back();
        open.pop_back();
        const std::int32_t how = m_how[cell(i, j)];
        if (how >= 0) {
            ++out[static_cast<std::size_t>(how)];
        } else if (how < -1) {
            const auto c = static_cast<std::size_t>((-2 - how) / 2);
            const bool alongX = how % 2 == 0;
            if (c == 0) {
                open.emplace_back(alongX ? i - 1 : i, alongX ? j : j - 1);
            } else if (alongX) {
                open.emplace_back(c, j);
                open.emplace_back(static_cast<std::size_t>(m_restX[i][c - 1]), j);
            } else {
                open.emplace_back(i, c);
                open.emplace_back(i, static_cast<std::size_t>(m_restY[j][c - 1]));
            }
        }
    }
    return out;
}

} // namespace spanwright::shop
