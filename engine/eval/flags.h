// SPDX-License-Identifier: MIT
#pragma once

#include <cfenv>

#if defined(__x86_64__)
#include <immintrin.h>
#endif

namespace spanwright::eval {

/// The floating-point flags that make a row not computed: division by zero, invalid operation,
/// overflow. Inexact and underflow are of no interest.
enum Flags : unsigned { kInvalid = 1U, kDivisionByZero = 4U, kOverflow = 8U };

/// On x86-64 doubles live in SSE registers, whose flags are read and cleared directly: the portable
/// calls also save and restore the x87 unit and cost more than a formula.
[[nodiscard]] inline unsigned raisedFlags() {
#if defined(__x86_64__)
    return _mm_getcsr() & (kInvalid | kDivisionByZero | kOverflow);
#else
    const int raised = std::fetestexcept(FE_INVALID | FE_DIVBYZERO | FE_OVERFLOW);
    return ((raised & FE_INVALID) != 0 ? kInvalid : 0U) | ((raised & FE_DIVBYZERO) != 0 ? kDivisionByZero : 0U) |
           ((raised & FE_OVERFLOW) != 0 ? kOverflow : 0U);
#endif
}

inline void clearFlags() {
#if defined(__x86_64__)
    const unsigned state = _mm_getcsr();
    if ((state & (kInvalid | kDivisionByZero | kOverflow)) != 0) _mm_setcsr(state & ~(kInvalid | kDivisionByZero | kOverflow));
#else
    std::feclearexcept(FE_INVALID | FE_DIVBYZERO | FE_OVERFLOW);
#endif
}

} // namespace spanwright::eval
