// SPDX-License-Identifier: MIT
#pragma once

#include <cstdint>
#include <string_view>

namespace spanwright::syntax {

/// One character of a text. A byte that is no UTF-8 gives `valid` false and length 1.
struct Glyph {
    std::uint32_t point = 0;
    std::uint32_t length = 1;
    bool valid = true;
};
[[nodiscard]] Glyph glyphAt(std::string_view text, std::size_t at);

/// Latin and Greek letters; the micro, ohm and increment signs count as Greek.
[[nodiscard]] bool isLetter(std::uint32_t point);
[[nodiscard]] inline bool isDigit(char c) { return c >= '0' && c <= '9'; }
[[nodiscard]] inline bool isBlank(char c) { return c == ' ' || c == '\t'; }

/// The ASCII spelling of a Greek letter ("sigma"), empty for anything else.
[[nodiscard]] std::string_view greekSpelling(std::uint32_t point);

} // namespace spanwright::syntax
