// SPDX-License-Identifier: MIT
// The only source file that knows muParser.
#include "engine/eval/muparser.h"

#include <muParserBase.h>

#include <algorithm>
#include <charconv>
#include <cmath>
#include <cstring>
#include <vector>

#include "engine/eval/flags.h"
#include "engine/eval/machine.h"

namespace spanwright::eval {

namespace {

double negate(double v) { return -v; }
double absolute(double v) { return std::fabs(v); }
double squareRoot(double v) { return std::sqrt(v); }
double square(double v) { return v * v; }
double cube(double v) { return v * v * v; }
double fourth(double v) { return v * v * v * v; }
double fifth(double v) { return v * v * v * v * v; }
double least(double a, double b) { return b < a ? b : a; }
double most(double a, double b) { return a < b ? b : a; }
double cubeRoot(double v) { return std::cbrt(v); }
double exponential(double v) { return std::exp(v); }
double naturalLog(double v) { return std::log(v); }
double commonLog(double v) { return std::log10(v); }
double sine(double v) { return std::sin(v); }
double cosine(double v) { return std::cos(v); }
double tangent(double v) { return std::tan(v); }
double arcSine(double v) { return std::asin(v); }
double arcCosine(double v) { return std::acos(v); }
double arcTangent(double v) { return std::atan(v); }
double arcTangent2(double y, double x) { return std::atan2(y, x); }

struct Known1 {
    const char* name;
    double (*call)(double);
    Do what;
};
constexpr Known1 kKnown1[] = {
    {"abs", absolute, Do::Abs},
    {"sqrt", squareRoot, Do::Sqrt},
    {"p2", square, Do::Square},
    {"p3", cube, Do::Cube},
    {"p4", fourth, Do::Fourth},
    {"p5", fifth, Do::Fifth},
    {"cbrt", cubeRoot, Do::Call1},
    {"exp", exponential, Do::Call1},
    {"ln", naturalLog, Do::Call1},
    {"log10", commonLog, Do::Call1},
    {"sin", sine, Do::Call1},
    {"cos", cosine, Do::Call1},
    {"tan", tangent, Do::Call1},
    {"asin", arcSine, Do::Call1},
    {"acos", arcCosine, Do::Call1},
    {"atan", arcTangent, Do::Call1},
    {"floor", calls::down, Do::Call1},
    {"ceil", calls::up, Do::Call1},
    {"round", calls::roundHalfAway, Do::Call1},
    {"round_up", calls::roundUp, Do::Call1},
};
struct Known2 {
    const char* name;
    double (*call)(double, double);
    Do what;
};
constexpr Known2 kKnown2[] = {{"min", least, Do::Min}, {"max", most, Do::Max}, {"pw", calls::power, Do::Call2}, {"atan2", arcTangent2, Do::Call2}};

/// Reads a number by std::from_chars: no locale, no stream, correctly rounded.
int readNumber(const char* text, int* position, double* value) {
    if (!((*text >= '0' && *text <= '9') || *text == '.')) return 0;
    std::size_t length = std::strspn(text, "0123456789.");
    if (text[length] == 'e') {
        const std::size_t sign = (text[length + 1] == '-' || text[length + 1] == '+') ? 1 : 0;
        const std::size_t digits = std::strspn(text + length + 1 + sign, "0123456789");
        if (digits > 0) length += 1 + sign + digits;
    }
    const std::from_chars_result r = std::from_chars(text, text + length, *value);
    if (r.ec != std::errc() || r.ptr != text + length) return 0;
    *position += static_cast<int>(length);
    return 1;
}

/// A parser with nothing in it but what our texts use.
class Parser : public mu::ParserBase {
public:
    Parser() {
        AddValIdent(readNumber);
        InitCharSets();
        InitFun();
        InitOprt();
        EnableOptimizer(false);
    }

protected:
    void InitCharSets() override {
        DefineNameChars("0123456789abcdefghijklmnopqrstuvwxyz_");
        DefineOprtChars("+-*/?<>=!&|");
        DefineInfixOprtChars("-");
    }
    void InitFun() override {
        for (const Known1& k : kKnown1) DefineFun(k.name, k.call, false);
        for (const Known2& k : kKnown2) DefineFun(k.name, k.call, false);
    }
    void InitConst() override {}
    void InitOprt() override { DefineInfixOprt("-", negate, mu::prINFIX, false); }
};

/// What a call-out gives while a text is only tried: a number that tells call-outs, order and number of
/// arguments apart.
double pretend(std::uint32_t index, const double* arguments, std::uint32_t count) {
    double v = 0.625 + index;
    for (std::uint32_t i = 0; i < count; ++i) v = v * 0.875 + arguments[i] * (i + 1.0);
    return v;
}

struct Mark {
    std::uint32_t index = 0;
};

double pretendCallback(void* mark, const double* arguments, int count) {
    return pretend(static_cast<const Mark*>(mark)->index, arguments, static_cast<std::uint32_t>(count));
}

class PretendHost final : public Host {
public:
    PretendHost() : Host(&kNever) {}
    double callOut(std::uint32_t index, const double* arguments, std::uint32_t count) override { return pretend(index, arguments, count); }
    bool callOutBlock(std::uint32_t, const Operand*, std::uint32_t, std::size_t, const std::uint8_t*, double*) override { return false; }

private:
    static constexpr bool kNever = false;
};

/// A leaf or a constant right before + - * / becomes one step with it: half the steps of a usual formula.
bool joined(std::vector<Step>& steps, const Step& next) {
    if (steps.empty() || next.what < Do::Add || next.what > Do::Divide) return false;
    Step& last = steps.back();
    const int operation = static_cast<int>(next.what) - static_cast<int>(Do::Add);
    if (last.what == Do::Leaf)
        last.what = static_cast<Do>(static_cast<int>(Do::AddLeaf) + operation);
    else if (last.what == Do::Constant)
        last.what = static_cast<Do>(static_cast<int>(Do::AddConstant) + operation);
    else
        return false;
    return true;
}

/// Infinities and NaNs that go in come out as infinities or NaNs.
bool carriesOn(const Step& s) {
    switch (s.what) {
    case Do::Leaf:
    case Do::Constant:
    case Do::Add:
    case Do::Subtract:
    case Do::Multiply:
    case Do::AddLeaf:
    case Do::SubtractLeaf:
    case Do::MultiplyLeaf:
    case Do::DivideLeaf: // the divisor is a value as it came in: what was raised on the way is in the dividend
    case Do::AddConstant:
    case Do::SubtractConstant:
    case Do::MultiplyConstant:
    case Do::DivideConstant:
    case Do::Negate:
    case Do::Abs:
    case Do::Sqrt:
    case Do::Square:
    case Do::Cube:
    case Do::Fourth:
    case Do::Fifth: return true;
    default: return false;
    }
}

bool sameBits(double a, double b) {
    if (std::isnan(a) && std::isnan(b)) return true;
    return std::memcmp(&a, &b, sizeof a) == 0;
}

} // namespace

struct Compiler::Impl {
    Parser parser;
    std::vector<double> frame = std::vector<double>(kMostLeaves, 0.0);
    std::vector<Mark> marks = std::vector<Mark>(kMostLeaves);
    std::uint32_t leaves = 0, callOuts = 0;

