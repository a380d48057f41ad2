// SPDX-License-Identifier: MIT
#pragma once

#include <algorithm>
#include <string>
#include <string_view>

namespace spanwright::syntax {

// The several ways to write one sign.
[[nodiscard]] inline bool isMinus(std::string_view s) { return s == "-" || s == "\u2212"; }
[[nodiscard]] inline bool isTimes(std::string_view s) { return s == "*" || s == "\u00B7" || s == "\u22C5" || s == "\u00D7"; }
/// "2" or "3" for a raised digit, empty for anything else.
[[nodiscard]] inline std::string_view superscript(std::string_view s) { return s == "\u00B2" ? "2" : s == "\u00B3" ? "3" : ""; }
[[nodiscard]] inline bool isWhole(std::string_view s) {
    return !s.empty() && std::all_of(s.begin(), s.end(), [](char c) { return c >= '0' && c <= '9'; });
}

/// Text of the file inside a message.
[[nodiscard]] inline std::string quoted(std::string_view text) {
    std::string out = "`";
    out += text;
    out += '`';
    return out;
}

} // namespace spanwright::syntax
