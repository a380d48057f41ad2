// SPDX-License-Identifier: MIT
#include "engine/eval/slopes.h"

#include "engine/eval/flags.h"
#include "engine/eval/machine.h"
#include "engine/eval/tree_walk.h"

namespace spanwright::eval {

using meaning::Builtin;
using meaning::ExprId;
using meaning::ExprKind;

namespace {

struct SlopeArithmetic {
    using N = Slope;
    static constexpr bool kRanges = true;
    static N of(double v) { return {v, 0.0}; }
    static N moving(double v) { return {v, 1.0}; }
    static double middle(N n) { return n.value; }
    static bool still(N n) { return n.slope == 0.0; }
    static N withValue(N n, double v) { return {v, n.slope}; }
    static N negate(N a) { return {-a.value, -a.slope}; }
    static N invert(N a, bool&) { return {a.value == 0.0 ? 1.0 : 0.0, 0.0}; }
    static int truth(N c) { return c.value != 0.0 ? 1 : 0; }
    static N either(N a, N, bool&) { return a; }
    static N binary(ExprKind k, N a, N b, bool& fine) {
        switch (k) {
        case ExprKind::Add: return {a.value + b.value, a.slope + b.slope};
        case ExprKind::Subtract: return {a.value - b.value, a.slope - b.slope};
        case ExprKind::Multiply: return {a.value * b.value, a.slope * b.value + a.value * b.slope};
        default:
            if (b.value == 0.0) fine = false;
            return {a.value / b.value, (a.slope - a.value / b.value * b.slope) / b.value};
        }
    }
    static N whole(N a, int n, bool&) {
        double below = 1.0;
        for (int i = 1; i < n; ++i) below *= a.value;
        return {below * a.value, n * below * a.slope};
    }
    static N power(N a, N b, bool& fine) {
        const double v = calls::power(a.value, b.value);
        double slope = 0.0;
        if (a.slope != 0.0) slope += b.value * calls::power(a.value, b.value - 1.0) * a.slope;
        if (b.slope != 0.0) slope += v * std::log(a.value) * b.slope;
        fine = std::isfinite(v) && std::isfinite(slope);
        return {v, slope};
    }
    static N condition(ExprKind k, N a, N b, bool&) {
        bool holds = false;
        switch (k) {
        case ExprKind::Less: holds = a.value < b.value; break;
        case ExprKind::LessEqual: holds = a.value <= b.value; break;
        case ExprKind::Greater: holds = a.value > b.value; break;
        case ExprKind::GreaterEqual: holds = a.value >= b.value; break;
        case ExprKind::Equal: holds = a.value == b.value; break;
        case ExprKind::NotEqual: holds = a.value != b.value; break;
        case ExprKind::And: holds = a.value != 0.0 && b.value != 0.0; break;
        default: holds = a.value != 0.0 || b.value != 0.0; break;
        }
        return {holds ? 1.0 : 0.0, 0.0};
    }
    static N builtin(Builtin f, const std::vector<N>& a, bool& fine) {
        const double x = a[0].value, d = a[0].slope;
        const auto with = [&](double v, double derivative) {
            const N n{v, d == 0.0 ? 0.0 : derivative * d};
            fine = fine && std::isfinite(n.value) && std::isfinite(n.slope);
            return n;
        };
        switch (f) {
        case Builtin::Min:
        case Builtin::Max: {
            N best = a[0];
            for (std::size_t i = 1; i < a.size(); ++i) {
                if (a[i].value == best.value && a[i].slope != best.slope) fine = false; // a corner has no slope
                if (f == Builtin::Min ? a[i].value < best.value : best.value < a[i].value) best = a[i];
            }
            return best;
        }
        case Builtin::Abs:
            if (x == 0.0 && d != 0.0) fine = false;
            return {std::fabs(x), x < 0.0 ? -d : d};
        case Builtin::Sqrt: return with(std::sqrt(x), 0.5 / std::sqrt(x));
        case Builtin::Cbrt: return with(std::cbrt(x), 1.0 / (3.0 * std::cbrt(x) * std::cbrt(x)));
        case Builtin::Exp: return with(std::exp(x), std::exp(x));
        case Builtin::Ln: return with(std::log(x), 1.0 / x);
        case Builtin::Log10: return with(std::log10(x), 1.0 / (x * std::log(10.0)));
        case Builtin::Sin: return with(std::sin(x), std::cos(x));
        case Builtin::Cos: return with(std::cos(x), -std::sin(x));
        case Builtin::Tan: return with(std::tan(x), 1.0 + std::tan(x) * std::tan(x));
        case Builtin::Asin: return with(std::asin(x), 1.0 / std::sqrt(1.0 - x * x));
        case Builtin::Acos: return with(std::acos(x), -1.0 / std::sqrt(1.0 - x * x));
        case Builtin::Atan: return with(std::atan(x), 1.0 / (1.0 + x * x));
        default:
            // To whole numbers: flat with steps, which says nothing.
            fine = false;
            return {};
        }
    }
    static N lookUp(const std::vector<double>& keys, const std::vector<double>& cells, bool interpolate, N key, bool& fine) {
        if (!interpolate) fine = false; // steps
        for (std::size_t r = 0; r + 1 < keys.size() && fine; ++r) {
            if (key.value < keys[r] || key.value > keys[r + 1]) continue;
            if (key.value == keys[r] || key.value == keys[r + 1]) break; // a corner
            const double slope = (cells[r + 1] - cells[r]) / (keys[r + 1] - keys[r]);
            return {cells[r] + slope * (key.value - keys[r]), slope * key.slope};
        }
        fine = false;
        return {};
    }
    static N root(double place, N still, N along, bool& fine) {
        const double alongX = along.slope - still.slope;
        if (alongX == 0.0) fine = false;
        return {place, -still.slope / alongX};
    }
};

} // namespace

struct SlopeProgram::Impl {
    explicit Impl(std::shared_ptr<const meaning::Sheet> s) : sheet(std::move(s)), engine(sheet->exprs, sheet.get()) {}
    std::shared_ptr<const meaning::Sheet> sheet;
    Engine engine;
};

SlopeProgram::SlopeProgram(std::shared_ptr<const meaning::Sheet> sheet) : m_impl(std::make_unique<Impl>(std::move(sheet))) {}
SlopeProgram::~SlopeProgram() = default;

std::optional<std::vector<Slope>> SlopeProgram::formula(const meaning::Quantity& row, ExprId root, const MemberValues& values,
                                                        const std::vector<const std::vector<Slope>*>& rows) {
    Engine& engine = m_impl->engine;
    engine.begin(&values, nullptr);
    return TreeWalk<Slope, SlopeArithmetic>(engine, rows).cases(row, root, values, [](const Slope& s) {
        return std::isfinite(s.value) && std::isfinite(s.slope);
    });
}

std::optional<Slope> linkSlope(const meaning::Link& link, const std::vector<const Value*>& fixed, const std::vector<const std::vector<Slope>*>& references) {
    Engine engine(link.exprs, nullptr);
    static const MemberValues kNone;
    engine.begin(&kNone, &fixed);
    TreeWalk<Slope, SlopeArithmetic> walk(engine, references);
    const auto s = walk.number(link.root);
    clearFlags();
    return s;
}

} // namespace spanwright::eval
