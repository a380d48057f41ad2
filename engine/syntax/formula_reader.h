// SPDX-License-Identifier: MIT
#pragma once

#include <cstddef>
#include <initializer_list>
#include <string>
#include <string_view>
#include <vector>

#include "engine/syntax/formula.h"
#include "engine/syntax/token.h"

namespace spanwright::syntax {

/// The tokens before a row's first cut, without blanks, comments and line ends. Gives where the cut begins,
/// or the line end if there is none.
[[nodiscard]] std::uint32_t tokensToCut(std::string_view rowText, std::vector<Token>& tokens);

/// The tokens of a row that mean something: no blanks, no comments, nothing from the first cut (` -- `) on.
struct TokenRow {
    std::string_view text;
    std::vector<Token> tokens;
    std::uint32_t cut = 0;    ///< where the first cut begins; the row's length without its line end if there is none
    std::uint32_t source = 0; ///< where the second cut begins; likewise

    explicit TokenRow(std::string_view rowText);
    [[nodiscard]] std::size_t size() const { return tokens.size(); }
    [[nodiscard]] std::string_view at(std::size_t i) const { return i < tokens.size() ? tokens[i].span.of(text) : std::string_view{}; }
    [[nodiscard]] bool is(std::size_t i, TokenKind kind) const { return i < tokens.size() && tokens[i].kind == kind; }
    [[nodiscard]] bool isWord(std::size_t i, std::string_view word) const { return is(i, TokenKind::Word) && at(i) == word; }
    [[nodiscard]] bool isSymbol(std::size_t i, std::string_view symbol) const { return is(i, TokenKind::Symbol) && at(i) == symbol; }
    /// Nothing stands between token i and the one before it.
    [[nodiscard]] bool adjoins(std::size_t i) const { return i > 0 && i < tokens.size() && tokens[i - 1].span.end == tokens[i].span.begin; }
    /// From the first byte of token `begin` to the last of token `end - 1`; an empty span behind token
    /// `begin - 1` if there is none.
    [[nodiscard]] base::ByteSpan spanOf(std::size_t begin, std::size_t end) const;
};

/// Reads formulas out of a row's tokens. The first thing wrong in a formula is complained about, what
/// follows it becomes part of an Error node.
class FormulaReader {
public:
    FormulaReader(const TokenRow& row, std::vector<Complaint>& complaints) : m_row(row), m_complaints(complaints) {}

    /// The tokens [begin, end) as one formula; a complaint if there are none.
    [[nodiscard]] Formula read(std::size_t begin, std::size_t end);
    /// The same where a value can stand.
    [[nodiscard]] Formula readValueOr(std::size_t begin, std::size_t end);
    /// `x from A to B to C`: a Range node.
    [[nodiscard]] Formula readRange(std::size_t begin, std::size_t end);

    /// The first token in [begin, end) that stands outside brackets and is one of these words or symbols
    /// (a field such as `.from` is none); `end` if there is none.
    [[nodiscard]] std::size_t find(std::size_t begin, std::size_t end, std::initializer_list<std::string_view> stops) const;

private:
    void start(std::size_t begin, std::size_t end);
    [[nodiscard]] Formula finish(NodeId root, std::size_t begin, std::size_t end);
    [[nodiscard]] bool readsLikeValue(std::size_t begin, std::size_t end) const;
    [[nodiscard]] bool skipUnit(std::size_t& at, std::size_t end, bool& compound) const;
    [[nodiscard]] bool skipUnitFactor(std::size_t& at, std::size_t end) const;
    [[nodiscard]] std::size_t skipBracketedUnit(std::size_t at, std::size_t end) const;

    NodeId binary(int level);
    NodeId unary();
    NodeId power();
    NodeId postfix();
    NodeId primary();
    NodeId number();
    NodeId bracketed();
    NodeId rangeFrom(std::size_t variable);
    void arguments(Node& call, std::size_t bracket);
    NodeId argument();

    NodeId add(Node node);
    NodeId unaryNode(NodeKind kind, std::size_t mark, NodeId operand);
    NodeId binaryNode(Op op, base::ByteSpan mark, NodeId left, NodeId right);
    [[nodiscard]] Op operatorAt(int level) const;
    void complain(diag::Code code, base::ByteSpan span, std::string message, std::string mend);
    NodeId fail(diag::Code code, base::ByteSpan span, std::string message, std::string mend);
    NodeId failAt(std::size_t token);
    NodeId missing();
    void warnCompound(NodeId measure);
    [[nodiscard]] bool enter();
    void closeBracket(std::size_t bracket);

    const TokenRow& m_row;
    std::vector<Complaint>& m_complaints;
    std::vector<Node> m_nodes;
    std::size_t m_at = 0;
    std::size_t m_end = 0;
    int m_depth = 0;
    bool m_failed = false;
};

/// Content of a Text token (quotes removed, "" is one quote); `closed` says whether its quote ends it.
[[nodiscard]] std::string textContent(std::string_view token, bool& closed);

/// Words that end a formula and so can be no unit behind a number.
[[nodiscard]] bool isStopWord(std::string_view word);

/// Unit symbols that nearly everybody knows: behind `1.5 kN/` they are meant as units. A document that
/// defines such a name itself means its own.
[[nodiscard]] bool isCommonUnit(std::string_view word);

} // namespace spanwright::syntax
