// SPDX-License-Identifier: MIT
#include "engine/beam/cells.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>
#include <optional>
#include <span>

#include "engine/beam/series.h"

namespace spanwright::beam {

namespace {

/// Agreement wanted between a panel and its halves, relative to the panel's own mean.
constexpr double kPanelTolerance = 1e-12;
/// A panel is let go when all it can be wrong by is this part of its segment's integral: panels that
/// close in on a jump of the stiffness end here.
constexpr double kNegligible = 1e-14;
/// A rough stiffness must not take unbounded time; past this many panels the line is refused.
constexpr std::size_t kMostPanels = 20000;
constexpr double kWorstAccepted = 1e-6;

/// 1/EI + r^2/GA, 1/GA, r/GA and r of a panel at the rule's nodes.
struct Panel {
    double left = 0.0, right = 0.0;
    Values bend{}, shear{}, cross{}, relief{};
    bool relieved = false;
    [[nodiscard]] double width() const { return right - left; }
};

void addCurve(Cell& cell, std::size_t which, const Series& series, double factor) {
    for (std::size_t n = 0; n < series.size(); ++n) cell.curves[n * Cell::kCurves + which] += factor * series[n];
}

/// What the shear taken by inclined flanges adds: slip under a moment, curvature under a shear force.
void addRelief(Cell& cell, const Panel& panel) {
    const double h = panel.width();
    for (std::size_t i = 0; i < kNodes; ++i) {
        const double t = 0.5 * (1.0 + rule().node[i]);
        double power = 0.5 * h * rule().weight[i];
        for (std::size_t k = 0; k < 4; ++k) {
            cell.cross[k] += power * panel.cross[i];
            power *= t;
        }
    }
    cell.relief = fit(panel.relief);
    Series cross = fit(panel.cross);
    for (std::size_t k = 0; k < 4; ++k) {
        Series slip = integrated(cross);
        if (k < 3) {
            Series turn = integrated(slip);
            hangBetweenEnds(turn);
            addCurve(cell, 4 + k, turn, 0.25 * h * h);
        }
        hangBetweenEnds(slip);
        addCurve(cell, k, slip, -0.5 * h);
        cross = timesT(cross);
    }
}

Cell makeCell(const Panel& panel, std::size_t segment) {
    Cell cell;
    cell.left = panel.left;
    cell.right = panel.right;
    cell.segment = segment;
    const double h = panel.width();
    for (std::size_t i = 0; i < kNodes; ++i) {
        const double t = 0.5 * (1.0 + rule().node[i]);
        double power = 0.5 * h * rule().weight[i];
        for (std::size_t k = 0; k < 5; ++k) {
            cell.bend[k] += power * panel.bend[i];
            if (k < 3) cell.shear[k] += power * panel.shear[i];
            power *= t;
        }
    }
    Series bend = fit(panel.bend), shear = fit(panel.shear);
    cell.curves.assign((kNodes + 5) * Cell::kCurves, 0.0);
    for (std::size_t k = 0; k < 4; ++k) {
        Series w = integrated(integrated(bend));
        hangBetweenEnds(w);
        addCurve(cell, k, w, -0.25 * h * h);
        bend = timesT(bend);
    }
    for (std::size_t k = 0; k < 3; ++k) {
        Series w = integrated(shear);
        hangBetweenEnds(w);
        addCurve(cell, 4 + k, w, 0.5 * h);
        shear = timesT(shear);
    }
    if (panel.relieved) addRelief(cell, panel);
    return cell;
}

/// Where nothing varies: closed forms.
Cell constantCell(const Panel& panel, std::size_t segment) {
    const double bend = panel.bend.front(), shear = panel.shear.front();
    Cell cell;
    cell.left = panel.left;
    cell.right = panel.right;
    cell.segment = segment;
    const double h = cell.width();
    for (std::size_t k = 0; k < cell.bend.size(); ++k) cell.bend[k] = h * bend / static_cast<double>(k + 1);
    for (std::size_t k = 0; k < cell.shear.size(); ++k) cell.shear[k] = h * shear / static_cast<double>(k + 1);
    if (panel.relieved) {
        for (std::size_t k = 0; k < cell.cross.size(); ++k) cell.cross[k] = h * panel.cross.front() / static_cast<double>(k + 1);
        cell.relief.assign(1, panel.relief.front());
    }
    return cell;
}

/// Reads the stiffness functions, keeping the first place where they are unusable.
class Sampler {
public:
    explicit Sampler(const Line& line) : m_line(line) {}

