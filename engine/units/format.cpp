// SPDX-License-Identifier: MIT
#include "engine/units/format.h"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <numeric>

#include "engine/base/text.h"
#include "engine/units/decimal_text.h"
#include "engine/units/exact.h"

namespace spanwright::units {

namespace {

const std::string kNoNumber = "not a number";

constexpr int kMostPlainExponent = 7;     ///< significant digits: below ten million in plain digits
constexpr int kLeastPlainExponent = -3;   ///< and from 0.0001
constexpr int kMostDeclaredExponent = 15; ///< with declared decimals: beyond that no decimal is known
constexpr int kMostDecimals = 17;
constexpr double kPasses = 1e-9; ///< a check holds up to this much above 1, relative

std::string scientific(const DecimalText& x, int significant) {
    const DecimalText r = rounded(x, significant - x.exponent);
    std::string out = r.negative ? "-" : "";
    out += r.digits.substr(0, 1);
    if (r.digits.size() > 1) out += "." + r.digits.substr(1);
    return out + "e" + std::to_string(r.exponent - 1);
}

std::string significantText(double value, int significant) {
    const DecimalText x = decimalText(value);
    if (x.digits.empty()) return "0";
    significant = std::clamp(significant, 1, kMostDecimals);
    const DecimalText r = rounded(x, std::max(significant - x.exponent, x.exponent > 0 ? 0 : significant - x.exponent));
    if (r.exponent > kMostPlainExponent || r.exponent < kLeastPlainExponent) return scientific(x, significant);
    return plainText(r, std::max(0, static_cast<int>(r.digits.size()) - r.exponent));
}

std::string decimalsText(double value, int decimals) {
    const DecimalText x = decimalText(value);
    if (x.exponent > kMostDeclaredExponent) return scientific(x, kMostDeclaredExponent);
    decimals = std::clamp(decimals, 0, kMostDecimals);
    return plainText(rounded(x, decimals), decimals);
}

/// The nearest multiple of a step, with the digits that the step has.
std::string stepText(double value, double step) {
    const std::string written = base::shortest(step);
    const auto exactStep = exactDecimal(written);
    const DecimalText digits = decimalText(value);
    if (!exactStep || digits.exponent > kMostDeclaredExponent) return decimalsText(value, 0);
    const Exact multiple = Exact(nearestWhole(exactly(value) / *exactStep)) * *exactStep;
    int decimals = 0;
    for (Exact scaled = *exactStep; boost::multiprecision::denominator(scaled) != 1 && decimals < kMostDecimals; scaled *= 10) ++decimals;
    const std::string whole = nearestWhole(boost::multiprecision::abs(multiple) * wholePower(10, decimals)).str();
    DecimalText out;
    out.negative = multiple < 0;
    out.digits = whole == "0" ? "" : whole;
    out.exponent = static_cast<int>(out.digits.size()) - decimals;
    return plainText(out, decimals);
}

} // namespace

std::string showNumber(double si, const Unit& unit, const Show& how) {
    const double value = fromSi(si, unit);
    if (!std::isfinite(value)) return kNoNumber;
    if (how.step && std::isfinite(*how.step) && *how.step > 0.0) return stepText(value, *how.step);
    if (how.decimals) return decimalsText(value, *how.decimals);
    return significantText(value, how.significant);
}

std::string showValue(double si, const Unit& unit, const Show& how) {
    std::string out = showNumber(si, unit, how);
    if (unit.shown.empty() || out == kNoNumber) return out;
    if (unit.shown != "°") out += ' ';
    return out + unit.shown;
}

std::string writeValue(double si, const Unit& unit) {
    if (!std::isfinite(si)) return kNoNumber;
    const std::string ending = unit.ascii.empty() ? "" : " " + unit.ascii;
    if (si == 0.0) return "0" + ending;
    const std::string first = base::shortest(fromSi(si, unit));
    if (toSi(std::string_view(first), unit) == si) return first + ending;
    // Where a step of the number in this unit is coarser than a step of the SI value, more digits
    // than a double has are needed to tell neighbours apart.
    const Exact exact = exactly(si) / exactFactor(unit);
    const int magnitude = decimalText(fromSi(si, unit)).exponent;
    for (int digits = 15; digits <= 40; ++digits) {
        const int places = digits - magnitude;
        const Exact scaled = exact * wholePower(10, places);
        const std::string text = nearestWhole(scaled).str() + "e" + std::to_string(-places);
        if (toSi(std::string_view(text), unit) != si) continue;
        const std::string sign = si < 0 ? "-" : "";
        const std::string whole = nearestWhole(boost::multiprecision::abs(scaled)).str();
        DecimalText plain{si < 0, whole, static_cast<int>(whole.size()) - places};
        while (plain.digits.size() > 1 && plain.digits.back() == '0') plain.digits.pop_back();
        if (plain.exponent > 21 || plain.exponent < -5) {
            const std::string tail = plain.digits.size() > 1 ? "." + plain.digits.substr(1) : "";
            return sign + plain.digits.substr(0, 1) + tail + "e" + std::to_string(plain.exponent - 1) + ending;
        }
        return plainText(plain, std::max(0, static_cast<int>(plain.digits.size()) - plain.exponent)) + ending;
    }
    return first + ending;
}

std::string showFeetInches(double si, int denominator) {
    if (!std::isfinite(si)) return kNoNumber;
    denominator = std::clamp(denominator, 1, 1024);
    // The double in inches decides the halves: what was written as half an inch is one.
    static const Unit inch = *findUnit("in");
    const Exact parts = exactly(fromSi(std::fabs(si), inch)) * denominator;
    if (parts > Exact(std::int64_t{1} << 52U)) return showValue(si, *findUnit("ft"));
    const auto whole = nearestWhole(parts).convert_to<std::int64_t>();
    const std::int64_t foot = std::int64_t{12} * denominator;
    const std::int64_t inches = whole % foot / denominator;
    const std::int64_t num = whole % denominator;
    std::string out = si < 0 && whole > 0 ? "-" : "";
    out += std::to_string(whole / foot) + "'-" + std::to_string(inches);
    if (num > 0) {
        const std::int64_t common = std::gcd(num, std::int64_t{denominator});
        out += " " + std::to_string(num / common) + "/" + std::to_string(denominator / common);
    }
    return out + "\"";
}

std::string showUtilisation(double u) {
    if (!std::isfinite(u)) return kNoNumber;
    if (!(u > 1.0 + kPasses)) return u > 1.0 ? "1.00" : decimalsText(u, 2);
    for (int decimals = 2; decimals < kMostDecimals; ++decimals) {
        const std::string text = decimalsText(u, decimals);
        if (base::readDouble(text) > 1.0) return text;
    }
    return decimalsText(u, kMostDecimals);
}

} // namespace spanwright::units
