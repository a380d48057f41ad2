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
[[nodiscard]] Glyph wideGlyphAt(std::string_view text, std::size_t at);
[[nodiscard]] inline Glyph glyphAt(std::string_view text, std::size_t at) {
    const auto byte = at < text.size() ? static_cast<unsigned char>(text[at]) : 0U;
    return byte < 0x80 ? Glyph{byte, 1, true} : wideGlyphAt(text, at);
}

/// Latin and Greek letters; the micro, ohm and increment signs count as Greek.
[[nodiscard]] bool isWideLetter(std::uint32_t point);
[[nodiscard]] inline bool isLetter(std::uint32_t p) { return p < 0x80 ? (p >= 'a' && p <= 'z') || (p >= 'A' && p <= 'Z') : isWideLetter(p); }
[[nodiscard]] inline bool isDigit(char c) { return c >= '0' && c <= '9'; }
[[nodiscard]] inline bool isBlank(char c) { return c == ' ' || c == '\t'; }

/// The ASCII spelling of a Greek letter ("sigma"), empty for anything else.
[[nodiscard]] std::string_view greekSpelling(std::uint32_t point);

} // namespace spanwright::syntax
