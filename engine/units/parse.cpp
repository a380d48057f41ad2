// SPDX-License-Identifier: MIT
#include <algorithm>
#include <cmath>
#include <cstdint>
#include <limits>

#include "engine/base/text.h"
#include "engine/units/catalogue.h"
#include "engine/units/power_text.h"

namespace spanwright::units {

namespace {

constexpr std::size_t kLongestText = 500;
constexpr int kMostPower = 99;

bool isDigit(char c) { return c >= '0' && c <= '9'; }

/// A name in an expression, raised to a power.
struct Factor {
    Atom atom;
    Rational power{1, 1};
};

const std::vector<std::string_view>& raisedDigits() {
    static const std::vector<std::string_view> digits{"⁰", "¹", "²", "³", "⁴", "⁵", "⁶", "⁷", "⁸", "⁹"};
    return digits;
}

/// Names offered for a mistyped one: the catalogue and the prefixed units of everyday use.
std::vector<std::string> offered() {
    std::vector<std::string> names{"mm", "cm", "km", "kN", "MN", "MPa", "GPa", "kPa", "kJ", "kW", "kWh", "mL"};
    names.insert(names.end(), unitNames().begin(), unitNames().end());
    return names;
}

class Parser {
public:
    Parser(std::string_view text, const Catalogue& catalogue) : m_text(text), m_catalogue(catalogue) {}

    base::Result<Unit, ReadError> read() {
        if (m_text.size() > kLongestText) { return fail(diag::Code::UnitMalformed, {0, size32()}, "a unit longer than 500 bytes", "write a shorter unit"); }
        skipBlanks();
        if (m_at == m_text.size()) return Unit{};
        std::vector<Factor> factors;
        if (!product(factors)) return std::move(m_failure);
        if (m_at < m_text.size()) {
            unexpected();
            return std::move(m_failure);
        }
        return made(factors);
    }

private:
    using Fail = base::Failure<ReadError>;

    [[nodiscard]] std::uint32_t size32() const { return static_cast<std::uint32_t>(m_text.size()); }
    [[nodiscard]] base::ByteSpan from(std::size_t begin) const { return {static_cast<std::uint32_t>(begin), static_cast<std::uint32_t>(m_at)}; }
    [[nodiscard]] base::ByteSpan here() const {
        const std::size_t end = m_at < m_text.size() ? m_at + base::utf8Length(m_text, m_at) : m_at + 1;
        return {static_cast<std::uint32_t>(m_at), static_cast<std::uint32_t>(end)};
    }
    static Fail fail(diag::Code code, base::ByteSpan span, std::string message, std::string mend) {
        return Fail{ReadError{code, span, std::move(message), std::move(mend)}};
    }
    bool refuse(diag::Code code, base::ByteSpan span, std::string message, std::string mend) {
        m_failure = fail(code, span, std::move(message), std::move(mend));
        return false;
    }

    void skipBlanks() {
        for (;;) {
            if (m_at < m_text.size() && (m_text[m_at] == ' ' || m_text[m_at] == '\t')) {
                ++m_at;
            } else if (m_text.substr(m_at).starts_with("\xC2\xA0")) { // no-break space
                m_at += 2;
            } else {
                return;
            }
        }
    }
    bool take(std::string_view mark) {
        if (!m_text.substr(m_at).starts_with(mark)) return false;
        m_at += mark.size();
        skipBlanks();
        return true;
    }

    bool unexpected() {
        const std::string_view found = here().of(m_text);
        if (found.empty()) return refuse(diag::Code::UnitMalformed, here(), "the unit breaks off", "write a unit name here");
        if (found == ")") return refuse(diag::Code::UnitMalformed, here(), "a bracket is closed that was never opened", "take out the `)`");
        if (startsName()) { return refuse(diag::Code::UnitMalformed, here(), "two units side by side", "join them with `*` or `/`, such as `kN*m`"); }
        return refuse(diag::Code::UnitMalformed, here(), "`" + std::string(found) + "` does not fit in a unit",
                      "join unit names with `*` and `/`, powers with `^`, such as `N/mm^2`");
    }

    bool product(std::vector<Factor>& out) {
        if (!raised(out, 1)) return false;
        for (;;) {
            if (take("*") || take("·") || take("\xE2\x8B\x85")) { // dot operator
                if (!raised(out, 1)) return false;
            } else if (take("/")) {
                if (!raised(out, -1)) return false;
            } else {
                return true;
            }
        }
    }

    /// A name, `1` or a bracket, with its power.
    bool raised(std::vector<Factor>& out, int sign) {
        const std::size_t first = out.size();
        if (take("(")) {
            if (!product(out)) return false;
            if (!take(")")) {
                if (m_at < m_text.size()) return unexpected();
                return refuse(diag::Code::UnitMalformed, here(), "a bracket of the unit is not closed", "add the missing `)`");
            }
        } else if (m_at < m_text.size() && isDigit(m_text[m_at])) {
            const std::size_t begin = m_at;
            while (m_at < m_text.size() && (isDigit(m_text[m_at]) || m_text[m_at] == '.')) ++m_at;
            if (m_text.substr(begin, m_at - begin) != "1") {
                return refuse(diag::Code::UnitMalformed, from(begin), "a number other than 1 in a unit",
                              "put numbers into the value; a power is written with `^`, such as `mm^2`");
            }
            skipBlanks();
        } else if (!name(out)) {
            return false;
        }
        Rational power{1, 1};
        if (!exponent(power)) return false;
        power = power * Rational{sign, 1};
        for (std::size_t i = first; i < out.size(); ++i) out[i].power = out[i].power * power;
        return true;
    }

