// SPDX-License-Identifier: MIT
#include "engine/eval/flat_run.h"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <utility>

#include "engine/eval/beam_outputs.h"
#include "engine/eval/flags.h"
#include "engine/eval/lanes.h"
#include "engine/eval/machine.h"
#include "engine/eval/per_lane.h"
#include "engine/eval/points.h"

namespace spanwright::eval {

using meaning::Expr;
using meaning::ExprKind;
using Kind = Flat::Node::Kind;

const std::array<std::uint32_t, kLanes> Engine::FlatRun::kEachOnce = [] {
    std::array<std::uint32_t, kLanes> all{};
    std::iota(all.begin(), all.end(), 0U);
    return all;
}();

double* Engine::FlatRun::room(const Slot& s, std::size_t part) {
    if (s.level == Level::One) return m_single + s.room + part;
    if (s.level == Level::Point) return m_byPoint + (s.room + part) * m_pointStride;
    return m_byPlace + (s.room + part) * m_placeStride;
}

void Engine::FlatRun::beginBlock(const double* x, std::size_t n, const std::uint32_t* owner) {
    clearFlags();
    m_x = x;
    m_owner = owner;
    m_runs.clear();
    m_eachOnce = owner == kEachOnce.data() && n == m_points;
    for (std::size_t i = 0; owner != nullptr && !m_eachOnce && i < n;) {
        const std::size_t begin = i;
        while (i < n && owner[i] == owner[begin]) ++i;
        m_runs.push_back({owner[begin], begin, i});
    }
    m_lanes = {Level::Place, n, nullptr, kEverywhere};
    m_placeStride = strideOf(n);
    m_regions.clear();
    ++m_block;
}

void Engine::FlatRun::take(std::uint32_t root, std::size_t n, double* out) {
    const Operand result = at(root);
    // A long formula counts as so many of the usual size.
    m_engine.m_counts.lanes += n * (1 + m_flat.nodes.size() / 16);
    if (m_bad) return;
    if (result.one)
        std::fill(out, out + n, *result.data);
    else
        std::copy(result.data, result.data + n, out);
    m_bad = !allFinite(out, n);
}

bool Engine::FlatRun::endBlock(unsigned outer) {
    m_bad = m_bad || (raisedFlags() | m_engine.m_outerFlags) != 0;
    m_engine.m_outerFlags = outer;
    clearFlags();
    if (m_engine.m_failed) {
        m_engine.m_failed = false;
        m_engine.m_failure = {};
        m_bad = true;
    }
    return !m_bad;
}

bool Engine::FlatRun::blockOf(std::uint32_t root, const double* x, std::size_t n, double* out, const std::uint32_t* owner) {
    if (m_bad) return false;
    m_engine.m_outerFlags |= raisedFlags();
    const unsigned outer = std::exchange(m_engine.m_outerFlags, 0U);
    beginBlock(x, n, owner);
    take(root, n, out);
    return endBlock(outer);
}

bool Engine::FlatRun::blockOfAll(const std::vector<FlatGroup::Body>& bodies, const double* x, std::size_t n, const std::vector<double*>& out,
                                 const std::uint32_t* owner) {
    if (m_bad) return false;
    m_engine.m_outerFlags |= raisedFlags();
    const unsigned outer = std::exchange(m_engine.m_outerFlags, 0U);
    beginBlock(x, n, owner);
    for (std::size_t c = 0; c < m_cases && !m_bad; ++c) {
        setCase(c);
        for (std::size_t b = 0; b < bodies.size() && !m_bad; ++b) take(bodies[b].root, n, out[c * bodies.size() + b]);
    }
    return endBlock(outer);
}

bool Engine::FlatRun::active(std::uint32_t region) const {
    return region == kEverywhere || std::find(m_regions.begin(), m_regions.end(), region) != m_regions.end();
}

Operand Engine::FlatRun::at(std::uint32_t id) {
    Slot& s = ready(id);
    if (s.level != Level::Point || m_lanes.level == Level::Point || m_eachOnce) return s.value;
    if (s.spreadBlock == m_block || m_bad) return s.spread;
    double* out = m_byPlace + s.spreadRoom * m_placeStride;
    for (const Run& r : m_runs) std::fill(out + r.begin, out + r.end, s.value.data[r.owner]);
    s.spread = {out, false};
    s.spreadBlock = m_block;
    return s.spread;
}

Engine::FlatRun::Slot& Engine::FlatRun::ready(std::uint32_t id) {
    Slot& s = slotOf(id);
    if ((s.block == kOnce || s.block == m_block) && active(s.region)) return s;
    s.region = kEverywhere;
    if (m_bad) {
        s.value = s.most = s.spread = {m_single, true};
        return s;
    }
    if (s.level == Level::Point && m_lanes.level == Level::Place) {
        // Once for all places: for every point, whichever lanes count here.
        const Lanes places = std::exchange(m_lanes, Lanes{Level::Point, m_points, nullptr, kEverywhere});
        const std::vector<std::uint32_t> regions = std::exchange(m_regions, {});
        work(m_flat.nodes[id], id, s);
        m_lanes = places;
        m_regions = regions;
        s.spreadBlock = 0;
    } else {
        work(m_flat.nodes[id], id, s);
    }
    s.block = s.level == Level::Place ? m_block : kOnce;
    return s;
}

void Engine::FlatRun::work(const Flat::Node& n, std::uint32_t id, Slot& s) {
    static_cast<void>(id);
    switch (n.kind) {
    case Kind::Place: s.value = {m_x, false}; return;
    case Kind::Constant: s.value = {&n.value, true}; return;
    case Kind::Leaf: leaf(m_flat.leaves[n.index], s, room(s)); return;
    case Kind::One: {
        const Operand a = at(n.a);
        double* out = room(s);
        s.value = {out, a.one};
        if (!m_bad) lanes::unary(n.what, a.data, out, a.one ? 1 : m_lanes.n);
        s.region = regionOf(n.a);
        return;
    }
    case Kind::Two: {
        const Operand a = at(n.a), b = at(n.b);
        double* out = room(s);
        s.value = {out, a.one && b.one};
        if (!m_bad) lanes::binary(n.what, a, b, out, m_lanes.n);
        s.region = regionOf(n.a, n.b);
        return;
    }
    case Kind::Call1: {
        const Operand a = at(n.a);
        double* out = room(s);
        s.value = {out, a.one};
        if (m_bad) return;
        const std::uint8_t* mask = a.one ? nullptr : m_lanes.mask;
        for (std::size_t i = 0; i < (a.one ? 1 : m_lanes.n); ++i) out[i] = mask != nullptr && mask[i] == 0 ? 0.0 : n.call1(a.data[i]);
        s.region = mask != nullptr ? m_lanes.region : regionOf(n.a);
        return;
    }
    case Kind::Call2: {
        const Operand a = at(n.a), b = at(n.b);
        const bool one = a.one && b.one;
        double* out = room(s);
        s.value = {out, one};
        if (m_bad) return;
        const std::uint8_t* mask = one ? nullptr : m_lanes.mask;
        for (std::size_t i = 0; i < (one ? 1 : m_lanes.n); ++i) out[i] = mask != nullptr && mask[i] == 0 ? 0.0 : n.call2(a.at(i), b.at(i));
        s.region = mask != nullptr ? m_lanes.region : regionOf(n.a, n.b);
        return;
    }
    case Kind::Choose: choose(n, s); return;
    case Kind::Along: along(n, s); return;
    case Kind::Pick: pickOf(n, s); return;
    case Kind::CallOut: callOut(n, s); return;
    }
}

void Engine::FlatRun::leaf(const Leaf& l, Slot& s, double* out) {
    s.value = {out, s.level == Level::One};
    if (s.level == Level::One) {
        if (m_engine.load(l, *out)) return;
        *out = 0.0;
        m_bad = true;
        return;
    }
    if (l.kind == ExprKind::Bound) {
        s.value = {m_engine.m_laneSlot[l.index], false};
        return;
    }
    if (!m_engine.loadPoints(l, *m_engine.m_points->rows[l.quantity.index()], m_points, s.value)) m_bad = true;
}

void Engine::FlatRun::choose(const Flat::Node& n, Slot& s) {
    const Operand condition = at(n.a);
    s.value = {room(s), s.level == Level::One};
    if (m_bad) return;
    const auto take = [&](const Operand& from) {
        // In lanes even where it is one number: in another block other lanes may take the other branch.
        if (s.level == Level::One)
            *room(s) = *from.data;
        else if (from.one)
            std::fill(room(s), room(s) + m_lanes.n, *from.data);
        else
            s.value = from; // as it stands there: good as long as the branch is
    };
    if (condition.one) {
        const std::uint32_t taken = *condition.data != 0.0 ? n.b : n.c;
        const Operand from = at(taken);
        if (m_bad) return;
        take(from);
        s.region = regionOf(n.a, taken);
        return;
    }
    const std::uint8_t* mask = m_lanes.mask;
    Parted parts;
    const int all = mask == nullptr ? agreed(condition.data, m_lanes.n) : 0;
    if (all == 0) parts.part(condition.data, m_lanes.n, mask);
    if (all != 0 || parts.noCount == 0 || parts.yesCount == 0) {
        const std::uint32_t taken = all > 0 || (all == 0 && parts.noCount == 0) ? n.b : n.c;
        const Operand from = at(taken);
        if (m_bad) return;
        take(from);
        s.region = mask != nullptr ? m_lanes.region : regionOf(n.a, taken);
        return;
    }
    const Lanes outer = m_lanes;
    const auto branch = [&](std::uint32_t node, const std::uint8_t* lanes) {
        m_lanes.mask = lanes;
        m_lanes.region = ++m_lastRegion;
        m_regions.push_back(m_lanes.region);
        const Operand taken = at(node);
        m_regions.pop_back();
        m_lanes = outer;
        return taken;
    };
    const Operand first = branch(n.b, parts.yes);
    if (m_bad) return;
    // The other branch may work the same nodes out anew for its own lanes.
    double* kept = room(s, 1);
    for (std::size_t i = 0; i < m_lanes.n; ++i) kept[i] = first.at(i);
    const Operand other = branch(n.c, parts.no);
    if (m_bad) return;
    lanes::choose(parts.yes, {kept, false}, other, room(s), m_lanes.n);
    s.region = outer.mask != nullptr ? outer.region : kEverywhere;
}

bool Engine::FlatRun::findBeam(Beam& beam, const Expr& e) {
    if (beam.ready) return true;
    const bool varies = m_points != 0 && m_engine.m_points->rows[e.quantity.index()] != nullptr;
    if (varies) {
        beam.row = m_engine.m_points->rows[e.quantity.index()];
        if (!beam.row->hasBeams()) return false;
    } else {
        const Value& v = m_engine.m_values->at(e.quantity);
        if (!v.known() || !v.solved) return false;
        beam.solved = v.solved.get();
    }
    if (m_points != 0 && e.factors.row.valid() && m_engine.m_points->rows[e.factors.row.index()] != nullptr) return false;
    beam.ready = m_engine.factorsOf(e, beam.factors);
    return beam.ready;
}

const beam::Solved* Engine::FlatRun::solvedAt(const Beam& beam, std::size_t point) const {
    if (beam.row == nullptr) return beam.solved;
    const std::uint32_t* list = m_engine.m_points->list;
    return beam.row->beamAt(list != nullptr ? list[point] : point).get();
}

void Engine::FlatRun::along(const Flat::Node& n, Slot& s) {
    const Operand x = at(n.a);
    double *least = room(s), *most = room(s, 1);
    const bool one = s.level == Level::One;
    s.value = {least, one};
    s.most = {most, one};
    s.region = regionOf(n.a);
    const Expr& e = m_engine.m_pool.at(m_flat.beams[n.index]);
    Beam& beam = beamOf(n.index);
    if (m_bad || !findBeam(beam, e)) {
        m_bad = true;
        return;
    }
    const unsigned before = raisedFlags();
    const BeamCurve curve = curveOf(e.beamValue);
    const std::size_t count = one ? 1 : m_lanes.n;
    if (beam.row == nullptr) {
        // (A place that is one number where the node is not: the beam varies, so it does not come here.)
        alongBeam(*beam.solved, curve, x.data, count, beam.factors, least, most);
    } else {
        double places[kLanes];
        const double* at = x.data;
        if (x.one) {
            std::fill(places, places + count, *x.data);
            at = places;
        }
        if (beam.row->lines && m_engine.m_points->list == nullptr) {
            alongLines(*beam.row->lines, curve, m_lanes.level == Level::Point || m_eachOnce ? nullptr : m_owner, at, count, beam.factors, least, most);
            if (before == 0) clearFlags();
            return;
        }
        const auto ask = [&](std::size_t point, std::size_t begin, std::size_t end) {
            const beam::Solved* solved = solvedAt(beam, point);
            if (solved == nullptr)
                m_bad = true;
            else
                alongBeam(*solved, curve, at + begin, end - begin, beam.factors, least + begin, most + begin);
        };
        if (m_lanes.level == Level::Point || m_eachOnce)
            for (std::size_t i = 0; i < count && !m_bad; ++i) ask(i, i, i + 1);
        else
            for (std::size_t r = 0; r < m_runs.size() && !m_bad; ++r) ask(m_runs[r].owner, m_runs[r].begin, m_runs[r].end);
        if (m_bad) return;
    }
    if (before == 0) clearFlags(); // what a solved beam does inside is checked by its result
}

void Engine::FlatRun::pickOf(const Flat::Node& n, Slot& s) {
    const Slot& along = ready(n.a);
    double* out = room(s);
    const bool one = s.level == Level::One;
    s.value = {out, one};
    s.region = regionOf(n.a);
    if (m_bad) return;
    const std::size_t count = one ? 1 : m_lanes.n;
    const meaning::BeamOutput output = m_engine.m_pool.at(m_flat.beams[n.index]).beamValue;
    const Operand& asked = wantsMost(output) ? along.most : along.value;
    if ((wantsMost(output) || wantsLeast(output)) && allFinite(asked.data, count)) {
        s.value = asked; // as it stands there
        return;
    }
    lanes::pick(output, along.value.data, along.most.data, out, count);
    if (allFinite(out, count)) return;
    for (std::size_t i = 0; i < count; ++i) {
        if (std::isfinite(out[i])) continue;
        if (one || m_lanes.mask == nullptr || m_lanes.mask[i] != 0) {
            m_bad = true;
            return;
        }
        out[i] = 0.0;
        s.region = m_lanes.region;
    }
}

void Engine::FlatRun::callOut(const Flat::Node& n, Slot& s) {
    const Flat::CallOut& c = m_flat.callOuts[n.index];
    const Expr& e = m_engine.m_pool.at(c.node);
    const bool one = s.level == Level::One;
    std::vector<Operand> arguments;
    std::uint32_t region = kEverywhere;
    for (const std::uint32_t a : c.arguments) {
        arguments.push_back(at(a));
        region = std::max(region, regionOf(a));
    }
    double* out = room(s);
    s.value = {out, one};
    s.region = region;
    // A support of a beam that is another one at each point: by itself.
    const bool ofPoint = m_points != 0 && e.kind == ExprKind::BeamValue && m_engine.m_points->rows[e.quantity.index()] != nullptr;
    m_bad = m_bad || ofPoint;
    if (m_bad) return;
    const PointsAside aside(m_engine.m_points);
    std::vector<double> numbers(std::max<std::size_t>(arguments.size(), 1));
    for (std::size_t i = 0; i < (one ? 1 : m_lanes.n); ++i) {
        out[i] = 0.0;
        if (!one && m_lanes.mask != nullptr) {
            s.region = m_lanes.region;
            if (m_lanes.mask[i] == 0) continue;
        }
        for (std::size_t a = 0; a < arguments.size(); ++a) numbers[a] = arguments[a].at(i);
        out[i] = m_engine.callOutNode(c.node, numbers.data(), static_cast<std::uint32_t>(arguments.size()));
        if (m_engine.m_failed) {
            m_bad = true;
            return;
        }
    }
}

} // namespace spanwright::eval
