// SPDX-License-Identifier: MIT
#pragma once

#include <cstddef>
#include <string>
#include <string_view>

/// Files may hold anything. What leaves the engine goes through one of these first.
namespace spanwright::report {

/// Well-formed UTF-8 without control characters, direction overrides and non-characters: each such
/// code point, and each malformed byte, becomes U+FFFD. Line feeds and tabs become blanks unless
/// `keepLines`. What is left can neither steer a terminal nor break XML.
[[nodiscard]] std::string cleaned(std::string_view text, bool keepLines = false);

/// Cleaned, and & < > " ' written as references: fit for HTML and XML text and quoted attributes.
[[nodiscard]] std::string htmlText(std::string_view text);
/// Cleaned, and everything but letters, digits and blanks written as an escape: fit for a CSS string,
/// also inside a <style> element.
[[nodiscard]] std::string cssText(std::string_view text);
/// One RFC 4180 field. A field that a table program would take for a formula (begins with = + - @ and
/// is no number) is written with a blank before it.
[[nodiscard]] std::string csvField(std::string_view text);

/// Words as they are printed: `47 x 195` with a sign of multiplication, `+-`, `<=`, `==` and `m^2` in one sign each, `2.9e7` with its power of ten, and
/// a no-break space between a number and its unit, within a size and within the name of a standard, so that no line ends there. What is to be
/// read as typed does not go through this.
[[nodiscard]] std::string asPrinted(std::string_view text);
/// A number as it is printed: "2.904e7" with its power of ten, "2.904·10⁷".
[[nodiscard]] std::string figuresPrinted(std::string_view figures);

/// Columns that `text` takes on a terminal: code points, combining marks counted as none.
[[nodiscard]] std::size_t textWidth(std::string_view text);

} // namespace spanwright::report
