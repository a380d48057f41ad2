// SPDX-License-Identifier: MIT
#pragma once

#include <cstddef>
#include <memory>
#include <string>

#include "engine/eval/code.h"

namespace spanwright::eval {

/// muParser, optimiser off, as the compiler of formulas. One parser object compiles one text after the
/// other; what it makes of each is copied out of its public byte code. Before a code is handed out, the
/// parser evaluates the text twice with invented numbers and runOnce() must give the same bits, so that a
/// code which does not mean what muParser means never leaves.
///
/// The text uses `v0`, `v1` ... for leaves, `o0(...)`, `o1(...)` ... for call-outs, numbers, + - * / ( ),
/// comparisons, && || ?: and the functions of knownFunctions(). Not thread-safe; one per thread is fine.
class Compiler {
public:
    Compiler();
    ~Compiler();
    Compiler(const Compiler&) = delete;
    Compiler& operator=(const Compiler&) = delete;

    /// One for each thread, made when first asked for: programs and links share it, for a parser with its
    /// names is some 60 kB.
    [[nodiscard]] static Compiler& ofThisThread();

    /// Empty text on success, else what went wrong (a fault of the program, not of a sheet's author).
    [[nodiscard]] std::string compile(const std::string& text, std::uint32_t leafCount, std::uint32_t callOutCount, Code& out);

    /// muParser's own result for a text without call-outs: for tests.
    [[nodiscard]] double evaluate(const std::string& text, const double* leaves, std::uint32_t leafCount);

private:
    struct Impl;
    std::unique_ptr<Impl> m_impl;
};

/// Most leaves and call-outs of one text; longer formulas are cut into parts before.
inline constexpr std::uint32_t kMostLeaves = 4096;
/// muParser refuses texts of 20,000 bytes.
inline constexpr std::size_t kMostText = 19'000;

} // namespace spanwright::eval
