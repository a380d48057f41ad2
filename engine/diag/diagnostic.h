// SPDX-License-Identifier: MIT
#pragma once

#include <cstdint>
#include <functional>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "engine/base/span.h"
#include "engine/diag/codes.h"

namespace spanwright::diag {

enum class Severity : std::uint8_t { Error, Warning, Note };

/// Where something is: a file, one row of its document, and bytes counted from that row's start.
/// Rows keep their own text (see engine/syntax/document.h), so an edit above does not move places.
/// `row == kNoRow` means the file as a whole.
struct Place {
    static constexpr std::uint32_t kNoRow = 0xffffffffU;
    std::string file;
    std::uint32_t row = kNoRow;
    base::ByteSpan span;
    friend bool operator==(const Place&, const Place&) = default;
};

/// A second place that matters ("first defined here", or the other operand of a sum).
struct Label {
    Place place;
    std::string text;
};

/// One thing that is wrong, as data. Wording: lower case, no full stop, states the situation;
/// `mend` says what to change. Rendering, sorting and counting are somebody else's work.
struct Diagnostic {
    Code code{};
    Severity severity = Severity::Error;
    Place place;
    std::string message;
    std::vector<Label> labels;
    std::vector<std::string> notes;
    std::string mend;                       ///< empty when nothing sensible can be said
    std::string member;                     ///< mark of the member it concerns; empty for a file's own error
};

/// A place made readable: 1-based line, 1-based column in code points, the line's text without its
/// line end, and which code points of it are marked (0-based start, at least 1 wide).
struct Resolved {
    std::uint32_t line = 0;
    std::uint32_t column = 0;
    std::string lineText;
    std::uint32_t markStart = 0;
    std::uint32_t markWidth = 0;
};

/// Turns places into lines; documents provide it. Nothing for a file that is not open or kNoRow.
using Resolver = std::function<std::optional<Resolved>(const Place&)>;

/// `file:line:column: error: what is wrong`, the line with the place marked by ^ and labels by ~,
/// notes, `mend: ...`. Ends with a line feed. The code stands in brackets behind the message; control
/// characters are replaced, very long lines cut around the mark.
[[nodiscard]] std::string renderText(const Diagnostic& d, const Resolver& resolve);

/// Stable order for showing: errors first within a file as they stand (file, row, begin, code).
void sortForShow(std::vector<Diagnostic>& list);

/// "error", "warning", "note".
[[nodiscard]] std::string_view severityText(Severity s);

} // namespace spanwright::diag
