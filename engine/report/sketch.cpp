// SPDX-License-Identifier: MIT
// A sketch on paper. Positions are to scale; arrows, supports and texts have a size of their own.
#include <algorithm>
#include <cmath>
#include <optional>

#include "engine/base/text.h"
#include "engine/report/build.h"
#include "engine/report/sketch_geometry.h"

namespace spanwright::report {

namespace {

using Shape = job::SketchView::Shape;
using Mark = job::SketchView::Mark;

constexpr double kWidth = 560;
constexpr double kHeight = 250;
constexpr double kMargin = 8;
constexpr double kTextSize = 11;
constexpr double kOffset = 20;      ///< of a dimension that states none
constexpr double kLeastOffset = 12; ///< of one that states any
constexpr double kHead = 7;
constexpr double kRoomInside = 8; ///< free beside a number along its dimension
constexpr double kLoadHeight = 22;
constexpr double kForceHeight = 34;
constexpr std::size_t kMostSegments = 4'000; ///< that texts look out for
constexpr std::size_t kMostGlyphs = 80;
constexpr double kDegrees = 180.0 / 3.14159265358979323846;

std::string shortened(const std::string& text) {
    std::size_t at = 0;
    for (std::size_t n = 0; n < kMostGlyphs && at < text.size(); ++n) at += base::utf8Length(text, at);
    return at < text.size() ? text.substr(0, at) + "…" : text;
}

class Sheet {
public:
    explicit Sheet(const job::SketchView& sketch) : m_sketch(sketch) {}

    [[nodiscard]] Drawing draw() {
        m_drawing.title = m_sketch.title + (m_sketch.what.empty() ? "" : ", " + m_sketch.what);
        if (!fit()) {
            m_drawing.width = kWidth;
            m_drawing.height = 40;
            m_drawing.shapes.push_back(Drawing::Text{{10, 25}, "there is nothing to draw", Drawing::Text::Anchor::Start, Drawing::Ink::Full, 12, 0});
            return std::move(m_drawing);
        }
        for (const Mark& m : m_sketch.marks) lines(m);
        for (const Mark& m : m_sketch.marks) {
            if (m.shape == Shape::Dimension) dimensionText(m);
        }
        for (const Mark& m : m_sketch.marks) {
            if (m.shape == Shape::Label) label(m);
        }
        foot();
        compose();
        return std::move(m_drawing);
    }

private:
    // ---- scale
    bool fit() {
        bool any = false;
        PaperBox b;
        for (const Mark& m : m_sketch.marks) {
            for (const auto& p : m.points) {
                const PaperPoint q{p.x, -p.y * m_sketch.heights};
                if (!any) b = {q.x, q.y, q.x, q.y};
                b.take(q);
                any = true;
            }
        }
        if (!any) return false;
        const double w = b.right - b.left;
        const double h = b.bottom - b.top;
        m_scale = w > 0 && h > 0 ? std::min(kWidth / w, kHeight / h) : w > 0 ? kWidth / w : h > 0 ? kHeight / h : 1.0;
        m_left = b.left;
        m_top = b.top;
        m_extent = {0, 0, w * m_scale, h * m_scale};
        return std::isfinite(m_scale);
    }

    [[nodiscard]] PaperPoint at(const job::SketchView::Point& p) const { return {(p.x - m_left) * m_scale, (-p.y * m_sketch.heights - m_top) * m_scale}; }
    [[nodiscard]] std::vector<PaperPoint> all(const Mark& m) const {
        std::vector<PaperPoint> out;
        for (const auto& p : m.points) out.push_back(at(p));
        return out;
    }

    // ---- ink
    void line(std::vector<PaperPoint> points, double width, Drawing::Dash dash = Drawing::Dash::Solid) {
        for (std::size_t i = 0; i < points.size(); ++i) {
            m_extent.take(points[i]);
            if (i > 0 && m_segments.size() < kMostSegments) m_segments.emplace_back(points[i - 1], points[i]);
        }
        m_ink.push_back(Drawing::Polyline{std::move(points), Drawing::Ink::Full, dash, width});
    }

