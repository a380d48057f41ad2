// SPDX-License-Identifier: MIT
#include <Eigen/SparseCholesky>
#include <Eigen/SparseCore>
#include <algorithm>
#include <cmath>
#include <optional>

#include "engine/beam/bows.h"
#include "engine/beam/parts.h"
#include "engine/beam/simple.h"

namespace spanwright::beam {

namespace {

constexpr std::ptrdiff_t kKnown = -1;

/// Over a cell: turn = integral of the curvature, lever = integral of t times it, slip = integral of the slip.
struct Strains {
    double turn = 0.0, lever = 0.0, slip = 0.0;
};

Strains strainsOf(const Cell& cell, const CellState& state) {
    const Polynomials p = polynomialsOf(state, cell.width());
    Strains s;
    for (std::size_t k = 0; k < 4; ++k) {
        s.turn += p.moment[k] * cell.bend[k];
        s.lever += p.moment[k] * cell.bend[k + 1];
    }
    for (std::size_t k = 0; k < 3; ++k) s.slip += p.shear[k] * cell.shear[k];
    if (cell.relief.empty()) return s;
    for (std::size_t k = 0; k < 4; ++k) s.slip -= p.moment[k] * cell.cross[k];
    for (std::size_t k = 0; k < 3; ++k) {
        s.turn -= p.shear[k] * cell.cross[k];
        s.lever -= p.shear[k] * cell.cross[k + 1];
    }
    return s;
}

/// A span as a simple beam: rotations of its ends, each taken in the sense in which a sagging moment at
/// that end turns it, under sagging unit moments at its ends.
struct SpanFlexibility {
    double leftLeft = 0.0, leftRight = 0.0, rightRight = 0.0;
};

struct EndTurns {
    double left = 0.0, right = 0.0;
};

/// What one segment needs to know of its place.
struct SegmentPlace {
    Segment segment;
    std::size_t firstCell = 0, endCell = 0;
    std::ptrdiff_t leftUnknown = kKnown, rightUnknown = kKnown; ///< index of the end moment among the unknowns
    SpanFlexibility flexibility;
};

/// The force method with the moments over the supports as unknowns (Clapeyron's three moments, with
/// any stiffness, shear flexibility and fixed supports). Spans only touch their neighbours, so the matrix
/// is tridiagonal, and it stays well conditioned however unequal the spans are.
class Solver {
public:
    Solver(const Layout& layout, const Cells& cells) : m_layout(layout), m_cells(cells.cells), m_stiffnessKnown(cells.stiffnessKnown) {
        placeSegments();
        numberUnknowns();
    }

    [[nodiscard]] std::size_t unknownCount() const { return m_unknowns; }

    /// False if the matrix cannot be factorised.
    bool prepare() {
        if (!m_stiffnessKnown || m_unknowns == 0) return true;
        std::vector<Eigen::Triplet<double>> entries;
        const auto add = [&](std::ptrdiff_t i, std::ptrdiff_t j, double value) {
            if (i != kKnown && j != kKnown) entries.emplace_back(static_cast<int>(std::max(i, j)), static_cast<int>(std::min(i, j)), value);
        };
        for (SegmentPlace& place : m_places) {
            if (place.segment.kind != Segment::Kind::Span) continue;
            place.flexibility = flexibilityOf(place);
            add(place.leftUnknown, place.leftUnknown, place.flexibility.leftLeft);
            add(place.leftUnknown, place.rightUnknown, place.flexibility.leftRight);
            add(place.rightUnknown, place.rightUnknown, place.flexibility.rightRight);
        }
        Eigen::SparseMatrix<double> matrix(static_cast<int>(m_unknowns), static_cast<int>(m_unknowns));
        matrix.setFromTriplets(entries.begin(), entries.end());
        m_factors.emplace().compute(matrix);
        return m_factors->info() == Eigen::Success && (m_factors->vectorD().array() > 0.0).all();
    }

    /// One part's answer.
    struct Answer {
        Few<CellState> states;
        Few<double> reactions, holding;
        bool finite = true;
    };

