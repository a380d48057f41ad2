// SPDX-License-Identifier: MIT
#include "engine/syntax/places.h"

#include <algorithm>

#include "engine/base/text.h"

namespace spanwright::syntax {

diag::Resolved resolveIn(std::string_view text, base::ByteSpan span, std::uint32_t firstLine) {
    diag::Resolved r;
    std::size_t begin = std::min<std::size_t>(span.begin, text.size());
    // A place behind the last line end belongs to the line before it.
    if (begin == text.size() && begin > 0 && text[begin - 1] == '\n') --begin;
    std::size_t lineStart = 0;
    r.line = firstLine;
    for (std::size_t at = text.find('\n'); at != std::string_view::npos && at < begin; at = text.find('\n', at + 1)) {
        lineStart = at + 1;
        ++r.line;
    }
    std::size_t lineEnd = std::min(text.find('\n', lineStart), text.size());
    if (lineEnd > lineStart && lineEnd < text.size() && text[lineEnd - 1] == '\r') --lineEnd;
    begin = std::clamp(begin, lineStart, lineEnd);
    const std::size_t end = std::clamp<std::size_t>(span.end, begin, lineEnd);
    r.lineText = std::string(text.substr(lineStart, lineEnd - lineStart));
    r.markStart = static_cast<std::uint32_t>(base::utf8Count(text.substr(lineStart, begin - lineStart)));
    r.markWidth = std::max<std::uint32_t>(1, static_cast<std::uint32_t>(base::utf8Count(text.substr(begin, end - begin))));
    r.column = r.markStart + 1;
    return r;
}

} // namespace spanwright::syntax
