// SPDX-License-Identifier: MIT
#pragma once

#include <cstdint>
#include <memory>
#include <vector>

#include "engine/beam/beam.h"
#include "engine/diag/diagnostic.h"
#include "engine/meaning/sheet.h"

namespace spanwright::eval {

/// How it stands with a quantity of a member.
enum class State : std::uint8_t {
    Known,         ///< a number (text id, truth, chosen row, table, solved beam)
    NotStated,     ///< an ask (or choose) that the job does not state
    Failed,        ///< its own row is wrong or could not be computed: `problem` says why
    Blocked,       ///< something it reads is not Known: `blockedBy` names the first such row
    NotApplicable, ///< stands in a part that is switched off
};

/// The value of one quantity of one member. SI numbers, row-major over the quantity's axes in their order
/// (the last axis runs fastest); exactly one number without axes.
struct Value {
    State state = State::Blocked;
    double one = 0.0;                            ///< without axes
    std::vector<double> many;                    ///< with axes
    std::shared_ptr<const meaning::Table> table; ///< Choose (one = row index), Each, List
    std::shared_ptr<const beam::Solved> solved;  ///< Beam
    std::shared_ptr<const diag::Diagnostic> problem;
    meaning::QuantityId blockedBy; ///< in the same member; invalid: another member's (see problem)
    std::vector<double> right;     ///< Check: right side, as many as the left (one or many)

    [[nodiscard]] bool known() const { return state == State::Known; }
    [[nodiscard]] const double* data() const { return many.empty() ? &one : many.data(); }
};

/// Same state and bit for bit the same numbers (so that a row that comes out equal stops the wave).
/// Tables and solved beams compare by identity.
[[nodiscard]] bool sameValue(const Value& a, const Value& b);

/// Values of one member, by QuantityId, as the evaluator reads them.
struct MemberValues {
    std::vector<Value> values;
    [[nodiscard]] const Value& at(meaning::QuantityId id) const { return values[id.index()]; }
    /// Rows of an each axis in this member.
    [[nodiscard]] std::size_t axisSize(meaning::QuantityId each) const {
        const Value& v = values[each.index()];
        return v.table ? v.table->rowCount() : 0;
    }
};

} // namespace spanwright::eval