    Answer solve(const PartLoads& loads) const {
        Answer a;
        a.states.resize(m_cells.size());
        for (std::size_t c = 0; c < m_cells.size(); ++c) {
            a.states[c].load = loads.load[c];
            a.states[c].loadRise = loads.loadRise[c];
        }
        // Moments just left and right of each support, as far as statics gives them.
        const std::size_t n = m_layout.supports.size();
        Few<double> leftOf(n, 0.0), rightOf(n, 0.0);
        for (const SegmentPlace& place : m_places) {
            if (place.segment.kind == Segment::Kind::LeftOverhang) leftOf[0] = marchFromFreeLeft(place, loads, a.states);
            if (place.segment.kind == Segment::Kind::RightOverhang) rightOf[n - 1] = marchFromFreeRight(place, loads, a.states);
            if (place.segment.kind == Segment::Kind::Span) marchSimple(place, loads, a.states);
        }
        for (std::size_t i = 0; i < n; ++i) {
            if (m_layout.supports[i].fixed) continue;
            const double couple = loads.couple[m_supportJoint[i]];
            if (i == n - 1 && n > 1) {
                leftOf[i] = rightOf[i] - couple;
            } else {
                rightOf[i] = leftOf[i] + couple; // behind a support between spans: unknown + couple
            }
        }
        addSupportMoments(loads, leftOf, rightOf, a.states);
        addReactions(loads, leftOf, rightOf, a);
        if (m_stiffnessKnown) addSag(loads, a.states);
        for (const CellState& s : a.states) {
            a.finite = a.finite && std::isfinite(s.momentLeft) && std::isfinite(s.momentRight) && std::isfinite(s.shearLeft) && std::isfinite(s.sagLeft) &&
                       std::isfinite(s.sagRight);
        }
        return a;
    }

private:
    void placeSegments() {
        std::size_t c = 0;
        for (const Segment& segment : m_layout.segments) {
            SegmentPlace place;
            place.segment = segment;
            place.firstCell = c;
            while (c < m_cells.size() && m_cells[c].segment == m_places.size()) ++c;
            place.endCell = c;
            m_places.push_back(place);
        }
        for (const Support& s : m_layout.supports) m_supportJoint.push_back(jointAt(m_cells, s.at));
    }

    void numberUnknowns() {
        const std::size_t last = m_layout.supports.size() - 1;
        for (SegmentPlace& place : m_places) {
            if (place.segment.kind != Segment::Kind::Span) continue;
            const std::size_t i = place.segment.support;
            if (m_layout.supports[i].fixed) {
                place.leftUnknown = static_cast<std::ptrdiff_t>(m_unknowns++);
            } else if (i > 0) {
                place.leftUnknown = static_cast<std::ptrdiff_t>(m_unknowns) - 1; // shared with the span before
            }
            if (m_layout.supports[i + 1].fixed || i + 1 < last) place.rightUnknown = static_cast<std::ptrdiff_t>(m_unknowns++);
        }
    }

    /// Position of a cell's left end along its span, 0 to 1.
    [[nodiscard]] double along(const SegmentPlace& place, double x) const { return (x - place.segment.left) / place.segment.length(); }

    /// Adds a moment that runs straight from `left` to `right` over the span.
    void addStraight(const SegmentPlace& place, double left, double right, Few<CellState>& states) const {
        const double l = place.segment.length();
        for (std::size_t c = place.firstCell; c < place.endCell; ++c) {
            const Cell& cell = m_cells[c];
            states[c].momentLeft += left * ((place.segment.right - cell.left) / l) + right * along(place, cell.left);
            states[c].momentRight += left * ((place.segment.right - cell.right) / l) + right * along(place, cell.right);
            states[c].shearLeft += (right - left) / l;
        }
    }

    /// Rotations of the ends of a span, in the sense of SpanFlexibility, under the moments in `states`.
    [[nodiscard]] EndTurns endTurns(const SegmentPlace& place, const Few<CellState>& states) const {
        const double l = place.segment.length();
        EndTurns turns;
        double slip = 0.0;
        for (std::size_t c = place.firstCell; c < place.endCell; ++c) {
            const Cell& cell = m_cells[c];
            const Strains s = strainsOf(cell, states[c]);
            const double share = cell.width() / l;
            turns.left += ((place.segment.right - cell.left) / l) * s.turn - share * s.lever;
            turns.right += along(place, cell.left) * s.turn + share * s.lever;
            slip += s.slip;
        }
        turns.left -= slip / l;
        turns.right += slip / l;
        return turns;
    }

    [[nodiscard]] SpanFlexibility flexibilityOf(const SegmentPlace& place) const {
        Few<CellState> left(m_cells.size()), right(m_cells.size());
        addStraight(place, 1.0, 0.0, left);
        addStraight(place, 0.0, 1.0, right);
        const EndTurns underLeft = endTurns(place, left), underRight = endTurns(place, right);
        return {underLeft.left, underRight.left, underRight.right};
    }

