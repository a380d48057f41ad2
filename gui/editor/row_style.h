// SPDX-License-Identifier: MIT
#pragma once

#include <vector>

#include "engine/base/span.h"
#include "engine/syntax/document.h"

namespace spanwright::editor {

/// What a stretch of a row is, as the engine read it.
enum class Style : std::uint8_t {
    RowWord,  ///< the word that a row begins with
    Name,     ///< what the row defines or states
    Joining,  ///< words of the language inside a row: if, and, from, to, by
    Function, ///< the name before a bracket
    Unit,
    Text,    ///< in double quotes
    Link,    ///< a value of another member
    Words,   ///< what a row is; titles, notes, remarks
    Source,  ///< where it comes from
    Comment, ///< a row that says nothing to the engine
    Bad,     ///< a row that could not be read
};

struct Stretch {
    base::ByteSpan span; ///< within the row's text
    Style style = Style::Words;
};

/// The stretches of a row in ascending order, none over another; what lies between them is plain. From the engine's
/// own tree and tokens.
[[nodiscard]] std::vector<Stretch> stretchesOf(const syntax::Row& row, syntax::FileKind kind);

} // namespace spanwright::editor