    void define(std::uint32_t leafCount, std::uint32_t callOutCount) {
        for (; leaves < leafCount; ++leaves) parser.DefineVar("v" + std::to_string(leaves), &frame[leaves]);
        for (; callOuts < callOutCount; ++callOuts) {
            marks[callOuts].index = callOuts;
            parser.DefineFunUserData("o" + std::to_string(callOuts), pretendCallback, &marks[callOuts], false);
        }
    }

    void invent(std::uint32_t leafCount, bool second) {
        for (std::uint32_t i = 0; i < leafCount; ++i) frame[i] = second ? 3.7 - 1.3 * i : 1.25 + 0.37 * i;
    }

    std::string translate(Code& out) const;
};

std::string Compiler::Impl::translate(Code& out) const {
    const mu::ParserByteCode& code = parser.GetByteCode();
    const mu::SToken* token = code.GetBase();
    out.steps.clear();
    out.steps.reserve(code.GetSize());
    std::int64_t depth = 0, deepest = 0;
    // The number of numbers a branch starts from: Else begins where If began.
    std::vector<std::int64_t> open;
    std::vector<std::uint32_t> stepOf; // where a token's step stands: some tokens share one
    for (std::size_t i = 0; token->Cmd != mu::cmEND; ++i, ++token) {
        Step step;
        const auto plain = [&](Do what, int taken) {
            step.what = what;
            depth += 1 - taken;
        };
        switch (token->Cmd) {
        case mu::cmLE: plain(Do::LessEqual, 2); break;
        case mu::cmGE: plain(Do::GreaterEqual, 2); break;
        case mu::cmNEQ: plain(Do::NotEqual, 2); break;
        case mu::cmEQ: plain(Do::Equal, 2); break;
        case mu::cmLT: plain(Do::Less, 2); break;
        case mu::cmGT: plain(Do::Greater, 2); break;
        case mu::cmADD: plain(Do::Add, 2); break;
        case mu::cmSUB: plain(Do::Subtract, 2); break;
        case mu::cmMUL: plain(Do::Multiply, 2); break;
        case mu::cmDIV: plain(Do::Divide, 2); break;
        case mu::cmLAND: plain(Do::And, 2); break;
        case mu::cmLOR: plain(Do::Or, 2); break;
        case mu::cmIF:
            step.what = Do::If;
            step.index = static_cast<std::uint32_t>(static_cast<std::int64_t>(i) + token->Oprt.offset + 1);
            --depth;
            open.push_back(depth);
            break;
        case mu::cmELSE:
            step.what = Do::Else;
            step.index = static_cast<std::uint32_t>(static_cast<std::int64_t>(i) + token->Oprt.offset);
            if (open.empty()) return "an else without its if";
            depth = open.back();
            break;
        case mu::cmENDIF:
            step.what = Do::EndIf;
            if (!open.empty()) open.pop_back();
            break;
        case mu::cmVAR:
            plain(Do::Leaf, 0);
            step.index = static_cast<std::uint32_t>(token->Val.ptr - frame.data());
            if (step.index >= leaves) return "a variable that is none of ours";
            break;
        case mu::cmVAL:
            plain(Do::Constant, 0);
            step.value = token->Val.data2;
            break;
        case mu::cmFUNC: {
            const mu::generic_callable_type& f = token->Fun.cb;
            const int argc = token->Fun.argc;
            if (f._pUserData != nullptr) {
                step.what = Do::CallOut;
                step.index = static_cast<const Mark*>(f._pUserData)->index;
                step.count = static_cast<std::uint16_t>(-argc); // muParser's sign for "any number of arguments"
                depth += 1 - step.count;
                break;
            }
            bool found = f._pRawFun == reinterpret_cast<mu::erased_fun_type>(negate);
            if (found) plain(Do::Negate, 1);
            for (const Known1& k : kKnown1) {
                if (found || f._pRawFun != reinterpret_cast<mu::erased_fun_type>(k.call)) continue;
                plain(k.what, 1);
                if (k.what == Do::Call1) step.call1 = k.call;
                found = true;
            }
            for (const Known2& k : kKnown2) {
                if (found || f._pRawFun != reinterpret_cast<mu::erased_fun_type>(k.call)) continue;
                plain(k.what, 2);
                if (k.what == Do::Call2) step.call2 = k.call;
                found = true;
            }
            if (!found) return "a function that is none of ours";
            break;
        }
        default: return "a step of muParser's that our texts should not need";
        }
        deepest = std::max(deepest, depth);
        if (!joined(out.steps, step)) out.steps.push_back(step);
        stepOf.push_back(static_cast<std::uint32_t>(out.steps.size() - 1));
    }
    for (Step& s : out.steps) {
        if (s.what == Do::If || s.what == Do::Else) s.index = stepOf[s.index];
    }
    out.carries = std::all_of(out.steps.begin(), out.steps.end(), carriesOn);
    out.steps.shrink_to_fit();
    if (depth != 1) return "a text that leaves more or less than one number";
    out.depth = static_cast<std::uint32_t>(deepest);
    return {};
}

Compiler::Compiler() : m_impl(std::make_unique<Impl>()) {}
Compiler::~Compiler() = default;

Compiler& Compiler::ofThisThread() {
    static thread_local Compiler compiler;
    return compiler;
}

std::string Compiler::compile(const std::string& text, std::uint32_t leafCount, std::uint32_t callOutCount, Code& out) {
    if (leafCount > kMostLeaves || callOutCount > kMostLeaves || text.size() > kMostText) return "the formula is too long for muParser";
    const unsigned flags = raisedFlags();
    std::string problem;
    try {
        m_impl->define(leafCount, callOutCount);
        m_impl->parser.SetExpr(text);
        PretendHost host;
        for (int attempt = 0; attempt < 2 && problem.empty(); ++attempt) {
            m_impl->invent(leafCount, attempt == 1);
            const double theirs = m_impl->parser.Eval();
            if (attempt == 0) problem = m_impl->translate(out);
            if (!problem.empty()) break;
            std::int64_t reached = -1;
            const double ours = runOnce(out, m_impl->frame.data(), nullptr, host, reached);
            if (!sameBits(theirs, ours)) problem = "the byte code does not give what muParser gives";
        }
    } catch (const mu::ParserError& e) { problem = e.GetMsg(); }
    if (flags == 0) clearFlags();
    return problem;
}

double Compiler::evaluate(const std::string& text, const double* leaves, std::uint32_t leafCount) {
    try {
        m_impl->define(leafCount, 0);
        for (std::uint32_t i = 0; i < leafCount; ++i) m_impl->frame[i] = leaves[i];
        m_impl->parser.SetExpr(text);
        return m_impl->parser.Eval();
    } catch (const mu::ParserError&) { return std::nan(""); }
}

} // namespace spanwright::eval