    /// Statics from the free left end; returns the moment at the support.
    double marchFromFreeLeft(const SegmentPlace& place, const PartLoads& loads, Few<CellState>& states) const {
        return march(place, loads, -loads.force[place.firstCell], loads.couple[place.firstCell], states);
    }

    /// From given values at the left end on; returns the moment at the right end.
    double march(const SegmentPlace& place, const PartLoads& loads, double shear, double moment, Few<CellState>& states) const {
        for (std::size_t c = place.firstCell; c < place.endCell; ++c) {
            CellState& s = states[c];
            const double h = m_cells[c].width();
            s.momentLeft = moment;
            s.shearLeft = shear;
            moment += h * (shear - h * (0.5 * s.load + s.loadRise / 6.0));
            shear -= h * (s.load + 0.5 * s.loadRise);
            s.momentRight = moment;
            if (c + 1 < place.endCell) {
                shear -= loads.force[c + 1];
                moment += loads.couple[c + 1];
            }
        }
        return moment;
    }

    double marchFromFreeRight(const SegmentPlace& place, const PartLoads& loads, Few<CellState>& states) const {
        double shear = loads.force[place.endCell], moment = -loads.couple[place.endCell];
        for (std::size_t c = place.endCell; c-- > place.firstCell;) {
            CellState& s = states[c];
            const double h = m_cells[c].width();
            s.momentRight = moment;
            moment -= h * (shear + h * (0.5 * s.load + s.loadRise / 3.0));
            shear += h * (s.load + 0.5 * s.loadRise);
            s.momentLeft = moment;
            s.shearLeft = shear;
            if (c > place.firstCell) {
                shear += loads.force[c];
                moment -= loads.couple[c];
            }
        }
        return moment;
    }

    /// A span as a simple beam under the loads inside it.
    void marchSimple(const SegmentPlace& place, const PartLoads& loads, Few<CellState>& states) const {
        const double l = place.segment.length();
        double aboutRight = 0.0;
        for (std::size_t c = place.firstCell; c < place.endCell; ++c) {
            const double h = m_cells[c].width(), lever = place.segment.right - m_cells[c].right;
            const CellState& s = states[c];
            aboutRight += h * (s.load * (lever + 0.5 * h) + s.loadRise * (0.5 * lever + h / 6.0));
            if (c > place.firstCell) aboutRight += loads.force[c] * (lever + h) - loads.couple[c];
        }
        const double left = march(place, loads, aboutRight / l, 0.0, states);
        // What is left over at the far end is rounding: take it out evenly.
        for (std::size_t c = place.firstCell; c < place.endCell; ++c) {
            states[c].momentLeft -= left * along(place, m_cells[c].left);
            states[c].momentRight -= left * along(place, m_cells[c].right);
        }
    }

    [[nodiscard]] double chordTurn(const SegmentPlace& place, const PartLoads& loads) const {
        if (!loads.settles) return 0.0;
        const std::size_t i = place.segment.support;
        return (m_layout.supports[i + 1].sink - m_layout.supports[i].sink) / place.segment.length();
    }

    /// `leftOf`, `rightOf`: moments beside the supports that are known; filled up.
    void addSupportMoments(const PartLoads& loads, Few<double>& leftOf, Few<double>& rightOf, Few<CellState>& states) const {
        Eigen::VectorXd unknown;
        if (m_unknowns > 0) {
            Eigen::VectorXd right = Eigen::VectorXd::Zero(static_cast<Eigen::Index>(m_unknowns));
            for (const SegmentPlace& place : m_places) {
                if (place.segment.kind != Segment::Kind::Span) continue;
                const SpanFlexibility& f = place.flexibility;
                const EndTurns turns = endTurns(place, states);
                const double chord = chordTurn(place, loads);
                const double knownLeft = rightOf[place.segment.support], knownRight = leftOf[place.segment.support + 1];
                if (place.leftUnknown != kKnown) right[place.leftUnknown] -= chord + turns.left + f.leftLeft * knownLeft + f.leftRight * knownRight;
                if (place.rightUnknown != kKnown) right[place.rightUnknown] -= -chord + turns.right + f.leftRight * knownLeft + f.rightRight * knownRight;
            }
            unknown = m_factors->solve(right);
        }
        for (const SegmentPlace& place : m_places) {
            if (place.segment.kind != Segment::Kind::Span) continue;
            const std::size_t i = place.segment.support;
            if (place.leftUnknown != kKnown) rightOf[i] += unknown[place.leftUnknown];
            if (place.rightUnknown != kKnown) leftOf[i + 1] += unknown[place.rightUnknown];
            addStraight(place, rightOf[i], leftOf[i + 1], states);
        }
    }

