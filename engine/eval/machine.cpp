// SPDX-License-Identifier: MIT
#include "engine/eval/machine.h"

#include <algorithm>
#include <cfenv>
#include <cmath>
#include <memory>

namespace spanwright::eval {

namespace {

/// The top of the stack lives in a register, the rest in `stack`.
template <bool Checked> double run(const Code& code, const double* frame, const std::uint8_t* missing, Host& host, std::int64_t& reached, double* stack) {
    double top = 0.0;
    const Step* const base = code.steps.data();
    const Step* const end = base + code.steps.size();
    for (const Step* s = base; s != end; ++s) {
        if constexpr (Checked) {
            const bool reads = s->what == Do::Leaf || (s->what >= Do::AddLeaf && s->what <= Do::DivideLeaf);
            if (reads && missing[s->index] != 0) {
                reached = s->index;
                return 0.0;
            }
        }
        switch (s->what) {
        case Do::Leaf:
            *stack++ = top;
            top = frame[s->index];
            break;
        case Do::Constant:
            *stack++ = top;
            top = s->value;
            break;
        case Do::Add: top = *--stack + top; break;
        case Do::Subtract: top = *--stack - top; break;
        case Do::Multiply: top = *--stack * top; break;
        case Do::Divide: top = *--stack / top; break;
        case Do::AddLeaf: top = top + frame[s->index]; break;
        case Do::SubtractLeaf: top = top - frame[s->index]; break;
        case Do::MultiplyLeaf: top = top * frame[s->index]; break;
        case Do::DivideLeaf: top = top / frame[s->index]; break;
        case Do::AddConstant: top = top + s->value; break;
        case Do::SubtractConstant: top = top - s->value; break;
        case Do::MultiplyConstant: top = top * s->value; break;
        case Do::DivideConstant: top = top / s->value; break;
        case Do::Less: top = *--stack < top ? 1.0 : 0.0; break;
        case Do::LessEqual: top = *--stack <= top ? 1.0 : 0.0; break;
        case Do::Greater: top = *--stack > top ? 1.0 : 0.0; break;
        case Do::GreaterEqual: top = *--stack >= top ? 1.0 : 0.0; break;
        case Do::Equal: top = *--stack == top ? 1.0 : 0.0; break;
        case Do::NotEqual: top = *--stack != top ? 1.0 : 0.0; break;
        case Do::And: {
            const double left = *--stack;
            top = (left != 0.0 && top != 0.0) ? 1.0 : 0.0;
            break;
        }
        case Do::Or: {
            const double left = *--stack;
            top = (left != 0.0 || top != 0.0) ? 1.0 : 0.0;
            break;
        }
        case Do::If: {
            const bool taken = top != 0.0;
            top = *--stack;
            if (!taken) s = base + s->index - 1;
            break;
        }
        case Do::Else: s = base + s->index - 1; break;
        case Do::EndIf: break;
        case Do::Negate: top = -top; break;
        case Do::Abs: top = std::fabs(top); break;
        case Do::Sqrt: top = std::sqrt(top); break;
        case Do::Square: top = top * top; break;
        case Do::Cube: top = top * top * top; break;
        case Do::Fourth: top = top * top * top * top; break;
        case Do::Fifth: top = top * top * top * top * top; break;
        case Do::Min: {
            const double left = *--stack;
            top = top < left ? top : left;
            break;
        }
        case Do::Max: {
            const double left = *--stack;
            top = left < top ? top : left;
            break;
        }
        case Do::Call1: top = s->call1(top); break;
        case Do::Call2: top = s->call2(*--stack, top); break;
        case Do::CallOut:
            *stack++ = top;
            stack -= s->count;
            top = host.callOut(s->index, stack, s->count);
            if (host.failed()) return 0.0;
            break;
        }
    }
    return top;
}

} // namespace

double runOnce(const Code& code, const double* frame, const std::uint8_t* missing, Host& host, std::int64_t& reached) {
    constexpr std::uint32_t kSmall = 32;
    double small[kSmall];
    std::unique_ptr<double[]> large;
    double* stack = small;
    if (code.depth >= kSmall) {
        large = std::make_unique<double[]>(code.depth + 1);
        stack = large.get();
    }
    return missing == nullptr ? run<false>(code, frame, nullptr, host, reached, stack) : run<true>(code, frame, missing, host, reached, stack);
}

namespace calls {

double power(double base, double exponent) {
    if (base == 0.0 && exponent == 0.0) std::feraiseexcept(FE_INVALID);
    return std::pow(base, exponent);
}

namespace {

/// 1.1/0.1 is a little above 11 in binary: what is a whole number to 1e-9 counts as that number.
bool isWhole(double v, double& whole) {
    whole = std::round(v);
    return std::fabs(v - whole) <= 1e-9 * std::max(1.0, std::fabs(whole));
}

} // namespace

double down(double v) {
    double whole = 0.0;
    return isWhole(v, whole) ? whole : std::floor(v);
}

double up(double v) {
    double whole = 0.0;
    return isWhole(v, whole) ? whole : std::ceil(v);
}

double roundUp(double v) { return v < 0.0 ? down(v) : up(v); }

double roundHalfAway(double v) { return std::round(v); }

} // namespace calls

} // namespace spanwright::eval
