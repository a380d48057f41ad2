// SPDX-License-Identifier: MIT
#pragma once

#include <cstddef>
#include <cstdint>

#include "engine/eval/code.h"
#include "engine/meaning/expr.h"

/// One operation over many lanes. Each lane comes out bit for bit as by itself.
namespace spanwright::eval::lanes {

/// n lanes, or one where both operands are one number. `out` is apart from both.
void binary(Do what, Operand a, Operand b, double* out, std::size_t n);
void unary(Do what, const double* a, double* out, std::size_t n);
/// out[i] = yes or no, as taken[i] says.
void choose(const std::uint8_t* taken, Operand yes, Operand no, double* out, std::size_t n);
/// What an output of a beam takes of least and most.
void pick(meaning::BeamOutput o, const double* least, const double* most, double* out, std::size_t n);

} // namespace spanwright::eval::lanes
