// SPDX-License-Identifier: MIT
#include <algorithm>
#include <charconv>
#include <cstdint>
#include <limits>
#include <numeric>

#include "engine/units/dimension.h"

namespace spanwright::units {

namespace {

constexpr std::int64_t kMost = std::numeric_limits<std::int32_t>::max();

} // namespace

Rational Rational::of(std::int64_t num, std::int64_t den) {
    if (num == 0) return {0, 1};
    if (den == 0) den = 1;
    // The least int64 has no positive counterpart; one less is as far out of range.
    num = std::max(num, -std::numeric_limits<std::int64_t>::max());
    den = std::max(den, -std::numeric_limits<std::int64_t>::max());
    if (den < 0) {
        num = -num;
        den = -den;
    }
    const std::int64_t common = std::gcd(num, den);
    num /= common;
    den /= common;
    if (num > kMost || num < -kMost || den > kMost) return {static_cast<std::int32_t>(std::clamp(num / den, -kMost, kMost)), 1};
    return {static_cast<std::int32_t>(num), static_cast<std::int32_t>(den)};
}

std::optional<Rational> Rational::fromDecimal(std::string_view literal) {
    bool negative = false;
    if (!literal.empty() && (literal.front() == '-' || literal.front() == '+')) {
        negative = literal.front() == '-';
        literal.remove_prefix(1);
    }
    const std::size_t point = literal.find('.');
    const std::string_view whole = literal.substr(0, point);
    const std::string_view decimals = point == std::string_view::npos ? std::string_view{} : literal.substr(point + 1);
    if (whole.empty() && decimals.empty()) return std::nullopt;
    if (decimals.size() > 9 || whole.size() > 9) return std::nullopt;
    std::int64_t num = 0;
    std::int64_t den = 1;
    for (const char c : whole) {
        if (c < '0' || c > '9') return std::nullopt;
        num = num * 10 + (c - '0');
    }
    for (const char c : decimals) {
        if (c < '0' || c > '9') return std::nullopt;
        num = num * 10 + (c - '0');
        den *= 10;
    }
    const std::int64_t common = num == 0 ? den : std::gcd(num, den);
    if (num / common > kMost || den / common > kMost) return std::nullopt;
    return of(negative ? -num : num, den);
}

std::string Rational::text() const {
    std::string out = std::to_string(num);
    if (den != 1) out += "/" + std::to_string(den);
    return out;
}

Rational operator+(Rational a, Rational b) {
    // Each product is below 2^62, so the sum fits.
    return Rational::of(static_cast<std::int64_t>(a.num) * b.den + static_cast<std::int64_t>(b.num) * a.den, static_cast<std::int64_t>(a.den) * b.den);
}

Rational operator-(Rational a, Rational b) {
    return Rational::of(static_cast<std::int64_t>(a.num) * b.den - static_cast<std::int64_t>(b.num) * a.den, static_cast<std::int64_t>(a.den) * b.den);
}

Rational operator*(Rational a, Rational b) { return Rational::of(static_cast<std::int64_t>(a.num) * b.num, static_cast<std::int64_t>(a.den) * b.den); }

} // namespace spanwright::units
