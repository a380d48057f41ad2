// SPDX-License-Identifier: MIT
#include "engine/syntax/csv.h"

#include <algorithm>
#include <deque>
#include <unordered_set>
#include <utility>

#include "engine/base/text.h"
#include "engine/syntax/kinds.h"
#include "engine/syntax/letters.h"
#include "engine/syntax/lines.h"
#include "engine/syntax/places.h"

namespace spanwright::syntax {

using diag::Code;

/// Cells point into `bytes`; those with a doubled quote in them, which no slice of it equals, into `rewritten`.
struct CsvTable::Storage {
    std::string bytes;
    std::vector<std::uint32_t> lineStarts; ///< physical lines of a file; empty for a block
    std::vector<CsvCell> cells;
    std::deque<std::string> rewritten;
};

namespace {

/// A table with one fault on every line says so this often, then how many more there are.
constexpr std::size_t kMaxLineComplaints = 20;

[[nodiscard]] bool isSpace(char c) { return isBlank(c) || c == '\r' || c == '\n'; }

class CsvReader {
public:
    CsvReader(std::string file, CsvTable::Storage& storage, bool multiLine) : m_storage(storage), m_text(storage.bytes), m_multiLine(multiLine) {
        m_table.file = std::move(file);
    }

    /// One record that begins at `at`, whose line is row `row`. Gives where the next line begins.
    std::size_t record(std::size_t at, std::uint32_t row) {
        m_start = at;
        m_row = row;
        m_fields.clear();
        bool more = true;
        while (more) more = field(at);
        finishRecord();
        return at;
    }

    [[nodiscard]] bool full() const { return m_records >= kMaxTableLines; }

    void tooLarge(std::uint32_t row) {
        complain(Code::TableTooLarge, row, {0, 1}, "this table has more than " + std::to_string(kMaxTableLines) + " lines", "split the table");
    }

    void comment(std::string_view line, bool inFront) {
        if (!m_table.comment.empty() || !inFront) return;
        const std::size_t mark = line.find('#');
        std::string_view text = line.substr(mark + 1);
        while (!text.empty() && isSpace(text.back())) text.remove_suffix(1);
        while (!text.empty() && isSpace(text.front())) text.remove_prefix(1);
        m_table.comment = std::string(text);
    }

    void badBytes(std::uint32_t row, base::ByteSpan span) { complain(Code::BadBytes, row, span, "these bytes are no text", "save the file as UTF-8"); }

    [[nodiscard]] bool hasHead() const { return m_hasHead; }

    CsvTable take(std::uint32_t headRow) {
        if (!m_hasHead) {
            m_table.headRow = headRow;
            complain(Code::CsvHead, headRow, {0, 1}, "this table has no head line", "write a line that names its columns");
        }
        if (m_skipped > 0)
            complain(Code::CsvFieldCount, m_skippedRow, {0, 1},
                     std::to_string(m_skipped) + (m_skipped == 1 ? " more line is" : " more lines are") + " faulty in this way or another", {});
        // The cells are all there now and move no more.
        std::size_t first = 0;
        for (CsvTable::Line& line : m_table.lines) {
            line.cells = std::span<const CsvCell>(m_storage.cells).subspan(first, m_table.columns.size());
            first += m_table.columns.size();
        }
        std::stable_sort(m_table.diagnostics.begin(), m_table.diagnostics.end(), [](const auto& a, const auto& b) { return a.place.row < b.place.row; });
        return std::move(m_table);
    }

private:
    [[nodiscard]] base::ByteSpan spanOf(std::size_t begin, std::size_t end) const {
        return {static_cast<std::uint32_t>(begin - m_start), static_cast<std::uint32_t>(end - m_start)};
    }
    [[nodiscard]] std::size_t lineEnd(std::size_t at) const { return std::min(m_text.find('\n', at), m_text.size()); }

