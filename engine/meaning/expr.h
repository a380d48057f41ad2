// SPDX-License-Identifier: MIT
#pragma once

#include <cstdint>
#include <initializer_list>
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
using QuantityId = base::Id<QuantityTag>; ///< a row of a sheet that has a value
using ExprId = base::Id<ExprTag>;         ///< a node in an ExprPool
using TableId = base::Id<TableTag>;       ///< a static table of a sheet
using FunctionId = base::Id<FunctionTag>; ///< a `define` of a sheet

enum class Type : std::uint8_t { Number, Truth, Text, Row /* a chosen row, compares by its key */, Nothing };

enum class ExprKind : std::uint8_t {
    Constant,    ///< value: SI number, text id, or 0/1
    Quantity,    ///< quantity
    External,    ///< index: n-th reference of a link formula (another member's row, a job's given)
    Bound,       ///< index: slot of a range variable or a function's parameter
    ChoiceField, ///< quantity (a choose row), index = column
    ChoiceKey,   ///< quantity (a choose row): text id of its key
    AxisField,   ///< quantity (an each row), index = column
    AxisKey,     ///< quantity (an each row): text id of the row's key
    Negate,
    Not,
    Add,
    Subtract,
    Multiply,
    Divide,
    Power, ///< children base, exponent; `power` holds the exact exponent when it is a literal
    Less,
    LessEqual,
    Greater,
    GreaterEqual,
    Equal,
    NotEqual, ///< numbers; Equal/NotEqual also texts and truths
    And,
    Or,          ///< both sides evaluated
    If,          ///< condition, then, else: only the branch taken is evaluated
    Builtin,     ///< builtin, children
    UserCall,    ///< function, children = arguments
    TableField,  ///< table, index = column, how = Exact|Interpolate|AtOrBelow, children = keys; `quantity` valid: that
                 ///< list row's table as the member has it, instead of the sheet's own
    MatrixField, ///< table, children = row key, column key
    Reduce,      ///< reduce, quantity = the each row; children[0] evaluated for every row of that axis
    Span,        ///< range, index = slot; children[0] = body, children[1..] = points (ends and kinks)
    BeamValue,   ///< quantity (a beam row), beamValue, children[0] = x or support number (none for Residual), factors
};

enum class Builtin : std::uint8_t { Min, Max, Abs, Sqrt, Cbrt, Exp, Ln, Log10, Sin, Cos, Tan, Asin, Acos, Atan, Atan2, Floor, Ceil, Round, RoundUp };
enum class Lookup : std::uint8_t { Exact, Interpolate, AtOrBelow };
enum class Reduction : std::uint8_t { Largest, Smallest, Sum, Count, All, Any, WhereLargest /* text id of the row's key */ };
enum class RangeOp : std::uint8_t { Integral, Largest, Smallest, WhereLargest, WhereSmallest, Root };
/// Greatest magnitude over load arrangements unless Most (algebraically largest) or Least is said.
enum class BeamOutput : std::uint8_t {
    M,
    MMost,
    MLeast,
    V,
    VMost,
    VLeast,
    VWeb,
    VWebMost,
    VWebLeast,
    W,
    WMost,
    WLeast,
    R,
    RMost,
    RLeast,
    Holding,
    HoldingMost,
    HoldingLeast,
    Residual
};

/// Whose factors turn loads by action into one number.
struct Factors {
    enum class From : std::uint8_t { OneAction, Axis, Choice, All /* every action once */ };
    From from = From::All;
    std::uint32_t action = 0;           ///< OneAction: index into the beam's actions
    QuantityId row;                     ///< Axis: each row; Choice: choose row
    std::vector<std::uint32_t> columns; ///< Axis, Choice: per action of the beam, its column in that table
};

/// A value that many nodes share, kept by the pool that made it (and by copies of that pool); reads like
/// the value itself.
template <class T> class Shared {
public:
    Shared() : m_value(&nothing()) {}
    explicit Shared(const T* value) : m_value(value) {}
    operator const T&() const { return *m_value; } // NOLINT(google-explicit-constructor)
    const T& operator*() const { return *m_value; }
    const T* operator->() const { return m_value; }
    [[nodiscard]] const T& get() const { return *m_value; }
    /// Same object: quick, and within one pool the same as equal.
    [[nodiscard]] bool is(Shared o) const { return m_value == o.m_value; }
    friend bool operator==(const Shared& a, const Shared& b) { return a.m_value == b.m_value || *a.m_value == *b.m_value; }
    friend bool operator==(const Shared& a, const T& b) { return *a.m_value == b; }

private:
    static const T& nothing() {
        static const T none{};
        return none;
    }
    const T* m_value;
};

