// SPDX-License-Identifier: MIT
#pragma once

#include <memory>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "engine/diag/diagnostic.h"
#include "engine/syntax/document.h"

namespace spanwright::syntax {

/// A field of a table: quotes removed, blanks at its ends cut off. `text` lives as long as the table or any
/// copy of it; `span` counts from the start of the line's row.
struct CsvCell {
    std::string_view text;
    base::ByteSpan span;
};

/// A table as text: RFC 4180 fields, each with its place. Used for *.csv files and for the lines of
/// `table`, `list` and `matrix` blocks alike. Blanks around fields and quotes are allowed, lines that begin
/// with # are comments. Lines with too few or too many fields are left out of `lines` and complained
/// about: a table with diagnostics is not whole, and nothing may be proven by it.
struct CsvTable {
    std::string file;
    std::string comment; ///< first comment line (source and edition), without '#'; a block without
                         ///< one: the source behind its head row
    /// Head: `f_mk [N/mm^2]`, `P_G [kN] as characteristic`, `what [text]`. A name is canonical; a head that is no
    /// name (`#2`, a matrix's key) stands as written.
    struct Column {
        Spot name;
        Spot unit;
        bool text = false;
        Tag tag = Tag::None;
    };
    std::vector<Column> columns;
    struct Line {
        std::uint32_t row = 0;          ///< index for diag::Place: document row of a block, physical line of a file
        std::span<const CsvCell> cells; ///< one per column
    };
    std::vector<Line> lines;
    std::uint32_t headRow = 0;
    std::vector<diag::Diagnostic> diagnostics;

    /// For *.csv files; places in a block are the document's.
    [[nodiscard]] std::optional<diag::Resolved> resolve(const diag::Place& p) const;

    /// What `lines` point into; shared by copies.
    struct Storage;
    std::shared_ptr<const Storage> storage;
};

inline constexpr std::size_t kMaxTableLines = 2'000'000;

/// Reads a *.csv file. Too few or too many fields, an unclosed quote, a missing head are diagnostics.
[[nodiscard]] CsvTable readCsv(std::string file, std::string bytes);

/// The table of a block row (kind Table, List or Matrix; also a member's own list in a job).
[[nodiscard]] CsvTable blockTable(const Document& d, std::uint32_t blockRow);

} // namespace spanwright::syntax
