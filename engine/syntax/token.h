// SPDX-License-Identifier: MIT
#pragma once

#include <cstdint>
#include <string_view>
#include <vector>

#include "engine/base/span.h"

namespace spanwright::syntax {

enum class TokenKind : std::uint8_t {
    Blank,   ///< spaces, tabs; line ends inside a continued row
    LineEnd, ///< "\n" or "\r\n" at the end of a row
    Comment, ///< a whole row that begins with '#'
    Word,    ///< name or keyword: Latin or Greek letter, then letters, digits, '_'
    Number,  ///< decimal literal: 12, 0.5, .5, 1e-3
    Text,    ///< "double quoted", "" for a quote inside
    Symbol,  ///< one operator or bracket: + - * · / ^ ( ) [ ] , . < <= > >= == != = ² ³ ; : % ' °, `+-`, `±`, and any
             ///< other single character
    Dashes,  ///< "--" between blanks (or a line end), that cuts off what a row is, and its source
    Bad,     ///< bytes that fit nothing (not UTF-8, control characters)
};

/// Tokens of a row cover every one of its bytes, in order: putting them together gives the row back.
struct Token {
    TokenKind kind{};
    base::ByteSpan span; ///< within the row's text
};

/// Splits one row's text; never fails. The law: spans are gapless from 0 to text.size().
[[nodiscard]] std::vector<Token> tokenize(std::string_view rowText);

} // namespace spanwright::syntax
