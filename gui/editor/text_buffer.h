// SPDX-License-Identifier: MIT
#pragma once

#include <QString>

#include <optional>
#include <string>
#include <vector>

#include "engine/syntax/document.h"

namespace spanwright::editor {

/// The text of one file as an editor shows it, beside the bytes that it stands for and the engine's rows of it. A
/// change of what is shown becomes the change of just those bytes: line ends, a byte order mark and characters that
/// an editor would bend stay as they are. Rows are read anew only where something changed.
///
/// Invariants: bytes() are what was loaded but for the edits; document() equals a fresh reading of bytes(); shown()
/// holds no character that a QTextDocument would turn into another one.
class TextBuffer {
public:
    /// `bytes`: UTF-8.
    void load(std::string file, syntax::FileKind kind, std::string bytes);
    [[nodiscard]] const std::string& file() const { return m_file; }
    [[nodiscard]] const std::string& bytes() const { return m_bytes; }
    [[nodiscard]] const QString& shown() const { return m_shown; }
    [[nodiscard]] const syntax::Document& document() const { return m_document; }

    /// A replacement in shown().
    struct Change {
        qsizetype at = 0, removed = 0;
        QString added;
    };
    /// What an editor did.
    void edit(const Change& change);
    /// Takes in bytes that changed elsewhere; gives what is to be done to the shown text, nothing if it is the same.
    [[nodiscard]] std::optional<Change> take(const std::string& bytes);

    // ---- places
    /// Counted from 0.
    [[nodiscard]] std::uint32_t lineOfRow(std::uint32_t row) const;
    [[nodiscard]] std::uint32_t rowOfLine(std::uint32_t line) const;
    /// A place in a row, in the shown text: the byte `at` of the row's own.
    [[nodiscard]] qsizetype shownAt(std::uint32_t row, std::size_t at) const;
    /// The row and its byte at a place of the shown text.
    struct Spot {
        std::uint32_t row = 0;
        std::size_t at = 0;
    };
    [[nodiscard]] Spot spotAt(qsizetype shown) const;
    /// UTF-16 units that the first `bytes` of a line take.
    [[nodiscard]] static qsizetype unitsIn(std::string_view line, std::size_t bytes);

private:
    [[nodiscard]] std::size_t byteAt(qsizetype shown, std::size_t from = 0, qsizetype shownFrom = 0) const;
    [[nodiscard]] std::string written(const QString& shown) const;
    void replaceBytes(std::size_t begin, std::size_t end, const std::string& text);
    void placeRows() const;

    std::string m_file;
    syntax::FileKind m_kind = syntax::FileKind::Job;
    std::string m_bytes;
    QString m_shown;
    syntax::Document m_document;
    mutable bool m_placed = false;
    mutable std::vector<std::uint32_t> m_firstLine; ///< by row; one more at the end
    mutable std::vector<std::size_t> m_firstByte;   ///< by row; one more at the end
};

} // namespace spanwright::editor
