// SPDX-License-Identifier: MIT
#include "worked_sheet.h"

#include <doctest/doctest.h>

#include <cmath>
#include <functional>

namespace spanwright::eval::test {

WorkedSheet::WorkedSheet(const std::string& rows, const std::map<std::string, double>& stated, const std::map<std::string, std::string>& files, bool blocks)
    : m_stated(stated) {
    auto document = std::make_shared<const syntax::Document>(syntax::Document::read("test.spansheet", syntax::FileKind::Sheet, "sheet test\n" + rows));
    const meaning::Fetch fetch = [&](const std::string& path) -> base::Result<std::string, diag::Diagnostic> {
        const auto at = files.find(path);
        if (at != files.end()) return at->second;
        return base::Failure<diag::Diagnostic>{{}};
    };
    m_sheet = meaning::analyse(document, fetch, m_texts);
    m_program = std::make_unique<Program>(m_sheet);
    m_program->useBlocks(blocks);
    work();
}

void WorkedSheet::work() {
    m_values.values.assign(m_sheet->quantities.size(), Value{});
    std::vector<int> seen(m_sheet->quantities.size(), 0);
    const std::function<void(meaning::QuantityId)> visit = [&](meaning::QuantityId id) {
        if (seen[id.index()] != 0) return;
        seen[id.index()] = 1;
        const meaning::Quantity& q = m_sheet->at(id);
        for (const meaning::QuantityId r : q.reads) visit(r);
        const auto stated = m_stated.find(q.name);
        if (stated != m_stated.end() && (q.kind == meaning::Kind::Ask || q.kind == meaning::Kind::Given || q.kind == meaning::Kind::Choose)) {
            Value v;
            v.state = State::Known;
            v.one = stated->second;
            v.table = q.table;
            m_values.values[id.index()] = m_program->stated(id, v, m_values);
        } else {
            m_values.values[id.index()] = m_program->evaluate(id, m_values);
        }
    };
    for (std::size_t i = 0; i < m_sheet->quantities.size(); ++i) visit(meaning::QuantityId(i));
}

void WorkedSheet::state(std::string_view name, double si) {
    m_stated[std::string(name)] = si;
    work();
}

meaning::QuantityId WorkedSheet::id(std::string_view name) const {
    const meaning::Quantity* q = m_sheet->find(name);
    if (q != nullptr) return q->id;
    for (const meaning::Quantity& other : m_sheet->quantities) {
        if (other.name == name) return other.id;
    }
    FAIL("the sheet has no row " << name << "\n" << complaints());
    return meaning::QuantityId(0);
}

double WorkedSheet::number(std::string_view name) const {
    const Value& v = at(name);
    if (v.known() && v.many.empty()) return v.one;
    FAIL_CHECK(name << ": " << said(name));
    return std::nan("");
}

std::string WorkedSheet::said(std::string_view name) const {
    const Value& v = at(name);
    switch (v.state) {
    case State::Known: return "known";
    case State::NotStated: return "not stated";
    case State::NotApplicable: return "not applicable";
    case State::Blocked: return v.blockedBy.valid() ? "blocked by " + m_sheet->at(v.blockedBy).name : "blocked";
    case State::Failed: break;
    }
    if (!v.problem) return "failed without a word";
    std::string text = std::string(diag::codeText(v.problem->code)) + " " + v.problem->message;
    for (const std::string& note : v.problem->notes) text += " | " + note;
    return text + " | mend: " + v.problem->mend;
}

std::string WorkedSheet::marked(std::string_view name) const {
    const Value& v = at(name);
    if (!v.problem || v.problem->place.row >= m_sheet->document->rows().size()) return {};
    return std::string(v.problem->place.span.of(m_sheet->document->rows()[v.problem->place.row].text));
}

std::string WorkedSheet::complaints() const {
    std::string all;
    for (const diag::Diagnostic& d : m_sheet->diagnostics) {
        if (d.severity == diag::Severity::Error) all += std::string(diag::codeText(d.code)) + " " + d.message + "\n";
    }
    for (const diag::Diagnostic& d : m_sheet->document->diagnostics()) all += std::string(diag::codeText(d.code)) + " " + d.message + "\n";
    return all;
}

} // namespace spanwright::eval::test

TEST_CASE("a sheet given as text is worked out row by row") {
    spanwright::eval::test::WorkedSheet s("given a [m] = 3 m\nderive b [m] = c*2\nderive c [m] = a + 1 m\n");
    CHECK(s.complaints() == "");
    CHECK(s.number("b") == 8.0);
}
