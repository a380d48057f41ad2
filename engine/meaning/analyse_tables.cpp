// SPDX-License-Identifier: MIT
// Tables of a sheet: its own blocks and the files it uses.
#include <algorithm>

#include "engine/base/text.h"
#include "engine/meaning/analysis.h"

namespace spanwright::meaning {

using diag::Code;
using Row = syntax::RowParts;
using syntax::RowKind;

namespace {

bool samePlace(const diag::Diagnostic& a, const diag::Diagnostic& b) { return a.code == b.code && a.place == b.place && a.message == b.message; }

} // namespace

void SheetAnalysis::readTables() {
    const auto& rows = m_sheet.document->rows();
    for (std::uint32_t r = 0; r < rows.size(); ++r) {
        switch (rows[r].kind) {
        case RowKind::Use: useTable(r); break;
        case RowKind::Table:
        case RowKind::List:
        case RowKind::Matrix: blockTable(r); break;
        default: break;
        }
    }
}

void SheetAnalysis::useTable(std::uint32_t r) {
    const Row& row = rowAt(r);
    beginRow(r);
    const std::string& name = row.name.text;
    TableRow& kept = m_tables[r];
    kept.row = r;
    if (row.name.present()) m_tableNames.emplace(name, r);
    if (!row.path.present()) return; // told by the reader
    // each path once: a second `use` of it shares what was read
    std::uint32_t earlier = r;
    for (const auto& [otherRow, other] : m_tables) {
        if (otherRow < r && kindAt(otherRow) == RowKind::Use && rowAt(otherRow).path.text == row.path.text) earlier = std::min(earlier, otherRow);
    }
    const syntax::CsvTable* csv = nullptr;
    if (earlier != r) {
        for (const auto& f : m_sheet.files) {
            if (f.file == row.path.text) csv = &f;
        }
        if (csv == nullptr) { // could not be read; told at its first `use`
            kept.problem = m_tables.at(earlier).problem;
            return;
        }
    } else {
        auto fetched = m_fetch ? m_fetch(row.path.text)
                               : base::Result<std::string, diag::Diagnostic>(base::Failure<diag::Diagnostic>{
                                     diag::Diagnostic{Code::FileNotFound, diag::Severity::Error, {}, "there are no files here", {}, {}, {}, {}}});
        if (!fetched) {
            diag::Diagnostic d = fetched.error();
            d.place = place(row.path.span);
            kept.problem = std::make_shared<const diag::Diagnostic>(d);
            m_out.push_back(std::move(d));
            return;
        }
        m_sheet.files.push_back(syntax::readCsv(row.path.text, std::move(fetched).value()));
        csv = &m_sheet.files.back();
        m_out.insert(m_out.end(), csv->diagnostics.begin(), csv->diagnostics.end());
    }
    keepTable(r, name, *csv, false, row.matrix);
}

void SheetAnalysis::blockTable(std::uint32_t r) {
    const Row& row = rowAt(r);
    const RowKind kind = kindAt(r);
    beginRow(r);
    TableRow& kept = m_tables[r];
    kept.row = r;
    if (row.name.present()) m_tableNames.emplace(row.name.text, r);
    const syntax::CsvTable csv = syntax::blockTable(*m_sheet.document, r);
    // the document may have said the same about its lines
    for (const auto& d : csv.diagnostics) {
        bool said = false;
        for (const auto& other : m_out) said = said || samePlace(d, other);
        if (!said) m_out.push_back(d);
    }
    keepTable(r, row.name.text, csv, kind == RowKind::List, kind == RowKind::Matrix);
}

void SheetAnalysis::keepTable(std::uint32_t r, std::string name, const syntax::CsvTable& csv, bool isList, bool isMatrix) {
    const Row& row = rowAt(r);
    TableRow& kept = m_tables[r];
    if (!csv.diagnostics.empty()) kept.problem = std::make_shared<const diag::Diagnostic>(csv.diagnostics.front());
    if (csv.columns.empty()) return; // told by the reader
    units::Unit unit;
    if (isMatrix && row.unit.present()) {
        const auto read = unitAt(row.unit.text, row.unit.span);
        if (!read) {
            kept.problem = std::make_shared<const diag::Diagnostic>(m_out.back());
            return;
        }
        unit = *read;
    }
    std::vector<std::string> keys;
    for (const auto& key : row.keys) keys.push_back(key.text);
    const std::size_t before = m_out.size();
    auto made = makeTable(csv, std::move(name), keys, isMatrix, unit, m_texts, m_out);
    // columns that the row names are looked for in the head: the row is where to mend it
    for (std::size_t i = before; i < m_out.size(); ++i) {
        if (m_out[i].code != Code::UnknownColumn || m_out[i].place.row != csv.headRow || !m_out[i].place.span.empty()) continue;
        for (const auto& key : row.keys) {
            if (m_out[i].message.find("`" + key.text + "`") != std::string::npos) m_out[i].place = place(key.span);
        }
    }
    kept.damaged = !csv.diagnostics.empty();
    for (std::size_t i = before; i < m_out.size(); ++i) {
        // a wrong cell holds no number and stops only those who need it; a wrong key makes the rows themselves unsure
        if (m_out[i].code != Code::TableKeyTwice && m_out[i].code != Code::UnknownColumn) continue;
        kept.damaged = true;
        if (!kept.problem) kept.problem = std::make_shared<const diag::Diagnostic>(m_out[i]);
    }
    if (isList) {
        auto list = std::make_shared<Table>(*made);
        list->isList = true;
        made = std::move(list);
    }
    kept.table = made;
    kept.id = TableId(m_sheet.tables.size());
    m_sheet.tables.push_back(std::move(made));
}

SheetAnalysis::TableRow* SheetAnalysis::tableNamed(std::string_view name) {
    const auto found = m_tableNames.find(name);
    if (found == m_tableNames.end()) return nullptr;
    return &m_tables.at(found->second);
}

SheetAnalysis::TableRow* SheetAnalysis::tableFor(const Row& row) {
    if (!row.table.present()) {
        setFailed(); // told by the reader
        return nullptr;
    }
    TableRow* t = tableNamed(row.table.text);
    if (t == nullptr) {
        std::vector<std::string> names;
        for (const auto& [name, at] : m_tableNames) names.emplace_back(name);
        std::sort(names.begin(), names.end());
        std::string mend = suggestion(row.table.text, names);
        if (mend.empty()) mend = "write the table into the sheet, or `use` a file that holds it";
        fail(Code::UnknownTable, row.table.span, "there is no table " + quoted(row.table.text), mend);
        return nullptr;
    }
    if (!t->table) {
        m_cause = t->row;
        m_blamesElsewhere = true;
        setFailed();
        return nullptr;
    }
    if (t->table->isMatrix) {
        fail(Code::TypeMismatch, row.table.span, quoted(row.table.text) + " is a matrix: it is looked up by two keys and has no rows to take",
             "write " + row.table.text + "(row key, column key) in a formula");
        return nullptr;
    }
    return t;
}

} // namespace spanwright::meaning
