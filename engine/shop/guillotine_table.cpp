// SPDX-License-Identifier: MIT
#include "engine/shop/guillotine_table.h"

#include <algorithm>
#include <iterator>
#include <limits>
#include <tuple>

#include "engine/shop/wide.h"

namespace spanwright::shop {

namespace {

constexpr std::size_t kMostPlaces = 12'000;

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

/// Sums of sides up to `most`, each piece as often as it is wanted, of `terms` sides at most; empty if they are too many.
std::vector<std::int64_t> sumsOf(const std::vector<Rectangle>& pieces, bool alongWidth, const Axis& axis, std::int64_t most, std::int64_t terms) {
    std::vector<std::int64_t> sums{0};
    const bool fewTerms = terms < std::numeric_limits<std::int64_t>::max();
    // With few terms all kinds are added in rounds, so that a sum of `terms` sides needs no more than that.
    const auto sidesOf = [&](const Rectangle& r) {
        std::vector<std::int64_t> sides{axis.mapped(alongWidth ? r.width : r.height)};
        if (r.mayTurn && r.width != r.height) sides.push_back(axis.mapped(alongWidth ? r.height : r.width));
        return sides;
    };
    const auto extended = [&](const std::vector<std::int64_t>& from, const std::vector<std::int64_t>& sides) {
        std::vector<std::int64_t> next;
        for (const std::int64_t s : from) {
            for (const std::int64_t side : sides) {
                if (side > 0 && s + side <= most) next.push_back(s + side);
            }
        }
        std::sort(next.begin(), next.end());
        next.erase(std::unique(next.begin(), next.end()), next.end());
        return next;
    };
    const auto addTo = [&](const std::vector<std::int64_t>& next) {
        std::vector<std::int64_t> unknown;
        std::set_difference(next.begin(), next.end(), sums.begin(), sums.end(), std::back_inserter(unknown));
        const auto middle = static_cast<std::ptrdiff_t>(sums.size());
        sums.insert(sums.end(), unknown.begin(), unknown.end());
        std::inplace_merge(sums.begin(), sums.begin() + middle, sums.end());
        return unknown;
    };
    if (fewTerms) {
        std::vector<std::int64_t> sides;
        for (const Rectangle& r : pieces) {
            for (const std::int64_t s : sidesOf(r)) sides.push_back(s);
        }
        std::vector<std::int64_t> fresh = sums;
        for (std::int64_t n = 0; n < terms && !fresh.empty(); ++n) {
            fresh = addTo(extended(fresh, sides));
            if (sums.size() > kMostPlaces) return {};
        }
        return sums;
    }
    for (const Rectangle& r : pieces) {
        const std::vector<std::int64_t> sides = sidesOf(r);
        // A piece adds one of its sides each time.
        std::vector<std::int64_t> fresh = sums;
        for (std::int64_t n = 0; n < r.count && !fresh.empty(); ++n) {
            std::vector<std::int64_t> next = extended(fresh, sides);
            std::vector<std::int64_t> unknown = addTo(next);
            if (sums.size() > kMostPlaces) return {};
            // With turning, sums known already may still lead on by the other side.
            fresh = sides.size() > 1 ? std::move(next) : std::move(unknown);
        }
    }
    return sums;
}

/// The greatest of `places` that is not above x.
std::int64_t shrunk(const std::vector<std::int64_t>& places, std::int64_t x) { return *std::prev(std::upper_bound(places.begin(), places.end(), x)); }

/// The sizes that come about when the whole is sawn again and again at sums of sides; empty if they are too many.
std::vector<std::int64_t> sizesOf(const std::vector<std::int64_t>& sums, std::int64_t whole) {
    // From large to small, each size gives smaller ones: all that are found, those above the half kept in order.
    std::vector<std::int64_t> out{0};
    std::vector<std::int64_t> found{shrunk(sums, whole)};
    std::vector<std::int64_t> open = found;
    for (const std::int64_t s : sums) {
        if (s > 0 && 2 * s <= found[0]) found.push_back(s);
    }
    std::sort(found.begin(), found.end());
    while (!open.empty()) {
        std::vector<std::int64_t> fresh;
        for (const std::int64_t size : open) {
            auto down = sums.end();
            for (const std::int64_t c : sums) {
                if (c == 0) continue;
                if (2 * c > size) break;
                while (*std::prev(down) > size - c) --down;
                fresh.push_back(*std::prev(down));
            }
            if (fresh.size() > 4'000'000) {
                std::sort(fresh.begin(), fresh.end());
                fresh.erase(std::unique(fresh.begin(), fresh.end()), fresh.end());
            }
        }
        std::sort(fresh.begin(), fresh.end());
        fresh.erase(std::unique(fresh.begin(), fresh.end()), fresh.end());
        open.clear();
        std::set_difference(fresh.begin(), fresh.end(), found.begin(), found.end(), std::back_inserter(open));
        const auto middle = static_cast<std::ptrdiff_t>(found.size());
        found.insert(found.end(), open.begin(), open.end());
        std::inplace_merge(found.begin(), found.begin() + middle, found.end());
    }
    out.insert(out.end(), found.begin(), found.end());
    out.erase(std::unique(out.begin(), out.end()), out.end());
    return out;
}

/// The number of cuts that `forEachCut` gives.
std::uint64_t cutsOf(const std::vector<std::int64_t>& sizes, const std::vector<std::int64_t>& sums) {
    std::uint64_t n = 0;
    std::size_t c = 0;
    for (const std::int64_t size : sizes) {
        while (c < sums.size() && 2 * sums[c] <= size) ++c;
        n += c == 0 ? 0 : c - 1;
    }
    return n;
}

} // namespace

GuillotineTable::GuillotineTable(const std::vector<Rectangle>& pieces, std::int64_t width, std::int64_t height, std::uint64_t work, Sort sort)
    : m_kinds(pieces.size()) {
    Axis x{width, 0};
    Axis y{height, 0};
    std::vector<std::int64_t> sumsX;
    std::vector<std::int64_t> sumsY;
    const auto weigh = [&] {
        const auto xs = static_cast<std::uint64_t>(m_xs.size());
        const auto ys = static_cast<std::uint64_t>(m_ys.size());
        // Upright cuts are worked out for many heights at once.
        m_work = cutsOf(m_xs, sumsX) * (ys + 8) / 8 + cutsOf(m_ys, sumsY) * xs / 3 + xs * ys / 2 + 1;
        return m_work <= work;
    };
    constexpr std::int64_t kAll = std::numeric_limits<std::int64_t>::max();
    const auto tryIt = [&] {
        sumsX = sumsOf(pieces, true, x, x.mapped(width), kAll);
        sumsY = sumsX.empty() ? sumsX : sumsOf(pieces, false, y, y.mapped(height), kAll);
        if (sumsX.empty() || sumsY.empty()) return false;
        m_xs = sizesOf(sumsX, x.mapped(width));
        m_ys = sizesOf(sumsY, y.mapped(height));
        return weigh();
    };
    m_exact = tryIt();
    if (!m_exact && sort == Sort::Patterns) {
        const auto few = [&](std::vector<std::int64_t>& sums, std::vector<std::int64_t>& places, bool alongWidth, const Axis& axis, std::int64_t terms) {
            sums = sumsOf(pieces, alongWidth, axis, axis.whole / 2, terms);
            places = sums;
            for (const std::int64_t s : sums) places.push_back(axis.whole - s);
            std::sort(places.begin(), places.end());
            places.erase(std::unique(places.begin(), places.end()), places.end());
            return !sums.empty();
        };
        // More and more sides, as long as it can be paid for.
        std::int64_t termsX = 1;
        std::int64_t termsY = 1;
        few(sumsX, m_xs, true, x, termsX);
        few(sumsY, m_ys, false, y, termsY);
        weigh();
        bool moreX = true;
        bool moreY = true;
        while (moreX || moreY) {
            const bool turnX = moreX && (!moreY || termsX <= termsY);
            const auto keptX = std::pair(sumsX, m_xs);
            const auto keptY = std::pair(sumsY, m_ys);
            const bool ok = turnX ? few(sumsX, m_xs, true, x, ++termsX) : few(sumsY, m_ys, false, y, ++termsY);
            const bool grown = turnX ? keptX.first.size() < sumsX.size() : keptY.first.size() < sumsY.size();
            if (ok && grown && weigh()) continue;
            std::tie(sumsX, m_xs) = keptX;
            std::tie(sumsY, m_ys) = keptY;
            (turnX ? moreX : moreY) = false;
        }
        weigh();
    }
    if (!m_exact && sort == Sort::Bound) {
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
        for (std::int64_t parts = 1000;; parts = parts * 4 / 5) {
            const std::int64_t partsX = std::max(std::min(parts, width), fewestX);
            const std::int64_t partsY = std::max(std::min(static_cast<std::int64_t>(static_cast<double>(parts) * ratio), height), fewestY);
            x = coarse(pieces, true, width, partsX);
            y = coarse(pieces, false, height, partsY);
            if (tryIt() || (partsX == fewestX && partsY == fewestY)) break;
        }
    }
    const auto indexOf = [](const std::vector<std::int64_t>& places, std::int64_t at) {
        return static_cast<std::int32_t>(std::lower_bound(places.begin(), places.end(), at) - places.begin());
    };
    const auto list = [](const std::vector<std::int64_t>& places, const std::vector<std::int64_t>& sums, std::vector<std::vector<Cut>>& cuts) {
        cuts.resize(places.size());
        for (std::size_t i = 0; i < places.size(); ++i) {
            std::size_t first = 0;
            auto down = static_cast<std::int32_t>(i);
            for (std::size_t c = 1; c < sums.size() && 2 * sums[c] <= places[i]; ++c) {
                while (places[first] < sums[c]) ++first;
                while (places[static_cast<std::size_t>(down)] > places[i] - sums[c]) --down;
                cuts[i].push_back({static_cast<std::int32_t>(first), down});
            }
        }
    };
    list(m_xs, sumsX, m_cutsX);
    list(m_ys, sumsY, m_cutsY);
    m_covers.assign(pieces.size(), true);
    std::int64_t smallest = std::numeric_limits<std::int64_t>::max();
    for (std::size_t k = 0; k < pieces.size(); ++k) {
        const Rectangle& r = pieces[k];
        const auto add = [&](std::int64_t w, std::int64_t h) {
            if (w > width || h > height) return;
            if (x.mapped(w) == 0 || y.mapped(h) == 0) m_covers[k] = false;
            const std::int32_t i = indexOf(m_xs, x.mapped(w));
            const std::int32_t j = indexOf(m_ys, y.mapped(h));
            if (static_cast<std::size_t>(i) == m_xs.size() || static_cast<std::size_t>(j) == m_ys.size()) return;
            m_fits.push_back({static_cast<std::int32_t>(k), i, j, w, h});
        };
        add(r.width, r.height);
        if (r.mayTurn && r.width != r.height) add(r.height, r.width);
        smallest = std::min(smallest, std::max<std::int64_t>(1, x.mapped(r.width) * y.mapped(r.height)));
        if (r.mayTurn) smallest = std::min(smallest, std::max<std::int64_t>(1, x.mapped(r.height) * y.mapped(r.width)));
    }
    m_mostPieces = static_cast<std::int64_t>(static_cast<Wide>(m_xs.back()) * m_ys.back() / smallest) + 1;
    std::stable_sort(m_fits.begin(), m_fits.end(), [](const Fit& a, const Fit& b) { return std::pair(a.x, a.y) < std::pair(b.x, b.y); });
    m_value.resize(m_xs.size() * m_ys.size());
}

std::int32_t GuillotineTable::price(const std::vector<std::int32_t>& worth) {
    m_worth = worth;
    for (std::size_t k = 0; k < m_kinds; ++k) {
        if (!m_covers[k]) m_worth[k] = 0;
    }
    std::fill(m_value.begin(), m_value.end(), 0);
    for (const Fit& f : m_fits) {
        std::int32_t& v = m_value[cell(static_cast<std::size_t>(f.x), static_cast<std::size_t>(f.y))];
        v = std::max(v, m_worth[static_cast<std::size_t>(f.kind)]);
    }
    const std::size_t ys = m_ys.size();
    for (std::size_t i = 1; i < m_xs.size(); ++i) {
        // Upright cuts for the whole column of heights at once, then lying cuts from low to high.
        std::int32_t* const here = &m_value[cell(i, 0)];
        const std::int32_t* const less = &m_value[cell(i - 1, 0)];
        for (std::size_t j = 1; j < ys; ++j) here[j] = std::max(here[j], less[j]);
        for (const Cut& c : m_cutsX[i]) {
            const std::int32_t* const a = &m_value[cell(static_cast<std::size_t>(c.first), 0)];
            const std::int32_t* const b = &m_value[cell(static_cast<std::size_t>(c.second), 0)];
            for (std::size_t j = 1; j < ys; ++j) here[j] = std::max(here[j], a[j] + b[j]);
        }
        for (std::size_t j = 1; j < ys; ++j) {
            std::int32_t best = std::max(here[j], here[j - 1]);
            for (const Cut& c : m_cutsY[j]) best = std::max(best, here[c.first] + here[c.second]);
            here[j] = best;
        }
    }
    return m_value.back();
}

SawnPattern GuillotineTable::traced(std::size_t rootI, std::size_t rootJ, std::int64_t rootCut) const {
    SawnPattern p;
    p.counts.assign(m_kinds, 0);
    p.parts.emplace_back();
    struct Open {
        std::size_t i, j;
        std::int32_t part;
        std::int64_t cut; ///< the one to take; -1: any that is worth as much
    };
    std::vector<Open> open{{rootI, rootJ, 0, rootCut}};
    while (!open.empty()) {
        const Open top = open.back();
        open.pop_back();
        std::size_t i = top.i, j = top.j;
        const std::int32_t part = top.part;
        const std::int64_t cut = top.cut;
        const std::int32_t value = m_value[cell(i, j)];
        if (value == 0 && cut < 0) continue;
        const auto saw = [&](bool alongX, const Cut& c) {
            const auto first = static_cast<std::int32_t>(p.parts.size());
            SawnPattern::Part& self = p.parts[static_cast<std::size_t>(part)];
            self.alongX = alongX;
            self.at = alongX ? m_xs[static_cast<std::size_t>(c.first)] : m_ys[static_cast<std::size_t>(c.first)];
            self.first = first;
            self.second = first + 1;
            p.parts.resize(p.parts.size() + 2);
            const auto a = static_cast<std::size_t>(c.first);
            const auto b = static_cast<std::size_t>(c.second);
            open.push_back({alongX ? a : i, alongX ? j : a, first, -1});
            open.push_back({alongX ? b : i, alongX ? j : b, first + 1, -1});
        };
        if (cut >= 0) {
            const auto n = static_cast<std::size_t>(cut);
            n < m_cutsX[i].size() ? saw(true, m_cutsX[i][n]) : saw(false, m_cutsY[j][n - m_cutsX[i].size()]);
            continue;
        }
        // The smallest size that is worth as much.
        while (i > 1 && m_value[cell(i - 1, j)] == value) --i;
        while (j > 1 && m_value[cell(i, j - 1)] == value) --j;
        const auto here = std::pair(static_cast<std::int32_t>(i), static_cast<std::int32_t>(j));
        auto fit = std::lower_bound(m_fits.begin(), m_fits.end(), here, [](const Fit& f, const auto& at) { return std::pair(f.x, f.y) < at; });
        bool done = false;
        for (; fit != m_fits.end() && std::pair(fit->x, fit->y) == here && !done; ++fit) {
            if (m_worth[static_cast<std::size_t>(fit->kind)] != value) continue;
            SawnPattern::Part& self = p.parts[static_cast<std::size_t>(part)];
            self.kind = fit->kind;
            self.width = fit->width;
            self.height = fit->height;
            ++p.counts[static_cast<std::size_t>(fit->kind)];
            done = true;
        }
        for (std::size_t n = 0; n < m_cutsX[i].size() && !done; ++n) {
            const Cut& c = m_cutsX[i][n];
            if (m_value[cell(static_cast<std::size_t>(c.first), j)] + m_value[cell(static_cast<std::size_t>(c.second), j)] != value) continue;
            saw(true, c);
            done = true;
        }
        for (std::size_t n = 0; n < m_cutsY[j].size() && !done; ++n) {
            const Cut& c = m_cutsY[j][n];
            if (m_value[cell(i, static_cast<std::size_t>(c.first))] + m_value[cell(i, static_cast<std::size_t>(c.second))] != value) continue;
            saw(false, c);
            done = true;
        }
    }
    return p;
}

std::vector<SawnPattern> GuillotineTable::patterns(std::int32_t least, std::size_t most) const {
    const std::size_t i = m_xs.size() - 1;
    const std::size_t j = m_ys.size() - 1;
    std::vector<SawnPattern> out{traced(i, j, -1)};
    std::vector<std::pair<std::int32_t, std::int64_t>> roots;
    const auto add = [&](std::int32_t value, std::size_t cut) {
        if (value > least) roots.emplace_back(-value, static_cast<std::int64_t>(cut));
    };
    for (std::size_t n = 0; n < m_cutsX[i].size(); ++n) {
        const Cut& c = m_cutsX[i][n];
        add(m_value[cell(static_cast<std::size_t>(c.first), j)] + m_value[cell(static_cast<std::size_t>(c.second), j)], n);
    }
    for (std::size_t n = 0; n < m_cutsY[j].size(); ++n) {
        const Cut& c = m_cutsY[j][n];
        add(m_value[cell(i, static_cast<std::size_t>(c.first))] + m_value[cell(i, static_cast<std::size_t>(c.second))], m_cutsX[i].size() + n);
    }
    std::sort(roots.begin(), roots.end());
    std::size_t looked = 0;
    for (const auto& [value, cut] : roots) {
        if (out.size() >= most || ++looked > 4 * most) break;
        SawnPattern p = traced(i, j, cut);
        const bool known = std::any_of(out.begin(), out.end(), [&](const SawnPattern& o) { return o.counts == p.counts; });
        if (!known) out.push_back(std::move(p));
    }
    return out;
}

} // namespace spanwright::shop
