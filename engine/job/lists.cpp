// SPDX-License-Identifier: MIT
// The rows of lists as text, and stating them in the job.
#include <algorithm>

#include "engine/base/text.h"
#include "engine/job/core.h"
#include "engine/job/job_text.h"
#include "engine/syntax/csv.h"

namespace spanwright::job {

using diag::Code;
using diag::Diagnostic;
using syntax::Row;
using syntax::RowKind;

namespace {

/// A field as RFC 4180 has it, in quotes where it would not read back.
std::string field(const std::string& text) {
    const bool plain = text == base::trimmed(text) && text.find_first_of(",\"") == std::string::npos && (text.empty() || text.front() != '#');
    if (plain) return text;
    std::string out = "\"";
    for (char c : text) {
        if (c == '"') out += '"';
        out += c;
    }
    return out + "\"";
}

std::string lineOf(const std::vector<std::string>& fields) {
    std::string out;
    for (std::size_t i = 0; i < fields.size(); ++i) out += (i > 0 ? ", " : "") + field(fields[i]);
    // One empty field is a line all the same; `end` and words that begin rows stand in quotes.
    if (fields.size() == 1 && out.front() != '"' && (out.empty() || out.find_first_of(" =:") != std::string::npos || out == "end")) return "\"" + out + "\"";
    if (out.compare(0, 3, "end") == 0 && fields.front() == "end") return "\"end\"" + out.substr(3);
    return out;
}

/// Fields of a block's lines in the order of `columns`.
std::vector<std::vector<std::string>> fieldsOf(const syntax::CsvTable& csv, const std::vector<std::size_t>& order) {
    std::vector<std::vector<std::string>> out;
    for (const auto& line : csv.lines) {
        std::vector<std::string> row;
        for (std::size_t c : order) row.emplace_back(c < line.cells.size() ? line.cells[c].text : std::string_view());
        out.push_back(std::move(row));
    }
    return out;
}

/// Where the columns of the sheet's list stand in a block's head; nothing when the head does not fit.
std::optional<std::vector<std::size_t>> orderOf(const syntax::CsvTable& csv, const meaning::Table& table) {
    std::vector<std::size_t> out;
    for (const auto& column : table.columns) {
        const auto found = std::find_if(csv.columns.begin(), csv.columns.end(), [&](const auto& c) { return c.name.text == column.name; });
        if (found == csv.columns.end()) return std::nullopt;
        out.push_back(static_cast<std::size_t>(found - csv.columns.begin()));
    }
    if (csv.columns.size() != out.size()) return std::nullopt;
    return out;
}

/// The block of the job that states a member's list.
std::optional<std::uint32_t> blockOf(const syntax::Document& d, std::uint32_t member, const std::string& name) {
    for (std::uint32_t i = member + 1; i < d.rows().size() && d.rows()[i].kind != RowKind::Member; ++i)
        if (d.rows()[i].kind == RowKind::List && d.rows()[i].owner == member && d.rows()[i]->name.text == name) return i;
    return std::nullopt;
}

} // namespace

std::optional<ListView> Core::list(std::uint32_t slot, const meaning::Quantity& q) const {
    if (q.kind != Kind::List || !q.table) return std::nullopt;
    const Member& m = at(slot);
    ListView out;
    const auto isKey = [&](std::size_t c) { return std::find(q.table->keys.begin(), q.table->keys.end(), c) != q.table->keys.end(); };
    for (std::size_t c = 0; c < q.table->columns.size(); ++c) {
        const auto& column = q.table->columns[c];
        out.columns.push_back({column.name, column.text ? std::string() : column.unit.ascii, column.text, isKey(c)});
    }
    if (!m_single) {
        if (const auto block = blockOf(m_document, m.row, q.name)) {
            const syntax::CsvTable csv = syntax::blockTable(m_document, *block);
            if (const auto order = orderOf(csv, *q.table)) {
                out.stated = true;
                out.rows = fieldsOf(csv, *order);
                for (std::size_t c = 0; c < order->size(); ++c)
                    if (!out.columns[c].text) out.columns[c].unit = csv.columns[(*order)[c]].unit.text;
                return out;
            }
            out.stated = true; // but not readable: what the sheet has stands in
        }
    }
    for (std::size_t r = 0; r < q.table->rowCount(); ++r) {
        std::vector<std::string> row;
        for (const auto& column : q.table->texts) row.push_back(column[r]);
        out.rows.push_back(std::move(row));
    }
    return out;
}

Job::Done Job::setListRows(std::string_view mark, std::string_view name, const std::vector<std::vector<std::string>>& rows) {
    if (isSingleSheet()) return refuse(Code::NotSettable, "a sheet that stands alone has its list in its own text", "edit its rows there");
    Core& core = m_impl->core;
    const auto index = memberByMark(mark);
    if (!index) return noMember(mark);
    const std::string canonical = syntax::canonicalName(name);
    const meaning::Quantity* q = sheet(*index).find(canonical);
    if (q == nullptr || q->kind != Kind::List || !q->table)
        return refuse(Code::UnknownName, std::string(mark) + " has no list `" + std::string(name) + "`", "state the rows of one of its lists", mark);
    const std::size_t columns = q->table->columns.size();
    for (const auto& row : rows) {
        if (row.size() != columns)
            return refuse(Code::CsvFieldCount,
                          "a row of " + canonical + " has " + std::to_string(row.size()) + " fields, and the list has " + std::to_string(columns) + " columns",
                          "fill in one field a column", mark);
        for (const std::string& text : row)
            if (text.find_first_of("\r\n") != std::string::npos || text.find('\0') != std::string::npos || !base::isUtf8(text))
                return refuse(Code::ValueMalformed, "a field of a list stands on one line", "write it without line ends", mark);
    }
    const std::string before = text(path()).value_or(std::string());
    syntax::Document d = documentOf(*this);
    const std::uint32_t memberRow = member(*index).row;
    const std::string end = lineEndOf(d);
    const auto block = blockOf(d, memberRow, canonical);
    std::optional<std::vector<std::size_t>> order;
    if (block) order = orderOf(syntax::blockTable(d, *block), *q->table);
    if (block && order) {
        // The head stands; lines that stay as they are stand, comments too.
        const syntax::CsvTable csv = syntax::blockTable(d, *block);
        const std::vector<std::vector<std::string>> old = fieldsOf(csv, *order);
        std::size_t front = 0, back = 0;
        while (front < old.size() && front < rows.size() && old[front] == rows[front]) ++front;
        while (back + front < old.size() && back + front < rows.size() && old[old.size() - 1 - back] == rows[rows.size() - 1 - back]) ++back;
        const std::string indent = indentOf(d.rows()[csv.headRow].text);
        std::string lines;
        for (std::size_t r = front; r < rows.size() - back; ++r) {
            std::vector<std::string> written(columns);
            for (std::size_t c = 0; c < columns; ++c) written[(*order)[c]] = rows[r][c];
            lines += indent + lineOf(written) + end;
        }
        const std::uint32_t at = front < old.size() ? csv.lines[front].row : (old.empty() ? csv.headRow : csv.lines.back().row) + 1;
        for (std::size_t r = old.size() - back; r-- > front;) d.erase(csv.lines[r].row, 1);
        if (!lines.empty()) putBefore(d, at, lines);
    } else {
        if (block) d.erase(*block, rowWithItsOwn(d, *block).end - *block);
        const Extent e = extentOf(d, memberRow);
        std::string indent = "        ";
        if (e.first + 1 < e.end) indent = indentOf(d.rows()[e.first + 1].text);
        std::string lines = indent + "list  " + canonical + end + indent;
        for (std::size_t c = 0; c < columns; ++c) {
            const auto& column = q->table->columns[c];
            const bool key = std::find(q->table->keys.begin(), q->table->keys.end(), c) != q->table->keys.end();
            lines += (c > 0 ? ", " : "") + column.name +
                     (column.text                 ? (key ? "" : " [text]")
                      : column.unit.ascii.empty() ? ""
                                                  : " [" + column.unit.ascii + "]");
        }
        lines += end;
        for (const auto& row : rows) lines += indent + lineOf(row) + end;
        lines += indent + "end" + end;
        // Behind what it states, before the notes under it.
        std::uint32_t at = e.end;
        while (at > e.first + 1 && d.rows()[at - 1].kind == RowKind::Note && d.rows()[at - 1].owner == e.first) --at;
        putBefore(d, at, lines);
    }
    if (auto done = setText(path(), d.text()); !done) return done;
    // It must read back as what was stated.
    const auto slot = core.slotOf(mark);
    const Statement* now = slot ? core.at(*slot).statement(q->id.value) : nullptr;
    const auto read = slot ? core.list(*slot, *q) : std::nullopt;
    if (now != nullptr && now->sort == Statement::Sort::List && read && read->stated && read->rows == rows) return true;
    Diagnostic why = now != nullptr && now->problem ? *now->problem
                                                    : Diagnostic{Code::ValueMalformed,
                                                                 diag::Severity::Error,
                                                                 {},
                                                                 "the rows of " + canonical + " would not read back as they were written",
                                                                 {},
                                                                 {},
                                                                 "write plain words and numbers",
                                                                 {}};
    (void)setText(path(), before);
    why.member = std::string(mark);
    return base::Failure{std::move(why)};
}

} // namespace spanwright::job
