// SPDX-License-Identifier: MIT
#include "engine/report/build.h"
#include "engine/report/member_head.h"
#include "engine/report/words.h"

namespace spanwright::report {

namespace {

using Align = Table::Align;
using meaning::Kind;

/// What the job states, and what it ought to state and does not: on these everything rests.
void statedInto(Section& s, const MemberFacts& m) {
    Table t;
    t.caption = "stated by the job";
    t.columns = {{"name", Align::Left, false}, {"value", Align::Right, false}, {"what", Align::Left, true}};
    for (const RowFact& r : m.rows) {
        if (r.kind != Kind::Ask && r.kind != Kind::Given && r.kind != Kind::Choose) continue;
        if (r.view.state == eval::State::NotApplicable) continue;
        const bool known = r.view.state == eval::State::Known;
        if (known && !r.view.stated && !r.view.overridden) continue;
        if (!known && r.kind != Kind::Ask && !r.view.stated) continue;
        t.rows.push_back({{nameText(r.view.name)},
                          {known ? plainText(r.view.shown) : strongText(std::string(stateWord(r.view.state)))},
                          symbolsMarked(r.view.what + (r.view.overridden ? "; set for this print only" : ""))});
    }
    if (!t.rows.empty()) s.blocks.push_back({std::move(t)});
}

} // namespace

Section briefSection(const JobFacts& f, const ReportScope& scope) {
    Section s;
    s.id = "members";
    s.title = "Members in brief";
    for (std::size_t i = 0; i < f.members.size(); ++i) {
        if (!holds(scope, i)) continue;
        const MemberFacts& m = f.members[i];
        headInto(s, m, memberId(i));
        for (const RowFact& r : m.rows) {
            const bool off = r.part < m.parts.size() && m.parts[r.part].applies == PartFact::Applies::No && !r.otherwise;
            if (r.kind == Kind::Sketch && r.sketch && !off && r.view.state != eval::State::NotApplicable) sketchInto(s, *r.sketch, r.view);
        }
        statedInto(s, m);
        checksInto(s, i, m, false);
        remarksInto(s.blocks, f, m.view.mark, "");
        for (const RowFact& r : m.rows) {
            std::vector<Block> said;
            remarksInto(said, f, m.view.mark, r.view.name);
            if (said.empty()) continue;
            s.blocks.push_back({Paragraph{{plainText("on "), nameText(r.view.name), plainText(":")}}});
            for (Block& b : said) s.blocks.push_back(std::move(b));
        }
    }
    return s;
}

} // namespace spanwright::report
