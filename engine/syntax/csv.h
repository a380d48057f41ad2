// SPDX-License-Identifier: MIT
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "engine/diag/diagnostic.h"
#include "engine/syntax/document.h"

namespace spanwright::syntax {

/// A table as text: RFC 4180 fields, each with its place. Used for *.csv files and for the lines of
/// `table`, `list` and `matrix` blocks alike.
struct CsvTable {
    std::string file;
    std::string comment;                    ///< first comment line (source and edition), without '#'
    struct Column { Spot name; Spot unit; bool text = false; };   ///< head: `f_mk [N/mm^2]`, `what [text]`
    std::vector<Column> columns;
    struct Line { std::uint32_t row = 0; std::vector<Spot> cells; };  ///< row: index for diag::Place
    std::vector<Line> lines;
    std::uint32_t headRow = 0;
    std::vector<std::string> sourceLines;   ///< physical lines, for resolve()
    std::vector<diag::Diagnostic> diagnostics;

    [[nodiscard]] std::optional<diag::Resolved> resolve(const diag::Place& p) const;
};

inline constexpr std::size_t kMaxTableLines = 2'000'000;

/// Reads a *.csv file. Too few or too many fields, an unclosed quote, a missing head are diagnostics.
[[nodiscard]] CsvTable readCsv(std::string file, std::string bytes);

/// The table of a block row (kind Table, List or Matrix; also a member's own list in a job).
[[nodiscard]] CsvTable blockTable(const Document& d, std::uint32_t blockRow);

} // namespace spanwright::syntax
