// SPDX-License-Identifier: MIT
#pragma once

#include <cstdint>
#include <functional>
#include <set>
#include <vector>

#include "engine/meaning/sheet.h"

namespace spanwright::models {

/// A row of the grid, by what it stands for. Rows compare in the order of the sheet.
struct GridRow {
    enum class Sort : std::uint8_t { Part, Otherwise, Value, Case } sort = Sort::Value;
    std::uint32_t order = 0;      ///< place among all rows of the sheet; a case has that of its row
    std::uint32_t part = 0;       ///< index into Sheet::parts
    meaning::QuantityId quantity; ///< Value, Case
    std::uint32_t caseIndex = 0;  ///< Case: from 0
    [[nodiscard]] std::pair<std::uint32_t, std::uint32_t> key() const { return {order, sort == Sort::Case ? caseIndex + 1 : 0}; }
    friend bool operator==(const GridRow& a, const GridRow& b) { return a.key() == b.key(); }
    friend bool operator<(const GridRow& a, const GridRow& b) { return a.key() < b.key(); }
};

/// All rows that a sheet can show, without cases: a heading for each part with a title, a line where `otherwise`
/// begins, and the values in the sheet's order. Parts without a value to show are left out.
[[nodiscard]] std::vector<GridRow> allRows(const meaning::Sheet& sheet);

/// True for the kinds that have a row of their own.
[[nodiscard]] bool isShown(meaning::Kind kind);

/// What is folded, opened and wanted of allRows().
struct RowChoice {
    std::set<std::uint32_t> folded;                     ///< parts
    std::function<bool(const GridRow&)> wanted;         ///< of value rows; null: all
    std::function<std::uint32_t(const GridRow&)> cases; ///< how many cases are open below a value row
};

/// The rows shown, ascending. A heading stands where one of its rows is wanted; folding hides rows, not headings.
[[nodiscard]] std::vector<GridRow> chosenRows(const std::vector<GridRow>& all, const RowChoice& choice);

/// A run of rows that go or come, counted in the list as it stands when the step is taken.
struct RowStep {
    bool insert = false;
    std::size_t first = 0, count = 0;
    std::size_t from = 0; ///< insert: index of the first in the new list
};
/// The steps, in runs as long as can be, that turn one ascending list into another.
[[nodiscard]] std::vector<RowStep> stepsBetween(const std::vector<GridRow>& before, const std::vector<GridRow>& after);

} // namespace spanwright::models
