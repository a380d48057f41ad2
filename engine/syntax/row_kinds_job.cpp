// SPDX-License-Identifier: MIT
#include "engine/syntax/row_reader.h"

namespace spanwright::syntax {

using diag::Code;

/// prices PATH
void RowReader::prices() {
    m_parts.path = raw(m_at, m_tokens.size());
    if (!m_parts.path.present()) incomplete("`prices` needs the path of a table", "write a path such as `prices.csv`");
}

/// member MARK = SHEET
void RowReader::member() {
    if (!name(m_parts.name, "a mark") || !symbol("=", "the mark", "write `member MARK = SHEET`")) return;
    m_parts.path = raw(m_at, m_tokens.size());
    if (!m_parts.path.present()) incomplete("a sheet is missing behind `=`", "write the path of a sheet without its ending, such as `eu/floor-joist`");
}

/// off COUNT
void RowReader::off() { m_parts.count = formula(m_tokens.size()); }

/// instead of MARK
void RowReader::instead() {
    if (!word("of", "write `instead of MARK`") || !name(m_parts.name, "the mark of the member in whose place it may be built")) return;
    leftOver();
}

/// with NAME = VALUE, KEY or LINK. What it is depends on the sheet, so the text is kept as well.
void RowReader::with() {
    if (!name(m_parts.name, "the name of an ask, given or choose") || !symbol("=", "the name", "write `with NAME = VALUE`")) return;
    if (!more()) {
        incomplete("a value is missing behind `=`", "write a value, a key or another member's value");
        return;
    }
    m_parts.key = raw(m_at, m_tokens.size());
    m_parts.formula = FormulaReader(m_tokens, m_parts.valueComplaints).readValueOr(m_at, m_tokens.size());
}

/// tick MARK.NAME by WHO on DATE letters XXX-XXX-XXX
void RowReader::tick() {
    constexpr std::string_view kForm = "write `tick J1.M_d by WHO on DATE letters XXX-XXX-XXX`";
    if (!markAndName() || !word("by", kForm)) return;
    const std::size_t on = findFree(m_at, {"on"});
    const std::size_t letters = findFree(m_at, {"letters"});
    m_parts.by = raw(m_at, std::min(on, letters));
    if (!m_parts.by.present()) {
        incomplete("who has ticked is missing here", std::string(kForm));
        return;
    }
    m_at = std::min(on, letters);
    if (!word("on", kForm)) return;
    m_parts.on = raw(m_at, letters);
    m_at = letters;
    if (!m_parts.on.present()) {
        incomplete("the date is missing here", std::string(kForm));
        return;
    }
    if (!word("letters", kForm)) return;
    m_parts.letters = raw(m_at, m_tokens.size());
    if (!m_parts.letters.present()) incomplete("the letters are missing here", std::string(kForm));
}

/// remark MARK.NAME by WHO on DATE: TEXT
void RowReader::remark() {
    constexpr std::string_view kForm = "write `remark J1.M_d by WHO on DATE: TEXT`";
    m_parts.what = m_parts.source = {}; // a remark is plain words to its end
    if (!markAndName() || !word("by", kForm)) return;
    const std::size_t colon = m_formulas.find(m_at, m_tokens.size(), {":"});
    if (colon == m_tokens.size()) {
        m_at = colon;
        incomplete("`:` is missing before the remark's text", std::string(kForm));
        return;
    }
    const std::size_t on = std::min(findFree(m_at, {"on"}), colon);
    m_parts.by = raw(m_at, on);
    if (on < colon) m_parts.on = raw(on + 1, colon);
    if (!m_parts.by.present() || !m_parts.on.present()) {
        m_at = on;
        incomplete("who remarks, or the date, is missing here", std::string(kForm));
        return;
    }
    m_parts.rest = textSpot(m_tokens.tokens[colon].span.end, m_chunk.text.size());
    if (!m_parts.rest.present()) {
        m_at = m_tokens.size();
        incomplete("this remark says nothing", std::string(kForm));
    }
}

/// rate AMOUNT CURRENCY = AMOUNT CURRENCY
void RowReader::rate() {
    const std::size_t equals = find({"="});
    m_parts.sizes.push_back(value(equals));
    if (!symbol("=", "the first amount", "write `rate 1 EUR = 1.08 USD`")) return;
    m_parts.sizes.push_back(value(m_tokens.size()));
}

} // namespace spanwright::syntax
