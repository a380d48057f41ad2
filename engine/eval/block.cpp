// SPDX-License-Identifier: MIT
// The block interpreter. Built with -O3 so that the loops over lanes become vector code; the widest
// instruction set that the machine has is chosen when the program starts. IEEE operations give the
// same bits at every width, and nothing is fused or reordered.
#include <algorithm>
#include <bit>
#include <cmath>
#include <memory>

#include "engine/base/widest.h"
#include "engine/eval/beam_outputs.h"
#include "engine/eval/lanes.h"
#include "engine/eval/machine.h"

namespace spanwright::eval {

namespace {

enum class Shape : std::uint8_t { ManyMany, ManyOne, OneMany };

template <class Op>
SPANWRIGHT_INLINE void both(Shape shape, const double* __restrict a, const double* __restrict b, double* __restrict out, std::size_t n, Op op) {
    if (shape == Shape::ManyMany) {
        for (std::size_t i = 0; i < n; ++i) out[i] = op(a[i], b[i]);
    } else if (shape == Shape::ManyOne) {
        const double right = *b;
        for (std::size_t i = 0; i < n; ++i) out[i] = op(a[i], right);
    } else {
        const double left = *a;
        for (std::size_t i = 0; i < n; ++i) out[i] = op(left, b[i]);
    }
}

/// One operation of two operands over n lanes; false if it is none of them.
SPANWRIGHT_WIDEST bool two(Do what, Shape shape, const double* a, const double* b, double* out, std::size_t n) {
    switch (what) {
    case Do::Add: both(shape, a, b, out, n, [](double x, double y) { return x + y; }); return true;
    case Do::Subtract: both(shape, a, b, out, n, [](double x, double y) { return x - y; }); return true;
    case Do::Multiply: both(shape, a, b, out, n, [](double x, double y) { return x * y; }); return true;
    case Do::Divide: both(shape, a, b, out, n, [](double x, double y) { return x / y; }); return true;
    case Do::Less: both(shape, a, b, out, n, [](double x, double y) { return x < y ? 1.0 : 0.0; }); return true;
    case Do::LessEqual: both(shape, a, b, out, n, [](double x, double y) { return x <= y ? 1.0 : 0.0; }); return true;
    case Do::Greater: both(shape, a, b, out, n, [](double x, double y) { return x > y ? 1.0 : 0.0; }); return true;
    case Do::GreaterEqual: both(shape, a, b, out, n, [](double x, double y) { return x >= y ? 1.0 : 0.0; }); return true;
    case Do::Equal: both(shape, a, b, out, n, [](double x, double y) { return x == y ? 1.0 : 0.0; }); return true;
    case Do::NotEqual: both(shape, a, b, out, n, [](double x, double y) { return x != y ? 1.0 : 0.0; }); return true;
    case Do::And: both(shape, a, b, out, n, [](double x, double y) { return (x != 0.0) & (y != 0.0) ? 1.0 : 0.0; }); return true;
    case Do::Or: both(shape, a, b, out, n, [](double x, double y) { return (x != 0.0) | (y != 0.0) ? 1.0 : 0.0; }); return true;
    case Do::Min: both(shape, a, b, out, n, [](double x, double y) { return y < x ? y : x; }); return true;
    case Do::Max: both(shape, a, b, out, n, [](double x, double y) { return x < y ? y : x; }); return true;
    default: return false;
    }
}

/// One operation of one operand over n lanes; false if it is none of them.
SPANWRIGHT_WIDEST bool one(Do what, const double* __restrict a, double* __restrict out, std::size_t n) {
    switch (what) {
    case Do::Negate:
        for (std::size_t i = 0; i < n; ++i) out[i] = -a[i];
        return true;
    case Do::Abs:
        for (std::size_t i = 0; i < n; ++i) out[i] = std::fabs(a[i]);
        return true;
    case Do::Sqrt:
        for (std::size_t i = 0; i < n; ++i) out[i] = std::sqrt(a[i]);
        return true;
    case Do::Square:
        for (std::size_t i = 0; i < n; ++i) out[i] = a[i] * a[i];
        return true;
    case Do::Cube:
        for (std::size_t i = 0; i < n; ++i) out[i] = a[i] * a[i] * a[i];
        return true;
    case Do::Fourth:
        for (std::size_t i = 0; i < n; ++i) out[i] = a[i] * a[i] * a[i] * a[i];
        return true;
    case Do::Fifth:
        for (std::size_t i = 0; i < n; ++i) out[i] = a[i] * a[i] * a[i] * a[i] * a[i];
        return true;
    default: return false;
    }
}

/// out[i] = yes or no, as taken[i] says.
SPANWRIGHT_WIDEST void blend(const std::uint8_t* __restrict taken, Operand yes, Operand no, double* __restrict out, std::size_t n) {
    if (!yes.one && !no.one) {
        for (std::size_t i = 0; i < n; ++i) out[i] = taken[i] != 0 ? yes.data[i] : no.data[i];
    } else {
        for (std::size_t i = 0; i < n; ++i) out[i] = taken[i] != 0 ? yes.at(i) : no.at(i);
    }
}

SPANWRIGHT_WIDEST void greatest(const double* __restrict least, const double* __restrict most, double* __restrict out, std::size_t n) {
    for (std::size_t i = 0; i < n; ++i) out[i] = most[i] >= -least[i] ? most[i] : least[i];
}

} // namespace

namespace lanes {

void binary(Do what, Operand a, Operand b, double* out, std::size_t n) {
    const Shape shape = a.one == b.one ? Shape::ManyMany : a.one ? Shape::OneMany : Shape::ManyOne;
    two(what, shape, a.data, b.data, out, a.one && b.one ? 1 : n);
}
void unary(Do what, const double* a, double* out, std::size_t n) { one(what, a, out, n); }
void choose(const std::uint8_t* taken, Operand yes, Operand no, double* out, std::size_t n) { blend(taken, yes, no, out, n); }
void pick(meaning::BeamOutput o, const double* least, const double* most, double* out, std::size_t n) {
    if (wantsMost(o))
        std::copy(most, most + n, out);
    else if (wantsLeast(o))
        std::copy(least, least + n, out);
    else
        greatest(least, most, out, n);
}

} // namespace lanes

namespace {

class Runner {
public:
    /// `out`: where the last operation may put its lanes at once.
    Runner(const Code& code, const Operand* frame, std::size_t n, Host& host, Arena& arena, double* out)
        : m_code(code), m_frame(frame), m_n(n), m_host(host), m_arena(arena), m_out(out) {
        const std::size_t levels = code.depth + 1;
        if (levels > kSmall) {
            m_large = std::make_unique<Operand[]>(levels);
            m_stack = m_large.get();
        }
        m_buffers = arena.take(levels * 2 * kLanes);
    }
    Runner(const Runner&) = delete;
    Runner& operator=(const Runner&) = delete;