class SharedDimension : public Shared<units::Dimension> {
public:
    using Shared::Shared;
    [[nodiscard]] bool isNumber() const { return get().isNumber(); }
    [[nodiscard]] std::string text() const { return get().text(); }
    [[nodiscard]] units::Rational power(units::Base b) const { return get().power(b); }
};

class SharedAxes : public Shared<std::vector<QuantityId>> {
public:
    using Shared::Shared;
    [[nodiscard]] std::size_t size() const { return get().size(); }
    [[nodiscard]] bool empty() const { return get().empty(); }
    [[nodiscard]] auto begin() const { return get().begin(); }
    [[nodiscard]] auto end() const { return get().end(); }
    [[nodiscard]] QuantityId operator[](std::size_t i) const { return get()[i]; }
};

/// The children of a node: up to three in place, more on the heap. Reads like a vector.
class ChildList {
public:
    ChildList() = default;
    ChildList(std::initializer_list<ExprId> ids) {
        for (ExprId id : ids) push_back(id);
    }
    ChildList(const ChildList& o) : m_size(o.m_size), m_few{o.m_few[0], o.m_few[1], o.m_few[2]} {
        if (o.m_many) m_many = std::make_unique<std::vector<ExprId>>(*o.m_many);
    }
    ChildList(ChildList&& o) noexcept : m_size(o.m_size), m_few{o.m_few[0], o.m_few[1], o.m_few[2]}, m_many(std::move(o.m_many)) { o.m_size = 0; }
    ChildList& operator=(ChildList o) noexcept {
        m_size = o.m_size;
        for (std::size_t i = 0; i < kFew; ++i) m_few[i] = o.m_few[i];
        m_many = std::move(o.m_many);
        return *this;
    }
    ~ChildList() = default;
    void push_back(ExprId id) { // NOLINT(readability-identifier-naming): reads like a vector
        if (m_size < kFew) {
            m_few[m_size] = id;
        } else {
            if (!m_many) m_many = std::make_unique<std::vector<ExprId>>(m_few, m_few + kFew);
            m_many->push_back(id);
        }
        ++m_size;
    }
    operator std::vector<ExprId>() const { return {begin(), end()}; } // NOLINT(google-explicit-constructor)
    [[nodiscard]] std::size_t size() const { return m_size; }
    [[nodiscard]] bool empty() const { return m_size == 0; }
    [[nodiscard]] const ExprId* data() const { return m_many ? m_many->data() : m_few; }
    [[nodiscard]] const ExprId* begin() const { return data(); }
    [[nodiscard]] const ExprId* end() const { return data() + m_size; }
    [[nodiscard]] ExprId operator[](std::size_t i) const { return data()[i]; }
    [[nodiscard]] ExprId front() const { return data()[0]; }
    [[nodiscard]] ExprId back() const { return data()[m_size - 1]; }

private:
    static constexpr std::size_t kFew = 3;
    std::uint32_t m_size = 0;
    ExprId m_few[kFew];
    std::unique_ptr<std::vector<ExprId>> m_many;
};

/// One typed node. Everything static is known here: no number has been computed yet. Kept small: a sheet
/// of 100,000 rows has a million of them.
struct Expr {
    ExprKind kind = ExprKind::Constant;
    Type type = Type::Number;
    syntax::Tag tag = syntax::Tag::None;
    Builtin builtin{};
    Lookup how{};
    Reduction reduce{};
    RangeOp range{};
    BeamOutput beamValue{};
    std::uint32_t index = 0;
    double value = 0.0;
    SharedDimension dimension;
    SharedAxes axes; ///< each rows that it varies with, ascending
    QuantityId quantity;
    FunctionId function;
    TableId table;
    units::Rational power{0, 0}; ///< den 0: the exponent is not a literal
    // where it was written, for diagnostics and typesetting
    std::uint32_t row = 0; ///< document row
    base::ByteSpan span;   ///< whole
    base::ByteSpan mark;   ///< the operator or name
    ChildList children;
    Factors factors;
    Shared<units::Unit> writtenUnit; ///< Constant: unit as written, for the working
    std::string writtenText;         ///< Constant: literal as written ("pi" too); Bound: variable's name
};

/// Typed trees, flat. Children stand before parents.
struct ExprPool {
    std::vector<Expr> nodes;
    std::shared_ptr<const void> keep; ///< what the nodes share
    [[nodiscard]] const Expr& at(ExprId id) const { return nodes[id.index()]; }
};

} // namespace spanwright::meaning
