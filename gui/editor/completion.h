// SPDX-License-Identifier: MIT
#pragma once

#include <QString>

#include <cstdint>
#include <string>
#include <vector>

#include "engine/syntax/document.h"
#include "gui/models/job_session.h"

namespace spanwright::editor {

/// A word that may stand at a place of a text, and what it is.
struct Suggestion {
    QString word, what;
};

struct Suggestions {
    std::size_t from = 0; ///< the byte of the row where the word begins that they would replace
    std::vector<Suggestion> list;
};

/// What the engine knows that may stand at a place: words that begin rows, names, functions, units, columns of
/// tables, marks and values of members, keys of choices. Those that begin as the word before the place does come
/// first; none of them is the word itself. Nothing inside words and comments.
///
/// `row`: the text of the row up to the place and behind it; `owner`: the row of a job that it stands under, by its
/// index in `document`; `file`: the sheet or the job that the row is of.
struct CompletionPlace {
    std::string file;
    syntax::FileKind kind = syntax::FileKind::Sheet;
    const syntax::Document* document = nullptr; ///< the text that the row stands in; may be null for a row alone
    std::uint32_t rowIndex = 0;                 ///< in `document`
    std::string row;
    std::size_t at = 0;
};
[[nodiscard]] Suggestions suggestionsAt(models::JobSession& session, const CompletionPlace& place);

} // namespace spanwright::editor