    /// The head of an arrow that comes from (dx, dy), a direction of length one, and ends at `tip`.
    void head(PaperPoint tip, double dx, double dy) {
        constexpr double kHalf = 2.1;
        const PaperPoint foot{tip.x - dx * kHead, tip.y - dy * kHead};
        m_ink.push_back(Drawing::Filled{{tip, {foot.x - dy * kHalf, foot.y + dx * kHalf}, {foot.x + dy * kHalf, foot.y - dx * kHalf}}});
        m_extent.take(foot);
        m_extent.take(tip);
    }

    void arrowDown(PaperPoint tip, double height, double width) {
        line({{tip.x, tip.y - height}, {tip.x, tip.y - 1}}, width);
        head(tip, 0, 1);
    }

    void lines(const Mark& m) {
        std::vector<PaperPoint> p = all(m);
        switch (m.shape) {
        case Shape::Outline:
            p.push_back(p.front());
            line(std::move(p), 1.5);
            break;
        case Shape::Hatch: break; // when the texts have their places
        case Shape::Line: line(std::move(p), m.other ? 0.9 : 1.0, m.other ? Drawing::Dash::Short : Drawing::Dash::Solid); break;
        case Shape::Support: support(p.front()); break;
        case Shape::Load: load(p[0], p[1]); break;
        case Shape::Force: arrowDown(p.front(), kForceHeight, 1.5); break;
        case Shape::Dimension: dimension(m, p[0], p[1]); break;
        case Shape::Label: break;
        }
    }

    void support(PaperPoint p) {
        constexpr double kHalf = 7;
        constexpr double kTall = 11;
        line({p, {p.x + kHalf, p.y + kTall}, {p.x - kHalf, p.y + kTall}, p}, 1.0);
        line({{p.x - kHalf - 4, p.y + kTall}, {p.x + kHalf + 4, p.y + kTall}}, 1.0);
        Drawing::Strokes ground;
        for (double x = -kHalf - 1; x <= kHalf + 4; x += 4) {
            ground.ends.push_back({p.x + x, p.y + kTall});
            ground.ends.push_back({p.x + x - 3, p.y + kTall + 4});
        }
        m_extent.take(PaperPoint{p.x, p.y + kTall + 4});
        m_ink.push_back(std::move(ground));
    }

    void load(PaperPoint a, PaperPoint b) {
        const double wide = std::fabs(b.x - a.x);
        const int n = std::clamp(static_cast<int>(wide / 26), 1, 40);
        line({{a.x, a.y - kLoadHeight}, {b.x, b.y - kLoadHeight}}, 0.9);
        for (int i = 0; i <= n; ++i) {
            const double t = static_cast<double>(i) / n;
            arrowDown({a.x + (b.x - a.x) * t, a.y + (b.y - a.y) * t}, kLoadHeight, 0.8);
        }
    }

    struct Span {
        PaperPoint a, b;
        double dx = 1, dy = 0, length = 0; ///< along it
        double nx = 0, ny = -1;            ///< to its left
    };
    /// Where the line of a dimension runs.
    [[nodiscard]] Span spanOf(const Mark& m) const {
        Span s;
        s.a = at(m.points[0]);
        s.b = at(m.points[1]);
        s.length = std::hypot(s.b.x - s.a.x, s.b.y - s.a.y);
        if (s.length > 0) {
            s.dx = (s.b.x - s.a.x) / s.length;
            s.dy = (s.b.y - s.a.y) / s.length;
        }
        s.nx = s.dy; // y runs downwards
        s.ny = -s.dx;
        double away = kOffset;
        if (m.offset) {
            // At the scale of lengths, whichever way it goes; but never into the line it measures.
            away = *m.offset * m_scale;
            if (away != 0 && std::fabs(away) < kLeastOffset) away = std::copysign(kLeastOffset, away);
        }
        s.a = {s.a.x + s.nx * away, s.a.y + s.ny * away};
        s.b = {s.b.x + s.nx * away, s.b.y + s.ny * away};
        return s;
    }

