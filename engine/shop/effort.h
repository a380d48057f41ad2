// SPDX-License-Identifier: MIT
#pragma once

#include <cstdint>
#include <functional>

namespace spanwright::shop {

/// How hard a planner tries, in work, not in seconds: the same input and limit give the same plan on every machine.
struct Effort {
    /// Steps that take about as long on every planner; `kWorkPerSecond` of them are a second on the machine of the
    /// benchmarks (tests/bench/README.md).
    std::uint64_t work = 300'000'000;
    /// Asked now and then, from the planner's own thread; once it says true the best plan so far is given.
    std::function<bool()> cancelled;
};

constexpr std::uint64_t kWorkPerSecond = 150'000'000;

/// The work of so many seconds on the machine of the benchmarks.
[[nodiscard]] inline Effort effortOfSeconds(double seconds) {
    Effort e;
    e.work = static_cast<std::uint64_t>(seconds * static_cast<double>(kWorkPerSecond));
    return e;
}

} // namespace spanwright::shop
