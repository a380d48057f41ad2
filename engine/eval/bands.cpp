// SPDX-License-Identifier: MIT
#include "engine/eval/bands.h"

#include <boost/numeric/interval.hpp>
#include <limits>

#include "engine/eval/flags.h"
#include "engine/eval/machine.h"
#include "engine/eval/tree_walk.h"

namespace spanwright::eval {

using meaning::Builtin;
using meaning::ExprId;
using meaning::ExprKind;

namespace {

namespace bn = boost::numeric;
using Wide = bn::interval<double, bn::interval_lib::policies<bn::interval_lib::rounded_math<double>, bn::interval_lib::checking_base<double>>>;

/// Library functions are good to an ulp or two, the same numbers by other paths (products for powers) to a few: this covers all.
double down(double v) {
    for (int i = 0; i < 8; ++i) v = std::nextafter(v, -HUGE_VAL);
    return v;
}
double up(double v) {
    for (int i = 0; i < 8; ++i) v = std::nextafter(v, HUGE_VAL);
    return v;
}

Band made(const Wide& w, bool& fine) {
    fine = fine && std::isfinite(w.lower()) && std::isfinite(w.upper());
    return {w.lower(), w.upper()};
}
Wide wide(Band b) { return {b.low, b.high}; }
bool holdsZero(Band b) { return b.low <= 0.0 && b.high >= 0.0; }

struct BandArithmetic {
    using N = Band;
    static constexpr bool kRanges = false;
    static N of(double v) { return {v, v}; }
    static double middle(N n) { return n.low + (n.high - n.low) / 2; }
    static bool still(N n) { return n.low == n.high; }
    static N negate(N a) { return {-a.high, -a.low}; }
    static int truth(N c) {
        if (!holdsZero(c)) return 1;
        return c.low == 0.0 && c.high == 0.0 ? 0 : -1;
    }
    static N ofTruth(int t) { return t < 0 ? N{0.0, 1.0} : N{static_cast<double>(t), static_cast<double>(t)}; }
    static N invert(N a, bool&) {
        const int t = truth(a);
        return ofTruth(t < 0 ? t : 1 - t);
    }
    static N either(N a, N b, bool&) { return {std::min(a.low, b.low), std::max(a.high, b.high)}; }
    static N binary(ExprKind k, N a, N b, bool& fine) {
        switch (k) {
        case ExprKind::Add: return made(wide(a) + wide(b), fine);
        case ExprKind::Subtract: return made(wide(a) - wide(b), fine);
        case ExprKind::Multiply: return made(wide(a) * wide(b), fine);
        default:
            if (holdsZero(b)) {
                fine = false;
                return {};
            }
            return made(wide(a) / wide(b), fine);
        }
    }
    static N whole(N a, int n, bool& fine) {
        Wide w = wide(a), p = w;
        if (n == 2 || n == 4) {
            p = bn::square(w);
            if (n == 4) p = bn::square(p);
        } else {
            for (int i = 1; i < n; ++i) p *= w;
        }
        const N out = made(p, fine);
        return {down(out.low), up(out.high)};
    }
    static N power(N a, N b, bool& fine) {
        // Of a base above zero: rising or falling in each, so the corners hold the ends.
        if (a.low <= 0.0) {
            fine = false;
            return {};
        }
        const double c[] = {calls::power(a.low, b.low), calls::power(a.low, b.high), calls::power(a.high, b.low), calls::power(a.high, b.high)};
        return checked(*std::min_element(c, c + 4), *std::max_element(c, c + 4), fine);
    }
    static N checked(double low, double high, bool& fine) {
        const N n{down(low), up(high)};
        fine = fine && std::isfinite(n.low) && std::isfinite(n.high);
        return n;
    }
    static N condition(ExprKind k, N a, N b, bool&) {
        const int ta = truth(a), tb = truth(b);
        switch (k) {
        case ExprKind::Less: return ofTruth(a.high < b.low ? 1 : a.low >= b.high ? 0 : -1);
        case ExprKind::LessEqual: return ofTruth(a.high <= b.low ? 1 : a.low > b.high ? 0 : -1);
        case ExprKind::Greater: return ofTruth(a.low > b.high ? 1 : a.high <= b.low ? 0 : -1);
        case ExprKind::GreaterEqual: return ofTruth(a.low >= b.high ? 1 : a.high < b.low ? 0 : -1);
        case ExprKind::Equal: return ofTruth(still(a) && still(b) && a.low == b.low ? 1 : a.high < b.low || a.low > b.high ? 0 : -1);
        case ExprKind::NotEqual: return ofTruth(still(a) && still(b) && a.low == b.low ? 0 : a.high < b.low || a.low > b.high ? 1 : -1);
        case ExprKind::And: return ofTruth(ta == 0 || tb == 0 ? 0 : ta == 1 && tb == 1 ? 1 : -1);
        default: return ofTruth(ta == 1 || tb == 1 ? 1 : ta == 0 && tb == 0 ? 0 : -1);
        }
    }
    static N builtin(Builtin f, const std::vector<N>& a, bool& fine) {
        const N x = a[0];
        const auto rising = [&](double (*call)(double)) { return checked(call(x.low), call(x.high), fine); };
        switch (f) {
        case Builtin::Min:
        case Builtin::Max: {
            N out = x;
            for (const N& n : a)
                out = f == Builtin::Min ? N{std::min(out.low, n.low), std::min(out.high, n.high)} : N{std::max(out.low, n.low), std::max(out.high, n.high)};
            return out;
        }
        case Builtin::Abs:
            if (holdsZero(x)) return {0.0, std::max(-x.low, x.high)};
            return x.low > 0.0 ? x : negate(x);
        case Builtin::Sqrt:
            if (x.low < 0.0) fine = false;
            return fine ? rising([](double v) { return std::sqrt(v); }) : N{};
        case Builtin::Cbrt: return rising([](double v) { return std::cbrt(v); });
        case Builtin::Exp: return rising([](double v) { return std::exp(v); });
        case Builtin::Ln:
        case Builtin::Log10:
            if (x.low <= 0.0) fine = false;
            if (!fine) return {};
            return f == Builtin::Ln ? rising([](double v) { return std::log(v); }) : rising([](double v) { return std::log10(v); });
        case Builtin::Atan: return rising([](double v) { return std::atan(v); });
        case Builtin::Asin:
        case Builtin::Acos:
            if (x.low < -1.0 || x.high > 1.0) fine = false;
            if (!fine) return {};
            return f == Builtin::Asin ? rising([](double v) { return std::asin(v); }) : checked(std::acos(x.high), std::acos(x.low), fine);
        case Builtin::Sin:
        case Builtin::Cos:
        case Builtin::Tan: {
            // Within a quarter turn to either side of nothing, where a roof's angles lie.
            constexpr double kQuarter = 1.57;
            if (x.low < -kQuarter || x.high > kQuarter) fine = false;
            if (!fine) return {};
            if (f == Builtin::Sin) return rising([](double v) { return std::sin(v); });
            if (f == Builtin::Tan) return rising([](double v) { return std::tan(v); });
            const double least = std::min(std::cos(x.low), std::cos(x.high)), most = holdsZero(x) ? 1.0 : std::max(std::cos(x.low), std::cos(x.high));
            return checked(least, most, fine);
        }
        case Builtin::Floor: return {calls::down(x.low), calls::down(x.high)};
        case Builtin::Ceil: return {calls::up(x.low), calls::up(x.high)};
        case Builtin::Round: return {calls::roundHalfAway(x.low), calls::roundHalfAway(x.high)};
        case Builtin::RoundUp: return {calls::roundUp(x.low), calls::roundUp(x.high)};
        default: fine = false; return {};
        }
    }
    static N lookUp(const std::vector<double>& keys, const std::vector<double>& cells, bool interpolate, N key, bool& fine) {
        if (!interpolate || keys.size() < 2 || key.low < keys.front() || key.high > keys.back()) {
            fine = false;
            return {};
        }
        N out{HUGE_VAL, -HUGE_VAL};
        const auto take = [&](double v) {
            out.low = std::min(out.low, v);
            out.high = std::max(out.high, v);
        };
        for (std::size_t r = 0; r < keys.size(); ++r) {
            if (keys[r] >= key.low && keys[r] <= key.high) take(cells[r]);
            if (r + 1 == keys.size()) break;
            for (const double k : {key.low, key.high})
                if (k >= keys[r] && k <= keys[r + 1]) take(cells[r] + (cells[r + 1] - cells[r]) * (k - keys[r]) / (keys[r + 1] - keys[r]));
        }
        const double room = 1e-14 * std::max(std::fabs(out.low), std::fabs(out.high));
        return checked(out.low - room, out.high + room, fine);
    }
};

} // namespace

struct BandProgram::Impl {
    explicit Impl(std::shared_ptr<const meaning::Sheet> s) : sheet(std::move(s)), engine(sheet->exprs, sheet.get()) {}
    std::shared_ptr<const meaning::Sheet> sheet;
    Engine engine;
};

BandProgram::BandProgram(std::shared_ptr<const meaning::Sheet> sheet) : m_impl(std::make_unique<Impl>(std::move(sheet))) {}
BandProgram::~BandProgram() = default;

std::optional<std::vector<Band>> BandProgram::formula(const meaning::Quantity& row, ExprId root, const MemberValues& values,
                                                      const std::vector<const std::vector<Band>*>& rows) {
    Engine& engine = m_impl->engine;
    engine.begin(&values, nullptr);
    return TreeWalk<Band, BandArithmetic>(engine, rows).cases(row, root, values, [](const Band& b) { return b.low <= b.high; });
}

std::optional<Band> linkBand(const meaning::Link& link, const std::vector<const Value*>& fixed, const std::vector<const std::vector<Band>*>& references) {
    Engine engine(link.exprs, nullptr);
    static const MemberValues kNone;
    engine.begin(&kNone, &fixed);
    TreeWalk<Band, BandArithmetic> walk(engine, references);
    const auto b = walk.number(link.root);
    clearFlags();
    return b;
}

std::optional<Band> quotient(Band a, Band b) {
    if (holdsZero(b)) return std::nullopt;
    bool fine = true;
    const Band out = made(wide(a) / wide(b), fine);
    return fine ? std::optional<Band>(out) : std::nullopt;
}

} // namespace spanwright::eval
