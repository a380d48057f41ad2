// SPDX-License-Identifier: MIT
#include "engine/syntax/token.h"

#include "engine/syntax/formula_reader.h"
#include "engine/syntax/letters.h"

namespace spanwright::syntax {

namespace {

class Lexer {
public:
    Lexer(std::string_view text, std::size_t share) : m_text(text) { m_tokens.reserve(text.size() / share + 2); }

    /// Up to the first cut, without blanks, comments and line ends. Gives where the cut begins.
    std::uint32_t runToCut(std::vector<Token>& out) {
        bool lineStart = true;
        auto end = static_cast<std::uint32_t>(m_text.size());
        while (m_at < m_text.size() && !m_cut) {
            const auto before = static_cast<std::uint32_t>(m_at);
            const TokenKind kind = next(lineStart);
            if (kind == TokenKind::Dashes || kind == TokenKind::LineEnd)
                end = before;
            else if (kind != TokenKind::Blank && kind != TokenKind::Comment)
                m_tokens.push_back({kind, {before, static_cast<std::uint32_t>(m_at)}});
            lineStart = kind == TokenKind::Blank && (lineStart || m_text[m_at - 1] == '\n');
        }
        out = std::move(m_tokens);
        return end;
    }

    std::vector<Token> run() {
        bool lineStart = true;
        while (m_at < m_text.size()) {
            const std::size_t before = m_at;
            const TokenKind kind = next(lineStart);
            m_tokens.push_back({kind, {static_cast<std::uint32_t>(before), static_cast<std::uint32_t>(m_at)}});
            lineStart = kind == TokenKind::Blank && (lineStart || m_text[m_at - 1] == '\n');
        }
        return std::move(m_tokens);
    }

private:
    [[nodiscard]] char at(std::size_t i) const { return i < m_text.size() ? m_text[i] : '\0'; }
    [[nodiscard]] bool isLineEnd(std::size_t i) const { return at(i) == '\n' || (at(i) == '\r' && at(i + 1) == '\n'); }
    /// The blank run that starts at `i`: one line's blanks, or one line end.
    [[nodiscard]] bool isBlankOrEnd(std::size_t i) const { return i >= m_text.size() || isBlank(m_text[i]) || isLineEnd(i); }

    TokenKind next(bool lineStart) {
        const char c = m_text[m_at];
        if (isBlank(c)) {
            while (m_at < m_text.size() && isBlank(m_text[m_at])) ++m_at;
            return TokenKind::Blank;
        }
        if (isLineEnd(m_at)) {
            m_at += c == '\r' ? 2 : 1;
            return m_at == m_text.size() ? TokenKind::LineEnd : TokenKind::Blank;
        }
        if (c == '#' && lineStart) {
            while (m_at < m_text.size() && !isLineEnd(m_at)) ++m_at;
            return TokenKind::Comment;
        }
        if (isDigit(c) || (c == '.' && isDigit(at(m_at + 1)))) return number();
        if (c == '"' && !m_cut) return quoted();
        if (c == '-' && at(m_at + 1) == '-' && (m_at == 0 || isBlankOrEnd(m_at - 1)) && isBlankOrEnd(m_at + 2)) {
            m_at += 2;
            m_cut = true;
            return TokenKind::Dashes;
        }
        const Glyph g = glyphAt(m_text, m_at);
        if (!g.valid || g.point < 0x20 || (g.point >= 0x7F && g.point < 0xA0)) {
            ++m_at;
            return TokenKind::Bad;
        }
        if (isLetter(g.point)) return word();
        return symbol(g);
    }

    TokenKind number() {
        while (isDigit(at(m_at))) ++m_at;
        if (at(m_at) == '.' && isDigit(at(m_at + 1))) {
            ++m_at;
            while (isDigit(at(m_at))) ++m_at;
        }
        if (at(m_at) == 'e' || at(m_at) == 'E') {
            const std::size_t digit = m_at + (at(m_at + 1) == '+' || at(m_at + 1) == '-' ? 2 : 1);
            if (isDigit(at(digit))) {
                m_at = digit;
                while (isDigit(at(m_at))) ++m_at;
            }
        }
        return TokenKind::Number;
    }

    /// A text ends at its quote, or unclosed at the end of its line.
    TokenKind quoted() {
        ++m_at;
        while (m_at < m_text.size() && !isLineEnd(m_at)) {
            if (m_text[m_at++] != '"') continue;
            if (at(m_at) != '"') break;
            ++m_at;
        }
        return TokenKind::Text;
    }

    TokenKind word() {
        while (m_at < m_text.size()) {
            const char c = m_text[m_at];
            if (isDigit(c) || c == '_') {
                ++m_at;
                continue;
            }
            const Glyph g = glyphAt(m_text, m_at);
            if (!g.valid || !isLetter(g.point)) break;
            m_at += g.length;
        }
        return TokenKind::Word;
    }

    TokenKind symbol(const Glyph& g) {
        const char c = m_text[m_at];
        const char d = at(m_at + 1);
        const bool two = (d == '=' && (c == '<' || c == '>' || c == '=' || c == '!')) || (c == '+' && d == '-');
        m_at += two ? 2 : g.length;
        return TokenKind::Symbol;
    }

    std::string_view m_text;
    std::size_t m_at = 0;
    bool m_cut = false; ///< behind the first Dashes a quote mark is an inch mark or an apostrophe, not a text
    std::vector<Token> m_tokens;
};

} // namespace

std::vector<Token> tokenize(std::string_view rowText) { return Lexer(rowText, 3).run(); }

std::uint32_t tokensToCut(std::string_view rowText, std::vector<Token>& tokens) { return Lexer(rowText, 6).runToCut(tokens); }

} // namespace spanwright::syntax