    /// Counts a faulty line; false once there have been enough of them.
    [[nodiscard]] bool mayComplain() {
        if (++m_wrong <= kMaxLineComplaints) return true;
        if (m_skipped++ == 0) m_skippedRow = m_row;
        return false;
    }

    void badQuote(base::ByteSpan span, std::string message, std::string mend) {
        if (!std::exchange(m_broken, true) && mayComplain()) complain(Code::CsvQuote, m_row, span, std::move(message), std::move(mend));
    }

    /// One field from `at` on, which then stands behind its comma or line end. True if another follows.
    bool field(std::size_t& at) {
        std::size_t begin = at;
        while (begin < m_text.size() && isBlank(m_text[begin])) ++begin;
        if (begin < m_text.size() && m_text[begin] == '"') return quotedField(at, begin);
        std::size_t end = begin;
        while (end < m_text.size() && m_text[end] != ',' && m_text[end] != '\n') ++end;
        at = end;
        while (end > begin && isSpace(m_text[end - 1])) --end;
        m_fields.push_back({m_text.substr(begin, end - begin), spanOf(begin, end)});
        return separator(at);
    }

    bool quotedField(std::size_t& at, std::size_t begin) {
        std::size_t close = begin + 1;
        bool doubled = false;
        for (;;) {
            close = m_text.find_first_of(m_multiLine ? "\"" : "\"\n", close);
            if (close == std::string_view::npos || m_text[close] == '\n') {
                // Never closed: the field ends with its line, so that the lines below still count.
                at = lineEnd(begin);
                badQuote(spanOf(begin, begin + 1), "this field's quote is never closed", "end the field with a double quote; write a quote inside it twice");
                m_fields.push_back({m_text.substr(begin + 1, at - begin - 1), spanOf(begin, at)});
                return separator(at);
            }
            if (close + 1 >= m_text.size() || m_text[close + 1] != '"') break;
            doubled = true;
            close += 2;
        }
        std::string_view content = m_text.substr(begin + 1, close - begin - 1);
        if (doubled) {
            std::string plain;
            for (std::size_t i = 0; i < content.size(); ++i) {
                plain += content[i];
                if (content[i] == '"') ++i;
            }
            content = m_storage.rewritten.emplace_back(std::move(plain));
        }
        m_fields.push_back({content, spanOf(begin, close + 1)});
        at = close + 1;
        while (at < m_text.size() && (isBlank(m_text[at]) || m_text[at] == '\r')) ++at;
        if (at < m_text.size() && m_text[at] != ',' && m_text[at] != '\n') {
            const std::size_t stop = std::min(m_text.find_first_of(",\n", at), m_text.size());
            badQuote(spanOf(at, stop), "this follows a closed quote", "put a comma before it; write a quote inside a field twice");
            at = stop;
        }
        return separator(at);
    }

    bool separator(std::size_t& at) {
        if (at >= m_text.size()) return false;
        return m_text[at++] == ',';
    }

    void finishRecord() {
        if (!m_hasHead) {
            m_broken = false;
            m_hasHead = true;
            m_table.headRow = m_row;
            for (const CsvCell& f : m_fields) column(f);
            return;
        }
        ++m_records;
        if (std::exchange(m_broken, false)) return; // said; its fields cannot be trusted
        if (m_fields.size() == m_table.columns.size()) {
            m_storage.cells.insert(m_storage.cells.end(), m_fields.begin(), m_fields.end());
            m_table.lines.push_back({m_row, {}});
            return;
        }
        if (!mayComplain()) return;
        const auto fields = [](std::size_t n) { return std::to_string(n) + (n == 1 ? " field" : " fields"); };
        const bool few = m_fields.size() < m_table.columns.size();
        const base::ByteSpan span = few ? m_fields.back().span : m_fields[m_table.columns.size()].span.joined(m_fields.back().span);
        complain(
            Code::CsvFieldCount, m_row, span, "this line has " + fields(m_fields.size()) + ", the table's head has " + std::to_string(m_table.columns.size()),
            few ? "write the missing fields; an empty field still needs its comma" : "take fields out, or put a field that holds a comma in double quotes");
    }