    void dimension(const Mark& m, PaperPoint a, PaperPoint b) {
        const Span s = spanOf(m);
        const auto extension = [&](PaperPoint from, PaperPoint to) {
            const double length = std::hypot(to.x - from.x, to.y - from.y);
            if (length < 4) return;
            const double ux = (to.x - from.x) / length;
            const double uy = (to.y - from.y) / length;
            line({{from.x + ux * 3, from.y + uy * 3}, {to.x + ux * 4, to.y + uy * 4}}, 0.5);
        };
        extension(a, s.a);
        extension(b, s.b);
        if (s.length >= 2 * kHead + 4) {
            line({s.a, s.b}, 0.7);
            head(s.a, -s.dx, -s.dy);
            head(s.b, s.dx, s.dy);
            return;
        }
        // Too short for heads between its ends: they stand outside.
        constexpr double kBeyond = 14;
        line({{s.a.x - s.dx * kBeyond, s.a.y - s.dy * kBeyond}, {s.b.x + s.dx * kBeyond, s.b.y + s.dy * kBeyond}}, 0.7);
        head(s.a, s.dx, s.dy);
        head(s.b, -s.dx, -s.dy);
    }

    // ---- texts
    [[nodiscard]] double costOf(const PaperBox& box) const {
        double cost = 0;
        for (const PaperBox& t : m_texts) cost += box.meets(t) ? 1'000 : 0;
        for (const auto& [a, b] : m_segments) cost += box.meets(a, b) ? 6 : 0;
        for (const auto& [a, b] : m_leaders) cost += box.meets(a, b) ? 60 : 0;
        return cost;
    }

    /// Where a line leaves a text for the point it speaks of; nothing if the text stands at that point.
    [[nodiscard]] static std::optional<PaperPoint> leaderFrom(const PaperBox& text, PaperPoint to) {
        const PaperPoint near{std::clamp(to.x, text.left, text.right), std::clamp(to.y, text.top, text.bottom)};
        if (std::hypot(near.x - to.x, near.y - to.y) > 9) return near;
        return std::nullopt;
    }

    /// As costOf(), with the line that leads from there: it never runs through a text if there is another way.
    [[nodiscard]] double costWithLeader(const PaperBox& box, PaperPoint to) const {
        double cost = costOf(box);
        if (const auto from = leaderFrom(box, to))
            for (const PaperBox& t : m_texts) cost += t.meets(*from, to) ? 60 : 0;
        return cost;
    }

    void write(const std::string& text, PaperPoint centre, double turned) {
        const PaperBox box = textBox(text, kTextSize, centre, turned);
        m_texts.push_back(box);
        m_extent.take(box);
        // The base line lies a third of the size below the middle.
        const double down = kTextSize * 0.35;
        const double angle = turned / kDegrees;
        m_words.push_back(Drawing::Text{{centre.x + std::sin(angle) * down, centre.y + std::cos(angle) * down},
                                        text,
                                        Drawing::Text::Anchor::Middle,
                                        Drawing::Ink::Full,
                                        kTextSize,
                                        turned});
    }