    [[nodiscard]] bool bad() const { return m_problem.has_value(); }
    [[nodiscard]] base::Failure<Problem> failure() const { return base::Failure{*m_problem}; }

    Panel panel(double left, double right) {
        const auto known = m_ahead.find({left, right});
        if (known != m_ahead.end()) return known->second;
        const std::pair<double, double> one{left, right};
        return panels({&one, 1}).front();
    }

    [[nodiscard]] bool knows(double left, double right) const { return m_ahead.contains({left, right}); }
    /// Reads what will be asked for in any case, all at once. If anything is wrong there it has read nothing: then who asks
    /// finds out, in his own order.
    void readAhead(const std::vector<std::pair<double, double>>& ends) {
        const std::vector<Panel> read = panels(ends);
        if (bad()) {
            m_problem.reset();
            return;
        }
        for (const Panel& p : read) m_ahead.emplace(std::pair{p.left, p.right}, p);
    }

    /// Compliances at chosen places.
    Few<double> bendAt(const Few<double>& x) { return at(m_line.ei, x, "bending stiffness EI"); }
    Few<double> shearAt(const Few<double>& x) { return at(m_line.ga, x, "shear stiffness GA"); }
    /// The relief there; zeros without one.
    Few<double> reliefAt(const Few<double>& x) {
        Few<double> out(x.size(), 0.0);
        if (m_line.relief) readRelief(x.data(), x.size(), out.data());
        return out;
    }

private:
    std::vector<Panel> panels(std::span<const std::pair<double, double>> ends) {
        std::vector<Panel> all(ends.size());
        m_x.resize(ends.size() * kNodes);
        m_values.resize(m_x.size());
        for (std::size_t p = 0; p < ends.size(); ++p) {
            const auto [left, right] = ends[p];
            all[p].left = left;
            all[p].right = right;
            for (std::size_t i = 0; i < kNodes; ++i) m_x[p * kNodes + i] = std::clamp(left + 0.5 * (1.0 + rule().node[i]) * (right - left), left, right);
        }
        const auto take = [&](Values Panel::*which) {
            for (std::size_t p = 0; p < all.size(); ++p) std::copy_n(m_values.data() + p * kNodes, kNodes, (all[p].*which).begin());
        };
        read(m_line.ei, m_x.data(), m_x.size(), m_values.data(), "bending stiffness EI");
        take(&Panel::bend);
        if (m_line.ga) {
            read(m_line.ga, m_x.data(), m_x.size(), m_values.data(), "shear stiffness GA");
            take(&Panel::shear);
        }
        if (!m_line.relief) return all;
        readRelief(m_x.data(), m_x.size(), m_values.data());
        take(&Panel::relief);
        for (Panel& p : all) {
            p.relieved = true;
            for (std::size_t i = 0; i < kNodes; ++i) {
                p.cross[i] = p.relief[i] * p.shear[i];
                p.bend[i] += p.relief[i] * p.cross[i];
            }
        }
        return all;
    }

    Few<double> at(const Stiffness& stiffness, const Few<double>& x, const char* name) {
        Few<double> out(x.size(), 0.0);
        if (stiffness) read(stiffness, x.data(), x.size(), out.data(), name);
        return out;
    }

