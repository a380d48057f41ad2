// SPDX-License-Identifier: MIT
#pragma once

#include <cstdint>

namespace spanwright::shop {

/// Numbers that look random and are the same everywhere (splitmix64: Steele, Lea and Flood, "Fast splittable
/// pseudorandom number generators", OOPSLA 2014).
class Chance {
public:
    explicit Chance(std::uint64_t seed) : m_state(seed) {}
    std::uint64_t next() {
        std::uint64_t z = (m_state += 0x9e3779b97f4a7c15ULL);
        z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9ULL;
        z = (z ^ (z >> 27)) * 0x94d049bb133111ebULL;
        return z ^ (z >> 31);
    }
    /// 0 ... n - 1; n > 0.
    std::uint32_t below(std::uint32_t n) { return static_cast<std::uint32_t>(((next() >> 32) * n) >> 32); }
    /// From 0 up to, not including, 1.
    double part() { return static_cast<double>(next() >> 11) * (1.0 / 9007199254740992.0); }

private:
    std::uint64_t m_state;
};

} // namespace spanwright::shop
