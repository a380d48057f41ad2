// SPDX-License-Identifier: MIT
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace spanwright::base {

/// True if `bytes` is well-formed UTF-8 (RFC 3629: no overlong forms, no surrogates).
[[nodiscard]] bool isUtf8(std::string_view bytes);

/// Length in bytes of the UTF-8 sequence that starts at `at` (1 for a malformed byte).
[[nodiscard]] std::size_t utf8Length(std::string_view text, std::size_t at);

/// Number of code points (a malformed byte counts as one).
[[nodiscard]] std::size_t utf8Count(std::string_view text);

/// `text` without ASCII blanks at both ends.
[[nodiscard]] std::string_view trimmed(std::string_view text);

/// The edit distance (insert, delete, replace, swap of neighbours) of two short strings.
[[nodiscard]] std::size_t editDistance(std::string_view a, std::string_view b);

/// The candidate nearest to `word`, if one is near enough to be meant: at most a third of the
/// word's length away, at least 1, and something of the word kept; capital and small letters count as
/// alike at half a step.
/// Ties go to the first in the list, so the answer does not depend on hashing.
[[nodiscard]] std::optional<std::string> nearest(std::string_view word, const std::vector<std::string>& candidates);

/// Shortest decimal text that reads back as exactly `value` (locale-free).
[[nodiscard]] std::string shortest(double value);

/// Reads a whole decimal number (locale-free, no hex, no inf/nan); nothing if any byte is left over.
[[nodiscard]] std::optional<double> readDouble(std::string_view text);

} // namespace spanwright::base