    void read(const Stiffness& stiffness, const double* x, std::size_t n, double* out, const char* name) {
        stiffness(x, n, out);
        for (std::size_t i = 0; i < n; ++i) {
            if (std::isfinite(out[i]) && out[i] >= std::numeric_limits<double>::min()) {
                out[i] = 1.0 / out[i];
                continue;
            }
            if (!m_problem)
                m_problem = Problem{Problem::What::BadStiffness, std::string("the ") + name + " is not a positive number at " + metres(x[i]), -1, -1};
            out[i] = 1.0;
        }
    }

    void readRelief(const double* x, std::size_t n, double* out) {
        m_line.relief(x, n, out);
        for (std::size_t i = 0; i < n; ++i) {
            if (std::isfinite(out[i])) continue;
            if (!m_problem) m_problem = Problem{Problem::What::BadStiffness, "the shear taken by inclined flanges has no value at " + metres(x[i]), -1, -1};
            out[i] = 0.0;
        }
    }

    const Line& m_line;
    std::optional<Problem> m_problem;
    std::map<std::pair<double, double>, Panel> m_ahead;
    std::vector<double> m_x, m_values;
};

/// Largest difference between a panel's polynomial and its halves' values.
double differenceOf(const Values& whole, const Values& leftHalf, const Values& rightHalf) {
    Values left{}, right{};
    valuesOfHalves(fit(whole), left, right);
    double worst = 0.0;
    for (std::size_t i = 0; i < kNodes; ++i) {
        worst = std::max(worst, std::abs(left[i] - leftHalf[i]));
        worst = std::max(worst, std::abs(right[i] - rightHalf[i]));
    }
    return worst;
}

/// The pieces between neighbouring breaks of one segment.
Few<std::pair<double, double>> piecesOf(const Layout& layout, const Segment& segment) {
    Few<std::pair<double, double>> pieces;
    auto it = std::lower_bound(layout.breaks.begin(), layout.breaks.end(), segment.left);
    for (; *it < segment.right; ++it) pieces.emplace_back(*it, *(it + 1));
    return pieces;
}

/// Halves panels until a panel and its halves agree; adds the halves as cells.
class Refiner {
public:
    Refiner(Sampler& sampler, Cells& out) : m_sampler(sampler), m_out(out) {}

    /// False when the stiffness is unusable or too rough.
    bool segment(std::size_t index, const Few<std::pair<double, double>>& pieces) {
        std::vector<Panel> stack;
        double bendTotal = 0.0, shearTotal = 0.0, reliefTotal = 0.0;
        for (auto it = pieces.rbegin(); it != pieces.rend(); ++it) {
            stack.push_back(m_sampler.panel(it->first, it->second));
            bendTotal += integralOf(stack.back().bend, stack.back().width());
            shearTotal += integralOf(stack.back().shear, stack.back().width());
            reliefTotal += sizeOf(stack.back().relief, stack.back().width());
        }
        double bendOff = 0.0, shearOff = 0.0;
        while (!stack.empty() && !m_sampler.bad()) {
            const Panel whole = stack.back();
            stack.pop_back();
            const double middle = whole.left + 0.5 * whole.width();
            if (middle <= whole.left || middle >= whole.right) {
                m_out.cells.push_back(makeCell(whole, index));
                continue;
            }
            if (!m_sampler.knows(whole.left, middle)) m_sampler.readAhead({{whole.left, middle}, {middle, whole.right}});
            const Panel a = m_sampler.panel(whole.left, middle), b = m_sampler.panel(middle, whole.right);
            if (++m_panels > kMostPanels) return false;
            const double bend = differenceOf(whole.bend, a.bend, b.bend) * whole.width();
            const double shear = differenceOf(whole.shear, a.shear, b.shear) * whole.width();
            const double bendHere = integralOf(a.bend, a.width()) + integralOf(b.bend, b.width());
            const double shearHere = integralOf(a.shear, a.width()) + integralOf(b.shear, b.width());
            if (bend <= std::max(kPanelTolerance * bendHere, kNegligible * bendTotal) &&
                shear <= std::max(kPanelTolerance * shearHere, kNegligible * shearTotal) && reliefAgrees(whole, a, b, reliefTotal)) {
                bendOff += bend;
                shearOff += shear;
                m_out.cells.push_back(makeCell(a, index));
                m_out.cells.push_back(makeCell(b, index));
            } else {
                stack.push_back(b);
                stack.push_back(a);
            }
        }
        if (m_sampler.bad()) return false;
        m_out.difference = std::max(m_out.difference, bendOff / bendTotal);
        if (shearTotal > 0.0) m_out.difference = std::max(m_out.difference, shearOff / shearTotal);
        return m_out.difference <= kWorstAccepted;
    }

private:
    static double sizeOf(Values values, double width) {
        for (double& v : values) v = std::abs(v);
        return integralOf(values, width);
    }

