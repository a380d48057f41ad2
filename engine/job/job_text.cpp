// SPDX-License-Identifier: MIT
#include "engine/job/job_text.h"

#include <algorithm>

#include "engine/base/text.h"

namespace spanwright::job {

using diag::Code;
using syntax::Row;
using syntax::RowKind;

base::Failure<diag::Diagnostic> refuse(Code code, std::string message, std::string mend, std::string_view mark) {
    return {diag::Diagnostic{code, diag::Severity::Error, {}, std::move(message), {}, {}, std::move(mend), std::string(mark)}};
}

base::Failure<diag::Diagnostic> noMember(std::string_view mark) {
    return refuse(Code::UnknownMember, "there is no member `" + std::string(mark) + "`", "take one of the marks in the job", mark);
}

base::Failure<diag::Diagnostic> noJob() {
    return refuse(Code::NotSettable, "a sheet that stands alone has no members to edit", "make a job that uses the sheet");
}

syntax::Document documentOf(const Job& job) { return syntax::Document::read(job.path(), syntax::FileKind::Job, job.text(job.path()).value_or(std::string())); }

Extent extentOf(const syntax::Document& d, std::uint32_t member) {
    const auto& rows = d.rows();
    Extent e{member, member + 1};
    for (std::uint32_t i = member + 1; i < rows.size() && rows[i].kind != RowKind::Member; ++i) {
        const std::uint32_t owner = rows[i].owner;
        // Blank rows and comments behind its last row stand between it and what follows.
        if (owner == Row::kNoOwner || rows[i].kind == RowKind::Blank || rows[i].kind == RowKind::Comment) continue;
        if (owner == member || (owner > member && owner < i && rows[owner].owner == member)) e.end = i + 1;
    }
    return e;
}

Extent rowWithItsOwn(const syntax::Document& d, std::uint32_t row) {
    const auto& rows = d.rows();
    Extent e{row, row + 1};
    while (e.end < rows.size() && rows[e.end].owner == row && rows[row].kind != RowKind::Part && rows[row].kind != RowKind::Otherwise) ++e.end;
    while (e.end < rows.size() && rows[e.end].kind == RowKind::Note) ++e.end;
    return e;
}

std::string lineEndOf(const syntax::Document& d) {
    for (const Row& row : d.rows()) {
        if (row.text.size() >= 2 && row.text.compare(row.text.size() - 2, 2, "\r\n") == 0) return "\r\n";
        if (endsLine(row.text)) return "\n";
    }
    return "\n";
}

bool endsLine(const std::string& text) { return !text.empty() && text.back() == '\n'; }

void putBefore(syntax::Document& d, std::uint32_t before, const std::string& text) {
    const auto& rows = d.rows();
    if (before > 0 && before <= rows.size() && !endsLine(rows[before - 1].text)) {
        const auto size = static_cast<std::uint32_t>(rows[before - 1].text.size());
        d.apply({{before - 1, {size, size}, lineEndOf(d)}});
    }
    d.insert(std::min(before, static_cast<std::uint32_t>(d.rows().size())), text);
}

std::string textOf(const syntax::Document& d, Extent e) {
    std::string out;
    for (std::uint32_t i = e.first; i < e.end; ++i) out += d.rows()[i].text;
    if (!endsLine(out)) out += lineEndOf(d);
    return out;
}

bool plainWords(std::string_view text) {
    return text.find_first_of("\r\n") == std::string_view::npos && text.find(" -- ") == std::string_view::npos && text.find('\0') == std::string_view::npos &&
           base::isUtf8(text);
}

std::string indentOf(const std::string& text) { return text.substr(0, std::min(text.find_first_not_of(" \t"), text.size())); }

} // namespace spanwright::job
