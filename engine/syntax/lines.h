// SPDX-License-Identifier: MIT
#pragma once

#include <string_view>

#include "engine/syntax/kinds.h"

namespace spanwright::syntax {

/// One logical row as bytes: which lines belong together and what kind of row they are. What is in the
/// row is somebody else's work.
struct Chunk {
    std::string_view text; ///< line end included
    std::uint32_t lines = 1;
    RowKind kind = RowKind::Blank;
    std::string_view keyword;
    bool unclosed = false; ///< a bracket stands open at its end
    bool inSketch = false; ///< Unknown: where a mark of a sketch was to stand
};

/// Splits a text into rows. An open bracket continues a row until it closes, or until a line that
/// plainly begins a row of its own: one bracket forgotten costs one row, not the rest of the file.
class LineGrouper {
public:
    LineGrouper(std::string_view text, FileKind file, Block block) : m_text(text), m_file(file), m_block(block) {}

    /// False at the end of the text.
    [[nodiscard]] bool next(Chunk& chunk);
    /// The block that the text read so far has opened and not closed.
    [[nodiscard]] Block block() const { return m_block; }

private:
    [[nodiscard]] std::string_view lineAt(std::size_t at) const;
    [[nodiscard]] bool beginsRow(std::string_view line) const;
    [[nodiscard]] bool endsTable(std::string_view line) const;
    void extend(Chunk& chunk, std::size_t contentFrom);

    std::string_view m_text;
    FileKind m_file;
    Block m_block;
    std::size_t m_at = 0;
};

/// `<<<<<<<`, `|||||||`, `=======`, `>>>>>>>` at the start of a line.
[[nodiscard]] bool isConflictMark(std::string_view line);

/// Where ` -- ` begins in free text at or behind `from`; the text's length if nowhere.
[[nodiscard]] std::size_t findCut(std::string_view text, std::size_t from);

} // namespace spanwright::syntax