    void addReactions(const PartLoads& loads, const Few<double>& leftOf, const Few<double>& rightOf, Answer& a) const {
        for (std::size_t i = 0; i < m_layout.supports.size(); ++i) {
            const std::size_t joint = m_supportJoint[i];
            double reaction = loads.force[joint];
            if (joint < m_cells.size()) reaction += a.states[joint].shearLeft;
            if (joint > 0) reaction -= a.states[joint - 1].shear(1.0, m_cells[joint - 1].width());
            a.reactions.push_back(reaction);
            a.holding.push_back(m_layout.supports[i].fixed ? rightOf[i] - leftOf[i] - loads.couple[joint] : 0.0);
        }
    }

    /// Deflections at the cells' ends, from the supports outwards.
    void addSag(const PartLoads& loads, Few<CellState>& states) const {
        const auto sinkOf = [&](std::size_t i) { return loads.settles ? m_layout.supports[i].sink : 0.0; };
        const std::size_t last = m_layout.supports.size() - 1;
        double turnFirst = 0.0, turnLast = 0.0; // rotation at the outermost supports, clockwise
        for (const SegmentPlace& place : m_places) {
            if (place.segment.kind != Segment::Kind::Span) continue;
            const std::size_t i = place.segment.support;
            const EndTurns turns = endTurns(place, states);
            const double chord = chordTurn(place, loads);
            const double turnLeft = m_layout.supports[i].fixed ? 0.0 : chord + turns.left;
            const double turnRight = m_layout.supports[i + 1].fixed ? 0.0 : chord - turns.right;
            if (i == 0) turnFirst = turnLeft;
            if (i + 1 == last) turnLast = turnRight;
            const double end = sagRightwards(place, sinkOf(i), turnLeft, states);
            const double gap = end - sinkOf(i + 1); // rounding
            for (std::size_t c = place.firstCell; c < place.endCell; ++c) {
                states[c].sagLeft -= gap * along(place, m_cells[c].left);
                states[c].sagRight -= gap * along(place, m_cells[c].right);
            }
            states[place.endCell - 1].sagRight = sinkOf(i + 1);
        }
        for (const SegmentPlace& place : m_places) {
            if (place.segment.kind == Segment::Kind::RightOverhang) sagRightwards(place, sinkOf(last), turnLast, states);
            if (place.segment.kind == Segment::Kind::LeftOverhang) sagLeftwards(place, sinkOf(0), turnFirst, states);
        }
    }

    double sagRightwards(const SegmentPlace& place, double sag, double turn, Few<CellState>& states) const {
        for (std::size_t c = place.firstCell; c < place.endCell; ++c) {
            const double h = m_cells[c].width();
            const Strains s = strainsOf(m_cells[c], states[c]);
            states[c].sagLeft = sag;
            sag += h * (turn - s.turn + s.lever) + s.slip;
            turn -= s.turn;
            states[c].sagRight = sag;
        }
        return sag;
    }

    void sagLeftwards(const SegmentPlace& place, double sag, double turn, Few<CellState>& states) const {
        for (std::size_t c = place.endCell; c-- > place.firstCell;) {
            const double h = m_cells[c].width();
            const Strains s = strainsOf(m_cells[c], states[c]);
            states[c].sagRight = sag;
            turn += s.turn;
            sag -= h * (turn - s.turn + s.lever) + s.slip;
            states[c].sagLeft = sag;
        }
    }

