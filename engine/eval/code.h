// SPDX-License-Identifier: MIT
#pragma once

#include <cstddef>
#include <cstdint>
#include <vector>

namespace spanwright::eval {

/// One step of a compiled formula: muParser's byte code in its own order (postfix), with pointers into
/// the parser replaced by numbers, so that it lives on without the parser and runs over any frame.
enum class Do : std::uint8_t {
    Leaf,     ///< push frame[index]
    Constant, ///< push value
    Add,
    Subtract,
    Multiply,
    Divide,
    AddLeaf, ///< the top and frame[index]: a Leaf and the operation behind it in one step
    SubtractLeaf,
    MultiplyLeaf,
    DivideLeaf,
    AddConstant, ///< the top and value
    SubtractConstant,
    MultiplyConstant,
    DivideConstant,
    Less,
    LessEqual,
    Greater,
    GreaterEqual,
    Equal,
    NotEqual,
    And,
    Or,
    If,   ///< pop the condition; false: go on at step `index` (just behind the Else)
    Else, ///< go on at step `index` (the EndIf)
    EndIf,
    Negate,
    Abs,
    Sqrt,
    Square,
    Cube,
    Fourth,
    Fifth,
    Min,
    Max,
    Call1,
    Call2,   ///< a library function of one or two numbers
    CallOut, ///< the host works out call-out `index` from `count` arguments
};

/// The plain operation of a joined one: `first` is AddLeaf or AddConstant, whichever `what` belongs to.
[[nodiscard]] inline Do arithmetic(Do what, Do first) { return static_cast<Do>(static_cast<int>(Do::Add) + static_cast<int>(what) - static_cast<int>(first)); }

struct Step {
    Do what{};
    std::uint16_t count = 0;
    std::uint32_t index = 0;
    union {
        double value;
        double (*call1)(double);
        double (*call2)(double, double);
    };
    Step() : value(0.0) {}
};

struct Code {
    std::vector<Step> steps;
    std::uint32_t depth = 0; ///< most numbers on the stack at once
    /// Whatever raises a flag on the way leaves the result an infinity or no number, because no step can turn
    /// those into a number again (as 1/inf, a comparison or min can). Then looking at the result is enough.
    bool carries = false;
};

/// What one lane of a block operand is: `one` for all lanes, or one each.
struct Operand {
    const double* data = nullptr;
    bool one = false;
    [[nodiscard]] double at(std::size_t lane) const { return one ? *data : data[lane]; }
};

/// Works out what muParser cannot: look-ups, reductions, ranges, functions of the sheet, beams.
class Host {
public:
    virtual ~Host() = default;
    /// Sets failed() and gives 0 when there is no answer.
    virtual double callOut(std::uint32_t index, const double* arguments, std::uint32_t count) = 0;
    /// For n lanes. Where `mask` is given, only lanes with mask[i] != 0 count: the others may hold
    /// anything and must not fail. False if a lane that counts failed.
    virtual bool callOutBlock(std::uint32_t index, const Operand* arguments, std::uint32_t count, std::size_t n, const std::uint8_t* mask, double* out) = 0;
    [[nodiscard]] bool failed() const { return *m_failed; }

protected:
    explicit Host(const bool* failed) : m_failed(failed) {}

private:
    const bool* m_failed;
};

} // namespace spanwright::eval