    /// The relief may be zero or change its sign: its size in the panel or the whole segment is the measure.
    static bool reliefAgrees(const Panel& whole, const Panel& a, const Panel& b, double total) {
        if (!whole.relieved) return true;
        const double off = differenceOf(whole.relief, a.relief, b.relief) * whole.width();
        const double here = sizeOf(a.relief, a.width()) + sizeOf(b.relief, b.width());
        return off <= std::max(kPanelTolerance * here, kNegligible * total);
    }

    Sampler& m_sampler;
    Cells& m_out;
    std::size_t m_panels = 0;
};

/// The promise of a constant stiffness is looked at, not believed.
bool isConstant(const Few<double>& values) {
    return std::all_of(values.begin(), values.end(), [&](double v) { return v == values.front(); });
}

} // namespace

base::Result<Cells, Problem> cutIntoCells(const Layout& layout, const Line& line) {
    Cells out;
    out.stiffnessKnown = static_cast<bool>(line.ei);
    if (!out.stiffnessKnown) {
        for (std::size_t s = 0; s < layout.segments.size(); ++s) {
            for (const auto& [left, right] : piecesOf(layout, layout.segments[s])) {
                Cell cell;
                cell.left = left;
                cell.right = right;
                cell.segment = s;
                out.cells.push_back(std::move(cell));
            }
        }
        return out;
    }

    Sampler sampler(line);
    const Few<double> bend = sampler.bendAt(layout.breaks), shear = sampler.shearAt(layout.breaks);
    const Few<double> relief = sampler.reliefAt(layout.breaks);
    if (sampler.bad()) return sampler.failure();
    if (line.constantStiffness && isConstant(bend) && isConstant(shear) && isConstant(relief)) {
        out.constant = true;
        const double cross = relief.front() * shear.front();
        Panel panel;
        panel.relieved = static_cast<bool>(line.relief);
        panel.relief.fill(relief.front());
        panel.cross.fill(cross);
        panel.bend.fill(bend.front() + relief.front() * cross);
        panel.shear.fill(shear.front());
        for (std::size_t s = 0; s < layout.segments.size(); ++s) {
            for (const auto& [left, right] : piecesOf(layout, layout.segments[s])) {
                panel.left = left;
                panel.right = right;
                out.cells.push_back(constantCell(panel, s));
            }
        }
        return out;
    }
    // Every piece and its halves are read in any case.
    std::vector<std::pair<double, double>> ends;
    for (const Segment& segment : layout.segments) {
        for (const auto& [left, right] : piecesOf(layout, segment)) {
            ends.emplace_back(left, right);
            const double middle = left + 0.5 * (right - left);
            if (middle <= left || middle >= right) continue;
            ends.emplace_back(left, middle);
            ends.emplace_back(middle, right);
        }
    }
    sampler.readAhead(ends);
    Refiner refiner(sampler, out);
    for (std::size_t s = 0; s < layout.segments.size(); ++s) {
        if (refiner.segment(s, piecesOf(layout, layout.segments[s]))) continue;
        if (sampler.bad()) return sampler.failure();
        return base::Failure{
            Problem{Problem::What::NotAccurate,
                    "the stiffness varies too roughly to be integrated between " + metres(layout.segments[s].left) + " and " + metres(layout.segments[s].right),
                    -1, -1}};
    }
    return out;
}

} // namespace spanwright::beam
