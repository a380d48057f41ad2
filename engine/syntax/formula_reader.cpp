// SPDX-License-Identifier: MIT
#include "engine/syntax/formula_reader.h"

#include <algorithm>

#include "engine/syntax/lines.h"
#include "engine/syntax/signs.h"

namespace spanwright::syntax {

using diag::Code;

namespace {

constexpr int kOr = 1, kAnd = 2, kNot = 3, kComparison = 4, kProduct = 6;

} // namespace

TokenRow::TokenRow(std::string_view rowText) : text(rowText) {
    cut = source = tokensToCut(rowText, tokens);
    if (rowText.substr(cut, 2) != "--") return;
    std::size_t end = rowText.size();
    if (end > 0 && rowText[end - 1] == '\n') --end;
    if (end > 0 && end < rowText.size() && rowText[end - 1] == '\r') --end;
    source = static_cast<std::uint32_t>(std::min(findCut(rowText, cut + 2), end));
}

base::ByteSpan TokenRow::spanOf(std::size_t begin, std::size_t end) const {
    if (begin < end && begin < tokens.size()) return {tokens[begin].span.begin, tokens[std::min(end, tokens.size()) - 1].span.end};
    const std::uint32_t behind = begin > 0 && begin <= tokens.size() ? tokens[begin - 1].span.end : 0;
    return {behind, behind};
}

std::string textContent(std::string_view token, bool& closed) {
    std::string out;
    closed = false;
    for (std::size_t i = 1; i < token.size(); ++i) {
        if (token[i] == '"') {
            if (i + 1 < token.size() && token[i + 1] == '"') {
                ++i;
            } else {
                closed = true;
                break;
            }
        }
        out += token[i];
    }
    return out;
}

// ---- entry points

void FormulaReader::start(std::size_t begin, std::size_t end) {
    m_nodes.clear();
    m_nodes.reserve(std::min<std::size_t>(end - begin, 64));
    m_at = begin;
    m_end = end;
    m_depth = 0;
    m_failed = false;
}

Formula FormulaReader::finish(NodeId root, std::size_t begin, std::size_t end) {
    if (m_at < m_end && !m_failed) {
        const NodeId broken = failAt(m_at);
        Node both;
        both.kind = NodeKind::Error;
        both.children = {root, broken};
        root = add(std::move(both));
    }
    Formula f;
    f.span = m_row.spanOf(begin, end);
    if (m_nodes[root.index()].kind == NodeKind::Error) m_nodes[root.index()].span = f.span;
    // No larger than need be: there are many formulas.
    f.nodes.assign(std::make_move_iterator(m_nodes.begin()), std::make_move_iterator(m_nodes.end()));
    f.root = root;
    m_nodes.clear();
    return f;
}

Formula FormulaReader::read(std::size_t begin, std::size_t end) {
    start(begin, end);
    if (begin >= end) {
        complain(Code::FormulaExpected, m_row.spanOf(begin, end), "a formula is missing here", "write what the value is");
        return {};
    }
    if (m_row.text.size() > kMaxFormulaBytes) return {}; // said once, for the row
    const NodeId root = binary(kOr);
    return finish(root, begin, end);
}

Formula FormulaReader::readRange(std::size_t begin, std::size_t end) {
    start(begin, end);
    if (!(m_row.is(begin, TokenKind::Word) && m_row.isWord(begin + 1, "from") && begin + 1 < end)) {
        complain(Code::FormulaExpected, m_row.spanOf(begin, std::min(begin + 1, end)), "a range is missing here", "write a range such as `x from 0 m to L`");
        return {};
    }
    if (m_row.text.size() > kMaxFormulaBytes) return {};
    const NodeId root = rangeFrom(begin);
    return finish(root, begin, end);
}

Formula FormulaReader::readValueOr(std::size_t begin, std::size_t end) {
    if (begin >= end || m_row.text.size() > kMaxFormulaBytes || !readsLikeValue(begin, end)) return read(begin, end);
    // The same text as a formula serves when a word in it is a name; what it lacks then is not yet wrong.
    std::vector<Complaint> scratch;
    FormulaReader other(m_row, scratch);
    Formula f = other.read(begin, end);
    const bool usable = std::all_of(scratch.begin(), scratch.end(), [](const Complaint& c) { return c.code == Code::CompoundUnitBare; });
    if (!usable) f = {};
    f.span = m_row.spanOf(begin, end);
    Node value;
    value.kind = NodeKind::Value;
    value.span = f.span;
    value.mark = f.span;
    value.text = std::string(f.span.of(m_row.text));
    if (usable) value.children = {f.root};
    f.root = NodeId(f.nodes.size());
    f.nodes.push_back(std::move(value));
    return f;
}

std::size_t FormulaReader::find(std::size_t begin, std::size_t end, std::initializer_list<std::string_view> stops) const {
    int depth = 0;
    for (std::size_t i = begin; i < end; ++i) {
        const TokenKind kind = m_row.tokens[i].kind;
        if (kind != TokenKind::Word && kind != TokenKind::Symbol) continue;
        const std::string_view t = m_row.at(i);
        const bool field = i > begin && m_row.isSymbol(i - 1, ".");
        if (depth == 0 && !field && std::find(stops.begin(), stops.end(), t) != stops.end()) return i;
        if (t == "(" || t == "[") ++depth;
        if ((t == ")" || t == "]") && depth > 0) --depth;
    }
    return end;
}

// ---- operators

Op FormulaReader::operatorAt(int level) const {
    if (m_at >= m_end) return Op::None;
    const std::string_view t = m_row.at(m_at);
    if (m_row.is(m_at, TokenKind::Word)) {
        if (level == kOr && t == "or") return Op::Or;
        if (level == kAnd && t == "and") return Op::And;
        return Op::None;
    }
    if (!m_row.is(m_at, TokenKind::Symbol)) return Op::None;
    if (level == kComparison) {
        if (t == "<") return Op::Less;
        if (t == "<=" || t == "\u2264") return Op::LessEqual;
        if (t == ">") return Op::Greater;
        if (t == ">=" || t == "\u2265") return Op::GreaterEqual;
        if (t == "==") return Op::Equal;
        if (t == "!=" || t == "\u2260") return Op::NotEqual;
    } else if (level == kProduct) {
        if (isTimes(t)) return Op::Multiply;
        if (t == "/") return Op::Divide;
    } else if (level == kProduct - 1) {
        if (t == "+") return Op::Add;
        if (isMinus(t)) return Op::Subtract;
    }
    return Op::None;
}

NodeId FormulaReader::binary(int level) {
    if (level > kProduct) return unary();
    if (level == kNot) {
        if (!(m_at < m_end && m_row.isWord(m_at, "not"))) return binary(kComparison);
        const std::size_t mark = m_at++;
        if (!enter()) return missing();
        const NodeId operand = binary(kNot);
        --m_depth;
        return unaryNode(NodeKind::Not, mark, operand);
    }
    NodeId left = binary(level + 1);
    NodeId last = left; // the operand just read
    for (int count = 0;; ++count) {
        const Op op = operatorAt(level);
        if (op == Op::None) return left;
        const base::ByteSpan mark = m_row.tokens[m_at].span;
        if (level == kComparison && count == 1)
            complain(Code::ChainedComparison, mark, "a second comparison follows the first", "write two conditions joined by `and`, such as `a < b and b < c`");
        if (level == kProduct) warnCompound(last);
        ++m_at;
        last = binary(level + 1);
        left = binaryNode(op, mark, left, last);
    }
}

NodeId FormulaReader::unary() {
    if (m_at < m_end && m_row.is(m_at, TokenKind::Symbol) && isMinus(m_row.at(m_at))) {
        const std::size_t mark = m_at++;
        if (!enter()) return missing();
        const NodeId operand = unary();
        --m_depth;
        return unaryNode(NodeKind::Negate, mark, operand);
    }
    return power();
}

NodeId FormulaReader::power() {
    NodeId base = postfix();
    while (m_at < m_end && m_row.is(m_at, TokenKind::Symbol) && !superscript(m_row.at(m_at)).empty()) {
        Node two;
        two.kind = NodeKind::Number;
        two.text = std::string(superscript(m_row.at(m_at)));
        two.span = two.mark = m_row.tokens[m_at].span;
        const base::ByteSpan mark = two.span;
        ++m_at;
        const NodeId exponent = add(std::move(two));
        base = binaryNode(Op::Power, mark, base, exponent);
    }
    if (!(m_at < m_end && m_row.isSymbol(m_at, "^"))) return base;
    const base::ByteSpan mark = m_row.tokens[m_at++].span;
    if (!enter()) return missing();
    const NodeId exponent = unary(); // takes a sign and, being right-associative, a further ^
    --m_depth;
    return binaryNode(Op::Power, mark, base, exponent);
}

// ---- operands

NodeId FormulaReader::postfix() {
    NodeId node = primary();
    while (m_at + 1 < m_end && m_row.isSymbol(m_at, ".") && m_row.is(m_at + 1, TokenKind::Word) && !m_failed) {
        const NodeKind kind = m_nodes[node.index()].kind;
        if (kind != NodeKind::Name && kind != NodeKind::Field && kind != NodeKind::Call && kind != NodeKind::FieldCall) return failAt(m_at);
        Node field;
        field.kind = NodeKind::Field;
        field.text = canonicalName(m_row.at(m_at + 1));
        field.mark = m_row.tokens[m_at + 1].span;
        field.span = m_nodes[node.index()].span.joined(field.mark);
        field.children = {node};
        m_at += 2;
        if (m_at < m_end && m_row.isSymbol(m_at, "(")) {
            field.kind = NodeKind::FieldCall;
            arguments(field, m_at++);
        }
        node = add(std::move(field));
    }
    return node;
}

NodeId FormulaReader::primary() {
    if (m_at >= m_end) return missing();
    const Token& t = m_row.tokens[m_at];
    switch (t.kind) {
    case TokenKind::Number: return number();
    case TokenKind::Text: {
        bool closed = false;
        Node text;
        text.kind = NodeKind::Text;
        text.text = textContent(m_row.at(m_at), closed);
        text.span = text.mark = t.span;
        if (!closed) complain(Code::TextOpen, t.span, "this text is not closed", "end it with a double quote on the same line");
        ++m_at;
        return add(std::move(text));
    }
    case TokenKind::Word: {
        const std::string_view word = m_row.at(m_at);
        const bool call = m_at + 1 < m_end && m_row.isSymbol(m_at + 1, "(");
        if (word == "if" && !call) return fail(Code::FormulaUnexpected, t.span, "`if` needs brackets", "write `if(condition, value, other value)`");
        if (isStopWord(word) && word != "if" && word != "off" && word != "at") return missing();
        Node name;
        name.kind = call ? NodeKind::Call : NodeKind::Name;
        name.text = canonicalName(word);
        name.span = name.mark = t.span;
        ++m_at;
        if (call) arguments(name, m_at++);
        return add(std::move(name));
    }
    case TokenKind::Symbol:
        if (m_row.at(m_at) == "(") return bracketed();
        break;
    default: break;
    }
    return failAt(m_at);
}

NodeId FormulaReader::bracketed() {
    const std::size_t bracket = m_at++;
    if (!enter()) return missing();
    Node paren;
    paren.kind = NodeKind::Paren;
    paren.mark = m_row.tokens[bracket].span;
    paren.children = {binary(kOr)};
    closeBracket(bracket);
    --m_depth;
    paren.span = m_row.spanOf(bracket, std::max(bracket + 1, m_at));
    return add(std::move(paren));
}

void FormulaReader::closeBracket(std::size_t bracket) {
    if (m_failed) return;
    if (m_at >= m_end) {
        fail(Code::BracketOpen, m_row.tokens[bracket].span, "this bracket is never closed", "write `)` where it should end");
        return;
    }
    if (m_row.isSymbol(m_at, ")")) {
        ++m_at;
        return;
    }
    failAt(m_at);
}

void FormulaReader::arguments(Node& call, std::size_t bracket) {
    const base::ByteSpan start = call.span;
    if (!enter()) {
        missing();
    } else {
        if (m_at < m_end && m_row.isSymbol(m_at, ")")) {
            ++m_at;
        } else {
            call.children.push_back(argument());
            while (m_at < m_end && m_row.isSymbol(m_at, ",") && !m_failed) {
                ++m_at;
                call.children.push_back(argument());
            }
            closeBracket(bracket);
        }
        --m_depth;
    }
    call.span = start.joined(m_row.spanOf(bracket, std::max(bracket + 1, m_at)));
}

NodeId FormulaReader::argument() {
    if (m_at + 1 < m_end && m_row.isWord(m_at, "over") && m_row.is(m_at + 1, TokenKind::Word) && isName(m_row.at(m_at + 1))) {
        Node over;
        over.kind = NodeKind::Over;
        over.text = canonicalName(m_row.at(m_at + 1));
        over.mark = m_row.tokens[m_at + 1].span;
        over.span = m_row.spanOf(m_at, m_at + 2);
        m_at += 2;
        return add(std::move(over));
    }
    if (m_at + 1 < m_end && m_row.is(m_at, TokenKind::Word) && m_row.isWord(m_at + 1, "from")) return rangeFrom(m_at);
    return binary(kOr);
}

NodeId FormulaReader::rangeFrom(std::size_t variable) {
    Node range;
    range.kind = NodeKind::Range;
    range.text = canonicalName(m_row.at(variable));
    range.mark = m_row.tokens[variable].span;
    if (!isName(m_row.at(variable)))
        complain(Code::BadName, range.mark, quoted(m_row.at(variable)) + " is a word of the language and can be no name", "choose another name");
    m_at = variable + 2;
    range.children.push_back(binary(kOr));
    if (!m_failed && !(m_at < m_end && m_row.isWord(m_at, "to")))
        fail(Code::FormulaExpected, m_row.spanOf(m_at, m_at), "this range has no end", "write `from A to B`");
    while (m_at < m_end && m_row.isWord(m_at, "to") && !m_failed) {
        ++m_at;
        range.children.push_back(binary(kOr));
    }
    range.span = m_row.spanOf(variable, std::max(variable + 2, m_at));
    return add(std::move(range));
}

// ---- building and complaining

NodeId FormulaReader::add(Node node) {
    m_nodes.push_back(std::move(node));
    return NodeId(m_nodes.size() - 1);
}

NodeId FormulaReader::unaryNode(NodeKind kind, std::size_t mark, NodeId operand) {
    Node n;
    n.kind = kind;
    n.mark = m_row.tokens[mark].span;
    n.span = n.mark.joined(m_nodes[operand.index()].span);
    n.children = {operand};
    return add(std::move(n));
}

NodeId FormulaReader::binaryNode(Op op, base::ByteSpan mark, NodeId left, NodeId right) {
    Node n;
    n.kind = NodeKind::Binary;
    n.op = op;
    n.mark = mark;
    n.span = m_nodes[left.index()].span.joined(mark).joined(m_nodes[right.index()].span);
    n.children = {left, right};
    return add(std::move(n));
}

bool FormulaReader::enter() {
    if (++m_depth <= kMaxNesting) return true;
    --m_depth;
    if (!m_failed) {
        const base::ByteSpan span = m_row.tokens[m_at > 0 ? m_at - 1 : 0].span;
        fail(Code::TooDeep, span, "this formula is nested deeper than " + std::to_string(kMaxNesting) + " levels", "give parts of it rows of their own");
    }
    return false;
}

void FormulaReader::complain(Code code, base::ByteSpan span, std::string message, std::string mend) {
    if (!m_failed) m_complaints.push_back({code, span, std::move(message), std::move(mend)});
}

/// The first failure is said; reading jumps to the end, so what stands open unwinds in silence.
NodeId FormulaReader::fail(Code code, base::ByteSpan span, std::string message, std::string mend) {
    complain(code, span, std::move(message), std::move(mend));
    Node n;
    n.kind = NodeKind::Error;
    n.span = n.mark = m_failed ? base::ByteSpan{span.begin, span.begin} : base::ByteSpan{span.begin, std::max(span.end, m_row.spanOf(m_at, m_end).end)};
    m_failed = true;
    m_at = m_end;
    return add(std::move(n));
}

NodeId FormulaReader::missing() {
    if (m_failed) {
        Node n;
        n.span = n.mark = m_row.spanOf(m_end, m_end);
        return add(std::move(n));
    }
    if (m_at < m_end && m_row.is(m_at, TokenKind::Word))
        return fail(Code::FormulaExpected, m_row.tokens[m_at].span, "a value is missing before " + quoted(m_row.at(m_at)), "write a value there");
    const std::string_view before = m_at > 0 ? m_row.at(m_at - 1) : std::string_view{};
    return fail(Code::FormulaExpected, m_row.spanOf(m_at > 0 ? m_at - 1 : 0, m_at), "the formula breaks off after " + quoted(before), "write what follows");
}

/// What stands at `token` does not fit there.
NodeId FormulaReader::failAt(std::size_t token) {
    const Token& t = m_row.tokens[token];
    const std::string_view text = m_row.at(token);
    const bool afterNumber = token > 0 && m_row.is(token - 1, TokenKind::Number);
    const bool afterOperand = token > 0 && (afterNumber || m_row.is(token - 1, TokenKind::Word) || m_row.isSymbol(token - 1, ")"));
    if (m_failed) return missing();
    if (t.kind == TokenKind::Bad) {
        const bool said = std::any_of(m_complaints.begin(), m_complaints.end(), [](const Complaint& c) { return c.code == Code::BadBytes; });
        if (!said) return fail(Code::BadBytes, t.span, "these bytes are no text", "remove them, or save the file as UTF-8");
        m_failed = true;
        m_at = m_end;
        return missing();
    }
    if (text == ")" || text == "]") {
        if (!afterOperand && token > 0 && !m_row.isSymbol(token - 1, ")"))
            return fail(Code::FormulaExpected, t.span, "a value is missing before " + quoted(text), "write a value there");
        return fail(Code::BracketClose, t.span, quoted(text) + " closes a bracket that was never opened",
                    "remove it, or open the bracket where it should begin");
    }
    if (text == "=") return fail(Code::FormulaUnexpected, t.span, "a single `=` does not compare", "write `==` to ask whether two things are equal");
    if (text == "+-" || text == "\u00B1")
        return fail(Code::FormulaUnexpected, t.span, "a tolerance stands only behind the value of a `given`", "write `+ (-...)` if a sum is meant");
    if (text == "+" || text == "/" || text == "^" || isTimes(text))
        return fail(Code::FormulaExpected, t.span, "a value is missing before " + quoted(text), text == "+" ? "leave the sign out" : "write a value there");
    if (text == "," && afterNumber && m_row.adjoins(token) && m_row.is(token + 1, TokenKind::Number) && m_row.adjoins(token + 1)) {
        const std::string whole(m_row.at(token - 1));
        const std::string part(m_row.at(token + 1));
        return fail(Code::ThousandsMark, m_row.spanOf(token - 1, token + 2), "a comma in the number " + whole + "," + part + " has two readings",
                    "write " + quoted(whole + "." + part) + " or " + quoted(whole + part));
    }
    const std::string before = quoted(token > 0 ? m_row.at(token - 1) : std::string_view{});
    if (afterNumber && (text == "'" || t.kind == TokenKind::Text))
        return fail(Code::FormulaUnexpected, t.span, "a mark stands for a unit behind the number " + std::string(m_row.at(token - 1)),
                    "write the unit in letters, `ft` or `in`");
    if (t.kind == TokenKind::Number && afterOperand) {
        const bool measure = token > 1 && m_row.is(token - 1, TokenKind::Word) && m_row.is(token - 2, TokenKind::Number);
        return fail(Code::FormulaUnexpected, t.span, "the number " + std::string(text) + " follows " + before + " without an operator",
                    measure ? "write a value in two units as a sum, such as `(14 ft + 6 in)`" : "write the operator between them");
    }
    const bool stop = t.kind == TokenKind::Word && isStopWord(text) && text != "if";
    if (!stop && (t.kind == TokenKind::Word || t.kind == TokenKind::Text || text == "(") && afterOperand)
        return fail(Code::FormulaUnexpected, t.span, quoted(text) + " follows " + before + " without an operator",
                    "write `*` between them if a product is meant");
    return fail(Code::FormulaUnexpected, t.span, quoted(text) + " does not fit here", "take it out, or write what is missing before it");
}

// ---- formulas that stand alone

namespace {

[[nodiscard]] bool tooLong(std::string_view text, std::vector<Complaint>& complaints) {
    if (text.size() <= kMaxFormulaBytes) return false;
    complaints.push_back({Code::FormulaTooLong,
                          {0, static_cast<std::uint32_t>(std::min<std::size_t>(text.size(), 40))},
                          "this formula is longer than " + std::to_string(kMaxFormulaBytes) + " bytes",
                          "give parts of it rows of their own"});
    return true;
}

} // namespace

Formula readFormula(std::string_view text, std::vector<Complaint>& complaints) {
    if (tooLong(text, complaints)) return {};
    const TokenRow row(text);
    return FormulaReader(row, complaints).read(0, row.size());
}

Formula readValueOrFormula(std::string_view text, std::vector<Complaint>& complaints) {
    if (tooLong(text, complaints)) return {};
    const TokenRow row(text);
    return FormulaReader(row, complaints).readValueOr(0, row.size());
}

} // namespace spanwright::syntax
