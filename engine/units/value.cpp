// SPDX-License-Identifier: MIT
#include <array>
#include <cmath>
#include <cstdint>

#include "engine/base/text.h"
#include "engine/units/exact.h"
#include "engine/units/unit.h"

namespace spanwright::units {

namespace {

constexpr std::size_t kLongestText = 1000;

bool isDigit(char c) { return c >= '0' && c <= '9'; }

struct Vulgar {
    std::string_view sign;
    int num;
    int den;
};
constexpr std::array kVulgar{Vulgar{"½", 1, 2}, Vulgar{"¼", 1, 4}, Vulgar{"¾", 3, 4}, Vulgar{"⅛", 1, 8},
                             Vulgar{"⅜", 3, 8}, Vulgar{"⅝", 5, 8}, Vulgar{"⅞", 7, 8}};

/// Reads one value. Each part of `14 ft 6 in` is a number and a single unit; the parts are added
/// exactly and rounded once.
class Reader {
public:
    Reader(std::string_view text, const Unit* assumed) : m_text(text), m_assumed(assumed) {}

    base::Result<Written, ReadError> read() {
        if (m_text.size() > kLongestText) {
            refuse(diag::Code::ValueMalformed, {0, end32()}, "a value longer than 1000 bytes", "write a shorter value");
            return std::move(m_failure);
        }
        skipBlanks();
        const bool negative = sign();
        if (m_at == m_text.size()) {
            refuse(diag::Code::ValueMalformed, here(), "a number is missing", "write a number with its unit, such as `3.6 m`");
            return std::move(m_failure);
        }
        Exact total = 0;
        if (!parts(total)) return std::move(m_failure);
        if (negative) total = -total;
        Written out;
        out.unit = m_unit;
        out.si = nearestDouble(total);
        if (!std::isfinite(out.si) || (out.si == 0.0 && total != 0)) {
            tooLarge({0, end32()});
            return std::move(m_failure);
        }
        return out;
    }

private:
    using Fail = base::Failure<ReadError>;

    [[nodiscard]] std::uint32_t end32() const { return static_cast<std::uint32_t>(m_text.size()); }
    [[nodiscard]] base::ByteSpan from(std::size_t begin) const { return {static_cast<std::uint32_t>(begin), static_cast<std::uint32_t>(m_at)}; }
    [[nodiscard]] base::ByteSpan here() const {
        const std::size_t end = m_at < m_text.size() ? m_at + base::utf8Length(m_text, m_at) : m_at + 1;
        return {static_cast<std::uint32_t>(m_at), static_cast<std::uint32_t>(end)};
    }
    bool refuse(diag::Code code, base::ByteSpan span, std::string message, std::string mend) {
        m_failure = Fail{ReadError{code, span, std::move(message), std::move(mend)}};
        return false;
    }
    bool tooLarge(base::ByteSpan span) {
        return refuse(diag::Code::NumberTooLarge, span, "a number too large or too small to calculate with", "write a number between 1e-300 and 1e300");
    }
    [[nodiscard]] std::string_view rest() const { return m_text.substr(m_at); }
    [[nodiscard]] bool atDigit(std::size_t ahead = 0) const { return m_at + ahead < m_text.size() && isDigit(m_text[m_at + ahead]); }
    bool take(std::string_view mark) {
        if (!rest().starts_with(mark)) return false;
        m_at += mark.size();
        return true;
    }
    bool skipBlanks() {
        const std::size_t begin = m_at;
        while (take(" ") || take("\t") || take("\xC2\xA0") || take("\xE2\x80\xAF")) { // no-break spaces
        }
        return m_at > begin;
    }
    bool sign() {
        const bool negative = take("-") || take("\xE2\x88\x92"); // true minus
        if (!negative) take("+");
        skipBlanks();
        return negative;
    }

    bool parts(Exact& total) {
        for (int part = 0;; ++part) {
            Exact number;
            if (!amount(number)) return false;
            const bool blank = skipBlanks();
            const std::size_t unitBegin = m_at;
            Unit unit;
            if (!unitOf(unit, part, blank)) return false;
            if (part == 0) {
                m_unit = unit;
            } else if (!(unit.dimension == m_unit.dimension) || !(unit.factor < m_smallest) || unit.dimension.isNumber()) {
                return refuse(diag::Code::ValueMalformed, from(unitBegin), "the second part of a value needs a smaller unit of the same kind",
                              "write one number and one unit, or feet and inches such as `14 ft 6 in`");
            }
            m_smallest = unit.factor;
            total += number * exactFactor(unit);
            if (m_at == m_text.size()) return true;
        }
    }

