// SPDX-License-Identifier: MIT
#include "engine/base/text.h"

#include <algorithm>
#include <charconv>
#include <cmath>
#include <cstdint>

namespace spanwright::base {

namespace {

/// Words longer than this are no slip of the hand; comparing them would only cost time.
constexpr std::size_t kLongestWord = 100;

unsigned char byteAt(std::string_view text, std::size_t at) { return static_cast<unsigned char>(text[at]); }

bool isContinuation(std::string_view text, std::size_t at) { return at < text.size() && (byteAt(text, at) & 0xC0U) == 0x80U; }

/// Length of the well-formed sequence at `at` by the table in RFC 3629 section 4; 0 if there is none.
std::size_t wellFormedLength(std::string_view text, std::size_t at) {
    const unsigned char lead = byteAt(text, at);
    if (lead < 0x80) return 1;
    if (lead < 0xC2 || lead > 0xF4) return 0; // continuation, overlong C0 C1, beyond U+10FFFF
    if (!isContinuation(text, at + 1)) return 0;
    if (lead < 0xE0) return 2;
    const unsigned char second = byteAt(text, at + 1);
    if (lead == 0xE0 && second < 0xA0) return 0; // overlong
    if (lead == 0xED && second > 0x9F) return 0; // surrogates
    if (lead == 0xF0 && second < 0x90) return 0; // overlong
    if (lead == 0xF4 && second > 0x8F) return 0; // beyond U+10FFFF
    if (!isContinuation(text, at + 2)) return 0;
    if (lead < 0xF0) return 3;
    return isContinuation(text, at + 3) ? 4 : 0;
}

/// Code points as numbers; a malformed byte becomes a number that no code point has.
std::vector<std::uint32_t> codePoints(std::string_view text) {
    std::vector<std::uint32_t> out;
    out.reserve(text.size());
    for (std::size_t at = 0; at < text.size();) {
        const std::size_t length = wellFormedLength(text, at);
        std::uint32_t point = 0;
        if (length == 0) {
            point = 0x80000000U | byteAt(text, at);
        } else if (length == 1) {
            point = byteAt(text, at);
        } else {
            point = byteAt(text, at) & (0xFFU >> (length + 1));
            for (std::size_t i = 1; i < length; ++i) point = (point << 6U) | (byteAt(text, at + i) & 0x3FU);
        }
        out.push_back(point);
        at += std::max<std::size_t>(length, 1);
    }
    return out;
}

std::uint32_t lowered(std::uint32_t point) {
    const bool upper = (point >= 'A' && point <= 'Z') || (point >= 0x391 && point <= 0x3A9); // Latin, Greek
    return upper ? point + 32 : point;
}

/// Edit distance with neighbours swapped at the price of one edit. An edit costs `step`; replacing
/// a letter by its other case costs `caseStep`.
std::size_t distance(const std::vector<std::uint32_t>& a, const std::vector<std::uint32_t>& b, std::size_t step, std::size_t caseStep) {
    const std::size_t width = b.size() + 1;
    std::vector<std::size_t> before(width);
    std::vector<std::size_t> last(width);
    std::vector<std::size_t> now(width);
    for (std::size_t j = 0; j < width; ++j) last[j] = j * step;
    for (std::size_t i = 1; i <= a.size(); ++i) {
        now[0] = i * step;
        for (std::size_t j = 1; j < width; ++j) {
            const std::uint32_t x = a[i - 1];
            const std::uint32_t y = b[j - 1];
            const std::size_t replace = x == y ? 0 : (lowered(x) == lowered(y) ? caseStep : step);
            now[j] = std::min({last[j] + step, now[j - 1] + step, last[j - 1] + replace});
            if (i > 1 && j > 1 && x == b[j - 2] && a[i - 2] == y) now[j] = std::min(now[j], before[j - 2] + step);
        }
        std::swap(before, last);
        std::swap(last, now);
    }
    return last[width - 1];
}

} // namespace

bool isUtf8(std::string_view bytes) {
    for (std::size_t at = 0; at < bytes.size();) {
        const std::size_t length = wellFormedLength(bytes, at);
        if (length == 0) return false;
        at += length;
    }
    return true;
}

std::size_t utf8Length(std::string_view text, std::size_t at) {
    if (at >= text.size()) return 1;
    return std::max<std::size_t>(wellFormedLength(text, at), 1);
}

std::size_t utf8Count(std::string_view text) {
    std::size_t count = 0;
    for (std::size_t at = 0; at < text.size(); at += utf8Length(text, at)) ++count;
    return count;
}

std::string_view trimmed(std::string_view text) {
    constexpr std::string_view kBlanks = " \t\r\n\v\f";
    const std::size_t first = text.find_first_not_of(kBlanks);
    if (first == std::string_view::npos) return {};
    return text.substr(first, text.find_last_not_of(kBlanks) - first + 1);
}

std::size_t editDistance(std::string_view a, std::string_view b) { return distance(codePoints(a), codePoints(b), 1, 1); }

std::optional<std::string> nearest(std::string_view word, const std::vector<std::string>& candidates) {
    if (word.size() > 4 * kLongestWord) return std::nullopt;
    const std::vector<std::uint32_t> meant = codePoints(word);
    if (meant.empty() || meant.size() > kLongestWord) return std::nullopt;
    const std::size_t allowed = std::max<std::size_t>(1, meant.size() / 3);
    const std::string* best = nullptr;
    std::size_t bestHalves = 2 * allowed + 1; // distances are counted in half steps
    for (const std::string& candidate : candidates) {
        if (candidate.size() > 4 * (meant.size() + allowed)) continue;
        const std::vector<std::uint32_t> offered = codePoints(candidate);
        const std::size_t longer = std::max(meant.size(), offered.size());
        if (longer - std::min(meant.size(), offered.size()) > allowed) continue;
        const std::size_t halves = distance(meant, offered, 2, 1);
        // A word of which nothing is kept is another word, not a slip.
        if (halves >= 2 * longer) continue;
        if (halves < bestHalves) {
            bestHalves = halves;
            best = &candidate;
        }
    }
    if (best == nullptr) return std::nullopt;
    return *best;
}

std::string shortest(double value) {
    char buffer[32];
    const auto end = std::to_chars(buffer, buffer + sizeof buffer, value);
    return {buffer, end.ptr};
}

std::optional<double> readDouble(std::string_view text) {
    if (!text.empty() && text.front() == '+') {
        text.remove_prefix(1);
        if (!text.empty() && text.front() == '-') return std::nullopt;
    }
    // from_chars would also take "inf" and "nan".
    if (text.empty() || text.find_first_not_of("0123456789.eE+-") != std::string_view::npos) return std::nullopt;
    double value = 0.0;
    const auto [end, failure] = std::from_chars(text.data(), text.data() + text.size(), value);
    if (failure != std::errc{} || end != text.data() + text.size()) return std::nullopt;
    return value;
}

} // namespace spanwright::base
