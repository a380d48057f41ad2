// SPDX-License-Identifier: MIT
#pragma once

#include <functional>
#include <memory>
#include <string>
#include <vector>

#include "engine/meaning/sheet.h"

namespace spanwright::meaning {

/// A formula set in two dimensions, as neutral boxes: MathML, SVG, PDF and plain text are made of them.
struct Box {
    enum class Kind : std::uint8_t {
        Row,      ///< children side by side
        Name,     ///< text = letter(s), Greek as Greek: italic
        Number,   ///< text
        Unit,     ///< text: upright
        Operator, ///< text: + − · = ≤ ...
        Word,     ///< text: upright function name or words ("if", "max")
        Sub,      ///< children base, subscript
        Super,    ///< children base, exponent
        Fraction, ///< children above, below
        Root,     ///< children radicand, optional degree
        Fence,    ///< children inside brackets; text = "(" or "|"
        Cases,    ///< children: value, condition, value, condition ...
        Big,      ///< text "∫" or "max"; children: below, above, body
        Gray,     ///< children: a branch not taken, said as such
    };
    Kind kind = Kind::Row;
    std::string text;
    std::vector<Box> children;
};

/// "sigma_m_d" -> σ with subscript m,d. Never guesses beyond Greek letter names and underscores.
[[nodiscard]] Box typesetName(std::string_view canonical);

/// What stands for a leaf (Quantity, External, ChoiceField, AxisField, Bound, lookups), for a function of the sheet or for
/// what a beam gives when values are put in; nothing leaves the name, and the call with its arguments. Also asked for If nodes: the index of the branch taken.
struct PutIn {
    std::function<std::optional<std::string>(ExprId)> value; ///< "3.60 m"
    std::function<std::optional<int>(ExprId)> branch;        ///< 0 then, 1 else
};

/// `names`: how quantities and functions of this pool are called (Sheet or Link).
struct Naming {
    std::function<std::string(const Expr&)> leaf; ///< canonical name of a leaf or function
};
[[nodiscard]] Naming namingOf(const Sheet& sheet);
[[nodiscard]] Naming namingOf(const Link& link);

[[nodiscard]] Box typeset(const ExprPool& pool, ExprId root, const Naming& naming, const PutIn* putIn = nullptr);

/// One line of plain text, unambiguous: "w_d·L²/8", "(3.60 m)²".
[[nodiscard]] std::string plain(const Box& box);

} // namespace spanwright::meaning
