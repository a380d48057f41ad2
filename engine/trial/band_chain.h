// SPDX-License-Identifier: MIT
// Bands of the rows of a trial. Only engine/trial/*.cpp include this.
#pragma once

#include <map>
#include <memory>
#include <optional>
#include <vector>

#include "engine/eval/bands.h"
#include "engine/trial/trial.h"

namespace spanwright::trial {

/// Proven bounds of the utilisations of a trial's checks over boxes of what varies.
class BandChain {
public:
    explicit BandChain(const Trial& trial) : m_trial(trial) {}
    /// By check of the trial: the greatest utilisation in any case anywhere in the box, rounded up; nothing where that
    /// cannot be said, also where the check may not apply or a value may lie outside its limits.
    [[nodiscard]] std::vector<std::optional<double>> utilisations(const std::vector<eval::Band>& box);

private:
    using Bands = std::vector<eval::Band>;
    [[nodiscard]] std::optional<Bands> bandsOf(const job::ExtractRow& row, const std::vector<eval::Band>& box);
    [[nodiscard]] bool applies(std::uint32_t member, const meaning::Quantity& q) const;

    const Trial& m_trial;
    std::map<const meaning::Sheet*, std::unique_ptr<eval::BandProgram>> m_programs;
    std::vector<std::vector<std::unique_ptr<Bands>>> m_of;
    std::vector<std::vector<const Bands*>> m_pointers;
    std::vector<std::vector<char>> m_unknown; ///< by member and row: varies and has no band
    std::vector<Bands> m_given;
    std::vector<char> m_givenUnknown;
};

} // namespace spanwright::trial
