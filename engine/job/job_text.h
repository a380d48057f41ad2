// SPDX-License-Identifier: MIT
// What edits of a job's text have in common. Only engine/job/*.cpp include this.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>

#include "engine/diag/diagnostic.h"
#include "engine/job/job.h"
#include "engine/syntax/document.h"

namespace spanwright::job {

[[nodiscard]] base::Failure<diag::Diagnostic> refuse(diag::Code code, std::string message, std::string mend, std::string_view mark = {});
[[nodiscard]] base::Failure<diag::Diagnostic> noMember(std::string_view mark);
/// A sheet that stands alone has no members to edit.
[[nodiscard]] base::Failure<diag::Diagnostic> noJob();

/// A copy of the job's text to edit.
[[nodiscard]] syntax::Document documentOf(const Job& job);

/// The rows [first, end) of a member: its own, those it owns, and the lines of its lists.
struct Extent {
    std::uint32_t first = 0, end = 0;
};
[[nodiscard]] Extent extentOf(const syntax::Document& d, std::uint32_t member);
/// A row with the lines of its block and the notes that stand right under it.
[[nodiscard]] Extent rowWithItsOwn(const syntax::Document& d, std::uint32_t row);

/// The line end that a text uses; a line feed if it has none.
[[nodiscard]] std::string lineEndOf(const syntax::Document& d);
[[nodiscard]] bool endsLine(const std::string& text);
/// Puts text before a row; the text before it ends its line first.
void putBefore(syntax::Document& d, std::uint32_t before, const std::string& text);
/// The text of rows, ended by a line end.
[[nodiscard]] std::string textOf(const syntax::Document& d, Extent e);

/// One line of plain text without ` -- `.
[[nodiscard]] bool plainWords(std::string_view text);
/// The blanks that a row begins with.
[[nodiscard]] std::string indentOf(const std::string& text);

} // namespace spanwright::job
