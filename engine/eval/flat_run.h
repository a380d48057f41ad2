// SPDX-License-Identifier: MIT
#pragma once

#include "engine/eval/engine.h"
#include "engine/eval/flat.h"

namespace spanwright::eval {

/// Works out a flat formula over blocks of places, in the scope that the engine has while it lives. What does not
/// depend on the place is worked out once for all blocks. It tries: where anything is amiss it says so and nothing
/// else, and from then on it always does; the way that names mistakes is the engine's own.
class Engine::FlatRun {
public:
    FlatRun(Engine& engine, const Flat& flat);
    FlatRun(const FlatRun&) = delete;
    FlatRun& operator=(const FlatRun&) = delete;

    /// n <= kLanes places. Flags are cleared before and tested after.
    [[nodiscard]] bool block(const double* x, std::size_t n, double* out);

private:
    static constexpr std::uint32_t kEverywhere = 0;
    struct Slot {
        Operand value;
        Operand most;             ///< Along: value is the least
        std::uint32_t block = 0;  ///< the block it was worked out for; kOnce: for all
        std::uint32_t region = 0; ///< good in this branch and in what lies inside; kEverywhere: in every lane
    };
    static constexpr std::uint32_t kOnce = 0xffffffffU;

    const Slot& at(std::uint32_t node);
    void work(const Flat::Node& n, std::uint32_t id, Slot& s);
    void choose(const Flat::Node& n, std::uint32_t id, Slot& s);
    void along(const Flat::Node& n, std::uint32_t id, Slot& s);
    void pickOf(const Flat::Node& n, std::uint32_t id, Slot& s);
    void callOut(const Flat::Node& n, std::uint32_t id, Slot& s);
    /// Where a node's numbers go: `one` number or one for each lane.
    double* room(std::uint32_t id, bool one) { return one ? m_single + 2 * id : m_lanes + 2 * id * m_stride; }
    double* second(std::uint32_t id, bool one) { return one ? m_single + 2 * id + 1 : m_lanes + (2 * id + 1) * m_stride; }
    [[nodiscard]] bool active(std::uint32_t region) const;
    /// The value so far depends on which lanes count.
    std::uint32_t regionOf(std::uint32_t a, std::uint32_t b = kEverywhere) const { return a != kEverywhere || b != kEverywhere ? m_region : kEverywhere; }

    struct Beam {
        const beam::Solved* solved = nullptr;
        std::vector<double> factors;
        bool ready = false;
    };

    Engine& m_engine;
    const Flat& m_flat;
    const Arena::Mark m_mark;
    std::vector<Slot> m_slots;
    std::vector<Beam> m_beams;
    double* m_single;
    double* m_lanes;
    std::size_t m_stride = 0;
    std::uint32_t m_block = 0;
    // of the block at hand
    const double* m_x = nullptr;
    std::size_t m_n = 0;
    const std::uint8_t* m_mask = nullptr;
    std::uint32_t m_region = kEverywhere, m_lastRegion = kEverywhere;
    std::vector<std::uint32_t> m_regions; ///< branches inside which we are
    bool m_bad = false;
};

} // namespace spanwright::eval
