// SPDX-License-Identifier: MIT
// Who rests on whom, drawn in levels. A line that passes a level has a place of its own there, so it runs between boxes.
#include <algorithm>
#include <cmath>
#include <numeric>
#include <string>
#include <utility>
#include <vector>

#include "engine/base/text.h"
#include "engine/report/build.h"
#include "engine/report/clean.h"
#include "engine/report/load_path.h"

namespace spanwright::report {

namespace {

constexpr double kBoxHeight = 24;
constexpr double kStepY = 64;
constexpr double kMargin = 10;
constexpr double kGap = 12;
constexpr double kHead = 7;
constexpr std::size_t kMostGlyphs = 24;
constexpr std::size_t kNobody = static_cast<std::size_t>(-1);
constexpr int kSweeps = 24;
constexpr double kRoom = 680; ///< no row of pieces is wider if it can be helped

std::string shortened(const std::string& mark) {
    std::size_t at = 0;
    for (std::size_t n = 0; n < kMostGlyphs && at < mark.size(); ++n) at += base::utf8Length(mark, at);
    return at < mark.size() ? mark.substr(0, at) + "…" : mark;
}

void box(Drawing& d, const JobFacts& f, const LoadPath& path, std::size_t member, double x, double y, double half) {
    // What carries others down to the ground stands on a hatched strip.
    if (path.carriers[member].empty() && !path.resting[member].empty())
        d.shapes.push_back(Drawing::Rect{x - half, y + kBoxHeight + 2, 2 * half, 7, true, Drawing::Ink::Faint});
    d.shapes.push_back(Drawing::Rect{x - half, y, 2 * half, kBoxHeight, false, Drawing::Ink::Full});
    d.shapes.push_back(Drawing::Text{{x, y + 16}, shortened(f.members[member].view.mark), Drawing::Text::Anchor::Middle, Drawing::Ink::Full, 12});
}

double halfOf(const JobFacts& f, std::size_t member) {
    return std::max(17.0, 7 + 3.9 * static_cast<double>(textWidth(cleaned(shortened(f.members[member].view.mark)))));
}

/// A box, or the place of a line on its way through a level.
struct Spot {
    std::size_t member = kNobody;
    std::size_t level = 0;
    double half = 4; ///< of its width
    double x = 0;    ///< its middle
    std::vector<std::size_t> up, down;
};

/// Members that are linked with one another, in levels.
class Layout {
public:
    Layout(const JobFacts& f, const LoadPath& path, const std::vector<std::size_t>& members) : m_facts(f), m_path(path) {
        makeSpots(members);
        sortLevels();
        setAcross();
        double left = m_spots.front().x;
        for (const Spot& s : m_spots) left = std::min(left, s.x - s.half);
        for (Spot& s : m_spots) {
            s.x -= left;
            m_width = std::max(m_width, s.x + s.half);
        }
    }

    [[nodiscard]] double width() const { return m_width; }
    [[nodiscard]] double height() const { return static_cast<double>(m_levels.size() - 1) * kStepY + kBoxHeight + 9; }
    void draw(Drawing& d, double x, double y) {
        m_top = y;
        for (Spot& s : m_spots) s.x += x;
        for (const std::vector<std::size_t>& way : m_ways) line(d, way);
        for (const Spot& s : m_spots) {
            if (s.member != kNobody) box(d, m_facts, m_path, s.member, s.x, top(s.level), s.half);
        }
    }

private:
    const JobFacts& m_facts;
    const LoadPath& m_path;
    std::vector<Spot> m_spots;
    std::vector<std::vector<std::size_t>> m_levels; ///< spots from left to right
    std::vector<std::vector<std::size_t>> m_ways;   ///< spots of each line, from above, or from below where it closes a ring
    double m_width = 0, m_top = 0;

    [[nodiscard]] double top(std::size_t level) const { return m_top + static_cast<double>(level) * kStepY; }
    std::size_t add(std::size_t member, std::size_t level) {
        Spot s;
        s.member = member;
        s.level = level;
        if (member != kNobody) s.half = halfOf(m_facts, member);
        if (level >= m_levels.size()) m_levels.resize(level + 1);
        m_levels[level].push_back(m_spots.size());
        m_spots.push_back(std::move(s));
        return m_spots.size() - 1;
    }

    void makeSpots(const std::vector<std::size_t>& members) {
        std::vector<std::size_t> boxOf(m_facts.members.size(), kNobody);
        for (const std::size_t i : members) boxOf[i] = add(i, m_path.level[i]);
        for (const std::size_t i : members) {
            for (const std::size_t c : m_path.carriers[i]) {
                const bool closes = m_path.level[c] <= m_path.level[i];
                const std::size_t high = closes ? c : i, low = closes ? i : c;
                std::vector<std::size_t> way{boxOf[high]};
                for (std::size_t level = m_path.level[high] + 1; level < m_path.level[low]; ++level) way.push_back(add(kNobody, level));
                way.push_back(boxOf[low]);
                for (std::size_t k = 0; k + 1 < way.size(); ++k) {
                    m_spots[way[k]].down.push_back(way[k + 1]);
                    m_spots[way[k + 1]].up.push_back(way[k]);
                }
                if (closes) std::reverse(way.begin(), way.end());
                m_ways.push_back(std::move(way));
            }
        }
    }