    const Layout& m_layout;
    const FewCells& m_cells;
    bool m_stiffnessKnown;
    Few<SegmentPlace> m_places;
    Few<std::size_t> m_supportJoint;
    std::size_t m_unknowns = 0;
    std::optional<Eigen::SimplicialLDLT<Eigen::SparseMatrix<double>, Eigen::Lower, Eigen::NaturalOrdering<int>>> m_factors;
};

/// How far a part's loads and reactions are from balance, relative to the sum of their magnitudes.
double imbalance(const Layout& layout, const FewCells& cells, const PartLoads& loads, const Solver::Answer& answer) {
    double forces = 0.0, forceScale = 0.0, moments = 0.0, momentScale = 0.0;
    const auto add = [&](double force, double moment) {
        forces += force;
        forceScale += std::abs(force);
        moments += moment;
        momentScale += std::abs(moment);
    };
    for (std::size_t c = 0; c < cells.size(); ++c) {
        const double h = cells[c].width(), x = cells[c].left - layout.from;
        const double force = h * (loads.load[c] + 0.5 * loads.loadRise[c]);
        add(force, force * x + h * h * (0.5 * loads.load[c] + loads.loadRise[c] / 3.0));
    }
    for (std::size_t j = 0; j < loads.force.size(); ++j) {
        const double x = (j < cells.size() ? cells[j].left : layout.to) - layout.from;
        add(loads.force[j], loads.force[j] * x);
        add(0.0, loads.couple[j]);
    }
    for (std::size_t i = 0; i < layout.supports.size(); ++i) {
        add(-answer.reactions[i], -answer.reactions[i] * (layout.supports[i].at - layout.from));
        add(0.0, answer.holding[i]);
    }
    const double a = forceScale > 0.0 ? std::abs(forces) / forceScale : 0.0;
    const double b = momentScale > 0.0 ? std::abs(moments) / momentScale : 0.0;
    return std::max(a, b);
}

void markJumps(const Layout& layout, SolvedData& data) {
    data.shearJumps.assign(data.cells.size() + 1, 0);
    data.momentJumps.assign(data.cells.size() + 1, 0);
    for (const Support& s : layout.supports) {
        const std::size_t joint = jointAt(data.cells, s.at);
        data.shearJumps[joint] = 1;
        if (s.fixed) data.momentJumps[joint] = 1;
    }
    for (const Load& load : layout.loads) {
        if (load.shape == Load::Shape::Point) data.shearJumps[jointAt(data.cells, load.from)] = 1;
        if (load.shape == Load::Shape::Moment) data.momentJumps[jointAt(data.cells, load.from)] = 1;
    }
}

} // namespace

base::Result<Solved, Problem> solve(const Line& line) {
    if (auto simple = solveSimple(line)) return Solved(std::move(simple));
    Layout layout;
    if (auto problem = layOut(line, layout)) return base::Failure{std::move(*problem)};
    auto cut = cutIntoCells(layout, line);
    if (!cut) return base::Failure{std::move(cut).error()};
    Cells& cells = cut.value();

    Solver solver(layout, cells);
    if (!cells.stiffnessKnown && solver.unknownCount() > 0) {
        return base::Failure{
            Problem{Problem::What::NoStiffness, "the line has more supports than statics alone can solve, and no stiffness is stated", -1, -1}};
    }
    if (!solver.prepare()) return base::Failure{Problem{Problem::What::NotAccurate, "the stiffness spans too many powers of ten to be solved", -1, -1}};

    auto data = std::make_shared<SolvedData>();
    Few<PartLoads> parts;
    partsOf(layout, cells.cells, line.sinkAction == 0xffffffffU ? LoadPart::kAlways : line.sinkAction, parts);
    const std::size_t supports = layout.supports.size();
    data->states.resize(cells.cells.size() * parts.size());
    data->reactions.resize(supports * parts.size());
    data->holding.resize(supports * parts.size());
    for (std::size_t p = 0; p < parts.size(); ++p) {
        const Solver::Answer answer = solver.solve(parts[p]);
        if (!answer.finite)
            return base::Failure{Problem{Problem::What::NotAccurate, "the loads or stiffnesses are too large or too small for the arithmetic", -1, -1}};
        for (std::size_t c = 0; c < cells.cells.size(); ++c) data->states[c * parts.size() + p] = answer.states[c];
        for (std::size_t i = 0; i < supports; ++i) {
            data->reactions[i * parts.size() + p] = answer.reactions[i];
            data->holding[i * parts.size() + p] = answer.holding[i];
        }
        data->parts.push_back(parts[p].part);
        data->residual = std::max(data->residual, imbalance(layout, cells.cells, parts[p], answer));
    }
    data->from = layout.from;
    data->to = layout.to;
    data->actionCount = line.actionCount;
    data->breaks.assign(layout.breaks.begin(), layout.breaks.end());
    for (const Support& s : layout.supports) data->supportAt.push_back(s.at);
    data->accuracy = std::max(kConstantAccuracy, cells.difference);
    data->hasDeflection = cells.stiffnessKnown;
    data->constant = cells.constant;
    data->cells = std::move(cells.cells);
    addBows(*data);
    markJumps(layout, *data);
    return Solved(std::move(data));
}

} // namespace spanwright::beam