    void dimensionText(const Mark& m) {
        const Span s = spanOf(m);
        const std::string text = shortened(m.text);
        const PaperPoint middle{(s.a.x + s.b.x) / 2, (s.a.y + s.b.y) / 2};
        // Read from below or from the right.
        double turned = std::atan2(-s.dy, s.dx) * kDegrees;
        if (turned > 90.01) turned -= 180;
        if (turned <= -89.99) turned += 180;
        const double half = textBox(text, kTextSize, {0, 0}, 0).right;
        // A number as wide as its line hides what it measures: room is left at both ends.
        const bool fits = 2 * half + kRoomInside <= s.length;
        struct Place {
            PaperPoint centre;
            double turned, cost;
            std::optional<PaperPoint> from = {}; ///< the line's end that it stands behind: the line runs on to it
        };
        std::vector<Place> places;
        const auto beside = [&](double n, double along, double cost) {
            places.push_back({{middle.x + s.nx * n + s.dx * along, middle.y + s.ny * n + s.dy * along}, turned, cost});
        };
        // Behind an end of an upright line a number lies, and is nearer to it.
        const bool upright = std::fabs(s.dy) > std::fabs(s.dx);
        const double halfAlong = upright ? textBox(text, kTextSize, {0, 0}, 0).bottom : half;
        const auto behind = [&](double far, double cost) {
            for (const double way : {1.0, -1.0}) {
                const double along = way * (s.length / 2 + halfAlong + far);
                places.push_back({{middle.x + s.dx * along, middle.y + s.dy * along},
                                  upright ? 0 : turned,
                                  cost + (way < 0 ? 1 : 0) + std::fabs(along) / 100,
                                  way > 0 ? s.b : s.a});
            }
        };
        for (const double n : {8.0, -8.0}) beside(n, 0, (fits ? 0 : 11) + (n < 0 ? 1 : 0));
        // A number too long for an upright line lies beside it.
        if (!fits && upright)
            for (const double n : {half + 4, -half - 4}) places.push_back({{middle.x + s.nx * n, middle.y + s.ny * n}, 0, n * s.nx < 0 ? 2.0 : 1.5});
        for (const double far : {16.0, 40.0}) behind(far, 3);
        for (const double n : {20.0, -20.0, 32.0, -32.0, 44.0, -44.0}) beside(n, 0, 12 + std::fabs(n) / 4);
        const Place* best = nullptr;
        double least = 0;
        for (const Place& p : places) {
            const double cost = p.cost + costOf(textBox(text, kTextSize, p.centre, p.turned));
            if (best == nullptr || cost < least) {
                best = &p;
                least = cost;
            }
        }
        write(text, best->centre, best->turned);
        if (!best->from) return;
        const PaperBox box = textBox(text, kTextSize, best->centre, best->turned);
        line({*best->from, {std::clamp(best->from->x, box.left - 2, box.right + 2), std::clamp(best->from->y, box.top - 2, box.bottom + 2)}}, 0.7);
    }

    void label(const Mark& m) {
        const std::string text = shortened(m.text);
        if (text.empty()) return;
        const PaperPoint p = at(m.points.front());
        const PaperBox box = textBox(text, kTextSize, {0, 0}, 0);
        const double w = box.right + 5;
        const double h = box.bottom + 4;
        PaperPoint best = p;
        // A text that sticks out at a side makes the whole drawing smaller: it rather stands above or below.
        const PaperBox lines = m_extent;
        const double free = std::max(0.0, kWidth - (lines.right - lines.left)) / 2;
        const auto beyond = [&](const PaperBox& t) { return 0.25 * (std::max(0.0, lines.left - free - t.left) + std::max(0.0, t.right - lines.right - free)); };
        double least = costOf(textBox(text, kTextSize, p, 0));
        // Where it is asked for, if it can be read there; else near by.
        for (const double far : {0.0, 10.0, 22.0, 36.0, 52.0}) {
            const PaperPoint round[] = {{p.x, p.y - h - far},           {p.x, p.y + h + far},           {p.x + w + far, p.y},
                                        {p.x - w - far, p.y},           {p.x + w + far, p.y - h - far}, {p.x - w - far, p.y - h - far},
                                        {p.x + w + far, p.y + h + far}, {p.x - w - far, p.y + h + far}};
            double rank = 2.0 + far / 4;
            for (const PaperPoint& q : round) {
                const PaperBox there = textBox(text, kTextSize, q, 0);
                const double cost = rank + costWithLeader(there, p) + beyond(there);
                rank += 0.2;
                if (cost < least) {
                    least = cost;
                    best = q;
                }
            }
        }
        // Else clear of everything, below or above all; aside where the line from there would run through another text.
        const double half = (box.right - box.left) / 2;
        const double reach = lines.right - lines.left - 2 * half;
        for (const double aside : {0.0, half + 12, -half - 12, half + 30, -half - 30}) {
            const double x = reach > 0 ? std::clamp(p.x + aside, lines.left + half, lines.right - half) : (lines.left + lines.right) / 2;
            for (const double y : {lines.bottom + h, lines.top - h}) {
                const PaperPoint q{x, y};
                const PaperBox there = textBox(text, kTextSize, q, 0);
                const auto from = leaderFrom(there, p);
                const double longLeader = from ? std::hypot(from->x - p.x, from->y - p.y) / 20 : 0;
                const double cost = 16 + longLeader + std::fabs(aside) / 100 + costWithLeader(there, p) + beyond(there);
                if (cost < least) {
                    least = cost;
                    best = q;
                }
            }
        }
        write(text, best, 0);
        if (const auto from = leaderFrom(textBox(text, kTextSize, best, 0), p)) {
            line({*from, p}, 0.5);
            m_leaders.emplace_back(*from, p);
            m_ink.push_back(Drawing::Dot{p, 1.6});
        }
    }

