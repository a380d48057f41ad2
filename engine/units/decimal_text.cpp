// SPDX-License-Identifier: MIT
#include "engine/units/decimal_text.h"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>

namespace spanwright::units {

namespace {

void stripZeros(DecimalText& x) {
    const std::size_t first = std::min(x.digits.find_first_not_of('0'), x.digits.size());
    x.digits.erase(0, first);
    x.exponent -= static_cast<int>(first);
    x.digits.erase(x.digits.find_last_not_of('0') + 1);
    if (x.digits.empty()) x.exponent = 0;
}

} // namespace

DecimalText decimalText(double value) {
    DecimalText out;
    out.negative = std::signbit(value);
    if (value == 0.0) return out;
    // A double with its last bit at 2^-n has exactly n digits behind the point.
    int exponent = 0;
    std::frexp(value, &exponent);
    const int decimals = std::clamp(53 - exponent, 0, 1074);
    std::array<char, 1500> buffer{};
    const auto end = std::to_chars(buffer.data(), buffer.data() + buffer.size(), std::fabs(value), std::chars_format::fixed, decimals);
    for (const char* c = buffer.data(); c != end.ptr; ++c) {
        if (*c == '.') continue;
        out.digits += *c;
    }
    out.exponent = static_cast<int>(out.digits.size()) - decimals;
    stripZeros(out);
    return out;
}

DecimalText rounded(const DecimalText& x, int places) {
    const int keep = x.exponent + places; // digits kept
    if (keep >= static_cast<int>(x.digits.size())) return x;
    DecimalText out = x;
    if (keep < 0) {
        out.digits.clear();
    } else {
        const bool up = x.digits[static_cast<std::size_t>(keep)] >= '5';
        out.digits.resize(static_cast<std::size_t>(keep));
        if (up) {
            int at = keep - 1;
            while (at >= 0 && out.digits[static_cast<std::size_t>(at)] == '9') out.digits[static_cast<std::size_t>(at--)] = '0';
            if (at >= 0) {
                ++out.digits[static_cast<std::size_t>(at)];
            } else {
                out.digits.insert(out.digits.begin(), '1');
                ++out.exponent;
            }
        }
    }
    stripZeros(out);
    return out;
}

std::string plainText(const DecimalText& x, int places) {
    std::string out = x.negative && !x.digits.empty() ? "-" : "";
    const auto digitAt = [&](int i) { // i counts from the point to the right
        const int at = x.exponent + i;
        return at >= 0 && at < static_cast<int>(x.digits.size()) ? x.digits[static_cast<std::size_t>(at)] : '0';
    };
    if (x.exponent <= 0) out += '0';
    for (int i = -x.exponent; i < 0; ++i) out += digitAt(i);
    if (places > 0) {
        out += '.';
        for (int i = 0; i < places; ++i) out += digitAt(i);
    }
    return out;
}

} // namespace spanwright::units
