// SPDX-License-Identifier: MIT
#include "engine/report/build.h"
#include "engine/report/equation.h"
#include "engine/report/words.h"
#include "engine/units/format.h"

namespace spanwright::report {

namespace {

std::string pathOf(bool single, const std::string& member, const std::string& name) { return single || member.empty() ? name : member + "." + name; }

void neighbours(std::vector<Block>& out, const std::string& title, const std::vector<job::Working::Neighbour>& list, bool single) {
    out.push_back({Heading{3, {plainText(title)}, ""}});
    if (list.empty()) {
        out.push_back({Paragraph{{faintText("nothing")}}});
        return;
    }
    Table t;
    t.ruled = false;
    t.columns = {{"name", Table::Align::Left, false}, {"value", Table::Align::Left, false}, {"what", Table::Align::Left, true}};
    for (const job::Working::Neighbour& n : list) t.rows.push_back({{codeText(pathOf(single, n.member, n.name))}, {plainText(n.shown)}, {plainText(n.what)}});
    out.push_back({std::move(t)});
}

Section stepOf(const WorkingStep& step, bool single) {
    const job::Working& w = step.working;
    Section s;
    s.mark = w.member;
    Inlines head{strongText(pathOf(single, w.member, w.name))};
    if (!w.what.empty()) head.push_back(plainText(", " + w.what));
    s.blocks.push_back({Heading{2, std::move(head), ""}});
    std::string origin = w.kind;
    if (step.level > 0) origin += "; " + counted(step.level, "step", "steps") + " behind the value asked for";
    s.blocks.push_back({Paragraph{{faintText(origin)}}});
    if (Equation e = equationOf(w); !e.lines.empty()) s.blocks.push_back({std::move(e)});
    if (!w.caseLabel.empty()) s.blocks.push_back({Paragraph{{plainText("worked out for " + w.caseLabel)}}});

    if (w.state == eval::State::Known) {
        Inlines result{plainText("result  "), strongText(w.shown.empty() ? "no single value" : w.shown)};
        if (w.kind == "check" && !w.rightShown.empty()) result.push_back(plainText(" against " + w.rightShown));
        if (w.utilisation) result.push_back(plainText(", utilisation " + units::showUtilisation(*w.utilisation)));
        if (w.kind == "check") {
            result.push_back(plainText("  "));
            // Without a utilisation (a capacity of zero or less) nothing is proven.
            result.push_back(boxedWord(!w.utilisation ? Stamp::NotProven : checkFails(w) ? Stamp::Fails : Stamp::Ok));
        }
        s.blocks.push_back({Paragraph{std::move(result)}});
    } else {
        s.blocks.push_back(
            {Paragraph{{plainText("result  "), strongText(std::string(stateWord(w.state))), plainText(w.reason.empty() ? "" : ": " + w.reason)}}});
    }
    for (const std::string& d : w.details) s.blocks.push_back({Paragraph{{plainText("where   " + d)}}});
    for (const job::Working::Aside& a : w.asides)
        for (Block& b : asideBlocks(a)) s.blocks.push_back(std::move(b));
    if (!w.source.empty()) s.blocks.push_back({Paragraph{{plainText("source  " + w.source)}}});
    for (const std::string& t : w.tableSources) s.blocks.push_back({Paragraph{{plainText("table   " + t)}}});
    if (!w.note.empty()) s.blocks.push_back({Paragraph{{plainText(w.note)}, Paragraph::Role::Note}});
    if (!w.letters.empty()) s.blocks.push_back({Paragraph{{plainText("letters "), codeText(w.letters)}}});
    neighbours(s.blocks, "comes from", w.comesFrom, single);
    neighbours(s.blocks, "feeds", w.feeds, single);
    return s;
}

} // namespace

Document workingDocument(const std::vector<WorkingStep>& steps, bool singleSheet) {
    Document d;
    for (const WorkingStep& step : steps) d.sections.push_back(stepOf(step, singleSheet));
    return d;
}

} // namespace spanwright::report
