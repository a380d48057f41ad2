// SPDX-License-Identifier: MIT
#pragma once

#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "engine/eval/value.h"

namespace spanwright::eval {

/// The formulas of one sheet, each compiled once by muParser (optimiser off) from fully parenthesised
/// coherent-SI text, and evaluated for any member: scalar by muParser, arrays by blocks over its byte
/// code. Formulas are compiled when first needed. One program serves one thread at a time.
class Program {
public:
    explicit Program(std::shared_ptr<const meaning::Sheet> sheet);
    ~Program();
    Program(Program&&) noexcept;
    Program& operator=(Program&&) noexcept;

    /// Works out one row from the values of the rows it reads: derive, a given's or choose's default, check
    /// (left and right), require, condition, switch, each, list (the sheet's own), beam, plot and piece
    /// (known without a number). A row whose reads are not all Known is Blocked; a row in a part that is
    /// off NotApplicable; an ask NotStated. An If needs only the branch it takes, so a read that is
    /// NotApplicable or Failed in the other branch does not matter.
    [[nodiscard]] Value evaluate(meaning::QuantityId row, const MemberValues& values);

    /// The same into the row's place in `values`; true if it came out another than it was (see sameValue()).
    /// Quicker than evaluate(): a single number that stays one is only written where it differs.
    bool update(meaning::QuantityId row, MemberValues& values);

    /// A value that the job states for an ask, given or choose: checks it against `from ... to ...` and
    /// gives Failed with a diagnostic when outside.
    [[nodiscard]] Value stated(meaning::QuantityId row, Value value, const MemberValues& values);

    /// In sample(), scalar() and trace(), axisRows[i] is the row of the i-th of the root expression's own axes
    /// (Expr::axes, in their order).
    /// Evaluates a range body at n places: for plots. `axisRows` chooses a row of each axis of the body
    /// (in the order of its Expr::axes); left empty, every case is evaluated, out[case*x.size() + i], cases
    /// row-major. False (and `out` empty) if the body has no value at one of the places.
    [[nodiscard]] bool sample(meaning::ExprId body, std::uint32_t slot, const std::vector<double>& x, const std::vector<std::size_t>& axisRows,
                              const MemberValues& values, std::vector<double>& out);
    /// One number of any formula of the sheet; `axisRows` as above, one for each axis of the expression.
    [[nodiscard]] std::optional<double> scalar(meaning::ExprId expr, const std::vector<std::size_t>& axisRows, const MemberValues& values);

    /// What every node of a formula came to, for one case, by walking the typed tree: the working, and the
    /// name of the first operation that made no number. Not the fast path; a second opinion on it. Inside a
    /// largest or smallest the steps are those of the row or place that governs; inside an integral, a sum
    /// and other reductions there are none. `axisRows`: as for scalar().
    struct Trace {
        struct Step {
            bool visited = false; ///< false: in a branch not taken
            double value = 0.0;
            int branch = -1;      ///< If: 0 or 1
            double place = 0.0;   ///< Span: where the largest was; TableField: row index
            bool sampled = false; ///< Span: looked for at samples; false: only where it may turn, as beams say, or nowhere
        };
        std::vector<Step> steps; ///< by ExprId
        /// Functions of the sheet that were called, outer ones first, each once for the same arguments.
        struct Call {
            meaning::ExprId call; ///< the first such node
            std::vector<double> arguments;
            double value = 0.0;
            std::vector<std::pair<meaning::ExprId, Step>> body; ///< what the nodes of its body came to
        };
        std::vector<Call> calls;
        std::shared_ptr<const diag::Diagnostic> problem;
    };
    [[nodiscard]] Trace trace(meaning::ExprId root, const std::vector<std::size_t>& axisRows, const MemberValues& values);

    /// Blocks on or off (on when made): off, lanes are evaluated one by one. The numbers are the same, bit
    /// for bit; this is for tests and benchmarks.
    void useBlocks(bool on);

    /// The text given to muParser, for the curious and for tests.
    [[nodiscard]] std::string compiledText(meaning::ExprId expr);
    /// Counts of formulas evaluated since construction (scalar calls, block lanes), for benchmarks.
    struct Counts {
        std::uint64_t scalar = 0, lanes = 0, compiled = 0;
    };
    [[nodiscard]] Counts counts() const;

private:
    struct Impl;
    std::unique_ptr<Impl> m_impl;
};

/// A link between members, compiled.
class LinkProgram {
public:
    explicit LinkProgram(std::shared_ptr<const meaning::Link> link);
    ~LinkProgram();
    LinkProgram(LinkProgram&&) noexcept;
    LinkProgram& operator=(LinkProgram&&) noexcept;
    /// `references[i]` is the value of link.references[i]. A link takes numbers without cases; a value with
    /// cases is refused with a diagnostic that says to reduce it in the sheet (largest(..., over ...)).
    /// Blocked (blockedBy invalid) when a reference that is reached is not known; `problem` is then that
    /// reference's own. A link knows its row but not its file: who calls fills in diag::Place::file.
    [[nodiscard]] Value evaluate(const std::vector<const Value*>& references);

private:
    struct Impl;
    std::unique_ptr<Impl> m_impl;
};

} // namespace spanwright::eval
