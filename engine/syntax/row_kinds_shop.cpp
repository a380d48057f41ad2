// SPDX-License-Identifier: MIT
// Rows of the workshop: the pieces of a sheet, and what a job says of stock, saw, labour, tools and money.
#include <algorithm>

#include "engine/syntax/row_reader.h"

namespace spanwright::syntax {

using diag::Code;

namespace {

constexpr std::string_view kPieceForm = "write `piece NAME = 2 off, t by b by L from STOCK`";

[[nodiscard]] bool isDigit(char c) { return c >= '0' && c <= '9'; }

/// Where the clause that begins at `from` ends: at a comma outside quotes and brackets that is no decimal comma.
[[nodiscard]] std::size_t clauseEnd(std::string_view text, std::size_t from, std::size_t end) {
    bool quoted = false;
    int depth = 0;
    for (std::size_t i = from; i < end; ++i) {
        const char c = text[i];
        if (c == '"') quoted = !quoted;
        if (quoted) continue;
        if (c == '(') ++depth;
        if (c == ')' && depth > 0) --depth;
        if (c != ',' || depth > 0) continue;
        const bool decimal = i > from && isDigit(text[i - 1]) && i + 1 < end && isDigit(text[i + 1]);
        if (!decimal) return i;
    }
    return end;
}

} // namespace

/// piece NAME = COUNT off, T by B [to B2] by L from STOCK [and STOCK][, CLAUSE ...] [only if CONDITION]
void RowReader::piece() {
    if (!name(m_parts.name, "a name") || !symbol("=", "the name", kPieceForm)) return;
    const std::size_t off = find({"off"});
    if (off == m_tokens.size()) {
        incomplete("this piece has no count", std::string(kPieceForm));
        return;
    }
    m_parts.count = formula(off);
    m_at = off + 1;
    if (!symbol(",", "the count", kPieceForm)) return;
    for (;;) {
        m_parts.sizes.push_back(formula(find({"by", "from", "to"})));
        if (!m_parts.complaints.empty()) return;
        if (atWord("to")) {
            const base::ByteSpan here = m_tokens.tokens[m_at].span;
            ++m_at;
            if (m_parts.sizes.size() != 2) {
                complain(Code::RowTooMuch, here, "only the breadth of a piece may be another at its other end", "write `t by b1 to b2 by L`");
                return;
            }
            m_parts.sizeEnd = formula(find({"by", "from", "to"}));
            if (!m_parts.complaints.empty()) return;
        }
        if (!atWord("by")) break;
        ++m_at;
    }
    if (m_parts.sizes.size() != 3) {
        incomplete("a piece has a thickness, a breadth and a length", std::string(kPieceForm));
        return;
    }
    if (!word("from", kPieceForm) || !name(m_parts.from, "the stock it is cut from")) return;
    while (atWord("and")) {
        ++m_at;
        Spot more;
        if (!name(more, "what else names the stock")) return;
        m_parts.keys.push_back(std::move(more));
    }
    pieceClauses();
    condition();
    leftOver();
}

/// `, WORD [FORMULA]` and so on: what is done to the piece, and `grain`, `at`, `density`.
void RowReader::pieceClauses() {
    while (atSymbol(",")) {
        ++m_at;
        Clause clause;
        if (atWord("at")) {
            clause.word = raw(m_at, m_at + 1);
            ++m_at;
        } else if (!name(clause.word, "an operation or a property of the piece, such as `groove` or `grain`")) {
            return;
        }
        const auto twice = [&](const Clause& c) { return c.word.text == clause.word.text; };
        if (std::any_of(m_parts.clauses.begin(), m_parts.clauses.end(), twice)) {
            complain(Code::RowTwice, clause.word.span, "`" + clause.word.text + "` is said twice of this piece", "add both up in one");
            return;
        }
        const std::size_t end = find({",", "only"});
        if (end > m_at) {
            clause.text = raw(m_at, end);
            clause.formula = formula(end);
        }
        m_parts.clauses.push_back(std::move(clause));
        if (!m_parts.complaints.empty()) return;
    }
}

/// stock NAME = CLAUSE, CLAUSE ...; saw CLAUSE, CLAUSE ... What the clauses mean is for the workshop to say.
void RowReader::shopRow() {
    const std::string_view text = m_chunk.text;
    std::size_t at = m_parts.keyword.span.end;
    const std::size_t end = findCut(text, at);
    if (end < text.size()) {
        const std::size_t second = findCut(text, end + 2);
        m_parts.what = textSpot(end + 2, second);
        m_parts.source = textSpot(std::min(second + 2, text.size()), text.size());
    }
    const bool named =
        m_chunk.kind == RowKind::Stock || m_chunk.kind == RowKind::Labour || m_chunk.kind == RowKind::Tool || m_chunk.kind == RowKind::Consumable;
    const std::string form = "write `" + m_parts.keyword.text + (named ? " NAME = ...`" : " ...`");
    if (named) {
        const std::size_t equals = text.substr(0, end).find('=', at);
        const Spot written = textSpot(at, std::min(equals, end));
        if (!written.present() || equals == std::string_view::npos) {
            complain(Code::RowIncomplete, written.present() ? written.span : m_parts.keyword.span, "this `" + m_parts.keyword.text + "` needs a name and `=`",
                     form);
            return;
        }
        if (!isName(written.text)) {
            complain(Code::BadName, written.span, "`" + written.text + "` is no name", "begin the name with a letter, then letters, digits and `_`");
            return;
        }
        m_parts.name = {canonicalName(written.text), written.span};
        at = equals + 1;
    }
    if (!textSpot(at, end).present()) {
        complain(Code::RowIncomplete, m_parts.keyword.span, "this `" + m_parts.keyword.text + "` says nothing", form);
        return;
    }
    while (true) {
        const std::size_t stop = clauseEnd(text, at, end);
        Clause clause;
        clause.text = textSpot(at, stop);
        if (!clause.text.present()) {
            const auto comma = static_cast<std::uint32_t>(std::min(stop, end - 1));
            complain(Code::RowIncomplete, {comma, comma + 1}, "nothing stands beside this comma", "take the comma out");
            return;
        }
        m_parts.clauses.push_back(std::move(clause));
        if (stop >= end) break;
        at = stop + 1;
    }
}

} // namespace spanwright::syntax
