// SPDX-License-Identifier: MIT
#include "engine/report/clean.h"

#include <algorithm>
#include <cstdint>
#include <iterator>
#include <utility>

#include "engine/base/text.h"
#include "engine/units/unit.h"

namespace spanwright::report {

namespace {

constexpr std::size_t kLongestUnit = 24;
constexpr std::string_view kReplacement = "\xef\xbf\xbd";

/// Reads one code point; a malformed byte gives 0xFFFD and one byte.
std::uint32_t codePoint(std::string_view text, std::size_t at, std::size_t& length) {
    length = base::utf8Length(text, at);
    const auto byte = [&](std::size_t i) { return static_cast<std::uint32_t>(static_cast<unsigned char>(text[at + i])); };
    if (length <= 1 || at + length > text.size()) {
        length = 1;
        return byte(0) < 0x80U ? byte(0) : 0xFFFDU;
    }
    if (length == 2) return ((byte(0) & 0x1FU) << 6U) | (byte(1) & 0x3FU);
    if (length == 3) return ((byte(0) & 0x0FU) << 12U) | ((byte(1) & 0x3FU) << 6U) | (byte(2) & 0x3FU);
    return ((byte(0) & 0x07U) << 18U) | ((byte(1) & 0x3FU) << 12U) | ((byte(2) & 0x3FU) << 6U) | (byte(3) & 0x3FU);
}

/// Controls, direction marks and overrides (they make a text read otherwise than it is), line and
/// paragraph separators, byte order mark, private planes' ends and other non-characters.
bool harmful(std::uint32_t c) {
    if (c < 0x20U || (c >= 0x7FU && c <= 0x9FU)) return true;
    if (c == 0x200EU || c == 0x200FU || c == 0x061CU || (c >= 0x2028U && c <= 0x202EU) || (c >= 0x2066U && c <= 0x2069U)) return true;
    if (c == 0xFEFFU || (c >= 0xFDD0U && c <= 0xFDEFU) || (c & 0xFFFEU) == 0xFFFEU) return true;
    return c >= 0xD800U && c <= 0xDFFFU;
}

bool combining(std::uint32_t c) {
    return (c >= 0x300U && c <= 0x36FU) || (c >= 0x1AB0U && c <= 0x1AFFU) || (c >= 0x20D0U && c <= 0x20FFU) || (c >= 0xFE00U && c <= 0xFE0FU) || c == 0x200BU ||
           c == 0x200CU || c == 0x200DU;
}

} // namespace

std::string cleaned(std::string_view text, bool keepLines) {
    std::string out;
    out.reserve(text.size());
    for (std::size_t at = 0; at < text.size();) {
        std::size_t length = 1;
        const std::uint32_t c = codePoint(text, at, length);
        if (c == '\n')
            out += keepLines ? '\n' : ' ';
        else if (c == '\r' && at + 1 < text.size() && text[at + 1] == '\n') {
        } // the line feed speaks for both
        else if (c == '\t')
            out += ' ';
        else if (harmful(c) || (length == 1 && static_cast<unsigned char>(text[at]) >= 0x80U))
            out += kReplacement;
        else
            out += text.substr(at, length);
        at += length;
    }
    return out;
}

std::string htmlText(std::string_view text) {
    const std::string clean = cleaned(text);
    std::string out;
    out.reserve(clean.size() + clean.size() / 8);
    for (const char c : clean) {
        switch (c) {
        case '&': out += "&amp;"; break;
        case '<': out += "&lt;"; break;
        case '>': out += "&gt;"; break;
        case '"': out += "&quot;"; break;
        case '\'': out += "&#39;"; break;
        default: out += c;
        }
    }
    return out;
}

std::string cssText(std::string_view text) {
    const std::string clean = cleaned(text);
    static constexpr std::string_view kHex = "0123456789abcdef";
    std::string out;
    for (std::size_t at = 0; at < clean.size();) {
        std::size_t length = 1;
        std::uint32_t c = codePoint(clean, at, length);
        at += length;
        const bool plain = (c >= '0' && c <= '9') || (c >= 'A' && c <= 'Z') || (c >= 'a' && c <= 'z') || c == ' ';
        if (plain) {
            out += static_cast<char>(c);
            continue;
        }
        std::string hex;
        for (; c != 0; c >>= 4U) hex.insert(hex.begin(), kHex[c & 0xFU]);
        out.append("\\").append(hex).append(" ");
    }
    return out;
}

std::string csvField(std::string_view text) {
    std::string clean = cleaned(text);
    if (!clean.empty() && std::string_view("=+-@").find(clean.front()) != std::string_view::npos && !base::readDouble(clean)) clean.insert(clean.begin(), ' ');
    if (clean.find_first_of(",\"") == std::string::npos && (clean.empty() || (clean.front() != ' ' && clean.back() != ' '))) return clean;
    std::string out = "\"";
    for (const char c : clean) {
        if (c == '"') out += '"';
        out += c;
    }
    return out + "\"";
}

std::string figuresPrinted(std::string_view figures) {
    const std::size_t power = figures.find('e');
    if (power == std::string_view::npos || !base::readDouble(figures)) return std::string(figures);
    static constexpr std::string_view kRaised[] = {"⁰", "¹", "²", "³", "⁴", "⁵", "⁶", "⁷", "⁸", "⁹"};
    std::string out = std::string(figures.substr(0, power)) + "·10";
    for (const char c : figures.substr(power + 1)) {
        if (c == '-')
            out += "⁻";
        else if (c >= '0' && c <= '9')
            out += kRaised[c - '0'];
    }
    return out;
}

std::string asPrinted(std::string_view text) {
    std::string out;
    out.reserve(text.size());
    const auto digit = [&](std::size_t at) { return at < text.size() && text[at] >= '0' && text[at] <= '9'; };
    const auto letter = [&](std::size_t at) { return at < text.size() && ((text[at] >= 'a' && text[at] <= 'z') || (text[at] >= 'A' && text[at] <= 'Z')); };
    // "in kN": what stands over numbers.
    if (text.substr(0, 3) == "in " && (text.substr(3) == "%" || units::readUnit(text.substr(3)).ok())) return "in\u00a0" + std::string(text.substr(3));
    // "2.904e7": where such a number ends; `at` where none begins.
    const auto poweredEnd = [&](std::size_t at) {
        if (!digit(at) || (at > 0 && (digit(at - 1) || text[at - 1] == '.' || text[at - 1] == '_' || letter(at - 1)))) return at;
        std::size_t end = at;
        while (digit(end) || (end < text.size() && text[end] == '.')) ++end;
        if (end >= text.size() || text[end] != 'e') return at;
        std::size_t last = end + 1;
        if (last < text.size() && text[last] == '-') ++last;
        if (!digit(last)) return at;
        while (digit(last)) ++last;
        return last < text.size() && (text[last] == '_' || letter(last)) ? at : last;
    };
    static constexpr std::string_view kTimes = " × ";
    static constexpr std::pair<std::string_view, std::string_view> kSigns[] = {{" == ", " = "}, {" != ", " ≠ "}, {" <= ", " ≤ "}, {" >= ", " ≥ "}};
    // "EN 338": what two to four capitals stand for and its number, a standard's, are one name.
    const auto standard = [&](std::size_t blank) {
        std::size_t from = blank;
        while (from > 0 && text[from - 1] >= 'A' && text[from - 1] <= 'Z') --from;
        return digit(blank + 1) && blank - from >= 2 && blank - from <= 4 && (from == 0 || text[from - 1] == ' ' || text[from - 1] == '(');
    };
    for (std::size_t at = 0; at < text.size(); ++at) {
        const std::string_view rest = text.substr(at);
        const auto sign = std::find_if(std::begin(kSigns), std::end(kSigns), [&](const auto& s) { return rest.substr(0, s.first.size()) == s.first; });
        if (const std::size_t end = poweredEnd(at); end > at) {
            out += figuresPrinted(text.substr(at, end - at));
            at = end - 1;
        } else if (sign != std::end(kSigns)) {
            out += sign->second;
            at += sign->first.size() - 1;
        } else if (at > 0 && rest.substr(0, 3) == " x " && (digit(at - 1) || text[at - 1] == ')' || digit(at + 3) || rest.substr(3, 1) == "(")) {
            // A size is one word.
            out += digit(at - 1) && digit(at + 3) ? "\u00a0×\u00a0" : " × ";
            at += 2;
        } else if (at > 0 && rest.substr(0, kTimes.size()) == kTimes && digit(at - 1) && digit(at + kTimes.size())) {
            out += "\u00a0×\u00a0";
            at += kTimes.size() - 1;
        } else if (at > 0 && rest.substr(0, 4) == " +- ") {
            out += " ± ";
            at += 3;
        } else if (at > 0 && (letter(at - 1) || text[at - 1] == ')') && text[at] == '^' && (rest.substr(1, 1) == "2" || rest.substr(1, 1) == "3") &&
                   !digit(at + 2)) {
            out += text[at + 1] == '2' ? "²" : "³";
            ++at;
        } else if (at > 0 && text[at] == ' ' && standard(at)) {
            out += "\u00a0";
        } else if (at > 0 && text[at] == ' ' && digit(at - 1)) {
            std::string_view unit = rest.substr(1, std::min(rest.find(' ', 1), rest.size()) - 1);
            while (!unit.empty() && std::string_view(",;:.)").find(unit.back()) != std::string_view::npos) unit.remove_suffix(1);
            const bool firm = !unit.empty() && unit.size() <= kLongestUnit && (unit == "%" || units::readUnit(unit).ok());
            out += firm ? "\u00a0" : " ";
        } else
            out += text[at];
    }
    return out;
}

std::size_t textWidth(std::string_view text) {
    std::size_t width = 0;
    for (std::size_t at = 0; at < text.size();) {
        std::size_t length = 1;
        if (!combining(codePoint(text, at, length))) ++width;
        at += length;
    }
    return width;
}

} // namespace spanwright::report
