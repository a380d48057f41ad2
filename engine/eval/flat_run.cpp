// SPDX-License-Identifier: MIT
#include "engine/eval/flat_run.h"

#include <algorithm>
#include <cmath>
#include <utility>

#include "engine/eval/beam_outputs.h"
#include "engine/eval/flags.h"
#include "engine/eval/lanes.h"
#include "engine/eval/machine.h"

namespace spanwright::eval {

using meaning::Expr;
using Kind = Flat::Node::Kind;

namespace {
/// Lanes of neighbouring nodes must not fall on the same lines of the cache.
constexpr std::size_t kApart = 8;
} // namespace

Engine::FlatRun::FlatRun(Engine& engine, const Flat& flat) : m_engine(engine), m_flat(flat), m_mark(engine.m_arena) {
    m_slots.resize(flat.nodes.size());
    m_beams.resize(flat.beams.size());
    m_single = engine.m_arena.take(2 * flat.nodes.size());
    m_lanes = engine.m_arena.take(2 * flat.nodes.size() * (kLanes + kApart));
}

bool Engine::FlatRun::block(const double* x, std::size_t n, double* out) {
    if (m_bad) return false;
    m_engine.m_outerFlags |= raisedFlags();
    const unsigned outer = std::exchange(m_engine.m_outerFlags, 0U);
    clearFlags();
    m_x = x;
    m_n = n;
    m_stride = (n + kApart - 1) / kApart * kApart + kApart;
    ++m_block;
    m_mask = nullptr;
    m_region = m_lastRegion = kEverywhere;
    m_regions.clear();
    const Operand result = at(m_flat.root).value;
    m_engine.m_counts.lanes += n * (1 + m_flat.nodes.size() / 16);
    if (!m_bad) {
        if (result.one)
            std::fill(out, out + n, *result.data);
        else
            std::copy(result.data, result.data + n, out);
        m_bad = !allFinite(out, n);
    }
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

bool Engine::FlatRun::active(std::uint32_t region) const {
    return region == kEverywhere || std::find(m_regions.begin(), m_regions.end(), region) != m_regions.end();
}

const Engine::FlatRun::Slot& Engine::FlatRun::at(std::uint32_t id) {
    Slot& s = m_slots[id];
    if ((s.block == kOnce || s.block == m_block) && active(s.region)) return s;
    if (m_bad) return s;
    s.region = kEverywhere;
    work(m_flat.nodes[id], id, s);
    // What is one number for all lanes, in all of them, stays.
    s.block = s.value.one && s.region == kEverywhere && m_mask == nullptr ? kOnce : m_block;
    return s;
}

void Engine::FlatRun::work(const Flat::Node& n, std::uint32_t id, Slot& s) {
    switch (n.kind) {
    case Kind::Place: s.value = {m_x, false}; return;
    case Kind::Constant: s.value = {&n.value, true}; return;
    case Kind::Leaf: {
        double* v = room(id, true);
        if (!m_engine.load(m_flat.leaves[n.index], *v)) {
            *v = 0.0;
            m_bad = true;
        }
        s.value = {v, true};
        return;
    }
    case Kind::One: {
        const Slot& a = at(n.a);
        double* out = room(id, a.value.one);
        if (!m_bad) lanes::unary(n.what, a.value.data, out, a.value.one ? 1 : m_n);
        s.value = {out, a.value.one};
        s.region = regionOf(a.region);
        return;
    }
    case Kind::Two: {
        const Operand a = at(n.a).value, b = at(n.b).value;
        const bool one = a.one && b.one;
        double* out = room(id, one);
        if (!m_bad) lanes::binary(n.what, a, b, out, m_n);
        s.value = {out, one};
        s.region = regionOf(m_slots[n.a].region, m_slots[n.b].region);
        return;
    }
    case Kind::Call1: {
        const Operand a = at(n.a).value;
        double* out = room(id, a.one);
        s.value = {out, a.one};
        if (m_bad) return;
        const std::size_t count = a.one ? 1 : m_n;
        const std::uint8_t* mask = a.one ? nullptr : m_mask;
        for (std::size_t i = 0; i < count; ++i) out[i] = mask != nullptr && mask[i] == 0 ? 0.0 : n.call1(a.data[i]);
        s.region = mask != nullptr ? m_region : regionOf(m_slots[n.a].region);
        return;
    }
    case Kind::Call2: {
        const Operand a = at(n.a).value, b = at(n.b).value;
        const bool one = a.one && b.one;
        double* out = room(id, one);
        s.value = {out, one};
        if (m_bad) return;
        const std::size_t count = one ? 1 : m_n;
        const std::uint8_t* mask = one ? nullptr : m_mask;
        for (std::size_t i = 0; i < count; ++i) out[i] = mask != nullptr && mask[i] == 0 ? 0.0 : n.call2(a.at(i), b.at(i));
        s.region = mask != nullptr ? m_region : regionOf(m_slots[n.a].region, m_slots[n.b].region);
        return;
    }
    case Kind::Choose: choose(n, id, s); return;
    case Kind::Along: along(n, id, s); return;
    case Kind::Pick: pickOf(n, id, s); return;
    case Kind::CallOut: callOut(n, id, s); return;
    }
}

void Engine::FlatRun::choose(const Flat::Node& n, std::uint32_t id, Slot& s) {
    const Operand condition = at(n.a).value;
    const std::uint32_t region = m_slots[n.a].region;
    if (m_bad) {
        s.value = {room(id, true), true};
        return;
    }
    if (condition.one) {
        const std::uint32_t taken = *condition.data != 0.0 ? n.b : n.c;
        s = at(taken);
        s.region = regionOf(region, s.region);
        return;
    }
    std::uint8_t yes[kLanes], no[kLanes];
    std::size_t yesCount = 0, noCount = 0;
    for (std::size_t i = 0; i < m_n; ++i) {
        const bool counts = m_mask == nullptr || m_mask[i] != 0;
        const bool taken = condition.data[i] != 0.0;
        yes[i] = counts && taken ? 1 : 0;
        no[i] = counts && !taken ? 1 : 0;
        yesCount += yes[i];
        noCount += no[i];
    }
    if (noCount == 0 || yesCount == 0) {
        s = at(noCount == 0 ? n.b : n.c);
        s.region = m_mask != nullptr ? m_region : regionOf(region, s.region);
        // One number perhaps, but only in this block: other places may take the other branch.
        if (s.value.one) {
            double* out = room(id, false);
            std::fill(out, out + m_n, *s.value.data);
            s.value = {out, false};
        }
        return;
    }
    const std::uint8_t* outerMask = m_mask;
    const std::uint32_t outerRegion = m_region;
    const auto branch = [&](std::uint32_t node, const std::uint8_t* mask) {
        m_mask = mask;
        m_region = ++m_lastRegion;
        m_regions.push_back(m_region);
        const Slot& taken = at(node);
        m_regions.pop_back();
        m_mask = outerMask;
        m_region = outerRegion;
        return taken.value;
    };
    const Operand first = branch(n.b, yes);
    if (m_bad) {
        s.value = {room(id, true), true};
        return;
    }
    double* kept = second(id, false);
    for (std::size_t i = 0; i < m_n; ++i) kept[i] = first.at(i);
    const Operand other = branch(n.c, no);
    double* out = room(id, false);
    s.value = {out, false};
    if (m_bad) return;
    lanes::choose(yes, {kept, false}, other, out, m_n);
    s.region = outerMask != nullptr ? outerRegion : kEverywhere;
}

void Engine::FlatRun::along(const Flat::Node& n, std::uint32_t id, Slot& s) {
    const Operand x = at(n.a).value;
    double *least = room(id, x.one), *most = second(id, x.one);
    s.value = {least, x.one};
    s.most = {most, x.one};
    s.region = regionOf(m_slots[n.a].region);
    const Expr& e = m_engine.m_pool.at(m_flat.beams[n.index]);
    Beam& beam = m_beams[n.index];
    if (!m_bad && !beam.ready) {
        const Value& v = m_engine.m_values->at(e.quantity);
        m_bad = !v.known() || !v.solved || !m_engine.factorsOf(e, beam.factors);
        if (!m_bad) beam.solved = v.solved.get();
        beam.ready = !m_bad;
    }
    if (m_bad) return;
    const unsigned before = raisedFlags();
    alongBeam(*beam.solved, curveOf(e.beamValue), x.data, x.one ? 1 : m_n, beam.factors, least, most);
    if (before == 0) clearFlags(); // what a solved beam does inside is checked by its result
}

void Engine::FlatRun::pickOf(const Flat::Node& n, std::uint32_t id, Slot& s) {
    const Slot& along = at(n.a);
    double* out = room(id, along.value.one);
    s.value = {out, along.value.one};
    s.region = regionOf(along.region);
    if (m_bad) return;
    const std::size_t count = along.value.one ? 1 : m_n;
    lanes::pick(m_engine.m_pool.at(m_flat.beams[n.index]).beamValue, along.value.data, along.most.data, out, count);
    if (allFinite(out, count)) return;
    for (std::size_t i = 0; i < count; ++i) {
        if (std::isfinite(out[i])) continue;
        if (m_mask == nullptr || along.value.one || m_mask[i] != 0) {
            m_bad = true;
            return;
        }
        out[i] = 0.0;
        s.region = m_region;
    }
}

void Engine::FlatRun::callOut(const Flat::Node& n, std::uint32_t id, Slot& s) {
    const Flat::CallOut& c = m_flat.callOuts[n.index];
    bool one = true;
    std::uint32_t region = kEverywhere;
    std::vector<Operand> arguments;
    for (const std::uint32_t a : c.arguments) {
        const Slot& from = at(a);
        arguments.push_back(from.value);
        one = one && from.value.one;
        region = regionOf(region, from.region);
    }
    double* out = room(id, one);
    s.value = {out, one};
    s.region = region;
    if (m_bad) return;
    std::vector<double> numbers(std::max<std::size_t>(arguments.size(), 1));
    for (std::size_t i = 0; i < (one ? 1 : m_n); ++i) {
        out[i] = 0.0;
        if (!one && m_mask != nullptr) {
            s.region = m_region;
            if (m_mask[i] == 0) continue;
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
