// SPDX-License-Identifier: MIT
// A sheet from its document, step by step.
#include <algorithm>

#include "engine/meaning/analysis.h"

namespace spanwright::meaning {

using diag::Code;
using syntax::RowKind;

void SheetAnalysis::run() {
    m_sheet.diagnostics = m_sheet.document->diagnostics();
    readTables();
    declareAll();
    reportRecursion();
    // until a row is typed nothing is known of one that declares no unit
    for (Quantity& q : m_sheet.quantities) {
        Info& i = m_info[q.id.index()];
        if (!i.declared && (q.kind == Kind::Derive || q.kind == Kind::Given || q.kind == Kind::Switch)) i.wild = true;
    }
    const auto count = static_cast<std::uint32_t>(m_sheet.quantities.size());
    for (std::uint32_t item : order()) {
        if (item < count)
            typeQuantity(QuantityId(item));
        else
            typeFunction(item - count);
    }
    m_sheet.slotCount = slotCount();
    m_sheet.byName.reserve(m_symbols.size());
    bool proves = false;
    for (const auto& [name, s] : m_symbols) {
        if (s.kind == Symbol::Kind::Quantity) m_sheet.byName.emplace(name, s.whole.valid() ? s.whole : QuantityId(s.index));
    }
    std::uint32_t head = diag::Place::kNoRow;
    const auto& rows = m_sheet.document->rows();
    for (std::uint32_t r = 0; r < rows.size(); ++r) {
        proves = proves || rows[r].kind == RowKind::Check;
        if (rows[r].kind == RowKind::Sheet && head == diag::Place::kNoRow) head = r;
    }
    if (!proves) {
        diag::Diagnostic d;
        d.code = Code::SheetEmpty;
        d.severity = diag::Severity::Warning;
        d.place = {m_file, head, head == diag::Place::kNoRow ? base::ByteSpan{} : rowAt(head).keyword.span};
        d.message = "this sheet has no check: nothing can be proven by it";
        d.mend = "write what must hold: check NAME: demand <= capacity";
        m_sheet.diagnostics.push_back(std::move(d));
    }
    giveProblems();
    diag::sortForShow(m_sheet.diagnostics);
}

void SheetAnalysis::giveProblems() {
    if (std::none_of(m_sheet.quantities.begin(), m_sheet.quantities.end(), [](const Quantity& q) { return q.broken; })) return;
    std::unordered_map<std::uint32_t, const diag::Diagnostic*> firstIn;
    for (const auto& d : m_sheet.diagnostics) {
        if (d.severity == diag::Severity::Error && d.place.file == m_file) firstIn.emplace(d.place.row, &d);
    }
    const auto inRow = [&](std::uint32_t r) -> std::shared_ptr<const diag::Diagnostic> {
        if (const auto found = firstIn.find(r); found != firstIn.end()) return std::make_shared<const diag::Diagnostic>(*found->second);
        if (const auto table = m_tables.find(r); table != m_tables.end()) return table->second.problem;
        return {};
    };
    for (Quantity& q : m_sheet.quantities) {
        if (!q.broken) continue;
        q.problem = inRow(q.row);
        if (!q.problem) q.problem = inRow(q.causeRow);
        const auto block = m_beamRows.find(q.row);
        for (std::size_t i = 0; !q.problem && block != m_beamRows.end() && i < block->second.size(); ++i) q.problem = inRow(block->second[i]);
    }
}

const Quantity* Sheet::find(std::string_view wanted) const {
    const auto found = byName.find(std::string(wanted));
    return found == byName.end() ? nullptr : &at(found->second);
}

std::shared_ptr<const Sheet> analyse(std::shared_ptr<const syntax::Document> document, const Fetch& fetch, TextPool& texts) {
    auto sheet = std::make_shared<Sheet>();
    sheet->document = std::move(document);
    auto interner = std::make_shared<Interner>();
    sheet->exprs.keep = interner;
    SheetAnalysis(*sheet, *interner, texts, fetch).run();
    for (auto& csv : sheet->files) { // the tables hold what they need; places need only the lines
        csv.lines.clear();
        csv.lines.shrink_to_fit();
    }
    return sheet;
}

} // namespace spanwright::meaning