    /// Steps [from, to) for the lanes of `mask`; a result is pushed above `top`.
    bool run(std::size_t from, std::size_t to, std::int64_t& top, const std::uint8_t* mask) {
        for (std::size_t at = from; at < to; ++at) {
            const Step& s = m_code.steps[at];
            switch (s.what) {
            case Do::Leaf: m_stack[++top] = m_frame[s.index]; break;
            case Do::Constant: m_stack[++top] = {&s.value, true}; break;
            case Do::Else: at = s.index - 1; break;
            case Do::EndIf: break;
            case Do::If:
                if (!branch(at, top, mask)) return false;
                break;
            case Do::Negate:
            case Do::Abs:
            case Do::Sqrt:
            case Do::Square:
            case Do::Cube:
            case Do::Fourth:
            case Do::Fifth: {
                const Operand a = m_stack[top];
                double* out = apartFrom(a.data, top);
                lanes::unary(s.what, a.data, out, a.one ? 1 : m_n);
                m_stack[top] = {out, a.one};
                break;
            }
            case Do::Call1: {
                const Operand a = m_stack[top];
                double* out = apartFrom(a.data, top);
                call1(s, a, out, mask);
                m_stack[top] = {out, a.one};
                break;
            }
            case Do::Call2: {
                --top;
                const Operand a = m_stack[top], b = m_stack[top + 1];
                double* out = apartFrom(a.data, top);
                call2(s, a, b, out, mask);
                m_stack[top] = {out, a.one && b.one};
                break;
            }
            case Do::CallOut: {
                top -= s.count;
                double* out = m_arena.take(kLanes);
                if (!m_host.callOutBlock(s.index, &m_stack[top + 1], s.count, m_n, mask, out)) return false;
                m_stack[++top] = {out, false};
                break;
            }
            default: {
                Operand b;
                Do what = s.what;
                if (what >= Do::AddLeaf && what <= Do::DivideLeaf) {
                    b = m_frame[s.index];
                    what = arithmetic(what, Do::AddLeaf);
                } else if (what >= Do::AddConstant && what <= Do::DivideConstant) {
                    b = {&s.value, true};
                    what = arithmetic(what, Do::AddConstant);
                } else {
                    b = m_stack[top--];
                }
                const Operand a = m_stack[top];
                double* out = at + 1 == m_code.steps.size() ? m_out : apartFrom(a.data, top);
                lanes::binary(what, a, b, out, m_n);
                m_stack[top] = {out, a.one && b.one};
                break;
            }
            }
        }
        return true;
    }