    /// A number, perhaps with a fraction: `5`, `3.6`, `3,6`, `1e3`, `5 1/2`, `5-1/2`, `1/2`, `5½`, `½`.
    bool amount(Exact& out) {
        out = 0;
        if (vulgar(out)) return true;
        const std::size_t begin = m_at;
        if (slashAhead()) return fraction(out);
        std::string decimal;
        if (!number(decimal)) return false;
        DecimalFault why = DecimalFault::None;
        const auto exact = exactDecimal(decimal, &why);
        if (!exact) {
            if (why == DecimalFault::TooLarge) return tooLarge(from(begin));
            return refuse(diag::Code::ValueMalformed, from(begin), "this is no number", "write a number such as `3.6` or `1e3`");
        }
        out = *exact;
        if (decimal.find_first_not_of("0123456789") != std::string::npos) return true;
        // A whole number may carry a fraction.
        const std::size_t back = m_at;
        const bool blank = skipBlanks();
        if (vulgar(out)) return true;
        if ((blank || take("-")) && slashAhead()) return fraction(out);
        m_at = back;
        return true;
    }

    bool vulgar(Exact& sum) {
        for (const Vulgar& v : kVulgar) {
            if (!take(v.sign)) continue;
            sum += Exact(v.num, v.den);
            return true;
        }
        return false;
    }

    /// Digits, a slash and digits lie ahead (and not `1/m`, a unit).
    [[nodiscard]] bool slashAhead() const {
        std::size_t n = 0;
        while (atDigit(n)) ++n;
        return n > 0 && m_at + n < m_text.size() && m_text[m_at + n] == '/' && atDigit(n + 1);
    }

    bool fraction(Exact& sum) {
        const std::size_t begin = m_at;
        const auto digits = [this] {
            const std::size_t first = m_at;
            while (atDigit()) ++m_at;
            return *exactDecimal("0" + std::string(from(first).of(m_text).substr(0, 100)));
        };
        const Exact num = digits();
        take("/");
        const Exact den = digits();
        if (m_at - begin > 100 || den == 0) {
            return refuse(diag::Code::ValueMalformed, from(begin), "a fraction that divides by zero or is too long", "write a fraction such as `1/2`");
        }
        sum += num / den;
        return true;
    }

    /// The text of one number with a point and without marks.
    bool number(std::string& out) {
        const std::size_t begin = m_at;
        while (atDigit()) out += m_text[m_at++];
        const std::size_t whole = out.size();
        std::size_t commas = 0;
        std::size_t lastGroup = 0;
        std::string tail;
        while (rest().starts_with(",") && atDigit(1)) {
            ++commas;
            ++m_at;
            const std::size_t first = m_at;
            while (atDigit()) tail += m_text[m_at++];
            lastGroup = m_at - first;
        }
        if (commas > 0 && rest().starts_with(".") && atDigit(1)) {
            const std::size_t first = m_at++;
            while (atDigit()) ++m_at;
            return thousands(begin, out + tail + std::string(from(first).of(m_text)), {});
        }
        if (commas > 1) return thousands(begin, out + tail, {});
        if (commas == 1) {
            const bool couldBeGroup = lastGroup == 3 && whole >= 1 && whole <= 3 && out.front() != '0';
            if (couldBeGroup) return thousands(begin, out + tail, out + "." + tail);
            out += "." + tail;
        } else if (rest().starts_with(".") && (atDigit(1) || whole > 0)) {
            ++m_at;
            out += '.';
            while (atDigit()) out += m_text[m_at++];
            if (rest().starts_with(",") && atDigit(1)) {
                const std::size_t first = ++m_at;
                while (atDigit() || rest().starts_with(",")) ++m_at;
                std::string plain;
                for (const char c : out) {
                    if (c != '.') plain += c;
                }
                return thousands(begin, plain + "." + std::string(from(first).of(m_text)), {});
            }
        }
        if (out.empty() || out == ".") {
            m_at = begin;
            const std::string found(here().of(m_text));
            return refuse(diag::Code::ValueMalformed, here(), found.empty() ? "a number is missing" : "`" + found + "` where a number is wanted",
                          "write a number with its unit, such as `3.6 m`");
        }
        if (rest().starts_with("e") || rest().starts_with("E")) {
            const bool signedPower = rest().substr(1).starts_with("-") || rest().substr(1).starts_with("+");
            if (atDigit(signedPower ? 2 : 1)) {
                out += 'e';
                ++m_at;
                if (signedPower) out += m_text[m_at++];
                while (atDigit()) out += m_text[m_at++];
            }
        }
        return true;
    }

