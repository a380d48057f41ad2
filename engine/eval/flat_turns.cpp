// SPDX-License-Identifier: MIT
// Where a flat formula turns, as far as beams say so: curves of one beam, and sums of deflections.
#include <algorithm>
#include <cmath>

#include "engine/eval/beam_outputs.h"
#include "engine/eval/flat_run.h"
#include "engine/eval/machine.h"
#include "engine/eval/points.h"

namespace spanwright::eval {

const beam::Solved* Engine::FlatRun::turningBeam(bool larger, std::size_t point) {
    if (m_bad || m_flat.curve == Flat::kNone || (m_flat.curveSize && !larger)) return nullptr;
    const std::uint32_t index = m_flat.nodes[m_flat.curve].index;
    Beam& beam = beamOf(index);
    if (!beam.ready) {
        const Quiet quiet(m_engine);
        if (!findBeam(beam, m_engine.m_pool.at(m_flat.beams[index]))) return nullptr;
    }
    const beam::Solved* solved = solvedAt(beam, point);
    // Where the larger magnitude goes over from one sign to the other the curve jumps; its size does not.
    if (solved == nullptr || (m_flat.curveGreatest && !m_flat.curveSize && solved->hasChoices())) return nullptr;
    return solved;
}

std::vector<double> Engine::FlatRun::turnsOf(const beam::Solved& solved, double from, double to) {
    const std::uint32_t index = m_flat.nodes[m_flat.curve].index;
    const std::vector<double>& factors = beamOf(index).factors;
    const bool moment = curveOf(m_engine.m_pool.at(m_flat.beams[index]).beamValue) == BeamCurve::Moment;
    return moment ? solved.momentTurns(from, to, factors) : solved.shearTurns(from, to, factors);
}

const beam::EvenLines* Engine::FlatRun::linesOf(std::uint32_t along) {
    const std::uint32_t index = m_flat.nodes[along].index;
    Beam& beam = beamOf(index);
    if (!beam.ready) {
        const Quiet quiet(m_engine);
        if (!findBeam(beam, m_engine.m_pool.at(m_flat.beams[index]))) return nullptr;
    }
    return beam.row != nullptr ? beam.row->lines.get() : nullptr;
}

const beam::EvenLines* Engine::FlatRun::evenLines(bool larger) {
    if (m_bad || m_engine.m_points->list != nullptr) return nullptr;
    if (m_flat.curve != Flat::kNone) {
        if (m_flat.curveSize && !larger) return nullptr;
        const beam::EvenLines* lines = linesOf(m_flat.curve);
        return lines != nullptr && m_flat.curveGreatest && !m_flat.curveSize && lines->hasChoices() ? nullptr : lines;
    }
    const beam::EvenLines* all = nullptr;
    for (const Flat::Sag& sag : m_flat.sags) {
        const beam::EvenLines* lines = linesOf(sag.along);
        if (lines == nullptr || (all != nullptr && lines != all) || (sag.either && lines->hasChoices())) return nullptr;
        all = lines;
    }
    return all;
}

/// What is no beam's and does not vary from point to point breaks at the same places of all.
bool Engine::FlatRun::sameAtAllPoints(std::uint32_t id) const {
    const Flat::Node& n = m_flat.nodes[id];
    if (n.kind == Flat::Node::Kind::Place) return true;
    if (!n.placed) return slotOf(id).level == Level::One;
    if (n.kind == Flat::Node::Kind::One) return sameAtAllPoints(n.a);
    return n.kind == Flat::Node::Kind::Two && sameAtAllPoints(n.a) && sameAtAllPoints(n.b);
}

bool Engine::FlatRun::unbroken(const double* from, const double* to) {
    if (m_flat.curve != Flat::kNone || !m_flat.sagsByCase) return true;
    bool same = true;
    for (const std::uint32_t id : m_flat.breaking) same = same && (m_flat.nodes[id].kind == Flat::Node::Kind::Along || sameAtAllPoints(id));
    for (std::size_t i = 0; i < m_points; ++i) {
        if (i > 0 && same && from[i] == from[i - 1] && to[i] == to[i - 1]) continue;
        if (!breaks(from[i], to[i], i).empty() || m_vague || m_bad) return false;
    }
    return true;
}

bool Engine::FlatRun::sagsAt(std::size_t point, std::vector<beam::SagTerm>& terms) {
    if (m_bad || m_flat.sags.empty()) return false;
    terms.clear();
    for (const Flat::Sag& sag : m_flat.sags) {
        const std::uint32_t index = m_flat.nodes[sag.along].index;
        Beam& beam = beamOf(index);
        if (!beam.ready) {
            const Quiet quiet(m_engine);
            if (!findBeam(beam, m_engine.m_pool.at(m_flat.beams[index]))) return false;
        }
        const beam::Solved* solved = solvedAt(beam, point);
        if (solved == nullptr || (sag.either && solved->hasChoices())) return false;
        terms.push_back({solved, &beam.factors, sag.least, 1.0});
    }
    return true;
}

bool Engine::FlatRun::timesAt(const double* middles, std::size_t n, const std::uint32_t* owner, std::vector<double>& out) {
    const std::size_t sags = m_flat.sags.size();
    out.resize(sags * n);
    if (sags == 1) {
        std::fill(out.begin(), out.end(), 1.0);
        return true;
    }
    for (std::size_t s = 0; s < sags; ++s)
        for (std::size_t i = 0; i < n; i += kLanes)
            if (!blockOf(m_flat.sags[s].times, middles + i, std::min(kLanes, n - i), out.data() + s * n + i, owner != nullptr ? owner + i : nullptr))
                return false;
    return true;
}

bool Engine::FlatRun::addTurnsOfSags(std::span<const double> points, std::vector<beam::SagTerm>& terms, const double* times, std::size_t stride,
                                     std::vector<double>& out) const {
    const double beside = m_flat.sagsByCase ? kBeside * (points.back() - points.front()) : 0.0;
    for (std::size_t piece = 1; piece < points.size(); ++piece, ++times) {
        const double a = points[piece - 1], b = points[piece];
        if (!(a < b)) continue;
        for (std::size_t s = 0; s < terms.size(); ++s) terms[s].times = times[s * stride];
        if (!beam::addSagTurns(terms, a, b, out)) return false;
        if (beside == 0.0) continue;
        for (const double x : {a + beside, b - beside})
            if (x > a && x < b) out.push_back(x);
    }
    return true;
}

std::optional<std::vector<double>> Engine::FlatRun::turns(const std::vector<double>& points, bool larger) {
    const Quiet quiet(m_engine);
    if (const beam::Solved* solved = turningBeam(larger, 0)) return turnsOf(*solved, points.front(), points.back());
    std::vector<beam::SagTerm> terms;
    if (m_vague || !sagsAt(0, terms)) return std::nullopt;
    std::vector<double> middles, times, found;
    for (std::size_t piece = 1; piece < points.size(); ++piece) middles.push_back(middleOf(points[piece - 1], points[piece]));
    if (!timesAt(middles.data(), middles.size(), nullptr, times) || !addTurnsOfSags(points, terms, times.data(), middles.size(), found)) return std::nullopt;
    return found;
}

} // namespace spanwright::eval
