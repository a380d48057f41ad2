// SPDX-License-Identifier: MIT
// The rows that a member states for a list of its sheet; their cells may be links.
#include <algorithm>
#include <limits>

#include "engine/base/text.h"
#include "engine/job/core.h"

namespace spanwright::job {

using diag::Code;
using diag::Diagnostic;
using diag::Severity;
using syntax::NodeKind;

namespace {

/// A formula read from a piece of a row, placed in the row.
syntax::Formula shifted(syntax::Formula f, std::uint32_t by) {
    const auto move = [by](base::ByteSpan& span) {
        span.begin += by;
        span.end += by;
    };
    move(f.span);
    for (syntax::Node& n : f.nodes) {
        move(n.span);
        move(n.mark);
        move(n.unitSpan);
    }
    return f;
}

const char* tagged(syntax::Tag tag) {
    return tag == syntax::Tag::Characteristic ? "characteristic values" : tag == syntax::Tag::Design ? "design values" : "values without a tag";
}

} // namespace

std::string Core::blockText(std::uint32_t row) const {
    std::string out;
    const auto& rows = m_document.rows();
    for (std::uint32_t i = row; i < rows.size() && (i == row || rows[i].owner == row); ++i) out += rows[i].text;
    return out;
}

Statement Core::readList(std::uint32_t slot, const meaning::Quantity& q, std::uint32_t row) {
    Statement s;
    s.row = row;
    s.text = blockText(row);
    const syntax::Row& head = m_document.rows()[row];
    s.span = head->name.span;
    const meaning::Table& wanted = *q.table;
    const auto wrong = [&](Code code, std::uint32_t at, base::ByteSpan span, std::string message, std::string mend) {
        s.diagnostics.push_back({code, Severity::Error, m_document.place(at, span), std::move(message), {}, {}, std::move(mend), {}});
    };
    const syntax::CsvTable csv = syntax::blockTable(m_document, row);
    s.diagnostics = csv.diagnostics;
    std::vector<std::string> keys;
    for (std::uint32_t k : wanted.keys) keys.push_back(wanted.columns[k].name);
    std::string columns;
    for (const auto& c : wanted.columns)
        columns += (columns.empty() ? "" : ", ") + c.name + (c.text ? " [text]" : c.unit.ascii.empty() ? "" : " [" + c.unit.ascii + "]");
    // The head must name the sheet's columns, in any order.
    bool fits = !csv.columns.empty();
    std::vector<std::size_t> from;
    for (const auto& column : wanted.columns) {
        const auto found = std::find_if(csv.columns.begin(), csv.columns.end(), [&](const auto& c) { return c.name.text == column.name; });
        if (found == csv.columns.end()) {
            if (!csv.columns.empty())
                wrong(Code::UnknownColumn, csv.headRow, csv.columns.front().name.span, "the list " + q.name + " lacks the column " + quoted(column.name),
                      "its columns are: " + columns);
            fits = false;
            continue;
        }
        from.push_back(static_cast<std::size_t>(found - csv.columns.begin()));
    }
    for (const auto& c : csv.columns) {
        if (c.name.text.empty() || wanted.column(c.name.text)) continue;
        wrong(Code::UnknownColumn, csv.headRow, c.name.span, "the list " + q.name + " has no column " + quoted(c.name.text), "its columns are: " + columns);
        fits = false;
    }
    if (!fits) {
        settle(s, at(slot).mark);
        if (s.sort != Statement::Sort::Wrong) { // a block without a head has told so in its document's words
            s.sort = Statement::Sort::Wrong;
            s.problem = std::make_shared<const Diagnostic>(Diagnostic{Code::CsvHead,
                                                                      Severity::Error,
                                                                      m_document.place(row, head->name.span),
                                                                      "the list " + q.name + " has no head",
                                                                      {},
                                                                      {},
                                                                      "its columns are: " + columns,
                                                                      at(slot).mark});
            s.diagnostics.push_back(*s.problem);
        }
        return s;
    }
    // Cells that are no values are read as links once it is clear what their columns are.
    struct Formulas {
        std::uint32_t column, row, line;
        base::ByteSpan span;
        syntax::Formula formula;
    };
    std::vector<Formulas> links;
    const auto take = [&](std::uint32_t column, std::uint32_t r, const syntax::CsvTable::Line& line) {
        const syntax::CsvCell& cell = line.cells[column];
        std::vector<syntax::Complaint> complaints;
        syntax::Formula formula = syntax::readValueOrFormula(cell.text, complaints);
        const bool spelled = std::any_of(formula.nodes.begin(), formula.nodes.end(), [](const syntax::Node& n) {
            return n.kind == NodeKind::Field || n.kind == NodeKind::Binary || n.kind == NodeKind::Call;
        });
        const bool name = formula.present() && formula.top().kind == NodeKind::Name;
        if (!formula.present() || (!spelled && !name)) return false;
        const std::string& rowText = m_document.rows()[line.row].text;
        const base::ByteSpan inner = rowText[cell.span.begin] == '"' ? base::ByteSpan{cell.span.begin + 1, cell.span.end - 1} : cell.span;
        for (const syntax::Complaint& c : complaints)
            wrong(c.code, line.row, {inner.begin + c.span.begin, std::min(inner.begin + c.span.end, inner.end)}, c.message, c.mend);
        if (complaints.empty()) links.push_back({column, r, line.row, inner, shifted(std::move(formula), inner.begin)});
        return true;
    };
    const auto made = meaning::makeTable(csv, q.name, keys, false, {}, m_texts, s.diagnostics, &wanted, take);
    if (made) {
        meaning::Table table = *made;
        table.isList = true;
        // As the sheet's formulas count the columns.
        for (std::size_t i = 0; i < from.size(); ++i) {
            const auto& got = made->columns[from[i]];
            const auto& column = wanted.columns[i];
            const bool isKey = std::find(wanted.keys.begin(), wanted.keys.end(), i) != wanted.keys.end();
            if (got.text != column.text && !isKey)
                wrong(Code::TypeMismatch, csv.headRow, csv.columns[from[i]].name.span,
                      "the column " + quoted(column.name) + " holds " + (column.text ? "texts" : "numbers") + " in the sheet, not " +
                          (got.text ? "texts" : "numbers"),
                      "its columns are: " + columns);
            else if (!got.text && !column.text && got.unit.dimension != column.unit.dimension)
                wrong(Code::UnlikeDimensions, csv.headRow, csv.columns[from[i]].name.span,
                      "the column " + quoted(column.name) + " is in " + (column.unit.shown.empty() ? "pure numbers" : column.unit.shown) +
                          " in the sheet, not in " + (got.unit.shown.empty() ? "pure numbers" : got.unit.shown),
                      "its columns are: " + columns);
            else if (!got.text && !column.text && got.tag != column.tag)
                wrong(Code::TagMismatch, csv.headRow, csv.columns[from[i]].name.span,
                      "the column " + quoted(column.name) + " holds " + tagged(column.tag) + " in the sheet, not " + tagged(got.tag),
                      "leave the tag out: the sheet states it");
            table.columns[i] = got;
            table.cells[i] = made->cells[from[i]];
            table.texts[i] = made->texts[from[i]];
            // Keys may be names here and numbers in the sheet or the other way round: rows are told apart by them all
            // the same, but what reads one gets no number that nobody wrote.
            if (isKey && got.text != column.text)
                for (std::size_t r = 0; r < table.cells[i].size(); ++r)
                    table.cells[i][r] = column.text ? m_texts.idOf(table.texts[i][r]) : std::numeric_limits<double>::quiet_NaN();
        }
        for (const Formulas& f : links) {
            const auto i = static_cast<std::uint32_t>(std::find(from.begin(), from.end(), f.column) - from.begin());
            meaning::Quantity target;
            target.name = wanted.columns[i].name;
            target.unit = wanted.columns[i].unit;
            target.dimension = target.unit.dimension;
            target.tag = wanted.columns[i].tag;
            const std::size_t first = s.references.size();
            const std::size_t told = s.diagnostics.size();
            auto link = readLink(slot, target, &target, f.formula, m_document, f.line, s);
            if (link)
                s.cells.push_back({i, f.row, f.line, f.span, link, std::make_shared<eval::LinkProgram>(link), first});
            else if (s.diagnostics.size() == told && s.waitingFor.empty())
                wrong(Code::ValueMalformed, f.line, f.span, quoted(f.span.of(m_document.rows()[f.line].text)) + " cannot be read",
                      "write a value with its unit or a formula over other members");
        }
        table.keys = wanted.keys;
        s.sort = s.waitingFor.empty() ? Statement::Sort::List : Statement::Sort::Waiting;
        s.table = std::make_shared<const meaning::Table>(std::move(table));
    }
    settle(s, at(slot).mark);
    return s;
}

} // namespace spanwright::job
