// SPDX-License-Identifier: MIT
#pragma once

#include "engine/eval/arena.h"
#include "engine/eval/code.h"

namespace spanwright::eval {

/// Lanes of one block.
inline constexpr std::size_t kLanes = 256;

/// Runs a formula once, in muParser's order and with muParser's operations. `missing[i] != 0` marks a
/// leaf without a value (null: all have one): reaching it stops the run and gives its index in `reached`.
/// Stops early when the host fails.
[[nodiscard]] double runOnce(const Code& code, const double* frame, const std::uint8_t* missing, Host& host, std::int64_t& reached);

/// Runs a formula over n <= kLanes lanes; each lane comes out bit for bit as runOnce() gives it. Where
/// lanes disagree about an `if` both branches run: floating-point flags may then come from a lane that did
/// not take the branch. Of the lanes only those of `mask` count (null: all). False if the host failed.
[[nodiscard]] bool runBlock(const Code& code, const Operand* frame, std::size_t n, const std::uint8_t* mask, Host& host, Arena& arena, double* out);

/// Of n lanes, those that a condition sends one way and the other; only those of `mask` count (null: all).
struct Parted {
    std::uint8_t yes[kLanes], no[kLanes];
    std::size_t yesCount = 0, noCount = 0;
    void part(const double* condition, std::size_t n, const std::uint8_t* mask) {
        for (std::size_t i = 0; i < n; ++i) {
            const bool counts = mask == nullptr || mask[i] != 0;
            const bool taken = condition[i] != 0.0;
            yes[i] = counts && taken ? 1 : 0;
            no[i] = counts && !taken ? 1 : 0;
            yesCount += yes[i];
            noCount += no[i];
        }
    }
};

/// Whether a condition holds in every lane (1), in none (-1), or in some only (0).
[[nodiscard]] int agreed(const double* condition, std::size_t n);

/// No infinity and no NaN among them; raises no flag.
[[nodiscard]] bool allFinite(const double* v, std::size_t n);

/// The shared library calls of both paths.
namespace calls {
/// base^exponent; 0^0 raises the invalid flag, for it has no value in a calculation.
double power(double base, double exponent);
/// To whole numbers; what is whole to 1e-9 stays.
double down(double v);
double up(double v);
double roundUp(double v); ///< away from zero
double roundHalfAway(double v);
} // namespace calls

} // namespace spanwright::eval
