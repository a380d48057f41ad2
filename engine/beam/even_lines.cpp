// SPDX-License-Identifier: MIT
// The formulas of simple.cpp and curves.cpp once more, a lane for each line or place: built with -O3, see CMakeLists.txt.
#include "engine/beam/even_lines.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "engine/beam/curves.h"

namespace spanwright::beam {

namespace {

constexpr double kNaN = std::numeric_limits<double>::quiet_NaN();

SPANWRIGHT_WIDEST bool allWithin(const std::vector<double>& v, double least, double most) {
    std::size_t fine = 0; // (counted, so that it goes in lanes)
    for (const double x : v) fine += x >= least && x <= most ? 1U : 0U;
    return fine == v.size();
}
constexpr double kMost = std::numeric_limits<double>::max();
bool allFinite(const std::vector<double>& v) { return allWithin(v, -kMost, kMost); }
bool stiff(const std::vector<double>& v) { return allWithin(v, std::numeric_limits<double>::min(), kMost); }

} // namespace

/// Places worked out together: whose they are and how far along.
struct EvenLines::Strip {
    std::size_t n = 0, first = 0;
    const std::uint32_t* owner = nullptr;
    double t[kLongStrip], back[kLongStrip];
    double always[kLongStrip], down[kLongStrip], up[kLongStrip];
    template <bool each> [[nodiscard]] SPANWRIGHT_INLINE std::size_t line(std::size_t i) const { return each ? first + i : owner[i]; }
    /// What a part gives at a place.
    SPANWRIGHT_INLINE void addAlways(std::size_t i, double v) { always[i] += v; }
    SPANWRIGHT_INLINE void addChoice(std::size_t i, double v) {
        const Parted p = parted(v);
        down[i] += p.down;
        up[i] += p.up;
    }
};

std::shared_ptr<EvenLines> EvenLines::of(Input input) {
    auto lines = std::make_shared<EvenLines>();
    lines->m_input = std::move(input);
    return lines->work() ? lines : nullptr;
}

bool EvenLines::hasChoices() const {
    return std::any_of(m_parts.begin(), m_parts.end(), [](const Part& p) { return p.eachSpan; });
}

bool EvenLines::work() {
    const Input& in = m_input;
    const std::size_t n = in.count;
    if (in.loads.empty() || !allFinite(in.from) || !allFinite(in.to) || !stiff(in.ei) || !stiff(in.ga)) return false;
    m_width.resize(n);
    m_perLength.resize(n);
    for (std::size_t i = 0; i < n; ++i) {
        if (!(in.from[i] < in.to[i])) return false;
        m_width[i] = in.to[i] - in.from[i];
        m_perLength[i] = 1.0 / m_width[i];
    }
    if (!allFinite(m_width)) return false;
    for (const Loads& load : in.loads) {
        if (load.action >= in.actionCount || !allFinite(load.size)) return false;
        auto part = std::find_if(m_parts.begin(), m_parts.end(), [&](const Part& p) { return p.action == load.action && p.eachSpan == load.eachSpan; });
        if (part == m_parts.end()) {
            m_parts.push_back({load.action, load.eachSpan, std::vector<double>(n, 0.0), {}, {}, {}});
            part = std::prev(m_parts.end());
        }
        for (std::size_t i = 0; i < n; ++i) part->load[i] += load.size[i];
    }
    std::vector<double> bend(n), shear(n, 0.0), turn(n), slip(n), moment[kPowers], force[kPowers];
    for (std::size_t i = 0; i < n; ++i) bend[i] = m_width[i] * (1.0 / in.ei[i]);
    if (!in.ga.empty())
        for (std::size_t i = 0; i < n; ++i) shear[i] = m_width[i] * (1.0 / in.ga[i]);
    for (std::size_t k = 0; k < kPowers; ++k) {
        moment[k].assign(n, k < 3 ? 0.0 : -0.0);
        force[k].assign(n, k == 2 ? -0.0 : 0.0);
    }
    for (Part& part : m_parts) {
        part.left.resize(n);
        part.right.resize(n);
        // As polynomialsOf() and bowOfConstant() have it where nothing rises and no flange relieves the web.
        for (std::size_t i = 0; i < n; ++i) {
            const double h = m_width[i], square = h * h, load = part.load[i];
            part.left[i] = part.right[i] = force[0][i] = h * (0.5 * load + 0.0);
            moment[1][i] = 0.0 + square * (0.5 * load + 0.0);
            moment[2][i] = -0.5 * square * load;
            force[1][i] = -h * load;
        }
        for (std::size_t k = 0; k < kPowers; ++k) part.bow[k].assign(n, 0.0);
        for (std::size_t k = 0; k < kPowers; ++k) {
            const auto order = static_cast<double>(k + 1);
            for (std::size_t i = 0; i < n; ++i) {
                const double none = 0.0;
                turn[i] = m_width[i] * (bend[i] * moment[k][i] - none * force[k][i]) / (order * (order + 1.0));
                slip[i] = (shear[i] * force[k][i] - none * moment[k][i]) / order;
            }
            for (std::size_t j = 0; j < k; ++j)
                for (std::size_t i = 0; i < n; ++i) part.bow[j][i] += turn[i] - slip[i];
            for (std::size_t i = 0; i < n; ++i) part.bow[k][i] += turn[i];
        }
        if (!allFinite(part.left) || !allFinite(part.right) || !std::all_of(std::begin(part.bow), std::end(part.bow), allFinite)) return false;
    }
    return true;
}

void EvenLines::keep(const std::vector<std::uint32_t>& lines) {
    const auto compact = [&](std::vector<double>& v) {
        if (v.empty()) return;
        for (std::size_t i = 0; i < lines.size(); ++i) v[i] = v[lines[i]];
        v.resize(lines.size());
    };
    for (std::vector<double>* v : {&m_input.from, &m_input.to, &m_input.ei, &m_input.ga, &m_width, &m_perLength}) compact(*v);
    for (Loads& l : m_input.loads) compact(l.size);
    for (Part& p : m_parts) {
        for (std::vector<double>* v : {&p.load, &p.left, &p.right}) compact(*v);
        for (std::vector<double>& b : p.bow) compact(b);
    }
    m_input.count = lines.size();
}

Solved EvenLines::line(std::size_t i) const {
    Line line;
    line.from = m_input.from[i];
    line.to = m_input.to[i];
    line.supports = {{line.from, false, 0.0}, {line.to, false, 0.0}};
    for (const Loads& l : m_input.loads) line.loads.push_back({Load::Shape::Line, l.action, l.size[i], l.size[i], line.from, line.to, l.eachSpan});
    line.actionCount = m_input.actionCount;
    line.constantStiffness = true;
    const auto is = [](double v) { return [v](const double*, std::size_t n, double* out) { std::fill(out, out + n, v); }; };
    line.ei = is(m_input.ei[i]);
    if (!m_input.ga.empty()) line.ga = is(m_input.ga[i]);
    auto solved = solve(line);
    return solved ? std::move(solved).value() : Solved();
}

template <bool each> SPANWRIGHT_INLINE void EvenLines::begin(Strip& s, const double* x) const {
    const double *allFrom = m_input.from.data(), *allTo = m_input.to.data(), *allPerLength = m_perLength.data();
    for (std::size_t i = 0; i < s.n; ++i) {
        const std::size_t line = s.line<each>(i);
        const double from = allFrom[line], to = allTo[line], slack = kOutsideSlack * (to - from), at = x[i];
        const double notBefore = at < from ? from : at, inside = notBefore < to ? notBefore : to, t = (inside - from) * allPerLength[line];
        const double below = t < 1.0 ? t : 1.0, along = inside < to ? below : 1.0;
        const bool after = at >= from - slack, before = at <= to + slack;
        s.t[i] = after & before ? along : kNaN;
        s.back[i] = 1.0 - s.t[i];
        s.always[i] = s.down[i] = s.up[i] = 0.0;
    }
}

template <bool each> SPANWRIGHT_INLINE void EvenLines::momentsOf(Strip& s, const std::vector<double>& factors) const {
    const double* width = m_width.data();
    for (const Part& p : m_parts) {
        const double factor = factors[p.action], *load = p.load.data();
        if (factor == 0.0) continue;
        const auto at = [&](std::size_t i) {
            const std::size_t line = s.line<each>(i);
            const double square = width[line] * width[line], bow = 0.5 * s.t[i] * s.back[i];
            return factor * (0.0 + square * (load[line] * bow + 0.0));
        };
        if (p.eachSpan)
            for (std::size_t i = 0; i < s.n; ++i) s.addChoice(i, at(i));
        else
            for (std::size_t i = 0; i < s.n; ++i) s.addAlways(i, at(i));
    }
}

template <bool each> SPANWRIGHT_INLINE void EvenLines::shearsOf(Strip& s, const std::vector<double>& factors) const {
    const double* width = m_width.data();
    for (const Part& p : m_parts) {
        const double factor = factors[p.action], *load = p.load.data(), *left = p.left.data();
        if (factor == 0.0) continue;
        const auto at = [&](std::size_t i) {
            const std::size_t line = s.line<each>(i);
            return factor * (left[line] - width[line] * (load[line] * s.t[i] + 0.0));
        };
        if (p.eachSpan)
            for (std::size_t i = 0; i < s.n; ++i) s.addChoice(i, at(i));
        else
            for (std::size_t i = 0; i < s.n; ++i) s.addAlways(i, at(i));
    }
}

template <bool each> SPANWRIGHT_INLINE void EvenLines::deflectionsOf(Strip& s, const std::vector<double>& factors) const {
    double bow[kPowers][kLongStrip];
    const auto at = [&](std::size_t i) { return s.t[i] * s.back[i] * (((bow[3][i] * s.t[i] + bow[2][i]) * s.t[i] + bow[1][i]) * s.t[i] + bow[0][i]); };
    const auto add = [&](const Part& p, double factor, bool first) {
        for (std::size_t k = 0; k < kPowers; ++k) {
            const double* mine = p.bow[k].data();
            if (first)
                for (std::size_t i = 0; i < s.n; ++i) bow[k][i] = 0.0 + factor * mine[s.line<each>(i)];
            else
                for (std::size_t i = 0; i < s.n; ++i) bow[k][i] += factor * mine[s.line<each>(i)];
        }
    };
    // What always acts is added up before it is looked at; choices one by one.
    bool any = false;
    for (const Part& p : m_parts) {
        const double factor = factors[p.action];
        if (p.eachSpan || factor == 0.0) continue;
        add(p, factor, !any);
        any = true;
    }
    if (any)
        for (std::size_t i = 0; i < s.n; ++i) s.always[i] = at(i);
    for (const Part& p : m_parts) {
        const double factor = factors[p.action];
        if (!p.eachSpan || factor == 0.0) continue;
        add(p, factor, true);
        for (std::size_t i = 0; i < s.n; ++i) s.addChoice(i, at(i));
    }
}

template <bool each>
SPANWRIGHT_INLINE void EvenLines::strip(Curve curve, Strip& s, const double* x, const std::vector<double>& factors, double* least, double* most) const {
    begin<each>(s, x);
    switch (curve) {
    case Curve::Moment: momentsOf<each>(s, factors); break;
    case Curve::Sag: deflectionsOf<each>(s, factors); break;
    case Curve::Shear:
    case Curve::WebShear: shearsOf<each>(s, factors); break;
    }
    for (std::size_t i = 0; i < s.n; ++i) { // beyond the ends nothing has a value, whatever acts
        const bool inside = s.t[i] <= 1.0;
        least[i] = inside ? s.always[i] + s.down[i] : kNaN;
        most[i] = inside ? s.always[i] + s.up[i] : kNaN;
    }
}

SPANWRIGHT_WIDEST void EvenLines::stripOfEach(Curve curve, Strip& s, const double* x, const std::vector<double>& factors, double* least, double* most) const {
    strip<true>(curve, s, x, factors, least, most);
}

SPANWRIGHT_WIDEST void EvenLines::stripOfOwners(Curve curve, Strip& s, const double* x, const std::vector<double>& factors, double* least, double* most) const {
    strip<false>(curve, s, x, factors, least, most);
}

void EvenLines::values(Curve curve, const std::uint32_t* owner, const double* x, std::size_t n, const std::vector<double>& factors, double* least,
                       double* most) const {
    if (factors.size() < m_input.actionCount) {
        std::fill(least, least + n, kNaN);
        std::fill(most, most + n, kNaN);
        return;
    }
    Strip s;
    for (std::size_t first = 0; first < n; first += kLongStrip) {
        s.n = std::min(kLongStrip, n - first);
        s.first = first;
        s.owner = owner != nullptr ? owner + first : nullptr;
        if (owner == nullptr)
            stripOfEach(curve, s, x + first, factors, least + first, most + first);
        else
            stripOfOwners(curve, s, x + first, factors, least + first, most + first);
    }
}

void EvenLines::reactions(std::size_t support, std::size_t n, const std::vector<double>& factors, double* least, double* most) const {
    if (factors.size() < m_input.actionCount || support > 1) {
        std::fill(least, least + n, kNaN);
        std::fill(most, most + n, kNaN);
        return;
    }
    Strip s;
    for (std::size_t first = 0; first < n; first += kLongStrip) {
        const std::size_t count = std::min(kLongStrip, n - first);
        for (std::size_t i = 0; i < count; ++i) s.always[i] = s.down[i] = s.up[i] = 0.0;
        for (const Part& p : m_parts) {
            const double factor = factors[p.action], *force = (support == 0 ? p.left : p.right).data() + first;
            if (factor == 0.0) continue;
            if (p.eachSpan)
                for (std::size_t i = 0; i < count; ++i) s.addChoice(i, factor * force[i]);
            else
                for (std::size_t i = 0; i < count; ++i) s.addAlways(i, factor * force[i]);
        }
        for (std::size_t i = 0; i < count; ++i) {
            least[first + i] = s.always[i] + s.down[i];
            most[first + i] = s.always[i] + s.up[i];
        }
    }
}

} // namespace spanwright::beam
