// SPDX-License-Identifier: MIT
#pragma once

#include <cstdint>
#include <vector>

#include "engine/shop/budget.h"
#include "engine/shop/panel_kinds.h"

namespace spanwright::shop {

/// A pattern and the panel (as it stands in the core) that it is sawn from.
struct SawnPanel {
    std::size_t bin = 0;
    SawnPattern pattern;
};

/// The linear relaxation over patterns that hold no more of a piece than there are, and plans by it: a panel that it uses much is sawn,
/// and the same is asked for the pieces that are left, so that no pattern is made of pieces that are gone. What cannot be done for
/// the money that is left is seen early, and another panel tried. Panels of any sizes, some on hand.
class LimitedRelaxation {
public:
    LimitedRelaxation(const PanelCore& core, PanelKinds kinds, std::uint64_t workOfOne);

    /// A pattern to begin with; its kinds as they stand in `PanelKinds`. It may hold too much of a piece.
    void know(std::size_t bin, const SawnPattern& pattern);

    enum class Answer : std::uint8_t {
        Proven,     ///< in whole numbers: so much does not do
        OutOfReach, ///< the relaxation has a solution for so much
        GivenUp,    ///< too many ways to fill a panel, or the work is spent
    };
    /// Whether all pieces can be had for `cost`.
    [[nodiscard]] Answer ask(std::int64_t cost, Budget& budget);

    /// Panels for at most `cost` that hold all pieces; if `whole` is false the ones that came nearest. Another seed chooses otherwise.
    /// Kinds must be blocks.
    struct Plan {
        bool whole = false;
        std::vector<SawnPanel> panels;
    };
    [[nodiscard]] Plan plan(std::int64_t cost, std::uint64_t seed, Budget& budget);

private:
    /// What is left to cut, to cut from and to spend.
    struct State {
        std::vector<std::int64_t> left;   ///< by row
        std::vector<std::int64_t> onHand; ///< by bin
        std::int64_t money = 0;
    };
    class Rest;
    class Dive;
    struct Size {
        std::int64_t width = 0;
        std::int64_t height = 0;
        std::vector<std::size_t> bins;
    };

    [[nodiscard]] State all(std::int64_t cost) const;
    [[nodiscard]] bool available(const State& state, std::size_t bin) const;
    [[nodiscard]] double areaOf(std::size_t kind) const;
    /// What is left of a pattern when pieces are gone.
    [[nodiscard]] SawnPattern clipped(const State& state, const SawnPattern& pattern) const;
    /// Of the panel's area.
    [[nodiscard]] double filled(std::size_t bin, const SawnPattern& pattern) const;
    void take(State& state, std::size_t bin, const SawnPattern& pattern) const;

    std::vector<Bin> m_bins;
    PanelKinds m_kinds;
    std::vector<Size> m_sizes;
    double m_unit = 1.0; ///< the dearest panel that is bought
    std::uint64_t m_workOfOne = 0;
    std::vector<SawnPanel> m_known;
};

} // namespace spanwright::shop
