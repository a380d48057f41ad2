// SPDX-License-Identifier: MIT
#include "engine/syntax/row_reader.h"

#include <algorithm>

#include "engine/base/text.h"
#include "engine/syntax/letters.h"

namespace spanwright::syntax {

using diag::Code;

namespace {

/// Bytes that are no text: not UTF-8, or control characters other than blanks and line ends.
[[nodiscard]] std::optional<base::ByteSpan> badBytes(std::string_view text) {
    for (std::size_t at = 0; at < text.size();) {
        const auto c = static_cast<unsigned char>(text[at]);
        if (c >= 0x20 && c < 0x7F) {
            ++at;
            continue;
        }
        const Glyph g = glyphAt(text, at);
        const bool lineEnd = c == '\n' || (c == '\r' && at + 1 < text.size() && text[at + 1] == '\n');
        const bool bad = !g.valid || (g.point < 0x20 && c != '\t' && !lineEnd) || (g.point >= 0x7F && g.point < 0xA0);
        if (bad) return base::ByteSpan{static_cast<std::uint32_t>(at), static_cast<std::uint32_t>(at + g.length)};
        at += g.length;
    }
    return std::nullopt;
}

/// The row's text, with a part's title turned to blanks.
[[nodiscard]] std::string masked(const Chunk& chunk) {
    if (chunk.kind != RowKind::Part) return {};
    std::string text(chunk.text);
    const std::size_t start = text.find("part") + 4;
    const std::size_t cut = findCut(text, start);
    const std::size_t condition = text.substr(0, cut).find(" only if ", start > 0 ? start - 1 : 0);
    std::size_t end = condition == std::string::npos ? cut : condition;
    while (end > start && (text[end - 1] == '\n' || text[end - 1] == '\r')) --end;
    for (std::size_t i = start; i < end; ++i) text[i] = ' ';
    return text;
}

[[nodiscard]] bool needsTokens(const Chunk& chunk) {
    if (chunk.kind == RowKind::Mark) return true;
    const KindInfo* info = kindOf(chunk.keyword);
    if (info == nullptr) return false;
    switch (chunk.kind) {
    case RowKind::Choose:
    case RowKind::Each:
    case RowKind::Use:
    case RowKind::List:
    case RowKind::Table:
    case RowKind::Matrix:
    case RowKind::Member:
    case RowKind::Tick:
    case RowKind::Remark:
    case RowKind::Prices:
    case RowKind::End:
    case RowKind::Otherwise: return true;
    default: return !info->freeText;
    }
}

} // namespace

std::shared_ptr<const RowParts> readRow(const Chunk& chunk, FileKind file) {
    const bool silent = chunk.kind == RowKind::Blank || chunk.kind == RowKind::Comment || chunk.kind == RowKind::TableLine ||
                        (chunk.kind == RowKind::Unknown && isConflictMark(chunk.text));
    if (!silent) return std::make_shared<const RowParts>(RowReader(chunk, file).take());
    const auto bad = badBytes(chunk.text);
    if (!bad) return nullptr;
    RowParts parts;
    parts.complaints.push_back({Code::BadBytes, *bad, "these bytes are no text", "remove them, or save the file as UTF-8"});
    return std::make_shared<const RowParts>(std::move(parts));
}

RowReader::RowReader(const Chunk& chunk, FileKind file)
    : m_chunk(chunk), m_file(file), m_masked(masked(chunk)), m_tokens(!needsTokens(chunk) ? std::string_view{}
                                                                      : m_masked.empty()  ? chunk.text
                                                                                          : m_masked),
      m_formulas(m_tokens, m_parts.complaints) {}

RowParts RowReader::take() {
    if (const auto bad = badBytes(m_chunk.text)) complain(Code::BadBytes, *bad, "these bytes are no text", "remove them, or save the file as UTF-8");
    const auto start = static_cast<std::uint32_t>(m_chunk.text.find_first_not_of(" \t"));
    const auto length = static_cast<std::uint32_t>(m_chunk.keyword.size());
    if (!m_chunk.keyword.empty()) m_parts.keyword = {std::string(m_chunk.keyword), {start, start + length}};
    if (m_tokens.size() > 0) {
        m_at = 1;
        if (m_chunk.text.size() > kMaxFormulaBytes && m_chunk.kind != RowKind::Remark)
            complain(Code::FormulaTooLong, m_parts.keyword.span, "this row is longer than " + std::to_string(kMaxFormulaBytes) + " bytes",
                     "give parts of its formula rows of their own");
        m_parts.what = textSpot(std::min<std::size_t>(m_tokens.cut + 2, m_chunk.text.size()), m_tokens.source);
        m_parts.source = textSpot(std::min<std::size_t>(m_tokens.source + 2, m_chunk.text.size()), m_chunk.text.size());
    }
    dispatch();
    // Whether these are faults depends on what other rows define: the document decides.
    for (const Complaint& c : m_parts.complaints) {
        if (c.code == Code::CompoundUnitBare) m_parts.doubts.push_back(c);
    }
    if (!m_parts.doubts.empty()) std::erase_if(m_parts.complaints, [](const Complaint& c) { return c.code == Code::CompoundUnitBare; });
    return std::move(m_parts);
}

void RowReader::dispatch() {
    switch (m_chunk.kind) {
    case RowKind::Unknown: return unknown();
    case RowKind::Part: return part();
    case RowKind::Ask: return ask();
    case RowKind::Given: return given();
    case RowKind::Derive: return derive();
    case RowKind::Choose: return choose();
    case RowKind::Each: return each();
    case RowKind::Check:
    case RowKind::Require: return named();
    case RowKind::Define: return define();
    case RowKind::Use: return use();
    case RowKind::List:
    case RowKind::Table:
    case RowKind::Matrix: return table();
    case RowKind::Plot: return plot();
    case RowKind::Piece: return piece();
    case RowKind::Schedule: return schedule();
    case RowKind::End:
    case RowKind::Otherwise: return nothingMore();
    case RowKind::Beam: return beam();
    case RowKind::Stiffness: return stiffness();
    case RowKind::Support: return support();
    case RowKind::Load: return load();
    case RowKind::Sketch: return sketch();
    case RowKind::Mark: return mark();
    case RowKind::Member: return member();
    case RowKind::Off: return off();
    case RowKind::Instead: return instead();
    case RowKind::With: return with();
    case RowKind::Tick: return tick();
    case RowKind::Remark: return remark();
    case RowKind::Trial: return trial();
    case RowKind::Rate: return rate();
    case RowKind::Prices: return prices();
    case RowKind::Stock:
    case RowKind::Saw:
    case RowKind::Labour:
    case RowKind::Tool:
    case RowKind::Consumable:
    case RowKind::Overhead:
    case RowKind::Waste:
    case RowKind::Moisture:
    case RowKind::Currency:
    case RowKind::Lift: return shopRow();
    default: return freeText();
    }
}

/// A row whose first word is no kind of row in this file.
void RowReader::unknown() {
    const std::string_view text = m_chunk.text;
    const std::size_t start = text.find_first_not_of(" \t");
    const TokenRow first(text.substr(0, std::min<std::size_t>(text.size(), start + 200)));
    const std::string word(first.at(0));
    const base::ByteSpan span = first.spanOf(0, 1);
    if (first.size() == 0 || first.tokens[0].kind == TokenKind::Bad) {
        if (m_parts.complaints.empty()) complain(Code::UnknownRow, span, "this is no row", "begin the row with its kind, such as `derive`");
        return;
    }
    if (!first.is(0, TokenKind::Word)) {
        complain(Code::UnknownRow, span, "a row begins with its kind; this one begins with `" + word + "`",
                 "begin it with a word such as `derive`, or with `#` if it is a comment");
        return;
    }
    if (kindOf(word) != nullptr) {
        const bool job = m_file == FileKind::Job;
        complain(Code::RowMisplaced, span, "`" + word + "` is a row of " + (job ? "sheets, not of jobs" : "jobs, not of sheets"),
                 job ? "move it into the member's sheet" : "move it into the job");
        return;
    }
    if (m_chunk.inSketch) {
        const auto mark = base::nearest(word, markWords());
        complain(Code::UnknownRow, span, "`" + word + "` is no mark of a sketch",
                 mark ? "write `" + *mark + "` if that is meant" : "the marks are outline, hatch, line, dimension, support, load, force and label");
        return;
    }
    const auto near = base::nearest(word, rowWords(m_file));
    complain(Code::UnknownRow, span, "`" + word + "` is no kind of row",
             near ? "write `" + *near + "` if that is meant" : "begin the row with its kind, such as `derive`");
}

void RowReader::freeText() {
    const std::size_t from = m_parts.keyword.span.end;
    std::size_t end = m_chunk.text.size();
    const bool whole = m_chunk.kind == RowKind::Note;
    if (!whole) {
        end = findCut(m_chunk.text, from);
        if (end < m_chunk.text.size()) {
            const std::size_t second = findCut(m_chunk.text, end + 2);
            m_parts.what = textSpot(end + 2, second);
            m_parts.source = textSpot(std::min(second + 2, m_chunk.text.size()), m_chunk.text.size());
        }
    }
    m_parts.rest = textSpot(from, end);
    if (m_chunk.kind == RowKind::Sheet) m_parts.name = m_parts.rest;
    const bool mayBeEmpty = m_file == FileKind::Job;
    if (!m_parts.rest.present() && !mayBeEmpty)
        complain(Code::RowIncomplete, m_parts.keyword.span, "this `" + m_parts.keyword.text + "` says nothing", "write its text behind it, or take it out");
}

void RowReader::nothingMore() { leftOver(); }

// ---- pieces of rows

bool RowReader::name(Spot& spot, std::string_view wanted) {
    if (!more()) return incomplete("`" + m_parts.keyword.text + "` needs " + std::string(wanted), "write it behind `" + m_parts.keyword.text + "`");
    const std::string_view text = m_tokens.at(m_at);
    const base::ByteSpan span = m_tokens.tokens[m_at].span;
    const std::string_view next = m_tokens.adjoins(m_at + 1) ? m_tokens.at(m_at + 1) : std::string_view{};
    const bool runsOn = !next.empty() && (!m_tokens.is(m_at + 1, TokenKind::Symbol) || std::string_view("=[(:,.)").find(next) == std::string_view::npos);
    if (!m_tokens.is(m_at, TokenKind::Word) || runsOn) {
        // The rest of what was meant as a name is marked with it: `2x`, `f-m`.
        std::size_t end = m_at + 1;
        while (end < m_tokens.size() && m_tokens.adjoins(end) && !m_tokens.isSymbol(end, "=") && !m_tokens.isSymbol(end, "[")) ++end;
        const Spot written = raw(m_at, end);
        complain(Code::BadName, written.span, "`" + written.text + "` is no name", "begin the name with a letter, then letters, digits and `_`");
        return false;
    }
    if (!isName(text)) {
        complain(Code::BadName, span, "`" + std::string(text) + "` is a word of the language and can be no name", "choose another name");
        return false;
    }
    spot = {canonicalName(text), span};
    ++m_at;
    return true;
}

bool RowReader::symbol(std::string_view wanted, std::string_view behind, std::string_view mend) {
    if (atSymbol(wanted)) {
        ++m_at;
        return true;
    }
    return incomplete("`" + std::string(wanted) + "` is missing behind " + std::string(behind), std::string(mend));
}

bool RowReader::word(std::string_view wanted, std::string_view mend) {
    if (atWord(wanted)) {
        ++m_at;
        return true;
    }
    return incomplete("`" + std::string(wanted) + "` is missing here", std::string(mend));
}

/// `[kN]`, `[kN 0.1]`, or nothing.
bool RowReader::unit(Spot& spot, std::optional<double>* step) {
    if (!atSymbol("[")) return true;
    const std::size_t open = m_at++;
    const std::size_t close = m_formulas.find(m_at, m_tokens.size(), {"]"});
    if (close == m_tokens.size()) {
        complain(Code::BracketOpen, m_tokens.tokens[open].span, "this bracket is never closed", "write `]` behind the unit");
        return false;
    }
    std::size_t end = close;
    if (step != nullptr && end > m_at && m_tokens.is(end - 1, TokenKind::Number) && (end - 1 == m_at || !m_tokens.adjoins(end - 1)) &&
        !(end - 1 == m_at && m_tokens.at(m_at) == "1")) {
        *step = base::readDouble(m_tokens.at(end - 1));
        --end;
    }
    spot = raw(m_at, end);
    m_at = close + 1;
    return true;
}

bool RowReader::tag() {
    if (!atWord("as")) return true;
    ++m_at;
    if (atWord("characteristic"))
        m_parts.tag = Tag::Characteristic;
    else if (atWord("design"))
        m_parts.tag = Tag::Design;
    else
        return incomplete("`as` is followed by no tag", "write `as characteristic` or `as design`");
    ++m_at;
    return true;
}

/// `+- V`, `from A to B`, in this order or the other.
bool RowReader::limits() {
    while (more()) {
        if (atSymbol("+-") || atSymbol("\u00B1")) {
            ++m_at;
            m_parts.limits.tolerance = value(find({"from", "as", "+-", "\u00B1"}));
        } else if (atWord("from")) {
            ++m_at;
            m_parts.limits.low = value(find({"to", "from", "as", "+-", "\u00B1"}));
            if (!word("to", "write `from A to B`")) return false;
            m_parts.limits.high = value(find({"from", "as", "+-", "\u00B1"}));
        } else {
            return true;
        }
    }
    return true;
}

/// `by K1, K2`; for a matrix `by ROW and COLUMN`.
bool RowReader::keysBehindBy() {
    if (!atWord("by")) return true;
    do {
        ++m_at;
        Spot key;
        if (!more() || m_tokens.is(m_at, TokenKind::Symbol)) return incomplete("a key column is missing here", "write the name of a column");
        if (m_tokens.is(m_at, TokenKind::Text)) {
            key = raw(m_at, m_at + 1);
        } else {
            key = {canonicalName(m_tokens.at(m_at)), m_tokens.tokens[m_at].span};
        }
        ++m_at;
        m_parts.keys.push_back(std::move(key));
    } while (atSymbol(",") || atWord("and"));
    return true;
}

/// `J1.M_d`
bool RowReader::markAndName() {
    if (!name(m_parts.member, "a member's mark and the name of a value, such as `J1.M_d`")) return false;
    if (!symbol(".", "the mark", "write the mark, a full stop and the value's name, such as `J1.M_d`")) return false;
    return name(m_parts.name, "the name of a value");
}

/// `only if CONDITION` at the end of a row.
void RowReader::condition() {
    if (!atWord("only")) return;
    ++m_at;
    if (!word("if", "write `only if` and a condition")) return;
    m_parts.condition = formula(m_tokens.size());
}

void RowReader::leftOver() {
    if (!more()) return;
    const Spot rest = raw(m_at, m_tokens.size());
    const bool complained = !m_parts.complaints.empty();
    if (!complained)
        complain(Code::RowTooMuch, rest.span, "this row is complete before `" + rest.text.substr(0, 40) + "`",
                 "take that out, or put ` -- ` before it if it is a remark");
}

// ---- tokens

std::size_t RowReader::findFree(std::size_t from, std::initializer_list<std::string_view> words) const {
    for (std::size_t i = from; i < m_tokens.size(); ++i) {
        if (!m_tokens.is(i, TokenKind::Word) || m_tokens.adjoins(i) || m_tokens.adjoins(i + 1)) continue;
        if (std::find(words.begin(), words.end(), m_tokens.at(i)) != words.end()) return i;
    }
    return m_tokens.size();
}

Formula RowReader::formula(std::size_t end) {
    const std::size_t begin = m_at;
    m_at = std::max(begin, end);
    return m_formulas.read(begin, m_at);
}

Formula RowReader::value(std::size_t end) {
    const std::size_t begin = m_at;
    m_at = std::max(begin, end);
    return m_formulas.readValueOr(begin, m_at);
}

Spot RowReader::raw(std::size_t begin, std::size_t end) const {
    Spot spot;
    spot.span = m_tokens.spanOf(begin, end);
    if (end == begin + 1 && m_tokens.is(begin, TokenKind::Text)) {
        bool closed = false;
        spot.text = textContent(m_tokens.at(begin), closed);
    } else {
        spot.text = std::string(spot.span.of(m_chunk.text));
    }
    return spot;
}

/// Bytes [begin, end) of the row without blanks and line ends around them.
Spot RowReader::textSpot(std::size_t begin, std::size_t end) const {
    const std::string_view text = m_chunk.text;
    const auto blank = [&](std::size_t i) { return isBlank(text[i]) || text[i] == '\n' || text[i] == '\r'; };
    end = std::min(end, text.size());
    begin = std::min(begin, end);
    while (begin < end && blank(begin)) ++begin;
    while (end > begin && blank(end - 1)) --end;
    Spot spot;
    spot.span = {static_cast<std::uint32_t>(begin), static_cast<std::uint32_t>(end)};
    spot.text = std::string(text.substr(begin, end - begin));
    return spot;
}

void RowReader::complain(Code code, base::ByteSpan span, std::string message, std::string mend) {
    m_parts.complaints.push_back({code, span, std::move(message), std::move(mend)});
}

bool RowReader::incomplete(std::string message, std::string mend) {
    const base::ByteSpan span = more() ? m_tokens.tokens[m_at].span : m_tokens.spanOf(m_tokens.size(), m_tokens.size());
    complain(Code::RowIncomplete, span, std::move(message), std::move(mend));
    m_at = m_tokens.size();
    return false;
}

} // namespace spanwright::syntax
