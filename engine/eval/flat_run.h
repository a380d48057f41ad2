// SPDX-License-Identifier: MIT
#pragma once

#include <array>
#include <optional>
#include <span>
#include <vector>

#include "engine/eval/breaks.h"
#include "engine/eval/engine.h"
#include "engine/eval/flat.h"
#include "engine/eval/machine.h"

namespace spanwright::eval {

/// Works out a flat formula over blocks of places, in the scope that the engine has while it lives; in a scope of
/// trial points, over pairs of a point and a place. What does not depend on the place is worked out once for all
/// blocks: one number, or one for each point. It tries: where anything is amiss it says so and nothing else, and
/// from then on it always does; the way that names mistakes is the engine's own.
class Engine::FlatRun {
public:
    FlatRun(Engine& engine, const Flat& flat);
    /// Lanes are the first n points of the engine's scope of points. With `axes`: in every case of them, the last one
    /// fastest; what does not depend on the rows of some of them is worked out once for all of these.
    FlatRun(Engine& engine, const Flat& flat, std::size_t points, const std::vector<meaning::QuantityId>& axes = {});
    FlatRun(const FlatRun&) = delete;
    FlatRun& operator=(const FlatRun&) = delete;

    /// An owner of places: place i is point i's. Of all points it is the quickest.
    static const std::array<std::uint32_t, kLanes> kEachOnce;
    /// n <= kLanes places; with points, `owner` says whose each is. Flags are cleared before and tested after.
    [[nodiscard]] bool block(const double* x, std::size_t n, double* out, const std::uint32_t* owner = nullptr) {
        return blockOf(m_flat.root, x, n, out, owner);
    }
    /// The same of one of several formulas, in the case at hand.
    [[nodiscard]] bool blockOf(std::uint32_t root, const double* x, std::size_t n, double* out, const std::uint32_t* owner);
    /// Every formula in every case: out[case*bodies + body].
    [[nodiscard]] bool blockOfAll(const std::vector<FlatGroup::Body>& bodies, const double* x, std::size_t n, const std::vector<double*>& out,
                                  const std::uint32_t* owner);
    /// Sets the rows of the axes in the engine's scope.
    void setCase(std::size_t index);
    [[nodiscard]] std::size_t cases() const { return m_cases; }
    /// As breaksOf(): places strictly between where the formula has a kink or a jump, at one of the points.
    [[nodiscard]] std::vector<double> breaks(double from, double to, std::size_t point = 0) { return breaks(m_flat.breaking, from, to, point); }
    [[nodiscard]] std::vector<double> breaks(const std::vector<std::uint32_t>& breaking, double from, double to, std::size_t point);
    /// Where the formula may turn between `points` (its breaks and what else is named, the ends among them), if it is a curve of a beam that
    /// can say so, or a sum of deflections. `larger`: only where its larger values are of interest.
    [[nodiscard]] std::optional<std::vector<double>> turns(const std::vector<double>& points, bool larger);
    /// Whether beams may say so at all.
    [[nodiscard]] bool mayTurn(bool larger) const { return !m_flat.sags.empty() || (m_flat.curve != Flat::kNone && !(m_flat.curveSize && !larger)); }
    /// The beam that says so at one of the points; null: none does. Its breaks are then all that the formula has.
    [[nodiscard]] const beam::Solved* turningBeam(bool larger, std::size_t point);
    [[nodiscard]] std::vector<double> turnsOf(const beam::Solved& solved, double from, double to);
    /// The beams that say so, where they are lines of all points at once, each turning in its middle and nowhere else; null: they are not.
    [[nodiscard]] const beam::EvenLines* evenLines(bool larger);
    /// Between the ends there is no break but those of such lines, at any of the points.
    [[nodiscard]] bool unbroken(const double* from, const double* to);
    /// Of a sum of deflections: what it adds up at one of the points, each once. False: where they turn is not known.
    [[nodiscard]] bool sagsAt(std::size_t point, std::vector<beam::SagTerm>& terms);
    /// Something in it changes by steps along the range.
    [[nodiscard]] bool stepsAlong() const { return m_flat.sagsByCase; }
    /// What changes by steps may do so as near to a break as two of them are told apart: this part of the whole range.
    static constexpr double kBeside = 4e-12;
    [[nodiscard]] static double middleOf(double a, double b) { return a + 0.5 * (b - a); }
    /// How often each is taken in the pieces that have these places in their middle: out[sag*n + place]. With points as in block().
    [[nodiscard]] bool timesAt(const double* middles, std::size_t n, const std::uint32_t* owner, std::vector<double>& out);
    /// Places where a sum of deflections may turn, with those beside what changes by steps; `times` of the first piece, `stride` from one
    /// sag to the next.
    [[nodiscard]] bool addTurnsOfSags(std::span<const double> points, std::vector<beam::SagTerm>& terms, const double* times, std::size_t stride,
                                      std::vector<double>& out) const;
    /// The breaks that were last asked for may not be all.
    [[nodiscard]] bool vague() const { return m_vague; }
    [[nodiscard]] bool bad() const { return m_bad; }

private:
    class BreakFinder;
    static constexpr std::uint32_t kEverywhere = 0, kOnce = 0xffffffffU;
    /// What a node's value is: one number, one for each point, one for each place.
    enum class Level : std::uint8_t { One, Point, Place };
    struct Slot {
        Operand value;
        Operand most;             ///< Along: value is the least
        Operand spread;           ///< a value by point, for the places of a block
        std::uint32_t block = 0;  ///< the block it was worked out for; kOnce: for all
        std::uint32_t region = 0; ///< good in this branch and in what lies inside; kEverywhere: in every lane
        std::uint32_t spreadBlock = 0;
        std::uint32_t room = 0;       ///< where its lanes are, in strides
        std::uint32_t spreadRoom = 0; ///< likewise of `spread`
        Level level = Level::One;
    };
    /// The lanes at hand: points or places.
    struct Lanes {
        Level level = Level::Place;
        std::size_t n = 0;
        const std::uint8_t* mask = nullptr;
        std::uint32_t region = kEverywhere;
    };
    /// A node as a straight line in the place, as far as was asked.
    struct KnownLine {
        std::optional<Straight> line;
        bool asked = false;
    };
    struct Beam {
        const beam::Solved* solved = nullptr;
        const PointRow* row = nullptr; ///< solved anew at each point
        std::vector<double> factors;
        bool ready = false;
    };

