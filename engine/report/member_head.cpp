// SPDX-License-Identifier: MIT
#include "engine/report/member_head.h"

#include "engine/report/build.h"
#include "engine/report/trial_document.h"
#include "engine/report/words.h"
#include "engine/units/format.h"

namespace spanwright::report {

using Align = Table::Align;

void headInto(Section& s, const MemberFacts& m, const std::string& id) {
    Inlines head{strongText(m.view.mark), plainText("  " + (m.view.sheetTitle.empty() ? m.view.sheetName : m.view.sheetTitle) + "  "),
                 boxedWord(stampOf(m.view.verdict))};
    s.blocks.push_back({Heading{2, std::move(head), id}});
    std::string words = m.view.purpose == m.view.sheetTitle ? "" : m.view.purpose;
    if (m.view.count != 1) words += (words.empty() ? "" : ", ") + countText(m.view.count) + " off";
    if (!words.empty()) s.blocks.push_back({Paragraph{{plainText(words)}}});
    s.blocks.push_back({Paragraph{{faintText("sheet " + m.view.sheetName + "; " + editionsOf(m))}}});
    for (const std::string& note : m.notes) s.blocks.push_back({Paragraph{symbolsMarked(note), Paragraph::Role::Note}});
    const auto marks = [&](const std::string& words0, const std::vector<std::string>& list) {
        if (list.empty()) return;
        std::string all;
        for (const std::string& k : list) all += (all.empty() ? "" : ", ") + k;
        s.blocks.push_back({Paragraph{{plainText(words0 + all)}}});
    };
    marks("takes values from ", m.view.readsMembers);
    marks("passes values to ", m.view.feedsMembers);
    if (!m.view.reasons.empty()) {
        Bullets why;
        for (const std::string& r : m.view.reasons) why.items.push_back({namesMarked(r), {}});
        Framed frame{"Why it is not OK", {}};
        frame.blocks.push_back({std::move(why)});
        s.blocks.push_back({std::move(frame)});
    }
    if (m.mends) {
        Framed frame{"What would do, one change alone", {}};
        frame.blocks.push_back({mendsList(*m.mends)});
        s.blocks.push_back({std::move(frame)});
    }
}

void sketchInto(Section& s, const job::SketchView& sketch, const job::QuantityView& view) {
    s.blocks.push_back({Figure{sketchDrawing(sketch), sketch.title + (sketch.what.empty() ? "" : ": " + sketch.what)}});
    if (!sketch.leftOut.empty()) {
        Bullets list;
        for (const std::string& why : sketch.leftOut) list.items.push_back({{plainText(why)}, {}});
        s.blocks.push_back({Paragraph{{plainText("not drawn in " + sketch.title + ":")}}});
        s.blocks.push_back({std::move(list)});
    }
    if (!view.note.empty()) s.blocks.push_back({Paragraph{symbolsMarked(view.note), Paragraph::Role::Note}});
}

void checksInto(Section& s, std::size_t member, const MemberFacts& m, bool withLinks) {
    if (m.view.checks.empty()) return;
    Table t;
    t.caption = "checks, the governing one first";
    t.columns = {{"check", Align::Left, true}, {"case", Align::Left, true}, {"utilisation", Align::Right, false}, {"verdict", Align::Left, false}};
    const auto named = [&](const job::CheckView& c) {
        for (std::size_t i = 0; withLinks && i < m.rows.size(); ++i)
            if (m.rows[i].view.id == c.id) return linkTo(rowId(member, i), c.name);
        return plainText(c.name);
    };
    Inlines held, off;
    const auto into = [&](Inlines& line, const job::CheckView& c) {
        line.push_back(plainText(line.empty() ? "  " : ", "));
        line.push_back(named(c));
    };
    for (const job::CheckView& c : m.view.checks) {
        if (c.state == job::CheckView::State::NotApplicable) {
            into(off, c);
            continue;
        }
        // What is met or not met has no number: where it is met, its name is all there is to say.
        if (c.isRequire && c.state == job::CheckView::State::Passes) {
            into(held, c);
            continue;
        }
        t.rows.push_back({{named(c)},
                          {plainText(c.governingLabel)},
                          {plainText(c.utilisation ? units::showUtilisation(*c.utilisation) : "-")},
                          {boxedWord(stampOf(c.state))}});
    }
    if (!t.rows.empty()) s.blocks.push_back({std::move(t)});
    const auto line = [&](const char* words, Stamp stamp, Inlines& names) {
        if (names.empty()) return;
        Inlines all{plainText(words), boxedWord(stamp)};
        for (Inline& i : names) all.push_back(std::move(i));
        s.blocks.push_back({Paragraph{std::move(all)}});
    };
    line("required, and met: ", Stamp::Ok, held);
    // One line for all that do not concern this member.
    line("", Stamp::NotApplicable, off);
}

void remarksInto(std::vector<Block>& out, const JobFacts& f, const std::string& mark, const std::string& name) {
    for (const RemarkFact& r : f.remarks) {
        if (r.member != mark || r.name != name) continue;
        const std::string who = r.by + (r.on.empty() ? "" : ", " + r.on);
        out.push_back({Paragraph{{strongText((r.answer ? "answer by " : "remark by ") + who + ": "), plainText(r.text)}, Paragraph::Role::Remark}});
    }
}

} // namespace spanwright::report
