// SPDX-License-Identifier: MIT
#include <algorithm>

#include "engine/syntax/row_reader.h"

namespace spanwright::syntax {

using diag::Code;

/// part TITLE [only if CONDITION]
void RowReader::part() {
    const std::size_t only = m_tokens.size() > 1 ? m_tokens.tokens[1].span.begin : m_tokens.cut;
    m_parts.rest = textSpot(m_parts.keyword.span.end, only);
    if (!m_parts.rest.present()) complain(Code::RowIncomplete, m_parts.keyword.span, "this `part` has no title", "write its title behind `part`");
    condition();
    leftOver();
}

/// ask NAME [unit] [as TAG] [from A to B]
void RowReader::ask() {
    if (!name(m_parts.name, "a name") || !unit(m_parts.unit, &m_parts.step) || !tag()) return;
    if (atSymbol("=")) {
        complain(Code::RowTooMuch, m_tokens.tokens[m_at].span, "an `ask` has no value of its own", "write `given` for a value with a default");
        return;
    }
    if (!limits() || !tag()) return;
    leftOver();
}

/// given NAME [unit] [as TAG] = VALUE [as TAG] [+- V] [from A to B]
void RowReader::given() {
    if (!name(m_parts.name, "a name") || !unit(m_parts.unit, &m_parts.step) || !tag()) return;
    if (!symbol("=", "the name", "write `given NAME = VALUE`")) return;
    m_parts.formula = value(find({"from", "as", "+-", "\u00B1"}));
    if (!tag() || !limits() || !tag()) return;
    leftOver();
}

/// derive NAME [unit] [as TAG] = FORMULA [as TAG]
void RowReader::derive() {
    if (!name(m_parts.name, "a name") || !unit(m_parts.unit, &m_parts.step) || !tag()) return;
    if (!symbol("=", m_parts.unit.present() ? "the unit" : "the name", "write `derive NAME [unit] = FORMULA`")) return;
    m_parts.formula = formula(find({"as"}));
    if (!tag()) return;
    leftOver();
}

/// choose NAME [= KEY] from TABLE
void RowReader::choose() {
    if (!name(m_parts.name, "a name")) return;
    std::size_t from = findFree(m_at, {"from"});
    for (std::size_t next = findFree(from + 1, {"from"}); next < m_tokens.size(); next = findFree(next + 1, {"from"})) from = next;
    if (atSymbol("=")) {
        ++m_at;
        if (from <= m_at) {
            incomplete("a key is missing behind `=`", "write the key of a row, such as `= C24`");
            return;
        }
        m_parts.key = raw(m_at, from);
        m_at = from;
    }
    if (!word("from", "write `choose NAME from TABLE`") || !name(m_parts.table, "a table")) return;
    leftOver();
}

/// each NAME in TABLE
void RowReader::each() {
    if (!name(m_parts.name, "a name")) return;
    if (!word("in", "write `each NAME in TABLE`") || !name(m_parts.table, "a table")) return;
    condition();
    leftOver();
}

/// check NAME: A <= B; require NAME: CONDITION
void RowReader::named() {
    if (!name(m_parts.name, "a name")) return;
    if (!symbol(":", "the name", "write `" + m_parts.keyword.text + " NAME: CONDITION`")) return;
    m_parts.formula = formula(m_tokens.size());
}

/// define NAME(PARAMETER [unit], ...) [unit] = FORMULA
void RowReader::define() {
    constexpr std::string_view kForm = "write `define NAME(x [unit], ...) = FORMULA`";
    if (!name(m_parts.name, "a name") || !symbol("(", "the name", kForm) || m_chunk.text.size() > kMaxFormulaBytes) return;
    while (!atSymbol(")")) {
        RowParts::Parameter p;
        if (!name(p.name, "a parameter") || !unit(p.unit, nullptr)) return;
        const bool twice =
            std::any_of(m_parts.parameters.begin(), m_parts.parameters.end(), [&](const RowParts::Parameter& o) { return o.name.text == p.name.text; });
        if (twice) complain(Code::BadName, p.name.span, "two parameters are called `" + p.name.text + "`", "choose another name for one of them");
        m_parts.parameters.push_back(std::move(p));
        if (atSymbol(",")) {
            ++m_at;
            continue;
        }
        if (!atSymbol(")")) {
            incomplete("the list of parameters breaks off here", std::string(kForm));
            return;
        }
    }
    ++m_at;
    if (!unit(m_parts.unit, &m_parts.step) || !symbol("=", "the parameters", kForm)) return;
    m_parts.formula = formula(m_tokens.size());
}

/// use PATH [as NAME] [by K1, K2]; use PATH as matrix NAME [unit] by ROW and COLUMN
void RowReader::use() {
    const std::size_t stop = findFree(m_at, {"as", "by"});
    if (stop == m_at) {
        incomplete("`use` needs the path of a table", "write a path such as `tables/en338.csv`");
        return;
    }
    m_parts.path = raw(m_at, stop);
    m_at = stop;
    if (atWord("as")) {
        ++m_at;
        if (atWord("matrix") && m_tokens.is(m_at + 1, TokenKind::Word) && !m_tokens.isWord(m_at + 1, "by")) {
            m_parts.matrix = true;
            ++m_at;
        }
        if (!name(m_parts.name, "a name for the table") || !unit(m_parts.unit, nullptr)) return;
        if (!m_parts.matrix && m_parts.unit.present())
            complain(Code::RowTooMuch, m_parts.unit.span, "a table has no unit of its own", "state units in its head");
    } else {
        // tables/en1990-uls.csv is called en1990_uls
        std::string_view path = m_parts.path.text;
        const std::size_t slash = path.find_last_of('/');
        const std::size_t first = slash == std::string_view::npos ? 0 : slash + 1;
        const std::size_t dot = path.find_last_of('.');
        const std::size_t last = dot == std::string_view::npos || dot <= first ? path.size() : dot;
        std::string stem(path.substr(first, last - first));
        std::replace(stem.begin(), stem.end(), '-', '_');
        m_parts.name = {canonicalName(stem), m_parts.path.span};
        if (!isName(stem)) complain(Code::BadName, m_parts.path.span, "the file's name `" + stem + "` is no name for a table", "give it one with `as NAME`");
    }
    if (!keysBehindBy()) return;
    if (m_parts.matrix && m_parts.keys.size() != 2) {
        incomplete("a matrix is looked up by two keys", "write `by ROW and COLUMN`");
        return;
    }
    leftOver();
}

/// table NAME [by K1, K2]; list NAME [by K]; matrix NAME [unit] by ROW and COLUMN
void RowReader::table() {
    m_parts.matrix = m_chunk.kind == RowKind::Matrix;
    if (!name(m_parts.name, "a name")) return;
    if (m_parts.matrix && !unit(m_parts.unit, nullptr)) return;
    if (!keysBehindBy()) return;
    if (m_parts.matrix && m_parts.keys.size() != 2) {
        incomplete("a matrix is looked up by two keys", "write `by ROW and COLUMN`");
        return;
    }
    leftOver();
}

/// plot FORMULA [unit], x from A to B
void RowReader::plot() {
    const std::size_t comma = find({","});
    std::size_t end = comma;
    const std::size_t bracket = find({"["});
    if (bracket < comma) end = bracket;
    m_parts.formula = formula(end);
    if (!m_parts.complaints.empty() || !unit(m_parts.unit, &m_parts.step)) return;
    if (!symbol(",", "what is plotted", "write `plot FORMULA [unit], x from A to B`")) return;
    m_parts.range = m_formulas.readRange(m_at, m_tokens.size());
}

/// schedule COLUMN = FORMULA [by FORMULA]
void RowReader::schedule() {
    if (!m_tokens.is(m_at, TokenKind::Word)) {
        incomplete("`schedule` needs a column", "write `schedule span = L`");
        return;
    }
    m_parts.name = {canonicalName(m_tokens.at(m_at)), m_tokens.tokens[m_at].span}; // a column may be called by any word
    ++m_at;
    if (!symbol("=", "the column", "write `schedule span = L`")) return;
    for (;;) {
        m_parts.sizes.push_back(formula(find({"by"})));
        if (!atWord("by")) break;
        ++m_at;
    }
}

} // namespace spanwright::syntax
