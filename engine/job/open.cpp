// SPDX-License-Identifier: MIT
// Reading a job's text into members, givens and ticks; and a sheet that stands alone.
#include <algorithm>
#include <cmath>
#include <tuple>

#include "engine/base/text.h"
#include "engine/job/core.h"

namespace spanwright::job {

using syntax::Row;
using syntax::RowKind;

/// The rows of one member as they stand in the text.
struct Core::MemberText {
    std::uint32_t row = 0;
    std::vector<std::uint32_t> offs, withs, lists, insteads;
};

Core::Core(io::Files& files, std::string path, Options options)
    : m_files(files), m_path(std::move(path)), m_folder(io::folderOf(m_path)), m_options(std::move(options)) {}

void Core::open() {
    auto bytes = m_files.read(m_path);
    if (!bytes.ok()) {
        m_unreadable = fileProblem(bytes.error(), m_path);
        return;
    }
    if (!base::isUtf8(bytes.value()) || bytes.value().find('\0') != std::string::npos) {
        m_unreadable = diag::Diagnostic{diag::Code::FileNotText,
                                        diag::Severity::Error,
                                        {m_path, diag::Place::kNoRow, {}},
                                        "the file is not UTF-8 text",
                                        {},
                                        {},
                                        "save it as plain text in UTF-8",
                                        {}};
        return;
    }
    m_asRead = bytes.value();
    constexpr std::string_view kEnding = ".spansheet";
    m_single = m_path.size() >= kEnding.size() && m_path.compare(m_path.size() - kEnding.size(), kEnding.size(), kEnding) == 0;
    if (m_single) {
        openSingle(std::move(bytes).value());
    } else {
        m_document = syntax::Document::read(m_path, syntax::FileKind::Job, std::move(bytes).value());
        readJob(false);
    }
}

void Core::openSingle(std::string bytes) {
    auto entry = std::make_unique<SheetEntry>();
    entry->path = m_path;
    entry->name = stemOf(m_path);
    entry->ofLibrary = !m_options.library.empty() && io::isBelow(m_options.library, m_path);
    SheetEntry& sheet = *m_sheets.emplace(m_path, std::move(entry)).first->second;
    loadSheet(sheet, std::move(bytes));
    auto member = std::make_unique<Member>();
    member->mark = sheet.name;
    member->sheetName = sheet.name;
    member->sheet = &sheet;
    m_slots[member->mark] = 0;
    m_members.push_back(std::move(member));
    m_order.push_back(0);
    sheet.slots.push_back(0);
    makeNodes(0);
}

void Core::readRows(std::vector<MemberText>& members, std::vector<std::uint32_t>& givens) {
    m_cover = {};
    m_problems.clear();
    m_ticks.clear();
    m_remarks.clear();
    m_rates.clear();
    m_ticksStale = true;
    const std::vector<Row>& rows = m_document.rows();
    const auto once = [&](std::string& into, std::uint32_t i) {
        if (into.empty()) into = rows[i]->rest.text; // the document tells of a second one
    };
    for (std::uint32_t i = 0; i < rows.size(); ++i) {
        const Row& row = rows[i];
        const auto ofMember = [&]() -> MemberText* {
            return row.owner != Row::kNoOwner && !members.empty() && members.back().row == row.owner ? &members.back() : nullptr;
        };
        switch (row.kind) {
        case RowKind::Job: once(m_cover.title, i); break;
        case RowKind::Author: once(m_cover.author, i); break;
        case RowKind::Checker: once(m_cover.checker, i); break;
        case RowKind::Revision: once(m_cover.revision, i); break;
        case RowKind::Date: once(m_cover.date, i); break;
        case RowKind::Place: once(m_cover.place, i); break;
        case RowKind::Note:
            if (ofMember() == nullptr && row->rest.present()) m_cover.notes.push_back(row->rest.text);
            break;
        case RowKind::Given: givens.push_back(i); break;
        case RowKind::Member: members.push_back({i, {}, {}, {}, {}}); break;
        case RowKind::Off:
            if (MemberText* m = ofMember()) m->offs.push_back(i);
            break;
        case RowKind::Instead:
            if (MemberText* m = ofMember()) m->insteads.push_back(i);
            break;
        case RowKind::With:
            if (MemberText* m = ofMember()) m->withs.push_back(i);
            break;
        case RowKind::List:
            if (MemberText* m = ofMember()) m->lists.push_back(i);
            break;
        case RowKind::Tick: {
            TickView tick;
            tick.row = i;
            tick.member = row->member.text;
            tick.name = row->name.text;
            tick.by = row->by.text;
            tick.on = row->on.text;
            tick.letters = row->letters.text;
            if (!tick.member.empty() && !tick.name.empty()) m_ticks.push_back(std::move(tick));
            break;
        }
        case RowKind::Remark:
            if (row->member.present() && row->rest.present())
                m_remarks.push_back({i, row->member.text, row->name.text, row->by.text, row->on.text, row->rest.text, row->keyword.text == "answer", false});
            break;
        case RowKind::Rate: readRate(i); break;
        default: break; // prices and the workshop's rows are kept as text
        }
    }
    for (std::size_t i = 0; i < m_remarks.size(); ++i) {
        RemarkView& r = m_remarks[i];
        if (r.answer) continue;
        // Until the next remark on the same value an answer is meant for this one.
        const auto next = std::find_if(m_remarks.begin() + static_cast<std::ptrdiff_t>(i) + 1, m_remarks.end(),
                                       [&](const RemarkView& o) { return o.member == r.member && o.name == r.name; });
        r.open = next == m_remarks.end() || !next->answer;
    }
}

/// What ticks and remarks stand at, in their order: views count in it.
std::vector<std::string> Core::reviewedNames() const {
    std::vector<std::string> out;
    for (const TickView& t : m_ticks) out.push_back(t.member + "." + t.name);
    out.emplace_back();
    for (const RemarkView& r : m_remarks) out.push_back(r.member + "." + r.name);
    return out;
}

void Core::readJob(bool relink) {
    std::vector<MemberText> texts;
    std::vector<std::uint32_t> givens;
    const std::vector<meaning::Rate> before = m_rates;
    const std::vector<std::string> reviewed = reviewedNames();
    readRows(texts, givens);
    if (reviewed != reviewedNames())
        for (std::uint32_t slot : m_order) spoilView(slot);
    relink = relink || !std::equal(before.begin(), before.end(), m_rates.begin(), m_rates.end(), [](const auto& a, const auto& b) { return a.text == b.text; });
    m_fingerprint.reset();
    // Members and their sheets first, then what is stated: a link may name any of them.
    relink = placeMembers(texts) || relink;
    relink = readGivens(givens, relink) || relink;
    for (std::size_t i = 0, next = 0; i < texts.size(); ++i) {
        if (next >= m_order.size() || at(m_order[next]).row != texts[i].row) continue; // a mark's second member
        readStatements(m_order[next++], texts[i], relink);
    }
    if (!m_rowsMoved) return;
    // Mistakes that were found in calculating and point into this text must find their rows again; a ring's stands
    // at all of its rows.
    m_rowsMoved = false;
    const auto here = [this](const eval::Value& v) {
        return v.state == eval::State::Failed && v.problem &&
               (v.problem->place.file == m_path ||
                std::any_of(v.problem->labels.begin(), v.problem->labels.end(), [this](const diag::Label& l) { return l.place.file == m_path; }));
    };
    for (std::uint32_t slot : m_order)
        for (const std::uint32_t q : troubledIn(at(slot)))
            if (here(at(slot).values.values[q])) m_graph.touch(at(slot).nodes[q]);
    for (const JobGiven& g : m_givens)
        if (!g.gone && here(g.value)) m_graph.touch(g.node);
}

/// True when a member that was there is gone, has another sheet or has one now: links to it must be analysed anew.
bool Core::placeMembers(const std::vector<MemberText>& texts) {
    bool moved = false;
    const std::vector<Row>& rows = m_document.rows();
    std::unordered_map<std::string, std::uint32_t> firstRow;
    std::vector<std::uint32_t> order;
    for (const MemberText& text : texts) {
        const Row& row = rows[text.row];
        const std::string& mark = row->name.text;
        if (mark.empty()) continue; // the row itself says what is wrong with it
        if (const auto [first, fresh] = firstRow.emplace(mark, text.row); !fresh) {
            diag::Diagnostic d{diag::Code::MemberTwice,
                               diag::Severity::Error,
                               m_document.place(text.row, row->name.span),
                               "there is a member " + quoted(mark) + " already",
                               {},
                               {},
                               "give one of them another mark",
                               mark};
            d.labels.push_back({m_document.place(first->second, rows[first->second]->name.span), "first here"});
            m_problems.push_back(std::move(d));
            continue;
        }
        if (m_options.cancelled && m_options.cancelled()) m_cancelled = true;
        if (m_options.progress) m_options.progress({Progress::Stage::Reading, order.size(), texts.size()});
        std::uint32_t slot = 0;
        const auto known = m_slots.find(mark);
        const bool wasThere = known != m_slots.end();
        if (wasThere) {
            slot = known->second;
        } else {
            slot = static_cast<std::uint32_t>(m_members.size());
            m_members.push_back(std::make_unique<Member>());
            m_slots.emplace(mark, slot);
            at(slot).mark = mark;
        }
        Member& m = at(slot);
        // A view is kept where the text says of the member what it said before, if in other rows.
        const auto said = [&m] { return std::tuple(m.purpose, m.sheetName, m.insteadOf, m.count); };
        const auto saidBefore = said();
        if (m.gone || !m.problems.empty() || !m.textErrors.empty()) forgetView(m);
        m.gone = false;
        m.row = text.row;
        m.lastRow = text.row;
        m.purpose = row->what.text;
        m.place = static_cast<std::uint32_t>(order.size());
        m.problems.clear();
        m.textErrors.clear();
        order.push_back(slot);

        const std::string sheetName = row->path.text;
        SheetEntry* sheet = nullptr;
        if (!sheetName.empty()) sheet = sheetNamed(sheetName, m_document.place(text.row, row->path.span), mark, m.problems);
        if (sheet != m.sheet) {
            if (m.sheet != nullptr) {
                releaseNodes(slot);
                std::erase(m.sheet->slots, slot);
                moved = true;
            } else if (wasThere) {
                moved = true; // links to a member without a sheet wait for one
            }
            m.sheet = sheet;
            if (sheet != nullptr) {
                sheet->slots.push_back(slot);
                makeNodes(slot);
            }
        }
        m.sheetName = sheetName;

        m.insteadOf.clear();
        for (const std::uint32_t i : text.insteads) {
            m.lastRow = std::max(m.lastRow, i);
            const std::string& other = rows[i]->name.text;
            const bool there = std::any_of(texts.begin(), texts.end(), [&](const MemberText& t) { return rows[t.row]->name.text == other; });
            if (other.empty() || !m.insteadOf.empty()) continue; // the document tells of it
            if (!there || other == mark)
                m.problems.push_back({diag::Code::UnknownMember,
                                      diag::Severity::Error,
                                      m_document.place(i, rows[i]->name.span),
                                      there ? mark + " cannot stand in its own place" : "there is no member " + quoted(other),
                                      {},
                                      {},
                                      "write the mark of another member of the job",
                                      mark});
            else
                m.insteadOf = other;
        }
        m.count = 1.0;
        for (std::size_t k = 0; k < text.offs.size(); ++k) {
            const std::uint32_t i = text.offs[k];
            m.lastRow = std::max(m.lastRow, i);
            const syntax::Formula& count = rows[i]->count;
            if (!count.present() || !rows[i]->complaints.empty()) continue;
            const auto number = base::readDouble(base::trimmed(count.span.of(rows[i].text)));
            if (k > 0) continue; // the document tells of it
            if (!number || *number < 1.0 || *number > 1e6 || *number != std::floor(*number))
                m.problems.push_back({diag::Code::BadCount,
                                      diag::Severity::Error,
                                      m_document.place(i, count.span),
                                      "there cannot be " + std::string(base::trimmed(count.span.of(rows[i].text))) + " of a member",
                                      {},
                                      {},
                                      "write a whole number from 1 to 1000000",
                                      mark});
            else
                m.count = *number;
        }
        if (!m.problems.empty() || said() != saidBefore) forgetView(m);
        if (m.view) m.view->row = m.row;
    }
    for (std::uint32_t slot : m_order) {
        if (std::find(order.begin(), order.end(), slot) != order.end()) continue;
        Member& m = at(slot);
        releaseNodes(slot);
        if (m.sheet != nullptr) std::erase(m.sheet->slots, slot);
        moved = true;
        m.sheet = nullptr;
        m.gone = true;
        forgetView(m);
        m_slots.erase(m.mark);
    }
    // Views name other members in the order of the text.
    if (order != m_order)
        for (std::uint32_t slot : order) forgetView(at(slot));
    m_order = std::move(order);
    // What the document has to say about a member's rows leaves open what was meant for it.
    for (const diag::Diagnostic& d : m_document.diagnostics()) {
        if (d.severity != diag::Severity::Error || d.place.row >= rows.size()) continue;
        const auto after = std::find_if(m_order.begin(), m_order.end(), [&](std::uint32_t slot) { return at(slot).row > d.place.row; });
        if (after == m_order.begin()) continue;
        Member& m = at(*std::prev(after));
        const Row& row = rows[d.place.row];
        const bool inside = row.owner == m.row || (row.owner != Row::kNoOwner && row.owner > m.row) || d.place.row == m.row || row.kind == RowKind::Unknown;
        if (!inside) continue;
        m.textErrors.push_back(d.message);
        forgetView(m);
    }
    return moved;
}

void Core::readStatements(std::uint32_t slot, const MemberText& text, bool relink) {
    Member& m = at(slot);
    const std::vector<Row>& rows = m_document.rows();
    for (std::uint32_t i : text.withs) m.lastRow = std::max(m.lastRow, i);
    if (m.sheet == nullptr || !m.sheet->sheet) return;
    const meaning::Sheet& sheet = *m.sheet->sheet;
    std::map<std::uint32_t, std::uint32_t> seen; // quantity -> row
    const auto takeRow = [&](std::uint32_t i, bool list, const meaning::Quantity& q) {
        const Row& row = rows[i];
        const std::string& name = row->name.text;
        const diag::Place where = m_document.place(i, row->name.span);
        const std::uint32_t id = q.id.value;
        if (const auto [first, fresh] = seen.emplace(id, i); !fresh) {
            diag::Diagnostic d{diag::Code::ValueTwice,
                               diag::Severity::Error,
                               where,
                               quoted(name) + " is stated twice for " + m.mark,
                               {},
                               {},
                               "take one of the rows out",
                               m.mark};
            d.labels.push_back({m_document.place(first->second, rows[first->second]->name.span), "first here"});
            if (&q == statedRows(sheet, name).front()) m.problems.push_back(std::move(d));
            return;
        }
        const Statement* old = m.statement(id);
        if (old != nullptr && old->overriding) return;
        if (list && old != nullptr && old->sort == Statement::Sort::List && old->row == i && old->text == blockText(i) && !relink) return;
        if (old != nullptr && !list && old->sort != Statement::Sort::Wrong && old->text == row->key.text &&
            !(relink && (old->sort == Statement::Sort::Link || old->sort == Statement::Sort::Waiting))) {
            // As before; it only stands elsewhere now. What was told about it must point there.
            Statement& s = m.stated[id];
            if (m.view && m.view->quantities[id].statedFrom != saidFrom(row)) forgetView(m);
            if (s.row != i || s.span != row->key.span) {
                s.row = i;
                s.span = row->key.span;
                for (diag::Diagnostic& d : s.diagnostics) d.place.row = i;
                m_rowsMoved = true;
            }
            return;
        }
        put(slot, id, list ? readList(slot, q, i) : readStatement(slot, q, m_document, i, row->key.span));
    };
    const auto take = [&](std::uint32_t i, bool list) {
        const Row& row = rows[i];
        const std::string& name = row->name.text;
        if (name.empty()) return;
        const diag::Place where = m_document.place(i, row->name.span);
        const std::vector<const meaning::Quantity*> sides = statedRows(sheet, name);
        if (sides.empty() || std::any_of(sides.begin(), sides.end(), [&](const meaning::Quantity* q) { return (q->kind == Kind::List) != list; })) {
            auto d = notSettable(*m.sheet, name, where);
            if (!d)
                d = diag::Diagnostic{diag::Code::NotSettable,
                                     diag::Severity::Error,
                                     where,
                                     quoted(name) + (list ? " is no list" : " is a list"),
                                     {},
                                     {},
                                     list ? "state it with `with " + name + " = ...`" : "state its rows in a block: `list " + name + "` ... `end`",
                                     {}};
            d->member = m.mark;
            m.problems.push_back(*std::move(d));
            return;
        }
        for (const meaning::Quantity* q : sides) takeRow(i, list, *q);
    };
    for (std::uint32_t i : text.withs) take(i, false);
    for (std::uint32_t i : text.lists) take(i, true);
    if (!m.problems.empty()) forgetView(m);

    std::vector<std::uint32_t> dropped;
    for (const auto& [id, s] : m.stated)
        if (!s.overriding && seen.count(id) == 0) dropped.push_back(id);
    for (std::uint32_t id : dropped) takeAway(slot, id);
    for (const auto& [key, value] : m_overrides) {
        if (key.first != m.mark) continue;
        for (const meaning::Quantity* q : statedRows(sheet, key.second)) {
            if (q->kind == Kind::List) continue;
            const Statement* old = m.statement(q->id.value);
            if (old == nullptr || !old->overriding || relink) put(slot, q->id.value, readOverride(slot, *q, value));
        }
    }
}

/// True when a given is gone or came out of another kind: links to it must be analysed anew.
bool Core::readGivens(const std::vector<std::uint32_t>& rowsOfGivens, bool relink) {
    bool moved = false;
    const std::vector<Row>& rows = m_document.rows();
    for (JobGiven& g : m_givens) g.gone = true;
    for (std::uint32_t i : rowsOfGivens) {
        const Row& row = rows[i];
        const std::string& name = row->name.text;
        if (name.empty()) continue;
        auto known = std::find_if(m_givens.begin(), m_givens.end(), [&](const JobGiven& g) { return g.quantity.name == name; });
        if (known != m_givens.end() && !known->gone) {
            diag::Diagnostic d{diag::Code::DuplicateName,
                               diag::Severity::Error,
                               m_document.place(i, row->name.span),
                               "the job has a given " + quoted(name) + " already",
                               {},
                               {},
                               "give one of them another name",
                               {}};
            d.labels.push_back({m_document.place(known->row, rows[known->row]->name.span), "first here"});
            m_problems.push_back(std::move(d));
            continue;
        }
        if (known == m_givens.end()) {
            JobGiven g;
            g.quantity.id = QuantityId(m_givens.size());
            g.quantity.kind = Kind::Given;
            g.quantity.name = name;
            if (m_spare.empty()) {
                g.node = m_graph.add();
                m_owners.emplace_back();
            } else {
                g.node = m_spare.back();
                m_spare.pop_back();
            }
            m_owners[g.node.index()] = {Ref::kJob, g.quantity.id.value};
            m_givens.push_back(std::move(g));
            known = std::prev(m_givens.end());
        }
        JobGiven& g = *known;
        const std::string text(base::trimmed(row->formula.span.of(row.text)));
        const bool same = !g.gone ? false : g.row == i && g.statement.text == text && g.statement.sort == Statement::Sort::Value && !relink;
        m_rowsMoved = m_rowsMoved || g.row != i;
        g.gone = false;
        g.row = i;
        g.quantity.what = row->what.text;
        g.quantity.source = row->source.text;
        if (!same && readGiven(g)) moved = true;
    }
    for (JobGiven& g : m_givens) {
        if (!g.gone) continue;
        if (!m_graph.feeds(g.node).empty()) moved = true;
        m_graph.setReads(g.node, {});
        g.value = {};
        g.statement = {};
    }
    return moved;
}

} // namespace spanwright::job
