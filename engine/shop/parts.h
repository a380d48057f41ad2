// SPDX-License-Identifier: MIT
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "engine/shop/shop_rows.h"

namespace spanwright::shop {

/// Lengths in the planners' whole unit, 0.1 mm. A stock is never taken for longer than it is, a piece never for shorter.
inline constexpr double kUnitsPerMetre = 1e4;
[[nodiscard]] std::int64_t unitsAtLeast(double metres);
[[nodiscard]] std::int64_t unitsAtMost(double metres);
[[nodiscard]] inline double metresOf(std::int64_t units) { return static_cast<double>(units) / kUnitsPerMetre; }

/// One sort of part of one member.
struct Part {
    std::size_t member = 0; ///< as the job counts them
    std::string mark;
    std::string label; ///< to be written on it: "R1 web 2"
    job::PieceView view;
    std::int64_t each = 0;  ///< in one of the member
    std::int64_t count = 0; ///< in the job
    bool rip = false, plane = false;
    /// What is sawn, planing counted, in whole units.
    std::int64_t thickness = 0, breadth = 0, breadthEnd = 0, length = 0;
    bool planned = false; ///< false: nothing could be found for it, and that has been told
};

/// A member that is built.
struct BuiltMember {
    std::size_t index = 0;
    std::string mark, purpose, sheetTitle;
    std::int64_t count = 1;
    bool named = false;  ///< its sheet has piece rows at all
    bool cut = false;    ///< it has pieces: a scarf has none
    bool whole = true;   ///< all its pieces could be worked out
    double length = 0.0; ///< m: from its sheet's x_A to x_B, or from its first piece's end to its last's if all state their place, else its longest piece
    double start = 0.0;  ///< m: where end A lies as its sheet counts places
    job::Verdict verdict = job::Verdict::NotComputed;
};

struct Parts {
    std::vector<BuiltMember> members;
    std::vector<Part> parts;
    std::vector<std::string> leftOut; ///< "R2, which stands in place of R1"
    std::vector<diag::Diagnostic> problems;
};

/// Pieces of a job past these are refused: drawings and lists of more help nobody.
inline constexpr std::int64_t kMostPieces = 200'000;

/// The pieces of all members that are built; or of just these (by index), alternatives too.
[[nodiscard]] Parts gatherParts(const job::Job& job, const ShopRows& rows, const std::vector<std::size_t>& only = {});

} // namespace spanwright::shop
