// SPDX-License-Identifier: MIT
// Edits of a job's own sheets: a changed copy of a ready sheet beside the job, and its rows.
#include <algorithm>

#include "engine/base/text.h"
#include "engine/job/core.h"
#include "engine/job/job_text.h"

namespace spanwright::job {

using diag::Code;
using syntax::Row;
using syntax::RowKind;

namespace {

constexpr std::string_view kEnding = ".spansheet";

/// `path` as it reads from `folder`; nothing when it does not lie below it.
std::optional<std::string> from(const std::string& folder, const std::string& path) {
    if (folder.empty() || folder == ".") return path.empty() || path.front() == '/' ? std::nullopt : std::optional<std::string>(path);
    const std::string prefix = folder.back() == '/' ? folder : folder + "/";
    if (path.compare(0, prefix.size(), prefix) != 0) return std::nullopt;
    return path.substr(prefix.size());
}

/// Reads as the sheet's name in a member's row.
bool readsAsName(const std::string& name) {
    const auto d = syntax::Document::read("name", syntax::FileKind::Job, "member M = " + name + "\n");
    return d.rows().size() == 1 && d.rows()[0].kind == RowKind::Member && d.rows()[0]->complaints.empty() && d.rows()[0]->path.text == name &&
           !d.rows()[0]->what.present();
}

/// Rows that an edit of rows may touch: what says something and stands in no block.
bool isHead(const syntax::Document& d, std::uint32_t i) {
    const Row& row = d.rows()[i];
    switch (row.kind) {
    case RowKind::Blank:
    case RowKind::Comment:
    case RowKind::Note:
    case RowKind::End:
    case RowKind::TableLine: return false;
    default: break;
    }
    const std::uint32_t owner = row.owner;
    return owner == Row::kNoOwner || owner > i || d.rows()[owner].kind == RowKind::Part || d.rows()[owner].kind == RowKind::Otherwise;
}

/// A row as it is put into a text: the words given, with the text's line end.
base::Result<std::string, diag::Diagnostic> rowText(const syntax::Document& d, std::string_view words) {
    std::string text(words);
    while (!text.empty() && (text.back() == '\n' || text.back() == '\r')) text.pop_back();
    if (!base::isUtf8(text) || text.find('\0') != std::string::npos || text.find('\r') != std::string::npos)
        return refuse(Code::FileNotText, "the row is no plain text", "write it anew");
    if (base::trimmed(text).empty()) return refuse(Code::ValueMalformed, "there is no row to put in", "write a row such as `derive  M [kN*m] = w*L^2/8`");
    return text + lineEndOf(d);
}

} // namespace

SheetEntry* Core::sheetAt(const std::string& path) {
    const auto at = m_sheets.find(path);
    return at == m_sheets.end() ? nullptr : at->second.get();
}

SheetEntry* Core::makeSheet(const std::string& path) {
    if (m_single || path.size() <= kEnding.size() || path.compare(path.size() - kEnding.size(), kEnding.size(), kEnding) != 0) return nullptr;
    const std::optional<std::string> relative = from(m_folder, path);
    if (!relative || m_files.exists(path)) return nullptr;
    const auto judged = io::pathBelow(m_folder, *relative);
    if (!judged.ok() || judged.value() != path) return nullptr;
    auto entry = std::make_unique<SheetEntry>();
    entry->path = path;
    entry->name = relative->substr(0, relative->size() - kEnding.size());
    entry->made = true;
    SheetEntry& made = *m_sheets.emplace(path, std::move(entry)).first->second;
    loadSheet(made, {});
    return &made;
}

Job::Done Job::copySheet(std::string_view sheetName, std::string_view newName, const std::vector<std::string>& marks) {
    if (isSingleSheet()) return refuse(Code::NotSettable, "a sheet that stands alone is its own already", "make a job that uses it");
    Core& core = m_impl->core;
    const std::string name(base::trimmed(newName));
    std::vector<std::uint32_t> rows;
    SheetEntry* entry = nullptr;
    for (const std::string& mark : marks)
        if (!memberByMark(mark)) return noMember(mark);
    for (std::uint32_t slot : core.m_order) {
        const Member& m = core.at(slot);
        const bool wanted = marks.empty() || std::find(marks.begin(), marks.end(), m.mark) != marks.end();
        if (!wanted) continue;
        if (m.sheetName != sheetName) {
            if (marks.empty()) continue;
            return refuse(Code::UnknownSheet, m.mark + " does not use the sheet `" + std::string(sheetName) + "`", "take members of one sheet", m.mark);
        }
        entry = m.sheet;
        rows.push_back(m.row);
    }
    if (entry == nullptr || !entry->sheet)
        return refuse(Code::UnknownSheet, "no member uses a sheet `" + std::string(sheetName) + "` that could be read", "take a sheet that the job uses");
    const auto path = io::pathBelow(core.m_folder, name + std::string(kEnding));
    if (name.empty() || !path.ok() || !readsAsName(name))
        return refuse(Code::BadName, "`" + name + "` cannot be a sheet's name", "write a plain word, such as `our-joist`");
    const auto ready = core.m_options.library.empty() ? path : io::pathBelow(core.m_options.library, name + std::string(kEnding));
    const SheetEntry* known = core.sheetAt(path.value());
    if (core.m_files.exists(path.value()) || (known != nullptr && !known->gone()))
        return refuse(Code::DuplicateName, "there is a sheet `" + name + "` beside the job already", "take another name");
    if (!core.m_options.library.empty() && ready.ok() && core.m_files.exists(ready.value()))
        return refuse(Code::DuplicateName, "a ready sheet is called `" + name + "`", "take another name, so that it is plain which of them is meant");

    // Tables that lay beside the sheet are named from where the copy stands.
    core.catchUp(*entry);
    syntax::Document copy = syntax::Document::read(path.value(), syntax::FileKind::Sheet, entry->document().text());
    const std::string was = io::folderOf(entry->path), is = io::folderOf(path.value());
    std::vector<syntax::RowEdit> uses;
    for (std::uint32_t i = 0; i < copy.rows().size(); ++i) {
        const Row& row = copy.rows()[i];
        if (row.kind != RowKind::Use || !row->path.present()) continue;
        const auto beside = io::pathBelow(was, row->path.text);
        if (!beside.ok() || (!core.m_files.exists(beside.value()) && core.m_tables.count(beside.value()) == 0)) continue;
        std::optional<std::string> now = from(is, beside.value());
        if (!now && entry->ofLibrary) now = from(core.m_options.library, beside.value());
        if (now && *now != row->path.text) uses.push_back({i, row->path.span, *now});
    }
    copy.apply(uses);
    syntax::Document d = documentOf(*this);
    std::vector<syntax::RowEdit> edits;
    for (std::uint32_t row : rows) edits.push_back({row, d.rows()[row]->path.span, name});
    d.apply(edits);
    if (auto done = setText(path.value(), copy.text()); !done) return done;
    return setText(this->path(), d.text());
}

namespace {

/// The document of a sheet that is the job's to change, or why it is not.
base::Result<syntax::Document, diag::Diagnostic> ownSheet(Core& core, const std::string& file) {
    SheetEntry* entry = core.sheetAt(file);
    if (entry == nullptr || !entry->sheet) return refuse(Code::UnknownSheet, "`" + file + "` is no sheet of this job that could be read", {});
    if (entry->ofLibrary && !core.m_single)
        return refuse(Code::NotSettable, "`" + entry->name + "` is a ready sheet, which other jobs use too", "make a copy of it for this job and change that");
    return syntax::Document(entry->document());
}

base::Failure<diag::Diagnostic> noRow() { return refuse(Code::ValueMalformed, "there is no such row in the sheet", "take one of its rows"); }

} // namespace

Job::Done Job::insertRow(const std::string& file, std::uint32_t before, std::string_view words) {
    auto d = ownSheet(m_impl->core, file);
    if (!d) return base::Failure{d.error()};
    const auto text = rowText(d.value(), words);
    if (!text) return base::Failure{text.error()};
    if (before > d.value().rows().size()) return noRow();
    putBefore(d.value(), before, text.value());
    return setText(file, d.value().text());
}

Job::Done Job::writeRow(const std::string& file, std::uint32_t row, std::string_view words) {
    auto d = ownSheet(m_impl->core, file);
    if (!d) return base::Failure{d.error()};
    if (row >= d.value().rows().size() || !isHead(d.value(), row)) return noRow();
    const auto text = rowText(d.value(), words);
    if (!text) return base::Failure{text.error()};
    const std::string& old = d.value().rows()[row].text;
    const auto end = static_cast<std::uint32_t>(old.find_last_not_of("\r\n") + 1);
    const std::string now = text.value().substr(0, text.value().find_last_not_of("\r\n") + 1);
    d.value().apply({{row, {0, end}, now}});
    return setText(file, d.value().text());
}

Job::Done Job::removeRow(const std::string& file, std::uint32_t row) {
    auto d = ownSheet(m_impl->core, file);
    if (!d) return base::Failure{d.error()};
    if (row >= d.value().rows().size() || !isHead(d.value(), row)) return noRow();
    const Extent e = rowWithItsOwn(d.value(), row);
    d.value().erase(e.first, e.end - e.first);
    return setText(file, d.value().text());
}

Job::Done Job::moveRow(const std::string& file, std::uint32_t row, int by) {
    auto read = ownSheet(m_impl->core, file);
    if (!read) return base::Failure{read.error()};
    syntax::Document& d = read.value();
    if (row >= d.rows().size() || !isHead(d, row)) return noRow();
    const Extent e = rowWithItsOwn(d, row);
    std::uint32_t to = by < 0 ? e.first : e.end;
    for (int step = 0; step < (by < 0 ? -by : by); ++step) {
        std::uint32_t next = to;
        if (by < 0) {
            while (next > 0 && !isHead(d, next - 1)) --next;
            if (next == 0) break;
            to = next - 1;
        } else {
            while (next < d.rows().size() && !isHead(d, next)) ++next;
            if (next == d.rows().size()) break;
            to = rowWithItsOwn(d, next).end;
        }
    }
    if (to == e.first || to == e.end) return refuse(Code::ValueMalformed, "there is no row to move it past", {});
    const std::string text = textOf(d, e);
    if (to < e.first) {
        d.erase(e.first, e.end - e.first);
        putBefore(d, to, text);
    } else {
        putBefore(d, to, text);
        d.erase(e.first, e.end - e.first);
    }
    return setText(file, d.text());
}

RowTrial Core::tryRow(const std::string& file, std::uint32_t before, std::string_view words, std::optional<std::uint32_t> replaced) {
    RowTrial out;
    SheetEntry* entry = sheetAt(file);
    if (entry == nullptr || !entry->sheet) return out;
    catchUp(*entry);
    syntax::Document d = entry->document();
    const auto text = rowText(d, words);
    if (!text) {
        out.inRow.push_back(text.error());
        return out;
    }
    if (replaced && *replaced < d.rows().size()) {
        const auto end = static_cast<std::uint32_t>(d.rows()[*replaced].text.find_last_not_of("\r\n") + 1);
        d.apply({{*replaced, {0, end}, text.value().substr(0, text.value().find_last_not_of("\r\n") + 1)}});
        before = *replaced;
    } else {
        before = std::min(before, static_cast<std::uint32_t>(d.rows().size()));
        putBefore(d, before, text.value());
    }
    // What is wrong now already is nothing that the row brings about: told by words, because rows move.
    std::vector<std::pair<Code, std::string>> now;
    for (const diag::Diagnostic& known : entry->diagnostics) now.emplace_back(known.code, known.message);
    SheetEntry trial;
    trial.path = entry->path;
    trial.name = entry->name;
    trial.ofLibrary = entry->ofLibrary;
    const auto document = std::make_shared<const syntax::Document>(std::move(d));
    const auto sheet = meaning::analyse(
        document, [&](const std::string& path) { return fetch(trial, path); }, m_texts);
    std::vector<diag::Diagnostic> all = document->diagnostics();
    for (const diag::Diagnostic& found : sheet->diagnostics) {
        const bool told = std::any_of(all.begin(), all.end(),
                                      [&](const diag::Diagnostic& o) { return o.code == found.code && o.place == found.place && o.message == found.message; });
        if (!told) all.push_back(found);
    }
    for (diag::Diagnostic& found : all) {
        if (found.place.file == file && found.place.row == before) {
            found.place.row = 0;
            out.inRow.push_back(std::move(found));
            continue;
        }
        const auto known = std::find(now.begin(), now.end(), std::pair(found.code, found.message));
        if (known != now.end())
            now.erase(known);
        else
            out.elsewhere.push_back(std::move(found));
    }
    return out;
}

} // namespace spanwright::job
