// SPDX-License-Identifier: MIT
#pragma once

#include <cmath>

#include "engine/job/verdict.h"
#include "engine/syntax/document.h"

namespace spanwright::job {

/// How one pair of numbers of a check comes out.
struct Judgement {
    CheckView::State state = CheckView::State::NotComputed;
    bool hasUtilisation = false;
    double utilisation = 0.0; ///< demand over capacity
};

inline constexpr double kCheckSlack = 1e-9;

/// The one rule by which a check holds, for the job itself and for trials: demand may pass capacity by 1e-9 of it,
/// so that what is equal on paper does not fail by the last bit; a capacity of zero or less proves nothing.
[[nodiscard]] inline Judgement judged(syntax::Op relation, double left, double right) {
    constexpr double kSlack = kCheckSlack;
    Judgement j;
    if (relation == syntax::Op::Equal || relation == syntax::Op::NotEqual) {
        const bool equal = std::fabs(left - right) <= kSlack * std::fmax(std::fabs(left), std::fabs(right));
        j.state = equal == (relation == syntax::Op::Equal) ? CheckView::State::Passes : CheckView::State::Fails;
        return j;
    }
    const bool upward = relation == syntax::Op::Greater || relation == syntax::Op::GreaterEqual;
    const double demand = upward ? right : left;
    const double capacity = upward ? left : right;
    if (!std::isfinite(demand) || !std::isfinite(capacity)) return j;
    if (capacity <= 0.0) {
        j.state = CheckView::State::NotProven;
        return j;
    }
    const double u = demand / capacity;
    j.hasUtilisation = std::isfinite(u);
    if (j.hasUtilisation) j.utilisation = u;
    j.state = demand <= capacity * (1.0 + kSlack) ? CheckView::State::Passes : CheckView::State::Fails;
    return j;
}

} // namespace spanwright::job