    /// `f_mk [N/mm^2]`, `P_G [kN] as characteristic`, `what [text]`, `name`
    void column(const CsvCell& cell) {
        CsvTable::Column c;
        std::string_view head = cell.text;
        for (const auto& [words, tag] : {std::pair<std::string_view, Tag>{"as characteristic", Tag::Characteristic}, {"as design", Tag::Design}}) {
            if (!head.ends_with(words)) continue;
            const std::string_view before = base::trimmed(head.substr(0, head.size() - words.size()));
            if (before.empty() || before.back() != ']') continue;
            c.tag = tag;
            head = before;
            break;
        }
        const bool rewritten = !head.empty() && (head.data() < m_text.data() || head.data() >= m_text.data() + m_text.size());
        const auto at = [&](std::size_t i) {
            return rewritten ? cell.span.begin : static_cast<std::uint32_t>(static_cast<std::size_t>(head.data() - m_text.data()) + i - m_start);
        };
        std::size_t nameEnd = head.size();
        if (!head.empty() && head.back() == ']') {
            const std::size_t open = head.rfind('[');
            if (open == std::string_view::npos) {
                complain(Code::CsvHead, m_row, cell.span, "this head closes a bracket that it never opened", "write `name [unit]`");
            } else {
                const std::string_view inner = base::trimmed(head.substr(open + 1, head.size() - open - 2));
                const auto from = inner.empty() ? open + 1 : static_cast<std::size_t>(inner.data() - head.data());
                if (inner == "text")
                    c.text = true;
                else
                    c.unit = {std::string(inner), {at(from), at(from + inner.size())}};
                nameEnd = open;
            }
        } else if (head.find('[') != std::string_view::npos) {
            complain(Code::CsvHead, m_row, cell.span, "the unit in this head is not closed", "write `name [unit]`");
        }
        const std::string_view name = base::trimmed(head.substr(0, nameEnd));
        if (name.empty()) {
            complain(Code::CsvHead, m_row, cell.span, "a column has no name", "name every column in the table's head");
        } else {
            const auto from = static_cast<std::size_t>(name.data() - head.data());
            c.name = {canonicalIfName(name), {at(from), at(from + name.size())}};
            if (!m_names.insert(c.name.text).second)
                complain(Code::CsvHead, m_row, c.name.span, "two columns are called `" + c.name.text + "`", "give one of them another name");
        }
        m_table.columns.push_back(std::move(c));
    }

    /// A column may be called by a word of the language: `joints.at`.
    [[nodiscard]] static std::string canonicalIfName(std::string_view name) {
        std::string probe = "x";
        probe += name;
        const Glyph first = glyphAt(name, 0);
        return first.valid && isLetter(first.point) && isName(probe) ? canonicalName(name) : std::string(name);
    }

    void complain(Code code, std::uint32_t row, base::ByteSpan span, std::string message, std::string mend) {
        diag::Diagnostic d;
        d.code = code;
        d.place = {m_table.file, row, span};
        d.message = std::move(message);
        d.mend = std::move(mend);
        m_table.diagnostics.push_back(std::move(d));
    }

