// SPDX-License-Identifier: MIT
#pragma once

/// For loops over lanes: the widest instruction set that the machine has is chosen when the program starts. IEEE
/// operations give the same bits at every width, and nothing is fused or reordered.
#if defined(__x86_64__) && defined(__GNUC__) && !defined(__clang__) && !defined(__SANITIZE_ADDRESS__)
#define SPANWRIGHT_WIDEST __attribute__((target_clones("avx2", "default")))
#else
#define SPANWRIGHT_WIDEST
#endif
#define SPANWRIGHT_INLINE inline __attribute__((always_inline))
