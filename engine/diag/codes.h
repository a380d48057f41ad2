// SPDX-License-Identifier: MIT
#pragma once

#include <cstdint>
#include <string_view>
#include <vector>

namespace spanwright::diag {

/// Every kind of diagnostic. Codes are stable and never reused; new ones go at the end of their
/// group. The list itself is codes.def: CODE(enumerator, "X123", "what it means, at length").
enum class Code : std::uint16_t {
#define SPANWRIGHT_CODE(name, text, explanation) name,
#include "engine/diag/codes.def"
#undef SPANWRIGHT_CODE
};

/// "U203"
[[nodiscard]] std::string_view codeText(Code c);
/// The enumerator's name, for tests and JSON: "UnknownUnit".
[[nodiscard]] std::string_view codeName(Code c);
/// A sentence or two for `spanwright explain U203`.
[[nodiscard]] std::string_view codeExplanation(Code c);
[[nodiscard]] const std::vector<Code>& allCodes();

} // namespace spanwright::diag
