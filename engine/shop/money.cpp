// SPDX-License-Identifier: MIT
#include "engine/shop/money.h"

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <numeric>

namespace spanwright::shop {

namespace {

constexpr double kMostCents = 9e15; // whole numbers up to here are exact doubles

[[nodiscard]] bool in(std::string_view list, std::string_view code) { return code.size() == 3 && list.find(code) != std::string_view::npos; }

} // namespace

int minorDigits(std::string_view currency) {
    // ISO 4217:2015, list one: currencies whose minor unit is not a hundredth.
    if (in("BIF CLP DJF GNF ISK JPY KMF KRW PYG RWF UGX UYI VND VUV XAF XOF XPF", currency)) return 0;
    if (in("BHD IQD JOD KWD LYD OMR TND", currency)) return 3;
    if (in("CLF UYW", currency)) return 4;
    return 2;
}

Cents toCents(double amount, std::string_view currency) {
    double factor = 1.0;
    for (int i = 0; i < minorDigits(currency); ++i) factor *= 10.0;
    // A price such as 1.005 is a little less than it says as a double: half a cent to nine digits counts as half.
    const double cents = amount * factor;
    const double rounded = std::floor(std::fabs(cents) + 0.5 + 1e-9 * std::max(1.0, std::fabs(cents) * 1e-6));
    return static_cast<Cents>(std::copysign(std::min(rounded, kMostCents), cents));
}

double fromCents(Cents cents, std::string_view currency) {
    double factor = 1.0;
    for (int i = 0; i < minorDigits(currency); ++i) factor *= 10.0;
    return static_cast<double>(cents) / factor;
}

std::string showMoney(Cents cents, std::string_view currency) {
    const auto digits = static_cast<std::size_t>(minorDigits(currency));
    std::string number = std::to_string(std::llabs(cents));
    if (number.size() <= digits) number.insert(0, digits + 1 - number.size(), '0');
    if (digits > 0) number.insert(number.size() - digits, 1, '.');
    return (cents < 0 ? "-" : "") + number + " " + std::string(currency);
}

std::vector<Cents> share(Cents cents, const std::vector<double>& weights) {
    std::vector<Cents> out(weights.size(), 0);
    if (weights.empty()) return out;
    std::vector<double> w = weights;
    double sum = std::accumulate(w.begin(), w.end(), 0.0);
    if (!(sum > 0.0)) {
        std::fill(w.begin(), w.end(), 1.0);
        sum = static_cast<double>(w.size());
    }
    const bool negative = cents < 0;
    const Cents whole = negative ? -cents : cents;
    std::vector<double> rest(w.size());
    Cents given = 0;
    for (std::size_t i = 0; i < w.size(); ++i) {
        const double exact = static_cast<double>(whole) * (w[i] / sum);
        out[i] = std::min(static_cast<Cents>(std::floor(exact + 1e-9)), whole - given);
        rest[i] = exact - static_cast<double>(out[i]);
        given += out[i];
    }
    std::vector<std::size_t> order(w.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    // Remainders that differ by no more than the arithmetic's noise are equal.
    std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) { return std::llround(rest[a] * 1e6) > std::llround(rest[b] * 1e6); });
    for (std::size_t k = 0; given < whole; k = (k + 1) % order.size()) {
        if (w[order[k]] <= 0.0) continue;
        ++out[order[k]];
        ++given;
    }
    if (negative)
        for (Cents& c : out) c = -c;
    return out;
}

std::vector<Cents> shareBeside(Cents cents, const std::vector<double>& weights, const std::vector<Cents>& stated, bool low) {
    std::vector<Cents> out = share(cents, weights);
    const Cents sign = low ? 1 : -1; // so that a share past its bound is one with (out - stated) * sign > 0
    for (std::size_t i = 0; i < out.size(); ++i)
        while ((out[i] - stated[i]) * sign > 0) {
            std::size_t to = out.size();
            for (std::size_t j = 0; j < out.size(); ++j)
                if ((out[j] - stated[j]) * sign < 0 && (to == out.size() || (out[j] - stated[j]) * sign < (out[to] - stated[to]) * sign)) to = j;
            if (to == out.size()) return out; // the amount itself lies on the wrong side
            out[i] -= sign;
            out[to] += sign;
        }
    return out;
}

std::string showRange(Cents low, Cents high, std::string_view currency) {
    const std::string from = showMoney(low, currency);
    return from.substr(0, from.find(' ')) + " to " + showMoney(high, currency);
}

std::string showMoney(Cents stated, Cents low, Cents high, std::string_view currency) {
    return showMoney(stated, currency) + (low == high ? "" : " (" + showRange(low, high, currency) + ")");
}

bool isDate(std::string_view text) {
    if (text.size() != 10 || text[4] != '-' || text[7] != '-') return false;
    const auto digits = [&](std::size_t from, std::size_t count) {
        int n = 0;
        for (std::size_t i = from; i < from + count; ++i) {
            if (text[i] < '0' || text[i] > '9') return -1;
            n = n * 10 + (text[i] - '0');
        }
        return n;
    };
    const int year = digits(0, 4), month = digits(5, 2), day = digits(8, 2);
    if (year < 0 || month < 1 || month > 12 || day < 1) return false;
    constexpr int kDays[] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
    const bool leap = (year % 4 == 0 && year % 100 != 0) || year % 400 == 0;
    return day <= kDays[month - 1] + (leap && month == 2 ? 1 : 0);
}

} // namespace spanwright::shop