    [[nodiscard]] std::vector<double> ranks() const {
        std::vector<double> out(m_spots.size(), 0);
        for (const auto& level : m_levels)
            for (std::size_t k = 0; k < level.size(); ++k) out[level[k]] = static_cast<double>(k);
        return out;
    }

    [[nodiscard]] std::size_t crossings() const {
        const std::vector<double> rank = ranks();
        std::size_t out = 0;
        for (const auto& level : m_levels) {
            std::vector<std::pair<double, double>> lines;
            for (const std::size_t s : level)
                for (const std::size_t d : m_spots[s].down) lines.emplace_back(rank[s], rank[d]);
            for (std::size_t a = 0; a < lines.size(); ++a)
                for (std::size_t b = a + 1; b < lines.size(); ++b)
                    if ((lines[a].first - lines[b].first) * (lines[a].second - lines[b].second) < 0) ++out;
        }
        return out;
    }

    /// Each spot goes to the mean of those it is joined to, level after level, down and up again; the order with the fewest crossings stays.
    void sortLevels() {
        auto best = m_levels;
        std::size_t least = crossings();
        for (int sweep = 0; sweep < kSweeps && least > 0; ++sweep) {
            const bool downwards = sweep % 2 == 0;
            for (std::size_t k = 0; k < m_levels.size(); ++k) {
                auto& level = m_levels[downwards ? k : m_levels.size() - 1 - k];
                const std::vector<double> rank = ranks();
                std::vector<std::pair<double, std::size_t>> wanted;
                for (const std::size_t s : level) {
                    const auto& joined = downwards ? m_spots[s].up : m_spots[s].down;
                    double sum = 0;
                    for (const std::size_t j : joined) sum += rank[j];
                    wanted.emplace_back(joined.empty() ? rank[s] : sum / static_cast<double>(joined.size()), s);
                }
                std::stable_sort(wanted.begin(), wanted.end(), [](const auto& a, const auto& b) { return a.first < b.first; });
                for (std::size_t i = 0; i < level.size(); ++i) level[i] = wanted[i].second;
            }
            if (const std::size_t now = crossings(); now < least) {
                least = now;
                best = m_levels;
            }
        }
        m_levels = std::move(best);
    }

    /// Distance of the middles of two neighbours.
    [[nodiscard]] double apart(std::size_t a, std::size_t b) const { return m_spots[a].half + m_spots[b].half + kGap; }

    void setAcross() {
        for (const auto& level : m_levels) {
            double x = 0;
            for (std::size_t i = 0; i < level.size(); ++i) {
                if (i > 0) x += apart(level[i - 1], level[i]);
                m_spots[level[i]].x = x;
            }
            for (const std::size_t s : level) m_spots[s].x -= x / 2;
        }
        for (int sweep = 0; sweep < 2 * kSweeps; ++sweep)
            for (std::size_t k = 0; k < m_levels.size(); ++k) settle(m_levels[sweep % 2 == 0 ? k : m_levels.size() - 1 - k]);
    }

    /// As near to what each is joined to as the order and the widths allow: least squares, neighbours that push one another move together.
    void settle(const std::vector<std::size_t>& level) {
        struct Block {
            double sum = 0, weight = 0;
            std::size_t count = 0;
            [[nodiscard]] double mean() const { return sum / weight; }
        };
        std::vector<Block> blocks;
        double offset = 0;
        for (std::size_t i = 0; i < level.size(); ++i) {
            const Spot& s = m_spots[level[i]];
            if (i > 0) offset += apart(level[i - 1], level[i]);
            double sum = 0;
            for (const auto* side : {&s.up, &s.down})
                for (const std::size_t j : *side) sum += m_spots[j].x;
            const auto joined = static_cast<double>(s.up.size() + s.down.size());
            const double wanted = joined > 0 ? sum / joined : s.x;
            // A line on its way keeps straight before a box comes to the middle of its lines.
            const double weight = s.member == kNobody ? 4 : 1;
            blocks.push_back({(wanted - offset) * weight, weight, 1});
            while (blocks.size() > 1 && blocks[blocks.size() - 2].mean() >= blocks.back().mean()) {
                Block& before = blocks[blocks.size() - 2];
                before.sum += blocks.back().sum;
                before.weight += blocks.back().weight;
                before.count += blocks.back().count;
                blocks.pop_back();
            }
        }
        std::size_t i = 0;
        offset = 0;
        for (const Block& b : blocks) {
            for (std::size_t k = 0; k < b.count; ++k, ++i) {
                if (i > 0) offset += apart(level[i - 1], level[i]);
                m_spots[level[i]].x = b.mean() + offset;
            }
        }
    }

