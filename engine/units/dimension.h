// SPDX-License-Identifier: MIT
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace spanwright::units {

/// An exact fraction in lowest terms, denominator > 0. Used for exponents: 1/5 is exactly 1/5.
/// A result that does not fit is clamped to the nearest whole end of the range, which no power that
/// means anything comes near. A denominator of 0 counts as 1.
struct Rational {
    std::int32_t num = 0;
    std::int32_t den = 1;

    [[nodiscard]] static Rational of(std::int64_t num, std::int64_t den = 1);
    /// The fraction that a decimal literal means ("0.2" -> 1/5, "2" -> 2); nothing if it has more
    /// than 9 decimals or overflows.
    [[nodiscard]] static std::optional<Rational> fromDecimal(std::string_view literal);
    [[nodiscard]] bool isZero() const { return num == 0; }
    [[nodiscard]] bool isWhole() const { return den == 1; }
    [[nodiscard]] double toDouble() const { return static_cast<double>(num) / den; }
    /// "2", "-1", "1/5"
    [[nodiscard]] std::string text() const;
    friend bool operator==(Rational, Rational) = default;
};
[[nodiscard]] Rational operator+(Rational a, Rational b);
[[nodiscard]] Rational operator-(Rational a, Rational b);
[[nodiscard]] Rational operator*(Rational a, Rational b);

/// SI base dimensions, SI Brochure 9th edition, table 2; in this order.
enum class Base : std::uint8_t { Length, Mass, Time, Current, Temperature, Amount, Light };
inline constexpr int kBaseCount = 7;

/// Product of powers of the base dimensions and of currencies (each currency is a dimension of its
/// own, named by its ISO 4217 code). Canonical: equality of dimensions is equality of members.
class Dimension {
public:
    Dimension() = default;                                    ///< pure number
    [[nodiscard]] static Dimension of(Base b, Rational power = {1, 1});
    [[nodiscard]] static Dimension currency(std::string_view iso4217, Rational power = {1, 1});

    [[nodiscard]] bool isNumber() const;
    [[nodiscard]] Rational power(Base b) const;
    /// Sorted by code; no zero powers.
    [[nodiscard]] const std::vector<std::pair<std::string, Rational>>& currencies() const { return m_money; }

    [[nodiscard]] Dimension times(const Dimension& o) const;
    [[nodiscard]] Dimension over(const Dimension& o) const;
    [[nodiscard]] Dimension toThe(Rational p) const;
    /// In coherent SI with the trade's habits: "kN·m" style names are the unit layer's; this gives
    /// "kg·m²/s²", "1" for a pure number.
    [[nodiscard]] std::string text() const;

    friend bool operator==(const Dimension&, const Dimension&) = default;

private:
    std::array<Rational, kBaseCount> m_base{};
    std::vector<std::pair<std::string, Rational>> m_money;
};

} // namespace spanwright::units
