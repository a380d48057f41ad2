// SPDX-License-Identifier: MIT
#pragma once

#include <cstdint>
#include <memory>
#include <string>
#include <vector>

#include "engine/base/ids.h"
#include "engine/base/span.h"
#include "engine/syntax/document.h"
#include "engine/units/unit.h"

namespace spanwright::meaning {

struct QuantityTag {};
struct ExprTag {};
struct TableTag {};
struct FunctionTag {};
using QuantityId = base::Id<QuantityTag>;   ///< a row of a sheet that has a value
using ExprId = base::Id<ExprTag>;           ///< a node in an ExprPool
using TableId = base::Id<TableTag>;         ///< a static table of a sheet
using FunctionId = base::Id<FunctionTag>;   ///< a `define` of a sheet

enum class Type : std::uint8_t { Number, Truth, Text, Row /* a chosen row, compares by its key */, Nothing };

enum class ExprKind : std::uint8_t {
    Constant,      ///< value: SI number, text id, or 0/1
    Quantity,      ///< quantity
    External,      ///< index: n-th reference of a link formula (another member's row, a job's given)
    Bound,         ///< index: slot of a range variable or a function's parameter
    ChoiceField,   ///< quantity (a choose row), index = column
    ChoiceKey,     ///< quantity (a choose row): text id of its key
    AxisField,     ///< quantity (an each row), index = column
    AxisKey,       ///< quantity (an each row): text id of the row's key
    Negate, Not,
    Add, Subtract, Multiply, Divide,
    Power,         ///< children base, exponent; `power` holds the exact exponent when it is a literal
    Less, LessEqual, Greater, GreaterEqual, Equal, NotEqual,   ///< numbers; Equal/NotEqual also texts and truths
    And, Or,       ///< both sides evaluated
    If,            ///< condition, then, else: only the branch taken is evaluated
    Builtin,       ///< builtin, children
    UserCall,      ///< function, children = arguments
    TableField,    ///< table, index = column, how = Exact|Interpolate|AtOrBelow, children = keys
    MatrixField,   ///< table, children = row key, column key
    Reduce,        ///< reduce, axis; children[0] evaluated for every row of that axis
    Span,          ///< range, index = slot; children[0] = body, children[1..] = points (ends and kinks)
    BeamValue,     ///< quantity (a beam row), beamValue, children[0] = x or support number, factors
};

enum class Builtin : std::uint8_t { Min, Max, Abs, Sqrt, Cbrt, Exp, Ln, Log10, Sin, Cos, Tan, Asin, Acos, Atan, Atan2, Floor, Ceil, Round, RoundUp };
enum class Lookup : std::uint8_t { Exact, Interpolate, AtOrBelow };
enum class Reduction : std::uint8_t { Largest, Smallest, Sum, Count, All, Any, WhereLargest /* text id of the row's key */ };
enum class RangeOp : std::uint8_t { Integral, Largest, Smallest, WhereLargest, WhereSmallest, Root };
/// Greatest magnitude over load arrangements unless Most (algebraically largest) or Least is said.
enum class BeamOutput : std::uint8_t { M, MMost, MLeast, V, VMost, VLeast, W, WMost, WLeast, R, RMost, RLeast, Residual };

/// Whose factors turn loads by action into one number.
struct Factors {
    enum class From : std::uint8_t { OneAction, Axis, Choice, All /* every action once */ };
    From from = From::All;
    std::uint32_t action = 0;               ///< OneAction: index into the beam's actions
    QuantityId row;                         ///< Axis: each row; Choice: choose row
    std::vector<std::uint32_t> columns;     ///< per action of the beam: its column in that table
};

/// One typed node. Everything static is known here: no number has been computed yet.
struct Expr {
    ExprKind kind = ExprKind::Constant;
    Type type = Type::Number;
    units::Dimension dimension;
    syntax::Tag tag = syntax::Tag::None;
    std::vector<QuantityId> axes;           ///< each rows that it varies with, ascending
    double value = 0.0;
    std::uint32_t index = 0;
    QuantityId quantity;
    FunctionId function;
    TableId table;
    Builtin builtin{};
    Lookup how{};
    Reduction reduce{};
    RangeOp range{};
    BeamOutput beamValue{};
    Factors factors;
    units::Rational power{0, 0};            ///< den 0: the exponent is not a literal
    std::vector<ExprId> children;
    // where it was written, for diagnostics and typesetting
    std::uint32_t row = 0;                  ///< document row
    base::ByteSpan span;                    ///< whole
    base::ByteSpan mark;                    ///< the operator or name
    units::Unit writtenUnit;                ///< Constant: unit as written, for the working
    std::string writtenText;                ///< Constant: literal as written; Bound: variable's name; names as written
};

/// Typed trees, flat. Children stand before parents.
struct ExprPool {
    std::vector<Expr> nodes;
    [[nodiscard]] const Expr& at(ExprId id) const { return nodes[id.index()]; }
};

} // namespace spanwright::meaning
