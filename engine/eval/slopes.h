// SPDX-License-Identifier: MIT
#pragma once

#include <memory>
#include <optional>
#include <vector>

#include "engine/eval/value.h"

namespace spanwright::eval {

/// A number and how it changes with one value that everything is watched against.
struct Slope {
    double value = 0.0, slope = 0.0;
};

/// Exact derivatives of rows by forward differentiation of their typed trees: sums to powers, `if` (the branch taken),
/// min and max (the one that counts), functions of the sheet, interpolated tables (the piece that the key lies in),
/// reductions, the largest or smallest along a range, roots. There is none through integrals, rounding, beams that
/// change, and look-ups by a key that changes. One thread at a time.
class SlopeProgram {
public:
    explicit SlopeProgram(std::shared_ptr<const meaning::Sheet> sheet);
    ~SlopeProgram();
    SlopeProgram(const SlopeProgram&) = delete;
    SlopeProgram& operator=(const SlopeProgram&) = delete;
    /// All cases of a formula of `row` (its formula, or a check's right side); `rows[q]`: value and slope by case of rows
    /// that change, null of those that do not. Nothing if there is no exact derivative.
    [[nodiscard]] std::optional<std::vector<Slope>> formula(const meaning::Quantity& row, meaning::ExprId root, const MemberValues& values,
                                                            const std::vector<const std::vector<Slope>*>& rows);

private:
    struct Impl;
    std::unique_ptr<Impl> m_impl;
};

/// The same for a link; `references[i]`: value and slope where it changes, null with a fixed value.
[[nodiscard]] std::optional<Slope> linkSlope(const meaning::Link& link, const std::vector<const Value*>& fixed,
                                             const std::vector<const std::vector<Slope>*>& references);

} // namespace spanwright::eval