    /// Where on a box's edge the line to a spot begins or ends: side by side, in the order in which they come.
    [[nodiscard]] double port(std::size_t at, std::size_t to, bool below, bool closes) const {
        const Spot& s = m_spots[at];
        if (s.member == kNobody) return s.x;
        const auto& all = below ? s.down : s.up;
        std::size_t before = 0;
        for (const std::size_t o : all) before += m_spots[o].x < m_spots[to].x || (m_spots[o].x == m_spots[to].x && o < to) ? 1 : 0;
        // Two that take from one another are joined by two lines.
        if (closes) before += static_cast<std::size_t>(std::count(all.begin(), all.end(), to)) - 1;
        const double step = std::min(14.0, 2 * s.half / static_cast<double>(all.size() + 1));
        return s.x + (static_cast<double>(before) - static_cast<double>(all.size() - 1) / 2) * step;
    }

    void line(Drawing& d, const std::vector<std::size_t>& way) const {
        Drawing::Polyline out;
        const bool closes = m_spots[way.front()].level > m_spots[way.back()].level;
        for (std::size_t k = 0; k < way.size(); ++k) {
            const Spot& s = m_spots[way[k]];
            const double upper = top(s.level), lower = upper + kBoxHeight;
            if (k > 0) out.points.push_back({port(way[k], way[k - 1], closes, closes), closes ? lower : upper});
            if (k + 1 < way.size()) out.points.push_back({port(way[k], way[k + 1], !closes, closes), closes ? upper : lower});
        }
        if (out.points.size() < 2) return;
        const Drawing::Point tip = out.points.back(), from = out.points[out.points.size() - 2];
        const double length = std::hypot(tip.x - from.x, tip.y - from.y);
        const double dx = (tip.x - from.x) / length, dy = (tip.y - from.y) / length;
        const Drawing::Point foot{tip.x - dx * kHead, tip.y - dy * kHead};
        out.points.back() = foot;
        out.width = 0.9;
        if (closes) out.dash = Drawing::Dash::Short;
        d.shapes.push_back(std::move(out));
        constexpr double kHalf = 2.4;
        d.shapes.push_back(Drawing::Filled{{tip, {foot.x - dy * kHalf, foot.y + dx * kHalf}, {foot.x + dy * kHalf, foot.y - dx * kHalf}}});
    }
};

/// Members that hang together by their links, in the order of their first ones.
std::vector<std::vector<std::size_t>> linkedIn(const LoadPath& path) {
    const std::size_t n = path.level.size();
    std::vector<std::vector<std::size_t>> out;
    std::vector<char> seen(n, 0);
    for (std::size_t start = 0; start < n; ++start) {
        if (seen[start] != 0) continue;
        std::vector<std::size_t> all{start};
        seen[start] = 1;
        for (std::size_t k = 0; k < all.size(); ++k) {
            const std::size_t at = all[k];
            for (const auto* side : {&path.carriers[at], &path.resting[at]})
                for (const std::size_t o : *side)
                    if (std::exchange(seen[o], 1) == 0) all.push_back(o);
        }
        std::sort(all.begin(), all.end());
        out.push_back(std::move(all));
    }
    return out;
}

/// Pieces side by side, in rows that are no wider than can be read on paper.
class Rows {
public:
    explicit Rows(Drawing& d) : m_drawing(d) {}
    struct Place {
        double x, y;
    };
    [[nodiscard]] Place next(double width, double height, double gap) {
        if (m_x > kMargin && m_x + width > kRoom) begin(gap);
        const Place out{m_x, m_y};
        m_x += width + gap;
        m_tall = std::max(m_tall, height);
        m_drawing.width = std::max(m_drawing.width, out.x + width + kMargin);
        m_drawing.height = std::max(m_drawing.height, m_y + height + kMargin);
        return out;
    }
    /// On a row of its own from here on.
    void begin(double gap) {
        if (m_tall > 0) m_y += m_tall + gap;
        m_x = kMargin;
        m_tall = 0;
    }

private:
    Drawing& m_drawing;
    double m_x = kMargin, m_y = kMargin, m_tall = 0;
};

} // namespace

Drawing loadPathDrawing(const JobFacts& f) {
    const LoadPath path = loadPathOf(f);
    Drawing d;
    d.title = "load path: loads come from above, each line leads from a member to the one that carries it";
    Rows rows(d);
    std::vector<std::size_t> alone;
    for (const std::vector<std::size_t>& members : linkedIn(path)) {
        if (members.size() == 1) {
            alone.push_back(members.front());
            continue;
        }
        Layout layout(f, path, members);
        const Rows::Place at = rows.next(layout.width(), layout.height(), 2.5 * kGap);
        layout.draw(d, at.x, at.y);
    }
    if (alone.empty()) return d;
    // Those that neither rest on another nor carry one.
    rows.begin(2 * kGap);
    const Rows::Place words = rows.next(140, 8, kGap);
    d.shapes.push_back(Drawing::Text{{words.x, words.y + 6}, "not linked with another:"});
    rows.begin(kGap);
    for (const std::size_t i : alone) {
        const double half = halfOf(f, i);
        const Rows::Place at = rows.next(2 * half, kBoxHeight, kGap);
        box(d, f, path, i, at.x + half, at.y, half);
    }
    return d;
}

} // namespace spanwright::report
