// SPDX-License-Identifier: MIT
// Numbers with their units, and what reads like a value. No catalogue of units is at hand here: a word
// behind a number is taken for a unit.
#include <algorithm>
#include <array>

#include "engine/syntax/formula_reader.h"
#include "engine/syntax/signs.h"

namespace spanwright::syntax {

using diag::Code;

bool isStopWord(std::string_view word) {
    static constexpr std::array<std::string_view, 15> kWords = {"and",  "or",   "not",   "from", "to", "by",        "over", "as",
                                                                "only", "each", "sinks", "at",   "if", "otherwise", "off"};
    return std::find(kWords.begin(), kWords.end(), word) != kWords.end();
}

bool isCommonUnit(std::string_view word) {
    static constexpr std::array<std::string_view, 27> kWords = {"m",   "mm",  "cm",  "km", "s",  "h",  "min", "N",   "kN",  "MN",  "kg",  "g",   "t",  "Pa",
                                                                "kPa", "MPa", "GPa", "ft", "in", "yd", "lbf", "kip", "psi", "ksi", "psf", "plf", "kgf"};
    return std::find(kWords.begin(), kWords.end(), word) != kWords.end();
}

NodeId FormulaReader::number() {
    Node n;
    n.kind = NodeKind::Number;
    n.text = std::string(m_row.at(m_at));
    n.span = n.mark = m_row.tokens[m_at].span;
    const std::size_t first = m_at++;
    std::size_t at = m_at;
    if (m_at < m_end && m_row.isSymbol(m_at, "(")) {
        at = skipBracketedUnit(m_at, m_end);
        if (at == m_at)
            return fail(Code::NameAfterNumber, m_row.spanOf(first, m_at + 1), "a bracket follows the number " + n.text + " without an operator",
                        "write " + quoted(n.text + "*(") + " if a product is meant");
        n.unitSpan = m_row.spanOf(m_at + 1, at - 1);
    } else if (m_at < m_end && m_row.isSymbol(m_at, "%")) {
        n.unitSpan = m_row.spanOf(m_at, ++at);
    } else if (m_at < m_end && m_row.isSymbol(m_at, "\u00B0")) {
        ++at;
        if (at < m_end && m_row.is(at, TokenKind::Word) && m_row.adjoins(at)) ++at;
        n.unitSpan = m_row.spanOf(m_at, at);
    } else if (m_at < m_end && m_row.is(m_at, TokenKind::Word) && !isStopWord(m_row.at(m_at))) {
        if (!skipUnitFactor(at, m_end)) at = m_at + 1;
        n.unitSpan = m_row.spanOf(m_at, at);
        if (at < m_end && m_row.isSymbol(at, "^")) {
            const std::string measure(m_row.spanOf(first, at).of(m_row.text));
            complain(Code::FormulaUnexpected, m_row.spanOf(first, std::min(at + 2, m_end)),
                     "it is not clear what is raised to this power: the unit or the value",
                     "write " + quoted("(" + measure + ")^...") + " or put the unit in brackets");
        }
    } else {
        return add(std::move(n));
    }
    m_at = at;
    n.kind = NodeKind::Measure;
    n.unit = std::string(n.unitSpan.of(m_row.text));
    n.span = m_row.spanOf(first, m_at);
    return add(std::move(n));
}

/// One unit with its power: a word, then `^2`, `^-1`, a superscript or nothing.
bool FormulaReader::skipUnitFactor(std::size_t& at, std::size_t end) const {
    if (at >= end || !m_row.is(at, TokenKind::Word) || isStopWord(m_row.at(at))) return false;
    ++at;
    if (at < end && m_row.is(at, TokenKind::Symbol) && !superscript(m_row.at(at)).empty()) {
        ++at;
    } else if (at < end && m_row.isSymbol(at, "^")) {
        std::size_t power = at + 1;
        if (power < end && m_row.is(power, TokenKind::Symbol) && isMinus(m_row.at(power))) ++power;
        if (power < end && m_row.is(power, TokenKind::Number) && isWhole(m_row.at(power))) at = power + 1;
    }
    return true;
}

/// `(m/s^2)` behind a number: words, * · / ^, whole numbers and brackets, at least one word. Gives the
/// token behind the closing bracket, or `at` if it is none.
std::size_t FormulaReader::skipBracketedUnit(std::size_t at, std::size_t end) const {
    int depth = 0;
    bool word = false;
    for (std::size_t i = at; i < end; ++i) {
        const std::string_view t = m_row.at(i);
        if (m_row.is(i, TokenKind::Word)) {
            if (isStopWord(t) || m_row.isSymbol(i + 1, "(")) return at;
            word = true;
        } else if (m_row.is(i, TokenKind::Number)) {
            if (!isWhole(t)) return at;
        } else if (t == "(") {
            ++depth;
        } else if (t == ")") {
            if (--depth == 0) return word ? i + 1 : at;
        } else {
            const bool fits = isTimes(t) || t == "/" || t == "^" || !superscript(t).empty() || t == "%" || (isMinus(t) && m_row.isSymbol(i - 1, "^"));
            if (!fits) return at;
        }
    }
    return at;
}

/// A whole unit expression where only a value can stand.
bool FormulaReader::skipUnit(std::size_t& at, std::size_t end, bool& compound) const {
    compound = true;
    if (at >= end) return false;
    if (m_row.isSymbol(at, "%")) {
        ++at;
        return true;
    }
    if (m_row.isSymbol(at, "\u00B0")) {
        ++at;
        if (at < end && m_row.is(at, TokenKind::Word) && m_row.adjoins(at)) ++at;
        return true;
    }
    if (m_row.isSymbol(at, "(")) {
        const std::size_t behind = skipBracketedUnit(at, end);
        if (behind == at) return false;
        at = behind;
        return true;
    }
    if (!skipUnitFactor(at, end)) return false;
    compound = false;
    while (at + 1 < end && m_row.is(at, TokenKind::Symbol) && (isTimes(m_row.at(at)) || m_row.at(at) == "/")) {
        std::size_t next = at + 1;
        if (m_row.isSymbol(next, "(")) {
            const std::size_t behind = skipBracketedUnit(next, end);
            if (behind == next) return true;
            next = behind;
        } else if (!skipUnitFactor(next, end)) {
            return true;
        }
        compound = true;
        at = next;
    }
    return true;
}

bool FormulaReader::readsLikeValue(std::size_t begin, std::size_t end) const {
    std::size_t at = begin;
    if (m_row.is(at, TokenKind::Symbol) && (isMinus(m_row.at(at)) || m_row.at(at) == "+")) ++at;
    const auto isNumber = [&](std::size_t i) { return i < end && m_row.is(i, TokenKind::Number); };
    const auto isFraction = [&](std::size_t i) { return isNumber(i) && isNumber(i + 2) && m_row.isSymbol(i + 1, "/"); };
    for (bool first = true; at < end; first = false) {
        if (!isNumber(at)) return false;
        bool fraction = isFraction(at);
        at += fraction ? 3 : 1;
        if (!fraction && isFraction(at)) { // 5 1/2
            fraction = true;
            at += 3;
        }
        while (!fraction && m_row.isSymbol(at, ",") && m_row.adjoins(at) && m_row.adjoins(at + 1) && isNumber(at + 1) && at + 1 < end) at += 2;
        if (at >= end) return first && !fraction; // `1/2` alone is a formula as good as any
        bool compound = false;
        if (!skipUnit(at, end, compound)) return false;
        if (compound) return at == end;
    }
    return true;
}

/// `1.5 kN/m^2` in a formula divides by a quantity called m, which is seldom what was meant.
void FormulaReader::warnCompound(NodeId measure) {
    const Node& left = m_nodes[measure.index()];
    if (left.kind != NodeKind::Measure || left.unit.find_first_of("*/(") != std::string::npos) return;
    std::size_t at = m_at;
    std::size_t last = m_at;
    while (at + 1 < m_end && m_row.is(at, TokenKind::Symbol) && (isTimes(m_row.at(at)) || m_row.at(at) == "/")) {
        std::size_t next = at + 1;
        if (!m_row.is(next, TokenKind::Word) || !isCommonUnit(m_row.at(next))) break;
        if (!skipUnitFactor(next, m_end)) break;
        if (m_row.isSymbol(next, "(") || m_row.isSymbol(next, ".") || m_row.isSymbol(next, "^")) break;
        at = last = next;
    }
    if (last == m_at) return;
    const base::ByteSpan span{left.span.begin, m_row.tokens[last - 1].span.end};
    const base::ByteSpan unit{left.unitSpan.begin, span.end};
    complain(Code::CompoundUnitBare, span, "in a formula a compound unit stands in brackets",
             "write " + quoted(left.text + " (" + std::string(unit.of(m_row.text)) + ")"));
}

} // namespace spanwright::syntax
