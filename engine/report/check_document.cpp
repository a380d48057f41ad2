// SPDX-License-Identifier: MIT
#include <algorithm>

#include "engine/report/build.h"
#include "engine/report/trial_document.h"
#include "engine/report/words.h"
#include "engine/units/format.h"

namespace spanwright::report {

namespace {

using job::CheckView;

std::string utilisationText(const std::optional<double>& u) { return u ? units::showUtilisation(*u) : std::string("-"); }

/// "12.3 N/mm² against 14.1 N/mm²"; nothing where neither side is known.
std::string sides(const CheckView& c) {
    if (c.leftShown.empty() && c.rightShown.empty()) return {};
    return c.leftShown + " against " + c.rightShown;
}

Table checksTable(const MemberFacts& m) {
    Table t;
    t.ruled = false;
    t.columns = {{"util.", Table::Align::Right, false},
                 {"verdict", Table::Align::Left, false},
                 {"check", Table::Align::Left, false},
                 {"what", Table::Align::Left, true}};
    for (const CheckView& c : m.view.checks) {
        if (c.isRequire) continue;
        std::string what = sides(c);
        if (!c.governingLabel.empty()) what += (what.empty() ? "" : ", ") + ("governed by " + c.governingLabel);
        if (!c.reason.empty() && c.state != CheckView::State::Fails) what += (what.empty() ? "" : ": ") + c.reason;
        t.rows.push_back({{plainText(utilisationText(c.utilisation))}, {boxedWord(stampOf(c.state))}, {codeText(c.name)}, {plainText(what)}});
    }
    return t;
}

Table requiresTable(const MemberFacts& m) {
    Table t;
    t.ruled = false;
    t.columns = {{"verdict", Table::Align::Left, false}, {"name", Table::Align::Left, false}, {"what", Table::Align::Left, true}};
    for (const CheckView& c : m.view.checks) {
        if (!c.isRequire) continue;
        std::string what = c.what;
        if (!c.reason.empty()) what += (what.empty() ? "" : ": ") + c.reason;
        t.rows.push_back({{boxedWord(stampOf(c.state))}, {codeText(c.name)}, {plainText(what)}});
    }
    return t;
}

Table assumptionsTable(const MemberFacts& m) {
    Table t;
    t.ruled = false;
    t.columns = {{"name", Table::Align::Left, false}, {"value", Table::Align::Left, false}, {"what", Table::Align::Left, true}};
    for (const job::Assumption& a : m.view.assumptions) {
        if (a.id.valid()) t.rows.push_back({{codeText(a.name)}, {plainText(a.shown)}, {plainText(a.what)}});
    }
    return t;
}

Bullets assumedSentences(const MemberFacts& m) {
    Bullets out;
    for (const job::Assumption& a : m.view.assumptions) {
        if (!a.id.valid()) out.items.push_back({{plainText(a.shown)}, {}});
    }
    return out;
}

Table notStatedTable(const MemberFacts& m) {
    Table t;
    t.ruled = false;
    t.columns = {{"name", Table::Align::Left, false}, {"what", Table::Align::Left, true}};
    for (const std::string& name : m.view.notStated) {
        std::string what;
        for (const job::QuantityView& q : m.view.quantities) {
            if (q.name == name) what = q.what;
        }
        t.rows.push_back({{codeText(name)}, {plainText(what)}});
    }
    return t;
}

void titled(std::vector<Block>& out, const std::string& title, Block block) {
    out.push_back({Heading{3, {plainText(title)}, ""}});
    out.push_back(std::move(block));
}

void explain(std::vector<Block>& out, const MemberFacts& m) {
    Bullets notes;
    for (const CheckView& c : m.view.checks) {
        Bullets::Item item;
        item.text = {codeText(c.name), plainText(c.what.empty() ? "" : ": " + c.what)};
        if (!c.source.empty()) item.text.push_back(faintText(" (" + c.source + ")"));
        std::size_t begin = 0;
        while (begin < c.note.size()) {
            const std::size_t end = std::min(c.note.find('\n', begin), c.note.size());
            item.below.push_back({{plainText(c.note.substr(begin, end - begin))}, {}});
            begin = end + 1;
        }
        if (!c.reason.empty()) item.below.push_back({{plainText(c.reason)}, {}});
        if (c.note.empty()) item.below.push_back({{faintText("the sheet says no more about it")}, {}});
        notes.items.push_back(std::move(item));
    }
    if (!notes.items.empty()) titled(out, "in plain words", {std::move(notes)});
}

Section memberPart(const MemberFacts& m, const CheckSettings& settings) {
    Section s;
    s.mark = m.view.mark;
    s.running = editionsOf(m);
    Inlines head{strongText(m.view.mark), plainText("  " + (m.view.sheetTitle.empty() ? m.view.sheetName : m.view.sheetTitle))};
    if (!m.view.purpose.empty() && m.view.purpose != m.view.sheetTitle) head.push_back(plainText(", " + m.view.purpose));
    head.push_back(plainText("  "));
    head.push_back(boxedWord(stampOf(m.view.verdict)));
    s.blocks.push_back({Heading{2, std::move(head), ""}});
    s.blocks.push_back({Paragraph{{faintText("sheet " + m.view.sheetName + "; " + editionsOf(m))}}});
    for (const std::string& note : m.notes) s.blocks.push_back({Paragraph{symbolsMarked(note), Paragraph::Role::Note}});
    if (!m.view.reasons.empty()) {
        Bullets reasons;
        for (const std::string& r : m.view.reasons) reasons.items.push_back({{plainText(r)}, {}});
        titled(s.blocks, "why it is not OK", {std::move(reasons)});
    }
    if (m.mends) titled(s.blocks, "what would do, one change alone", {mendsList(*m.mends)});
    if (Table t = checksTable(m); !t.rows.empty()) titled(s.blocks, "checks, the governing one first", {std::move(t)});
    if (Table t = requiresTable(m); !t.rows.empty()) titled(s.blocks, "required besides", {std::move(t)});
    if (settings.explain) explain(s.blocks, m);
    if (Table t = notStatedTable(m); !t.rows.empty()) titled(s.blocks, "not stated", {std::move(t)});
    if (Table t = assumptionsTable(m); !t.rows.empty()) titled(s.blocks, "assumed, because the job does not state it", {std::move(t)});
    if (Bullets b = assumedSentences(m); !b.items.empty()) titled(s.blocks, "assumed by the sheet", {std::move(b)});
    if (!m.view.differs.empty()) {
        Bullets differs;
        for (const std::string& d : m.view.differs) differs.items.push_back({{plainText(d)}, {}});
        titled(s.blocks, "differs from the ready sheet", {std::move(differs)});
    }
    return s;
}

Section head(const JobFacts& f) {
    Section s;
    s.title = f.cover.title.empty() ? f.file : f.cover.title;
    std::string made;
    const auto add = [&made](std::string_view label, const std::string& value) {
        if (!value.empty()) made += (made.empty() ? "" : "; ") + std::string(label) + value;
    };
    add("place ", f.cover.place);
    add("by ", f.cover.author);
    add("checked by ", f.cover.checker);
    add("revision ", f.cover.revision);
    add("", f.cover.date);
    if (!made.empty()) s.blocks.push_back({Paragraph{{plainText(made)}}});
    s.blocks.push_back({Paragraph{{plainText("verdict "), boxedWord(stampOf(f.verdict)), plainText("  inputs " + f.fingerprint)}}});
    for (const std::string& o : f.overrides) s.blocks.push_back({Paragraph{{plainText("only this time, not in the file: "), codeText(o)}}});
    s.blocks.push_back({Heading{3, {plainText("schedule")}, ""}});
    if (f.members.empty())
        s.blocks.push_back({Paragraph{{plainText("there are no members: nothing is proven")}}});
    else
        s.blocks.push_back({scheduleTable(f, false)});
    return s;
}

} // namespace

Table scheduleTable(const JobFacts& f, bool withLinks) {
    Table t;
    t.columns = {{"mark", Table::Align::Left, false},   {"off", Table::Align::Right, false},     {"section", Table::Align::Left, true},
                 {"span", Table::Align::Left, true},    {"governing", Table::Align::Left, true}, {"util.", Table::Align::Right, false},
                 {"verdict", Table::Align::Left, false}};
    if (f.shop) {
        t.columns.push_back({"one weighs", Table::Align::Right, false});
        t.columns.push_back({f.shop->bill.proven ? "cost of all" : "cost of all, NOT PROVEN", Table::Align::Right, true});
    }
    for (std::size_t i = 0; i < f.members.size(); ++i) {
        const job::MemberView& m = f.members[i].view;
        const CheckView* governing = m.governing ? &m.checks[*m.governing] : nullptr;
        t.rows.push_back({{withLinks ? linkTo(memberId(i), m.mark) : strongText(m.mark)},
                          {plainText(countText(m.count))},
                          {plainText(m.sectionShown)},
                          {plainText(m.spanShown)},
                          {plainText(governing ? governing->name : "-")},
                          {plainText(governing ? utilisationText(governing->utilisation) : "-")},
                          {boxedWord(stampOf(m.verdict))}});
        if (!f.shop) continue;
        const shop::Workshop::Row w = i < f.shop->schedule.size() ? f.shop->schedule[i] : shop::Workshop::Row{};
        const bool built = m.insteadOf.empty();
        t.rows.back().push_back({plainText(w.mass ? shop::kilograms(*w.mass) : "-")});
        t.rows.back().push_back({plainText(w.cents ? shop::showMoney(*w.cents, w.low, w.high, f.shop->bill.currency)
                                           : built ? "-"
                                                   : "instead of " + m.insteadOf)});
    }
    return t;
}

Document checkDocument(const JobFacts& f, const CheckSettings& settings) {
    Document d;
    d.title = f.cover.title;
    d.fingerprint = f.fingerprint;
    d.sections.push_back(head(f));
    for (const MemberFacts& m : f.members) d.sections.push_back(memberPart(m, settings));
    Section cautions;
    cautions.title = "Cautions";
    Bullets list;
    for (const std::string& c : cautionsOf(f)) list.items.push_back({symbolsMarked(c), {}});
    cautions.blocks.push_back({std::move(list)});
    d.sections.push_back(std::move(cautions));
    return d;
}

} // namespace spanwright::report
