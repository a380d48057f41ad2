// SPDX-License-Identifier: MIT
#pragma once

#include <functional>
#include <optional>
#include <vector>

#include "engine/eval/engine.h"
#include "engine/eval/flat.h"

namespace spanwright::eval {

/// Takes a flat formula apart into deflections and how often each is taken, where it is such a sum (Flat::sags). It goes by what stands
/// there, never by values: what could turn anywhere else is no such sum.
class SagFinder {
public:
    /// `add` gives a node of the formula, a new one or one that is there.
    SagFinder(const Engine& engine, const Flat& flat, std::function<std::uint32_t(const Flat::Node&)> add)
        : m_engine(engine), m_flat(flat), m_add(std::move(add)) {}
    /// Empty: it is none.
    [[nodiscard]] std::vector<Flat::Sag> find();

private:
    using Sags = std::vector<Flat::Sag>;
    /// What a node adds up; nothing where it is no such sum. No deflections: it changes by steps only.
    [[nodiscard]] std::optional<Sags> sum(std::uint32_t id);
    [[nodiscard]] std::optional<Sags> pick(const Flat::Node& n);
    [[nodiscard]] std::optional<Sags> choice(const Flat::Node& n);
    /// Changes at kinks that breaks() knows, and nowhere else.
    [[nodiscard]] bool steps(std::uint32_t id);
    /// A straight line in the place by its form, as for breaks().
    [[nodiscard]] bool straight(std::uint32_t id);
    [[nodiscard]] std::uint32_t times(Do what, std::uint32_t a, std::uint32_t b);
    [[nodiscard]] std::uint32_t constant(double v);
    [[nodiscard]] bool tired() { return ++m_looks > kMostLooks; }

    static constexpr std::size_t kMostLooks = 2'000, kMostSags = 32;
    const Engine& m_engine;
    const Flat& m_flat;
    std::function<std::uint32_t(const Flat::Node&)> m_add;
    bool m_alone = true; ///< not yet asked for how often each is taken
    std::size_t m_looks = 0;
};

} // namespace spanwright::eval