    CsvTable m_table;
    CsvTable::Storage& m_storage;
    std::string_view m_text;
    bool m_multiLine; ///< a quoted field may run over line ends
    bool m_hasHead = false;
    bool m_broken = false;
    std::size_t m_start = 0;
    std::uint32_t m_row = 0;
    std::vector<CsvCell> m_fields;
    std::unordered_set<std::string> m_names;
    std::size_t m_records = 0, m_wrong = 0, m_skipped = 0;
    std::uint32_t m_skippedRow = 0;
};

[[nodiscard]] std::string_view lineAt(std::string_view text, std::size_t at) {
    const std::size_t end = text.find('\n', at);
    return text.substr(at, end == std::string_view::npos ? end : end + 1 - at);
}

[[nodiscard]] bool isEmptyLine(std::string_view line) { return std::all_of(line.begin(), line.end(), isSpace); }

[[nodiscard]] bool isCommentLine(std::string_view line) {
    const std::size_t first = line.find_first_not_of(" \t");
    return first != std::string_view::npos && line[first] == '#';
}

} // namespace

CsvTable readCsv(std::string file, std::string bytes) {
    auto storage = std::make_shared<CsvTable::Storage>();
    storage->bytes = std::move(bytes);
    const std::string_view text = storage->bytes;
    auto& starts = storage->lineStarts;
    starts.reserve(static_cast<std::size_t>(std::count(text.begin(), text.end(), '\n')) + 1);
    for (std::size_t at = 0; at < text.size(); at += lineAt(text, at).size()) starts.push_back(static_cast<std::uint32_t>(at));

    CsvReader reader(std::move(file), *storage, true);
    if (!base::isUtf8(text)) {
        for (std::uint32_t i = 0; i < starts.size(); ++i) {
            const std::string_view line = lineAt(text, starts[i]);
            if (base::isUtf8(line)) continue;
            std::uint32_t bad = 0;
            for (Glyph g = glyphAt(line, bad); g.valid; g = glyphAt(line, bad)) bad += g.length;
            reader.badBytes(i, {bad, bad + 1});
            break;
        }
    }
    std::size_t at = text.substr(0, 3) == "\xEF\xBB\xBF" ? 3 : 0;
    std::uint32_t row = 0;
    while (at < text.size()) {
        const std::string_view line = lineAt(text, at);
        if (isEmptyLine(line) || isCommentLine(line)) {
            if (isCommentLine(line)) reader.comment(line, !reader.hasHead());
            at += line.size();
        } else {
            if (reader.full()) {
                reader.tooLarge(row);
                break;
            }
            if (row == 0) starts[0] = static_cast<std::uint32_t>(at); // places count from behind a byte order mark
            at = reader.record(at, row);
        }
        while (row < starts.size() && starts[row] < at) ++row;
    }
    CsvTable table = reader.take(0);
    table.storage = std::move(storage);
    return table;
}

CsvTable blockTable(const Document& d, std::uint32_t blockRow) {
    auto storage = std::make_shared<CsvTable::Storage>();
    const auto& rows = d.rows();
    std::vector<std::uint32_t> lines;
    const auto inBlock = [&](std::uint32_t i) { return i < rows.size() && rows[i].owner == blockRow && rows[i].kind != RowKind::End; };
    for (std::uint32_t i = blockRow + 1; inBlock(i); ++i) {
        if (rows[i].kind != RowKind::TableLine && rows[i].kind != RowKind::Comment) continue;
        lines.push_back(i);
        storage->bytes += rows[i].text;
    }
    CsvReader reader(d.file(), *storage, false);
    std::size_t at = 0;
    for (const std::uint32_t i : lines) {
        if (rows[i].kind == RowKind::Comment) {
            reader.comment(rows[i].text, !reader.hasHead());
        } else if (reader.full()) {
            reader.tooLarge(i);
            break;
        } else {
            (void)reader.record(at, i);
        }
        at += rows[i].text.size();
    }
    CsvTable table = reader.take(blockRow);
    if (table.comment.empty() && blockRow < rows.size()) table.comment = rows[blockRow]->source.text;
    table.storage = std::move(storage);
    return table;
}

std::optional<diag::Resolved> CsvTable::resolve(const diag::Place& p) const {
    if (!storage || p.file != file || p.row >= storage->lineStarts.size()) return std::nullopt;
    const std::uint32_t start = storage->lineStarts[p.row];
    std::string_view text = storage->bytes;
    text = text.substr(start);
    // Enough of the text to hold the line that the place begins on.
    const std::size_t end = text.find('\n', std::min<std::size_t>(p.span.begin, text.size()));
    if (end != std::string_view::npos) text = text.substr(0, end + 1);
    return resolveIn(text, p.span, p.row + 1);
}

} // namespace spanwright::syntax
