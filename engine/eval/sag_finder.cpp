// SPDX-License-Identifier: MIT
#include "engine/eval/sag_finder.h"

#include <algorithm>

#include "engine/eval/beam_outputs.h"

namespace spanwright::eval {

using Kind = Flat::Node::Kind;

std::vector<Flat::Sag> SagFinder::find() {
    // A single one needs no factor; only for several are nodes added.
    m_alone = true;
    std::optional<Sags> found = sum(m_flat.root);
    if (!found || found->empty()) return {};
    if (found->size() > 1) {
        m_alone = false;
        found = sum(m_flat.root);
        if (!found) return {};
    }
    return std::move(*found);
}

std::uint32_t SagFinder::constant(double v) {
    Flat::Node n;
    n.kind = Kind::Constant;
    n.value = v;
    return m_add(n);
}

std::uint32_t SagFinder::times(Do what, std::uint32_t a, std::uint32_t b) {
    if (m_alone) return Flat::kNone;
    Flat::Node n;
    n.kind = what == Do::Negate ? Kind::One : Kind::Two;
    n.what = what;
    n.a = a;
    n.b = b;
    return m_add(n);
}

std::optional<SagFinder::Sags> SagFinder::sum(std::uint32_t id) {
    if (tired()) return std::nullopt;
    const Flat::Node n = m_flat.nodes[id]; // (nodes may be added)
    if (n.kind == Kind::Pick && n.placed) return pick(n);
    if (steps(id)) return Sags{};
    if (n.kind == Kind::Choose) return choice(n);
    if (n.kind == Kind::One && n.what == Do::Negate) {
        std::optional<Sags> a = sum(n.a);
        if (a)
            for (Flat::Sag& s : *a) s.times = times(Do::Negate, s.times, 0);
        return a;
    }
    if (n.kind != Kind::Two) return std::nullopt;
    switch (n.what) {
    case Do::Add:
    case Do::Subtract: {
        std::optional<Sags> a = sum(n.a), b = sum(n.b);
        if (!a || !b || a->size() + b->size() > kMostSags) return std::nullopt;
        for (Flat::Sag& s : *b) {
            if (n.what == Do::Subtract) s.times = times(Do::Negate, s.times, 0);
            a->push_back(s);
        }
        return a;
    }
    case Do::Multiply:
    case Do::Divide: {
        const bool left = steps(n.b), right = n.what == Do::Multiply && steps(n.a);
        if (!left && !right) return std::nullopt;
        std::optional<Sags> a = sum(left ? n.a : n.b);
        if (a)
            for (Flat::Sag& s : *a) s.times = times(n.what, s.times, left ? n.b : n.a);
        return a;
    }
    default: return std::nullopt;
    }
}

std::optional<SagFinder::Sags> SagFinder::pick(const Flat::Node& n) {
    const Flat::Node& along = m_flat.nodes[n.a];
    const meaning::Expr& e = m_engine.pool().at(m_flat.beams[n.index]);
    if (m_flat.nodes[along.a].kind != Kind::Place || curveOf(e.beamValue) != BeamCurve::Deflection) return std::nullopt;
    const meaning::BeamDefinition& def = m_engine.sheet()->beams[m_engine.sheet()->at(e.quantity).beam];
    if (!def.constantStiffness) return std::nullopt;
    Flat::Sag sag;
    sag.along = n.a;
    sag.least = wantsLeast(e.beamValue);
    sag.either = !sag.least && !wantsMost(e.beamValue);
    if (sag.either && std::any_of(def.loads.begin(), def.loads.end(), [](const auto& l) { return l.eachSpan; })) return std::nullopt;
    sag.times = m_alone ? Flat::kNone : constant(1.0);
    return Sags{sag};
}

std::optional<SagFinder::Sags> SagFinder::choice(const Flat::Node& n) {
    if (!steps(n.a)) return std::nullopt;
    std::optional<Sags> yes = sum(n.b), no = sum(n.c);
    if (!yes || !no || yes->size() + no->size() > kMostSags) return std::nullopt;
    const std::uint32_t none = m_alone ? Flat::kNone : constant(0.0);
    const auto where = [&](std::uint32_t b, std::uint32_t c) {
        if (m_alone) return Flat::kNone;
        Flat::Node chosen;
        chosen.kind = Kind::Choose;
        chosen.what = Do::If;
        chosen.a = n.a;
        chosen.b = b;
        chosen.c = c;
        return m_add(chosen);
    };
    for (Flat::Sag& s : *yes) s.times = where(s.times, none);
    for (Flat::Sag& s : *no) {
        s.times = where(none, s.times);
        yes->push_back(s);
    }
    return yes;
}

bool SagFinder::steps(std::uint32_t id) {
    if (tired()) return false;
    const Flat::Node& n = m_flat.nodes[id];
    if (!n.placed) return true;
    switch (n.kind) {
    case Kind::One: return n.what != Do::Abs && steps(n.a); // (a size may have kinks that are not looked for)
    case Kind::Two:
        if (n.what >= Do::Less && n.what <= Do::NotEqual) return straight(n.a) && straight(n.b);
        return n.what != Do::Min && n.what != Do::Max && steps(n.a) && steps(n.b);
    case Kind::Choose: return steps(n.a) && steps(n.b) && steps(n.c);
    default: return false;
    }
}

bool SagFinder::straight(std::uint32_t id) {
    if (tired()) return false;
    const Flat::Node& n = m_flat.nodes[id];
    if (!n.placed || n.kind == Kind::Place) return true;
    if (n.kind == Kind::One) return n.what == Do::Negate && straight(n.a);
    if (n.kind != Kind::Two) return false;
    switch (n.what) {
    case Do::Add:
    case Do::Subtract: return straight(n.a) && straight(n.b);
    case Do::Multiply: return (!m_flat.nodes[n.a].placed && straight(n.b)) || (!m_flat.nodes[n.b].placed && straight(n.a));
    case Do::Divide: return !m_flat.nodes[n.b].placed && straight(n.a);
    default: return false;
    }
}

} // namespace spanwright::eval