    [[nodiscard]] bool startsName() const {
        if (m_at >= m_text.size()) return false;
        const char c = m_text[m_at];
        if ((c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || c == '%') return true;
        if (static_cast<unsigned char>(c) < 0x80) return false;
        return !isMark(m_at);
    }
    /// Characters beyond ASCII that are marks of the grammar and not parts of names.
    [[nodiscard]] bool isMark(std::size_t at) const {
        const std::string_view rest = m_text.substr(at);
        if (rest.starts_with("·") || rest.starts_with("\xE2\x8B\x85") || rest.starts_with("\xC2\xA0") || rest.starts_with("⁻")) return true;
        return std::any_of(raisedDigits().begin(), raisedDigits().end(), [&](std::string_view d) { return rest.starts_with(d); });
    }

    bool name(std::vector<Factor>& out) {
        const std::size_t begin = m_at;
        if (!startsName()) return unexpected();
        if (m_text[m_at] == '%') {
            ++m_at;
        } else {
            while (m_at < m_text.size()) {
                const auto c = static_cast<unsigned char>(m_text[m_at]);
                const bool plain = (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || c == '_' || (c >= '0' && c <= '9');
                if (!plain && (c < 0x80 || isMark(m_at))) break;
                m_at += base::utf8Length(m_text, m_at);
            }
        }
        const base::ByteSpan span = from(begin);
        const std::string word(span.of(m_text));
        skipBlanks();
        if (const auto atom = m_catalogue.find(word)) {
            out.push_back({*atom});
            return true;
        }
        return unknown(word, span);
    }

    bool unknown(const std::string& word, base::ByteSpan span) {
        if (const RefusedWord* refused = Catalogue::refused(word)) {
            return refuse(refused->code, span, std::string(refused->message), std::string(refused->mend));
        }
        const std::string message = "`" + (word.size() > 60 ? "..." : word) + "` is no unit in the catalogue";
        std::string mend = "write a unit of the catalogue";
        const std::size_t letters = word.find_last_not_of("0123456789") + 1;
        if (word == "sheet" || word == "sheets") {
            mend = "panels are counted with `piece`";
        } else if (letters < word.size() && m_catalogue.find(word.substr(0, letters))) {
            mend = "write the power as `" + word.substr(0, letters) + "^" + word.substr(letters) + "`";
        } else if (const std::string split = splitInTwo(word); !split.empty()) {
            mend = "write `" + split + "`";
        } else if (const auto near = base::nearest(word, offered())) {
            mend = "did you mean `" + *near + "`?";
        }
        return refuse(diag::Code::UnknownUnit, span, message, mend);
    }

    /// "kNm" -> "kN*m"; empty when the word is not two units run together.
    [[nodiscard]] std::string splitInTwo(const std::string& word) const {
        if (word.size() > 8) return {};
        for (std::size_t cut = word.size() - 1; cut > 0; --cut) {
            const std::string left = word.substr(0, cut);
            const std::string right = word.substr(cut);
            const auto a = m_catalogue.find(left);
            const auto b = m_catalogue.find(right);
            // Only products that mean something on site: a force times a length, either way round.
            const Dimension force = Dimension::of(Base::Mass).times(Dimension::of(Base::Length)).over(Dimension::of(Base::Time, {2, 1}));
            const Dimension length = Dimension::of(Base::Length);
            if (a && b && ((a->dimension == force && b->dimension == length) || (a->dimension == length && b->dimension == force))) {
                return left + "*" + right;
            }
        }
        return {};
    }

    /// `^2`, `^-1`, `^(1/2)`, `^0.5`, `²`, `⁻¹`; nothing leaves the power at 1.
    bool exponent(Rational& power) {
        const std::size_t begin = m_at;
        if (take("^")) {
            const bool bracket = take("(");
            if (!number(power)) return false;
            if (bracket && take("/")) {
                Rational below;
                if (!number(below)) return false;
                if (below.isZero()) return refuse(diag::Code::UnitMalformed, from(begin), "a power divides by zero", "write the power as `^2` or `^(1/2)`");
                power = power * Rational::of(below.den, below.num);
            }
            if (bracket && !take(")")) return refuse(diag::Code::UnitMalformed, here(), "a power's bracket is not closed", "add the missing `)`");
            return inRange(power, begin);
        }
        const bool negative = take("⁻");
        std::string digits;
        for (bool more = true; more;) {
            more = false;
            for (std::size_t d = 0; d < raisedDigits().size(); ++d) {
                if (!m_text.substr(m_at).starts_with(raisedDigits()[d])) continue;
                m_at += raisedDigits()[d].size();
                digits += static_cast<char>('0' + d);
                more = true;
                break;
            }
        }
        if (digits.empty()) {
            if (negative) return refuse(diag::Code::UnitMalformed, from(begin), "a raised minus without a power", "write the power as `^-1`");
            return true;
        }
        skipBlanks();
        const auto read = Rational::fromDecimal(digits);
        if (!read) return tooLargePower(begin);
        power = negative ? *read * Rational{-1, 1} : *read;
        return inRange(power, begin);
    }

    bool number(Rational& out) {
        const std::size_t begin = m_at;
        if (m_at < m_text.size() && (m_text[m_at] == '-' || m_text[m_at] == '+')) ++m_at;
        while (m_at < m_text.size() && (isDigit(m_text[m_at]) || m_text[m_at] == '.')) ++m_at;
        const std::string_view digits = from(begin).of(m_text);
        const auto read = Rational::fromDecimal(digits);
        if (!read) {
            if (digits.size() > 6) return tooLargePower(begin);
            m_at = std::max(m_at, begin);
            return refuse(diag::Code::UnitMalformed, digits.empty() ? here() : from(begin), "a power that is no number", "write the power as `^2` or `^(1/2)`");
        }
        skipBlanks();
        out = *read;
        return inRange(out, begin);
    }

    bool tooLargePower(std::size_t begin) { return refuse(diag::Code::UnitMalformed, from(begin), "a power beyond 99", "write a smaller power"); }

    bool inRange(Rational power, std::size_t begin) {
        if (std::abs(power.num) <= kMostPower && power.den <= kMostPower) return true;
        return tooLargePower(begin);
    }

    /// Equal names gathered, what is multiplied first: one unit has one text and one factor, however
    /// it was written.
    base::Result<Unit, ReadError> made(const std::vector<Factor>& factors) {
        std::vector<Factor> gathered;
        for (const Factor& f : factors) {
            const auto same = std::find_if(gathered.begin(), gathered.end(), [&](const Factor& g) { return g.atom.ascii == f.atom.ascii; });
            if (same == gathered.end()) {
                gathered.push_back(f);
            } else {
                same->power = same->power + f.power;
            }
        }
        std::erase_if(gathered, [](const Factor& f) { return f.power.isZero(); });
        std::stable_sort(gathered.begin(), gathered.end(), [](const Factor& a, const Factor& b) { return a.power.num > 0 && b.power.num < 0; });

        Unit unit;
        std::vector<NamedPower> shown;
        std::vector<NamedPower> ascii;
        double tens = 0.0;
        for (const Factor& f : gathered) {
            if (std::abs(f.power.num) > kMostPower || f.power.den > kMostPower) {
                return fail(diag::Code::UnitMalformed, {0, size32()}, "a power beyond 99", "write a smaller power");
            }
            shown.push_back({f.atom.shown, f.power});
            ascii.push_back({f.atom.ascii, f.power});
            unit.dimension = unit.dimension.times(f.atom.dimension.toThe(f.power));
            tens += std::log10(nearestDouble(f.atom.factor)) * f.power.toDouble();
            if (std::abs(tens) > 250.0) {
                return fail(diag::Code::NumberTooLarge, {0, size32()}, "the unit is too large or too small for a number", "use units nearer to the value");
            }
        }
        unit.shown = powerText(shown, true);
        unit.ascii = powerText(ascii, false);
        setFactor(unit, gathered);
        return unit;
    }

    static void setFactor(Unit& unit, const std::vector<Factor>& gathered) {
        Exact exact = 1;
        double inexact = 1.0;
        for (const Factor& f : gathered) {
            if (f.power.isWhole()) {
                exact *= wholePower(f.atom.factor, f.power.num);
            } else if (f.power.den == 2) {
                inexact *= std::pow(std::sqrt(nearestDouble(f.atom.factor)), f.power.num);
            } else {
                inexact *= std::pow(nearestDouble(f.atom.factor), f.power.toDouble());
            }
        }
        unit.factor = nearestDouble(exact) * inexact;
        if (inexact != 1.0 || exactly(unit.factor) == exact) return;
        const auto num = boost::multiprecision::numerator(exact);
        const auto den = boost::multiprecision::denominator(exact);
        constexpr std::uint64_t kMost = std::numeric_limits<std::uint64_t>::max();
        if (num > kMost || den > kMost) return;
        unit.num = num.convert_to<std::uint64_t>();
        unit.den = den.convert_to<std::uint64_t>();
    }

    std::string_view m_text;
    const Catalogue& m_catalogue;
    std::size_t m_at = 0;
    Fail m_failure{};
};

} // namespace

base::Result<Unit, ReadError> readUnitFrom(std::string_view text, const Catalogue& catalogue) { return Parser(text, catalogue).read(); }

base::Result<Unit, ReadError> readUnit(std::string_view text) { return readUnitFrom(text, Catalogue::get()); }

std::optional<Unit> findUnit(std::string_view name) {
    if (!Catalogue::get().find(name)) return std::nullopt;
    auto unit = readUnit(name);
    if (!unit) return std::nullopt;
    return std::move(unit).value();
}

} // namespace spanwright::units
