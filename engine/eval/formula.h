// SPDX-License-Identifier: MIT
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "engine/eval/code.h"
#include "engine/eval/muparser.h"
#include "engine/meaning/expr.h"

namespace spanwright::eval {

/// What a formula reads from outside itself: one number of its frame.
struct Leaf {
    meaning::ExprKind kind{}; ///< Quantity, ChoiceField, ChoiceKey, AxisField, AxisKey, External, Bound
    std::uint32_t index = 0;  ///< column, slot or reference
    meaning::QuantityId quantity;
    friend bool operator==(const Leaf&, const Leaf&) = default;
};

/// A typed tree (or a part of one) as text for muParser, and what it came to.
struct Formula {
    meaning::ExprId root;
    std::vector<Leaf> leaves;
    /// Nodes that the host works out.
    struct CallOut {
        meaning::ExprId node;
        bool part = false; ///< cut off because the text would be too long: a formula of its own
    };
    std::vector<CallOut> callOuts;
    Code code;
    bool plain = false; ///< reads rows only, and few of them; no call-outs
    std::string fault;  ///< not empty: the program's own mistake; never evaluated
};

/// The text of the tree under `root`: fully parenthesised, coherent SI, ASCII. Fills leaves and callOuts.
/// Long trees are cut: the largest subtrees become call-outs of their own until the text is short enough.
[[nodiscard]] std::string writeText(const meaning::ExprPool& pool, meaning::ExprId root, Formula& out);

/// True for nodes that are always call-outs.
[[nodiscard]] bool isCallOut(const meaning::Expr& e);
/// True for nodes whose children are worked out by the host on its own (reductions, ranges, min of very many).
[[nodiscard]] bool hidesChildren(const meaning::Expr& e);

/// An exponent that is a whole number known beforehand (2 for x^2); 0 if there is none or it is not small.
[[nodiscard]] int smallWholePower(const meaning::Expr& power);

} // namespace spanwright::eval
