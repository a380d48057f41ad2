// SPDX-License-Identifier: MIT
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "engine/syntax/document.h"

namespace spanwright::syntax {

/// What a row's first word says about the row.
struct KindInfo {
    std::string_view word;
    RowKind kind = RowKind::Unknown;
    bool inSheet = false;
    bool inJob = false;
    bool freeText = false; ///< the rest of the row is words, not formulas: brackets do not continue it
};

/// A row of a job that says something of the workshop: stock, saw, labour ...
[[nodiscard]] bool isShopRow(RowKind kind);
/// Nothing if no kind of row begins with that word.
[[nodiscard]] const KindInfo* kindOf(std::string_view word);
/// The words that may stand first behind `trial`, and those that go on in such a trial.
[[nodiscard]] const std::vector<std::string>& trialWords();
[[nodiscard]] const std::vector<std::string>& trialClauses(std::string_view trial);
/// The words that begin rows in a sketch, in the order of the language reference.
[[nodiscard]] const std::vector<std::string>& markWords();
[[nodiscard]] bool isMarkWord(std::string_view word);
/// The word of a kind ("derive"); empty for Blank, Comment, Unknown, TableLine, Mark.
[[nodiscard]] std::string_view wordOf(RowKind kind);
/// The words that begin rows in such a file, in the order of the language reference.
[[nodiscard]] const std::vector<std::string>& rowWords(FileKind kind);
/// For dumps: the word, or "blank", "comment", "unknown", "line", "mark".
[[nodiscard]] std::string_view kindName(RowKind kind);

/// Blocks that run to `end`.
enum class Block : std::uint8_t { None, Beam, Table, Sketch };
/// The block that a row opens.
[[nodiscard]] Block opens(const Row& row);
[[nodiscard]] Block opens(RowKind kind);

} // namespace spanwright::syntax
