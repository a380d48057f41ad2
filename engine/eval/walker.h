// SPDX-License-Identifier: MIT
#pragma once

#include <cstdint>
#include <utility>
#include <vector>

#include "engine/eval/engine.h"

namespace spanwright::eval {

/// What one node of a tree came to.
struct WalkStep {
    bool visited = false;
    double value = 0.0;
    int branch = -1;
    double place = 0.0;
    bool sampled = false;
};

/// A function of the sheet that was called on the way, with what the nodes of its body came to then.
struct WalkCall {
    meaning::ExprId call;
    std::vector<double> arguments;
    double value = 0.0;
    bool done = false; ///< false: the walk broke off inside
    std::vector<std::pair<meaning::ExprId, WalkStep>> body;
};
inline constexpr std::size_t kMostCallsKept = 60;

/// Evaluates the typed tree itself, operation by operation, without muParser and without byte code: slow,
/// but it knows where each number was written. Gives the working its numbers and names the first operation
/// that makes none (through Engine::fail). Works in the engine's present scope.
class Walker {
public:
    /// With `steps`, what every node came to; with `calls` too, the functions called, outer ones first, each
    /// once for the same arguments.
    explicit Walker(Engine& engine, std::vector<WalkStep>* steps = nullptr, std::vector<WalkCall>* calls = nullptr)
        : m_engine(engine), m_steps(steps), m_calls(calls) {}
    /// Stops where the engine has failed.
    double walk(meaning::ExprId id);

private:
    double node(meaning::ExprId id);
    double leaf(meaning::ExprId id, const meaning::Expr& e);
    double binary(meaning::ExprId id, double a, double b);
    double power(meaning::ExprId id, double base, double exponent);
    double builtin(meaning::ExprId id, const meaning::Expr& e);
    double call(meaning::ExprId id, const meaning::Expr& e);
    double reduce(meaning::ExprId id, const meaning::Expr& e);
    double checked(meaning::ExprId id, double v);
    void invalid(meaning::ExprId id, std::string message, std::string mend);
    void divisionByZero(meaning::ExprId id, std::string message, std::string mend);
    double userCall(meaning::ExprId id, const meaning::Expr& e, std::vector<double> arguments);
    [[nodiscard]] std::string named(meaning::ExprId id, double v) const;

    Engine& m_engine;
    std::vector<WalkStep>* m_steps;
    std::vector<WalkCall>* m_calls;
};

} // namespace spanwright::eval