    /// What has to be said below.
    void foot() {
        const auto words = [&](const std::string& text) {
            const PaperPoint start{m_extent.left, m_extent.bottom + 16};
            m_words.push_back(Drawing::Text{start, text, Drawing::Text::Anchor::Start, Drawing::Ink::Full, kTextSize, 0});
            m_extent.take(PaperPoint{start.x + 2 * textBox(text, kTextSize, {0, 0}, 0).right, start.y + 3});
        };
        if (m_sketch.heights != 1.0) words("heights drawn " + base::shortest(m_sketch.heights) + " times larger than lengths");
        if (!m_sketch.leftOut.empty())
            words(m_sketch.leftOut.size() == 1 ? "one mark could not be drawn" : std::to_string(m_sketch.leftOut.size()) + " marks could not be drawn");
    }

    // ---- together
    void compose() {
        std::vector<Drawing::Shape> shapes;
        for (const Mark& m : m_sketch.marks) {
            if (m.shape != Shape::Hatch) continue;
            // Timber by wide strokes one way, panels by narrow ones the other way.
            Drawing::Strokes strokes;
            strokes.ends = hatchStrokes(all(m), m.other ? -45 : 45, m.other ? 3.2 : 5.5, m_texts);
            strokes.width = m.other ? 0.6 : 0.7;
            if (!strokes.ends.empty()) shapes.push_back(std::move(strokes));
        }
        shapes.insert(shapes.end(), std::make_move_iterator(m_ink.begin()), std::make_move_iterator(m_ink.end()));
        for (Drawing::Text& t : m_words) shapes.push_back(std::move(t));
        const double x = kMargin - m_extent.left;
        const double y = kMargin - m_extent.top;
        for (Drawing::Shape& s : shapes) std::visit([&](auto& shape) { move(shape, x, y); }, s);
        m_drawing.width = m_extent.right - m_extent.left + 2 * kMargin;
        m_drawing.height = m_extent.bottom - m_extent.top + 2 * kMargin;
        m_drawing.shapes = std::move(shapes);
    }

    static void shift(std::vector<PaperPoint>& points, double x, double y) {
        for (PaperPoint& p : points) p = {p.x + x, p.y + y};
    }
    static void move(Drawing::Polyline& p, double x, double y) { shift(p.points, x, y); }
    static void move(Drawing::Strokes& s, double x, double y) { shift(s.ends, x, y); }
    static void move(Drawing::Filled& f, double x, double y) { shift(f.points, x, y); }
    static void move(Drawing::Text& t, double x, double y) { t.at = {t.at.x + x, t.at.y + y}; }
    static void move(Drawing::Dot& d, double x, double y) { d.at = {d.at.x + x, d.at.y + y}; }
    static void move(Drawing::Rect& r, double x, double y) {
        r.x += x;
        r.y += y;
    }

    const job::SketchView& m_sketch;
    Drawing m_drawing;
    double m_scale = 1, m_left = 0, m_top = 0;
    PaperBox m_extent;
    std::vector<std::pair<PaperPoint, PaperPoint>> m_segments;
    std::vector<std::pair<PaperPoint, PaperPoint>> m_leaders; ///< of them, those that lead from a text to its point
    std::vector<PaperBox> m_texts;
    std::vector<Drawing::Shape> m_ink;
    std::vector<Drawing::Text> m_words;
};

} // namespace

Drawing sketchDrawing(const job::SketchView& sketch) { return Sheet(sketch).draw(); }

} // namespace spanwright::report
