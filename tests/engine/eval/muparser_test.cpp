// SPDX-License-Identifier: MIT
#include "engine/eval/muparser.h"

#include <doctest/doctest.h>

#include <bit>
#include <cmath>
#include <cstdint>
#include <iterator>
#include <random>

#include "engine/base/text.h"
#include "engine/eval/flags.h"
#include "engine/eval/machine.h"

using namespace spanwright::eval;

namespace {

class NoHost final : public Host {
public:
    NoHost() : Host(&m_never) {}
    double callOut(std::uint32_t, const double*, std::uint32_t) override { return 0.0; }
    bool callOutBlock(std::uint32_t, const Operand*, std::uint32_t, std::size_t, const std::uint8_t*, double*) override { return false; }

private:
    bool m_never = false;
};

bool alike(double a, double b) { return (std::isnan(a) && std::isnan(b)) || std::bit_cast<std::uint64_t>(a) == std::bit_cast<std::uint64_t>(b); }

/// Random texts of everything but call-outs.
class TextMaker {
public:
    explicit TextMaker(std::uint32_t seed) : m_random(seed) {}
    std::string number(int depth) {
        const auto pick = m_random() % (depth <= 0 ? 2 : 12);
        switch (pick) {
        case 0: return "v" + std::to_string(m_random() % 6);
        case 1: return spanwright::base::shortest(static_cast<double>(m_random() % 100'000) / 977.0);
        case 2: return "(-" + number(depth - 1) + ")";
        case 3: return "(" + number(depth - 1) + "+" + number(depth - 1) + ")";
        case 4: return "(" + number(depth - 1) + "-" + number(depth - 1) + ")";
        case 5: return "(" + number(depth - 1) + "*" + number(depth - 1) + ")";
        case 6: return "(" + number(depth - 1) + "/" + number(depth - 1) + ")";
        case 7: return "(" + truth(depth - 1) + "?" + number(depth - 1) + ":" + number(depth - 1) + ")";
        case 8: return (m_random() % 2 == 0 ? "min(" : "max(") + number(depth - 1) + "," + number(depth - 1) + ")";
        case 9: return std::string(kOne[m_random() % 9]) + "(" + number(depth - 1) + ")";
        case 10: return "pw(" + number(depth - 1) + ",0.2)";
        default: return "sqrt(" + number(depth - 1) + ")";
        }
    }
    std::string truth(int depth) {
        switch (m_random() % (depth <= 0 ? 2 : 5)) {
        case 0: return "(" + number(depth - 1) + "<" + number(depth - 1) + ")";
        case 1: return "(" + number(depth - 1) + ">=" + number(depth - 1) + ")";
        case 2: return "(" + truth(depth - 1) + "&&" + truth(depth - 1) + ")";
        case 3: return "(" + truth(depth - 1) + "||" + truth(depth - 1) + ")";
        default: return "(" + truth(depth - 1) + "==0)";
        }
    }

private:
    static constexpr const char* kOne[] = {"abs", "p2", "p3", "p4", "p5", "cbrt", "exp", "sin", "floor", "round"};
    std::mt19937 m_random;
};

} // namespace

TEST_CASE("muParser's byte code, run by our loops, gives muParser's bits") {
    TextMaker maker(20240917);
    std::mt19937 random(7);
    std::uniform_real_distribution<double> some(-50.0, 50.0);
    Compiler compiler;
    NoHost host;
    int branches = 0;
    for (int round = 0; round < 3000; ++round) {
        const std::string text = maker.number(6);
        if (text.size() > kMostText) continue;
        if (text.find('?') != std::string::npos) ++branches;
        Code code;
        CAPTURE(text);
        REQUIRE(compiler.compile(text, 6, 0, code) == "");
        for (int again = 0; again < 5; ++again) {
            double leaves[6];
            for (double& v : leaves) v = some(random);
            std::int64_t reached = -1;
            const double ours = runOnce(code, leaves, nullptr, host, reached);
            REQUIRE(alike(ours, compiler.evaluate(text, leaves, 6)));
        }
    }
    CHECK(branches > 500);
}

TEST_CASE("where a code carries infinities on, its result tells as much as the flags") {
    // Leaves that make trouble: zeros, huge and tiny numbers, opposite signs.
    const double nasty[] = {0.0, -0.0, 1.0, -1.0, 1e308, -1e308, 1e-308, 1e200, 3.5, -2.25, 1e16};
    TextMaker maker(515);
    std::mt19937 random(8);
    Compiler compiler;
    NoHost host;
    int carrying = 0, raising = 0;
    for (int round = 0; round < 20'000; ++round) {
        const std::string text = maker.number(3);
        Code code;
        REQUIRE(compiler.compile(text, 6, 0, code) == "");
        if (!code.carries) continue;
        ++carrying;
        for (int again = 0; again < 8; ++again) {
            double leaves[6];
            for (double& v : leaves) v = nasty[random() % std::size(nasty)];
            std::int64_t reached = -1;
            clearFlags();
            const double v = runOnce(code, leaves, nullptr, host, reached);
            const bool raised = raisedFlags() != 0;
            CAPTURE(text);
            REQUIRE(raised == !std::isfinite(v));
            raising += raised ? 1 : 0;
        }
    }
    clearFlags();
    CHECK(carrying > 1000);
    CHECK(raising > 500);
}

TEST_CASE("the optimiser of muParser stays off") {
    Compiler compiler;
    // With it on the first is 0 and the second folds to 0.
    const double leaf = 1.0;
    CHECK(compiler.evaluate("((v0+1e+16)-1e+16)", &leaf, 1) == ((1.0 + 1e16) - 1e16));
    CHECK(compiler.evaluate("(0.5&&1)", &leaf, 1) == 1.0);
}

TEST_CASE("numbers reach muParser to the last bit, whatever the locale") {
    Compiler compiler;
    for (const double v : {0.1, 1.0 / 3.0, 5e-324, 1.7976931348623157e308, 9.80665, 6.02214076e23, 123456789012345680.0, 2.2250738585072014e-308}) {
        const double none = 0.0;
        CHECK(compiler.evaluate(spanwright::base::shortest(v), &none, 1) == v);
        CHECK(compiler.evaluate("(-" + spanwright::base::shortest(v) + ")", &none, 1) == -v);
    }
}

TEST_CASE("a text that muParser does not take is refused with its words") {
    Compiler compiler;
    Code code;
    CHECK(compiler.compile("(v0+", 1, 0, code) != "");
    CHECK(compiler.compile("v0=3", 1, 0, code) != "");
    CHECK(compiler.compile("w7", 1, 0, code) != "");
    CHECK(compiler.compile("1,2,3", 1, 0, code) != "");
    CHECK(compiler.compile(std::string(kMostText + 1, '1'), 1, 0, code) == "the formula is too long for muParser");
    // and the next one is compiled as if nothing had been
    CHECK(compiler.compile("(v0*2)", 1, 0, code) == "");
}

TEST_CASE("a branch not taken is not run") {
    Compiler compiler;
    Code code;
    REQUIRE(compiler.compile("((v0>0)?o0(v0):o1(v0))", 1, 2, code) == "");
    class Counting final : public Host {
    public:
        Counting() : Host(&m_never) {}
        double callOut(std::uint32_t index, const double* a, std::uint32_t) override {
            ++calls[index];
            return *a;
        }
        bool callOutBlock(std::uint32_t, const Operand*, std::uint32_t, std::size_t, const std::uint8_t*, double*) override { return false; }
        int calls[2] = {0, 0};

    private:
        bool m_never = false;
    } host;
    std::int64_t reached = -1;
    double leaf = 2.0;
    CHECK(runOnce(code, &leaf, nullptr, host, reached) == 2.0);
    leaf = -2.0;
    CHECK(runOnce(code, &leaf, nullptr, host, reached) == -2.0);
    CHECK(host.calls[0] == 1);
    CHECK(host.calls[1] == 1);
}

TEST_CASE("powers: zero to zero is invalid, whole steps stay whole") {
    CHECK(std::isfinite(calls::power(2.0, 0.5)));
    CHECK(calls::power(2.0, 10.0) == 1024.0);
    CHECK(calls::roundUp(-1.2) == -2.0);
    CHECK(calls::roundUp(1.2) == 2.0);
    CHECK(calls::roundHalfAway(2.5) == 3.0);
    CHECK(calls::roundHalfAway(-2.5) == -3.0);
    // 1.1/0.1 is 11.000000000000002, 0.3/0.1 is 2.9999999999999996
    CHECK(calls::roundUp(1.1 / 0.1) == 11.0);
    CHECK(calls::up(1.1 / 0.1) == 11.0);
    CHECK(calls::down(0.3 / 0.1) == 3.0);
    CHECK(calls::down(2.999) == 2.0);
    CHECK(calls::up(2.001) == 3.0);
    CHECK(calls::up(1e-12) == 0.0);
}
