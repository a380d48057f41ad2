// SPDX-License-Identifier: MIT
// Finding, reading and analysing the sheets of a job and the tables that they name.
#include <algorithm>
#include <set>
#include <tuple>

#include "engine/base/text.h"
#include "engine/job/core.h"

namespace spanwright::job {

namespace {

constexpr std::string_view kEnding = ".spansheet";

bool isText(const std::string& bytes) { return base::isUtf8(bytes) && bytes.find('\0') == std::string::npos; }

diag::Diagnostic noText(const std::string& file) {
    return {diag::Code::FileNotText,
            diag::Severity::Error,
            {file, diag::Place::kNoRow, {}},
            "the file is not UTF-8 text",
            {},
            {},
            "save it as plain text in UTF-8",
            {}};
}

/// `relative` below `folder`, if it is a path that may be read from there at all.
std::optional<std::string> allowed(const std::string& folder, std::string_view relative) {
    auto joined = io::pathBelow(folder, relative);
    if (!joined.ok() || !io::isBelow(folder, joined.value())) return std::nullopt;
    return std::move(joined).value();
}

} // namespace

std::string stemOf(std::string_view path) {
    std::string name = io::fileNameOf(path);
    const std::size_t dot = name.rfind('.');
    if (dot != std::string::npos && dot > 0) name.resize(dot);
    return name;
}

diag::Diagnostic fileProblem(const io::IoError& e, const std::string& file) {
    using What = io::IoError::What;
    diag::Code code = diag::Code::FileNotReadable;
    std::string message = "cannot be read: " + e.message;
    std::string mend;
    switch (e.what) {
    case What::NotFound:
        code = diag::Code::FileNotFound;
        message = e.message;
        mend = "check how the name is written";
        break;
    case What::TooLarge:
        code = diag::Code::FileTooLarge;
        message = "the file is " + e.message;
        mend = "keep long tables in files of their own";
        break;
    case What::NotWritable:
    case What::NoSpace:
        code = diag::Code::FileNotWritable;
        message = "cannot be saved: " + e.message;
        mend = "the old file stands as it was; save elsewhere or make room";
        break;
    case What::Outside:
        code = diag::Code::PathOutside;
        message = e.message;
        break;
    default: break;
    }
    return {code, diag::Severity::Error, {file, diag::Place::kNoRow, {}}, std::move(message), {}, {}, std::move(mend), {}};
}

SheetEntry* Core::sheetNamed(const std::string& name, const diag::Place& where, std::string_view mark, std::vector<diag::Diagnostic>& out) {
    const std::string file = name + std::string(kEnding);
    diag::Diagnostic problem{diag::Code::UnknownSheet, diag::Severity::Error, where, {}, {}, {}, {}, std::string(mark)};
    if (const auto judged = io::pathBelow(m_folder, file); !judged.ok()) {
        problem.code = diag::Code::PathOutside;
        problem.message = "a sheet cannot be taken from " + quoted(name) + ": " + judged.error().message;
        problem.mend = "keep the sheet below the job's folder or use one of the library";
        out.push_back(std::move(problem));
        return nullptr;
    }
    bool outside = false;
    for (const bool ofLibrary : {false, true}) {
        const std::string& folder = ofLibrary ? m_options.library : m_folder;
        if (ofLibrary && folder.empty()) continue;
        const auto joined = io::pathBelow(folder, file);
        if (const auto known = m_sheets.find(joined.value()); known != m_sheets.end()) {
            if (known->second->gone()) continue;
            if (known->second->unreadable) {
                diag::Diagnostic d = *known->second->unreadable;
                d.member.clear();
                out.push_back(std::move(d));
                return nullptr;
            }
            return known->second.get();
        }
        if (!m_files.exists(joined.value())) continue;
        const auto path = allowed(folder, file);
        if (!path) {
            outside = true;
            continue;
        }
        auto entry = std::make_unique<SheetEntry>();
        entry->path = *path;
        entry->name = name;
        entry->ofLibrary = ofLibrary || (!m_options.library.empty() && io::isBelow(m_options.library, *path));
        SheetEntry& made = *m_sheets.emplace(*path, std::move(entry)).first->second;
        auto bytes = m_files.read(*path);
        if (!bytes.ok())
            made.unreadable = fileProblem(bytes.error(), *path);
        else if (!isText(bytes.value()))
            made.unreadable = noText(*path);
        if (made.unreadable) {
            out.push_back(*made.unreadable);
            return nullptr;
        }
        loadSheet(made, std::move(bytes).value());
        return &made;
    }
    if (outside) {
        problem.code = diag::Code::PathOutside;
        problem.message = "the sheet " + quoted(name) + " is a link that leads out of its folder";
        problem.mend = "keep the sheet below the job's folder or use one of the library";
    } else {
        std::vector<std::string> names;
        const auto gather = [&](const std::vector<std::string>& files) {
            for (const std::string& f : files)
                if (f.size() > kEnding.size() && f.compare(f.size() - kEnding.size(), kEnding.size(), kEnding) == 0)
                    names.push_back(f.substr(0, f.size() - kEnding.size()));
        };
        gather(m_files.list(m_folder));
        if (!m_options.library.empty()) gather(m_files.list(m_options.library));
        problem.message = "there is no sheet " + quoted(name) + " beside the job or in the library";
        problem.mend = suggestion(name, names);
        if (problem.mend.empty()) problem.mend = "`spanwright sheets` lists the ready ones";
    }
    out.push_back(std::move(problem));
    return nullptr;
}

base::Result<std::string, diag::Diagnostic> Core::fetch(SheetEntry& entry, const std::string& path) {
    const auto refuse = [&](diag::Code code, std::string message, std::string mend) {
        return base::Failure{
            diag::Diagnostic{code, diag::Severity::Error, {entry.path, diag::Place::kNoRow, {}}, std::move(message), {}, {}, std::move(mend), {}}};
    };
    const std::string folder = io::folderOf(entry.path);
    if (const auto judged = io::pathBelow(folder, path); !judged.ok())
        return refuse(diag::Code::PathOutside, quoted(path) + " cannot be used: " + judged.error().message,
                      "name a file below the sheet's folder or the library");
    bool outside = false;
    for (const bool ofLibrary : {false, true}) {
        const std::string& root = ofLibrary ? m_options.library : folder;
        if (ofLibrary && root.empty()) continue;
        const std::string joined = io::pathBelow(root, path).value();
        entry.tables.push_back(joined);
        auto known = m_tables.find(joined);
        if (known == m_tables.end()) {
            if (!m_files.exists(joined)) continue;
            if (!allowed(root, path)) {
                outside = true;
                continue;
            }
            TableFile table;
            auto bytes = m_files.read(joined);
            if (!bytes.ok())
                table.unreadable = fileProblem(bytes.error(), path);
            else if (!isText(bytes.value()))
                table.unreadable = noText(path);
            else
                table.asRead = table.now = std::move(bytes).value();
            known = m_tables.emplace(joined, std::move(table)).first;
        }
        if (known->second.unreadable) {
            diag::Diagnostic d = *known->second.unreadable;
            d.message = quoted(path) + ": " + d.message;
            return base::Failure{std::move(d)};
        }
        return known->second.now;
    }
    if (outside)
        return refuse(diag::Code::PathOutside, quoted(path) + " is a link that leads out of its folder", "name a file below the sheet's folder or the library");
    return refuse(diag::Code::FileNotFound, "there is no file " + quoted(path) + " below the sheet's folder or in the library",
                  "check how the name is written");
}

void Core::loadSheet(SheetEntry& entry, std::string bytes) {
    entry.asRead = bytes;
    analyse(entry, std::make_shared<const syntax::Document>(syntax::Document::read(entry.path, syntax::FileKind::Sheet, std::move(bytes))));
}

void Core::analyse(SheetEntry& entry, std::shared_ptr<const syntax::Document> document) {
    entry.tables.clear();
    entry.ahead.reset();
    entry.sheet = meaning::analyse(
        std::move(document), [&](const std::string& path) { return fetch(entry, path); }, m_texts);
    entry.program = std::make_unique<eval::Program>(entry.sheet);
    entry.copy.reset();
    entry.rowDigests.clear();
    entry.diagnostics.clear();
    entry.hasErrors = false;
    std::set<std::tuple<diag::Code, std::string, std::uint32_t, std::uint32_t, std::string>> told;
    const auto take = [&](const std::vector<diag::Diagnostic>& list) {
        for (const diag::Diagnostic& d : list) {
            if (!told.emplace(d.code, d.place.file, d.place.row, d.place.span.begin, d.message).second) continue;
            entry.diagnostics.push_back(d);
            entry.hasErrors = entry.hasErrors || d.severity == diag::Severity::Error;
        }
    };
    take(entry.sheet->document->diagnostics());
    take(entry.sheet->diagnostics);
}

void Core::catchUp(SheetEntry& entry) const {
    if (!entry.ahead) return;
    // Only literals of givens differ: every quantity keeps its id, its reads and its value.
    Core& self = const_cast<Core&>(*this); // values do not change: the analysis catches up with the text
    self.analyse(entry, std::make_shared<const syntax::Document>(std::move(*entry.ahead)));
    for (std::uint32_t slot : entry.slots) {
        std::erase_if(self.at(slot).stated, [](const auto& s) { return s.second.patch; });
        self.forgetView(self.at(slot));
    }
}

void Core::rebuildMembersOf(SheetEntry& entry) {
    for (std::uint32_t slot : entry.slots) {
        releaseNodes(slot);
        makeNodes(slot);
    }
    if (!m_single) {
        readJob(true);
        return;
    }
    for (const auto& [key, value] : m_overrides)
        for (const meaning::Quantity* q : statedRows(*entry.sheet, key.second)) put(0, q->id.value, readOverride(0, *q, value));
}

std::optional<diag::Resolved> Core::resolve(const diag::Place& place) const {
    if (place.row == diag::Place::kNoRow) return std::nullopt;
    if (!m_single && place.file == m_path) return m_document.resolve(place);
    if (const auto it = m_sheets.find(place.file); it != m_sheets.end() && it->second->sheet) return it->second->document().resolve(place);
    for (const auto& member : m_members)
        for (const auto& [id, s] : member->stated)
            if (s.own && s.own->file() == place.file) return s.own->resolve(place);
    for (const JobGiven& g : m_givens)
        if (g.statement.own && g.statement.own->file() == place.file) return g.statement.own->resolve(place);
    for (const auto& [path, entry] : m_sheets) {
        if (!entry->sheet) continue;
        for (const syntax::CsvTable& csv : entry->sheet->files)
            if (csv.file == place.file)
                if (auto found = csv.resolve(place)) return found;
    }
    return std::nullopt;
}

} // namespace spanwright::job
