// SPDX-License-Identifier: MIT
// Edits: done in the text and in the graph, or refused with nothing changed.
#include <algorithm>

#include "engine/base/text.h"
#include "engine/job/core.h"
#include "engine/job/job_text.h"

namespace spanwright::job {

using diag::Code;
using diag::Diagnostic;
using diag::Severity;
using syntax::RowKind;

namespace {

std::string_view lineEndOf(const std::string& text) {
    if (text.size() >= 2 && text.compare(text.size() - 2, 2, "\r\n") == 0) return "\r\n";
    return "\n";
}

bool oneLine(std::string_view text) {
    return text.find_first_of("\r\n") == std::string_view::npos && text.find(" -- ") == std::string_view::npos && text.find('\0') == std::string_view::npos &&
           base::isUtf8(text);
}

/// Puts one row (without its line end) before row `before`, with the line ends of the text.
void insertRow(syntax::Document& document, std::uint32_t before, std::string row) {
    const auto& rows = document.rows();
    std::string end = "\n";
    for (const syntax::Row& r : rows)
        if (endsLine(r.text)) {
            end = lineEndOf(r.text);
            break;
        }
    if (before >= rows.size() && !rows.empty() && !endsLine(rows.back().text)) {
        const auto last = static_cast<std::uint32_t>(rows.size() - 1);
        const auto size = static_cast<std::uint32_t>(rows.back().text.size());
        document.apply({{last, {size, size}, end}});
        document.insert(static_cast<std::uint32_t>(document.rows().size()), std::move(row)); // the text ended without a line end: so it does again
        return;
    }
    document.insert(before, row + end);
}

} // namespace

std::optional<Diagnostic> Core::refusal(std::uint32_t slot, const meaning::Quantity& q, const Statement& s) {
    if (s.sort == Statement::Sort::Wrong) return *s.problem;
    // A link that would close a ring: what it reads lies downstream of it.
    if (!s.references.empty()) {
        const graph::NodeId node = nodeOf({slot, q.id.value});
        const std::vector<graph::NodeId> down = m_graph.downstream(node);
        for (const Ref& r : s.references) {
            const graph::NodeId read = nodeOf(r);
            if (read != node && std::find(down.begin(), down.end(), read) == down.end()) continue;
            const syntax::Document& document = s.own ? *s.own : m_document;
            return Diagnostic{Code::Cycle,
                              Severity::Error,
                              document.place(s.row, s.span),
                              "rows would need each other in a ring: " + nameOf(r) + " is worked out from " + nameOf({slot, q.id.value}),
                              {},
                              {},
                              "state a value, or link to something else",
                              slot == Ref::kJob ? std::string() : at(slot).mark};
        }
    }
    if (slot == Ref::kJob || (s.sort != Statement::Sort::Value && s.sort != Statement::Sort::Key)) return std::nullopt;
    const eval::Value v = workStated(slot, q, s);
    if (v.state == eval::State::Failed && v.problem) return *v.problem;
    return std::nullopt;
}

Job::Done Core::override(std::string_view mark, std::string_view name, std::string_view text) {
    calculate();
    const std::string canonical = syntax::canonicalName(name);
    if (mark.empty() && !m_single) return setJobGiven(name, text, false);
    const auto slot = mark.empty() ? std::optional<std::uint32_t>(0) : slotOf(mark);
    if (m_members.empty() || !slot) {
        std::vector<std::string> marks;
        for (std::uint32_t m : m_order) marks.push_back(at(m).mark);
        return refuse(Code::UnknownMember, "there is no member " + quoted(mark), suggestion(mark, marks));
    }
    const Member& m = at(*slot);
    if (m.sheet == nullptr || !m.sheet->sheet)
        return refuse(Code::UnknownSheet, "the sheet of " + m.mark + " could not be read, so nothing can be stated for it", "mend the sheet first", m.mark);
    if (auto d = notSettable(*m.sheet, canonical, {})) {
        d->member = m_single ? std::string() : m.mark;
        return base::Failure{*std::move(d)};
    }
    const std::vector<const meaning::Quantity*> sides = statedRows(*m.sheet->sheet, canonical);
    if (sides.front()->kind == Kind::List)
        return refuse(Code::NotSettable, quoted(canonical) + " is a list: it has rows, not a value",
                      "state its rows in the job, in a block `list " + canonical + "` ... `end`", m.mark);
    for (const meaning::Quantity* q : sides)
        if (auto d = refusal(*slot, *q, readOverride(*slot, *q, text))) return base::Failure{*std::move(d)};
    m_overrides[{m.mark, canonical}] = std::string(text);
    for (const meaning::Quantity* q : sides) put(*slot, q->id.value, readOverride(*slot, *q, text));
    return true;
}

Job::Done Core::setJobGiven(std::string_view name, std::string_view text, bool lasting) {
    calculate();
    const std::string canonical = syntax::canonicalName(name);
    const auto index = m_single ? std::nullopt : givenNamed(canonical);
    if (!index) {
        std::vector<std::string> names;
        for (const JobGiven& g : m_givens)
            if (!g.gone) names.push_back(g.quantity.name);
        return refuse(Code::UnknownName, "the job has no given " + quoted(name), suggestion(name, names));
    }
    JobGiven& g = m_givens[*index];
    const std::string value(base::trimmed(text));
    Statement s = readOverride(Ref::kJob, g.quantity, value);
    if (auto d = refusal(Ref::kJob, g.quantity, s)) return base::Failure{*std::move(d)};
    if (s.sort == Statement::Sort::Link && g.statement.sort != Statement::Sort::Wrong && s.link->exprs.at(s.link->root).dimension != g.quantity.dimension) {
        // Without a declared unit its row takes any; but what reads it wants the dimension that it has.
        Diagnostic d{Code::UnlikeDimensions,
                     Severity::Error,
                     s.own->place(s.row, s.span),
                     quoted(canonical) + " is in " + (g.quantity.unit.shown.empty() ? "pure numbers" : g.quantity.unit.shown) + ", and this is not",
                     {},
                     {},
                     "state a value of the same kind",
                     {}};
        return base::Failure{std::move(d)};
    }
    if (!lasting) {
        m_overrides[{std::string(), canonical}] = value;
        if (readGiven(g)) readJob(true);
        return true;
    }
    m_overrides.erase({std::string(), canonical});
    const syntax::RowEdit edit = syntax::valueEdit(m_document, g.row, value);
    m_document.apply({edit});
    if (readGiven(g)) readJob(true);
    return true;
}

Job::Done Core::setValue(std::string_view mark, std::string_view name, std::string_view text) {
    calculate();
    const std::string value(base::trimmed(text));
    const std::string canonical = syntax::canonicalName(name);
    if (!oneLine(value) || value.empty())
        return refuse(Code::ValueMalformed, "a value must stand on one line and hold no ` -- `", "write a value such as `3.6 m`", mark);
    if (m_single) return setInSheet(canonical, value);
    const auto slot = slotOf(mark);
    if (!slot) {
        std::vector<std::string> marks;
        for (std::uint32_t m : m_order) marks.push_back(at(m).mark);
        return refuse(Code::UnknownMember, "there is no member " + quoted(mark), suggestion(mark, marks));
    }
    Member& m = at(*slot);
    if (m.sheet == nullptr || !m.sheet->sheet)
        return refuse(Code::UnknownSheet, "the sheet of " + m.mark + " could not be read, so nothing can be stated for it", "mend the sheet first", m.mark);
    if (auto d = notSettable(*m.sheet, canonical, {})) {
        d->member = m.mark;
        return base::Failure{*std::move(d)};
    }
    const std::vector<const meaning::Quantity*> sides = statedRows(*m.sheet->sheet, canonical);
    if (sides.front()->kind == Kind::List)
        return refuse(Code::NotSettable, quoted(canonical) + " is a list: it has rows, not a value",
                      "edit its rows in the job, in a block `list " + canonical + "` ... `end`", m.mark);
    // Tried as an override first: that needs no text to be changed.
    for (const meaning::Quantity* q : sides)
        if (auto d = refusal(*slot, *q, readOverride(*slot, *q, value))) return base::Failure{*std::move(d)};
    m_overrides.erase({m.mark, canonical});

    // The row that states it now, whether an override hides it or not.
    const auto& rows = m_document.rows();
    std::uint32_t row = syntax::Row::kNoOwner;
    for (std::uint32_t i = m.row + 1; i <= m.lastRow && i < rows.size(); ++i)
        if (rows[i].kind == RowKind::With && rows[i]->name.text == canonical) row = i;
    if (row != syntax::Row::kNoOwner) {
        m_document.apply({syntax::valueEdit(m_document, row, value)});
        const syntax::Row& now = m_document.rows()[row];
        for (const meaning::Quantity* q : sides) put(*slot, q->id.value, readStatement(*slot, *q, m_document, row, now->key.span));
        return true;
    }
    // A new row behind the member's last, written as that one is.
    std::string start = "        with  ";
    for (std::uint32_t i = m.row + 1; i <= m.lastRow && i < rows.size(); ++i) {
        const syntax::Row& r = rows[i];
        if (r.kind == RowKind::With && r->name.present())
            start = r.text.substr(0, r->name.span.begin);
        else if (r.kind == RowKind::Off)
            start = indentOf(r.text) + "with  ";
    }
    const syntax::Row& head = rows[m.row];
    if (m.lastRow == m.row) start = indentOf(head.text) + start;
    for (const meaning::Quantity* q : sides)
        if (const Statement* hidden = m.statement(q->id.value); hidden != nullptr && hidden->overriding) takeAway(*slot, q->id.value);
    insertRow(m_document, m.lastRow + 1, start + canonical + " = " + value);
    readJob(false);
    return true;
}

bool Core::setLiteral(std::uint32_t slot, const meaning::Quantity& q, std::string_view text) {
    SheetEntry& entry = *at(slot).sheet;
    if (q.kind != Kind::Given || q.broken || q.type != meaning::Type::Number || !q.formula.valid()) return false;
    const meaning::Expr& e = entry.sheet->exprs.at(q.formula);
    if (e.kind != meaning::ExprKind::Constant) return false;
    const auto value = units::readValue(text);
    if (!value.ok() || value.value().unit.dimension != q.dimension) return false;
    const syntax::Row& row = entry.document().rows()[q.row];
    // Without a declared unit the literal's unit is the one shown, and bare limits take it.
    if (!row->unit.present() && value.value().unit != q.unit) return false;
    if (!row->complaints.empty()) return false;
    if (!entry.ahead) entry.ahead = *entry.sheet->document;
    entry.ahead->apply({syntax::valueEdit(*entry.ahead, q.row, text)});
    Statement s;
    s.sort = Statement::Sort::Value;
    s.patch = true;
    s.text = std::string(text);
    s.si = value.value().si;
    put(slot, q.id.value, std::move(s));
    return true;
}

Job::Done Core::setInSheet(std::string_view name, std::string_view text) {
    Member* m = m_members.empty() ? nullptr : m_members.front().get();
    if (m == nullptr || m->sheet == nullptr || !m->sheet->sheet) return refuse(Code::UnknownSheet, "the sheet could not be read", "mend the sheet first");
    SheetEntry& entry = *m->sheet;
    if (auto d = notSettable(entry, name, {})) return base::Failure{*std::move(d)};
    const meaning::Quantity& q = *entry.sheet->find(name);
    if (q.kind == Kind::Switch)
        return refuse(Code::NotSettable, quoted(name) + " stands in a part and again behind its `otherwise`", "edit the row that is meant in the sheet's text");
    if (q.kind == Kind::Ask || (q.kind == Kind::Choose && !q.defaultRow && q.formula == meaning::ExprId() && !entry.document().rows()[q.row]->key.present()))
        return refuse(Code::NotSettable, quoted(q.name) + " is asked for: a sheet leaves its value to the job",
                      "use the sheet in a job, or state it here and now with `--set " + q.name + "=...`");
    if (q.kind == Kind::List) return refuse(Code::NotSettable, quoted(q.name) + " is a list: it has rows, not a value", "edit its rows in the sheet");
    if (auto d = refusal(0, q, readOverride(0, q, text))) return base::Failure{*std::move(d)};
    m_overrides.erase({m->mark, std::string(name)});
    if (const Statement* hidden = m->statement(q.id.value); hidden != nullptr && hidden->overriding) takeAway(0, q.id.value);
    if (setLiteral(0, q, text)) return true;
    syntax::Document document = entry.document();
    document.apply({syntax::valueEdit(document, q.row, text)});
    for (const auto& [id, s] : std::map<std::uint32_t, Statement>(m->stated))
        if (s.patch) clearStated(*m, 0, id);
    analyse(entry, std::make_shared<const syntax::Document>(std::move(document)));
    rebuildMembersOf(entry);
    return true;
}

Job::Done Core::setSource(std::string_view mark, std::string_view name, std::string_view words) {
    const std::string canonical = syntax::canonicalName(name);
    const std::string text(base::trimmed(words));
    if (!oneLine(text)) return refuse(Code::ValueMalformed, "where a value comes from must stand on one line and hold no ` -- `", "write plain words", mark);
    const auto slot = m_single ? std::nullopt : slotOf(mark);
    if (!slot) return refuse(Code::UnknownMember, "there is no member " + quoted(mark), {});
    const Member& m = at(*slot);
    const auto& rows = m_document.rows();
    std::uint32_t row = syntax::Row::kNoOwner;
    for (std::uint32_t i = m.row + 1; i <= m.lastRow && i < rows.size(); ++i)
        if (rows[i].kind == RowKind::With && rows[i]->name.text == canonical) row = i;
    if (row == syntax::Row::kNoOwner)
        return refuse(Code::NotSettable, quoted(name) + " is not stated, so it comes from nowhere yet", "state its value first", mark);
    // All behind the value: its own words and a second ` -- `, up to the end of the line.
    const syntax::Row& r = rows[row];
    const std::uint32_t begin = r->key.span.end;
    const auto end = static_cast<std::uint32_t>(std::min(r.text.find_first_of("\r\n", begin), r.text.size()));
    std::string now = text.empty() ? std::string() : " -- " + text;
    if (r->what.present() && !text.empty()) {
        // The dashes stay in their column.
        const std::size_t dash = r.text.find("--", begin);
        if (dash != std::string::npos && dash < end) now = r.text.substr(begin, dash - begin) + "-- " + text;
    }
    m_document.apply({{row, {begin, end}, now}});
    readJob(false);
    return true;
}

Job::Done Core::addTick(std::string_view mark, std::string_view name, std::string_view by, std::string_view on) {
    calculate();
    if (m_single) return refuse(Code::TickBroken, "a sheet that stands alone holds no ticks", "use the sheet in a job and tick the value there");
    const std::string canonical = syntax::canonicalName(name);
    const auto slot = slotOf(mark);
    if (!slot) return refuse(Code::UnknownMember, "there is no member " + quoted(mark), {});
    const Member& m = at(*slot);
    const meaning::Quantity* q = m.sheet != nullptr && m.sheet->sheet ? m.sheet->sheet->find(canonical) : nullptr;
    if (q == nullptr) return refuse(Code::TickBroken, m.mark + " has no value " + quoted(name), "tick one of its rows", mark);
    const std::string now = letters({*slot, q->id.value});
    if (now.empty())
        return refuse(Code::TickBroken, quoted(q->name) + " has no value to tick: " + reasonOf(*slot, {*slot, q->id.value}), "tick it when it is worked out",
                      mark);
    const std::string who(base::trimmed(by));
    const std::string day(base::trimmed(on));
    const std::string text = "tick    " + m.mark + "." + canonical + " by " + who + " on " + day + " letters " + now;
    // It must read back as what it says.
    const auto trial = syntax::Document::read("tick", syntax::FileKind::Job, text);
    const bool reads = oneLine(text) && !who.empty() && !day.empty() && trial.rows().size() == 1 && trial.rows()[0].kind == RowKind::Tick &&
                       trial.rows()[0]->complaints.empty() && trial.rows()[0]->by.text == who && trial.rows()[0]->on.text == day &&
                       trial.rows()[0]->letters.text == now && trial.rows()[0]->name.text == canonical;
    if (!reads)
        return refuse(Code::TickBroken, "a tick needs initials and a date, such as AB and 2026-05-04", "write them without blanks or dashes around them", mark);
    const auto& rows = m_document.rows();
    std::uint32_t last = syntax::Row::kNoOwner;
    for (std::uint32_t i = 0; i < rows.size(); ++i) {
        if (rows[i].kind != RowKind::Tick) continue;
        last = i;
        if (rows[i]->member.text != m.mark || rows[i]->name.text != canonical) continue;
        // Ticked before: the new tick stands in its place.
        const std::string& old = rows[i].text;
        const std::size_t begin = indentOf(old).size();
        const std::size_t end = std::min(old.find_first_of("\r\n"), old.size());
        m_document.apply({{i, {static_cast<std::uint32_t>(begin), static_cast<std::uint32_t>(end)}, text}});
        readJob(false);
        return true;
    }
    insertRow(m_document, last == syntax::Row::kNoOwner ? static_cast<std::uint32_t>(rows.size()) : last + 1, text);
    readJob(false);
    return true;
}

Job::Done Core::setText(const std::string& file, std::string text) {
    if (!base::isUtf8(text) || text.find('\0') != std::string::npos) return refuse(Code::FileNotText, "the text is not UTF-8", "keep it as plain text");
    if (text.size() > io::kMaxFileBytes) return refuse(Code::FileTooLarge, "the text is larger than 64 MiB", "keep long tables in files of their own");
    m_fingerprint.reset();
    if (file == m_path && !m_single) {
        if (m_unreadable) {
            m_unreadable.reset();
            m_asRead.clear();
        }
        m_document = syntax::Document::read(m_path, syntax::FileKind::Job, std::move(text));
        readJob(false);
        return true;
    }
    if (SheetEntry* known = m_tables.count(file) != 0 ? nullptr : sheetAt(file); known != nullptr || (known = makeSheet(file)) != nullptr) {
        SheetEntry& entry = *known;
        entry.unreadable.reset();
        for (std::uint32_t slot : entry.slots)
            for (const auto& [id, s] : std::map<std::uint32_t, Statement>(at(slot).stated))
                if (s.patch) clearStated(at(slot), slot, id);
        analyse(entry, std::make_shared<const syntax::Document>(syntax::Document::read(file, syntax::FileKind::Sheet, std::move(text))));
        for (auto& [path, other] : m_sheets) other->copy.reset();
        rebuildMembersOf(entry);
        return true;
    }
    const auto table = m_tables.find(file);
    if (table == m_tables.end()) return refuse(Code::FileNotFound, quoted(file) + " is no file of this job", {});
    table->second.now = std::move(text);
    table->second.unreadable.reset();
    for (auto& [path, entry] : m_sheets) {
        if (!entry->sheet || std::find(entry->tables.begin(), entry->tables.end(), file) == entry->tables.end()) continue;
        analyse(*entry, std::make_shared<const syntax::Document>(entry->document()));
        rebuildMembersOf(*entry);
    }
    return true;
}

std::optional<std::string> Core::text(const std::string& file) const {
    if (file == m_path && !m_single) {
        if (m_unreadable) return std::nullopt;
        return m_document.text();
    }
    if (const auto it = m_sheets.find(file); it != m_sheets.end()) {
        if (!it->second->sheet) return std::nullopt;
        return it->second->document().text();
    }
    if (const auto it = m_tables.find(file); it != m_tables.end() && !it->second.unreadable) return it->second.now;
    return std::nullopt;
}

namespace {

/// Whether a document's text is `text`, without writing it out: asked after every edit.
bool reads(const syntax::Document& document, std::string_view text) {
    constexpr std::string_view kByteOrderMark = "\xEF\xBB\xBF";
    const std::size_t mark = document.offsetOf(0);
    if (text.substr(0, mark) != kByteOrderMark.substr(0, mark)) return false;
    text.remove_prefix(mark);
    for (const syntax::Row& row : document.rows()) {
        if (text.substr(0, row.text.size()) != row.text) return false;
        text.remove_prefix(row.text.size());
    }
    return text.empty();
}

} // namespace

std::vector<std::string> Core::filesTouched() const {
    std::vector<std::string> out;
    if (!m_single && !m_unreadable && !reads(m_document, m_asRead)) out.push_back(m_path);
    for (const auto& [path, entry] : m_sheets)
        if (entry->sheet && !entry->gone() && !reads(entry->document(), entry->asRead)) out.push_back(path);
    for (const auto& [path, table] : m_tables)
        if (!table.unreadable && table.now != table.asRead) out.push_back(path);
    std::sort(out.begin(), out.end());
    return out;
}

base::Result<bool, io::IoError> Core::save() {
    for (const std::string& file : filesTouched()) {
        std::string now = *text(file);
        if (const SheetEntry* sheet = sheetAt(file); sheet != nullptr && sheet->made && sheet->asRead.empty() && m_files.exists(file))
            return base::Failure{io::IoError{io::IoError::What::NotWritable, file, "there is such a file by now, which is not the one that was made here"}};
        auto done = m_files.write(file, now);
        if (!done.ok()) return done;
        if (file == m_path && !m_single) {
            m_asRead = std::move(now);
        } else if (SheetEntry* sheet = sheetAt(file); sheet != nullptr) {
            sheet->asRead = std::move(now);
        } else {
            m_tables[file].asRead = std::move(now);
        }
    }
    return true;
}

} // namespace spanwright::job
