// SPDX-License-Identifier: MIT
#include "engine/units/exact.h"

#include <charconv>
#include <cmath>
#include <cstdint>
#include <limits>

namespace spanwright::units {

namespace {

using Whole = boost::multiprecision::cpp_int;

/// Decimal numbers beyond 10^±kMostTens are refused before any big number is made of them.
constexpr int kMostTens = 400;
constexpr std::uint64_t kMostExactWhole = std::uint64_t{1} << 53U;

Whole tenTo(int n) { return boost::multiprecision::pow(Whole(10), static_cast<unsigned>(n)); }

int bitsOf(const Whole& x) { return static_cast<int>(boost::multiprecision::msb(x)) + 1; }

} // namespace

double nearestDouble(const Exact& x) {
    using std::numeric_limits;
    const bool negative = x < 0;
    Whole num = boost::multiprecision::abs(boost::multiprecision::numerator(x));
    Whole den = boost::multiprecision::denominator(x);
    if (num == 0) return 0.0;
    // A quotient of at least 66 bits; what is left over only matters as "more than nothing".
    const int shift = 66 - (bitsOf(num) - bitsOf(den));
    if (shift > 0) {
        num <<= static_cast<unsigned>(shift);
    } else {
        den <<= static_cast<unsigned>(-shift);
    }
    Whole quotient;
    Whole rest;
    boost::multiprecision::divide_qr(num, den, quotient, rest);
    if (rest != 0) quotient |= 1;
    const int bits = bitsOf(quotient);
    const int exponent = bits - 1 - shift; // of the leading bit
    if (exponent > numeric_limits<double>::max_exponent) return negative ? -HUGE_VAL : HUGE_VAL;
    // Below the normal range fewer bits are kept.
    const int lowest = numeric_limits<double>::min_exponent - 1;
    const int keep = exponent >= lowest ? numeric_limits<double>::digits : numeric_limits<double>::digits - (lowest - exponent);
    if (keep < 0) return negative ? -0.0 : 0.0;
    const int drop = bits - keep;
    Whole kept = quotient >> static_cast<unsigned>(drop);
    const Whole dropped = quotient - (kept << static_cast<unsigned>(drop));
    const Whole half = Whole(1) << static_cast<unsigned>(drop - 1);
    if (dropped > half || (dropped == half && (kept & 1) != 0)) ++kept;
    const double result = std::ldexp(static_cast<double>(kept.convert_to<std::uint64_t>()), drop - shift);
    return negative ? -result : result;
}

Exact exactly(double x) {
    int exponent = 0;
    const double mantissa = std::ldexp(std::frexp(x, &exponent), 53);
    exponent -= 53;
    const Whole whole(static_cast<std::int64_t>(mantissa));
    if (exponent >= 0) return {Whole(whole << static_cast<unsigned>(exponent)), 1};
    return {whole, Whole(Whole(1) << static_cast<unsigned>(-exponent))};
}

std::optional<Exact> exactDecimal(std::string_view text, DecimalFault* why) {
    DecimalFault ignored = DecimalFault::None;
    DecimalFault& fault = why != nullptr ? *why : ignored;
    fault = DecimalFault::NotANumber;
    bool negative = false;
    std::size_t at = 0;
    if (at < text.size() && (text[at] == '-' || text[at] == '+')) negative = text[at++] == '-';
    std::string digits;
    int decimals = 0;
    bool any = false;
    bool point = false;
    for (; at < text.size(); ++at) {
        const char c = text[at];
        if (c == '.' && !point) {
            point = true;
        } else if (c >= '0' && c <= '9') {
            any = true;
            if (!digits.empty() || c != '0') digits += c;
            if (point) ++decimals;
        } else {
            break;
        }
    }
    if (!any) return std::nullopt;
    int exponent = 0;
    if (at < text.size() && (text[at] == 'e' || text[at] == 'E')) {
        ++at;
        if (at < text.size() && text[at] == '+') {
            ++at;
            if (at < text.size() && text[at] == '-') return std::nullopt;
        }
        const bool down = at < text.size() && text[at] == '-';
        const auto [end, failure] = std::from_chars(text.data() + at, text.data() + text.size(), exponent);
        if (failure == std::errc::result_out_of_range) {
            exponent = down ? -1'000'000 : 1'000'000;
        } else if (failure != std::errc{}) {
            return std::nullopt;
        }
        at = static_cast<std::size_t>(end - text.data());
    }
    if (at != text.size()) return std::nullopt;
    fault = DecimalFault::None;
    if (digits.empty()) return Exact(0);
    if (exponent < -1'000'000) exponent = -1'000'000;
    if (exponent > 1'000'000) exponent = 1'000'000;
    exponent -= decimals;
    const int magnitude = static_cast<int>(digits.size()) + exponent;
    if (magnitude > kMostTens || magnitude < -kMostTens) {
        fault = DecimalFault::TooLarge;
        return std::nullopt;
    }
    Whole whole(digits);
    if (negative) whole = -whole;
    if (exponent >= 0) return Exact(Whole(whole * tenTo(exponent)), Whole(1));
    return Exact(whole, tenTo(-exponent));
}

std::optional<double> plainToSi(std::string_view text, const Unit& unit) {
    const bool negative = text.starts_with('-');
    if (negative) text.remove_prefix(1);
    if (text.empty() || text.size() > 16) return std::nullopt;
    std::uint64_t num = 0;
    std::uint64_t den = 1;
    bool point = false;
    bool any = false;
    for (const char c : text) {
        if (c == '.' && !point) {
            point = true;
        } else if (c >= '0' && c <= '9') {
            any = true;
            num = num * 10 + static_cast<std::uint64_t>(c - '0');
            if (point) den *= 10;
        } else {
            return std::nullopt;
        }
    }
    if (!any) return std::nullopt;
    if (num == 0) return 0.0;
    // Both whole numbers must be exact doubles; then the division rounds once, to the nearest.
    std::uint64_t factorNum = unit.num;
    std::uint64_t factorDen = unit.den;
    if (factorDen == 0) {
        if (!(unit.factor >= 1.0) || unit.factor > static_cast<double>(kMostExactWhole) || unit.factor != std::floor(unit.factor)) return std::nullopt;
        factorNum = static_cast<std::uint64_t>(unit.factor);
        factorDen = 1;
    }
    if (num > kMostExactWhole / factorNum || den > kMostExactWhole / factorDen) return std::nullopt;
    const double si = static_cast<double>(num * factorNum) / static_cast<double>(den * factorDen);
    return negative ? -si : si;
}

Exact exactFactor(const Unit& unit) {
    if (unit.den != 0) return {Whole(unit.num), Whole(unit.den)};
    return exactly(unit.factor);
}

Exact wholePower(const Exact& x, int n) {
    const auto p = static_cast<unsigned>(n < 0 ? -n : n);
    const Whole num = boost::multiprecision::pow(boost::multiprecision::numerator(x), p);
    const Whole den = boost::multiprecision::pow(boost::multiprecision::denominator(x), p);
    return n < 0 ? Exact(den, num) : Exact(num, den);
}

Whole nearestWhole(const Exact& x) {
    const Whole num = boost::multiprecision::abs(boost::multiprecision::numerator(x));
    const Whole& den = boost::multiprecision::denominator(x);
    Whole q = (2 * num + den) / (2 * den);
    return x < 0 ? Whole(-q) : q;
}

double toSi(double value, const Unit& unit) {
    if (unit.den == 0) return value * unit.factor; // the factor is exact, so this rounds once
    if (!std::isfinite(value) || value == 0.0) return value;
    if (unit.num == 1 && unit.den <= kMostExactWhole) return value / static_cast<double>(unit.den);
    return nearestDouble(exactly(value) * exactFactor(unit));
}

std::optional<double> toSi(std::string_view decimal, const Unit& unit) {
    if (const auto plain = plainToSi(decimal, unit)) return plain;
    const std::optional<Exact> x = exactDecimal(decimal);
    if (!x) return std::nullopt;
    const double si = nearestDouble(*x * exactFactor(unit));
    if (!std::isfinite(si) || (si == 0.0 && *x != 0)) return std::nullopt;
    return si;
}

double fromSi(double si, const Unit& unit) {
    if (unit.den == 0) return si / unit.factor;
    if (!std::isfinite(si) || si == 0.0) return si;
    if (unit.num == 1 && unit.den <= kMostExactWhole) return si * static_cast<double>(unit.den);
    return nearestDouble(exactly(si) / exactFactor(unit));
}

} // namespace spanwright::units
