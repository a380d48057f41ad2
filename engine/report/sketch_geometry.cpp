// SPDX-License-Identifier: MIT
#include "engine/report/sketch_geometry.h"

#include <algorithm>
#include <cmath>
#include <iterator>
#include <string_view>

#include "engine/base/text.h"

namespace spanwright::report {

namespace {

constexpr double kTurn = 3.14159265358979323846 / 180.0;
/// Widths of letters against the size, on the broad side for a sans-serif face.
constexpr double kGlyphWidth = 0.58, kDigitWidth = 0.64, kBroadWidth = 0.97, kNarrowWidth = 0.34;
constexpr double kGlyphHeight = 1.15;
/// A hand does not space its strokes evenly.
constexpr double kUneven[] = {0.0, 0.09, -0.05, 0.12, -0.1, 0.04, -0.12, 0.07};
constexpr std::size_t kMostLines = 4'000;

/// The part of a to b within the box, as shares of its length; false if there is none.
bool within(const PaperBox& box, PaperPoint a, PaperPoint b, double& from, double& to) {
    from = 0.0;
    to = 1.0;
    const auto side = [&](double p, double q) {
        if (p == 0.0) return q >= 0.0;
        const double t = q / p;
        if (p < 0.0)
            from = std::max(from, t);
        else
            to = std::min(to, t);
        return from < to;
    };
    const double dx = b.x - a.x;
    const double dy = b.y - a.y;
    return side(-dx, a.x - box.left) && side(dx, box.right - a.x) && side(-dy, a.y - box.top) && side(dy, box.bottom - a.y) && from < to;
}

} // namespace

bool PaperBox::meets(PaperPoint a, PaperPoint b) const {
    double from = 0;
    double to = 0;
    return within(*this, a, b, from, to);
}

void PaperBox::take(PaperPoint p) {
    left = std::min(left, p.x);
    right = std::max(right, p.x);
    top = std::min(top, p.y);
    bottom = std::max(bottom, p.y);
}

void PaperBox::take(const PaperBox& o) {
    take(PaperPoint{o.left, o.top});
    take(PaperPoint{o.right, o.bottom});
}

std::vector<PaperPoint> hatchStrokes(const std::vector<PaperPoint>& polygon, double degrees, double spacing, const std::vector<PaperBox>& free) {
    std::vector<PaperPoint> out;
    if (polygon.size() < 3) return out;
    // Along u the strokes run, along v they stand side by side.
    const double ux = std::cos(degrees * kTurn);
    const double uy = -std::sin(degrees * kTurn);
    const auto u = [&](PaperPoint p) { return p.x * ux + p.y * uy; };
    const auto v = [&](PaperPoint p) { return -p.x * uy + p.y * ux; };
    double low = v(polygon.front());
    double high = low;
    for (const PaperPoint& p : polygon) {
        low = std::min(low, v(p));
        high = std::max(high, v(p));
    }
    std::vector<double> cuts;
    std::vector<PaperBox> near;
    PaperBox all{polygon.front().x, polygon.front().y, polygon.front().x, polygon.front().y};
    for (const PaperPoint& p : polygon) all.take(p);
    std::copy_if(free.begin(), free.end(), std::back_inserter(near), [&](const PaperBox& b) { return b.meets(all); });
    // Lines stand at whole multiples of the spacing, so that neighbouring polygons are hatched through.
    auto line = static_cast<long long>(std::ceil(low / spacing));
    for (std::size_t n = 0; n < kMostLines; ++n, ++line) {
        const auto uneven = static_cast<std::size_t>(((line % 8) + 8) % 8);
        const double at = (static_cast<double>(line) + kUneven[uneven]) * spacing;
        if (static_cast<double>(line) * spacing > high) break;
        cuts.clear();
        for (std::size_t i = 0; i < polygon.size(); ++i) {
            const PaperPoint& a = polygon[i];
            const PaperPoint& b = polygon[(i + 1) % polygon.size()];
            const double va = v(a);
            const double vb = v(b);
            if ((va <= at) == (vb <= at)) continue;
            cuts.push_back(u(a) + (u(b) - u(a)) * (at - va) / (vb - va));
        }
        std::sort(cuts.begin(), cuts.end());
        for (std::size_t i = 0; i + 1 < cuts.size(); i += 2) {
            const PaperPoint a{cuts[i] * ux - at * uy, cuts[i] * uy + at * ux};
            const PaperPoint b{cuts[i + 1] * ux - at * uy, cuts[i + 1] * uy + at * ux};
            const double length = std::hypot(b.x - a.x, b.y - a.y);
            if (length < 0.5) continue;
            std::vector<std::pair<double, double>> holes;
            for (const PaperBox& box : near) {
                double from = 0;
                double to = 0;
                if (within(box, a, b, from, to)) holes.emplace_back(from, to);
            }
            std::sort(holes.begin(), holes.end());
            double from = 0.0;
            const auto stroke = [&](double to) {
                if ((to - from) * length < 0.5) return;
                out.push_back({a.x + (b.x - a.x) * from, a.y + (b.y - a.y) * from});
                out.push_back({a.x + (b.x - a.x) * to, a.y + (b.y - a.y) * to});
            };
            for (const auto& [begin, end] : holes) {
                stroke(begin);
                from = std::max(from, end);
            }
            stroke(1.0);
        }
    }
    return out;
}

namespace {

double widthOf(const std::string& text) {
    double out = 0;
    for (std::size_t at = 0; at < text.size(); at += base::utf8Length(text, at)) {
        const char c = text[at];
        if (c >= '0' && c <= '9')
            out += kDigitWidth;
        else
            out += std::string_view("mwMW%").find(c) != std::string_view::npos          ? kBroadWidth
                   : std::string_view(" .,:;'iljI|!").find(c) != std::string_view::npos ? kNarrowWidth
                                                                                        : kGlyphWidth;
    }
    return out;
}

} // namespace

PaperBox textBox(const std::string& text, double size, PaperPoint centre, double turned) {
    const double w = widthOf(text) * size / 2 + 1.5;
    const double h = size * kGlyphHeight / 2;
    const double c = std::fabs(std::cos(turned * kTurn));
    const double s = std::fabs(std::sin(turned * kTurn));
    const double halfWidth = w * c + h * s;
    const double halfHeight = w * s + h * c;
    return {centre.x - halfWidth, centre.y - halfHeight, centre.x + halfWidth, centre.y + halfHeight};
}

} // namespace spanwright::report