    bool thousands(std::size_t begin, const std::string& grouped, const std::string& decimal) {
        const std::string written(from(begin).of(m_text).substr(0, 60));
        if (decimal.empty()) {
            return refuse(diag::Code::ThousandsMark, from(begin), "`" + written + "` has marks between thousands", "write `" + grouped + "`");
        }
        return refuse(diag::Code::ThousandsMark, from(begin), "`" + written + "` may be " + grouped + " or " + decimal,
                      "write `" + grouped + "` or `" + decimal + "`");
    }

    /// The unit behind a number. Up to the next part (a digit behind a blank) or the end.
    bool unitOf(Unit& unit, int part, bool blank) {
        if (take("'") || take("\xE2\x80\xB2")) return mark(unit, "ft");  // prime
        if (take("\"") || take("\xE2\x80\xB3")) return mark(unit, "in"); // double prime
        if (m_at == m_text.size()) {
            if (part > 0) {
                return refuse(diag::Code::ValueMalformed, here(), "the last part of the value lacks its unit",
                              "write the unit of each part, such as `14 ft 6 in`");
            }
            if (m_assumed != nullptr) unit = *m_assumed;
            return true;
        }
        if (atDigit() && blank && !rest().starts_with("1/")) {
            return refuse(diag::Code::ValueMalformed, here(), "a number follows a number", "write one number without blanks inside, and its unit behind it");
        }
        const std::size_t begin = m_at;
        // A number behind a blank begins the next part, unless an operator joins it to the unit.
        std::size_t end = m_text.size();
        char before = '/';
        bool gap = false;
        for (std::size_t at = begin; at < m_text.size(); ++at) {
            const char c = m_text[at];
            if (c == ' ' || c == '\t') {
                gap = true;
                continue;
            }
            if (isDigit(c) && gap && before != '*' && before != '/' && before != '^' && before != '(' && before != '-') {
                end = at;
                break;
            }
            gap = false;
            before = c;
        }
        const std::string_view text = base::trimmed(m_text.substr(begin, end - begin));
        const bool divides = text.starts_with("/");
        auto read = readUnit(divides ? "1" + std::string(text) : std::string(text));
        if (!read) {
            ReadError error = std::move(read).error();
            const std::uint32_t shift = static_cast<std::uint32_t>(begin) - (divides ? 1U : 0U);
            error.span.begin += divides && error.span.begin == 0 ? shift + 1 : shift;
            error.span.end += shift;
            m_failure = Fail{std::move(error)};
            return false;
        }
        unit = std::move(read).value();
        m_at = end;
        return true;
    }

    /// Feet and inches by their marks; a dash may join them.
    bool mark(Unit& unit, std::string_view name) {
        unit = *findUnit(name);
        skipBlanks();
        if (name == "ft" && rest().starts_with("-") && m_at + 1 < m_text.size()) ++m_at;
        skipBlanks();
        return true;
    }

    std::string_view m_text;
    const Unit* m_assumed;
    std::size_t m_at = 0;
    Unit m_unit;
    double m_smallest = 0.0;
    Fail m_failure{};
};

} // namespace

base::Result<Written, ReadError> readValue(std::string_view text, const Unit* assumed) {
    // A plain number is read without further ado: tables have many.
    if (const auto si = plainToSi(text, assumed != nullptr ? *assumed : Unit{})) return Written{*si, assumed != nullptr ? *assumed : Unit{}};
    // Blanks at the end carry nothing; those in front stay, so that places count from the text given.
    while (!text.empty() && (text.back() == ' ' || text.back() == '\t' || text.back() == '\r' || text.back() == '\n')) text.remove_suffix(1);
    return Reader(text, assumed).read();
}

} // namespace spanwright::units
