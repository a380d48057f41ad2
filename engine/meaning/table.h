// SPDX-License-Identifier: MIT
#pragma once

#include <cstdint>
#include <deque>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <unordered_map>
#include <vector>

#include "engine/syntax/csv.h"
#include "engine/syntax/document.h"
#include "engine/units/unit.h"

namespace spanwright::meaning {

/// Texts as numbers, so that one evaluator of doubles does everything: each distinct text has one id,
/// exact in a double. One pool per job; ids mean nothing outside it. Not thread-safe while growing.
class TextPool {
public:
    TextPool() = default;
    TextPool(const TextPool&) = delete;
    TextPool& operator=(const TextPool&) = delete;
    TextPool(TextPool&&) = default;
    TextPool& operator=(TextPool&&) = default;

    [[nodiscard]] double idOf(std::string_view text);
    /// The text of an id that idOf() gave; the empty text for any other number.
    [[nodiscard]] const std::string& textOf(double id) const;

private:
    std::unordered_map<std::string_view, double> m_ids; ///< views into m_texts
    std::deque<std::string> m_texts;                    ///< never moves its elements
};

/// A table with its cells turned into coherent SI numbers or text ids. Immutable once made.
struct Table {
    struct Column {
        std::string name;
        units::Unit unit; ///< pure number if the head states none; meaningless for text
        bool text = false;
        syntax::Tag tag = syntax::Tag::None; ///< of its values: `P_G [kN] as characteristic`
    };
    std::string name;
    std::string file;    ///< the CSV file, or the sheet or job it stands in
    std::string comment; ///< source and edition as the table states them
    bool isList = false;
    bool isMatrix = false;
    std::vector<Column> columns;
    std::vector<std::uint32_t> keys;             ///< columns that name a row; matrix: the row key only
    std::vector<std::vector<double>> cells;      ///< [column][row]
    std::vector<std::vector<std::string>> texts; ///< [column][row], as written, trimmed
    std::vector<std::uint32_t> places;           ///< per row: row index for diag::Place in `file`
    std::vector<std::string> columnKeys;         ///< matrix: heads of the value columns
    units::Unit matrixUnit;

    [[nodiscard]] std::size_t rowCount() const { return cells.empty() ? 0 : cells.front().size(); }
    [[nodiscard]] std::optional<std::uint32_t> column(std::string_view name) const;
    /// Row whose key columns read as `keys` (text compare on what is written); none or first of them.
    [[nodiscard]] std::optional<std::uint32_t> rowByText(const std::vector<std::string>& keys) const;
    /// Row that a raw key text names: "C24", `"heated, dry"`, for two keys "Douglas fir-larch, #2" (each key may
    /// stand in double quotes).
    [[nodiscard]] std::optional<std::uint32_t> rowByLabel(std::string_view label) const;
    /// "C24"; for two keys "Douglas fir-larch, #2".
    [[nodiscard]] std::string rowLabel(std::uint32_t row) const;
    /// The same as text ids, so that formulas can compare them: rowIds[row] is the id of rowLabel(row);
    /// keyIds[k][row] that of the k-th key column's text as written; columnIds of a matrix' columnKeys.
    std::vector<double> rowIds;
    std::vector<std::vector<double>> keyIds;
    std::vector<double> columnIds;
    /// An index from key text to row, built once.
    std::unordered_map<std::string, std::uint32_t> index;
};

/// The rows of a table for which `keep` is not 0, in their order.
[[nodiscard]] std::shared_ptr<const Table> rowsKept(const Table& table, const std::vector<char>& keep);

} // namespace spanwright::meaning