    [[nodiscard]] Operand result() const { return m_stack[0]; }

private:
    static constexpr std::size_t kSmall = 24;

    /// One of the two buffers of a stack level, not the one that holds the operand: the loops over lanes
    /// promise the compiler that what they write is apart from what they read.
    double* apartFrom(const double* operand, std::int64_t top) {
        double* first = m_buffers + static_cast<std::size_t>(top) * 2 * kLanes;
        return operand == first ? first + kLanes : first;
    }

    void call1(const Step& s, Operand a, double* out, const std::uint8_t* mask) const {
        const std::size_t lanes = a.one ? 1 : m_n;
        for (std::size_t i = 0; i < lanes; ++i) {
            // A lane that does not count may hold anything; library calls on it would cost time and raise flags.
            out[i] = (mask != nullptr && !a.one && mask[i] == 0) ? 0.0 : s.call1(a.data[i]);
        }
    }

    void call2(const Step& s, Operand a, Operand b, double* out, const std::uint8_t* mask) const {
        const bool one = a.one && b.one;
        const std::size_t lanes = one ? 1 : m_n;
        for (std::size_t i = 0; i < lanes; ++i) { out[i] = (mask != nullptr && !one && mask[i] == 0) ? 0.0 : s.call2(a.at(i), b.at(i)); }
    }

    /// At an If: `at` is moved to the step before the one to go on with.
    bool branch(std::size_t& at, std::int64_t& top, const std::uint8_t* mask) {
        const Step& s = m_code.steps[at];
        const Operand condition = m_stack[top--];
        Parted parts;
        if (condition.one)
            (*condition.data != 0.0 ? parts.yesCount : parts.noCount) = 1;
        else
            parts.part(condition.data, m_n, mask);
        if (parts.noCount == 0) return true;
        if (parts.yesCount == 0) {
            at = s.index - 1;
            return true;
        }
        const std::size_t elseStep = s.index - 1;
        const std::size_t endStep = m_code.steps[elseStep].index;
        const std::int64_t level = top;
        if (!run(at + 1, elseStep, top, parts.yes)) return false;
        Operand first = m_stack[top];
        double* kept = m_arena.take(kLanes);
        for (std::size_t i = 0; i < (first.one ? 1 : m_n); ++i) kept[i] = first.data[i];
        first.data = kept;
        top = level;
        if (!run(elseStep + 1, endStep, top, parts.no)) return false;
        double* out = m_arena.take(kLanes);
        lanes::choose(parts.yes, first, m_stack[top], out, m_n);
        m_stack[top] = {out, false};
        at = endStep;
        return true;
    }

    const Code& m_code;
    const Operand* m_frame;
    std::size_t m_n;
    Host& m_host;
    Arena& m_arena;
    double* m_out;
    Operand m_small[kSmall];
    std::unique_ptr<Operand[]> m_large;
    Operand* m_stack = m_small;
    double* m_buffers;
};

} // namespace

SPANWRIGHT_WIDEST int agreed(const double* condition, std::size_t n) {
    std::uint64_t no = 0, yes = 0;
    for (std::size_t i = 0; i < n; ++i) {
        const std::uint64_t zero = condition[i] == 0.0 ? 1U : 0U;
        no |= zero;
        yes |= zero ^ 1U;
    }
    return no == 0 ? 1 : yes == 0 ? -1 : 0;
}

SPANWRIGHT_WIDEST bool allFinite(const double* v, std::size_t n) {
    // The exponent bits of infinities and NaNs are all ones; comparing them raises no flag.
    constexpr std::uint64_t kOnes = 0x7ff0000000000000U;
    std::uint64_t worst = 0;
    for (std::size_t i = 0; i < n; ++i) {
        const std::uint64_t exponent = std::bit_cast<std::uint64_t>(v[i]) & kOnes;
        worst |= exponent == kOnes ? 1U : 0U;
    }
    return worst == 0;
}

bool runBlock(const Code& code, const Operand* frame, std::size_t n, const std::uint8_t* mask, Host& host, Arena& arena, double* out) {
    const Arena::Mark mark(arena);
    Runner runner(code, frame, n, host, arena, out);
    std::int64_t top = -1;
    if (!runner.run(0, code.steps.size(), top, mask)) return false;
    const Operand result = runner.result();
    const double first = n > 0 ? *result.data : 0.0; // perhaps in `out` itself
    if (result.one)
        std::fill(out, out + n, first);
    else if (result.data != out)
        std::copy(result.data, result.data + n, out);
    return true;
}

} // namespace spanwright::eval
