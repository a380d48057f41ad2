// SPDX-License-Identifier: MIT
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "engine/report/document.h"
#include "engine/report/facts.h"

/// What has one value a case, on little paper: two axes as a grid, a long list in columns side by side. No case is left out but
/// beyond a limit that is told.
namespace spanwright::report {

/// One case, set: its label and what stands in its cell. `wide` is how many letters the cell takes.
struct CaseCell {
    std::string label;
    Inlines cell;
    std::size_t wide = 0;
    bool worked = false; ///< the one whose steps are printed
};

/// `axes`: labels of each axis, the last running fastest; empty where there is one only. `head` stands over the cells.
[[nodiscard]] std::vector<Block> caseBlocks(const std::vector<CaseCell>& cases, const std::vector<std::vector<std::string>>& axes, const std::string& head);

/// Of a row with cases: what each comes to.
[[nodiscard]] std::vector<Block> valueCases(const RowFact& r);
/// Of a check: utilisation and verdict of each case.
[[nodiscard]] std::vector<Block> checkCases(const job::CheckView& c, const std::vector<std::vector<std::string>>& axes);

} // namespace spanwright::report
