// SPDX-License-Identifier: MIT
#pragma once

#include <string>
#include <vector>

#include "engine/job/verdict.h"
#include "engine/report/document.h"

namespace spanwright::report {

/// "2.106 kN·m" as number and unit; other texts as words.
[[nodiscard]] meaning::Box valueBox(const std::string& shown);

/// The steps of one value: symbol = formula, = the same with values put in, = result. Steps that would
/// repeat the one before are left out. For checks both sides; the last line says what is true: a check
/// `a ≤ b` that fails ends in `a > b`.
[[nodiscard]] Equation equationOf(const job::Working& w);

/// What was worked out on the way: the call or cell with its values, and its own steps; without the general formula, what it is and
/// where it comes from where those stand elsewhere.
[[nodiscard]] std::vector<Block> asideBlocks(const job::Working::Aside& aside, bool formulaKnown = false);

/// True when a check's numbers are known and do not hold.
[[nodiscard]] bool checkFails(const job::Working& w);

} // namespace spanwright::report
