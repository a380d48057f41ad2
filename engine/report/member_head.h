// SPDX-License-Identifier: MIT
#pragma once

#include <string>
#include <vector>

#include "engine/report/document.h"
#include "engine/report/facts.h"

/// What the full and the brief form of a member have in common.
namespace spanwright::report {

/// Mark, verdict, purpose, sheet, and why it is not OK.
void headInto(Section& s, const MemberFacts& m, const std::string& id);
/// The checks, the governing one first; `withLinks` leads from each to its row.
void checksInto(Section& s, std::size_t member, const MemberFacts& m, bool withLinks);
/// The drawing, and beside it what is not on it.
void sketchInto(Section& s, const job::SketchView& sketch, const job::QuantityView& view);
/// Remarks on a row, or on the member where `name` is empty.
void remarksInto(std::vector<Block>& out, const JobFacts& f, const std::string& mark, const std::string& name);

} // namespace spanwright::report