    /// Works everything out anew when next asked.
    void forget();
    /// Slots for every case, as many as differ.
    void placeSlots();
    /// The axes (as bits) on whose rows a node depends by itself.
    [[nodiscard]] std::uint32_t axesOf(const Flat::Node& n) const;
    [[nodiscard]] Slot& slotOf(std::uint32_t id) { return m_slots[m_view[id]]; }
    [[nodiscard]] const Slot& slotOf(std::uint32_t id) const { return m_slots[m_view[id]]; }
    [[nodiscard]] Beam& beamOf(std::uint32_t index) { return m_beams[m_case * m_flat.beams.size() + index]; }
    void beginBlock(const double* x, std::size_t n, const std::uint32_t* owner);
    [[nodiscard]] bool endBlock(unsigned outer);
    void take(std::uint32_t root, std::size_t n, double* out);
    [[nodiscard]] Level levelOf(const Flat::Node& n) const;
    [[nodiscard]] Level levelOf(const Leaf& leaf) const;
    /// The value of a node for the lanes at hand.
    Operand at(std::uint32_t node);
    Slot& ready(std::uint32_t node);
    void work(const Flat::Node& n, std::uint32_t id, Slot& s);
    void leaf(const Leaf& l, Slot& s, double* out);
    void choose(const Flat::Node& n, Slot& s);
    void along(const Flat::Node& n, Slot& s);
    void pickOf(const Flat::Node& n, Slot& s);
    void callOut(const Flat::Node& n, Slot& s);
    [[nodiscard]] const beam::Solved* solvedAt(const Beam& beam, std::size_t point) const;
    [[nodiscard]] const beam::EvenLines* linesOf(std::uint32_t along);
    [[nodiscard]] bool sameAtAllPoints(std::uint32_t id) const;
    [[nodiscard]] bool findBeam(Beam& beam, const meaning::Expr& e);
    /// Lanes of neighbouring nodes must not fall on the same lines of the cache.
    static constexpr std::size_t strideOf(std::size_t n) {
        constexpr std::size_t kApart = 8;
        return (n + kApart - 1) / kApart * kApart + kApart;
    }
    /// Where a node's numbers go.
    double* room(const Slot& s, std::size_t part = 0);
    [[nodiscard]] bool active(std::uint32_t region) const;
    /// The value so far depends on which lanes count.
    [[nodiscard]] std::uint32_t regionOf(std::uint32_t a) const { return slotOf(a).region != kEverywhere ? m_lanes.region : kEverywhere; }
    [[nodiscard]] std::uint32_t regionOf(std::uint32_t a, std::uint32_t b) const { return regionOf(a) != kEverywhere ? m_lanes.region : regionOf(b); }

    Engine& m_engine;
    const Flat& m_flat;
    const Arena::Mark m_mark;
    std::vector<Slot> m_slots;
    std::vector<Beam> m_beams;             ///< by case, then as in the formula
    std::vector<std::uint32_t> m_views;    ///< by case, then by node: its slot
    const std::uint32_t* m_view = nullptr; ///< of the case at hand
    std::vector<meaning::QuantityId> m_axes;
    std::size_t m_cases = 1, m_case = 0;
    std::size_t m_points = 0; ///< 0: there are none
    double *m_single = nullptr, *m_byPoint = nullptr, *m_byPlace = nullptr;
    std::size_t m_pointStride = 0, m_placeStride = 0;
    std::uint32_t m_block = 1;
    std::vector<KnownLine> m_lines; ///< of the point whose breaks are looked for
    // of the block at hand
    Lanes m_lanes;
    const double* m_x = nullptr;
    const std::uint32_t* m_owner = nullptr;
    /// Neighbouring places of one point.
    struct Run {
        std::uint32_t owner = 0;
        std::size_t begin = 0, end = 0;
    };
    std::vector<Run> m_runs;
    bool m_eachOnce = false; ///< place i is of point i, for all points
    std::uint32_t m_lastRegion = kEverywhere;
    std::vector<std::uint32_t> m_regions; ///< branches inside which we are
    bool m_bad = false, m_vague = false;
};

} // namespace spanwright::eval
